/* Density of solutions of salts, for the litres that a stock tank's grams come to. */
#ifndef AQ_CHEMISTRY_DENSITY_H
#define AQ_CHEMISTRY_DENSITY_H

#include "base/error.h"

typedef struct {
    /* the anhydrous salt; a hydrate's crystal water counts as water and the rest as the salt */
    const char *formula;
    double amount; /* a share of the mass of the solution, or g in a litre of it, as the function says */
} aq_solute;

/* g/L of a solution with shares of mass (as sold, crystal water included) of up to 16 salts. False, and 0, where a
 * salt has no coefficients, or the shares or the temperature (0 to 50 degC) make no sense. */
AQ_API bool aq_density_of_shares(double *g_per_litre, const aq_solute *solutes, size_t count, double celsius);

/* The same from g of each salt in a litre of the solution. */
AQ_API bool aq_density_of_litre(double *g_per_litre, const aq_solute *solutes, size_t count, double celsius);

/* Whether a salt, in whatever hydrate, has coefficients. */
AQ_API bool aq_density_known(const char *formula);

#endif
