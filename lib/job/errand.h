/* One errand of a plan: the sheet of a change, a top-up, a mist bottle or a lot watered by hand, worked out with what
 * the errands before it left in the tank. */
#ifndef AQ_JOB_ERRAND_H
#define AQ_JOB_ERRAND_H

#include "job/job.h"
#include "solve/drift.h"

/* What is known of a tank between errands. */
typedef struct {
    bool known;
    aq_tank_state state;
    aq_moment at;     /* of that state */
    bool read;        /* the state comes from the log, and no errand of this plan has changed it yet */
    aq_amounts rates; /* dose per litre of its last change, of each part */
    bool has_rates;
} aq_tank_memory;

typedef struct {
    aq_arena *arena;
    const aq_asked *asked; /* of the plan */
    aq_site site;          /* the site with the plan's own reservoirs, bottles and lots */
    aq_setting setting;
    aq_memory memory;                   /* of the log, but for the tanks: these are followed here */
    aq_tank_memory *tanks;              /* one for each reservoir of `site` */
    AQ_LIST(const aq_drinking *) drunk; /* what was learned of tanks and used */
} aq_errands;

aq_status aq_errands_begin(aq_errands *errands, aq_arena *arena, const aq_asked *asked);

/* Says on the plan's sheet when the tank of `task` crosses its limit, or is empty, before `until`; `then` is what happens
 * at that moment, "the change of Thu 12 Mar 2026". False: out of memory. */
bool aq_errand_watch(aq_errands *errands, aq_sheet *plan, const aq_reservoir *tank,
                     const aq_week_entry *entry, aq_moment until, const char *then);

/* Whether the log has that the task is done already, on the day on which the plan begins: a day that is planned again
 * later is planned as it was. A change is done by any change of that tank logged that day, a second one of the day by
 * one logged from its clock time on; a bottle's mist and a top-up of so many litres likewise. A top-up to a
 * level is not asked: where the level was logged it comes to nothing by itself. */
bool aq_errand_is_done(const aq_errands *errands, const aq_task *task);

/* Says on the plan's sheet, and among its `done`, that such a task is not listed again. What it left in the tank is as the log has it, or else
 * supposed to be as planned. */
aq_status aq_errand_skip(aq_errands *errands, aq_sheet *plan, const aq_task *task, aq_error *err);

/* What of the log the errands went by, among what the plan assumes. False: out of memory. */
bool aq_errands_tell(const aq_errands *errands, aq_sheet *plan);

/* *out is NULL where nothing is to be done: a lot that has no stage on that day. The sheet's `at`, `reservoir` or `lot`,
 * and `day` are set; level_before and ec_before among its figures where the tank was followed. */
aq_status aq_errand_sheet(aq_sheet **out, aq_errands *errands, const aq_task *task, aq_error *err);

/* Puts a name, where there is one, on a list of names; false: out of memory. */
bool aq_errand_name(aq_arena *arena, aq_texts *names, const char *name);

/* Complains of a name that is none of the known: "no reservoir is called Tray; did you mean Trays?", with the path to it,
 * `where`, in front. AQ_UNKNOWN_NAME, or AQ_NO_MEMORY. */
aq_status aq_errand_unknown(aq_arena *arena, aq_place place, const char *where, const char *noun,
                            const char *name, const aq_texts *known, aq_error *err);

#endif
