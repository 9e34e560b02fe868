/* The dose engine at the edges of what a problem may hold. */
#include "check.h"
#include "solve/mix.h"

#include <stdlib.h>

/* A tank of 10 L of water of 0.3, one part of 0.4 mS/cm a share with potassium in it, wanted at 1.1 or at 0.2 g/L of it;
 * each row changes one number. */
typedef struct {
    aq_mix_problem problem;
    aq_mix_column column;
    aq_mix_member member;
    aq_mix_target target;
    aq_composition potassium;
    double fixed;
} asked;

static void ask(asked *a)
{
    a->potassium = (aq_composition){ .mass = { [AQ_K] = 1 } };
    a->member = (aq_mix_member){ .composition = &a->potassium, .per_share = 0.1 };
    a->column = (aq_mix_column){
        .top = INFINITY, .anchor = 1, .slope = 0.4, .to = NAN, .members = &a->member, .member_count = 1
    };
    a->target = (aq_mix_target){ .nutrient = AQ_K, .wanted = 0.2, .tolerance = 0.1 };
    a->fixed = 2;
    a->problem = (aq_mix_problem){ .volume = 10,
                                   .heel = 2,
                                   .heel_ec = 0.3,
                                   .water_ec = 0.3,
                                   .ec = NAN,
                                   .columns = &a->column,
                                   .count = 1,
                                   .targets = &a->target,
                                   .target_count = 1 };
}

#define AT(member_) offsetof(asked, member_)

static const struct {
    const char *row;
    size_t at;
    double edge, beyond; /* may be, may not be */
} numbers[] = {
    { "volume", AT(problem.volume), 2, 0 },
    { "volume without end", AT(problem.volume), 1e9, INFINITY },
    { "volume below the heel", AT(problem.volume), 2, 1.9 },
    { "heel", AT(problem.heel), 0, -0.1 },
    { "heel is a number", AT(problem.heel), 10, NAN },
    { "EC of the heel", AT(problem.heel_ec), 0, -0.1 },
    { "EC of the heel without end", AT(problem.heel_ec), 50, INFINITY },
    { "EC of the water", AT(problem.water_ec), 0, -0.1 },
    { "EC of the water without end", AT(problem.water_ec), 50, INFINITY },
    { "aim without end", AT(problem.ec), NAN, INFINITY },
    { "top", AT(column.top), 0, -1 },
    { "already", AT(column.already), 0, -1 },
    { "already without end", AT(column.already), 5, INFINITY },
    { "anchor", AT(column.anchor), 0, -1 },
    { "anchor is a number", AT(column.anchor), 5, NAN },
    { "slope", AT(column.slope), 0, -0.1 },
    { "slope without end", AT(column.slope), 1e3, INFINITY },
    { "share", AT(member.per_share), 0, -1 },
    { "share is a number", AT(member.per_share), 1, NAN },
    { "EC of its own", AT(column.to), 0, -1 },
    { "EC of its own without end", AT(column.to), 0.35, INFINITY },
    { "wanted", AT(target.wanted), 0, -0.1 },
    { "wanted without end", AT(target.wanted), 5, INFINITY },
    { "tolerance", AT(target.tolerance), 1e-6, 0 },
    { "tolerance without end", AT(target.tolerance), 1, INFINITY },
};

static aq_status solve_with(size_t at, double number, aq_arena *arena)
{
    asked a;
    aq_mix_answer *answer;
    aq_error err = { .status = AQ_OK };

    ask(&a);
    memcpy((char *)&a + at, &number, sizeof number);
    aq_arena_reset(arena);
    return aq_mix_solve(&answer, &a.problem, arena, &err);
}

static void test_each_number_has_its_range(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        check_true(numbers[i].row, solve_with(numbers[i].at, numbers[i].edge, arena) == AQ_OK);
        check_true(numbers[i].row, solve_with(numbers[i].at, numbers[i].beyond, arena) == AQ_INVALID);
    }
    aq_arena_free(arena);
}

