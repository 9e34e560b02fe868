/* Decimal digits against the C library in the "C" locale (strtod and printf, ISO C 7.22.1.3 and 7.21.6.1). */
#include "check.h"
#include "base/decimal.h"

#include <stdio.h>
#include <stdlib.h>

static unsigned long long chance_state = 88172645463325252ULL;

static unsigned long long chance(void)
{
    chance_state ^= chance_state << 13;
    chance_state ^= chance_state >> 7;
    chance_state ^= chance_state << 17;
    return chance_state;
}

static void test_reading_is_correctly_rounded(void **state)
{
    static const char *const awkward[] = {
        "0",
        "-0.0",
        "1.5",
        ".5",
        "007.250",
        "1e22",
        "1e23",
        "9007199254740993",
        "2.2250738585072011e-308",
        "1.7976931348623157e308",
        "4.9e-324",
        "0.1",
        "123456789012345678901234567890",
        "6.02214076e23",
        "1.00000000000000011102230246251565404236316680908203125",
        "5e-1",
        "12.",
        "3e",
        "3e+",
        "1e400",
        "1e99999999999999999999",
        "1e-99999999999999999999",
        "0e999999999",
    };

    (void)state;
    for (size_t i = 0; i < sizeof awkward / sizeof *awkward; i++) {
        double got = NAN, want = strtod(awkward[i], NULL);

        check_true(awkward[i], aq_decimal_read(awkward[i], strlen(awkward[i]), &got) > 0);
        check_true(awkward[i], got == want); /* correctly rounded means the same double */
    }
    for (int i = 0; i < 20000; i++) {
        char text[64];
        double got = NAN;

        snprintf(text, sizeof text, "%llu.%llue%d", chance() >> (chance() % 64), chance() >> (chance() % 64),
                 (int)(chance() % 80) - 40);
        aq_decimal_read(text, strlen(text), &got);
        check_true(text, got == strtod(text, NULL));
    }
}

/* Halfway between two doubles but for a digit that stands far behind: 2^53 + 1 and a little more rounds up. */
static void test_the_last_of_many_digits_counts(void **state)
{
    static char text[1300];

    (void)state;
    for (int zeros = 700; zeros < 1200; zeros += 33)
        for (int tail = 0; tail < 2; tail++) {
            double got = NAN;
            int length = snprintf(text, sizeof text, "9007199254740993.%0*d%s", zeros, 0, tail ? "1" : "0");

            assert_int_equal(aq_decimal_read(text, (size_t)length, &got), length);
            check_true(text, got == strtod(text, NULL));
            check_true(text, got == (tail ? 9007199254740994.0 : 9007199254740992.0));
        }
}

static void test_what_is_no_number_is_not_read(void **state)
{
    static const char *const none[] = { "", "-", ".", "e5", "inf", "nan", "x1", "--1", "+-1" };
    double out = 7;

    (void)state;
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        check_true(none[i], aq_decimal_read(none[i], strlen(none[i]), &out) == 0);
    check_true("hexadecimal stops after 0", aq_decimal_read("0x10", 4, &out) == 1);
    check_true("two points", aq_decimal_read("1.2.3", 5, &out) == 3);
    check_true("length is obeyed", aq_decimal_read("12345", 2, &out) == 2 && out == 12);
}

static void test_exact_digits_read_back(void **state)
{
    (void)state;
    for (int i = 0; i < 20000; i++) {
        char text[AQ_DECIMAL_ROOM], shortest[64];
        unsigned long long bits = chance();
        double value, got = NAN;

        if (i % 2)
            value = (double)(long long)(chance() % 2000000000) / 1000 - 1000000;
        else
            memcpy(&value, &bits, sizeof value);
        if (!isfinite(value))
            continue;
        check_true("length", aq_decimal_exact(value, text) == strlen(text));
        check_true(text, strtod(text, NULL) == value);
        aq_decimal_read(text, strlen(text), &got);
        check_true(text, got == value);
        for (int figures = 1; figures <= 17;
             figures++) { /* printf's shortest that reads back has no fewer digits */
            snprintf(shortest, sizeof shortest, "%.*e", figures - 1, value);
            if (strtod(shortest, NULL) == value) {
                int digits = 0, zeros = 0;

                for (const char *at = text; *at && *at != 'e'; at++) {
                    if (*at < '0' || *at > '9' || (!digits && *at == '0'))
                        continue;
                    digits++;
                    zeros = *at == '0' ? zeros + 1 : 0;
                }
                check_true(text, digits - zeros <= figures);
                break;
            }
        }
    }
}

