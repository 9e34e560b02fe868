/* The typical value of findings that differ in weight: what it is, what no mistake moves, and how often its interval holds
 * the truth. */
#include "check.h"
#include "dice.h"

#include "solve/drift.h"
#include "solve/typical.h"

#include <stdio.h>

enum { MOST = 64, RUNS = 2000 };

static void test_findings_count_by_their_weight(void **state)
{
    static const struct {
        const char *row;
        size_t count;
        aq_finding at[5];
        double value, tolerance; /* what is far out counts a little less than its weight */
    } rows[] = {
        { "one", 1, { { 3.7, 2 } }, 3.7, 0 },
        { "two", 2, { { 3, 1 }, { 4, 3 } }, 3.75, 0.02 },
        { "litres over days",
          3,
          { { 3.1, 1 }, { 2.9, 3 }, { 3.05, 2 } },
          (3.1 + 3 * 2.9 + 2 * 3.05) / 6,
          0.02 },
        { "all alike", 3, { { 0.88, 6 }, { 0.88, 7 }, { 0.88, 5 } }, 0.88, 1e-12 },
        { "one of four is a mistake", 4, { { 3, 2 }, { 3, 2 }, { 7.5, 2 }, { 3, 2 } }, 3, 1e-9 },
        { "below nothing", 2, { { -0.1, 1 }, { 0.1, 1 } }, 0, 1e-12 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_finding at[5];

        memcpy(at, rows[i].at, sizeof at);
        check_within(rows[i].row, aq_typical_of(at, rows[i].count).value, rows[i].value, rows[i].tolerance);
    }
}

/* Half of the findings a unit above, half a unit below, and with an odd number one between: the scale is the root of
 * sum d^2 / (0.7784 (n - 1)), and the interval t of it over the root of 0.95 n. t at 95 % from tables of Student's
 * distribution, for 1 to 30 degrees of freedom. */
static void test_the_interval_follows_students_table(void **state)
{
    static const double t[] = { 12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
                                2.201,  2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
                                2.080,  2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042 };
    aq_finding at[31];

    (void)state;
    for (size_t n = 2; n <= 31; n++) {
        double square = (double)(n / 2 * 2), freedom = (double)(n - 1),
               scale = sqrt(square / 0.7784 / freedom);
        char row[20];

        snprintf(row, sizeof row, "%zu findings", n);
        for (size_t i = 0; i < n; i++)
            at[i] = (aq_finding){ i + 1 == n && n % 2 ? 5 : i % 2 ? 6 : 4, 1 };
        aq_typical got = aq_typical_of(at, n);
        check_within(row, got.value, 5, 1e-6);
        check_within(row, got.within / (t[n - 2] * scale / sqrt(0.95 * (double)n)), 1, 3e-3);
        check_true(row, got.trusted == n);
    }
}

static void test_of_none_and_of_one_nothing_is_sure(void **state)
{
    aq_finding one = { 3, 1 };

    (void)state;
    check_true("none", isnan(aq_typical_of(NULL, 0).value));
    check_true("one", isinf(aq_typical_of(&one, 1).within));
}

/* What stands behind the findings is not looked at, and one alone is the value whatever it weighs. */
static void test_one_finding_is_the_value_whatever_its_weight(void **state)
{
    aq_finding at[] = { { 3, 0 }, { 9, 1 }, { 9, 1 } };

    (void)state;
    check_within("weight 0", aq_typical_of(at, 1).value, 3, 0);
    at[0].weight = 1e-9;
    check_within("weight 1e-9", aq_typical_of(at, 1).value, 3, 0);
}

/* JCGM 100:2008, H.4 in small: 1, 2, 3 of weight 1 have s = 1, and t(2) = 4.30; a scale of three findings that may hold a
 * mistake is guessed a sixth wider. */
static void test_the_interval_is_students(void **state)
{
    aq_finding at[] = { { 1, 1 }, { 2, 1 }, { 3, 1 } };
    aq_typical typical = aq_typical_of(at, 3);

    (void)state;
    check_within("value", typical.value, 2, 1e-9);
    check_within("within", typical.within, 4.30 / sqrt(3) * 7 / 6, 0.1);
    assert_int_equal(typical.trusted, 3);
}

/* Twice the unit of a value, or of a weight, changes nothing else. */
static void test_units_do_not_matter(void **state)
{
    aq_dice dice = { 42 };
    aq_finding at[12], other[12];
    aq_typical one, twice;

    (void)state;
    for (size_t i = 0; i < 12; i++) {
        at[i] = (aq_finding){ 3 + dice_normal(&dice), dice_between(&dice, 1, 4) };
        other[11 - i] = (aq_finding){ at[i].value * 3.785, at[i].weight * 24 };
    }
    one = aq_typical_of(at, 12);
    twice = aq_typical_of(other, 12);
    check_close("value", twice.value, one.value * 3.785, 1e-6);
    check_close("within", twice.within, one.within * 3.785, 1e-6);
    assert_int_equal(twice.trusted, one.trusted);
}

/* More than half of the findings alike, with more than half of the weight, is the value to the bit, and what is away from
 * it is not trusted: there is no spread that it could belong to. A billionth more than half is more. */
static void test_what_most_findings_agree_on_is_the_value(void **state)
{
    static const double less = 3 * (1 - 1e-9);
    static const struct {
        const char *row;
        aq_finding at[4];
        size_t count;
        double value;
        size_t trusted;
    } rows[] = {
        { "one above", { { 5, 1 }, { 5, 1 }, { 5, 1 }, { 9, 1 } }, 4, 5, 3 },
        { "one below", { { 1, 1 }, { 5, 1 }, { 5, 1 }, { 5, 1 } }, 4, 5, 3 },
        { "two of three", { { 5, 1 }, { 5, 1 }, { 9, 1 } }, 3, 5, 2 },
        { "out of order", { { 5, 1 }, { 1, 1 }, { 5, 1 }, { 9, 1 } }, 3, 5, 2 },
        { "a heavy one below", { { 1, 2.9 }, { 5, 1 }, { 5, 1 }, { 5, 1 } }, 4, 5, 3 },
        { "a heavy one above", { { 5, 1 }, { 5, 1 }, { 5, 1 }, { 9, 2.9 } }, 4, 5, 3 },
        { "nearly half above", { { 5, 1 }, { 5, 1 }, { 5, 1 }, { 9, less } }, 4, 5, 3 },
        { "nearly half below", { { 1, less }, { 5, 1 }, { 5, 1 }, { 5, 1 } }, 4, 5, 3 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_finding at[4];
        aq_typical got;

        memcpy(at, rows[i].at, sizeof at);
        got = aq_typical_of(at, rows[i].count);
        check_within(rows[i].row, got.value, rows[i].value, 0);
        check_within(rows[i].row, got.within, 0, 0);
        assert_int_equal(got.trusted, rows[i].trusted);
    }
}

/* Findings and weights of a few whole numbers, so that many are alike. Seen in a mirror, in another order, in units of a
 * power of two, or with weights in such units, they say the same; the last three to the bit but for the order's sums. */
static void test_neither_side_nor_order_nor_unit_matters(void **state)
{
    enum { FEW = 7 };
    aq_dice dice = { 1964 };

    (void)state;
    for (int run = 0; run < 2000; run++) {
        size_t n = 2 + dice_below(&dice, FEW - 1);
        aq_finding at[FEW], mirror[FEW], turned[FEW], small[FEW], light[FEW];
        aq_typical got, other;

        for (size_t i = 0; i < n; i++) {
            at[i] = (aq_finding){ 5 + (double)dice_below(&dice, 5), 1 + (double)dice_below(&dice, 3) };
            mirror[i] = (aq_finding){ -at[i].value, at[i].weight };
            turned[n - 1 - i] = at[i];
            small[i] = (aq_finding){ at[i].value * 0x1p-30, at[i].weight };
            light[i] = (aq_finding){ at[i].value, at[i].weight * 0x1p-20 };
        }
        got = aq_typical_of(at, n);
        other = aq_typical_of(mirror, n);
        check_within("mirror", other.value, -got.value, 1e-6);
        check_within("mirror", other.within, got.within, 1e-6);
        other = aq_typical_of(turned, n);
        check_within("turned", other.value, got.value, 1e-6);
        check_within("turned", other.within, got.within, 1e-6);
        other = aq_typical_of(small, n);
        check_within("small", other.value, got.value * 0x1p-30, 1e-6 * 0x1p-30);
        check_within("small", other.within, got.within * 0x1p-30, 1e-6 * 0x1p-30);
        other = aq_typical_of(light, n);
        check_within("light", other.value, got.value, 1e-6);
        check_within("light", other.within, got.within, 1e-6);
    }
}

/* 8 is beyond 1.5 s and counts as that: 4 + 4.5 s^2 = 6 x 0.7784 s^2, so s = 4.845. Each step comes nearer to that by a
 * fortieth only, and the value stands still all the while. t of seven is 2.45. */
static void test_a_scale_that_settles_slowly_is_waited_for(void **state)
{
    aq_finding at[] = { { 2, 1 }, { 9, 1 }, { 9, 1 }, { 10, 1 }, { 11, 1 }, { 11, 1 }, { 18, 1 } };
    aq_typical got = aq_typical_of(at, 7);

    (void)state;
    check_within("value", got.value, 10, 1e-9);
    check_within("within", got.within, 2.45 * sqrt(4 / (6 * 0.7784 - 4.5)) / sqrt(0.95 * 7), 1e-5);
    assert_int_equal(got.trusted, 7);
}

/* 0 and 1 of weights 1 and 4: 0.8 by Huber, where nothing is held back, so s^2 = (0.64 + 0.16) / 0.7784; and by the
 * bisquare where m (1 - u^2)^2 = 4 (1 - m) (1 - v^2)^2 with u = m / 4.685 s and v = 2 (1 - m) / 4.685 s. */
static void test_two_findings_are_weighed_by_the_bisquare_too(void **state)
{
    aq_finding at[] = { { 0, 1 }, { 1, 4 } };
    double m = aq_typical_of(at, 2).value, s = sqrt(0.8 / 0.7784), u = m / (4.685 * s),
           v = 2 * (1 - m) / (4.685 * s);

    (void)state;
    check_within("pull", m * pow(1 - u * u, 2) - 4 * (1 - m) * pow(1 - v * v, 2), 0, 1e-8);
}

static void test_what_is_no_number_ends_too(void **state)
{
    aq_finding at[] = { { 1, 1 }, { NAN, 1 }, { 2, 1 } };

    (void)state;
    assert_true(aq_typical_of(at, 3).trusted <= 3);
}

/* What a tank of 60 L drinks, 3 L/d at 0.9 mS/cm, give or take 15 % a day, by a dipstick read to 0.2 L and a meter read to
 * 0.02 mS/cm; filled anew for each pair. Findings as jobs make them of readings. */
static void read_pair(aq_dice *dice, aq_finding *uses, aq_finding *uptake)
{
    double days = dice_between(dice, 2, 5), drunk = 3 * days * (1 + 0.15 / sqrt(days) * dice_normal(dice));
    aq_tank_state before = { 60, 1.6 }, after = aq_drift_after(before, drunk, 0.9, 1), first = before;

    first.volume += 0.2 * dice_normal(dice);
    first.ec += 0.02 * dice_normal(dice);
    after.volume += 0.2 * dice_normal(dice);
    after.ec += 0.02 * dice_normal(dice);
    *uses = (aq_finding){ aq_drift_uses(first, after, days), days };
    *uptake = (aq_finding){ aq_drift_uptake(first, after), first.volume - after.volume };
}

/* 95.0 to 97.1 % over 20,000 runs of each: the fewest findings are the most careful. */
static void test_95_of_100_intervals_hold_what_is_drunk(void **state)
{
    static const size_t counts[] = { 3, 4, 6, 10, 24 };
    aq_finding uses[MOST], uptake[MOST];

    (void)state;
    for (size_t c = 0; c < sizeof counts / sizeof *counts; c++) {
        aq_dice dice = { 1000 + c };
        size_t hits[2] = { 0 };

        for (int run = 0; run < RUNS; run++) {
            aq_typical q, u;

            for (size_t i = 0; i < counts[c]; i++)
                read_pair(&dice, &uses[i], &uptake[i]);
            q = aq_typical_of(uses, counts[c]);
            u = aq_typical_of(uptake, counts[c]);
            hits[0] += fabs(q.value - 3) <= q.within;
            hits[1] += fabs(u.value - 0.9) <= u.within;
        }
        check_within("uses", (double)hits[0] / RUNS, 0.955, 0.022);
        check_within("uptake", (double)hits[1] / RUNS, 0.955, 0.022);
    }
}

/* A level typed wrong in one pair of ten moves the value by less than one standard uncertainty, nearly always. */
static void test_one_gross_error_in_ten_moves_little(void **state)
{
    aq_dice dice = { 77 };
    size_t moved = 0, missed = 0;

    (void)state;
    for (int run = 0; run < RUNS; run++) {
        aq_finding at[20], none;
        aq_typical clean, dirty;

        for (size_t i = 0; i < 20; i++)
            read_pair(&dice, &at[i], &none);
        clean = aq_typical_of(at, 20);
        at[dice_below(&dice, 20)].value *= 3;
        at[dice_below(&dice, 20)].value *= 0.1;
        dirty = aq_typical_of(at, 20);
        moved += fabs(dirty.value - clean.value) > clean.within / 2;
        missed += fabs(dirty.value - 3) > dirty.within;
    }
    check_true("seldom", moved < RUNS / 50);
    check_true("and the interval still holds the truth", missed < RUNS * 7 / 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_interval_follows_students_table),
        cmocka_unit_test(test_findings_count_by_their_weight),
        cmocka_unit_test(test_of_none_and_of_one_nothing_is_sure),
        cmocka_unit_test(test_one_finding_is_the_value_whatever_its_weight),
        cmocka_unit_test(test_the_interval_is_students),
        cmocka_unit_test(test_what_most_findings_agree_on_is_the_value),
        cmocka_unit_test(test_neither_side_nor_order_nor_unit_matters),
        cmocka_unit_test(test_a_scale_that_settles_slowly_is_waited_for),
        cmocka_unit_test(test_two_findings_are_weighed_by_the_bisquare_too),
        cmocka_unit_test(test_what_is_no_number_ends_too),
        cmocka_unit_test(test_units_do_not_matter),
        cmocka_unit_test(test_95_of_100_intervals_hold_what_is_drunk),
        cmocka_unit_test(test_one_gross_error_in_ten_moves_little),
    };

    return cmocka_run_group_tests_name("typical", tests, NULL, NULL);
}