static void test_a_target_is_of_a_nutrient_there_is(void **state)
{
    static const struct {
        int nutrient;
        aq_status status;
    } rows[] = {
        { -1, AQ_INVALID }, { 0, AQ_OK }, { AQ_NUTRIENT_COUNT - 1, AQ_OK }, { AQ_NUTRIENT_COUNT, AQ_INVALID }
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        asked a;
        aq_mix_answer *answer;
        aq_error err = { .status = AQ_OK };

        ask(&a);
        a.target.nutrient = (aq_nutrient)rows[i].nutrient;
        assert_int_equal(aq_mix_solve(&answer, &a.problem, arena, &err), rows[i].status);
    }
    aq_arena_free(arena);
}

static void test_fixed_doses_may_be_none_but_not_less(void **state)
{
    static const struct {
        double fixed;
        aq_status status;
    } rows[] = { { 0, AQ_OK }, { 3, AQ_OK }, { -1e-9, AQ_INVALID }, { INFINITY, AQ_INVALID } };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        asked a;
        aq_mix_answer *answer;
        aq_error err = { .status = AQ_OK };

        ask(&a);
        a.fixed = rows[i].fixed;
        a.problem.fixed = &a.fixed;
        assert_int_equal(aq_mix_solve(&answer, &a.problem, arena, &err), rows[i].status);
    }
    aq_arena_free(arena);
}

/* 300 x 0.001 is all that the first may add to 0.1: it stays short of its 1.0, and the other starts from there. Arrays of
 * just this size, so that the address sanitizer sees a step too far. */
static void test_a_first_part_stops_at_its_top(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_mix_column *columns = malloc(2 * sizeof *columns);
    aq_mix_answer *answer;
    aq_error err = { .status = AQ_OK };

    (void)state;
    assert_non_null(columns);
    columns[0] = (aq_mix_column){ .top = 0.001, .anchor = 0.001, .slope = 300, .to = 1.0 };
    columns[1] = (aq_mix_column){ .top = INFINITY, .anchor = 1, .slope = 0.4, .to = NAN };
    for (size_t count = 1; count <= 2; count++) {
        aq_mix_problem problem = {
            .volume = 10, .heel_ec = NAN, .water_ec = 0.1, .ec = NAN, .columns = columns, .count = count
        };

        problem.ec = count == 2 ? 1.4 : NAN;
        assert_int_equal(aq_mix_solve(&answer, &problem, arena, &err), AQ_OK);
        check_within("first", answer->x[0], 0.001, 1e-12);
        check_within("after it", answer->ec_after[0], 0.4, 1e-9);
    }
    check_within("the other", answer->x[1], 2.5, 1e-9);
    check_within("end", answer->ec, 1.4, 1e-6);
    free(columns);
    aq_arena_free(arena);
}

/* A label of 0 and a label that is used up leave the EC to the other. */
static void test_no_dose_may_be_the_most(void **state)
{
    const aq_mix_column columns[] = { { .top = 0, .anchor = 1, .slope = 0.4, .to = NAN },
                                      { .top = 2, .already = 3, .anchor = 1, .slope = 0.4, .to = NAN },
                                      { .top = INFINITY, .anchor = 1, .slope = 0.5, .to = NAN } };
    aq_mix_problem problem = {
        .volume = 10, .heel_ec = NAN, .water_ec = 0.1, .ec = 1.1, .columns = columns, .count = 3
    };
    aq_arena *arena = aq_arena_new(0);
    aq_mix_answer *answer;
    aq_error err = { .status = AQ_OK };

    (void)state;
    assert_int_equal(aq_mix_solve(&answer, &problem, arena, &err), AQ_OK);
    check_within("no label", answer->x[0], 0, 0);
    check_within("used up", answer->x[1], 0, 0);
    check_within("the other", answer->x[2], 2, 1e-9);
    assert_true(answer->met);
    aq_arena_free(arena);
}

