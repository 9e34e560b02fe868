/* What the log has of today is not planned again: it was poured, and its doses have left the shelf. */
#include "remembering.h"

static const char site_text[] =
    "aliquot: site 1\n"
    "name: Fernhollow\n"
    "recipes: {leaf: leaf.yaml}\n"
    "waters:\n"
    "  tap: {ec: 0.3 mS/cm}\n"
    "reservoirs:\n"
    "  - {name: Trays, holds: 12 L, water: tap, recipe: leaf, stage: tray}\n"
    "  - {name: Bed, holds: 60 L, water: tap, recipe: leaf, stage: tray,\n"
    "     uses: 5 L/d, uptake: 0.5 mS/cm}\n"
    "  - {name: Veg, holds: 60 L, water: tap, recipe: leaf, stage: tray, uses: 5 L/d, uptake: 0.5 mS/cm}\n"
    "bottles:\n"
    "  - {name: Mister, holds: 500 mL, water: tap, recipe: leaf, stage: mist, "
    "daily: 07:30}\n"
    "week:\n"
    "  - {reservoir: Trays, change: [Mon 08:00, Mon 17:00]}\n"
    "  - {reservoir: Bed, change: [Mon 09:00], top-up: [Thu 09:00], share: 50 %}\n"
    "  - {reservoir: Veg, change: [Mon 10:00], top-up: [Thu 09:00, Thu 17:00], add: 10 L, share: 60 %}\n"
    "supplies:\n"
    "  - {part: A, left: 1 L}\n";
static const char recipe_text[] = "aliquot: recipe 1\n"
                                  "parts:\n"
                                  "  - {name: A, rate: 1-5 mL/L, ec: 0.40 mS/cm per mL/L}\n"
                                  "stages:\n"
                                  "  - {name: tray, ec: 1.0 mS/cm}\n"
                                  "  - {name: mist, mist: {A: 1 mL/L}}\n";

static int begin(void **state)
{
    bench_begin(state, site_text, recipe_text);
    return 0;
}

/* How many jobs the plan lists of that tank or bottle. */
static size_t listed(const aq_sheet *plan, const char *name)
{
    size_t count = 0;

    for (size_t i = 0; i < plan->jobs.count; i++)
        count += strcmp(plan->jobs.at[i]->reservoir, name) == 0;
    return count;
}

static double needed(const aq_sheet *plan, const char *part)
{
    for (size_t i = 0; i < plan->totals.count; i++)
        if (strcmp(plan->totals.at[i].name, part) == 0)
            return plan->totals.at[i].figures.at[0].amount.value;
    return 0;
}

static double figure(const aq_sheet *sheet, const char *name)
{
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (strcmp(sheet->figures.at[i].name, name) == 0)
            return sheet->figures.at[i].amount.value;
    return NAN;
}

static const aq_sheet *of_bed(const aq_sheet *plan)
{
    size_t at = 0;

    while (at < plan->jobs.count && strcmp(plan->jobs.at[at]->reservoir, "Bed") != 0)
        at++;
    assert_true(at < plan->jobs.count);
    return plan->jobs.at[at];
}

/* 60 L from 0.3 to 1.0 at 0.4 take 105 mL. */
static void test_a_change_that_was_logged_today_is_not_listed(void **state)
{
    bench *b = *state;
    const aq_sheet *plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 1}");
    double before = needed(plan, "A");

    assert_int_equal(listed(plan, "Bed"), 1);
    log_entry(b, "{at: 2026-03-23T08:40, reservoir: Bed, kind: mix, volume: 60 L, ec-after: 1.0 mS/cm}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 1}");
    assert_int_equal(listed(plan, "Bed"), 0);
    assert_int_equal(listed(plan, "Trays"), 2);
    check_true("said",
               assumes(plan, "the change of Bed is in the log, on Mon 23 Mar 2026 at 08:40: it is not "
                             "listed again"));
    check_within("its dose is not counted", before - needed(plan, "A"), 105, 1e-6);
}

static void test_a_change_of_another_day_is_planned(void **state)
{
    static const char *const rows[] = {
        "{at: 2026-03-22T18:00, reservoir: Bed, kind: mix, volume: 60 L}",    /* the evening before */
        "{at: 2026-03-23T08:40, reservoir: Bed, volume: 40 L}",               /* a reading */
        "{at: 2026-03-23T08:40, reservoir: Bed, kind: top-up, volume: 60 L}", /* a correction */
        "{at: 2026-03-23T08:40, reservoir: Nursery, kind: mix, volume: 60 L}",
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        void *fresh = NULL;

        begin(&fresh);
        log_entry(fresh, rows[i]);
        check_true(rows[i], listed(answer(fresh, "plan", NULL, "{from: 2026-03-23, days: 1}"), "Bed") == 1);
        bench_end(&fresh);
    }
}

/* Whoever plans last Monday once more sees all of that week, but for what was done on the Monday itself. */
static void test_a_week_planned_again_is_planned_as_it_was(void **state)
{
    bench *b = *state;
    const aq_sheet *plan;

    log_entry(b, "{at: 2026-03-23T08:40, reservoir: Bed, kind: mix, volume: 60 L, ec-after: 1.0 mS/cm}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-16, days: 8}");
    assert_int_equal(listed(plan, "Bed"), 3); /* Mon, Thu, Mon */
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 8}");
    assert_int_equal(listed(plan, "Bed"), 2); /* Thu, Mon */
}

