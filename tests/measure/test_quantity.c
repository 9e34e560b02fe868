/* Quantities, ranges and numbers as people write them.
 *
 * Values come from the definitions of NIST SP 811 (2008): 1 gal-us = 231 in^3 = 3.785411784 L = 768 teaspoons, 1 gal-imp
 * = 4.54609 L, 1 oz = 28.349523125 g; and from the worked sums beside the rows. */
#include "check.h"
#include "measure/quantity.h"

#include <stdio.h>
#include <stdlib.h>

static const struct {
    const char *text;
    unsigned want;
    double base;
} good[] = {
    { "2.385 mL/L", AQ_WANT_RATE, 0.002385 },
    { "2.385mL/L", AQ_WANT_RATE, 0.002385 },
    { "2.385 mL per L", AQ_WANT_RATE, 0.002385 },
    { " 2.385  mL / L ", AQ_WANT_RATE, 0.002385 },
    { "7.3 tsp-us/gal-us", AQ_WANT_RATE, 7.3 / 768 },
    { "3 fl-oz-us/100 gal-us", AQ_WANT_RATE, 3.0 / 12800 }, /* 128 fluid ounces a gallon */
    { "3 fl oz-us/100 gal-us", AQ_WANT_RATE, 3.0 / 12800 },
    { "17 mL/100 L", AQ_WANT_RATE, 0.00017 },
    { "0.7 %v/v", AQ_WANT_RATE, 0.007 },
    { "11.7 gal-us", AQ_WANT_VOLUME, 44.2893178728 },
    { "11.7 gal-imp", AQ_WANT_VOLUME, 53.189253 },
    { "1/2 tsp-us", AQ_WANT_VOLUME, 0.002464460796875 },
    { "1 1/2 gal-us", AQ_WANT_VOLUME, 5.678117676 },
    { "-1 1/2 L", AQ_WANT_VOLUME, -1.5 },
    { "3e2 ml", AQ_WANT_VOLUME, 0.3 },
    { "70 mL", AQ_WANT_VOLUME, 0.07 },
    { "80\xC2\xA0L", AQ_WANT_VOLUME, 80 },
    { "450 cm\xC2\xB3", AQ_WANT_VOLUME, 0.45 },
    { "170 g", AQ_WANT_MASS, 170 },
    { "2 1/4 oz", AQ_WANT_MASS, 63.78642703125 },
    { "833.3mg/L", AQ_WANT_CONTENT, 0.8333 },
    { "11.1 oz/100 gal-us", AQ_WANT_CONTENT, 0.831295839510970 }, /* 11.1 * 28.349523125 / 378.5411784 */
    { "83.3 g/100 L", AQ_WANT_CONTENT, 0.833 },
    { "1.26 kg/L", AQ_WANT_CONTENT, 1260 },
    { "3 % w/v", AQ_WANT_CONTENT, 30 },
    { "1413 \xC2\xB5S/cm", AQ_WANT_EC, 1.413 }, /* micro sign */
    { "1413 \xCE\xBCS/cm", AQ_WANT_EC, 1.413 }, /* Greek mu */
    { "0.32 dS/m", AQ_WANT_EC, 0.32 },
    { "0.14 S/m", AQ_WANT_EC, 1.4 },
    { "18 CF", AQ_WANT_EC, 1.8 },
    { "900ppm-700", AQ_WANT_EC, 900.0 / 700 },
    { "950 ppm-500", AQ_WANT_EC, 1.9 },
    { "950 ppm-640", AQ_WANT_EC, 1.484375 },
    { "62degF", AQ_WANT_TEMPERATURE, 16.6666666666667 }, /* (62 - 32) / 1.8 */
    { "-40 \xC2\xB0"
      "F",
      AQ_WANT_TEMPERATURE, -40 },
    { "\xE2\x88\x92"
      "5 degC",
      AQ_WANT_TEMPERATURE, -5 }, /* the minus sign of typography */
    { "60 %", AQ_WANT_SHARE, 0.6 },
    { "60%", AQ_WANT_SHARE, 0.6 },
    { "37 mg/kg", AQ_WANT_SHARE, 37e-6 },
    { "2%/degC", AQ_WANT_PER_DEGREE, 0.02 },
    { "72 h", AQ_WANT_TIME, 3 },
    { "36 min", AQ_WANT_TIME, 0.025 },
    { "500 mL/d", AQ_WANT_FLOW, 0.5 },
    { "50 mL/h", AQ_WANT_FLOW, 1.2 },
    { "36 mm", AQ_WANT_LENGTH, 0.036 },
    { "17 mmol", AQ_WANT_AMOUNT, 0.017 },
    { "17 mmol/L", AQ_WANT_MOLARITY, 0.017 },
    { "480 meq", AQ_WANT_CHARGE, 0.48 },
    { "2.4 meq/L", AQ_WANT_HARDNESS, 0.0024 },
    { "120 mg/L CaCO3", AQ_WANT_HARDNESS, 0.120 / 50.043 },
    { "120 mg/L as CaCO3", AQ_WANT_HARDNESS, 0.120 / 50.043 },
    { "120 mg/L CaCO\xE2\x82\x83", AQ_WANT_HARDNESS, 0.120 / 50.043 },
    { "2.25 fl-oz-us/100 gal-us per d", AQ_WANT_ANY, 2.25 / 12800 },
    { "3.1 g.d", AQ_WANT_ANY, 3.1 },
};