/* What stands last is looked at as well as what stands first. */
static void test_the_last_of_each_is_looked_at(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int which = 0; which < 4; which++) {
        asked a;
        aq_mix_answer *answer;
        aq_error err = { .status = AQ_OK };

        ask(&a);
        aq_mix_member members[] = { a.member, a.member };
        aq_mix_column columns[] = { a.column, a.column };
        aq_mix_target targets[] = { a.target, a.target };

        columns[0].members = members;
        columns[0].member_count = 2;
        a.problem.columns = columns;
        a.problem.targets = targets;
        a.problem.count = a.problem.target_count = 2;
        if (which == 0)
            members[1].per_share = -1;
        if (which == 1)
            columns[1].anchor = -1;
        if (which == 2)
            targets[1].wanted = -1;
        assert_int_equal(aq_mix_solve(&answer, &a.problem, arena, &err), which < 3 ? AQ_INVALID : AQ_OK);
    }
    aq_arena_free(arena);
}

static void test_a_tank_of_nothing_is_none(void **state)
{
    asked a;
    aq_arena *arena = aq_arena_new(0);
    aq_mix_answer *answer;
    aq_error err = { .status = AQ_OK };

    (void)state;
    ask(&a);
    a.problem.volume = a.problem.heel = 0;
    assert_int_equal(aq_mix_solve(&answer, &a.problem, arena, &err), AQ_INVALID);
    aq_arena_free(arena);
}

static aq_mix_column plain(double slope, double anchor, double top)
{
    return (aq_mix_column){ .top = top, .anchor = anchor, .slope = slope, .to = NAN };
}

static aq_mix_answer *solve_ec(aq_arena *arena, const aq_mix_column *columns, size_t count, double ec)
{
    aq_mix_problem problem = {
        .volume = 10, .heel_ec = NAN, .water_ec = 0, .ec = ec, .columns = columns, .count = count
    };
    aq_mix_answer *answer = NULL;
    aq_error err = { .status = AQ_OK };

    assert_int_equal(aq_mix_solve(&answer, &problem, arena, &err), AQ_OK);
    return answer;
}

/* 0.5 of the first is all, 0.2 of the wanted 0.9: the other is left 0.7 of 4 a unit, and has a tenth for each strength. */
static void test_the_rest_is_left_to_what_is_below_its_top(void **state)
{
    const aq_mix_column columns[] = { plain(0.4, 1, 0.5), plain(4, 0.1, 1) };
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a = solve_ec(arena, columns, 2, 0.9);

    (void)state;
    check_within("at its top", a->x[0], 0.5, 0);
    check_within("the rest", a->x[1], 0.175, 1e-9);
    check_within("strength", a->strength, 1.75, 1e-9);
    aq_arena_free(arena);
}

/* Out of reach: the strength is that of the last top that carries EC, 0.5, and what carries none goes along so far. A part
 * without a ratio stays out. */
static void test_out_of_reach_is_as_strong_as_the_tops(void **state)
{
    const aq_mix_column columns[] = { plain(0.4, 1, 0.5), plain(0, 1, INFINITY), plain(0.4, 0, 3) };
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a = solve_ec(arena, columns, 3, 9);

    (void)state;
    check_within("strength", a->strength, 0.5, 1e-12);
    check_within("at its top", a->x[0], 0.5, 1e-12);
    check_within("along", a->x[1], 0.5, 1e-12);
    check_within("out", a->x[2], 0, 0);
    check_within("short", a->ec_short, 8.8, 1e-9);
    check_within("a unit more of what is at its top", a->price[0], 0.4, 1e-12);
    check_within("of what is not", a->price[2], 0, 0);
    assert_true(a->capped);
    aq_arena_free(arena);
}