static void test_a_second_change_of_the_day_stays_until_its_time(void **state)
{
    bench *b = *state;
    const aq_sheet *plan;

    log_entry(b, "{at: 2026-03-23T08:05, reservoir: Trays, kind: mix, volume: 12 L}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 1}");
    assert_int_equal(listed(plan, "Trays"), 1);
    for (size_t i = 0; i < plan->jobs.count; i++)
        if (strcmp(plan->jobs.at[i]->reservoir, "Trays") == 0)
            assert_int_equal(plan->jobs.at[i]->at.minute, 17 * 60);
    log_entry(b, "{at: 2026-03-23T17:10, reservoir: Trays, kind: mix, volume: 12 L}");
    assert_int_equal(listed(answer(b, "plan", NULL, "{from: 2026-03-23, days: 1}"), "Trays"), 0);
}

/* Logged without a level, the change is supposed to have left what was planned: three days of 5 L are drunk of 60 L. Half
 * of its dose is topped up with, whatever was logged. */
static void test_what_follows_a_change_that_is_done_goes_by_it(void **state)
{
    bench *b = *state;
    const aq_sheet *plan, *top_up;

    log_entry(b, "{at: 2026-03-23T09:00, reservoir: Bed, kind: mix, volume: 60 L}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 4}");
    top_up = of_bed(plan);
    check_within("as planned", figure(top_up, "level_before"), 45, 1e-9);
    check_within("half the dose", exact(top_up, "A"), 15 * 1.75 / 2, 1e-6);
    log_entry(b, "{at: 2026-03-23T09:30, reservoir: Bed, volume: 57 L, ec-after: 1.1 mS/cm}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 4}");
    check_within("as read", figure(of_bed(plan), "level_before"), 57 - 5 * (3 - 0.5 / 24), 1e-9);
}

static void test_a_mist_that_was_logged_today_is_not_listed(void **state)
{
    bench *b = *state;
    const aq_sheet *plan = answer(b, "plan", NULL, "{from: 2026-03-24, days: 2}");

    assert_int_equal(listed(plan, "Mister"), 2);
    log_entry(b,
              "{at: 2026-03-24T07:35, reservoir: Mister, kind: mist, volume: 500 mL, poured: {A: 0.5 mL}}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-24, days: 2}");
    assert_int_equal(listed(plan, "Mister"), 1);
    check_true(
        "said",
        assumes(plan, "the mist of Mister is in the log, on Tue 24 Mar 2026 at 07:35: it is not listed"));
}

/* 60 % of the 1.75 mL/L of its change in 10 L are 10.5 mL, twice on Thursday. */
static void test_a_top_up_that_was_logged_today_is_not_listed(void **state)
{
    bench *b = *state;
    const aq_sheet *plan;
    double before;

    log_entry(b, "{at: 2026-03-23T10:00, reservoir: Veg, kind: mix, volume: 60 L, ec-after: 1.0 mS/cm, "
                 "poured: {A: 105 mL}}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-26, days: 1}");
    before = needed(plan, "A");
    assert_int_equal(listed(plan, "Veg"), 2);
    log_entry(
        b,
        "{at: 2026-03-26T08:10, reservoir: Veg, kind: top-up, job: adjust, volume: 35 L, poured: {A: 2 mL}}");
    assert_int_equal(listed(answer(b, "plan", NULL, "{from: 2026-03-26, days: 1}"), "Veg"), 2);
    log_entry(b, "{at: 2026-03-26T08:50, reservoir: Veg, kind: top-up, volume: 45 L, poured: {A: 10.5 mL}}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-26, days: 1}");
    assert_int_equal(listed(plan, "Veg"), 1);
    assert_int_equal(plan->jobs.at[plan->jobs.count - 1]->at.minute, 17 * 60);
    check_true("said", assumes(plan, "the top-up of Veg is in the log, on Thu 26 Mar 2026 at 08:50"));
    check_within("its dose is not counted", before - needed(plan, "A"), 10.5, 1e-6);
    log_entry(b, "{at: 2026-03-26T17:20, reservoir: Veg, kind: top-up, volume: 45 L, poured: {A: 10.5 mL}}");
    assert_int_equal(listed(answer(b, "plan", NULL, "{from: 2026-03-26, days: 1}"), "Veg"), 0);
    assert_int_equal(listed(answer(b, "plan", NULL, "{from: 2026-03-19, days: 1}"), "Veg"), 2);
}

#define AT_THE_BENCH(test) cmocka_unit_test_setup_teardown(test, begin, bench_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        AT_THE_BENCH(test_a_change_that_was_logged_today_is_not_listed),
        cmocka_unit_test(test_a_change_of_another_day_is_planned),
        AT_THE_BENCH(test_a_week_planned_again_is_planned_as_it_was),
        AT_THE_BENCH(test_a_second_change_of_the_day_stays_until_its_time),
        AT_THE_BENCH(test_what_follows_a_change_that_is_done_goes_by_it),
        AT_THE_BENCH(test_a_top_up_that_was_logged_today_is_not_listed),
        AT_THE_BENCH(test_a_mist_that_was_logged_today_is_not_listed),
    };

    return cmocka_run_group_tests_name("plan_done", tests, NULL, NULL);
}
