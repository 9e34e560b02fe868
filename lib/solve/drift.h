/* Level and EC of a tank between jobs: what the plants drink, and what they take with it.
 *
 * Plants drink q litres a day and take u mS/cm of salts with each litre, so V' = -q and S' = -u q for the salts
 * S = V e (in mS/cm times L). Both are straight lines, hence e(t) = (S - u q t) / (V - q t): EC climbs while u is below
 * it, falls while u is above it, and stands still at u. Uptake strength is what soilless culture calls uptake
 * concentration, as an EC (Sonneveld and Voogt, Plant Nutrition of Greenhouse Crops, 2009; from memory).
 *
 * Litres, mS/cm at 25 degC and days; nothing here fails: what makes no sense comes back as NaN. */
#ifndef AQ_SOLVE_DRIFT_H
#define AQ_SOLVE_DRIFT_H

#include "base/error.h"

typedef struct {
    double volume, ec;
} aq_tank_state;

/* What two solutions make together; NaN EC for nothing at all. A volume of 0 needs no EC. */
AQ_API aq_tank_state aq_tank_mixed(aq_tank_state one, aq_tank_state other);

/* `now` after `days` at `uses` L/d. The level stops at 0, where EC is NaN; salts stop at 0. */
AQ_API aq_tank_state aq_drift_after(aq_tank_state now, double uses, double uptake, double days);

/* Days until EC is `limit`: 0 where it already is, INFINITY where it never will be before the tank is dry. */
AQ_API double aq_drift_crosses(aq_tank_state now, double uses, double uptake, double limit);

/* Uptake strength between two readings of one tank, mS/cm: salts lost per litre lost. Below 0 where salts were
 * gained; NaN unless the level fell. Evaporation takes no salt, so it is already counted. */
AQ_API double aq_drift_uptake(aq_tank_state before, aq_tank_state after);

/* L/d between two readings `days` apart; NaN unless `days` is above 0. */
AQ_API double aq_drift_uses(aq_tank_state before, aq_tank_state after, double days);

/* mS/cm a day by which a tank of `volume`, topped up each day with plain water of `water_ec`, falls (above 0) or rises:
 * q (u - e_w) / V, the same every day whatever its EC. */
AQ_API double aq_drift_drop(double volume, double uses, double uptake, double water_ec);

#endif
