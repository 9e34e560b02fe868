/* Calibration standards: what a potassium chloride standard reads at another temperature than 25 degC.
 *
 * A bottle marked 1413 uS/cm has that EC at 25 degC only; at 20 degC it is 1278, which is what a meter without
 * temperature correction must show. Between 0 and 35 degC by the measured ratios of Wu, Koch and Pratt, J. Res. NIST 96
 * (1991) 191, as in the CRC Handbook's table of standard KCl solutions; outside it, the nearest row's slope. */
#ifndef AQ_CHEMISTRY_STANDARD_H
#define AQ_CHEMISTRY_STANDARD_H

#include "base/error.h"

/* mS/cm at `celsius` of a KCl standard that has `at_25` mS/cm at 25 degC (0.1 to 120). */
AQ_API double aq_standard_at(double at_25, double celsius);

#endif
