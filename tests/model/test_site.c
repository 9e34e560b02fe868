#include "entry.h"

#include <stdio.h>

#include "model/site.h"

static aq_arena *arena;

static int begin(void **state)
{
    (void)state;
    arena = aq_arena_new(0);
    return 0;
}

static int end(void **state)
{
    (void)state;
    aq_arena_free(arena);
    return 0;
}

static aq_site *read_site(const char *text)
{
    aq_complaints complaints = { 0 };
    aq_site *site;

    if (aq_site_read(&site, arena, text, strlen(text), "site.yaml", &complaints) != AQ_OK)
        fail_msg("%s", complaints.at[0].text);
    return site;
}

static const aq_recipe *read_recipe(const char *text)
{
    aq_complaints complaints = { 0 };
    const aq_recipe *recipe;

    if (aq_recipe_read(&recipe, arena, text, strlen(text), "recipe.yaml", &complaints) != AQ_OK)
        fail_msg("%s", complaints.at[0].text);
    return recipe;
}

static const char two_recipes[] =
    "aliquot: site 1\n"
    "recipes: {leaf: leaf.yaml, salts: salts.yaml}\n"
    "waters: {tap: {ec: 0.3 mS/cm}}\n"
    "reservoirs:\n"
    "  - {name: Trays, holds: 12 L, lot: basil-14, together: vge}\n"
    "  - {name: Bed, holds: 60 L, recipe: leaf, stage: stok plants}\n"
    "  - {name: Own, holds: 60 L, recipe: leaf, stage: {name: own, ec: 1 mS/cm}}\n"
    "  - {name: By rates, holds: 9 L, recipe: leaf, rates: {Part C: 1 mL/L}}\n"
    "  - {name: Unfed, holds: 9 L, stage: anything}\n"
    "bottles:\n"
    "  - {name: Mister, holds: 1 L, recipe: leaf, stage: stike}\n"
    "lots:\n"
    "  - {name: basil-14, stuck: 2026-03-02, recipe: leaf}\n"
    "supplies:\n"
    "  - {part: Part A, left: 1 L}\n"
    "  - {part: Potassium nitrate, left: 1 kg}\n"
    "  - {part: Part D, left: 1 L}\n";
static const char leaf[] = "aliquot: recipe 1\n"
                           "parts: [{name: Part A, rate: 1 mL/L}, {name: Part B, rate: 1 mL/L}]\n"
                           "together: [{name: veg, parts: {Part A: 1, Part B: 1}}]\n"
                           "stages: [{name: strike, ec: 0.5 mS/cm}, {name: stock plants, ec: 1.5 mS/cm}]\n";
static const char salts[] = "aliquot: recipe 1\nparts: [{name: Potassium nitrate, formula: KNO3}]\n";

static void test_what_a_site_says_of_its_recipes_is_checked_when_they_are_attached(void **state)
{
    static const char *const want[] = {
        "reservoir Trays: together: no group is called vge; did you mean veg?",
        "reservoir Bed: stage: no stage is called stok plants; did you mean stock plants?",
        "reservoir By rates: rates: no part is called Part C; did you mean Part A?",
        "bottle Mister: stage: no stage is called stike; did you mean strike?",
        "supply Part D: part: no part is called Part D; did you mean Part A?",
    };
    aq_complaints complaints = { 0 };
    aq_site *site = read_site(two_recipes);

    (void)state;
    assert_int_equal(aq_site_check_recipes(site, &complaints), AQ_OK);
    site->recipes.at[0].recipe = read_recipe(leaf);
    site->recipes.at[1].recipe = read_recipe(salts);
    assert_int_equal(aq_site_check_recipes(site, &complaints), AQ_UNKNOWN_NAME);
    assert_int_equal(complaints.count, sizeof want / sizeof *want);
    for (size_t i = 0; i < complaints.count; i++) {
        check_text("complaint", complaints.at[i].text, want[i]);
        assert_true(complaints.at[i].place.line > 0);
        check_text("source", complaints.at[i].place.source, "site.yaml");
    }
}

