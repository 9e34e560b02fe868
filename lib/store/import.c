/* Text, CSV and JSON Lines to entries, all by the rows of an entry.
 *
 * What comes in is cut into pieces first: a line of JSON, a record of CSV (whose quotes may hold line ends), a block of
 * text up to a blank line. A piece has a ceiling, so no input is held whole. */
#include "store/exchange.h"

#include <string.h>

#include "store/log_inner.h"

enum { CHUNK = 1 << 16, PIECE_MOST = 1 << 18, COLUMNS_MOST = 64 };

typedef struct {
    aq_log *log;
    aq_bytes bytes;
    const aq_said *said;
    aq_import_count *count;
    aq_error *err;
    aq_arena *arena; /* of one piece */
    char chunk[CHUNK];
    size_t at, end; /* of what is left in chunk */
    int line;       /* of the line that is read next, from 1 */
    int piece_line; /* where the piece began */
    bool over;
    aq_buffer piece;
    aq_log_form form;
    bool headed;                           /* the form is known and its heading was read */
    const aq_field *columns[COLUMNS_MOST]; /* of CSV */
    size_t column_count;
    aq_complaints complaints;
} importing;

static aq_place here(const importing *in)
{
    return (aq_place){ in->bytes.name, in->piece_line, 1, 1 };
}

/* ---- lines and pieces ---- */

static aq_status refill(importing *in)
{
    static const char mark[] = "\xef\xbb\xbf"; /* that spreadsheets put before UTF-8 */
    long got = in->bytes.read(in->bytes.from, in->chunk, sizeof in->chunk);

    if (got < 0)
        return aq_fail(in->err, AQ_READ_FAILED, (aq_place){ 0 }, "%s: could not be read", in->bytes.name);
    in->at = in->line == 1 && got >= 3 && memcmp(in->chunk, mark, 3) == 0 ? 3 : 0;
    in->end = (size_t)got;
    in->over = got == 0;
    return AQ_OK;
}

/* Adds the next line, with its end, to the piece. Nothing is added once all is over. */
static aq_status take_line(importing *in)
{
    const char *stop = NULL;
    aq_status status = AQ_OK;

    while (!stop && status == AQ_OK && !in->over) {
        size_t length = in->end - in->at;

        stop = memchr(in->chunk + in->at, '\n', length);
        if (stop)
            length = (size_t)(stop + 1 - (in->chunk + in->at));
        aq_buffer_add(&in->piece, in->chunk + in->at, length);
        in->at += length;
        if (in->piece.length > PIECE_MOST)
            return aq_fail(in->err, AQ_TOO_LARGE, here(in), "an entry is longer than %d bytes", PIECE_MOST);
        if (!stop)
            status = refill(in);
    }
    in->line++;
    return in->piece.failed ? AQ_NO_MEMORY : status;
}

static bool blank(const char *text)
{
    return text[strspn(text, " \t\r\n")] == '\0';
}

static size_t count_quotes(const char *text)
{
    size_t count = 0;

    for (; (text = strchr(text, '"')); text++)
        count++;
    return count;
}

/* Whether the piece ends with the line that began at `from`. */
static bool piece_ends(const importing *in, size_t from)
{
    const char *text = aq_buffer_chars(&in->piece);

    if (in->headed && in->form == AQ_FORM_CSV)
        return count_quotes(text) % 2 == 0;
    if (in->headed && in->form == AQ_FORM_TEXT)
        return blank(text + from);
    return true;
}

/* The next piece that is not blank; an empty one: that was all. */
static aq_status take_piece(importing *in)
{
    aq_status status = AQ_OK;

    do {
        size_t from;

        aq_buffer_clear(&in->piece);
        in->piece_line = in->line;
        do {
            from = in->piece.length;
            status = take_line(in);
        } while (status == AQ_OK && !in->over && !piece_ends(in, from));
    } while (status == AQ_OK && !in->over && blank(aq_buffer_chars(&in->piece)));
    if (status == AQ_OK && strlen(aq_buffer_chars(&in->piece)) != in->piece.length)
        return aq_fail(in->err, AQ_SYNTAX, here(in), "not a text: it holds a zero byte");
    return status;
}

/* ---- from a node to the log ---- */

