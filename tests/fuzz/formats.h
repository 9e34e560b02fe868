/* What holds of a sheet's bytes in each format, whatever was typed: valid UTF-8 with no control byte, every hazard in
 * it, and
 *
 *     json    the project's own reader gives back what the sheet holds
 *     csv     RFC 4180: a header and lines of as many cells, none that a spreadsheet would run
 *     html    each element of our own making is closed in order; none runs or fetches
 *     ics     RFC 5545: lines of at most 75 octets that hold whole characters and begin with a property of ours */
#ifndef FORMATS_H
#define FORMATS_H

#include "fuzz.h"
#include "sheet/caution.h"

enum {
    PAGE_MOST = 1 << 16
}; /* bytes: of a longer one the hazards are not looked for, which takes the square of it */

/* ---- json ---- */

/* Whether a text comes back as it was: a byte that is not UTF-8 cannot. */
static inline void check_text_back(const aq_node *map, const char *key, const char *text)
{
    const aq_node *back = aq_node_get(map, key);

    must((back != NULL) == (text != NULL));
    if (text && is_utf8(text, strlen(text)))
        must(back->text && strcmp(back->text, text) == 0);
}

static inline void check_amount_back(const aq_node *map, const char *key, const aq_amount *amount)
{
    const aq_node *back = aq_node_get(map, key), *value = back ? aq_node_get(back, "value") : NULL;

    must((back != NULL) == amount->given);
    if (amount->given)
        must(value && value->text && strtod(value->text, NULL) == amount->value);
}

static inline void check_row_back(const aq_node *back, const aq_row *row)
{
    check_text_back(back, "do", aq_do_word(row->what));
    check_text_back(back, "part", row->part);
    check_text_back(back, "water", row->water);
    check_text_back(back, "tank", row->tank);
    check_text_back(back, "to", row->to);
    check_text_back(back, "with", row->with);
    check_text_back(back, "note", row->note);
    check_amount_back(back, "exact", &row->exact);
    check_amount_back(back, "amount", &row->amount);
    check_amount_back(back, "make", &row->make);
    check_amount_back(back, "concentrate", &row->concentrate);
    check_amount_back(back, "each", &row->each);
    check_amount_back(back, "time", &row->time);
}

static inline void check_hazard_back(const aq_node *back, const aq_hazard *hazard)
{
    check_text_back(back, "code", *hazard->code ? hazard->code : NULL);
    check_text_back(back, "rule", hazard->rule);
    check_text_back(back, "text", hazard->text);
    check_text_back(back, "part", hazard->part);
    must((aq_node_get(back, "refuses") != NULL) == hazard->refuses);
}

static inline const aq_node *first_of(const aq_node *map, const char *key, size_t count)
{
    const aq_node *list = aq_node_get(map, key);

    must((list ? list->count : 0) == count);
    return list ? list->first : NULL;
}

static inline void check_sheet_back(const aq_node *back, const aq_sheet *sheet)
{
    const aq_node *at;

    check_text_back(back, "job", sheet->job);
    check_text_back(back, "title", sheet->title);
    check_text_back(back, "reservoir", sheet->reservoir);
    check_text_back(back, "over_label", sheet->over_label);
    check_text_back(back, "defers", sheet->defers);
    check_text_back(back, "outcome", aq_outcome_word(sheet->outcome));
    check_amount_back(back, "volume", &sheet->volume);
    at = first_of(back, "rows", sheet->rows.count);
    for (size_t i = 0; i < sheet->rows.count; i++, at = at->next)
        check_row_back(at, &sheet->rows.at[i]);
    at = first_of(back, "hazards", sheet->hazards.count);
    for (size_t i = 0; i < sheet->hazards.count; i++, at = at->next)
        check_hazard_back(at, &sheet->hazards.at[i]);
    at = first_of(back, "jobs", sheet->jobs.count);
    for (size_t i = 0; i < sheet->jobs.count; i++, at = at->next)
        check_sheet_back(at, sheet->jobs.at[i]);
}

