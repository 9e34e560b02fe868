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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_number_has_its_range),
        cmocka_unit_test(test_a_target_is_of_a_nutrient_there_is),
        cmocka_unit_test(test_fixed_doses_may_be_none_but_not_less),
        cmocka_unit_test(test_a_first_part_stops_at_its_top),
        cmocka_unit_test(test_no_dose_may_be_the_most),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
