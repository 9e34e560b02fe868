/* Reading entries back, and looking whether the file is whole. */
#include "store/log_inner.h"

#include <string.h>

/* ---- the question ---- */

/* What a reading asks of an entry, and in which order: a file of an older version lacks some of it. */
static bool is_asked(const aq_log *log, const aq_column *column, bool brief)
{
    return column->since <= log->version && (column->recalled || !brief);
}

static void add_columns(aq_buffer *sql, const aq_log *log, bool brief)
{
    for (size_t i = 0; i < aq_column_count; i++)
        if (is_asked(log, &aq_columns[i], brief))
            aq_buffer_format(sql, ", %s", aq_columns[i].name);
}

static void add_kinds(aq_buffer *sql, unsigned kinds)
{
    const char *between = " AND kind IN (";

    for (int kind = AQ_ENTRY_UNSAID + 1; kind < AQ_ENTRY_COUNT; kind++) {
        if (!(kinds & 1u << kind))
            continue;
        aq_buffer_format(sql, "%s'%s'", between, aq_entry_word(kind));
        between = ", ";
    }
    if (kinds)
        aq_buffer_text(sql, ")");
}

#define UNDONE "EXISTS (SELECT 1 FROM entry AS other WHERE other.undoes = entry.uid)"

static void add_wheres(aq_buffer *sql, const aq_log_filter *filter)
{
    aq_buffer_text(sql, " WHERE 1");
    if (!filter->whole)
        aq_buffer_text(sql, " AND kind <> 'undo' AND NOT " UNDONE);
    if (filter->back > 0)
        aq_buffer_format(
            sql, " AND at >= coalesce((SELECT at FROM entry ORDER BY at DESC LIMIT 1 OFFSET %ld), '')",
            filter->back - 1);
    if (filter->reservoir)
        aq_buffer_text(sql, " AND reservoir = :reservoir");
    if (filter->part)
        aq_buffer_text(sql, " AND EXISTS (SELECT 1 FROM amount WHERE entry = id AND role <> 'planned'"
                            " AND part = :part)");
    if (filter->from.date.year)
        aq_buffer_text(sql, " AND at >= :from");
    if (filter->to.date.year)
        aq_buffer_text(sql, " AND at <= :to");
    add_kinds(sql, filter->kinds);
}

/* The newest are found from the end and turned round. */
static bool write_question(aq_buffer *sql, const aq_log *log, const aq_log_filter *filter)
{
    if (filter->last > 0)
        aq_buffer_text(sql, "SELECT * FROM (");
    aq_buffer_format(sql, "SELECT id, %s AS undone", filter->whole ? UNDONE : "0");
    add_columns(sql, log, filter->brief);
    aq_buffer_text(sql, " FROM entry");
    add_wheres(sql, filter);
    if (filter->last > 0)
        aq_buffer_format(sql, " ORDER BY at DESC, id DESC LIMIT %ld)", filter->last);
    aq_buffer_text(sql, filter->as_added ? " ORDER BY id" : " ORDER BY at, id");
    return !sql->failed;
}

static bool bind_named(sqlite3_stmt *statement, const char *name, const char *text)
{
    int at = sqlite3_bind_parameter_index(statement, name);

    return !at || sqlite3_bind_text(statement, at, text, -1, SQLITE_TRANSIENT) == SQLITE_OK;
}

/* A day alone means all of it: "2026-03-02T99" sorts after every minute of that day. */
static bool bind_moment(sqlite3_stmt *statement, const char *name, aq_moment moment, bool end)
{
    char text[AQ_DATE_ROOM];

    if (!moment.date.year)
        return true;
    aq_moment_write(moment, text);
    if (end && moment.minute < 0)
        strcat(text, "T99");
    return bind_named(statement, name, text);
}

static aq_status ask(aq_log *log, sqlite3_stmt **out, const aq_log_filter *filter, aq_error *err)
{
    aq_buffer sql = { 0 };
    aq_status status = AQ_NO_MEMORY;

    if (write_question(&sql, log, filter))
        status = aq_log_prepare(log, out, aq_buffer_chars(&sql), err);
    aq_buffer_free(&sql);
    if (status != AQ_OK)
        return status;
    if (bind_named(*out, ":reservoir", filter->reservoir) && bind_named(*out, ":part", filter->part) &&
        bind_moment(*out, ":from", filter->from, false) && bind_moment(*out, ":to", filter->to, true))
        return AQ_OK;
    return aq_log_failed(log, err); /* unbound it would find nothing */
}

