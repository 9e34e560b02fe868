/* A bottle, a bag or a salt: what its label says, and what follows from it.
 *
 * A part is poured (doses in L per L of tank) or weighed (g per L of tank); aq_part_weighed tells. Everything here is
 * read from a document or an option by aq_part_shape, lives in the arena of that walk, and is not changed after. */
#ifndef AQ_MODEL_PART_H
#define AQ_MODEL_PART_H

#include "chemistry/composition.h"
#include "document/field.h"
#include "measure/graduation.h"

typedef enum { AQ_USE_UNSAID, AQ_USE_ROOT, AQ_USE_FOLIAR } aq_use;
typedef enum { AQ_TANK_UNSAID, AQ_TANK_A, AQ_TANK_B, AQ_TANK_BOTH } aq_tank;

/* A guaranteed analysis as printed. `contents` are shares of mass (w/w) or, with basis w/v, shares meaning g per
 * 100 mL; or mg/L and the like, which need no basis. `as` is about P and K alone: other elements are printed as
 * elements everywhere, unless their oxide is named. */
typedef struct {
    int basis; /* aq_basis; AQ_BASIS_UNSAID where no content is a bare % */
    int as;    /* aq_as; AQ_AS_UNSAID where P and K do not occur bare */
    aq_amounts contents;
    aq_place place;
    bool given;
} aq_analysis;

typedef struct {
    double temperature; /* degC */
    double grams;       /* per L of solution, or per kg of water with `per_water` */
    bool per_water;
} aq_solubility_point;

typedef struct {
    const char *name;
    aq_range rate;       /* label range: L/L or g/L; the top is never passed */
    aq_quantity density; /* g/L */
    aq_analysis analysis;
    const char *formula; /* NULL: not a salt */
    aq_slope ec;
    aq_texts hazards; /* GHS codes: "H318" */
    int use;          /* aq_use */
    const char *of;   /* the substance, for its hazards: "nitric acid" */
    aq_quantity to;   /* EC that the tank reads after this part: dosed first, to there */
    int tank;         /* aq_tank */
    AQ_LIST(aq_solubility_point) solubility;
    aq_quantity saturated; /* density of the saturated solution, g/L */
    aq_place place;

    /* worked out when the entry was read */
    const aq_composition *composition; /* per g of product, or per L with `per_litre`; NULL: unknown */
    bool per_litre;
} aq_part;

/* Several parts dosed in a fixed ratio: one unknown, not two. The unknown x counts "shares": in one share each member
 * gives `amount` to a litre of tank. Bare ratios {A: 1, B: 1} mean 1 mL/L (1 g/L of a weighed part) of each. */
typedef struct {
    const char *name; /* given, or NULL */
    aq_amounts parts; /* in pouring order: share bare, rate or content */
    bool rates;       /* written as rates: `ec` is what these rates add together, and a share is a strength */
    aq_slope slope;   /* given with bare ratios */
    aq_quantity whole; /* given with rates: mS/cm added by one share */
    aq_place place;
} aq_together;

extern AQ_API const aq_shape aq_part_shape, aq_together_shape;

/* What one share gives of a member: L/L or g/L. A bare ratio counts mL/L, or g/L of a part that is weighed. */
AQ_API double aq_together_amount(const aq_together *group, size_t member, bool weighed);

AQ_API bool aq_together_has(const aq_together *group, const char *part);

/* mS/cm that one share adds; NaN: the group does not say. */
AQ_API double aq_together_ec(const aq_together *group);

/* Grams rather than millilitres: a formula; an analysis w/w, a rate or a slope by mass, with no density; or a bench
 * with only scales, where the density is known (or nothing by volume). */
AQ_API bool aq_part_weighed(const aq_part *part, const aq_bench *bench);

#endif
