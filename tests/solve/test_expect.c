/* What a tank should read, from salts by their ions: against the chemistry of the whole tank, put together here. */
#include "check.h"
#include "chemistry/conductivity.h"
#include "solve/expect.h"
#include "tanks.h"

/* What the chemistry says of the finished tank, put together from its salts here. */
static double read_tank(const aq_composition *composition, const double *x, size_t count)
{
    aq_solution solution = { .temperature = 25, .mode = AQ_PH_CLOSED };

    for (size_t j = 0; j < count; j++)
        for (int i = 0; i < AQ_ION_COUNT; i++)
            solution.total[i] += x[j] * composition[j].ion[i];
    return aq_ec_of(&solution);
}

static void test_an_ec_is_met_by_the_ions_of_salts(void **state)
{
    const aq_composition composition[] = { salt("KNO3"), salt("Ca(NO3)2.4H2O"), salt("KH2PO4"),
                                           salt("MgSO4.7H2O") };
    aq_mix_member member[4];
    aq_mix_column column[4];
    const aq_mix_target target[] = { { AQ_N_UNKNOWN, 0.15, 0.05 },
                                     { AQ_P, 0.031, 0.05 },
                                     { AQ_K, 0.21, 0.05 },
                                     { AQ_CA, 0.09, 0.1 },
                                     { AQ_MG, 0.024, 0.1 } };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t j = 0; j < 4; j++) {
        member[j] = (aq_mix_member){ &composition[j], 1 };
        column[j] = weighed(&member[j]);
    }
    for (double ec = 0.05; ec < 6; ec *= 1.6)
        for (size_t targets = 0; targets <= 5; targets += 5) {
            aq_mix_problem p = tank(60);
            const aq_mix_answer *a;

            p.columns = column;
            p.count = 4;
            p.targets = target;
            p.target_count = targets;
            p.ec = ec;
            p.water_ec = read_tank(composition, NULL, 0); /* pure water conducts a little too */
            a = solved(targets ? "with targets" : "alone", &p, arena);
            check_within("reads by the chemistry", read_tank(composition, a->x, 4), ec, 1e-6);
            check_within("said so", a->ec, ec, 1e-6);
            check_true("met", targets || a->met);
            for (size_t j = 1; j < 4 && !targets; j++)
                check_within("in the ratio of the anchors", a->x[j], a->x[0], 1e-12);
            check_true("slopes of a dilute salt, mS/cm per g/L", a->slope[0] > 0.9 && a->slope[0] < 1.5);
        }
    aq_arena_free(arena);
}

/* 8 g/L of K read some 20 mS/cm, and the slope there would read more than 0.2 of no salt at all: the EC outranks the target
 * and is met from a weaker tank. */
static void test_an_ec_far_below_the_targets_is_met(void **state)
{
    const aq_composition composition = salt("KNO3");
    const aq_mix_member member = { &composition, 1 };
    const aq_mix_column column = weighed(&member);
    const aq_mix_target target = { AQ_K, 8, 0.05 };
    aq_mix_problem p = tank(60);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    p.columns = &column;
    p.count = 1;
    p.targets = &target;
    p.target_count = 1;
    p.ec = 0.2;
    p.water_ec = read_tank(&composition, NULL, 0);
    a = solved("strong targets", &p, arena);
    check_within("reads by the chemistry", read_tank(&composition, a->x, 1), 0.2, 1e-6);
    aq_arena_free(arena);
}

/* A part with a slope beside a salt without one, in tap water of which only the EC is known. */
static void test_slopes_and_salts_add_up(void **state)
{
    const aq_composition composition = salt("KNO3");
    const aq_mix_member member = { &composition, 1 };
    aq_mix_column column[] = { { .top = INFINITY, .anchor = 0.001, .slope = 400, .to = NAN },
                               weighed(&member) };
    aq_mix_problem p = tank(60);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    p.water_ec = 0.4;
    p.columns = column;
    p.count = 2;
    p.ec = 2;
    a = solved("both", &p, arena);
    check_within("reads", a->ec, 2, 1e-6);
    check_within("by the slope", a->ec_after[0], 0.4 + 400 * a->x[0], 1e-12);
    /* In a tank that already reads 0.4, potassium nitrate adds a little less than in pure water. */
    check_true("ions slow each other", a->ec - a->ec_after[0] < read_tank(&composition, &a->x[1], 1));
    check_true("but not by much", a->ec - a->ec_after[0] > 0.95 * read_tank(&composition, &a->x[1], 1));
    aq_arena_free(arena);
}

