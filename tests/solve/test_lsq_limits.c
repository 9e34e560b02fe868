/* What bounded least squares refuses, what is left out of a problem, and the certificate: gaps and prices worked by
 * hand. */
#include "lsq_samples.h"

#include <stdlib.h>

/* ---- what is refused ---- */

static void test_what_makes_no_sense_is_invalid(void **state)
{
    enum { A, B, WEIGHT, LOWER, UPPER, RIDGE, ANCHOR, EQUAL, EQUAL_TO };
    static const struct {
        const char *name;
        int where;
        double value;
        aq_status status;
    } rows[] = {
        { "NaN in A", A, NAN, AQ_INVALID },
        { "infinite A", A, INFINITY, AQ_INVALID },
        { "-infinite A", A, -INFINITY, AQ_INVALID },
        { "NaN in b", B, NAN, AQ_INVALID },
        { "infinite b", B, INFINITY, AQ_INVALID },
        { "NaN weight", WEIGHT, NAN, AQ_INVALID },
        { "infinite weight", WEIGHT, INFINITY, AQ_INVALID },
        { "negative weight", WEIGHT, -1, AQ_INVALID },
        { "weight 0", WEIGHT, 0, AQ_OK },
        { "NaN lower", LOWER, NAN, AQ_INVALID },
        { "infinite lower", LOWER, INFINITY, AQ_INVALID },
        { "no lower", LOWER, -INFINITY, AQ_OK },
        { "lower above upper", LOWER, 2.5, AQ_INVALID },
        { "upper at lower", UPPER, 0, AQ_OK },
        { "NaN upper", UPPER, NAN, AQ_INVALID },
        { "-infinite upper", UPPER, -INFINITY, AQ_INVALID },
        { "no upper", UPPER, INFINITY, AQ_OK },
        { "upper below lower", UPPER, -0.5, AQ_INVALID },
        { "NaN ridge", RIDGE, NAN, AQ_INVALID },
        { "infinite ridge", RIDGE, INFINITY, AQ_INVALID },
        { "negative ridge", RIDGE, -1e-3, AQ_INVALID },
        { "ridge 0", RIDGE, 0, AQ_OK },
        { "NaN anchor", ANCHOR, NAN, AQ_INVALID },
        { "infinite anchor", ANCHOR, INFINITY, AQ_INVALID },
        { "NaN in the equality", EQUAL, NAN, AQ_INVALID },
        { "infinite in the equality", EQUAL, INFINITY, AQ_INVALID },
        { "equality to NaN", EQUAL_TO, NAN, AQ_INVALID },
        { "equality to infinity", EQUAL_TO, INFINITY, AQ_INVALID },
        { "equality past the tops", EQUAL_TO, 4.0001, AQ_INFEASIBLE },
        { "equality at the tops", EQUAL_TO, 4, AQ_OK },
        { "equality below the floors", EQUAL_TO, -1e-9, AQ_INFEASIBLE },
        { "equality at the floors", EQUAL_TO, 0, AQ_OK },
        { "very large", A, 1e200, AQ_OK },
        { "larger than a double when weighted", A, 1e308, AQ_INVALID },
        { "very small", A, 1e-300, AQ_OK },
    };
    aq_lsq_work *work = aq_lsq_work_new(2, 2);
    (void)state;

    for (size_t row = 0; row < sizeof rows / sizeof *rows; row++) {
        double a[] = { 1, 2, 3, 4 }, b[] = { 1, 2 }, weight[] = { 1, 10 }, lower[] = { 0, 0 },
               upper[] = { 2, 2 };
        double ridge[] = { 1e-3, 1e-3 }, anchor[] = { 1, 1 }, equal[] = { 1, 1 }, x[2] = { 7, 7 };
        aq_lsq problem = { 2, 2, a, b, weight, lower, upper, ridge, anchor, equal, 1 };
        double *where[] = { a + 3, b + 1, weight + 1, lower, upper, ridge, anchor, equal, &problem.equal_to };
        *where[rows[row].where] = rows[row].value;
        aq_lsq_report report = { .rank = 77 };
        check_true(rows[row].name, aq_lsq_solve(&problem, work, x, &report) == rows[row].status);
        if (rows[row].status != AQ_OK) {
            check_true(rows[row].name, x[0] == 7 && x[1] == 7 && report.rank == 77);
            continue;
        }
        check_true(rows[row].name, isfinite(x[0]) && isfinite(x[1]));
        for (int j = 0; j < 2; j++)
            check_true(rows[row].name, x[j] >= lower[j] && x[j] <= upper[j]);
    }
    aq_lsq_work_free(work);
}

