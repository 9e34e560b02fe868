/* EC of a tank from slopes and from ions. */
#include "solve/expect.h"

#include "chemistry/conductivity.h"

#include <math.h>
#include <string.h>

/* mS/cm of 1 mol/L of potassium nitrate when dilute: 73.48 + 71.42 S cm2/mol, CRC Handbook, limiting conductivities. */
static const double potassium_nitrate = 144.9;

static double chemistry_ec(const double ions[AQ_ION_COUNT])
{
    aq_solution solution = { .mode = AQ_PH_CLOSED }; /* whatever its temperature, EC is of 25 degC */

    memcpy(solution.total, ions, sizeof solution.total);
    return aq_ec_of(&solution);
}

static double base_ec(const aq_mix_problem *p)
{
    double fresh = p->volume - p->heel;

    return ((p->heel > 0 ? p->heel * p->heel_ec : 0) + (fresh > 0 ? fresh * p->water_ec : 0)) / p->volume;
}

/* Only the totals of a column matter, whatever its members are called. */
static void add_ions(double ions[AQ_ION_COUNT], const aq_mix_column *column, double x)
{
    for (size_t m = 0; m < column->member_count; m++)
        for (int i = 0; i < AQ_ION_COUNT && column->members[m].composition; i++)
            ions[i] += x * column->members[m].per_share * column->members[m].composition->ion[i];
}

static double amount_of_ions(const double ions[AQ_ION_COUNT])
{
    double sum = 0;

    for (int i = 0; i < AQ_ION_COUNT; i++)
        sum += fabs(ions[i]);
    return sum;
}

/* Known ions that the chemistry cannot read stand for nothing. */
static void scale_background(aq_expectation *e)
{
    double as_known = amount_of_ions(e->ions) > 0 ? chemistry_ec(e->ions) : 0, none;

    if (as_known > 0 && e->base_ec > 0) {
        for (int i = 0; i < AQ_ION_COUNT; i++)
            e->ions[i] *= e->base_ec / as_known;
    } else if (as_known <= 0) {
        memset(e->ions, 0, sizeof e->ions);
        none = chemistry_ec(e->ions);
        if (e->base_ec > none)
            e->ions[AQ_ION_POTASSIUM] = e->ions[AQ_ION_NITRATE] = (e->base_ec - none) / potassium_nitrate;
    }
    e->ions_ec = chemistry_ec(e->ions);
}

static bool knows_composition(const aq_mix_column *column)
{
    for (size_t m = 0; m < column->member_count; m++)
        if (!column->members[m].composition && column->members[m].per_share > 0)
            return false;
    return column->member_count > 0;
}

bool aq_expect_serves_targets(const aq_mix_column *column)
{
    for (size_t m = 0; m < column->member_count; m++)
        if (column->members[m].composition && column->members[m].per_share > 0)
            return true;
    return false;
}

bool aq_expect_knows_ec(const aq_mix_column *column)
{
    return !isnan(column->slope) || knows_composition(column);
}

static bool by_chemistry(const aq_mix_column *column)
{
    return isnan(column->slope) && knows_composition(column);
}

double aq_expect_dilute_slope(const aq_mix_column *column)
{
    double ions[AQ_ION_COUNT] = { 0 }, sum = 0;

    if (!by_chemistry(column))
        return isnan(column->slope) ? 0 : column->slope;
    add_ions(ions, column, 1);
    for (int i = 0; i < AQ_ION_COUNT; i++)
        sum += fabs(ions[i]) * aq_ion_conductivity((aq_ion)i);
    return sum;
}

bool aq_expect_is_linear(const aq_expectation *e)
{
    for (size_t j = 0; j < e->count; j++)
        if (by_chemistry(&e->columns[j]))
            return false;
    return true;
}

void aq_expect_begin(aq_expectation *out, const aq_mix_problem *p)
{
    *out =
        (aq_expectation){ .columns = p->columns, .count = p->count, .base_ec = base_ec(p), .ions_ec = NAN };
    if (aq_expect_is_linear(out))
        return;
    if (p->base)
        memcpy(out->ions, p->base->ion, sizeof out->ions);
    scale_background(out);
}

double aq_expect_brings(const aq_mix_column *column, aq_nutrient nutrient)
{
    double sum = 0;

    for (size_t m = 0; m < column->member_count; m++)
        if (column->members[m].composition)
            sum += column->members[m].per_share *
                   aq_composition_nutrient(column->members[m].composition, nutrient);
    return sum;
}

double aq_expect_ec(const aq_expectation *e, const double *x)
{
    double ions[AQ_ION_COUNT], ec = e->base_ec;
    bool chemistry = false;

    memcpy(ions, e->ions, sizeof ions);
    for (size_t j = 0; j < e->count; j++) {
        if (x[j] <= 0)
            continue;
        if (!aq_expect_knows_ec(&e->columns[j]))
            return NAN;
        if (by_chemistry(&e->columns[j])) {
            add_ions(ions, &e->columns[j], x[j]);
            chemistry = true;
        } else {
            ec += e->columns[j].slope * x[j];
        }
    }
    return chemistry ? ec + chemistry_ec(ions) - e->ions_ec : ec;
}

/* Forward differences over a step that adds 1e-5 mol/L of ions, about 0.001 mS/cm. */
void aq_expect_slopes(const aq_expectation *e, const double *x, double *slopes)
{
    double tank[AQ_ION_COUNT], now = NAN;

    memcpy(tank, e->ions, sizeof tank);
    for (size_t j = 0; j < e->count; j++)
        if (by_chemistry(&e->columns[j]))
            add_ions(tank, &e->columns[j], x[j]);
    for (size_t j = 0; j < e->count; j++) {
        double ions[AQ_ION_COUNT] = { 0 }, step;

        slopes[j] = e->columns[j].slope;
        if (!by_chemistry(&e->columns[j]))
            continue;
        if (isnan(now))
            now = chemistry_ec(tank);
        add_ions(ions, &e->columns[j], 1);
        step = 1e-5 / amount_of_ions(ions);
        memcpy(ions, tank, sizeof ions);
        add_ions(ions, &e->columns[j], step);
        slopes[j] = isinf(step) ? 0 : (chemistry_ec(ions) - now) / step;
    }
}
