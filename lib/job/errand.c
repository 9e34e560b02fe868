/* Each errand is a question of its own, asked with what the plan knows: the site's tank or bottle fills it as it would
 * fill a line on the sink, and the tank's level and EC have drifted since the errand before. */
#include "job/errand.h"

#include "job/answer.h"
#include "job/fill.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "sheet/measured.h"

#include <math.h>
#include <string.h>

aq_status aq_errands_begin(aq_errands *errands, aq_arena *arena, const aq_asked *asked)
{
    *errands = (aq_errands){ .arena = arena, .asked = asked };
    if (asked->site)
        errands->site = *asked->site;
    errands->site.reservoirs = asked->reservoir;
    errands->site.week = asked->week;
    errands->site.lots = asked->lot;
    if (asked->setting)
        errands->setting = *asked->setting;
    errands->setting.site = &errands->site;
    errands->tanks = aq_arena_take_array(arena, asked->reservoir.count + 1, sizeof *errands->tanks);
    return errands->tanks ? AQ_OK : AQ_NO_MEMORY;
}

static aq_tank_memory *memory_of(aq_errands *errands, const aq_reservoir *tank)
{
    return &errands->tanks[tank - errands->asked->reservoir.at];
}

static double days_between(aq_moment from, aq_moment to)
{
    int first = from.minute < 0 ? 0 : from.minute, last = to.minute < 0 ? 0 : to.minute;

    return (double)aq_date_between(from.date, to.date) + (last - first) / 1440.0;
}

static bool has(aq_quantity quantity)
{
    return quantity.given;
}

static aq_quantity first_given(aq_quantity one, aq_quantity other)
{
    return one.given ? one : other;
}

/* The tank as it will be found: what the last errand left, less what was drunk since. */
static bool find_state(aq_errands *errands, const aq_task *task, aq_tank_state *out)
{
    const aq_tank_memory *memory = memory_of(errands, task->reservoir);
    aq_quantity uptake = first_given(task->entry->uptake, task->reservoir->uptake);

    if (!memory->known)
        return false;
    *out = memory->state;
    if (has(task->reservoir->uses) && has(uptake))
        *out = aq_drift_after(memory->state, task->reservoir->uses.value, uptake.value,
                              fmax(days_between(memory->at, task->at), 0));
    return isfinite(out->ec);
}

static bool holds_part(const aq_together *group, const char *name)
{
    for (size_t i = 0; i < group->parts.count; i++)
        if (strcmp(group->parts.at[i].name, name) == 0)
            return true;
    return false;
}

/* A tank that is fed with one group of the line keeps that group, its members, and the parts of no group. */
static aq_status keep_group(aq_errands *errands, aq_asked *asked, const char *name)
{
    aq_togethers all = asked->together;
    aq_parts parts = asked->part;

    if (!name || !all.count)
        return AQ_OK;
    memset(&asked->together, 0, sizeof asked->together);
    memset(&asked->part, 0, sizeof asked->part);
    for (size_t i = 0; i < all.count; i++) {
        aq_together *kept;

        if (!all.at[i].name || strcmp(all.at[i].name, name) != 0)
            continue;
        kept = aq_list_add(errands->arena, &asked->together, sizeof *kept);
        if (!kept)
            return AQ_NO_MEMORY;
        *kept = all.at[i];
    }
    for (size_t i = 0; i < parts.count; i++) {
        bool grouped = false, wanted = false;
        aq_part *kept;

        for (size_t j = 0; parts.at[i].name && j < all.count; j++)
            if (holds_part(&all.at[j], parts.at[i].name)) {
                grouped = true;
                wanted = wanted || (all.at[j].name && strcmp(all.at[j].name, name) == 0);
            }
        if (grouped && !wanted)
            continue;
        kept = aq_list_add(errands->arena, &asked->part, sizeof *kept);
        if (!kept)
            return AQ_NO_MEMORY;
        *kept = parts.at[i];
    }
    return AQ_OK;
}

/* The question as it stands before the site fills it. */
static aq_asked question_of(const aq_errands *errands, const aq_task *task)
{
    aq_asked asked = *errands->asked;

    asked.date = task->at.date;
    memset(&asked.taken, 0, sizeof asked.taken);
    memset(&asked.supply, 0, sizeof asked.supply);
    return asked;
}

