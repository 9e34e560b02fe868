/* Opening and closing, and what went wrong in words.
 *
 * SQLite keeps the promises (https://www.sqlite.org/wal.html): with a write-ahead log and PRAGMA synchronous=FULL a
 * transaction is on the disk when COMMIT returns, and a reader never waits for a writer. */
#include "store/log_inner.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "store/schema.h"

static const aq_place nowhere = { 0 };
enum { WAIT_MS = 10000 };

/* ---- what went wrong ---- */

static const struct {
    int code;
    aq_status status;
    const char *says;
} failures[] = {
    { SQLITE_NOMEM, AQ_NO_MEMORY, "out of memory" },
    { SQLITE_BUSY, AQ_LOG_BUSY,
      "another program has been writing to it for more than ten seconds; try again" },
    { SQLITE_LOCKED, AQ_LOG_BUSY, "another program is at work on it; try again" },
    { SQLITE_READONLY, AQ_LOG_READ_ONLY, "may not be written; nothing was recorded" },
    { SQLITE_PERM, AQ_LOG_READ_ONLY, "may not be written; nothing was recorded" },
    { SQLITE_FULL, AQ_LOG_FULL, "the disk is full; nothing was recorded, and what was there is whole" },
    { SQLITE_NOTADB, AQ_LOG_FOREIGN, "this is not a log of aliquot, so it was left alone" },
    { SQLITE_CORRUPT, AQ_LOG_DAMAGED,
      "the file is torn or damaged; take back a copy of it, or import the last export into a new one" },
};

aq_status aq_log_fail(const aq_log *log, aq_status status, const char *says, aq_error *err)
{
    return aq_fail(err, status, nowhere, "%s: %s", log->path, says);
}

/* A log that is only read is written all the same, where another program was killed over it and left its journal. */
static bool was_written(const aq_log *log)
{
    switch (sqlite3_extended_errcode(log->db)) {
    case SQLITE_IOERR_WRITE:
    case SQLITE_IOERR_FSYNC:
    case SQLITE_IOERR_DIR_FSYNC:
    case SQLITE_IOERR_TRUNCATE:
    case SQLITE_IOERR_DELETE:
    case SQLITE_IOERR_CLOSE:
    case SQLITE_IOERR_SHMOPEN:
    case SQLITE_IOERR_SHMSIZE:
        return true;
    default:
        return log->use == AQ_LOG_WRITE;
    }
}

aq_status aq_log_no_memory(const aq_log *log, aq_error *err)
{
    return aq_log_fail(log, AQ_NO_MEMORY, "out of memory", err);
}

bool aq_log_lacks_memory(const aq_log *log)
{
    int code = sqlite3_extended_errcode(log->db);

    return (code & 0xff) == SQLITE_NOMEM || code == SQLITE_IOERR_NOMEM;
}

aq_status aq_log_failed(aq_log *log, aq_error *err)
{
    int code = sqlite3_errcode(log->db) & 0xff;

    if (aq_log_lacks_memory(log))
        code = SQLITE_NOMEM;
    if (code == SQLITE_IOERR && sqlite3_system_errno(log->db) == ENOSPC)
        code = SQLITE_FULL;
    log->why = code;
    for (size_t i = 0; i < sizeof failures / sizeof *failures; i++)
        if (failures[i].code == code)
            return aq_log_fail(log, failures[i].status, failures[i].says, err);
    return aq_log_fail(log, was_written(log) ? AQ_WRITE_FAILED : AQ_READ_FAILED, sqlite3_errmsg(log->db),
                       err);
}

aq_status aq_log_run(aq_log *log, const char *sql, aq_error *err)
{
    return sqlite3_exec(log->db, sql, NULL, NULL, NULL) == SQLITE_OK ? AQ_OK : aq_log_failed(log, err);
}

aq_status aq_log_prepare(aq_log *log, sqlite3_stmt **out, const char *sql, aq_error *err)
{
    if (*out)
        return AQ_OK;
    return sqlite3_prepare_v3(log->db, sql, -1, SQLITE_PREPARE_PERSISTENT, out, NULL) == SQLITE_OK
               ? AQ_OK
               : aq_log_failed(log, err);
}

/* ---- opening ---- */

/* One number that a statement gives. */
static aq_status ask_number(aq_log *log, const char *sql, long *out, aq_error *err)
{
    sqlite3_stmt *statement = NULL;
    int got;

    if (sqlite3_prepare_v2(log->db, sql, -1, &statement, NULL) != SQLITE_OK)
        return aq_log_failed(log, err);
    got = sqlite3_step(statement);
    if (got == SQLITE_ROW)
        *out = (long)sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    return got == SQLITE_ROW ? AQ_OK : aq_log_failed(log, err);
}

