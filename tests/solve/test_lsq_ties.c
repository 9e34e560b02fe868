/* Of equally good answers the one of least norm, against the conditions that alone make it so (Karush, Kuhn, Tucker):
 *
 * where A x = b can be met, the shortest such x within its bounds is x_j = a_j . p, clipped to the bounds of x_j, for
 * some p, one number a row. p follows from the parts within their range, as many of them as there are rows; all the
 * other parts must then agree with it. Example: x1 + x2 + x3 = 3 with x1 at most 0.5: p = 1.25, x = (0.5, 1.25, 1.25). */
#include "lsq_samples.h"

#include <stdio.h>
#include <stdlib.h>

enum { ROWS = 3, PARTS = 12 };

/* Solves the `count` equations of rows, each with its right-hand side last, by elimination with pivots. False if two
 * of them nearly say the same. */
static bool eliminate(double rows[ROWS][ROWS + 1], size_t count)
{
    for (size_t k = 0; k < count; k++) {
        size_t most = k;
        for (size_t i = k + 1; i < count; i++)
            most = fabs(rows[i][k]) > fabs(rows[most][k]) ? i : most;
        for (size_t j = 0; j <= count; j++) {
            double kept = rows[k][j];
            rows[k][j] = rows[most][j];
            rows[most][j] = kept;
        }
        if (fabs(rows[k][k]) < 1e-2)
            return false;
        for (size_t i = 0; i < count; i++) {
            double share = i == k ? 0 : rows[i][k] / rows[k][k];
            for (size_t j = 0; j <= count; j++)
                rows[i][j] -= share * rows[k][j];
        }
    }
    for (size_t k = 0; k < count; k++)
        rows[k][count] /= rows[k][k];
    return true;
}

/* p, from the parts within their range that lie farthest from their bounds; false if they are too few. */
static bool prices_of(const aq_lsq *problem, const double *x, double *p)
{
    size_t m = problem->rows, n = problem->parts, found = 0;
    double rows[ROWS][ROWS + 1];

    for (size_t j = 0; j < n && found < m; j++) {
        if (x[j] < problem->lower[j] + 1e-3 || x[j] > problem->upper[j] - 1e-3)
            continue;
        for (size_t i = 0; i < m; i++)
            rows[found][i] = problem->a[i * n + j];
        rows[found++][m] = x[j];
    }
    if (found < m || !eliminate(rows, m))
        return false;
    for (size_t i = 0; i < m; i++)
        p[i] = rows[i][m];
    return true;
}

/* Rows that some x within the bounds meets; many of the bounds are near. */
static void make_wide(sample *at)
{
    size_t m = 1 + random_below(ROWS), n = m + 2 + random_below(PARTS - m - 1);

    *at = (sample){ .problem = { .rows = m, .parts = n, .a = at->a, .b = at->b } };
    at->problem.lower = at->lower;
    at->problem.upper = at->upper;
    for (size_t j = 0; j < n; j++) {
        at->lower[j] = 0.6 * random_share() - 0.4;
        at->upper[j] = at->lower[j] + 0.05 + (random_below(3) == 0 ? 9 : random_share());
        double x = at->lower[j] + random_share() * fmin(at->upper[j] - at->lower[j], 2);
        for (size_t i = 0; i < m; i++) {
            at->a[i * n + j] = 2 * random_share() - 0.8;
            at->b[i] += at->a[i * n + j] * x;
        }
    }
}

static void test_ties_go_to_the_shortest_answer_within_the_bounds(void **state)
{
    enum { COUNT = 4000 };
    aq_lsq_work *work = aq_lsq_work_new(ROWS, PARTS);
    static sample at;
    size_t judged = 0, held = 0;
    (void)state;

    seed = 271828;
    for (int k = 0; k < COUNT; k++) {
        double x[PARTS], p[ROWS];
        char name[40];
        make_wide(&at);
        size_t m = at.problem.rows, n = at.problem.parts;
        snprintf(name, sizeof name, "problem %d, %zu x %zu", k, m, n);
        check_true(name, aq_lsq_solve(&at.problem, work, x, NULL) == AQ_OK);
        for (size_t i = 0; i < m; i++) {
            double sum = 0;
            for (size_t j = 0; j < n; j++)
                sum += at.a[i * n + j] * x[j];
            check_close(name, sum, at.b[i], 1e-12);
        }
        if (!prices_of(&at.problem, x, p))
            continue;
        judged++;
        for (size_t j = 0; j < n; j++) {
            double wanted = 0;
            for (size_t i = 0; i < m; i++)
                wanted += at.a[i * n + j] * p[i];
            held += wanted < at.lower[j] || wanted > at.upper[j];
            check_close(name, x[j], fmin(fmax(wanted, at.lower[j]), at.upper[j]), 1e-9);
            if (wanted < at.lower[j] - 1e-6 ||
                wanted > at.upper[j] + 1e-6) /* held there, so there to the bit */
                check_true(name, x[j] == (wanted < at.lower[j] ? at.lower[j] : at.upper[j]));
        }
    }
    check_true("judged", judged > COUNT / 2);
    check_true("held at a bound", held > 2 * judged);
    aq_lsq_work_free(work);
}

/* Twins share 2 alike unless the top of one is below 1, by however little: then the other makes up for that. */
static void test_a_bound_near_the_shortest_answer_is_seen(void **state)
{
    static const double beyond[] = { -1e-6, -1e-10, -1e-13, 1e-13, 1e-10, 1e-6 };
    double a[] = { 1, 1 }, b[] = { 2 }, upper[] = { 0, 9 }, x[2];
    aq_lsq problem = { .rows = 1, .parts = 2, .a = a, .b = b, .upper = upper };
    aq_lsq_work *work = aq_lsq_work_new(1, 2);
    (void)state;

    for (size_t k = 0; k < sizeof beyond / sizeof *beyond; k++) {
        double least = fmin(beyond[k], 0);
        upper[0] = 1 + beyond[k];
        check_true("solved", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
        check_within("the one", x[0], 1 + least, 2e-15);
        check_within("the other", x[1], 1 - least, 2e-15);
    }
    aq_lsq_work_free(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ties_go_to_the_shortest_answer_within_the_bounds),
        cmocka_unit_test(test_a_bound_near_the_shortest_answer_is_seen),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
