/* The log keeps what it acknowledged, and changes nothing that was written. */
#include "heard.h"

/* ---- what goes in comes out ---- */

static void same_amounts(const char *row, const aq_amounts *got, const aq_amounts *want)
{
    assert_int_equal(got->count, want->count);
    for (size_t i = 0; i < got->count; i++) {
        check_text(row, got->at[i].name, want->at[i].name);
        check_true(row, got->at[i].amount.value == want->at[i].amount.value);
        check_true(row, aq_kind_equal(got->at[i].amount.kind, want->at[i].amount.kind));
    }
}

/* Every row of the entry, so that a new one without a column is noticed. */
static bool compare(void *to, const aq_entry *got)
{
    const aq_entry *want = to;

    for (size_t i = 0; i < aq_entry_shape.count; i++) {
        const aq_field *row = &aq_entry_shape.fields[i];
        char one[AQ_ENTRY_TEXT], two[AQ_ENTRY_TEXT];

        if (strcmp(row->key, "id") == 0 || strcmp(row->key, "uid") == 0)
            continue;
        if (row->read == AQ_READ_AMOUNTS) {
            same_amounts(row->key, (const void *)((const char *)got + row->into),
                         (const void *)((const char *)want + row->into));
            continue;
        }
        if (!aq_entry_value(want, row, two))
            check_true(row->key, !aq_entry_value(got, row, one));
        else
            check_text(row->key, aq_entry_value(got, row, one), aq_entry_value(want, row, two));
    }
    return true;
}

static void test_every_row_of_an_entry_comes_back(void **state)
{
    static const char *const kinds[] = {
        full,
        "{reservoir: Bed, kind: reading, at: 2026-03-03, volume: 51.25 L, ec-after: 1.62 mS/cm}",
        "{lot: basil-14, gate: half show roots, passed: no, at: 2026-03-06}",
        "{left: {A: 736 mL, Salt: 1.2 kg}, at: 2026-03-07T17:00}",
        "{kind: delivery, left: {A: 5 L}, at: 2026-03-09}",
        "{note: wiped the tank, at: 2026-03-10}",
    };
    scratch *s = *state;

    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        aq_entry entry = entry_of(s, kinds[i]);
        aq_log *log = opened(s, AQ_LOG_WRITE);
        aq_log_filter filter = { .last = 1 };

        assert_int_equal(aq_log_add(log, &entry, &s->err), AQ_OK);
        assert_int_equal(entry.id, (long)i + 1);
        aq_log_close(log);
        log = opened(s, AQ_LOG_READ);
        assert_int_equal(aq_log_each(log, &filter, compare, &entry, &s->err), AQ_OK);
        aq_log_close(log);
    }
}

static void test_entries_come_in_the_order_of_their_moments(void **state)
{
    static heard all;
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_log_filter filter = { 0 };

    put(s, log, "{at: 2026-03-02T09:00, note: third}");
    put(s, log, "{at: 2026-03-02, note: first}");
    put(s, log, "{at: 2026-03-02T09:00, note: fourth}");
    put(s, log, "{at: 2026-03-02T07:30, note: second}");
    all = (heard){ .scratch = s };
    assert_int_equal(aq_log_each(log, &filter, hear, &all, &s->err), AQ_OK);
    check_text("first", all.at[0].note, "first");
    check_text("second", all.at[1].note, "second");
    check_text("third", all.at[2].note, "third");
    check_text("fourth", all.at[3].note, "fourth");
    aq_log_close(log);
}

static void test_filters_leave_what_is_asked_for(void **state)
{
    static const struct {
        const char *row;
        aq_log_filter filter;
        size_t count;
    } rows[] = {
        { "everything", { 0 }, 6 },
        { "a tank", { .reservoir = "Trays" }, 3 },
        { "a tank that is not there", { .reservoir = "trays" }, 0 },
        { "a part that was poured", { .part = "A" }, 3 },
        { "a part that was only planned", { .part = "C" }, 0 },
        { "stock-takes and deliveries", { .kinds = 1u << AQ_ENTRY_STOCK | 1u << AQ_ENTRY_DELIVERY }, 1 },
        { "mixes", { .kinds = 1u << AQ_ENTRY_MIX }, 2 },
        { "from a day", { .from = { { 2026, 3, 3 }, -1 } }, 4 },
        { "to a day, all of it", { .to = { { 2026, 3, 3 }, -1 } }, 4 },
        { "to a minute", { .to = { { 2026, 3, 3 }, 450 } }, 3 },
        { "the newest two", { .last = 2 }, 2 },
        { "the newest of a tank", { .reservoir = "Trays", .last = 2 }, 2 },
        { "a tank among the newest three", { .reservoir = "Trays", .back = 3 }, 1 },
        { "as far back as there is", { .back = 6 }, 6 },
        { "further back than there is", { .back = 7 }, 6 },
    };
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);

    put(s, log, "{at: 2026-03-01, reservoir: Trays, volume: 12 L, poured: {A: 18 mL}, planned: {C: 1 mL}}");
    put(s, log, "{at: 2026-03-02T07:30, reservoir: Bed, volume: 60 L, poured: {A: 90 mL, B: 90 mL}}");
    put(s, log, "{at: 2026-03-03T07:30, reservoir: Trays, ec-after: 1.1 mS/cm}");
    put(s, log, "{at: 2026-03-03T17:30, reservoir: Trays, ec-after: 1.2 mS/cm}");
    put(s, log, "{at: 2026-03-04, left: {A: 700 mL}}");
    put(s, log, "{at: 2026-03-05, note: rain}");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (count_of(s, log, rows[i].filter) != rows[i].count)
            fail_msg("%s: %zu", rows[i].row, count_of(s, log, rows[i].filter));
    aq_log_close(log);
}

