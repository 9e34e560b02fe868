/* What is learned against what is true, in simulated logs, and against the formula of one slope. */
#include "check.h"
#include "nursery.h"

#include <stdlib.h>

static void learn(nursery *n)
{
    aq_arena_reset(n->arena);
    n->err = (aq_error){ 0 };
    if (aq_learn_solve(&n->answer, &n->problem, n->arena, &n->err) != AQ_OK)
        fail_msg("%s", n->err.text);
}

static const aq_learn_estimate *estimate(const nursery *n, size_t k)
{
    return k < SLOPES ? &n->answer->slopes[k] : &n->answer->tanks[k - SLOPES];
}

static int begin(void **state)
{
    nursery *n = calloc(1, sizeof *n);

    n->arena = aq_arena_new(0);
    *state = n;
    return 0;
}

static int end(void **state)
{
    nursery *n = *state;

    aq_arena_free(n->arena);
    free(n);
    return 0;
}

static void test_without_readings_the_label_stands(void **state)
{
    nursery *n = *state;

    simulate(n, 1, 0, 1);
    learn(n);
    for (size_t k = 0; k < UNKNOWNS; k++) {
        check_within("share", estimate(n, k)->share, 1, 1e-9);
        check_within("relative", estimate(n, k)->relative, k < SLOPES ? 0.05 : 0.025, 1e-9);
        assert_int_equal(estimate(n, k)->mixes, 0);
    }
}

static void test_perfect_readings_give_the_truth_in_each_tank(void **state)
{
    nursery *n = *state;

    simulate(n, 7, 400, 0);
    learn(n);
    assert_true(n->answer->settled);
    assert_true(n->answer->steps > 0 && n->answer->steps < 200);
    for (size_t j = 0; j < SLOPES; j++)
        for (size_t t = 0; t < TANKS; t++) {
            double share, relative;

            aq_learn_in_tank(n->answer, &n->problem, j, t, &share, &relative);
            check_within("k / f", share, n->truth[j] / n->truth[SLOPES + t], 0.003);
            check_true("k / f is known better than k", relative < 0.6 * estimate(n, j)->relative);
        }
}

static size_t covered(const nursery *n, size_t k)
{
    const aq_learn_estimate *e = estimate(n, k);

    return fabs(e->share - n->truth[k]) <= 1.96 * e->relative;
}

static size_t covered_in_tank(const nursery *n, size_t slope, size_t tank)
{
    double share, relative;

    aq_learn_in_tank(n->answer, &n->problem, slope, tank, &share, &relative);
    return fabs(share - n->truth[slope] / n->truth[SLOPES + tank]) <= 1.96 * relative * share;
}

enum { RUNS = 1000, ASKED = UNKNOWNS + SLOPES * TANKS };
static const char *const asked[ASKED] = {
    "pair",         "supplement",   "tank of 12 L",       "tank of 60 L",
    "pair in 12 L", "pair in 60 L", "supplement in 12 L", "supplement in 60 L"
};

/* Seeded logs of 3 to 40 mixes, and how many intervals of 95 % hold the truth. */
static void count_hits(nursery *n, double noise, size_t hits[ASKED])
{
    memset(hits, 0, ASKED * sizeof *hits);
    for (uint64_t seed = 1; seed <= RUNS; seed++) {
        simulate(n, seed, 3 + seed % 38, noise);
        learn(n);
        for (size_t k = 0; k < UNKNOWNS; k++)
            hits[k] += covered(n, k);
        for (size_t k = 0; k < SLOPES * TANKS; k++)
            hits[UNKNOWNS + k] += covered_in_tank(n, k / TANKS, k % TANKS);
    }
}

static void test_95_of_100_intervals_hold_the_truth(void **state)
{
    size_t hits[ASKED];

    count_hits(*state, 1, hits);
    for (size_t k = 0; k < ASKED; k++)
        check_within(asked[k], (double)hits[k] / RUNS, 0.95, 0.02);
}

