/* Every rule of the cautions at its edge, every code with what it asks to wear, and what a refusal leaves. */
#include "sheet/said.h"

#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

enum { PARTS_MOST = 4 };

static aq_sheet *apply(aq_sheet *sheet, const aq_handled *handled, size_t count)
{
    assert_int_equal(aq_caution_apply(sheet, handled, count, NULL), AQ_OK);
    return sheet;
}

static size_t rules_said(const aq_sheet *sheet)
{
    size_t count = 0;
    for (size_t i = 0; i < sheet->hazards.count; i++)
        count += sheet->hazards.at[i].rule != NULL;
    return count;
}

static aq_row *pour_row(aq_sheet *sheet, aq_do what, const char *part)
{
    aq_row *row = aq_sheet_row(sheet, what);
    assert_non_null(row);
    row->part = part;
    return row;
}

/* ---- codes ---- */

static void test_a_code_names_each_part_that_brings_it_once(void **state)
{
    static const struct {
        const char *names[PARTS_MOST], *said;
    } rows[] = {
        { { "Part A", "Part B", "Part A" }, "Part A, Part B" },
        { { "Part A", "A" }, "Part A, A" },
        { { "A", "Part A" }, "A, Part A" },
        { { "AB", "A" }, "AB, A" },
        { { "A", "AB", "A" }, "A, AB" },
        { { "BA", "A" }, "BA, A" },
        { { "A B", "B", "A" }, "A B, B, A" },
        { { "AA", "A", "AA", "A" }, "AA, A" },
        { { "A", "B", "C", "B" }, "A, B, C" },
        { { "A", "B", "C", "C" }, "A, B, C" },
    };
    static const char *codes[] = { "H318" };
    static const aq_part part = { .name = "x", .hazards = { .at = codes, .count = 1 } };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_handled handled[PARTS_MOST];
        size_t count = 0;
        for (; count < PARTS_MOST && rows[i].names[count]; count++)
            handled[count] = (aq_handled){
                .name = rows[i].names[count], .part = &part, .strength = NAN, .concentrate = true
            };
        aq_sheet *sheet = apply(aq_sheet_new(*state, "mix"), handled, count);
        assert_int_equal(sheet->hazards.count, 1);
        check_text(rows[i].said, sheet->hazards.at[0].part, rows[i].said);
    }
}

/* Household bleach, above 5 % chlorine (CLP annex VI, from memory): five statements, in their order. */
static void test_a_substance_brings_each_of_its_codes_with_its_words(void **state)
{
    static const char *const codes[] = { "H314", "H318", "H400", "H410", "EUH031" };
    aq_handled bleach = { .name = "bleach", .substance = "bleach", .strength = 0.06, .concentrate = true };
    aq_sheet *sheet = apply(aq_sheet_new(*state, "dilute"), &bleach, 1);
    assert_int_equal(sheet->hazards.count, COUNT(codes));
    for (size_t i = 0; i < COUNT(codes); i++) {
        check_text("code", sheet->hazards.at[i].code, codes[i]);
        check_text(codes[i], sheet->hazards.at[i].text, aq_hazard_text(codes[i]));
        check_text(codes[i], sheet->hazards.at[i].part, "bleach");
        assert_false(sheet->hazards.at[i].refuses);
        assert_null(sheet->hazards.at[i].rule);
    }
}

/* Sentences have three figures. A strength from which a code counts is not rounded to one below it, nor is any above. */
static void test_a_strength_is_never_shown_under_the_limit_that_it_has_reached(void **state)
{
    static const double above[] = { 1, 1 + 1e-9, 1.0001, 1.0004, 1.0009, 1.002, 1.0049 };
    size_t count, limits = 0;
    const aq_substance *table = aq_substance_table(&count);

    for (size_t i = 0; i < count; i++)
        for (size_t b = 0; b < AQ_BANDS_MOST && table[i].bands[b].codes; b++, limits++)
            for (size_t k = 0; k < COUNT(above); k++) {
                double limit = table[i].bands[b].from * 100;
                const char *said = aq_say(*state, limit * above[k], "%");
                double shown;

                assert_non_null(said);
                shown = strtod(said, NULL);
                check_true(table[i].name, shown >= limit * (1 - 1e-12));
                check_true(table[i].name, shown <= limit * above[k] * 1.0051);
            }
    assert_true(limits > 50);
}

