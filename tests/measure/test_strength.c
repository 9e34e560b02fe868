/* Strengths, ratios, levels, EC slopes and sizes.
 *
 * Percentages by pharmacopoeia usage: % w/w is g in 100 g, % w/v g in 100 mL, % v/v mL in 100 mL. Worked sums stand
 * beside their rows. */
#include "check.h"
#include "measure/quantity.h"

#include <stdio.h>

static const struct {
    const char *text;
    aq_basis basis;
    double value;
    const char *typed;
} strengths[] = {
    { "35%w/w", AQ_BASIS_WW, 0.35, "35%w/w" },
    { "3 % w/v", AQ_BASIS_WV, 30, "3 % w/v" },
    { "70%v/v", AQ_BASIS_VV, 0.7, "70%v/v" },
    { "1000mg/L", AQ_BASIS_WV, 1, "1000mg/L" },
    { "6.0 g/100 mL", AQ_BASIS_WV, 60, "6.0 g/100 mL" },
    { "1/2 oz/gal-us", AQ_BASIS_WV, 3.7445758535, "1/2 oz/gal-us" }, /* half of 7.489151707, NIST SP 811 */
    { "370 mg/kg", AQ_BASIS_WW, 370e-6, "370 mg/kg" },
    { "37 g/kg", AQ_BASIS_WW, 0.037, "37 g/kg" },
    { "5 mL/L", AQ_BASIS_VV, 0.005, "5 mL/L" },
    { "100 % w/w", AQ_BASIS_WW, 1, "100 % w/w" },
    { "1100 g/L", AQ_BASIS_WV, 1100, "1100 g/L" }, /* heavier than water: no limit */
    { "0.000000000000000000000000037 g/L", AQ_BASIS_WV, 3.7e-26, "0.000000000000000000000" },
    { "13.5000000000000000000\xC2\xB5g/L", AQ_BASIS_WV, 13.5e-6,
      "13.5000000000000000000" }, /* not half a sign */
};

static void test_a_strength_says_how_much_in_how_much(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof strengths / sizeof *strengths; i++) {
        aq_error err = { .status = AQ_OK };
        aq_strength got;

        if (aq_strength_read(&got, strengths[i].text, NULL, &err) != AQ_OK)
            print_error("%s: %s\n", strengths[i].text, err.text);
        check_true(strengths[i].text, err.status == AQ_OK && got.given);
        check_true(strengths[i].text, got.basis == strengths[i].basis);
        check_within(strengths[i].text, got.value, strengths[i].value, 1e-10 * strengths[i].value);
        check_text(strengths[i].text, got.typed, strengths[i].typed);
    }
}

static const struct {
    const char *text;
    aq_status status;
    const char *key, *says;
} bad_strengths[] = {
    { "35 %", AQ_AMBIGUOUS, "basis", "write % w/w, % w/v or % v/v" },
    { "10000 ppm", AQ_AMBIGUOUS, "mass-ppm", "write mg/L or mg/kg" },
    { "135 % w/w", AQ_OUT_OF_RANGE, NULL, "nothing is stronger than 100 %" },
    { "101 % v/v", AQ_OUT_OF_RANGE, NULL, "nothing is stronger than 100 %" },
    { "-3 % w/v", AQ_OUT_OF_RANGE, NULL, "not negative" },
    { "4 L", AQ_WRONG_KIND, NULL, "4 L is a volume; a strength needs a share or a content, like 35 % w/w" },
    { "12", AQ_UNKNOWN_UNIT, NULL, "like % w/w, % w/v, % v/v, mg/L" },
    { "3 % w/x", AQ_AMBIGUOUS, "basis", "write % w/w, % w/v or % v/v" },
    { "3 % w/vol", AQ_AMBIGUOUS, "basis", "write % w/w, % w/v or % v/v" },
    { "3 % w/v of it", AQ_SYNTAX, NULL, "\"of it\" is left over" },
    { "3-4 % w/v", AQ_SYNTAX, NULL, "not a range" },
    { "3,5 % w/v", AQ_AMBIGUOUS, NULL, "3,5 could be 3.5 or 35" },
};