/* For jobs: people, marks, the sheet and what was planned are left out, and all that is reckoned with is there. */
static void test_a_brief_reading_has_what_jobs_recall(void **state)
{
    static heard all;
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_log_filter filter = { .brief = true };
    const aq_entry *got = &all.at[0];

    put(s, log, full);
    all = (heard){ .scratch = s };
    assert_int_equal(aq_log_each(log, &filter, hear, &all, &s->err), AQ_OK);
    assert_int_equal(all.count, 1);
    check_true("left out", !got->uid && !got->who && !got->note && !got->water && !got->job && !got->title &&
                               !got->over_label && !got->planned.count && !got->expected.given &&
                               !got->ph.given);
    check_true("kept", got->kind == AQ_ENTRY_MIX && got->at.minute == 450 && got->poured.count == 3 &&
                           got->heel.given && got->heel_ec.given && got->lot && got->stage);
    check_text("tank", got->reservoir, "Trays");
    check_close("volume", got->volume.value, 12, 1e-12);
    check_close("water", got->water_ec.value, 0.32, 1e-12);
    check_close("before", got->ec_before.value, 0.33, 1e-12);
    check_close("after", got->ec_after.value, 0.94, 1e-12);
    aq_log_close(log);
}

/* ---- nothing is changed ---- */

static void test_an_undo_takes_an_entry_back_and_both_stay_to_be_read(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_moment now = { { 2026, 3, 2 }, 480 };

    put(s, log, mix);
    put(s, log, mix);
    assert_int_equal(aq_log_undo(log, 1, now, "Nell", "wrong tank", &s->err), AQ_OK);
    assert_int_equal(count_of(s, log, (aq_log_filter){ 0 }), 1);
    assert_int_equal(count_of(s, log, (aq_log_filter){ .whole = true }), 3);
    assert_int_equal(aq_log_undo(log, 1, now, NULL, NULL, &s->err), AQ_CONFLICT);
    assert_non_null(strstr(s->err.text, "already"));
    s->err = (aq_error){ 0 };
    assert_int_equal(aq_log_undo(log, 3, now, NULL, NULL, &s->err), AQ_CONFLICT);
    s->err = (aq_error){ 0 };
    assert_int_equal(aq_log_undo(log, 9, now, NULL, NULL, &s->err), AQ_UNKNOWN_NAME);
    assert_int_equal(count_of(s, log, (aq_log_filter){ .whole = true }), 3);
    aq_log_close(log);
}

static void test_an_entry_that_the_log_has_is_not_added_again(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    aq_entry entry = entry_of(s, "{at: 2026-03-02, note: once, uid: 00112233445566aa}");
    long count;

    put(s, log, mix);
    assert_int_equal(aq_log_add(log, &entry, &s->err), AQ_OK);
    entry.id = 0;
    assert_int_equal(aq_log_add(log, &entry, &s->err), AQ_OK);
    assert_int_equal(entry.id, 2);
    assert_int_equal(aq_log_count(log, &count, &s->err), AQ_OK);
    assert_int_equal(count, 2);
    aq_log_close(log);
}

static void test_the_file_itself_refuses_to_be_rewritten(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);

    put(s, log, mix);
    aq_log_close(log);
    run_raw(s, "UPDATE entry SET ec_after = 1", SQLITE_CONSTRAINT);
    run_raw(s, "DELETE FROM entry", SQLITE_CONSTRAINT);
    run_raw(s, "UPDATE amount SET amount = 1", SQLITE_CONSTRAINT);
    run_raw(s, "DELETE FROM amount", SQLITE_CONSTRAINT);
}

static void test_many_additions_are_kept_together_or_not_at_all(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);

    assert_int_equal(aq_log_begin(log, &s->err), AQ_OK);
    put(s, log, mix);
    put(s, log, mix);
    aq_log_drop(log);
    assert_int_equal(count_of(s, log, (aq_log_filter){ 0 }), 0);
    assert_int_equal(aq_log_begin(log, &s->err), AQ_OK);
    put(s, log, mix);
    put(s, log, mix);
    assert_int_equal(aq_log_keep(log, &s->err), AQ_OK);
    assert_int_equal(count_of(s, log, (aq_log_filter){ 0 }), 2);
    aq_log_close(log);
}

#define IN_A_FOLDER(test) cmocka_unit_test_setup_teardown(test, scratch_begin, scratch_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_A_FOLDER(test_every_row_of_an_entry_comes_back),
        IN_A_FOLDER(test_entries_come_in_the_order_of_their_moments),
        IN_A_FOLDER(test_filters_leave_what_is_asked_for),
        IN_A_FOLDER(test_a_brief_reading_has_what_jobs_recall),
        IN_A_FOLDER(test_an_undo_takes_an_entry_back_and_both_stay_to_be_read),
        IN_A_FOLDER(test_an_entry_that_the_log_has_is_not_added_again),
        IN_A_FOLDER(test_the_file_itself_refuses_to_be_rewritten),
        IN_A_FOLDER(test_many_additions_are_kept_together_or_not_at_all),
    };

    return cmocka_run_group_tests_name("log", tests, NULL, NULL);
}
