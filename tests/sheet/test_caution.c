/* Every rule of the hazards provoked, and just not provoked. */
#include "sheet/said.h"

/* A sheet with a row of water and a row for each of the named substances, with the cautions applied. */
static aq_sheet *handling(aq_arena *arena, const char *job, const char *const *names, size_t count)
{
    aq_handled handled[4];
    aq_sheet *sheet = aq_sheet_new(arena, job);
    assert_true(sheet && aq_sheet_row(sheet, AQ_DO_WATER));
    for (size_t i = 0; i < count; i++) {
        aq_sheet_row(sheet, AQ_DO_POUR)->part = names[i];
        handled[i] =
            (aq_handled){ .name = names[i], .substance = names[i], .strength = NAN, .concentrate = true };
    }
    sheet->expect_ec = aq_amount_of(1.6, "mS/cm");
    assert_int_equal(aq_caution_apply(sheet, handled, count, NULL), AQ_OK);
    return sheet;
}

static void test_what_must_never_meet_is_refused(void **state)
{
    static const struct {
        const char *one, *other, *rule; /* NULL: they may meet */
        bool refuses;
    } rows[] = {
        { "sodium hypochlorite", "nitric acid", "chlorine", true },
        { "citric acid", "bleach", "chlorine", true },
        { "vinegar", "bleach", "chlorine", true },
        { "bleach", "ammonium sulfate", "chloramine", true },
        { "bleach", "urea", "chloramine", true },
        { "isopropanol", "bleach", "chloroform", true },
        { "bleach", "peroxide", "oxygen", true },
        { "peroxide", "vinegar", "peracetic", false },
        { "peroxide", "ethanol", "fire", false },
        { "potassium silicate", "phosphoric acid", "base-acid", false },
        { "bleach", "potassium nitrate", NULL, false },
        { "ammonium sulfate", "nitric acid", "acid", false },
        { "ethanol", "IBA", NULL, false },
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *names[] = { rows[i].one, rows[i].other };
        aq_sheet *sheet = handling(*state, "mix", names, 2);
        check_true(rows[i].other, (sheet->outcome == AQ_REFUSED) == rows[i].refuses);
        check_true(rows[i].other, (sheet->rows.count == 0) == rows[i].refuses);
        check_true(rows[i].other, sheet->expect_ec.given != rows[i].refuses);
        if (!rows[i].rule)
            continue;
        const aq_hazard *said = rule(sheet, rows[i].rule);
        check_true(rows[i].rule, said && said->refuses == rows[i].refuses && *said->code == '\0');
    }
}

static void test_a_feed_with_ammonium_and_bleach_is_refused_by_its_label(void **state)
{
    aq_named_amount ammonium = { .name = "NH4-N", .amount = { .value = 0.003, .given = true } };
    aq_part feed = { .name = "Part A", .analysis = { .contents = { .at = &ammonium, .count = 1 } } };
    aq_part bleach = { .name = "Cleaner", .of = "sodium hypochlorite" };
    aq_handled handled[] = { { .name = "Part A", .part = &feed, .strength = NAN, .concentrate = true },
                             { .name = "Cleaner", .part = &bleach, .strength = 0.06, .concentrate = true } };
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    assert_int_equal(aq_caution_apply(sheet, handled, 2, NULL), AQ_OK);
    assert_int_equal(sheet->outcome, AQ_REFUSED);
    assert_non_null(rule(sheet, "chloramine"));
    assert_int_equal(sheet->classes, AQ_AMMONIUM | AQ_HYPOCHLORITE);
}

static void test_refusal_leaves_no_amount_to_pour(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    aq_handled handled[] = { { .name = "A", .substance = "bleach", .strength = NAN },
                             { .name = "B", .substance = "nitric acid", .strength = NAN } };
    aq_sheet_row(sheet, AQ_DO_POUR)->part = "A";
    assert_non_null(aq_asides_add(*state, &sheet->if_reads));
    assert_non_null(aq_asides_add(*state, &sheet->beside));
    sheet->expect_ec = aq_amount_of(1.6, "mS/cm");
    assert_true(aq_sheet_figure(sheet, "acid", 32.2, "mL") && aq_sheet_figure(sheet, "N", 33.6, "mg/L") &&
                aq_sheet_next(sheet, "pour the rest"));
    assert_int_equal(aq_caution_apply(sheet, handled, 2, NULL), AQ_OK);
    assert_int_equal(sheet->rows.count + sheet->if_reads.count + sheet->beside.count, 0);
    assert_false(sheet->expect_ec.given);
    assert_int_equal(sheet->next.count, 0);
    assert_int_equal(sheet->figures.count, 1);
    check_text("what cannot be poured stays", sheet->figures.at[0].name, "N");
}

