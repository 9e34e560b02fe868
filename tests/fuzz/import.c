/* Bytes as a log that was written out, in text, CSV or JSON Lines: what is refused leaves nothing behind, and what is taken
 * comes out again in each form so that another log reads the same. */
#include "fuzz.h"

typedef struct {
    const char *bytes;
    size_t length, at;
} given;

/* Few bytes at a time: pieces must not care where a chunk ends. */
static long give(void *from, char *bytes, size_t room)
{
    given *g = from;
    size_t count = g->length - g->at;

    count = count < 61 ? count : 61;
    count = count < room ? count : room;
    memcpy(bytes, g->bytes + g->at, count);
    g->at += count;
    return (long)count;
}

static aq_log *fresh(void)
{
    aq_log *log;

    must(aq_log_open(&log, ":memory:", AQ_LOG_WRITE, NULL) == AQ_OK);
    return log;
}

static aq_status import(aq_log *log, const char *bytes, size_t length, aq_import_count *count, aq_error *err)
{
    given g = { bytes, length, 0 };

    return aq_log_import(log, (aq_bytes){ give, &g, "old.log" }, NULL, count, err);
}

static aq_buffer exported(aq_log *log, aq_log_form form)
{
    aq_buffer out = { .ceiling = 0 };
    aq_log_filter whole = { .whole = true, .as_added = true };

    must(aq_log_export(log, &whole, form, aq_buffer_sink(&out), NULL) == AQ_OK && !out.failed);
    return out;
}

/* Out of one log, into an empty one, and out again: the same bytes, and not added twice. */
static void check_again(aq_log *log, aq_log_form form, long entries)
{
    aq_log *other = fresh();
    aq_buffer once = exported(log, form), again;
    aq_import_count count;
    aq_error err = { .status = AQ_OK };

    if (import(other, aq_buffer_chars(&once), once.length, &count, &err) != AQ_OK) {
        fprintf(stderr, "%d: %s\n%s\n", err.place.line, err.text, aq_buffer_chars(&once));
        must(false && "an export is read back");
    }
    must(count.read == entries && count.added == entries);
    must(import(log, aq_buffer_chars(&once), once.length, &count, NULL) == AQ_OK);
    must(count.read == entries && count.added == 0);
    again = exported(other, form);
    must(once.length == again.length && memcmp(once.bytes, again.bytes, once.length) == 0);
    aq_buffer_free(&once);
    aq_buffer_free(&again);
    must(aq_log_check(other, NULL) == AQ_OK);
    aq_log_close(other);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    aq_log *log = fresh();
    aq_import_count count;
    aq_error err = { .status = AQ_OK };
    aq_status status = import(log, (const char *)bytes, length, &count, &err);
    long entries;

    must(aq_log_count(log, &entries, NULL) == AQ_OK);
    if (status != AQ_OK) {
        check_complaint(&err, status, is_utf8((const char *)bytes, length));
        must(entries == 0 && count.read == 0 && count.added == 0);
    } else {
        must(entries == count.added && count.added <= count.read);
        must(aq_log_check(log, NULL) == AQ_OK);
        for (int form = 0; form < AQ_FORM_COUNT; form++)
            check_again(log, (aq_log_form)form, entries);
    }
    aq_log_close(log);
    return 0;
}
