/* The budget behind each tolerance, and the law of propagation of uncertainty over it.
 *
 * Example: 1.24 mS/cm added on first use: 5 % of it is 0.062, the water and the meter are 0.05, so the sheet says
 * 2 x 0.062 = 0.124, and u(e) = sqrt(0.062^2 + 0.05^2) = 0.080. */
#include "solve/uncertainty.h"

#include <math.h>

/* The shares of the 5 % and of the 0.05 mS/cm among the inputs are common practice, no source: a label's slope is the
 * least sure, then the mark of the tank, then the syringe. */
static const aq_budget first = {
    .slope = 0.04, .volume = 0.024, .pour = 0.018, .water = 0.03, .meter = 0.04
};

aq_budget aq_budget_first(void)
{
    return first;
}

aq_budget aq_budget_learned(double slope_relative)
{
    return (aq_budget){
        .slope = fmax(first.slope / 2, slope_relative),
        .volume = first.volume / 2,
        .pour = first.pour / 2,
        .water = first.water / 2,
        .meter = first.meter / 2,
        .learned = true,
    };
}

/* Squares and roots, not hypot: all are near 1, and a fit to a long log asks tens of thousands of times. */
static double square(double x)
{
    return x * x;
}

static double fixed(const aq_budget *budget)
{
    return sqrt(square(budget->water) + square(budget->meter));
}

static double growing(const aq_budget *budget, double added)
{
    return fabs(added) * sqrt(square(budget->slope) + square(budget->volume) + square(budget->pour));
}

double aq_uncertainty(const aq_budget *budget, double added)
{
    return sqrt(square(budget->water) + square(budget->meter) +
                square(added) * (square(budget->slope) + square(budget->volume) + square(budget->pour)));
}

double aq_tolerance(const aq_budget *budget, double added)
{
    return 2 * fmax(fixed(budget), growing(budget, added));
}