static void test_codes_of_a_label_are_shown_as_typed(void **state)
{
    const char *codes[] = { "H318", "H999", "h318" };
    aq_part part = { .name = "Part A", .hazards = { .at = codes, .count = 3 } };
    aq_part other = { .name = "Part B", .hazards = { .at = codes, .count = 1 } };
    aq_handled handled[] = { { .name = "Part A", .part = &part, .strength = NAN, .concentrate = true },
                             { .name = "Part B", .part = &other, .strength = NAN, .concentrate = true },
                             { .name = "Part B", .part = &other, .strength = NAN, .concentrate = true } };
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    assert_int_equal(aq_caution_apply(sheet, handled, 3, NULL), AQ_OK);
    assert_int_equal(sheet->hazards.count, 3);
    check_text("known", hazard(sheet, "H318")->text, "Causes serious eye damage");
    check_text("both bring it, once each", hazard(sheet, "H318")->part, "Part A, Part B");
    check_text("unknown", hazard(sheet, "H999")->text, "see the safety data sheet");
    check_text("typed otherwise", hazard(sheet, "h318")->text, "see the safety data sheet");
    assert_true(worn(sheet, "eye protection"));
    assert_non_null(strstr(sheet->defers, "safety data sheet"));
    assert_non_null(strstr(sheet->defers, "licensed applicator"));
}

static void test_a_diluted_part_does_not_carry_its_label(void **state)
{
    const char *codes[] = { "H318" };
    aq_part part = { .name = "Part A", .hazards = { .at = codes, .count = 1 } };
    aq_handled handled = { .name = "Part A", .part = &part, .strength = NAN };
    aq_sheet *sheet = aq_sheet_new(*state, "mist");
    assert_int_equal(aq_caution_apply(sheet, &handled, 1, NULL), AQ_OK);
    assert_int_equal(sheet->hazards.count, 0);
    assert_null(sheet->defers);
}

static void test_a_harmless_mix_says_nothing(void **state)
{
    const char *names[] = { "Part A", "Part B" };
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    aq_handled handled[] = { { .name = names[0], .strength = NAN, .concentrate = true },
                             { .name = names[1], .strength = NAN, .concentrate = true } };
    assert_int_equal(aq_caution_apply(sheet, handled, 2, NULL), AQ_OK);
    assert_int_equal(sheet->hazards.count + sheet->wear.count + sheet->cautions.count, 0);
    assert_null(sheet->defers);
    assert_int_equal(sheet->outcome, AQ_MET);
}

static void test_a_substance_outside_the_table_is_said_to_be_so(void **state)
{
    const char *names[] = { "sodium percarbonate" };
    aq_sheet *sheet = handling(*state, "dilute", names, 1);
    assert_true(cautioned(sheet, "sodium percarbonate is not in our table"));
}

static void test_strong_acid_wants_goggles_face_shield_and_gloves(void **state)
{
    const char *acid[] = { "nitric acid" }, *hormone[] = { "IBA" }, *weak[] = { "citric acid" };
    aq_sheet *sheet = handling(*state, "acid", acid, 1);
    assert_true(worn(sheet, "goggles") && worn(sheet, "face shield") && worn(sheet, "gloves"));
    check_true("asked once", !worn(sheet, "eye protection, ") && sheet->wear.count <= 5);
    assert_true(cautioned(sheet, "Never near hypochlorite"));
    assert_non_null(rule(sheet, "acid"));
    sheet = handling(*state, "dilute", hormone, 1);
    assert_true(worn(sheet, "gloves"));
    sheet = handling(*state, "acid", weak, 1);
    assert_true(worn(sheet, "eye protection") && !worn(sheet, "face shield"));
}

static aq_sheet *diluted_acid(aq_arena *arena, bool water_after)
{
    aq_sheet *sheet = aq_sheet_new(arena, "dilute");
    aq_handled handled = {
        .name = "nitric acid", .substance = "nitric acid", .strength = 0.67, .concentrate = true
    };
    aq_row *row = aq_sheet_row(sheet, AQ_DO_POUR);
    row->part = "nitric acid";
    row->amount = aq_amount_of(75, "mL");
    aq_sheet_row(sheet, water_after ? AQ_DO_WATER : AQ_DO_TOP)->amount = aq_amount_of(1, "L");
    assert_int_equal(aq_caution_apply(sheet, &handled, 1, NULL), AQ_OK);
    return sheet;
}

