/* What the files of a plan's errands share. Private to this room. */
#ifndef AQ_JOB_ERRAND_INNER_H
#define AQ_JOB_ERRAND_INNER_H

#include "job/errand.h"

/* ---- what is known ---- */

aq_tank_memory *aq_errand_tank(aq_errands *errands, const aq_reservoir *tank);
double aq_errand_days(aq_moment from, aq_moment to); /* a day without its time begins at midnight */
aq_quantity aq_errand_first(aq_quantity one, aq_quantity other);

/* Levels and EC that the log has of the tanks. */
void aq_errands_recall(aq_errands *errands);

/* What the tank drinks: as the line says, as was learned for the stage it has on that day, or in any, or as the site says.
 * Not given: nobody knows. */
typedef struct {
    aq_quantity uses, uptake;
} aq_errand_thirst;
void aq_errand_drinks(aq_errand_thirst *out, aq_errands *errands, const aq_reservoir *tank,
                      const aq_week_entry *entry, aq_date on);

/* The tank as it will be found: what the last errand left, or what was read last, less what was drunk since. False:
 * nobody knows its EC; the level is still told where the tank is known. */
bool aq_errand_state(aq_errands *errands, const aq_task *task, aq_tank_state *out);

/* What the log last has of a tank, or of a bottle, by its name; NULL: nothing. */
const aq_tank_recalled *aq_errand_recalled(const aq_memory *log, const char *name);

/* ---- the question ---- */

/* As it stands before the site fills it. */
aq_asked aq_errand_question(const aq_errands *errands, const aq_task *task);
aq_status aq_errand_fill(aq_errands *errands, aq_asked *asked, const aq_job *job, const char *subject,
                         aq_error *err);
/* The stage of a lot on one day, and for how many days its gates held it until then. */
typedef struct {
    const aq_stage *stage; /* NULL: none */
    long held;
} aq_errand_days_stage;
aq_status aq_errand_stage(aq_errand_days_stage *out, aq_errands *errands, const aq_lot *lot,
                          const char *recipe_name, aq_date on, aq_error *err);

/* Of the line's groups and waters those that the tank names; an unknown one is complained of. */
aq_status aq_errand_feed(aq_errands *errands, aq_asked *asked, const aq_reservoir *tank, aq_error *err);

/* A mix for the tank of the task, all but its heel; *of_day is that of its lot. */
aq_status aq_errand_prepare(aq_asked *asked, aq_errand_days_stage *of_day, aq_errands *errands,
                            const aq_task *task, aq_error *err);

/* ---- the sheet ---- */

/* With its hazards: a plan's jobs are sheets like any other. */
aq_status aq_errand_work(aq_sheet **out, aq_errands *errands, const aq_job *job, const aq_asked *asked,
                         aq_error *err);
aq_status aq_errand_water(aq_sheet **out, aq_arena *arena, const aq_asked *asked, double litres,
                          const char *title);

/* The gate is asked on the first day of its stage, unless it was answered. */
bool aq_errand_gate(const aq_errands *errands, aq_sheet *sheet, aq_errand_days_stage of_day,
                    const aq_lot *lot, aq_date on);

/* Remembers what this change gives a litre of each part, for the top-ups that follow it. */
aq_status aq_errand_remember(aq_errands *errands, const aq_task *task, const aq_sheet *sheet, double volume);

/* `keep`: it is done, so what it leaves in the tank is remembered. */
aq_status aq_errand_change(aq_sheet **out, aq_errands *errands, const aq_task *task, bool keep,
                           aq_error *err);
aq_status aq_errand_top_up(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err);

#endif
