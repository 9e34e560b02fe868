/* What complaints show of a long text, and the edges of numbers. */
#include "check.h"
#include "measure/reader.h"

#include <stdio.h>
#include <stdlib.h>

/* A text of `letters` times x, then `tail`. */
static const char *long_text(char *out, size_t letters, const char *tail)
{
    memset(out, 'x', letters);
    strcpy(out + letters, tail);
    return out;
}

/* A complaint quotes 60 bytes at most, and only whole characters. */
static void test_a_long_text_is_quoted_to_its_sixtieth_byte(void **state)
{
    static const struct {
        const char *row;
        size_t letters;
        const char *tail;
        size_t shown;
    } rows[] = {
        { "60 letters", 60, "", 60 },
        { "61 letters", 61, "", 60 },
        { "a character ends at the 60th byte", 58, "\xC2\xB1y", 60 },
        { "a character of two bytes lies across it", 59, "\xC2\xB1y", 59 },
        { "a character of three bytes lies across it", 58, "\xE2\x82\xACy", 58 },
        { "and one that ends behind it", 59, "\xE2\x82\xACy", 59 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[100], want[200];
        aq_error err = { .status = AQ_OK };
        aq_quantity got;

        long_text(text, rows[i].letters, rows[i].tail);
        snprintf(want, sizeof want, "\"%.*s\" does not begin with a number", (int)rows[i].shown, text);
        check_true(rows[i].row, aq_quantity_read(&got, text, AQ_WANT_VOLUME, NULL, &err) == AQ_SYNTAX);
        check_text(rows[i].row, err.text, want);
    }
}

/* 250 bytes are read, 251 are not: the complaint is about the text as a whole and points at where it begins. */
static void test_a_text_may_have_250_bytes(void **state)
{
    char text[260] = "1 mL";
    aq_error err = { .status = AQ_OK };
    aq_quantity got;

    (void)state;
    memset(text + 4, ' ', 246);
    text[250] = '\0';
    assert_int_equal(aq_quantity_read(&got, text, AQ_WANT_VOLUME, NULL, &err), AQ_OK);
    text[250] = ' ';
    text[251] = '\0';
    assert_int_equal(aq_quantity_read(&got, text, AQ_WANT_VOLUME, NULL, &err), AQ_TOO_LARGE);
    assert_int_equal(err.place.line, 1);
    assert_int_equal(err.place.column, 1);
    assert_int_equal(err.place.span, 1);
}

/* Both readings of a comma, and of a long number the first forty bytes. */
static void test_a_comma_is_shown_both_ways(void **state)
{
    static const struct {
        const char *text, *says;
    } rows[] = {
        { "+1,5 L", "+1,5 could be +1.5 or +15: write a decimal point, and nothing between thousands" },
        { "-1,5 L", "-1,5 could be -1.5 or -15: write a decimal point, and nothing between thousands" },
        { "1,234,567 L",
          "1,234,567 could be 1.234567 or 1234567: write a decimal point, and nothing between thousands" },
        { "1,234567890123456789012345678901234567890123 L",
          "1,23456789012345678901234567890123456789 could be 1.23456789012345678901234567890123456789 or "
          "1234567890123456789012345678901234567890: write a decimal point, and nothing between thousands" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_error err = { .status = AQ_OK };
        aq_quantity got;

        check_true(rows[i].text,
                   aq_quantity_read(&got, rows[i].text, AQ_WANT_ANY, NULL, &err) == AQ_AMBIGUOUS);
        check_text(rows[i].text, err.text, rows[i].says);
    }
}

static void test_numbers_at_their_edges(void **state)
{
    static const struct {
        const char *text;
        aq_status status;
        double value;
        int column;
    } rows[] = {
        { "1e15", AQ_OK, 1e15, 0 },
        { "-1e15", AQ_OK, -1e15, 0 },
        { "1.0001e15", AQ_OUT_OF_RANGE, 0, 1 },
        { "3/4", AQ_OK, 0.75, 0 },
        { "-3/4", AQ_OK, -0.75, 0 },
        { "2 3/4", AQ_OK, 2.75, 0 },
        { "-2 3/4", AQ_OK, -2.75, 0 },
        { "1/x", AQ_SYNTAX, 0, 2 },
        { "1/", AQ_SYNTAX, 0, 2 },
        { "1 2/x", AQ_AMBIGUOUS, 0, 1 },
        { "2 3", AQ_AMBIGUOUS, 0, 1 },
        { "1.5 1/2", AQ_AMBIGUOUS, 0, 1 },
        { "1 1/2 3", AQ_AMBIGUOUS, 0, 1 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_error err = { .status = AQ_OK };
        double got;

        check_true(rows[i].text, aq_number_read(&got, rows[i].text, &err) == rows[i].status);
        check_within(rows[i].text, got, rows[i].value, 0);
        check_true(rows[i].text, err.status == AQ_OK || err.place.column == rows[i].column);
    }
}

static void test_a_unit_stands_alone(void **state)
{
    aq_error err = { .status = AQ_OK };
    aq_measure got;

    (void)state;
    assert_int_equal(aq_measure_read(&got, "mL/L ", NULL, &err), AQ_OK);
    assert_int_equal(aq_measure_read(&got, "mL x", NULL, &err), AQ_SYNTAX);
    check_text("left over", err.text, "\"x\" is left over");
    check_within("nothing is read", got.factor, 0, 0);
}

/* "fl oz" and what hangs on it is one name of 40 letters at most; of a longer one only its first word is complained of. */
static void test_a_name_of_two_words_has_forty_letters(void **state)
{
    (void)state;
    for (size_t second = 30; second < 46; second++) {
        char text[80] = "5 fl oz-";
        aq_error err = { .status = AQ_OK };
        aq_quantity got;

        memset(text + 8, 'x', second - 3);
        text[5 + second] = '\0';
        check_true(text, aq_quantity_read(&got, text, AQ_WANT_VOLUME, NULL, &err) == AQ_UNKNOWN_UNIT);
        check_true(text, err.place.span == (2 + 1 + second <= 40 ? (int)(3 + second) : 2));
    }
}

/* The first bytes of a sign with nothing behind them, in memory that ends there. */
static void test_half_a_sign_is_no_sign(void **state)
{
    static const char *const halves[] = { "5 \xC2", "5 \xE2", "5 \xE2\x88", "5 \xC3" };

    (void)state;
    for (size_t i = 0; i < sizeof halves / sizeof *halves; i++) {
        char *text = malloc(strlen(halves[i]) + 1);
        aq_error err = { .status = AQ_OK };
        aq_quantity got;

        assert_non_null(text);
        strcpy(text, halves[i]);
        check_true(halves[i], aq_quantity_read(&got, text, AQ_WANT_VOLUME, NULL, &err) != AQ_OK);
        free(text);
    }
}

static void test_a_size_has_three_edges_and_a_unit(void **state)
{
    static const struct {
        const char *text;
        aq_status status;
        double litres;
    } rows[] = { { "36x36x40mm", AQ_OK, 0.05184 },   { "4cm x 4cm x 40mm", AQ_OK, 0.064 },
                 { "36x36x40x", AQ_SYNTAX, 0 },      { "36x36x40xmm", AQ_SYNTAX, 0 },
                 { "36x36mm", AQ_SYNTAX, 0 },        { "36x36x40x40mm", AQ_SYNTAX, 0 },
                 { "36x36x40", AQ_UNKNOWN_UNIT, 0 }, { "36x0x40mm", AQ_OUT_OF_RANGE, 0 } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_error err = { .status = AQ_OK };
        double litres = -1;

        check_true(rows[i].text, aq_size_read(&litres, rows[i].text, NULL, &err) == rows[i].status);
        check_within(rows[i].text, litres, rows[i].litres, 1e-12);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_long_text_is_quoted_to_its_sixtieth_byte),
        cmocka_unit_test(test_a_text_may_have_250_bytes),
        cmocka_unit_test(test_a_comma_is_shown_both_ways),
        cmocka_unit_test(test_numbers_at_their_edges),
        cmocka_unit_test(test_a_unit_stands_alone),
        cmocka_unit_test(test_a_name_of_two_words_has_forty_letters),
        cmocka_unit_test(test_half_a_sign_is_no_sign),
        cmocka_unit_test(test_a_size_has_three_edges_and_a_unit),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