static void test_a_number_and_its_unit_become_base_units(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        aq_error err = { .status = AQ_OK };
        aq_quantity got;
        aq_status status = aq_quantity_read(&got, good[i].text, good[i].want, NULL, &err);

        if (status != AQ_OK)
            print_error("%s: %s\n", good[i].text, err.text);
        check_true(good[i].text, status == AQ_OK && got.given);
        /* a few roundings of 2^-53 each */
        check_within(good[i].text, got.value, good[i].base, 1e-14 * fabs(good[i].base));
    }
}

static const struct {
    const char *text;
    unsigned want;
    aq_status status;
    int column, span;
    const char *says;
} bad[] = {
    { "3 mL", AQ_WANT_RATE, AQ_WRONG_KIND, 1, 4,
      "3 mL is a volume; a rate needs one volume per another, like 3 mL/L" },
    { "3 mL", AQ_WANT_RATE | AQ_WANT_CONTENT, AQ_WRONG_KIND, 1, 4, "or a mass per volume, like 0.5 g/L" },
    { "180 mg/L", AQ_WANT_HARDNESS, AQ_WRONG_KIND, 1, 8, "like 120 mg/L CaCO3" },
    { "60", AQ_WANT_VOLUME, AQ_UNKNOWN_UNIT, 1, 2, "60 has no unit: write one, like L, mL, gal-us" },
    { "60", AQ_WANT_ANY, AQ_UNKNOWN_UNIT, 1, 2, "60 has no unit" },
    { "0", AQ_WANT_EC, AQ_UNKNOWN_UNIT, 1, 1, "like mS/cm, uS/cm, CF, ppm-500" },
    { "1,5 L", AQ_WANT_VOLUME, AQ_AMBIGUOUS, 1, 3, "1,5 could be 1.5 or 15" },
    { "1,000 L", AQ_WANT_VOLUME, AQ_AMBIGUOUS, 1, 5, "1,000 could be 1.000 or 1000" },
    { "1,234.5 L", AQ_WANT_VOLUME, AQ_AMBIGUOUS, 1, 7, "1,234.5 could be 1.2345 or 1234.5" },
    { "-1,5 degC", AQ_WANT_TEMPERATURE, AQ_AMBIGUOUS, 1, 4, "-1,5 could be -1.5 or -15" },
    { "1 000 L", AQ_WANT_VOLUME, AQ_AMBIGUOUS, 1, 3, "has a space in it" },
    { "nan L", AQ_WANT_VOLUME, AQ_SYNTAX, 1, 5, "does not begin with a number" },
    { "inf L", AQ_WANT_VOLUME, AQ_SYNTAX, 1, 5, "does not begin with a number" },
    { "-inf L", AQ_WANT_VOLUME, AQ_SYNTAX, 1, 6, "does not begin with a number" },
    { "1e999 L", AQ_WANT_VOLUME, AQ_OUT_OF_RANGE, 1, 5, "beyond 1e15" },
    { "1.1e15 L", AQ_WANT_VOLUME, AQ_OUT_OF_RANGE, 1, 6, "beyond 1e15" },
    { "1/0 L", AQ_WANT_VOLUME, AQ_OUT_OF_RANGE, 1, 3, "zero" },
    { "", AQ_WANT_VOLUME, AQ_SYNTAX, 1, 1, "a number is missing" },
    { "mL", AQ_WANT_VOLUME, AQ_SYNTAX, 1, 2, "\"mL\" does not begin with a number" },
    { "5 /L", AQ_WANT_RATE, AQ_SYNTAX, 3, 2, "does not begin with a unit" },
    { "5 mL/", AQ_WANT_RATE, AQ_SYNTAX, 6, 1, "a unit is missing" },
    { "5 mL per", AQ_WANT_RATE, AQ_SYNTAX, 9, 1, "a unit is missing" },
    { "5 mL/0 L", AQ_WANT_RATE, AQ_OUT_OF_RANGE, 6, 1, "per zero" },
    { "11e9 L/1e-320 gal-imp", AQ_WANT_ANY, AQ_OUT_OF_RANGE, 6, 16, "measures nothing" },
    { "5 mgg", AQ_WANT_MASS, AQ_UNKNOWN_UNIT, 3, 3, "\"mgg\" is not a unit we know; the nearest is mg" },
    { "5 ML", AQ_WANT_VOLUME, AQ_UNKNOWN_UNIT, 3, 2, "the nearest is mL" },
    { "1/0.5 L", AQ_WANT_VOLUME, AQ_OUT_OF_RANGE, 1, 3, "a fraction has no zero below its line" },
    { "1,2, L", AQ_WANT_VOLUME, AQ_AMBIGUOUS, 1, 3, "1,2 could be 1.2 or 12" },
    { "                                        1,5 L x", AQ_WANT_VOLUME, AQ_AMBIGUOUS, 41, 3,
      "1,5 could be 1.5 or 15" },
    { "2 fl oz-of-whatever-it-is-that-fills-a-bottle", AQ_WANT_VOLUME, AQ_UNKNOWN_UNIT, 3, 2,
      "\"fl\" is not a unit we know" },
    { "1.8 mz/cm", AQ_WANT_EC, AQ_UNKNOWN_UNIT, 5, 5, "\"mz/cm\" is not a unit" },
    { "\xC2\xB5 5", AQ_WANT_EC, AQ_SYNTAX, 1, 3, "does not begin with a number" },
    { "5 \xC2\xB5"
      "X",
      AQ_WANT_EC, AQ_UNKNOWN_UNIT, 3, 2, "not a unit" },
    { "5 \xC2\xB1 1 mL", AQ_WANT_VOLUME, AQ_UNKNOWN_UNIT, 3, 1, "not a unit" },
    { "5 \xC2\xB5S/cm \xE2\x80\x93x", AQ_WANT_EC, AQ_SYNTAX, 9, 2, "is left over" },
    { "9 ppm-500x", AQ_WANT_EC, AQ_AMBIGUOUS, 3, 3, "ppm: 500" },
    { "5.8 %", AQ_WANT_NUMBER, AQ_WRONG_KIND, 1, 5, "this needs a number without unit, like 5.8" },
    { "5 mL x", AQ_WANT_VOLUME, AQ_SYNTAX, 6, 1, "\"x\" is left over" },
    { "5 mL 6", AQ_WANT_VOLUME, AQ_SYNTAX, 6, 1, "\"6\" is left over" },
    { "2-4 mL/L", AQ_WANT_RATE, AQ_SYNTAX, 1, 8, "not a range" },
    { "5 %", AQ_WANT_VOLUME, AQ_WRONG_KIND, 1, 3, "5 % is a share; this needs a volume" },
    { "5 m.m.m.m.m.m.m.m.m.m.m.m.m", AQ_WANT_LENGTH, AQ_TOO_LARGE, 26, 2, "too many pieces" },
    { "5 m per m per m per m", AQ_WANT_LENGTH, AQ_TOO_LARGE, 17, 5, "too many terms" },
    { "5 g/L per L", AQ_WANT_CONTENT, AQ_WRONG_KIND, 1, 11, "a compound quantity" },
};

