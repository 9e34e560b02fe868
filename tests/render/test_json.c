/* JSON is read back by another hand (jansson, RFC 8259 strictly) and compared member by member. */
#include <jansson.h>

#include "render/sample.h"

static int arena_up(void **state)
{
    *state = aq_arena_new(0);
    return *state == NULL;
}

static int arena_down(void **state)
{
    aq_arena_free(*state);
    return 0;
}

static json_t *parsed(const aq_sheet *sheet, bool compact)
{
    aq_buffer out = { 0 };
    json_error_t error;
    const char *text = rendered(&out, "json", sheet, (aq_manner){ .compact = compact });
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    if (!root)
        print_error("%d:%d: %s\n%s\n", error.line, error.column, error.text, text);
    assert_non_null(root);
    aq_buffer_free(&out);
    return root;
}

/* The value at a path such as "rows.1.expect.value"; it must be there. */
static json_t *at(json_t *root, const char *path)
{
    char step[64];
    for (const char *rest = path; root && *rest;) {
        size_t length = strcspn(rest, "/");
        assert_true(length < sizeof step);
        memcpy(step, rest, length);
        step[length] = '\0';
        root = json_is_array(root) ? json_array_get(root, (size_t)atoi(step)) : json_object_get(root, step);
        rest += length + (rest[length] == '/');
    }
    if (!root)
        print_error("nothing at %s\n", path);
    assert_non_null(root);
    return root;
}

static void check_number(json_t *root, const char *path, double want)
{
    check_close(path, json_number_value(at(root, path)), want, 0);
}

static void check_string(json_t *root, const char *path, const char *want)
{
    check_text(path, json_string_value(at(root, path)), want);
}

static void test_a_mix_is_read_back_whole(void **state)
{
    json_t *root = parsed(sample_mix(*state, "Part A"), false);
    check_string(root, "aliquot", "sheet 1");
    check_string(root, "job", "mix");
    check_string(root, "outcome", "met");
    check_string(root, "at", "2026-03-02T09:05");
    check_number(root, "day", 12);
    check_number(root, "volume/value", 60);
    check_string(root, "volume/unit", "L");
    check_string(root, "hazards/0/code", "H318");
    check_string(root, "wear/0", "eye protection");
    check_string(root, "rows/0/do", "water");
    check_number(root, "rows/1/expect/value", 0.425);
    check_number(root, "rows/1/expect/within", 0.10);
    check_string(root, "rows/2/part", "Part A");
    check_number(root, "rows/2/exact/value", 192.04);
    check_number(root, "rows/2/pieces/3", 12);
    check_number(root, "rows/2/label_used", 0.8);
    check_number(root, "expect/ec/within", 0.13);
    check_number(root, "expect/ph/low", 5.6);
    check_number(root, "expect/ph/high", 6.2);
    check_close("middle", json_number_value(at(root, "expect/ph/value")), 5.9, 1e-12);
    check_close("within", json_number_value(at(root, "expect/ph/within")), 0.3, 1e-12);
    check_string(root, "expect/ph/unit", "pH");
    check_string(root, "if_reads/1/do/0/part", "Part A");
    check_number(root, "if_reads/1/do/0/amount/value", 15);
    check_number(root, "figures/label_used/value", 0.8);
    check_number(root, "certificate/gap", 1e-12);
    check_string(root, "assumed/0", "gallon: us, from the site");
    json_decref(root);
}

static void test_what_is_not_given_is_left_out(void **state)
{
    json_t *root = parsed(aq_sheet_new(*state, "meter"), false);
    assert_int_equal(json_object_size(root), 3);
    check_string(root, "outcome", "met");
    json_decref(root);
}

static void test_a_row_holds_only_what_belongs_to_it(void **state)
{
    json_t *root = parsed(sample_mix(*state, "Part A"), true);
    assert_int_equal(json_object_size(at(root, "rows/0")), 2);
    assert_int_equal(json_object_size(at(root, "rows/1")), 2);
    assert_int_equal(json_object_size(at(root, "rows/3")), 1);
    json_decref(root);
}

