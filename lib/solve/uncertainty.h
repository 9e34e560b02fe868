/* How sure an expected EC is: by JCGM 100:2008 (GUM), section 5.1.2, uncorrelated inputs.
 *
 * e = e_0 + k m / V, so u^2(e) = u_0^2 + u_meter^2 + (k m / V)^2 (u_r^2(k) + u_r^2(m) + u_r^2(V)), with relative
 * standard uncertainties u_r. The first two do not grow with the dose, the last three do, in proportion.
 *
 * The tolerance printed on a sheet is the rule that growers keep (common practice, no source): on first use 0.10 mS/cm
 * or 10 % of the added EC, whichever is larger; once a slope was learned from three mixes, 0.05 or 5 %, or more where
 * the fit says so. It is two standard uncertainties of the larger of the two kinds, not of their root sum, so it is
 * narrower than 2 u(e) by up to a factor of sqrt 2 where both kinds are alike (1 mS/cm on first use). */
#ifndef AQ_SOLVE_UNCERTAINTY_H
#define AQ_SOLVE_UNCERTAINTY_H

#include "base/error.h"

/* Standard uncertainties (one sigma). */
typedef struct {
    double slope, volume, pour; /* relative */
    double water, meter;        /* mS/cm */
    bool learned;               /* the slope comes from the log */
} aq_budget;

/* First use: slope 4 %, volume 2.4 %, pour 1.8 %, together 5 %; water 0.03 and meter 0.04, together 0.05 mS/cm. */
AQ_API aq_budget aq_budget_first(void);

/* Learned: half of each, together 2.5 % and 0.025 mS/cm; the fit's own relative standard uncertainty of the slope
 * takes the place of the 2 % where it is larger. */
AQ_API aq_budget aq_budget_learned(double slope_relative);

/* u(e), one standard uncertainty, of a reading after `added` mS/cm were dosed. */
AQ_API double aq_uncertainty(const aq_budget *budget, double added);

/* The tolerance of a sheet, as above, after `added` mS/cm were dosed. */
AQ_API double aq_tolerance(const aq_budget *budget, double added);

#endif