static inline void check_json(const aq_buffer *out, const aq_sheet *sheet)
{
    aq_arena *arena = aq_arena_new(256 << 20);
    aq_error err = { .status = AQ_OK };
    aq_node *back;
    aq_status status;

    must(arena && is_plain(out->bytes, out->length, "\n"));
    status = aq_node_json(&back, arena, out->bytes, out->length, "sheet", &err);
    must(status == AQ_OK ||
         status == AQ_TOO_LARGE); /* a year's plan is larger than any document that is read */
    if (status == AQ_OK)
        check_sheet_back(back, sheet);
    aq_arena_free(arena);
}

/* ---- csv ---- */

/* One cell from `at`, its quotes taken off, into `room`; returns where it stops: at a comma or a line's end. */
static inline const char *take_cell(const char *at, aq_buffer *room)
{
    bool quoted = *at == '"';

    aq_buffer_clear(room);
    for (at += quoted; *at; at++) {
        if (quoted && *at == '"' && *++at != '"') {
            must(*at == ',' || *at == '\r');
            return at;
        }
        if (!quoted && (*at == ',' || *at == '\r'))
            return at;
        must(quoted || (*at != '"' && *at != '\n'));
        must(*at != '\r' && *at != '\n'); /* what was typed is shown by its number */
        aq_buffer_char(room, *at);
    }
    must(false && "a cell without an end");
    return at;
}

/* No cell that a spreadsheet would run. A number may begin with its sign. */
static inline void check_cell(const char *cell)
{
    static const char *const wide[] = { "\uff1d", "\uff0b", "\uff0d", "\uff20" };

    must(!*cell || !strchr("=+@\t", *cell));
    must(*cell != '-' || (cell[1] && strchr("0123456789.", cell[1])));
    for (size_t i = 0; i < sizeof wide / sizeof *wide; i++)
        must(strncmp(cell, wide[i], strlen(wide[i])) != 0);
}

static inline void check_csv(const aq_buffer *out, const aq_sheet *sheet)
{
    aq_buffer cell = { .ceiling = 0 };
    size_t columns = 0, count = 1;

    (void)sheet;
    must(is_plain(out->bytes, out->length, "\r\n"));
    for (const char *at = out->bytes; *at; at++) {
        at = take_cell(at, &cell);
        check_cell(aq_buffer_chars(&cell));
        if (*at == ',') {
            count++;
            continue;
        }
        must(at[0] == '\r' && at[1] == '\n');
        must(!columns || count == columns);
        columns = count;
        count = 1;
        at++;
    }
    must(columns > 1 && count == 1);
    aq_buffer_free(&cell);
}

/* ---- html ---- */

static inline bool one_of(const char *name, size_t length, const char *const *names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strlen(names[i]) == length && strncmp(names[i], name, length) == 0)
            return true;
    return false;
}

/* Attributes from `at` to the end of the tag: each in quotes, none that an event runs or that fetches. */
static inline const char *take_attributes(const char *at)
{
    static const char *const never[] = { "src", "href", "action", "data", "formaction", "background" };

    while (*at == ' ') {
        size_t length = strcspn(++at, "= />\"<");

        must(length > 0 && strncmp(at, "on", 2) != 0);
        must(!one_of(at, length, never, sizeof never / sizeof *never));
        at += length;
        must(at[0] == '=' && at[1] == '"');
        at = strchr(at + 2, '"');
        must(at != NULL);
        at++;
    }
    return at;
}

typedef struct {
    const char *name;
    size_t length;
} html_tag;

