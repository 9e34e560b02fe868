/* Doses on the marks of real tools: worked figures, every combination of marks by brute force, and laws. */
#include "check.h"
#include "dice.h"
#include "sheet/portion.h"

static aq_tool tools[] = {
    { .name = "1 mL syringe", .holds = 0.001, .marks = 0.00002 },
    { .name = "10 mL syringe", .holds = 0.010, .marks = 0.0005 },
    { .name = "60 mL syringe", .holds = 0.060, .marks = 0.001 },
    { .name = "250 mL cylinder", .holds = 0.250, .marks = 0.002 },
    { .name = "pocket scale", .holds = 100, .marks = 0.01, .weighs = true },
    { .name = "kitchen scale", .holds = 3000, .marks = 1, .weighs = true },
};
enum { FIRST_SCALE = 4, TOOLS = sizeof tools / sizeof *tools };

/* A bench of `count` tools from `first` on. */
static aq_bench bench(size_t first, size_t count)
{
    aq_bench bench = { .at = tools + first, .count = count };

    return bench;
}

static aq_portion millilitres(double exact, double top, int group)
{
    return (aq_portion){ .exact = exact / 1000, .top = top / 1000, .effect = 1, .group = group };
}

static aq_portion grams(double exact, double top)
{
    return (aq_portion){ .exact = exact, .top = top, .effect = 1, .weighs = true, .group = -1 };
}

static void round_all(aq_portion *portions, size_t count, aq_bench bench)
{
    check_true("rounds", aq_portions_round(portions, count, &bench, NULL) == AQ_OK);
}

static const struct {
    const char *row;
    double exact, top; /* mL */
    size_t first, count;
    const char *tool;
    double amount, pre_amount, pre_make; /* mL; pre_make 0: none */
} poured[] = {
    { "0.4 mL in a mist bottle", 0.4, INFINITY, 0, 1, "1 mL syringe", 0.40, 0, 0 },
    { "a mist too small for the syringe", 0.0625, INFINITY, 0, 1, "1 mL syringe", 0.62, 1, 10 },
    { "just five marks", 0.1, INFINITY, 0, 1, "1 mL syringe", 0.10, 0, 0 },
    { "a hair under five marks", 0.0999, INFINITY, 0, 1, "1 mL syringe", 1.00, 1, 10 },
    { "far too small", 0.0014, INFINITY, 0, 1, "1 mL syringe", 0.14, 1, 100 },
    { "1 in 10 is not enough", 0.0088, INFINITY, 0, 1, "1 mL syringe", 0.18, 1, 20 },
    { "a coarse syringe", 3.2, INFINITY, 2, 1, "60 mL syringe", 32, 5, 50 },
    { "several fills", 192.2, INFINITY, 2, 1, "60 mL syringe", 192, 0, 0 },
    { "one fill of a larger tool", 192.2, INFINITY, 0, 4, "250 mL cylinder", 192, 0, 0 },
    { "nearest mark is over the top", 119.8, 119.9, 2, 1, "60 mL syringe", 119, 0, 0 },
    { "on the top", 120, 120, 2, 1, "60 mL syringe", 120, 0, 0 },
    { "halfway goes down", 7.25, INFINITY, 1, 1, "10 mL syringe", 7.0, 0, 0 },
    { "nothing", 0, INFINITY, 0, 1, "1 mL syringe", 0, 0, 0 },
    { "no tool, three figures", 18.2446, INFINITY, 4, 1, NULL, 18.2, 0, 0 },
    { "no tool, three figures, rounded down", 119.96, 119.96, 0, 0, NULL, 119, 0, 0 },
};

