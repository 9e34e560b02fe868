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
    { "5 mgg", AQ_WANT_MASS, AQ_UNKNOWN_UNIT, 3, 3, "\"mgg\" is not a unit we know; the nearest is mg" },
    { "5 ML", AQ_WANT_VOLUME, AQ_UNKNOWN_UNIT, 3, 2, "the nearest is mL" },
    { "1.8 mz/cm", AQ_WANT_EC, AQ_UNKNOWN_UNIT, 5, 2, "not a unit" },
    { "\xC2\xB5 5", AQ_WANT_EC, AQ_SYNTAX, 1, 3, "does not begin with a number" },
    { "5 \xC2\xB5"
      "X",
      AQ_WANT_EC, AQ_UNKNOWN_UNIT, 3, 2, "not a unit" },
    { "5 \xC2\xB1 1 mL", AQ_WANT_VOLUME, AQ_UNKNOWN_UNIT, 3, 1, "not a unit" },
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
    { "2 tsp/gal-us", AQ_WANT_RATE, "gallon", "us imperial ", "tsp-us or tsp-metric" },
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_number_and_its_unit_become_base_units),
        cmocka_unit_test(test_what_is_refused_says_where_and_why),
        cmocka_unit_test(test_an_open_name_asks_and_shows_each_reading),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