static void test_a_strength_without_its_basis_is_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad_strengths / sizeof *bad_strengths; i++) {
        aq_error err = { .status = AQ_OK };
        aq_strength got;
        aq_status status = aq_strength_read(&got, bad_strengths[i].text, NULL, &err);

        if (!strstr(err.text, bad_strengths[i].says))
            print_error("%s: %s\n", bad_strengths[i].text, err.text);
        check_true(bad_strengths[i].text, status == bad_strengths[i].status && !got.given);
        check_true(bad_strengths[i].text, strstr(err.text, bad_strengths[i].says) != NULL);
        check_true(bad_strengths[i].text, (err.question.key != NULL) == (bad_strengths[i].key != NULL));
        if (bad_strengths[i].key)
            check_text(bad_strengths[i].text, err.question.key, bad_strengths[i].key);
    }
}

/* What was typed is kept up to the room there is for it, its end among that. */
static void test_what_was_typed_is_cut_to_fit(void **state)
{
    enum { ROOM = sizeof((aq_strength *)0)->typed };

    (void)state;
    for (int length = ROOM - 2; length <= ROOM + 1; length++) {
        char text[2 * ROOM], kept[2 * ROOM];
        aq_strength got;

        snprintf(text, sizeof text, "1.%0*d g/L", length - 6, 0);
        assert_int_equal(strlen(text), length);
        snprintf(kept, ROOM, "%s", text);
        check_true(text, aq_strength_read(&got, text, NULL, NULL) == AQ_OK && got.given);
        check_text(text, got.typed, kept);
    }
}

/* The whole text, and of what is left over only that. */
static void test_a_complaint_shows_where(void **state)
{
    static const struct {
        const char *text;
        int column, span;
    } rows[] = { { "-3 % w/v", 1, 8 }, { "135 % w/w", 1, 9 }, { "3 % w/v of it", 9, 5 }, { "35 %", 1, 4 } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_error err = { .status = AQ_OK };
        aq_strength got;

        aq_strength_read(&got, rows[i].text, NULL, &err);
        if (err.place.column != rows[i].column || err.place.span != rows[i].span)
            print_error("%s: column %d, span %d\n", rows[i].text, err.place.column, err.place.span);
        check_true(rows[i].text, err.place.column == rows[i].column && err.place.span == rows[i].span);
    }
}

static void test_a_basis_that_was_said_reads_the_percentage(void **state)
{
    static const double values[] = { 0, 0.06, 60, 0.06 };

    (void)state;
    for (int basis = AQ_BASIS_WW; basis <= AQ_BASIS_VV; basis++) {
        aq_said said = { .basis = (aq_basis)basis };
        aq_strength got;

        assert_int_equal(aq_strength_read(&got, "6.0 %", &said, NULL), AQ_OK);
        assert_int_equal(got.basis, basis);
        check_close("6.0 %", got.value, values[basis], 1e-15);
    }
}

static const struct {
    const char *text;
    aq_ratio_as said;
    double parts;
} ratios[] = {
    { "1 in 200", AQ_RATIO_UNSAID, 200 },
    { "1 plus 200", AQ_RATIO_UNSAID, 201 },
    { "1+200", AQ_RATIO_UNSAID, 201 },
    { "1 in 200", AQ_RATIO_PLUS, 200 }, /* the word outranks what was said */
    { "1:200", AQ_RATIO_IN, 200 },
    { "1:200", AQ_RATIO_PLUS, 201 },
    { "1 to 4", AQ_RATIO_PLUS, 5 },
    { "2 plus 1", AQ_RATIO_UNSAID, 1.5 }, /* two parts in three */
    { "3 in 200", AQ_RATIO_UNSAID, 200.0 / 3 },
    { "1/2 in 100", AQ_RATIO_UNSAID, 200 },
    { "1 in 1", AQ_RATIO_UNSAID, 1 },
    { "1 %", AQ_RATIO_UNSAID, 100 },
    { "100 %", AQ_RATIO_UNSAID, 1 },
    { "0.8%", AQ_RATIO_UNSAID, 125 },
    { "1 in 1000000000", AQ_RATIO_UNSAID, 1e9 }, /* the weakest */
};

