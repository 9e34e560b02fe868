/* Units are the caller's: bounded least squares in powers of two of them must give the same bits.
 *
 * Let part j count in a unit of its own, a_ij u_j, x_j / u_j, each row in one of its own, a_ij v_i, weight_i / v_i, and
 * all targets, with what pulls toward them, weigh w times as much. Products and sums of doubles by a power of two are
 * exact (IEEE 754), so an answer that needs any unit to be near 1, or compares what has different units, comes out
 * another one. */
#include "lsq_samples.h"

#include <stdio.h>
#include <stdlib.h>

/* The powers of two: of each part, each row, the right-hand side, the weights, the equality. */
typedef struct {
    int part[MOST], row[MOST], right, weight, equality;
} units;

static int power_within(int most)
{
    return (int)random_below((size_t)(2 * most + 1)) - most;
}

static units random_units(const aq_lsq *problem, int most, bool each)
{
    units of = { .right = power_within(most), .weight = power_within(most), .equality = power_within(most) };
    int all = power_within(most);

    for (size_t j = 0; j < problem->parts; j++)
        of.part[j] = each ? power_within(most) : all;
    for (size_t i = 0; i < problem->rows; i++)
        of.row[i] = power_within(most);
    return of;
}

/* The same problem in other units; `to` owns the numbers. */
static void change_units(sample *to, const sample *from, const units *by)
{
    const aq_lsq *old = &from->problem;
    size_t n = old->parts;

    *to = *from;
    for (size_t i = 0; i < old->rows; i++) {
        to->weight[i] = ldexp(old->weight ? from->weight[i] : 1, by->weight - by->row[i]);
        to->b[i] = ldexp(from->b[i], by->row[i] + by->right);
        for (size_t j = 0; j < n; j++)
            to->a[i * n + j] = ldexp(from->a[i * n + j], by->row[i] + by->part[j]);
    }
    for (size_t j = 0; j < n; j++) {
        int x = by->right - by->part[j];
        to->lower[j] = ldexp(from->lower[j], x);
        to->upper[j] = ldexp(from->upper[j], x);
        to->anchor[j] = ldexp(from->anchor[j], x);
        to->ridge[j] = ldexp(from->ridge[j], by->part[j] + by->weight);
        to->equal[j] = ldexp(from->equal[j], by->part[j] + by->equality);
    }
    to->problem.a = to->a, to->problem.b = to->b, to->problem.weight = to->weight;
    to->problem.lower = to->lower, to->problem.upper = to->upper, to->problem.anchor = to->anchor;
    to->problem.ridge = old->ridge ? to->ridge : NULL;
    to->problem.equal = old->equal ? to->equal : NULL;
    to->problem.equal_to = ldexp(old->equal_to, by->right + by->equality);
}

typedef struct {
    aq_lsq_report report;
    double x[MOST], price[MOST];
    int side[MOST];
} answer;

static void solve(const char *name, const aq_lsq *problem, aq_lsq_work *work, answer *to)
{
    to->report = (aq_lsq_report){ .side = to->side, .price = to->price };
    check_true(name, aq_lsq_solve(problem, work, to->x, &to->report) == AQ_OK);
}

static void check_same(const char *name, const sample *at, const answer *here, const answer *there,
                       const units *by)
{
    int square = 2 * (by->right + by->weight);

    check_true(name, here->report.rank == there->report.rank);
    check_true(name, here->report.steps == there->report.steps);
    for (size_t j = 0; j < at->problem.parts; j++) {
        int unit = by->right - by->part[j];
        check_within(name, ldexp(there->x[j], -unit), here->x[j], 0);
        check_within(name, ldexp(there->price[j], unit - square), here->price[j], 0);
        check_true(name, here->side[j] == there->side[j]);
    }
    check_within(name, ldexp(there->report.objective, -square), here->report.objective, 0);
    check_within(name, there->report.gap, here->report.gap, 0);
    check_within(name, ldexp(there->report.equal_price, by->right + by->equality - square),
                 here->report.equal_price, 0);
}

static void check_units(int most, bool each, int count)
{
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    static sample at, moved;
    size_t seen = 0;

    for (int k = 0; k < count; k++) {
        answer here, there;
        char name[40];
        make_random(&at);
        snprintf(name, sizeof name, "problem %d, %zu x %zu", k, at.problem.rows, at.problem.parts);
        units by = random_units(&at.problem, most, each);
        solve(name, &at.problem, work, &here);
        if (each && here.report.rank < at.problem.parts)
            continue; /* which of equals is least depends on the units of the parts */
        change_units(&moved, &at, &by);
        solve(name, &moved.problem, work, &there);
        check_same(name, &at, &here, &there, &by);
        seen++;
    }
    check_true("most were compared", seen > (size_t)count / 3);
    aq_lsq_work_free(work);
}

static void test_each_part_and_row_may_have_a_unit_of_its_own(void **state)
{
    (void)state;
    seed = 20251125;
    check_units(100, true, 4000);
}

static void test_ties_are_broken_alike_in_any_unit(void **state)
{
    (void)state;
    seed = 5112025;
    check_units(100, false, 4000);
}

/* Squares of such numbers leave the range of double, so other factors may serve and the certificate has no number; x
 * is the same but for rounding. */
static void check_x(const char *name, const sample *at, const double *here, const double *there, int unit)
{
    double most = 1; /* as the numbers of a problem are */

    for (size_t j = 0; j < at->problem.parts; j++)
        most = fmax(most, fabs(here[j]));
    for (size_t j = 0; j < at->problem.parts; j++)
        check_within(name, ldexp(there[j], -unit), here[j], 1e-9 * most);
}

/* The first row may be nothing, and any one target or anchor the only one that is not 0: what alone tells how large
 * numbers are may stand anywhere. */
static void want_less(sample *at, int kind)
{
    for (size_t i = 0; i < at->problem.rows && kind > 0; i++)
        at->b[i] = kind == 1 && i > 0 ? at->b[i] : 0;
    for (size_t j = 0; at->problem.rows > 0 && j < at->problem.parts && kind == 1; j++)
        at->a[j] = 0;
    for (size_t j = 0; j < at->problem.parts && kind > 1; j++)
        at->anchor[j] = (j > 0) == (kind == 2) ? at->anchor[j] : 0;
    at->problem.equal = NULL;
}

static void test_numbers_far_from_1_have_the_same_answers(void **state)
{
    aq_lsq_work *work = aq_lsq_work_new(MOST, MOST);
    static sample at, moved;
    (void)state;

    seed = 261125;
    for (int k = 0; k < 4000; k++) {
        double here[MOST], there[MOST];
        char name[40];
        make_random(&at);
        want_less(&at, k % 4);
        units by = { .right = power_within(500), .weight = power_within(100) };
        int part = power_within(300);
        for (size_t j = 0; j < at.problem.parts; j++)
            by.part[j] = part;
        change_units(&moved, &at, &by);
        snprintf(name, sizeof name, "problem %d, %zu x %zu", k, at.problem.rows, at.problem.parts);
        check_true(name, aq_lsq_solve(&at.problem, work, here, NULL) == AQ_OK);
        check_true(name, aq_lsq_solve(&moved.problem, work, there, NULL) == AQ_OK);
        check_x(name, &at, here, there, by.right - part);
    }
    aq_lsq_work_free(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_part_and_row_may_have_a_unit_of_its_own),
        cmocka_unit_test(test_ties_are_broken_alike_in_any_unit),
        cmocka_unit_test(test_numbers_far_from_1_have_the_same_answers),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
