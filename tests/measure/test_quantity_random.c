/* Any number in any unit, and any bytes at all. */
#include "check.h"
#include "dice.h"
#include "measure/quantity.h"

#include <stdio.h>
#include <stdlib.h>

/* Reading is one number times one factor: what the C library makes of the digits, in any unit of the table. */
static void test_any_number_in_any_unit_is_its_factor_times(void **state)
{
    aq_dice dice = { 20260302 };
    size_t count;
    const aq_unit *table = aq_unit_table(&count);

    (void)state;
    for (int i = 0; i < 10000; i++) {
        const aq_unit *unit = &table[dice_below(&dice, count)];
        double number = exp(dice_between(&dice, -12, 12)), back;
        char text[80];
        aq_measure measure = { unit->kind, unit->factor, unit->offset, unit };
        aq_quantity got;

        snprintf(text, sizeof text, "%.*g%s%s", (int)dice_between(&dice, 1, 18), number, i % 2 ? " " : "",
                 unit->name);
        number = strtod(text, NULL);
        check_true(text, aq_quantity_read(&got, text, AQ_WANT_ANY, NULL, NULL) == AQ_OK);
        check_true(text, got.unit == unit);
        check_within(text, got.value, (number + unit->offset) * unit->factor, 4e-16 * fabs(got.value));
        check_true(text, aq_quantity_in(&back, got, &measure, NULL) == AQ_OK);
        check_within(text, back, number, 4e-16 * (number + fabs(unit->offset)) * 4);
    }
}

/* Any bytes at all give a quantity or a complaint that fits its record, and never both. */
static void test_any_bytes_are_read_or_refused(void **state)
{
    static const char *const pieces[] = {
        "1",    "2.5",  "1/2", " ",  "-",    "mL", "L",   "/",  "per", "%",     "w/v",      "gal",
        "ppm",  "-500", ",",   ".",  "mS",   "cm", "@",   "x",  "e3",  "CaCO3", "\xC2\xB5", "\xE2\x80\x93",
        "\xFF", "as",   "oz",  "fl", "degF", "in", "100", "to", "0",   "\xC2",  "tsp",      "1e99"
    };
    aq_dice dice = { 99 };

    (void)state;
    for (int i = 0; i < 50000; i++) {
        char text[400] = "";
        aq_error err = { .status = AQ_OK };
        unsigned want = 1u << dice_below(&dice, 17);
        aq_range got;
        aq_status status;

        for (size_t n = dice_below(&dice, 12); n > 0; n--)
            strcat(text, pieces[dice_below(&dice, sizeof pieces / sizeof *pieces)]);
        status = aq_range_read(&got, text, want, NULL, &err);
        check_true(text, (status == AQ_OK) == got.low.given && err.status == status);
        check_true(text, status == AQ_OK ? isfinite(got.low.value) && got.low.value <= got.high.value
                                         : err.text[0] && err.place.column >= 1 && err.place.span >= 1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_any_number_in_any_unit_is_its_factor_times),
        cmocka_unit_test(test_any_bytes_are_read_or_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
