/* Entries to put into a log, and what is heard of it when it is read back. */
#ifndef HEARD_H
#define HEARD_H

#include "scratch.h"

#include <sqlite3.h>

static const char full[] =
    "{kind: mix, at: 2026-03-02T07:30, who: Nell, note: 'after: the \"heat\" wave', reservoir: Trays, lot: "
    "basil-14,"
    " stage: root-in, water: tap, volume: 12 L, heel: 1.5 L, heel-ec: 2.1 mS/cm, water-ec: 0.32 mS/cm,"
    " planned: {A: 18 mL, B: 18 mL}, poured: {A: 18.3 mL, B: 17.9 mL, Salt: 2.5 g}, ec-before: 0.33 mS/cm,"
    " ec-after: 0.94 mS/cm, shown-before: 0.31 mS/cm, shown-after: 0.9 mS/cm, expected: 0.92 mS/cm,"
    " within: 0.1 mS/cm, ph: 5.8, temperature: 66 degF, job: mix, title: 'Trays, 12 L', over-label: trial}";
static const char mix[] = "{at: 2026-03-02T07:30, reservoir: Trays, volume: 12 L, poured: {A: 18 mL}}";

typedef struct {
    scratch *scratch;
    size_t count;
    aq_entry at[200]; /* borrowed texts are copied for the members that tests look at */
} heard;

static const char *kept(heard *h, const char *text)
{
    return text ? aq_arena_text(h->scratch->arena, text, strlen(text)) : NULL;
}

static inline bool hear(void *to, const aq_entry *entry)
{
    heard *h = to;

    assert_true(h->count < 200);
    h->at[h->count] = *entry;
    h->at[h->count].uid = kept(h, entry->uid);
    h->at[h->count].reservoir = kept(h, entry->reservoir);
    h->at[h->count].note = kept(h, entry->note);
    h->count++;
    return true;
}

static inline size_t count_of(scratch *s, aq_log *log, aq_log_filter filter)
{
    static heard all;

    all = (heard){ .scratch = s };
    assert_int_equal(aq_log_each(log, &filter, hear, &all, &s->err), AQ_OK);
    return all.count;
}

static inline void run_raw(scratch *s, const char *sql, int want)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(s->path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != want)
        fail_msg("%s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
}

#endif
