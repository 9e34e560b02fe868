/* What must not share a concentrate, and common ions. */
#include "chemistry/concentrate.h"

#include "chemistry/solubility.h"
#include "check.h"

static aq_composition of(const char *formula)
{
    aq_composition c;

    assert_int_equal(aq_composition_of_formula(&c, formula, NULL), AQ_OK);
    return c;
}

static aq_composition labelled(const char *name, double amount, bool close)
{
    const aq_content entry = { name, amount, false, { 0 } };
    aq_composition c;

    assert_int_equal(aq_composition_of_analysis(&c, &entry, 1, AQ_AS_ELEMENT, NULL), AQ_OK);
    if (close)
        aq_composition_close(&c);
    return c;
}

/* University of California ANR on calcium; the others common practice, no source. */
static void test_what_clashes_in_a_concentrate(void **state)
{
    const struct {
        const char *row;
        aq_composition first, second;
        aq_clash clash;
    } rows[] = {
        { "gypsum", of("Ca(NO3)2.4H2O"), of("MgSO4.7H2O"), AQ_CLASH_CALCIUM },
        { "calcium phosphate", of("CaCl2"), of("KH2PO4"), AQ_CLASH_CALCIUM },
        { "asked the other way", of("KH2PO4"), of("CaCl2"), AQ_CLASH_NONE },
        { "nitrates", of("Ca(NO3)2"), of("KNO3"), AQ_CLASH_NONE },
        { "lime", of("Ca(NO3)2"), of("K2CO3"), AQ_CLASH_LIME },
        { "a label that leaves out its anions", of("Ca(NO3)2"), labelled("K", 0.3, true), AQ_CLASH_NONE },
        { "calcium and sulfuric acid", of("Ca(NO3)2"), of("H2SO4"), AQ_CLASH_CALCIUM },
        { "calcium and nitric acid", of("Ca(NO3)2"), of("HNO3"), AQ_CLASH_NONE },
        { "iron chelate and acid", labelled("Fe", 0.06, false), of("HNO3"), AQ_CLASH_CHELATE },
        { "iron chelate and phosphate", labelled("Fe", 0.06, false), of("KH2PO4"), AQ_CLASH_NONE },
        { "iron sulfate and acid", of("FeSO4.7H2O"), of("H2SO4"), AQ_CLASH_NONE },
        { "silicate and magnesium", of("K2SiO3"), of("MgSO4"), AQ_CLASH_SILICATE },
        { "silicate and acid", of("K2SiO3"), of("HNO3"), AQ_CLASH_SILICATE },
        { "silicate and potassium nitrate", of("K2SiO3"), of("KNO3"), AQ_CLASH_NONE },
        { "carbonate and acid", of("K2CO3"), of("H3PO4"), AQ_CLASH_FIZZ },
        { "phosphate and sulfate", of("KH2PO4"), of("MgSO4"), AQ_CLASH_NONE },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (aq_concentrate_clash(&rows[i].first, &rows[i].second) != rows[i].clash)
            fail_msg("%s", rows[i].row);
    aq_composition iron = labelled("Fe", 0.06, false), phosphate = of("KH2PO4"), nitrate = of("KNO3");
    assert_true(aq_concentrate_rather_apart(&iron, &phosphate));
    assert_false(aq_concentrate_rather_apart(&iron, &nitrate));
    assert_false(aq_concentrate_rather_apart(&phosphate, &iron));
}

static const aq_solid *tabled(const aq_solid *solids, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(solids[i].name, name) == 0)
            return &solids[i];
    fail_msg("%s is not in the table", name);
    return NULL;
}

static void add(double *ions, const char *formula, double grams)
{
    aq_composition gram = of(formula);

    for (int i = 0; i < AQ_ION_COUNT; i++)
        ions[i] += grams * gram.ion[i];
}

/* A salt alone is at its handbook solubility when its own ions say so, whatever its valences. */
static void test_a_salt_alone_has_the_room_of_the_handbooks(void **state)
{
    static const char *const salts[] = { "KNO3", "K2SO4", "KH2PO4", "MgSO4.7H2O", "Mg(NO3)2.6H2O", "H3BO3" };
    aq_solid solids[32];
    size_t count = aq_solids_tabled(solids, 32, 10);

    (void)state;
    assert_true(count >= 15 && count < 32);
    for (size_t i = 0; i < sizeof salts / sizeof *salts; i++) {
        double ions[AQ_ION_COUNT] = { 0 };
        aq_soluble alone;

        assert_true(aq_solubility(&alone, salts[i], 10));
        add(ions, salts[i], alone.per_litre / 4);
        check_within(salts[i], aq_solid_room(tabled(solids, count, alone.name), ions), 4, 1e-9);
    }
}

/* The cubic (1 + 2 s)^2 s = 4 s0^3 solved by hand for s0 = 0.520: 0.25; and more potassium leaves less. */
static void test_common_ions_leave_less(void **state)
{
    aq_solid solids[32];
    size_t count = aq_solids_tabled(solids, 32, 10);
    const aq_solid *solid = tabled(solids, count, "potassium sulfate");
    double ions[AQ_ION_COUNT] = { [AQ_ION_POTASSIUM] = 1.5, [AQ_ION_SULFATE] = 0.25, [AQ_ION_NITRATE] = 1 };
    double least = INFINITY;

    (void)state;
    check_within("1 mol/L of potassium beside it", aq_solid_room(solid, ions), 1, 0.005);
    for (int i = 0; i < 10; i++, ions[AQ_ION_POTASSIUM] += 0.2) {
        assert_true(aq_solid_room(solid, ions) < least);
        least = aq_solid_room(solid, ions);
    }
    ions[AQ_ION_SULFATE] = 0;
    assert_true(isinf(aq_solid_room(solid, ions)));
}

static void test_what_has_no_ions_is_no_solid(void **state)
{
    aq_composition urea = of("CO(NH2)2"), salt = of("KNO3");
    aq_solid solid;

    (void)state;
    assert_false(aq_solid_of(&solid, "urea", &urea, 500));
    assert_false(aq_solid_of(&solid, "salt", &salt, 0));
    assert_false(aq_solid_of(&solid, "salt", &salt, NAN));
    assert_true(aq_solid_of(&solid, "salt", &salt, 100));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_clashes_in_a_concentrate),
        cmocka_unit_test(test_a_salt_alone_has_the_room_of_the_handbooks),
        cmocka_unit_test(test_common_ions_leave_less),
        cmocka_unit_test(test_what_has_no_ions_is_no_solid),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
