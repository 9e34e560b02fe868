/* From lots and weeks to the tasks of the days.
 *
 * The days of a lot are counted from the day of sticking, day 0: stuck on Mon 2 Mar 2026, day 4 is Fri 6 Mar. A gate
 * stands before the first day of its stage. While it is answered "no" the day before it is done again, and all that
 * follows moves by a day:
 *
 *     date          2  3  4  5  6     7     8
 *     days          0  1  2  3  4     5     6
 *     no on the 6th 0  1  2  3  3     4     5 */
#include "model/schedule.h"

#include <stdlib.h>
#include <string.h>

long aq_lot_day(const aq_lot *lot, aq_date on)
{
    return aq_date_between(lot->stuck, on);
}

/* What is not said on either side is no difference. */
static bool same_or_unsaid(const char *said, const char *name)
{
    return !said || (name && strcmp(said, name) == 0);
}

/* Whether that was the answer at the gate of the stage on that day. */
static bool answered(const aq_gates *gates, aq_yes_no answer, const aq_lot *lot, const aq_stage *stage,
                     aq_date on)
{
    for (size_t i = 0; gates && i < gates->count; i++) {
        const aq_gate *gate = &gates->at[i];

        if (gate->passed == (int)answer && aq_date_compare(gate->at, on) == 0 &&
            same_or_unsaid(gate->lot, lot->name) &&
            (gate->stage ? same_or_unsaid(gate->stage, stage->name) : stage->gate != NULL))
            return true;
    }
    return false;
}

static long last_day(const aq_stages *stages)
{
    double last = -1;

    for (size_t i = 0; i < stages->count; i++)
        if (stages->at[i].days.high.given && stages->at[i].days.high.value > last)
            last = stages->at[i].days.high.value;
    return (long)last;
}

const aq_stage *aq_lot_stage(const aq_lot *lot, const aq_stages *stages, const aq_gates *gates, aq_date on,
                             long *held)
{
    long ahead = aq_lot_day(lot, on), last = last_day(stages), day = 0, holds = 0;
    bool stands = false;

    for (long date = 0; date <= ahead && day <= last; date++) {
        const aq_stage *stage = aq_stage_on(stages, day);

        stands = stage && (double)day == stage->days.low.value &&
                 answered(gates, AQ_NO, lot, stage, aq_date_add(lot->stuck, date));
        holds += stands;
        if (date == ahead)
            break;
        day += !stands;
    }
    if (held)
        *held = holds;
    if (ahead < 0)
        return NULL;
    return aq_stage_on(stages, stands ? day - 1 : day);
}

bool aq_gate_asks(const aq_lot *lot, const aq_stage *stage, long held, const aq_gates *gates, aq_date on)
{
    if (!stage->gate || (double)(aq_lot_day(lot, on) - held) > stage->days.low.value)
        return false;
    return !answered(gates, AQ_YES, lot, stage, on);
}

static const aq_recipe *recipe_named(const aq_recipe_refs *recipes, const char *name)
{
    if (!name)
        return recipes->count == 1 ? recipes->at[0].recipe : NULL; /* the only one there is */
    for (size_t i = 0; i < recipes->count; i++)
        if (strcmp(recipes->at[i].name, name) == 0)
            return recipes->at[i].recipe;
    return NULL;
}

static const aq_lot *lot_named(const aq_lots *lots, const char *name)
{
    for (size_t i = 0; lots && name && i < lots->count; i++)
        if (lots->at[i].name && strcmp(lots->at[i].name, name) == 0)
            return &lots->at[i];
    return NULL;
}

const char *aq_tank_stage(const aq_reservoir *tank, const char *lot_name, const aq_lots *lots,
                          const aq_recipe_refs *recipes, const aq_gates *gates, aq_date on)
{
    const aq_lot *lot = lot_named(lots, lot_name ? lot_name : tank->lot);
    const aq_recipe *recipe = lot ? recipe_named(recipes, lot->recipe ? lot->recipe : tank->recipe) : NULL;
    const aq_stage *stage = recipe ? aq_lot_stage(lot, &recipe->stages, gates, on, NULL) : NULL;

    if (tank->stage.name)
        return tank->stage.name;
    return stage ? stage->name : NULL;
}

/* ---- tasks ---- */

