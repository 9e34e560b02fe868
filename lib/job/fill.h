/* What the site, the tank or bottle it names, and the recipe say where the line does not.
 *
 * A member is filled only where the job has the row of that name and the line left it unanswered. What was taken and
 * changes the numbers is said in asked->taken, in the form "heel: 4 L, from Mother bed". */
#ifndef AQ_JOB_FILL_H
#define AQ_JOB_FILL_H

#include "job/job.h"

/* Fills `asked`, which was read from `answers`. Complaints go to `complaints`. Afterwards
 *   water      has no bare names: each is an entry with what the site knows of it
 *   recipe     is loaded, where the line or the tank names one
 *   stage      is an entry, where the line, the tank or its lot has one
 *   part       holds every member of a group, in pouring order */
aq_status aq_fill(aq_asked *asked, aq_arena *arena, const aq_job *job, const aq_node *answers,
                  const aq_setting *setting, aq_complaints *complaints);

#endif
