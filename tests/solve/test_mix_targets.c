/* Doses that bring nutrients: published solutions, printed label sums, and tanks worked by hand. */
#include "check.h"
#include "tanks.h"

enum { SALTS = 5, TARGETS = 6 };

/* Hoagland and Arnon, Calif. Agric. Exp. Stn Circular 347 (1950): mg/L of salts from mL of 1 mol/L stock per litre, and
 * the elements printed with them (exact figures; the circular's readers print 210, 31, 235, 200, 48, 64). Steiner's
 * universal solution (1984): from memory. */
static const struct {
    const char *row;
    const char *formula[SALTS];
    double mg[SALTS];
    struct {
        aq_nutrient nutrient;
        double mg;
    } element[TARGETS];
} published[] = {
    { "Hoagland 1",
      { "KNO3", "Ca(NO3)2.4H2O", "KH2PO4", "MgSO4.7H2O" },
      { 505.512, 1180.73, 136.084, 492.932 },
      { { AQ_N_UNKNOWN, 210.1 },
        { AQ_P, 30.974 },
        { AQ_K, 234.59 },
        { AQ_CA, 200.39 },
        { AQ_MG, 48.61 },
        { AQ_S, 64.12 } } },
    { "Hoagland 2",
      { "KNO3", "Ca(NO3)2.4H2O", "NH4H2PO4", "MgSO4.7H2O" },
      { 606.614, 944.584, 115.025, 492.932 },
      { { AQ_N_NITRATE, 196.1 },
        { AQ_N_AMMONIUM, 14.007 },
        { AQ_P, 30.974 },
        { AQ_K, 234.59 },
        { AQ_CA, 160.31 },
        { AQ_MG, 48.61 } } },
    { "Steiner",
      { "KNO3", "Ca(NO3)2.4H2O", "KH2PO4", "MgSO4.7H2O", "K2SO4" },
      { 303.307, 1062.66, 136.084, 492.932, 261.40 },
      { { AQ_N_UNKNOWN, 168.084 },
        { AQ_P, 30.974 },
        { AQ_K, 273.69 },
        { AQ_CA, 180.35 },
        { AQ_MG, 48.61 },
        { AQ_S, 112.21 } } },
};

/* The elements are printed to four or five figures, so the salts come back to as many. */
static void test_published_solutions_come_back_from_their_elements(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof published / sizeof *published; i++) {
        aq_composition composition[SALTS];
        aq_mix_member member[SALTS];
        aq_mix_column column[SALTS];
        aq_mix_target target[TARGETS];
        aq_mix_problem p = tank(100);
        const aq_mix_answer *a;

        p.columns = column;
        p.targets = target;
        p.target_count = TARGETS;
        for (; p.count < SALTS && published[i].formula[p.count]; p.count++) {
            composition[p.count] = salt(published[i].formula[p.count]);
            member[p.count] = (aq_mix_member){ &composition[p.count], 1 };
            column[p.count] = weighed(&member[p.count]);
        }
        for (size_t t = 0; t < TARGETS; t++)
            target[t] =
                (aq_mix_target){ published[i].element[t].nutrient, published[i].element[t].mg / 1000, 0.05 };
        a = solved(published[i].row, &p, arena);
        for (size_t j = 0; j < p.count; j++)
            check_within(published[i].formula[j], a->x[j] * 1000 / published[i].mg[j], 1, 1e-3);
        for (size_t t = 0; t < TARGETS; t++)
            check_within(published[i].row,
                         aq_composition_nutrient(&a->got, published[i].element[t].nutrient) * 1000 /
                             published[i].element[t].mg,
                         1, 1e-3);
        check_true(published[i].row, a->met && !a->capped && a->gap < 1e-9);
    }
    aq_arena_free(arena);
}

static aq_composition label(double n, double p, double k)
{
    aq_composition composition = { .mass = { [AQ_N_UNKNOWN] = n, [AQ_P] = p, [AQ_K] = k } };

    return composition;
}

/* By hand: 125 mg/L of nitrogen from 15 % is 833.3 mg/L; 120 from 4 % w/v (40 g/L) 3 mL/L; 40 of phosphorus from 15 %
 * P2O5 (x 0.436427, after Virginia Cooperative Extension SPES-201) 611.0 mg/L, in 90 L 55.0 g. */