static void test_what_is_refused_says_where_and_why(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        aq_error err = { .status = AQ_OK };
        aq_quantity got = { .value = 7, .given = true };
        aq_status status = aq_quantity_read(&got, bad[i].text, bad[i].want, NULL, &err);

        if (status != bad[i].status || !strstr(err.text, bad[i].says) || err.place.column != bad[i].column ||
            err.place.span != bad[i].span)
            print_error("%s: %s at %d, %d long: %s\n", bad[i].text, aq_status_name(status), err.place.column,
                        err.place.span, err.text);
        check_true(bad[i].text, status == bad[i].status && err.status == status);
        check_true(bad[i].text, strstr(err.text, bad[i].says) != NULL);
        check_true(bad[i].text, err.place.line == 1 && err.place.column == bad[i].column);
        check_true(bad[i].text, err.place.span == bad[i].span);
        check_true(bad[i].text, !got.given && got.value == 0); /* zeroed */
    }
}

static const struct {
    const char *text;
    unsigned want;
    const char *key, *words, *says;
} questions[] = {
    { "20gal", AQ_WANT_VOLUME, "gallon", "us imperial ", "20gal is 75.7 L (us) or 90.9 L (imperial)" },
    { "10 mL/gal", AQ_WANT_RATE, "gallon", "us imperial ", "2.64 mL/L (us) or 2.20 mL/L (imperial)" },
    { "2 tsp/gal-us", AQ_WANT_RATE, "gallon", "us imperial ",
      "say gallon: us or gallon: imperial for tsp, or write" },
    { "2 tsp/gal", AQ_WANT_RATE, "gallon", "us imperial ", "2.60 mL/L (us) or 2.17 mL/L (imperial)" },
    { "5 fl oz", AQ_WANT_VOLUME, "gallon", "us imperial ", "148 mL (us) or 142 mL (imperial)" },
    { "14 gpg", AQ_WANT_HARDNESS, "gallon", "us imperial ", "4.79 meq/L (us) or 3.99 meq/L (imperial)" },
    { "900 ppm", AQ_WANT_EC, "ppm", "500 640 700 ",
      "1.80 mS/cm (500), 1.41 mS/cm (640) or 1.29 mS/cm (700)" },
    { "10000 ppm", AQ_WANT_CONTENT, "mass-ppm", "mg/L mg/kg ", "write mg/L or mg/kg" },
    { "180 ppm", AQ_WANT_HARDNESS, "mass-ppm", "mg/L CaCO3 ", "write mg/L CaCO3" },
    { "2 %", AQ_WANT_RATE, "basis", "w/w w/v v/v ", "2 % of a liquid" },
    { "2 %", AQ_WANT_RATE | AQ_WANT_CONTENT, "basis", "w/w w/v v/v ", "2 % of a liquid" },
};

