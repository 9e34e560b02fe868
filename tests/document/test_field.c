/* The walk over a made-up entry that has one field of every reader: what it reads, and each complaint whole. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "document/field.h"

/* ---- the made-up document ---- */

typedef struct {
    const char *name;
    aq_quantity holds;
    aq_place place;
} jar;

typedef struct {
    int basis;
    aq_amounts contents;
} label;

typedef struct {
    aq_said said;
    const char *title;
    int open; /* aq_yes_no */
    long count;
    aq_quantity ph, volume, share, size;
    aq_range window, rate;
    aq_strength strength;
    aq_ratio dilution;
    aq_level level, reading;
    aq_slope slope;
    aq_date day;
    aq_clock daily;
    aq_moment at;
    int use;
    jar lid;
    label analysis;
    AQ_LIST(jar) jars;
    AQ_LIST(jar) shelf;
    aq_amounts targets, parts;
    aq_texts show;
    size_t letters;
    bool checked;
    aq_place place;
} shed;

static const char *const gallon_words[] = { "us", "imperial", NULL };
static const char *const ppm_words[] = { "500", "640", "700", NULL };
static const char *const ratio_words[] = { "in", "plus", NULL };
static const char *const use_words[] = { "root", "foliar", NULL };
static const char *const basis_words[] = { "w/w", "w/v", NULL };
static const char *const elements[] = { "N", "P", "K", "NO3-N", NULL };

static const aq_field jar_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .needed = true,
      .into = offsetof(jar, name),
      .help = "what it is called",
      .example = "Big jar" },
    { .key = "holds",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 100000,
      .into = offsetof(jar, holds),
      .help = "to the brim",
      .example = "2 L" },
};

static aq_status check_jar(aq_walk *walk, void *entry, const aq_node *node)
{
    const jar *made = entry;

    if (strcmp(made->name, "silent") == 0)
        return AQ_CONFLICT;
    if (strcmp(made->name, "cracked") == 0)
        return aq_walk_fail(walk, AQ_INVALID, node->place, "a cracked jar holds nothing");
    return AQ_OK;
}

static const aq_shape jar_shape = { .noun = "jar",
                                    .fields = jar_fields,
                                    .count = 2,
                                    .size = sizeof(jar),
                                    .has_place = true,
                                    .place_into = offsetof(jar, place),
                                    .has_name = true,
                                    .name_into = offsetof(jar, name),
                                    .scalar = true,
                                    .check = check_jar };

static const aq_field label_rest = { .key = "element",
                                     .read = AQ_READ_AMOUNTS,
                                     .want = AQ_WANT_SHARE,
                                     .bounded = true,
                                     .least = 0,
                                     .most = 1,
                                     .choices = elements,
                                     .into = offsetof(label, contents) };
static const aq_field label_fields[] = {
    { .key = "basis", .read = AQ_READ_CHOICE, .choices = basis_words, .into = offsetof(label, basis) },
};
static const aq_shape label_shape = {
    .noun = "label", .fields = label_fields, .count = 1, .size = sizeof(label), .rest = &label_rest
};

/* The number of letters of a text, or of entries of a list. */
static aq_status read_letters(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    (void)field;
    if (node->shape == AQ_NODE_NOTHING)
        return aq_walk_fail(walk, AQ_MISSING, node->place, "letters: none");
    *(size_t *)into = node->shape == AQ_NODE_SCALAR ? strlen(node->text) : node->count;
    return AQ_OK;
}

static aq_status check_shed(aq_walk *walk, void *entry, const aq_node *node)
{
    shed *made = entry;

    (void)node;
    made->said = walk->said;
    made->checked = true;
    return AQ_OK;
}