static void test_a_reading_of_ph_is_an_expectation_too(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "condition");
    aq_row *row = aq_sheet_row(sheet, AQ_DO_READ);
    row->ph_low = row->ph_high = 5.5;
    row = aq_sheet_row(sheet, AQ_DO_READ);
    row->ph_low = 5.5;
    row->ph_high = 6.2;
    row->expect = aq_amount_within(0.6, "mS/cm", 0.1);
    json_t *root = parsed(sheet, false);
    check_number(root, "rows/0/expect/ph/value", 5.5);
    assert_null(json_object_get(at(root, "rows/0/expect"), "value"));
    assert_null(json_object_get(at(root, "rows/0/expect/ph"), "within"));
    check_number(root, "rows/1/expect/value", 0.6);
    check_number(root, "rows/1/expect/ph/high", 6.2);
    json_decref(root);
}

static void test_a_dot_in_a_figure_nests(void **state)
{
    static const char *const names[] = { "real.N",        "ratio",       "real.P",
                                         "deep.er.still", "deep.er.yet", "deep.end" };
    aq_sheet *sheet = aq_sheet_new(*state, "stock");
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        assert_true(aq_sheet_figure(sheet, names[i], (double)i + 0.5, "mg/L"));
    for (int compact = 0; compact < 2; compact++) {
        json_t *root = parsed(sheet, compact);
        check_number(root, "figures/real/N/value", 0.5);
        check_number(root, "figures/ratio/value", 1.5);
        check_number(root, "figures/real/P/value", 2.5);
        check_number(root, "figures/deep/er/still/value", 3.5);
        check_number(root, "figures/deep/er/yet/value", 4.5);
        check_number(root, "figures/deep/end/value", 5.5);
        assert_int_equal(json_object_size(at(root, "figures")), 3);
        json_decref(root);
    }
}

static void test_records_are_found_by_their_label(void **state)
{
    aq_sheet *plan = sample_plan(*state);
    aq_record *cause = aq_records_add(*state, &plan->causes, "because", "one part left out");
    assert_true(cause && aq_figures_add(*state, &cause->figures, "reads", 1.05, "mS/cm"));
    aq_record *solid = aq_records_add(*state, &plan->precipitates, "solid", "gypsum");
    assert_true(solid && aq_figures_add(*state, &solid->figures, "index", -0.4, "1"));
    json_t *root = parsed(plan, false);
    check_string(root, "totals/0/part", "Part A");
    check_number(root, "totals/0/amount/value", 54);
    check_string(root, "supplies/0/runs_out", "2026-03-05");
    check_string(root, "causes/0/because", "one part left out");
    check_number(root, "causes/0/reads/value", 1.05);
    check_string(root, "precipitates/0/solid", "gypsum");
    check_number(root, "precipitates/0/index/value", -0.4);
    check_string(root, "jobs/0/aliquot", "sheet 1");
    check_string(root, "jobs/0/at", "2026-03-02T07:30");
    check_number(root, "jobs/0/day", 0);
    check_string(root, "jobs/2/at", "2026-03-05");
    json_decref(root);
}

static void test_an_element_says_wanted_got_and_from_what(void **state)
{
    aq_sheet *sheet = sample_elements(*state);
    json_t *root = parsed(sheet, false);
    check_string(root, "elements/0/element", "N");
    check_number(root, "elements/0/wanted/value", 150);
    check_number(root, "elements/0/got/value", 148);
    check_string(root, "elements/0/from/0/water", "tap 1.5");
    check_number(root, "elements/0/from/0/amount/value", 18);
    check_string(root, "elements/0/from/1/part", "Calcium nitrate of the old shed");
    check_number(root, "elements/0/from/1/amount/value", 130);
    check_string(root, "elements/1/element", "NO3-N");
    assert_null(json_object_get(at(root, "elements/1"), "wanted"));
    assert_null(json_object_get(at(root, "elements/2"), "from"));
    json_decref(root);
}

static void test_hostile_names_come_back_as_they_were_typed(void **state)
{
    for (int compact = 0; compact < 2; compact++) {
        json_t *root = parsed(sample_hostile(*state), compact);
        const char *name = json_string_value(at(root, "title"));
        size_t kept = strlen(HOSTILE) - 1; /* all but the byte that is not UTF-8 */
        check_true("same bytes", strncmp(name, HOSTILE, kept) == 0);
        check_text("replacement character", name + kept, "\xef\xbf\xbd");
        json_decref(root);
    }
}

