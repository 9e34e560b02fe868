/* Warnings where the pH leaves the range in which a chelate holds its iron. */
#ifndef AQ_JOB_IRON_H
#define AQ_JOB_IRON_H

#include "job/feed.h"

/* Of each part of a feed that brings iron and names its chelate, in its name or its substance. */
bool aq_iron_of_feed(aq_sheet *sheet, const aq_feed *feed);

/* Which chelate holds iron in a water of that pH, where the weakest does not: sheet->next. */
bool aq_iron_of_water(aq_sheet *sheet, double ph);

#endif
