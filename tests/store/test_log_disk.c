/* Every call that SQLite makes of the machine fails once, whatever the log is doing: nothing that was acknowledged is lost,
 * nothing leaks, the file stays whole, and the complaint says what was wrong. */
#include "failing.h"
#include "scratch.h"

#include <errno.h>

#include "store/exchange.h"
#include "store/schema.h"

static const char mix[] =
    "{at: 2026-03-02T07:30, reservoir: Trays, volume: 12 L, planned: {A: 18 mL}, poured: {A: 18 mL}}";
static const char more[] = "aliquot: log 1\n\nat: 2026-03-05\nnote: one\n\nat: 2026-03-06\nnote: two\n\nat: "
                           "2026-03-07\nleft: {A: 1 L}\n";

/* ---- what a log does ---- */

static aq_status add_one(aq_log *log, scratch *s)
{
    aq_entry entry = entry_of(s, mix);

    return aq_log_add(log, &entry, &s->err);
}

static aq_status undo_one(aq_log *log, scratch *s)
{
    return aq_log_undo(log, 1, (aq_moment){ { 2026, 3, 3 }, 480 }, "Nell", NULL, &s->err);
}

typedef struct {
    const char *text;
    size_t left;
} given;

static long give(void *from, char *bytes, size_t room)
{
    given *g = from;
    size_t count = g->left < room ? g->left : room;

    memcpy(bytes, g->text, count);
    g->text += count;
    g->left -= count;
    return (long)count;
}

static aq_status import_three(aq_log *log, scratch *s)
{
    given g = { more, sizeof more - 1 };
    aq_import_count count;

    return aq_log_import(log, (aq_bytes){ give, &g, "old.txt" }, NULL, &count, &s->err);
}

/* What is read has to be all there is: a failure must not pass for a log with less in it. */
static aq_status export_all(aq_log *log, scratch *s)
{
    aq_log_filter whole = { .whole = true };
    aq_buffer out = { .ceiling = 0 };
    aq_status status = aq_log_export(log, &whole, AQ_FORM_CSV, aq_buffer_sink(&out), &s->err);
    size_t lines = 0;

    for (size_t i = 0; i < out.length; i++)
        lines += out.bytes[i] == '\n';
    aq_buffer_free(&out);
    if (status == AQ_OK)
        assert_int_equal(lines, 1 + 3);
    return status;
}

static bool count_up(void *to, const aq_entry *entry)
{
    (void)entry;
    ++*(size_t *)to;
    return true;
}

static aq_status read_filtered(aq_log *log, scratch *s, aq_log_filter filter, size_t wanted)
{
    size_t found = 0;
    aq_status status = aq_log_each(log, &filter, count_up, &found, &s->err);

    if (status == AQ_OK)
        assert_int_equal(found, wanted);
    return status;
}

static aq_status list_some(aq_log *log, scratch *s)
{
    return read_filtered(log, s, (aq_log_filter){ .reservoir = "Trays", .last = 2 }, 2);
}

static aq_status recall(aq_log *log, scratch *s)
{
    return read_filtered(log, s, (aq_log_filter){ .back = 300, .brief = true }, 3);
}

static aq_status check_it(aq_log *log, scratch *s)
{
    return aq_log_check(log, &s->err);
}

static aq_status nothing(aq_log *log, scratch *s)
{
    (void)log;
    (void)s;
    return AQ_OK;
}

/* ---- before it ---- */

static void run_raw(scratch *s, const char *sql)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(s->path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
}

static void three_entries(scratch *s)
{
    aq_log *log = opened(s, AQ_LOG_WRITE);

    put(s, log, mix);
    put(s, log, mix);
    put(s, log, mix);
    aq_log_close(log);
}

static void no_file(scratch *s)
{
    (void)s;
}

/* A log of the first version, as an older aliquot left it. */
static void first_version(scratch *s)
{
    char sql[128];

    run_raw(s, aq_schema_steps[0]);
    snprintf(sql, sizeof sql, "PRAGMA application_id=%d; PRAGMA user_version=1; PRAGMA journal_mode=WAL",
             AQ_SCHEMA_APPLICATION);
    run_raw(s, sql);
    run_raw(s, "INSERT INTO entry (kind, at, reservoir, volume) VALUES ('mix', '2026-03-01', 'Trays', 12),"
               " ('mix', '2026-03-02', 'Trays', 12), ('mix', '2026-03-03', 'Trays', 12)");
}

static void copy_file(const char *from, const char *to)
{
    static char bytes[1 << 20];
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    size_t length;

    assert_true(in && out);
    length = fread(bytes, 1, sizeof bytes, in);
    assert_int_equal(fwrite(bytes, 1, length, out), length);
    fclose(in);
    fclose(out);
}

