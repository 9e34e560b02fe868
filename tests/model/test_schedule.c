/* Dates are those of the Gregorian calendar: 2 March 2026 is a Monday (its weekday by ISO 8601 week 10). */
#include "entry.h"

#include "model/schedule.h"

static aq_arena *arena;
static aq_lot basil;
static aq_stages stages;

static int begin(void **state)
{
    static const char *const entries[] = { "{name: strike, days: 0-3}",
                                           "{name: root-in, days: 4-6, gate: roots}",
                                           "{name: tray, days: 7-10}", "{name: stock plants}" };

    (void)state;
    arena = aq_arena_new(0);
    stages = (aq_stages){ 0 };
    for (size_t i = 0; i < sizeof entries / sizeof *entries; i++)
        entry_must(&aq_stage_shape, entries[i], aq_list_add(arena, &stages, sizeof *stages.at), arena);
    entry_must(&aq_lot_shape, "{name: basil-14, stuck: 2026-03-02, cuttings: 60}", &basil, arena);
    return 0;
}

static int end(void **state)
{
    (void)state;
    aq_arena_free(arena);
    return 0;
}

static aq_date march(int day)
{
    return (aq_date){ 2026, 3, day };
}

static void test_the_day_of_sticking_is_day_0(void **state)
{
    (void)state;
    assert_int_equal(aq_lot_day(&basil, march(2)), 0);
    assert_int_equal(aq_lot_day(&basil, march(6)), 4);
    assert_int_equal(aq_lot_day(&basil, march(12)), 10);
    assert_int_equal(aq_lot_day(&basil, march(1)), -1);
}

static const char *stage_name(const aq_gates *gates, int day, long *held)
{
    const aq_stage *stage = aq_lot_stage(&basil, &stages, gates, march(day), held);

    return stage ? stage->name : "none";
}

static void test_a_lot_walks_through_its_stages(void **state)
{
    static const struct {
        int march;
        const char *name;
    } rows[] = { { 1, "none" }, { 2, "strike" }, { 5, "strike" }, { 6, "root-in" }, { 8, "root-in" },
                 { 9, "tray" }, { 12, "tray" },  { 13, "none" },  { 31, "none" } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        check_text(rows[i].name, stage_name(NULL, rows[i].march, NULL), rows[i].name);
}

static void test_a_gate_not_passed_repeats_the_day_before_and_moves_the_rest(void **state)
{
    aq_gate answers[] = { { .stage = "root-in", .at = march(6), .passed = AQ_NO },
                          { .stage = "root-in", .at = march(7), .passed = AQ_NO },
                          { .stage = "root-in", .at = march(8), .passed = AQ_YES } };
    const aq_gates gates = { answers, 3, 3 };
    static const struct {
        int march;
        const char *name;
        long held;
    } rows[] = { { 5, "strike", 0 },   { 6, "strike", 1 }, { 7, "strike", 2 }, { 8, "root-in", 2 },
                 { 10, "root-in", 2 }, { 11, "tray", 2 },  { 14, "tray", 2 },  { 15, "none", 2 } };
    long held;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        check_text(rows[i].name, stage_name(&gates, rows[i].march, &held), rows[i].name);
        check_true(rows[i].name, held == rows[i].held);
    }
}

static void test_an_answer_on_another_day_or_of_another_stage_holds_nothing(void **state)
{
    aq_gate answers[] = { { .stage = "root-in", .at = march(4), .passed = AQ_NO },
                          { .stage = "tray", .at = march(6), .passed = AQ_NO },
                          { .stage = "root-in", .at = march(6), .passed = AQ_YES } };
    const aq_gates gates = { answers, 3, 3 };
    long held;

    (void)state;
    check_text("day 4", stage_name(&gates, 6, &held), "root-in");
    assert_int_equal(held, 0);
}

static void test_an_answer_holds_the_lot_that_was_looked_at(void **state)
{
    static const struct {
        const char *row, *stage, *lot, *gets;
    } rows[] = { { "this lot", "root-in", "basil-14", "strike" },
                 { "another lot", "root-in", "mint-3", "root-in" },
                 { "any lot", "root-in", NULL, "strike" },
                 { "whichever gate is asked that day", NULL, "basil-14", "strike" } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_gate answer = { .stage = rows[i].stage, .lot = rows[i].lot, .at = march(6), .passed = AQ_NO };
        const aq_gates gates = { &answer, 1, 1 };

        check_text(rows[i].row, stage_name(&gates, 6, NULL), rows[i].gets);
    }
}

/* Day 4 is the 6th; held for a day, the stage begins on the 7th, and is asked about then. */
static void test_a_gate_is_asked_on_the_first_day_unless_it_was_passed(void **state)
{
    aq_gate answer = { .stage = "root-in", .at = march(6), .passed = AQ_NO };
    const aq_gates gates = { &answer, 1, 1 };
    const aq_stage *strike = aq_stage_named(&stages, "strike"), *stage = aq_stage_named(&stages, "root-in");

    (void)state;
    check_true("on day 4", aq_gate_asks(&basil, stage, 0, NULL, march(6)));
    check_true("not on day 5", !aq_gate_asks(&basil, stage, 0, NULL, march(7)));
    check_true("after a day held", aq_gate_asks(&basil, stage, 1, &gates, march(7)));
    check_true("a stage without one", !aq_gate_asks(&basil, strike, 0, NULL, march(2)));
    answer.passed = AQ_YES;
    check_true("passed", !aq_gate_asks(&basil, stage, 0, &gates, march(6)));
}

/* ---- tasks ---- */

