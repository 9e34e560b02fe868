/* Small pivots, ridges and numbers in bounded least squares: what still tells parts apart, and what only breaks
 * ties. Answers by hand. */
#include "lsq_samples.h"

#include <stdlib.h>

static const struct {
    const char *name;
    size_t rows, parts;
    double a[16], b[8], weight[8], ridge[4], anchor[4], equal[4], equal_to, x[4], tolerance;
    size_t rank;
} cases[] = {
    /* 2 rho^2 x^2 + (2 x - 2)^2 is least at 1 / (1 + rho^2 / 2), and the square of rho counts in the eleventh digit. */
    { "a ridge large enough to move an answer", .rows = 1, .parts = 2, .a = { 1, 1 }, .b = { 2 },
      .ridge = { 1.2e-5, 1.2e-5 }, .x = { 1 / (1 + 7.2e-11), 1 / (1 + 7.2e-11) }, .tolerance = 1e-13,
      .rank = 2 },
    /* Each pair of twins lies on the line of its anchors: 1 and 3 are 2 short of 6. */
    { "a ridge a little above a share of 1e-5 of the largest", .rows = 2, .parts = 4,
      .a = { 1, 1, 0, 0, 0, 0, 1, 1 }, .b = { 2, 6 }, .ridge = { 1e-9, 1e-9, 1.2e-14, 1.2e-14 },
      .anchor = { 0, 0, 1, 3 }, .x = { 1, 1, 2, 4 }, .tolerance = 1e-11, .rank = 2 },
    /* The shortest x is (1, 1, 1) + (0, 1, 1e-3), a mix of the rows: x1 + x2 + x3 = 4.001, x2 + x3 / 1000 = 2.001001. */
    { "a small share in a move, beside a small pivot", .rows = 2, .parts = 3, .a = { 1, 1, 1, 0, 1, 1e-3 },
      .b = { 4.001, 2.001001 }, .weight = { 1, 1e-12 }, .x = { 1, 2, 1.001 }, .tolerance = 1e-9, .rank = 2 },
    /* x1 + x2 = 2 shared alike, and the third takes the rest of 5. */
    { "a part of 1 that only the equality knows, beside tiny ones", .rows = 1, .parts = 3,
      .a = { 1e-20, 1e-20, 0 }, .b = { 2e-20 }, .equal = { 1, 1, 1 }, .equal_to = 5, .x = { 1, 1, 3 },
      .tolerance = 1e-12, .rank = 2 },
    { "twins that hardly count in the first row", .rows = 3, .parts = 3,
      .a = { 1, 1e-20, 1e-20, 0, 3, 3, 0, 9, 9 }, .b = { 1, 6, 18 }, .x = { 1, 1, 1 }, .tolerance = 1e-13,
      .rank = 2 },
    { "an equality beside tiny targets", .rows = 2, .parts = 2, .a = { 1e-80, 0, 0, 1e-80 },
      .b = { 1e-80, 3e-80 }, .equal = { 1, 1 }, .equal_to = 6, .x = { 2, 4 }, .tolerance = 1e-14, .rank = 2 },
    /* x (1 + 1e-12) = 1 + 1e-12 * 1000 */
    { "a ridge far below the only pivot, and an anchor far away", .rows = 1, .parts = 1, .a = { 1e-80 },
      .b = { 1e-80 }, .ridge = { 1e-86 }, .anchor = { 1000 }, .x = { 1 + 999e-12 }, .tolerance = 1e-14,
      .rank = 1 },
};

static void test_small_numbers_tell_apart_and_decide(void **state)
{
    size_t room = aq_lsq_room(8, 4);
    void *memory = malloc(room);
    (void)state;

    for (size_t row = 0; row < sizeof cases / sizeof *cases; row++) {
        memset(memory, 0xff, room); /* all NaN: whatever is read of it shows */
        aq_lsq_work *work = aq_lsq_work_at(memory, room, 8, 4);
        size_t m = cases[row].rows, n = cases[row].parts;
        aq_lsq problem = { .rows = m, .parts = n, .a = cases[row].a, .b = cases[row].b };
        aq_lsq_report report = { 0 };
        double x[4];
        problem.weight = given(cases[row].weight, m);
        problem.ridge = given(cases[row].ridge, n);
        problem.anchor = cases[row].anchor;
        problem.equal = given(cases[row].equal, n);
        problem.equal_to = cases[row].equal_to;
        check_true(cases[row].name, aq_lsq_solve(&problem, work, x, &report) == AQ_OK);
        for (size_t j = 0; j < n; j++)
            check_close(cases[row].name, x[j], cases[row].x[j], cases[row].tolerance);
        check_true(cases[row].name, report.rank == cases[row].rank);

        double y[4];
        work = aq_lsq_work_new(m, n); /* of its own, of just the size: fenced where sanitizers look */
        check_true(cases[row].name, aq_lsq_solve(&problem, work, y, NULL) == AQ_OK);
        check_true(cases[row].name, memcmp(x, y, n * sizeof *x) == 0);
        aq_lsq_work_free(work);
    }
    free(memory);
}

/* Numbers whose squares are no doubles any more. */
static void test_an_equality_alone_may_be_tiny(void **state)
{
    double equal[] = { 3, 4 }, x[2];
    aq_lsq problem = { .parts = 2, .equal = equal, .equal_to = 50e-200 };
    aq_lsq_work *work = aq_lsq_work_new(0, 2);
    (void)state;

    check_true("solved", aq_lsq_solve(&problem, work, x, NULL) == AQ_OK);
    check_within("x1", x[0], 6e-200, 1e-212);
    check_within("x2", x[1], 8e-200, 1e-212);
    aq_lsq_work_free(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_small_numbers_tell_apart_and_decide),
        cmocka_unit_test(test_an_equality_alone_may_be_tiny),
    };

    return cmocka_run_group_tests_name("lsq_ridge", tests, NULL, NULL);
}
