/* Tools of a bench and their marks. Amounts in L and g. */
#include "check.h"
#include "dice.h"
#include "measure/graduation.h"

#include <stdio.h>

static aq_tool tools[] = {
    { .name = "kitchen scale", .holds = 3000, .marks = 1, .weighs = true },
    { .name = "60 mL syringe", .holds = 0.06, .marks = 0.001 },
    { .name = "1 mL syringe", .holds = 0.001, .marks = 0.00002 },
    { .name = "10 mL syringe", .holds = 0.01, .marks = 0.0005 },
    { .name = "250 mL cylinder", .holds = 0.25, .marks = 0.002 },
    { .name = "pocket scale", .holds = 100, .marks = 0.01, .weighs = true },
    { .name = "coarse 10 mL", .holds = 0.01, .marks = 0.001 },
    { .name = "1 L jug", .holds = 1, .marks = 0.025 },
};
static const aq_bench bench = { .at = tools, .count = sizeof tools / sizeof *tools };

static const struct {
    double amount;
    bool weighs;
    const char *tool;
} choices[] = {
    { 0.192, false, "250 mL cylinder" }, /* one fill */
    { 0.3, false, "250 mL cylinder" },   /* two fills, five of the syringe */
    { 0.171, false, "250 mL cylinder" },
    { 0.5, false, "250 mL cylinder" }, /* two fills, 1.8 %; the jug 2.5 % */
    { 0.75, false, "1 L jug" },        /* 1.7 %; three fills of the cylinder, 3.2 % */
    { 1, false, "1 L jug" },
    { 0.06, false, "60 mL syringe" }, /* both one fill: the finer */
    { 0.0365, false, "60 mL syringe" },
    { 0.01, false, "10 mL syringe" },
    { 0.0098, false, "10 mL syringe" }, /* 0.5 mL marks before 1 mL marks */
    { 0.0024, false, "1 mL syringe" },  /* below five marks of 0.5 mL, so three fills of the small one */
    { 0.0025, false, "1 mL syringe" },  /* five marks are read to a tenth, three fills to a fiftieth */
    { 0.0001, false, "1 mL syringe" },
    { 0.00005, false, "1 mL syringe" }, /* none is fine enough: the finest */
    { 0, false, "1 mL syringe" },
    { 170, true, "kitchen scale" },
    { 30, true, "pocket scale" },
    { 4.9, true, "pocket scale" },
    { 2999, true, "kitchen scale" },
    { 0.001, true, "pocket scale" },
};

/* A bench of two tools, and which of them a careful grower takes. Shares as the header reckons them. */
static void test_a_coarse_jug_is_not_read_for_the_sake_of_one_fill(void **state)
{
    static const struct {
        double amount;
        const char *tool;
    } rows[] = {
        { 0.171, "60 mL syringe" }, /* 3.5 %, the jug 7.3 % */
        { 0.2, "60 mL syringe" },   /* 5.0 %, the jug 6.3 % */
        { 0.25, "1 L jug" },        /* 5.0 %, five fills of the syringe 6.4 % */
        { 0.06, "60 mL syringe" },
    };
    aq_tool two[] = { tools[7], tools[1] };
    aq_bench small = { .at = two, .count = 2 };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char row[60];
        const aq_tool *got = aq_bench_choose(&small, rows[i].amount, false);

        snprintf(row, sizeof row, "%.17g", rows[i].amount);
        check_text(row, got->name, rows[i].tool);
    }
}

/* Fine enough is AQ_MARKS_LEAST marks, whatever the other tools do. */
static void test_a_tool_needs_five_marks_in_the_amount(void **state)
{
    aq_tool two[] = { tools[3], tools[2] };
    aq_bench small = { .at = two, .count = 2 };

    (void)state;
    two[1].holds =
        0.0001; /* 25 fills: worse by far, and still the one to take below five marks of the other */
    check_text("five", aq_bench_choose(&small, 0.0025, false)->name, "10 mL syringe");
    check_text("five", aq_bench_choose(&small, 0.0025 * (1 - 1e-12), false)->name, "10 mL syringe");
    check_text("four", aq_bench_choose(&small, 0.0024, false)->name, "1 mL syringe");
}

static void test_the_tool_with_which_the_least_goes_wrong(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof choices / sizeof *choices; i++) {
        char row[60];
        const aq_tool *got = aq_bench_choose(&bench, choices[i].amount, choices[i].weighs);

        snprintf(row, sizeof row, "%.17g", choices[i].amount);
        check_text(row, got ? got->name : NULL, choices[i].tool);
    }
}

static void test_a_bench_without_such_a_tool_has_none(void **state)
{
    const aq_bench empty = { .at = NULL }, wet = { .at = tools + 1, .count = 3 };

    (void)state;
    assert_null(aq_bench_choose(&empty, 0.1, false));
    assert_null(aq_bench_finest(&empty, false));
    assert_null(aq_bench_choose(&wet, 5, true));
    assert_null(aq_bench_finest(&wet, true));
    check_text("finest", aq_bench_finest(&wet, false)->name, "1 mL syringe");
    check_text("finest", aq_bench_finest(&bench, true)->name, "pocket scale");
}

