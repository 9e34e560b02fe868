/* One tank of feed, from what is known of it to rows at the bench: what mix, adjust, topup, condition and plan share.
 *
 *     aq_feed_begin      the water, the parts, the problem without its aim
 *     aq_feed_aim_...    targets, a strength, rates or the label's bottom; an EC is set as feed.problem.ec
 *     aq_feed_solve      exact doses; the same on the marks of the tools; what the tank then reads
 *     aq_feed_rows       water, checkpoint, parts in order, top, readings
 *     aq_feed_shorts     what the aim is missed by, and why
 *     aq_feed_expect     EC, pH, what to do at another reading
 *     aq_feed_figures    elements, shares, cost, what is left of the supplies */
#ifndef AQ_JOB_FEED_H
#define AQ_JOB_FEED_H

#include "base/decimal.h"
#include "job/dose.h"
#include "job/source.h"
#include "sheet/portion.h"
#include "solve/uncertainty.h"

typedef struct {
    double volume, heel;              /* L: finished, and the old solution in it */
    double heel_ec;                   /* mS/cm; NaN: not known */
    const aq_composition *heel_holds; /* per L of the old solution; NULL: not known */
    aq_dose_use use;
    double tanks; /* that many alike, each dosed by itself; 0: one */
} aq_feed_tank;

typedef struct {
    aq_arena *arena;
    const aq_asked *asked;
    aq_source source;
    const aq_composition *heel_holds; /* as in the tank */
    const char *acid_name;            /* in the water, put there before any part */
    const aq_composition *acid_holds; /* what it brings to a litre of the finished tank; NULL: none */
    aq_dosing dosing;
    aq_budget budget;
    aq_mix_problem problem;
    double *fixed;         /* of the problem, where a rate, a strength or the label decides every x */
    bool held_back;        /* a label's top was below what was fixed */
    aq_mix_answer *exact;  /* as solved */
    aq_mix_answer *poured; /* as the rounded amounts make it */
    aq_portion *portions;  /* one a dose */
    /* per L of the finished tank, of the rounded amounts and the water, as far as known */
    aq_composition got;
    bool all_known; /* every part poured has a composition */
    double tanks;   /* that many alike: the amounts are those of one */
} aq_feed;

aq_status aq_feed_begin(aq_feed *feed, aq_arena *arena, const aq_asked *asked, const aq_feed_tank *tank,
                        aq_error *err);

/* AQ_MISSING: of no part is it known what it holds. */
aq_status aq_feed_aim_targets(aq_feed *feed, const aq_amounts *wanted, const aq_amounts *tolerance,
                              aq_error *err);
/* Of the label's top; AQ_MISSING: a part has none. */
aq_status aq_feed_aim_strength(aq_feed *feed, double strength, aq_error *err);
aq_status aq_feed_aim_rates(aq_feed *feed, const aq_amounts *rates, aq_error *err);
aq_status aq_feed_aim_bottom(aq_feed *feed, aq_error *err);
/* By what the line aims at: an EC, targets with or without one, a strength or rates; nothing: the label's bottom. */
aq_status aq_feed_take_aim(aq_feed *feed, const aq_aim *aim, aq_error *err);
/* One column of those, as low as the label's top holds it unless that may be passed. */
void aq_feed_fix(aq_feed *feed, size_t column, double x);

/* AQ_MISSING where an EC is aimed at and the water's, the heel's or every part's is not known, or where the bench has
 * tools but none that can measure a part. */
aq_status aq_feed_solve(aq_feed *feed, aq_error *err);

/* L of water that go in before the doses, which take up room themselves. Below 0: there is no room for them. */
double aq_feed_water(const aq_feed *feed);

/* Whether anything that may be dosed shows on a meter: by a slope of its own or its group's, or by its ions. */
bool aq_feed_carries_ec(const aq_feed *feed);

/* mS/cm that the doses add, of a reading that is known; and of any, also where the water's EC is not. NaN: not known. */
double aq_feed_added(const aq_feed *feed);
double aq_feed_adds(const aq_feed *feed);

/* Two standard uncertainties of a reading after `added` mS/cm. */
aq_amount aq_feed_reading(const aq_feed *feed, double ec);

/* Of the top of dose `which`, with what the tank holds already: 1 at the top itself. NaN: it has none. */
double aq_feed_label_used(const aq_feed *feed, size_t which);

/* L or g of dose `which` that the tank gets at `x` of its column. */
double aq_feed_amount(const aq_feed *feed, size_t which, double x);

/* An amount of that dose as it is said: mL below 10 L, else L; g of a weighed part. */
aq_amount aq_dose_amount(const aq_dose *dose, double amount, bool rounded);

aq_status aq_feed_rows(aq_sheet *sheet, const aq_feed *feed, aq_error *err);
aq_status aq_feed_expect(aq_sheet *sheet, const aq_feed *feed, aq_error *err);
aq_status aq_feed_figures(aq_sheet *sheet, const aq_feed *feed, aq_error *err);

/* Assumes aloud of which parts the form of the nitrogen is not known. */
bool aq_feed_say_forms(aq_sheet *sheet, const aq_feed *feed);

/* sheet->elements: each element wanted or found, how much of it, and from which water, acid, old solution or part; of
 * the rounded amounts, or of the exact ones. Nothing where no composition is known and nothing is aimed at. */
bool aq_feed_elements(aq_sheet *sheet, const aq_feed *feed, bool rounded);

/* A figure of each element in `got`, g/L. */
bool aq_feed_element_figures(aq_sheet *sheet, const aq_composition *got);

/* The outcome, the certificate, and what falls short of the aim with the reason. */
bool aq_feed_shorts(aq_sheet *sheet, const aq_feed *feed);

/* The portions of the doses as rows alone: predilute, pour or weigh, stir, and a reading where one can be expected. */
aq_status aq_feed_pour_rows(aq_sheet *sheet, const aq_feed *feed, aq_error *err);

/* One of them: predilute where that is needed, and pour or weigh; `label_used` NaN: no top. */
bool aq_portion_rows(aq_sheet *sheet, const aq_dose *dose, const aq_portion *portion, double label_used);

/* A pre-dilution does not keep: its rest goes the same day. Adds nothing where there was none. */
bool aq_feed_discard_row(aq_sheet *sheet, const aq_feed *feed);
bool aq_portions_discard_row(aq_sheet *sheet, const aq_portion *portions, size_t count);

/* The site's meter is as wrong as it was in its last standard, and the sheet's readings are true ones: what it shows at
 * `ec`, among the assumptions. Nothing where it is right, or there is none. */
#define AQ_METER_SHOWS "readings are true ones; by its last standard this meter shows "
bool aq_say_meter(aq_sheet *sheet, const aq_asked *asked, double ec);

/* Assumes aloud that the water's EC is worked out, where it is. */
bool aq_say_worked_out(aq_sheet *sheet, const aq_source *source);

#endif
