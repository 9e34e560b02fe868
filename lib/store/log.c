/* Opening, adding and taking back.
 *
 * SQLite keeps the promises (https://www.sqlite.org/wal.html): with a write-ahead log and PRAGMA synchronous=FULL a
 * transaction is on the disk when COMMIT returns, and a reader never waits for a writer. Each addition begins IMMEDIATE,
 * so that two writers queue up instead of both reading first and one failing. */
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

static aq_status fail(const aq_log *log, aq_status status, const char *says, aq_error *err)
{
    return aq_fail(err, status, nowhere, "%s: %s", log->path, says);
}

aq_status aq_log_failed(aq_log *log, aq_error *err)
{
    int code = sqlite3_errcode(log->db) & 0xff;

    if (code == SQLITE_IOERR && sqlite3_system_errno(log->db) == ENOSPC)
        code = SQLITE_FULL;
    for (size_t i = 0; i < sizeof failures / sizeof *failures; i++)
        if (failures[i].code == code)
            return fail(log, failures[i].status, failures[i].says, err);
    return fail(log, log->use == AQ_LOG_WRITE ? AQ_WRITE_FAILED : AQ_READ_FAILED, sqlite3_errmsg(log->db),
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
        return fail(log, AQ_LOG_FOREIGN, "this is a database of another program, so it was left alone", err);
    if (version > aq_schema_version)
        return fail(log, AQ_LOG_NEWER,
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
        return fail(log, AQ_LOG_READ_ONLY, "may not be written; nothing was recorded", err);
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
        return log->db ? aq_log_failed(log, err) : AQ_NO_MEMORY;
    status = make_ready(log, err);
    return status == AQ_OK ? aq_log_run(log, "PRAGMA query_only=ON", err) : status;
}

/* With the right to write, so that the last to leave tidies up the write-ahead log. In a folder that may not be written
 * there is no place for its lock; a log that nobody can be writing there is read without one. */
static aq_status open_to_read(aq_log *log, aq_error *err)
{
    aq_error first = { .status = AQ_OK };
    aq_status status = open_reading(log, "mode=rw", SQLITE_OPEN_READWRITE, &first);

    if (status == AQ_READ_FAILED || status == AQ_LOG_READ_ONLY)
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
        return fail(log, AQ_LOG_READ_ONLY, "cannot be opened or made here; nothing was recorded", err);
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
            status = fail(log, AQ_MISSING, "there is no such log yet", err);
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

/* ---- adding ---- */

static void bind_text(sqlite3_stmt *statement, int at, const char *text)
{
    sqlite3_bind_text(statement, at, text, -1, SQLITE_TRANSIENT);
}

/* What is not said stays NULL, which every parameter is after a reset. */
static void bind_column(sqlite3_stmt *statement, int at, const aq_column *column, const aq_entry *entry)
{
    const void *from = (const char *)entry + column->into;
    const aq_quantity *number = from;
    char moment[AQ_DATE_ROOM];

    switch (column->type) {
    case AQ_COLUMN_TEXT:
        bind_text(statement, at, *(const char *const *)from);
        break;
    case AQ_COLUMN_KIND:
        bind_text(statement, at, aq_entry_word(*(const int *)from));
        break;
    case AQ_COLUMN_YES_NO:
        if (*(const int *)from != AQ_UNSAID)
            bind_text(statement, at, *(const int *)from == AQ_YES ? "yes" : "no");
        break;
    case AQ_COLUMN_MOMENT:
        aq_moment_write(*(const aq_moment *)from, moment);
        bind_text(statement, at, moment);
        break;
    case AQ_COLUMN_NUMBER:
        if (number->given)
            sqlite3_bind_double(statement, at, number->value);
        break;
    }
}

static aq_status prepare_add(aq_log *log, aq_error *err)
{
    aq_buffer names = { 0 }, marks = { 0 }, sql = { 0 };
    aq_status status;

    if (log->add_entry)
        return AQ_OK;
    for (size_t i = 0; i < aq_column_count; i++) {
        aq_buffer_format(&names, "%s%s", i ? "," : "", aq_columns[i].name);
        aq_buffer_text(&marks, i ? ",?" : "coalesce(?, lower(hex(randomblob(8))))");
    }
    aq_buffer_format(&sql, "INSERT INTO entry (%s) VALUES (%s)", aq_buffer_chars(&names),
                     aq_buffer_chars(&marks));
    status = names.failed || marks.failed || sql.failed
                 ? AQ_NO_MEMORY
                 : aq_log_prepare(log, &log->add_entry, aq_buffer_chars(&sql), err);
    aq_buffer_free(&names);
    aq_buffer_free(&marks);
    aq_buffer_free(&sql);
    if (status == AQ_OK)
        status = aq_log_prepare(log, &log->add_amount,
                                "INSERT INTO amount (entry, role, place, part, amount, unit) "
                                "VALUES (?, ?, ?, ?, ?, ?)",
                                err);
    return status;
}

/* Runs a statement that gives no rows, and makes it ready for the next. */
static aq_status finish(aq_log *log, sqlite3_stmt *statement, aq_error *err)
{
    aq_status status = sqlite3_step(statement) == SQLITE_DONE ? AQ_OK : aq_log_failed(log, err);

    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement);
    return status;
}

static aq_status add_amounts(aq_log *log, const aq_entry *entry, const aq_role *role, aq_error *err)
{
    const aq_amounts *amounts = (const void *)((const char *)entry + role->into);
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < amounts->count; i++) {
        const aq_named_amount *amount = &amounts->at[i];

        sqlite3_bind_int64(log->add_amount, 1, entry->id);
        bind_text(log->add_amount, 2, role->role);
        sqlite3_bind_int64(log->add_amount, 3, (sqlite3_int64)i);
        bind_text(log->add_amount, 4, amount->name);
        sqlite3_bind_double(log->add_amount, 5, amount->amount.value);
        bind_text(log->add_amount, 6, aq_kind_equal(amount->amount.kind, AQ_KIND_MASS) ? "g" : "L");
        status = finish(log, log->add_amount, err);
    }
    return status;
}

/* The id and kind of the entry that a statement finds by a uid; 0: there is none. */
static aq_status find(aq_log *log, sqlite3_stmt **statement, const char *sql, const char *uid, long *id,
                      int *kind, aq_error *err)
{
    aq_status status = aq_log_prepare(log, statement, sql, err);
    int got;

    *id = 0;
    if (status != AQ_OK)
        return status;
    bind_text(*statement, 1, uid);
    got = sqlite3_step(*statement);
    if (got == SQLITE_ROW) {
        *id = (long)sqlite3_column_int64(*statement, 0);
        *kind = aq_entry_kind_of((const char *)sqlite3_column_text(*statement, 1));
    } else if (got != SQLITE_DONE) {
        status = aq_log_failed(log, err);
    }
    sqlite3_reset(*statement);
    return status;
}

static aq_status find_uid(aq_log *log, const char *uid, long *id, int *kind, aq_error *err)
{
    return find(log, &log->find_uid, "SELECT id, kind FROM entry WHERE uid = ?", uid, id, kind, err);
}

static aq_status find_undo(aq_log *log, const char *uid, long *id, aq_error *err)
{
    int kind;

    return find(log, &log->find_undo, "SELECT id, kind FROM entry WHERE undoes = ?", uid, id, &kind, err);
}

static aq_status check_undo(aq_log *log, const aq_entry *entry, aq_error *err)
{
    long id, other = 0;
    int kind = AQ_ENTRY_UNSAID;
    aq_status status = find_uid(log, entry->undoes, &id, &kind, err);

    if (status == AQ_OK)
        status = find_undo(log, entry->undoes, &other, err);
    if (status != AQ_OK)
        return status;
    if (other)
        return aq_fail(err, AQ_CONFLICT, nowhere, "%s: entry %ld has been taken back already, by entry %ld",
                       log->path, id, other);
    if (!id)
        return fail(log, AQ_UNKNOWN_NAME, "the entry that is to be taken back is not there", err);
    if (kind == AQ_ENTRY_UNDO)
        return fail(log, AQ_CONFLICT, "an undo cannot be taken back; enter what was undone anew", err);
    return AQ_OK;
}

static aq_status add_rows(aq_log *log, aq_entry *entry, aq_error *err)
{
    aq_status status = prepare_add(log, err);

    for (size_t i = 0; status == AQ_OK && i < aq_column_count; i++)
        bind_column(log->add_entry, (int)i + 1, &aq_columns[i], entry);
    if (status == AQ_OK)
        status = finish(log, log->add_entry, err);
    if (status != AQ_OK)
        return status;
    entry->id = (long)sqlite3_last_insert_rowid(log->db);
    for (size_t i = 0; status == AQ_OK && i < AQ_ROLES; i++)
        status = add_amounts(log, entry, &aq_roles[i], err);
    return status;
}

/* Inside a transaction. */
static aq_status add(aq_log *log, aq_entry *entry, aq_error *err)
{
    long there = 0;
    int kind;
    aq_status status = entry->uid ? find_uid(log, entry->uid, &there, &kind, err) : AQ_OK;

    if (status == AQ_OK && there) {
        entry->id = there;
        return AQ_OK;
    }
    if (status == AQ_OK && entry->kind == AQ_ENTRY_UNDO)
        status = check_undo(log, entry, err);
    if (status != AQ_OK)
        return status;
    return add_rows(log, entry, err);
}

aq_status aq_log_begin(aq_log *log, aq_error *err)
{
    aq_status status = aq_log_run(log, "BEGIN IMMEDIATE", err);

    log->many = status == AQ_OK;
    return status;
}

aq_status aq_log_keep(aq_log *log, aq_error *err)
{
    aq_status status = aq_log_run(log, "COMMIT", err);

    if (status != AQ_OK)
        aq_log_drop(log);
    log->many = false;
    return status;
}

void aq_log_drop(aq_log *log)
{
    sqlite3_exec(log->db, "ROLLBACK", NULL, NULL, NULL); /* a full disk may have rolled back already */
    log->many = false;
}

aq_status aq_log_add(aq_log *log, aq_entry *entry, aq_error *err)
{
    bool alone = !log->many;
    aq_status status = alone ? aq_log_begin(log, err) : AQ_OK;

    if (status != AQ_OK)
        return status;
    status = add(log, entry, err);
    if (alone && status == AQ_OK)
        status = aq_log_keep(log, err);
    else if (alone)
        aq_log_drop(log);
    return status;
}

static aq_status uid_of(aq_log *log, long id, char uid[17], aq_error *err)
{
    sqlite3_stmt *statement = NULL;
    aq_status status = aq_log_prepare(log, &statement, "SELECT uid FROM entry WHERE id = ?", err);

    uid[0] = '\0';
    if (status != AQ_OK)
        return status;
    sqlite3_bind_int64(statement, 1, id);
    if (sqlite3_step(statement) == SQLITE_ROW)
        snprintf(uid, 17, "%s", (const char *)sqlite3_column_text(statement, 0));
    sqlite3_finalize(statement);
    return *uid ? AQ_OK : aq_fail(err, AQ_UNKNOWN_NAME, nowhere, "%s: there is no entry %ld", log->path, id);
}

aq_status aq_log_undo(aq_log *log, long id, aq_moment at, const char *who, const char *note, aq_error *err)
{
    char uid[17];
    aq_status status = uid_of(log, id, uid, err);
    aq_entry undo = { .kind = AQ_ENTRY_UNDO, .undoes = uid, .at = at, .who = who, .note = note };

    return status == AQ_OK ? aq_log_add(log, &undo, err) : status;
}
