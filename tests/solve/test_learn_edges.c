/* What a log may hold for slopes to be learned from it. */
#include "check.h"
#include "solve/learn.h"

#include <stdlib.h>

enum { SLOPES = 2, MIXES = 3 };

/* Three mixes of two parts in one tank, as labels say; each row changes one number of one mix or slope. */
typedef struct {
    double amounts[MIXES][SLOPES];
    aq_learn_mix mixes[MIXES];
    aq_learn_slope slopes[SLOPES];
    aq_learn_problem problem;
} logged;

static void log_three(logged *l)
{
    l->slopes[0] = (aq_learn_slope){ 400, 0.05 };
    l->slopes[1] = (aq_learn_slope){ 450, 0.05 };
    for (size_t i = 0; i < MIXES; i++) {
        l->amounts[i][0] = 0.02;
        l->amounts[i][1] = 0.01;
        l->mixes[i] = (aq_learn_mix){ 0, 12, 0.3, 0.3 + (400 * 0.02 + 450 * 0.01) / 12, l->amounts[i] };
    }
    l->problem = (aq_learn_problem){ l->slopes, SLOPES, 1, l->mixes, MIXES };
}

static aq_status learn(const logged *l)
{
    aq_arena *arena = aq_arena_new(0);
    aq_learn_answer *answer = NULL;
    aq_error err = { .status = AQ_OK };
    aq_status status = aq_learn_solve(&answer, &l->problem, arena, &err);

    check_true("answer", (answer != NULL) == (status == AQ_OK));
    aq_arena_free(arena);
    return status;
}

static const struct {
    const char *row;
    size_t at, apart;
    size_t count;        /* how often the number stands there, `apart` bytes apart */
    double edge, beyond; /* may be, may not be */
} numbers[] = {
    { "volume", offsetof(logged, mixes[0].volume), sizeof(aq_learn_mix), MIXES, 1e-3, 0 },
    { "base", offsetof(logged, mixes[0].base), sizeof(aq_learn_mix), MIXES, 0, NAN },
    { "base without end", offsetof(logged, mixes[0].base), sizeof(aq_learn_mix), MIXES, 5, INFINITY },
    { "reading", offsetof(logged, mixes[0].reads), sizeof(aq_learn_mix), MIXES, 0, NAN },
    { "reading without end", offsetof(logged, mixes[0].reads), sizeof(aq_learn_mix), MIXES, 9, INFINITY },
    { "amount", offsetof(logged, amounts), sizeof(double), (size_t)SLOPES *MIXES, 0, -1e-9 },
    { "amount without end", offsetof(logged, amounts), sizeof(double), (size_t)SLOPES *MIXES, 1, INFINITY },
    { "label", offsetof(logged, slopes[0].label), sizeof(aq_learn_slope), SLOPES, 1, 0 },
    { "label without end", offsetof(logged, slopes[0].label), sizeof(aq_learn_slope), SLOPES, 1e4, INFINITY },
    { "doubt", offsetof(logged, slopes[0].doubt), sizeof(aq_learn_slope), SLOPES, 1e-3, 0 },
};

static aq_status learn_with(size_t at, double number)
{
    logged *l = malloc(sizeof *l);
    aq_status status;

    assert_non_null(l);
    log_three(l);
    memcpy((char *)l + at, &number, sizeof number);
    status = learn(l);
    free(l);
    return status;
}

static void test_each_number_has_its_range_wherever_it_stands(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        for (size_t k = 0; k < numbers[i].count; k++) {
            size_t at = numbers[i].at + k * numbers[i].apart;

            check_true(numbers[i].row, learn_with(at, numbers[i].edge) == AQ_OK);
            check_true(numbers[i].row, learn_with(at, numbers[i].beyond) == AQ_INVALID);
        }
}

static void test_a_mix_is_in_a_tank_there_is(void **state)
{
    logged l;

    (void)state;
    for (size_t i = 0; i < MIXES; i++) {
        log_three(&l);
        l.mixes[i].tank = 1;
        assert_int_equal(learn(&l), AQ_INVALID);
        l.problem.tank_count = 2;
        assert_int_equal(learn(&l), AQ_OK);
    }
}

/* The second part is left out of the last mix: three mixes tell of the first and of the tank, two of the second. */
static void test_mixes_are_counted_by_what_is_in_them(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_learn_answer *answer = NULL;
    aq_error err = { .status = AQ_OK };
    logged l;

    (void)state;
    log_three(&l);
    l.amounts[MIXES - 1][1] = 0;
    l.mixes[MIXES - 1].reads = 0.3 + 400 * 0.02 / 12;
    assert_int_equal(aq_learn_solve(&answer, &l.problem, arena, &err), AQ_OK);
    assert_int_equal(answer->slopes[0].mixes, 3);
    assert_int_equal(answer->slopes[1].mixes, 2);
    assert_int_equal(answer->tanks[0].mixes, 3);
    aq_arena_free(arena);
}

static void test_there_is_something_to_learn_and_not_too_much(void **state)
{
    aq_learn_slope *slopes = malloc((AQ_LEARN_MOST + 1) * sizeof *slopes);
    logged l;

    (void)state;
    assert_non_null(slopes);
    log_three(&l);
    for (size_t j = 0; j <= AQ_LEARN_MOST; j++)
        slopes[j] = (aq_learn_slope){ 400, 0.05 };
    l.problem = (aq_learn_problem){ slopes, AQ_LEARN_MOST, 0, l.mixes, 0 };
    assert_int_equal(learn(&l), AQ_OK);
    l.problem.slope_count++;
    assert_int_equal(learn(&l), AQ_INVALID);
    l.problem.slope_count = 0;
    assert_int_equal(learn(&l), AQ_INVALID);
    free(slopes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_number_has_its_range_wherever_it_stands),
        cmocka_unit_test(test_a_mix_is_in_a_tank_there_is),
        cmocka_unit_test(test_mixes_are_counted_by_what_is_in_them),
        cmocka_unit_test(test_there_is_something_to_learn_and_not_too_much),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
