/* How far a salt dissolves. */
#ifndef AQ_CHEMISTRY_SOLUBILITY_H
#define AQ_CHEMISTRY_SOLUBILITY_H

#include "chemistry/composition.h"

typedef struct {
    const char *name, *solid; /* as the table has it: "magnesium sulfate", "MgSO4.7H2O" */
    double share;             /* g of anhydrous salt in a g of saturated solution */
    /* g of the product asked about, its crystal water included, that 1 kg of water takes up; INFINITY where
     * it would melt in its own */
    double per_water;
    double per_litre; /* g of the product in a litre of saturated solution */
    double density;   /* g/L of the saturated solution */
    bool beyond;      /* `celsius` lies outside the table, whose nearest row this is */
} aq_soluble;

/* Of one salt alone in water. False, and zeroed, where the table does not have it or `celsius` is not -5 to 50. A
 * hydrate is found by its anhydrous salt; the figures are of the product asked about. Store a fifth less: others in
 * the tank lower it, and so does a colder night. */
AQ_API bool aq_solubility(aq_soluble *out, const char *formula, double celsius);

/* The solids of the table one by one, from row 0: "MgSO4.7H2O"; NULL after the last. */
AQ_API const char *aq_solubility_solid(size_t row);

#endif