static void *add(void *list, const aq_shape *shape, const char *text)
{
    AQ_LIST(char) *entries = list;
    void *entry = aq_list_add(arena, entries, shape->size);

    entry_must(shape, text, entry, arena);
    return entry;
}

static void test_tasks_come_by_day_then_clock_then_walking_order(void **state)
{
    aq_reservoirs tanks = { 0 };
    aq_week week = { 0 };
    aq_bottles bottles = { 0 };
    aq_lots lots = { 0 };
    aq_tasks tasks;
    static const struct {
        int march, minute;
        aq_task_kind kind;
        const char *of;
    } want[] = {
        /* Sunday: nothing of the week, and the lot is not stuck yet */
        { 1, 450, AQ_TASK_MIST, "Mister" },
        /* Monday: untimed first, in walking order; then by the clock */
        { 2, -1, AQ_TASK_CHANGE, "Bloom" },
        { 2, -1, AQ_TASK_WATER_LOT, "basil-14" },
        { 2, 450, AQ_TASK_CHANGE, "Trays" },
        { 2, 450, AQ_TASK_MIST, "Mister" },
        { 2, 540, AQ_TASK_CHANGE, "Bed" },
        { 3, -1, AQ_TASK_WATER_LOT, "basil-14" },
        { 3, 450, AQ_TASK_MIST, "Mister" },
        { 3, 1020, AQ_TASK_TOP_UP, "Trays" },
    };

    (void)state;
    add(&tanks, &aq_reservoir_shape, "{name: Trays, holds: 12 L, lot: basil-14}");
    add(&tanks, &aq_reservoir_shape, "{name: Bed, holds: 60 L}");
    add(&tanks, &aq_reservoir_shape, "{name: Bloom, holds: 100 L}");
    add(&week, &aq_week_shape, "{reservoir: Bed, change: Mon 09:00}");
    add(&week, &aq_week_shape, "{reservoir: Bloom, change: [Mon]}");
    add(&week, &aq_week_shape, "{reservoir: Trays, change: [Mon 07:30, Thu 07:30], top-up: Tue 17:00}");
    add(&bottles, &aq_bottle_shape, "{name: Mister, holds: 500 mL, lot: basil-14, daily: 07:30}");
    add(&bottles, &aq_bottle_shape, "{name: Spare, holds: 1 L}");
    add(&lots, &aq_lot_shape, "{name: basil-14, stuck: 2026-03-02}");
    assert_int_equal(aq_schedule(&tasks, arena, &tanks, &week, &bottles, &lots, march(1), 3), AQ_OK);
    assert_int_equal(tasks.count, sizeof want / sizeof *want);
    for (size_t i = 0; i < tasks.count; i++) {
        const aq_task *task = &tasks.at[i];

        assert_int_equal(task->at.date.day, want[i].march);
        assert_int_equal(task->at.minute, want[i].minute);
        assert_int_equal(task->kind, want[i].kind);
        check_text("of",
                   task->reservoir ? task->reservoir->name
                   : task->bottle  ? task->bottle->name
                                   : task->lot->name,
                   want[i].of);
        assert_int_equal(task->entry != NULL, task->reservoir != NULL);
    }
    check_text("the lot of the trays", tasks.at[3].lot->name, "basil-14");
    assert_null(tasks.at[1].lot);
}

static void test_tasks_sort_again_after_their_times_were_set(void **state)
{
    aq_lots lots = { 0 };
    aq_bottles bottles = { 0 };
    aq_tasks tasks;

    (void)state;
    add(&lots, &aq_lot_shape, "{name: basil-14, stuck: 2026-03-02}");
    add(&bottles, &aq_bottle_shape, "{name: Mister, holds: 500 mL, daily: 07:00}");
    assert_int_equal(aq_schedule(&tasks, arena, NULL, NULL, &bottles, &lots, march(2), 1), AQ_OK);
    assert_int_equal(tasks.at[0].kind, AQ_TASK_WATER_LOT);
    tasks.at[0].at.minute = 450;
    aq_tasks_sort(&tasks);
    assert_int_equal(tasks.at[0].kind, AQ_TASK_MIST);
}

static void test_a_week_of_an_unknown_reservoir_is_refused(void **state)
{
    aq_week week = { 0 };
    aq_tasks tasks;

    (void)state;
    add(&week, &aq_week_shape, "{reservoir: Nowhere, change: Mon}");
    assert_int_equal(aq_schedule(&tasks, arena, NULL, &week, NULL, NULL, march(2), 1), AQ_UNKNOWN_NAME);
    assert_int_equal(tasks.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_the_day_of_sticking_is_day_0, begin, end),
        cmocka_unit_test_setup_teardown(test_a_lot_walks_through_its_stages, begin, end),
        cmocka_unit_test_setup_teardown(test_a_gate_not_passed_repeats_the_day_before_and_moves_the_rest,
                                        begin, end),
        cmocka_unit_test_setup_teardown(test_an_answer_holds_the_lot_that_was_looked_at, begin, end),
        cmocka_unit_test_setup_teardown(test_a_gate_is_asked_on_the_first_day_unless_it_was_passed, begin,
                                        end),
        cmocka_unit_test_setup_teardown(test_an_answer_on_another_day_or_of_another_stage_holds_nothing,
                                        begin, end),
        cmocka_unit_test_setup_teardown(test_tasks_come_by_day_then_clock_then_walking_order, begin, end),
        cmocka_unit_test_setup_teardown(test_tasks_sort_again_after_their_times_were_set, begin, end),
        cmocka_unit_test_setup_teardown(test_a_week_of_an_unknown_reservoir_is_refused, begin, end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
