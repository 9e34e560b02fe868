/* A formula split into the ions that it gives to water. */
#ifndef AQ_CHEMISTRY_SPLIT_H
#define AQ_CHEMISTRY_SPLIT_H

#include "chemistry/formula.h"
#include "chemistry/ion.h"

/* mol of each ion, and of urea, in 1 mol of the formula. False where it cannot be split. */
bool aq_split(double ions[AQ_ION_COUNT], double *urea, const aq_formula *formula);

#endif
