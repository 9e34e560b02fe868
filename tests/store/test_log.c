/* The log keeps what it acknowledged, refuses what is not its own, and changes nothing that was written. */
#include "scratch.h"

#include <sqlite3.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include "store/schema.h"

static const char full[] =
    "{kind: mix, at: 2026-03-02T07:30, who: Nell, note: 'after: the \"heat\" wave', reservoir: Trays, lot: "
    "basil-14,"
    " stage: root-in, water: tap, volume: 12 L, heel: 1.5 L, heel-ec: 2.1 mS/cm, water-ec: 0.32 mS/cm,"
    " planned: {A: 18 mL, B: 18 mL}, poured: {A: 18.3 mL, B: 17.9 mL, Salt: 2.5 g}, ec-before: 0.33 mS/cm,"
    " ec-after: 0.94 mS/cm, shown-before: 0.31 mS/cm, shown-after: 0.9 mS/cm, expected: 0.92 mS/cm,"
    " within: 0.1 mS/cm, ph: 5.8, temperature: 66 degF, job: mix, title: 'Trays, 12 L', over-label: trial}";
static const char mix[] = "{at: 2026-03-02T07:30, reservoir: Trays, volume: 12 L, poured: {A: 18 mL}}";

typedef struct {
    scratch *scratch;
    size_t count;
    aq_entry at[200]; /* borrowed texts are copied for the members that tests look at */
} heard;

static const char *kept(heard *h, const char *text)
{
    return text ? aq_arena_text(h->scratch->arena, text, strlen(text)) : NULL;
}

static bool hear(void *to, const aq_entry *entry)
{
    heard *h = to;

    assert_true(h->count < 200);
    h->at[h->count] = *entry;
    h->at[h->count].uid = kept(h, entry->uid);
    h->at[h->count].reservoir = kept(h, entry->reservoir);
    h->at[h->count].note = kept(h, entry->note);
    h->count++;
    return true;
}

static size_t count_of(scratch *s, aq_log *log, aq_log_filter filter)
{
    static heard all;

    all = (heard){ .scratch = s };
    assert_int_equal(aq_log_each(log, &filter, hear, &all, &s->err), AQ_OK);
    return all.count;
}

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

static void test_a_log_may_lie_under_any_name(void **state)
{
    static const char *const names[] = { "a b.log", "what?.log", "50%.log",
                                         "#1.log",  "x%41.log",  "Spätzle.log" };
    scratch *s = *state;

    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        aq_log *log;

        snprintf(s->path, sizeof s->path, "%s/%s", s->folder, names[i]);
        log = opened(s, AQ_LOG_WRITE);
        put(s, log, mix);
        aq_log_close(log);
        check_true(names[i], access(s->path, F_OK) == 0);
    }
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

