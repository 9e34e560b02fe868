/* Each errand is a question of its own, asked with what the plan knows: the site's tank or bottle fills it as it would
 * fill a line on the sink, and the tank's level and EC have drifted since the errand before. */
#include "job/errand_inner.h"

#include "job/answer.h"
#include "job/fill.h"
#include "job/jobs.h"
#include "job/show.h"
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
    if (!errands->tanks)
        return AQ_NO_MEMORY;
    aq_errands_recall(errands);
    return AQ_OK;
}

/* The question as it stands before the site fills it. */
aq_asked aq_errand_question(const aq_errands *errands, const aq_task *task)
{
    aq_asked asked = *errands->asked;

    asked.date = task->at.date;
    memset(&asked.taken, 0, sizeof asked.taken);
    memset(&asked.supply, 0, sizeof asked.supply);
    asked.said.used_gallon = asked.said.used_ppm = asked.said.used_ratio = false; /* the plan has said it */
    return asked;
}

aq_status aq_errand_fill(aq_errands *errands, aq_asked *asked, const aq_job *job, const char *subject,
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

aq_status aq_errand_stage(aq_errand_days_stage *out, aq_errands *errands, const aq_lot *lot,
                          const char *recipe_name, aq_date on, aq_error *err)
{
    const aq_stages *stages;
    aq_status status = stages_of(&stages, errands, lot, recipe_name, err);

    *out = (aq_errand_days_stage){ 0 };
    if (status == AQ_OK)
        out->stage = aq_lot_stage(lot, stages, &errands->asked->gate, on, &out->held);
    return status;
}

bool aq_errand_gate(const aq_errands *errands, aq_sheet *sheet, aq_errand_days_stage of_day,
                    const aq_lot *lot, aq_date on)
{
    const aq_stage *stage = of_day.stage;
    char date[AQ_DATE_ROOM];

    if (!stage || !aq_gate_asks(lot, stage, of_day.held, &errands->asked->gate, on))
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
aq_status aq_errand_work(aq_sheet **out, aq_errands *errands, const aq_job *job, const aq_asked *asked,
                         aq_error *err)
{
    aq_status status = job->run(out, errands->arena, asked, err);

    return status == AQ_OK ? aq_job_finish(*out, job, asked, err) : status;
}

aq_status aq_errand_water(aq_sheet **out, aq_arena *arena, const aq_asked *asked, double litres,
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

static aq_status mist_of(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_asked asked = aq_errand_question(errands, task);
    aq_errand_days_stage of_day = { 0 };
    const aq_stage *stage;
    aq_status status = AQ_OK;

    if (task->lot)
        status = aq_errand_stage(&of_day, errands, task->lot, task->bottle->recipe, task->at.date, err);
    stage = of_day.stage;
    if (status != AQ_OK || (task->lot && (!stage || !stage->mist.count) && !task->bottle->stage.name))
        return status;
    if (stage && !task->bottle->stage.name)
        asked.stage = *stage;
    status = aq_errand_fill(errands, &asked, &aq_job_mist, task->bottle->name, err);
    if (status == AQ_OK)
        status = aq_errand_work(out, errands, &aq_job_mist, &asked, err);
    if (status == AQ_OK && task->lot && !aq_errand_gate(errands, *out, of_day, task->lot, task->at.date))
        status = AQ_NO_MEMORY;
    return status;
}

/* A lot watered by hand: the day's litres, as mist while the stage mists, else as feed. */
static aq_status lot_of(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_asked asked = aq_errand_question(errands, task);
    aq_errand_days_stage of_day;
    const aq_stage *stage;
    const aq_job *job;
    double litres;
    aq_status status = aq_errand_stage(&of_day, errands, task->lot, NULL, task->at.date, err);

    stage = of_day.stage;
    if (status != AQ_OK || !stage || !stage->makes.given)
        return status;
    litres = stage->makes.value; /* L/d, and an errand a day */
    job = stage->mist.count ? &aq_job_mist : &aq_job_mix;
    asked.stage = *stage;
    asked.stuck = task->lot;
    if (!asked.recipe_name)
        asked.recipe_name = task->lot->recipe;
    status = aq_errand_fill(errands, &asked, job, NULL, err);
    if (status != AQ_OK)
        return status;
    asked.volume = aq_quantity_of(litres, AQ_KIND_VOLUME);
    asked.bottle = (aq_range){ asked.volume, asked.volume };
    if (!aq_aim_given(&asked.aim) && !stage->mist.count)
        status = aq_errand_water(out, errands->arena, &asked, litres,
                                 aq_arena_format(errands->arena, "%s of plain water",
                                                 aq_show_volume(errands->arena, &asked, litres)));
    else
        status = aq_errand_work(out, errands, job, &asked, err);
    if (status == AQ_OK && !aq_errand_gate(errands, *out, of_day, task->lot, task->at.date))
        status = AQ_NO_MEMORY;
    return status;
}

aq_status aq_errand_sheet(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err)
{
    aq_status status = AQ_OK;

    *out = NULL;
    switch (task->kind) {
    case AQ_TASK_CHANGE:
        status = aq_errand_change(out, errands, task, true, err);
        break;
    case AQ_TASK_TOP_UP:
        status = aq_errand_top_up(out, errands, task, err);
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