static void test_one_product_for_one_target(void **state)
{
    static const struct {
        const char *row;
        double n, p, k, volume, amount;
        aq_mix_target target;
    } products[] = {
        { "15-5-15 for nitrogen", 0.15, 0.0218, 0.1245, 35, 29.1667, { AQ_N_UNKNOWN, 0.125, 0.05 } },
        { "4 % w/v for nitrogen", 40, 0, 0, 50, 0.150, { AQ_N_UNKNOWN, 0.120, 0.05 } },
        { "5-15-14 for phosphorus",
          0.05,
          0.15 * 0.436427,
          0.14 * 0.830151,
          90,
          54.992,
          { AQ_P, 0.040, 0.05 } },
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof products / sizeof *products; i++) {
        aq_composition composition = label(products[i].n, products[i].p, products[i].k);
        aq_mix_member member = { &composition, 1 };
        aq_mix_column column = weighed(&member);
        aq_mix_problem p = tank(products[i].volume);

        p.columns = &column;
        p.count = 1;
        p.targets = &products[i].target;
        p.target_count = 1;
        check_close(products[i].row, solved(products[i].row, &p, arena)->x[0] * p.volume, products[i].amount,
                    1e-4);
    }
    aq_arena_free(arena);
}

/* Part A brings 47 of nitrogen and 10 of potassium per unit, Part B 60 of potassium: 94 and 120 are wanted, and 1.5 of
 * Part A is its top. */
static void test_a_label_top_is_not_passed_and_says_what_it_costs(void **state)
{
    const aq_composition composition[] = { label(47, 0, 10), label(0, 0, 60) };
    const aq_mix_member member[] = { { &composition[0], 1 }, { &composition[1], 1 } };
    aq_mix_column column[] = { weighed(&member[0]), weighed(&member[1]) };
    const aq_mix_target target[] = { { AQ_N_UNKNOWN, 94, 0.05 }, { AQ_K, 120, 0.05 } };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    column[0].top = column[0].anchor = 1.5;
    column[1].top = column[1].anchor = 4;
    p.columns = column;
    p.count = 2;
    p.targets = target;
    p.target_count = 2;
    a = solved("capped", &p, arena);
    check_within("Part A", a->x[0], 1.5, 1e-12);
    check_within("Part B", a->x[1], 1.75, 1e-9);
    check_true("capped", a->capped && !a->met && a->bound[0] == 1 && a->bound[1] == 0);
    /* Half a unit short is 23.5 of 4.7 a tolerance; the square falls by 2 x 47 / 4.7 x 23.5 / 4.7 for each unit. */
    check_within("price", a->price[0], 100, 1e-6);
    check_within("free", a->price[1], 0, 0);
    column[0].top = 1.95;
    a = solved("near enough", &p, arena);
    check_true("at its top, but within the tolerance",
               a->met && !a->capped && a->bound[0] == 1 && a->price[0] > 0);
    p.over_label = true;
    a = solved("over the label", &p, arena);
    check_within("Part A", a->x[0], 2, 1e-9);
    check_true("met", a->met && !a->capped);
    aq_arena_free(arena);
}

static void test_twins_share_a_dose_by_the_label(void **state)
{
    const aq_composition composition = salt("KNO3");
    const aq_mix_member member = { &composition, 1 };
    aq_mix_column column[] = { weighed(&member), weighed(&member) };
    const aq_mix_target target[] = { { AQ_K, 0.2, 0.05 }, { AQ_N_UNKNOWN, 0.1, 0.05 } };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;
    double alone;

    (void)state;
    column[0].anchor = 0.9;
    column[1].anchor = 0.3;
    p.columns = column;
    p.count = 1;
    p.targets = target;
    p.target_count = 2;
    alone = solved("alone", &p, arena)->x[0];
    p.count = 2;
    a = solved("twins", &p, arena);
    check_within("as much together", a->x[0] + a->x[1], alone, 1e-9);
    check_within("three to one", a->x[0] / a->x[1], 3, 1e-6);
    column[0].top = 0.2;
    a = solved("one at its top", &p, arena);
    check_within("as much together", a->x[0] + a->x[1], alone, 1e-9);
    aq_arena_free(arena);
}

/* Beside potassium sulfate the label's strength alone is far from the answer, and twins must leave it together. */
static void test_twins_keep_the_label_when_others_pull_them_off_it(void **state)
{
    const aq_composition nitrate = salt("KNO3"), sulfate = salt("K2SO4");
    const aq_mix_member member[] = { { &nitrate, 1 }, { &sulfate, 1 } };
    aq_mix_column column[] = { weighed(&member[0]), weighed(&member[0]), weighed(&member[1]) };
    const aq_mix_target target[] = { { AQ_K, 0.4, 0.05 }, { AQ_N_UNKNOWN, 0.02, 0.05 } };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    column[0].anchor = 0.9;
    column[1].anchor = 0.3;
    p.columns = column;
    p.count = 3;
    p.targets = target;
    p.target_count = 2;
    a = solved("three", &p, arena);
    check_within("three to one", a->x[0] / a->x[1], 3, 1e-6);
    check_true("met", a->met && fabs(a->x[0] / 0.9 - a->strength) > 0.01);
    aq_arena_free(arena);
}