static aq_status fill(aq_errands *errands, aq_asked *asked, const aq_job *job, const char *subject,
                      aq_error *err)
{
    static const aq_node nothing = { .shape = AQ_NODE_MAP };
    aq_complaints *complaints = aq_arena_take(errands->arena, sizeof *complaints);
    aq_setting *setting = aq_arena_take(errands->arena, sizeof *setting);
    aq_status status;

    if (!complaints || !setting)
        return AQ_NO_MEMORY;
    *setting = errands->setting;
    setting->subject = subject;
    status = aq_fill(asked, errands->arena, job, &nothing, setting, complaints);
    if (status != AQ_OK && complaints->count && err && err->status == AQ_OK) {
        *err = complaints->at[0];
        if (subject)
            aq_error_within(err, "%s: ", subject);
    }
    return status;
}

/* The stages of a lot: the plan's own, or its recipe's. */
static aq_status stages_of(const aq_stages **out, aq_errands *errands, const aq_lot *lot,
                           const char *recipe_name, aq_error *err)
{
    const char *name = errands->asked->recipe_name ? errands->asked->recipe_name
                       : lot->recipe               ? lot->recipe
                                                   : recipe_name;
    aq_complaints *complaints;
    const aq_recipe *recipe;
    aq_status status;

    *out = &errands->asked->stages;
    if (errands->asked->stages.count || !name)
        return AQ_OK;
    complaints = aq_arena_take(errands->arena, sizeof *complaints);
    if (!complaints)
        return AQ_NO_MEMORY;
    status = aq_job_recipe(&recipe, errands->arena, &errands->setting, name, lot->place, complaints);
    if (status == AQ_OK)
        *out = &recipe->stages;
    else if (complaints->count && err && err->status == AQ_OK)
        *err = complaints->at[0];
    return status;
}

static aq_status stage_of_lot(const aq_stage **out, aq_errands *errands, const aq_lot *lot,
                              const char *recipe_name, aq_date on, aq_error *err)
{
    const aq_stages *stages;
    aq_status status = stages_of(&stages, errands, lot, recipe_name, err);

    *out = status == AQ_OK ? aq_lot_stage(lot, stages, &errands->asked->gate, on, NULL) : NULL;
    return status;
}

/* The gate is asked on the first day of its stage. */
static bool add_gate(aq_sheet *sheet, const aq_stage *stage, const aq_lot *lot, aq_date on)
{
    char date[AQ_DATE_ROOM];

    if (!stage || !stage->gate || (double)aq_lot_day(lot, on) > stage->days.low.value)
        return true;
    aq_date_write(on, date);
    return aq_sheet_caution(
        sheet, "gate before %s: %s? If not, do the day before again: gate %s, at %s, passed no",
        stage->name ? stage->name : "this stage", stage->gate, stage->name ? stage->name : "", date);
}

static void stamp(aq_sheet *sheet, const aq_task *task, const aq_lot *lot)
{
    sheet->at = task->at;
    sheet->reservoir = task->reservoir ? task->reservoir->name : task->bottle ? task->bottle->name : NULL;
    sheet->lot = lot ? lot->name : NULL;
    sheet->day = lot ? aq_lot_day(lot, task->at.date) : -1;
}

/* The sheet of one question, with its hazards: a plan's jobs are sheets like any other. */
static aq_status work_out(aq_sheet **out, aq_errands *errands, const aq_job *job, const aq_asked *asked,
                          aq_error *err)
{
    aq_status status = job->run(out, errands->arena, asked, err);

    return status == AQ_OK ? aq_job_finish(*out, job, asked, err) : status;
}

static aq_status water_alone(aq_sheet **out, aq_arena *arena, const aq_asked *asked, double litres,
                             const char *title)
{
    aq_sheet *sheet = aq_sheet_new(arena, "mix");
    aq_row *row = sheet ? aq_sheet_row(sheet, AQ_DO_WATER) : NULL;

    if (!row)
        return AQ_NO_MEMORY;
    row->water = asked->water.count == 1 ? asked->water.at[0].name : NULL;
    row->exact = aq_amount_volume(litres, false);
    row->amount = aq_amount_volume(litres, true);
    sheet->volume = aq_amount_of(litres, "L");
    sheet->title = title;
    if (asked->water_ec.given)
        sheet->expect_ec = aq_amount_within(asked->water_ec.value, "mS/cm", 0.10);
    *out = sheet;
    return title ? AQ_OK : AQ_NO_MEMORY;
}

