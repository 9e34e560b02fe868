/* The walk over a made-up entry: each complaint whole, with its place and what would be right. */
#include "shed.h"

#include <stdio.h>

static const struct {
    const char *text;
    aq_status status;
    int line, column, span;
    const char *says;
} bad[] = {
    /* keys */
    { "volumne: 60 L", AQ_UNKNOWN_KEY, 1, 1, 7, "volumne is no key of a shed; did you mean volume?" },
    { "colour: green", AQ_UNKNOWN_KEY, 1, 1, 6, "colour is no key of a shed" },
    { "analysis: {NO3N: 4 %}", AQ_UNKNOWN_KEY, 1, 12, 4,
      "analysis: NO3N is no key of a label; did you mean NO3-N?" },
    { "analysis: {bases: w/v}", AQ_UNKNOWN_KEY, 1, 12, 5,
      "analysis: bases is no key of a label; did you mean basis?" },
    { "jars: [{holds: 1 L}]", AQ_MISSING, 1, 8, 1,
      "jar 1: name is missing: what it is called, like Big jar" },
    { "targets: {n: 3 mg/L}", AQ_UNKNOWN_NAME, 1, 11, 1,
      "targets: n is not a name that targets can hold; did you mean N?" },
    { "shelf: {A: {name: B}}", AQ_CONFLICT, 1, 13, 4, "jar A: the name already stands before the colon: A" },

    /* shapes */
    { "[a]", AQ_WRONG_KIND, 1, 1, 1, "a list of 1 stands here; wanted is a map of keys" },
    { "just words", AQ_WRONG_KIND, 1, 1, 10, "just words stands here; wanted is a map of keys" },
    { "volume: [60 L]", AQ_WRONG_KIND, 1, 9, 1,
      "volume: a list of 1 stands here; wanted is one value, like 60 L" },
    { "volume: {a: 60 L}", AQ_WRONG_KIND, 1, 9, 1,
      "volume: a map of keys stands here; wanted is one value, like 60 L" },
    { "volume:", AQ_MISSING, 1, 8, 1, "volume: nothing stands here; wanted is one value, like 60 L" },
    { "jars:", AQ_MISSING, 1, 6, 1, "jar 1: nothing stands here; wanted is a name, or a map of keys" },
    { "jars: [[A]]", AQ_WRONG_KIND, 1, 8, 1,
      "jar 1: a list of 1 stands here; wanted is a name, or a map of keys" },
    { "shelf: [A]", AQ_WRONG_KIND, 1, 8, 1,
      "a list of 1 stands here; wanted is a map of names, each with its keys" },
    { "shelf: {A: B}", AQ_WRONG_KIND, 1, 12, 1, "jar A: B stands here; wanted is a map of keys" },
    { "analysis: w/v", AQ_WRONG_KIND, 1, 11, 3, "analysis: w/v stands here; wanted is a map of keys" },
    { "targets: 150 mg/L", AQ_WRONG_KIND, 1, 10, 8,
      "targets: 150 mg/L stands here; wanted is a map of names and amounts, like {N: 150 mg/L}" },
    { "targets: {N: [1 mg/L]}", AQ_WRONG_KIND, 1, 14, 1,
      "targets: N: a list of 1 stands here; wanted is an amount" },
    { "show: {a: b}", AQ_WRONG_KIND, 1, 7, 1,
      "show: a map of keys stands here; wanted is a text or a list of texts" },
    { "show: [[L]]", AQ_WRONG_KIND, 1, 8, 1, "show: a list of 1 stands here; wanted is a text" },

    /* words */
    { "title: ''", AQ_MISSING, 1, 8, 2, "title: the text is empty; write one, like Fernhollow" },
    { "title: a title of one-and-twenty", AQ_TOO_LARGE, 1, 8, 25,
      "title: a text of 25 bytes; at most 20 are read" },
    { "show: [L, far-too-long-a-word]", AQ_TOO_LARGE, 1, 11, 19,
      "show: a text of 19 bytes; at most 10 are read" },
    { "open: perhaps", AQ_SYNTAX, 1, 7, 7, "open: perhaps is neither yes nor no" },
    { "use: leaf", AQ_UNKNOWN_NAME, 1, 6, 4, "use: leaf is not one of the choices: root or foliar" },
    { "use: Foliar", AQ_UNKNOWN_NAME, 1, 6, 6,
      "use: Foliar is not one of the choices: root or foliar; did you mean foliar?" },
    { "ppm: 600", AQ_UNKNOWN_NAME, 1, 6, 3,
      "ppm: 600 is not one of the choices: 500, 640 or 700; did you mean 500?" },
    { "letters:", AQ_MISSING, 1, 9, 1, "letters: none" },

    /* days and times */
    { "day: 2026-02-30", AQ_SYNTAX, 1, 6, 10,
      "day: 2026-02-30 is not a date: year-month-day, like 2026-03-02" },
    { "daily: 7.30", AQ_SYNTAX, 1, 8, 4, "daily: 7.30 is not a time of day: hours:minutes, like 07:30" },
    { "at: soon", AQ_SYNTAX, 1, 5, 4, "at: soon is not a date with a time of day" },

    /* limits */
    { "volume: -3 L", AQ_OUT_OF_RANGE, 1, 9, 4, "volume: -3 L must be more than 0 L and at most 100000 L" },
    { "volume: 0 L", AQ_OUT_OF_RANGE, 1, 9, 3, "volume: 0 L must be more than 0 L and at most 100000 L" },
    { "volume: 30000 gal-us", AQ_OUT_OF_RANGE, 1, 9, 12,
      "volume: 30000 gal-us must be more than 0 gal-us and at most 26417.2 gal-us" },
    { "rate: 2-60 mL/L", AQ_OUT_OF_RANGE, 1, 7, 9,
      "rate: 2-60 mL/L must be at least 0 mL/L and at most 50 mL/L" },
    { "share: -1", AQ_OUT_OF_RANGE, 1, 8, 2, "share: -1 must be at least 0" },
    { "count: 0", AQ_OUT_OF_RANGE, 1, 8, 1, "count: 0 must be at least 1 and at most 1000" },
    { "count: 2.5", AQ_SYNTAX, 1, 8, 3, "count: 2.5 is not a whole number, like 98" },
    { "ph: 15", AQ_OUT_OF_RANGE, 1, 5, 2, "ph: 15 must be at least 0 and at most 14" },
    { "window: 6.2-5.6", AQ_OUT_OF_RANGE, 1, 9, 7,
      "window: 6.2-5.6 runs downwards: write the smaller number first" },
    { "window: 5.6-16", AQ_OUT_OF_RANGE, 1, 9, 6, "window: 5.6-16 must be at least 0 and at most 14" },
    { "window: -2", AQ_OUT_OF_RANGE, 1, 9, 2, "window: -2 must be at least 0 and at most 14" },
    { "dilution: 1 in 20000", AQ_OUT_OF_RANGE, 1, 11, 10,
      "dilution: 1 in 20000 must be at least 1 and at most 10000" },
    { "level: 2000L@1.8mS/cm", AQ_OUT_OF_RANGE, 1, 8, 14,
      "level: 2000L@1.8mS/cm must be at least 0 L and at most 1000 L" },
    { "size: 2x2x2mm", AQ_OUT_OF_RANGE, 1, 7, 7, "size: 2x2x2mm must be at least 0.001 L and at most 1 L" },
    { "targets: {N: 20 g/L}", AQ_OUT_OF_RANGE, 1, 14, 6,
      "targets: N: 20 g/L must be more than 0 g/L and at most 10 g/L" },
    { "analysis: {N: 120 %}", AQ_OUT_OF_RANGE, 1, 15, 5,
      "analysis: N: 120 % must be at least 0 % and at most 100 %" },

    /* checks */
    { "jars: [A, cracked]", AQ_INVALID, 1, 11, 7, "jar 2: a cracked jar holds nothing" },
    { "lid: silent", AQ_CONFLICT, 1, 6, 6, "lid: two answers exclude each other" },
};

