/* Strings are copied in runs; what cannot stand in one is escaped (RFC 8259, 7). Direction marks go by number too, for
 * a line may be read on a terminal; a byte that is no UTF-8 becomes the replacement character. */
#include "render/json_pen.h"

#include <stdint.h>

#include "base/decimal.h"
#include "render/glyph.h"

void aq_json_line(aq_json_pen *pen)
{
    static const char blanks[] = "                                ";
    aq_json_put(pen->out, "\n", 1);
    size_t columns = 2 * (size_t)pen->depth;
    aq_json_put(pen->out, blanks, columns < sizeof blanks ? columns : sizeof blanks - 1);
}

void aq_json_begin(aq_json_pen *pen, const char *bracket)
{
    aq_json_put(pen->out, bracket, 1);
    pen->first = true;
    pen->depth++;
}

void aq_json_end(aq_json_pen *pen, const char *bracket)
{
    pen->depth--;
    if (!pen->tight && !pen->first)
        aq_json_line(pen);
    aq_json_put(pen->out, bracket, 1);
    pen->first = false;
}

/* Opens what stays on one line, and ends it. */
void aq_json_begin_tight(aq_json_pen *pen, const char *bracket)
{
    pen->tight++;
    aq_json_begin(pen, bracket);
}

void aq_json_end_tight(aq_json_pen *pen, const char *bracket)
{
    aq_json_end(pen, bracket);
    pen->tight--;
}

/* \u with four digits; above U+FFFF a surrogate pair. */
static void escape_code(aq_buffer *out, unsigned long code)
{
    static const char digits[] = "0123456789abcdef";
    if (code > 0xffff) {
        code -= 0x10000;
        escape_code(out, 0xd800 + (code >> 10));
        code = 0xdc00 + (code & 0x3ff);
    }
    char text[6] = {
        '\\', 'u', digits[code >> 12 & 15], digits[code >> 8 & 15], digits[code >> 4 & 15], digits[code & 15]
    };
    aq_json_put(out, text, sizeof text);
}

/* One character that cannot be copied as it stands. */
static size_t escape(aq_buffer *out, const char *text)
{
    if (*text == '"' || *text == '\\') {
        aq_json_put(out, "\\", 1);
        aq_json_put(out, text, 1);
        return 1;
    }
    aq_glyph glyph = aq_glyph_at(text);
    if (glyph.broken)
        escape_code(out, 0xfffd);
    else if (aq_glyph_harmful(glyph))
        escape_code(out, glyph.code);
    else
        aq_json_put(out, text, glyph.bytes);
    return glyph.bytes;
}

static bool stands(unsigned char byte)
{
    return byte >= 0x20 && byte < 0x7f && byte != '"' && byte != '\\';
}

/* Whether each of the eight bytes stands as it is. A byte's high bit is set where it is below 0x20, one of the two marks,
 * or above 0x7e; what a borrow does to bytes above a set one does not matter. */
static bool eight_stand(uint64_t bytes)
{
    static const uint64_t ones = 0x0101010101010101, highs = 0x8080808080808080;
    uint64_t quote = bytes ^ ones * '"', slash = bytes ^ ones * '\\';

    return !(((bytes - ones * 0x20) | (quote - ones) | (slash - ones) | (bytes + ones) | bytes) & highs);
}

/* Copies eight bytes that stand as they are; what else it has written is written over. */
static bool copy_eight(char *to, const char *text)
{
    uint64_t bytes;

    memcpy(&bytes, text, 8);
    memcpy(to, &bytes, 8);
    return eight_stand(bytes);
}

/* Four to seven bytes that stand as they are, as their first and last four. */
static bool copy_few(char *to, const char *text, size_t length)
{
    uint32_t first, last;

    memcpy(&first, text, 4);
    memcpy(&last, text + length - 4, 4);
    memcpy(to, &first, 4);
    memcpy(to + length - 4, &last, 4);
    return eight_stand((uint64_t)first << 32 | last);
}

/* Copies what stands as it is from the start of `text`, and returns how many bytes that were. Eight are looked at
 * together; the last eight once more, though some were before. */
static size_t copy_run(char *to, const char *text, size_t length)
{
    size_t run = 0;

    if (length >= 4 && length < 8 && copy_few(to, text, length))
        return length;
    while (run + 8 <= length && copy_eight(to + run, text + run))
        run += 8;
    if (length >= 8 && run + 8 > length && copy_eight(to + length - 8, text + length - 8))
        return length;
    for (; run < length && stands((unsigned char)text[run]); run++)
        to[run] = text[run];
    return run;
}

static void escape_rest(aq_buffer *out, const char *text, size_t length)
{
    for (size_t at = 0; at < length;) {
        size_t run = 0;

        while (at + run < length && stands((unsigned char)text[at + run]))
            run++;
        aq_json_put(out, text + at, run);
        at += run;
        if (at < length)
            at += escape(out, text + at);
    }
}

/* Most strings stand whole. */
void aq_json_quoted(aq_buffer *out, const char *text, size_t length)
{
    char *to = aq_json_room(out, length + 2);
    size_t run;

    if (!to)
        return;
    *to = '"';
    run = copy_run(to + 1, text, length);
    if (run == length)
        to[++run] = '"';
    aq_json_took(out, run + 1);
    if (run > length)
        return;
    escape_rest(out, text + run, length - run);
    aq_json_put(out, "\"", 1);
}

void aq_json_string(aq_buffer *out, const char *text)
{
    aq_json_quoted(out, text, strlen(text));
}

void aq_json_text(aq_json_pen *pen, const char *text)
{
    aq_json_quoted(pen->out, text, strlen(text));
}

void aq_json_number(aq_json_pen *pen, double value)
{
    char *to = aq_json_room(pen->out, AQ_DECIMAL_ROOM);
    if (to)
        aq_json_took(pen->out, aq_decimal_exact(value, to));
}

void aq_json_amount(aq_json_pen *pen, const aq_amount *amount)
{
    AQ_JSON_LITERAL(pen, "{\"value\":");
    aq_json_number(pen, amount->value);
    AQ_JSON_LITERAL(pen, ",\"unit\":");
    aq_json_text(pen, amount->unit ? amount->unit : "1");
    if (amount->within > 0) {
        AQ_JSON_LITERAL(pen, ",\"within\":");
        aq_json_number(pen, amount->within);
    }
    AQ_JSON_LITERAL(pen, "}");
}

void aq_json_texts(aq_json_pen *pen, const aq_texts *list)
{
    aq_json_begin(pen, "[");
    for (size_t i = 0; i < list->count; i++) {
        aq_json_next(pen);
        aq_json_text(pen, list->at[i]);
    }
    aq_json_end(pen, "]");
}