/* Remembers what this change gives a litre of each part, for the top-ups that follow it. */
static aq_status remember(aq_errands *errands, const aq_task *task, const aq_sheet *sheet, double volume)
{
    aq_tank_memory *memory = memory_of(errands, task->reservoir);

    memory->known = sheet->expect_ec.given;
    memory->state = (aq_tank_state){ volume, sheet->expect_ec.value };
    memory->at = task->at;
    memory->has_rates = true;
    memset(&memory->rates, 0, sizeof memory->rates);
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const aq_row *row = &sheet->rows.at[i];
        const aq_amount *dose = row->concentrate.given ? &row->concentrate : &row->exact;
        aq_named_amount *rate;

        if ((row->what != AQ_DO_POUR && row->what != AQ_DO_WEIGH) || !row->part)
            continue;
        rate = aq_list_add(errands->arena, &memory->rates, sizeof *rate);
        if (!rate)
            return AQ_NO_MEMORY;
        rate->name = row->part;
        rate->amount = aq_quantity_of(aq_amount_base(*dose) / volume,
                                      row->what == AQ_DO_WEIGH ? AQ_KIND_CONTENT : AQ_KIND_RATE);
    }
    return AQ_OK;
}

/* The old solution: as the line of the week says, as the tank says, or as it was followed. */
static aq_status take_heel(aq_errands *errands, const aq_task *task, aq_asked *asked, bool *guessed)
{
    aq_quantity heel = first_given(task->entry->heel, task->reservoir->heel);
    aq_quantity ec = first_given(task->entry->heel_ec, task->reservoir->heel_ec);
    aq_tank_state found;

    *guessed = false;
    asked->heel = heel;
    if (!has(heel) || !(heel.value > 0))
        return AQ_OK;
    if (!has(ec) && find_state(errands, task, &found))
        ec = aq_quantity_of(found.ec, AQ_KIND_EC);
    *guessed = !has(ec);
    asked->heel_ec = ec;
    return AQ_OK;
}

/* Unrooted cuttings in a stage that only mists get plain water: no feed before there are roots. */
static bool only_mists(const aq_asked *asked, const aq_stage *stage)
{
    return stage && stage->mist.count && !aq_aim_given(&stage->aim) && !aq_aim_given(&asked->tank->aim);
}

static aq_status prepare_tank(aq_asked *asked, const aq_stage **stage, aq_errands *errands,
                              const aq_task *task, aq_error *err)
{
    const aq_reservoir *tank = task->reservoir;
    aq_status status = AQ_OK;

    *asked = question_of(errands, task);
    *stage = NULL;
    if (task->lot)
        status = stage_of_lot(stage, errands, task->lot, tank->recipe, task->at.date, err);
    if (status == AQ_OK && *stage && !tank->stage.name && !aq_aim_given(&tank->stage.aim))
        asked->stage = **stage;
    if (status == AQ_OK)
        status = keep_group(errands, asked, tank->together);
    if (status == AQ_OK)
        status = fill(errands, asked, &aq_job_mix, tank->name, err);
    return status;
}

/* A first change whose old solution nobody has read: it is taken to be as strong as the feed. */
static void suppose_heel(aq_asked *asked)
{
    asked->heel_ec = asked->aim.ec.given ? asked->aim.ec : asked->water_ec;
}