/* The three numbers that tell, as they stand at one moment: another program may be making this very log. */
static aq_status look_once(aq_log *log, long *application, long *version, long *tables, aq_error *err)
{
    bool alone = sqlite3_get_autocommit(log->db) != 0; /* not inside a transaction already */
    aq_status status = alone ? aq_log_run(log, "BEGIN", err) : AQ_OK;

    if (status == AQ_OK)
        status = ask_number(log, "SELECT count(*) FROM sqlite_schema", tables, err);
    if (status == AQ_OK)
        status = ask_number(log, "PRAGMA application_id", application, err);
    if (status == AQ_OK)
        status = ask_number(log, "PRAGMA user_version", version, err);
    if (alone)
        sqlite3_exec(log->db, "ROLLBACK", NULL, NULL, NULL); /* nothing was written */
    return status;
}

/* Ours, of which version; or a file that holds nothing yet. */
static aq_status look_at(aq_log *log, aq_error *err)
{
    long application = 0, version = 0, tables = 0;
    aq_status status = look_once(log, &application, &version, &tables, err);

    if (status != AQ_OK)
        return status;
    if (application != AQ_SCHEMA_APPLICATION && (application || version || tables))
        return aq_log_fail(log, AQ_LOG_FOREIGN, "this is a database of another program, so it was left alone",
                           err);
    if (version > aq_schema_version)
        return aq_log_fail(log, AQ_LOG_NEWER,
                           "a newer aliquot wrote this log; it takes that one, or newer, to use it", err);
    log->version = (int)version;
    return AQ_OK;
}

/* The steps that a file lacks, all or none. Another program may have taken them in the meantime. */
static aq_status step_up(aq_log *log, aq_error *err)
{
    char sql[80];
    aq_status status = aq_log_run(log, "BEGIN IMMEDIATE", err);

    if (status == AQ_OK)
        status = look_at(log, err);
    while (status == AQ_OK && log->version < aq_schema_version)
        status = aq_log_run(log, aq_schema_steps[log->version++], err);
    snprintf(sql, sizeof sql, "PRAGMA application_id=%d; PRAGMA user_version=%d", AQ_SCHEMA_APPLICATION,
             aq_schema_version);
    if (status == AQ_OK)
        status = aq_log_run(log, sql, err);
    if (status == AQ_OK)
        status = aq_log_run(log, "COMMIT", err);
    if (status != AQ_OK)
        sqlite3_exec(log->db, "ROLLBACK", NULL, NULL, NULL);
    return status;
}

/* The change to a write-ahead log needs the file alone for a moment, and SQLite does not wait for that by itself. */
static aq_status write_ahead(aq_log *log, aq_error *err)
{
    enum { STEP_MS = 20 };

    for (int waited = 0;; waited += STEP_MS) {
        int code = sqlite3_exec(log->db, "PRAGMA journal_mode=WAL", NULL, NULL, NULL);

        if (code == SQLITE_OK)
            return AQ_OK;
        if ((code & 0xff) != SQLITE_BUSY || waited >= WAIT_MS)
            return aq_log_failed(log, err);
        sqlite3_sleep(STEP_MS);
    }
}

static aq_status make_ready(aq_log *log, aq_error *err)
{
    aq_status status;

    sqlite3_busy_timeout(log->db, WAIT_MS);
    status = look_at(log, err);
    if (status == AQ_OK && log->use == AQ_LOG_READ)
        return AQ_OK;
    if (status == AQ_OK && sqlite3_db_readonly(log->db, "main") == 1)
        return aq_log_fail(log, AQ_LOG_READ_ONLY, "may not be written; nothing was recorded", err);
    if (status == AQ_OK)
        status = write_ahead(log, err);
    if (status == AQ_OK)
        status = aq_log_run(log, "PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON", err);
    if (status == AQ_OK && log->version < aq_schema_version)
        status = step_up(log, err);
    return status;
}

/* A path as SQLite's file: URI has it, every byte that could mean something else written as %41. `mode` follows. */
static char *uri_of(const char *path, const char *mode)
{
    static const char hex[] = "0123456789ABCDEF";
    char *uri = malloc(3 * strlen(path) + strlen(mode) + sizeof "file:?"), *at = uri;

    if (!uri)
        return NULL;
    at = strcpy(at, "file:") + 5;
    for (; *path; path++) {
        if (strchr("?#%", *path)) {
            *at++ = '%';
            *at++ = hex[(unsigned char)*path >> 4];
            *at++ = hex[*path & 15];
        } else {
            *at++ = *path;
        }
    }
    sprintf(at, "?%s", mode);
    return uri;
}