static void test_water_comes_before_acid(void **state)
{
    aq_sheet *sheet = diluted_acid(*state, false);
    assert_int_equal(sheet->outcome, AQ_MET);
    assert_int_equal(sheet->rows.count, 3);
    assert_int_equal(sheet->rows.at[0].what, AQ_DO_WATER);
    assert_non_null(sheet->rows.at[0].note);
    assert_int_equal(sheet->rows.at[1].what, AQ_DO_POUR);
    check_close("the dose stays", sheet->rows.at[1].amount.value, 75, 0);
    assert_int_equal(sheet->rows.at[2].what, AQ_DO_TOP);

    sheet = diluted_acid(*state, true);
    assert_int_equal(sheet->outcome, AQ_REFUSED);
    assert_non_null(rule(sheet, "water-onto-acid"));
}

static void test_a_tank_with_water_in_it_needs_no_more_before_acid(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "acid");
    aq_handled handled = { .name = "nitric", .substance = "nitric", .strength = 0.67, .concentrate = true };
    aq_sheet_row(sheet, AQ_DO_POUR)->part = "nitric";
    assert_int_equal(aq_caution_apply(sheet, &handled, 1, NULL), AQ_OK);
    assert_int_equal(sheet->rows.count, 1);
}

/* Calcium nitrate and magnesium sulfate as stock, in tanks of these names; NULL: one tank, not named. */
static aq_sheet *stock(aq_arena *arena, const char *calcium_tank, const char *sulfate_tank)
{
    static const aq_part calcium = { .name = "Lime", .formula = "Ca(NO3)2.4H2O" };
    static const aq_part sulfate = { .name = "Bitter", .formula = "MgSO4.7H2O" };
    aq_handled handled[] = { { .name = "Lime", .part = &calcium, .strength = 1, .concentrate = true },
                             { .name = "Bitter", .part = &sulfate, .strength = 1, .concentrate = true } };
    aq_sheet *sheet = aq_sheet_new(arena, "stock");
    aq_row *row = aq_sheet_row(sheet, AQ_DO_WEIGH);
    row->part = "Lime";
    row->tank = calcium_tank;
    row = aq_sheet_row(sheet, AQ_DO_WEIGH);
    row->part = "Bitter";
    row->tank = sulfate_tank;
    assert_int_equal(aq_caution_apply(sheet, handled, 2, NULL), AQ_OK);
    return sheet;
}

static void test_calcium_and_sulfate_never_share_a_stock_tank(void **state)
{
    assert_int_equal(stock(*state, NULL, NULL)->outcome, AQ_REFUSED);
    assert_int_equal(stock(*state, "A", "A")->outcome, AQ_REFUSED);
    assert_non_null(rule(stock(*state, "A", "A"), "stock-cloudy"));
    assert_int_equal(stock(*state, "A", "B")->outcome, AQ_MET);
}

static void test_in_a_mix_calcium_is_stirred_in_before_sulfate(void **state)
{
    const char *meet[] = { "calcium nitrate", "magnesium sulfate" },
               *apart[] = { "calcium nitrate", "potassium nitrate" };
    aq_sheet *sheet = handling(*state, "mix", meet, 2);
    assert_int_equal(sheet->outcome, AQ_MET);
    assert_true(cautioned(sheet, "must not meet undiluted"));
    assert_false(cautioned(handling(*state, "mix", apart, 2), "must not meet undiluted"));
}

static aq_sheet *over_label(aq_arena *arena, double share, const char *reason)
{
    aq_sheet *sheet = aq_sheet_new(arena, "mix");
    aq_row *row = aq_sheet_row(sheet, AQ_DO_POUR);
    row->part = "Feed";
    row->label_used = share;
    sheet->over_label = reason;
    assert_int_equal(aq_caution_apply(sheet, NULL, 0, NULL), AQ_OK);
    return sheet;
}

static void test_a_label_top_is_passed_only_for_a_reason(void **state)
{
    assert_int_equal(over_label(*state, 1.2, NULL)->outcome, AQ_REFUSED);
    assert_non_null(rule(over_label(*state, 1.2, NULL), "label-top"));
    aq_sheet *sheet = over_label(*state, 1.2, "trial on ten plants");
    assert_int_equal(sheet->outcome, AQ_MET);
    assert_non_null(rule(sheet, "label-top-known"));
    assert_int_equal(over_label(*state, 1, NULL)->hazards.count, 0);
    assert_int_equal(over_label(*state, NAN, NULL)->hazards.count, 0);
}

