/* What stands on a web page. That it can be read by everybody is checked by pages.py. */
#include "render/glyph.h"
#include "render/sample.h"
#include "render/svg.h"

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

static void check_holds(const char *text, const char *want)
{
    if (!strstr(text, want))
        print_error("not on the page: %s\n", want);
    assert_non_null(strstr(text, want));
}

static void test_a_mix_is_a_table_of_ticked_rows(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "html", sample_mix(*state, "Part A"), (aq_manner){ .why = true });
    check_holds(text, "<h1>Mother bed, 60 L to 1.6 mS/cm</h1>");
    check_holds(text, "<li>H318 Causes serious eye damage (Part A)</li>");
    check_holds(text, "aria-label=\"done: 192&#160;mL (6.49&#160;US&#160;fl&#160;oz) Part A\"");
    check_holds(text,
                "<span class=\"amount\">192&#160;mL</span> <span>(6.49&#160;US&#160;fl&#160;oz) Part A");
    check_holds(text, "<small>3 x 60 + 12 with 60 mL syringe</small>");
    check_holds(
        text,
        "<strong>Expect 1.60&#160;mS/cm&#160;\u00b1&#160;0.13 at the end, pH 5.6 to 6.2, set last</strong>");
    check_holds(text, "<li>1.40&#160;mS/cm (low): add 15&#160;mL (3&#160;US&#160;tsp) Part A</li>");
    check_holds(text, "empty tank: (1.6 - 0.32) / 0.40 x 60 = 192 mL of each");
    aq_buffer_free(&out);
}

static void test_markup_in_a_name_is_only_text(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "html", sample_hostile(*state), (aq_manner){ .why = true });
    assert_null(strstr(text, "<script"));
    assert_null(strstr(text, "'/C calc'"));
    check_holds(text, "&lt;script&gt;alert(1)&lt;/script&gt;&amp;");
    for (size_t i = 0; text[i];) {
        aq_glyph glyph = aq_glyph_at(text + i);
        check_true("harmless", glyph.code == '\n' || !aq_glyph_harmful(glyph));
        i += glyph.bytes;
    }
    aq_buffer_free(&out);
}

/* Symbols are ours today; the page does not rely on that. */
static void test_markup_in_the_name_of_an_element_is_only_text(void **state)
{
    aq_buffer out = { 0 };
    aq_sheet *sheet = sample_mix(*state, "Part A");
    aq_record *record = aq_records_add(sheet->arena, &sheet->elements, "element", "<b>N</b>&");
    assert_non_null(record);
    assert_true(aq_figures_add(sheet->arena, &record->figures, "got", 150, "mg/L"));
    const char *text = rendered(&out, "html", sheet, (aq_manner){ 0 });
    check_holds(text, "<th scope=\"row\">&lt;b&gt;N&lt;/b&gt;&amp;</th>");
    assert_null(strstr(text, "<b>"));
    aq_buffer_free(&out);
}

/* Written to the left, the digits of an amount would change sides with the name beside them. */
static void test_a_name_that_runs_leftward_keeps_to_itself(void **state)
{
    aq_buffer out = { 0 };
    aq_sheet *sheet = sample_mix(*state, "\u05e9\u05dc\u05d5\u05dd");
    const char *text = rendered(&out, "html", sheet, (aq_manner){ 0 });
    check_holds(text, "add 15&#160;mL (3&#160;US&#160;tsp) <bdi>\u05e9\u05dc\u05d5\u05dd</bdi></li>");
    check_holds(text, "aria-label=\"done: 192&#160;mL (6.49&#160;US&#160;fl&#160;oz) "
                      "&#8296;\u05e9\u05dc\u05d5\u05dd&#8297;\"");
    aq_buffer_clear(&out);
    text = rendered(&out, "text", sheet, (aq_manner){ 0 });
    for (; *text; text++)
        check_true("no mark of ours", *text == '\n' || (unsigned char)*text >= ' ');
    aq_buffer_free(&out);
}

