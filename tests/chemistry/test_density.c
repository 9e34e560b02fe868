/* Densities of salt solutions against the CRC Handbook of Chemistry and Physics, 102nd edition, Concentrative
 * Properties of Aqueous Solutions, 20 degC: a table that the model's coefficients were not made from. */
#include "check.h"
#include "chemistry/density.h"

static const struct {
    const char *salt;
    double within; /* g/mL: 0.001 as published, more where the two sources differ */
    double at[4];  /* 1, 5, 10 and 20 %; 0: not in the table */
} handbook[] = {
    { "(NH4)2SO4", 0.001, { 1.0042, 1.0279, 1.0574, 1.1154 } },
    { "CaCl2", 0.001, { 1.0065, 1.0401, 1.0835, 1.1775 } },
    { "CuSO4", 0.001, { 1.0085, 1.0511, 1.1070, 0 } },
    { "K2CO3", 0.006, { 1.0072, 1.0437, 1.0904, 1.1898 } },
    { "K2SO4", 0.001, { 1.0062, 1.0388, 1.0806, 0 } },
    { "KCl", 0.001, { 1.0046, 1.0304, 1.0633, 1.1328 } },
    { "KH2PO4", 0.001, { 1.0053, 1.0342, 1.0703, 0 } },
    { "KNO3", 0.001, { 1.0045, 1.0298, 1.0627, 1.1326 } },
    { "MgCl2", 0.0015, { 1.0062, 1.0394, 1.0826, 1.1742 } },
    { "MgSO4", 0.001, { 1.0084, 1.0497, 1.1034, 1.2198 } },
    { "MnSO4", 0.006, { 1.0080, 1.0480, 1.1012, 1.2203 } },
    { "NaCl", 0.001, { 1.0053, 1.0340, 1.0707, 1.1478 } },
    { "NH4Cl", 0.0011, { 1.0014, 1.0138, 1.0286, 1.0567 } },
    { "ZnSO4", 0.001, { 1.0085, 1.0511, 1.1071, 0 } },
};

static void test_densities_follow_the_handbook(void **state)
{
    static const double shares[] = { 0.01, 0.05, 0.10, 0.20 };

    (void)state;
    for (size_t i = 0; i < sizeof handbook / sizeof *handbook; i++)
        for (int k = 0; k < 4; k++) {
            aq_solute salt = { handbook[i].salt, shares[k] };
            double density;

            if (handbook[i].at[k] <= 0)
                continue;
            check_true(salt.formula, aq_density_of_shares(&density, &salt, 1, 20));
            check_within(salt.formula, density / 1000, handbook[i].at[k], handbook[i].within);
        }
}

/* Water: CRC Handbook, 0.99984 at 0, 0.99821 at 20, 0.99705 at 25, 0.99222 at 40 degC. */
static void test_water_alone(void **state)
{
    double density;

    (void)state;
    assert_true(aq_density_of_shares(&density, NULL, 0, 20));
    check_within("20", density, 998.21, 0.03);
    assert_true(aq_density_of_shares(&density, NULL, 0, 25));
    check_within("25", density, 997.05, 0.03);
    assert_true(aq_density_of_shares(&density, NULL, 0, 0));
    check_within("0", density, 999.84, 0.03);
    assert_true(aq_density_of_shares(&density, NULL, 0, 40));
    check_within("40", density, 992.22, 0.05);
}

static void test_crystal_water_counts_as_water(void **state)
{
    aq_solute hydrate = { "MgSO4.7H2O", 0.10 * 246.466 / 120.361 }, salt = { "MgSO4", 0.10 };
    double with, without;

    (void)state;
    assert_true(aq_density_of_shares(&with, &hydrate, 1, 20));
    assert_true(aq_density_of_shares(&without, &salt, 1, 20));
    check_close("the same solution", with, without, 1e-12);
}

/* Magnesium sulfate, 10 % at 20 degC, 1.1034 g/mL: 110.34 g in a litre. */
static void test_grams_in_a_litre_find_their_density(void **state)
{
    aq_solute one = { "MgSO4", 110.34 }, none = { "KNO3", 0 };
    aq_solute tank[] = { { "KNO3", 60 }, { "MgSO4.7H2O", 90 }, { "KH2PO4", 40 } };
    double density;

    (void)state;
    assert_true(aq_density_of_litre(&density, &one, 1, 20));
    check_within("one salt", density, 1103.4, 1);
    assert_true(aq_density_of_litre(&density, &none, 1, 20));
    check_within("nothing", density, 998.2, 0.1);
    assert_true(aq_density_of_litre(&density, tank, 3, 20));
    check_true("heavier than each, lighter than all", density > 1060 && density < 1190);
}

static void test_what_has_no_density_says_so(void **state)
{
    static const struct {
        const char *row;
        aq_solute solute;
        double celsius;
    } bad[] = {
        { "unknown salt", { "KMnO4", 0.1 }, 20 }, { "not a formula", { "salt", 0.1 }, 20 },
        { "negative", { "KCl", -0.1 }, 20 },      { "all salt", { "KCl", 1 }, 20 },
        { "not a number", { "KCl", NAN }, 20 },   { "too warm", { "KCl", 0.1 }, 51 },
    };
    double density = 1;

    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        check_true(bad[i].row, !aq_density_of_shares(&density, &bad[i].solute, 1, bad[i].celsius));
        check_within(bad[i].row, density, 0, 0);
    }
    assert_true(aq_density_known("ZnSO4.7H2O"));
    assert_false(aq_density_known("H3BO3"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_densities_follow_the_handbook),
        cmocka_unit_test(test_water_alone),
        cmocka_unit_test(test_crystal_water_counts_as_water),
        cmocka_unit_test(test_grams_in_a_litre_find_their_density),
        cmocka_unit_test(test_what_has_no_density_says_so),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