static void test_an_open_name_asks_and_shows_each_reading(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof questions / sizeof *questions; i++) {
        aq_error err = { .status = AQ_OK };
        char words[80] = "";
        aq_quantity got;
        aq_status status = aq_quantity_read(&got, questions[i].text, questions[i].want, NULL, &err);

        check_true(questions[i].text, status == AQ_AMBIGUOUS);
        check_text(questions[i].text, err.question.key, questions[i].key);
        for (size_t c = 0; c < err.question.count; c++) {
            strcat(words, err.question.choice[c].word);
            strcat(words, " ");
            check_true(questions[i].text, err.question.choice[c].means != NULL);
        }
        check_text(questions[i].text, words, questions[i].words);
        if (!strstr(err.text, questions[i].says))
            print_error("%s: %s\n", questions[i].text, err.text);
        check_true(questions[i].text, strstr(err.text, questions[i].says) != NULL);
    }
}

static void test_a_spoon_is_not_shown_twice(void **state)
{
    aq_error err = { .status = AQ_OK };
    aq_quantity got;

    (void)state;
    assert_int_equal(aq_quantity_read(&got, "2 tsp", AQ_WANT_VOLUME, NULL, &err), AQ_AMBIGUOUS);
    assert_null(strstr(err.text, "9.86 mL")); /* the same beside either gallon */
}

