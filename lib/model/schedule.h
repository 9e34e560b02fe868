/* From a lot and a date to a stage; from a week to its jobs in the order of the day.
 *
 * Day 0 is the day of sticking. A gate that was not passed repeats the day before it and moves everything after. */
#ifndef AQ_MODEL_SCHEDULE_H
#define AQ_MODEL_SCHEDULE_H

#include "model/site.h"

/* The day count of a lot on `on`, counted from the stick date: negative before it. */
AQ_API long aq_lot_day(const aq_lot *lot, aq_date on);

/* The stage of a lot on `on`, with the gates answered so far: each gate answered "no" on a date holds the stage before
 * it for one more day. `held`, unless NULL, is how many days were held. NULL: before sticking, or past the last. */
AQ_API const aq_stage *aq_lot_stage(const aq_lot *lot, const aq_stages *stages, const aq_gates *gates,
                                    aq_date on, long *held);

/* Whether the gate of the stage that a lot has on that day is to be asked: on the first day of the stage, after the days
 * that gates held the lot, unless it was passed that day. */
AQ_API bool aq_gate_asks(const aq_lot *lot, const aq_stage *stage, long held, const aq_gates *gates,
                         aq_date on);

/* Name of the stage that a reservoir is mixed for on `on`: its own, else that of the lot it feeds (`lot`, NULL: the one
 * that the site says), by the lot's recipe. NULL: none, or its recipe is not attached. */
AQ_API const char *aq_tank_stage(const aq_reservoir *tank, const char *lot, const aq_lots *lots,
                                 const aq_recipe_refs *recipes, const aq_gates *gates, aq_date on);

typedef enum { AQ_TASK_CHANGE, AQ_TASK_TOP_UP, AQ_TASK_MIST, AQ_TASK_WATER_LOT } aq_task_kind;
typedef struct {
    aq_moment at;
    aq_task_kind kind;
    const aq_reservoir *reservoir; /* change, top-up */
    const aq_week_entry *entry;    /* change, top-up */
    const aq_bottle *bottle;       /* mist */
    const aq_lot *lot;             /* the one to water; or that of the reservoir or bottle, NULL: none */
    size_t order;                  /* walking order: as listed in the site */
} aq_task;
typedef AQ_LIST(aq_task) aq_tasks;

/* The tasks of `days` days from `from`, sorted by day, clock time (none first), then walking order: reservoirs, then
 * bottles that have a `daily` time, then lots, each as listed. Every lot that was stuck has a task AQ_TASK_WATER_LOT
 * each day, without clock time: whether its stage then makes something is for the caller to see. The lists may be NULL.
 * AQ_UNKNOWN_NAME: the week names a reservoir that is not there. */
AQ_API aq_status aq_schedule(aq_tasks *out, aq_arena *arena, const aq_reservoirs *reservoirs,
                             const aq_week *week, const aq_bottles *bottles, const aq_lots *lots,
                             aq_date from, long days);

/* Sorts again, after the caller has set clock times. */
AQ_API void aq_tasks_sort(aq_tasks *tasks);

#endif
