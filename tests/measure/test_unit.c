/* The unit table against NIST SP 811 (2008), Handbook 44 and 21 CFR 101.9, row by row of data/nist_sp811.csv. */
#include "check.h"
#include "measure/quantity.h"

#include <stdio.h>
#include <stdlib.h>

/* How a row of the file is written in our units. Each row of the file must be here. */
static const struct {
    const char *row, *unit, *to;
} ours[] = {
    { "gallon (US liquid)", "gal-us", "mL" },
    { "gallon (imperial)", "gal-imp", "mL" },
    { "quart (US liquid)", "qt-us", "mL" },
    { "pint (US liquid)", "pt-us", "mL" },
    { "cup (US)", "cup-us", "mL" },
    { "fluid ounce (US)", "fl-oz-us", "mL" },
    { "tablespoon (US)", "tbsp-us", "mL" },
    { "teaspoon (US)", "tsp-us", "mL" },
    { "quart (imperial)", "qt-imp", "mL" },
    { "pint (imperial)", "pt-imp", "mL" },
    { "fluid ounce (imperial)", "fl-oz-imp", "mL" },
    { "cubic foot", "ft3", "L" },
    { "cubic inch", "in3", "mL" },
    { "litre", "L", "m3" },
    { "ounce (avoirdupois)", "oz", "g" },
    { "pound (avoirdupois)", "lb", "g" },
    { "grain", "grain", "mg" },
    { "inch", "in", "mm" },
    { "foot", "ft", "mm" },
    { "mho", "mmho/cm", "mS/cm" },
    { "grain per US gallon", "grain/gal-us", "mg/L" },
    { "ounce (avdp) per US gallon", "oz/gal-us", "g/L" },
    { "ounce (avdp) per 100 US gallons", "oz/100 gal-us", "mg/L" },
    { "pound per US gallon", "lb/gal-us", "g/L" },
    { "teaspoon (nutrition labelling, US)", "tsp-metric", "mL" },
    { "tablespoon (nutrition labelling, US)", "tbsp-metric", "mL" },
    { "cup (nutrition labelling, US)", "cup-metric", "mL" },
    { "fluid ounce (nutrition labelling, US)", "fl-oz-metric", "mL" },
    { "Handbook 44 App. C gallon (US)", "gal-us", "in3" },
};

/* Rows that are no unit of ours, and what stands in their place. */
static const struct {
    const char *row;
    double value;
} elsewhere[] = {
    /* No job reads a pressure. The row is arithmetic of the pound and inch that we have: lbf over square inch. */
    { "psi (lbf/in^2)", 0.45359237 * 9.80665 / (0.0254 * 0.0254) },
    /* A rule, not a factor: test_degrees_are_converted_by_the_exact_rule. */
    { "degree Fahrenheit", 0 },
    /* An ounce of 28 g is for food labels only and would be 1.2 % short on a bag of salts, so it has no name. */
    { "ounce mass (nutrition labelling, US)", 28 },
    { "ppm (wording)", 0 },
    { "molarity (wording)", 0 },
};

enum { CELLS = 7, UNIT = 0, PRINTED = 2, EXACT = 3 };

/* Splits a line of RFC 4180 in place; returns how many cells it has. */
static int split(char *line, char *cells[CELLS])
{
    int count = 0;

    line[strcspn(line, "\r\n")] = '\0';
    while (count < CELLS) {
        char *to = line;

        cells[count++] = line;
        if (*line == '"') {
            for (line++; *line && (*line != '"' || line[1] == '"'); line++) {
                line += *line == '"';
                *to++ = *line;
            }
            line += *line == '"';
        } else {
            while (*line && *line != ',')
                line++;
            to = line;
        }
        if (*line != ',')
            return *to = '\0', count;
        line++;
        *to = '\0';
    }
    return count;
}

/* Half a unit of the last figure printed. */
static double half_of_last(const char *number)
{
    const char *point = strchr(number, '.');

    return point ? 0.5 * pow(10, -(double)strlen(point + 1)) : 0.5;
}

/* `got` has the exact value, to the figures that the file gives, and rounds to the value printed. */
static void check_factor(char *cells[CELLS], double got)
{
    double exact = strtod(cells[EXACT], NULL), printed = strtod(cells[PRINTED], NULL);
    double tolerance = strstr(cells[EXACT], "...") ? 1e-8 : 1e-15; /* two roundings of 2^-53 */

    check_within(cells[UNIT], got, exact, tolerance * exact);
    check_within(cells[UNIT], got, printed, half_of_last(cells[PRINTED]) * (1 + 1e-9));
}