/* A complaint counts lines within its piece. */
static aq_status complained(importing *in, aq_status status)
{
    aq_error first = in->complaints.count ? in->complaints.at[0] : (aq_error){ .status = status };

    if (in->err && in->err->status == AQ_OK && in->complaints.count) {
        *in->err = first;
        in->err->place.source = in->bytes.name;
        in->err->place.line = in->piece_line + (first.place.line > 0 ? first.place.line - 1 : 0);
    }
    return status;
}

static aq_status add_node(importing *in, const aq_node *node)
{
    aq_walk walk = { .arena = in->arena, .complaints = &in->complaints };
    aq_entry entry;
    int before;
    aq_status status;

    in->complaints.count = 0;
    if (in->said)
        walk.said = *in->said;
    status = aq_shape_read(&walk, &aq_entry_shape, node, &entry);
    if (status != AQ_OK)
        return complained(in, status);
    if (entry.at.date.year == 0)
        return aq_fail(in->err, AQ_MISSING, here(in),
                       "at: the day of the entry is missing, like 2026-03-02T07:30");
    before = sqlite3_total_changes(in->log->db);
    status = aq_log_add(in->log, &entry, in->err);
    if (status == AQ_OK) {
        in->count->read++;
        in->count->added += sqlite3_total_changes(in->log->db) != before;
    }
    return status;
}

/* ---- text and JSON ---- */

static aq_status read_tree(importing *in, aq_node **node)
{
    aq_error err = { .status = AQ_OK };
    const char *text = in->piece.bytes;
    size_t length = in->piece.length;
    aq_status status;

    while (length && (text[length - 1] == '\n' || text[length - 1] == '\r'))
        length--; /* an end that is missing is missed on this line */
    status = in->form == AQ_FORM_JSON ? aq_node_json(node, in->arena, text, length, in->bytes.name, &err)
                                      : aq_node_yaml(node, in->arena, text, length, in->bytes.name, &err);
    if (status == AQ_OK && (*node)->shape != AQ_NODE_MAP)
        return aq_fail(in->err, AQ_SYNTAX, here(in), "an entry is a map of keys and values");
    if (status == AQ_OK)
        return status;
    in->complaints.count = 0;
    aq_complain(&in->complaints, &err);
    return complained(in, status);
}

static aq_status read_heading_tree(importing *in)
{
    aq_node *node = NULL;
    aq_status status = read_tree(in, &node);
    const aq_node *head = status == AQ_OK ? aq_node_get(node, "aliquot") : NULL;

    if (status == AQ_OK && !(head && head->shape == AQ_NODE_SCALAR && strcmp(head->text, "log 1") == 0))
        status = aq_fail(
            in->err, AQ_SYNTAX, here(in),
            "the first line is not that of a log, which is aliquot: log 1, {\"aliquot\":\"log 1\"}, or "
            "the columns of a CSV");
    return status;
}

static aq_status read_piece_tree(importing *in)
{
    aq_node *node = NULL;
    aq_status status = read_tree(in, &node);

    return status == AQ_OK ? add_node(in, node) : status;
}

/* ---- CSV ---- */

/* The next cell, unquoted, in the arena; *at moves behind its comma, to NULL behind the last. AQ_SYNTAX: badly quoted. */
static aq_status take_cell(importing *in, const char **at, const char **out)
{
    const char *from = *at;
    char *cell = aq_arena_take(in->arena, strlen(from) + 1), *to = cell;
    bool quoted = *from == '"', open = quoted;

    *out = NULL;
    if (!cell)
        return AQ_NO_MEMORY;
    for (from += quoted; quoted ? *from != '\0' : !strchr(",\r\n", *from); from++) {
        if (quoted && *from == '"' && *++from != '"') {
            open = false;
            break;
        }
        *to++ = *from;
    }
    if (open)
        return AQ_SYNTAX;
    if (*from == '\r' && from[1] == '\n')
        from++;
    if (*from == '\n' || *from == '\0')
        *at = NULL;
    else if (*from == ',')
        *at = from + 1;
    else
        return AQ_SYNTAX;
    *out = *cell == '\'' ? cell + 1 : cell;
    return AQ_OK;
}

static const aq_field *row_of(const char *key)
{
    for (size_t i = 0; i < aq_entry_shape.count; i++)
        if (strcmp(aq_entry_shape.fields[i].key, key) == 0)
            return &aq_entry_shape.fields[i];
    return NULL;
}