static void test_liquids_go_to_marks(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof poured / sizeof *poured; i++) {
        aq_portion p = millilitres(poured[i].exact, poured[i].top, -1);

        round_all(&p, 1, bench(poured[i].first, poured[i].count));
        check_within(poured[i].row, p.amount * 1000, poured[i].amount, 1e-9);
        check_true(poured[i].row,
                   p.tool ? poured[i].tool && strcmp(p.tool->name, poured[i].tool) == 0 : !poured[i].tool);
        check_true(poured[i].row, p.prediluted == (poured[i].pre_make > 0));
        check_within(poured[i].row, p.pre_make * 1000, poured[i].pre_make, 1e-9);
        check_within(poured[i].row, p.pre_amount * 1000, poured[i].pre_amount, 1e-9);
        check_within(poured[i].row, p.reaches,
                     !p.tool        ? p.exact
                     : p.prediluted ? p.amount * poured[i].pre_amount / poured[i].pre_make
                                    : p.amount,
                     1e-15);
    }
}

static void test_a_syringe_under_a_millilitre_is_filled_once(void **state)
{
    aq_tool tiny = { .name = "0.3 mL syringe", .holds = 0.0003, .marks = 0.00001 };
    aq_bench only = { .at = &tiny, .count = 1 };
    aq_portion p = millilitres(0.04, INFINITY, -1);

    (void)state;
    round_all(&p, 1, only);
    check_within("goes in", p.pre_amount, 0.0003, 1e-15);
    check_within("made up to", p.pre_make, 0.003, 1e-15);
    check_within("drawn", p.amount, 0.0004, 1e-15);
}

static void test_powders_go_to_marks(void **state)
{
    aq_portion p = grams(0.17811, INFINITY);

    (void)state;
    round_all(&p, 1, bench(FIRST_SCALE, 2));
    check_within("pocket scale", p.amount, 0.18, 1e-12);
    p = grams(29.17, INFINITY);
    round_all(&p, 1, bench(FIRST_SCALE + 1, 1));
    check_within("kitchen scale", p.amount, 29, 1e-12);
}

/* 0.03 g is three marks of the pocket scale: 1 g in 20 mL, of which 0.6 mL. */
static void test_a_powder_too_light_is_dissolved_first(void **state)
{
    aq_portion p = grams(0.03, INFINITY);

    (void)state;
    round_all(&p, 1, bench(0, TOOLS));
    check_true("pre-diluted", p.prediluted);
    check_within("weighed", p.pre_amount, 1, 0);
    check_within("made up to", p.pre_make, 0.020, 1e-15);
    check_text("drawn with", p.tool->name, "1 mL syringe");
    check_within("drawn", p.amount, 0.0006, 1e-12);
    check_within("reaches", p.reaches, 0.03, 1e-12);
}

static void test_a_powder_too_light_with_nothing_to_draw_takes_the_nearest_mark(void **state)
{
    static const struct {
        const char *row;
        double exact, top, amount;
        bool tool;
    } light[] = {
        { "three marks", 0.033, INFINITY, 0.03, true },
        { "less than a mark is a mark", 0.004, INFINITY, 0.01, true },
        { "a mark is over the top", 0.004, 0.005, 0.004, false },
    };

    (void)state;
    for (size_t i = 0; i < sizeof light / sizeof *light; i++) {
        aq_portion p = grams(light[i].exact, light[i].top);

        round_all(&p, 1, bench(FIRST_SCALE, 1));
        check_within(light[i].row, p.amount, light[i].amount, 1e-12);
        check_true(light[i].row, (p.tool != NULL) == light[i].tool);
    }
}

static void test_equal_parts_of_a_group_stay_equal(void **state)
{
    aq_dice dice = { 5 };

    (void)state;
    for (int run = 0; run < 2000; run++) {
        double exact = dice_between(&dice, 5, 300);
        size_t count = 2 + dice_below(&dice, 4);
        aq_portion p[6];

        for (size_t j = 0; j < count; j++)
            p[j] = millilitres(exact, INFINITY, 3);
        round_all(p, count, bench(0, 4));
        for (size_t j = 1; j < count; j++)
            check_within("equal", p[j].amount, p[0].amount, 0);
    }
}

static void test_a_ratio_of_five_to_three_is_kept(void **state)
{
    aq_portion p[] = { millilitres(135, INFINITY, 0), millilitres(81, INFINITY, 0) };

    (void)state;
    round_all(p, 2, bench(2, 1));
    check_within("A", p[0].amount, 0.135, 1e-12);
    check_within("B", p[1].amount, 0.081, 1e-12);
}

