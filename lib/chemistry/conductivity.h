/* Electrical conductivity of a solution from what is in it, and what a meter makes of it. */
#ifndef AQ_CHEMISTRY_CONDUCTIVITY_H
#define AQ_CHEMISTRY_CONDUCTIVITY_H

#include "chemistry/speciation.h"

/* mS/cm at the temperature (0 to 50 degC) at which the solution was speciated. */
AQ_API double aq_conductivity(const aq_speciated *speciated, double celsius);

/* EC, mS/cm at 25 degC, whatever the temperature of `solution`; 0 where aq_speciate would refuse it. Smooth in the
 * amounts. About 15 us. */
AQ_API double aq_ec_of(const aq_solution *solution);

/* Within what share of itself a conductivity so computed is right in nine waters of ten, for the waters of
 * Stuyfzand 1987 between 0.003 and 0.6 mol/kg: from 0.05 in a soft, dilute one, more with hardness (pairs) and
 * ionic strength. An analysis that does not balance is worse. */
AQ_API double aq_ec_within(const aq_speciated *speciated);

/* S cm2/mol of an ion, in its form of reference, alone in much water at 25 degC; times mol/L gives mS/cm. The plain
 * sum of these is 8 to 28 % too high at the strength of a feed: for differences only. */
AQ_API double aq_ion_conductivity(aq_ion ion);

/* What a reading at `celsius` is to be multiplied by to have it at 25 degC. Natural waters: the non-linear function
 * of ISO 7888:1985, 0 to 35 degC (outside, the slope of the nearest degree), meant for waters of 0.06 to 1 mS/cm.
 * Linear: `coefficient` per degC, 0.02 in most hand-held meters. */
AQ_API double aq_to_25_natural(double celsius);
AQ_API double aq_to_25_linear(double celsius, double coefficient);

#endif
