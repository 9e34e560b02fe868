/* Filling from the memory of the log. What the line says itself always stands. */
#include "job/remember.h"

#include <math.h>
#include <string.h>

#include "job/rows.h"
#include "model/memory.h"

static const long reading_days =
    14; /* an older reading is no longer that of the tank (common practice, no source) */

static const aq_memory *memory_of(const aq_filling *f)
{
    return f->site ? f->setting->memory : NULL;
}

static bool in_line(const aq_filling *f, const char *key)
{
    return aq_node_get(f->answers, key) != NULL;
}

/* ---- the tank ---- */

static const aq_tank_recalled *tank_of(const aq_filling *f)
{
    const aq_memory *memory = memory_of(f);

    for (size_t i = 0; memory && f->asked->tank && i < memory->tanks.count; i++)
        if (strcmp(memory->tanks.at[i].reservoir, f->asked->tank->name) == 0)
            return &memory->tanks.at[i];
    return NULL;
}

static aq_status take_reading(aq_filling *f, const aq_tank_recalled *tank, aq_quantity *into, const char *key)
{
    size_t at = (size_t)((const char *)into - (const char *)f->asked);
    char day[AQ_DATE_ROOM];

    if (into->given || !tank->ec.given || !aq_filling_asks(f, at) ||
        aq_date_between(tank->at.date, f->asked->today.date) > reading_days)
        return AQ_OK;
    *into = tank->ec;
    aq_date_write(tank->at.date, day);
    return aq_filling_take(f, "%s: %s, read %s, from the log", key, aq_say_ec(f->arena, tank->ec.value), day);
}

/* A correction or a top-up adds to what the label allows for this change; a new mix begins anew. */
static aq_status take_poured(aq_filling *f, const aq_tank_recalled *tank)
{
    char day[AQ_DATE_ROOM];

    if (f->asked->poured.count || !tank->poured.count || !tank->changed.date.year ||
        !aq_filling_asks(f, AQ_INTO(poured)) || !aq_filling_asks(f, AQ_INTO(level)))
        return AQ_OK;
    f->asked->poured = tank->poured;
    aq_date_write(tank->changed.date, day);
    return aq_filling_take(f, "what was poured since the change of %s counts against the label, from the log",
                           day);
}

static bool named(const char *one, const char *other)
{
    return one && other && strcmp(one, other) == 0;
}

/* Known to half of itself: less is no better than what the site supposes (common practice, no source). */
static bool known_enough(const aq_drinking *drinking)
{
    return drinking->uses_within <= 0.5 * drinking->uses.value &&
           drinking->uptake_within <= fmax(0.5 * drinking->uptake.value, 0.2);
}

const aq_drinking *aq_remember_drinking(const aq_memory *memory, const char *reservoir, const char *stage)
{
    const aq_drinking *in_any = NULL;

    for (size_t i = 0; memory && i < memory->drinking.count; i++) {
        const aq_drinking *drinking = &memory->drinking.at[i];

        if (!named(drinking->reservoir, reservoir) || !known_enough(drinking))
            continue;
        if (named(drinking->stage, stage))
            return drinking;
        if (!drinking->stage)
            in_any = drinking;
    }
    return in_any;
}

const char *aq_remember_say_drinking(aq_arena *arena, const aq_drinking *drinking)
{
    char day[AQ_DATE_ROOM];

    aq_date_write(drinking->last, day);
    return aq_arena_format(arena, "%s%s%slearned from %zu pairs of readings to %s",
                           drinking->stage ? "in " : "", drinking->stage ? drinking->stage : "",
                           drinking->stage ? ", " : "", drinking->pairs, day);
}

/* What the tank was seen to drink stands before what the site supposes. */
static aq_status take_drinking(aq_filling *f, const aq_drinking *drinking, aq_quantity *into,
                               aq_quantity from, const char *key, const char *unit)
{
    size_t at = (size_t)((const char *)into - (const char *)f->asked);
    const char *how;

    if (into->given || !aq_filling_asks(f, at))
        return AQ_OK;
    *into = from;
    how = aq_remember_say_drinking(f->arena, drinking);
    return aq_filling_take(f, "%s: %s %s, from the log", key,
                           aq_say(f->arena, aq_decimal_round(from.value, 2), unit), how ? how : "");
}

aq_status aq_remember_tank(aq_filling *f)
{
    const aq_tank_recalled *tank = tank_of(f);
    bool heel = f->asked->heel.value > 0 || (f->asked->tank && f->asked->tank->heel.value > 0) ||
                f->asked->dead.value > 0 || (f->asked->tank && f->asked->tank->dead.value > 0);
    const aq_drinking *drinking =
        tank ? aq_remember_drinking(memory_of(f), tank->reservoir, tank->stage) : NULL;
    aq_status status = AQ_OK;

    if (tank && heel)
        status = take_reading(f, tank, &f->asked->heel_ec, "heel-ec");
    if (tank && status == AQ_OK)
        status = take_reading(f, tank, &f->asked->ec_now, "ec-now");
    if (drinking && status == AQ_OK)
        status = take_drinking(f, drinking, &f->asked->uses, drinking->uses, "uses", "L/d");
    if (drinking && status == AQ_OK)
        status = take_drinking(f, drinking, &f->asked->uptake, drinking->uptake, "uptake", "mS/cm");
    return tank && status == AQ_OK ? take_poured(f, tank) : status;
}

