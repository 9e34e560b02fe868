/* A tank between the errands of a plan: what was read last, what it drinks, and when it crosses a limit. */
#include "job/errand_inner.h"

#include "job/remember.h"
#include "model/schedule.h"

#include <math.h>
#include <string.h>

static const long reading_days =
    14; /* an older reading is no longer that of the tank (common practice, no source) */

aq_tank_memory *aq_errand_tank(aq_errands *errands, const aq_reservoir *tank)
{
    return &errands->tanks[tank - errands->asked->reservoir.at];
}

double aq_errand_days(aq_moment from, aq_moment to)
{
    int first = from.minute < 0 ? 0 : from.minute, last = to.minute < 0 ? 0 : to.minute;

    return (double)aq_date_between(from.date, to.date) + (last - first) / 1440.0;
}

aq_quantity aq_errand_first(aq_quantity one, aq_quantity other)
{
    return one.given ? one : other;
}

/* ---- from the log ---- */

const aq_tank_recalled *aq_errand_recalled(const aq_memory *log, const char *name)
{
    for (size_t i = 0; log && i < log->tanks.count; i++)
        if (strcmp(log->tanks.at[i].reservoir, name) == 0)
            return &log->tanks.at[i];
    return NULL;
}

/* A day that is planned again later is planned as it was: what was read after it is left out. */
static bool is_fresh(const aq_errands *errands, aq_moment at)
{
    aq_date from = errands->asked->from.year ? errands->asked->from : errands->asked->today.date;
    long age = aq_date_between(at.date, from);

    return age >= 0 && age <= reading_days;
}

/* An EC that was read without a level stands at the level that there is by then. */
static void take_ec(aq_errands *errands, const aq_reservoir *tank, const aq_tank_recalled *log)
{
    aq_tank_memory *memory = aq_errand_tank(errands, tank);
    double days = aq_errand_days(memory->at, log->at);
    aq_errand_thirst thirst;

    aq_errand_drinks(&thirst, errands, tank, NULL, log->at.date);
    if (!memory->known || !log->ec.given || !(days > 0))
        return;
    if (thirst.uses.given && thirst.uptake.given)
        memory->state = aq_drift_after(memory->state, thirst.uses.value, thirst.uptake.value, days);
    memory->state.ec = log->ec.value;
    memory->at = log->at;
}

void aq_errands_recall(aq_errands *errands)
{
    const aq_memory *log = errands->setting.memory;

    if (!log)
        return;
    errands->memory = *log;
    memset(&errands->memory.tanks, 0, sizeof errands->memory.tanks);
    for (size_t i = 0; i < errands->asked->reservoir.count; i++) {
        const aq_reservoir *tank = &errands->asked->reservoir.at[i];
        const aq_tank_recalled *known = aq_errand_recalled(log, tank->name);
        aq_tank_memory *memory = &errands->tanks[i];

        if (!known || !known->level.given || !is_fresh(errands, known->at) ||
            !is_fresh(errands, known->level_at))
            continue;
        memory->known = memory->read = true;
        memory->state = (aq_tank_state){ known->level.value, known->level_ec.value };
        memory->at = known->level_at;
        take_ec(errands, tank, known);
    }
    errands->setting.memory = &errands->memory;
}

/* ---- what it drinks ---- */

static bool from_site(const aq_errands *errands)
{
    const aq_site *site = errands->asked->site;

    return site && errands->asked->reservoir.at == site->reservoirs.at;
}

/* By the plan's own stages, else as the site and its recipes have it. */
static const char *stage_of(const aq_errands *errands, const aq_reservoir *tank, aq_date on)
{
    const aq_asked *asked = errands->asked;
    const aq_stage *stage = NULL;

    if (!asked->stages.count)
        return aq_tank_stage(tank, NULL, &errands->site.lots, &errands->site.recipes, &asked->gate, on);
    for (size_t i = 0; tank->lot && i < errands->site.lots.count; i++)
        if (errands->site.lots.at[i].name && strcmp(errands->site.lots.at[i].name, tank->lot) == 0)
            stage = aq_lot_stage(&errands->site.lots.at[i], &asked->stages, &asked->gate, on, NULL);
    return tank->stage.name ? tank->stage.name : stage ? stage->name : NULL;
}

/* Each is told once. A plan whose memory gives way is told less of, and no worse. */
static void note(aq_errands *errands, const aq_drinking *drinking)
{
    const aq_drinking **place;

    for (size_t i = 0; i < errands->drunk.count; i++)
        if (errands->drunk.at[i] == drinking)
            return;
    place = aq_list_add(errands->arena, &errands->drunk, sizeof *place);
    if (place)
        *place = drinking;
}