static void test_each_complaint_says_what_where_and_what_would_be_right(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        trial *t = try(bad[i].text);
        const aq_error *first = &t->complaints.at[0];

        check_true(bad[i].text, t->complaints.count == 1 && !t->made.checked);
        check_text(bad[i].text, first->text, bad[i].says);
        check_text(bad[i].text, aq_status_name(t->status), aq_status_name(bad[i].status));
        check_true(bad[i].text, first->status == t->status);
        check_close(bad[i].text, first->place.line, bad[i].line, 0);
        check_close(bad[i].text, first->place.column, bad[i].column, 0);
        check_close(bad[i].text, first->place.span, bad[i].span, 0);
        check_text(bad[i].text, first->place.source, "shed.yaml");
        end(t);
    }
}

/* What measure says is its own; here it must only get the path in front and point at the characters. */
static const struct {
    const char *text;
    aq_status status;
    int column, span;
    const char *path, *key; /* `key`: of the question, NULL where none is asked */
} passed_on[] = {
    { "volume: 60 litters", AQ_UNKNOWN_UNIT, 12, 7, "volume: ", NULL },
    { "volume: '60 litters'", AQ_UNKNOWN_UNIT, 13, 7, "volume: ", NULL },
    { "volume: \"60 l\\u0069tters\"", AQ_UNKNOWN_UNIT, 9, 17, "volume: ", NULL },
    { "volume: 3 mS/cm", AQ_WRONG_KIND, 9, 7, "volume: ", NULL },
    { "volume: 20 gal", AQ_AMBIGUOUS, 12, 3, "volume: ", "gallon" },
    { "jars: [{name: A, holds: 20 gal}]", AQ_AMBIGUOUS, 28, 3, "jar 1: holds: ", "gallon" },
    { "reading: 900 ppm", AQ_AMBIGUOUS, 14, 3, "reading: ", "ppm" },
    { "dilution: 1:200", AQ_AMBIGUOUS, 11, 5, "dilution: ", "ratio" },
    { "parts: {\xC3\x89t\xC3\xA9: 1 m}", AQ_WRONG_KIND, 14, 3, "parts: \xC3\x89t\xC3\xA9: ", NULL },
    { "volume: \xC2\xBD litters", AQ_UNKNOWN_UNIT, 9, 9, "volume: ", NULL },
    { "window: 5.6-x", AQ_SYNTAX, 13, 1, "window: ", NULL },
    { "count: many", AQ_SYNTAX, 8, 4, "count: ", NULL },
};

