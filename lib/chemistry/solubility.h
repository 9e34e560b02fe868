/* How far a salt dissolves, and which salts must not share a concentrate. */
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

/* An ion that both bring, which makes each dissolve less; AQ_ION_COUNT: none. */
AQ_API aq_ion aq_common_ion(const aq_composition *a, const aq_composition *b);

/* Sulfate, phosphate or carbonate of one that the calcium of the other brings down in a concentrate; AQ_ION_COUNT:
 * none. A carbonate that only stands for what a label leaves out does not count. */
AQ_API aq_ion aq_calcium_meets(const aq_composition *a, const aq_composition *b);

#endif
