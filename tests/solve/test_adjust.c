/* Correcting a tank: worked figures. */
#include "check.h"
#include "tanks.h"

/* Figures worked by hand from the conservation of salts: 92 - 100 (1.8 - 0.05) / (2.4 - 0.05) is 17.532 and so on. */
static const struct {
    const char *row;
    aq_adjust_problem problem;
    double remove, water, adds, before_dose, end_ec;
    double fill_ec, water_needed, drain_after, makeup_ec;
    bool met;
} worked[] = {
    { "little headroom",
      { .holds = 100, .now = { 92, 2.4 }, .level = 100, .ec = 1.8, .water_ec = 0.05 },
      17.531915,
      25.531915,
      0,
      1.8,
      1.8,
      2.212,
      31.542857,
      19.056429,
      0.05,
      true },
    { "too strong",
      { .holds = 120, .now = { 105, 2.9 }, .level = 120, .ec = 2.0, .water_ec = 0.4 },
      28.2,
      43.2,
      0,
      2.0,
      2.0,
      2.5875,
      59.0625,
      32.228571,
      0.4,
      true },
    { "level and EC low",
      { .holds = 150, .now = { 118, 1.55 }, .level = 150, .ec = 1.9, .water_ec = 0.35, .most = INFINITY },
      0,
      32,
      1.9 - 1.294,
      1.294,
      1.9,
      1.294,
      NAN,
      NAN,
      102.1 / 32,
      true },
    /* Water is stronger than what is in the tank: D(r) = 130 - 0.8 r comes down to the 60 that the label allows. */
    { "weak solution makes way for better water",
      { .holds = 100, .now = { 100, 0.2 }, .level = 100, .ec = 1.5, .water_ec = 1, .most = 0.6 },
      87.5,
      87.5,
      0.6,
      0.9,
      1.5,
      0.2,
      NAN,
      NAN,
      147.5 / 87.5,
      true },
    { "held back by the label",
      { .holds = 150, .now = { 118, 1.55 }, .level = 150, .ec = 1.9, .water_ec = 0.35, .most = 0.5 },
      0,
      32,
      0.5,
      1.294,
      1.794,
      1.294,
      NAN,
      NAN,
      102.1 / 32,
      false },
    { "nothing to dose with",
      { .holds = 150, .now = { 118, 1.55 }, .level = 150, .ec = 1.9, .water_ec = 0.35 },
      0,
      32,
      0,
      1.294,
      1.294,
      1.294,
      NAN,
      NAN,
      102.1 / 32,
      false },
    { "nothing may be removed",
      { .holds = 100, .now = { 92, 2.4 }, .level = 100, .ec = 1.8, .water_ec = 0.05, .keep_all = true },
      0,
      8,
      0,
      2.212,
      2.212,
      2.212,
      31.542857,
      19.056429,
      -5.1,
      false },
    { "a level below what is there",
      { .holds = 120, .now = { 105, 1.4 }, .level = 90, .ec = 1.7, .water_ec = 0.4, .most = 1.5 },
      15,
      0,
      0.3,
      1.4,
      1.7,
      1.275,
      NAN,
      NAN,
      NAN,
      true },
    { "too full, and nothing may be removed",
      { .holds = 120,
        .now = { 105, 1.4 },
        .level = 90,
        .ec = 1.7,
        .water_ec = 0.4,
        .most = 1.5,
        .keep_all = true },
      0,
      0,
      0.3,
      1.4,
      1.7,
      1.275,
      NAN,
      NAN,
      NAN,
      false },
    { "an empty tank",
      { .holds = 60, .now = { 0, NAN }, .level = 55, .ec = 1.6, .water_ec = 0.32, .most = 2 },
      0,
      55,
      1.28,
      0.32,
      1.6,
      0.32,
      NAN,
      NAN,
      1.6,
      true },
    { "just right, and no water is known",
      { .holds = 60, .now = { 60, 1.6 }, .level = 60, .ec = 1.6, .water_ec = NAN },
      0,
      0,
      0,
      1.6,
      1.6,
      1.6,
      NAN,
      NAN,
      NAN,
      true },
    { "weaker than any water",
      { .holds = 60, .now = { 50, 1.0 }, .level = 60, .ec = 0.3, .water_ec = 0.5 },
      50,
      60,
      0,
      0.5,
      0.5,
      5.5 / 6,
      NAN,
      NAN,
      0.3,
      false },
    { "old solution weaker than the water",
      { .holds = 80, .now = { 80, 0.2 }, .level = 80, .ec = 0.5, .water_ec = 0.9 },
      80 * 0.3 / 0.7,
      80 * 0.3 / 0.7,
      0,
      0.5,
      0.5,
      0.2,
      NAN,
      NAN,
      0.9,
      true },
};

