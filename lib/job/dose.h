/* What may be dosed into a tank: the parts of a line as the columns of a mix problem, in pouring order. */
#ifndef AQ_JOB_DOSE_H
#define AQ_JOB_DOSE_H

#include "job/job.h"
#include "solve/mix.h"

/* One part in one column. `unit` amounts are L of a part that is poured, g of one that is weighed, per litre of tank. */
typedef struct {
    const aq_part *part;
    const char *name;
    size_t column;
    bool weighs;
    double amount;   /* of it in one unit of the column's x */
    double low, top; /* label range; top INFINITY: none */
    double already;  /* poured since the change */
    double slope;    /* mS/cm per unit; NaN: not known by itself */
    double per_unit; /* of what its composition counts, g or L, in one unit; NaN: not known */
} aq_dose;

typedef struct {
    aq_mix_column *columns;
    double *low;        /* of the columns: the label's bottom */
    const char **names; /* of the columns, for sentences: "A and B" */
    size_t column_count;
    aq_dose *at; /* those of one column side by side */
    size_t count;
} aq_dosing;

/* Which parts a dosing is about. */
typedef enum {
    AQ_DOSE_ROOTS,
    AQ_DOSE_LEAVES,
    AQ_DOSE_ALL,
    AQ_DOSE_EVERY /* all, and groups beside each other that exclude one another: what is only looked up */
} aq_dose_use;

/* The parts and groups of the line that go to roots (or to leaves). `volume` (L) turns what was poured already into
 * rates. A part without a name is called `concentrate`. AQ_MISSING where a density is needed; AQ_AMBIGUOUS where groups
 * share a part, unless every one is wanted: dosed by both, it would pass its label's top unseen. */
aq_status aq_dosing_of(aq_dosing *out, aq_arena *arena, const aq_asked *asked, aq_dose_use use, double volume,
                       aq_error *err);

/* Whether they share a part, so that only one of them can be dosed. */
bool aq_groups_meet(const aq_together *a, const aq_together *b);

/* An amount of that part as L or g per litre of tank, whichever it is measured in; a plain volume or mass is divided by
 * `volume`. NaN where only a density could tell. */
double aq_dose_rate(const aq_dose *dose, aq_quantity amount, double volume);

/* L or g per litre of it that one unit of its slope counts: 1 mL or 1 g, and in a group of bare ratios its own number of
 * them, for {A: 3, B: 2} says its EC per 3 mL of A and 2 mL of B in 1 L. */
double aq_dose_counts(const aq_asked *asked, const aq_dose *dose);

/* mS/cm that one L (or g, of a weighed part) of it adds to a litre: by its own slope; NaN where it has none. */
double aq_part_slope(const aq_part *part, bool weighs);

/* g/L that a concentrate of a weighed dose may hold at that temperature, four fifths of its solubility by the handbooks;
 * 0: not in them, or `exact` g are enough for the scale. */
double aq_dose_concentrate(const aq_dose *dose, double exact, const aq_bench *bench, double celsius);

/* What a part is called on the sheet. */
const char *aq_part_name(const aq_part *part);

#endif