/* What is in the tank already, known or not, slows the ions that are added: a stronger tank gains less. */
static void test_a_strong_tank_gains_less_than_a_weak_one(void **state)
{
    const aq_composition composition = salt("KNO3"), water = salt("CaCl2");
    const aq_mix_member member = { &composition, 1 };
    const aq_mix_column column = weighed(&member);
    const double fixed = 0.5;
    aq_mix_problem p = tank(60);
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    p.columns = &column;
    p.count = 1;
    p.fixed = &fixed;
    for (int known = 0; known <= 1; known++) {
        double weak, strong;

        p.base = known ? &water : NULL;
        p.water_ec = 0.2;
        weak = solved("weak", &p, arena)->slope[0];
        p.water_ec = 3;
        strong = solved("strong", &p, arena)->slope[0];
        check_true("by some per cent", strong < 0.97 * weak && strong > 0.85 * weak);
    }
    aq_arena_free(arena);
}

/* A tank of which only the EC is known holds what would read so; weak as it is, to within the slowing of its ions. */
static void test_an_unknown_tank_reads_what_it_reads(void **state)
{
    static const double tanks[] = { 0.0002, 0.02, 0.1, 0.3 };
    const aq_composition composition = salt("KNO3");
    const aq_mix_member member = { &composition, 1 };
    const aq_mix_column column = weighed(&member);
    const double none = 0;
    aq_mix_problem p = tank(60);

    (void)state;
    p.columns = &column;
    p.count = 1;
    for (size_t k = 0; k < sizeof tanks / sizeof *tanks; k++) {
        aq_expectation e;

        p.water_ec = tanks[k];
        aq_expect_begin(&e, &p);
        check_within("by its ions", e.ions_ec / p.water_ec, 1, 0.04);
        check_within("as it is", aq_expect_ec(&e, &none), p.water_ec, 0);
    }
}

/* Two members of half a gram and a gram are as much as these salts by themselves, whichever stands first. */
static void test_every_member_counts_by_its_share(void **state)
{
    const aq_composition salts[] = { salt("KNO3"), salt("KCl") };
    const double amounts[] = { 0.5, 1 }, one = 1;
    const aq_mix_member members[] = { { &salts[0], 0.5 }, { &salts[1], 1 } };
    aq_mix_column column = weighed(members);
    aq_mix_problem p = tank(10);
    aq_expectation e;

    (void)state;
    column.member_count = 2;
    p.columns = &column;
    p.count = 1;
    p.water_ec = read_tank(salts, NULL, 0);
    aq_expect_begin(&e, &p);
    check_within("EC", aq_expect_ec(&e, &one), read_tank(salts, amounts, 2), 1e-9);
    /* 39.098 of 101.10 and of 74.55 g/mol */
    check_within("potassium", aq_expect_brings(&column, AQ_K), 0.5 * 39.098 / 101.10 + 39.098 / 74.55, 1e-4);
}

/* A member of unknown composition hides an EC unless nothing of it is in a share; what serves is known and is there. */
static void test_what_is_known_of_members(void **state)
{
    const aq_composition composition = salt("KNO3");
    const struct {
        const char *row;
        aq_mix_member members[2];
        size_t count;
        bool ec, serves;
    } rows[] = {
        { "none", { { 0 } }, 0, false, false },
        { "known", { { &composition, 1 } }, 1, true, true },
        { "unknown", { { NULL, 1 } }, 1, false, false },
        { "first unknown", { { NULL, 1 }, { &composition, 1 } }, 2, false, true },
        { "last unknown", { { &composition, 1 }, { NULL, 1 } }, 2, false, true },
        { "unknown, and nothing of it", { { NULL, 0 }, { &composition, 1 } }, 2, true, true },
        { "known, and nothing of it", { { &composition, 0 } }, 1, true, false },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_mix_column column = weighed(rows[i].members);

        column.member_count = rows[i].count;
        check_true(rows[i].row, aq_expect_knows_ec(&column) == rows[i].ec);
        check_true(rows[i].row, aq_expect_serves_targets(&column) == rows[i].serves);
    }
}

/* Limiting conductivities of the CRC Handbook, S cm2/mol: H+ 349.65, K+ 73.48, NO3- 71.42. */
static void test_slopes_in_much_water_are_of_every_ion(void **state)
{
    const aq_composition nitrate = salt("KNO3"), acid = salt("HNO3");
    const aq_mix_member members[] = { { &nitrate, 1 }, { &acid, 1 } };
    const aq_mix_column of_salt = weighed(&members[0]), of_acid = weighed(&members[1]);

    (void)state;
    check_close("KNO3", aq_expect_dilute_slope(&of_salt), (73.48 + 71.42) / 101.10, 0.01);
    check_close("HNO3", aq_expect_dilute_slope(&of_acid), (349.65 + 71.42) / 63.01, 0.01);
}

