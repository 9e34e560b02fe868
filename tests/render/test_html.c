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
    check_holds(text, "<td class=\"amount\">192&#160;mL</td>");
    check_holds(text, "<small>3 x 60 + 12 with 60 mL syringe</small>");
    check_holds(
        text,
        "<strong>Expect 1.60&#160;mS/cm&#160;\u00b1&#160;0.13 at the end, pH 5.6 to 6.2, set last</strong>");
    check_holds(text, "<li>1.40&#160;mS/cm (low): add 15&#160;mL Part A</li>");
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
    check_holds(text, "Mon 2 Mar 2026: 0.90 mS/cm, 12 L after. "
                      "Thu 5 Mar 2026: 1.20 mS/cm before; 0.90 mS/cm, 12 L after.");
    /* 07:30 on day 0 to midnight of day 3 is the whole width, 120 to 590; 1.2 mS/cm is the top, at 34 of 144 */
    check_holds(text, "points=\"120.0,61.5 590.0,34.0 590.0,61.5 \"");
    /* 12 L is the top of the level, at 184 of 254; 3 L is a quarter of it */
    check_holds(text, "points=\"120.0,184.0 590.0,236.5 590.0,184.0 \"");
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
        IN_ARENA(test_a_tank_is_drawn_from_its_jobs),
        cmocka_unit_test(test_bars_are_as_long_as_their_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
