/* Bytes as questions of `aliquot batch`, through the program's own reader of lines: as many answers as there are lines
 * with something in them, in JSON, and a reader that is ready for the next line whatever the last one was. */
#include "fuzz.h"

#include "../../cli/cmd_batch.c"

static size_t questions_in(const char *bytes, size_t length)
{
    size_t count = 0, from = 0;

    for (size_t i = 0; i < length; i++) {
        if (bytes[i] != '\n')
            continue;
        count += !is_blank(bytes + from, i - from);
        from = i + 1;
    }
    return count;
}

static void check_answer(aq_arena *arena, const char *line, size_t length)
{
    aq_error err = { .status = AQ_OK };
    aq_node *back;

    must(is_plain(line, length, ""));
    aq_arena_reset(arena);
    must(aq_node_json(&back, arena, line, length, "answer", &err) == AQ_OK || err.status == AQ_TOO_LARGE);
}

static size_t check_answers(const aq_buffer *out)
{
    aq_arena *arena = aq_arena_new(256 << 20);
    const char *line = out->bytes, *stop;
    size_t count = 0;

    must(arena && !out->failed);
    for (; line && *line; line = stop + 1, count++) {
        stop = strchr(line, '\n');
        must(stop != NULL);
        check_answer(arena, line, (size_t)(stop - line));
    }
    aq_arena_free(arena);
    return count;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    cli_report report = { .arena = aq_arena_new(0) };
    batch b = { .report = &report, .arena = aq_arena_new(0), .setting = { .today = { { 2026, 3, 2 }, -1 } } };
    size_t from = 0;

    must(report.arena && b.arena);
    for (size_t i = 0; i < length; i++) {
        if (bytes[i] != '\n')
            continue;
        take_line(&b, (const char *)bytes + from, i - from);
        from = i + 1;
    }
    must(check_answers(&b.output) == questions_in((const char *)bytes, length));
    aq_buffer_free(&b.output);
    aq_buffer_free(&b.id);
    aq_arena_free(b.arena);
    aq_arena_free(report.arena);
    return 0;
}
