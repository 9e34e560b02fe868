/* What an amount of one thing comes to when it is counted as another: potassium nitrate as N or K2O, nitrate as NO3-N,
 * alkalinity as CaCO3 or HCO3, a hormone's salt as the hormone.
 *
 * Names are formulas, names that aq_formula_of_name knows, and an element behind what holds it: NO3-N. */
#ifndef AQ_JOB_COUNTED_H
#define AQ_JOB_COUNTED_H

#include "base/error.h"

/* The formula of what is weighed: of "urea" CO(NH2)2, of "NO3-N" N, of any other name the name itself. */
const char *aq_counted_formula(const char *name);

/* Charges of one ion, or those that one of what water is counted as takes up; 0: not known here. NO3-N is the N of the
 * ion before the dash, and has its charge: no ion holds two of what it is counted as. */
int aq_counted_charges(const char *name);

/* g of `as` in a g of `of`: by the element that both hold; of a salt's nitrogen only what has the form that is named;
 * by charge where one of them is CaCO3 and the other an ion. AQ_CONFLICT where one does not hold the other, and where two
 * organic substances differ by more than hydrogen, water and a base's metal: no hormone is another one. Other statuses
 * where a name is no formula. */
aq_status aq_counted_as(double *factor, const char *of, const char *as, aq_error *err);

#endif