/* A figure in thousandths is the double nearest it, as the C library reads it. */
static void test_millilitres_are_the_nearest_double(void **state)
{
    (void)state;
    for (int i = 1; i < 3000; i++) {
        char text[40], litres[40];
        aq_quantity got;
        aq_measure measure;
        double back;

        snprintf(text, sizeof text, "%d mL", i);
        snprintf(litres, sizeof litres, "%d.%03d", i / 1000, i % 1000);
        check_true(text, aq_quantity_read(&got, text, AQ_WANT_VOLUME, NULL, NULL) == AQ_OK);
        check_within(text, got.value, strtod(litres, NULL), 0);
        check_true(text, aq_measure_read(&measure, "mL", NULL, NULL) == AQ_OK);
        check_true(text, aq_quantity_in(&back, got, &measure, NULL) == AQ_OK);
        check_within(text, back, i, 2.3e-16 * i); /* one rounding */
    }
}

static const struct {
    const char *text;
    unsigned want;
    double low, high;
} ranges[] = {
    { "2-4 mL/L", AQ_WANT_RATE, 0.002, 0.004 },
    { "2 to 4 mL/L", AQ_WANT_RATE, 0.002, 0.004 },
    { "2\xE2\x80\x93"
      "4 mL/L",
      AQ_WANT_RATE, 0.002, 0.004 }, /* en dash */
    { "0-1.5 mL/L", AQ_WANT_RATE, 0, 0.0015 },
    { "2-2 mL/L", AQ_WANT_RATE, 0.002, 0.002 },
    { "58-62mL", AQ_WANT_VOLUME, 0.058, 0.062 },
    { "2 mL/L - 4 mL/L", AQ_WANT_RATE, 0.002, 0.004 },
    { "2mL/L-4mL/L", AQ_WANT_RATE, 0.002, 0.004 },
    { "800 mL - 1.2 L", AQ_WANT_VOLUME, 0.8, 1.2 },
    { "1/2-3/4 tsp-us", AQ_WANT_VOLUME, 0.002464460796875, 0.0036966911953125 },
    { "3 mL/L", AQ_WANT_RATE, 0.003, 0.003 },
    { "80-85 degF", AQ_WANT_TEMPERATURE, 80.0 / 3, 265.0 / 9 },
    { "-5 - -1 degC", AQ_WANT_TEMPERATURE, -5, -1 },
    { "-5-1 degC", AQ_WANT_TEMPERATURE, -5, 1 },
    { "18-24 h", AQ_WANT_TIME, 0.75, 1 },
    { "75-85 %", AQ_WANT_SHARE, 0.75, 0.85 },
    { "400-900ppm-500", AQ_WANT_EC, 0.8, 1.8 },
    { "400ppm-500-900ppm-500", AQ_WANT_EC, 0.8, 1.8 },
    { "0-0.8 mS/cm", AQ_WANT_EC, 0, 0.8 },
    { "5.6-6.2", AQ_WANT_NUMBER, 5.6, 6.2 },
    { "5.8", AQ_WANT_NUMBER, 5.8, 5.8 },
};

