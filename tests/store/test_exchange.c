/* What is written out is read back without loss, whatever the form; what is wrong is shown with its line. */
#include "dice.h"
#include "scratch.h"

#include "store/exchange.h"

typedef struct {
    const char *text;
    size_t length, at, step; /* bytes given at a time: pieces must not care where a chunk ends */
} given;

static long give(void *from, char *bytes, size_t room)
{
    given *g = from;
    size_t count = g->length - g->at;

    count = count < room ? count : room;
    count = count < g->step ? count : g->step;
    memcpy(bytes, g->text + g->at, count);
    g->at += count;
    return (long)count;
}

static aq_status import(scratch *s, aq_log *log, const char *text, size_t step, aq_import_count *count)
{
    given g = { text, strlen(text), 0, step };

    s->err = (aq_error){ 0 };
    return aq_log_import(log, (aq_bytes){ give, &g, "old.txt" }, NULL, count, &s->err);
}

static aq_buffer exported(scratch *s, aq_log *log, aq_log_form form)
{
    aq_buffer out = { 0 };
    aq_log_filter whole = { .whole = true };

    assert_int_equal(aq_log_export(log, &whole, form, aq_buffer_sink(&out), &s->err), AQ_OK);
    return out;
}

static const char *const awkward[] = {
    ("{at: 2026-03-02T07:30, reservoir: Trays, volume: 12 L, poured: {A: 18.3 mL, B: 0.0333333333333333333 "
     "L}}"),
    "{at: 2026-03-02, reservoir: 'Bed, the \"old\" one', volume: 3.785411784 L, poured: {'a: b': 1/3 mL}}",
    "{at: 2026-03-03T23:59, note: '=1+1', who: '@nell'}",
    "{at: 2026-03-03, note: \"two\\nlines, a tab\\t and \\u0007\"}",
    "{at: 2026-03-03, note: '''quoted'' at both ends'''}",
    "{at: 2026-03-04, note: 'null', who: '-', stage: '{not a map}'}",
    "{at: 2026-03-05, note: \"caf\\u00e9 \\u2028 \\ufeff \\U0001F331 \\x85\"}",
    "{at: 2026-03-06, note: ' spaces '}",
    "{at: 2026-03-06, reservoir: '{}', ec-after: 0.1 mS/cm, ph: 5.8, temperature: 62 degF}",
    "{at: 2026-03-07, left: {Salt: 2.5 kg, '{x}': 1 L, ',': 1 uL}}",
    "{at: 2026-03-08, gate: 'half show roots?', passed: no, lot: \"#1\"}",
};
enum { AWKWARD = sizeof awkward / sizeof *awkward };

static void fill(scratch *s, aq_log *log)
{
    for (size_t i = 0; i < AWKWARD; i++)
        put(s, log, awkward[i]);
    assert_int_equal(aq_log_undo(log, 2, (aq_moment){ { 2026, 3, 9 }, 60 }, "Nell", NULL, &s->err), AQ_OK);
}

static void test_every_form_comes_back_without_loss(void **state)
{
    static const size_t steps[] = { 1 << 20, 7, 1 };
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_buffer before = { 0 };

    fill(s, log);
    before = exported(s, log, AQ_FORM_TEXT);
    for (int form = 0; form < AQ_FORM_COUNT; form++) {
        aq_buffer text = exported(s, log, (aq_log_form)form), again, same;
        aq_import_count count;
        aq_log *other;

        snprintf(s->path, sizeof s->path, "%s/%d.log", s->folder, form);
        other = opened(s, AQ_LOG_WRITE);
        if (import(s, other, aq_buffer_chars(&text), steps[form], &count) != AQ_OK)
            fail_msg("%s: line %d: %s\n%s", aq_log_form_word((aq_log_form)form), s->err.place.line,
                     s->err.text, aq_buffer_chars(&text));
        assert_int_equal(count.read, AWKWARD + 1);
        assert_int_equal(count.added, AWKWARD + 1);
        again = exported(s, other, AQ_FORM_TEXT);
        check_text("as text", aq_buffer_chars(&again), aq_buffer_chars(&before));
        same = exported(s, other, (aq_log_form)form);
        check_text("in the same form", aq_buffer_chars(&same), aq_buffer_chars(&text));
        aq_log_close(other);
        aq_buffer_free(&again);
        aq_buffer_free(&same);
        aq_buffer_free(&text);
    }
    aq_buffer_free(&before);
    aq_log_close(log);
}