static inline const char *take_tag(const char *at, html_tag *open, size_t *depth)
{
    static const char *const ours[] = {
        "html", "head",   "meta",    "title",      "style",    "body",    "main",  "h1",     "h2",
        "h3",   "h4",     "p",       "div",        "ul",       "li",      "table", "thead",  "tr",
        "th",   "td",     "span",    "small",      "caption",  "bdi",     "tbody", "strong", "input",
        "em",   "dl",     "section", "svg",        "g",        "path",    "rect",  "line",   "text",
        "desc", "circle", "figure",  "figcaption", "polyline", "polygon", "br",    "hr"
    };
    bool closes = *at == '/';
    size_t length = strcspn(at += closes, " />");

    must(one_of(at, length, ours, sizeof ours / sizeof *ours));
    if (closes) {
        must(*depth > 0 && open[*depth - 1].length == length &&
             strncmp(open[*depth - 1].name, at, length) == 0);
        --*depth;
        at += length;
    } else {
        must(*depth < 32);
        open[(*depth)++] = (html_tag){ at, length };
        at = take_attributes(at + length);
        if (*at == '/') {
            --*depth;
            at++;
        }
    }
    must(*at == '>');
    return at;
}

static inline void check_html(const aq_buffer *out, const aq_sheet *sheet)
{
    static const char type[] = "<!DOCTYPE html>\n";
    html_tag open[32];
    size_t depth = 0;

    (void)sheet;
    must(is_plain(out->bytes, out->length, "\n"));
    must(strncmp(out->bytes, type, strlen(type)) == 0);
    for (const char *at = out->bytes + strlen(type); *at; at++) {
        if (*at == '<')
            at = take_tag(at + 1, open, &depth);
        else if (*at == '&')
            must(strncmp(at, "&amp;", 5) == 0 || strncmp(at, "&lt;", 4) == 0 || strncmp(at, "&gt;", 4) == 0 ||
                 strncmp(at, "&quot;", 6) == 0 || strncmp(at, "&#", 2) == 0);
    }
    must(depth == 0);
}

/* ---- ics ---- */

/* BEGIN and END in pairs of one name, one inside the other. */
static inline void check_component(const char *line, const char *stop, html_tag *open, size_t *depth)
{
    if (strncmp(line, "BEGIN:", 6) == 0) {
        must(*depth < 8);
        open[(*depth)++] = (html_tag){ line + 6, (size_t)(stop - line) - 6 };
    } else if (strncmp(line, "END:", 4) == 0) {
        must(*depth > 0 && open[*depth - 1].length == (size_t)(stop - line) - 4);
        --*depth;
        must(strncmp(open[*depth].name, line + 4, open[*depth].length) == 0);
    }
}

static inline void check_ics(const aq_buffer *out, const aq_sheet *sheet)
{
    static const char *const ours[] = { "BEGIN",      "END",         "VERSION",  "PRODID",      "CALSCALE",
                                        "UID",        "DTSTAMP",     "SEQUENCE", "DTSTART",     "DURATION",
                                        "SUMMARY",    "STATUS",      "LOCATION", "DESCRIPTION", "ACTION",
                                        "TRIGGER",    "DUE",         "TZID",     "TZNAME",      "RRULE",
                                        "TZOFFSETTO", "TZOFFSETFROM" };
    const char *line = out->bytes, *stop;
    html_tag open[8];
    size_t depth = 0;

    (void)sheet;
    must(is_plain(out->bytes, out->length, "\r\n"));
    must(strncmp(line, "BEGIN:VCALENDAR\r\n", 17) == 0);
    for (; *line; line = stop + 2) {
        stop = strchr(line, '\r');
        must(stop && stop[1] == '\n' && stop - line <= 75 && !memchr(line, '\n', (size_t)(stop - line)));
        must(is_utf8(line, (size_t)(stop - line)));
        if (*line != ' ')
            must(one_of(line, strcspn(line, ":;"), ours, sizeof ours / sizeof *ours));
        check_component(line, stop, open, &depth);
        must(depth > 0 || !stop[2]);
    }
    must(depth == 0);
}

/* ---- every format ---- */