static void check_figure(const char *row, double got, double want)
{
    if (isnan(want))
        check_true(row, isnan(got));
    else
        check_within(row, got, want, 1e-6);
}

static void test_worked_corrections(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof worked / sizeof *worked; i++) {
        aq_adjust_answer out = adjusted(worked[i].row, worked[i].problem);

        check_figure(worked[i].row, out.remove, worked[i].remove);
        check_figure(worked[i].row, out.water, worked[i].water);
        check_figure(worked[i].row, out.adds, worked[i].adds);
        check_figure(worked[i].row, out.before_dose, worked[i].before_dose);
        check_figure(worked[i].row, out.end.ec, worked[i].end_ec);
        check_figure(worked[i].row, out.fill_ec, worked[i].fill_ec);
        check_figure(worked[i].row, out.water_needed, worked[i].water_needed);
        check_figure(worked[i].row, out.drain_after, worked[i].drain_after);
        check_figure(worked[i].row, out.makeup_ec, worked[i].makeup_ec);
        check_true(worked[i].row, out.met == worked[i].met);
    }
}

static void test_capped_says_that_the_label_held_back(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof worked / sizeof *worked; i++)
        check_true(worked[i].row, adjusted(worked[i].row, worked[i].problem).capped ==
                                      (strcmp(worked[i].row, "held back by the label") == 0));
}

/* 0.1 + 0.2 is not 0.3 to a machine, and no reason to drain anything. */
static void test_rounding_drains_nothing(void **state)
{
    aq_adjust_problem problem = {
        .holds = 60, .now = { 60, 0.1 + 0.2 }, .level = 60, .ec = 0.3, .water_ec = 0.1
    };

    (void)state;
    check_within("removed", adjusted("rounding", problem).remove, 0, 0);
}

/* 60 L at 1.2 to 1.6 mS/cm by doses of 5 mL for each mS/cm in a litre. Brimming: with r out, D = 96 - 72 + r (1.2 - 0.3)
 * and r = 0.005 D, so r = 0.12 / (1 - 0.0045). A litre of room, or 10 mL too little of it, are the other rows. */
static const struct {
    const char *row;
    double holds, volume, water_ec;
    bool keep_all;
    double remove, doses, end_ec;
    bool met, brimming;
} crowded[] = {
    { "brimming", 60, 60, 0.3, false, 0.12 / 0.9955, 0.12 / 0.9955, 1.6, true, false },
    { "brimming, and the water is not known", 60, 60, NAN, false, 0.12 / 0.994, 0.12 / 0.994, 1.6, true,
      false },
    { "a litre of room above the mark", 61, 60, 0.3, false, 0, 0.12, 1.6, true, false },
    { "10 mL of room too little", 60.11, 60, 0.3, false, 0.01 / 0.9955, 0.005 * (24 + 0.9 * 0.01 / 0.9955),
      1.6, true, false },
    { "half a litre of water is room enough", 60, 59.5, 0.3, false, 0, 0.12225, 1.6, true, false },
    { "brimming, and nothing may be removed", 60, 60, 0.3, true, 0, 0, 1.2, false, true },
    { "half the room, and nothing may be removed", 60.06, 60, 0.3, true, 0, 0.06, 1.4, false, true },
};

static void test_doses_are_made_room_for(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof crowded / sizeof *crowded; i++) {
        aq_adjust_answer out =
            adjusted(crowded[i].row, (aq_adjust_problem){ .holds = crowded[i].holds,
                                                          .now = { crowded[i].volume, 1.2 },
                                                          .level = 60,
                                                          .ec = 1.6,
                                                          .water_ec = crowded[i].water_ec,
                                                          .most = INFINITY,
                                                          .room = 0.005,
                                                          .keep_all = crowded[i].keep_all });

        check_within(crowded[i].row, out.remove, crowded[i].remove, 1e-9);
        check_within(crowded[i].row, out.doses, crowded[i].doses, 1e-9);
        check_within(crowded[i].row, out.end.ec, crowded[i].end_ec, 1e-9);
        check_true(crowded[i].row, out.met == crowded[i].met && out.brimming == crowded[i].brimming);
        check_true(crowded[i].row, !out.capped);
    }
}

/* 28.2 L of 2.9 with water of 0.4 make 28.2 x 2.5 / 1.6 L of 2.0. */
static void test_drained_solution_keeps_for_elsewhere(void **state)
{
    aq_adjust_problem problem = { .holds = 120, .now = { 105, 2.9 }, .level = 120, .ec = 2, .water_ec = 0.4 };

    (void)state;
    check_within("litres of feed", adjusted("too strong", problem).keeps, 44.0625, 1e-9);
}