/* ---- the answer ---- */

/* Taken as bytes: for a text SQLite would make a copy that ends with a NUL, and this is one already. NULL: out of memory. */
static const char *text_of(aq_log *log, sqlite3_stmt *row, int at)
{
    const char *bytes = sqlite3_column_blob(row, at);

    if (!bytes && aq_log_lacks_memory(log))
        return NULL;
    return aq_arena_text(log->row, bytes ? bytes : "", (size_t)sqlite3_column_bytes(row, at));
}

static bool is_word(sqlite3_stmt *row, int at, const char *word)
{
    const char *bytes = sqlite3_column_blob(row, at);
    size_t length = strlen(word);

    return bytes && (size_t)sqlite3_column_bytes(row, at) == length && memcmp(bytes, word, length) == 0;
}

static aq_status if_sense(bool makes_sense)
{
    return makes_sense ? AQ_OK : AQ_LOG_DAMAGED;
}

static aq_status read_column(aq_log *log, sqlite3_stmt *row, int at, const aq_column *column, aq_entry *entry)
{
    void *into = (char *)entry + column->into;
    const char *text;

    if (sqlite3_column_type(row, at) == SQLITE_NULL)
        return AQ_OK;
    if (column->type == AQ_COLUMN_NUMBER) {
        *(aq_quantity *)into = aq_quantity_of(sqlite3_column_double(row, at), *column->kind);
        return AQ_OK;
    }
    text = text_of(log, row, at);
    if (!text)
        return AQ_NO_MEMORY;
    switch (column->type) {
    case AQ_COLUMN_KIND:
        *(int *)into = aq_entry_kind_of(text);
        return if_sense(*(int *)into != AQ_ENTRY_UNSAID);
    case AQ_COLUMN_YES_NO:
        *(int *)into = strcmp(text, "yes") == 0 ? AQ_YES : AQ_NO;
        return AQ_OK;
    case AQ_COLUMN_MOMENT:
        return if_sense(aq_moment_read(text, into));
    default:
        *(const char **)into = text;
        return AQ_OK;
    }
}

static aq_amounts *amounts_of(aq_entry *entry, sqlite3_stmt *row)
{
    for (size_t i = 0; i < AQ_ROLES; i++)
        if (is_word(row, 0, aq_roles[i].role))
            return (void *)((char *)entry + aq_roles[i].into);
    return NULL;
}

static bool read_amount(aq_log *log, sqlite3_stmt *row, aq_entry *entry)
{
    aq_amounts *amounts = amounts_of(entry, row);
    aq_named_amount *amount = amounts ? aq_list_add(log->row, amounts, sizeof *amount) : NULL;
    bool grams = is_word(row, 3, "g");

    if (!amount)
        return false;
    amount->name = text_of(log, row, 1);
    amount->amount = aq_quantity_of(sqlite3_column_double(row, 2), grams ? AQ_KIND_MASS : AQ_KIND_VOLUME);
    return amount->name != NULL;
}

static bool carries_amounts(const aq_entry *entry)
{
    return entry->kind != AQ_ENTRY_READING && entry->kind != AQ_ENTRY_ROOTS && entry->kind != AQ_ENTRY_NOTE &&
           entry->kind != AQ_ENTRY_UNDO;
}

static aq_status read_amounts(aq_log *log, aq_entry *entry, bool brief, aq_error *err)
{
    aq_status status =
        aq_log_prepare(log, &log->amounts_of,
                       "SELECT role, part, amount, unit FROM amount WHERE entry = ? AND role <> ? "
                       "ORDER BY role, place",
                       err);
    int got = SQLITE_DONE;
    bool fine = true;

    if (status != AQ_OK || !carries_amounts(entry))
        return status;
    sqlite3_bind_int64(log->amounts_of, 1, entry->id); /* neither takes memory */
    sqlite3_bind_text(log->amounts_of, 2, brief ? "planned" : "", -1, SQLITE_STATIC);
    while (fine && (got = sqlite3_step(log->amounts_of)) == SQLITE_ROW)
        fine = read_amount(log, log->amounts_of, entry);
    if (fine && got != SQLITE_DONE)
        status = aq_log_failed(log, err);
    sqlite3_reset(log->amounts_of);
    return fine ? status : AQ_NO_MEMORY;
}