static void test_a_substance_by_the_label_of_a_part_outside_the_table_is_said(void **state)
{
    aq_part unknown = { .name = "Slime", .of = "moon dust" }, plain = { .name = "Part B" };
    aq_handled handled = { .name = "Slime", .part = &unknown, .strength = NAN, .concentrate = true };
    aq_handled nothing = { .name = "Part B", .part = &plain, .strength = NAN, .concentrate = true };

    aq_sheet *sheet = apply(aq_sheet_new(*state, "mix"), &handled, 1);
    assert_int_equal(sheet->cautions.count, 1);
    check_text("says which", sheet->cautions.at[0],
               "moon dust is not in our table of substances: see its safety data sheet");
    assert_int_equal(apply(aq_sheet_new(*state, "mix"), &nothing, 1)->cautions.count, 0);
}

static void test_a_substance_adds_its_practice_where_it_has_one(void **state)
{
    aq_handled nitric = { .name = "nitric", .substance = "nitric acid", .strength = 0.6 };
    aq_handled potash = { .name = "potash", .substance = "potassium nitrate", .strength = 1 };

    aq_sheet *sheet = apply(aq_sheet_new(*state, "dilute"), &nitric, 1);
    assert_int_equal(sheet->cautions.count, 1);
    assert_true(cautioned(sheet, aq_substance_find("nitric acid")->practice));
    assert_null(aq_substance_find("potassium nitrate")->practice);
    assert_int_equal(apply(aq_sheet_new(*state, "mix"), &potash, 1)->cautions.count, 0);
}

static void test_a_rule_is_said_once(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    assert_true(aq_hazard_rule(sheet, "one", "a first text", false));
    assert_true(aq_hazard_rule(sheet, "two", "a second text", true));
    assert_true(aq_hazard_rule(sheet, "one", "a first text", false));
    assert_true(aq_hazard_rule(sheet, "two", "a second text", true));
    assert_int_equal(sheet->hazards.count, 2);
    check_text("first", sheet->hazards.at[0].rule, "one");
    assert_false(sheet->hazards.at[0].refuses);
    check_text("second", sheet->hazards.at[1].text, "a second text");
    check_text("no code", sheet->hazards.at[1].code, "");
    assert_true(sheet->hazards.at[1].refuses);
}

/* ---- refusal ---- */

static void test_a_refused_sheet_keeps_only_figures_that_nobody_can_pour(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    assert_true(aq_sheet_figure(sheet, "N", 33.6, "mg/L") && aq_sheet_figure(sheet, "acid", 32.2, "mL") &&
                aq_sheet_figure(sheet, "salt", 5, "g") && aq_sheet_figure_text(sheet, "lasts", "two weeks") &&
                aq_sheet_figure(sheet, "K", 120, "mg/L") && aq_sheet_figure(sheet, "last", 1, "mL"));
    sheet->figures.at[3].amount.unit = "mL"; /* of no amount: a text may keep its unit */
    sheet->expect_ec = aq_amount_of(1.6, "mS/cm");
    sheet->expect_ph_low = 5.6;
    sheet->expect_ph_high = 6.2;
    aq_sheet_refuse(sheet);
    assert_int_equal(sheet->outcome, AQ_REFUSED);
    assert_int_equal(sheet->figures.count, 3);
    check_text("first", sheet->figures.at[0].name, "N");
    check_text("then", sheet->figures.at[1].name, "lasts");
    check_text("last", sheet->figures.at[2].name, "K");
    assert_false(sheet->expect_ec.given);
    check_close("no reading", sheet->expect_ec.value, 0, 0);
    assert_true(isnan(sheet->expect_ph_low) && isnan(sheet->expect_ph_high));
}

/* ---- wear ---- */

