/* Closed forms of a tank that plants drink from.
 *
 * Example: 80 L at 1.8 mS/cm, later 62 L at 2.05: salts went from 144 to 127.1, so 16.9 / 18 L = 0.939 mS/cm was taken
 * with each litre. */
#include "solve/drift.h"

#include <math.h>

static double salts(aq_tank_state tank)
{
    return tank.volume > 0 ? tank.volume * tank.ec : 0;
}

aq_tank_state aq_tank_mixed(aq_tank_state one, aq_tank_state other)
{
    double volume = one.volume + other.volume;

    return (aq_tank_state){ volume, volume > 0 ? (salts(one) + salts(other)) / volume : NAN };
}

aq_tank_state aq_drift_after(aq_tank_state now, double uses, double uptake, double days)
{
    double drunk = uses * days;

    if (drunk >= now.volume)
        return (aq_tank_state){ 0, NAN };
    return (aq_tank_state){ now.volume - drunk, fmax(salts(now) - uptake * drunk, 0) / (now.volume - drunk) };
}

double aq_drift_crosses(aq_tank_state now, double uses, double uptake, double limit)
{
    /* S - u q t = limit (V - q t): the litres drunk by then. */
    double drunk = now.volume * (now.ec - limit) / (uptake - limit);

    if (now.ec == limit)
        return 0;
    if (isnan(drunk) || isnan(uses))
        return NAN;
    if (uses <= 0 || drunk < 0 || drunk >= now.volume)
        return INFINITY;
    return drunk / uses;
}

double aq_drift_uptake(aq_tank_state before, aq_tank_state after)
{
    double drunk = before.volume - after.volume;

    return drunk > 0 ? (salts(before) - salts(after)) / drunk : NAN;
}

double aq_drift_uses(aq_tank_state before, aq_tank_state after, double days)
{
    return days > 0 ? (before.volume - after.volume) / days : NAN;
}

double aq_drift_drop(double volume, double uses, double uptake, double water_ec)
{
    return uses * (uptake - water_ec) / volume;
}
