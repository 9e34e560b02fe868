#include "entry.h"

#include "model/water.h"

static void test_hardness_and_alkalinity_are_charge_whatever_they_are_counted_as(void **state)
{
    /* 1 meq/L is 50.043 mg/L CaCO3 (CIAAW 2021), 1 grain in a US gallon 17.11806 mg/L (NIST SP 811), 1 dH 10 mg/L CaO. */
    static const struct {
        const char *water;
        double meq;
    } rows[] = {
        { "{hardness: 120 mg/L CaCO3}", 120 / 50.043 },
        { "{hardness: 14 gpg-us}", 14 * 17.11806 / 50.043 },
        { "{hardness: 10 dH}", 100 / 28.0385 },
        { "{hardness: 2.5 meq/L}", 2.5 },
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_water water;

        entry_must(&aq_water_shape, rows[i].water, &water, arena);
        check_close(rows[i].water, water.hardness.value * 1000, rows[i].meq, 1e-5);
    }
    aq_arena_free(arena);
}

static void test_an_analysis_becomes_ions_in_a_litre(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_water water;

    (void)state;
    entry_must(&aq_water_shape, "{ec: 0.32 mS/cm, analysis: {Ca: 42 mg/L, Mg: 0.33 mmol/L, SO4: 30 mg/L}}",
               &water, arena);
    assert_non_null(water.composition);
    check_within("Ca g/L", water.composition->mass[AQ_CA], 0.042, 1e-12);
    /* 0.33 mmol of 24.305 g/mol */
    check_within("Mg g/L", water.composition->mass[AQ_MG], 0.33e-3 * 24.305, 1e-9);
    /* 30 mg of 96.06 g/mol holds 32.06 / 96.06 of sulfur */
    check_within("S g/L", water.composition->mass[AQ_S], 0.030 * 32.06 / 96.056, 1e-6);
    /* 2 * 42 / 40.078 + 2 * 0.33 meq/L */
    check_within("hardness eq/L", aq_composition_hardness(water.composition), (84 / 40.078 + 0.66) / 1000,
                 1e-8);
    entry_must(&aq_water_shape, "{ec: 0.03 mS/cm}", &water, arena);
    assert_null(water.composition);
    aq_arena_free(arena);
}

static void test_a_name_alone_stands_for_a_water(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_water water;

    (void)state;
    entry_must(&aq_water_shape, "tap", &water, arena);
    check_text("name", water.name, "tap");
    assert_false(water.ec.given);
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_hardness_and_alkalinity_are_charge_whatever_they_are_counted_as),
        cmocka_unit_test(test_an_analysis_becomes_ions_in_a_litre),
        cmocka_unit_test(test_a_name_alone_stands_for_a_water),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