static void test_a_part_of_unknown_ec_stays_out_of_an_ec_wherever_it_stands(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t at = 0; at < 2; at++) {
        aq_mix_column columns[] = { plain(0.4, 1, INFINITY), plain(0.4, 1, INFINITY) };
        const aq_mix_answer *a;

        columns[at].slope = NAN;
        a = solve_ec(arena, columns, 2, 0.8);
        check_within("unknown", a->x[at], 0, 0);
        check_within("known", a->x[!at], 2, 1e-9);
    }
    aq_arena_free(arena);
}

/* Nothing wanted in water of none, and a tenth of a millionth of a mS/cm: met, and by how much is said of what was wanted. */
static void test_an_ec_may_be_none_or_next_to_none(void **state)
{
    const aq_mix_column column = plain(0.4, 1, INFINITY);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *none = solve_ec(arena, &column, 1, 0), *little = solve_ec(arena, &column, 1, 1e-7);

    (void)state;
    check_within("none", none->x[0], 0, 0);
    check_within("little", little->x[0], 2.5e-7, 1e-9);
    check_true("met", none->met && little->met && little->gap < 1e-3);
    aq_arena_free(arena);
}

/* Numbers so large that no two of them are within 1e-10 mS/cm: the search ends all the same. */
static void test_a_search_among_large_numbers_ends(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int i = 1; i <= 200; i++) {
        const aq_mix_column columns[] = { plain(0.3, 1, 1e7 * i), plain(0.7, 0.3, INFINITY) };
        double ec = 1e9 / 3 + i * 1e7;

        aq_arena_reset(arena);
        check_close("EC", solve_ec(arena, columns, 2, ec)->ec, ec, 1e-9);
    }
    aq_arena_free(arena);
}

/* 0.3 of the first to read 0.3, then 0.01 of the second to read 0.4: the first stays as it is. */
static void test_what_is_dosed_second_leaves_the_first(void **state)
{
    aq_mix_column columns[] = { plain(1, 1, INFINITY), plain(10, 1, INFINITY) };
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    columns[0].to = 0.3;
    columns[1].to = 0.4;
    a = solve_ec(arena, columns, 2, NAN);
    check_within("first", a->x[0], 0.3, 1e-9);
    check_within("second", a->x[1], 0.01, 1e-9);
    aq_arena_free(arena);
}

/* 2 of a half is four times its ratio, 3 of 1 three times; no ratio is no strength. A share brings 0.1 of K and 0.3 of N. */
static void test_fixed_doses_say_their_strength_and_what_they_bring(void **state)
{
    static const aq_composition potassium = { .mass = { [AQ_K] = 1 } },
                                nitrogen = { .mass = { [AQ_N_UNKNOWN] = 1 } };
    static const aq_mix_member members[] = { { &potassium, 0.1 }, { &nitrogen, 0.3 } };
    static const double fixed[] = { 2, 3, 1 };
    aq_mix_column columns[] = { plain(0.4, 0.5, INFINITY), plain(0.4, 1, INFINITY), plain(0.4, 0, INFINITY) };
    aq_mix_problem problem = { .volume = 10, .heel_ec = NAN, .ec = NAN, .columns = columns, .count = 3 };
    aq_arena *arena = aq_arena_new(0);
    aq_mix_answer *a;
    aq_error err = { .status = AQ_OK };

    (void)state;
    columns[0].members = members;
    columns[0].member_count = 2;
    problem.fixed = fixed;
    assert_int_equal(aq_mix_solve(&a, &problem, arena, &err), AQ_OK);
    check_within("strength", a->strength, 4, 1e-12);
    check_within("K", a->got.mass[AQ_K], 0.2, 1e-12);
    check_within("N", a->got.mass[AQ_N_UNKNOWN], 0.6, 1e-12);
    aq_arena_free(arena);
}

