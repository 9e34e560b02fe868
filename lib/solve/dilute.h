/* Strengths, ratios, blends and flushing: the arithmetic of c1 V1 = c2 V2, always to the mark.
 *
 * "To the mark" means that the concentrate goes in and the vessel is filled up to the finished volume; the water is
 * never measured, since volumes of unlike liquids do not add up. Volumes are in L, masses in g, densities in g/L. */
#ifndef AQ_SOLVE_DILUTE_H
#define AQ_SOLVE_DILUTE_H

#include "measure/quantity.h"

typedef struct {
    aq_strength stock, to;
    double stock_density, to_density; /* g/L; NaN: not known */
    double pure_density; /* g/L of the substance itself, for v/v beside w/w or w/v; NaN: not known */
    double make;         /* L of finished solution */
} aq_dilution;

/* g of substance in a litre: w/v is that, w/w takes the density of the solution, v/v that of the pure substance. NaN
 * where the density is not known. */
AQ_API double aq_strength_per_litre(aq_strength strength, double density, double pure_density);

/* *take: L of stock that go into `make`. Strengths of one basis v/v need no density. AQ_MISSING: a density is needed,
 * and the text says of what. AQ_OUT_OF_RANGE: the stock is weaker than what is wanted. AQ_INVALID: a strength of 0, or
 * a volume that is not above 0. */
AQ_API aq_status aq_dilute(double *take, const aq_dilution *dilution, aq_error *err);

/* g of a solid that give `per_litre` g/L in `make` L. `factor`: g of the solid per g of what the strength counts (a salt
 * for its acid: the ratio of molar masses); `purity` share of mass. */
AQ_API double aq_dissolve(double per_litre, double make, double factor, double purity);

/* The smallest volume for which half a mark of the tool is no more than `slip` of the amount: `per_litre` L or g go into
 * a litre, `marks` are in the same unit. */
AQ_API double aq_least_make(double per_litre, double marks, double slip);

/* A volume from `low` to `high` for which all amounts land on the marks of their tools as nearly as they can. */
typedef struct {
    double per_litre; /* L or g of this part in a litre made */
    double marks;     /* of its tool, in the same unit; 0: it has none */
} aq_marked;

/* Multiples of `step` (the marks of the vessel; 0: a round step of at most a twentieth of the volume) are tried, and
 * that with the least sum of squared relative misses is taken; of those that fit alike, the one nearest the middle.
 * The middle itself where no multiple of the step lies between. */
AQ_API double aq_make_on_marks(double low, double high, double step, const aq_marked *parts, size_t count);

/* Serial dilution, for a share too small for the tool: each step takes `take` of the one before (the first of the stock)
 * and makes it up to `make`. The last makes what was asked. */
enum { AQ_SERIAL_MOST = 8 };
typedef struct {
    double take, make;
} aq_serial_step;

/* Fills `steps` and returns their number, at least 1, at most AQ_SERIAL_MOST. `least`: the least that the tool takes
 * well. Every step but the last takes just that and is 1 in 10, 20, 50 or 100. 0 when `share` is not above 0 and at
 * most 1, or more steps would be needed. */
AQ_API size_t aq_dilute_serially(aq_serial_step steps[AQ_SERIAL_MOST], double share, double make,
                                 double least);

/* Two waters to a property that blends linearly: EC (nearly), alkalinity, hardness. c = p c1 + (1 - p) c2, as in Ayers
 * and Westcot, FAO Irrigation and Drainage Paper 29 rev. 1 (1985). */
typedef struct {
    double share;   /* of the first water, 0 to 1 */
    double reached; /* the property of the blend */
    bool inside;    /* wanted lies between the two; else the nearer water alone */
} aq_blend;
AQ_API aq_blend aq_blend_to(double first, double second, double wanted);

/* L of solution of `feed_ec` that bring the drain of a medium holding `medium` L from `now_ec` to `to_ec`, the medium
 * well mixed: V ln((now - feed) / (to - feed)). 0 where it is there already; INFINITY where the solution is no better
 * than what is wanted. Channels in the medium make this uncertain by 30 % (common practice, no source). */
AQ_API double aq_flush_volume(double medium, double now_ec, double feed_ec, double to_ec);

#endif
