/* A site and a log that is made up entry by entry, for tests of what jobs make of it. */
#ifndef REMEMBERING_H
#define REMEMBERING_H

#include "check.h"

#include <stdlib.h>

#include "job/recall.h"

typedef struct {
    aq_arena *arena;
    aq_site *site;
    const char *recipe;
    aq_setting setting;
    aq_recall *recall;
    aq_complaints complaints;
    aq_error err;
} bench;

/* Every recipe of the site is the one text. */
static inline aq_status load(void *from, const char *document, const char *path, aq_arena *arena,
                             aq_file *out, aq_error *err)
{
    const bench *b = from;

    (void)document;
    (void)arena;
    (void)err;
    *out = (aq_file){ path, b->recipe, strlen(b->recipe) };
    return AQ_OK;
}

static inline void bench_begin(void **state, const char *site_text, const char *recipe_text)
{
    bench *b = calloc(1, sizeof *b);

    b->arena = aq_arena_new(0);
    b->recipe = recipe_text;
    if (aq_site_read(&b->site, b->arena, site_text, strlen(site_text), "site.yaml", &b->complaints) != AQ_OK)
        fail_msg("%s", b->complaints.at[0].text);
    b->setting = (aq_setting){ .today = { { 2026, 3, 20 }, 480 }, .site = b->site, .load = load, .from = b };
    b->recall = aq_recall_new(b->arena, &b->setting, (aq_date){ 0 }, &b->complaints);
    assert_non_null(b->recall);
    *state = b;
}

static inline int bench_end(void **state)
{
    bench *b = *state;

    aq_arena_free(b->arena);
    free(b);
    return 0;
}

static inline void log_entry(bench *b, const char *yaml)
{
    aq_walk walk = { .arena = b->arena, .complaints = &b->complaints };
    aq_node *node;
    aq_entry entry;

    assert_int_equal(aq_node_yaml(&node, b->arena, yaml, strlen(yaml), "-", NULL), AQ_OK);
    if (aq_shape_read(&walk, &aq_entry_shape, node, &entry) != AQ_OK)
        fail_msg("%s: %s", yaml, b->complaints.at[0].text);
    assert_true(aq_recall_take(b->recall, &entry));
}

static inline const aq_memory *memory(bench *b)
{
    const aq_memory *found;

    b->err = (aq_error){ 0 };
    if (aq_recall_memory(&found, b->recall, "fernhollow.log", &b->err) != AQ_OK)
        fail_msg("%s", b->err.text);
    return found;
}

static inline const aq_sheet *answer(bench *b, const char *job, const char *tank, const char *yaml)
{
    aq_node *node;
    aq_sheet *sheet;

    assert_int_equal(aq_node_yaml(&node, b->arena, yaml, strlen(yaml), "-", NULL), AQ_OK);
    b->setting.memory = memory(b);
    b->setting.subject = tank;
    b->complaints.count = 0;
    if (aq_job_answer(&sheet, b->arena, aq_job_find(job), node, &b->setting, &b->complaints) != AQ_OK)
        fail_msg("%s %s: %s", job, yaml, b->complaints.at[0].text);
    return sheet;
}

static inline bool assumes(const aq_sheet *sheet, const char *words)
{
    for (size_t i = 0; i < sheet->assumed.count; i++)
        if (strstr(sheet->assumed.at[i], words))
            return true;
    return false;
}

static inline double exact(const aq_sheet *sheet, const char *part)
{
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].part && strcmp(sheet->rows.at[i].part, part) == 0)
            return sheet->rows.at[i].exact.value;
    return NAN;
}

#endif
