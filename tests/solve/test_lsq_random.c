/* Bounded least squares on thousands of random problems: no x near by is better, the fallback agrees, and nothing is
 * carried from one problem to the next. */
#include "lsq_samples.h"

#include <stdio.h>
#include <stdlib.h>

/* No x near by is better: each pair of parts is moved along the equality, each part alone without one. */
static void check_no_better_near(const char *name, const sample *at, const double *x)
{
    const aq_lsq *problem = &at->problem;
    size_t n = problem->parts;
    double here = objective_at(problem, x);

    for (size_t k = 0; k < n * n * 2; k++) {
        size_t i = k / 2 / n, j = k / 2 % n;
        double by = k % 2 ? 1e-4 : -1e-4, moved[MOST];
        memcpy(moved, x, n * sizeof *x);
        moved[i] += by;
        if (problem->equal && problem->equal[i] != 0) {
            if (i == j || problem->equal[j] == 0)
                continue;
            moved[j] -= by * problem->equal[i] / problem->equal[j];
        } else if (i != j) {
            moved[j] += by;
            if (problem->equal && problem->equal[j] != 0)
                continue;
        }
        if (moved[i] < problem->lower[i] || moved[i] > problem->upper[i] || moved[j] < problem->lower[j] ||
            moved[j] > problem->upper[j])
            continue;
        check_true(name, objective_at(problem, moved) >= here - 1e-12 * (1 + here));
    }
}

static void check_answer(const char *name, const sample *at, const double *x, const aq_lsq_report *report)
{
    const aq_lsq *problem = &at->problem;
    double sum = 0, terms = fabs(problem->equal_to);

    for (size_t j = 0; j < problem->parts; j++) {
        check_true(name, x[j] >= problem->lower[j] && x[j] <= problem->upper[j]);
        sum += at->equal[j] * x[j];
        terms += fabs(at->equal[j] * x[j]);
    }
    if (problem->equal)
        check_within(name, sum, problem->equal_to, 9e-16 * terms);
    check_true(name, report->gap < 1e-8);
    check_no_better_near(name, at, x);
}

/* The first guess is good: little more than one part is freed again, on the average over problems as awkward as these. */
static void test_no_answer_can_be_bettered(void **state)
{
    enum { COUNT = 20000 };
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    static sample at;
    size_t steps = 0;
    (void)state;

    seed = 88172645463325252u;
    for (int k = 0; k < COUNT; k++) {
        double x[MOST], price[MOST];
        int side[MOST];
        aq_lsq_report report = { .side = side, .price = price };
        char name[40];
        make_random(&at);
        snprintf(name, sizeof name, "problem %d, %zu x %zu", k, at.problem.rows, at.problem.parts);
        check_true(name, aq_lsq_solve(&at.problem, work, x, &report) == AQ_OK);
        check_true(name, report.steps <= 32 + 16 * at.problem.parts);
        check_answer(name, &at, x, &report);
        steps += report.steps;
    }
    check_true("freed again", steps > COUNT && steps < COUNT * 11 / 10);
    aq_lsq_work_free(work);
}

/* Seeds of problems that a search through a million found: where what meets a bound on the way does not stop there, the
 * first two end short of the best, and where x does not move toward it the last. */
static void test_the_way_down_is_kept(void **state)
{
    static const unsigned long long seeds[] = { 11902809597460968057u, 2218308087617207829u,
                                                17010555669009536640u };
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    static sample at;
    (void)state;

    for (size_t k = 0; k < 3; k++) {
        double x[MOST], price[MOST];
        int side[MOST];
        aq_lsq_report report = { .side = side, .price = price };
        seed = seeds[k];
        make_random(&at);
        check_true("solved", aq_lsq_solve(&at.problem, work, x, &report) == AQ_OK);
        check_answer("found", &at, x, &report);
    }
    aq_lsq_work_free(work);
}

/* All that x is measured in, by a power of two: nothing that is compared may have a size of its own. */
static void shrink(sample *at, double by)
{
    for (size_t i = 0; i < at->problem.rows; i++)
        at->b[i] *= by;
    for (size_t j = 0; j < at->problem.parts; j++)
        at->lower[j] *= by, at->upper[j] *= by, at->anchor[j] *= by;
    at->problem.equal_to *= by;
}

/* With no patience the parts are freed by their number from the start. */
static void test_the_fallback_finds_the_same_answers(void **state)
{
    size_t freed = 0, room = aq_lsq_room(MOST, MOST);
    void *memory = malloc(room);
    static sample at;
    (void)state;

    memset(memory, 0xff, room); /* all NaN: whatever is read of it shows */
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST), *hasty = aq_lsq_work_at(memory, room, MOST, MOST);

    seed = 1234567;
    for (int k = 0; k < 3000; k++) {
        double x[MOST], y[MOST];
        char name[40];
        make_random(&at);
        double unit = k % 2 ? 0x1p-40 : 1;
        shrink(&at, unit);
        snprintf(name, sizeof name, "problem %d, %zu x %zu", k, at.problem.rows, at.problem.parts);
        check_true(name, aq_lsq_solve(&at.problem, work, x, NULL) == AQ_OK);
        if (work->rank < at.problem.parts)
            continue;
        hasty->parts = at.problem.parts;
        hasty->stride = at.problem.parts + 1;
        hasty->patience = 0;
        hasty->equality = at.problem.equal != NULL;
        if (!aq_lsq_factor_plain(hasty, &at.problem))
            continue;
        aq_lsq_active(hasty);
        freed += hasty->steps;
        memcpy(y, hasty->x, at.problem.parts * sizeof *y);
        for (size_t j = 0; j < at.problem.parts; j++)
            check_close(name, y[j] / unit, x[j] / unit, 1e-9);
    }
    check_true("the fallback was used", freed > 300);
    aq_lsq_work_free(work);
    free(memory);
}

