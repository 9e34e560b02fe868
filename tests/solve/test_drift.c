/* Level and EC between jobs against worked figures and against stepping the equations in small steps. */
#include "check.h"
#include "dice.h"
#include "solve/drift.h"

static const aq_tank_state monday = { 80, 1.8 }, thursday = { 62, 2.05 };

/* Worked by hand: (144 - 127.1) / 18; (62 x 2.05 + 18 x 0.4) / 80; (62 x 2.05 + 18 x 1.8) / 80. */
static void test_two_readings_tell_the_uptake(void **state)
{
    (void)state;
    check_within("uptake", aq_drift_uptake(monday, thursday), 16.9 / 18, 1e-12);
    check_within("litres a day", aq_drift_uses(monday, thursday, 3), 6, 1e-12);
    check_within("plain top-up", aq_tank_mixed(thursday, (aq_tank_state){ 18, 0.4 }).ec, 1.67875, 1e-12);
    check_within("full top-up", aq_tank_mixed(thursday, (aq_tank_state){ 18, 1.8 }).ec, 1.99375, 1e-12);
}

static void test_a_top_up_at_uptake_strength_gives_the_first_reading_back(void **state)
{
    double uptake = aq_drift_uptake(monday, thursday);
    aq_tank_state full = aq_tank_mixed(thursday, (aq_tank_state){ 18, uptake });

    (void)state;
    check_within("level", full.volume, monday.volume, 1e-12);
    check_within("EC", full.ec, monday.ec, 1e-12);
}

static void test_readings_without_a_fall_tell_nothing(void **state)
{
    (void)state;
    check_true("level rose", isnan(aq_drift_uptake(thursday, monday)));
    check_true("level stood", isnan(aq_drift_uptake(monday, monday)));
    check_true("level stood, EC did not", isnan(aq_drift_uptake(monday, (aq_tank_state){ 80, 2.05 })));
    check_true("no time went by", isnan(aq_drift_uses(monday, thursday, 0)));
}

/* Half a litre gone and EC as before: it went as it was. 18 L in half a day are 36 a day. */
static void test_a_small_fall_or_a_short_time_tells_as_much(void **state)
{
    (void)state;
    check_within("uptake", aq_drift_uptake(monday, (aq_tank_state){ 79.5, 1.8 }), 1.8, 1e-12);
    check_within("litres a day", aq_drift_uses(monday, thursday, 0.5), 36, 1e-12);
}

/* A full tank of 100 L that drinks 6 L a day at 1.5 falls by (6 x 1.5 - 6 x 0.05) / 100 a day on plain water. */
static void test_plain_top_ups_lower_ec_by_the_same_each_day(void **state)
{
    aq_tank_state tank = { 100, 2.212 };
    double drop = aq_drift_drop(100, 6, 1.5, 0.05);

    (void)state;
    check_within("a day", drop, 0.087, 1e-12);
    for (int day = 1; day <= 5; day++) {
        tank = aq_tank_mixed(aq_drift_after(tank, 6, 1.5, 1), (aq_tank_state){ 6, 0.05 });
        check_within("after days", tank.ec, 2.212 - 0.087 * day, 1e-12);
    }
}

/* 5 days of 2 L are just the 10 L that there are: no tank is left to have an EC, whether or not salts would be. */
static void test_a_tank_drunk_to_the_last_drop_has_no_ec(void **state)
{
    static const double uptakes[] = { 1, 1.8, 2.6 };

    (void)state;
    for (size_t i = 0; i < sizeof uptakes / sizeof *uptakes; i++) {
        aq_tank_state dry = aq_drift_after((aq_tank_state){ 10, 1.8 }, 2, uptakes[i], 5);

        check_within("level", dry.volume, 0, 0);
        check_true("EC", isnan(dry.ec));
    }
}

/* How much is drunk decides nothing where it is not known: a limit that would never be reached is not said to be never,
 * and where the EC is not known nobody drinking is no answer either. 0 has two signs, and no use is none of either. */
static void test_a_crossing_of_what_is_not_known_is_not_known(void **state)
{
    (void)state;
    check_true("use unknown", isnan(aq_drift_crosses(monday, NAN, 0.9, 1.5)));
    check_true("EC unknown", isnan(aq_drift_crosses((aq_tank_state){ 80, NAN }, 0, 0.9, 1.5)));
    check_true("no use", aq_drift_crosses(monday, -0.0, 0.9, 2.2) == INFINITY);
}

/* Fourth-order Runge and Kutta on V' = -q, S' = -u q would be exact for constants, so EC itself is stepped:
 * e' = q (e - u) / V. */
static double ec_rate(double volume, double ec, double uses, double uptake)
{
    return uses * (ec - uptake) / volume;
}

