/* Bounded least squares against answers worked by hand, and a count of allocations. Exact arithmetic, scipy and quadprog
 * judge it in lsq_exact.py and lsq_references.py. */
#include "base/fence.h"
#include "lsq_samples.h"

#include <float.h>
#include <stdio.h>
#include <stdlib.h>

/* ---- allocations, counted ---- */

static size_t allocations;

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);

void *__wrap_malloc(size_t size)
{
    allocations++;
    return __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    allocations++;
    return __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    allocations++;
    return __real_realloc(old, size);
}

/* ---- answers worked by hand ---- */

static const double inf = INFINITY;

static const struct {
    const char *name;
    size_t rows, parts;
    double a[18], b[6], weight[6], lower[4], upper[4], ridge[4], anchor[4], equal[4], equal_to;
    double x[4];
} cases[] = {
    /* The example of the header: Part A stops at its top, Part B makes up the potassium: (120 - 15) / 60. */
    { "top", 2, 2, { 47, 0, 10, 60 }, { 94, 120 }, { 0 }, { 0 }, { 1.5, 4 }, .x = { 1.5, 1.75 } },
    /* Two targets pull one part, weights 3 and 1: (9 x 2 + 1 x 5) / 10. */
    { "weights", 2, 1, { 1, 1 }, { 2, 5 }, { 3, 1 }, { 0 }, { 9 }, .x = { 2.3 } },
    { "floor", 2, 2, { 1, 1, 1, -1 }, { 2, 2 }, { 0 }, { -inf, 1 }, { inf, inf }, .x = { 2, 1 } },
    { "no bound below", 1, 1, { 4 }, { -10 }, { 0 }, { -inf }, { inf }, .x = { -2.5 } },
    { "nothing wanted", 2, 2, { 1, 2, 3, 4 }, { 0, 0 }, { 0 }, { 0 }, { 1, 1 }, .x = { 0, 0 } },
    { "twins, nothing wanted", 1, 2, { 1, 1 }, { 0 }, { 2 }, { 0 }, { 1, 1 }, .x = { 0, 0 } },
    { "given part", 2, 2, { 1, 0, 1, 1 }, { 4, 7 }, { 0 }, { 3, 0 }, { 3, 9 }, .x = { 3, 4 } },
    { "all given", 1, 2, { 1, 1 }, { 9 }, { 0 }, { 0.25, 4 }, { 0.25, 4 }, .x = { 0.25, 4 } },
    { "anchor alone",
      0,
      2,
      { 0 },
      { 0 },
      { 0 },
      { 0 },
      { 2, 2 },
      { 0.5, 0.5 },
      { 1.25, 3 },
      .x = { 1.25, 2 } },
    /* 4 (x - 3)^2 + 36 (x - 2)^2 is least at (4 x 3 + 36 x 2) / 40. */
    { "ridge", 1, 1, { 2 }, { 6 }, { 0 }, { 0 }, { 9 }, { 6 }, { 2 }, .x = { 2.1 } },

    /* Ties: the least norm among equals. */
    { "twins", 1, 2, { 1, 1 }, { 2 }, { 0 }, { 0 }, { 1.5, 1.5 }, .x = { 1, 1 } },
    { "twin at its top", 1, 2, { 1, 1 }, { 2 }, { 0 }, { 0 }, { 0.5, 9 }, .x = { 0.5, 1.5 } },
    { "twin out of reach", 1, 2, { 1, 1 }, { 9 }, { 0 }, { 0 }, { 0.5, 0.75 }, .x = { 0.5, 0.75 } },
    { "twin of double strength", 2, 2, { 1, 2, 3, 6 }, { 5, 15 }, { 0 }, { 0 }, { 9, 9 }, .x = { 1, 2 } },
    { "triplets, one held up",
      1,
      3,
      { 1, 1, 1 },
      { 3 },
      { 0 },
      { 2, 0, 0 },
      { 9, 9, 9 },
      .x = { 2, 0.5, 0.5 } },
    { "triplets, two held back",
      1,
      3,
      { 1, 1, 1 },
      { 3 },
      { 0 },
      { 0 },
      { 0.5, 0.25, 9 },
      .x = { 0.5, 0.25, 2.25 } },
    { "opposed", 1, 2, { 1, -1 }, { 3 }, { 0 }, { 0 }, { 9, 9 }, .x = { 3, 0 } },
    { "part that brings nothing", 1, 2, { 2, 0 }, { 6 }, { 0 }, { 0, 0 }, { 9, 9 }, .x = { 3, 0 } },
    { "brings nothing, must be in", 1, 2, { 2, 0 }, { 6 }, { 0 }, { 0, 1 }, { 9, 9 }, .x = { 3, 1 } },
    { "brings nothing, is below 0", 1, 2, { 2, 0 }, { 6 }, { 0 }, { 0, -4 }, { 9, -1 }, .x = { 3, -1 } },
    { "only given ones bring", 1, 2, { 2, 0 }, { 6 }, { 0 }, { 1, -1 }, { 1, 5 }, .x = { 1, 0 } },
    { "no rows", 0, 3, { 0 }, { 0 }, { 0 }, { -1, 0.5, 0 }, { 1, 2, inf }, .x = { 0, 0.5, 0 } },
    /* 3 x + 4 y + z = 26 has its shortest solution along (3, 4, 1): 26 / 26 of it. */
    { "one target for three", 1, 3, { 3, 4, 1 }, { 26 }, { 0 }, { 0 }, { 9, 9, 9 }, .x = { 3, 4, 1 } },
    { "weighted out", 2, 2, { 1, 1, 5, -7 }, { 2, 3 }, { 1, 0 }, { 0 }, { 9, 9 }, .x = { 1, 1 } },

    /* Twins with a ridge share in the ratio of the anchors: x = r + s (1, 1), s = (4 - 3) / 2. */
    { "twins by anchors",
      1,
      2,
      { 1, 1 },
      { 4 },
      { 0 },
      { 0 },
      { 9, 9 },
      { 1e-9, 1e-9 },
      { 1, 2 },
      .x = { 1.5, 2.5 } },
    { "anchor past its top",
      1,
      2,
      { 1, 1 },
      { 4 },
      { 0 },
      { 0 },
      { 9, 2 },
      { 1e-9, 1e-9 },
      { 1, 2 },
      .x = { 2, 2 } },
    /* Only the first is pulled, to 1; the other takes the rest. */
    { "one twin anchored",
      1,
      2,
      { 1, 1 },
      { 4 },
      { 0 },
      { 0 },
      { 9, 9 },
      { 1e-7, 0 },
      { 1, 0 },
      .x = { 1, 3 } },

    /* An equality: of x + y = 3 nearest to (2, 4), half of what is too much comes off each. */
    { "equality",
      2,
      2,
      { 1, 0, 0, 1 },
      { 2, 4 },
      { 0 },
      { 0, 1 },
      { 5, inf },
      .equal = { 1, 1 },
      .equal_to = 3,
      .x = { 0.5, 2.5 } },
    { "equality at a floor",
      2,
      2,
      { 1, 0, 0, 1 },
      { 1, 4 },
      { 0 },
      { 0 },
      { 9, 2.5 },
      .equal = { 1, 1 },
      .equal_to = 2,
      .x = { 0, 2 } },
    { "equality at every top",
      2,
      2,
      { 1, 0, 0, 1 },
      { 2, 4 },
      { 0 },
      { 0 },
      { 5, 6 },
      .equal = { 1, 1 },
      .equal_to = 11,
      .x = { 5, 6 } },
    { "equality of one part",
      1,
      2,
      { 1, 1 },
      { 9 },
      { 0 },
      { 0 },
      { 9, 9 },
      .equal = { 0, 4 },
      .equal_to = 8,
      .x = { 7, 2 } },
    { "equality alone",
      0,
      2,
      { 0 },
      { 0 },
      { 0 },
      { 0 },
      { 9, 9 },
      .equal = { 3, 4 },
      .equal_to = 50,
      .x = { 6, 8 } },
    { "equality between twins",
      1,
      2,
      { 1, 1 },
      { 4 },
      { 0 },
      { 0 },
      { 9, 9 },
      .equal = { 1, -1 },
      .equal_to = 1,
      .x = { 2.5, 1.5 } },
    /* The first guess ends in the corner (0, 1, 0), where no part is free to carry the equality: two must trade. From
     * exact arithmetic: (-28, 1037, 112) / 1037. */
    { "a trade",
      3,
      3,
      { -0.125, -1, -0.625, 0.25, -0.125, -0.75, 0, 1, 0 },
      { -0.5, -0.625, 2 },
      { 0 },
      { -1, 0, 0 },
      { 0, 1, 1 },
      .equal = { 2, 1, 0.5 },
      .equal_to = 1,
      .x = { -28 / 1037.0, 1, 112 / 1037.0 } },

    /* A small ridge beside a large misfit; all from exact arithmetic (lsq_exact.py). */
    { "the rest is out of reach",
      6,
      3,
      { 2, 2, 4, -1, 0, -2, 1, 0, 2, 0, 3, 0, 3, 3, 6, 2, -3, 4 },
      { 1, -1, 3, 3, 0, 9 },
      { 0 },
      { -inf, 0, -inf },
      { 2, inf, inf },
      { 2e-4, 0.1, 2e-4 },
      { 1, 1, 2 },
      .x = { 0.2526315792620499, 0, 0.5052631585240998 } },
    { "a bound between twins",
      2,
      3,
      { 2, 1, 2, -2, -1, 3 },
      { -1, -9 },
      { 0 },
      { -inf, 0, 0 },
      { inf, 1, 1 },
      { 1e-9, 1e-9, 1e-9 },
      { 0, 0, 1 },
      .x = { 1.6, 0.8, 0 } },
    { "the anchored part is held up",
      1,
      3,
      { -2, 1, -2 },
      { 3 },
      { 0 },
      { 0, -1, 0.25 },
      { 0.5, inf, 0.5 },
      { 0, 1e-9, 0 },
      { 0, 1, 1 },
      .x = { 0, 3.5, 0.25 } },
    { "held through the equality",
      4,
      3,
      { -768, -768, -1.3642578125, -0.00390625, -0.00390625, -0.5, -788.125, -788.125, -0.125, 570.75, 570.75,
        -275.875 },
      { -1.5, -0.25, -0.00146484375, -1790.625 },
      { 0, 1, 1, 6 },
      { -inf, -1, 0 },
      { inf, inf, inf },
      { 0, 0x1p-17, 1 },
      { 0, 2, 2 },
      { 1, 1, 2 },
      2.775077070861716,
      .x = { -3.9205806372334453, 2, 2.3478288540475805 } },
};
enum { CASES = sizeof cases / sizeof *cases };