void aq_errand_drinks(aq_errand_thirst *out, aq_errands *errands, const aq_reservoir *tank,
                      const aq_week_entry *entry, aq_date on)
{
    const aq_drinking *learned =
        from_site(errands)
            ? aq_remember_drinking(errands->setting.memory, tank->name, stage_of(errands, tank, on))
            : NULL;

    *out = (aq_errand_thirst){ tank->uses, tank->uptake };
    if (learned) {
        note(errands, learned);
        *out = (aq_errand_thirst){ learned->uses, learned->uptake };
    }
    if (entry)
        out->uptake = aq_errand_first(entry->uptake, out->uptake);
}

bool aq_errand_state(aq_errands *errands, const aq_task *task, aq_tank_state *out)
{
    const aq_tank_memory *memory = aq_errand_tank(errands, task->reservoir);
    aq_errand_thirst thirst;

    if (!memory->known)
        return false;
    aq_errand_drinks(&thirst, errands, task->reservoir, task->entry, memory->at.date);
    *out = memory->state;
    if (thirst.uses.given)
        *out =
            aq_drift_after(memory->state, thirst.uses.value, thirst.uptake.given ? thirst.uptake.value : NAN,
                           fmax(aq_errand_days(memory->at, task->at), 0));
    if (isnan(memory->state.ec) || (thirst.uses.given && !thirst.uptake.given))
        out->ec = NAN; /* the level is known without the uptake, the EC is not */
    return isfinite(out->ec);
}

/* ---- what it crosses ---- */

static aq_moment later(aq_moment from, double days)
{
    double minutes = (from.minute < 0 ? 0 : from.minute) + floor(days * 1440 + 1e-6);
    long whole = (long)floor(minutes / 1440);

    return (aq_moment){ aq_date_add(from.date, whole), (int)(minutes - 1440.0 * (double)whole) };
}

/* "Tue 10 Mar 2026, 14:05" */
static const char *say_moment(aq_arena *arena, aq_moment at)
{
    char day[AQ_DATE_ROOM];

    aq_date_say(at.date, day);
    return aq_arena_format(arena, "%s, %02d:%02d", day, at.minute / 60, at.minute % 60);
}

static bool say_limit(aq_sheet *plan, const aq_reservoir *tank, double ec, aq_moment at, const char *then)
{
    const char *limit = aq_say_ec(plan->arena, tank->limit.value), *when = say_moment(plan->arena, at);

    return limit && when &&
           (ec >= tank->limit.value
                ? aq_sheet_caution(plan, "%s is past its limit of %s on %s, before %s: add plain water.",
                                   tank->name, limit, when, then)
                : aq_sheet_caution(plan, "%s passes its limit of %s on %s, before %s: top it up by then.",
                                   tank->name, limit, when, then));
}

bool aq_errand_watch(aq_errands *errands, aq_sheet *plan, const aq_reservoir *tank,
                     const aq_week_entry *entry, aq_moment until, const char *then)
{
    const aq_tank_memory *memory = aq_errand_tank(errands, tank);
    aq_tank_state state = memory->state;
    double days = aq_errand_days(memory->at, until), dry, past = INFINITY;
    aq_errand_thirst thirst;

    if (!memory->known || !(days > 0))
        return true;
    aq_errand_drinks(&thirst, errands, tank, entry, memory->at.date);
    if (!thirst.uses.given || !thirst.uptake.given || !(thirst.uses.value > 0))
        return true;
    dry = state.volume / thirst.uses.value;
    if (tank->limit.given)
        past = state.ec >= tank->limit.value
                   ? 0
                   : aq_drift_crosses(state, thirst.uses.value, thirst.uptake.value, tank->limit.value);
    if (past < days && past < dry && !say_limit(plan, tank, state.ec, later(memory->at, past), then))
        return false;
    if (dry < days) {
        const char *when = say_moment(plan->arena, later(memory->at, dry));

        return when && aq_sheet_caution(plan, "%s is empty on %s, before %s: top it up by then.", tank->name,
                                        when, then);
    }
    return true;
}

/* ---- what was assumed ---- */

bool aq_errands_tell(const aq_errands *errands, aq_sheet *plan)
{
    for (size_t i = 0; i < errands->drunk.count; i++) {
        const aq_drinking *drinking = errands->drunk.at[i];
        const char *how = aq_remember_say_drinking(plan->arena, drinking);

        if (!how || !aq_sheet_assume(plan, "%s uses %s at %s %s, from the log", drinking->reservoir,
                                     aq_say(plan->arena, aq_decimal_round(drinking->uses.value, 2), "L/d"),
                                     aq_say_ec(plan->arena, drinking->uptake.value), how))
            return false;
    }
    return true;
}
