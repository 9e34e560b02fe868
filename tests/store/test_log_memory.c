/* Memory gives way at any moment, in our code or in SQLite's: the status says so, and the log is whole and holds just what
 * was acknowledged. The linker's --wrap lets the n-th allocation fail, so nothing of ours needs a hook. SQLite is given
 * its memory from here, through the door that it has for that, so it is the same with a shared one; and it can be left
 * out, so that each of our own few allocations is met. */
#include <sqlite3.h>
#include <stdlib.h>

#include "scratch.h"

#include "store/exchange.h"

static long left = -1; /* allocations until one fails; -1: none does */

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);

static bool fails(void)
{
    return left >= 0 && left-- == 0;
}

void *__wrap_malloc(size_t size)
{
    return fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    return fails() ? NULL : __real_realloc(old, size);
}

/* ---- SQLite's memory: each block behind its size ---- */

static bool ours_alone;
enum { BEFORE = 16 };

static int lite_size(void *block)
{
    return *(int *)(void *)((char *)block - BEFORE);
}

static void *lite_resize(void *block, int size)
{
    char *old = block ? (char *)block - BEFORE : NULL;
    char *at = !ours_alone && fails() ? NULL : __real_realloc(old, (size_t)size + BEFORE);

    if (!at)
        return NULL;
    *(int *)(void *)at = size;
    return at + BEFORE;
}

static void *lite_take(int size)
{
    return lite_resize(NULL, size);
}

static void lite_free(void *block)
{
    if (block)
        free((char *)block - BEFORE);
}

static int lite_round(int size)
{
    return (size + 7) / 8 * 8;
}

static int lite_begin(void *nothing)
{
    return nothing ? SQLITE_ERROR : SQLITE_OK;
}

static void lite_end(void *nothing)
{
    (void)nothing;
}

static sqlite3_mem_methods lite = { lite_take,  lite_free,  lite_resize, lite_size,
                                    lite_round, lite_begin, lite_end,    NULL };

/* An entry that lost one of its texts would be an answer to no question. */
static bool count_one(void *to, const aq_entry *entry)
{
    *(long *)to += entry->id > 0 && entry->reservoir && strcmp(entry->reservoir, "Trays") == 0 &&
                   entry->who && entry->poured.count == 1;
    return true;
}

static long count_of(scratch *s)
{
    aq_log *log = opened(s, AQ_LOG_READ);
    long count;

    assert_int_equal(aq_log_check(log, &s->err), AQ_OK);
    assert_int_equal(aq_log_count(log, &count, &s->err), AQ_OK);
    aq_log_close(log);
    return count;
}

/* Of SQLite's many allocations ever fewer, of ours every one. */
static long after(long nth)
{
    return nth + 1 + (ours_alone ? 0 : nth / 25);
}

/* What failed is said as what it is. */
static void check_said(const scratch *s, long nth, aq_status status)
{
    if (status != AQ_OK && (status != AQ_NO_MEMORY || s->err.status != status || !s->err.text[0]))
        fail_msg("allocation %ld: %s %s", nth, aq_status_name(status), s->err.text);
}

/* Runs `task` with ever later failures, until none is reached; it adds one entry, or none where it fails. */
static void fail_each(scratch *s, aq_status (*task)(scratch *s))
{
    bool reached = true;
    long tried = 0;

    for (long nth = 0; reached; nth = after(nth), tried++) {
        long before = count_of(s);
        aq_status status;

        s->err = (aq_error){ 0 };
        left = nth;
        status = task(s);
        reached = left < 0;
        left = -1;
        check_said(s, nth, status);
        assert_int_equal(count_of(s), before + (status == AQ_OK));
    }
    assert_true(tried > (ours_alone ? 5 : 20));
}

static aq_status add_one(scratch *s)
{
    aq_named_amount poured = { .name = "A", .amount = aq_quantity_of(0.018, AQ_KIND_VOLUME) };
    aq_entry entry = { .kind = AQ_ENTRY_MIX,
                       .at = { { 2026, 3, 2 }, 450 },
                       .reservoir = "Trays",
                       .who = "Ada",
                       .volume = aq_quantity_of(12, AQ_KIND_VOLUME),
                       .poured = { &poured, 1, 1 } };
    aq_log *log;
    aq_status status = aq_log_open(&log, s->path, AQ_LOG_WRITE, &s->err);

    if (status == AQ_OK)
        status = aq_log_add(log, &entry, &s->err);
    aq_log_close(log);
    return status;
}

typedef struct {
    const char *text;
    size_t at;
} given;

static long give(void *from, char *bytes, size_t room)
{
    given *g = from;
    size_t count = strlen(g->text + g->at);

    count = count < room ? count : room;
    memcpy(bytes, g->text + g->at, count);
    g->at += count;
    return (long)count;
}

