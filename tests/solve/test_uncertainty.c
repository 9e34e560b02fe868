/* Tolerances against the growers' rule, and the law of propagation against Monte Carlo as in JCGM 101:2008. */
#include "check.h"
#include "dice.h"
#include "solve/uncertainty.h"

static const struct {
    const char *row;
    double added, first, learned;
} rule[] = {
    { "nothing poured", 0, 0.10, 0.05 },
    { "below the floor", 0.575, 0.10, 0.05 },
    { "2 mL/L of 0.42", 0.84, 0.10, 0.05 },
    { "just at the floor", 1.0, 0.10, 0.05 },
    { "at a label top", 1.24, 0.124, 0.062 },
    { "hard water and feed", 1.18, 0.118, 0.059 },
    { "supplement and feed", 1.38, 0.138, 0.069 },
    { "strong feed", 2.7, 0.27, 0.135 },
    { "thinned", -0.9, 0.10, 0.05 },
};

static void test_a_tolerance_is_the_larger_of_a_floor_and_a_share(void **state)
{
    aq_budget first = aq_budget_first(), learned = aq_budget_learned(0.01);

    (void)state;
    for (size_t i = 0; i < sizeof rule / sizeof *rule; i++) {
        check_within(rule[i].row, aq_tolerance(&first, rule[i].added), rule[i].first, 1e-12);
        check_within(rule[i].row, aq_tolerance(&learned, rule[i].added), rule[i].learned, 1e-12);
    }
}

static void test_a_poor_fit_widens_the_tolerance(void **state)
{
    aq_budget budget = aq_budget_learned(0.08);

    (void)state;
    check_true("says that it was learned", budget.learned);
    check_within("8 %, 1.2 % and 0.9 % of 2", aq_tolerance(&budget, 2),
                 2 * 2 * sqrt(0.0064 + 0.000144 + 0.000081), 1e-12);
}

static const struct {
    const char *row;
    double base, slope, poured, volume; /* mS/cm, mS/cm per mL/L, mL, L */
} mixes[] = {
    { "plain water", 0.35, 0.40, 0, 80 },
    { "a weak feed in a tray", 0.32, 0.37, 17.5, 12 },
    { "a feed of 1.5", 0.30, 0.40, 225, 60 },
    { "a strong feed", 0.05, 0.29, 1130, 97 },
};

/* A reading is what the tank then has, off by the meter; 200,000 trials give u to 0.2 %, and 1/V bends it by less. */
static double trial(aq_dice *dice, const aq_budget *budget, size_t i)
{
    double base = mixes[i].base + budget->water * dice_normal(dice);
    double slope = mixes[i].slope * (1 + budget->slope * dice_normal(dice));
    double poured = mixes[i].poured * (1 + budget->pour * dice_normal(dice));
    double volume = mixes[i].volume * (1 + budget->volume * dice_normal(dice));

    return base + slope * poured / volume + budget->meter * dice_normal(dice);
}

static void check_propagation(const aq_budget *budget, size_t i)
{
    enum { TRIALS = 200000 };
    aq_dice dice = { 0x9e3779b97f4a7c15u + i };
    double added = mixes[i].slope * mixes[i].poured / mixes[i].volume, expected = mixes[i].base + added;
    double u = aq_uncertainty(budget, added), sum = 0, square = 0;
    long inside = 0;

    for (int n = 0; n < TRIALS; n++) {
        double off = trial(&dice, budget, i) - expected;

        sum += off;
        square += off * off;
        inside += fabs(off) <= 2 * u;
    }
    check_within(mixes[i].row, sqrt((square - sum * sum / TRIALS) / (TRIALS - 1)) / u, 1, 0.01);
    check_within(mixes[i].row, (double)inside / TRIALS, 0.9545,
                 0.004); /* of a normal law, within two sigma */
}

static void test_propagation_agrees_with_monte_carlo(void **state)
{
    aq_budget first = aq_budget_first(), learned = aq_budget_learned(0.033);

    (void)state;
    for (size_t i = 0; i < sizeof mixes / sizeof *mixes; i++) {
        check_propagation(&first, i);
        check_propagation(&learned, i);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_tolerance_is_the_larger_of_a_floor_and_a_share),
        cmocka_unit_test(test_a_poor_fit_widens_the_tolerance),
        cmocka_unit_test(test_propagation_agrees_with_monte_carlo),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
