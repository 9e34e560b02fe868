/* Words break at spaces only. A space that must not break is kept as AQ_JOIN until the line is laid out; a name cannot
 * hold that byte, for control bytes are shown by their number. */
#include "render/page.h"

#include <string.h>

#include "render/glyph.h"

enum { BLANK = 6, UNIT_MOST = 9, UNIT_JOINED = 20 };

size_t aq_text_columns(const char *text)
{
    size_t columns = 0;
    for (aq_glyph glyph = aq_glyph_at(text); glyph.bytes; text += glyph.bytes, glyph = aq_glyph_at(text))
        columns += (size_t)aq_glyph_columns(glyph.code);
    return columns;
}

void aq_page_text(aq_page *page, const char *words)
{
    aq_buffer_text(&page->line, words);
}

/* Hebrew, Arabic and their neighbours, and the forms and scripts that Unicode keeps for their direction. */
static bool runs_leftward(const char *text)
{
    for (aq_glyph glyph = aq_glyph_at(text); glyph.bytes; text += glyph.bytes, glyph = aq_glyph_at(text)) {
        unsigned long code = glyph.code;
        if ((code >= 0x590 && code <= 0x8ff) || (code >= 0xfb1d && code <= 0xfdff) ||
            (code >= 0xfe70 && code <= 0xfeff) || (code >= 0x10800 && code <= 0x10fff) ||
            (code >= 0x1e800 && code <= 0x1efff))
            return true;
    }
    return false;
}

void aq_page_name(aq_page *page, const char *typed)
{
    bool isolate = page->isolate && runs_leftward(typed);
    if (isolate)
        aq_buffer_char(&page->line, AQ_NAME_BYTE);
    aq_glyphs_add(&page->line, typed, NULL);
    if (isolate)
        aq_buffer_char(&page->line, AQ_NAME_END_BYTE);
}

void aq_page_indent(aq_page *page, size_t columns)
{
    for (; columns; columns--)
        aq_page_text(page, AQ_JOIN);
}

static bool join_spaces(aq_buffer *out, unsigned long code)
{
    if (code != ' ')
        return false;
    aq_buffer_text(out, AQ_JOIN);
    return true;
}

/* A unit stays on the line of its number; a currency of many words may break. */
static void unit_text(aq_page *page, const char *unit)
{
    aq_glyphs_add(&page->line, unit, aq_text_columns(unit) <= UNIT_JOINED ? join_spaces : NULL);
}

void aq_page_amount(aq_page *page, aq_spoken said)
{
    if (strcmp(said.unit, "pH") == 0) {
        aq_buffer_text(&page->line, "pH" AQ_JOIN);
        said.unit = "";
    }
    aq_buffer_text(&page->line, said.digits);
    if (*said.digits && *said.unit)
        aq_buffer_text(&page->line, AQ_JOIN);
    unit_text(page, said.unit);
    if (*said.within) {
        aq_buffer_text(&page->line, AQ_JOIN "\u00b1" AQ_JOIN);
        aq_buffer_text(&page->line, said.within);
    }
}

static bool others(aq_page *page, const aq_amount *amount, const char *opening)
{
    bool any = false;
    for (size_t i = 0; i < page->sheet->show.count; i++) {
        aq_amount other;
        if (!aq_other_system(page->sheet, i, amount, &other))
            continue;
        aq_page_text(page, any ? ", " : opening);
        aq_page_amount(page, aq_spoken_amount(&other));
        any = true;
    }
    if (any)
        aq_page_text(page, ")");
    return any;
}

void aq_page_others(aq_page *page, const aq_amount *amount)
{
    if (others(page, amount, "("))
        aq_page_text(page, " ");
}

void aq_page_beside(aq_page *page, const aq_amount *amount)
{
    others(page, amount, " (");
}

static void spaces(aq_buffer *out, size_t count)
{
    for (; count; count--)
        aq_buffer_char(out, ' ');
}

/* One word to the page, its joined spaces made plain. */
static void set_word(aq_buffer *out, const char *word, size_t length)
{
    size_t from = out->length;
    aq_buffer_add(out, word, length);
    for (size_t i = from; i < out->length; i++)
        if (out->bytes[i] == AQ_JOIN_BYTE)
            out->bytes[i] = ' ';
}