/* A writer was killed: its last entries stand in the write-ahead log only. */
static void killed_writer(scratch *s)
{
    char ahead[128], kept[128], kept_ahead[128];
    aq_log *log = opened(s, AQ_LOG_WRITE);

    snprintf(ahead, sizeof ahead, "%s-wal", s->path);
    snprintf(kept, sizeof kept, "%s/kept", s->folder);
    snprintf(kept_ahead, sizeof kept_ahead, "%s/kept-wal", s->folder);
    put(s, log, mix);
    put(s, log, mix);
    put(s, log, mix);
    copy_file(s->path, kept);
    copy_file(ahead, kept_ahead);
    aq_log_close(log);
    assert_int_equal(rename(kept, s->path), 0);
    assert_int_equal(rename(kept_ahead, ahead), 0);
}

/* ---- one call after another fails ---- */

static const struct {
    const char *row;
    void (*before)(scratch *);
    aq_log_use use;
    aq_status (*act)(aq_log *, scratch *);
    long there, adds; /* entries before, and what it adds */
} rows[] = {
    { "a new log and its first entry", no_file, AQ_LOG_WRITE, add_one, 0, 1 },
    { "add", three_entries, AQ_LOG_WRITE, add_one, 3, 1 },
    { "add behind a killed writer", killed_writer, AQ_LOG_WRITE, add_one, 3, 1 },
    { "undo", three_entries, AQ_LOG_WRITE, undo_one, 3, 1 },
    { "import", three_entries, AQ_LOG_WRITE, import_three, 3, 3 },
    { "export", three_entries, AQ_LOG_READ, export_all, 3, 0 },
    { "export behind a killed writer", killed_writer, AQ_LOG_READ, export_all, 3, 0 },
    { "list", three_entries, AQ_LOG_READ, list_some, 3, 0 },
    { "recall", three_entries, AQ_LOG_READ, recall, 3, 0 },
    { "recall behind a killed writer", killed_writer, AQ_LOG_READ, recall, 3, 0 },
    { "check", three_entries, AQ_LOG_READ, check_it, 3, 0 },
    { "migration", first_version, AQ_LOG_WRITE, nothing, 3, 0 },
    { "migration and an entry", first_version, AQ_LOG_WRITE, add_one, 3, 1 },
};

static void wipe(const scratch *s)
{
    static const char *const ends[] = { "", "-wal", "-shm", "-journal" };
    char path[128];

    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        snprintf(path, sizeof path, "%s%s", s->path, ends[i]);
        unlink(path);
    }
}

static aq_status act(scratch *s, size_t row)
{
    aq_log *log;
    aq_status status;

    s->err = (aq_error){ 0 };
    status = aq_log_open(&log, s->path, rows[row].use, &s->err);
    if (status == AQ_OK)
        status = rows[row].act(log, s);
    aq_log_close(log);
    return status;
}

static bool is_right(failing_sort sort, aq_status status)
{
    switch (sort) {
    case FAIL_FULL:
        return status == AQ_LOG_FULL;
    case FAIL_BUSY:
        return status == AQ_LOG_BUSY;
    default:
        return status == AQ_WRITE_FAILED || status == AQ_READ_FAILED || status == AQ_LOG_READ_ONLY;
    }
}

static void check_complaint(scratch *s, size_t row, aq_status status)
{
    if (!is_right(failing.sort, status) || s->err.status != status)
        fail_msg("%s, %s at call %ld: %s: %s", rows[row].row, failing_words[failing.sort], failing.turn,
                 aq_status_name(status), s->err.text);
    assert_true(strncmp(s->err.text, s->path, strlen(s->path)) == 0);
}

/* All that was there is, and what was acknowledged too; what was not may have reached the disk all the same, but whole. */
static void check_log(scratch *s, size_t row, aq_status status)
{
    long count = 0, least = rows[row].there + (status == AQ_OK ? rows[row].adds : 0);
    aq_log *log = NULL;

    s->err = (aq_error){ 0 };
    if (aq_log_open(&log, s->path, AQ_LOG_READ, &s->err) == AQ_OK) {
        if (aq_log_check(log, &s->err) != AQ_OK)
            fail_msg("%s, %s at call %ld: %s", rows[row].row, failing_words[failing.sort], failing.turn,
                     s->err.text);
        assert_int_equal(aq_log_count(log, &count, &s->err), AQ_OK);
    } else if (s->err.status != AQ_MISSING) {
        fail_msg("%s, %s at call %ld: %s", rows[row].row, failing_words[failing.sort], failing.turn,
                 s->err.text);
    }
    aq_log_close(log);
    if (count != least && count != rows[row].there + rows[row].adds)
        fail_msg("%s, %s at call %ld: %ld entries", rows[row].row, failing_words[failing.sort], failing.turn,
                 count);
}

static long injected, ridden;

static void fail_each_call(scratch *s, size_t row, failing_sort sort)
{
    for (long turn = 0;; turn++) {
        sqlite3_int64 used;
        aq_status status;

        wipe(s);
        rows[row].before(s);
        used = sqlite3_memory_used();
        failing.sort = sort;
        failing.calls = 0;
        failing.failed = false;
        failing.turn = turn;
        status = act(s, row);
        assert_int_equal(failing.open, 0);
        assert_true(sqlite3_memory_used() <= used);
        if (status != AQ_OK && failing.failed)
            check_complaint(s, row, status);
        else if (status != AQ_OK)
            fail_msg("%s: %s", rows[row].row, s->err.text);
        failing.turn = -1;
        check_log(s, row, status);
        if (!failing.failed)
            break;
        injected++;
        ridden += status == AQ_OK;
    }
}

