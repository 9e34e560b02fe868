/* Ions, species and minerals by name: molar masses as PubChem prints them (computed from IUPAC weights), and each name
 * of a table found again. */
#include "check.h"
#include "chemistry/ion.h"
#include "chemistry/pair.h"
#include "chemistry/speciation.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void test_an_ion_weighs_what_its_atoms_weigh(void **state)
{
    static const struct {
        aq_ion ion;
        double grams;
    } rows[] = {
        { AQ_ION_ACID, 1.008 },       { AQ_ION_NITRATE, 62.005 },   { AQ_ION_AMMONIUM, 18.039 },
        { AQ_ION_PHOSPHATE, 96.987 }, { AQ_ION_POTASSIUM, 39.098 }, { AQ_ION_CALCIUM, 40.08 },
        { AQ_ION_MAGNESIUM, 24.305 }, { AQ_ION_SULFATE, 96.06 },    { AQ_ION_SODIUM, 22.990 },
        { AQ_ION_CHLORIDE, 35.45 },   { AQ_ION_CARBONATE, 61.017 }, { AQ_ION_BORATE, 61.84 },
        { AQ_ION_SILICATE, 96.11 },   { AQ_ION_CITRATE, 191.12 },   { AQ_ION_ACETATE, 59.04 },
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++)
        check_within(aq_ion_of(rows[i].ion)->formula, aq_ion_molar_mass(rows[i].ion), rows[i].grams, 0.011);
}

static void test_a_species_is_found_by_its_name(void **state)
{
    (void)state;
    for (int i = 0; i < AQ_SPECIES_COUNT; i++)
        assert_int_equal(aq_species_find(aq_species_of(i)->name), i);
    assert_int_equal(aq_species_find("moon dust"), AQ_SPECIES_COUNT);
}

static void test_minerals_have_a_name_and_a_formula(void **state)
{
    static const struct {
        const char *name, *formula;
    } rows[AQ_MINERAL_COUNT] = { [AQ_GYPSUM] = { "gypsum", "CaSO4" },
                                 [AQ_CALCITE] = { "calcite", "CaCO3" },
                                 [AQ_BRUSHITE] = { "brushite", "CaHPO4" },
                                 [AQ_STRUVITE] = { "struvite", "NH4" } };

    (void)state;
    for (int i = 0; i < AQ_MINERAL_COUNT; i++) {
        check_true(rows[i].name, strstr(aq_mineral_name((aq_mineral)i), rows[i].name) != NULL);
        check_true(rows[i].name, strstr(aq_mineral_formula((aq_mineral)i), rows[i].formula) != NULL);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_an_ion_weighs_what_its_atoms_weigh),
        cmocka_unit_test(test_a_species_is_found_by_its_name),
        cmocka_unit_test(test_minerals_have_a_name_and_a_formula),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
