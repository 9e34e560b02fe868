/* What a tank should read once x of each column is in it: the model side of lib/solve/mix.h.
 *
 * Columns with a slope add it; those known by composition add the chemistry's EC of the tank with them less that of
 * the tank without. What the tank holds before any dose matters little to that difference, but not nothing: ions slow
 * each other down. So the known ions of heel and water are scaled to the EC that was measured, and where none are
 * known potassium nitrate of that EC stands in for them. */
#ifndef AQ_SOLVE_EXPECT_H
#define AQ_SOLVE_EXPECT_H

#include "solve/mix.h"

typedef struct {
    const aq_mix_column *columns;
    size_t count;
    double base_ec;            /* NaN: unknown, and then so is every EC */
    double ions[AQ_ION_COUNT]; /* mol/L before any dose */
    double ions_ec;            /* what the chemistry says of them; NaN until a column needs it */
} aq_expectation;

void aq_expect_begin(aq_expectation *out, const aq_mix_problem *problem);

/* Whether what a column adds to EC is known: by its slope, or by the composition of every member. */
bool aq_expect_knows_ec(const aq_mix_column *column);
/* Whether the composition of any member is known, so that it can serve targets with what is known of it. */
bool aq_expect_serves_targets(const aq_mix_column *column);
/* Whether every column that carries EC has a slope. */
bool aq_expect_is_linear(const aq_expectation *expectation);

/* g of a nutrient per L for one unit of x, as far as it is known. */
double aq_expect_brings(const aq_mix_column *column, aq_nutrient nutrient);

/* mS/cm with x of each column; NaN where a column with x above 0 is unknown. */
double aq_expect_ec(const aq_expectation *expectation, const double *x);

/* mS/cm per unit of x of each column, at x; NaN where unknown. */
void aq_expect_slopes(const aq_expectation *expectation, const double *x, double *slopes);

/* mS/cm per unit of x in much water: above 0 where a column carries EC, at least its slope in any tank, and only about
 * that; 0 where it carries none or is unknown. */
double aq_expect_dilute_slope(const aq_mix_column *column);

#endif
