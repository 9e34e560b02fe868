/* How sure an expected EC is: two standard uncertainties by JCGM 100:2008 (GUM), section 5, uncorrelated inputs.
 *
 * e = e_0 + k m / V, so u^2(e) = u_w^2 + (k m / V)^2 (u_r^2(k) + u_r^2(m) + u_r^2(V)) + u_meter^2, with relative
 * standard uncertainties u_r. On first use the trade's rule is kept: the tolerance is 0.10 mS/cm or 10 % of the added
 * EC, whichever is larger; once a slope was learned from three mixes, 0.05 or 5 %, or what the fit says if larger. */
#ifndef AQ_SOLVE_UNCERTAINTY_H
#define AQ_SOLVE_UNCERTAINTY_H

#include "base/error.h"

/* Standard uncertainties (one sigma). */
typedef struct {
    double slope, volume, pour; /* relative */
    double water, meter;        /* mS/cm */
    bool learned;               /* the slope comes from the log */
} aq_budget;

/* First use: slope 4 %, volume 2.5 %, pour 1.7 %, together 5 %; water and meter together 0.05 mS/cm. */
AQ_API aq_budget aq_budget_first(void);
/* Learned: together 2.5 % and 0.025 mS/cm, or the fit's own slope uncertainty where that is larger. */
AQ_API aq_budget aq_budget_learned(double slope_relative);

/* Tolerance (two standard uncertainties) of a reading after `added` mS/cm were dosed. */
AQ_API double aq_tolerance(const aq_budget *budget, double added);

#endif
