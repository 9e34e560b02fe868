/* Doses that read an EC: worked figures of real tanks. */
#include "check.h"
#include "tanks.h"

/* What each row's columns are, up to the first with anchor 0. Slopes in mS/cm per unit of x. */
enum { COLUMNS = 3 };
#define PLAIN(slope_, top_, anchor_)                                                                         \
    {                                                                                                        \
        .slope = (slope_), .top = (top_), .anchor = (anchor_), .to = NAN                                     \
    }
#define FIRST(slope_, to_)                                                                                   \
    {                                                                                                        \
        .slope = (slope_), .top = INFINITY, .anchor = 0.001, .to = (to_)                                     \
    }

static size_t columns_of(const aq_mix_column *columns)
{
    size_t count = 0;

    while (count < COLUMNS && columns[count].anchor > 0)
        count++;
    return count;
}

/* Amounts in L, or shares times L: worked by hand as (aim - e_0) / k x V. Group slopes are per share of 1 mL/L of each
 * part, so 115 shares are 115 mL of each. */
static const struct {
    const char *row;
    double volume, heel, heel_ec, water_ec, aim;
    aq_mix_column columns[COLUMNS];
    double amount[COLUMNS];
    double base_ec, ec, ec_short;
    bool met, capped;
} worked[] = {
    { "half drained",
      80,
      40,
      2.1,
      0.35,
      1.8,
      { PLAIN(0.40, INFINITY, 1) },
      { 115 },
      1.225,
      1.8,
      0,
      true,
      false },
    { "a label top in the way",
      30,
      0,
      NAN,
      0.25,
      2.0,
      { PLAIN(310, 0.004, 0.004) },
      { 0.120 },
      0.25,
      1.49,
      0.51,
      false,
      true },
    { "three to five", 75, 0, NAN, 0.3, 1.5, { PLAIN(2.0, INFINITY, 1) }, { 45 }, 0.3, 1.5, 0, true, false },
    { "hard tap",
      110,
      0,
      NAN,
      0.72,
      1.9,
      { PLAIN(0.36, INFINITY, 1) },
      { 360.5555555556 },
      0.72,
      1.9,
      0,
      true,
      false },
    { "supplement to 0.35 first",
      50,
      0,
      NAN,
      0.02,
      1.4,
      { FIRST(450, 0.35), PLAIN(0.40, INFINITY, 1) },
      { 0.0366666667, 131.25 },
      0.02,
      1.4,
      0,
      true,
      false },
    { "supplement listed last",
      50,
      0,
      NAN,
      0.02,
      1.4,
      { PLAIN(0.40, INFINITY, 1), FIRST(450, 0.35) },
      { 131.25, 0.0366666667 },
      0.02,
      1.4,
      0,
      true,
      false },
    { "below the water",
      60,
      0,
      NAN,
      0.9,
      0.6,
      { PLAIN(0.40, INFINITY, 1) },
      { 0 },
      0.9,
      0.9,
      -0.3,
      false,
      false },
    { "nothing to add",
      60,
      60,
      1.6,
      NAN,
      1.6,
      { PLAIN(0.40, INFINITY, 1) },
      { 0 },
      1.6,
      1.6,
      0,
      true,
      false },
    { "in proportion to the label",
      40,
      0,
      NAN,
      0.2,
      1.7,
      { PLAIN(300, 0.004, 0.004), PLAIN(150, 0.002, 0.002) },
      { 0.16, 0.08 },
      0.2,
      1.7,
      0,
      true,
      false },
    { "one top binds, the other makes up",
      40,
      0,
      NAN,
      0.2,
      1.7,
      { PLAIN(300, 0.003, 0.004), PLAIN(150, INFINITY, 0.002) },
      { 0.12, 0.16 },
      0.2,
      1.7,
      0,
      true,
      false },
    { "a part without EC goes along",
      40,
      0,
      NAN,
      0.2,
      1.7,
      { PLAIN(300, 0.005, 0.005), PLAIN(0, INFINITY, 0.001) },
      { 0.2, 0.04 },
      0.2,
      1.7,
      0,
      true,
      false },
    { "a part of unknown EC stays out",
      40,
      0,
      NAN,
      0.2,
      1.7,
      { PLAIN(300, 0.005, 0.005), PLAIN(NAN, 0.001, 0.001) },
      { 0.2, 0 },
      0.2,
      1.7,
      0,
      true,
      false },
};

static void test_worked_mixes(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof worked / sizeof *worked; i++) {
        const char *row = worked[i].row;
        aq_mix_problem p = { .volume = worked[i].volume,
                             .heel = worked[i].heel,
                             .heel_ec = worked[i].heel_ec,
                             .water_ec = worked[i].water_ec,
                             .ec = worked[i].aim,
                             .columns = worked[i].columns,
                             .count = columns_of(worked[i].columns) };
        const aq_mix_answer *a = solved(row, &p, arena);

        for (size_t j = 0; j < p.count; j++)
            check_close(row, a->x[j] * p.volume, worked[i].amount[j], 1e-9);
        check_within(row, a->base_ec, worked[i].base_ec, 1e-12);
        check_within(row, a->ec, worked[i].ec, 1e-9);
        check_within(row, a->ec_short, worked[i].ec_short, 1e-9);
        check_true(row, a->met == worked[i].met && a->capped == worked[i].capped);
        check_true(row, a->gap >= 0 && a->gap < 1e-9);
    }
    aq_arena_free(arena);
}