static int open_as(aq_log *log, const char *mode, int flags)
{
    char *uri = uri_of(log->path, mode);
    int code = SQLITE_NOMEM;

    sqlite3_close(log->db);
    log->db = NULL;
    if (uri)
        code = sqlite3_open_v2(uri, &log->db, flags | SQLITE_OPEN_URI | SQLITE_OPEN_NOMUTEX, NULL);
    free(uri);
    return code;
}

static aq_status open_reading(aq_log *log, const char *mode, int flags, aq_error *err)
{
    aq_status status;

    if (open_as(log, mode, flags) != SQLITE_OK)
        return log->db ? aq_log_failed(log, err) : aq_log_no_memory(log, err);
    status = make_ready(log, err);
    return status == AQ_OK ? aq_log_run(log, "PRAGMA query_only=ON", err) : status;
}

/* Whether entries stand in the write-ahead log that the file itself does not have yet: what is read without it is old. */
static aq_status look_ahead(const aq_log *log, bool *found)
{
    size_t length = strlen(log->path) + sizeof "-wal";
    char *path = malloc(length);
    FILE *file;

    *found = false;
    if (!path)
        return AQ_NO_MEMORY;
    snprintf(path, length, "%s-wal", log->path);
    file = fopen(path, "rb");
    if (file) {
        *found = fgetc(file) != EOF;
        fclose(file);
    }
    free(path);
    return AQ_OK;
}

/* With the right to write, so that the last to leave tidies up the write-ahead log. In a folder that may not be written
 * there is no place for its lock; a log that nobody can be writing there is read without one. */
static aq_status open_to_read(aq_log *log, aq_error *err)
{
    aq_error first = { .status = AQ_OK };
    aq_status status = open_reading(log, "mode=rw", SQLITE_OPEN_READWRITE, &first);
    bool barred = status != AQ_OK && (log->why == SQLITE_CANTOPEN || log->why == SQLITE_READONLY),
         ahead = false;

    if (barred && look_ahead(log, &ahead) != AQ_OK)
        return AQ_NO_MEMORY;
    if (barred && !ahead)
        return open_reading(log, "mode=ro&immutable=1", SQLITE_OPEN_READONLY, err);
    if (status != AQ_OK)
        aq_fail(err, status, nowhere, "%s", first.text);
    return status;
}

static aq_status open_to_write(aq_log *log, aq_error *err)
{
    if (open_as(log, "mode=rwc", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE) == SQLITE_OK)
        return make_ready(log, err);
    if (!log->db)
        return AQ_NO_MEMORY;
    if ((sqlite3_errcode(log->db) & 0xff) == SQLITE_CANTOPEN)
        return aq_log_fail(log, AQ_LOG_READ_ONLY, "cannot be opened or made here; nothing was recorded", err);
    return aq_log_failed(log, err);
}

static bool is_there(const char *path)
{
    FILE *file = fopen(path, "rb");

    if (file)
        fclose(file);
    return file != NULL;
}

aq_status aq_log_open(aq_log **out, const char *path, aq_log_use use, aq_error *err)
{
    aq_log *log = calloc(1, sizeof *log);
    aq_status status = AQ_NO_MEMORY;

    *out = NULL;
    if (log) {
        log->use = use;
        log->path = malloc(strlen(path) + 1);
        log->row = aq_arena_new(0);
    }
    if (log && log->path && log->row) {
        strcpy(log->path, path);
        if (use == AQ_LOG_WRITE)
            status = open_to_write(log, err);
        else if (is_there(path))
            status = open_to_read(log, err);
        else
            status = aq_log_fail(log, AQ_MISSING, "there is no such log yet", err);
    }
    if (status == AQ_OK)
        *out = log;
    else
        aq_log_close(log);
    return status == AQ_NO_MEMORY ? aq_fail(err, status, nowhere, "out of memory") : status;
}

void aq_log_close(aq_log *log)
{
    if (!log)
        return;
    sqlite3_finalize(log->add_entry);
    sqlite3_finalize(log->add_amount);
    sqlite3_finalize(log->find_uid);
    sqlite3_finalize(log->find_undo);
    sqlite3_finalize(log->amounts_of);
    sqlite3_close(log->db);
    aq_arena_free(log->row);
    free(log->path);
    free(log);
}
