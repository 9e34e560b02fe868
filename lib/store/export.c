/* Entries to text, CSV and JSON Lines, by the rows of an entry. */
#include "store/exchange.h"

#include <string.h>

static const char *const words[AQ_FORM_COUNT] = { "text", "csv", "json" };

const char *aq_log_form_word(aq_log_form form)
{
    return words[form];
}

typedef struct {
    aq_sink sink;
    aq_buffer line;
    aq_log_form form;
    bool no_memory; /* for a line */
    bool failed;    /* the sink takes no more */
} exporting;

/* ---- characters ---- */

/* The code point at `at`, and its bytes. What is no UTF-8 counts as Latin-1: nothing is lost, nothing is misread. */
static unsigned long character(const unsigned char *at, size_t *bytes)
{
    *bytes = at[0] < 0xc2 ? 1 : at[0] < 0xe0 ? 2 : at[0] < 0xf0 ? 3 : 4;
    for (size_t i = 1; i < *bytes; i++)
        if ((at[i] & 0xc0) != 0x80)
            *bytes = 1;
    switch (*bytes) {
    case 2:
        return (at[0] & 0x1fUL) << 6 | (at[1] & 0x3f);
    case 3:
        return (at[0] & 0x0fUL) << 12 | (at[1] & 0x3fUL) << 6 | (at[2] & 0x3f);
    case 4:
        return 0x10000; /* all alike here */
    default:
        return at[0];
    }
}

/* Controls, and what YAML takes for the end of a line or for no character at all. */
static bool hidden(unsigned long c)
{
    return c < 0x20 || (c >= 0x7f && c < 0xa0) || c == 0x2028 || c == 0x2029 || c == 0xfeff ||
           (c >= 0xfffe && c < 0x10000);
}

/* A string as JSON and YAML both read it. */
static void add_quoted(aq_buffer *out, const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    size_t bytes;

    aq_buffer_char(out, '"');
    for (; *at; at += bytes) {
        unsigned long c = character(at, &bytes);

        if (c == '"' || c == '\\')
            aq_buffer_char(out, '\\');
        if (hidden(c))
            aq_buffer_format(out, "\\u%04lx", c);
        else
            aq_buffer_add(out, (const char *)at, bytes);
    }
    aq_buffer_char(out, '"');
}