static const struct {
    int tool;
    double amount, below, above;
} marks[] = {
    { 1, 0.0365, 0.036, 0.037 },
    { 1, 0.036, 0.036, 0.036 },
    { 1, 0.0360000000000001, 0.036, 0.036 }, /* within 1e-9 of a mark */
    { 1, 0.0359999999999999, 0.036, 0.036 },
    { 2, 0.0000625, 0.00006, 0.00008 },
    { 2, 0.00058, 0.00058, 0.00058 },
    { 3, 0.00991, 0.0095, 0.01 },
    { 4, 0.193, 0.192, 0.194 },
    { 0, 169.9, 169, 170 },
    { 5, 0.178, 0.17, 0.18 },
    { 1, 0, 0, 0 },
    { 1, 0.0004, 0, 0.001 },
};

static void test_the_marks_beside_an_amount(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        char row[60];
        const aq_tool *tool = &tools[marks[i].tool];

        snprintf(row, sizeof row, "%s, %.17g", tool->name, marks[i].amount);
        /* a mark is the double nearest its figure, so that it prints as the barrel does: no tolerance */
        check_within(row, aq_tool_below(tool, marks[i].amount), marks[i].below, 0);
        check_within(row, aq_tool_above(tool, marks[i].amount), marks[i].above, 0);
    }
}

/* A mark that is nearly one in a whole number is not that mark: 1 / 3.000000001 counts in itself. */
static void test_a_mark_is_what_it_is(void **state)
{
    aq_tool odd = { .name = "odd", .holds = 1, .marks = 0.33333333322 };

    (void)state;
    check_within("three marks", aq_tool_below(&odd, 1), 3 * 0.33333333322, 0);
}

/* The header: of two that are alike, the finer; of two as fine, whichever is kept first. */
static void test_of_two_alike_the_first_is_taken(void **state)
{
    aq_tool two[] = { tools[3], tools[3] };
    aq_bench twins = { .at = two, .count = 2 };

    (void)state;
    check_true("to look at", aq_bench_finest(&twins, false) == &two[0]);
    check_true("to draw with", aq_bench_choose(&twins, 0.005, false) == &two[0]);
    check_true("for very little", aq_bench_choose(&twins, 0.0001, false) == &two[0]);
}

static const struct {
    int tool;
    double amount;
    size_t full;
    double rest;
} fills[] = {
    { 1, 0.192, 3, 0.012 }, /* 60, 60, 60, 12 */
    { 1, 0.18, 3, 0 },
    { 1, 0.06, 1, 0 },
    { 1, 0.059, 0, 0.059 },
    { 3, 0.0365, 3, 0.0065 },
    { 2, 0.00062, 0, 0.00062 },
    { 2, 0.0246, 24, 0.0006 },
    { 4, 2.0, 8, 0 },
    { 0, 750, 0, 750 },
    { 0, 6001, 2, 1 },
    { 2, 0.02434, 24, 0.00034 }, /* between two marks it stays there */
    { 1, 0, 0, 0 },
    { 1, -1, 0, 0 },
};

static void test_full_fills_come_first(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof fills / sizeof *fills; i++) {
        char row[60];
        const aq_tool *tool = &tools[fills[i].tool];
        aq_fills got = aq_tool_fills(tool, fills[i].amount);

        snprintf(row, sizeof row, "%s, %.17g", tool->name, fills[i].amount);
        check_true(row, got.full == fills[i].full);
        check_within(row, got.rest, fills[i].rest, 0);
    }
}

static void test_marks_and_fills_keep_their_laws(void **state)
{
    aq_dice dice = { 4711 };

    (void)state;
    for (int i = 0; i < 20000; i++) {
        aq_tool *tool = &tools[dice_below(&dice, sizeof tools / sizeof *tools)];
        double amount = tool->holds * exp(dice_between(&dice, -8, 3));
        double below = aq_tool_below(tool, amount), above = aq_tool_above(tool, amount);
        aq_fills parts = aq_tool_fills(tool, below);
        double slack = 1e-9 * tool->marks + 1e-15 * amount;

        check_true(tool->name, below <= amount + slack && above >= amount - slack);
        check_true(tool->name, above - below <= tool->marks * (1 + 1e-9));
        check_within("a mark stays", aq_tool_below(tool, above), above, 0);
        check_within("a mark stays", aq_tool_above(tool, below), below, 0);
        check_within("fills add up", (double)parts.full * tool->holds + parts.rest, below,
                     1e-9 * tool->marks + 1e-14 * below);
        check_true("the rest is no full fill", parts.rest < tool->holds);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_tool_with_which_the_least_goes_wrong),
        cmocka_unit_test(test_a_coarse_jug_is_not_read_for_the_sake_of_one_fill),
        cmocka_unit_test(test_a_tool_needs_five_marks_in_the_amount),
        cmocka_unit_test(test_a_bench_without_such_a_tool_has_none),
        cmocka_unit_test(test_the_marks_beside_an_amount),
        cmocka_unit_test(test_a_mark_is_what_it_is),
        cmocka_unit_test(test_of_two_alike_the_first_is_taken),
        cmocka_unit_test(test_full_fills_come_first),
        cmocka_unit_test(test_marks_and_fills_keep_their_laws),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
