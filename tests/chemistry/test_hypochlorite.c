/* Bleach on the shelf, held against half-lives that a handbook prints, and against the rate taken in small steps. */
#include "check.h"
#include "chemistry/hypochlorite.h"

/* Half-lives of sodium hypochlorite by available chlorine (% w/v) and temperature, G. C. White, Handbook of
 * Chlorination; from memory. They are of another time and other bleach than the rate law, and rounded: a factor of
 * two is what both agree to at the strengths that are sold. */
static const struct {
    const char *name;
    double chlorine, celsius, days;
} handbook[] = {
    { "10 % at 60 degC", 10, 60, 3.5 },    { "10 % at 25 degC", 10, 25, 220 },
    { "10 % at 15 degC", 10, 15, 800 },    { "5 % at 60 degC", 5, 60, 13 },
    { "5 % at 25 degC", 5, 25, 790 },      { "2.5 % at 60 degC", 2.5, 60, 28 },
    { "2.5 % at 25 degC", 2.5, 25, 1800 },
};

/* As sodium hypochlorite: 74.44 g for the 70.91 g of chlorine that it counts as. */
static double grams(double chlorine)
{
    return chlorine * 10 * 74.44 / 70.91;
}

static void test_half_lives_are_those_of_the_handbook(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof handbook / sizeof *handbook; i++) {
        double fresh = grams(handbook[i].chlorine), left;

        check_true(handbook[i].name,
                   aq_hypochlorite_aged(&left, fresh, handbook[i].days / 2, handbook[i].celsius));
        check_true(handbook[i].name, left > fresh / 2);
        check_true(handbook[i].name,
                   aq_hypochlorite_aged(&left, fresh, handbook[i].days * 2, handbook[i].celsius));
        check_true(handbook[i].name, left < fresh / 2);
    }
}

/* -dc/dt = k c^2 by the midpoint rule, with k of the published equation worked out by hand: 25 degC, 60 g/L. */
static void test_the_closed_form_is_the_sum_of_small_steps(void **state)
{
    const double k = 1.768e-8, day = 86400; /* L/(mol s) */
    double moles = 60 / 74.442, left;

    (void)state;
    for (int i = 0; i < 365; i++) {
        double middle = moles - k * moles * moles * day / 2;

        moles -= k * middle * middle * day;
    }
    assert_true(aq_hypochlorite_aged(&left, 60, 365, 25));
    check_close("after a year", left, moles * 74.442, 1e-3);
}

static void test_nothing_is_lost_at_once_and_nothing_is_gained(void **state)
{
    double left, warmer, later;

    (void)state;
    assert_true(aq_hypochlorite_aged(&left, 60, 0, 25));
    check_close("no time", left, 60, 1e-15);
    assert_true(aq_hypochlorite_aged(&left, 60, 100, 20));
    assert_true(aq_hypochlorite_aged(&later, 60, 101, 20));
    assert_true(aq_hypochlorite_aged(&warmer, 60, 100, 21));
    assert_true(left < 60 && later < left && warmer < later);
}

static void test_what_is_not_sold_or_kept_is_refused(void **state)
{
    static const struct {
        const char *name;
        double fresh, days, celsius;
    } rows[] = {
        { "nothing", 0, 10, 20 },
        { "too strong", 250.01, 10, 20 },
        { "before it was made", 60, -1, 20 },
        { "too old", 60, 3653, 20 },
        { "frozen", 60, 10, -0.1 },
        { "hot", 60, 10, 60.1 },
        { "not a number", NAN, 10, 20 },
        { "no time", 60, NAN, 20 },
        { "no warmth", 60, 10, NAN },
    };
    double left = 1;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        check_true(rows[i].name, !aq_hypochlorite_aged(&left, rows[i].fresh, rows[i].days, rows[i].celsius));
        check_within(rows[i].name, left, 0, 0);
    }
    assert_true(aq_hypochlorite_aged(&left, 250, 3652, 60));
    assert_true(aq_hypochlorite_aged(&left, 250, 3652, 0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_half_lives_are_those_of_the_handbook),
        cmocka_unit_test(test_the_closed_form_is_the_sum_of_small_steps),
        cmocka_unit_test(test_nothing_is_lost_at_once_and_nothing_is_gained),
        cmocka_unit_test(test_what_is_not_sold_or_kept_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