static void test_a_stock_that_crystallises_at_night_is_told(void **state)
{
    static const struct {
        double strength, allowed;
        bool told;
    } rows[] = { { 90, 72, true }, { 67.5, 72, false }, { 72, 72, false } };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_sheet *sheet = aq_sheet_new(*state, "stock");
        assert_true(aq_sheet_figure(sheet, "strength", rows[i].strength, "g/L") &&
                    aq_sheet_figure(sheet, "allowed", rows[i].allowed, "g/L"));
        assert_int_equal(aq_caution_apply(sheet, NULL, 0, NULL), AQ_OK);
        assert_true((rule(sheet, "crystals") != NULL) == rows[i].told);
        assert_int_equal(sheet->outcome, AQ_MET);
    }
}

static aq_sheet *for_plants(aq_arena *arena, double ec, aq_bearing bearing)
{
    aq_sheet *sheet = aq_sheet_new(arena, "mist");
    assert_non_null(aq_sheet_row(sheet, AQ_DO_POUR));
    sheet->expect_ec = aq_amount_of(ec, "mS/cm");
    assert_int_equal(aq_caution_plants(sheet, &bearing, NULL), AQ_OK);
    return sheet;
}

static void test_a_mist_above_its_ceiling_is_refused(void **state)
{
    aq_bearing leaves = { .mist_most = 0.8, .ec_was = NAN, .ec_step = NAN };
    aq_sheet *sheet = for_plants(*state, 1.0, leaves);
    assert_int_equal(sheet->outcome, AQ_REFUSED);
    assert_int_equal(sheet->rows.count, 0);
    check_text("text", rule(sheet, "mist-strong")->text,
               "1.00 mS/cm is above the ceiling of 0.80 mS/cm for these leaves: it can scorch them.");
    assert_int_equal(for_plants(*state, 0.8, leaves)->outcome, AQ_MET);
}

static void test_a_step_of_ec_and_a_feed_before_roots_are_told(void **state)
{
    aq_bearing root = {
        .mist_most = NAN, .ec_was = 2.9, .ec_step = 0.5, .unrooted = true, .feeds_roots = true
    };
    aq_sheet *sheet = for_plants(*state, 2.0, root);
    assert_true(cautioned(sheet, "EC falls by 0.90 mS/cm at once, more than the 0.50 mS/cm"));
    assert_true(cautioned(sheet, "Never feed onto a dry medium"));
    assert_true(cautioned(sheet, "no roots yet"));
    assert_int_equal(sheet->outcome, AQ_MET);
    assert_false(cautioned(for_plants(*state, 2.5, root), "at once"));
}

static aq_sheet *day_job(aq_arena *arena, aq_sheet *plan, const char *substance, int day, const char *vessel)
{
    aq_sheet *job = aq_sheet_new(arena, "mix"), **place = aq_list_add(arena, &plan->jobs, sizeof *place);
    aq_handled handled = { .name = substance, .substance = substance, .strength = NAN, .concentrate = true };
    assert_true(job && place);
    *place = job;
    job->reservoir = vessel;
    job->at.date = (aq_date){ 2026, 3, day };
    assert_non_null(aq_sheet_row(job, AQ_DO_WATER));
    aq_sheet_row(job, AQ_DO_POUR)->part = substance;
    assert_int_equal(aq_caution_apply(job, &handled, 1, NULL), AQ_OK);
    return job;
}

typedef enum { NO_RINSE, RINSE_AFTER, RINSE_BEFORE } rinse;

