/* A reservoir change of a plan: into what the errands before it left, and what it leaves to those after it. */
#include "job/errand_inner.h"

#include "job/jobs.h"
#include "job/rows.h"
#include "job/show.h"
#include "sheet/measured.h"

#include <string.h>

/* Remembers what this change gives a litre of each part, for the top-ups that follow it. */
aq_status aq_errand_remember(aq_errands *errands, const aq_task *task, const aq_sheet *sheet, double volume)
{
    aq_tank_memory *memory = aq_errand_tank(errands, task->reservoir);

    memory->known = sheet->expect_ec.given;
    memory->read = false;
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

/* The old solution: as the line of the week says, as it was read last, as the tank says, or as it was followed. */
static void take_heel(aq_errands *errands, const aq_task *task, aq_asked *asked, bool *guessed)
{
    const aq_tank_memory *memory = aq_errand_tank(errands, task->reservoir);
    aq_quantity heel = aq_errand_first(task->entry->heel, task->reservoir->heel);
    aq_quantity ec = task->entry->heel_ec;
    aq_tank_state found;
    bool followed = aq_errand_state(errands, task, &found);

    *guessed = false;
    asked->heel = heel;
    /* what is in pipes and medium is old solution too */
    if (!(heel.value > 0 || task->reservoir->dead.value > 0))
        return;
    if (!(memory->read && followed))
        ec = aq_errand_first(ec, task->reservoir->heel_ec);
    if (!ec.given && followed)
        ec = aq_quantity_of(found.ec, AQ_KIND_EC);
    *guessed = !ec.given;
    asked->heel_ec = ec;
}

/* Unrooted cuttings in a stage that only mists get plain water: no feed before there are roots. */
static bool only_mists(const aq_asked *asked, const aq_stage *stage)
{
    return stage && stage->mist.count && !aq_aim_given(&stage->aim) && !aq_aim_given(&asked->tank->aim);
}

aq_status aq_errand_prepare(aq_asked *asked, aq_errand_days_stage *of_day, aq_errands *errands,
                            const aq_task *task, aq_error *err)
{
    const aq_reservoir *tank = task->reservoir;
    aq_status status = AQ_OK;

    *asked = aq_errand_question(errands, task);
    *of_day = (aq_errand_days_stage){ 0 };
    if (task->lot)
        status = aq_errand_stage(of_day, errands, task->lot, tank->recipe, task->at.date, err);
    if (status == AQ_OK && of_day->stage && !tank->stage.name && !aq_aim_given(&tank->stage.aim))
        asked->stage = *of_day->stage;
    if (status == AQ_OK)
        status = aq_errand_feed(errands, asked, tank, err);
    if (status == AQ_OK)
        status = aq_errand_fill(errands, asked, &aq_job_mix, tank->name, err);
    return status;
}

/* A first change whose old solution nobody has read: it is taken to be as strong as the feed. */
static void suppose_heel(aq_asked *asked)
{
    asked->heel_ec = asked->aim.ec.given ? asked->aim.ec : asked->water_ec;
}

aq_status aq_errand_change(aq_sheet **out, aq_errands *errands, const aq_task *task, bool keep, aq_error *err)
{
    aq_asked asked;
    aq_errand_days_stage of_day;
    aq_tank_state found;
    bool guessed = false;
    aq_status status = aq_errand_prepare(&asked, &of_day, errands, task, err);

    if (status != AQ_OK)
        return status;
    take_heel(errands, task, &asked, &guessed);
    if (guessed)
        suppose_heel(&asked);
    if (only_mists(&asked, of_day.stage))
        status =
            aq_errand_water(out, errands->arena, &asked, asked.volume.value,
                            aq_arena_format(errands->arena, "%s, %s of plain water", task->reservoir->name,
                                            aq_show_volume(errands->arena, &asked, asked.volume.value)));
    else
        status = aq_errand_work(out, errands, &aq_job_mix, &asked, err);
    if (status != AQ_OK || !keep)
        return status;
    if (guessed && asked.heel_ec.given &&
        !aq_sheet_assume(*out, "the old solution reads %s: read it before the change",
                         aq_say_ec(errands->arena, asked.heel_ec.value)))
        return AQ_NO_MEMORY;
    if (!aq_sheet_figure(*out, "holds", task->reservoir->holds.value, "L"))
        return AQ_NO_MEMORY;
    if (aq_errand_state(errands, task, &found) &&
        (!aq_sheet_figure(*out, "level_before", found.volume, "L") ||
         !aq_sheet_figure(*out, "ec_before", found.ec, "mS/cm")))
        return AQ_NO_MEMORY;
    if (task->lot && !aq_errand_gate(errands, *out, of_day, task->lot, task->at.date))
        return AQ_NO_MEMORY;
    return aq_errand_remember(errands, task, *out, asked.volume.value);
}
