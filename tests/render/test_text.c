/* The bench sheet: what stands where, in how many columns, and that nothing a user typed reaches the terminal raw. */
#include "render/glyph.h"
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

static void check_sheet(const aq_sheet *sheet, aq_manner manner, const char *want)
{
    aq_buffer out = { 0 };
    check_text("sheet", rendered(&out, "text", sheet, manner), want);
    aq_buffer_free(&out);
}

static void test_a_mix_fits_a_narrow_sheet(void **state)
{
    check_sheet(sample_mix(*state, "Part A"), (aq_manner){ .why = true },
                "Mother bed, 60 L to 1.6 mS/cm\n"
                "vegetative, day 12: 1.6 mS/cm\n"
                "Mon 2 Mar 2026 09:05, day 12 of basil-14,\n"
                "Fernhollow\n"
                "\n"
                "HOLDS\n"
                "4 L (1.06 US gal) of old solution now, at\n"
                "  1.90 mS/cm\n"
                "60 L (15.9 US gal) when finished\n"
                "Water: tap, EC 0.32, alkalinity 120 mg/L CaCO3\n"
                "\n"
                "HAZARDS\n"
                "! H318 Causes serious eye damage (Part A)\n"
                "Wear: eye protection\n"
                "\n"
                "IN THIS ORDER\n"
                "[ ]   55 L     (14.5 US gal) water      ______\n"
                "[ ] 0.43 mS/cm \u00b1 0.10 to read now       ______\n"
                "[ ]  192 mL    (6.49 US fl oz) Part A   ______\n"
                "               3 x 60 + 12 with 60 mL syringe\n"
                "[ ] stir\n"
                "[ ]  192 mL    (6.49 US fl oz) Part B   ______\n"
                "               3 x 60 + 12 with 60 mL syringe\n"
                "\n"
                "EXPECT\n"
                "1.60 mS/cm \u00b1 0.13 at the end, pH 5.6 to 6.2,\n"
                "  set last                              ______\n"
                "\n"
                "IF IT READS\n"
                "1.80 mS/cm (high): add 9.4 L (2.48 US gal)\n"
                "  water\n"
                "1.40 mS/cm (low): add 15 mL (3 US tsp) Part A\n"
                "\n"
                "SHARE OF LABEL TOP\n"
                "80 % Part A\n"
                "80 % Part B\n"
                "\n"
                "FIGURES\n"
                "80 % of a label top, at most\n"
                "\n"
                "ASSUMED\n"
                "- gallon: us, from the site\n"
                "\n"
                "WHY\n"
                "- empty tank: (1.6 - 0.32) / 0.40 x 60 = 192\n"
                "  mL of each\n"
                "- there is no better mix, to within 1e-12 of\n"
                "  its misfit\n"
                "\n"
                "poured by ______________ at _______\n"
                "\n"
                "Follow the label first.\n");
}

static void test_elements_stand_with_their_sources_and_not_twice(void **state)
{
    check_sheet(sample_elements(*state), (aq_manner){ 0 },
                "40 L to 150 mg/L N\n"
                "\n"
                "IN THIS ORDER\n"
                "[ ] stir\n"
                "\n"
                "IN A LITRE\n"
                " 148 mg/L N (150 wanted)\n"
                "          from 18 tap 1.5, 130 Calcium nitrate\n"
                "          of the old shed\n"
                "12.5 mg/L NO3-N from tap 1.5\n"
                "   0 mg/L P (31 wanted)\n"
                "\n"
                "FIGURES\n"
                "80 % of a label top, at most\n"
                "\n"
                "poured by ______________ at _______\n");
}

static void test_figures_lead_where_they_were_asked_for(void **state)
{
    check_sheet(sample_meter(*state), (aq_manner){ 0 },
                "900 ppm-700\n"
                "\n"
                "FIGURES\n"
                "1.29 mS/cm   EC\n"
                " 643 ppm-500\n"
                "the meter counts in ppm-700\n");
}

static void test_what_falls_short_by_nothing_says_only_why(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "stock");
    const struct {
        const char *what;
        double by;
        const char *unit, *line;
    } rows[] = {
        { "ec", 0.51, "mS/cm", "\n0.51 mS/cm of EC: so it is\n" },
        { "ec", 0.0004, "mS/cm", "\nEC: so it is\n" },
        { "tanks", 1, "1", "\n1 more tank: so it is\n" },
        { "Feed", 0, "mL", "\nFeed: so it is\n" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_non_null(
            aq_sheet_short(sheet, rows[i].what, aq_amount_of(rows[i].by, rows[i].unit), "so it is"));
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "text", sheet, (aq_manner){ 0 });
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        check_true(rows[i].line, strstr(text, rows[i].line) != NULL);
    aq_buffer_free(&out);
}