static const aq_field shed_fields[] = {
    { .key = "title",
      .read = AQ_READ_TEXT,
      .most = 20,
      .into = offsetof(shed, title),
      .example = "Fernhollow" },
    { .key = "open", .read = AQ_READ_YES_NO, .into = offsetof(shed, open) },
    { .key = "count",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 1,
      .most = 1000,
      .into = offsetof(shed, count),
      .example = "98" },
    { .key = "ph",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .least = 0,
      .most = 14,
      .into = offsetof(shed, ph) },
    { .key = "window",
      .read = AQ_READ_NUMBERS,
      .bounded = true,
      .least = 0,
      .most = 14,
      .into = offsetof(shed, window) },
    { .key = "volume",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 100000,
      .into = offsetof(shed, volume),
      .help = "what it holds",
      .example = "60 L" },
    { .key = "share",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bare = true,
      .bounded = true,
      .least = 0,
      .most = INFINITY,
      .into = offsetof(shed, share) },
    { .key = "rate",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_RATE,
      .bounded = true,
      .least = 0,
      .most = 0.05,
      .into = offsetof(shed, rate),
      .example = "2-4 mL/L" },
    { .key = "strength", .read = AQ_READ_STRENGTH, .into = offsetof(shed, strength), .example = "35%w/w" },
    { .key = "dilution",
      .read = AQ_READ_RATIO,
      .bounded = true,
      .least = 1,
      .most = 10000,
      .into = offsetof(shed, dilution) },
    { .key = "level",
      .read = AQ_READ_LEVEL,
      .bounded = true,
      .least = 0,
      .most = 1000,
      .into = offsetof(shed, level) },
    { .key = "reading", .read = AQ_READ_LEVEL, .bare = true, .into = offsetof(shed, reading) },
    { .key = "slope", .read = AQ_READ_SLOPE, .into = offsetof(shed, slope) },
    { .key = "size",
      .read = AQ_READ_SIZE,
      .bounded = true,
      .least = 0.001,
      .most = 1,
      .into = offsetof(shed, size) },
    { .key = "day", .read = AQ_READ_DATE, .into = offsetof(shed, day), .example = "2026-03-02" },
    { .key = "daily", .read = AQ_READ_MINUTE, .into = offsetof(shed, daily), .example = "07:30" },
    { .key = "at", .read = AQ_READ_MOMENT, .into = offsetof(shed, at) },
    { .key = "use", .read = AQ_READ_CHOICE, .choices = use_words, .into = offsetof(shed, use) },
    { .key = "lid", .read = AQ_READ_ENTRY, .shape = &jar_shape, .into = offsetof(shed, lid) },
    { .key = "analysis", .read = AQ_READ_ENTRY, .shape = &label_shape, .into = offsetof(shed, analysis) },
    { .key = "jars", .read = AQ_READ_ENTRIES, .shape = &jar_shape, .into = offsetof(shed, jars) },
    { .key = "shelf", .read = AQ_READ_NAMED, .shape = &jar_shape, .into = offsetof(shed, shelf) },
    { .key = "targets",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_CONTENT,
      .choices = elements,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 10,
      .into = offsetof(shed, targets),
      .example = "{N: 150 mg/L}" },
    { .key = "parts",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_RATE,
      .bare = true,
      .into = offsetof(shed, parts) },
    { .key = "show", .read = AQ_READ_TEXTS, .most = 10, .into = offsetof(shed, show) },
    { .key = "letters", .read = AQ_READ_CUSTOM, .custom = read_letters, .into = offsetof(shed, letters) },
    { .key = "gallon",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = gallon_words,
      .into = offsetof(shed, said.gallon) },
    { .key = "ppm",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = ppm_words,
      .into = offsetof(shed, said.ppm) },
    { .key = "ratio",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = ratio_words,
      .into = offsetof(shed, said.ratio) },
};
static const aq_shape shed_shape = { .noun = "shed",
                                     .fields = shed_fields,
                                     .count = sizeof shed_fields / sizeof *shed_fields,
                                     .size = sizeof(shed),
                                     .has_place = true,
                                     .place_into = offsetof(shed, place),
                                     .check = check_shed };

/* ---- one reading ---- */

typedef struct {
    aq_arena *arena;
    aq_walk walk;
    aq_complaints complaints;
    shed made;
    aq_status status;
} trial;

typedef aq_status text_reader(aq_node **out, aq_arena *arena, const char *text, size_t length,
                              const char *source, aq_error *err);

