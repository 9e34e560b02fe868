/* Targets worked by hand where one number of the least squares decides: rows, weights, and what the ridge is left. Arrays
 * of just the problem's size, so that the address sanitizer sees a step too far. */
#include "check.h"
#include "solve/mix.h"
#include "solve/mix_inner.h"

#include <stdlib.h>

enum { FIRST, ONE, OTHER, BOTH, COLUMNS };

static const aq_composition potassium = { .mass = { [AQ_K] = 1 } };
static const aq_composition nitrogen_too = { .mass = { [AQ_K] = 1, [AQ_N_UNKNOWN] = 1 } };
static const aq_mix_member a_tenth = { &potassium, 0.1 }, a_tenth_of_both = { &nitrogen_too, 0.1 };

static aq_mix_column part(const aq_mix_member *member, double anchor)
{
    return (aq_mix_column){ .top = INFINITY,
                            .anchor = anchor,
                            .slope = 0.4,
                            .to = NAN,
                            .members = member,
                            .member_count = member ? 1 : 0 };
}

static aq_mix_answer *solve(const aq_mix_problem *problem, aq_arena *arena)
{
    aq_mix_answer *answer = NULL;
    aq_error err = { .status = AQ_OK };

    assert_int_equal(aq_mix_solve(&answer, problem, arena, &err), AQ_OK);
    return answer;
}

/* N 0.1 g/L is 1 of what brings both; of K 0.5 that is 0.1, and twins of the label's ratio 1 to 2 share the other 4.
 * Along the ratio 1 : 2 : 1 rows are 0.1 and 0.4, and half a target is a tolerance: 2 s should be 2 and 1.6 s should be 2,
 * so s = (4 + 3.2) / (4 + 2.56). What is dosed first serves no target, and stays as it is. */
static void test_twins_keep_their_ratio_whatever_stands_beside_them(void **state)
{
    for (int swapped = 0; swapped <= 1; swapped++) {
        aq_arena *arena = aq_arena_new(0);
        aq_mix_column *column = malloc(COLUMNS * sizeof *column);
        aq_mix_target *target = malloc(2 * sizeof *target);
        aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = NAN };
        const aq_mix_answer *a;

        (void)state;
        assert_true(column && target);
        column[FIRST] = part(NULL, 1);
        column[FIRST].slope = 1;
        column[FIRST].to = 0.3;
        column[ONE] = part(&a_tenth, 1);
        column[OTHER] = part(&a_tenth, 2);
        column[BOTH] = part(&a_tenth_of_both, 1);
        target[swapped] = (aq_mix_target){ AQ_N_UNKNOWN, 0.1, 0.5 };
        target[!swapped] = (aq_mix_target){ AQ_K, 0.5, 0.5 };
        p.columns = column;
        p.count = COLUMNS;
        p.targets = target;
        p.target_count = 2;
        a = solve(&p, arena);
        check_close("first", a->x[FIRST], 0.3, 1e-9);
        check_close("both", a->x[BOTH], 1, 1e-6);
        check_close("one", a->x[ONE], 4 / 3.0, 1e-6);
        check_close("other", a->x[OTHER], 8 / 3.0, 1e-6);
        check_close("strength", a->strength, 7.2 / 6.56, 1e-9);
        free(column);
        free(target);
        aq_arena_free(arena);
    }
}

/* N 0.1 and K 0.2 wanted to 0.01, each from a part of 1 a share and 1 mS/cm; an EC of 0.33 is 0.03 too much, of which each
 * takes half: 0.115 and 0.215. */
static void test_what_an_ec_asks_too_much_is_shared_by_the_weights(void **state)
{
    static const aq_composition nitrogen = { .mass = { [AQ_N_UNKNOWN] = 1 } };
    static const aq_mix_member n = { &nitrogen, 1 }, k = { &potassium, 1 };
    aq_arena *arena = aq_arena_new(0);
    aq_mix_column *column = malloc(2 * sizeof *column);
    aq_mix_target *target = malloc(2 * sizeof *target);
    aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = 0.33 };
    const aq_mix_answer *a;

    (void)state;
    assert_true(column && target);
    column[0] = part(&n, 1);
    column[1] = part(&k, 1);
    column[0].slope = column[1].slope = 1;
    target[0] = (aq_mix_target){ AQ_N_UNKNOWN, 0.1, 0.1 };
    target[1] = (aq_mix_target){ AQ_K, 0.2, 0.05 };
    p.columns = column;
    p.count = 2;
    p.targets = target;
    p.target_count = 2;
    a = solve(&p, arena);
    check_within("N", a->x[0], 0.115, 1e-9);
    check_within("K", a->x[1], 0.215, 1e-9);
    check_within("EC", a->ec, 0.33, 1e-9);
    check_within("after N", a->ec_after[0], 0.115, 1e-9);
    check_within("after K", a->ec_after[1], 0.33, 1e-9);
    free(column);
    free(target);
    aq_arena_free(arena);
}