static double stepped(aq_tank_state now, double uses, double uptake, double days)
{
    enum { STEPS = 2000 };
    double h = days / STEPS, ec = now.ec;

    for (int n = 0; n < STEPS; n++) {
        double start = now.volume - uses * h * n, middle = start - uses * h / 2, end = start - uses * h;
        double k1 = ec_rate(start, ec, uses, uptake), k2 = ec_rate(middle, ec + h / 2 * k1, uses, uptake);
        double k3 = ec_rate(middle, ec + h / 2 * k2, uses, uptake),
               k4 = ec_rate(end, ec + h * k3, uses, uptake);

        ec += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    }
    return ec;
}

static void test_drift_agrees_with_stepping_the_equations(void **state)
{
    aq_dice dice = { 20260302 };

    (void)state;
    for (int run = 0; run < 500; run++) {
        aq_tank_state now = { dice_between(&dice, 8, 200), dice_between(&dice, 0.4, 3.2) };
        double uses = dice_between(&dice, 0.3, 12), uptake = now.ec * dice_between(&dice, 0, 1.3);
        double days = 0.8 * now.volume / uses * dice_uniform(&dice);
        aq_tank_state later = aq_drift_after(now, uses, uptake, days);

        check_within("level", later.volume, now.volume - uses * days, 1e-9);
        check_within("EC", later.ec, fmax(stepped(now, uses, uptake, days), 0), 1e-7);
    }
}

static void test_a_crossing_is_when_drift_reads_the_limit(void **state)
{
    aq_dice dice = { 77 };
    int crossed = 0;

    (void)state;
    for (int run = 0; run < 10000; run++) {
        aq_tank_state now = { dice_between(&dice, 8, 200), dice_between(&dice, 0.4, 3.2) };
        double uses = dice_between(&dice, 0.3, 12), uptake = now.ec * dice_between(&dice, 0.2, 1.2);
        double limit = dice_between(&dice, 0.3, 4), days = aq_drift_crosses(now, uses, uptake, limit);
        bool climbs = uptake < now.ec;

        if (isinf(days)) {
            /* Either it moves away from the limit, or an almost dry tank has not come to it. */
            check_true(
                "never",
                (limit > now.ec) != climbs ||
                    (!climbs && aq_drift_after(now, uses, uptake, now.volume / uses * 0.999999).ec > limit));
            continue;
        }
        crossed++;
        check_true("not in the past", days >= 0);
        check_within("EC then", aq_drift_after(now, uses, uptake, days).ec, limit, 1e-9);
    }
    check_true("most of the cases are crossings", crossed > 3000);
}

static void test_the_odd_tank(void **state)
{
    aq_tank_state dry = aq_drift_after(thursday, 3, 1, 30), none = aq_tank_mixed(dry, dry);

    (void)state;
    check_within("drunk dry", dry.volume, 0, 0);
    dry = aq_drift_after((aq_tank_state){ 12, 1.8 }, 4, 1, 3);
    check_true("to the last drop", dry.volume == 0 && isnan(dry.ec));
    check_true("a dry tank has no EC", isnan(dry.ec) && isnan(none.ec));
    check_within("dry and fresh", aq_tank_mixed(dry, monday).ec, 1.8, 1e-15);
    check_within("hungry plants leave no salts", aq_drift_after(monday, 4, 9, 10).ec, 0, 0);
    check_within("already there", aq_drift_crosses(monday, 3, 1, 1.8), 0, 0);
    check_within("already there, and nobody drinks", aq_drift_crosses(monday, 0, 1, 1.8), 0, 0);
    check_within("already there, and stays", aq_drift_crosses(monday, 3, 1.8, 1.8), 0, 0);
    check_true("nobody drinks", isinf(aq_drift_crosses(monday, 0, 1, 2.2)));
    check_true("uptake is what is there", isinf(aq_drift_crosses(monday, 3, 1.8, 2.2)));
    check_true("uptake is what is there, to the bit",
               isinf(aq_drift_crosses((aq_tank_state){ 64, 2 }, 3, 2, 1)));
    check_true("uptake is the limit", isinf(aq_drift_crosses(monday, 3, 1.2, 1.2)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_readings_tell_the_uptake),
        cmocka_unit_test(test_a_top_up_at_uptake_strength_gives_the_first_reading_back),
        cmocka_unit_test(test_readings_without_a_fall_tell_nothing),
        cmocka_unit_test(test_a_small_fall_or_a_short_time_tells_as_much),
        cmocka_unit_test(test_a_tank_drunk_to_the_last_drop_has_no_ec),
        cmocka_unit_test(test_a_crossing_of_what_is_not_known_is_not_known),
        cmocka_unit_test(test_plain_top_ups_lower_ec_by_the_same_each_day),
        cmocka_unit_test(test_drift_agrees_with_stepping_the_equations),
        cmocka_unit_test(test_a_crossing_is_when_drift_reads_the_limit),
        cmocka_unit_test(test_the_odd_tank),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
