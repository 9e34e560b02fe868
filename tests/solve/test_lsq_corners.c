/* Problems whose answer lies in a corner where more bounds meet than are needed, so that pulls are 0 or rounding: there
 * a part that is freed may come straight back, and a search that freed it again would never end. */
#include "check.h"
#include "dice.h"
#include "solve/lsq.h"

#include <stdio.h>

enum { PARTS = 8, ROWS = 12, STEPS = 16 };

/* Found by a search through some million problems of small whole numbers; without the memory of what came straight back
 * neither ends. Answers by hand. */

/* 324 x2^2 with -x1 + x2 = 1: x2 = 0 and x1 = -1, but for what the ridge moves them by, 3e-17. */
static void test_a_part_in_a_corner_is_not_freed_for_ever(void **state)
{
    double a[] = { 0, 18 }, b[] = { 0 }, lower[] = { -1, 0 }, upper[] = { 1, INFINITY },
           ridge[] = { 1e-7, 1e-7 }, equal[] = { -1, 1 }, x[2];
    aq_lsq problem = {
        .rows = 1, .parts = 2, .a = a, .b = b, .lower = lower, .upper = upper, .ridge = ridge, .equal = equal
    };
    aq_lsq_report report = { 0 };
    aq_lsq_work *work = aq_lsq_work_new(1, 2);

    (void)state;
    problem.equal_to = 1;
    assert_int_equal(aq_lsq_solve(&problem, work, x, &report), AQ_OK);
    check_within("x1", x[0], -1, 1e-15);
    check_within("x2", x[1], 0, 1e-15);
    check_true("soon", report.steps <= STEPS);
    aq_lsq_work_free(work);
}

/* With x3 = x2 - 2 it is (x1 + 2 x2)^2 + (x1 + x2)^2 + (x1 - 2)^2 of x1 <= 0 <= x2, which falls toward x1 = 0 and is
 * 5 x2^2 + 4 there. */
static void test_nor_one_that_an_equality_ties_to_another(void **state)
{
    double a[] = { 1, 1, 1, 1, 1, 0 }, b[] = { -2, 0 }, lower[] = { -2, 0, -2 }, upper[] = { 0, 1, 0 },
           ridge[] = { 1, 1e-7, 1e-7 }, anchor[] = { 2, 2, 1 }, equal[] = { 0, 1, -1 }, x[3];
    aq_lsq problem = { 2, 3, a, b, NULL, lower, upper, ridge, anchor, equal, 2 };
    aq_lsq_report report = { 0 };
    aq_lsq_work *work = aq_lsq_work_new(2, 3);

    (void)state;
    assert_int_equal(aq_lsq_solve(&problem, work, x, &report), AQ_OK);
    check_within("x1", x[0], 0, 1e-15);
    check_within("x2", x[1], 0, 1e-13);
    check_within("x3", x[2], -2, 1e-13);
    check_within("4 is left", report.objective, 4, 1e-12);
    check_true("soon", report.steps <= STEPS);
    aq_lsq_work_free(work);
}

typedef struct {
    aq_lsq problem;
    double a[ROWS * PARTS], b[ROWS], lower[PARTS], upper[PARTS], ridge[PARTS], corner[PARTS], equal[PARTS];
} cornered;

/* Small whole numbers, targets and equality just met by a corner of the bounds, toward which the ridge pulls. */
static void make_cornered(cornered *at, aq_dice *dice)
{
    size_t n = 2 + dice_below(dice, PARTS - 1), m = 1 + dice_below(dice, ROWS);
    bool ridge = dice_below(dice, 2), equal = dice_below(dice, 2);

    at->problem = (aq_lsq){ .rows = m,
                            .parts = n,
                            .a = at->a,
                            .b = at->b,
                            .lower = at->lower,
                            .upper = at->upper,
                            .ridge = ridge ? at->ridge : NULL,
                            .anchor = ridge ? at->corner : NULL,
                            .equal = equal ? at->equal : NULL };
    for (size_t j = 0; j < n; j++) {
        at->lower[j] = -(double)dice_below(dice, 3);
        at->upper[j] = dice_below(dice, 4) ? at->lower[j] + (double)dice_below(dice, 4) : INFINITY;
        at->corner[j] = dice_below(dice, 2) && isfinite(at->upper[j]) ? at->upper[j] : at->lower[j];
        at->ridge[j] = dice_below(dice, 3) ? 1 : 1e-7;
        at->equal[j] = (double)dice_below(dice, 3) - 1;
        at->problem.equal_to += equal ? at->equal[j] * at->corner[j] : 0;
    }
    for (size_t i = 0; i < m; i++) {
        at->b[i] = 0;
        for (size_t j = 0; j < n; j++) {
            at->a[i * n + j] = (double)dice_below(dice, 5) - 2;
            at->b[i] += at->a[i * n + j] * at->corner[j];
        }
    }
}

/* Nothing is missed at the corner, so nothing may be missed at the answer: in exact arithmetic both are 0. */
static void test_what_a_corner_meets_is_met(void **state)
{
    static cornered at;
    aq_dice dice = { 1977 };
    aq_lsq_work *work = aq_lsq_work_new(ROWS, PARTS);

    (void)state;
    for (int k = 0; k < 20000; k++) {
        double x[PARTS];
        aq_lsq_report report = { 0 };
        char name[40];

        make_cornered(&at, &dice);
        snprintf(name, sizeof name, "problem %d, %zu x %zu", k, at.problem.rows, at.problem.parts);
        check_true(name, aq_lsq_solve(&at.problem, work, x, &report) == AQ_OK);
        check_within(name, report.objective, 0, 1e-24);
        check_true(name, report.steps <= STEPS);
        for (size_t j = 0; j < at.problem.parts; j++)
            check_true(name, x[j] >= at.lower[j] && x[j] <= at.upper[j]);
    }
    aq_lsq_work_free(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_part_in_a_corner_is_not_freed_for_ever),
        cmocka_unit_test(test_nor_one_that_an_equality_ties_to_another),
        cmocka_unit_test(test_what_a_corner_meets_is_met),
    };

    return cmocka_run_group_tests_name("lsq_corners", tests, NULL, NULL);
}
