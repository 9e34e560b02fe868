/* What to do when a meter disagrees, easiest step first: one table of words, of which every job takes its steps. */
#ifndef AQ_JOB_LADDER_H
#define AQ_JOB_LADDER_H

#include "sheet/sheet.h"

typedef enum {
    AQ_STEP_CIRCULATE = 1,
    AQ_STEP_PROBE = 2,
    AQ_STEP_STANDARD = 4,
    AQ_STEP_TANK = 8, /* needs a tank, and what was poured */
    AQ_STEP_HALF = 16,
    AQ_STEP_LOG = 32,
    AQ_STEP_STRONG = 64,
    AQ_STEPS_ALL = 127
} aq_ladder_step;

/* Adds those steps, a sum of them, to sheet->next. False: out of memory. */
bool aq_say_ladder(aq_sheet *sheet, unsigned steps);

/* What stands behind an amount for another reading. */
extern const char *const aq_ladder_half_said;

#endif
