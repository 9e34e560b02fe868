/* Errands of today that the log has already: poured, so neither listed nor counted again. */
#include "job/errand_inner.h"

#include "model/schedule.h"

#include <stdio.h>
#include <string.h>

static const char *vessel_of(const aq_task *task)
{
    return task->kind == AQ_TASK_MIST ? task->bottle->name : task->reservoir->name;
}

/* What the log has of the task's vessel; NULL: nothing, or the task is none that is ever logged. */
static const aq_tank_recalled *recalled(const aq_errands *errands, const aq_task *task)
{
    const aq_setting *setting = errands->asked->setting;
    const aq_memory *log = setting && !setting->done_too ? setting->memory : NULL;

    if (task->kind == AQ_TASK_WATER_LOT || (task->kind == AQ_TASK_TOP_UP && !task->entry->add.given))
        return NULL;
    return aq_errand_recalled(log, vessel_of(task));
}

static aq_moment last_done(const aq_errands *errands, const aq_task *task)
{
    const aq_tank_recalled *known = recalled(errands, task);

    return !known                         ? (aq_moment){ 0 }
           : task->kind == AQ_TASK_MIST   ? known->misted
           : task->kind == AQ_TASK_CHANGE ? known->changed
                                          : known->topped;
}

static const aq_weektimes *days_of(const aq_week_entry *entry, aq_task_kind kind)
{
    return kind == AQ_TASK_CHANGE ? &entry->change : &entry->top_up;
}

/* Whether the week has the same for that tank earlier on the day. */
static bool follows_another(const aq_errands *errands, const aq_task *task)
{
    const aq_week *week = &errands->asked->week;

    for (size_t i = 0; task->kind != AQ_TASK_MIST && i < week->count; i++) {
        const aq_week_entry *entry = &week->at[i];
        const aq_weektimes *days = days_of(entry, task->kind);

        if (strcmp(entry->reservoir, task->reservoir->name) != 0)
            continue;
        for (size_t j = 0; j < days->count; j++)
            if (days->at[j].day == aq_date_weekday(task->at.date) && days->at[j].minute < task->at.minute)
                return true;
    }
    return false;
}

bool aq_errand_is_done(const aq_errands *errands, const aq_task *task)
{
    aq_date first = errands->asked->from.year ? errands->asked->from : errands->asked->today.date;
    aq_moment done = last_done(errands, task);

    if (!done.date.year || aq_date_compare(done.date, task->at.date) != 0 ||
        aq_date_compare(task->at.date, first) != 0)
        return false;
    return done.minute >= task->at.minute || !follows_another(errands, task);
}

aq_status aq_errand_skip(aq_errands *errands, aq_sheet *plan, const aq_task *task, aq_error *err)
{
    static const char *const words[] = {
        [AQ_TASK_CHANGE] = "change", [AQ_TASK_TOP_UP] = "top-up", [AQ_TASK_MIST] = "mist"
    };
    aq_moment done = last_done(errands, task);
    const char *name = vessel_of(task), **place;
    char day[AQ_DATE_ROOM], at[16] = "";
    aq_sheet *supposed;
    aq_status status = AQ_OK;

    if (task->kind == AQ_TASK_CHANGE && !aq_errand_tank(errands, task->reservoir)->known)
        status = aq_errand_change(&supposed, errands, task, true, err);
    if (status != AQ_OK)
        return status;
    aq_date_say(done.date, day);
    if (done.minute >= 0)
        snprintf(at, sizeof at, "%02d:%02d", done.minute / 60 % 24, done.minute % 60);
    place = aq_list_add(plan->arena, &plan->done, sizeof *place);
    if (!place)
        return AQ_NO_MEMORY;
    *place = name;
    return aq_sheet_assume(plan, "the %s of %s is in the log, on %s%s%s: it is not listed again",
                           words[task->kind], name, day, *at ? " at " : "", at)
               ? AQ_OK
               : AQ_NO_MEMORY;
}