/* Of a part that nobody knows nothing is poured, wherever it stands; 2 of the other are 0.2 g/L. */
static void test_what_is_not_known_stays_out(void **state)
{
    static const aq_mix_member unknown = { NULL, 1 };
    static const aq_mix_target target = { AQ_K, 0.2, 0.1 };

    (void)state;
    for (size_t at = 0; at < 2; at++) {
        aq_arena *arena = aq_arena_new(0);
        aq_mix_column *column = malloc(2 * sizeof *column);
        aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = NAN };
        const aq_mix_answer *a;

        assert_non_null(column);
        column[at] = part(&unknown, 1);
        column[at].top = 3;
        column[!at] = part(&a_tenth, 1);
        p.columns = column;
        p.count = 2;
        p.targets = &target;
        p.target_count = 1;
        a = solve(&p, arena);
        check_within("unknown", a->x[at], 0, 0);
        check_close("known", a->x[!at], 2, 1e-6);
        free(column);
        aq_arena_free(arena);
    }
}

/* What is dosed first brings 0.03 of the 0.1 g/L of N, so 0.07 are left: 20 and 4 weigh rows of 0.1 each, and
 * s = (2 x 1.4 + 0.4 x 2) / (2 x 2 + 0.4 x 0.4). */
static void test_strength_leaves_out_what_was_dosed_first(void **state)
{
    static const aq_composition nitrogen = { .mass = { [AQ_N_UNKNOWN] = 1 } };
    static const aq_mix_member n = { &nitrogen, 0.1 };

    (void)state;
    for (int swapped = 0; swapped <= 1; swapped++) {
        aq_arena *arena = aq_arena_new(0);
        aq_mix_column *column = malloc(2 * sizeof *column);
        aq_mix_target *target = malloc(2 * sizeof *target);
        aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = NAN };

        assert_true(column && target);
        column[0] = part(&a_tenth_of_both, 1);
        column[1] = part(&n, 1);
        column[1].slope = 1;
        column[1].to = 0.3;
        target[swapped] = (aq_mix_target){ AQ_N_UNKNOWN, 0.1, 0.5 };
        target[!swapped] = (aq_mix_target){ AQ_K, 0.5, 0.5 };
        p.columns = column;
        p.count = 2;
        p.targets = target;
        p.target_count = 2;
        check_close("strength", solve(&p, arena)->strength, 3.6 / 4.16, 1e-9);
        free(column);
        free(target);
        aq_arena_free(arena);
    }
}

/* One part of 0.1 for 0.5 g/L: five times its ratio, however little the target weighs; of no ratio no strength. */
static void test_a_light_target_has_a_strength(void **state)
{
    static const aq_mix_target target = { AQ_K, 0.5, 1 };

    (void)state;
    for (int ratio = 0; ratio <= 1; ratio++) {
        aq_arena *arena = aq_arena_new(0);
        aq_mix_column column = part(&a_tenth, ratio);
        aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = NAN };
        const aq_mix_answer *a;

        p.columns = &column;
        p.count = 1;
        p.targets = &target;
        p.target_count = 1;
        a = solve(&p, arena);
        check_within("strength", a->strength, 5 * ratio, 1e-9);
        check_close("dose", a->x[0], 5, 1e-6);
        aq_arena_free(arena);
    }
}

/* K 0.5 from 0.1 and 0.05 a share, in the ratio 2 to 1: s is 2. With 2 of a part that serves nothing the tank reads
 * 0.4 x 4 + 0.1 x 2 + 0.4 x 2 = 2.6; where 3.02 is wanted one direction is open: d, -2 d and e with
 * 0.4 d - 0.2 d + 0.4 e = 0.42. Lengths are 0.4, 0.2 and as the longest, and what the anchors do is 0.8, 0.2 and nothing, so
 * the second is weighed by twice its length: all three alike, and 5 d^2 + e^2 is least at d = 0.1 and e = 1. A second that
 * hardly counts is weighed by a hundred times its length at most. */
static void test_the_ridge_shares_what_targets_leave_open(void **state)
{
    static const aq_composition none = { .mass = { [AQ_CL] = 1 } };
    static const aq_mix_member half = { &potassium, 0.05 }, nothing = { &none, 1 };
    static const aq_mix_target target = { AQ_K, 0.5, 0.5 };

    (void)state;
    for (size_t first = 0; first < 6; first++) {
        bool little = first >= 3;
        size_t one = first % 3, other = (first + 1) % 3, beside = (first + 2) % 3;
        aq_arena *arena = aq_arena_new(0);
        aq_mix_column *column = malloc(3 * sizeof *column);
        aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = 3.02 };
        double s = little ? 0.5 / (0.2 + 0.05e-5) : 2, weight = little ? 0.16 + 4 * 400 : 0.8, t;
        const aq_mix_answer *a;

        assert_non_null(column);
        column[one] = part(&a_tenth, 2);
        column[other] = part(&half, little ? 1e-5 : 1);
        column[other].slope = 0.1;
        column[beside] = part(&nothing, 1);
        column[beside].top = 20;
        if (little)
            p.ec = 0.4 * 2 * s + 0.1 * 1e-5 * s + 0.4 * s - 0.5;
        t = (little ? -0.5 : 0.42) / (0.04 / weight + 0.16 / 0.16);
        p.columns = column;
        p.count = 3;
        p.targets = &target;
        p.target_count = 1;
        a = solve(&p, arena);
        check_within("one", a->x[one], 2 * s + t * 0.2 / weight, 2e-7);
        check_within("other", a->x[other], (little ? 1e-5 : 1) * s - 2 * t * 0.2 / weight, 2e-7);
        check_within("beside", a->x[beside], s + t * 0.4 / 0.16, 2e-7);
        free(column);
        aq_arena_free(arena);
    }
}