static aq_status import_one(scratch *s)
{
    given g = { "at,volume,poured,ec-after\n2026-03-02,12 L,\"{A: 18 mL, B: 18 mL}\",0.92 mS/cm\n", 0 };
    aq_import_count count;
    aq_log *log;
    aq_status status = aq_log_open(&log, s->path, AQ_LOG_WRITE, &s->err);

    if (status == AQ_OK)
        status = aq_log_import(log, (aq_bytes){ give, &g, "march.csv" }, NULL, &count, &s->err);
    aq_log_close(log);
    return status;
}

static aq_status read_all(scratch *s)
{
    aq_log_filter all = { .reservoir = "Trays",
                          .from = { { 2026, 3, 1 }, -1 },
                          .to = { { 2026, 3, 2 }, -1 } };
    aq_buffer text = { 0 };
    aq_log *log;
    long count = 0;
    aq_status status = aq_log_open(&log, s->path, AQ_LOG_READ, &s->err);

    if (status == AQ_OK)
        status = aq_log_each(log, &all, count_one, &count, &s->err);
    if (status == AQ_OK)
        status = aq_log_export(log, &all, AQ_FORM_JSON, aq_buffer_sink(&text), &s->err);
    aq_log_close(log);
    if (status == AQ_OK && count != 2)
        status = AQ_INVALID;
    aq_buffer_free(&text);
    return status;
}

static void test_an_entry_is_added_or_not(void **state)
{
    scratch *s = *state;

    aq_log_close(opened(s, AQ_LOG_WRITE));
    fail_each(s, add_one);
}

static void test_an_import_is_kept_or_not(void **state)
{
    scratch *s = *state;

    aq_log_close(opened(s, AQ_LOG_WRITE));
    fail_each(s, import_one);
}

static void test_a_reader_gets_all_or_is_told(void **state)
{
    scratch *s = *state;
    bool reached = true;

    assert_int_equal(add_one(s), AQ_OK);
    assert_int_equal(add_one(s), AQ_OK);
    for (long nth = 0; reached; nth = after(nth)) {
        aq_status status;

        s->err = (aq_error){ 0 };
        left = nth;
        status = read_all(s);
        reached = left < 0;
        left = -1;
        if (status != AQ_WRITE_FAILED) /* the sink's own memory */
            check_said(s, nth, status);
    }
    assert_int_equal(count_of(s), 2);
}

/* What was acknowledged, and that alone, is whole: every text of it was bound. */
static void test_nothing_of_an_entry_is_lost(void **state)
{
    scratch *s = *state;
    long added, whole = 0;
    aq_log *log;

    aq_log_close(opened(s, AQ_LOG_WRITE));
    fail_each(s, add_one);
    added = count_of(s);
    log = opened(s, AQ_LOG_READ);
    assert_int_equal(aq_log_each(log, &(aq_log_filter){ 0 }, count_one, &whole, &s->err), AQ_OK);
    aq_log_close(log);
    assert_true(added > 0);
    assert_int_equal(whole, added);
}

static aq_status undo_first(scratch *s)
{
    aq_moment at = { { 2026, 3, 3 }, 450 };
    aq_log *log;
    aq_status status = aq_log_open(&log, s->path, AQ_LOG_WRITE, &s->err);

    if (status == AQ_OK)
        status = aq_log_undo(log, 1, at, "Ada", "poured twice", &s->err);
    aq_log_close(log);
    return status;
}

/* Once it is undone, a second time is refused: so it ends with the first that is not out of memory. */
static void test_an_undo_is_made_or_not(void **state)
{
    scratch *s = *state;
    aq_status status = AQ_NO_MEMORY;

    assert_int_equal(add_one(s), AQ_OK);
    for (long nth = 0; status == AQ_NO_MEMORY; nth++) {
        s->err = (aq_error){ 0 };
        left = nth;
        status = undo_first(s);
        left = -1;
        check_said(s, nth, status);
        assert_int_equal(count_of(s), 1 + (status == AQ_OK));
    }
    assert_int_equal(status, AQ_OK);
}

static int begin_whole(void **state)
{
    ours_alone = false;
    return scratch_begin(state);
}

static int begin_ours(void **state)
{
    ours_alone = true;
    return scratch_begin(state);
}

#define BOTH(test)                                                                                           \
    { #test, test, begin_whole, scratch_end, NULL },                                                         \
    {                                                                                                        \
#test ", ours alone", test, begin_ours, scratch_end, NULL                                            \
    }

int main(void)
{
    const struct CMUnitTest tests[] = {
        BOTH(test_an_entry_is_added_or_not),     BOTH(test_an_import_is_kept_or_not),
        BOTH(test_a_reader_gets_all_or_is_told), BOTH(test_nothing_of_an_entry_is_lost),
        BOTH(test_an_undo_is_made_or_not),
    };

    if (sqlite3_config(SQLITE_CONFIG_MALLOC, &lite) != SQLITE_OK)
        return 1;
    return cmocka_run_group_tests_name("log_memory", tests, NULL, NULL);
}
