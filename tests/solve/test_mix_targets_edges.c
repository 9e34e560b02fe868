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
        cmocka_unit_test(test_a_target_is_weighed_by_what_it_may_miss),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