static void test_no_failing_call_loses_or_leaks_anything(void **state)
{
    scratch *s = *state;

    assert_int_equal(failing_begin(), SQLITE_OK);
    for (size_t row = 0; row < sizeof rows / sizeof *rows; row++)
        for (int sort = 0; sort < FAIL_SORTS; sort++)
            fail_each_call(s, row, (failing_sort)sort);
    assert_int_equal(failing_end(), SQLITE_OK);
    print_message("%ld calls failed: %ld were ridden out, %ld complained about\n", injected, ridden,
                  injected - ridden);
    assert_true(injected > 1000 && ridden < injected);
}

/* What is acknowledged has been asked to be on the disk: a power cut may follow (synchronous=FULL). */
static void test_nothing_is_acknowledged_before_it_is_synced(void **state)
{
    static const struct {
        const char *row;
        aq_status (*act)(aq_log *, scratch *);
    } acts[] = { { "the first entry", add_one },
                 { "the second", add_one },
                 { "undo", undo_one },
                 { "import", import_three } };
    scratch *s = *state;
    aq_log *log;

    failing.adrift = 0;
    assert_int_equal(failing_begin(), SQLITE_OK);
    assert_int_equal(aq_log_open(&log, s->path, AQ_LOG_WRITE, &s->err), AQ_OK);
    for (size_t i = 0; i < sizeof acts / sizeof *acts; i++) {
        assert_int_equal(acts[i].act(log, s), AQ_OK);
        check_true(acts[i].row, failing.adrift == 0);
    }
    aq_log_close(log);
    assert_int_equal(failing.adrift, 0);
    assert_int_equal(failing_end(), SQLITE_OK);
}

/* ---- the writes of the machine itself ---- */

/* Every write of SQLite's own VFS comes through here; the one whose turn it is fails. */
static long fail_at = -1, written;
static int fail_with;

static ssize_t failing_pwrite(int file, const void *bytes, size_t count, off_t at)
{
    if (fail_at >= 0 && written++ >= fail_at) {
        errno = fail_with;
        return -1;
    }
    return pwrite(file, bytes, count, at);
}

static void let_writes_fail(bool on)
{
    sqlite3_vfs *vfs = sqlite3_vfs_find(NULL);
    sqlite3_syscall_ptr call = on ? (sqlite3_syscall_ptr)failing_pwrite : NULL;

    assert_int_equal(vfs->xSetSystemCall(vfs, "pwrite", call), SQLITE_OK);
    if (vfs->xGetSystemCall(vfs, "pwrite64"))
        assert_int_equal(vfs->xSetSystemCall(vfs, "pwrite64", call), SQLITE_OK);
}

static void writes_fail(scratch *s, int with, aq_status want)
{
    long before = 0, after = 0, nth = 0;
    aq_status status = AQ_OK;
    aq_log *log = opened(s, AQ_LOG_WRITE);

    put(s, log, mix);
    aq_log_close(log);
    let_writes_fail(true);
    do {
        aq_entry entry = entry_of(s, mix);

        log = opened(s, AQ_LOG_READ);
        assert_int_equal(aq_log_count(log, &before, &s->err), AQ_OK);
        aq_log_close(log);
        fail_with = with;
        written = 0;
        fail_at = nth;
        s->err = (aq_error){ 0 };
        status = aq_log_open(&log, s->path, AQ_LOG_WRITE, &s->err);
        if (status == AQ_OK)
            status = aq_log_add(log, &entry, &s->err);
        fail_at = -1;
        aq_log_close(log);
        if (status != AQ_OK && status != want)
            fail_msg("write %ld: %s %s", nth, aq_status_name(status), s->err.text);
        log = opened(s, AQ_LOG_READ);
        assert_int_equal(aq_log_check(log, &s->err), AQ_OK);
        assert_int_equal(aq_log_count(log, &after, &s->err), AQ_OK);
        aq_log_close(log);
        assert_int_equal(after, before + (status == AQ_OK));
        nth++;
    } while (status != AQ_OK);
    let_writes_fail(false);
    assert_true(nth > 2);
}

static void test_a_full_disk_loses_nothing_at_any_write(void **state)
{
    writes_fail(*state, ENOSPC, AQ_LOG_FULL);
}

static void test_a_disk_that_fails_loses_nothing_at_any_write(void **state)
{
    writes_fail(*state, EIO, AQ_WRITE_FAILED);
}

#define IN_A_FOLDER(test) cmocka_unit_test_setup_teardown(test, scratch_begin, scratch_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_A_FOLDER(test_no_failing_call_loses_or_leaks_anything),
        IN_A_FOLDER(test_nothing_is_acknowledged_before_it_is_synced),
        IN_A_FOLDER(test_a_full_disk_loses_nothing_at_any_write),
        IN_A_FOLDER(test_a_disk_that_fails_loses_nothing_at_any_write),
    };

    return cmocka_run_group_tests_name("log_disk", tests, NULL, NULL);
}