static void test_a_tank_is_drawn_from_its_jobs(void **state)
{
    aq_buffer out = { 0 };
    aq_charts charts = { .out = &out };
    aq_sheet *plan = sample_plan(*state);
    aq_svg_tank(&charts, plan, "Mother bed");
    assert_int_equal(charts.drawn, 0);
    aq_svg_tank(&charts, plan, "Trays");
    assert_int_equal(charts.drawn, 1);
    const char *text = aq_buffer_chars(&out);
    check_holds(text, "<title id=\"chart1\">Trays</title>");
    check_holds(text, "Mon 2 Mar 2026, change: 0.90 mS/cm \u00b1 0.10, 12 L after. "
                      "Thu 5 Mar 2026, change: 1.20 mS/cm, 3 L before; 0.90 mS/cm \u00b1 0.10, 12 L after.");
    /* four days are the width from 112 to 560: 07:30 on the first, midnight of the last; 1.2 mS/cm is the top, at 50 of
     * 170 */
    check_holds(text, "points=\"147.0,80.0 448.0,50.0 448.0,80.0 \"");
    /* 12 L is the top of the level, at 206 of 282; 3 L is a quarter of it */
    check_holds(text, "points=\"147.0,206.0 448.0,263.0 448.0,206.0 \"");
    aq_buffer_free(&out);
}

/* 9 L at 0.90 into 46 L at 2.02: the tank is drawn, not what was poured into it. */
static void test_a_top_up_is_drawn_as_the_tank_it_leaves(void **state)
{
    aq_buffer out = { 0 };
    aq_charts charts = { .out = &out };
    aq_sheet *plan = sample_plan(*state);
    aq_sheet *job = plan->jobs.at[2];
    job->job = "topup";
    job->volume = aq_amount_of(9, "L");
    job->expect_ec = aq_amount_within(0.9, "mS/cm", 0.1);
    assert_true(aq_sheet_figure(job, "level_before", 46, "L") &&
                aq_sheet_figure(job, "ec_before", 2.02, "mS/cm") &&
                aq_sheet_figure(job, "ec_after", 1.84, "mS/cm") && aq_sheet_figure(job, "holds", 60, "L"));
    aq_svg_tank(&charts, plan, "Trays");
    const char *text = aq_buffer_chars(&out);
    check_holds(text, "Thu 5 Mar 2026, top-up: 2.02 mS/cm, 46 L before; 1.84 mS/cm, 55 L after.");
    check_holds(text, "The brim is at 60 L.");
    check_holds(text, "<circle class=\"open\" cx=\"448.0\"");
    aq_buffer_free(&out);
}

/* A pour drawn from a pre-dilution is not counted, the product in it is. */
static void test_doses_are_added_day_by_day(void **state)
{
    aq_buffer out = { 0 };
    aq_charts charts = { .out = &out };
    aq_sheet *plan = sample_plan(*state);
    add_row(plan->jobs.at[2], AQ_DO_PREDILUTE, "Kelp <mist>", 1.5, "mL");
    add_row(plan->jobs.at[2], AQ_DO_POUR, "Kelp <mist>", 9, "mL")->concentrate = aq_amount_of(1.5, "mL");
    aq_svg_doses(&charts, plan);
    const char *text = aq_buffer_chars(&out);
    check_holds(text, "Part A: Mon 2 36 mL, Thu 5 18 mL. Kelp &lt;mist&gt;: Thu 5 1.5 mL. </desc>");
    check_holds(text, "height=\"36.0\"");
    check_holds(text, "height=\"18.0\"");
    aq_buffer_free(&out);
}

static void test_a_long_plan_puts_days_together(void **state)
{
    aq_buffer out = { 0 };
    aq_charts charts = { .out = &out };
    aq_sheet *plan = sample_plan(*state);
    plan->jobs.at[2]->at.date = (aq_date){ 2026, 3, 29 };
    aq_svg_doses(&charts, plan);
    check_holds(aq_buffer_chars(&out), "Part A: from Mon 2 36 mL, from Thu 26 18 mL. ");
    aq_buffer_free(&out);
}

/* 3 meq/L of cations and 2 of anions on a scale of 580 units to the longer. */
static void test_charges_are_weighed_against_each_other(void **state)
{
    static const struct {
        const char *name;
        double charge;
    } ions[] = { { "Ca+2", 2 }, { "Na+", 1 }, { "HCO3-", 2 } };
    aq_buffer out = { 0 };
    aq_charts charts = { .out = &out };
    aq_sheet *sheet = sample_water(*state);
    for (size_t i = 0; i < 3; i++) {
        aq_record *ion = aq_records_add(*state, &sheet->elements, "ion", ions[i].name);
        assert_true(ion && aq_figures_add(*state, &ion->figures, "amount", ions[i].charge, "meq/L"));
    }
    aq_svg_balance(&charts, &sheet->elements);
    const char *text = aq_buffer_chars(&out);
    check_holds(text, "Ca+2 2 meq/L, Na+ 1 meq/L, HCO3- 2 meq/L</desc>");
    check_holds(text, "x=\"10.0\" y=\"64.0\" width=\"386.7\"");
    check_holds(text, "x=\"396.7\" y=\"64.0\" width=\"193.3\"");
    check_holds(text, "x=\"10.0\" y=\"104.0\" width=\"386.7\"");
    aq_buffer_free(&out);
}

