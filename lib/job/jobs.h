/* Every job, each defined in the file of its name; job.c puts them in its table, and jobs that build on another run it. */
#ifndef AQ_JOB_JOBS_H
#define AQ_JOB_JOBS_H

#include "job/job.h"
#include "sheet/shelf.h"

extern const aq_job aq_job_acid, aq_job_adjust, aq_job_blend, aq_job_condition, aq_job_convert, aq_job_dilute,
    aq_job_flush, aq_job_learn, aq_job_meter, aq_job_mist, aq_job_mix, aq_job_plan, aq_job_stock,
    aq_job_supplies, aq_job_topup, aq_job_trace, aq_job_water;

/* What the plan of these days takes, for the shelf. */
aq_status aq_plan_needs(aq_need_list *out, aq_arena *arena, const aq_asked *asked, aq_date from, long days,
                        aq_error *err);

#endif
