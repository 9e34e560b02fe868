#include "entry.h"

#include "model/recipe.h"

static const char text[] = "aliquot: recipe 1\n"
                           "name: Pair\n"
                           "gallon: us\n"
                           "parts:\n"
                           "  - {name: Part A, rate: 1-4 mL/L}\n"
                           "  - {name: Part B, rate: 1 tsp/gal}\n"
                           "together:\n"
                           "  - {name: pair, parts: {Part A: 1, Part B: 1}, ec: 0.40 mS/cm per mL/L}\n"
                           "stages:\n"
                           "  - {name: strike, days: 0-3, mist: {Part A: 0.5 mL/L}}\n"
                           "  - {name: root-in, days: 4-10, gate: half show roots, ec: 0.8 mS/cm}\n"
                           "  - {name: stock plants, targets: {N: 150 mg/L}, ec: 1.6 mS/cm}\n";

static void test_a_recipe_is_found_by_names_and_days(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_complaints complaints = { 0 };
    const aq_recipe *recipe;

    (void)state;
    assert_int_equal(aq_recipe_read(&recipe, arena, text, sizeof text - 1, "pair.yaml", &complaints), AQ_OK);
    check_text("source", recipe->source, "pair.yaml");
    check_text("day 3", aq_stage_on(&recipe->stages, 3)->name, "strike");
    check_text("day 4", aq_stage_on(&recipe->stages, 4)->name, "root-in");
    assert_null(aq_stage_on(&recipe->stages, 11));
    assert_null(aq_stage_on(&recipe->stages, -1));
    check_text("by name", aq_stage_named(&recipe->stages, "stock plants")->name, "stock plants");
    assert_null(aq_stage_named(&recipe->stages, "stock"));
    check_text("part", aq_part_named(&recipe->parts, "Part B")->name, "Part B");
    assert_null(aq_part_named(&recipe->parts, "part b"));
    /* a US teaspoon is 1/768 of a US gallon (NIST SP 811 B.9) */
    check_within("1 tsp/gal", recipe->parts.at[1].rate.high.value, 1.0 / 768, 1e-15);
    assert_int_equal(recipe->said.gallon, AQ_GALLON_US);
    assert_true(recipe->said.used_gallon);
    assert_int_equal(recipe->parts.at[1].place.line, 6);
    aq_arena_free(arena);
}

static void test_an_aim_is_given_by_any_of_the_four(void **state)
{
    static const struct {
        const char *stage;
        bool given;
    } rows[] = {
        { "{ec: 1.6 mS/cm}", true },
        { "{strength: 50 %}", true },
        { "{rates: {A: 1 mL/L}}", true },
        { "{targets: {N: 100 mg/L}}", true },
        { "{ec: 1 mS/cm, targets: {N: 100 mg/L}}", true },
        { "{ph: 5.6-6.2}", false },
        { "{mist: {A: 1 mL/L}}", false },
        { "strike", false },
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_stage stage;

        entry_must(&aq_stage_shape, rows[i].stage, &stage, arena);
        check_true(rows[i].stage, aq_aim_given(&stage.aim) == rows[i].given);
    }
    aq_arena_free(arena);
}

static void test_no_more_than_twenty_complaints_are_kept(void **state)
{
    char many[4000] = "aliquot: recipe 1\nparts:\n";
    aq_arena *arena = aq_arena_new(0);
    aq_complaints complaints = { 0 };
    const aq_recipe *recipe = (const aq_recipe *)&complaints;

    (void)state;
    for (int i = 0; i < 30; i++)
        strcat(many, "  - {name: A, rate: fast}\n");
    assert_int_equal(aq_recipe_read(&recipe, arena, many, strlen(many), "many.yaml", &complaints), AQ_SYNTAX);
    assert_null(recipe);
    assert_int_equal(complaints.count, AQ_COMPLAINTS_MOST);
    assert_int_equal(complaints.more, 10);
    aq_arena_free(arena);
}

static void test_a_full_arena_is_said_to_be_full(void **state)
{
    bool read = false;

    (void)state;
    for (size_t ceiling = 256; !read; ceiling *= 2) {
        aq_arena *arena = aq_arena_new(ceiling);
        aq_complaints complaints = { 0 };
        const aq_recipe *recipe;
        aq_status status = aq_recipe_read(&recipe, arena, text, sizeof text - 1, "pair.yaml", &complaints);

        read = status == AQ_OK;
        assert_true(read || (status == AQ_NO_MEMORY && complaints.count > 0 && !recipe));
        aq_arena_free(arena);
        assert_true(ceiling < (size_t)1 << 24);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_recipe_is_found_by_names_and_days),
        cmocka_unit_test(test_an_aim_is_given_by_any_of_the_four),
        cmocka_unit_test(test_no_more_than_twenty_complaints_are_kept),
        cmocka_unit_test(test_a_full_arena_is_said_to_be_full),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