/* Readings twice as good as the budget believes narrow the intervals, with care: they hold the truth more often still. */
static void test_good_readings_narrow_the_intervals_with_care(void **state)
{
    nursery *n = *state;
    size_t hits[ASKED];

    count_hits(n, 0.5, hits);
    for (size_t k = 0; k < ASKED; k++)
        check_within(asked[k], (double)hits[k] / RUNS, 0.965, 0.035);
    simulate(n, 3, 400, 0.5);
    learn(n);
    check_within("scale", n->answer->scale, 0.5, 0.05);
}

/* Readings that one slip makes: another ppm scale, a part poured twice, not stirred. */
static double gross(nursery *n, size_t mix)
{
    double base = n->mixes[mix].base, added = added_by(n, mix);
    const double slips[] = {
        (base + added) * 7 / 5, (base + added) * 5 / 7, base + 2 * added, base + added / 2, base,
        10 * (base + added)
    };

    return slips[dice_below(&n->dice, sizeof slips / sizeof *slips)];
}

/* One in ten, in logs of 10 to 40 mixes: no estimate moves by one standard uncertainty, and the slips are found. */
static void test_one_gross_error_in_ten_moves_nothing_by_an_uncertainty(void **state)
{
    nursery *n = *state;
    size_t slips = 0, found = 0;

    for (uint64_t seed = 1; seed <= RUNS; seed++) {
        double clean[UNKNOWNS];
        size_t count = 10 * (1 + seed % 4);

        simulate(n, seed, count, 1);
        learn(n);
        for (size_t k = 0; k < UNKNOWNS; k++)
            clean[k] = estimate(n, k)->share;
        for (size_t i = seed % 10; i < count; i += 10)
            n->mixes[i].reads = gross(n, i);
        learn(n);
        for (size_t k = 0; k < UNKNOWNS; k++)
            check_within(asked[k], estimate(n, k)->share, clean[k], estimate(n, k)->relative);
        for (size_t i = seed % 10; i < count; i += 10) {
            slips++;
            found += fabs(n->answer->distance[i]) > aq_learn_distrust;
        }
    }
    check_within("slips that were distrusted", (double)found / (double)slips, 1, 0.01);
}

/* With one tank and one part only k / f can be told, and that is said. */
static void test_one_bottle_and_one_tank_cannot_be_told_apart(void **state)
{
    nursery *n = *state;

    simulate(n, 5, 60, 1);
    for (size_t i = 0; i < 60; i++) {
        n->mixes[i].tank = 0;
        n->mixes[i].volume = 12;
        n->amounts[i][1] = 0;
        n->mixes[i].reads = n->mixes[i].base + 0.4 * n->amounts[i][0] / 12 * 1000 * 1.08;
    }
    learn(n);
    assert_int_equal(n->answer->blind_count, 1);
    assert_int_equal(n->answer->blind[0].count, 2);
    assert_int_equal(n->answer->blind[0].at[0], 0);
    assert_int_equal(n->answer->blind[0].at[1], SLOPES);
    assert_int_equal(n->answer->slopes[1].mixes, 0);
}

/* With every part in every tank only one factor over all of them is left, which labels and marks tie down. */
static void test_parts_in_several_tanks_are_told_apart(void **state)
{
    nursery *n = *state;

    simulate(n, 5, 200, 1);
    learn(n);
    assert_int_equal(n->answer->blind_count, 1);
    assert_int_equal(n->answer->blind[0].count, UNKNOWNS);
}

/* A guess with no label behind it gives way to the readings, wherever it began. */
static void test_a_mere_guess_gives_way(void **state)
{
    static const double guesses[] = { 40, 4000 };
    nursery *n = *state;

    for (size_t i = 0; i < 2; i++) {
        simulate(n, 11, 40, 1);
        n->slopes[0] = (aq_learn_slope){ guesses[i], 30 };
        learn(n);
        assert_true(n->answer->settled);
        check_within("slope", n->answer->slopes[0].share * guesses[i] / 400, n->truth[0],
                     3 * n->answer->slopes[0].relative * guesses[i] / 400);
        check_true("about as sure as from a label", n->answer->slopes[0].relative * guesses[i] / 400 < 0.05);
    }
}