static void test_acid_and_bleach_on_one_vessel_in_a_day_want_a_rinse(void **state)
{
    static const struct {
        const char *row, *first, *second;
        int day;            /* of the second; the first is on the 2nd */
        const char *vessel; /* of the second; the first is on Trays */
        rinse rinse;
        bool refused;
    } rows[] = {
        { "acid then bleach", "nitric acid", "bleach", 2, "Trays", NO_RINSE, true },
        { "bleach then acid", "bleach", "citric acid", 2, "Trays", NO_RINSE, true },
        { "the next day", "nitric acid", "bleach", 3, "Trays", NO_RINSE, false },
        { "another vessel", "nitric acid", "bleach", 2, "Bed", NO_RINSE, false },
        { "rinsed after", "nitric acid", "bleach", 2, "Trays", RINSE_AFTER, false },
        { "rinsed before", "bleach", "nitric acid", 2, "Trays", RINSE_BEFORE, false },
        { "acid twice", "nitric acid", "nitric acid", 2, "Trays", NO_RINSE, false },
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_sheet *plan = aq_sheet_new(*state, "plan");
        aq_sheet *first = day_job(*state, plan, rows[i].first, 2, "Trays");
        day_job(*state, plan, "potassium nitrate", 2, "Bed");
        aq_sheet *second = day_job(*state, plan, rows[i].second, rows[i].day, rows[i].vessel);
        if (rows[i].rinse == RINSE_AFTER)
            assert_non_null(aq_sheet_row(first, AQ_DO_RINSE));
        if (rows[i].rinse == RINSE_BEFORE)
            second->rows.at[0].what = AQ_DO_RINSE;
        assert_int_equal(aq_caution_day(plan, NULL), AQ_OK);
        check_true(rows[i].row, (plan->outcome == AQ_REFUSED) == rows[i].refused);
        check_true(rows[i].row, (second->outcome == AQ_REFUSED) == rows[i].refused);
        check_true(rows[i].row, (second->rows.count == 0) == rows[i].refused);
        check_true(rows[i].row, first->outcome == AQ_MET);
        check_true(rows[i].row, plan->defers != NULL);
    }
}

static void test_a_rinse_between_two_jobs_clears_the_vessel(void **state)
{
    aq_sheet *plan = aq_sheet_new(*state, "plan");
    day_job(*state, plan, "bleach", 2, "Trays");
    aq_sheet *between = day_job(*state, plan, "potassium nitrate", 2, "Trays");
    between->rows.at[0].what = AQ_DO_RINSE;
    aq_sheet *acid = day_job(*state, plan, "nitric acid", 2, "Trays");
    assert_int_equal(aq_caution_day(plan, NULL), AQ_OK);
    assert_int_equal(acid->outcome, AQ_MET);
}

static void test_memory_that_is_out_is_told(void **state)
{
    (void)state;
    aq_handled handled[] = {
        { .name = "nitric", .substance = "nitric", .strength = NAN, .concentrate = true },
        { .name = "bleach", .substance = "bleach", .strength = NAN, .concentrate = true }
    };
    bool failed = false, done = false;
    for (size_t ceiling = 1024; ceiling < (1u << 20) && !done; ceiling += 256) {
        aq_arena *arena = aq_arena_new(ceiling);
        aq_sheet *sheet = arena ? aq_sheet_new(arena, "mix") : NULL;
        aq_status status = sheet ? aq_caution_apply(sheet, handled, 2, NULL) : AQ_NO_MEMORY;
        failed = failed || status == AQ_NO_MEMORY;
        done = status == AQ_OK;
        aq_arena_free(arena);
    }
    assert_true(failed && done);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_what_must_never_meet_is_refused),
        IN_ARENA(test_a_feed_with_ammonium_and_bleach_is_refused_by_its_label),
        IN_ARENA(test_refusal_leaves_no_amount_to_pour),
        IN_ARENA(test_codes_of_a_label_are_shown_as_typed),
        IN_ARENA(test_a_diluted_part_does_not_carry_its_label),
        IN_ARENA(test_a_harmless_mix_says_nothing),
        IN_ARENA(test_a_substance_outside_the_table_is_said_to_be_so),
        IN_ARENA(test_strong_acid_wants_goggles_face_shield_and_gloves),
        IN_ARENA(test_water_comes_before_acid),
        IN_ARENA(test_a_tank_with_water_in_it_needs_no_more_before_acid),
        IN_ARENA(test_calcium_and_sulfate_never_share_a_stock_tank),
        IN_ARENA(test_in_a_mix_calcium_is_stirred_in_before_sulfate),
        IN_ARENA(test_a_label_top_is_passed_only_for_a_reason),
        IN_ARENA(test_a_stock_that_crystallises_at_night_is_told),
        IN_ARENA(test_a_mist_above_its_ceiling_is_refused),
        IN_ARENA(test_a_step_of_ec_and_a_feed_before_roots_are_told),
        IN_ARENA(test_acid_and_bleach_on_one_vessel_in_a_day_want_a_rinse),
        IN_ARENA(test_a_rinse_between_two_jobs_clears_the_vessel),
        cmocka_unit_test(test_memory_that_is_out_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
