/* Errands of today that the log has already: poured, so neither listed nor counted again. */
#include "job/errand_inner.h"

#include "model/schedule.h"

#include <stdio.h>
#include <string.h>

static aq_moment last_done(const aq_errands *errands, const aq_task *task)
{
    const aq_setting *setting = errands->asked->setting;
    const aq_memory *log = setting && !setting->done_too ? setting->memory : NULL;
    const aq_tank_recalled *known = NULL;

    if (task->kind == AQ_TASK_CHANGE)
        known = aq_errand_recalled(log, task->reservoir->name);
    else if (task->kind == AQ_TASK_MIST)
        known = aq_errand_recalled(log, task->bottle->name);
    return !known ? (aq_moment){ 0 } : task->kind == AQ_TASK_MIST ? known->misted : known->changed;
}

/* Whether the week has a change of that tank earlier on the day. */
static bool follows_another(const aq_errands *errands, const aq_task *task)
{
    const aq_week *week = &errands->asked->week;

    for (size_t i = 0; task->kind == AQ_TASK_CHANGE && i < week->count; i++) {
        const aq_week_entry *entry = &week->at[i];

        if (strcmp(entry->reservoir, task->reservoir->name) != 0)
            continue;
        for (size_t j = 0; j < entry->change.count; j++)
            if (entry->change.at[j].day == aq_date_weekday(task->at.date) &&
                entry->change.at[j].minute < task->at.minute)
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
    bool change = task->kind == AQ_TASK_CHANGE;
    aq_moment done = last_done(errands, task);
    const char *name = change ? task->reservoir->name : task->bottle->name, **place;
    aq_sheet *supposed;
    char day[AQ_DATE_ROOM], at[16] = "";
    aq_status status = AQ_OK;

    if (change && !aq_errand_tank(errands, task->reservoir)->known)
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
                           change ? "change" : "mist", name, day, *at ? " at " : "", at)
               ? AQ_OK
               : AQ_NO_MEMORY;
}