/* Nothing removed, or nothing that water could bring to the wanted EC, keeps for nothing. */
static void test_what_is_not_drained_or_not_too_strong_keeps_for_nothing(void **state)
{
    int none = 0;

    (void)state;
    for (size_t i = 0; i < sizeof worked / sizeof *worked; i++) {
        aq_adjust_answer out = adjusted(worked[i].row, worked[i].problem);

        if (out.remove > 0 && worked[i].problem.now.ec > worked[i].problem.ec &&
            worked[i].problem.ec > worked[i].problem.water_ec)
            continue;
        check_true(worked[i].row, isnan(out.keeps));
        none++;
    }
    check_true("some of each", none > 5 && none < (int)(sizeof worked / sizeof *worked));
}

static const struct {
    const char *row;
    aq_second_tank into;
    double moved, moved_water, volume, ec;
} second[] = {
    { "is empty and weak", { 60, { 0, NAN }, 1.0 }, 14.4, 45.6, 60, 1.0 },
    { "holds some already", { 60, { 20, 0.8 }, 1.0 }, 11.2, 28.8, 60, 1.0 },
    { "wants another EC than 1", { 60, { 20, 0.8 }, 1.2 }, 16, 24, 60, 1.2 },
    { "is too strong itself", { 50, { 40, 3.6 }, 3.0 }, 10, 0, 50, 173.0 / 50 },
    { "is stronger and takes all", { 200, { 90, 3.1 }, 3.0 }, 28.2, 6.18 / 2.6, 118.2 + 6.18 / 2.6, 3.0 },
    { "has little room", { 50, { 40, 1.2 }, 3.0 }, 10, 0, 50, 77.0 / 50 },
    { "holds half a litre of stock", { 60, { 0.5, 8 }, 1.0 }, 12.88, 46.62, 60, 1.0 },
    { "has a cup of room", { 60, { 59.9, 1.0 }, 1.0 }, 0.024, 0.076, 60, 1.0 },
    { "is full", { 50, { 50, 1.2 }, 1.8 }, 0, 0, 50, 1.2 },
    { "wants less than water is", { 50, { 10, 0.2 }, 0.3 }, 1 / 2.6, 0, 10 + 1 / 2.6, 0.3 },
    /* of what is weaker than they want, and never below it */
    { "comes down to what it wants", { 60, { 20, 3.5 }, 3.2 }, 20, 0, 40, 3.2 },
    { "is as it wants to be", { 60, { 20, 3.2 }, 3.2 }, 0, 0, 20, 3.2 },
    { "would be made weaker", { 60, { 20, 3.0 }, 3.2 }, 0, 0, 20, 3.0 },
    { "is as strong as what comes", { 40, { 20, 2.9 }, 3.2 }, 20, 0, 40, 2.9 },
    { "is empty and wants more", { 20, { 0, NAN }, 3.2 }, 20, 0, 20, 2.9 },
};

static void test_a_second_tank_takes_no_more_than_it_wants(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof second / sizeof *second; i++) {
        aq_adjust_problem problem = {
            .holds = 120, .now = { 105, 2.9 }, .level = 120, .ec = 2, .water_ec = 0.4, .into = &second[i].into
        };
        aq_adjust_answer out = adjusted(second[i].row, problem);

        check_within(second[i].row, out.moved, second[i].moved, 1e-9);
        check_within(second[i].row, out.moved_water, second[i].moved_water, 1e-9);
        check_within(second[i].row, out.second.volume, second[i].volume, 1e-9);
        check_within(second[i].row, out.second.ec, second[i].ec, 1e-9);
    }
}

