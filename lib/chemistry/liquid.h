/* Liquids by their strength: density, and a strength by mass, by volume and by mass per volume.
 *
 * 35 % peroxide by mass is 0.35 x 1131 = 396 g in a litre: without the density, 3 % made from it would be 13 % too
 * strong. */
#ifndef AQ_CHEMISTRY_LIQUID_H
#define AQ_CHEMISTRY_LIQUID_H

#include "measure/unit.h"

typedef struct {
    double percent; /* by mass */
    double density; /* g/mL at 20 degC */
} aq_liquid_row;

typedef struct {
    double percent;    /* by mass */
    double per_degree; /* g/mL that 1 degC adds near 20 degC: below 0 */
} aq_liquid_warming;

typedef struct {
    const char *name, *formula;
    double pure; /* g/mL of the pure liquid at 20 degC, for strengths by volume; 0: it is not sold so */
    const aq_liquid_row *rows;
    size_t count;
    const aq_liquid_warming *warming; /* NULL: the density model of the salts, where it knows the liquid */
    size_t warming_count;
} aq_liquid;

/* By a name of aq_formula_of_name or by formula; NULL: not one of these. */
AQ_API const aq_liquid *aq_liquid_find(const char *name);

/* The whole table, in no order. */
AQ_API const aq_liquid *aq_liquid_table(size_t *count);

/* g/L at a share of mass (0 to 1) and temperature: between the rows of 20 degC, moved to `celsius`. Nitric, phosphoric
 * and sulfuric acid and potassium hydroxide go by the density model of chemistry/density.h, peroxide and the alcohols by
 * what a degree changes near 20 degC; citric acid stays at 20 degC. False, and 0, outside the rows or where `celsius` is
 * not 0 to 50. */
AQ_API bool aq_liquid_density(double *g_per_litre, const aq_liquid *liquid, double share, double celsius);

/* Whether a temperature moves its density: false for citric acid. */
AQ_API bool aq_liquid_warms(const aq_liquid *liquid);

/* The share of mass that a strength amounts to, at 20 degC: AQ_BASIS_WW g/g, AQ_BASIS_WV g/L, AQ_BASIS_VV L/L.
 * False, and 0, beyond the rows, or by volume of a liquid that is not sold so. */
AQ_API bool aq_liquid_share(double *share, const aq_liquid *liquid, double strength, aq_basis basis);

/* And back: the strength of a share of mass. */
AQ_API bool aq_liquid_strength(double *strength, const aq_liquid *liquid, double share, aq_basis basis);

/* L of water that it takes to bring `litres` of one share of mass to another one, at 20 degC, and L of mixture that
 * come of it: less than both together, for alcohol and water shrink. False where `to` is not below `from`. */
AQ_API bool aq_liquid_dilute(double *water, double *made, const aq_liquid *liquid, double litres, double from,
                             double to);

#endif