static void run_raw(scratch *s, const char *sql, int want)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(s->path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != want)
        fail_msg("%s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
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

/* ---- other versions ---- */

/* A log as version `version` made it, with an entry. */
static void make_old(scratch *s, int version)
{
    char sql[128];

    unlink(s->path);
    for (int i = 0; i < version; i++)
        run_raw(s, aq_schema_steps[i], SQLITE_OK);
    snprintf(sql, sizeof sql, "PRAGMA application_id=%d; PRAGMA user_version=%d; PRAGMA journal_mode=WAL",
             AQ_SCHEMA_APPLICATION, version);
    run_raw(s, sql, SQLITE_OK);
    run_raw(s,
            "INSERT INTO entry (kind, at, reservoir, volume) VALUES ('mix', '2026-03-01', 'Trays', 12);"
            "INSERT INTO amount VALUES (1, 'poured', 0, 'A', 0.018, 'L')",
            SQLITE_OK);
}

static void test_every_earlier_version_is_read_and_brought_up(void **state)
{
    scratch *s = *state;

    for (int version = 1; version <= aq_schema_version; version++) {
        aq_log *log;

        make_old(s, version);
        log = opened(s, AQ_LOG_READ);
        assert_int_equal(count_of(s, log, (aq_log_filter){ .part = "A" }), 1);
        aq_log_close(log);
        log = opened(s, AQ_LOG_WRITE);
        put(s, log, full);
        assert_int_equal(count_of(s, log, (aq_log_filter){ .reservoir = "Trays" }), 2);
        assert_int_equal(aq_log_check(log, &s->err), AQ_OK);
        aq_log_close(log);
    }
}

/* ---- files that are not ours, or not whole ---- */

static char *bytes_of(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    char *bytes = malloc(1 << 20);

    assert_non_null(file);
    *length = fread(bytes, 1, 1 << 20, file);
    fclose(file);
    return bytes;
}

/* Neither use opens it, and it stays as it is. */
static void refused(scratch *s, const char *row, aq_status want)
{
    for (int use = AQ_LOG_READ; use <= AQ_LOG_WRITE; use++) {
        size_t before, after;
        char *old = bytes_of(s->path, &before), *new;
        aq_log *log;

        s->err = (aq_error){ 0 };
        if (aq_log_open(&log, s->path, (aq_log_use)use, &s->err) != want)
            fail_msg("%s: %s", row, s->err.text);
        check_true(row, log == NULL);
        check_true(row, strstr(s->err.text, s->path) != NULL);
        new = bytes_of(s->path, &after);
        check_true(row, before == after && memcmp(old, new, before) == 0);
        free(old);
        free(new);
    }
}

static void write_file(const char *path, const char *bytes, size_t length)
{
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    fclose(file);
}

static void test_a_foreign_file_is_left_alone(void **state)
{
    static const char text[] = "aliquot: site 1\nname: Fernhollow, a text that is no log\n";
    scratch *s = *state;

    write_file(s->path, text, sizeof text - 1);
    refused(s, "a text", AQ_LOG_FOREIGN);
    unlink(s->path);
    run_raw(s, "CREATE TABLE other (x)", SQLITE_OK);
    refused(s, "a database with a table", AQ_LOG_FOREIGN);
    run_raw(s, "PRAGMA application_id=7", SQLITE_OK);
    refused(s, "a database that says whose it is", AQ_LOG_FOREIGN);
}

static void test_a_newer_log_is_left_alone(void **state)
{
    scratch *s = *state;
    char sql[64];

    aq_log_close(opened(s, AQ_LOG_WRITE));
    snprintf(sql, sizeof sql, "PRAGMA user_version=%d", aq_schema_version + 1);
    run_raw(s, sql, SQLITE_OK);
    refused(s, "newer", AQ_LOG_NEWER);
    assert_non_null(strstr(s->err.text, "newer aliquot"));
}

/* A log cut short, or overwritten in its middle, is found out when it is opened, read or checked, and never crashes. */
static void test_a_torn_log_says_so(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);
    size_t length;
    char *bytes;

    assert_int_equal(aq_log_begin(log, &s->err), AQ_OK);
    for (int i = 0; i < 100; i++)
        put(s, log, full);
    assert_int_equal(aq_log_keep(log, &s->err), AQ_OK);
    aq_log_close(log);
    bytes = bytes_of(s->path, &length);
    assert_true(length > 8192);
    for (size_t cut = 512; cut + 512 < length; cut += 512) {
        aq_log_filter all = { 0 };
        heard *h = calloc(1, sizeof *h);
        aq_status status;

        h->scratch = s;
        write_file(s->path, bytes, cut);
        s->err = (aq_error){ 0 };
        status = aq_log_open(&log, s->path, AQ_LOG_READ, &s->err);
        if (status == AQ_OK)
            status = aq_log_each(log, &all, hear, h, &s->err);
        if (status == AQ_OK)
            status = aq_log_check(log, &s->err);
        if (status != AQ_LOG_DAMAGED)
            fail_msg("cut at %zu: %s %s", cut, aq_status_name(status), s->err.text);
        aq_log_close(log);
        free(h);
    }
    free(bytes);
}

static void test_an_empty_file_is_a_log_with_nothing_in_it(void **state)
{
    scratch *s = *state;
    aq_log *log;

    assert_int_equal(aq_log_open(&log, s->path, AQ_LOG_READ, &s->err), AQ_MISSING);
    write_file(s->path, "", 0);
    log = opened(s, AQ_LOG_READ);
    assert_int_equal(count_of(s, log, (aq_log_filter){ 0 }), 0);
    aq_log_close(log);
}