static bool check_ours(char *cells[CELLS])
{
    for (size_t i = 0; i < sizeof ours / sizeof *ours; i++) {
        aq_measure unit, to;

        if (strcmp(ours[i].row, cells[UNIT]) != 0)
            continue;
        check_true(ours[i].unit, aq_measure_read(&unit, ours[i].unit, NULL, NULL) == AQ_OK);
        check_true(ours[i].to, aq_measure_read(&to, ours[i].to, NULL, NULL) == AQ_OK);
        check_true(ours[i].row, aq_kind_equal(unit.kind, to.kind));
        check_factor(cells, unit.factor / to.factor);
        return true;
    }
    return false;
}

static bool check_elsewhere(char *cells[CELLS])
{
    for (size_t i = 0; i < sizeof elsewhere / sizeof *elsewhere; i++) {
        if (strcmp(elsewhere[i].row, cells[UNIT]) != 0)
            continue;
        if (elsewhere[i].value > 0)
            check_factor(cells, elsewhere[i].value);
        return true;
    }
    return false;
}

static void test_each_row_of_the_published_factors_agrees(void **state)
{
    FILE *file = fopen(AQ_TEST_DATA "/measure/data/nist_sp811.csv", "r");
    char line[1000];
    int rows = 0;

    (void)state;
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        char *cells[CELLS];

        if (*line == '#' || strncmp(line, "unit,", 5) == 0)
            continue;
        check_true(line, split(line, cells) == CELLS);
        check_true(cells[UNIT], check_ours(cells) || check_elsewhere(cells));
        rows++;
    }
    fclose(file);
    assert_int_equal(rows, sizeof ours / sizeof *ours + sizeof elsewhere / sizeof *elsewhere);
}

/* t_C = (t_F - 32) / 1.8, NIST SP 811 B.8, with the fixed points that the row names. */
static void test_degrees_are_converted_by_the_exact_rule(void **state)
{
    static const struct {
        const char *text;
        double celsius;
    } rows[] = {
        { "-40 degF", -40 }, { "32 degF", 0 },    { "68 degF", 20 },
        { "77 degF", 25 },   { "212 degF", 100 }, { "62 degF", 50.0 / 3 },
    };
    aq_measure fahrenheit, interval;

    (void)state;
    assert_int_equal(aq_measure_read(&fahrenheit, "degF", NULL, NULL), AQ_OK);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_quantity got;
        double back;

        check_true(rows[i].text,
                   aq_quantity_read(&got, rows[i].text, AQ_WANT_TEMPERATURE, NULL, NULL) == AQ_OK);
        check_within(rows[i].text, got.value, rows[i].celsius, 1e-13);
        check_true(rows[i].text, aq_quantity_in(&back, got, &fahrenheit, NULL) == AQ_OK);
        check_within(rows[i].text, back, strtod(rows[i].text, NULL), 1e-12);
    }
    /* intervals: 1 degF = 0.5555556 degC, and no zero point */
    assert_int_equal(aq_measure_read(&interval, "%/degF", NULL, NULL), AQ_OK);
    check_within("%/degF", interval.factor, 0.018, 1e-16);
    check_within("%/degF", interval.offset, 0, 0);
    assert_int_equal(aq_measure_read(&interval, "degF/h", NULL, NULL), AQ_OK);
    check_within("degF/h", interval.factor, 24 / 1.8, 1e-14);
    check_within("degF/h", interval.offset, 0, 0);
}

/* Water chemistry's counts of hardness: 50.04 mg/L CaCO3 to the meq, 17.85 and 10 mg/L CaCO3 to the German and French
 * degree, 14.25 to the grain per imperial gallon (Clark degree): glossaries of water hardness, and CIAAW 2021 weights.
 * 1 grain per US gallon is 17.118 mg/L, SP 811. */
static void test_hardness_is_charge_whatever_it_is_counted_as(void **state)
{
    static const struct {
        const char *unit;
        double mg_per_litre, tolerance;
    } rows[] = {
        { "meq/L", 50.043, 1e-9 },
        { "dH", 17.848, 5e-4 },
        { "fH", 10, 1e-9 },
        { "gpg-us", 17.11806, 5e-6 },
        { "gpg-imp", 14.254, 5e-4 },
        { "g/m3 CaCO3", 1, 1e-12 },
        { "grain/gal-us CaCO3", 17.11806, 5e-6 },
    };
    aq_measure caco3;

    (void)state;
    assert_int_equal(aq_measure_read(&caco3, "mg/L CaCO3", NULL, NULL), AQ_OK);
    check_within("an equivalent", aq_unit_caco3(), 50.043, 1e-12);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_measure unit;

        check_true(rows[i].unit, aq_measure_read(&unit, rows[i].unit, NULL, NULL) == AQ_OK);
        check_true(rows[i].unit, aq_kind_equal(unit.kind, AQ_KIND_HARDNESS));
        check_within(rows[i].unit, unit.factor / caco3.factor, rows[i].mg_per_litre, rows[i].tolerance);
    }
}