/* A workspace carries nothing from one problem to the next. */
static void test_answers_do_not_depend_on_what_came_before(void **state)
{
    aq_lsq_work *used = aq_lsq_work_new(MOST, MOST);
    static sample at;
    (void)state;

    seed = 7;
    for (int k = 0; k < 500; k++) {
        double x[MOST], y[MOST];
        make_random(&at);
        aq_lsq_work *fresh = aq_lsq_work_new(at.problem.rows, at.problem.parts);
        assert_int_equal(aq_lsq_solve(&at.problem, used, x, NULL), AQ_OK);
        assert_int_equal(aq_lsq_solve(&at.problem, fresh, y, NULL), AQ_OK);
        assert_memory_equal(x, y, at.problem.parts * sizeof *x);
        aq_lsq_work_free(fresh);
    }
    aq_lsq_work_free(used);
}

/* ---- nothing else is read ---- */

/* `count` numbers at the end of what is handed out, between others that would spoil any sum. */
static const double *among_nan(double *store, size_t *used, const double *from, size_t count)
{
    double *at = store + *used + 1;

    at[-1] = NAN;
    for (size_t k = 0; k < count; k++)
        at[k] = from[k];
    at[count] = NAN;
    *used += count + 2;
    return at;
}

static aq_lsq each_among_nan(const aq_lsq *from, double *store)
{
    aq_lsq to = *from;
    size_t n = from->parts, used = 0;

    to.a = among_nan(store, &used, from->a, from->rows * n);
    to.b = among_nan(store, &used, from->b, from->rows);
    to.weight = from->weight ? among_nan(store, &used, from->weight, from->rows) : NULL;
    to.lower = among_nan(store, &used, from->lower, n);
    to.upper = among_nan(store, &used, from->upper, n);
    to.ridge = from->ridge ? among_nan(store, &used, from->ridge, n) : NULL;
    to.anchor = from->anchor ? among_nan(store, &used, from->anchor, n) : NULL;
    to.equal = from->equal ? among_nan(store, &used, from->equal, n) : NULL;
    return to;
}

/* Numbers beside the arrays, and what the memory of the workspace held before, are NaN: wherever one is read, the
 * answer or the certificate is another. */
static void test_nothing_beside_the_numbers_is_read(void **state)
{
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    static double store[REAL_MOST + 10 * (MOST + 2)];
    static sample at;
    (void)state;

    seed = 314159;
    for (int k = 0; k < 2000; k++) {
        double x[MOST], price[MOST + 1], y[MOST + 1], other_price[MOST + 1];
        int side[MOST], other_side[MOST + 1];
        aq_lsq_report report = { .side = side, .price = price },
                      other = { .side = other_side, .price = other_price };
        char name[40];
        make_random(&at);
        size_t n = at.problem.parts, room = aq_lsq_room(at.problem.rows, n);
        snprintf(name, sizeof name, "problem %d, %zu x %zu", k, at.problem.rows, n);
        void *memory = malloc(room);
        memset(memory, 0xff, room);
        aq_lsq bare = each_among_nan(&at.problem, store);
        y[n] = other_price[n] = 7, other_side[n] = 7;
        check_true(name, aq_lsq_solve(&at.problem, work, x, &report) == AQ_OK);
        check_true(name,
                   aq_lsq_solve(&bare, aq_lsq_work_at(memory, room, at.problem.rows, n), y, &other) == AQ_OK);
        check_true(name, memcmp(x, y, n * sizeof *x) == 0 && memcmp(price, other_price, n * sizeof *x) == 0);
        check_true(name, memcmp(side, other_side, n * sizeof *side) == 0);
        check_true(name, y[n] == 7 && other_price[n] == 7 && other_side[n] == 7);
        check_within(name, other.objective, report.objective, 0);
        check_within(name, other.gap, report.gap, 0);
        check_within(name, other.equal_price, report.equal_price, 0);
        check_true(name, other.rank == report.rank && other.steps == report.steps);
        free(memory);
    }
    aq_lsq_work_free(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_answer_can_be_bettered),
        cmocka_unit_test(test_the_way_down_is_kept),
        cmocka_unit_test(test_the_fallback_finds_the_same_answers),
        cmocka_unit_test(test_answers_do_not_depend_on_what_came_before),
        cmocka_unit_test(test_nothing_beside_the_numbers_is_read),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