static aq_status change_of(aq_sheet **out, aq_errands *errands, const aq_task *task, bool keep, aq_error *err)
{
    aq_asked asked;
    const aq_stage *stage;
    aq_tank_state found;
    bool guessed = false;
    aq_status status = prepare_tank(&asked, &stage, errands, task, err);

    if (status == AQ_OK)
        status = take_heel(errands, task, &asked, &guessed);
    if (status != AQ_OK)
        return status;
    if (guessed)
        suppose_heel(&asked);
    if (only_mists(&asked, stage))
        status = water_alone(out, errands->arena, &asked, asked.volume.value,
                             aq_arena_format(errands->arena, "%s, %s of plain water", task->reservoir->name,
                                             aq_say(errands->arena, asked.volume.value, "L")));
    else
        status = work_out(out, errands, &aq_job_mix, &asked, err);
    if (status != AQ_OK || !keep)
        return status;
    if (guessed && asked.heel_ec.given &&
        !aq_sheet_assume(*out, "the old solution reads %s: read it before the change",
                         aq_say_ec(errands->arena, asked.heel_ec.value)))
        return AQ_NO_MEMORY;
    if (!aq_sheet_figure(*out, "holds", task->reservoir->holds.value, "L"))
        return AQ_NO_MEMORY;
    if (find_state(errands, task, &found) && (!aq_sheet_figure(*out, "level_before", found.volume, "L") ||
                                              !aq_sheet_figure(*out, "ec_before", found.ec, "mS/cm")))
        return AQ_NO_MEMORY;
    if (task->lot && !add_gate(*out, stage, task->lot, task->at.date))
        return AQ_NO_MEMORY;
    return remember(errands, task, *out, asked.volume.value);
}