/* Nothing serves the target: 0.8 mS/cm of two parts that are alike is 1 of each. */
static void test_parts_that_serve_nothing_share_an_ec(void **state)
{
    static const aq_composition none = { .mass = { [AQ_CL] = 1 } };
    static const aq_mix_member nothing = { &none, 1 };
    static const aq_mix_target target = { AQ_K, 0.5, 0.5 };
    aq_arena *arena = aq_arena_new(0);
    aq_mix_column *column = malloc(2 * sizeof *column);
    aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = 0.8 };
    const aq_mix_answer *a;

    (void)state;
    assert_non_null(column);
    column[0] = column[1] = part(&nothing, 1);
    column[0].top = column[1].top = 20;
    p.columns = column;
    p.count = 2;
    p.targets = &target;
    p.target_count = 1;
    a = solve(&p, arena);
    check_within("one", a->x[0], 1, 1e-6);
    check_within("other", a->x[1], 1, 1e-6);
    free(column);
    aq_arena_free(arena);
}

/* Water of 0.3 for a wanted 0.3: what carries EC stays out, and what carries none serves its target all the same. With 0.3
 * more that a part brings before, 1.0 wants 1 of 0.4. */
static void test_an_ec_that_is_there_already(void **state)
{
    static const aq_composition nitrogen = { .mass = { [AQ_N_UREA] = 1 } };
    static const aq_mix_member urea = { &nitrogen, 0.1 };
    aq_arena *arena = aq_arena_new(0);
    aq_mix_column *column = malloc(3 * sizeof *column);
    aq_mix_target *target = malloc(2 * sizeof *target);
    aq_mix_problem p = { .volume = 10, .heel_ec = NAN, .water_ec = 0.3, .ec = 0.3 };
    const aq_mix_answer *a;

    (void)state;
    assert_true(column && target);
    column[0] = part(&a_tenth, 1);
    column[0].top = 5;
    column[1] = part(&urea, 1);
    column[1].slope = 0;
    column[2] = part(NULL, 1);
    column[2].slope = 1;
    column[2].to = 0.6;
    target[0] = (aq_mix_target){ AQ_K, 0.2, 0.1 };
    target[1] = (aq_mix_target){ AQ_N_UNKNOWN, 0.1, 0.1 };
    p.columns = column;
    p.count = 2;
    p.targets = target;
    p.target_count = 2;
    a = solve(&p, arena);
    check_within("EC", a->x[0], 0, 1e-9);
    check_close("none", a->x[1], 1, 1e-6);
    p.count = 3;
    p.ec = 1.0;
    a = solve(&p, arena);
    check_close("dosed first", a->x[2], 0.3, 1e-9);
    check_close("what it then reads", a->ec_after[2], 0.6, 1e-9);
    check_close("the rest", a->x[0], 1, 1e-6);
    check_close("none", a->x[1], 1, 1e-6);
    free(column);
    free(target);
    aq_arena_free(arena);
}

/* 1 over a tenth of 0.2 g/L; of none wanted a milligram stands for it. */
static void test_a_target_is_weighed_by_what_it_may_miss(void **state)
{
    (void)state;
    check_close("0.2 g/L", aq_mix_target_weight(&(aq_mix_target){ AQ_K, 0.2, 0.1 }), 50, 1e-12);
    check_close("none", aq_mix_target_weight(&(aq_mix_target){ AQ_K, 0, 0.05 }), 20000, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_twins_keep_their_ratio_whatever_stands_beside_them),
        cmocka_unit_test(test_what_an_ec_asks_too_much_is_shared_by_the_weights),
        cmocka_unit_test(test_what_is_not_known_stays_out),
        cmocka_unit_test(test_strength_leaves_out_what_was_dosed_first),
        cmocka_unit_test(test_a_light_target_has_a_strength),
        cmocka_unit_test(test_the_ridge_shares_what_targets_leave_open),
        cmocka_unit_test(test_parts_that_serve_nothing_share_an_ec),
        cmocka_unit_test(test_an_ec_that_is_there_already),
        cmocka_unit_test(test_a_target_is_weighed_by_what_it_may_miss),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