static trial *try_by(text_reader *read, const char *text)
{
    trial *t = calloc(1, sizeof *t);
    aq_error err = { 0 };
    aq_node *root;

    t->arena = aq_arena_new(0);
    t->walk = (aq_walk){ .arena = t->arena, .complaints = &t->complaints };
    memset(&t->made, 0x55, sizeof t->made); /* the walker zeroes */
    if (read(&root, t->arena, text, strlen(text), "shed.yaml", &err) != AQ_OK)
        print_error("%s: %s\n", text, err.text);
    assert_non_null(root);
    t->status = aq_shape_read(&t->walk, &shed_shape, root, &t->made);
    return t;
}

static trial *try(const char *text)
{
    return try_by(aq_node_yaml, text);
}

static trial *try_good(const char *text)
{
    trial *t = try(text);

    for (size_t i = 0; i < t->complaints.count; i++)
        print_error("%s: %s\n", text, t->complaints.at[i].text);
    check_true(text, t->status == AQ_OK && t->complaints.count == 0 && t->made.checked);
    return t;
}

static void end(trial *t)
{
    aq_arena_free(t->arena);
    free(t);
}

/* ---- what is read ---- */

static void test_every_reader_fills_its_value(void **state)
{
    static const char text[] =
        "title: Fernhollow\nopen: yes\ncount: 98\nph: 5.8\nwindow: 5.6-6.2\nvolume: 60 L\n"
        "share: 0.5\nrate: 2-4 mL/L\nstrength: 35%w/w\ndilution: 1 in 200\n"
        "level: 80L@1.8mS/cm\nreading: 2.05 mS/cm\nslope: 0.40 mS/cm per mL/L\n"
        "size: 36x36x40mm\nday: 2026-03-02\ndaily: 07:30\nat: 2026-03-06T07:30\nuse: foliar\n"
        "lid: {name: Lid, holds: 10 mL}\nshow: [L, gal]\nletters: [a, b, c]\n";
    trial *t = try_good(text);
    const shed *made = &t->made;

    (void)state;
    check_text("title", made->title, "Fernhollow");
    assert_int_equal(made->open, AQ_YES);
    assert_int_equal(made->count, 98);
    check_close("ph", made->ph.value, 5.8, 1e-15);
    assert_true(made->ph.given);
    check_close("window low", made->window.low.value, 5.6, 1e-15);
    check_close("window high", made->window.high.value, 6.2, 1e-15);
    check_close("volume", made->volume.value, 60, 1e-15);
    check_close("share", made->share.value, 0.5, 1e-15);
    check_close("rate low", made->rate.low.value, 0.002, 1e-15);
    check_close("rate high", made->rate.high.value, 0.004, 1e-15);
    check_close("strength", made->strength.value, 0.35, 1e-15);
    check_close("dilution", made->dilution.parts, 200, 1e-15);
    check_close("level", made->level.volume.value, 80, 1e-15);
    check_close("level", made->level.ec.value, 1.8, 1e-15);
    check_close("reading", made->reading.ec.value, 2.05, 1e-15);
    assert_false(made->reading.volume.given);
    check_close("slope", made->slope.value, 400, 1e-12);
    check_close("size", made->size.value, 0.05184, 1e-12);
    assert_int_equal(made->day.day, 2);
    assert_true(made->daily.given);
    assert_int_equal(made->daily.minute, 450);
    assert_int_equal(made->at.minute, 450);
    assert_int_equal(made->use, 2);
    check_text("lid", made->lid.name, "Lid");
    assert_int_equal(made->lid.place.line, 19);
    assert_int_equal(made->lid.place.column, 6);
    assert_int_equal(made->show.count, 2);
    check_text("show", made->show.at[1], "gal");
    assert_int_equal(made->letters, 3);
    assert_int_equal(made->place.line, 1);
    end(t);
}

static void test_what_is_not_given_is_zero(void **state)
{
    trial *t = try_good("title: A\n");

    (void)state;
    assert_false(t->made.volume.given || t->made.rate.low.given || t->made.strength.given ||
                 t->made.daily.given);
    assert_int_equal(t->made.open, AQ_UNSAID);
    assert_int_equal(t->made.use, 0);
    assert_int_equal(t->made.jars.count, 0);
    assert_null(t->made.lid.name);
    end(t);
}

