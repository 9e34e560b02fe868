/* The log: what was poured and read, kept between days in one SQLite file.
 *
 * Entries are only ever added; an undo is an entry of its own. An entry that aq_log_add acknowledged is on the disk, and
 * survives a kill or a power cut at any moment. Several programs may read and write one log at once: writers wait for
 * each other up to ten seconds.
 *
 * A file that is not a log (AQ_LOG_FOREIGN), is torn (AQ_LOG_DAMAGED) or comes from a newer aliquot (AQ_LOG_NEWER) is
 * left as it was. A log of an older version is brought to today's when it is opened for writing; opened for reading, a
 * copy of its shape is not needed, for readers know every version. */
#ifndef AQ_STORE_LOG_H
#define AQ_STORE_LOG_H

#include "base/arena.h"
#include "base/buffer.h"
#include "model/log_entry.h"

typedef struct aq_log aq_log;

typedef enum {
    AQ_LOG_READ, /* the file must be there, and no entry is written */
    AQ_LOG_WRITE /* made where there is none */
} aq_log_use;

/* On failure *out is NULL. AQ_MISSING: to be read, and not there. Others: AQ_LOG_FOREIGN, AQ_LOG_DAMAGED, AQ_LOG_NEWER,
 * AQ_LOG_BUSY, AQ_READ_FAILED; AQ_WRITE_FAILED, also where what a killed program left could not be put in order; to be
 * written: AQ_LOG_READ_ONLY, AQ_LOG_FULL too. */
AQ_API aq_status aq_log_open(aq_log **out, const char *path, aq_log_use use, aq_error *err);
AQ_API void aq_log_close(aq_log *log); /* NULL is fine */

/* Adds one entry, whole or not at all, and sets its id. It must have a kind and a moment. With a uid that the log has
 * already, nothing is added and the id is that of the entry there: so a log may be imported twice. An undo takes back
 * an entry that is there, once: AQ_UNKNOWN_NAME, AQ_CONFLICT. */
AQ_API aq_status aq_log_add(aq_log *log, aq_entry *entry, aq_error *err);

/* Adds the reversal of entry `id`, made by `who` at `at`; `note` says why (both may be NULL). AQ_UNKNOWN_NAME: no such
 * entry; AQ_CONFLICT: it is taken back already, or is an undo itself. */
AQ_API aq_status aq_log_undo(aq_log *log, long id, aq_moment at, const char *who, const char *note,
                             aq_error *err);

/* Many additions as one: all of them are kept by aq_log_keep, or none, by aq_log_drop or a crash before. */
AQ_API aq_status aq_log_begin(aq_log *log, aq_error *err);
AQ_API aq_status aq_log_keep(aq_log *log, aq_error *err);
AQ_API void aq_log_drop(aq_log *log);

typedef struct {
    const char *reservoir; /* NULL: any */
    const char *part;      /* among what was poured, left or delivered; NULL: any */
    unsigned kinds;        /* bits 1 << aq_entry_kind; 0: any */
    aq_moment from, to;    /* year 0: no limit; both included */
    bool whole;            /* undone entries and their undos too */
    long last;             /* only so many, the newest; 0: all */
    bool as_added;         /* in the order in which they were added, not that of their moments */
    long back;  /* only among so many, the newest of all that is there; 0: all. Faster than `last` */
    bool brief; /* only what jobs recall: without marks, people, notes, the sheet, and what was planned */
} aq_log_filter;

/* Gives entries to `take` in the order of their moments, those of one moment in the order in which they were added.
 * Each lives until `take` returns; false from `take` ends the reading early, which is no failure. */
AQ_API aq_status aq_log_each(aq_log *log, const aq_log_filter *filter,
                             bool (*take)(void *to, const aq_entry *entry), void *to, aq_error *err);

AQ_API aq_status aq_log_count(aq_log *log, long *out, aq_error *err); /* entries, undone ones and undos too */

/* Whether the file is whole, every page and every reference: AQ_LOG_DAMAGED says what is wrong. */
AQ_API aq_status aq_log_check(aq_log *log, aq_error *err);

#endif