/* ---- the lots ---- */

static bool has_gate(const aq_gates *gates, const aq_gate *gate)
{
    for (size_t i = 0; i < gates->count; i++) {
        const aq_gate *have = &gates->at[i];

        if (aq_date_compare(have->at, gate->at) == 0 &&
            (!have->stage || !gate->stage || strcmp(have->stage, gate->stage) == 0) &&
            (!have->lot || !gate->lot || strcmp(have->lot, gate->lot) == 0))
            return true;
    }
    return false;
}

static bool has_lot(const aq_filling *f, const char *name)
{
    for (size_t i = 0; name && i < f->site->lots.count; i++)
        if (named(f->site->lots.at[i].name, name))
            return true;
    return !name;
}

/* An answer of the line stands before one of the same day in the log. */
aq_status aq_remember_gates(aq_filling *f)
{
    const aq_memory *memory = memory_of(f);
    const aq_lot *stuck = f->asked->stuck;
    bool all = aq_filling_asks(f, AQ_INTO(gate));
    aq_status status = AQ_OK;

    for (size_t i = 0; memory && status == AQ_OK && i < memory->gates.count; i++) {
        const aq_gate *gate = &memory->gates.at[i];
        aq_gate *place;
        char day[AQ_DATE_ROOM];

        if ((!all && !stuck) || !has_lot(f, gate->lot) || has_gate(&f->asked->gate, gate))
            continue;
        place = aq_list_add(f->arena, &f->asked->gate, sizeof *place);
        if (!place)
            return aq_filling_no_memory(f);
        *place = *gate;
        if (gate->passed != AQ_NO || !(all || named(gate->lot, stuck->name)))
            continue;
        aq_date_write(gate->at, day);
        status = aq_filling_take(f, "gate%s%s%s%s: not passed on %s, from the log",
                                 gate->stage ? " before " : "", gate->stage ? gate->stage : "",
                                 gate->lot ? " of " : "", gate->lot ? gate->lot : "", day);
    }
    return status;
}

/* ---- the shelf ---- */

static const aq_stock_memory *stock_of(const aq_memory *memory, const char *part)
{
    for (size_t i = 0; i < memory->stock.count; i++)
        if (strcmp(memory->stock.at[i].part, part) == 0)
            return &memory->stock.at[i];
    return NULL;
}

/* The site's shelf is shared and stays as it is: a copy is corrected. */
aq_status aq_remember_stock(aq_filling *f)
{
    const aq_memory *memory = memory_of(f);
    aq_supplies *shelf = &f->asked->supply;
    aq_supply *copy;
    aq_date latest = { 0 };
    char day[AQ_DATE_ROOM];

    if (!memory || !memory->stock.count || !shelf->count || in_line(f, "supply"))
        return AQ_OK;
    copy = aq_arena_take_array(f->arena, shelf->count, sizeof *copy);
    if (!copy)
        return aq_filling_no_memory(f);
    memcpy(copy, shelf->at, shelf->count * sizeof *copy);
    for (size_t i = 0; i < shelf->count; i++) {
        const aq_stock_memory *stock = stock_of(memory, copy[i].part);

        if (!stock)
            continue;
        copy[i].left = stock->left;
        if (aq_date_compare(stock->taken, latest) > 0)
            latest = stock->taken;
    }
    shelf->at = copy;
    shelf->room = shelf->count;
    if (!latest.year)
        return AQ_OK;
    aq_date_write(latest, day);
    return aq_filling_take(f, "stock left: by the stock-take of %s and what was poured since, from the log",
                           day);
}

/* ---- slopes ---- */

/* In this tank, else in any. NULL: not learned, or from too few mixes. */
static const aq_learned_slope *slope_of(const aq_memory *memory, const char *part, const char *reservoir)
{
    const aq_learned_slope *anywhere = NULL;

    for (size_t i = 0; part && i < memory->slopes.count; i++) {
        const aq_learned_slope *slope = &memory->slopes.at[i];

        if (strcmp(slope->part, part) != 0 || slope->mixes < AQ_LEARNED_FROM)
            continue;
        if (slope->reservoir && reservoir && strcmp(slope->reservoir, reservoir) == 0)
            return slope;
        if (!slope->reservoir)
            anywhere = slope;
    }
    return anywhere;
}