static void test_much_about_one_thing_has_a_line_each(void **state)
{
    static const char *const names[] = { "left", "needed", "short", "lasts", "share", "mixes" };
    aq_sheet *sheet = aq_sheet_new(*state, "supplies");
    aq_record *record = aq_records_add(*state, &sheet->supplies, "part", "A");
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        assert_true(aq_figures_add(*state, &record->figures, names[i], 2, i < 3 ? "mL" : i == 3 ? "d" : "1"));
    assert_true(aq_sheet_next(sheet, "buy some"));
    check_sheet(sheet, (aq_manner){ 0 },
                "supplies\n"
                "\n"
                "NEXT\n"
                "- buy some\n"
                "\n"
                "STOCK\n"
                "A\n"
                "  2 mL left\n"
                "  2 mL needed\n"
                "  2 mL short\n"
                "  2 days of use\n"
                "  200 % of what that mix wants\n"
                "  2 mixes\n");
}

static void test_a_plan_goes_day_by_day(void **state)
{
    check_sheet(sample_plan(*state), (aq_manner){ 0 },
                "A week from Mon 2 Mar 2026\n"
                "\n"
                "HAZARDS\n"
                "! H318 Causes serious eye damage (Part A)\n"
                "\n"
                "Mon 2 Mar 2026, day 0\n"
                "07:30 Trays, 12 L to 0.9 mS/cm\n"
                "! H318\n"
                "[ ] 12 L  water                         ______\n"
                "[ ] 18 mL Part A                        ______\n"
                "expect 0.90 mS/cm \u00b1 0.10 at the end\n"
                "\n"
                "09:00 Mother bed, 60 L to 1.6 mS/cm\n"
                "[ ] 12 L  water                         ______\n"
                "[ ] 18 mL Part A                        ______\n"
                "expect 0.90 mS/cm \u00b1 0.10 at the end\n"
                "\n"
                "Thu 5 Mar 2026, day 3\n"
                "Trays, 12 L to 0.9 mS/cm\n"
                "[ ] 12 L  water                         ______\n"
                "[ ] 18 mL Part A                        ______\n"
                "expect 0.90 mS/cm \u00b1 0.10 at the end\n"
                "\n"
                "IN ALL\n"
                "54 mL Part A\n"
                "\n"
                "STOCK\n"
                "Part A: 40 mL left, 1 day of use, runs out Thu\n"
                "  5 Mar 2026\n"
                "\n"
                "poured by ______________ at _______\n");
}

static void test_every_action_is_one_ticked_row(void **state)
{
    static const char *const lines[] = {
        "HELD at a label top: see below by how much.\n",
        "\n[ ] 17.5 L   (4.62 US gal) drain off    ______\n",
        "\n[ ]   12 L   (3.17 US gal) move into Stock bed\n",
        "\n[ ] 25.5 L   (6.74 US gal) water: rain  ______\n",
        "\n             10 mL when made up with water\n",
        "\n             with 1 mL syringe, 0.0625 mL of\n             the product is in it\n",
        "\nTank A\n[ ] 1500 g   (52.9 oz) Calcium nitrate,\n",
        "\nTank B\n[ ]  900 g   (31.7 oz) Magnesium sulfate,\n",
        "\n             750 g in each, 75 g/L in the\n             stock tank\n",
        "\n[ ]    5 min stir\n[ ] pH 5.5 to 6.2 to read now           ______\n",
        "\n[ ]   30 min wait\n             the acid gasses off\n",
        "\n[ ] rinse\n    twice\n[ ] throw the rest away\n",
        "\ndrain 4 L (1.06 US gal), 39.7 mL\n  (1.34 US fl oz) phosphoric, 50 % of label\n",
        "\n0.51 mS/cm of EC: Part A is at its label top\n",
        "\none part left out: 1.05 mS/cm is what it would\n  read\n",
        "\n   76 L    \u00b1 11 (20.1 US gal) volume\n",
        "\n   83 %    of the strength meant\n",
        "\ncrosses the limit Fri 6 Mar 2026 07:30\n",
        "\nMIND\n- never onto a dry medium\n",
        "\nTHE METER CANNOT SEE\n- urea\n",
    };
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "text", sample_all(*state), (aq_manner){ 0 });
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        check_true(lines[i], strstr(text, lines[i]) != NULL);
    aq_buffer_free(&out);
}

static size_t columns_of(const char *line, size_t length)
{
    size_t columns = 0;
    for (size_t i = 0; i < length;) {
        aq_glyph glyph = aq_glyph_at(line + i);
        columns += (size_t)aq_glyph_columns(glyph.code);
        i += glyph.bytes;
    }
    return columns;
}

/* A line may pass the width only where what follows its indent is one word, of a name that cannot be broken. */
static void check_width(const char *text, size_t width)
{
    for (const char *line = text; *line;) {
        size_t length = strcspn(line, "\n");
        size_t indent = strspn(line, " ");
        bool one_word = indent + strcspn(line + indent, " \n") >= length;
        check_true(text, one_word || columns_of(line, length) <= width);
        check_true("no blank ends a line", length == 0 || line[length - 1] != ' ');
        line += length + 1;
    }
}