static aq_status read_heading_csv(importing *in)
{
    const char *at = in->piece.bytes;

    while (at) {
        const char *key;
        aq_status status = take_cell(in, &at, &key);
        const aq_field *row = key ? row_of(key) : NULL;

        if (status == AQ_NO_MEMORY)
            return status;
        if (!row)
            return aq_fail(in->err, AQ_UNKNOWN_KEY, here(in), "%s is no column of a log", key ? key : "this");
        if (in->column_count == COLUMNS_MOST)
            return aq_fail(in->err, AQ_TOO_LARGE, here(in), "more than %d columns", COLUMNS_MOST);
        in->columns[in->column_count++] = row;
    }
    return AQ_OK;
}

static aq_status read_piece_csv(importing *in)
{
    const char *at = in->piece.bytes;
    aq_node *map = aq_node_new(in->arena, AQ_NODE_MAP, (aq_place){ in->bytes.name, 1, 1, 1 }, NULL);

    for (size_t i = 0; map && at; i++) {
        const char *cell;
        aq_node *node;

        if (take_cell(in, &at, &cell) == AQ_NO_MEMORY)
            return AQ_NO_MEMORY;
        if (!cell || i == in->column_count)
            return aq_fail(in->err, AQ_SYNTAX, here(in),
                           cell ? "there are more cells than columns"
                                : "a quote is not closed, or text follows it");
        if (!*cell)
            continue;
        node = aq_node_new(in->arena, AQ_NODE_SCALAR, (aq_place){ in->bytes.name, 1, 1, 1 }, cell);
        if (!node || !aq_node_add(in->arena, map, in->columns[i]->key, node))
            return AQ_NO_MEMORY;
    }
    return map ? add_node(in, map) : AQ_NO_MEMORY;
}

/* ---- the whole ---- */

/* The first line says which form it is. */
static aq_status read_heading(importing *in)
{
    aq_status status = take_piece(in);
    const char *text = aq_buffer_chars(&in->piece);

    if (status != AQ_OK)
        return status;
    if (in->piece.length == 0)
        return aq_fail(in->err, AQ_MISSING, here(in), "there is nothing in it");
    in->form = text[0] == '{' ? AQ_FORM_JSON : strncmp(text, "aliquot", 7) == 0 ? AQ_FORM_TEXT : AQ_FORM_CSV;
    status = in->form == AQ_FORM_CSV ? read_heading_csv(in) : read_heading_tree(in);
    in->headed = status == AQ_OK;
    return status;
}

static aq_status read_all(importing *in)
{
    aq_status status = read_heading(in);

    while (status == AQ_OK && !in->over) {
        aq_arena_reset(in->arena);
        status = take_piece(in);
        if (status != AQ_OK || blank(aq_buffer_chars(&in->piece)))
            break;
        status = in->form == AQ_FORM_CSV ? read_piece_csv(in) : read_piece_tree(in);
    }
    return status;
}

aq_status aq_log_import(aq_log *log, aq_bytes bytes, const aq_said *said, aq_import_count *count,
                        aq_error *err)
{
    aq_arena *whole = aq_arena_new(0), *arena = aq_arena_new(0);
    importing *in = whole ? aq_arena_take(whole, sizeof *in) : NULL;
    aq_status status = AQ_NO_MEMORY;

    *count = (aq_import_count){ 0 };
    if (in && arena) {
        in->log = log;
        in->bytes = bytes;
        in->said = said;
        in->count = count;
        in->err = err;
        in->arena = arena;
        in->line = 1;
        in->piece.ceiling = PIECE_MOST + CHUNK + 1;
        status = aq_log_begin(log, err);
    }
    if (status == AQ_OK) {
        status = read_all(in);
        if (status == AQ_OK)
            status = aq_log_keep(log, err);
        else
            aq_log_drop(log);
        aq_buffer_free(&in->piece);
    }
    aq_arena_free(arena);
    aq_arena_free(whole);
    if (status != AQ_OK)
        *count = (aq_import_count){ 0 };
    return status == AQ_NO_MEMORY ? aq_fail(err, status, (aq_place){ 0 }, "out of memory") : status;
}
