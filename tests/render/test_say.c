/* How numbers are said to people. */
#include "check.h"
#include "render/say.h"

static void test_digits_follow_the_unit_the_tolerance_or_the_size(void **state)
{
    static const struct {
        aq_amount amount;
        const char *digits, *within, *unit;
    } rows[] = {
        { { .value = 1.225, .unit = "mS/cm" }, "1.23", "", "mS/cm" },
        { { .value = 1.6, .unit = "mS/cm", .within = 0.128 }, "1.60", "0.13", "mS/cm" },
        { { .value = 642.857, .unit = "ppm-500" }, "643", "", "ppm-500" },
        { { .value = 1278.4, .unit = "uS/cm" }, "1278", "", "uS/cm" },
        { { .value = 76.1905, .unit = "L", .within = 11.43 }, "76", "11", "L" },
        { { .value = 18.485, .unit = "L", .within = 5.5455 }, "18.5", "5.5", "L" },
        { { .value = 762.4, .unit = "L", .within = 114.3 }, "760", "110", "L" },
        { { .value = 33.5756, .unit = "mg/L" }, "33.6", "", "mg/L" },
        { { .value = 479.616, .unit = "meq" }, "479.6", "", "meq" },
        { { .value = 2300, .unit = "mg/L" }, "2300", "", "mg/L" },
        { { .value = 1516.3, .unit = "mg/L" }, "1516", "", "mg/L" },
        { { .value = 1.0 / 3, .unit = "mS/cm per mL/L" }, "0.333", "", "mS/cm per mL/L" },
        { { .value = 0, .unit = "mL" }, "0", "", "mL" },
        { { .value = 1, .unit = "d" }, "1", "", "day" },
        { { .value = 47.55, .unit = "d" }, "47.6", "", "days" },
        { { .value = 15.85, .unit = "gal-us" }, "15.9", "", "US gal" },
        { { .value = 98, .unit = "1" }, "98", "", "" },
        { { .value = 3, .unit = "%w/v" }, "3", "", "% w/v" },
        { { .value = -3.48e-14, .unit = "%" }, "0", "", "%" },
        { { .value = 5.94e-18, .unit = "mg/L CaCO3" }, "0", "", "mg/L CaCO3" },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_spoken said = aq_spoken_amount(&rows[i].amount);
        check_text(rows[i].digits, said.digits, rows[i].digits);
        check_text(rows[i].digits, said.within, rows[i].within);
        check_text(rows[i].digits, said.unit, rows[i].unit);
    }
}

static void test_what_a_tool_shows_is_not_rounded(void **state)
{
    static const struct {
        double value;
        const char *digits;
    } rows[] = { { 0.0625, "0.0625" },
                 { 1255, "1255" },
                 { 36.68, "36.68" },
                 { 0.1 + 0.2, "0.3" },
                 { 1234567, "1234567" } };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_amount amount = aq_amount_of(rows[i].value, "mL");
        check_text(rows[i].digits, aq_spoken_pour(&amount).digits, rows[i].digits);
    }
}

static void test_shares_are_per_cent_and_money_has_cents(void **state)
{
    static const struct {
        const char *job;
        aq_figure figure;
        const char *digits, *unit, *label;
    } rows[] = {
        { "mix",
          { "nutrient_share", { .value = 0.6211, .unit = "1", .given = true } },
          "62",
          "%",
          "of the EC is from nutrients" },
        { "mix",
          { "strength", { .value = 0.0083, .unit = "1", .given = true } },
          "0.83",
          "%",
          "of full label strength" },
        { "stock",
          { "strength", { .value = 75, .unit = "g/L", .given = true } },
          "75",
          "g/L",
          "in the stock tank" },
        { "supplies", { "cost", { .value = 15.273, .unit = "EUR", .given = true } }, "15.27", "EUR", "cost" },
        { "supplies",
          { "cost_per_litre", { .value = 0.06818, .unit = "EUR", .given = true } },
          "0.0682",
          "EUR",
          "a litre" },
        { "convert",
          { "factor", { .value = 3.785411784, .unit = "1", .given = true } },
          "3.785411784",
          "",
          "is the factor" },
        { "supplies", { "mixes", { .value = 1, .unit = "1", .given = true } }, "1", "", "mix" },
        { "supplies", { "mixes", { .value = 10.407, .unit = "1", .given = true } }, "10.4", "", "mixes" },
        { "stock",
          { "real.N", { .value = 142.9, .unit = "mg/L", .given = true } },
          "142.9",
          "mg/L",
          "real N" },
        { "meter",
          { "over", { .value = 0.15, .unit = "mS/cm", .given = true } },
          "0.15",
          "mS/cm",
          "above the aim" },
        { "meter",
          { "over", { .value = -0.3, .unit = "mS/cm", .given = true } },
          "0.30",
          "mS/cm",
          "below the aim" },
        { "trace",
          { "whole", { .value = -62.5, .unit = "mL", .given = true } },
          "62.5",
          "mL",
          "of the first part is too much in it" },
        { "mix", { "Fe", { .value = 2.4, .unit = "mg/L", .given = true } }, "2.4", "mg/L", "Fe" },
    };
    char room[AQ_LABEL_ROOM];
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_spoken said = aq_spoken_figure(rows[i].job, &rows[i].figure);
        check_text(rows[i].figure.name, said.digits, rows[i].digits);
        check_text(rows[i].figure.name, said.unit, rows[i].unit);
        check_text(rows[i].figure.name, aq_figure_label(rows[i].job, &rows[i].figure, room), rows[i].label);
    }
}

