/* Strengths of liquids, from one table of densities.
 *
 * Between rows: a cubic through the neighbours' slopes, which follows the bends of alcohol in water to 0.001 g/mL
 * where a straight line is 0.002 off.
 * Example: 70 % of isopropyl alcohol by volume is 62.7 % by mass (0.627 x 0.8759 / 0.7848 = 0.70); 353.5 mL of 99 %
 * need 159.5 mL of water for it, not 146.5, and make 500 mL. */
#include "chemistry/liquid.h"

#include <math.h>
#include <string.h>

#include "chemistry/density.h"
#include "chemistry/formula.h"

const aq_liquid *aq_liquid_find(const char *name)
{
    size_t count;
    const aq_liquid *table = aq_liquid_table(&count);
    const char *formula = aq_formula_of_name(name);

    for (size_t i = 0; i < count; i++)
        if (strcmp(table[i].formula, formula ? formula : name) == 0)
            return &table[i];
    return NULL;
}

/* The slope at a row: through its neighbours, one-sided at the ends. */
static double slope(const aq_liquid_row *rows, size_t count, size_t i)
{
    size_t before = i > 0 ? i - 1 : i, after = i + 1 < count ? i + 1 : i;

    return (rows[after].density - rows[before].density) / (rows[after].percent - rows[before].percent);
}

/* g/mL at 20 degC. */
static double at_20(const aq_liquid *liquid, double percent)
{
    const aq_liquid_row *rows = liquid->rows;
    size_t i = 0;

    while (i + 2 < liquid->count && percent > rows[i + 1].percent)
        i++;
    double width = rows[i + 1].percent - rows[i].percent, t = (percent - rows[i].percent) / width, u = 1 - t;
    return u * u * (1 + 2 * t) * rows[i].density + t * t * (1 + 2 * u) * rows[i + 1].density +
           t * u * width * (u * slope(rows, liquid->count, i) - t * slope(rows, liquid->count, i + 1));
}

/* g/mL that a degree adds: straight between the rows. */
static double change(const aq_liquid *liquid, double percent)
{
    const aq_liquid_warming *at = liquid->warming;
    size_t i = 0;

    while (i + 2 < liquid->warming_count && percent > at[i + 1].percent)
        i++;
    return at[i].per_degree + (percent - at[i].percent) / (at[i + 1].percent - at[i].percent) *
                                  (at[i + 1].per_degree - at[i].per_degree);
}

bool aq_liquid_warms(const aq_liquid *liquid)
{
    return liquid->warming || aq_density_known(liquid->formula);
}

bool aq_liquid_density(double *g_per_litre, const aq_liquid *liquid, double share, double celsius)
{
    aq_solute solute = { liquid->formula, share };
    double cold, warm;

    *g_per_litre = 0;
    if (!(share >= 0 && 100 * share <= liquid->rows[liquid->count - 1].percent && celsius >= 0 &&
          celsius <= 50))
        return false;
    *g_per_litre = 1000 * at_20(liquid, 100 * share);
    if (liquid->warming)
        *g_per_litre += 1000 * change(liquid, 100 * share) * (celsius - 20);
    else if (fabs(celsius - 20) > 1e-9 && aq_density_of_shares(&cold, &solute, 1, 20) &&
             aq_density_of_shares(&warm, &solute, 1, celsius))
        *g_per_litre *= warm / cold;
    return true;
}

bool aq_liquid_strength(double *strength, const aq_liquid *liquid, double share, aq_basis basis)
{
    double density;

    *strength = 0;
    if (!aq_liquid_density(&density, liquid, share, 20) || (basis == AQ_BASIS_VV && liquid->pure <= 0))
        return false;
    if (basis == AQ_BASIS_WW)
        *strength = share;
    else
        *strength = basis == AQ_BASIS_WV ? share * density : share * density / (1000 * liquid->pure);
    return true;
}

bool aq_liquid_share(double *share, const aq_liquid *liquid, double strength, aq_basis basis)
{
    double low = 0, high = liquid->rows[liquid->count - 1].percent / 100, at_high;

    *share = 0;
    if (!aq_liquid_strength(&at_high, liquid, high, basis) || !(strength >= 0 && strength <= at_high))
        return false;
    for (int i = 0; i < 60; i++) { /* mass per volume rises with the share, so halving finds it */
        double middle = (low + high) / 2, at_middle;
        aq_liquid_strength(&at_middle, liquid, middle, basis);
        if (at_middle < strength)
            low = middle;
        else
            high = middle;
    }
    *share = basis == AQ_BASIS_WW ? strength : high;
    return true;
}

bool aq_liquid_dilute(double *water, double *made, const aq_liquid *liquid, double litres, double from,
                      double to)
{
    double strong, weak;

    *water = *made = 0;
    if (!(to > 0 && to < from) || !aq_liquid_density(&strong, liquid, from, 20) ||
        !aq_liquid_density(&weak, liquid, to, 20))
        return false;
    double mass = litres * strong * from / to;
    *water = (mass - litres * strong) / (1000 * liquid->rows[0].density);
    *made = mass / weak;
    return true;
}