/* Alone, two parts that act on one reading make up for each other. */
static void test_parts_alone_make_up_for_each_other(void **state)
{
    aq_portion p[] = { millilitres(15.45, INFINITY, -1), millilitres(15.45, INFINITY, -1) };

    (void)state;
    round_all(p, 2, bench(2, 1));
    check_within("together", p[0].amount + p[1].amount, 0.031, 1e-12);
}

static void test_several_targets_weigh_what_each_part_brings(void **state)
{
    /* One brings only the first target, and two only the second, which is a hundred times as strict; three brings a
     * little of both, so its rounding up must be paid by the part that hurts least. */
    static const double one[] = { 1, 0 }, two[] = { 0, 100 }, three[] = { 1, 100 };
    aq_portion p[] = { millilitres(20.4, INFINITY, -1), millilitres(20.45, INFINITY, -1),
                       millilitres(20.45, INFINITY, -1) };
    const double *effects[] = { one, two, three };

    (void)state;
    for (size_t j = 0; j < 3; j++) {
        p[j].effects = effects[j];
        p[j].aims = 2;
    }
    round_all(p, 3, bench(2, 1));
    check_within("strict pair", p[1].amount + p[2].amount, 0.041, 1e-12);
}

static void test_unknown_effects_weigh_by_share(void **state)
{
    aq_portion p[] = { millilitres(115.4, INFINITY, 0), millilitres(115.4, INFINITY, 0) };

    (void)state;
    p[0].effect = 0;
    p[1].effect = NAN;
    round_all(p, 2, bench(2, 1));
    check_within("A", p[0].amount, 0.115, 1e-12);
    check_within("B", p[1].amount, 0.115, 1e-12);
}

static void test_senseless_portions_are_refused(void **state)
{
    static const struct {
        const char *row;
        double exact, top;
    } bad[] = { { "negative", -1, 3 },
                { "NaN", NAN, 3 },
                { "endless", INFINITY, INFINITY },
                { "top NaN", 1, NAN },
                { "top negative", 1, -3 } };
    aq_bench all = bench(0, TOOLS);

    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        aq_portion p = millilitres(bad[i].exact, bad[i].top, -1);
        aq_error err = { 0 };

        check_true(bad[i].row,
                   aq_portions_round(&p, 1, &all, &err) == AQ_INVALID && err.status == AQ_INVALID);
    }
    check_true("no portions at all", aq_portions_round(NULL, 0, &all, NULL) == AQ_OK);
}

/* The miss of the reading, and each part's own, as the header weighs them for parts alone. */
static double misfit_alone(const aq_portion *p, const double *amount, size_t count)
{
    double reading = 0, own = 0;

    for (size_t j = 0; j < count; j++) {
        double miss = p[j].effect * (amount[j] - p[j].exact);

        reading += miss;
        own += miss * miss;
    }
    return reading * reading + own;
}

static void random_portions(aq_portion *p, size_t count, aq_dice *dice)
{
    for (size_t j = 0; j < count; j++) {
        p[j] = millilitres(dice_between(dice, 6, 90), INFINITY, -1);
        if (dice_below(dice, 2))
            p[j].top = p[j].exact * dice_between(dice, 1, 1.05);
        p[j].effect = dice_between(dice, 0.2, 3);
    }
}

static double brute_force(const aq_portion *p, size_t count)
{
    double best = INFINITY;

    for (unsigned bits = 0; bits < 1u << count; bits++) {
        double amount[8];
        bool allowed = true;

        for (size_t j = 0; j < count; j++) {
            amount[j] = (floor(p[j].exact * 1000) + (bits >> j & 1)) / 1000;
            allowed = allowed && amount[j] <= p[j].top + 1e-12;
        }
        if (allowed)
            best = fmin(best, misfit_alone(p, amount, count));
    }
    return best;
}