static void test_no_line_is_wider_than_was_asked(void **state)
{
    static const int widths[] = { 0, 40, 46, 48, 72, 80, 132 };
    const aq_sheet *sheets[] = { sample_mix(*state, "Part A"),
                                 sample_mix(*state,
                                            "Kelp mist \xe6\xb0\xb4\xe6\xb0\xb4\xe6\xb0\xb4 e\xcc\x81"),
                                 sample_plan(*state), sample_meter(*state), sample_all(*state) };
    aq_buffer out = { 0 };
    for (size_t s = 0; s < sizeof sheets / sizeof *sheets; s++)
        for (size_t w = 0; w < sizeof widths / sizeof *widths; w++)
            check_width(rendered(&out, "text", sheets[s], (aq_manner){ .width = widths[w], .why = true }),
                        widths[w] ? (size_t)widths[w] : 46);
    aq_buffer_free(&out);
}

static void test_a_width_no_sheet_can_have_is_raised_to_forty(void **state)
{
    aq_buffer narrow = { 0 }, forty = { 0 };
    check_text("width", rendered(&narrow, "text", sample_mix(*state, "A"), (aq_manner){ .width = 3 }),
               rendered(&forty, "text", sample_mix(*state, "A"), (aq_manner){ .width = 40 }));
    aq_buffer_free(&narrow);
    aq_buffer_free(&forty);
}

static void test_hostile_names_are_shown_by_their_numbers(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "text", sample_hostile(*state), (aq_manner){ .why = true });
    assert_non_null(strstr(text, "\\x1b[31m\\x07"));
    assert_non_null(strstr(text, "\\x0d\\x0aEND:VEVENT\\x7f\\x9b<U+202E>txt;,\\\\xff"));
    for (size_t i = 0; text[i];) {
        aq_glyph glyph = aq_glyph_at(text + i);
        check_true("harmless", glyph.code == '\n' || !aq_glyph_harmful(glyph));
        i += glyph.bytes;
    }
    aq_buffer_free(&out);
}

static void test_bold_is_for_headings_and_only_when_asked(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "text", sample_mix(*state, "A"), (aq_manner){ .colour = true });
    assert_non_null(strstr(text, "\x1b[1mHAZARDS\x1b[0m\n"));
    text = rendered(&out, "text", sample_mix(*state, "A"), (aq_manner){ 0 });
    assert_null(strchr(text, '\x1b'));
    aq_buffer_free(&out);
}

/* Whatever else a sheet says, what to pour comes after what it can do to you. */
static void test_hazards_stand_above_any_amount(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "text", sample_mix(*state, "A"), (aq_manner){ 0 });
    const char *hazard = strstr(text, "H318"), *row = strstr(text, "[ ]");
    assert_true(hazard && row && hazard < row);
    text = rendered(&out, "text", sample_plan(*state), (aq_manner){ 0 });
    hazard = strstr(text, "H318");
    row = strstr(text, "[ ]");
    assert_true(hazard && row && hazard < row);
    aq_buffer_free(&out);
}

static void test_a_refused_sheet_has_no_place_to_sign(void **state)
{
    aq_buffer out = { 0 };
    aq_sheet *sheet = sample_mix(*state, "A");
    sheet->outcome = AQ_REFUSED;
    sheet->hazards.at[0].refuses = true;
    const char *text = rendered(&out, "text", sheet, (aq_manner){ 0 });
    assert_non_null(strstr(text, "\nREFUSED. Do not mix by this sheet.\n"));
    assert_non_null(strstr(text, "\n! REFUSED: H318 "));
    assert_null(strstr(text, "poured by"));
    aq_buffer_free(&out);
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, arena_up, arena_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_a_mix_fits_a_narrow_sheet),
        IN_ARENA(test_elements_stand_with_their_sources_and_not_twice),
        IN_ARENA(test_figures_lead_where_they_were_asked_for),
        IN_ARENA(test_what_falls_short_by_nothing_says_only_why),
        IN_ARENA(test_much_about_one_thing_has_a_line_each),
        IN_ARENA(test_a_plan_goes_day_by_day),
        IN_ARENA(test_every_action_is_one_ticked_row),
        IN_ARENA(test_no_line_is_wider_than_was_asked),
        IN_ARENA(test_a_width_no_sheet_can_have_is_raised_to_forty),
        IN_ARENA(test_hostile_names_are_shown_by_their_numbers),
        IN_ARENA(test_bold_is_for_headings_and_only_when_asked),
        IN_ARENA(test_hazards_stand_above_any_amount),
        IN_ARENA(test_a_refused_sheet_has_no_place_to_sign),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