/* Letters and figures alone: a format may wrap a line, escape a comma or add a quote. Freed by the caller. */
static inline char *letters_of(const char *text)
{
    char *letters = malloc(strlen(text) + 1), *end = letters;

    must(letters != NULL);
    for (; *text; text++)
        if ((*text >= '0' && *text <= '9') || ((*text | 0x20) >= 'a' && (*text | 0x20) <= 'z'))
            *end++ = *text;
    *end = '\0';
    return letters;
}

static inline bool says(const char *page, const char *text)
{
    char *letters = letters_of(text);
    bool found = strstr(page, letters) != NULL;

    free(letters);
    return found;
}

/* A statement of the GHS and a rule of the trade stand in words; a table for a spreadsheet has their codes. */
static inline void check_hazards_said(const char *format, const char *page, const aq_sheet *sheet)
{
    bool codes = strcmp(format, "csv") == 0;

    for (size_t i = 0; i < sheet->hazards.count; i++) {
        const aq_hazard *hazard = &sheet->hazards.at[i];

        if (hazard->text != aq_hazard_text(hazard->code) && !hazard->rule)
            continue; /* a code that no table knows is said as it was typed, bytes that are none by their number */
        if (!codes)
            must(says(page, hazard->text));
        else if (sheet->rows.count)
            must(says(page, *hazard->code ? hazard->code : hazard->rule));
    }
    for (size_t i = 0; i < sheet->jobs.count; i++)
        check_hazards_said(format, page, sheet->jobs.at[i]);
}

static inline bool any_hazard(const aq_sheet *sheet)
{
    bool any = sheet->hazards.count > 0;

    for (size_t i = 0; i < sheet->jobs.count && !any; i++)
        any = sheet->jobs.at[i]->hazards.count > 0;
    return any;
}

/* A calendar has the jobs of a plan, each with its hazards, and not the plan itself; and of a sheet on which nothing is
 * done only what is to be ordered, which is no work with what is hazardous. */
static inline void check_hazard_lines(const char *format, const aq_buffer *out, const aq_sheet *sheet)
{
    char *page;

    if (out->length > PAGE_MOST || !any_hazard(sheet))
        return;
    page = letters_of(out->bytes);
    if (strcmp(format, "ics") != 0 ||
        (!sheet->jobs.count && (sheet->rows.count || sheet->outcome == AQ_REFUSED)))
        check_hazards_said(format, page, sheet);
    else
        for (size_t i = 0; i < sheet->jobs.count; i++)
            check_hazards_said(format, page, sheet->jobs.at[i]);
    free(page);
}

static inline void check_plain(const aq_buffer *out, const aq_sheet *sheet)
{
    (void)sheet;
    must(is_plain(out->bytes, out->length, "\n"));
}

static inline void check_format(const char *format, const aq_buffer *out, const aq_sheet *sheet)
{
    static const struct {
        const char *format;
        void (*check)(const aq_buffer *out, const aq_sheet *sheet);
    } checks[] = { { "text", check_plain },
                   { "json", check_json },
                   { "csv", check_csv },
                   { "html", check_html },
                   { "ics", check_ics } };
    size_t which = 0;

    while (strcmp(checks[which].format, format) != 0)
        must(++which < sizeof checks / sizeof *checks);
    must(out->bytes && out->length == strlen(out->bytes));
    checks[which].check(out, sheet);
    check_hazard_lines(format, out, sheet);
}

/* The sheet through every renderer, each time in the same manner. */
static inline void check_formats(const aq_sheet *sheet)
{
    size_t count;
    const aq_renderer *table = aq_renderer_table(&count);
    aq_manner manner = { .width = 40, .why = true, .now = { { 2026, 3, 2 }, 0 } };

    for (size_t i = 0; i < count; i++) {
        aq_buffer out = { .ceiling = 0 };
        aq_error err = { .status = AQ_OK };
        aq_status status = table[i].sheet(sheet, &manner, aq_buffer_sink(&out), &err);

        if (status == AQ_OK)
            check_format(table[i].name, &out, sheet);
        else
            check_complaint(&err, status, true);
        aq_buffer_free(&out);
    }
}

#endif