/* RFC 4180; what spreadsheets take for a formula is common practice, no source: = + - @, in either width, and a tab. */
static void test_no_cell_is_one_that_a_spreadsheet_runs(void **state)
{
    static const char *const notes[] = { "=1+1",    "+2",      "-3",      "@SUM(A4)", "\\t=5",
                                         "\uff1d6", "\uff0b7", "\uff0d8", "\uff20A9", "'=10" };
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_buffer text;

    for (size_t i = 0; i < sizeof notes / sizeof *notes; i++) {
        char entry[80];

        snprintf(entry, sizeof entry, "{at: 2026-03-02, note: \"%s\"}", notes[i]);
        put(s, log, entry);
    }
    text = exported(s, log, AQ_FORM_CSV);
    for (size_t i = 0; i < sizeof notes / sizeof *notes; i++) {
        const char *typed = notes[i][0] == '\\' ? "\t=5" : notes[i],
                   *at = strstr(aq_buffer_chars(&text), typed);

        check_true(notes[i], at != NULL);
        check_true(notes[i], at[-1] == '\'');
    }
    aq_buffer_free(&text);
    aq_log_close(log);
}

static void test_what_is_there_is_not_added_again(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_buffer text;
    aq_import_count count;

    fill(s, log);
    text = exported(s, log, AQ_FORM_JSON);
    assert_int_equal(import(s, log, aq_buffer_chars(&text), 100, &count), AQ_OK);
    assert_int_equal(count.read, AWKWARD + 1);
    assert_int_equal(count.added, 0);
    aq_buffer_free(&text);
    aq_log_close(log);
}

static void test_a_log_that_was_kept_by_hand_is_read(void **state)
{
    static const char *const texts[] = {
        "aliquot: log 1\n\nat: 2026-03-02\nvolume: 12 L\npoured: {A: 18 mL}\n\n\nat: 2026-03-03\nnote: "
        "wiped\n",
        "\xef\xbb\xbf"
        "at,volume,poured,note\n2026-03-02,12 L,{A: 18 mL},\n2026-03-03,,,wiped",
        "{\"aliquot\": \"log 1\"}\n{\"at\": \"2026-03-02\", \"volume\": \"12 L\", \"poured\": {\"A\": \"18 "
        "mL\"}}\n\n"
        "{\"at\": \"2026-03-03\", \"note\": \"wiped\", \"ph\": null}\n",
    };
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);

    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        aq_import_count count;

        if (import(s, log, texts[i], 1000, &count) != AQ_OK)
            fail_msg("%s: line %d: %s", texts[i], s->err.place.line, s->err.text);
        assert_int_equal(count.added, 2);
    }
    aq_log_close(log);
}

/* Nothing of it is kept, and the complaint points at the line. */
static void test_a_wrong_line_is_shown_and_nothing_is_kept(void **state)
{
    static const struct {
        const char *text;
        aq_status status;
        int line;
        const char *says;
    } rows[] = {
        { "", AQ_MISSING, 1, "nothing" },
        { "\n \n", AQ_MISSING, 3, "nothing" },
        { "aliquot: site 1\n", AQ_SYNTAX, 1, "aliquot: log 1" },
        { "{\"job\":\"mix\"}\n", AQ_SYNTAX, 1, "aliquot: log 1" },
        { "day,litres\n", AQ_UNKNOWN_KEY, 1, "day" },
        { "at,note\n2026-03-02,a\n2026-03-03,b,c\n", AQ_SYNTAX, 3, "more cells" },
        { "at,note\n2026-03-02,a\n2026-03-03,\"b\n", AQ_SYNTAX, 3, "quote" },
        { "at,note\n2026-03-02,\"a\"b\n", AQ_SYNTAX, 2, "quote" },
        { "at,note,volume\n2026-03-02,a,12\n", AQ_UNKNOWN_UNIT, 2, "12" },
        { "at,note\n2026-03-02,caf\xe9\n", AQ_SYNTAX, 2, "note: byte 0xE9 is not UTF-8" },
        { "at,left\n2026-03-02,{\"\xc0\x80\": 1 L}\n", AQ_SYNTAX, 2, "UTF-8" },
        { "aliquot: log 1\n\nat: 2026-03-02\nnote: a\n\nat: 2026-03-03\nvolume: 12 buckets\nnote: a\n",
          AQ_UNKNOWN_UNIT, 7, "buckets" },
        { "aliquot: log 1\n\nat: 2026-03-02\nnote: a\n\nnote: [\n", AQ_SYNTAX, 6, "never closed" },
        { "aliquot: log 1\n\nnote: no day\n", AQ_MISSING, 3, "at:" },
        { "{\"aliquot\":\"log 1\"}\n{\"at\":\"2026-03-02\",\"note\":\"a\"}\n{\"at\":\"2026-03-02\"\n",
          AQ_SYNTAX, 3, "" },
        { "{\"aliquot\":\"log 1\"}\n[1]\n", AQ_SYNTAX, 2, "map" },
        { "{\"aliquot\":\"log 1\"}\n{\"at\":\"2026-03-02\",\"pourred\":{\"A\":\"1 mL\"}}\n", AQ_UNKNOWN_KEY,
          2, "poured" },
        { "{\"aliquot\":\"log 1\"}\n{\"at\":\"2026-03-02\",\"undoes\":\"0123456789abcdef\"}\n",
          AQ_UNKNOWN_NAME, 0, "not there" },
    };
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_import_count imported;
        long count;
        aq_status status = import(s, log, rows[i].text, 1000, &imported);

        if (status != rows[i].status || s->err.place.line != rows[i].line ||
            !strstr(s->err.text, rows[i].says))
            fail_msg("%s: %s, line %d: %s", rows[i].text, aq_status_name(status), s->err.place.line,
                     s->err.text);
        assert_int_equal(aq_log_count(log, &count, &s->err), AQ_OK);
        assert_int_equal(count, 0);
    }
    aq_log_close(log);
}

