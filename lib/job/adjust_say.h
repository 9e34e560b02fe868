/* What is said of a correction beside its rows: its figures, the slow way without it, and what it falls short of. */
#ifndef AQ_JOB_ADJUST_SAY_H
#define AQ_JOB_ADJUST_SAY_H

#include "job/job.h"
#include "solve/adjust.h"

/* Sets the outcome where the answer is not what was asked, and takes the rows away where it is refused. False: memory is
 * out. */
bool aq_adjust_say(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                   const aq_adjust_answer *answer);

#endif
