/* Solubilities against sources that the table was not written from. */
#include "check.h"
#include "chemistry/solubility.h"

/* g of product in 100 g of water, read in: a textbook page and a worked example (KNO3), a university's data page
 * (NH4H2PO4, CaCl2, CuSO4) and a chemical supplier's table (NH4H2PO4). The library's table (CRC Handbook, from
 * memory) lies 0 to 9 % below. */
static const struct {
    const char *formula;
    double celsius, grams, below;
} read_elsewhere[] = {
    { "KNO3", 10, 21.0, -0.02 },     { "KNO3", 20, 31.6, -0.02 },      { "NH4H2PO4", 0, 22.7, 0.05 },
    { "NH4H2PO4", 0, 23.8, 0.095 },  { "NH4H2PO4", 10, 29.4, 0.05 },   { "NH4H2PO4", 20, 36.8, 0.03 },
    { "NH4H2PO4", 25, 41.0, 0.02 },  { "NH4H2PO4", 30, 45.6, 0.01 },   { "CaCl2", 0, 59.5, 0.03 },
    { "CaCl2", 10, 65.0, 0.02 },     { "CaCl2", 20, 74.5, 0.03 },      { "CaCl2", 30, 100.0, 0.04 },
    { "CuSO4.5H2O", 0, 24.3, 0.02 }, { "CuSO4.5H2O", 20, 36.3, 0.03 }, { "CuSO4.5H2O", 30, 44.3, 0.03 },
};

static void test_solubilities_lie_near_other_sources(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof read_elsewhere / sizeof *read_elsewhere; i++) {
        double other = read_elsewhere[i].grams * 10, below = read_elsewhere[i].below;
        aq_soluble got;

        check_true(read_elsewhere[i].formula,
                   aq_solubility(&got, read_elsewhere[i].formula, read_elsewhere[i].celsius));
        check_true(read_elsewhere[i].formula, got.per_water >= other * (1 - fabs(below)));
        check_true(read_elsewhere[i].formula, got.per_water <= other * (1 + fabs(below)));
    }
}

/* Potassium sulfate, as growers put it: "about 111 at 20 degC but 90 at 10 degC"; the first is to a kg of water,
 * the second in a litre of solution. */
static void test_the_basis_is_said(void **state)
{
    aq_soluble cold, warm;

    (void)state;
    assert_true(aq_solubility(&cold, "K2SO4", 10));
    assert_true(aq_solubility(&warm, "K2SO4", 20));
    check_within("to a kg of water, 20 degC", warm.per_water, 110.5, 0.5);
    check_within("in a litre, 20 degC", warm.per_litre, 107.5, 1);
    check_within("to a kg of water, 10 degC", cold.per_water, 92.4, 0.1);
    check_within("in a litre, 10 degC", cold.per_litre, 90.5, 0.5);
    check_within("density", cold.density, 1069.6, 2);
    check_text("solid", cold.solid, "K2SO4");
}

/* The product's own crystal water is part of its grams: 33.5 g of MgSO4 or 105.8 g of the heptahydrate in 100 g of
 * water. */
static void test_hydrates_of_one_salt(void **state)
{
    aq_soluble hydrate, dry;

    (void)state;
    assert_true(aq_solubility(&hydrate, "MgSO4.7H2O", 20));
    assert_true(aq_solubility(&dry, "MgSO4", 20));
    check_within("heptahydrate", hydrate.per_water, 1058, 2);
    check_within("anhydrous", dry.per_water, 335, 1);
    check_close("one solution", hydrate.density, dry.density, 1e-9);
    check_close("one salt", hydrate.per_litre / dry.per_litre, 246.466 / 120.361, 1e-9);
    assert_true(aq_solubility(&hydrate, "Ca(NO3)2.4H2O", 20));
    check_within("calcium nitrate", hydrate.per_water, 4435, 10);
}

static void test_between_and_beyond_the_rows(void **state)
{
    aq_soluble got, edge;

    (void)state;
    assert_true(aq_solubility(&got, "KNO3", 5));
    check_close("between", got.share, 0.148, 1e-12);
    assert_false(got.beyond);
    assert_true(aq_solubility(&edge, "KNO3", 0));
    assert_true(aq_solubility(&got, "KNO3", -3));
    check_close("colder", got.share, edge.share, 0);
    assert_true(got.beyond);
    assert_true(aq_solubility(&got, "5Ca(NO3)2.NH4NO3.10H2O", 25));
    assert_true(got.beyond);
    check_within("double salt, trade figure", got.per_water, 1130, 12);
    assert_true(aq_solubility(&got, "CO(NH2)2", 20));
    check_within("urea, g/L", got.per_litre, 598, 15);
    assert_false(aq_solubility(&got, "NaCl", 20));
    assert_false(aq_solubility(&got, "KNO3", NAN));
    assert_false(aq_solubility(&got, "nitre", 20));
    check_within("zeroed", got.per_litre, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_solubilities_lie_near_other_sources),
        cmocka_unit_test(test_the_basis_is_said),
        cmocka_unit_test(test_hydrates_of_one_salt),
        cmocka_unit_test(test_between_and_beyond_the_rows),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