static void test_readings_follow_the_pour(void **state)
{
    static const aq_mix_column columns[] = { PLAIN(0.40, INFINITY, 1), FIRST(450, 0.35),
                                             PLAIN(120, INFINITY, 0.001) };
    aq_mix_problem p = {
        .volume = 50, .water_ec = 0.02, .heel_ec = NAN, .ec = 1.4, .columns = columns, .count = 3
    };
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a = solved("pour", &p, arena);

    (void)state;
    check_within("supplement", a->ec_after[1], 0.35, 1e-12);
    check_within("then the pair", a->ec_after[0], 0.35 + 0.40 * a->x[0], 1e-12);
    check_within("then the booster", a->ec_after[2], 1.4, 1e-9);
    check_within("slope", a->slope[2], 120, 0);
    aq_arena_free(arena);
}

static void test_a_top_says_what_it_costs(void **state)
{
    static const aq_mix_column columns[] = { PLAIN(310, 0.004, 0.004), PLAIN(0, 0.002, 0.002),
                                             PLAIN(NAN, 0.001, 0.001) };
    aq_mix_problem p = {
        .volume = 30, .water_ec = 0.25, .heel_ec = NAN, .ec = 2, .columns = columns, .count = 3
    };
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a = solved("price", &p, arena);

    (void)state;
    check_true("at its top", a->bound[0] == 1);
    check_within("0.1 mL/L more would give 0.031 mS/cm", a->price[0] * 0.0001, 0.031, 1e-12);
    check_within("what carries no EC costs none", a->price[1], 0, 0);
    check_within("nor what is not known to", a->price[2], 0, 0);
    check_within("strength of the tops", a->strength, 1, 1e-12);
    aq_arena_free(arena);
}

/* What carries no EC keeps the label's ratio to what does, however far off its own top is. */
static void test_what_carries_no_ec_goes_no_further_than_the_rest(void **state)
{
    static const aq_mix_column columns[] = { PLAIN(310, 0.004, 0.004), PLAIN(0, 0.006, 0.002),
                                             PLAIN(310, 0.006, 0.003) };
    aq_mix_problem p = {
        .volume = 30, .water_ec = 0.25, .heel_ec = NAN, .ec = 9, .columns = columns, .count = 2
    };
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a = solved("one", &p, arena);

    (void)state;
    check_within("strength", a->strength, 1, 1e-12);
    check_within("along", a->x[1], 0.002, 1e-15);
    p.count = 3;
    a = solved("two", &p, arena);
    check_within("the strength of the last top", a->strength, 2, 1e-12);
    check_within("along to the last", a->x[1], 0.004, 1e-15);
    aq_arena_free(arena);
}

/* 0.2 - 0.19 over a twentieth of 0.2 is 1.0000000000000009 to a machine, and still just met. */
static void test_a_miss_of_just_the_tolerance_is_met(void **state)
{
    aq_composition potassium = { .mass[AQ_K] = 1 };
    aq_mix_member member = { .composition = &potassium, .per_share = 1 };
    aq_mix_column column = weighed(&member);
    aq_mix_target target = { AQ_K, 0.2, 0.05 };
    aq_mix_problem p = tank(1);
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    column.top = 0.19;
    p.columns = &column, p.count = 1, p.targets = &target, p.target_count = 1;
    check_true("just met", solved("just met", &p, arena)->met);
    column.top = 0.19 - 1e-6;
    check_true("just missed", !solved("just missed", &p, arena)->met);
    aq_arena_free(arena);
}

static void test_of_no_parts_the_water_is_left(void **state)
{
    aq_mix_problem p = { .volume = 30, .water_ec = 0.25, .heel_ec = NAN, .ec = NAN };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    check_within("water", solved("water", &p, arena)->ec, 0.25, 0);
    aq_arena_free(arena);
}