static void test_a_ratio_is_parts_of_the_result(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof ratios / sizeof *ratios; i++) {
        aq_said said = { .ratio = ratios[i].said };
        aq_error err = { .status = AQ_OK };
        aq_ratio got;
        bool open = strpbrk(ratios[i].text, ":t") != NULL;

        if (aq_ratio_read(&got, ratios[i].text, &said, &err) != AQ_OK)
            print_error("%s: %s\n", ratios[i].text, err.text);
        check_true(ratios[i].text, err.status == AQ_OK && got.given);
        check_within(ratios[i].text, got.parts, ratios[i].parts, 1e-13 * ratios[i].parts);
        check_true(ratios[i].text, said.used_ratio == open);
    }
}

static const struct {
    const char *text;
    aq_status status;
    const char *says;
} bad_ratios[] = {
    { "1:4", AQ_AMBIGUOUS,
      "1:4 can be 1 in 4 (1 part in 4 of the result) or 1 plus 4 (1 part in 5 of the result)" },
    { "1 to 200", AQ_AMBIGUOUS, "1 in 200" },
    { "200:1", AQ_OUT_OF_RANGE, "turned round" },
    { "200 in 1", AQ_OUT_OF_RANGE, "turned round" },
    { "0 in 200", AQ_OUT_OF_RANGE, "more than 0" },
    { "1 plus -1", AQ_OUT_OF_RANGE, "more than 0" },
    { "0 %", AQ_OUT_OF_RANGE, "above 0 %" },
    { "101 %", AQ_OUT_OF_RANGE, "at most 100 %" },
    { "1 in 1000000001", AQ_OUT_OF_RANGE, "at most 1 in 1000000000" },
    { "1 in 2000000000", AQ_OUT_OF_RANGE, "at most 1 in 1000000000" },
    { "1e-320+2", AQ_OUT_OF_RANGE, "at most 1 in 1000000000" }, /* the share would be no number */
    { "200", AQ_SYNTAX, "like 1 in 200 or 1 plus 200" },
    { "1 in", AQ_SYNTAX, "a number is missing" },
    { "1 in 200 L", AQ_SYNTAX, "\"L\" is left over" },
    { "1 inch 200", AQ_SYNTAX, "like 1 in 200" },
    { "1 in 1,000", AQ_AMBIGUOUS, "1,000 could be 1.000 or 1000" },
    { "", AQ_SYNTAX, "a number is missing" },
};

static void test_a_colon_asks_and_names_both_amounts(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad_ratios / sizeof *bad_ratios; i++) {
        aq_error err = { .status = AQ_OK };
        aq_ratio got;
        aq_status status = aq_ratio_read(&got, bad_ratios[i].text, NULL, &err);

        if (!strstr(err.text, bad_ratios[i].says))
            print_error("%s: %s\n", bad_ratios[i].text, err.text);
        check_true(bad_ratios[i].text, status == bad_ratios[i].status && !got.given);
        check_true(bad_ratios[i].text, strstr(err.text, bad_ratios[i].says) != NULL);
        if (status == AQ_OUT_OF_RANGE || strstr(err.text, "like 1 in 200")) /* the whole of it is wrong */
            check_true(bad_ratios[i].text, err.place.column == 1);
    }
}

static void test_the_question_of_a_ratio_has_both_words(void **state)
{
    aq_error err = { .status = AQ_OK };
    aq_ratio got;

    (void)state;
    assert_int_equal(aq_ratio_read(&got, "1:4", NULL, &err), AQ_AMBIGUOUS);
    check_text("key", err.question.key, "ratio");
    assert_int_equal(err.question.count, 2);
    check_text("first", err.question.choice[0].word, "in");
    check_text("second", err.question.choice[1].word, "plus");
}