static void test_no_combination_of_marks_fits_better(void **state)
{
    aq_dice dice = { 8080 };

    (void)state;
    for (int run = 0; run < 1000; run++) {
        aq_portion p[8];
        double amount[8];
        size_t count = 1 + dice_below(&dice, 8);

        random_portions(p, count, &dice);
        round_all(p, count, bench(2, 1));
        for (size_t j = 0; j < count; j++)
            amount[j] = p[j].amount;
        check_within("misfit", misfit_alone(p, amount, count), brute_force(p, count), 1e-12);
    }
}

/* Never over a top, never nothing for something, always on a mark of the tool that is named; with more portions than are
 * tried out too. */
static void test_no_rounding_passes_a_label_rate(void **state)
{
    enum { MOST = 24 };
    aq_dice dice = { 99 };

    (void)state;
    for (int run = 0; run < 10000; run++) {
        aq_portion p[MOST];
        size_t count = 1 + dice_below(&dice, run % 10 == 0 ? MOST : 5), first = dice_below(&dice, TOOLS);

        for (size_t j = 0; j < count; j++) {
            p[j] = dice_below(&dice, 3) ? millilitres(pow(10, dice_between(&dice, -4, 3)), 0, -1)
                                        : grams(pow(10, dice_between(&dice, -4, 3)), 0);
            p[j].top = p[j].exact * (dice_below(&dice, 2) ? 1 : dice_between(&dice, 1, 1.2));
            p[j].group = (int)dice_below(&dice, 4) - 1;
        }
        round_all(p, count, bench(first, TOOLS - first));
        for (size_t j = 0; j < count; j++) {
            double marks = p[j].tool ? p[j].amount / p[j].tool->marks : 0;

            check_true("under the top", p[j].reaches <= p[j].top + 1e-12);
            check_true("something", p[j].amount > 0 && p[j].reaches > 0);
            check_within("on a mark", marks, round(marks), 1e-6);
        }
    }
}

/* A pre-dilution always brings the dose nearer than its half mark allows, and holds enough to be drawn from. */
static void test_a_predilution_can_be_made_and_drawn(void **state)
{
    aq_dice dice = { 71 };

    (void)state;
    for (int run = 0; run < 10000; run++) {
        size_t tool = dice_below(&dice, 4);
        aq_portion p =
            millilitres(tools[tool].marks * 1000 * 5 * pow(10, dice_between(&dice, -2.5, 0)), INFINITY, -1);

        round_all(&p, 1, bench(tool, 4 - tool));
        if (!p.prediluted)
            continue;
        check_true("five marks go in", p.pre_amount >= 5 * tools[tool].marks - 1e-12);
        check_true("no more than the tool holds", p.pre_amount <= tools[tool].holds + 1e-12);
        check_true("five marks are drawn", p.amount >= 4.5 * p.tool->marks);
        check_true("there is enough to draw", p.amount <= p.pre_make + 1e-12);
        check_true("nearer than a tenth", fabs(p.reaches / p.exact - 1) <= 0.1 + 1e-9);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_liquids_go_to_marks),
        cmocka_unit_test(test_a_syringe_under_a_millilitre_is_filled_once),
        cmocka_unit_test(test_powders_go_to_marks),
        cmocka_unit_test(test_a_powder_too_light_is_dissolved_first),
        cmocka_unit_test(test_a_powder_too_light_with_nothing_to_draw_takes_the_nearest_mark),
        cmocka_unit_test(test_equal_parts_of_a_group_stay_equal),
        cmocka_unit_test(test_a_ratio_of_five_to_three_is_kept),
        cmocka_unit_test(test_parts_alone_make_up_for_each_other),
        cmocka_unit_test(test_several_targets_weigh_what_each_part_brings),
        cmocka_unit_test(test_unknown_effects_weigh_by_share),
        cmocka_unit_test(test_senseless_portions_are_refused),
        cmocka_unit_test(test_no_combination_of_marks_fits_better),
        cmocka_unit_test(test_no_rounding_passes_a_label_rate),
        cmocka_unit_test(test_a_predilution_can_be_made_and_drawn),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
