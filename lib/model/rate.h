/* Limits that one row cannot state, because a rate may be by volume or by mass, and an EC slope too. */
#ifndef AQ_MODEL_RATE_H
#define AQ_MODEL_RATE_H

#include "document/field.h"

/* Complains about a rate above AQ_RATE_MOST (L/L); one by mass its row limits. `of` is the path to it. */
aq_status aq_rate_check(aq_walk *walk, aq_quantity rate, aq_place place, const char *of);
aq_status aq_rates_check(aq_walk *walk, const aq_amounts *rates, const char *of);

/* Complains about a slope that is more than matter can carry. */
aq_status aq_slope_check(aq_walk *walk, const aq_slope *slope, aq_place place);

#endif
