/* Memory gives way at any moment, in our code or in SQLite's: the status says so, and the log is whole and holds just what
 * was acknowledged. The linker's --wrap lets the n-th allocation fail, so nothing needs a hook. */
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

static bool count_one(void *to, const aq_entry *entry)
{
    *(long *)to += entry->id > 0;
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

/* Runs `task` with ever later failures, until none is reached; it adds one entry, or none where it fails. */
static void fail_each(scratch *s, aq_status (*task)(scratch *s))
{
    bool reached = true;
    long tried = 0;

    for (long nth = 0; reached; nth += 1 + nth / 25, tried++) {
        long before = count_of(s);
        aq_status status;

        s->err = (aq_error){ 0 };
        left = nth;
        status = task(s);
        reached = left < 0;
        left = -1;
        if (status != AQ_OK && status != AQ_NO_MEMORY)
            fail_msg("allocation %ld: %s %s", nth, aq_status_name(status), s->err.text);
        assert_int_equal(count_of(s), before + (status == AQ_OK));
    }
    assert_true(tried > 20);
}

static aq_status add_one(scratch *s)
{
    aq_named_amount poured = { .name = "A", .amount = aq_quantity_of(0.018, AQ_KIND_VOLUME) };
    aq_entry entry = { .kind = AQ_ENTRY_MIX,
                       .at = { { 2026, 3, 2 }, 450 },
                       .reservoir = "Trays",
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
    aq_log_filter all = { 0 };
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
    for (long nth = 0; reached; nth += 1 + nth / 25) {
        aq_status status;

        s->err = (aq_error){ 0 };
        left = nth;
        status = read_all(s);
        reached = left < 0;
        left = -1;
        if (status != AQ_OK && status != AQ_NO_MEMORY &&
            status != AQ_WRITE_FAILED) /* the sink's own memory */
            fail_msg("allocation %ld: %s %s", nth, aq_status_name(status), s->err.text);
    }
    assert_int_equal(count_of(s), 2);
}

#define IN_A_FOLDER(test) cmocka_unit_test_setup_teardown(test, scratch_begin, scratch_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_A_FOLDER(test_an_entry_is_added_or_not),
        IN_A_FOLDER(test_an_import_is_kept_or_not),
        IN_A_FOLDER(test_a_reader_gets_all_or_is_told),
    };

    return cmocka_run_group_tests_name("log_memory", tests, NULL, NULL);
}