typedef struct {
    aq_tasks *out;
    aq_arena *arena;
    const aq_reservoirs *reservoirs;
    const aq_lots *lots;
    aq_date date;
} day_of;

static bool add_task(day_of *day, aq_task task, int minute)
{
    aq_task *added = aq_list_add(day->arena, day->out, sizeof *added);

    if (!added)
        return false;
    *added = task;
    added->at = (aq_moment){ .date = day->date, .minute = minute };
    return true;
}

static bool add_times(day_of *day, aq_task task, const aq_weektimes *times)
{
    aq_weekday today = aq_date_weekday(day->date);

    for (size_t i = 0; i < times->count; i++)
        if (times->at[i].day == today && !add_task(day, task, times->at[i].minute))
            return false;
    return true;
}

static aq_status add_week(day_of *day, const aq_week *week)
{
    for (size_t i = 0; week && i < week->count; i++) {
        aq_task task = { .entry = &week->at[i] };

        for (size_t j = 0; j < day->reservoirs->count && !task.reservoir; j++)
            if (strcmp(day->reservoirs->at[j].name, week->at[i].reservoir) == 0)
                task = (aq_task){ .entry = &week->at[i], .reservoir = &day->reservoirs->at[j], .order = j };
        if (!task.reservoir)
            return AQ_UNKNOWN_NAME;
        task.lot = lot_named(day->lots, task.reservoir->lot);
        task.kind = AQ_TASK_CHANGE;
        if (!add_times(day, task, &week->at[i].change))
            return AQ_NO_MEMORY;
        task.kind = AQ_TASK_TOP_UP;
        if (!add_times(day, task, &week->at[i].top_up))
            return AQ_NO_MEMORY;
    }
    return AQ_OK;
}

static aq_status add_bottles(day_of *day, const aq_bottles *bottles, size_t first)
{
    for (size_t i = 0; bottles && i < bottles->count; i++) {
        const aq_bottle *bottle = &bottles->at[i];
        aq_task task = { .kind = AQ_TASK_MIST,
                         .bottle = bottle,
                         .lot = lot_named(day->lots, bottle->lot),
                         .order = first + i };

        if (bottle->daily.given && !add_task(day, task, bottle->daily.minute))
            return AQ_NO_MEMORY;
    }
    return AQ_OK;
}

static aq_status add_lots(day_of *day, size_t first)
{
    for (size_t i = 0; day->lots && i < day->lots->count; i++) {
        aq_task task = { .kind = AQ_TASK_WATER_LOT, .lot = &day->lots->at[i], .order = first + i };

        if (aq_lot_day(task.lot, day->date) >= 0 && !add_task(day, task, -1))
            return AQ_NO_MEMORY;
    }
    return AQ_OK;
}

/* The last two keys only make the order of equals the same on every machine. */
static int compare_tasks(const void *left, const void *right)
{
    const aq_task *a = left, *b = right;
    int by_time = aq_moment_compare(a->at, b->at);

    if (by_time != 0)
        return by_time;
    if (a->order != b->order)
        return a->order < b->order ? -1 : 1;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    return a->entry < b->entry ? -1 : a->entry > b->entry;
}

void aq_tasks_sort(aq_tasks *tasks)
{
    if (tasks->count > 1)
        qsort(tasks->at, tasks->count, sizeof *tasks->at, compare_tasks);
}

aq_status aq_schedule(aq_tasks *out, aq_arena *arena, const aq_reservoirs *reservoirs, const aq_week *week,
                      const aq_bottles *bottles, const aq_lots *lots, aq_date from, long days)
{
    static const aq_reservoirs none = { 0 };
    day_of day = { .out = out, .arena = arena, .reservoirs = reservoirs ? reservoirs : &none, .lots = lots };
    size_t tanks = day.reservoirs->count, and_bottles = tanks + (bottles ? bottles->count : 0);
    aq_status status = AQ_OK;

    *out = (aq_tasks){ 0 };
    for (long i = 0; i < days && status == AQ_OK; i++) {
        day.date = aq_date_add(from, i);
        status = add_week(&day, week);
        if (status == AQ_OK)
            status = add_bottles(&day, bottles, tanks);
        if (status == AQ_OK)
            status = add_lots(&day, and_bottles);
    }
    if (status == AQ_OK)
        aq_tasks_sort(out);
    else
        *out = (aq_tasks){ 0 };
    return status;
}
