/* The walk over a made-up entry: what each reader reads, in lists, maps and texts that hold them. */
#include "shed.h"

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
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