static const struct {
    const char *text;
    bool ec_alone;
    aq_status status;
    double volume, ec;
    int column, span; /* of the complaint; 0: not looked at */
} levels[] = {
    { "80L@1.8mS/cm", false, AQ_OK, 80, 1.8 },
    { "80 L @ 950ppm-700", false, AQ_OK, 80, 950.0 / 700 },
    { "17 gal-us@1800uS/cm", true, AQ_OK, 64.352000328, 1.8 },
    { "1.10 mS/cm", true, AQ_OK, 0, 1.1 },
    { "1.10 mS/cm", false, AQ_SYNTAX, 0, 0, 1, 10 },
    { "80 L", true, AQ_SYNTAX, 0, 0, 1, 4 },
    { "80 L@", false, AQ_SYNTAX, 0, 0 },
    { "80 L@60 L", false, AQ_WRONG_KIND, 0, 0 },
    { "80 g@1.8 mS/cm", false, AQ_WRONG_KIND, 0, 0 },
    { "80@1.8mS/cm", false, AQ_SYNTAX, 0, 0 },
    { "80L@1.8", false, AQ_UNKNOWN_UNIT, 0, 0 },
    { "80gal@1.8mS/cm", false, AQ_AMBIGUOUS, 0, 0 },
    { "80L@900ppm", false, AQ_AMBIGUOUS, 0, 0 },
    { "80L@1.8mS/cm@2", false, AQ_SYNTAX, 0, 0 },
};

static void test_a_level_is_a_volume_at_an_ec(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof levels / sizeof *levels; i++) {
        aq_level got;
        aq_error err = { .status = AQ_OK };
        aq_status status = aq_level_read(&got, levels[i].text, levels[i].ec_alone, NULL, &err);

        if (status != levels[i].status)
            print_error("%s: %s %s\n", levels[i].text, aq_status_name(status), err.text);
        check_true(levels[i].text, status == levels[i].status && got.given == (status == AQ_OK));
        check_true(levels[i].text, got.volume.given == (levels[i].volume > 0));
        check_within(levels[i].text, got.volume.value, levels[i].volume, 1e-12);
        check_within(levels[i].text, got.ec.value, levels[i].ec, 1e-14);
        if (levels[i].column)
            check_true(levels[i].text,
                       err.place.column == levels[i].column && err.place.span == levels[i].span);
    }
}

static const struct {
    const char *text;
    double value;
    bool by_mass;
    const char *element;
} slopes[] = {
    { "0.40 mS/cm per mL/L", 400, false, "" },
    { "0.31mS/cm per mL/L", 310, false, "" },
    { "210 ppm-500 per mL/L", 420, false, "" },
    { "0.4 mS/cm per tsp-us/gal-us", 307.2, false, "" }, /* 0.4 * 768 */
    { "0.45 mS/cm per g/L", 0.45, true, "" },
    { "450 uS/cm per g/L", 0.45, true, "" },
    { "0.65 mS/cm per 100 mg/L N", 6.5, true, "N" },
    { "0.07 mS/cm per 10 mg/L NO3-N", 7, true, "NO3-N" },
    { "0.3 mS/cm per 100 g/100 L K2O", 0.3, true, "K2O" },
    { "0.03 mS/cm per 10 mg/L Zn", 3, true, "Zn" },
};

static void test_an_ec_slope_is_per_dose(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof slopes / sizeof *slopes; i++) {
        aq_error err = { .status = AQ_OK };
        aq_slope got;

        if (aq_slope_read(&got, slopes[i].text, NULL, &err) != AQ_OK)
            print_error("%s: %s\n", slopes[i].text, err.text);
        check_true(slopes[i].text, err.status == AQ_OK && got.given);
        check_within(slopes[i].text, got.value, slopes[i].value, 1e-13 * slopes[i].value);
        check_true(slopes[i].text, got.by_mass == slopes[i].by_mass);
        check_text(slopes[i].text, got.element, slopes[i].element);
    }
}