/* A fiftieth of a guess is the least that is believed: a guess 55 times too large stops there. */
static void test_a_guess_is_followed_to_its_fiftieth(void **state)
{
    nursery *n = *state;

    simulate(n, 11, 40, 1);
    n->slopes[0] = (aq_learn_slope){ 55 * 400, 30 };
    learn(n);
    check_within("share", n->answer->slopes[0].share, 0.02, 1e-12);
}

static void test_a_new_bottle_is_noticed(void **state)
{
    nursery *n = *state;

    simulate(n, 13, 30, 0.5);
    learn(n);
    check_within("before", n->answer->slopes[0].drifted, 0, 0);
    for (size_t i = 27; i < 30; i++)
        n->mixes[i].reads = n->mixes[i].base + 1.25 * (n->mixes[i].reads - n->mixes[i].base);
    learn(n);
    check_within("after", n->answer->slopes[0].drifted, 0.25, 0.08);
}

/* JCGM 102, section 6: of two quotients a / f and b / f, to first order and relative to both. */
static void test_quotients_are_known_together_as_the_law_says(void **state)
{
    static double covariance[] = { 0.040, 0.003, 0.005, 0.001, /* a */
                                   0.003, 0.090, 0.007, 0.002, /* b */
                                   0.005, 0.007, 0.010, 0.004, /* the first tank */
                                   0.001, 0.002, 0.004, 0.160 };
    aq_learn_estimate slopes[] = { { .share = 0.5 }, { .share = 2 } },
                      tanks[] = { { .share = 1.25 }, { .share = 0.8 } };
    aq_learn_answer answer = { .slopes = slopes, .tanks = tanks, .covariance = covariance };
    aq_learn_problem problem = { .slope_count = 2, .tank_count = 2 };
    double share, relative;

    (void)state;
    check_within("a, b over the first", aq_learn_covariance(&answer, &problem, 0, 1, 0),
                 0.003 / 1 + 0.010 / 1.5625 - 0.005 / 0.625 - 0.007 / 2.5, 1e-15);
    check_within("a, b over the second", aq_learn_covariance(&answer, &problem, 0, 1, 1),
                 0.003 / 1 + 0.160 / 0.64 - 0.001 / 0.4 - 0.002 / 1.6, 1e-15);
    aq_learn_in_tank(&answer, &problem, 1, 0, &share, &relative);
    check_within("b over the first", share, 1.6, 1e-15);
    check_within("its own", relative, sqrt(0.090 / 4 + 0.010 / 1.5625 - 2 * 0.007 / 2.5), 1e-15);
}

/* Whatever stands behind what is counted is not looked at. */
static void test_nothing_is_read_behind_the_slopes_and_amounts(void **state)
{
    nursery *n = *state;
    aq_learn_slope slopes[SLOPES + 1] = { { 0 } };
    double amounts[3][SLOPES + 1], before[UNKNOWNS];

    simulate(n, 5, 3, 1);
    learn(n);
    for (size_t k = 0; k < UNKNOWNS; k++)
        before[k] = estimate(n, k)->share;
    memcpy(slopes, n->slopes, sizeof n->slopes);
    slopes[SLOPES] = (aq_learn_slope){ NAN, NAN };
    for (size_t i = 0; i < 3; i++) {
        memcpy(amounts[i], n->amounts[i], sizeof n->amounts[i]);
        amounts[i][SLOPES] = -1;
        n->mixes[i].amounts = amounts[i];
    }
    n->problem.slopes = slopes;
    learn(n);
    for (size_t k = 0; k < UNKNOWNS; k++)
        check_within(asked[k], estimate(n, k)->share, before[k], 0);
    n->problem.slopes = n->slopes;
}