/* P280 of the GHS; which of its words by which code is common practice, no source. */
static void test_each_code_asks_for_its_own_wear(void **state)
{
    static const char eyes[] = "eye protection", gloves[] = "gloves",
                      air[] = "fresh air, or a mask against dust and vapor";
    static const struct {
        const char *codes[2], *wear[3];
    } rows[] = {
        { { "H314" }, { "eye protection: tight goggles", gloves, "long sleeves and an apron" } },
        { { "H314", "H318" }, { "eye protection: tight goggles", gloves, "long sleeves and an apron" } },
        { { "H318" }, { eyes } },
        { { "H319" }, { eyes } },
        { { "H318", "H319" }, { eyes } },
        { { "H315" }, { gloves } },
        { { "H317" }, { gloves } },
        { { "H301" }, { gloves } },
        { { "H302" }, { gloves } },
        { { "H360" }, { gloves } },
        { { "H360FD" }, { gloves } },
        { { "H335" }, { air } },
        { { "H331" }, { air } },
        { { "H373" }, { air } },
        { { "H335", "H315" }, { gloves, air } },
        { { "H400" }, { NULL } },
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        const char *codes[] = { rows[i].codes[0], rows[i].codes[1] };
        aq_part part = { .name = "Feed", .hazards = { .at = codes, .count = codes[1] ? 2 : 1 } };
        aq_handled handled = { .name = "Feed", .part = &part, .strength = NAN, .concentrate = true };
        aq_sheet *sheet = apply(aq_sheet_new(*state, "mix"), &handled, 1);
        size_t count = 0;
        for (; count < COUNT(rows[i].wear) && rows[i].wear[count]; count++)
            check_true(codes[0],
                       count < sheet->wear.count && strcmp(sheet->wear.at[count], rows[i].wear[count]) == 0);
        check_true(codes[0], sheet->wear.count == count);
        check_true(codes[0], sheet->defers != NULL);
    }
}

static void test_a_face_shield_is_for_burning_acids_and_bases_alone(void **state)
{
    static const struct {
        const char *substance;
        double strength;
        bool shield, gloves;
    } rows[] = {
        { "nitric acid", 0.38, true, true },           { "potassium hydroxide", 0.3, true, true },
        { "sodium hypochlorite", 0.06, false, true }, /* burns, and is neither here */
        { "phosphoric acid", 0.2, false, true },       { "nitric acid", 0.001, false, true },
        { "sodium hypochlorite", 0.005, false, true }, { "IBA", 0.001, false, true },
        { "potassium nitrate", 1, false, false },      { "ethanol", 0.96, false, false },
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_handled handled = { .name = "x", .substance = rows[i].substance, .strength = rows[i].strength };
        aq_sheet *sheet = apply(aq_sheet_new(*state, "dilute"), &handled, 1);
        check_true(rows[i].substance, worn(sheet, "face shield") == rows[i].shield);
        check_true(rows[i].substance, worn(sheet, "gloves") == rows[i].gloves);
    }
}

static void test_gloves_without_a_code_still_defer_to_the_label(void **state)
{
    aq_handled weak = { .name = "hormone", .substance = "IBA", .strength = 0.001 };
    aq_sheet *sheet = apply(aq_sheet_new(*state, "dilute"), &weak, 1);
    assert_int_equal(sheet->hazards.count, 0);
    assert_int_equal(sheet->wear.count, 1);
    assert_non_null(sheet->defers);
}

/* ---- what meets what ---- */

static void test_one_product_does_not_meet_itself(void **state)
{
    aq_named_amount contents[] = { { .name = "Ca", .amount = { .value = 0.05, .given = true } },
                                   { .name = "S", .amount = { .value = 0.02, .given = true } } };
    aq_part both = { .name = "Gypsum feed", .analysis = { .contents = { .at = contents, .count = 2 } } };
    aq_part calcium = { .name = "Lime", .analysis = { .contents = { .at = contents, .count = 1 } } };
    aq_part sulfate = { .name = "Bitter", .analysis = { .contents = { .at = contents + 1, .count = 1 } } };
    aq_handled first = { .name = "Gypsum feed", .part = &both },
               apart[] = { { .name = "Bitter", .part = &sulfate }, { .name = "Lime", .part = &calcium } };

    assert_false(cautioned(apply(aq_sheet_new(*state, "mix"), &first, 1), "must not meet undiluted"));
    assert_true(cautioned(apply(aq_sheet_new(*state, "mix"), apart, 2), "must not meet undiluted"));
    assert_false(cautioned(apply(aq_sheet_new(*state, "stock"), apart, 2), "must not meet undiluted"));
    check_true("no refusal", aq_sheet_new(*state, "mix")->outcome == AQ_MET);
}

