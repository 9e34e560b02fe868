/* Dilutions at the edges of their rules: what cannot be made, amounts on marks, the first step of a series. */
#include "check.h"
#include "solve/dilute.h"

static aq_strength weight_in_volume(double grams)
{
    return (aq_strength){ .given = true, .basis = AQ_BASIS_WV, .value = grams };
}

/* A stock of 10 g/L to 10 g/L is the stock itself; a ten-millionth more cannot be had. */
static void test_what_cannot_be_made_is_refused(void **state)
{
    static const struct {
        double stock, to, make;
        aq_status status;
    } rows[] = { { 10, 10, 1, AQ_OK },     { 10, 10 * (1 + 1e-7), 1, AQ_OUT_OF_RANGE },
                 { 0, 1, 1, AQ_INVALID },  { 0, 0, 1, AQ_INVALID },
                 { 10, 0, 1, AQ_INVALID }, { 10, 1, 0, AQ_INVALID },
                 { 10, -1, 1, AQ_INVALID } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_dilution d = { .stock = weight_in_volume(rows[i].stock),
                          .to = weight_in_volume(rows[i].to),
                          .make = rows[i].make };
        aq_error err = { .status = AQ_OK };
        double take = NAN;

        assert_int_equal(aq_dilute(&take, &d, &err), rows[i].status);
        check_within("take", take, rows[i].status == AQ_OK ? rows[i].make : 0, 0);
    }
}

/* Worked by hand: what each candidate misses by is the square of (nearest mark / amount - 1), summed over the parts. */
static void test_the_volume_that_suits_the_marks(void **state)
{
    static const struct {
        const char *row;
        double low, high, step;
        aq_marked parts[2];
        size_t count;
        double make;
    } rows[] = {
        { "the middle, where all fit alike", 4, 6, 1, { { 1, 1 } }, 1, 5 },
        { "of two as near the middle the smaller", 1, 4, 1, { { 1, 1 } }, 1, 2 },
        { "up to the highest", 1, 10, 1, { { 1, 10 } }, 1, 10 },
        { "from the lowest", 10, 19, 1, { { 1, 10 } }, 1, 10 },
        { "both parts count: 12 is 4 of 3 and 3 of 4", 7, 15, 1, { { 1, 3 }, { 1, 4 } }, 2, 12 },
        { "and in the other order", 7, 15, 1, { { 1, 4 }, { 1, 3 } }, 2, 12 },
        /* of 0.6 to 0.9 marks the nearest is 1: 0.9 misses least; were they let off, 7 would stand in the middle */
        { "less than a mark is missed too", 6, 9, 1, { { 0.1, 1 } }, 1, 9 },
        { "a part of which nothing is there misses nothing", 6, 8, 1, { { 0, 1 }, { 1, 8 } }, 2, 8 },
        { "nor one without a tool", 6, 8, 1, { { 1, 0 }, { 1, 8 } }, 2, 8 },
        /* a twentieth of 100 is 5, of 40 is 2: no other multiples are tried, 102 and 41 would be exact */
        { "round steps of 5", 95, 105, 0, { { 1, 51 } }, 1, 100 },
        { "round steps of 2", 38.5, 41.5, 0, { { 1, 41 } }, 1, 40 },
        /* marks of 10 would have 10 itself, which is a little outside */
        { "not below the lowest", 10.0005, 12, 1, { { 1, 10 } }, 1, 11 },
        { "not above the highest", 8, 9.999995, 1, { { 1, 10 } }, 1, 9 },
        { "the width counts, not how large it is", 100000, 100010, 1, { { 1, 100003 } }, 1, 100003 },
        { "no multiple between", 7.2, 7.8, 1, { { 1, 1 } }, 1, 7.5 },
        { "no width", 8, 8, 1, { { 1, 1 } }, 1, 8 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        check_close(rows[i].row,
                    aq_make_on_marks(rows[i].low, rows[i].high, rows[i].step, rows[i].parts, rows[i].count),
                    rows[i].make, 1e-12);
}

/* The tool takes 1 well. A tenth of a step is just enough, a ten-millionth less wants 1 in 20; what is short by as little
 * wants a step at all. */
static void test_a_series_takes_what_the_tool_takes_well(void **state)
{
    aq_serial_step steps[AQ_SERIAL_MOST];

    (void)state;
    assert_int_equal(aq_dilute_serially(steps, 0.5, 2, 1), 1);
    check_close("take", steps[0].take, 1, 1e-12);
    assert_int_equal(aq_dilute_serially(steps, 0.5 * (1 - 1e-7), 2, 1), 2);
    assert_int_equal(aq_dilute_serially(steps, 0.05, 2, 1), 2);
    check_close("1 in 10", steps[0].make, 10, 1e-12);
    check_close("all of it", steps[1].take, 1, 1e-12);
    assert_int_equal(aq_dilute_serially(steps, 0.05 * (1 - 1e-7), 2, 1), 2);
    check_close("1 in 20", steps[0].make, 20, 1e-12);
    assert_int_equal(aq_dilute_serially(steps, 1, 2, 1), 1);
    assert_int_equal(aq_dilute_serially(steps, 1.01, 2, 1), 0);
    assert_int_equal(aq_dilute_serially(steps, 0, 2, 1), 0);
    assert_int_equal(aq_dilute_serially(steps, 0.5, 2, 0), 0);
    /* eight steps are all: seven of 1 in 100 and the last */
    assert_int_equal(aq_dilute_serially(steps, 0.5e-14, 2, 1), 8);
    assert_int_equal(aq_dilute_serially(steps, 0.5e-15, 2, 1), 0);
}

static void test_waters_that_are_alike_blend_to_themselves(void **state)
{
    aq_blend same = aq_blend_to(0.4, 0.4, 0.4), other = aq_blend_to(0.4, 0.4, 0.5),
             end = aq_blend_to(0.2, 0.8, 0.8);

    (void)state;
    check_within("share", same.share, 1, 0);
    assert_true(same.inside && !other.inside && end.inside);
    check_close("reached", other.reached, 0.4, 1e-12);
    check_within("all of the second", end.share, 0, 0);
}

/* What reads as wanted needs no flush, whatever it is fed with. */
static void test_what_is_as_wanted_needs_no_flush(void **state)
{
    (void)state;
    check_within("stronger feed", aq_flush_volume(10, 1.0, 1.5, 1.0), 0, 0);
    check_within("weaker feed", aq_flush_volume(10, 1.0, 0.5, 1.0), 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_cannot_be_made_is_refused),
        cmocka_unit_test(test_the_volume_that_suits_the_marks),
        cmocka_unit_test(test_a_series_takes_what_the_tool_takes_well),
        cmocka_unit_test(test_what_is_as_wanted_needs_no_flush),
        cmocka_unit_test(test_waters_that_are_alike_blend_to_themselves),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
