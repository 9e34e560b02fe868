/* A top-up of a plan: how much, by the week or by what was drunk, and how strong. */
#include "job/errand_inner.h"

#include "job/jobs.h"
#include "job/rows.h"
#include "job/show.h"
#include "sheet/measured.h"

#include <math.h>
#include <string.h>

/* What the change gives a litre, worked out where no change was planned before this top-up. */
static aq_status find_rates(aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_tank_memory *memory = aq_errand_tank(errands, task->reservoir);
    bool known = memory->known, read = memory->read;
    aq_tank_state state = memory->state;
    aq_moment at = memory->at;
    aq_sheet *sheet;
    aq_status status;

    if (memory->has_rates)
        return AQ_OK;
    status = aq_errand_change(&sheet, errands, task, false, err);
    if (status == AQ_OK)
        status = aq_errand_remember(errands, task, sheet, aq_amount_base(sheet->volume));
    memory->known = known;
    memory->read = read;
    memory->state = state;
    memory->at = at;
    return status;
}

static aq_status scaled(aq_amounts *out, aq_arena *arena, const aq_amounts *rates, double share)
{
    memset(out, 0, sizeof *out);
    for (size_t i = 0; i < rates->count; i++) {
        aq_named_amount *rate = aq_list_add(arena, out, sizeof *rate);

        if (!rate)
            return AQ_NO_MEMORY;
        *rate = rates->at[i];
        rate->amount.value *= share;
    }
    return AQ_OK;
}

/* Days since the last of those times of the week before this task; INFINITY where there is none. */
static double since(const aq_task *task, const aq_weektimes *times)
{
    double least = INFINITY;

    for (long back = 0; back <= 7; back++) {
        aq_date day = aq_date_add(task->at.date, -back);

        for (size_t i = 0; i < times->count; i++) {
            double days = aq_errand_days((aq_moment){ day, times->at[i].minute }, task->at);

            if (times->at[i].day == aq_date_weekday(day) && days > 0)
                least = fmin(least, days);
        }
    }
    return least;
}

/* Days since the week last filled the tank: a change, or a top-up, which fills it too. INFINITY where it has no change. */
static double since_full(const aq_task *task)
{
    double change = since(task, &task->entry->change);

    return isfinite(change) ? fmin(change, since(task, &task->entry->top_up)) : change;
}

/* What is poured in: as the week says; up to the fill where the level was followed; or what was drunk since the
 * week last filled the tank, before this plan or in it. */
static aq_status litres_of(double *out, bool *supposed, aq_errands *errands, const aq_task *task,
                           const aq_asked *asked, aq_error *err)
{
    aq_tank_state found = { 0 };
    aq_errand_thirst drinks;
    aq_quantity uses;
    double days = since_full(task);

    aq_errand_drinks(&drinks, errands, task->reservoir, task->entry, task->at.date);
    uses = drinks.uses;
    *supposed = false;
    if (task->entry->add.given) {
        *out = task->entry->add.value;
        return AQ_OK;
    }
    (void)aq_errand_state(errands, task, &found);
    if (uses.given && aq_errand_tank(errands, task->reservoir)->known) {
        *out = fmax(asked->volume.value - found.volume, 0);
        return AQ_OK;
    }
    if (uses.given && isfinite(days)) {
        *out = fmin(uses.value * days, asked->volume.value);
        *supposed = true;
        return AQ_OK;
    }
    return aq_fail(err, AQ_MISSING, task->entry->place,
                   "%s: how much is topped up? Say add: 15 L, or what the tank uses and when it is changed, "
                   "so that it can "
                   "be worked out",
                   task->reservoir->name);
}

/* What the top-up aims at: a share of the change's dose, the uptake strength, or plain water. */
static aq_status aim_top_up(aq_asked *asked, bool *plain, aq_errands *errands, const aq_task *task,
                            aq_error *err)
{
    aq_errand_thirst drinks;
    aq_quantity uptake;
    aq_status status;

    aq_errand_drinks(&drinks, errands, task->reservoir, task->entry, task->at.date);
    uptake = drinks.uptake;
    *plain = false;
    memset(&asked->aim, 0, sizeof asked->aim);
    if (task->entry->share.given) {
        status = find_rates(errands, task, err);
        *plain = !(task->entry->share.value > 0);
        return status == AQ_OK
                   ? scaled(&asked->aim.rates, errands->arena,
                            &aq_errand_tank(errands, task->reservoir)->rates, task->entry->share.value)
                   : status;
    }
    *plain = !uptake.given || !asked->water_ec.given || uptake.value <= asked->water_ec.value + 1e-9;
    asked->aim.ec = uptake;
    return AQ_OK;
}

aq_status aq_errand_top_up(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_tank_memory *memory = aq_errand_tank(errands, task->reservoir);
    aq_arena *arena = errands->arena;
    aq_asked asked;
    aq_errand_days_stage of_day;
    aq_tank_state found = { 0 };
    double litres = 0;
    bool plain = false, supposed = false, followed;
    const char *title;
    aq_status status = aq_errand_prepare(&asked, &of_day, errands, task, err);

    if (status == AQ_OK)
        status = litres_of(&litres, &supposed, errands, task, &asked, err);
    if (status == AQ_OK)
        status = aim_top_up(&asked, &plain, errands, task, err);
    if (status != AQ_OK || !(litres > 0))
        return status;
    if (task->entry->add.given)
        asked.volume = task->entry->add; /* in its unit; else in that of the tank */
    asked.volume.value = litres;
    memset(&asked.heel, 0, sizeof asked.heel);
    memset(&asked.dead, 0, sizeof asked.dead);
    title = aq_arena_format(arena, "top up %s with %s%s", task->reservoir->name,
                            aq_show_volume(arena, &asked, litres), plain ? " of plain water" : "");
    status = plain ? aq_errand_water(out, arena, &asked, litres, title)
                   : aq_errand_work(out, errands, &aq_job_mix, &asked, err);
    if (status != AQ_OK)
        return status;
    (*out)->job = "topup";
    (*out)->title = title;
    if (supposed &&
        !aq_sheet_assume(*out,
                         "the tank was changed when the week says, before this plan begins: read its level"))
        return AQ_NO_MEMORY;
    if (plain && !task->entry->share.given && !asked.aim.ec.given &&
        !aq_sheet_assume(*out, "%s is topped up with plain water: neither a share nor its uptake is said",
                         task->reservoir->name))
        return AQ_NO_MEMORY;
    followed = aq_errand_state(errands, task, &found);
    if (!title || !aq_sheet_figure(*out, "holds", task->reservoir->holds.value, "L") ||
        (followed && (!aq_sheet_figure(*out, "level_before", found.volume, "L") ||
                      !aq_sheet_figure(*out, "ec_before", found.ec, "mS/cm"))))
        return AQ_NO_MEMORY;
    memory->known = memory->known && (*out)->expect_ec.given;
    memory->read = false;
    memory->state = aq_tank_mixed(found, (aq_tank_state){ litres, (*out)->expect_ec.value });
    memory->at = task->at;
    if (memory->known && isfinite(memory->state.ec) &&
        !aq_sheet_figure(*out, "ec_after", memory->state.ec, "mS/cm"))
        return AQ_NO_MEMORY;
    return AQ_OK;
}