/* Mixes of one part, the last three of which read above the rest by so many uncertainties of a reading. */
static double drift_of(nursery *n, size_t count, double above)
{
    simulate(n, 1, count, 0);
    for (size_t i = 0; i < count; i++) {
        n->mixes[i].tank = 0, n->mixes[i].volume = 12;
        n->amounts[i][0] = 0.024, n->amounts[i][1] = 0;
        n->mixes[i].reads = 0.32 + 0.8 + (i + 3 >= count ? above * noise_of(0.8) : 0);
    }
    learn(n);
    return n->answer->slopes[0].drifted;
}

/* The header: the last three beside three before them, by more than two uncertainties in the mean. */
static void test_three_mixes_beside_three_before_them_tell_of_a_new_bottle(void **state)
{
    nursery *n = *state;
    int seen = 0;

    check_within("five mixes are too few", drift_of(n, 5, 5), 0, 0);
    check_true("six are enough", drift_of(n, 6, 5) > 0);
    for (double above = -6; above < 6; above += 0.05) {
        double drifted = drift_of(n, 6, above), *last = n->answer->distance + 3,
               mean = (last[0] + last[1] + last[2]) / 3;

        check_true("above", (drifted > 0) == (mean > 2));
        check_true("below", (drifted < 0) == (mean < -2));
        seen += fabs(mean) > 2 && fabs(mean) < 3;
    }
    check_true("two is nearer than three", seen > 5);
}

/* Four mixes of one bottle in one tank that all read as expected: only the scale s is left to find. What they say lies in
 * one direction, (1, -1), with w = 4 (a / s u)^2 for the a mS/cm that are added; in units of the priors d and t that is
 * w (d^2 + t^2) = l, and l / (1 + l) of an unknown is settled. Proposal 2 with its prior is s^2 (8 + 4 - that) = 8. */
static void test_readings_as_expected_leave_the_scale_that_its_law_gives(void **state)
{
    enum { COUNT = 4 };
    static const double doubt = 0.05, mark = 0.025, added = 0.1;
    nursery *n = *state;
    aq_learn_mix *mixes = malloc(COUNT * sizeof *mixes);
    aq_learn_slope *slope = malloc(sizeof *slope);
    double *amount = malloc(sizeof *amount), per = added / noise_of(added), s = 1;

    *slope = (aq_learn_slope){ 400, doubt };
    *amount = added * 12 / 400;
    for (size_t i = 0; i < COUNT; i++)
        mixes[i] = (aq_learn_mix){ 0, 12, 0.3, 0.3 + added, amount };
    n->problem = (aq_learn_problem){ slope, 1, 1, mixes, COUNT };
    learn(n);
    for (int i = 0; i < 100; i++) {
        double l = COUNT * per * per / (s * s) * (doubt * doubt + mark * mark);

        s = sqrt(8 / (8 + COUNT - l / (1 + l)));
    }
    check_within("scale", n->answer->scale, s, 2e-6);
    /* a reading carries 0.95 of what it could: Sherman and Morrison's inverse of the prior and one direction */
    double w = 0.95 * COUNT * per * per / (s * s), known = w / (1 + w * (doubt * doubt + mark * mark));
    check_within("share", n->answer->slopes[0].share, 1, 1e-12);
    check_within("slope", n->answer->slopes[0].relative, doubt * sqrt(1 - known * doubt * doubt), 1e-6);
    check_within("tank", n->answer->tanks[0].relative, mark * sqrt(1 - known * mark * mark), 1e-6);
    check_within("together", n->answer->covariance[1], known * doubt * doubt * mark * mark, 1e-8);
    check_within("either way", n->answer->covariance[2], n->answer->covariance[1], 0);
    free(mixes), free(slope), free(amount);
}