/* 9.5 L of 2.0 and half a litre of 0.4 in 10 L; of parts with slopes no ions are asked for. */
static void test_half_a_litre_of_water_counts(void **state)
{
    const aq_mix_column column = { .top = INFINITY, .anchor = 1, .slope = 0.4, .to = NAN };
    aq_mix_problem p = tank(10);
    aq_expectation e;

    (void)state;
    p.heel = 9.5;
    p.heel_ec = 2;
    p.water_ec = 0.4;
    p.columns = &column;
    p.count = 1;
    aq_expect_begin(&e, &p);
    check_close("EC", e.base_ec, 1.92, 1e-12);
    assert_true(aq_expect_is_linear(&e) && isnan(e.ions_ec));
}

/* Acid and calcium chloride keep their ratio when they are made to read what was measured; where 0 was measured there is
 * nothing to scale by, and they stay as they are known. */
static void test_known_ions_are_scaled_to_the_reading(void **state)
{
    const aq_composition composition = salt("KNO3");
    const aq_mix_member member = { &composition, 1 };
    const aq_mix_column column = weighed(&member);
    aq_composition base = salt("CaCl2");
    aq_mix_problem p = tank(60);
    aq_expectation e;

    (void)state;
    for (int i = 0; i < AQ_ION_COUNT; i++)
        base.ion[i] *= 0.1;
    base.ion[AQ_ION_ACID] = base.ion[AQ_ION_NITRATE] = base.ion[AQ_ION_CALCIUM];
    p.base = &base;
    p.columns = &column;
    p.count = 1;
    for (p.water_ec = 0; p.water_ec < 3; p.water_ec += 1.3) {
        double by;

        aq_expect_begin(&e, &p);
        by = e.ions[AQ_ION_CALCIUM] / base.ion[AQ_ION_CALCIUM];
        check_true("scaled where something was read", (by == 1) == (p.water_ec == 0) && by > 0);
        for (int i = 0; i < AQ_ION_COUNT; i++)
            check_within("ratio", e.ions[i], by * base.ion[i], 1e-15);
    }
}

/* Each salt of a tank slows the other, whichever is listed first. */
static void test_slopes_fall_with_what_else_is_poured(void **state)
{
    const aq_composition composition = salt("KNO3");
    const aq_mix_member member = { &composition, 1 };
    const aq_mix_column columns[] = { weighed(&member), weighed(&member) };
    aq_mix_problem p = tank(60);
    aq_expectation e;

    (void)state;
    p.columns = columns;
    p.count = 2;
    p.water_ec = 0.2;
    aq_expect_begin(&e, &p);
    for (size_t j = 0; j < 2; j++) {
        double none[] = { 0, 0 }, much[] = { 0, 0 }, alone[2], beside[2];

        much[j] = 3;
        aq_expect_slopes(&e, none, alone);
        aq_expect_slopes(&e, much, beside);
        check_true("slower", beside[!j] < 0.97 * alone[!j] && beside[!j] > 0.7 * alone[!j]);
    }
}

static void test_urea_adds_no_ec(void **state)
{
    const aq_composition composition = salt("CO(NH2)2");
    const aq_mix_member member = { &composition, 1 };
    const aq_mix_column column = weighed(&member);
    const aq_mix_target target = { AQ_N_UNKNOWN, 2.3, 0.05 };
    aq_mix_problem p = tank(1.5);
    aq_arena *arena = aq_arena_new(0);
    const aq_mix_answer *a;

    (void)state;
    p.water_ec = 0.2;
    p.columns = &column;
    p.count = 1;
    p.targets = &target;
    p.target_count = 1;
    a = solved("urea", &p, arena);
    check_within("grams in the bottle", a->x[0] * 1.5, 7.4, 0.01); /* 2.3 g/L of N in urea of 46.65 % */
    check_within("reads as the water does", a->ec, 0.2, 1e-9);
    check_within("slope", a->slope[0], 0, 0);
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_an_ec_is_met_by_the_ions_of_salts),
        cmocka_unit_test(test_an_ec_far_below_the_targets_is_met),
        cmocka_unit_test(test_slopes_and_salts_add_up),
        cmocka_unit_test(test_a_strong_tank_gains_less_than_a_weak_one),
        cmocka_unit_test(test_an_unknown_tank_reads_what_it_reads),
        cmocka_unit_test(test_every_member_counts_by_its_share),
        cmocka_unit_test(test_what_is_known_of_members),
        cmocka_unit_test(test_slopes_in_much_water_are_of_every_ion),
        cmocka_unit_test(test_half_a_litre_of_water_counts),
        cmocka_unit_test(test_known_ions_are_scaled_to_the_reading),
        cmocka_unit_test(test_slopes_fall_with_what_else_is_poured),
        cmocka_unit_test(test_urea_adds_no_ec),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