static aq_lsq problem_of(size_t row)
{
    return (aq_lsq){
        .rows = cases[row].rows,
        .parts = cases[row].parts,
        .a = cases[row].a,
        .b = cases[row].b,
        .weight = given(cases[row].weight, cases[row].rows),
        .lower = cases[row].lower,
        .upper = cases[row].upper,
        .ridge = given(cases[row].ridge, cases[row].parts),
        .anchor = cases[row].anchor,
        .equal = given(cases[row].equal, cases[row].parts),
        .equal_to = cases[row].equal_to,
    };
}

static void test_small_problems_have_the_answers_worked_by_hand(void **state)
{
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    (void)state;

    for (size_t row = 0; row < CASES; row++) {
        aq_lsq problem = problem_of(row);
        aq_lsq_report report = { 0 };
        double x[4] = { 0 };
        check_true(cases[row].name, aq_lsq_solve(&problem, work, x, &report) == AQ_OK);
        for (size_t j = 0; j < problem.parts; j++)
            check_close(cases[row].name, x[j], cases[row].x[j], 1e-11);
        check_true(cases[row].name, report.gap < 1e-9);
    }
    aq_lsq_work_free(work);
}

/* Units of parts, targets and tolerances are the caller's: every answer must come out in them. */
static void test_answers_do_not_depend_on_units(void **state)
{
    static const double scales[] = { 1e-8, 1e-3, 3, 1e8 };
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    (void)state;

    for (size_t row = 0; row < CASES; row++)
        for (size_t k = 0; k < sizeof scales / sizeof *scales; k++) {
            aq_lsq problem = problem_of(row);
            double a[18], b[6], lower[4], upper[4], anchor[4], ridge[4], x[4], scale = scales[k];
            for (size_t i = 0; i < problem.rows; i++)
                b[i] = problem.b[i] * scale;
            for (size_t i = 0; i < problem.rows * problem.parts; i++)
                a[i] = problem.a[i] * 1e3;
            for (size_t j = 0; j < problem.parts; j++) {
                lower[j] = problem.lower[j] * scale / 1e3;
                upper[j] = problem.upper[j] * scale / 1e3;
                anchor[j] = problem.anchor[j] * scale / 1e3;
                ridge[j] = problem.ridge ? problem.ridge[j] * 1e3 : 0;
            }
            problem.a = a, problem.b = b, problem.lower = lower, problem.upper = upper,
            problem.anchor = anchor;
            problem.ridge = problem.ridge ? ridge : NULL;
            problem.equal_to *= scale / 1e3;
            check_true(cases[row].name, aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
            for (size_t j = 0; j < problem.parts; j++)
                check_close(cases[row].name, x[j] * 1e3 / scale, cases[row].x[j], 1e-11);
        }
    aq_lsq_work_free(work);
}

/* Each column in a unit of its own, from 1e-8 to 1e8, and each row of a weight of its own: 2 x 2, both met. */
static void test_units_may_differ_within_a_problem(void **state)
{
    static const double units[] = { 1e-8, 1, 1e8 };
    aq_lsq_work *work = aq_lsq_work_new(2, 2);
    (void)state;

    for (size_t k = 0; k < 81; k++) {
        double u = units[k % 3], v = units[k / 3 % 3], weight[] = { units[k / 9 % 3], units[k / 27] };
        double a[] = { 2 * u, 3 * v, 1 * u, 4 * v }, b[] = { 12, 16 }, x[2];
        aq_lsq problem = { .rows = 2, .parts = 2, .a = a, .b = b, .weight = weight };
        char name[100];
        snprintf(name, sizeof name, "units %g and %g, weights %g and %g", u, v, weight[0], weight[1]);
        check_true(name, aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
        check_close(name, x[0] * u, 0, 1e-7 + 1e-12);
        check_close(name, x[1] * v, 4, 1e-7);
    }
    aq_lsq_work_free(work);
}

/* ---- memory ---- */

static void test_a_solve_allocates_nothing(void **state)
{
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    static sample at;
    (void)state;

    seed = 42;
    for (int k = 0; k < 2000; k++) {
        double x[MOST];
        aq_lsq_report report = { 0 };
        make_random(&at);
        allocations = 0;
        aq_status status = aq_lsq_solve(&at.problem, work, x, &report);
        assert_true(allocations == 0);
        assert_int_equal(status, AQ_OK);
    }
    aq_lsq_work_free(work);
    allocations = 0;
    aq_lsq_work_free(aq_lsq_work_new(1, 1));
    assert_true(allocations == 1); /* the count counts */
}

static void test_the_callers_memory_serves_as_well(void **state)
{
    static union {
        max_align_t aligned;
        unsigned char bytes[1 << 16];
    } memory;
    size_t room = aq_lsq_room(3, 4);
    double a[] = { 3, 4, 1 }, b[] = { 26 }, x[3];
    aq_lsq problem = { .rows = 1, .parts = 3, .a = a, .b = b };
    (void)state;

    assert_true(room > 0 && room < sizeof memory);
    memset(&memory, 0xa5, sizeof memory);
    assert_null(aq_lsq_work_at(&memory, room - 1, 3, 4));
    assert_null(aq_lsq_work_at(memory.bytes + 1, room, 3, 4));
    assert_null(aq_lsq_work_at(NULL, room, 3, 4));
    aq_lsq_work *work = aq_lsq_work_at(&memory, room, 3, 4);
    assert_non_null(work);
    assert_int_equal(aq_lsq_solve(&problem, work, x, NULL), AQ_OK);
    check_close("x0", x[0], 3, 1e-14);
    for (size_t k = room; k < sizeof memory; k++)
        assert_int_equal(memory.bytes[k], 0xa5);
    memset(&memory, 0, room); /* which the caller may fill again: nothing of it is fenced off */
    for (size_t k = 0; k < room; k++)
        assert_int_equal(memory.bytes[k], 0);
}

static void test_a_workspace_has_its_limits(void **state)
{
    const size_t wraps = (size_t)1 << (sizeof(size_t) * 4 + 1); /* its square is 0 in a size_t */
    double a[] = { 1, 2 }, b[] = { 1, 2 }, x[2];
    aq_lsq tall = { .rows = 2, .parts = 1, .a = a, .b = b }, wide = { .rows = 1, .parts = 2, .a = a, .b = b };
    aq_lsq none = { .rows = 0, .parts = 0 };
    aq_lsq_work *work = aq_lsq_work_new(1, 1), *empty = aq_lsq_work_new(0, 0);
    (void)state;

    assert_int_equal(aq_lsq_solve(&tall, work, x, NULL), AQ_TOO_LARGE);
    assert_int_equal(aq_lsq_solve(&wide, work, x, NULL), AQ_TOO_LARGE);
    assert_int_equal(aq_lsq_solve(&none, empty, x, NULL), AQ_OK);
    assert_true(aq_lsq_room(SIZE_MAX / 8, 3) == 0);
    assert_true(aq_lsq_room(3, SIZE_MAX / 8) == 0);
    assert_true(aq_lsq_room(wraps, wraps) == 0);
    assert_null(aq_lsq_work_new(SIZE_MAX, 1));
    if (!AQ_FENCE) /* KiB begun, says the header */
        assert_int_equal((aq_lsq_room(20, 12) + 1023) / 1024, 10);
    aq_lsq_work_free(work);
    aq_lsq_work_free(empty);
    aq_lsq_work_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_small_problems_have_the_answers_worked_by_hand),
        cmocka_unit_test(test_answers_do_not_depend_on_units),
        cmocka_unit_test(test_units_may_differ_within_a_problem),
        cmocka_unit_test(test_a_solve_allocates_nothing),
        cmocka_unit_test(test_the_callers_memory_serves_as_well),
        cmocka_unit_test(test_a_workspace_has_its_limits),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
