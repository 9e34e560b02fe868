/* What stands on the shelf against what the days take. The expected figures are plain arithmetic, written out beside
 * each check; the rules themselves are common practice, no source. */
#include "check.h"
#include "sheet/shelf.h"

static const aq_date monday = { 2026, 3, 2 };

static double figure(const aq_record *record, const char *name)
{
    for (size_t i = 0; i < record->figures.count; i++)
        if (strcmp(record->figures.at[i].name, name) == 0)
            return record->figures.at[i].amount.value;
    return NAN;
}

static const char *words(const aq_record *record, const char *name)
{
    for (size_t i = 0; i < record->figures.count; i++)
        if (strcmp(record->figures.at[i].name, name) == 0)
            return record->figures.at[i].text;
    return NULL;
}

static void need(aq_arena *arena, aq_need_list *needs, const char *what, int day, double litres)
{
    aq_need *n = aq_list_add(arena, needs, sizeof *n);

    *n = (aq_need){ .at = { aq_date_add(monday, day), -1 },
                    .what = what,
                    .amount = litres,
                    .water = strcmp(what, "water") == 0 };
}

static aq_quantity litres(double value)
{
    return aq_quantity_of(value, AQ_KIND_VOLUME);
}

static aq_shelf_manner a_week(void)
{
    return (aq_shelf_manner){ .from = monday, .days = 7, .each = NAN, .ec = NAN, .water_ec = NAN };
}

static void test_the_first_job_that_cannot_be_made_is_found(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_sheet *sheet = aq_sheet_new(arena, "supplies");
    aq_supply a = { .part = "A", .left = litres(0.290) };
    aq_supplies supplies = { &a, 1, 1 };
    aq_need_list needs = { 0 };
    aq_shelf_manner manner = a_week();
    const aq_record *record;

    (void)state;
    manner.ec = 1.7;
    manner.water_ec = 0.3;
    need(arena, &needs, "A", 6, 0.140); /* out of order: the shelf sorts */
    need(arena, &needs, "A", 0, 0.095);
    need(arena, &needs, "A", 4, 0.120);
    need(arena, &needs, "A", 2, 0.095);
    assert_int_equal(aq_shelf_reckon(sheet, &supplies, &needs, &manner, NULL), AQ_OK);
    record = &sheet->supplies.at[0];
    check_text("Friday", words(record, "runs_out"), "2026-03-06");
    check_text("the day before", words(record, "order_by"), "2026-03-05");
    check_close("450 - 290", figure(record, "short"), 160, 1e-12);
    check_close("100 / 120", figure(record, "share"), 100.0 / 120, 1e-12);
    check_close("0.3 + 1.4 x 0.833", figure(record, "share_ec"), 0.3 + 1.4 * 100 / 120, 1e-12);
    check_close("290 / 450", figure(record, "even_share"), 290.0 / 450, 1e-12);
    check_close("0.3 + 1.4 x 0.644", figure(record, "even_ec"), 0.3 + 1.4 * 290 / 450, 1e-12);
    assert_int_equal(sheet->outcome, AQ_NEAREST);
    assert_int_equal(sheet->shorts.count, 1);
    aq_arena_free(arena);
}

static void test_what_lasts_is_not_short_and_costs_by_the_litre(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_sheet *sheet = aq_sheet_new(arena, "supplies");
    aq_supply a = {
        .part = "A", .left = litres(5), .pack = litres(5), .price = aq_quantity_of(42, AQ_KIND_SHARE)
    };
    aq_supplies supplies = { &a, 1, 1 };
    aq_need_list needs = { 0 };
    aq_shelf_manner manner = a_week();
    const aq_record *record;

    (void)state;
    manner.currency = "EUR";
    need(arena, &needs, "A", 0, 0.736);
    need(arena, &needs, "water", 0, 224);
    assert_int_equal(aq_shelf_reckon(sheet, &supplies, &needs, &manner, NULL), AQ_OK);
    record = &sheet->supplies.at[0];
    check_close("736 x 42 / 5000", figure(record, "cost"), 736.0 * 42 / 5000, 1e-12);
    check_close("5000 / 736 x 7", figure(record, "lasts"), 5000.0 / 736 * 7, 1e-12);
    check_true("not short", isnan(figure(record, "short")));
    assert_int_equal(sheet->outcome, AQ_MET);
    check_text("cost", sheet->figures.at[0].amount.unit, "EUR");
    check_close("cost per litre", sheet->figures.at[1].amount.value, 736.0 * 42 / 5000 / 224, 1e-12);
    aq_arena_free(arena);
}

static void test_a_bottle_on_the_scale_is_counted_by_its_density(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_sheet *sheet = aq_sheet_new(arena, "supplies");
    aq_supply a = { .part = "A",
                    .weighs = aq_quantity_of(1860, AQ_KIND_MASS),
                    .empty = aq_quantity_of(90, AQ_KIND_MASS),
                    .density = aq_quantity_of(1260, AQ_KIND_CONTENT) };
    aq_supplies supplies = { &a, 1, 1 };
    aq_need_list needs = { 0 };
    aq_shelf_manner manner = a_week();

    (void)state;
    manner.each = 0.135;
    assert_int_equal(aq_shelf_reckon(sheet, &supplies, &needs, &manner, NULL), AQ_OK);
    check_close("(1860 - 90) / 1.26", figure(&sheet->supplies.at[0], "left"), 1770 / 1.26, 1e-12);
    check_close("1405 / 135", figure(&sheet->supplies.at[0], "mixes"), 1770 / 1.26 / 135, 1e-12);
    aq_arena_free(arena);
}

static void test_what_is_missing_is_asked(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_sheet *sheet = aq_sheet_new(arena, "supplies");
    aq_supply no_price = { .part = "A", .left = litres(5), .pack = litres(5) };
    aq_supply light = { .part = "A",
                        .weighs = aq_quantity_of(80, AQ_KIND_MASS),
                        .empty = aq_quantity_of(90, AQ_KIND_MASS) };
    aq_supply weighed = { .part = "A", .left = aq_quantity_of(500, AQ_KIND_MASS) };
    aq_need_list needs = { 0 };
    aq_shelf_manner manner = a_week();

    (void)state;
    need(arena, &needs, "A", 0, 0.1);
    assert_int_equal(aq_shelf_reckon(sheet, &(aq_supplies){ &no_price, 1, 1 }, &needs, &manner, NULL),
                     AQ_MISSING);
    assert_int_equal(aq_shelf_reckon(sheet, &(aq_supplies){ &light, 1, 1 }, &needs, &manner, NULL),
                     AQ_OUT_OF_RANGE);
    assert_int_equal(aq_shelf_reckon(sheet, &(aq_supplies){ &weighed, 1, 1 }, &needs, &manner, NULL),
                     AQ_MISSING);
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_first_job_that_cannot_be_made_is_found),
        cmocka_unit_test(test_what_lasts_is_not_short_and_costs_by_the_litre),
        cmocka_unit_test(test_a_bottle_on_the_scale_is_counted_by_its_density),
        cmocka_unit_test(test_what_is_missing_is_asked),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