/* NIST Handbook 44, appendix C: a US gallon is 3.785 411 784 L, of 128 fluid ounces, of 768 teaspoons; NIST SP 811:
 * an imperial gallon is 4.546 09 L, an ounce 28.349 523 125 g. */
static void test_the_other_unit_system_is_the_one_a_shelf_measures_in(void **state)
{
    static const struct {
        const char *show;
        double value;
        const char *unit;
        double other;
        const char *other_unit; /* NULL: none */
    } rows[] = {
        { "gal-us", 60, "L", 60 / 3.785411784, "gal-us" },
        { "gal-us", 192, "mL", 0.192 * 128 / 3.785411784, "fl-oz-us" },
        { "gal-us", 1.5, "L", 1.5 * 128 / 3.785411784, "fl-oz-us" },
        /* teaspoons in quarters: 0.507, 3.04, 4.06, 0.9941, 0.996 and 1.31 of them */
        { "gal-us", 2.5, "mL", 0.5, "tsp-us" },
        { "gal-us", 15, "mL", 3, "tsp-us" },
        { "gal-us", 20, "mL", 4, "tsp-us" },
        { "gal-us", 4.9, "mL", 0,
          NULL }, /* one spoon would be 0.6 % above it, three quarters a quarter below */
        { "gal-us", 4.91, "mL", 1, "tsp-us" },
        { "gal-us", 6.45, "mL", 1.25, "tsp-us" },
        { "gal-us", 0.4, "mL", 0, NULL }, /* 0.081 of a teaspoon */
        { "gal-us", 1.89, "mL", 0, NULL },
        { "gal-us", 1.3, "mL", 0, NULL }, /* a quarter is 5.2 % below it */
        { "gal-us", 1.29, "mL", 0.25, "tsp-us" },
        { "gal-us", 0, "mL", 0, NULL },
        { "gal-imp", 60, "L", 60 / 4.54609, "gal-imp" },
        { "gal-imp", 2.2, "L", 2200 / 28.4130625, "fl-oz-imp" },
        { "gal-imp", 2.5, "mL", 0.5, "tsp-metric" },
        { "gal-imp", 2, "mL", 0, NULL },
        { "gal-us", 170, "g", 170 / 28.349523125, "oz" },
        { "gal-us", 28, "g", 0, NULL },
        { "L", 1, "gal-us", 3.785411784, "L" },
        { "L", 6, "oz", 170.09713875, "g" },
        { "L", 192, "mL", 0, NULL },
        { "gal-us", 2, "gal-us", 0, NULL },
        { "gal-us", 1.6, "mS/cm", 0, NULL },
        { "ppm-500", 1.6, "mS/cm", 800, "ppm-500" },
        { "ppm-500", 60, "L", 0, NULL },
        { "nonsense", 60, "L", 0, NULL },
        { "gal-us", 15.27, "EUR", 0, NULL },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *show[] = { rows[i].show };
        aq_sheet sheet = { .show = { .at = show, .count = 1 } };
        aq_amount amount = aq_amount_of(rows[i].value, rows[i].unit), other = { 0 };
        bool found = aq_other_system(&sheet, 0, &amount, &other);
        check_true(rows[i].unit, found == (rows[i].other_unit != NULL));
        if (!found)
            continue;
        check_text(rows[i].unit, other.unit, rows[i].other_unit);
        check_close(rows[i].unit, other.value, rows[i].other, 1e-12);
    }
}

static void test_pieces_are_counted(void **state)
{
    static const struct {
        double pieces[5];
        size_t count;
        const char *said;
    } rows[] = {
        { { 60, 60, 60, 12 }, 4, "3 x 60 + 12" },
        { { 60, 60 }, 2, "2 x 60" },
        { { 45 }, 1, "" },
        { { 60, 2.5 }, 2, "60 + 2.5" },
        { { 0.5, 0.5, 1, 1, 1 }, 5, "2 x 0.5 + 3 x 1" },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double pieces[5];
        memcpy(pieces, rows[i].pieces, sizeof pieces);
        aq_row row = { .pieces = { .at = pieces, .count = rows[i].count } };
        aq_buffer out = { 0 };
        aq_pieces_add(&out, &row);
        check_text(rows[i].said, aq_buffer_chars(&out), rows[i].said);
        aq_buffer_free(&out);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_digits_follow_the_unit_the_tolerance_or_the_size),
        cmocka_unit_test(test_what_a_tool_shows_is_not_rounded),
        cmocka_unit_test(test_shares_are_per_cent_and_money_has_cents),
        cmocka_unit_test(test_the_other_unit_system_is_the_one_a_shelf_measures_in),
        cmocka_unit_test(test_pieces_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