static aq_status read_entry(aq_log *log, sqlite3_stmt *row, bool brief, aq_entry *entry, aq_error *err)
{
    int at = 2;
    aq_status status = AQ_OK;

    *entry =
        (aq_entry){ .id = (long)sqlite3_column_int64(row, 0), .undone = sqlite3_column_int(row, 1) != 0 };
    for (size_t i = 0; status == AQ_OK && i < aq_column_count; i++) {
        if (is_asked(log, &aq_columns[i], brief))
            status = read_column(log, row, at++, &aq_columns[i], entry);
        if (status == AQ_LOG_DAMAGED)
            return aq_fail(err, AQ_LOG_DAMAGED, (aq_place){ 0 },
                           "%s: entry %ld holds a %s that makes no sense", log->path, entry->id,
                           aq_columns[i].name);
    }
    return status == AQ_OK ? read_amounts(log, entry, brief, err) : status;
}

aq_status aq_log_each(aq_log *log, const aq_log_filter *filter, bool (*take)(void *to, const aq_entry *entry),
                      void *to, aq_error *err)
{
    sqlite3_stmt *rows = NULL;
    aq_entry entry;
    aq_status status = log->version > 0 ? ask(log, &rows, filter, err) : AQ_OK;
    int got = SQLITE_DONE;

    while (rows && status == AQ_OK && (got = sqlite3_step(rows)) == SQLITE_ROW) {
        aq_arena_reset(log->row);
        status = read_entry(log, rows, filter->brief, &entry, err);
        if (status == AQ_OK && !take(to, &entry)) {
            got = SQLITE_DONE;
            break;
        }
    }
    if (status == AQ_OK && got != SQLITE_DONE)
        status = aq_log_failed(log, err);
    sqlite3_finalize(rows);
    return status == AQ_NO_MEMORY ? aq_log_no_memory(log, err) : status;
}

aq_status aq_log_count(aq_log *log, long *out, aq_error *err)
{
    sqlite3_stmt *statement = NULL;
    aq_status status;

    *out = 0;
    if (log->version == 0)
        return AQ_OK;
    status = aq_log_prepare(log, &statement, "SELECT count(*) FROM entry", err);
    if (status == AQ_OK && sqlite3_step(statement) == SQLITE_ROW)
        *out = (long)sqlite3_column_int64(statement, 0);
    else if (status == AQ_OK)
        status = aq_log_failed(log, err);
    sqlite3_finalize(statement);
    return status;
}

/* ---- is it whole ---- */

/* The first row of a check, where it is not the word that means fine. A page that the disk does not give is told among
 * those that are damaged. */
static aq_status run_check(aq_log *log, const char *sql, const char *fine, aq_error *err)
{
    sqlite3_stmt *rows = NULL;
    aq_status status = aq_log_prepare(log, &rows, sql, err);
    int got = status == AQ_OK ? sqlite3_step(rows) : SQLITE_ERROR;
    const char *says = got == SQLITE_ROW ? (const char *)sqlite3_column_text(rows, 0) : NULL;

    if (got == SQLITE_ROW && !says && aq_log_lacks_memory(log))
        status = aq_log_no_memory(log, err);
    else if (says && strstr(says, "error code="))
        status = aq_log_fail(log, AQ_READ_FAILED, "a part of it could not be read", err);
    else if (got == SQLITE_ROW && !(says && fine && strcmp(says, fine) == 0))
        status = aq_fail(err, AQ_LOG_DAMAGED, (aq_place){ 0 }, "%s: the file is damaged: %s", log->path,
                         says ? says : "a row is empty");
    else if (status == AQ_OK && got != SQLITE_ROW && got != SQLITE_DONE)
        status = aq_log_failed(log, err);
    sqlite3_finalize(rows);
    return status;
}

aq_status aq_log_check(aq_log *log, aq_error *err)
{
    aq_status status = run_check(log, "PRAGMA integrity_check(1)", "ok", err);

    if (status == AQ_OK)
        status = run_check(log, "PRAGMA foreign_key_check", NULL, err);
    return status;
}
