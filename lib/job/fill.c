/* What the line left unanswered, taken from the site and the recipe.
 *
 * The steps stand in the order in which they need each other: the tank names its water and recipe, the recipe holds the
 * stages, the stage holds the aim. A job takes part in a step by having the row that the step fills. */
#include "job/filling.h"
#include "job/remember.h"
#include "job/rows.h"
#include "job/show.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double meter_trust =
    0.005; /* a factor nearer to 1 than half a percent changes no dose that one can see */

bool aq_filling_asks(const aq_filling *f, size_t into)
{
    for (size_t i = 0; i < f->job->asks->count; i++)
        if (f->job->asks->fields[i].into == into)
            return true;
    return false;
}

static bool said_in_line(const aq_filling *f, const char *key)
{
    return aq_node_get(f->answers, key) != NULL;
}

aq_status aq_filling_complain(aq_filling *f, aq_status status, aq_place place, const char *format, ...)
{
    aq_error err = { .status = AQ_OK };
    char text[AQ_ERROR_TEXT];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    aq_fail(&err, status, place, "%s", text);
    aq_complain(f->complaints, &err);
    return status;
}

aq_status aq_filling_no_memory(aq_filling *f)
{
    return aq_filling_complain(f, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory");
}

/* "no reservoir is called Tray; did you mean Trays?" */
aq_status aq_filling_unknown(aq_filling *f, aq_place place, const char *noun, const char *name,
                             const aq_texts *known)
{
    const char **words = aq_arena_take_array(f->arena, known->count + 1, sizeof *words);
    const char *near;

    if (!words)
        return aq_filling_no_memory(f);
    if (!known->count)
        return aq_filling_complain(f, AQ_UNKNOWN_NAME, place, "no %s is called %s; none is declared", noun,
                                   name);
    memcpy(words, known->at, known->count * sizeof *words);
    near = aq_nearest(name, words);
    if (near)
        return aq_filling_complain(f, AQ_UNKNOWN_NAME, place, "no %s is called %s; did you mean %s?", noun,
                                   name, near);
    return aq_filling_complain(f, AQ_UNKNOWN_NAME, place, "no %s is called %s; the first there is %s", noun,
                               name, words[0]);
}

/* The names of a list of entries: `name_at` is where the name stands in an entry of `size`. */
aq_texts aq_filling_names(aq_filling *f, const void *entries, size_t count, size_t size, size_t name_at)
{
    aq_texts names = { 0 };

    for (size_t i = 0; i < count; i++) {
        const char *const *name = (const void *)((const char *)entries + i * size + name_at);
        const char **place = *name ? aq_list_add(f->arena, &names, sizeof *place) : NULL;

        if (place)
            *place = *name;
    }
    return names;
}

aq_status aq_filling_take(aq_filling *f, const char *format, ...)
{
    char text[AQ_ERROR_TEXT];
    va_list args;
    const char **place = aq_list_add(f->arena, &f->asked->taken, sizeof *place);

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    if (!place || !(*place = aq_arena_format(f->arena, "%s", text)))
        return aq_filling_no_memory(f);
    return AQ_OK;
}

static aq_status find_tank(aq_filling *f, const char *name)
{
    aq_texts names;

    f->asked->tank = aq_site_reservoir(f->site, name);
    if (f->asked->tank)
        return AQ_OK;
    names = AQ_FILLING_NAMES(f, f->site->reservoirs, aq_reservoir);
    return aq_filling_unknown(f, (aq_place){ 0 }, "reservoir of the site", name, &names);
}

static aq_status find_bottle(aq_filling *f, const char *name)
{
    aq_texts names;

    f->asked->mister = aq_site_bottle(f->site, name);
    if (f->asked->mister)
        return AQ_OK;
    names = AQ_FILLING_NAMES(f, f->site->bottles, aq_bottle);
    return aq_filling_unknown(f, (aq_place){ 0 }, "bottle of the site", name, &names);
}

static bool asks_of_tank(const aq_filling *f)
{
    return aq_filling_asks(f, AQ_INTO(volume)) || aq_filling_asks(f, AQ_INTO(holds)) ||
           aq_filling_asks(f, AQ_INTO(before));
}

static aq_status find_subject(aq_filling *f)
{
    const char *name = f->setting->subject, *lot;
    aq_status status = AQ_OK;

    if (!f->site)
        return AQ_OK;
    if (name && aq_filling_asks(f, AQ_INTO(bottle)))
        status = find_bottle(f, name);
    else if (name && asks_of_tank(f))
        status = find_tank(f, name);
    else if (name && !aq_filling_asks(f, AQ_INTO(lot)) && !aq_filling_asks(f, AQ_INTO(salts)))
        return aq_filling_complain(f, AQ_CONFLICT, (aq_place){ 0 },
                                   "%s takes no reservoir and no bottle, so %s has no place here",
                                   f->job->name, name);
    lot = f->asked->tank ? f->asked->tank->lot : f->asked->mister ? f->asked->mister->lot : NULL;
    if (lot)
        f->asked->stuck = aq_site_lot(f->site, lot);
    return status;
}

/* Jobs over several tanks need every recipe of the site; the others read only the one that they are fed by. */
static aq_status attach_recipes(aq_filling *f)
{
    aq_site *site = f->site ? aq_arena_take(f->arena, sizeof *site) : NULL;
    aq_status status = AQ_OK;

    if (!f->site || !(aq_filling_asks(f, AQ_INTO(reservoir)) || aq_filling_asks(f, AQ_INTO(lot))))
        return AQ_OK;
    if (site)
        *site = *f->site;
    if (!site || !(site->recipes.at =
                       aq_arena_take_array(f->arena, site->recipes.count + 1, sizeof *site->recipes.at)))
        return aq_filling_no_memory(f);
    for (size_t i = 0; status == AQ_OK && i < site->recipes.count; i++) {
        aq_recipe_ref *ref = &site->recipes.at[i];

        *ref = f->site->recipes.at[i];
        status = aq_job_recipe(&ref->recipe, f->arena, f->setting, ref->name, ref->place, f->complaints);
    }
    f->site = f->asked->site = site;
    return status;
}

/* "gal" of a site is known by its own name on the sheet. */
static aq_status name_units(aq_filling *f)
{
    aq_said said = f->asked->said;
    aq_texts named = { 0 };

    for (size_t i = 0; i < f->asked->show.count; i++) {
        const char *text = f->asked->show.at[i], **place = aq_list_add(f->arena, &named, sizeof *place);
        const aq_unit *unit;

        if (!place)
            return aq_filling_no_memory(f);
        *place = aq_unit_find(&unit, text, strlen(text), &said, NULL) == AQ_OK ? unit->name : text;
    }
    f->asked->show = named;
    return AQ_OK;
}

static aq_status fill_words(aq_filling *f)
{
    static const char *const gallons[] = { NULL, "us", "imperial" };
    static const char *const ratios[] = { NULL, "in", "plus" };
    const aq_said *said = &f->asked->said;
    aq_status status = AQ_OK;

    if (!f->site)
        return AQ_OK;
    if (said->used_gallon && !said_in_line(f, "gallon"))
        status = aq_filling_take(f, "gallon: %s, from the site", gallons[said->gallon]);
    if (status == AQ_OK && said->used_ppm && !said_in_line(f, "ppm"))
        status = aq_filling_take(f, "ppm: %d, from the site", said->ppm);
    if (status == AQ_OK && said->used_ratio && !said_in_line(f, "ratio"))
        status = aq_filling_take(f, "ratio: %s, from the site", ratios[said->ratio]);
    return status;
}

/* Lists of the site stand for those of the line. */
static aq_status fill_lists(aq_filling *f)
{
    aq_asked *asked = f->asked;
    const aq_site *site = f->site;

    if (!site)
        return AQ_OK;
    if (!asked->show.count)
        asked->show = site->show;
    if (!asked->bench.count)
        asked->bench = site->bench;
    if (!asked->supply.count && aq_filling_asks(f, AQ_INTO(supply)))
        asked->supply = site->supplies;
    if (!asked->reservoir.count && aq_filling_asks(f, AQ_INTO(reservoir)))
        asked->reservoir = site->reservoirs;
    if (!asked->week.count && aq_filling_asks(f, AQ_INTO(week)))
        asked->week = site->week;
    if (!asked->lot.count && aq_filling_asks(f, AQ_INTO(lot)))
        asked->lot = site->lots;
    if (!asked->currency)
        asked->currency = site->currency;
    if (!asked->timezone)
        asked->timezone = site->timezone;
    return AQ_OK;
}

/* One quantity of the tank for one of the line, said with its number. */
static aq_status fill_quantity(aq_filling *f, aq_quantity *into, aq_quantity from, const char *key,
                               const char *unit)
{
    size_t at = (size_t)((const char *)into - (const char *)f->asked);

    if (into->given || !from.given || !aq_filling_asks(f, at))
        return AQ_OK;
    *into = from;
    return aq_filling_take(f, "%s: %s, from %s", key,
                           strcmp(unit, "L") == 0 ? aq_show_volume(f->arena, f->asked, from.value)
                                                  : aq_say(f->arena, from.value, unit),
                           f->asked->tank->name);
}

static aq_status fill_tank(aq_filling *f)
{
    aq_asked *a = f->asked;
    const aq_reservoir *tank = a->tank;
    /* a job that asks what a tank holds asks what is in it now, which only a look at it can say */
    bool now = aq_filling_asks(f, AQ_INTO(holds));
    const struct {
        aq_quantity *into, from;
        const char *key, *unit;
    } members[] = {
        { &a->volume,
          !tank || now       ? a->volume
          : tank->fill.given ? tank->fill
                             : tank->holds,
          "volume", "L" },
        { &a->level, tank && now ? tank->fill : a->level, "level", "L" },
        { &a->holds, tank ? tank->holds : a->holds, "holds", "L" },
        { &a->heel, tank ? tank->heel : a->heel, "heel", "L" },
        { &a->heel_ec, tank ? tank->heel_ec : a->heel_ec, "heel-ec", "mS/cm" },
        { &a->dead, tank ? tank->dead : a->dead, "dead", "L" },
        { &a->uses, tank ? tank->uses : a->uses, "uses", "L/d" },
        { &a->uptake, tank ? tank->uptake : a->uptake, "uptake", "mS/cm" },
    };
    aq_status status = AQ_OK;

    for (size_t i = 0; tank && status == AQ_OK && i < sizeof members / sizeof *members; i++)
        status = fill_quantity(f, members[i].into, members[i].from, members[i].key, members[i].unit);
    if (a->mister && !a->bottle.low.given && a->mister->holds.given) {
        a->bottle.low = a->bottle.high = a->mister->holds;
        status = aq_filling_take(f, "bottle: %s, from %s",
                                 aq_show_volume(f->arena, a, a->mister->holds.value), a->mister->name);
    }
    if (status == AQ_OK && a->mister && !a->sprayers)
        a->sprayers = a->mister->sprayers;
    return status;
}

/* A reading typed in the line came from the site's meter, which is as wrong as it was in its last standard; unless it is
 * in a ppm that this meter does not show. */
static aq_status correct_reading(aq_filling *f, aq_quantity *reading, const char *key, double factor)
{
    double shown = reading->value;

    if (!reading->given || !said_in_line(f, key))
        return AQ_OK;
    if (!aq_meter_counts_in(&f->site->meter, aq_meter_scale_typed(reading->unit)))
        return aq_filling_take(f,
                               "%s: read with another meter, in %s while the site's counts in ppm-%d, so its "
                               "last standard does not correct it",
                               key, reading->unit->name, f->site->meter.scale);
    reading->value *= factor;
    return aq_filling_take(f, "%s: %s on this meter is %s, by its last standard", key,
                           aq_say_ec(f->arena, shown), aq_say_ec(f->arena, reading->value));
}

static aq_status fill_readings(aq_filling *f)
{
    aq_asked *a = f->asked;
    const struct {
        aq_quantity *reading;
        const char *key;
    } readings[] = {
        { &a->heel_ec, "heel-ec" },  { &a->ec_now, "ec-now" },  { &a->reads, "reads" },
        { &a->before.ec, "before" }, { &a->after.ec, "after" }, { &a->feed_ec, "feed-ec" },
    };
    const aq_meter *meter = f->site && f->site->meter.given ? &f->site->meter : NULL;
    double factor = meter ? aq_meter_factor(meter) : 1;
    bool warm = meter && meter->compensated == AQ_NO && a->compensated != AQ_YES && !a->temperature.given;
    aq_status status = AQ_OK;

    for (size_t i = 0; warm && status == AQ_OK && i < sizeof readings / sizeof *readings; i++)
        if (readings[i].reading->given && said_in_line(f, readings[i].key))
            status = aq_filling_take(f,
                                     "%s: read at 25 degC, for this meter does not correct; in colder water "
                                     "it shows about 2 %% less for each degree",
                                     readings[i].key);
    if (fabs(factor - 1) < meter_trust)
        return status;
    for (size_t i = 0; status == AQ_OK && i < sizeof readings / sizeof *readings; i++)
        status = correct_reading(f, readings[i].reading, readings[i].key, factor);
    return status;
}

static bool name_alone(const aq_water *water)
{
    return water->name && !water->ec.given && !water->alkalinity.given && !water->hardness.given &&
           !water->temperature.given && !water->ph.given && !water->analysis.count;
}

/* What the site knows of a water that the line only names; the line's share stays. */
static aq_status find_water(aq_filling *f, aq_water *water)
{
    const aq_water *known = f->site && name_alone(water) ? aq_site_water(f->site, water->name) : NULL;
    aq_quantity share = water->share;
    aq_texts names;

    if (known) {
        *water = *known;
        water->share = share.given ? share : known->share;
        return AQ_OK;
    }
    if (!name_alone(water))
        return AQ_OK;
    if (!f->site)
        return aq_filling_complain(f, AQ_UNKNOWN_NAME, water->place,
                                   "water: %s is a name, and there is no site that knows it; "
                                   "say what it is, like {name: %s, ec: 0.32 mS/cm}",
                                   water->name, water->name);
    names = AQ_FILLING_NAMES(f, f->site->waters, aq_water);
    return aq_filling_unknown(f, water->place, "water of the site", water->name, &names);
}

static aq_status water_of_tank(aq_filling *f)
{
    const char *name = f->asked->tank     ? f->asked->tank->water
                       : f->asked->mister ? f->asked->mister->water
                                          : NULL;
    const aq_water *known = name ? aq_site_water(f->site, name) : NULL;
    aq_water *water;

    if (!known)
        return AQ_OK;
    water = aq_list_add(f->arena, &f->asked->water, sizeof *water);
    if (!water)
        return aq_filling_no_memory(f);
    *water = *known;
    return aq_filling_take(f, "water: %s, from the site", name);
}

/* `water-ec` is short for a water of that EC, and what-if for one that is named. */
static aq_status water_by_ec(aq_filling *f)
{
    aq_asked *asked = f->asked;
    aq_water *water;

    if (!asked->water_ec.given) {
        if (asked->water.count == 1)
            asked->water_ec = asked->water.at[0].ec;
        return AQ_OK;
    }
    if (asked->water.count > 1)
        return aq_filling_complain(f, AQ_CONFLICT, (aq_place){ 0 },
                                   "water-ec: there are %zu waters, so say the EC in each of them",
                                   asked->water.count);
    water = asked->water.count ? &asked->water.at[0] : aq_list_add(f->arena, &asked->water, sizeof *water);
    if (!water)
        return aq_filling_no_memory(f);
    water->ec = asked->water_ec;
    return AQ_OK;
}

static aq_status fill_water(aq_filling *f)
{
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < f->asked->water.count; i++)
        status = find_water(f, &f->asked->water.at[i]);
    if (status == AQ_OK)
        status = find_water(f, &f->asked->first);
    if (status == AQ_OK)
        status = find_water(f, &f->asked->second);
    if (status == AQ_OK && !f->asked->water.count && f->site && aq_filling_asks(f, AQ_INTO(water)))
        status = water_of_tank(f);
    if (status == AQ_OK)
        status = water_by_ec(f);
    return status;
}

aq_status aq_fill(aq_asked *asked, aq_arena *arena, const aq_job *job, const aq_node *answers,
                  const aq_setting *setting, aq_complaints *complaints)
{
    static aq_status (*const steps[])(aq_filling *) = {
        aq_follow_twins, attach_recipes,    find_subject,       fill_words,       fill_lists,
        aq_pool_shelf,   aq_remember_stock, name_units,         aq_remember_tank, aq_remember_gates,
        fill_tank,       fill_readings,     fill_water,         aq_follow_recipe, aq_follow_stage,
        aq_follow_aim,   aq_follow_parts,   aq_remember_slopes,
    };
    aq_filling f = { asked, arena, job, answers, setting, setting->site, complaints };
    aq_status status = AQ_OK;

    asked->setting = setting;
    asked->site = setting->site;
    asked->with_why = setting->why;
    asked->today = setting->today;
    if (asked->date.year)
        asked->today = (aq_moment){ asked->date, -1 };
    for (size_t i = 0; status == AQ_OK && i < sizeof steps / sizeof *steps; i++)
        status = steps[i](&f);
    return status;
}