/* In the first mix, or in the last of three: each is looked at. */
static void test_numbers_that_make_no_sense_are_refused(void **state)
{
    static const struct {
        aq_learn_mix mix;
        double amounts[SLOPES];
        aq_learn_slope slope;
    } good = { { 0, 12, 0.3, 1.1, NULL }, { 0.01, 0 }, { 450, 0.05 } };
    nursery *n = *state;

    for (int row = 0; row < 28; row++) {
        size_t where = row % 2 ? 2 : 0;
        aq_learn_mix *mix = &n->mixes[where];
        aq_learn_slope *slope = &n->slopes[row % 2];

        simulate(n, 1, 3, 1);
        *mix = good.mix;
        mix->amounts = memcpy(n->amounts[where], good.amounts, sizeof good.amounts);
        *slope = good.slope;
        switch (row / 2) {
        case 0:
            mix->volume = 0;
            break;
        case 1:
            mix->volume = -12;
            break;
        case 2:
            mix->volume = NAN;
            break;
        case 3:
            mix->base = NAN;
            break;
        case 4:
            mix->base = INFINITY;
            break;
        case 5:
            mix->reads = INFINITY;
            break;
        case 6:
            mix->tank = TANKS;
            break;
        case 7:
            n->amounts[where][0] = -1;
            break;
        case 8:
            n->amounts[where][SLOPES - 1] = INFINITY;
            break;
        case 9:
            slope->label = 0;
            break;
        case 10:
            slope->label = INFINITY;
            break;
        case 11:
            slope->doubt = 0;
            break;
        case 12:
            slope->doubt = NAN;
            break;
        default:
            break;
        }
        n->err = (aq_error){ 0 };
        aq_arena_reset(n->arena);
        assert_int_equal(aq_learn_solve(&n->answer, &n->problem, n->arena, &n->err),
                         row < 26 ? AQ_INVALID : AQ_OK);
        assert_true((n->answer == NULL) == (row < 26));
    }
}

/* AQ_LEARN_MOST unknowns are solved, none and one more are refused. */
static void test_so_many_unknowns_and_no_more(void **state)
{
    enum { MANY = AQ_LEARN_MOST };
    nursery *n = *state;
    aq_learn_slope *slopes = malloc(MANY * sizeof *slopes);

    for (size_t j = 0; j < MANY; j++)
        slopes[j] = (aq_learn_slope){ 400, 0.05 };
    for (size_t tanks = 0; tanks < 3; tanks++) {
        n->problem = (aq_learn_problem){ slopes, MANY - 1, tanks, n->mixes, 0 };
        n->err = (aq_error){ 0 };
        aq_arena_reset(n->arena);
        assert_int_equal(aq_learn_solve(&n->answer, &n->problem, n->arena, &n->err),
                         tanks < 2 ? AQ_OK : AQ_INVALID);
        for (size_t j = 0; tanks < 2 && j < MANY - 1; j++)
            check_within("as the label", n->answer->slopes[j].share, 1, 1e-12);
    }
    n->problem.slope_count = n->problem.tank_count = 0;
    assert_int_equal(aq_learn_solve(&n->answer, &n->problem, n->arena, &n->err), AQ_INVALID);
    free(slopes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_without_readings_the_label_stands),
        cmocka_unit_test(test_perfect_readings_give_the_truth_in_each_tank),
        cmocka_unit_test(test_95_of_100_intervals_hold_the_truth),
        cmocka_unit_test(test_good_readings_narrow_the_intervals_with_care),
        cmocka_unit_test(test_one_gross_error_in_ten_moves_nothing_by_an_uncertainty),
        cmocka_unit_test(test_one_bottle_and_one_tank_cannot_be_told_apart),
        cmocka_unit_test(test_parts_in_several_tanks_are_told_apart),
        cmocka_unit_test(test_a_mere_guess_gives_way),
        cmocka_unit_test(test_a_guess_is_followed_to_its_fiftieth),
        cmocka_unit_test(test_a_new_bottle_is_noticed),
        cmocka_unit_test(test_quotients_are_known_together_as_the_law_says),
        cmocka_unit_test(test_nothing_is_read_behind_the_slopes_and_amounts),
        cmocka_unit_test(test_three_mixes_beside_three_before_them_tell_of_a_new_bottle),
        cmocka_unit_test(test_readings_as_expected_leave_the_scale_that_its_law_gives),
        cmocka_unit_test(test_numbers_that_make_no_sense_are_refused),
        cmocka_unit_test(test_so_many_unknowns_and_no_more),
    };

    return cmocka_run_group_tests_name("learn", tests, begin, end);
}
