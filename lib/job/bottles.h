/* From the rows of one bottle to those of several. */
#ifndef AQ_JOB_BOTTLES_H
#define AQ_JOB_BOTTLES_H

#include "job/feed.h"

/* What is poured and weighed for one becomes what all take, with the share of each beside it. False: out of memory. */
bool aq_bottles_share(aq_sheet *sheet, const aq_feed *feed);

#endif
