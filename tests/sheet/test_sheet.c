/* The builders of a sheet. */
#include "check.h"
#include "sheet/sheet.h"

static int arena_up(void **state)
{
    *state = aq_arena_new(0);
    return *state == NULL;
}

static int arena_down(void **state)
{
    aq_arena_free(*state);
    return 0;
}

static void test_a_new_sheet_says_nothing_yet(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    assert_non_null(sheet);
    check_text("job", sheet->job, "mix");
    check_true("ph low", isnan(sheet->expect_ph_low));
    check_true("ph high", isnan(sheet->expect_ph_high));
    check_true("gap", isnan(sheet->gap));
    assert_int_equal(sheet->day, -1);
    assert_int_equal(sheet->outcome, AQ_MET);
    assert_false(sheet->volume.given);
    aq_row *row = aq_sheet_row(sheet, AQ_DO_POUR);
    assert_non_null(row);
    check_true("label", isnan(row->label_used));
    check_true("row ph", isnan(row->ph_low) && isnan(row->ph_high));
    check_true("aside", isnan(aq_asides_add(*state, &sheet->beside)->label_used));
}

static void test_every_action_and_outcome_has_a_word(void **state)
{
    (void)state;
    check_text("drain", aq_do_word(AQ_DO_DRAIN), "drain");
    check_text("discard", aq_do_word(AQ_DO_DISCARD), "discard");
    check_text("outside", aq_do_word(AQ_DO_COUNT), "?");
    check_text("met", aq_outcome_word(AQ_MET), "met");
    check_text("refused", aq_outcome_word(AQ_REFUSED), "refused");
}

static void test_volumes_and_masses_take_the_unit_a_person_would_say(void **state)
{
    static const struct {
        double litres;
        bool rounded;
        double value;
        const char *unit;
    } rows[] = {
        { 0.0000625, false, 0.0625, "mL" }, { 0.115, false, 115, "mL" },        { 12, false, 12, "L" },
        { 0.03667, true, 36.7, "mL" },      { 0.99996, true, 1, "L" },          { 0.9994, true, 999, "mL" },
        { 90.92177, true, 90.9, "L" },      { 90.92177, false, 90.92177, "L" }, { 0, true, 0, "mL" },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_amount amount = aq_amount_volume(rows[i].litres, rows[i].rounded);
        check_close(rows[i].unit, amount.value, rows[i].value, 1e-12);
        check_text("unit", amount.unit, rows[i].unit);
        assert_true(amount.given);
    }
    aq_amount grams = aq_amount_mass(1516.4, true);
    check_close("grams stay grams", grams.value, 1520, 1e-12);
    check_text("grams stay grams", grams.unit, "g");
}

static void test_sentences_have_three_figures_and_an_ec_two_decimals(void **state)
{
    check_text("rate", aq_say(*state, 1.4375, "mL/L"), "1.44 mL/L");
    check_text("whole", aq_say(*state, 3, "mL"), "3 mL");
    check_text("strength", aq_say(*state, 4.14, "%w/v"), "4.14 % w/v");
    check_text("per degree", aq_say(*state, 2, "%/degC"), "2 %/degC");
    check_text("count", aq_say(*state, 98, "1"), "98");
    check_text("ec", aq_say_ec(*state, 1.8), "1.80 mS/cm");
    check_text("ec", aq_say_ec(*state, 1.225), "1.23 mS/cm");
}

static void test_what_is_assumed_is_said_once(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    for (int i = 0; i < 3; i++)
        assert_true(aq_sheet_assume(sheet, "gallon: %s", "us") && aq_sheet_caution(sheet, "stir between"));
    assert_true(aq_sheet_assume(sheet, "gallon: %s", "imperial"));
    assert_true(aq_sheet_why(sheet, "1 + 1 = 2") && aq_sheet_why(sheet, "1 + 1 = 2"));
    assert_int_equal(sheet->assumed.count, 2);
    assert_int_equal(sheet->cautions.count, 1);
    assert_int_equal(sheet->why.count, 2);
    check_text("second", sheet->assumed.at[1], "gallon: imperial");
}

static void test_a_long_sentence_is_never_cut(void **state)
{
    char name[3000];
    memset(name, 'a', sizeof name);
    name[sizeof name - 1] = '\0';
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    aq_short *miss = aq_sheet_short(sheet, "ec", aq_amount_of(0.51, "mS/cm"), "%s is at its label top", name);
    assert_non_null(miss);
    assert_int_equal(strlen(miss->because), sizeof name - 1 + strlen(" is at its label top"));
    check_close("by", sheet->shorts.at[0].by.value, 0.51, 0);
}

static void test_memory_that_is_out_is_told(void **state)
{
    (void)state;
    aq_arena *arena = aq_arena_new(4096);
    assert_non_null(arena);
    aq_sheet *sheet = aq_sheet_new(arena, "mix");
    assert_non_null(sheet);
    size_t rows = 0;
    while (rows < 1000 && aq_sheet_row(sheet, AQ_DO_POUR))
        rows++;
    assert_in_range(rows, 1, 999);
    char name[4096];
    memset(name, 'a', sizeof name);
    name[sizeof name - 1] = '\0';
    assert_false(aq_sheet_assume(sheet, "%s", name));
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_a_new_sheet_says_nothing_yet, arena_up, arena_down),
        cmocka_unit_test(test_every_action_and_outcome_has_a_word),
        cmocka_unit_test(test_volumes_and_masses_take_the_unit_a_person_would_say),
        cmocka_unit_test_setup_teardown(test_sentences_have_three_figures_and_an_ec_two_decimals, arena_up,
                                        arena_down),
        cmocka_unit_test_setup_teardown(test_what_is_assumed_is_said_once, arena_up, arena_down),
        cmocka_unit_test_setup_teardown(test_a_long_sentence_is_never_cut, arena_up, arena_down),
        cmocka_unit_test(test_memory_that_is_out_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