static void test_parts_that_serve_no_target(void **state)
{
    const aq_composition potassium = salt("KNO3"), magnesium = salt("MgSO4.7H2O");
    const aq_mix_member member[] = { { &potassium, 1 }, { &magnesium, 1 }, { NULL, 1 } };
    aq_mix_column column[] = { weighed(&member[0]), weighed(&member[1]), weighed(&member[2]) };
    const aq_mix_target target = { AQ_K, 0.2, 0.05 };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    p.columns = column;
    p.count = 3;
    p.targets = &target;
    p.target_count = 1;
    a = solved("without a label", &p, arena);
    check_within("a salt without a label stays out", a->x[1], 0, 1e-12);
    check_within("an unknown part stays out", a->x[2], 0, 0);
    check_true("met all the same", a->met);
    column[0].top = column[0].anchor = 1;
    column[1].top = column[1].anchor = 0.5;
    a = solved("with a label", &p, arena);
    check_within("a labelled part goes along", a->x[1] / a->x[0], 0.5, 1e-6);
    aq_arena_free(arena);
}

static void test_what_heel_and_water_bring_is_counted(void **state)
{
    const aq_composition composition = salt("Ca(NO3)2.4H2O");
    const aq_composition base = { .mass = { [AQ_CA] = 0.042 } };
    const aq_mix_member member = { &composition, 1 };
    aq_mix_column column = weighed(&member);
    aq_mix_target target = { AQ_CA, 0.090, 0.05 };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    p.columns = &column;
    p.count = 1;
    p.targets = &target;
    p.target_count = 1;
    p.base = &base;
    a = solved("some in the water", &p, arena);
    check_within("the rest", a->x[0] * composition.mass[AQ_CA], 0.048, 1e-9);
    check_within("all", a->got.mass[AQ_CA], 0.090, 1e-9);
    target.wanted = 0.030;
    a = solved("too much in the water", &p, arena);
    check_within("none", a->x[0], 0, 0);
    check_true("missed, and no label is to blame", !a->met && !a->capped && a->bound[0] == -1);
    aq_arena_free(arena);
}

static void test_a_target_of_none_is_kept_low(void **state)
{
    const aq_composition chloride = salt("KCl"), nitrate = salt("KNO3");
    const aq_mix_member member[] = { { &chloride, 1 }, { &nitrate, 1 } };
    aq_mix_column column[] = { weighed(&member[0]), weighed(&member[1]) };
    const aq_mix_target target[] = { { AQ_K, 0.2, 0.05 }, { AQ_CL, 0, 0.05 } };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    p.columns = column;
    p.count = 2;
    p.targets = target;
    p.target_count = 2;
    a = solved("chloride", &p, arena);
    check_within("no chloride", a->x[0], 0, 1e-9);
    check_true("met", a->met);
    aq_arena_free(arena);
}

/* A part that the label drags along to its top holds no target back. */
static void test_a_top_that_holds_nothing_back_is_not_blamed(void **state)
{
    const aq_composition potassium = salt("KNO3"), magnesium = salt("MgSO4.7H2O");
    const aq_mix_member member[] = { { &potassium, 1 }, { &magnesium, 1 } };
    aq_mix_column column[] = { weighed(&member[0]), weighed(&member[1]) };
    const aq_mix_target target[] = { { AQ_K, 0.2, 0.05 }, { AQ_N_UNKNOWN, 0.2, 0.05 } };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    column[0].anchor = column[1].anchor = column[1].top = 0.2;
    p.columns = column;
    p.count = 2;
    p.targets = target;
    p.target_count = 2;
    a = solved("dragged", &p, arena);
    check_true("at its top", a->bound[1] == 1);
    check_true("missed by the salt, not by the label", !a->met && !a->capped && a->price[1] == 0);
    aq_arena_free(arena);
}