/* A part that goes along by no ratio of its own serves an EC where there is a target, if only one. */
static void test_one_target_is_reason_enough(void **state)
{
    asked a;
    aq_arena *arena = aq_arena_new(0);
    aq_mix_answer *answer;
    aq_error err = { .status = AQ_OK };

    (void)state;
    ask(&a);
    a.column.anchor = 0;
    a.problem.ec = 1.1;
    assert_int_equal(aq_mix_solve(&answer, &a.problem, arena, &err), AQ_OK);
    check_within("dose", answer->x[0], 2, 1e-6);
    aq_arena_free(arena);
}

/* 1 is all of a part of 0.1 where 0.2 is wanted to a tenth: 0.1 is missed by, 5 tolerances, and the sum of squares falls by
 * 2 x 50^2 x 0.1 x 0.1 for each unit more. Where 0.05 is wanted half a unit is between none and all, and one of two targets
 * that is missed is enough to be not met. */
static void test_bounds_and_prices_of_targets(void **state)
{
    static const struct {
        const char *row;
        double wanted, top, x, price;
        int bound;
        bool met;
    } rows[] = { { "at its top", 0.2, 1, 1, 50, 1, false }, { "between", 0.05, 5, 0.5, 0, 0, true } };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        for (size_t count = 1; count <= 2; count++) {
            asked a;
            aq_mix_answer *answer;
            aq_error err = { .status = AQ_OK };

            ask(&a);
            a.column.top = rows[i].top;
            a.target.wanted = rows[i].wanted;
            aq_mix_target targets[] = { a.target, { AQ_N_UNKNOWN, 0.1, 0.1 } };
            a.problem.targets = targets;
            a.problem.target_count = count;
            assert_int_equal(aq_mix_solve(&answer, &a.problem, arena, &err), AQ_OK);
            check_within(rows[i].row, answer->x[0], rows[i].x, 1e-6);
            check_within(rows[i].row, answer->price[0], rows[i].price, 1e-4);
            assert_int_equal(answer->bound[0], rows[i].bound);
            check_true(rows[i].row, answer->met == (rows[i].met && count == 1));
        }
    aq_arena_free(arena);
}

/* A ten-millionth below a top is not at it. */
static void test_a_fixed_dose_is_at_its_top_or_not(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int below = 0; below <= 1; below++) {
        asked a;
        aq_mix_answer *answer;
        aq_error err = { .status = AQ_OK };

        ask(&a);
        a.column.top = 2;
        a.fixed = below ? 2 * (1 - 1e-7) : 2;
        a.problem.fixed = &a.fixed;
        assert_int_equal(aq_mix_solve(&answer, &a.problem, arena, &err), AQ_OK);
        assert_int_equal(answer->bound[0], below ? 0 : 1);
    }
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_number_has_its_range),
        cmocka_unit_test(test_a_target_is_of_a_nutrient_there_is),
        cmocka_unit_test(test_fixed_doses_may_be_none_but_not_less),
        cmocka_unit_test(test_a_first_part_stops_at_its_top),
        cmocka_unit_test(test_no_dose_may_be_the_most),
        cmocka_unit_test(test_the_last_of_each_is_looked_at),
        cmocka_unit_test(test_a_tank_of_nothing_is_none),
        cmocka_unit_test(test_the_rest_is_left_to_what_is_below_its_top),
        cmocka_unit_test(test_out_of_reach_is_as_strong_as_the_tops),
        cmocka_unit_test(test_a_part_of_unknown_ec_stays_out_of_an_ec_wherever_it_stands),
        cmocka_unit_test(test_an_ec_may_be_none_or_next_to_none),
        cmocka_unit_test(test_a_search_among_large_numbers_ends),
        cmocka_unit_test(test_what_is_dosed_second_leaves_the_first),
        cmocka_unit_test(test_fixed_doses_say_their_strength_and_what_they_bring),
        cmocka_unit_test(test_one_target_is_reason_enough),
        cmocka_unit_test(test_bounds_and_prices_of_targets),
        cmocka_unit_test(test_a_fixed_dose_is_at_its_top_or_not),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