static size_t word_columns(const char *word, size_t length)
{
    size_t columns = 0;
    for (; length && !(*word & 0x80); word++, length--) /* ASCII takes a column each */
        columns++;
    for (const char *end = word + length; word < end;) {
        aq_glyph glyph = aq_glyph_at(word);
        if (!glyph.bytes)
            break;
        columns += (size_t)aq_glyph_columns(glyph.code);
        word += glyph.bytes;
    }
    return columns;
}

void aq_page_drop(aq_page *page)
{
    page->out.failed = page->out.failed || page->line.failed; /* for clearing forgets it */
    aq_buffer_clear(&page->line);
}

size_t aq_page_wrap(aq_page *page, size_t hang)
{
    const char *at = aq_buffer_chars(&page->line);
    size_t column = 0;
    bool fresh = true; /* nothing but indent stands on the line */

    for (at += strspn(at, " "); *at; at += strspn(at, " ")) {
        size_t length = strcspn(at, " "), columns = word_columns(at, length);
        if (!fresh && column + 1 + columns > page->width) {
            aq_page_end(page);
            spaces(&page->out, hang);
            column = hang;
            fresh = true;
        }
        if (!fresh) {
            aq_buffer_char(&page->out, ' ');
            column++;
        }
        set_word(&page->out, at, length);
        column += columns;
        fresh = false;
        at += length;
    }
    aq_page_drop(page);
    return column;
}

void aq_page_end(aq_page *page)
{
    aq_buffer *out = &page->out;
    while (out->length && out->bytes[out->length - 1] == ' ')
        out->bytes[--out->length] = '\0';
    aq_buffer_char(out, '\n');
}

void aq_page_line(aq_page *page, size_t hang)
{
    aq_page_wrap(page, hang);
    aq_page_end(page);
}

void aq_page_blank(aq_page *page, size_t column)
{
    if (column + 1 + BLANK > page->width) {
        aq_page_end(page);
        column = 0;
    }
    spaces(&page->out, page->width - BLANK - column);
    for (int i = 0; i < BLANK; i++)
        aq_buffer_char(&page->out, '_');
    aq_page_end(page);
}

void aq_page_heading(aq_page *page, const char *words)
{
    aq_buffer_char(&page->out, '\n');
    if (page->bold)
        aq_buffer_text(&page->out, "\x1b[1m");
    aq_page_text(page, words);
    aq_page_wrap(page, 0);
    if (page->bold)
        aq_buffer_text(&page->out, "\x1b[0m");
    aq_page_end(page);
}

void aq_columns_widen(aq_columns *columns, aq_spoken said)
{
    size_t digits = aq_text_columns(said.digits), unit = aq_text_columns(said.unit);
    if (!*said.digits)
        return;
    if (digits > columns->digits)
        columns->digits = digits;
    if (unit > columns->unit && unit <= UNIT_MOST)
        columns->unit = unit;
}

size_t aq_page_cell(aq_page *page, const char *mark, aq_spoken said, aq_columns columns)
{
    for (; *mark; mark++)
        aq_page_text(page, *mark == ' ' ? AQ_JOIN : (char[2]){ *mark, '\0' });
    size_t begins = word_columns(aq_buffer_chars(&page->line), page->line.length);
    if (!*said.digits) {
        unit_text(page, said.unit);
        aq_page_text(page, *said.unit ? " " : "");
        return begins;
    }
    size_t digits = aq_text_columns(said.digits), unit = aq_text_columns(said.unit);
    aq_page_indent(page, digits < columns.digits ? columns.digits - digits : 0);
    aq_page_text(page, said.digits);
    aq_page_indent(page, 1);
    unit_text(page, said.unit);
    aq_page_indent(page, unit < columns.unit ? columns.unit - unit : 0);
    aq_page_text(page, " ");
    if (*said.within) {
        aq_page_text(page, "\u00b1" AQ_JOIN);
        aq_page_text(page, said.within);
        aq_page_text(page, " ");
    }
    return begins + columns.digits + 1 + columns.unit + 1;
}