static void test_an_entry_is_fed_by_its_own_recipe_or_its_lots_or_the_only_one(void **state)
{
    aq_site *site = read_site(two_recipes);
    aq_site *single = read_site("aliquot: site 1\nrecipes: {leaf: leaf.yaml}\n");
    const aq_recipe *first = read_recipe(leaf), *second = read_recipe(salts);

    (void)state;
    site->recipes.at[0].recipe = first;
    site->recipes.at[1].recipe = second;
    single->recipes.at[0].recipe = first;
    assert_ptr_equal(aq_site_recipe_for(site, "salts", "basil-14"), second);
    assert_ptr_equal(aq_site_recipe_for(site, NULL, "basil-14"), first);
    assert_null(aq_site_recipe_for(site, NULL, NULL));
    assert_null(aq_site_recipe_for(site, "other", NULL));
    assert_ptr_equal(aq_site_recipe_for(single, NULL, NULL), first);
}

static void test_entries_are_found_by_name(void **state)
{
    const aq_site *site = read_site(two_recipes);

    (void)state;
    assert_ptr_equal(aq_site_reservoir(site, "Bed"), &site->reservoirs.at[1]);
    assert_ptr_equal(aq_site_bottle(site, "Mister"), &site->bottles.at[0]);
    assert_ptr_equal(aq_site_water(site, "tap"), &site->waters.at[0]);
    assert_ptr_equal(aq_site_lot(site, "basil-14"), &site->lots.at[0]);
    assert_null(aq_site_recipe(site, "leaf")); /* named, not attached */
    assert_null(aq_site_reservoir(site, "Mister"));
    assert_null(aq_site_reservoir(site, NULL));
    assert_null(aq_site_bottle(site, "bed"));
    assert_null(aq_site_water(site, ""));
    assert_null(aq_site_lot(site, "mint"));
}

static void test_a_stage_with_an_aim_or_a_mist_is_an_entry_of_its_own(void **state)
{
    static const struct {
        const char *stage;
        bool only_named;
    } rows[] = {
        { "strike", true },
        { "{name: strike}", true },
        { "{name: strike, ec: 0.5 mS/cm}", false },
        { "{name: strike, mist: {A: 1 mL/L}}", false },
        { "{ec: 0.5 mS/cm}", false },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_stage stage;

        entry_must(&aq_stage_shape, rows[i].stage, &stage, arena);
        check_true(rows[i].stage, aq_stage_only_named(&stage) == rows[i].only_named);
    }
}

static void test_a_stock_take_by_weight_becomes_what_is_left(void **state)
{
    aq_supply supply;

    (void)state;
    entry_must(&aq_supply_shape, "{part: A, weighs: 1860 g, empty: 90 g, density: 1.26 kg/L}", &supply,
               arena);
    check_within("1770 g at 1.26 kg/L", supply.left.value, 1770 / 1260.0, 1e-12);
    assert_true(aq_kind_equal(supply.left.kind, AQ_KIND_VOLUME));
    entry_must(&aq_supply_shape, "{part: Salt, weighs: 2 lb, empty: 0 g}", &supply, arena);
    check_within("2 lb", supply.left.value, 907.18474, 1e-9); /* NIST SP 811 B.8 */
    assert_true(aq_kind_equal(supply.left.kind, AQ_KIND_MASS));
}