static void test_only_rows_that_measure_a_part_out_pour(void **state)
{
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    for (int what = 0; what < AQ_DO_COUNT; what++) {
        aq_row *row = pour_row(sheet, (aq_do)what, "Feed");
        bool pours = what == AQ_DO_POUR || what == AQ_DO_WEIGH || what == AQ_DO_PREDILUTE;
        check_true(aq_do_word((aq_do)what), aq_row_pours(row) == pours);
        row->part = NULL;
        check_true(aq_do_word((aq_do)what), !aq_row_pours(row));
    }
}

/* ---- water and acid ---- */

static const aq_handled nitric[] = {
    { .name = NULL, .substance = "potassium nitrate", .strength = 1 },
    { .name = "nitric", .substance = "nitric acid", .strength = 0.67, .concentrate = true },
    { .name = "Feed", .strength = NAN, .concentrate = true },
};

static void test_water_stands_before_an_acid_unless_the_tank_holds_some(void **state)
{
    static const struct {
        const char *job;
        aq_amount heel;
        bool added;
    } rows[] = {
        { "acid", { 0 }, false },
        { "adjust", { 0 }, false },
        { "topup", { 0 }, false },
        { "trace", { 0 }, false },
        { "flush", { 0 }, false },
        { "mix", { 0 }, true },
        { "dilute", { 0 }, true },
        { "mix", { .value = 4, .unit = "L", .given = true }, false },
        { "mix", { .value = 0.5, .unit = "L", .given = true }, false },
        { "mix", { .value = 0, .unit = "L", .given = true }, true },
        { "mix", { .value = 4, .unit = "L" }, true },
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_sheet *sheet = aq_sheet_new(*state, rows[i].job);
        sheet->heel = rows[i].heel;
        pour_row(sheet, AQ_DO_POUR, "nitric");
        apply(sheet, nitric, COUNT(nitric));
        check_true(rows[i].job, sheet->rows.count == (rows[i].added ? 2 : 1));
        check_true(rows[i].job, (sheet->rows.at[0].what == AQ_DO_WATER) == rows[i].added);
    }
}

/* W water, A acid poured, P acid as a pre-dilution, F a feed, R a reading, T filled up to the mark. */
static void test_the_order_of_water_and_acid(void **state)
{
    static const struct {
        const char *rows, *become; /* "": refused */
    } rows[] = {
        { "WA", "WA" }, { "AW", "" },      { "PW", "" },       { "ARW", "" },       { "WAW", "WAW" },
        { "FW", "FW" }, { "FAT", "FWAT" }, { "FWAT", "FWAT" }, { "FWAW", "FWAW" },  { "AA", "WAA" },
        { "FAW", "" },  { "RAT", "RWAT" }, { "F", "F" },       { "FAFA", "FWAFA" },
    };
    static const char letters[] = "WAPFRT";
    static const struct {
        aq_do what;
        const char *part;
    } means[] = { { AQ_DO_WATER, NULL },  { AQ_DO_POUR, "nitric" }, { AQ_DO_PREDILUTE, "nitric" },
                  { AQ_DO_POUR, "Feed" }, { AQ_DO_READ, "nitric" }, { AQ_DO_TOP, NULL } };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_sheet *sheet = aq_sheet_new(*state, "mix");
        for (const char *c = rows[i].rows; *c; c++)
            pour_row(sheet, means[strchr(letters, *c) - letters].what,
                     means[strchr(letters, *c) - letters].part);
        apply(sheet, nitric, COUNT(nitric));
        check_true(rows[i].rows, (sheet->outcome == AQ_REFUSED) == (rows[i].become[0] == '\0'));
        check_true(rows[i].rows, (rule(sheet, "water-onto-acid") != NULL) == (rows[i].become[0] == '\0'));
        check_true(rows[i].rows, sheet->rows.count == strlen(rows[i].become));
        for (size_t r = 0; r < sheet->rows.count; r++) {
            size_t which = (size_t)(strchr(letters, rows[i].become[r]) - letters);
            check_true(rows[i].rows, sheet->rows.at[r].what == means[which].what);
            check_true(rows[i].rows, sheet->rows.at[r].part == means[which].part);
        }
    }
}

/* ---- stock tanks ---- */