/* Shares from 0.9 to 13.68 / 12 = 1.14, and 0.012 to spare at either end, are 576 units: 0.41 of 0.40 is 1.025, at
 * 12 + 0.137 / 0.264 x 576. */
static void test_what_was_learned_stands_beside_the_label(void **state)
{
    aq_buffer out = { 0 };
    aq_charts charts = { .out = &out };
    aq_sheet *sheet = aq_sheet_new(*state, "learn");
    aq_record *part = aq_records_add(*state, &sheet->learned, "part", "A <b>");
    aq_record *tank = aq_records_add(*state, &sheet->learned, "tank", "Trays");
    aq_record *entry = aq_records_add(*state, &sheet->learned, "entry", "entry 7, Sat 7 Mar 2026");

    tank = &sheet->learned.at[1];
    part = &sheet->learned.at[0];
    assert_true(
        aq_figures_amount(*state, &part->figures, "slope", aq_amount_within(0.41, "mS/cm per mL/L", 0.02)) &&
        aq_figures_add(*state, &part->figures, "label", 0.40, "mS/cm per mL/L") &&
        aq_figures_amount(*state, &tank->figures, "volume", aq_amount_within(13, "L", 0.68)) &&
        aq_figures_add(*state, &tank->figures, "label", 12, "L") &&
        aq_figures_add(*state, &entry->figures, "read", 1.43, "mS/cm") &&
        aq_figures_amount(*state, &entry->figures, "expected", aq_amount_within(1.02, "mS/cm", 0.1)));
    aq_svg_learned(&charts, sheet);
    const char *text = aq_buffer_chars(&out);
    check_holds(text, "0.410 \u00b1 0.020 mS/cm per mL/L: A &lt;b&gt;, label 0.4. "
                      "13.00 \u00b1 0.68 L: Trays, marks 12. </desc>");
    check_holds(text, "<circle class=\"solid\" cx=\"310.9\"");
    check_true("readings are drawn apart", strstr(text, "entry") == NULL);
    aq_buffer_clear(&out);
    aq_svg_doubted(&charts, sheet);
    /* 0 to 1.43, and a twentieth more: 1.5015 are 576 units */
    check_holds(aq_buffer_chars(&out), "read 1.43, not 1.02 \u00b1 0.10: entry 7, Sat 7 Mar 2026. </desc>");
    check_holds(aq_buffer_chars(&out), "M552.6 66.0L568.6 82.0");
    aq_buffer_free(&out);
}

static void test_bars_are_as_long_as_their_numbers(void **state)
{
    static const aq_bar bars[] = { { "Ca", { "42", "", "mg/L" }, 42 }, { "<b>", { "21", "", "mg/L" }, 21 } };
    aq_buffer out = { 0 };
    aq_charts charts = { .out = &out };
    (void)state;
    aq_svg_bars(&charts, "In a litre", bars, 2);
    const char *text = aq_buffer_chars(&out);
    check_holds(text, "<desc id=\"chart1says\">Ca 42 mg/L, &lt;b&gt; 21 mg/L</desc>");
    check_holds(text, "width=\"340.0\"");
    check_holds(text, "width=\"170.0\"");
    aq_buffer_free(&out);
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, arena_up, arena_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_a_mix_is_a_table_of_ticked_rows),
        IN_ARENA(test_markup_in_a_name_is_only_text),
        IN_ARENA(test_markup_in_the_name_of_an_element_is_only_text),
        IN_ARENA(test_a_name_that_runs_leftward_keeps_to_itself),
        IN_ARENA(test_a_tank_is_drawn_from_its_jobs),
        IN_ARENA(test_a_top_up_is_drawn_as_the_tank_it_leaves),
        IN_ARENA(test_doses_are_added_day_by_day),
        IN_ARENA(test_a_long_plan_puts_days_together),
        IN_ARENA(test_charges_are_weighed_against_each_other),
        IN_ARENA(test_what_was_learned_stands_beside_the_label),
        cmocka_unit_test(test_bars_are_as_long_as_their_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