static const struct {
    const char *text;
    aq_status status;
    const char *says;
} bad_slopes[] = {
    { "0.65 mS/cm", AQ_WRONG_KIND, "0.65 mS/cm is an EC; an EC slope needs an EC per dose" },
    { "0.65 mL/L", AQ_WRONG_KIND, "0.65 mL/L is a rate; an EC slope needs an EC per dose" },
    { "0.4", AQ_UNKNOWN_UNIT, "like mS/cm per mL/L, mS/cm per g/L" },
    { "0 mS/cm per mL/L", AQ_OUT_OF_RANGE, "more than 0" },
    { "-0.4 mS/cm per mL/L", AQ_OUT_OF_RANGE, "more than 0" },
    { "0.65 mS/cm per 100 ppm N", AQ_AMBIGUOUS, "write mg/L or mg/kg" },
    { "210 ppm per mL/L", AQ_AMBIGUOUS, "ppm-500" },
    { "0.4 mS/cm per mL/L N", AQ_SYNTAX, "\"N\" is left over" },
    { "0.4 mS/cm per g/L nitrate", AQ_SYNTAX, "\"nitrate\" is left over" },
    { "0.4 mS/cm per g/L [N]", AQ_SYNTAX, "left over" },
    { "0.4 mS/cm per g/L Nitrate-nitrogen", AQ_SYNTAX, "\"Nitrate-nitrogen\" is left over" },
    { "0.4 mS/cm per mL", AQ_WRONG_KIND, "an EC slope needs an EC per dose" },
};

static void test_what_is_no_ec_slope_is_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad_slopes / sizeof *bad_slopes; i++) {
        aq_error err = { .status = AQ_OK };
        aq_slope got;
        aq_status status = aq_slope_read(&got, bad_slopes[i].text, NULL, &err);

        if (status != bad_slopes[i].status || !strstr(err.text, bad_slopes[i].says))
            print_error("%s: %s %s\n", bad_slopes[i].text, aq_status_name(status), err.text);
        check_true(bad_slopes[i].text, status == bad_slopes[i].status && !got.given);
        check_true(bad_slopes[i].text, strstr(err.text, bad_slopes[i].says) != NULL);
    }
}

static const struct {
    const char *text;
    aq_status status;
    double litres;
} sizes[] = {
    { "36x36x40mm", AQ_OK, 0.05184 }, /* 3.6 * 3.6 * 4.0 = 51.84 mL */
    { "36 x 36 x 40 mm", AQ_OK, 0.05184 },
    { "36\xC3\x97"
      "36\xC3\x97"
      "40 mm",
      AQ_OK, 0.05184 },
    { "3.6cm x 36mm x 4 cm", AQ_OK, 0.05184 },
    { "3.6cmx36mmx4cm", AQ_OK, 0.05184 },
    { "1 1/2 x 1 1/2 x 2 in", AQ_OK, 0.073741788 }, /* 4.5 in3 of 16.387064 mL */
    { "36x36mm", AQ_SYNTAX, 0 },
    { "36x36x40x1mm", AQ_SYNTAX, 0 },
    { "36x36x40", AQ_UNKNOWN_UNIT, 0 },
    { "36x0x40mm", AQ_OUT_OF_RANGE, 0 },
    { "36x36x40 mL", AQ_WRONG_KIND, 0 },
    { "36 mm", AQ_SYNTAX, 0 },
    { "", AQ_SYNTAX, 0 },
    { "x", AQ_SYNTAX, 0 },
};

static void test_three_edges_are_a_volume(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        aq_error err = { .status = AQ_OK };
        double got = 7;
        aq_status status = aq_size_read(&got, sizes[i].text, NULL, &err);

        if (status != sizes[i].status)
            print_error("%s: %s %s\n", sizes[i].text, aq_status_name(status), err.text);
        check_true(sizes[i].text, status == sizes[i].status && err.status == status);
        check_within(sizes[i].text, got, sizes[i].litres, 1e-12);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_strength_says_how_much_in_how_much),
        cmocka_unit_test(test_a_strength_without_its_basis_is_refused),
        cmocka_unit_test(test_what_was_typed_is_cut_to_fit),
        cmocka_unit_test(test_a_complaint_shows_where),
        cmocka_unit_test(test_a_basis_that_was_said_reads_the_percentage),
        cmocka_unit_test(test_a_ratio_is_parts_of_the_result),
        cmocka_unit_test(test_a_colon_asks_and_names_both_amounts),
        cmocka_unit_test(test_the_question_of_a_ratio_has_both_words),
        cmocka_unit_test(test_a_level_is_a_volume_at_an_ec),
        cmocka_unit_test(test_an_ec_slope_is_per_dose),
        cmocka_unit_test(test_what_is_no_ec_slope_is_refused),
        cmocka_unit_test(test_three_edges_are_a_volume),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
