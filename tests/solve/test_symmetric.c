/* Small symmetric matrices: worked by hand, and put together again from their factors. */
#include "check.h"
#include "dice.h"
#include "solve/symmetric.h"

#include <stdio.h>

enum { MOST = 6, ENTRIES = MOST * MOST };

/* A matrix, with numbers behind it that are not its own. */
typedef struct {
    double at[ENTRIES + MOST + 1];
} square;

static void guard(square *m, size_t n)
{
    for (size_t k = n * n; k < sizeof m->at / sizeof *m->at; k++)
        m->at[k] = 7.25;
}

static void check_guarded(const char *name, const square *m, size_t n)
{
    for (size_t k = n * n; k < sizeof m->at / sizeof *m->at; k++)
        check_within(name, m->at[k], 7.25, 0);
}

/* B B' and a little on the diagonal: positive definite. */
static square random_square(aq_dice *dice, size_t n)
{
    square b = { { 0 } }, m = { { 0 } };

    for (size_t k = 0; k < n * n; k++)
        b.at[k] = dice_between(dice, -1, 1);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            m.at[i * n + j] = i == j ? 0.1 : 0;
            for (size_t k = 0; k < n; k++)
                m.at[i * n + j] += b.at[i * n + k] * b.at[j * n + k];
        }
    guard(&m, n);
    return m;
}

/* ((4, 2), (2, 10)) is L L' of L = ((2, 0), (1, 3)); its inverse is ((10, -2), (-2, 4)) / 36. */
static void test_two_by_two_by_hand(void **state)
{
    double m[] = { 4, 2, 2, 10 }, inverse[4], x[] = { 6, 9 };
    (void)state;

    assert_true(aq_cholesky(m, 2));
    check_true("L", m[0] == 2 && m[2] == 1 && m[3] == 3);
    aq_cholesky_forward(m, 2, x); /* 2 y1 = 6, y1 + 3 y2 = 9 */
    check_true("L^-1 (6, 9)", x[0] == 3 && x[1] == 2);
    aq_cholesky_inverse(m, 2, inverse);
    check_within("inverse", inverse[0], 10 / 36.0, 1e-15);
    check_within("inverse", inverse[1], -2 / 36.0, 1e-15);
    check_within("inverse", inverse[2], -2 / 36.0, 1e-15);
    check_within("inverse", inverse[3], 4 / 36.0, 1e-15);
}

static void test_what_is_not_positive_definite_has_no_root(void **state)
{
    double nothing[] = { 0 }, below[] = { -1 }, saddle[] = { 1, 2, 2, 1 }, flat[] = { 1, 1, 1, 1 },
           unknown[] = { NAN };
    (void)state;

    assert_false(aq_cholesky(nothing, 1));
    assert_false(aq_cholesky(below, 1));
    assert_false(aq_cholesky(saddle, 2));
    assert_false(aq_cholesky(flat, 2));
    assert_false(aq_cholesky(unknown, 1));
}

static void test_factors_put_the_matrix_together_again(void **state)
{
    aq_dice dice = { 4711 };
    (void)state;

    for (int run = 0; run < 500; run++) {
        size_t n = 1 + dice_below(&dice, MOST);
        square m = random_square(&dice, n), l = m, inverse = { { 0 } };
        char name[20];

        snprintf(name, sizeof name, "run %d, %zu", run, n);
        guard(&inverse, n);
        check_true(name, aq_cholesky(l.at, n));
        aq_cholesky_inverse(l.at, n, inverse.at);
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < n; j++) {
                double root = 0, unit = 0;
                for (size_t k = 0; k <= i && k <= j; k++)
                    root += l.at[i * n + k] * l.at[j * n + k];
                for (size_t k = 0; k < n; k++)
                    unit += m.at[i * n + k] * inverse.at[k * n + j];
                check_within(name, root, m.at[i * n + j], 1e-14);
                check_within(name, unit, i == j, 1e-11);
            }
        check_guarded(name, &l, n);
        check_guarded(name, &inverse, n);
    }
}