static void test_a_stock_tank_turns_cloudy_wherever_its_rows_stand(void **state)
{
    static const aq_part lime = { .name = "Lime", .formula = "Ca(NO3)2.4H2O" },
                         bitter = { .name = "Bitter", .formula = "MgSO4.7H2O" },
                         phosphate = { .name = "MKP", .formula = "KH2PO4" },
                         gypsum = { .name = "Gypsum", .formula = "CaSO4.2H2O" };
    static const aq_handled handled[] = { { .name = "Lime", .part = &lime, .strength = 1 },
                                          { .name = "Bitter", .part = &bitter, .strength = 1 },
                                          { .name = "MKP", .part = &phosphate, .strength = 1 },
                                          { .name = "Gypsum", .part = &gypsum, .strength = 1 } };
    static const struct {
        const char *row;
        struct {
            aq_do what;
            const char *part, *tank;
        } rows[3];
        bool cloudy;
    } rows[] = {
        { "sulfate first", { { AQ_DO_WEIGH, "Bitter", "A" }, { AQ_DO_WEIGH, "Lime", "A" } }, true },
        { "phosphate", { { AQ_DO_WEIGH, "Lime", "A" }, { AQ_DO_WEIGH, "MKP", "A" } }, true },
        { "after water",
          { { AQ_DO_WATER, NULL, "A" }, { AQ_DO_POUR, "Lime", "A" }, { AQ_DO_POUR, "Bitter", "A" } },
          true },
        { "one tank not named", { { AQ_DO_WEIGH, "Lime", NULL }, { AQ_DO_WEIGH, "Bitter", "B" } }, true },
        { "the other not named", { { AQ_DO_WEIGH, "Lime", "A" }, { AQ_DO_WEIGH, "Bitter", NULL } }, true },
        { "two tanks", { { AQ_DO_WEIGH, "Lime", "A" }, { AQ_DO_WEIGH, "Bitter", "B" } }, false },
        { "third row",
          { { AQ_DO_WEIGH, "Lime", "A" }, { AQ_DO_WEIGH, "Bitter", "B" }, { AQ_DO_WEIGH, "MKP", "A" } },
          true },
        { "calcium twice", { { AQ_DO_WEIGH, "Lime", "A" }, { AQ_DO_WEIGH, "Lime", "A" } }, false },
        { "one salt of both", { { AQ_DO_WEIGH, "Gypsum", "A" }, { AQ_DO_STIR, NULL, "A" } }, false },
        { "a stir that names a part",
          { { AQ_DO_WEIGH, "Lime", "A" }, { AQ_DO_STIR, "Bitter", "A" } },
          false },
        { "sulfate only stirred", { { AQ_DO_STIR, "Lime", "A" }, { AQ_DO_WEIGH, "Bitter", "A" } }, false },
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_sheet *sheet = aq_sheet_new(*state, "stock"), *mixed = aq_sheet_new(*state, "mix");
        for (size_t r = 0; r < COUNT(rows[i].rows) && (r < 2 || rows[i].rows[r].part); r++) {
            pour_row(sheet, rows[i].rows[r].what, rows[i].rows[r].part)->tank = rows[i].rows[r].tank;
            pour_row(mixed, rows[i].rows[r].what, rows[i].rows[r].part)->tank = rows[i].rows[r].tank;
        }
        apply(sheet, handled, COUNT(handled));
        check_true(rows[i].row, (rule(sheet, "stock-cloudy") != NULL) == rows[i].cloudy);
        check_true(rows[i].row, (sheet->outcome == AQ_REFUSED) == rows[i].cloudy);
        check_true(rows[i].row, rule(apply(mixed, handled, COUNT(handled)), "stock-cloudy") == NULL);
    }
}

/* A row that was taken away still lies in the memory of the list. */
static void test_a_row_taken_away_counts_no_more(void **state)
{
    static const aq_part lime = { .name = "Lime", .formula = "Ca(NO3)2.4H2O" },
                         bitter = { .name = "Bitter", .formula = "MgSO4.7H2O" };
    static const aq_handled handled[] = { { .name = "Lime", .part = &lime, .strength = 1 },
                                          { .name = "Bitter", .part = &bitter, .strength = 1 } };
    for (int bitter_first = 0; bitter_first < 2; bitter_first++) {
        aq_sheet *sheet = aq_sheet_new(*state, "stock");
        pour_row(sheet, AQ_DO_WEIGH, bitter_first ? "Bitter" : "Lime");
        pour_row(sheet, AQ_DO_WEIGH, bitter_first ? "Lime" : "Bitter")->label_used = 2;
        sheet->rows.count = 1;
        apply(sheet, handled, COUNT(handled));
        assert_int_equal(sheet->outcome, AQ_MET);
        assert_int_equal(rules_said(sheet), 0);
    }
    aq_sheet *sheet = aq_sheet_new(*state, "mix");
    pour_row(sheet, AQ_DO_POUR, "nitric");
    pour_row(sheet, AQ_DO_WATER, NULL);
    sheet->rows.count = 1;
    apply(sheet, nitric, COUNT(nitric));
    assert_int_equal(sheet->outcome, AQ_MET);
    assert_int_equal(sheet->rows.count, 2);
}