static void test_a_range_shares_its_unit(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        aq_error err = { .status = AQ_OK };
        aq_range got;

        if (aq_range_read(&got, ranges[i].text, ranges[i].want, NULL, &err) != AQ_OK)
            print_error("%s: %s\n", ranges[i].text, err.text);
        check_true(ranges[i].text, err.status == AQ_OK && got.low.given && got.high.given);
        check_within(ranges[i].text, got.low.value, ranges[i].low, 1e-14 * fabs(ranges[i].low));
        check_within(ranges[i].text, got.high.value, ranges[i].high, 1e-14 * fabs(ranges[i].high));
    }
}

static const struct {
    const char *text;
    aq_status status;
    const char *says;
} bad_ranges[] = {
    { "4-2 mL/L", AQ_OUT_OF_RANGE, "goes down" },
    { "2 mL/L - 1 mL/L", AQ_OUT_OF_RANGE, "goes down" },
    { "2-4", AQ_UNKNOWN_UNIT, "no unit" },
    { "2 mL/L - 4", AQ_UNKNOWN_UNIT, "4 has no unit" },
    { "2-4-6 mL/L", AQ_UNKNOWN_UNIT, "no unit" },
    { "2-", AQ_SYNTAX, "a number is missing" },
    { "2-x mL/L", AQ_SYNTAX, "\"x mL/L\" does not begin with a number" },
    { "2-4 mL", AQ_WRONG_KIND, "4 mL is a volume" },
    { "1,5-2 mL/L", AQ_AMBIGUOUS, "1,5 could be 1.5 or 15" },
    { "1-2,5 mL/L", AQ_AMBIGUOUS, "2,5 could be 2.5 or 25" },
    { "2-4 tsp/gal", AQ_AMBIGUOUS, "4 tsp/gal is 5.21 mL/L (us) or 4.34 mL/L (imperial)" },
    { "2-4 mL/L x", AQ_SYNTAX, "\"x\" is left over" },
};

static void test_a_broken_range_is_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad_ranges / sizeof *bad_ranges; i++) {
        aq_error err = { .status = AQ_OK };
        aq_range got;
        aq_status status = aq_range_read(&got, bad_ranges[i].text, AQ_WANT_RATE, NULL, &err);

        if (!strstr(err.text, bad_ranges[i].says))
            print_error("%s: %s\n", bad_ranges[i].text, err.text);
        check_true(bad_ranges[i].text, status == bad_ranges[i].status);
        check_true(bad_ranges[i].text, strstr(err.text, bad_ranges[i].says) != NULL);
        check_true(bad_ranges[i].text, !got.low.given && !got.high.given);
    }
}

static void test_the_two_ends_of_a_range_are_of_one_kind(void **state)
{
    aq_error err = { .status = AQ_OK };
    aq_range got;

    (void)state;
    assert_int_equal(aq_range_read(&got, "2 mL/L - 4 g/L", AQ_WANT_RATE | AQ_WANT_CONTENT, NULL, &err),
                     AQ_WRONG_KIND);
    assert_non_null(strstr(err.text, "from a rate to a mass per volume"));
}