/* In a child that is nobody, for root may write everywhere. */
static int as_nobody(scratch *s, int (*task)(scratch *))
{
    pid_t child = fork();
    int status;

    if (child == 0) {
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0))
            _exit(99);
        _exit(task(s));
    }
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static int write_is_refused(scratch *s)
{
    aq_log *log;
    aq_status status = aq_log_open(&log, s->path, AQ_LOG_WRITE, &s->err);

    return status == AQ_LOG_READ_ONLY && strstr(s->err.text, "nothing was recorded") ? 0 : 1;
}

static int read_is_fine(scratch *s)
{
    aq_log *log;
    aq_status status = aq_log_open(&log, s->path, AQ_LOG_READ, &s->err);
    long count = 0;

    if (status == AQ_OK)
        status = aq_log_count(log, &count, &s->err);
    aq_log_close(log);
    return status == AQ_OK && count == 1 ? 0 : 1;
}

static void test_a_read_only_log_is_read_and_not_written(void **state)
{
    scratch *s = *state;
    aq_log *log = opened(s, AQ_LOG_WRITE);

    put(s, log, mix);
    aq_log_close(log);
    assert_int_equal(chmod(s->path, 0444), 0);
    assert_int_equal(chmod(s->folder, 0555), 0);
    assert_int_equal(as_nobody(s, write_is_refused), 0);
    assert_int_equal(as_nobody(s, read_is_fine), 0);
    assert_int_equal(chmod(s->folder, 0755), 0);
}

static void test_no_log_is_made_where_nothing_may_be_written(void **state)
{
    scratch *s = *state;

    assert_int_equal(chmod(s->folder, 0555), 0);
    assert_int_equal(as_nobody(s, write_is_refused), 0);
    assert_int_equal(chmod(s->folder, 0755), 0);
}

/* ---- more than one ---- */

static int write_fifty(scratch *s)
{
    aq_log *log;
    aq_status status = aq_log_open(&log, s->path, AQ_LOG_WRITE, &s->err);

    for (int i = 0; status == AQ_OK && i < 50; i++) {
        aq_entry entry = entry_of(s, mix);

        status = aq_log_add(log, &entry, &s->err);
    }
    aq_log_close(log);
    return status == AQ_OK ? 0 : 1;
}

/* The file is not there when they start, so they also race to make it. */
static void test_writers_at_once_wait_for_each_other(void **state)
{
    enum { WRITERS = 3 };
    scratch *s = *state;
    pid_t children[WRITERS];
    aq_log *log;
    long count;

    for (int i = 0; i < WRITERS; i++)
        if ((children[i] = fork()) == 0)
            _exit(write_fifty(s));
    for (int i = 0; i < WRITERS; i++) {
        int status;

        waitpid(children[i], &status, 0);
        assert_int_equal(status, 0);
    }
    log = opened(s, AQ_LOG_READ);
    assert_int_equal(aq_log_count(log, &count, &s->err), AQ_OK);
    assert_int_equal(count, 50 * WRITERS);
    assert_int_equal(aq_log_check(log, &s->err), AQ_OK);
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
        IN_A_FOLDER(test_a_log_may_lie_under_any_name),
        IN_A_FOLDER(test_an_undo_takes_an_entry_back_and_both_stay_to_be_read),
        IN_A_FOLDER(test_an_entry_that_the_log_has_is_not_added_again),
        IN_A_FOLDER(test_the_file_itself_refuses_to_be_rewritten),
        IN_A_FOLDER(test_many_additions_are_kept_together_or_not_at_all),
        IN_A_FOLDER(test_every_earlier_version_is_read_and_brought_up),
        IN_A_FOLDER(test_a_foreign_file_is_left_alone),
        IN_A_FOLDER(test_a_newer_log_is_left_alone),
        IN_A_FOLDER(test_a_torn_log_says_so),
        IN_A_FOLDER(test_an_empty_file_is_a_log_with_nothing_in_it),
        IN_A_FOLDER(test_a_read_only_log_is_read_and_not_written),
        IN_A_FOLDER(test_no_log_is_made_where_nothing_may_be_written),
        IN_A_FOLDER(test_writers_at_once_wait_for_each_other),
    };

    return cmocka_run_group_tests_name("log", tests, NULL, NULL);
}