static void test_an_entry_without_end_is_refused(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    size_t length = 400000;
    char *text = malloc(length + 1);
    aq_import_count count;

    memset(text, 'x', length);
    memcpy(text, "at,note\n", 8);
    text[length] = '\0';
    assert_int_equal(import(s, log, text, 5000, &count), AQ_TOO_LARGE);
    free(text);
    aq_log_close(log);
}

/* Seeded damage to each form: it is read whole or not at all, and the log stays whole whatever it was. */
static void test_damaged_text_is_refused_or_read_and_never_half(void **state)
{
    enum { TIMES = 250 };
    scratch *s = *state;
    aq_dice dice = { 20260302 };
    aq_log *log = opened(s, AQ_LOG_WRITE);
    long before, after;

    fill(s, log);
    for (int time = 0; time < TIMES; time++) {
        aq_buffer text = exported(s, log, (aq_log_form)(time % AQ_FORM_COUNT));
        size_t hits = 1 + dice_below(&dice, 4);
        aq_import_count count;

        for (size_t i = 0; i < hits; i++)
            text.bytes[dice_below(&dice, text.length)] = (char)dice_below(&dice, 256);
        if (dice_below(&dice, 3) == 0)
            text.bytes[dice_below(&dice, text.length)] = '\0';
        assert_int_equal(aq_log_count(log, &before, &s->err), AQ_OK);
        if (import(s, log, text.bytes, 1 + dice_below(&dice, 300), &count) != AQ_OK)
            check_true("nothing is said to be added", count.added == 0);
        assert_int_equal(aq_log_count(log, &after, NULL), AQ_OK);
        assert_int_equal(after - before, count.added);
        aq_buffer_free(&text);
    }
    assert_int_equal(aq_log_check(log, NULL), AQ_OK);
    aq_log_close(log);
}

static bool give_up(void *to, const char *bytes, size_t count)
{
    (void)bytes;
    (void)count;
    return --*(int *)to > 0;
}

static void test_a_sink_that_gives_up_is_noticed(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_log_filter all = { 0 };

    fill(s, log);
    for (int nth = 1; nth <= 3; nth++) {
        int left = nth;

        s->err = (aq_error){ 0 };
        assert_int_equal(aq_log_export(log, &all, AQ_FORM_CSV, (aq_sink){ give_up, &left }, &s->err),
                         AQ_WRITE_FAILED);
        assert_int_equal(left, 0);
    }
    aq_log_close(log);
}

#define IN_A_FOLDER(test) cmocka_unit_test_setup_teardown(test, scratch_begin, scratch_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_A_FOLDER(test_every_form_comes_back_without_loss),
        IN_A_FOLDER(test_no_cell_is_one_that_a_spreadsheet_runs),
        IN_A_FOLDER(test_what_is_there_is_not_added_again),
        IN_A_FOLDER(test_a_log_that_was_kept_by_hand_is_read),
        IN_A_FOLDER(test_a_wrong_line_is_shown_and_nothing_is_kept),
        IN_A_FOLDER(test_an_entry_without_end_is_refused),
        IN_A_FOLDER(test_damaged_text_is_refused_or_read_and_never_half),
        IN_A_FOLDER(test_a_sink_that_gives_up_is_noticed),
    };

    return cmocka_run_group_tests_name("exchange", tests, NULL, NULL);
}