static void test_complaints_about_quantities_point_at_their_characters(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof passed_on / sizeof *passed_on; i++) {
        trial *t = try(passed_on[i].text);
        const aq_error *first = &t->complaints.at[0];

        check_true(passed_on[i].text, t->complaints.count == 1);
        check_text(passed_on[i].text, aq_status_name(t->status), aq_status_name(passed_on[i].status));
        check_true(passed_on[i].text,
                   strncmp(first->text, passed_on[i].path, strlen(passed_on[i].path)) == 0);
        check_close(passed_on[i].text, first->place.column, passed_on[i].column, 0);
        check_close(passed_on[i].text, first->place.span, passed_on[i].span, 0);
        if (passed_on[i].key)
            check_text(passed_on[i].text, first->question.key, passed_on[i].key);
        else
            assert_null(first->question.key);
        end(t);
    }
}

static void test_the_walk_goes_on_after_a_complaint(void **state)
{
    trial *t =
        try("volume: lots\ncolour: green\njars:\n  - {name: A, holds: 0 L}\n  - {holds: 1 L}\nph: acid\n"
            "targets: {N: 1 L, X: 3 g/L}\nwindow: wide\n");
    static const int lines[] = { 1, 2, 4, 5, 6, 7, 7, 8 };

    (void)state;
    assert_int_equal(t->complaints.count, sizeof lines / sizeof *lines);
    for (size_t i = 0; i < t->complaints.count; i++)
        assert_int_equal(t->complaints.at[i].place.line, lines[i]);
    assert_int_equal(t->status, t->complaints.at[0].status);
    assert_null(t->walk.within);
    end(t);
}

static void test_more_than_twenty_complaints_are_counted(void **state)
{
    char text[4000] = "";
    trial *t;

    (void)state;
    for (int i = 0; i < 50; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "xxxxx%d: 1\n", i);
    t = try(text);
    assert_int_equal(t->complaints.count, 20);
    assert_int_equal(t->complaints.more, 30);
    assert_int_equal(t->status, AQ_UNKNOWN_KEY);
    end(t);
}

static void test_long_names_are_cut_in_complaints_and_refused_as_names(void **state)
{
    char text[2000], name[600];
    trial *t;

    (void)state;
    memset(name, 'n', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    snprintf(text, sizeof text, "%s: 1\nparts: {%.300s: 1}\nshelf: {%.300s: {}}\njars: [%s]\n", name, name,
             name, name);
    t = try(text);
    assert_int_equal(t->complaints.count, 4);
    check_text("key", t->complaints.at[0].text,
               "nnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnn... is no key of a shed");
    check_text("amount", t->complaints.at[1].text, "parts: a text of 300 bytes; at most 200 are read");
    check_text("named", t->complaints.at[2].text, "a text of 300 bytes; at most 200 are read");
    check_text("scalar", t->complaints.at[3].text, "jar 1: a text of 599 bytes; at most 200 are read");
    end(t);
}

static void test_a_full_arena_is_a_complaint(void **state)
{
    char text[3000] = "jars: [A";
    trial *t = calloc(1, sizeof *t);
    aq_arena *nodes = aq_arena_new(0);
    aq_node *root;

    (void)state;
    for (int i = 0; i < 200; i++)
        strcat(text, ", A");
    strcat(text, "]");
    assert_int_equal(aq_node_yaml(&root, nodes, text, strlen(text), "-", NULL), AQ_OK);
    t->arena = aq_arena_new(4000);
    t->walk = (aq_walk){ .arena = t->arena, .complaints = &t->complaints };
    assert_int_equal(aq_shape_read(&t->walk, &shed_shape, root, &t->made), AQ_NO_MEMORY);
    aq_arena_free(nodes);
    end(t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_complaint_says_what_where_and_what_would_be_right),
        cmocka_unit_test(test_complaints_about_quantities_point_at_their_characters),
        cmocka_unit_test(test_the_walk_goes_on_after_a_complaint),
        cmocka_unit_test(test_more_than_twenty_complaints_are_counted),
        cmocka_unit_test(test_long_names_are_cut_in_complaints_and_refused_as_names),
        cmocka_unit_test(test_a_full_arena_is_a_complaint),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
