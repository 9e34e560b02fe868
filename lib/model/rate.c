/* Rates and slopes against the limit of their kind: 500 mL/L is half a tank, 500 g/L is a stock, and what is more than a
 * kilogram in a litre the rows themselves refuse. */
#include "model/rate.h"

#include "base/decimal.h"
#include "model/limits.h"

aq_status aq_rate_check(aq_walk *walk, aq_quantity rate, aq_place place, const char *of)
{
    char found[AQ_DECIMAL_ROOM];

    if (aq_kind_equal(rate.kind, AQ_KIND_RATE) && rate.value > AQ_RATE_MOST) {
        aq_decimal_figures(rate.value * 1000, 6, false, found);
        return aq_walk_fail(walk, AQ_OUT_OF_RANGE, place,
                            "%s: %s mL/L is more than 500 mL/L, half of the tank", of, found);
    }
    return AQ_OK;
}

aq_status aq_rates_check(aq_walk *walk, const aq_amounts *rates, const char *of)
{
    aq_status status = AQ_OK;

    for (size_t i = 0; i < rates->count; i++)
        if (aq_rate_check(walk, rates->at[i].amount, rates->at[i].place, of) != AQ_OK)
            status = AQ_OUT_OF_RANGE;
    return status;
}

aq_status aq_slope_check(aq_walk *walk, const aq_slope *slope, aq_place place)
{
    bool by_volume = !slope->by_mass && !slope->element[0];
    double most = by_volume ? AQ_SLOPE_MOST : AQ_SLOPE_MASS_MOST;

    if (slope->value > most)
        return aq_walk_fail(walk, AQ_OUT_OF_RANGE, place, "ec: more than %s, which no product can add",
                            by_volume ? "30 mS/cm per mL/L" : "12 mS/cm per g/L");
    return AQ_OK;
}