/* `learn` shows what a true litre takes; a tank is filled by its marks, and so is its slope here. */
static aq_status say_slope(aq_filling *f, const char *name, const aq_learned_slope *slope, double value,
                           const char *unit, double label)
{
    char day[AQ_DATE_ROOM];
    const char *instead = isnan(label) ? "no label says it"
                                       : aq_arena_format(f->arena, "label %s", aq_say(f->arena, label, ""));
    const char *marks =
        slope->reservoir ? aq_arena_format(f->arena, " by the marks of %s", slope->reservoir) : "";

    aq_date_write(slope->last, day);
    return aq_filling_take(f, "ec of %s: %s%s, learned from %zu mixes to %s (%s)", name,
                           aq_say(f->arena, value, unit), marks ? marks : "", slope->mixes, day,
                           instead ? instead : "");
}

static aq_status learn_group(aq_filling *f, aq_together *group, const aq_learned_slope *slope)
{
    double label = aq_together_ec(group);
    const char *name =
        group->name ? group->name : aq_arena_format(f->arena, "%s and the rest", group->parts.at[0].name);

    if (!group->name && group->parts.count == 2)
        name = aq_arena_format(f->arena, "%s and %s", group->parts.at[0].name, group->parts.at[1].name);
    if (group->rates || group->whole.given) {
        group->whole = aq_quantity_of(slope->slope, AQ_KIND_EC);
        return say_slope(f, name, slope, slope->slope, "mS/cm", label);
    }
    group->slope.value = group->slope.by_mass ? slope->slope : slope->slope * 1000;
    group->slope.given = true;
    return say_slope(f, name, slope, slope->slope, "mS/cm per mL/L", label);
}

static aq_status learn_part(aq_filling *f, aq_part *part, const aq_learned_slope *slope)
{
    bool weighs = aq_part_weighed(part, &f->asked->bench);
    double label = aq_part_slope(part, weighs), per = weighs ? 1 : 1000;

    part->ec = (aq_slope){ .value = slope->slope, .by_mass = weighs, .given = true };
    return say_slope(f, aq_part_name(part), slope, slope->slope / per,
                     weighs ? "mS/cm per g/L" : "mS/cm per mL/L", label / per);
}

static bool grouped(const aq_asked *asked, const char *part)
{
    for (size_t i = 0; part && i < asked->together.count; i++)
        if (aq_together_has(&asked->together.at[i], part))
            return true;
    return false;
}

/* Lists of the line are the line's own by now, and so may be changed; those of the recipe were copied. */
aq_status aq_remember_slopes(aq_filling *f)
{
    const aq_memory *memory = memory_of(f);
    aq_asked *asked = f->asked;
    const char *tank = asked->tank ? asked->tank->name : NULL;
    aq_status status = AQ_OK;

    if (!memory || !memory->slopes.count || !asked->recipe)
        return AQ_OK;
    for (size_t i = 0; status == AQ_OK && !in_line(f, "together") && i < asked->together.count; i++) {
        const aq_learned_slope *slope = slope_of(memory, asked->together.at[i].parts.at[0].name, tank);

        if (slope)
            status = learn_group(f, &asked->together.at[i], slope);
    }
    for (size_t i = 0; status == AQ_OK && !in_line(f, "part") && i < asked->part.count; i++) {
        const char *name = asked->part.at[i].name;
        const aq_learned_slope *slope = grouped(asked, name) ? NULL : slope_of(memory, name, tank);

        if (slope)
            status = learn_part(f, &asked->part.at[i], slope);
    }
    return status;
}

/* ---- how sure ---- */

/* What a column adds, mS/cm, with what is known of its slope. */
typedef struct {
    const aq_learned_slope *slope;
    double added;
} contribution;

/* By the law of propagation: u^2 = sum over pairs of a_i a_j u(i, j), all of one tank. */
static double relative_doubt(const contribution *parts, size_t count)
{
    double sum = 0, variance = 0;

    for (size_t i = 0; i < count; i++) {
        sum += parts[i].added;
        for (size_t j = 0; j < count; j++)
            variance += parts[i].added * parts[j].added * parts[i].slope->with[parts[j].slope->at];
    }
    return sum > 0 ? sqrt(fmax(variance, 0)) / sum : 0;
}

aq_budget aq_remember_budget(const aq_feed *feed)
{
    const aq_asked *asked = feed->asked;
    const aq_memory *memory = asked->site && asked->recipe && asked->setting ? asked->setting->memory : NULL;
    const char *tank = asked->tank ? asked->tank->name : NULL;
    contribution *parts =
        memory ? aq_arena_take_array(feed->arena, feed->dosing.column_count, sizeof *parts) : NULL;
    size_t count = 0;

    for (size_t i = 0; parts && i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        double x = feed->poured->x[dose->column];
        bool first = i == 0 || feed->dosing.at[i - 1].column != dose->column;

        if (!first || !(x > 0))
            continue;
        parts[count].slope = slope_of(memory, dose->name, tank);
        if (!parts[count].slope)
            return aq_budget_first();
        parts[count++].added = feed->poured->slope[dose->column] * x;
    }
    return count ? aq_budget_learned(relative_doubt(parts, count)) : aq_budget_first();
}
