/* Adding entries, and taking them back: each whole or not at all.
 *
 * Each addition begins IMMEDIATE, so that two writers queue up instead of both reading first and one failing. */
#include "store/log_inner.h"

#include <stdio.h>
#include <string.h>

static const aq_place nowhere = { 0 };

/* False, as of all that binds: memory is out, and without a look at that the row would be kept with nothing there. */
static bool bind_text(sqlite3_stmt *statement, int at, const char *text)
{
    return sqlite3_bind_text(statement, at, text, -1, SQLITE_TRANSIENT) == SQLITE_OK;
}

/* What is not said stays NULL, which every parameter is after a reset. */
static bool bind_column(sqlite3_stmt *statement, int at, const aq_column *column, const aq_entry *entry)
{
    const void *from = (const char *)entry + column->into;
    const aq_quantity *number = from;
    char moment[AQ_DATE_ROOM];

    switch (column->type) {
    case AQ_COLUMN_TEXT:
        return bind_text(statement, at, *(const char *const *)from);
    case AQ_COLUMN_KIND:
        return bind_text(statement, at, aq_entry_word(*(const int *)from));
    case AQ_COLUMN_YES_NO:
        return *(const int *)from == AQ_UNSAID ||
               bind_text(statement, at, *(const int *)from == AQ_YES ? "yes" : "no");
    case AQ_COLUMN_MOMENT:
        aq_moment_write(*(const aq_moment *)from, moment);
        return bind_text(statement, at, moment);
    default: /* a number */
        return !number->given || sqlite3_bind_double(statement, at, number->value) == SQLITE_OK;
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
                 ? aq_log_no_memory(log, err)
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

/* Runs a statement that gives no rows, if all of it is `bound`, and makes it ready for the next. */
static aq_status finish(aq_log *log, sqlite3_stmt *statement, bool bound, aq_error *err)
{
    aq_status status = bound && sqlite3_step(statement) == SQLITE_DONE ? AQ_OK : aq_log_failed(log, err);

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
        const char *unit = aq_kind_equal(amount->amount.kind, AQ_KIND_MASS) ? "g" : "L";
        sqlite3_stmt *row = log->add_amount;
        bool bound;

        sqlite3_bind_int64(row, 1, entry->id); /* a number takes no memory */
        sqlite3_bind_int64(row, 3, (sqlite3_int64)i);
        sqlite3_bind_double(row, 5, amount->amount.value);
        bound = bind_text(row, 2, role->role) && bind_text(row, 4, amount->name) && bind_text(row, 6, unit);
        status = finish(log, row, bound, err);
    }
    return status;
}

/* The id and kind of the entry that a statement finds by a uid; 0: there is none. */
static aq_status find(aq_log *log, sqlite3_stmt **statement, const char *sql, const char *uid, long *id,
                      int *kind, aq_error *err)
{
    aq_status status = aq_log_prepare(log, statement, sql, err);
    const char *word;
    int got;

    *id = 0;
    if (status != AQ_OK)
        return status;
    got = bind_text(*statement, 1, uid) ? sqlite3_step(*statement) : SQLITE_NOMEM;
    word = got == SQLITE_ROW ? (const char *)sqlite3_column_text(*statement, 1) : NULL;
    if (word) {
        *id = (long)sqlite3_column_int64(*statement, 0);
        *kind = aq_entry_kind_of(word);
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
        return aq_log_fail(log, AQ_UNKNOWN_NAME, "the entry that is to be taken back is not there", err);
    if (kind == AQ_ENTRY_UNDO)
        return aq_log_fail(log, AQ_CONFLICT, "an undo cannot be taken back; enter what was undone anew", err);
    return AQ_OK;
}

static aq_status add_rows(aq_log *log, aq_entry *entry, aq_error *err)
{
    aq_status status = prepare_add(log, err);
    bool bound = status == AQ_OK;

    for (size_t i = 0; bound && i < aq_column_count; i++)
        bound = bind_column(log->add_entry, (int)i + 1, &aq_columns[i], entry);
    if (status == AQ_OK)
        status = finish(log, log->add_entry, bound, err);
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
    const char *found;
    int got;

    uid[0] = '\0';
    if (status != AQ_OK)
        return status;
    sqlite3_bind_int64(statement, 1, id);
    got = sqlite3_step(statement);
    found = got == SQLITE_ROW ? (const char *)sqlite3_column_text(statement, 0) : NULL;
    if (found)
        snprintf(uid, 17, "%s", found);
    else if (got == SQLITE_DONE)
        status = aq_fail(err, AQ_UNKNOWN_NAME, nowhere, "%s: there is no entry %ld", log->path, id);
    else
        status = aq_log_failed(log, err);
    sqlite3_finalize(statement);
    return status;
}

aq_status aq_log_undo(aq_log *log, long id, aq_moment at, const char *who, const char *note, aq_error *err)
{
    char uid[17];
    aq_status status = uid_of(log, id, uid, err);
    aq_entry undo = { .kind = AQ_ENTRY_UNDO, .undoes = uid, .at = at, .who = who, .note = note };

    return status == AQ_OK ? aq_log_add(log, &undo, err) : status;
}