static void test_entries_are_read_as_they_are_typed_at_the_sink(void **state)
{
    static const struct {
        const aq_shape *shape;
        const char *text;
    } rows[] = {
        { &aq_part_shape, "{name: Feed, rate: 2-4 mL/L, ec: 0.42 mS/cm per mL/L}" },
        { &aq_part_shape, "{name: Feed, rate: 10 mL/gal-us}" },
        { &aq_part_shape, "{name: Bag, analysis: {basis: w/w, N: 15 %, P2O5: 5 %, K2O: 15 %}}" },
        { &aq_part_shape, "{name: Powder, analysis: {basis: w/w, as: oxide, N: 5 %, P: 15 %, K: 14 %}}" },
        { &aq_part_shape,
          "{name: Calcium-magnesium, ec: 0.45 mS/cm per mL/L, to: 0.35 mS/cm, analysis: {basis: w/v, "
          "as: element, Ca: 3.2 %}}" },
        { &aq_part_shape, "{name: Urea, of: urea, analysis: {basis: w/w, urea-N: 46 %}}" },
        { &aq_part_shape,
          "{name: Bag, ec: 0.65 mS/cm per 100 mg/L N, analysis: {basis: w/w, N: 20 %, P2O5: 10 %, K2O: "
          "20 %}}" },
        { &aq_part_shape,
          "{name: Potassium sulfate, formula: K2SO4, rate: 0.45 g/L, solubility: {10 degC: 90 g/L, 20 "
          "degC: 111 g/L}}" },
        { &aq_part_shape, "{name: MKP, formula: KH2PO4, rate: 0.20 g/L, tank: both}" },
        { &aq_part_shape, "{name: Cleaner, rate: 1 in 200}" },
        { &aq_together_shape, "{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}" },
        { &aq_together_shape, "{parts: {A: 3.0 mL/L, B: 1.8 mL/L}, ec: 2.0 mS/cm}" },
        { &aq_together_shape, "{name: bloom, parts: {A: 1, Bloom B: 1}, ec: 0.42 mS/cm per mL/L}" },
        { &aq_water_shape, "{ec: 0.72 mS/cm, hardness: 14 gpg-us, alkalinity: 210 mg/L CaCO3}" },
        { &aq_water_shape, "{name: RO, ec: 0.03 mS/cm, share: 50 %}" },
        { &aq_stage_shape, "{name: strike, days: 0-3, mist: {A: 0.5 mL/L, B: 0.5 mL/L}, makes: 500 mL/d}" },
        { &aq_stage_shape,
          "{name: root-in, days: 4-6, gate: half the cuttings show roots, ec: 0.8 mS/cm, makes: 3 L/d}" },
        { &aq_lot_shape, "{name: basil-14, stuck: 2026-03-02, cuttings: 60}" },
        { &aq_reservoir_shape, "{name: Trays, holds: 12 L, together: veg, ec: 0.9 mS/cm}" },
        { &aq_week_shape, "{reservoir: Veg, change: [Mon], top-up: [Thu], add: 15 L, share: 60 %}" },
        { &aq_gate_shape, "{stage: root-in, at: 2026-03-06, passed: no}" },
        { &aq_supply_shape, "{part: A, left: 5 L, pack: 5 L, price: 42.00}" },
        { &aq_supply_shape, "{part: A, weighs: 1860 g, empty: 90 g, density: 1.26 kg/L}" },
        { &aq_tool_shape, "{name: 1 mL syringe, holds: 1 mL, marks: 0.02 mL}" },
        { &aq_tool_shape, "{name: pocket scale, holds: 100 g, marks: 0.01 g}" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        entry_must(rows[i].shape, rows[i].text, aq_arena_take(arena, rows[i].shape->size), arena);
}

static void check_shape(const aq_shape *shape)
{
    char text[600];
    void *entry = aq_arena_take(arena, shape->size);

    for (size_t i = 0; i < shape->count; i++) {
        const aq_field *field = &shape->fields[i];
        aq_error err;

        check_true(field->key, field->help && *field->help);
        if (!field->example)
            continue;
        /* alone it may lack what the entry needs or goes with, but its own value must read */
        snprintf(text, sizeof text, "{%s: \"%s\"}", field->key, field->example);
        if (strchr("{[", field->example[0]))
            snprintf(text, sizeof text, "{%s: %s}", field->key, field->example);
        entry_read(shape, text, entry, arena, NULL, &err);
        check_true(text, err.status == AQ_OK || err.status == AQ_MISSING || err.status == AQ_UNKNOWN_NAME ||
                             err.status == AQ_AMBIGUOUS);
    }
}

static void test_every_row_of_every_shape_has_help_and_a_readable_example(void **state)
{
    static const aq_shape *const shapes[] = { &aq_part_shape,   &aq_together_shape, &aq_stage_shape,
                                              &aq_water_shape,  &aq_meter_shape,    &aq_tool_shape,
                                              &aq_lot_shape,    &aq_week_shape,     &aq_bottle_shape,
                                              &aq_supply_shape, &aq_gate_shape,     &aq_reservoir_shape,
                                              &aq_recipe_shape, &aq_site_shape };

    (void)state;
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++)
        check_shape(shapes[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(
            test_what_a_site_says_of_its_recipes_is_checked_when_they_are_attached, begin, end),
        cmocka_unit_test_setup_teardown(test_an_entry_is_fed_by_its_own_recipe_or_its_lots_or_the_only_one,
                                        begin, end),
        cmocka_unit_test_setup_teardown(test_entries_are_found_by_name, begin, end),
        cmocka_unit_test_setup_teardown(test_a_stage_with_an_aim_or_a_mist_is_an_entry_of_its_own, begin,
                                        end),
        cmocka_unit_test_setup_teardown(test_a_stock_take_by_weight_becomes_what_is_left, begin, end),
        cmocka_unit_test_setup_teardown(test_entries_are_read_as_they_are_typed_at_the_sink, begin, end),
        cmocka_unit_test_setup_teardown(test_every_row_of_every_shape_has_help_and_a_readable_example, begin,
                                        end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