/* ---- label tops and crystals ---- */

static void test_a_label_top_counts_in_every_row_and_by_any_real_excess(void **state)
{
    static const struct {
        double first, second;
        bool passed;
    } rows[] = { { 0.5, 1.0005, true }, { 1.0005, 0.5, true },     { NAN, 1.0005, true },
                 { 1, 1, false },       { 1 + 5e-10, NAN, false }, { 1 + 1e-7, NAN, true } };

    for (size_t i = 0; i < COUNT(rows); i++)
        for (int known = 0; known < 2; known++) {
            aq_sheet *sheet = aq_sheet_new(*state, "mix");
            pour_row(sheet, AQ_DO_POUR, "One")->label_used = rows[i].first;
            pour_row(sheet, AQ_DO_POUR, "Two")->label_used = rows[i].second;
            sheet->over_label = known ? "a trial" : NULL;
            apply(sheet, NULL, 0);
            assert_int_equal(sheet->hazards.count, rows[i].passed);
            assert_int_equal(sheet->outcome == AQ_REFUSED, rows[i].passed && !known);
            if (rows[i].passed)
                check_text("which", sheet->hazards.at[0].rule, known ? "label-top-known" : "label-top");
        }
}

static void test_crystals_are_told_by_two_numbers_alone(void **state)
{
    static const struct {
        const char *first, *second;
        double strength, allowed;
        bool told;
    } rows[] = { { "strength", "allowed", 72.01, 72, true },
                 { "allowed", "strength", 72, 72.01, true }, /* in this order: allowed, strength */
                 { "strength", "allowed", 72 * (1 + 1e-10), 72, false },
                 { "strength", "other", 90, 72, false },
                 { "other", "allowed", 90, 72, false } };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_sheet *sheet = aq_sheet_new(*state, "stock");
        assert_true(aq_sheet_figure_text(sheet, "strength", "as found") &&
                    aq_sheet_figure_text(sheet, "allowed", "as found") &&
                    aq_sheet_figure(sheet, rows[i].first, rows[i].strength, "g/L") &&
                    aq_sheet_figure(sheet, rows[i].second, rows[i].allowed, "g/L"));
        apply(sheet, NULL, 0);
        assert_int_equal(rules_said(sheet), rows[i].told);
        assert_int_equal(sheet->outcome, AQ_MET);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_a_code_names_each_part_that_brings_it_once),
        IN_ARENA(test_a_substance_brings_each_of_its_codes_with_its_words),
        IN_ARENA(test_a_strength_is_never_shown_under_the_limit_that_it_has_reached),
        IN_ARENA(test_a_substance_by_the_label_of_a_part_outside_the_table_is_said),
        IN_ARENA(test_a_substance_adds_its_practice_where_it_has_one),
        IN_ARENA(test_a_rule_is_said_once),
        IN_ARENA(test_a_refused_sheet_keeps_only_figures_that_nobody_can_pour),
        IN_ARENA(test_each_code_asks_for_its_own_wear),
        IN_ARENA(test_a_face_shield_is_for_burning_acids_and_bases_alone),
        IN_ARENA(test_gloves_without_a_code_still_defer_to_the_label),
        IN_ARENA(test_one_product_does_not_meet_itself),
        IN_ARENA(test_only_rows_that_measure_a_part_out_pour),
        IN_ARENA(test_water_stands_before_an_acid_unless_the_tank_holds_some),
        IN_ARENA(test_the_order_of_water_and_acid),
        IN_ARENA(test_a_stock_tank_turns_cloudy_wherever_its_rows_stand),
        IN_ARENA(test_a_row_taken_away_counts_no_more),
        IN_ARENA(test_a_label_top_counts_in_every_row_and_by_any_real_excess),
        IN_ARENA(test_crystals_are_told_by_two_numbers_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