/* EC: 1 mS/cm = 1 dS/m = 1000 uS/cm = 0.1 S/m = 10 CF, and the number in the name of a ppm scale. */
static void test_one_millisiemens_in_every_scale(void **state)
{
    static const struct {
        const char *unit;
        double shows;
    } rows[] = {
        { "mS/cm", 1 }, { "dS/m", 1 },      { "uS/cm", 1000 },  { "S/m", 0.1 },     { "mS/m", 100 },
        { "CF", 10 },   { "ppm-500", 500 }, { "ppm-640", 640 }, { "ppm-700", 700 }, { "umho/cm", 1000 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_measure unit;
        double got;

        check_true(rows[i].unit, aq_measure_read(&unit, rows[i].unit, NULL, NULL) == AQ_OK);
        check_true(rows[i].unit, aq_quantity_in(&got, aq_quantity_of(1, AQ_KIND_EC), &unit, NULL) == AQ_OK);
        check_within(rows[i].unit, got, rows[i].shows, 1e-13 * rows[i].shows);
    }
}

static void test_the_table_is_found_by_its_own_names(void **state)
{
    size_t count;
    const aq_unit *table = aq_unit_table(&count);

    (void)state;
    assert_true(count > 60);
    for (size_t i = 0; i < count; i++) {
        const char *name = table[i].name;
        const aq_unit *found = NULL;
        aq_measure measure;

        check_true(name, aq_unit_find(&found, name, strlen(name), NULL, NULL) == AQ_OK);
        check_true(name, found == &table[i]); /* so no name stands twice */
        check_true(name, aq_measure_read(&measure, name, NULL, NULL) == AQ_OK);
        check_true(name, measure.unit == &table[i]);
        check_true(name, table[i].factor > 0 && isfinite(table[i].factor));
        check_true(name, strlen(table[i].source) > 5);
        check_true(name, strncmp(aq_kind_says(table[i].kind), "a", 1) == 0);
        check_true(name, strcmp(aq_kind_says(table[i].kind), "a compound quantity") != 0);
    }
}

static const struct {
    const char *typed, *name;
} spellings[] = {
    { "ml", "mL" },
    { "l", "L" },
    { "fl oz-us", "fl-oz-us" },
    { "\xC2\xB5S/cm", "uS/cm" },
    { "\xCE\xBCS/cm", "uS/cm" },
    { "\xC2\xB0"
      "C",
      "degC" },
    { "\xC2\xBA"
      "F",
      "degF" },
    { "% w/v", "%w/v" },
    { "litres", "L" },
    { "m\xC2\xB3", "m3" },
};

static void test_other_spellings_find_the_same_unit(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++) {
        const aq_unit *found = NULL;

        check_true(spellings[i].typed,
                   aq_unit_find(&found, spellings[i].typed, strlen(spellings[i].typed), NULL, NULL) == AQ_OK);
        check_text(spellings[i].typed, found ? found->name : NULL, spellings[i].name);
    }
}

static const struct {
    const char *typed;
    aq_gallon gallon;
    const char *name;
} bare[] = {
    { "gal", AQ_GALLON_US, "gal-us" },         { "gal", AQ_GALLON_IMPERIAL, "gal-imp" },
    { "gallons", AQ_GALLON_US, "gal-us" },     { "qt", AQ_GALLON_IMPERIAL, "qt-imp" },
    { "pt", AQ_GALLON_US, "pt-us" },           { "fl oz", AQ_GALLON_IMPERIAL, "fl-oz-imp" },
    { "fl-oz", AQ_GALLON_US, "fl-oz-us" },     { "gpg", AQ_GALLON_US, "gpg-us" },
    { "gpg", AQ_GALLON_IMPERIAL, "gpg-imp" },  { "tsp", AQ_GALLON_US, "tsp-us" },
    { "tsp", AQ_GALLON_IMPERIAL, "tsp-us" }, /* no imperial spoon in law: NIST's is the one there is */
    { "tbsp", AQ_GALLON_IMPERIAL, "tbsp-us" },
};

