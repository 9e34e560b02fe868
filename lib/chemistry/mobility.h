/* How well each form carries current: molar conductivities. Internal to the room. */
#ifndef AQ_CHEMISTRY_MOBILITY_H
#define AQ_CHEMISTRY_MOBILITY_H

#include "chemistry/pair.h"

typedef struct {
    const char *name; /* of the species, so that a test can see that the two tables agree */
    double at_25;     /* S cm2/mol of ion at infinite dilution and 25 degC; 0: uncharged */
    double by_heat
        [3];      /* lambda(t) = at_25 (h2 t^2 + h1 t + h0) / (the same at 25), t in degC; all 0: as SO4-2 */
    double width; /* B: its conductivity falls by slope sqrt(I) / (1 + B sqrt(I)) */
} aq_mobility;

const aq_mobility *aq_mobility_of(int species);

/* At infinite dilution. */
double aq_mobility_limit(int species, double celsius);

#endif
