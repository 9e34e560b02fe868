/* The file of a log: any name, earlier versions, what is not ours or not whole, what may not be written, and more than one
 * program at a time. */
#include "heard.h"

#include <sys/stat.h>
#include <sys/wait.h>

#include "store/schema.h"

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
        IN_A_FOLDER(test_a_log_may_lie_under_any_name),
        IN_A_FOLDER(test_every_earlier_version_is_read_and_brought_up),
        IN_A_FOLDER(test_a_foreign_file_is_left_alone),
        IN_A_FOLDER(test_a_newer_log_is_left_alone),
        IN_A_FOLDER(test_a_torn_log_says_so),
        IN_A_FOLDER(test_an_empty_file_is_a_log_with_nothing_in_it),
        IN_A_FOLDER(test_a_read_only_log_is_read_and_not_written),
        IN_A_FOLDER(test_no_log_is_made_where_nothing_may_be_written),
        IN_A_FOLDER(test_writers_at_once_wait_for_each_other),
    };

    return cmocka_run_group_tests_name("log_file", tests, NULL, NULL);
}
