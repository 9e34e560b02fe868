/* A correction worked out with its doses, and put into rows: of one day, or of several where it goes in steps. */
#ifndef AQ_JOB_ADJUST_DAYS_H
#define AQ_JOB_ADJUST_DAYS_H

#include "job/source.h"
#include "solve/adjust.h"

/* The answer, and the dosing sheet where doses are part of it; *dosing is NULL where they are not. Where label tops hold
 * doses back, or these find no room, `most` and `room` of the problem say so afterwards. The statuses of aq_adjust and of
 * the job that mixes. */
aq_status aq_adjust_solve(aq_adjust_answer *answer, aq_sheet **dosing, aq_arena *arena, const aq_asked *asked,
                          aq_adjust_problem *problem, aq_error *err);

/* The level, `level` at most, to which water alone brings the tank to the wanted EC with nothing removed; `level` where it
 * leads nowhere near it. */
double aq_adjust_level_by_water(const aq_adjust_problem *problem);

/* Into how many days the change to `ec` is split. */
int aq_adjust_days(const aq_asked *asked, const aq_adjust_problem *problem, double ec);

/* The rows of those days, each worked from where the one before ended. */
aq_status aq_adjust_add_days(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                             const aq_adjust_answer *whole, int days, aq_error *err);

/* The rows of one day; `dosing` is NULL where nothing is dosed. */
aq_status aq_adjust_rows(aq_sheet *sheet, const aq_asked *asked, const aq_sheet *dosing,
                         const aq_adjust_answer *answer, aq_error *err);

/* The water, and what the tank reads in the end, where nothing is dosed. False: memory is out. */
bool aq_adjust_expect(aq_sheet *sheet, const aq_asked *asked, const aq_source *source,
                      const aq_adjust_answer *answer);

#endif
