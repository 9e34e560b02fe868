/* What belongs on the sheet of a diluted liquid beside its amounts: what to have ready before it, and what its substance
 * does when it meets water, leaves or time. */
#ifndef AQ_JOB_PRACTICE_H
#define AQ_JOB_PRACTICE_H

#include "chemistry/liquid.h"
#include "job/job.h"

/* The handbooks' table of that liquid, by the grower's name or that of the table of substances; NULL: none. */
const aq_liquid *aq_liquid_called(const char *of);

/* The rows before the one that is poured: water that stands there already, where it is an acid or a peroxide. `water`: L
 * that there is room for beside it. False: memory is out. */
bool aq_practice_before(aq_sheet *sheet, const char *name, double water);

/* The cautions of its substance; `take` L (or g) of it go into `make` L. False: memory is out. */
bool aq_practice_words(aq_sheet *sheet, const aq_asked *asked, const char *name, double make, double take);

#endif