static void test_entries_come_in_their_order(void **state)
{
    trial *t = try_good(
        "jars:\n  - {name: A, holds: 2 L}\n  - B\n  - name: C\nshelf: {One: {holds: 1 L}, No: {}}\n");

    (void)state;
    assert_int_equal(t->made.jars.count, 3);
    check_close("A", t->made.jars.at[0].holds.value, 2, 1e-15);
    check_text("B", t->made.jars.at[1].name, "B");
    assert_int_equal(t->made.jars.at[1].place.line, 3);
    check_text("C", t->made.jars.at[2].name, "C");
    assert_int_equal(t->made.shelf.count, 2);
    check_text("One", t->made.shelf.at[0].name, "One");
    check_text("No", t->made.shelf.at[1].name, "No");
    end(t);
    t = try_good("jars: {name: A}\nshow: gal\n");
    assert_int_equal(t->made.jars.count, 1);
    assert_int_equal(t->made.show.count, 1);
    end(t);
}

static void test_amounts_keep_names_places_and_bare_numbers(void **state)
{
    trial *t = try_good("parts: {No: 3, B: 1.8 mL/L}\nanalysis: {NO3-N: 4.7 %, basis: w/v, K: 1 %}\n");
    const aq_amounts *parts = &t->made.parts, *contents = &t->made.analysis.contents;

    (void)state;
    assert_int_equal(parts->count, 2);
    check_text("No", parts->at[0].name, "No");
    check_close("No", parts->at[0].amount.value, 3, 1e-15);
    assert_true(aq_kind_equal(parts->at[0].amount.kind, AQ_KIND_SHARE));
    check_close("B", parts->at[1].amount.value, 0.0018, 1e-15);
    assert_int_equal(parts->at[1].place.column, 19);
    assert_int_equal(contents->count, 2);
    check_text("NO3-N", contents->at[0].name, "NO3-N");
    check_close("K", contents->at[1].amount.value, 0.01, 1e-15);
    assert_int_equal(t->made.analysis.basis, 2);
    end(t);
}

static void test_what_a_document_says_holds_for_values_above_it(void **state)
{
    trial *t = try_good(
        "volume: 20 gal\nreading: 900 ppm\ndilution: 1:200\nratio: plus\nppm: 700\ngallon: imperial\n");

    (void)state;
    check_close("imperial gallon, NIST SP 811 B.8", t->made.volume.value, 20 * 4.54609, 1e-12);
    check_close("700 ppm a mS/cm", t->made.reading.ec.value, 900.0 / 700, 1e-12);
    check_close("1 plus 200", t->made.dilution.parts, 201, 1e-12);
    assert_int_equal(t->made.said.gallon, AQ_GALLON_IMPERIAL);
    assert_int_equal(t->made.said.ppm, 700);
    assert_int_equal(t->made.said.ratio, AQ_RATIO_PLUS);
    assert_true(t->made.said.used_gallon && t->made.said.used_ppm && t->made.said.used_ratio);
    end(t);
}

/* ---- entries that arrive as text ---- */

static void test_a_text_that_holds_flow_is_read_as_what_it_holds(void **state)
{
    static const char line[] =
        "{\"jars\":[\"{name: A, holds: 2 L}\",{\"name\":\"B\"},\"C\"],\"targets\":\"{N: 150 mg/L}\","
        "\"lid\":\"{name: Lid}\",\"show\":\"[L, gal]\",\"letters\":\"[a, b]\",\"title\":\"{x}\","
        "\"shelf\":\"{One: {holds: 1 L}}\",\"count\":98,\"open\":true,\"volume\":null}";
    trial *t = try_by(aq_node_json, line);

    (void)state;
    assert_int_equal(t->status, AQ_OK);
    assert_int_equal(t->made.jars.count, 3);
    check_text("A", t->made.jars.at[0].name, "A");
    assert_int_equal(t->made.jars.at[0].place.column, 11);
    check_text("C", t->made.jars.at[2].name, "C");
    check_close("N", t->made.targets.at[0].amount.value, 0.15, 1e-15);
    check_text("lid", t->made.lid.name, "Lid");
    assert_int_equal(t->made.show.count, 2);
    assert_int_equal(t->made.letters, 2);
    check_text("title", t->made.title, "{x}");
    check_text("shelf", t->made.shelf.at[0].name, "One");
    assert_int_equal(t->made.count, 98);
    assert_false(t->made.volume.given);
    end(t);
}