/* What the change gives a litre, worked out where no change was planned before this top-up. */
static aq_status find_rates(aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_tank_memory *memory = memory_of(errands, task->reservoir);
    bool known = memory->known;
    aq_tank_state state = memory->state;
    aq_moment at = memory->at;
    aq_sheet *sheet;
    aq_status status;

    if (memory->has_rates)
        return AQ_OK;
    status = change_of(&sheet, errands, task, false, err);
    if (status == AQ_OK)
        status = remember(errands, task, sheet, aq_amount_base(sheet->volume));
    memory->known = known;
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

/* Days since the week's last change before this task; NaN where the week has none. */
static double since_change(const aq_task *task)
{
    for (long back = 0; back <= 7; back++) {
        aq_date day = aq_date_add(task->at.date, -back);

        for (size_t i = 0; i < task->entry->change.count; i++) {
            const aq_weektime *change = &task->entry->change.at[i];
            double days = days_between((aq_moment){ day, change->minute }, task->at);

            if (change->day == aq_date_weekday(day) && days > 0)
                return days;
        }
    }
    return NAN;
}

/* What is poured in: as the week says; up to the fill where the level was followed; or what was drunk since the change
 * that the week had before this plan began. */
static aq_status litres_of(double *out, bool *supposed, aq_errands *errands, const aq_task *task,
                           const aq_asked *asked, aq_error *err)
{
    aq_tank_state found;
    double days = since_change(task);

    *supposed = false;
    if (has(task->entry->add)) {
        *out = task->entry->add.value;
        return AQ_OK;
    }
    if (has(task->reservoir->uses) && find_state(errands, task, &found)) {
        *out = fmax(asked->volume.value - found.volume, 0);
        return AQ_OK;
    }
    if (has(task->reservoir->uses) && isfinite(days)) {
        *out = fmin(task->reservoir->uses.value * days, asked->volume.value);
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
    aq_quantity uptake = first_given(task->entry->uptake, task->reservoir->uptake);
    aq_status status;

    *plain = false;
    memset(&asked->aim, 0, sizeof asked->aim);
    if (has(task->entry->share)) {
        status = find_rates(errands, task, err);
        *plain = !(task->entry->share.value > 0);
        return status == AQ_OK ? scaled(&asked->aim.rates, errands->arena,
                                        &memory_of(errands, task->reservoir)->rates, task->entry->share.value)
                               : status;
    }
    *plain = !has(uptake) || !asked->water_ec.given || uptake.value <= asked->water_ec.value + 1e-9;
    asked->aim.ec = uptake;
    return AQ_OK;
}

static aq_status top_up_of(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_tank_memory *memory = memory_of(errands, task->reservoir);
    aq_arena *arena = errands->arena;
    aq_asked asked;
    const aq_stage *stage;
    aq_tank_state found;
    double litres = 0;
    bool plain = false, supposed = false, followed;
    const char *title;
    aq_status status = prepare_tank(&asked, &stage, errands, task, err);

    if (status == AQ_OK)
        status = litres_of(&litres, &supposed, errands, task, &asked, err);
    if (status == AQ_OK)
        status = aim_top_up(&asked, &plain, errands, task, err);
    if (status != AQ_OK || !(litres > 0))
        return status;
    asked.volume = aq_quantity_of(litres, AQ_KIND_VOLUME);
    memset(&asked.heel, 0, sizeof asked.heel);
    memset(&asked.dead, 0, sizeof asked.dead);
    title = aq_arena_format(arena, "top up %s with %s%s", task->reservoir->name, aq_say(arena, litres, "L"),
                            plain ? " of plain water" : "");
    status = plain ? water_alone(out, arena, &asked, litres, title)
                   : work_out(out, errands, &aq_job_mix, &asked, err);
    if (status != AQ_OK)
        return status;
    (*out)->job = "topup";
    (*out)->title = title;
    if (supposed &&
        !aq_sheet_assume(*out,
                         "the tank was changed when the week says, before this plan begins: read its level"))
        return AQ_NO_MEMORY;
    followed = find_state(errands, task, &found);
    if (!title || !aq_sheet_figure(*out, "holds", task->reservoir->holds.value, "L") ||
        (followed && (!aq_sheet_figure(*out, "level_before", found.volume, "L") ||
                      !aq_sheet_figure(*out, "ec_before", found.ec, "mS/cm"))))
        return AQ_NO_MEMORY;
    memory->known = followed && (*out)->expect_ec.given;
    memory->state = aq_tank_mixed(found, (aq_tank_state){ litres, (*out)->expect_ec.value });
    memory->at = task->at;
    if (memory->known && !aq_sheet_figure(*out, "ec_after", memory->state.ec, "mS/cm"))
        return AQ_NO_MEMORY;
    return AQ_OK;
}

static aq_status mist_of(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_asked asked = question_of(errands, task);
    const aq_stage *stage = NULL;
    aq_status status = AQ_OK;

    if (task->lot)
        status = stage_of_lot(&stage, errands, task->lot, task->bottle->recipe, task->at.date, err);
    if (status != AQ_OK || (task->lot && (!stage || !stage->mist.count) && !task->bottle->stage.name))
        return status;
    if (stage && !task->bottle->stage.name)
        asked.stage = *stage;
    status = fill(errands, &asked, &aq_job_mist, task->bottle->name, err);
    if (status == AQ_OK)
        status = work_out(out, errands, &aq_job_mist, &asked, err);
    if (status == AQ_OK && task->lot && !add_gate(*out, stage, task->lot, task->at.date))
        status = AQ_NO_MEMORY;
    return status;
}

/* A lot watered by hand: the day's litres, as mist while the stage mists, else as feed. */
static aq_status lot_of(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_asked asked = question_of(errands, task);
    const aq_stage *stage;
    const aq_job *job;
    double litres;
    aq_status status = stage_of_lot(&stage, errands, task->lot, NULL, task->at.date, err);

    if (status != AQ_OK || !stage || !has(stage->makes))
        return status;
    litres = stage->makes.value; /* L/d, and an errand a day */
    job = stage->mist.count ? &aq_job_mist : &aq_job_mix;
    asked.stage = *stage;
    asked.stuck = task->lot;
    if (!asked.recipe_name)
        asked.recipe_name = task->lot->recipe;
    status = fill(errands, &asked, job, NULL, err);
    if (status != AQ_OK)
        return status;
    asked.volume = aq_quantity_of(litres, AQ_KIND_VOLUME);
    asked.bottle = (aq_range){ asked.volume, asked.volume };
    if (!aq_aim_given(&asked.aim) && !stage->mist.count)
        status = water_alone(
            out, errands->arena, &asked, litres,
            aq_arena_format(errands->arena, "%s of plain water", aq_say(errands->arena, litres, "L")));
    else
        status = work_out(out, errands, job, &asked, err);
    if (status == AQ_OK && !add_gate(*out, stage, task->lot, task->at.date))
        status = AQ_NO_MEMORY;
    return status;
}

aq_status aq_errand_sheet(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_status status = AQ_OK;

    *out = NULL;
    switch (task->kind) {
    case AQ_TASK_CHANGE:
        status = change_of(out, errands, task, true, err);
        break;
    case AQ_TASK_TOP_UP:
        status = top_up_of(out, errands, task, err);
        break;
    case AQ_TASK_MIST:
        status = mist_of(out, errands, task, err);
        break;
    case AQ_TASK_WATER_LOT:
        status = lot_of(out, errands, task, err);
        break;
    }
    if (status == AQ_OK && *out)
        stamp(*out, task, task->lot);
    return status;
}