/* Letters, digits, spaces and dashes inside need no quotes in YAML; "null" would be no text there. */
static bool plain(const char *text)
{
    static const char safe[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ._-";
    size_t length = strlen(text);

    return length && text[0] != ' ' && text[0] != '-' && text[0] != '.' && text[length - 1] != ' ' &&
           strspn(text, safe) == length && strcmp(text, "null") != 0 && strcmp(text, "Null") != 0 &&
           strcmp(text, "NULL") != 0;
}

static void add_yaml(aq_buffer *out, const char *text)
{
    if (plain(text))
        aq_buffer_text(out, text);
    else
        add_quoted(out, text);
}

/* What a spreadsheet would run: one of these signs first, in either width, or behind an apostrophe of ours. */
static bool is_run(const char *text)
{
    size_t bytes;
    unsigned long first = character((const unsigned char *)text, &bytes);

    return strchr("=+-@'\t\r", text[0]) || first == 0xff1d || first == 0xff0b || first == 0xff0d ||
           first == 0xff20;
}

static void add_cell(aq_buffer *out, const char *text)
{
    bool runs = is_run(text);

    if (!runs && !strpbrk(text, ",\"\r\n") && text[0] != ' ' && text[strlen(text) - 1] != ' ') {
        aq_buffer_text(out, text);
        return;
    }
    aq_buffer_text(out, runs ? "\"'" : "\"");
    for (; *text; text++)
        aq_buffer_text(out, *text == '"' ? "\"\"" : (char[2]){ *text, '\0' });
    aq_buffer_char(out, '"');
}

/* ---- values ---- */

static const aq_amounts *amounts_at(const aq_entry *entry, const aq_field *row)
{
    return (const void *)((const char *)entry + row->into);
}

/* {A: 18 mL, B: 18 mL} in YAML, {"A":"18 mL"} in JSON. */
static void add_amounts(aq_buffer *out, const aq_amounts *amounts, bool json)
{
    char amount[AQ_ENTRY_TEXT];

    for (size_t i = 0; i < amounts->count; i++) {
        aq_buffer_text(out, i ? json ? "," : ", " : "{");
        if (json)
            add_quoted(out, amounts->at[i].name);
        else
            add_yaml(out, amounts->at[i].name);
        aq_entry_amount(amounts->at[i].amount, amount);
        aq_buffer_format(out, json ? ":\"%s\"" : ": %s", amount);
    }
    aq_buffer_char(out, '}');
}

static bool said(const aq_entry *entry, const aq_field *row, char room[AQ_ENTRY_TEXT], const char **value)
{
    *value = NULL;
    if (row->read == AQ_READ_AMOUNTS)
        return amounts_at(entry, row)->count > 0;
    *value = aq_entry_value(entry, row, room);
    return *value != NULL;
}

static void add_text_row(aq_buffer *out, const aq_entry *entry, const aq_field *row, const char *value)
{
    aq_buffer_format(out, "%s: ", row->key);
    if (!value)
        add_amounts(out, amounts_at(entry, row), false);
    else if (row->read == AQ_READ_TEXT)
        add_yaml(out, value);
    else
        aq_buffer_text(out, value);
    aq_buffer_char(out, '\n');
}

static void add_json_row(aq_buffer *out, const aq_entry *entry, const aq_field *row, const char *value)
{
    aq_buffer_format(out, "%s\"%s\":", out->length > 1 ? "," : "", row->key);
    if (!value)
        add_amounts(out, amounts_at(entry, row), true);
    else if (row->read == AQ_READ_COUNT)
        aq_buffer_text(out, value);
    else
        add_quoted(out, value);
}

static void add_csv_row(aq_buffer *out, const aq_entry *entry, const aq_field *row, const char *value)
{
    aq_buffer cell = { 0 };

    if (value) {
        add_cell(out, value);
        return;
    }
    add_amounts(&cell, amounts_at(entry, row), false);
    add_cell(out, aq_buffer_chars(&cell));
    out->failed = out->failed || cell.failed;
    aq_buffer_free(&cell);
}

/* ---- lines ---- */

static bool flush(exporting *e)
{
    e->no_memory = e->no_memory || e->line.failed;
    e->failed = e->failed || (!e->no_memory && !e->sink.write(e->sink.to, e->line.bytes, e->line.length));
    return !e->failed && !e->no_memory;
}

static bool add_entry(void *to, const aq_entry *entry)
{
    exporting *e = to;
    bool first = true;

    aq_buffer_clear(&e->line);
    aq_buffer_text(&e->line, e->form == AQ_FORM_JSON ? "{" : e->form == AQ_FORM_TEXT ? "\n" : "");
    for (size_t i = 0; i < aq_entry_shape.count; i++) {
        const aq_field *row = &aq_entry_shape.fields[i];
        char room[AQ_ENTRY_TEXT];
        const char *value;
        bool given = !row->says && said(entry, row, room, &value);

        if (e->form == AQ_FORM_CSV && !row->says && !first)
            aq_buffer_char(&e->line, ',');
        first = false;
        if (given && e->form == AQ_FORM_TEXT)
            add_text_row(&e->line, entry, row, value);
        else if (given && e->form == AQ_FORM_JSON)
            add_json_row(&e->line, entry, row, value);
        else if (given)
            add_csv_row(&e->line, entry, row, value);
    }
    aq_buffer_text(&e->line, e->form == AQ_FORM_JSON ? "}\n" : e->form == AQ_FORM_CSV ? "\r\n" : "");
    return flush(e);
}

static bool add_heading(exporting *e)
{
    if (e->form == AQ_FORM_TEXT)
        aq_buffer_text(&e->line, "aliquot: log 1\n");
    else if (e->form == AQ_FORM_JSON)
        aq_buffer_text(&e->line, "{\"aliquot\":\"log 1\"}\n");
    for (size_t i = 0; e->form == AQ_FORM_CSV && i < aq_entry_shape.count; i++)
        if (!aq_entry_shape.fields[i].says)
            aq_buffer_format(&e->line, "%s%s", i ? "," : "", aq_entry_shape.fields[i].key);
    if (e->form == AQ_FORM_CSV)
        aq_buffer_text(&e->line, "\r\n");
    return flush(e);
}

aq_status aq_log_export(aq_log *log, const aq_log_filter *filter, aq_log_form form, aq_sink sink,
                        aq_error *err)
{
    exporting e = { .sink = sink, .form = form };
    aq_log_filter added = *filter;
    aq_status status = AQ_OK;

    added.as_added = true; /* an undo comes behind what it takes back */
    if (add_heading(&e))
        status = aq_log_each(log, &added, add_entry, &e, err);
    aq_buffer_free(&e.line);
    if (status == AQ_OK && e.no_memory)
        status = aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory");
    if (status == AQ_OK && e.failed)
        status = aq_fail(err, AQ_WRITE_FAILED, (aq_place){ 0 }, "the log could not be written out");
    return status;
}
