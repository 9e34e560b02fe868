/* How fast a tank is drunk, and at what strength, from pairs of readings with nothing added in between.
 *
 * Litres a day and uptake strength of each pair come from solve/drift.h; of the pairs the middle one counts, so that a level
 * misread once does no harm. Its standard uncertainty is 1.2533 s / sqrt n with s = 1.4826 times the median distance from
 * it: both constants are those of normal errors (sqrt(pi / 2), and 1 over the upper quartile 0.6745). */
#include <math.h>
#include <stdlib.h>

#include "job/recalling.h"
#include "solve/drift.h"

static const double least_days =
    0.2; /* closer readings tell of the meter, not the plants (common practice, no source) */

static double days_between(aq_moment from, aq_moment to)
{
    double days = (double)aq_date_between(from.date, to.date);

    return from.minute < 0 || to.minute < 0 ? days : days + (to.minute - from.minute) / 1440.0;
}

static bool add_pair(aq_recall *recall, aq_recalled_drinking *tank, double uses, double uptake)
{
    double *one, *other;

    if (!(uses > 0) || !(uptake >= 0)) /* NaN: the level did not fall */
        return true;
    one = aq_list_add(recall->arena, &tank->uses, sizeof *one);
    other = aq_list_add(recall->arena, &tank->uptake, sizeof *other);
    if (!one || !other)
        return false;
    *one = uses;
    *other = uptake;
    return true;
}

static bool drink(aq_recall *recall, aq_recalled_drinking *tank, const aq_entry *entry)
{
    aq_tank_state before = { tank->volume, tank->ec };
    aq_tank_state after = { entry->volume.value, entry->ec_after.value };
    double days = days_between(tank->at, entry->at);

    return days < least_days ||
           add_pair(recall, tank, aq_drift_uses(before, after, days), aq_drift_uptake(before, after));
}

bool aq_recall_drink(aq_recall *recall, size_t at, const aq_entry *entry)
{
    aq_recalled_drinking *tank = &recall->drinking.at[at];
    bool reading = entry->kind == AQ_ENTRY_READING, whole = entry->volume.given && entry->ec_after.given;

    if (reading && !whole)
        return true;
    if (reading && tank->known && !drink(recall, tank, entry))
        return false;
    tank->known = whole;
    tank->volume = entry->volume.value;
    tank->ec = entry->ec_after.value;
    tank->at = entry->at;
    return true;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Sorts; the middle one, or the mean of the two there. */
static double middle(double *values, size_t count)
{
    qsort(values, count, sizeof *values, compare);
    return (values[(count - 1) / 2] + values[count / 2]) / 2;
}

/* The middle with its tolerance. Afterwards `values` are distances from it. */
static double middle_within(double *values, size_t count, double *within)
{
    double value = middle(values, count);

    for (size_t i = 0; i < count; i++)
        values[i] = fabs(values[i] - value);
    *within = 2 * 1.2533 * 1.4826 * middle(values, count) / sqrt((double)count);
    return value;
}

void aq_recall_drinking(aq_recall *recall)
{
    for (size_t i = 0; i < recall->drinking.count; i++) {
        aq_recalled_drinking *tank = &recall->drinking.at[i];
        aq_tank_recalled *known = &recall->memory.tanks.at[i];
        size_t count = tank->uses.count;

        if (count < AQ_LEARNED_FROM || known->pairs)
            continue;
        known->pairs = count;
        known->uses = aq_quantity_of(middle_within(tank->uses.at, count, &known->uses_within), AQ_KIND_FLOW);
        known->uptake =
            aq_quantity_of(middle_within(tank->uptake.at, count, &known->uptake_within), AQ_KIND_EC);
    }
}