/* Where a complaint points when the value is inside the text of another. */
static const struct {
    const char *json;
    int column, span;
    const char *text;
} nested[] = {
    { "{\"jars\":\"{name: A, hold: 2 L}\"}", 20, 4, "jar 1: hold is no key of a jar; did you mean holds?" },
    { "{\"jars\":[\"{name: A, holds: -2 L}\"]}", 28, 4,
      "jar 1: holds: -2 L must be more than 0 L and at most 100000 L" },
    { "{\"jars\":\"{name: \\u0041, hold: 2 L}\"}", 9, 27,
      "jar 1: hold is no key of a jar; did you mean holds?" },
    { "{\"targets\":\"{N: 1 mg/L, N: 2 mg/L}\"}", 25, 1, "targets: N is given twice" },
    { "{\"targets\":\"{N: 1 mg/L\"}", 13, 1,
      "targets: what opens here is never closed: a } or ] is missing" },
};

static void test_complaints_point_inside_a_text(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof nested / sizeof *nested; i++) {
        trial *t = try_by(aq_node_json, nested[i].json);

        assert_int_equal(t->complaints.count, 1);
        check_text(nested[i].json, t->complaints.at[0].text, nested[i].text);
        check_close(nested[i].json, t->complaints.at[0].place.column, nested[i].column, 0);
        check_close(nested[i].json, t->complaints.at[0].place.span, nested[i].span, 0);
        end(t);
    }
}

static void test_an_option_given_twice_to_one_value_is_refused(void **state)
{
    trial *t = try_good("title: A\n");
    aq_place place = { "--volume", 1, 1, 1 };
    aq_node *map = aq_node_new(t->arena, AQ_NODE_MAP, place, NULL);

    (void)state;
    aq_node_add(t->arena, map, "volume", aq_node_new(t->arena, AQ_NODE_SCALAR, place, "60L"));
    aq_node_add(t->arena, map, "volume", aq_node_new(t->arena, AQ_NODE_SCALAR, place, "80L"));
    assert_int_equal(aq_shape_read(&t->walk, &shed_shape, map, &t->made), AQ_WRONG_KIND);
    check_text("twice", t->complaints.at[0].text,
               "volume: a list of 2 stands here; wanted is one value, like 60 L");
    check_text("source", t->complaints.at[0].place.source, "--volume");
    end(t);
}

/* ---- complaints ---- */

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
        cmocka_unit_test(test_every_reader_fills_its_value),
        cmocka_unit_test(test_what_is_not_given_is_zero),
        cmocka_unit_test(test_entries_come_in_their_order),
        cmocka_unit_test(test_amounts_keep_names_places_and_bare_numbers),
        cmocka_unit_test(test_what_a_document_says_holds_for_values_above_it),
        cmocka_unit_test(test_a_text_that_holds_flow_is_read_as_what_it_holds),
        cmocka_unit_test(test_complaints_point_inside_a_text),
        cmocka_unit_test(test_an_option_given_twice_to_one_value_is_refused),
        cmocka_unit_test(test_each_complaint_says_what_where_and_what_would_be_right),
        cmocka_unit_test(test_complaints_about_quantities_point_at_their_characters),
        cmocka_unit_test(test_the_walk_goes_on_after_a_complaint),
        cmocka_unit_test(test_more_than_twenty_complaints_are_counted),
        cmocka_unit_test(test_long_names_are_cut_in_complaints_and_refused_as_names),
        cmocka_unit_test(test_a_full_arena_is_a_complaint),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