/* The significant digits of a number as text, without its point, exponent and outer zeros. */
static void significant(const char *text, char *out)
{
    size_t length = 0;

    for (; *text && *text != 'e'; text++)
        if (*text >= '0' && *text <= '9' && (length || *text != '0'))
            out[length++] = *text;
    while (length && out[length - 1] == '0')
        length--;
    out[length] = '\0';
}

/* printf rounds the exact binary value; the fewest of 15 to 17 figures that read back are the digits to write (a double
 * keeps any 15, ISO C 5.2.4.2.2). Numbers of a grower's size, with neighbours of powers of two and of ten among them. */
static void test_exact_digits_are_those_of_the_library(void **state)
{
    (void)state;
    for (int i = 0; i < 100000; i++) {
        double value =
            exp((double)(chance() % 60000) / 1000 - 22) * (1 + (double)(chance() % 1000003) / 1000003);
        char text[AQ_DECIMAL_ROOM], printed[64], got[64], want[64];

        if (i % 4 == 1)
            value = ldexp(1, (int)(chance() % 90) - 40);
        if (i % 4 == 2)
            value = pow(10, (double)((int)(chance() % 24) - 9));
        if (i % 4 == 3)
            value = (double)(chance() % 1000000) / 1000;
        for (unsigned long long steps = chance() % 3; i % 4 && steps > 0; steps--)
            value = nextafter(value, i % 8 > 4 ? 1e30 : 0);
        aq_decimal_exact(value, text);
        for (int figures = 15; figures <= 17; figures++) {
            snprintf(printed, sizeof printed, "%.*e", figures - 1, value);
            if (strtod(printed, NULL) == value)
                break;
        }
        significant(text, got);
        significant(printed, want);
        check_text(printed, got, want);
        check_true(printed, strtod(text, NULL) == value);
    }
}

static const struct {
    double value;
    const char *exact;
} exact_rows[] = {
    { 0.1, "0.1" },
    { 1e-12, "1e-12" },
    { 192, "192" },
    { -0.0, "0" },
    { 1.225, "1.225" },
    { 1e21, "1e21" },
    { 123456.75, "123456.75" },
    { NAN, "null" },
    { INFINITY, "null" },
    { 5e-324, "5e-324" },
    { 0.30000000000000004, "0.30000000000000004" },
    { 1.5e-7, "1.5e-7" },
    { -2.5, "-2.5" },
};

static const struct {
    double value;
    int figures;
    bool zeros;
    const char *text;
} figure_rows[] = {
    { 1.8, 3, true, "1.80" },    { 0.0625, 2, false, "0.063" },  { 1234.5, 3, false, "1230" },
    { 0, 3, true, "0.00" },      { 9.995, 3, true, "10.0" },     { 0.00012345, 3, false, "0.000123" },
    { 115, 3, false, "115" },    { 114.99999, 3, false, "115" }, { -36.45, 3, false, "-36.5" },
    { 999.9, 3, false, "1000" }, { 1e-9, 3, false, "1e-9" },
};

static const struct {
    double value;
    int places;
    const char *text;
} place_rows[] = {
    { 1.225, 2, "1.23" },    { 1.005, 2, "1.01" }, { -0.004, 2, "0.00" }, { 0.005, 2, "0.01" },
    { 99.995, 2, "100.00" }, { 12, 0, "12" },      { 0.5, 0, "1" },       { 0.4999, 0, "0" },
    { 1e20, 2, "1e20" },     { 0.96, 1, "1.0" },
};

static void test_digits_for_people(void **state)
{
    char text[AQ_DECIMAL_ROOM];

    (void)state;
    for (size_t i = 0; i < sizeof exact_rows / sizeof *exact_rows; i++) {
        aq_decimal_exact(exact_rows[i].value, text);
        check_text(exact_rows[i].exact, text, exact_rows[i].exact);
    }
    for (size_t i = 0; i < sizeof figure_rows / sizeof *figure_rows; i++) {
        aq_decimal_figures(figure_rows[i].value, figure_rows[i].figures, figure_rows[i].zeros, text);
        check_text(figure_rows[i].text, text, figure_rows[i].text);
    }
    for (size_t i = 0; i < sizeof place_rows / sizeof *place_rows; i++) {
        aq_decimal_places(place_rows[i].value, place_rows[i].places, text);
        check_text(place_rows[i].text, text, place_rows[i].text);
    }
    check_close("round", aq_decimal_round(36.4543, 3), 36.5, 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reading_is_correctly_rounded),
        cmocka_unit_test(test_the_last_of_many_digits_counts),
        cmocka_unit_test(test_what_is_no_number_is_not_read),
        cmocka_unit_test(test_exact_digits_read_back),
        cmocka_unit_test(test_exact_digits_are_those_of_the_library),
        cmocka_unit_test(test_digits_for_people),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