/* The supplement is dosed to 0.35 mS/cm and stays so; the calcium it brings counts toward the target. */
static void test_what_is_dosed_first_counts_toward_targets(void **state)
{
    const aq_composition supplement = { .mass = { [AQ_CA] = 32 } }, calcium = salt("Ca(NO3)2.4H2O");
    const aq_mix_member member[] = { { &supplement, 1 }, { &calcium, 1 } };
    aq_mix_column column[] = { { .top = INFINITY,
                                 .anchor = 0.001,
                                 .slope = 450,
                                 .to = 0.35,
                                 .members = &member[0],
                                 .member_count = 1 },
                               weighed(&member[1]) };
    const aq_mix_target target = { AQ_CA, 0.090, 0.05 };
    aq_mix_problem p = tank(50);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    p.water_ec = 0.02;
    p.columns = column;
    p.count = 2;
    p.targets = &target;
    p.target_count = 1;
    a = solved("supplement first", &p, arena);
    check_within("supplement", a->x[0], 0.33 / 450, 1e-12);
    check_within("reads", a->ec_after[0], 0.35, 1e-12);
    check_within("the salt brings the rest", a->x[1] * calcium.mass[AQ_CA], 0.090 - 32 * 0.33 / 450, 1e-9);
    check_within("alone it would be this strong", a->strength, a->x[1], 1e-6);
    aq_arena_free(arena);
}

/* ---- targets and an EC ---- */

/* Part A can bring no more than 0.5 mS/cm; the urea beside it carries none and still serves the nitrogen. */
static void test_an_ec_out_of_reach_leaves_the_rest_to_the_targets(void **state)
{
    const aq_composition part = label(0, 0, 0.1), urea = label(0.46, 0, 0);
    const aq_mix_member member[] = { { &part, 1 }, { &urea, 1 } };
    aq_mix_column column[] = { weighed(&member[0]), weighed(&member[1]) };
    const aq_mix_target target[] = { { AQ_K, 0.2, 0.05 }, { AQ_N_UNKNOWN, 0.05, 0.05 } };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    column[0].slope = 1;
    column[0].top = 0.5;
    column[1].slope = 0;
    p.columns = column;
    p.count = 2;
    p.targets = target;
    p.target_count = 2;
    p.ec = 1.5;
    a = solved("too far up", &p, arena);
    check_within("at its top", a->x[0], 0.5, 0);
    check_within("short", a->ec_short, 1, 1e-9);
    check_within("the urea", a->x[1] * 0.46, 0.05, 1e-6);
    check_within("0.1 g/L more would give 0.1 mS/cm", a->price[0], 1, 1e-12);
    p.water_ec = 2;
    a = solved("too far down", &p, arena);
    check_within("none", a->x[0], 0, 0);
    check_within("the urea", a->x[1] * 0.46, 0.05, 1e-6);
    check_true("nothing to blame on the label", a->ec_short < 0 && !a->capped);
    aq_arena_free(arena);
}

static void test_a_part_of_unknown_ec_stays_out_where_an_ec_is_aimed_at(void **state)
{
    const aq_composition known = label(0.1, 0, 0.1);
    const aq_mix_member both[] = { { &known, 1 }, { NULL, 1 } }, one = { &known, 1 };
    aq_mix_column column[] = {
        weighed(&one),
        { .top = INFINITY, .anchor = 1, .slope = NAN, .to = NAN, .members = both, .member_count = 2 }
    };
    const aq_mix_target target = { AQ_K, 0.2, 0.05 };
    aq_mix_problem p = tank(10);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    column[0].slope = 1;
    p.columns = column;
    p.count = 2;
    p.targets = &target;
    p.target_count = 1;
    a = solved("targets alone", &p, arena);
    check_true("it serves what is known of it", a->x[1] > 0 && isnan(a->ec));
    p.ec = 1.5;
    a = solved("with an EC", &p, arena);
    check_within("out", a->x[1], 0, 0);
    check_within("reads", a->ec, 1.5, 1e-9);
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_published_solutions_come_back_from_their_elements),
        cmocka_unit_test(test_one_product_for_one_target),
        cmocka_unit_test(test_a_label_top_is_not_passed_and_says_what_it_costs),
        cmocka_unit_test(test_twins_share_a_dose_by_the_label),
        cmocka_unit_test(test_twins_keep_the_label_when_others_pull_them_off_it),
        cmocka_unit_test(test_parts_that_serve_no_target),
        cmocka_unit_test(test_what_heel_and_water_bring_is_counted),
        cmocka_unit_test(test_a_target_of_none_is_kept_low),
        cmocka_unit_test(test_a_top_that_holds_nothing_back_is_not_blamed),
        cmocka_unit_test(test_what_is_dosed_first_counts_toward_targets),
        cmocka_unit_test(test_an_ec_out_of_reach_leaves_the_rest_to_the_targets),
        cmocka_unit_test(test_a_part_of_unknown_ec_stays_out_where_an_ec_is_aimed_at),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