static void test_a_plain_number_has_no_unit(void **state)
{
    static const struct {
        const char *text;
        aq_status status;
        double value;
    } rows[] = {
        { "5.5", AQ_OK, 5.5 },          { " 98 ", AQ_OK, 98 },    { "1/2", AQ_OK, 0.5 },
        { "42.00", AQ_OK, 42 },         { "-3", AQ_OK, -3 },      { "5,5", AQ_AMBIGUOUS, 0 },
        { "5 mL", AQ_SYNTAX, 0 },       { "60 %", AQ_SYNTAX, 0 }, { "", AQ_SYNTAX, 0 },
        { " -1/2", AQ_OK, -0.5 },       { " +3/4", AQ_OK, 0.75 }, { "-1 1/2", AQ_OK, -1.5 },
        { "1e16", AQ_OUT_OF_RANGE, 0 }, { "five", AQ_SYNTAX, 0 }, { "0x10", AQ_SYNTAX, 0 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double got = 7;

        check_true(rows[i].text, aq_number_read(&got, rows[i].text, NULL) == rows[i].status);
        check_within(rows[i].text, got, rows[i].value, 0);
    }
}

static void test_what_was_said_is_used_and_marked(void **state)
{
    aq_said said = { .gallon = AQ_GALLON_IMPERIAL, .ppm = 700, .basis = AQ_BASIS_WV };
    aq_quantity got;

    (void)state;
    assert_int_equal(aq_quantity_read(&got, "3 L", AQ_WANT_VOLUME, &said, NULL), AQ_OK);
    assert_false(said.used_gallon || said.used_ppm || said.used_ratio);
    assert_int_equal(aq_quantity_read(&got, "20 gal", AQ_WANT_VOLUME, &said, NULL), AQ_OK);
    check_within("20 gal", got.value, 90.9218, 1e-12);
    check_text("20 gal", got.unit->name, "gal-imp");
    assert_true(said.used_gallon && !said.used_ppm);
    assert_int_equal(aq_quantity_read(&got, "900 ppm", AQ_WANT_EC, &said, NULL), AQ_OK);
    check_within("900 ppm", got.value, 900.0 / 700, 1e-14);
    assert_true(said.used_ppm);
    /* a meter's scale says nothing of a mass */
    assert_int_equal(aq_quantity_read(&got, "900 ppm", AQ_WANT_CONTENT, &said, NULL), AQ_AMBIGUOUS);
    assert_int_equal(aq_quantity_read(&got, "0.5 %", AQ_WANT_RATE | AQ_WANT_CONTENT, &said, NULL), AQ_OK);
    check_within("0.5 % w/v", got.value, 5, 1e-14);
    said.basis = AQ_BASIS_VV;
    assert_int_equal(aq_quantity_read(&got, "0.5 %", AQ_WANT_RATE | AQ_WANT_CONTENT, &said, NULL), AQ_OK);
    check_within("0.5 % v/v", got.value, 0.005, 1e-16);
    said.basis = AQ_BASIS_WW;
    assert_int_equal(aq_quantity_read(&got, "0.5 %", AQ_WANT_RATE | AQ_WANT_CONTENT, &said, NULL),
                     AQ_WRONG_KIND);
}

static void test_the_unit_is_kept_where_it_is_one_name(void **state)
{
    static const struct {
        const char *text, *unit;
    } rows[] = {
        { "80 gal-us", "gal-us" },    { "1.8 mS/cm", "mS/cm" }, { "1413 \xC2\xB5S/cm", "uS/cm" },
        { "900 ppm-500", "ppm-500" }, { "3 % w/v", "%w/v" },    { "2 mg/kg", "mg/kg" },
        { "2 mL/L", NULL },           { "2 mL/100 L", NULL },   { "120 mg/L CaCO3", NULL },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_quantity got;

        check_true(rows[i].text, aq_quantity_read(&got, rows[i].text, AQ_WANT_ANY, NULL, NULL) == AQ_OK);
        if (rows[i].unit)
            check_text(rows[i].text, got.unit ? got.unit->name : NULL, rows[i].unit);
        else
            check_true(rows[i].text, got.unit == NULL);
    }
}

static void test_a_quantity_is_told_in_another_unit(void **state)
{
    static const struct {
        const char *text, *to;
        double value;
    } rows[] = {
        { "833.3 mg/L", "oz/100 gal-us", 11.1267608 }, /* 0.8333 * 378.5411784 / 28.349523125 */
        { "62 degF", "degC", 16.6666667 },
        { "17 degC", "degF", 62.6 },
        { "1 mL/L", "tsp-us/gal-us", 0.768 },
        { "14 gpg-us", "mg/L CaCO3", 239.6528542 }, /* 14 * 17.118061 */
        { "2.6 mL/L", "mL/gal-us", 9.8420706 },
        { "36 h", "d", 1.5 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_quantity quantity;
        aq_measure measure;
        double got;

        check_true(rows[i].text, aq_quantity_read(&quantity, rows[i].text, AQ_WANT_ANY, NULL, NULL) == AQ_OK);
        check_true(rows[i].to, aq_measure_read(&measure, rows[i].to, NULL, NULL) == AQ_OK);
        check_true(rows[i].to, aq_quantity_in(&got, quantity, &measure, NULL) == AQ_OK);
        check_close(rows[i].text, got, rows[i].value, 1e-8); /* the figures written here */
    }
}

static void test_a_quantity_is_not_told_as_another_kind(void **state)
{
    aq_error err = { .status = AQ_OK };
    aq_measure measure;
    double got = 7;

    (void)state;
    assert_int_equal(aq_measure_read(&measure, "g", NULL, NULL), AQ_OK);
    assert_int_equal(aq_quantity_in(&got, aq_quantity_of(3, AQ_KIND_VOLUME), &measure, &err), AQ_WRONG_KIND);
    check_text("words", err.text, "a volume cannot be told as a mass");
    check_within("zeroed", got, 0, 0);
    check_true("and it stands in no text", err.place.line == 0);
}

static void test_the_first_complaint_stays(void **state)
{
    aq_error err = { .status = AQ_OK };
    aq_quantity got;
    char text[AQ_ERROR_TEXT];

    (void)state;
    assert_int_equal(aq_quantity_read(&got, "3 mL", AQ_WANT_RATE, NULL, &err), AQ_WRONG_KIND);
    strcpy(text, err.text);
    assert_int_equal(aq_quantity_read(&got, "\xC2\xB5", AQ_WANT_RATE, NULL, &err), AQ_SYNTAX);
    check_text("first", err.text, text);
    assert_int_equal(err.status, AQ_WRONG_KIND);
    assert_int_equal(aq_quantity_read(&got, "\xC2\xB5", AQ_WANT_RATE, NULL, NULL),
                     AQ_SYNTAX); /* no record at all */
}

static void test_text_longer_than_any_quantity_is_refused(void **state)
{
    char text[1000];
    aq_quantity got;

    (void)state;
    for (size_t length = 200; length < 300; length++) {
        aq_error err = { .status = AQ_OK };
        aq_status status;

        for (size_t i = 0; i + 1 < length; i += 2)
            memcpy(text + i, "\xC2\xBD", 2); /* one half, which is written out as four bytes */
        memcpy(text, "1 ", 2);
        text[length & ~(size_t)1] = '\0';
        status = aq_quantity_read(&got, text, AQ_WANT_VOLUME, NULL, &err);
        check_true(err.text, status == (strlen(text) > 250 ? AQ_TOO_LARGE : AQ_AMBIGUOUS));
        check_true(err.text, err.place.line == 1 && err.place.column >= 1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_number_and_its_unit_become_base_units),
        cmocka_unit_test(test_what_is_refused_says_where_and_why),
        cmocka_unit_test(test_an_open_name_asks_and_shows_each_reading),
        cmocka_unit_test(test_a_spoon_is_not_shown_twice),
        cmocka_unit_test(test_millilitres_are_the_nearest_double),
        cmocka_unit_test(test_a_range_shares_its_unit),
        cmocka_unit_test(test_a_broken_range_is_refused),
        cmocka_unit_test(test_the_two_ends_of_a_range_are_of_one_kind),
        cmocka_unit_test(test_a_plain_number_has_no_unit),
        cmocka_unit_test(test_what_was_said_is_used_and_marked),
        cmocka_unit_test(test_the_unit_is_kept_where_it_is_one_name),
        cmocka_unit_test(test_a_quantity_is_told_in_another_unit),
        cmocka_unit_test(test_a_quantity_is_not_told_as_another_kind),
        cmocka_unit_test(test_the_first_complaint_stays),
        cmocka_unit_test(test_text_longer_than_any_quantity_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