/* The second difference of three points has the eigenvalues 2 and 2 -+ root 2. */
static void test_eigenvalues_by_hand(void **state)
{
    double m[] = { 2, -1, 0, -1, 2, -1, 0, -1, 2 }, v[9], sorted[3];
    double two[] = { 2, 1, 1, 2 }, w[4], diagonal[] = { 5, 0, 0, -3 };
    (void)state;

    aq_eigen(m, 3, v);
    sorted[0] = fmin(fmin(m[0], m[4]), m[8]);
    sorted[2] = fmax(fmax(m[0], m[4]), m[8]);
    sorted[1] = m[0] + m[4] + m[8] - sorted[0] - sorted[2];
    check_within("least", sorted[0], 2 - sqrt(2), 1e-14);
    check_within("middle", sorted[1], 2, 1e-14);
    check_within("most", sorted[2], 2 + sqrt(2), 1e-14);
    aq_eigen(two, 2, w);
    check_within("1 and 3", fmin(two[0], two[3]), 1, 1e-15);
    check_within("1 and 3", fmax(two[0], two[3]), 3, 1e-15);
    aq_eigen(diagonal, 2, w);
    check_true("already",
               diagonal[0] == 5 && diagonal[3] == -3 && w[0] == 1 && w[1] == 0 && w[2] == 0 && w[3] == 1);
}

/* Of 1e8 and 1e-8 times a matrix the same vectors, and as many times the values. */
static void test_eigenvalues_have_the_unit_of_the_matrix(void **state)
{
    static const double units[] = { 0x1p-30, 0x1p30 };
    aq_dice dice = { 99 };
    (void)state;

    for (int run = 0; run < 100; run++) {
        size_t n = 2 + dice_below(&dice, MOST - 1);
        square m = random_square(&dice, n), v, other, w;

        for (int u = 0; u < 2; u++) {
            square turned = m;
            for (size_t k = 0; k < n * n; k++)
                other.at[k] = m.at[k] * units[u];
            aq_eigen(turned.at, n, v.at);
            aq_eigen(other.at, n, w.at);
            for (size_t k = 0; k < n * n; k++) {
                check_within("value", other.at[k] / units[u], turned.at[k], 0);
                check_within("vector", w.at[k], v.at[k], 0);
            }
        }
    }
}

/* ((2, 1), (1, 2)) has the values 1 and 3, in a unit of 1e-38 too, before or after a 1 that is tied to it by 1e-23: that
 * bends them by 1e-46 only. What is small is weighed by its own row and column, not by what stands beside it. */
static void test_a_small_corner_is_turned_by_its_own_size(void **state)
{
    (void)state;
    for (size_t large = 0; large <= 2; large++) {
        size_t one = large == 0, other = large == 2 ? 1 : 2;
        double m[9], v[9];

        for (size_t k = 0; k < 9; k++)
            m[k] = k / 3 == large || k % 3 == large ? 1e-23 : k / 3 == k % 3 ? 2e-38 : 1e-38;
        m[4 * large] = 1;
        aq_eigen(m, 3, v);
        check_within("large", m[4 * large], 1, 1e-15);
        check_within("1", fmin(m[4 * one], m[4 * other]) / 1e-38, 1, 1e-6);
        check_within("3", fmax(m[4 * one], m[4 * other]) / 1e-38, 3, 1e-6);
    }
}

static void test_what_is_no_number_ends_too(void **state)
{
    double m[] = { NAN, 1, 1, 2 }, v[4];
    (void)state;

    aq_eigen(m, 2, v);
    assert_true(isnan(m[0]));
}

static void test_eigenvectors_turn_the_matrix_into_its_diagonal(void **state)
{
    aq_dice dice = { 815 };
    (void)state;

    for (int run = 0; run < 500; run++) {
        size_t n = 1 + dice_below(&dice, MOST);
        square m = random_square(&dice, n), turned = m, v = { { 0 } };
        char name[20];

        snprintf(name, sizeof name, "run %d, %zu", run, n);
        guard(&v, n);
        aq_eigen(turned.at, n, v.at);
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < n; j++) {
                double again = 0, right_angle = 0;
                for (size_t k = 0; k < n; k++) {
                    again += v.at[i * n + k] * turned.at[k * n + k] * v.at[j * n + k];
                    right_angle += v.at[k * n + i] * v.at[k * n + j];
                }
                check_within(name, again, m.at[i * n + j], 1e-13);
                check_within(name, right_angle, i == j, 1e-14);
                check_true(name, i == j || fabs(turned.at[i * n + j]) <= 1e-12);
            }
        check_guarded(name, &turned, n);
        check_guarded(name, &v, n);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_by_two_by_hand),
        cmocka_unit_test(test_what_is_not_positive_definite_has_no_root),
        cmocka_unit_test(test_factors_put_the_matrix_together_again),
        cmocka_unit_test(test_eigenvalues_by_hand),
        cmocka_unit_test(test_eigenvalues_have_the_unit_of_the_matrix),
        cmocka_unit_test(test_a_small_corner_is_turned_by_its_own_size),
        cmocka_unit_test(test_what_is_no_number_ends_too),
        cmocka_unit_test(test_eigenvectors_turn_the_matrix_into_its_diagonal),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
