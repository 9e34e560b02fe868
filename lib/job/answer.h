/* One question answered once, and a question about the question: what each reading of an ambiguous value would give. */
#ifndef AQ_JOB_ANSWER_H
#define AQ_JOB_ANSWER_H

#include "job/job.h"

/* As aq_job_answer, with `said` known from the start and no choice tried. */
aq_status aq_answer_once(aq_sheet **out, aq_arena *arena, const aq_job *job, const aq_node *answers,
                         const aq_setting *setting, aq_said said, aq_complaints *complaints);

/* What every sheet of that job gets once its numbers stand: its occasion, what was taken from where, the units to show,
 * and the rules of caution. For a sheet that a plan makes, too. */
aq_status aq_job_finish(aq_sheet *sheet, const aq_job *job, const aq_asked *asked, aq_error *err);

/* Looks through the complaints for questions with a fixed set of answers. A question asked of several values of the line
 * is kept once; the answer that each choice would give is put behind it. */
void aq_answer_choices(aq_arena *arena, const aq_job *job, const aq_node *answers, const aq_setting *setting,
                       aq_said said, aq_complaints *complaints);

/* "factor 1.08", "1.80 mS/cm"; "36.5 mL First". NULL: no memory. */
const char *aq_headline_figure(const aq_sheet *sheet, const aq_figure *figure);
const char *aq_headline_row(const aq_sheet *sheet, size_t which);

#endif
