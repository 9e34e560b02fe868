/* How fast a tank is drunk, and at what strength, from pairs of readings with nothing added in between.
 *
 * Litres a day and uptake strength of each pair come from solve/drift.h. The typical ones (solve/typical.h) are all litres
 * over all days, and all salts over all litres, with a pair in which a level was misread left out: for each stage of a
 * tank, because rooted cuttings drink otherwise than fresh ones, and for all of them together. */
#include <math.h>
#include <string.h>

#include "job/recalling.h"
#include "model/schedule.h"
#include "solve/drift.h"
#include "solve/typical.h"

static const double least_days =
    0.2; /* closer readings tell of the meter, not the plants (common practice, no source) */

static double days_between(aq_moment from, aq_moment to)
{
    double days = (double)aq_date_between(from.date, to.date);

    return from.minute < 0 || to.minute < 0 ? days : days + (to.minute - from.minute) / 1440.0;
}

static bool drink(aq_recall *recall, aq_recalled_drinking *tank, const aq_entry *entry)
{
    aq_tank_state before = { tank->volume, tank->ec };
    aq_tank_state after = { entry->volume.value, entry->ec_after.value };
    double days = days_between(tank->at, entry->at);
    double uses = aq_drift_uses(before, after, days), uptake = aq_drift_uptake(before, after);
    aq_recalled_pair *pair;

    if (days < least_days || !(uses > 0) || !(uptake >= 0)) /* NaN: the level did not fall */
        return true;
    pair = aq_list_add(recall->arena, &tank->pairs, sizeof *pair);
    if (!pair)
        return false;
    *pair = (aq_recalled_pair){ uses, days, uptake, uses * days, tank->stage, entry->at.date };
    return true;
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
    tank->stage = aq_recall_stage(recall, entry);
    return true;
}

/* ---- what is typical ---- */

static bool of_stage(const aq_recalled_pair *pair, const char *stage)
{
    return !stage || (pair->stage && strcmp(pair->stage, stage) == 0);
}

/* Of the pairs of that stage, NULL: of all. Nothing is added where there are too few. */
static bool add_drinking(aq_recall *recall, const char *reservoir, const aq_recalled_drinking *tank,
                         const char *stage)
{
    aq_drinking found = { .reservoir = reservoir, .stage = stage }, *place;
    aq_finding *uses = aq_arena_take_array(recall->arena, 2 * tank->pairs.count + 1, sizeof *uses);
    aq_finding *uptake = uses ? uses + tank->pairs.count : NULL;
    aq_typical typical;

    if (!uses)
        return false;
    for (size_t i = 0; i < tank->pairs.count; i++) {
        const aq_recalled_pair *pair = &tank->pairs.at[i];

        if (!of_stage(pair, stage))
            continue;
        uses[found.pairs] = (aq_finding){ pair->uses, pair->days };
        uptake[found.pairs++] = (aq_finding){ pair->uptake, pair->litres };
        found.last = pair->last;
    }
    if (found.pairs < AQ_LEARNED_FROM)
        return true;
    typical = aq_typical_of(uses, found.pairs);
    found.uses = aq_quantity_of(typical.value, AQ_KIND_FLOW);
    found.uses_within = typical.within;
    typical = aq_typical_of(uptake, found.pairs);
    found.uptake = aq_quantity_of(typical.value, AQ_KIND_EC);
    found.uptake_within = typical.within;
    place = aq_list_add(recall->arena, &recall->memory.drinking, sizeof *place);
    if (place)
        *place = found;
    return place != NULL;
}

static bool first_of_stage(const aq_recalled_drinking *tank, size_t at)
{
    for (size_t i = 0; i < at; i++)
        if (of_stage(&tank->pairs.at[i], tank->pairs.at[at].stage))
            return false;
    return true;
}

static bool add_tank(aq_recall *recall, size_t at)
{
    const aq_recalled_drinking *tank = &recall->drinking.at[at];
    const char *name = recall->memory.tanks.at[at].reservoir;

    for (size_t i = 0; i < tank->pairs.count; i++)
        if (tank->pairs.at[i].stage && first_of_stage(tank, i) &&
            !add_drinking(recall, name, tank, tank->pairs.at[i].stage))
            return false;
    return add_drinking(recall, name, tank, NULL);
}

static void take_level(aq_tank_recalled *known, const aq_recalled_drinking *tank)
{
    known->level_at = tank->at;
    known->level.given = known->level_ec.given = false;
    if (!tank->known)
        return;
    known->level = aq_quantity_of(tank->volume, AQ_KIND_VOLUME);
    known->level_ec = aq_quantity_of(tank->ec, AQ_KIND_EC);
}

bool aq_recall_drinking(aq_recall *recall)
{
    recall->memory.drinking.count = 0;
    for (size_t i = 0; i < recall->drinking.count; i++) {
        aq_tank_recalled *known = &recall->memory.tanks.at[i];
        aq_entry today = { .reservoir = known->reservoir, .at = { recall->today, -1 } };

        if (!add_tank(recall, i))
            return false;
        take_level(known, &recall->drinking.at[i]);
        known->stage = aq_recall_stage(recall, &today);
    }
    return true;
}
