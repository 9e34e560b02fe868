/* Acid into the water of a feed, before its parts: what the acid brings is counted, so the parts bring less. */
#ifndef AQ_JOB_TREAT_H
#define AQ_JOB_TREAT_H

#include "job/feed.h"
#include "job/neutralise.h"

/* Works out the acid that the line asks for and adds what it brings to the water of the feed: nutrients, ions, EC.
 * Nothing where the line has no acid. AQ_MISSING: the water's alkalinity, or the one wanted, is not given. */
aq_status aq_treat_begin(aq_neutralising *acid, aq_feed *feed, aq_error *err);

/* Puts the acid's rows behind those of the water, and what it took and brought among the figures. */
aq_status aq_treat_rows(aq_sheet *sheet, const aq_neutralising *acid, const aq_feed *feed, aq_error *err);

#endif