static void test_a_name_of_two_countries_needs_what_was_said(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bare / sizeof *bare; i++) {
        aq_said said = { .gallon = bare[i].gallon }, nothing = { .gallon = AQ_GALLON_UNSAID };
        aq_error err = { .status = AQ_OK };
        const aq_unit *found = NULL;
        const char *typed = bare[i].typed;

        check_true(typed, aq_unit_find(&found, typed, strlen(typed), &said, &err) == AQ_OK);
        check_text(typed, found ? found->name : NULL, bare[i].name);
        check_true(typed, said.used_gallon && !said.used_ppm);
        check_true(typed, aq_unit_find(&found, typed, strlen(typed), &nothing, &err) == AQ_AMBIGUOUS);
        check_true(typed, !nothing.used_gallon && !found);
        check_text(typed, err.question.key, "gallon");
        check_true("a name alone has no place", err.place.line == 0);
        check_true(typed, aq_unit_find(&found, typed, strlen(typed), NULL, NULL) == AQ_AMBIGUOUS);
    }
}

static void test_a_bare_ppm_needs_its_scale(void **state)
{
    static const int scales[] = { 500, 640, 700, 0, 600 };

    (void)state;
    for (size_t i = 0; i < sizeof scales / sizeof *scales; i++) {
        aq_said said = { .ppm = scales[i] };
        aq_error err = { .status = AQ_OK };
        const aq_unit *found = NULL;
        aq_status status = aq_unit_find(&found, "ppm", 3, &said, &err);

        if (i < 3) {
            check_within("factor", 1 / found->factor, scales[i], 1e-10);
            check_true("ppm", status == AQ_OK && said.used_ppm);
        } else {
            check_true("ppm", status == AQ_AMBIGUOUS && !said.used_ppm && !found);
            check_text("ppm", err.question.key, "ppm");
            check_true("ppm", err.question.count == 3 && err.place.line == 0);
        }
    }
}

static void test_an_unknown_unit_names_its_nearest(void **state)
{
    static const struct {
        const char *typed, *nearest;
    } rows[] = {
        { "ML", "mL" },       { "mgg", "mg" },    { "gal-uk", "gal-imp" },  { "cup", "cup-us or cup-metric" },
        { "MS/CM", "mS/cm" }, { "degc", "degC" }, { "ppm-501", "ppm-500" }, { "Lx", "L" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char wanted[60] = "the nearest is ";
        aq_error err = { .status = AQ_OK };
        const aq_unit *found;

        strcat(wanted, rows[i].nearest);
        check_true(rows[i].typed,
                   aq_unit_find(&found, rows[i].typed, strlen(rows[i].typed), NULL, &err) == AQ_UNKNOWN_UNIT);
        if (!strstr(err.text, wanted))
            print_error("%s: %s\n", rows[i].typed, err.text);
        check_true(rows[i].typed, strstr(err.text, wanted) != NULL);
        check_true(rows[i].typed, strlen(strstr(err.text, wanted)) == strlen(wanted));
        check_true(rows[i].typed, err.question.key == NULL && err.place.line == 0);
    }
}

/* What is known whole is what reading it piece by piece gives, to the last bit: a space that means nothing makes the
 * reader take the longer way. */
static void test_usual_units_are_the_sum_of_their_pieces(void **state)
{
    static const struct {
        const char *whole, *pieces;
    } rows[] = {
        { "mg/L", "mg / L" },
        { "g/L", "g / L" },
        { "mmol/L", "mmol / L" },
        { "mL/L", "mL / L" },
        { "mS/cm per mL/L", "mS/cm per  mL/L" },
        { "mg/L CaCO3", "mg/L as CaCO3" },
        { "mS/cm", "mS / cm" },
        { "L", "L " },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_measure whole, pieces;

        check_true(rows[i].whole, aq_measure_read(&whole, rows[i].whole, NULL, NULL) == AQ_OK);
        check_true(rows[i].pieces, aq_measure_read(&pieces, rows[i].pieces, NULL, NULL) == AQ_OK);
        check_true(rows[i].whole, aq_kind_equal(whole.kind, pieces.kind));
        check_within(rows[i].whole, whole.factor, pieces.factor, 0);
        check_within(rows[i].whole, whole.offset, pieces.offset, 0);
        check_true(rows[i].whole, whole.unit == pieces.unit);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_usual_units_are_the_sum_of_their_pieces),
        cmocka_unit_test(test_each_row_of_the_published_factors_agrees),
        cmocka_unit_test(test_degrees_are_converted_by_the_exact_rule),
        cmocka_unit_test(test_hardness_is_charge_whatever_it_is_counted_as),
        cmocka_unit_test(test_one_millisiemens_in_every_scale),
        cmocka_unit_test(test_the_table_is_found_by_its_own_names),
        cmocka_unit_test(test_other_spellings_find_the_same_unit),
        cmocka_unit_test(test_a_name_of_two_countries_needs_what_was_said),
        cmocka_unit_test(test_a_bare_ppm_needs_its_scale),
        cmocka_unit_test(test_an_unknown_unit_names_its_nearest),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