static void test_no_control_byte_and_no_direction_mark_is_written(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "json", sample_hostile(*state), (aq_manner){ .compact = true });
    for (size_t i = 0; text[i]; i++)
        check_true("printable", (unsigned char)text[i] >= 0x20 || text[i + 1] == '\0');
    assert_null(strchr(text, '\x7f'));
    assert_null(strstr(text, "\xc2\x9b"));
    assert_null(strstr(text, "\xe2\x80\xae"));
    assert_null(strchr(text, '\xff'));
    aq_buffer_free(&out);
}

static void test_a_compact_sheet_is_one_line(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "json", sample_plan(*state), (aq_manner){ .compact = true });
    check_true("one line", strchr(text, '\n') == text + out.length - 1);
    aq_buffer_free(&out);
}

static void test_both_forms_say_the_same(void **state)
{
    aq_sheet *sheets[] = { sample_mix(*state, "Part A"), sample_plan(*state), sample_hostile(*state),
                           sample_meter(*state) };
    for (size_t i = 0; i < sizeof sheets / sizeof *sheets; i++) {
        json_t *compact = parsed(sheets[i], true), *spread = parsed(sheets[i], false);
        assert_true(json_equal(compact, spread));
        json_decref(compact);
        json_decref(spread);
    }
}

static void test_numbers_read_back_to_the_same_double(void **state)
{
    static const double values[] = { 0.1,  1.0 / 3, 1e-12, 114.99999999999999, 4503599627370497.5,
                                     -0.0, 5e-324,  1e15 };
    aq_sheet *sheet = aq_sheet_new(*state, "convert");
    for (size_t i = 0; i < sizeof values / sizeof *values; i++)
        add_row(sheet, AQ_DO_POUR, "A", values[i], "mL");
    json_t *root = parsed(sheet, true);
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        double got = json_number_value(
            json_object_get(json_object_get(json_array_get(at(root, "rows"), i), "amount"), "value"));
        check_close("exact", got, values[i], 0);
    }
    json_decref(root);
}

static void test_the_id_of_a_line_is_given_back(void **state)
{
    aq_buffer out = { 0 };
    aq_json_add(&out, sample_meter(*state), &(aq_manner){ .compact = true, .id = "[7,\"x\"]" });
    static const char start[] = "{\"id\":[7,\"x\"],\"aliquot\":";
    check_true(start, strncmp(aq_buffer_chars(&out), start, sizeof start - 1) == 0);
    aq_buffer_free(&out);
}

static bool refuse(void *to, const char *bytes, size_t count)
{
    (void)bytes;
    (void)count;
    ++*(int *)to;
    return false;
}

static void test_a_sink_that_fails_is_told_once(void **state)
{
    int called = 0;
    aq_error err = { 0 };
    aq_status status = aq_render_json(sample_plan(*state), NULL, (aq_sink){ refuse, &called }, &err);
    assert_int_equal(status, AQ_WRITE_FAILED);
    assert_int_equal(err.status, AQ_WRITE_FAILED);
    assert_int_equal(called, 1);
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, arena_up, arena_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_a_mix_is_read_back_whole),
        IN_ARENA(test_what_is_not_given_is_left_out),
        IN_ARENA(test_a_row_holds_only_what_belongs_to_it),
        IN_ARENA(test_a_reading_of_ph_is_an_expectation_too),
        IN_ARENA(test_a_dot_in_a_figure_nests),
        IN_ARENA(test_records_are_found_by_their_label),
        IN_ARENA(test_an_element_says_wanted_got_and_from_what),
        IN_ARENA(test_hostile_names_come_back_as_they_were_typed),
        IN_ARENA(test_no_control_byte_and_no_direction_mark_is_written),
        IN_ARENA(test_a_compact_sheet_is_one_line),
        IN_ARENA(test_both_forms_say_the_same),
        IN_ARENA(test_numbers_read_back_to_the_same_double),
        IN_ARENA(test_the_id_of_a_line_is_given_back),
        IN_ARENA(test_a_sink_that_fails_is_told_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
