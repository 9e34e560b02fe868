/* From entries of the log to what jobs use of it: one entry after another goes in, and a memory or a sheet comes out.
 *
 *     aq_recall *recall = aq_recall_new(arena, &setting, since);
 *     aq_log_each(log, &filter, aq_recall_take, recall, &err);       oldest first
 *     aq_recall_memory(&memory, recall, "fernhollow.log", &err);     what jobs of this site use
 *     aq_recall_sheet(&sheet, recall, &err);                         what was learned, for people
 *
 * A part's slope is that of its group where a recipe of the site doses it in one: what is poured together cannot be told
 * apart. A part that no recipe knows is learned by its name, from a guess. */
#ifndef AQ_JOB_RECALL_H
#define AQ_JOB_RECALL_H

#include "job/job.h"
#include "model/memory.h"

typedef struct aq_recall aq_recall;

/* Reads the recipes of the setting's site (which may be NULL). Only entries from `since` on teach slopes and volumes; year
 * 0: all. NULL: out of memory, or a recipe has faults, which are then among the complaints. */
AQ_API aq_recall *aq_recall_new(aq_arena *arena, const aq_setting *setting, aq_date since,
                                aq_complaints *complaints);

/* `to` is the recall; the entry is copied. False: out of memory. */
AQ_API bool aq_recall_take(void *to, const aq_entry *entry);

/* Lives in the recall's arena. */
AQ_API aq_status aq_recall_memory(const aq_memory **out, aq_recall *recall, const char *source,
                                  aq_error *err);
AQ_API aq_status aq_recall_sheet(aq_sheet **out, aq_recall *recall, aq_error *err);

#endif