static const struct {
    const char *row;
    aq_adjust_problem problem;
} senseless[] = {
    { "level above the brim", { .holds = 60, .now = { 20, 1 }, .level = 61, .ec = 1, .water_ec = 0.3 } },
    { "no level", { .holds = 60, .now = { 20, 1 }, .level = 0, .ec = 1, .water_ec = 0.3 } },
    { "more than it holds", { .holds = 60, .now = { 70, 1 }, .level = 60, .ec = 1, .water_ec = 0.3 } },
    { "endless EC", { .holds = 60, .now = { 20, INFINITY }, .level = 60, .ec = 1, .water_ec = 0.3 } },
    { "EC below 0", { .holds = 60, .now = { 20, -0.1 }, .level = 60, .ec = 1, .water_ec = 0.3 } },
    { "endless aim", { .holds = 60, .now = { 20, 1 }, .level = 60, .ec = INFINITY, .water_ec = 0.3 } },
    { "aim below 0", { .holds = 60, .now = { 20, 1 }, .level = 60, .ec = -0.1, .water_ec = 0.3 } },
    { "water below 0", { .holds = 60, .now = { 20, 1 }, .level = 60, .ec = 1, .water_ec = -0.1 } },
    { "less than empty", { .holds = 60, .now = { -1, 1 }, .level = 60, .ec = 1, .water_ec = 0.3 } },
    { "no brim", { .holds = INFINITY, .now = { 20, 1 }, .level = 60, .ec = 1, .water_ec = 0.3 } },
    { "unknown EC", { .holds = 60, .now = { 20, NAN }, .level = 60, .ec = 1, .water_ec = 0.3 } },
    { "little of unknown EC", { .holds = 60, .now = { 0.5, NAN }, .level = 60, .ec = 1, .water_ec = 0.3 } },
    { "no aim", { .holds = 60, .now = { 20, 1 }, .level = 60, .ec = NAN, .water_ec = 0.3 } },
    { "unknown water", { .holds = 60, .now = { 20, 1 }, .level = 60, .ec = 1, .water_ec = NAN } },
    { "too strong, unknown water", { .holds = 60, .now = { 60, 2 }, .level = 60, .ec = 1, .water_ec = NAN } },
    { "doses that take less than no room",
      { .holds = 60, .now = { 20, 1 }, .level = 60, .ec = 1, .water_ec = 0.3, .room = -1 } },
    { "negative doses",
      { .holds = 60, .now = { 20, 1 }, .level = 60, .ec = 1, .water_ec = 0.3, .most = -1 } },
};

static const struct {
    const char *row;
    aq_second_tank into;
} senseless_second[] = {
    { "more than it holds", { 30, { 31, 1 }, 1 } }, { "less than empty", { 30, { -1, 1 }, 1 } },
    { "no brim", { INFINITY, { 10, 1 }, 1 } },      { "unknown EC", { 30, { 10, NAN }, 1 } },
    { "EC below 0", { 30, { 10, -0.1 }, 1 } },      { "no aim", { 30, { 10, 1 }, NAN } },
    { "aim below 0", { 30, { 10, 1 }, -0.1 } },
};

static void test_a_senseless_second_tank_is_refused(void **state)
{
    aq_adjust_problem problem = { .holds = 60, .now = { 50, 2 }, .level = 60, .ec = 1, .water_ec = 0.3 };
    aq_second_tank empty = { 30, { 0, NAN }, 1 };
    aq_adjust_answer out;

    (void)state;
    for (size_t i = 0; i < sizeof senseless_second / sizeof *senseless_second; i++) {
        problem.into = &senseless_second[i].into;
        check_true(senseless_second[i].row, aq_adjust(&out, &problem, NULL) == AQ_INVALID);
        check_within(senseless_second[i].row, out.remove, 0, 0);
    }
    problem.into = &empty;
    check_true("an empty one needs no EC", aq_adjust(&out, &problem, NULL) == AQ_OK);
}

static void test_senseless_tanks_are_refused(void **state)
{
    aq_adjust_answer out;

    (void)state;
    for (size_t i = 0; i < sizeof senseless / sizeof *senseless; i++) {
        aq_error err = { 0 };

        check_true(senseless[i].row, aq_adjust(&out, &senseless[i].problem, &err) == AQ_INVALID);
        check_true(senseless[i].row, err.status == AQ_INVALID && err.text[0]);
    }
}

static void test_large_changes_are_made_in_equal_steps(void **state)
{
    (void)state;
    check_true("0.9 by 0.5", aq_adjust_steps(2.9, 2.0, 0.5) == 2);
    check_true("0.9 by 0.45", aq_adjust_steps(2.9, 2.0, 0.45) == 2);
    check_true("0.9 by 0.3", aq_adjust_steps(2.0, 2.9, 0.3) == 3);
    check_true("small enough", aq_adjust_steps(1.55, 1.9, 0.5) == 1);
    check_true("nothing to do", aq_adjust_steps(1.9, 1.9, 0.5) == 1);
    check_true("no step given", aq_adjust_steps(2.9, 2.0, NAN) == 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_corrections),
        cmocka_unit_test(test_capped_says_that_the_label_held_back),
        cmocka_unit_test(test_rounding_drains_nothing),
        cmocka_unit_test(test_doses_are_made_room_for),
        cmocka_unit_test(test_what_is_not_drained_or_not_too_strong_keeps_for_nothing),
        cmocka_unit_test(test_drained_solution_keeps_for_elsewhere),
        cmocka_unit_test(test_a_second_tank_takes_no_more_than_it_wants),
        cmocka_unit_test(test_senseless_tanks_are_refused),
        cmocka_unit_test(test_a_senseless_second_tank_is_refused),
        cmocka_unit_test(test_large_changes_are_made_in_equal_steps),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