static void test_what_was_poured_counts_against_the_top(void **state)
{
    aq_mix_column column = PLAIN(310, 0.004, 0.004);
    aq_mix_problem p = {
        .volume = 30, .water_ec = 0.25, .heel_ec = NAN, .ec = 2, .columns = &column, .count = 1
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    column.already = 0.0015;
    check_within("poured", solved("poured", &p, arena)->x[0], 0.0025, 1e-15);
    column.already = 0.005;
    check_within("poured over", solved("poured over", &p, arena)->x[0], 0, 0);
    p.over_label = true;
    check_within("over the label", solved("over label", &p, arena)->x[0], 1.75 / 310, 1e-15);
    aq_arena_free(arena);
}

static void test_fixed_doses_are_taken_as_they_are(void **state)
{
    static const aq_mix_column columns[] = { FIRST(450, 0.35), PLAIN(420, 0.004, 0.004),
                                             PLAIN(NAN, 0.002, 0.002) };
    static const double known[] = { 0.0005, 0.002, 0 }, unknown[] = { 0.0005, 0.002, 0.001 };
    aq_mix_problem p = { .volume = 60,
                         .water_ec = 0.30,
                         .heel_ec = NAN,
                         .ec = NAN,
                         .columns = columns,
                         .count = 3,
                         .fixed = known };
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a = solved("known", &p, arena);

    (void)state;
    check_within("reads", a->ec, 0.30 + 0.225 + 0.84, 1e-12);
    check_within("as poured", a->x[1], 0.002, 0);
    check_true("met", a->met && !a->capped);
    p.fixed = unknown;
    a = solved("unknown", &p, arena);
    check_true("cannot be promised", isnan(a->ec) && isnan(a->ec_after[2]) && isnan(a->slope[2]));
    check_within("until then", a->ec_after[1], 0.30 + 0.225 + 0.84, 1e-12);
    p.water_ec = NAN;
    check_true("water unknown", isnan(solved("water", &p, arena)->base_ec));
    aq_arena_free(arena);
}

static const aq_mix_column pair = PLAIN(0.40, INFINITY, 1), mute = PLAIN(0, INFINITY, 1),
                           blank = PLAIN(NAN, INFINITY, 1), negative = PLAIN(-0.1, INFINITY, 1),
                           unwanted = PLAIN(0.4, INFINITY, 0), topless = PLAIN(0.4, NAN, 1),
                           first = FIRST(450, 0.35);
static const double minus_one[] = { -1 };
static const aq_mix_target no_tolerance = { AQ_K, 0.2, 0 };

static const struct {
    const char *row;
    aq_mix_problem problem;
} senseless[] = {
    { "no volume", { .volume = 0, .water_ec = 0.3, .ec = 1, .columns = &pair, .count = 1 } },
    { "more heel than tank",
      { .volume = 9, .heel = 10, .water_ec = 0.3, .ec = 1, .columns = &pair, .count = 1 } },
    { "unknown water", { .volume = 9, .water_ec = NAN, .ec = 1, .columns = &pair, .count = 1 } },
    { "unknown heel",
      { .volume = 9, .heel = 2, .heel_ec = NAN, .water_ec = 0.3, .ec = 1, .columns = &pair, .count = 1 } },
    { "negative aim", { .volume = 9, .water_ec = 0.3, .ec = -1, .columns = &pair, .count = 1 } },
    { "nothing carries EC", { .volume = 9, .water_ec = 0.3, .ec = 1, .columns = &mute, .count = 1 } },
    { "nothing of what carries EC is wanted",
      { .volume = 9, .water_ec = 0.3, .ec = 1, .columns = &unwanted, .count = 1 } },
    { "nothing is known to", { .volume = 9, .water_ec = 0.3, .ec = 1, .columns = &blank, .count = 1 } },
    { "only what is dosed first carries EC",
      { .volume = 9, .water_ec = 0.3, .ec = 1, .columns = &first, .count = 1 } },
    { "dosed first into unknown water",
      { .volume = 9, .water_ec = NAN, .ec = NAN, .columns = &first, .count = 1 } },
    { "no parts", { .volume = 9, .water_ec = 0.3, .ec = 1 } },
    { "negative slope", { .volume = 9, .water_ec = 0.3, .ec = 1, .columns = &negative, .count = 1 } },
    { "top is no number", { .volume = 9, .water_ec = 0.3, .ec = 1, .columns = &topless, .count = 1 } },
    { "negative dose",
      { .volume = 9, .water_ec = 0.3, .ec = NAN, .columns = &pair, .count = 1, .fixed = minus_one } },
    { "no tolerance",
      { .volume = 9,
        .water_ec = 0.3,
        .ec = NAN,
        .columns = &pair,
        .count = 1,
        .targets = &no_tolerance,
        .target_count = 1 } },
};

static void test_senseless_problems_are_refused(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof senseless / sizeof *senseless; i++) {
        aq_mix_answer *answer = NULL;
        aq_error err = { 0 };

        check_true(senseless[i].row, aq_mix_solve(&answer, &senseless[i].problem, arena, &err) == AQ_INVALID);
        check_true(senseless[i].row, !answer && err.status == AQ_INVALID);
    }
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_mixes),
        cmocka_unit_test(test_readings_follow_the_pour),
        cmocka_unit_test(test_a_top_says_what_it_costs),
        cmocka_unit_test(test_what_carries_no_ec_goes_no_further_than_the_rest),
        cmocka_unit_test(test_a_miss_of_just_the_tolerance_is_met),
        cmocka_unit_test(test_of_no_parts_the_water_is_left),
        cmocka_unit_test(test_what_was_poured_counts_against_the_top),
        cmocka_unit_test(test_fixed_doses_are_taken_as_they_are),
        cmocka_unit_test(test_senseless_problems_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