static void test_an_equality_of_nothing_is_met_only_by_nothing(void **state)
{
    double a[] = { 1, 2 }, b[] = { 3 }, equal[] = { 0, 0 }, x[2];
    aq_lsq problem = { .rows = 1, .parts = 2, .a = a, .b = b, .equal = equal };
    aq_lsq_work *work = aq_lsq_work_new(1, 2);
    (void)state;

    check_true("0 = 0", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
    check_close("0 = 0", x[0] + 2 * x[1], 3, 1e-14);
    problem.equal_to = 1e-30;
    check_true("0 = 1e-30", aq_lsq_solve(&problem, work, x, NULL) == AQ_INFEASIBLE);
    a[0] = NAN;
    check_true("unreachable and NaN", aq_lsq_solve(&problem, work, x, NULL) == AQ_INVALID);
    aq_lsq_work_free(work);
}

/* The same where the plain factors do not serve, because the parts are twins and every number is looked at. */
static void test_twins_are_refused_alike(void **state)
{
    double a[] = { 1, 1 }, b[] = { 1 }, ridge[] = { 1e200, 0 }, anchor[] = { 1e200, 0 },
           beyond[] = { 1e200, 7 }, x[2];
    aq_lsq problem = { .rows = 1, .parts = 2, .a = a, .b = b, .ridge = ridge, .anchor = anchor };
    aq_lsq_work *work = aq_lsq_work_new(1, 2);
    (void)state;

    check_true("anchor beyond a double", aq_lsq_solve(&problem, work, x, NULL) == AQ_INVALID);
    ridge[0] = 0, ridge[1] = 1e200, anchor[1] = 1e200;
    check_true("the last one", aq_lsq_solve(&problem, work, x, NULL) == AQ_INVALID);
    problem.ridge = NULL, problem.anchor = beyond;
    check_true("an anchor without a ridge pulls at nothing", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
    check_close("so the twins share alike", x[0], 0.5, 1e-14);
    beyond[1] = NAN;
    check_true("but NaN is none", aq_lsq_solve(&problem, work, x, NULL) == AQ_INVALID);
    a[1] = 2, problem.rows = 0;
    check_true("whatever the rest", aq_lsq_solve(&problem, work, x, NULL) == AQ_INVALID);
    aq_lsq_work_free(work);
}

/* 4 (x - 3)^2 + 36 x^2 is least at 4 x 3 / 40. */
static void test_a_ridge_without_anchors_pulls_to_0(void **state)
{
    double a[] = { 2 }, b[] = { 6 }, ridge[] = { 6 }, twins[] = { 1, 1 }, both[] = { 1e-9, 1e-9 }, x[2];
    aq_lsq problem = { .rows = 1, .parts = 1, .a = a, .b = b, .ridge = ridge };
    aq_lsq_report report = { 0 };
    aq_lsq_work *work = aq_lsq_work_new(1, 2);
    (void)state;

    check_true("one", aq_lsq_solve(&problem, work, x, &report) == AQ_OK);
    check_close("one", x[0], 0.3, 1e-15);
    check_close("one", report.objective, 32.4, 1e-14);
    problem.parts = 2, problem.a = twins, problem.ridge = both;
    check_true("twins", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
    check_close("twins", x[0], 3, 1e-12);
    check_close("twins", x[1], 3, 1e-12);
    aq_lsq_work_free(work);
}

static void test_a_lower_bound_left_out_is_0(void **state)
{
    double a[] = { 1, 0, 0, 1 }, b[] = { -1, 2 }, upper[] = { 0.5, 0.5 }, equal[] = { 1, 1 }, x[2];
    aq_lsq problem = {
        .rows = 2, .parts = 2, .a = a, .b = b, .upper = upper, .equal = equal, .equal_to = 0.25
    };
    aq_lsq_work *work = aq_lsq_work_new(2, 2);
    (void)state;

    check_true("within reach", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
    check_true("x", x[0] == 0 && x[1] == 0.25);
    problem.equal_to = -0.25;
    check_true("below 0", aq_lsq_solve(&problem, work, x, NULL) == AQ_INFEASIBLE);
    problem.equal = NULL;
    check_true("no equality", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
    check_true("x", x[0] == 0 && x[1] == 0.5);
    aq_lsq_work_free(work);
}

/* How far past its tops an equality counts as reached is a matter of its own digits, whatever its unit. */
static void test_reach_is_a_matter_of_digits(void **state)
{
    static const double units[] = { 1e-30, 1, 1e30 };
    double a[] = { 1 }, b[] = { 1 }, lower[] = { -INFINITY }, upper[] = { 1 }, x[1];
    aq_lsq_work *work = aq_lsq_work_new(1, 1);
    (void)state;

    for (size_t k = 0; k < 3; k++)
        for (int sign = -1; sign < 2; sign += 2) {
            double equal[] = { sign * units[k] };
            aq_lsq problem = { 1, 1, a, b, NULL, lower, upper, NULL, NULL, equal, 0 };
            problem.equal_to = equal[0] * (1 + 1e-13);
            check_true("past the top", aq_lsq_solve(&problem, work, x, NULL) == AQ_INFEASIBLE);
            problem.equal_to = equal[0] * (1 + 1e-15);
            check_true("by its last digit", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK && x[0] == 1);
        }
    aq_lsq_work_free(work);
}

/* What the equality misses by its last digits cannot be made up by a part that does not count in it. */
static void test_a_part_beside_a_reached_equality_is_free(void **state)
{
    const double a[] = { 1, 0, 0, 1 }, b[] = { 3, 5 }, upper[] = { 1, INFINITY }, equal[] = { 1, 0 };
    aq_lsq problem = { .rows = 2, .parts = 2, .a = a, .b = b, .upper = upper, .equal = equal };
    aq_lsq_work *work = aq_lsq_work_new(2, 2);
    double x[2];
    (void)state;

    problem.equal_to = 1 + 1e-15; /* short by four of the smallest steps above 1 */
    check_true("by its last digits", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
    check_within("at its top", x[0], 1, 0);
    check_within("beside it", x[1], 5, 1e-14);
    aq_lsq_work_free(work);
}

/* ---- the certificate ---- */

/* The double nearest to 1/49, times 49, falls short of 1 by 2^-53, so that is what the best x leaves: a share of
 * 1 + 1 - 2^-53 where nothing else is wanted, of the root of 2^2 + 7^2 where 7 more are and nothing brings them. A part
 * that only an equality knows adds no terms. */
static void test_a_gap_is_what_rounding_left(void **state)
{
    double a[] = { 49, 0 }, b[] = { 1, 7 }, upper[] = { 1 }, x[1];
    aq_lsq problem = { .rows = 1, .parts = 1, .a = a, .b = b, .upper = upper };
    aq_lsq_report report = { 0 };
    aq_lsq_work *work = aq_lsq_work_new(2, 1);
    (void)state;

    assert_int_equal(aq_lsq_solve(&problem, work, x, &report), AQ_OK);
    check_within("one target", report.gap, 0x1p-53 / 2, 1e-25);
    check_within("one target", report.objective, 0x1p-106, 0x1p-130);
    problem.rows = 2;
    assert_int_equal(aq_lsq_solve(&problem, work, x, &report), AQ_OK);
    check_within("two targets", report.gap, 0x1p-53 / sqrt(53), 1e-25);
    check_within("two targets", report.objective, 49, 0);
    aq_lsq_work_free(work);

    const double wide[] = { 49, 0 }, tops[] = { 1, 9 }, equal[] = { 0, 1 };
    double both[2];
    problem =
        (aq_lsq){ .rows = 1, .parts = 2, .a = wide, .b = b, .upper = tops, .equal = equal, .equal_to = 3 };
    work = aq_lsq_work_new(1, 2);
    assert_int_equal(aq_lsq_solve(&problem, work, both, &report), AQ_OK);
    check_within("beside an equality", both[1], 3, 0);
    check_within("beside an equality", report.gap, 0x1p-53 / 2, 1e-25);
    aq_lsq_work_free(work);
}

/* x = (1, 2), its tops, is wanted to add to 3 + 2^-50, which counts as reached. The terms are 3 + 1 + 2 of the sum, and
 * of the targets 2 and 4, in its unit: the norm of (2 + 1, 4 + 2) and the sum's own 3, the size of the sum being the
 * root of 2. */
static void test_a_gap_tells_what_an_equality_misses(void **state)
{
    double a[] = { 1, 0, 0, 1 }, b[] = { 2, 4 }, upper[] = { 1, 2 }, equal[] = { 1, 1 }, x[2];
    aq_lsq problem = { .rows = 2, .parts = 2, .a = a, .b = b, .upper = upper, .equal = equal };
    aq_lsq_report report = { 0 };
    aq_lsq_work *work = aq_lsq_work_new(2, 2);
    (void)state;

    problem.equal_to = 3 + 0x1p-50;
    assert_int_equal(aq_lsq_solve(&problem, work, x, &report), AQ_OK);
    check_true("both at their tops", x[0] == 1 && x[1] == 2);
    check_within("gap", report.gap, 0x1p-50 / (6 + sqrt(2) * (sqrt(45) + 3 / sqrt(2))), 1e-22);
    aq_lsq_work_free(work);
}

/* Each price against the change of the objective when that bound, or the equality, is moved by a little. */
static void test_a_price_is_what_a_bound_costs(void **state)
{
    double a[] = { 47, 0, 3, 10, 60, 7, 1, 2, 9 }, b[] = { 94, 120, -9 }, lower[] = { 0, 0, 0.5 };
    double upper[] = { 1.5, 4, 3 }, equal[] = { 0.4, 0.3, 0.2 }, x[3], price[3], moved[3];
    int side[3];
    aq_lsq problem = { .rows = 3, .parts = 3, .a = a, .b = b, .lower = lower, .upper = upper };
    aq_lsq_work *work = aq_lsq_work_new(3, 3);
    (void)state;

    for (int with = 0; with < 2; with++) {
        aq_lsq_report report = { .side = side, .price = price }, after = { .side = NULL };
        problem.equal = with ? equal : NULL;
        problem.equal_to = 1.2;
        assert_int_equal(aq_lsq_solve(&problem, work, x, &report), AQ_OK);
        check_true("A at its top", side[0] == 1 && price[0] < 0);
        check_true("B within its range", side[1] == 0 && price[1] == 0);
        check_true("C at its floor", side[2] == -1 && price[2] > 0);
        check_true("one answer", report.rank == 3 && report.gap < 1e-14);

        double *bounds[] = { upper, lower + 2, &problem.equal_to },
               wanted[] = { price[0], price[2], report.equal_price };
        for (int k = 0; k < 2 + with; k++) {
            double before = *bounds[k], by = 1e-7;
            *bounds[k] = before + by;
            assert_int_equal(aq_lsq_solve(&problem, work, moved, &after), AQ_OK);
            *bounds[k] = before;
            check_close("price", (after.objective - report.objective) / by, wanted[k], 1e-4);
        }
    }
    aq_lsq_work_free(work);
}

/* x1 + x2 = 1 holds a corner in place, (0, 1) or (1, 0). Wanted are 5 and 9, so one way a unit more costs 2 (x1 - 5) =
 * -10 and one less -18; then -4 and -8, where one less costs 2 (x1 + 4) = 10 and one more 16. Of what lies between, any
 * suits: the nearest to 0 is told, and with it no part is freed in vain. */
static void test_a_price_that_is_open_is_the_nearest_to_0(void **state)
{
    static const double wanted[2][2] = { { 5, 9 }, { -4, -8 } }, first[] = { 0, 1 }, prices[] = { -10, 10 };
    double a[] = { 1, 0, 0, 1 }, upper[] = { 1, 1 }, equal[] = { 1, 1 }, x[2];
    aq_lsq problem = { .rows = 2, .parts = 2, .a = a, .upper = upper, .equal = equal, .equal_to = 1 };
    aq_lsq_work *work = aq_lsq_work_new(2, 2);
    (void)state;

    for (int k = 0; k < 2; k++) {
        aq_lsq_report report = { .side = NULL };
        problem.b = wanted[k];
        assert_int_equal(aq_lsq_solve(&problem, work, x, &report), AQ_OK);
        check_true("the corner", x[0] == first[k] && x[1] == 1 - first[k]);
        check_close("price", report.equal_price, prices[k], 1e-14);
        check_true("at once", report.steps == 0);
        check_within("gap", report.gap, 0, 1e-15);
    }
    aq_lsq_work_free(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_makes_no_sense_is_invalid),
        cmocka_unit_test(test_an_equality_of_nothing_is_met_only_by_nothing),
        cmocka_unit_test(test_twins_are_refused_alike),
        cmocka_unit_test(test_a_lower_bound_left_out_is_0),
        cmocka_unit_test(test_reach_is_a_matter_of_digits),
        cmocka_unit_test(test_a_part_beside_a_reached_equality_is_free),
        cmocka_unit_test(test_a_gap_is_what_rounding_left),
        cmocka_unit_test(test_a_gap_tells_what_an_equality_misses),
        cmocka_unit_test(test_a_price_is_what_a_bound_costs),
        cmocka_unit_test(test_a_price_that_is_open_is_the_nearest_to_0),
        cmocka_unit_test(test_a_ridge_without_anchors_pulls_to_0),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
