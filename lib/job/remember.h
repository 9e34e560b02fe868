/* What the log knows, in place of what label, mark and site say. Private to this room. */
#ifndef AQ_JOB_REMEMBER_H
#define AQ_JOB_REMEMBER_H

#include "job/feed.h"
#include "job/filling.h"

/* Steps of filling: the last reading and what was poured since the change, before the site's tank is asked; answers at gates; what is left,
 * after the site's shelf; slopes, once the parts stand. */
aq_status aq_remember_tank(aq_filling *f);
aq_status aq_remember_gates(aq_filling *f);
aq_status aq_remember_stock(aq_filling *f);
aq_status aq_remember_slopes(aq_filling *f);

/* What a tank drinks in that stage (NULL: not known), else in any. NULL: not learned, or not well enough to use. */
const aq_drinking *aq_remember_drinking(const aq_memory *memory, const char *reservoir, const char *stage);

/* "in root-in, learned from 5 pairs of readings to 2026-03-20"; of any stage, from "learned" on. */
const char *aq_remember_say_drinking(aq_arena *arena, const aq_drinking *drinking);

/* The budget of a feed once it is solved: that of first use, unless every part poured has a slope that was learned. */
aq_budget aq_remember_budget(const aq_feed *feed);

#endif
