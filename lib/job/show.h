/* The units of the sheet: the first of `show`, or the gallon that a volume was asked in. */
#ifndef AQ_JOB_SHOW_H
#define AQ_JOB_SHOW_H

#include "job/job.h"

/* Turns the sheet's volumes, and those of its jobs, into that system. What is measured with a tool stays in the tool's
 * unit, for its marks are what the hand follows. A dose is never rounded up. */
aq_status aq_show_units(aq_sheet *sheet, const aq_asked *asked);

/* A volume in a title, in that system: "20 US gal", "80 L", "500 mL". NULL: out of memory. */
const char *aq_show_volume(aq_arena *arena, const aq_asked *asked, double litres);

#endif
