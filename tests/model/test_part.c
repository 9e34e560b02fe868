#include "entry.h"

#include <stdio.h>

#include "model/part.h"

static aq_arena *arena;

static int begin(void **state)
{
    (void)state;
    arena = aq_arena_new(0);
    return arena ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    aq_arena_free(arena);
    return 0;
}

static const aq_nutrient all_nitrogen = AQ_N_UNKNOWN;

static void test_a_label_becomes_grams_per_gram_or_per_litre(void **state)
{
    /* Worked by hand: 4.0 % w/v is 40 g/L; 4.0 % w/w of 1.22 kg/L is 0.040 g/g. P = 0.43642 P2O5 and K = 0.83013 K2O from
     * the atomic weights of CIAAW 2021 (30.974 * 2 / 141.943, 39.098 * 2 / 94.195). */
    static const struct {
        const char *part;
        aq_nutrient nutrient;
        bool per_litre;
        double want;
    } rows[] = {
        { "{analysis: {basis: w/v, N: 4.0 %}}", AQ_N_UNKNOWN, true, 40 },
        { "{density: 1.22 kg/L, analysis: {basis: w/w, N: 4.0 %}}", AQ_N_UNKNOWN, false, 0.040 },
        { "{analysis: {basis: w/w, as: oxide, N: 5 %, P: 15 %, K: 14 %}}", AQ_P, false, 0.0654640 },
        { "{analysis: {basis: w/w, as: oxide, N: 5 %, P: 15 %, K: 14 %}}", AQ_K, false, 0.1162212 },
        { "{analysis: {basis: w/w, as: element, P: 6.5 %}}", AQ_P, false, 0.065 },
        { "{analysis: {basis: w/w, P2O5: 10 %, K2O: 20 %}}", AQ_P, false, 0.0436427 },
        { "{analysis: {basis: w/v, as: element, Ca: 3.2 %}}", AQ_CA, true, 32 },
        { "{analysis: {Ca: 3.2 %w/v}}", AQ_CA, true, 32 },
        { "{analysis: {Fe: 6 %w/w}}", AQ_FE, false, 0.06 },
        { "{analysis: {Fe: 700 mg/L}}", AQ_FE, true, 0.7 },
        { "{analysis: {Fe: 60 g/kg}}", AQ_FE, false, 0.06 },
        { "{density: 1.2 kg/L, analysis: {basis: w/w, N: 4 %, Fe: 600 mg/L}}", AQ_FE, false, 0.0005 },
        { "{formula: KNO3}", AQ_K, false, 0.3867202 },
        { "{formula: MgSO4.7H2O}", AQ_MG, false, 24.305 / 246.466 },
        { "{analysis: {basis: w/w, urea-N: 46 %}}", AQ_N_UNKNOWN, false, 0.46 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_part part;

        entry_must(&aq_part_shape, rows[i].part, &part, arena);
        assert_non_null(part.composition);
        check_true(rows[i].part, part.per_litre == rows[i].per_litre);
        check_within(rows[i].part, aq_composition_nutrient(part.composition, rows[i].nutrient), rows[i].want,
                     1e-6 * rows[i].want + 1e-7);
    }
}

static void test_what_a_label_leaves_open_is_asked(void **state)
{
    static const struct {
        const char *part, *key;
        size_t choices;
    } rows[] = {
        { "{analysis: {N: 4.0 %}}", "basis", 2 },
        { "{density: 1.22 kg/L, analysis: {N: 4.0 %}}", "basis", 2 },
        { "{analysis: {basis: w/w, P: 15 %}}", "as", 2 },
        { "{analysis: {basis: w/w, N: 5 %, K: 14 %}}", "as", 2 },
        { "{rate: 2 tsp/gal}", "gallon", 2 },
        { "{to: 350 ppm}", "ppm", 3 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_part part;
        aq_error err;

        check_true(rows[i].part,
                   entry_read(&aq_part_shape, rows[i].part, &part, arena, NULL, &err) == AQ_AMBIGUOUS);
        check_text(rows[i].part, err.question.key, rows[i].key);
        check_true(rows[i].part, err.question.count == rows[i].choices);
    }
}

static void test_what_was_said_answers_a_question(void **state)
{
    aq_said said = { .basis = AQ_BASIS_WV, .as = AQ_AS_OXIDE };
    aq_part part;
    aq_error err;

    (void)state;
    assert_int_equal(entry_read(&aq_part_shape, "{analysis: {N: 4.0 %, P: 10 %}}", &part, arena, &said, &err),
                     AQ_OK);
    check_close("N", aq_composition_nutrient(part.composition, all_nitrogen), 40, 1e-12);
    check_close("P", part.composition->mass[AQ_P], 43.6427, 1e-5);
    assert_int_equal(part.analysis.basis, AQ_BASIS_WV);
    assert_int_equal(part.analysis.as, AQ_AS_OXIDE);
    /* a label that says it itself is not overruled */
    assert_int_equal(
        entry_read(&aq_part_shape, "{analysis: {basis: w/w, N: 4.0 %}}", &part, arena, &said, &err), AQ_OK);
    check_close("N by mass", aq_composition_nutrient(part.composition, all_nitrogen), 0.040, 1e-12);
}

static void test_weighed_or_poured_follows_from_the_label(void **state)
{
    static aq_tool scale = { .name = "scale", .holds = 3000, .marks = 1, .weighs = true };
    static aq_tool both[] = { { .name = "scale", .holds = 3000, .marks = 1, .weighs = true },
                              { .name = "syringe", .holds = 0.06, .marks = 0.001 } };
    const aq_bench only_scale = { &scale, 1, 1 }, with_syringe = { both, 2, 2 }, empty = { 0 };
    static const struct {
        const char *part;
        bool bare, scale, syringe;
    } rows[] = {
        { "{formula: KNO3}", true, true, true },
        { "{formula: KNO3, density: 2.1 kg/L}", true, true, true },
        { "{analysis: {basis: w/w, N: 15 %}}", true, true, true },
        { "{density: 1.2 kg/L, analysis: {basis: w/w, N: 15 %}}", false, true, false },
        { "{analysis: {basis: w/v, N: 4 %}}", false, false, false },
        { "{density: 1.2 kg/L, analysis: {basis: w/v, N: 4 %}}", false, true, false },
        { "{rate: 2 mL/L}", false, false, false },
        { "{rate: 2 mL/L, density: 1.2 kg/L}", false, true, false },
        { "{rate: 0.5 g/L}", true, true, true },
        { "{ec: 1.2 mS/cm per g/L}", true, true, true },
        { "{ec: 0.4 mS/cm per mL/L}", false, false, false },
        { "{name: nothing known}", false, true, false },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_part part;

        entry_must(&aq_part_shape, rows[i].part, &part, arena);
        check_true(rows[i].part, aq_part_weighed(&part, NULL) == rows[i].bare);
        check_true(rows[i].part, aq_part_weighed(&part, &empty) == rows[i].bare);
        check_true(rows[i].part, aq_part_weighed(&part, &only_scale) == rows[i].scale);
        check_true(rows[i].part, aq_part_weighed(&part, &with_syringe) == rows[i].syringe);
    }
}

static void test_solubility_is_kept_by_rising_temperature(void **state)
{
    aq_part part;

    (void)state;
    entry_must(
        &aq_part_shape,
        "{formula: KNO3, saturated: 1.2 kg/L, solubility: {20 degC: 316 g/kg water, 0 degC: 133 g/kg water, "
        "50 degF: 209 g/kg water}}",
        &part, arena);
    assert_int_equal(part.solubility.count, 3);
    check_close("coldest", part.solubility.at[0].temperature, 0, 1e-12);
    check_close("50 degF", part.solubility.at[1].temperature, 10, 1e-12);
    check_close("its grams", part.solubility.at[1].grams, 209, 1e-12);
    check_close("warmest", part.solubility.at[2].temperature, 20, 1e-12);
    assert_true(part.solubility.at[2].per_water);
}

static void test_every_row_has_help_and_reads_its_own_example(void **state)
{
    const aq_shape *shape = &aq_part_shape;

    (void)state;
    for (size_t i = 0; i < shape->count; i++) {
        char text[400];
        aq_part part;
        aq_error err;

        check_true(shape->fields[i].key, shape->fields[i].help && *shape->fields[i].help);
        snprintf(text, sizeof text, "{%s: %s}", shape->fields[i].key, shape->fields[i].example);
        if (entry_read(shape, text, &part, arena, NULL, &err) != AQ_OK)
            fail_msg("%s: %s", text, err.text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_a_label_becomes_grams_per_gram_or_per_litre, begin, end),
        cmocka_unit_test_setup_teardown(test_what_a_label_leaves_open_is_asked, begin, end),
        cmocka_unit_test_setup_teardown(test_what_was_said_answers_a_question, begin, end),
        cmocka_unit_test_setup_teardown(test_weighed_or_poured_follows_from_the_label, begin, end),
        cmocka_unit_test_setup_teardown(test_solubility_is_kept_by_rising_temperature, begin, end),
        cmocka_unit_test_setup_teardown(test_every_row_has_help_and_reads_its_own_example, begin, end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
