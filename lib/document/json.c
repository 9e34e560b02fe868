/* JSON (RFC 8259) to nodes: one pass over one copy of the text, in which strings and numbers stay where they are.
 *
 * A closing quote becomes the NUL that ends its string, and an escape is always longer than what it stands for, so
 * nothing moves but the rest of a string that has one. A number has no quote; the byte behind it becomes its NUL once
 * it has been looked at. Lists and maps stand on the tree's own stack: no recursion. */
#include "document/node.h"

#include <string.h>

#include "document/tree.h"
#include "document/utf8.h"

typedef struct {
    aq_tree tree;
    const char *source;
    char *at, *end; /* in the copy, which a NUL ends */
    char *line;     /* where the present line begins */
    int lines;      /* its number, from 1 */
    int wide;       /* bytes of this line up to `at` that are not the first of their character */
    char *close;    /* will be a NUL: the byte behind the last number */
} reading;

static aq_place place_at(const reading *r, const char *at)
{
    return (aq_place){ r->source, r->lines, (int)(at - r->line) - r->wide + 1, 1 };
}

static void skip_space(reading *r)
{
    for (;; r->at++) {
        if (*r->at == '\n') {
            r->lines++;
            r->line = r->at + 1;
            r->wide = 0;
        } else if (*r->at != ' ' && *r->at != '\t' && *r->at != '\r') {
            return;
        }
    }
}

/* `found` stood at r->at, before a number's NUL may have replaced it. */
static aq_status refuse(const reading *r, char found, const char *wanted)
{
    aq_place place = place_at(r, r->at);
    unsigned char byte = (unsigned char)found;

    if (r->at == r->end)
        return aq_fail(r->tree.err, AQ_SYNTAX, place, "the text ends here, and %s is missing", wanted);
    if (byte < 0x20 || byte >= 0x7F)
        return aq_fail(r->tree.err, AQ_SYNTAX, place, "byte 0x%02X stands here, where %s is wanted", byte,
                       wanted);
    return aq_fail(r->tree.err, AQ_SYNTAX, place, "%c stands here, where %s is wanted", found, wanted);
}

/* ---- strings ---- */

static bool hex(const char *at, unsigned long *value)
{
    *value = 0;
    for (int i = 0; i < 4; i++) {
        char c = at[i];
        int digit = c >= '0' && c <= '9'   ? c - '0'
                    : c >= 'a' && c <= 'f' ? c - 'a' + 10
                    : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                           : -1;

        if (digit < 0)
            return false;
        *value = *value << 4 | (unsigned long)digit;
    }
    return true;
}

static char *write_character(char *to, unsigned long c)
{
    if (c < 0x80) {
        *to++ = (char)c;
        return to;
    }
    if (c < 0x800) {
        *to++ = (char)(0xC0 | c >> 6);
    } else {
        if (c < 0x10000) {
            *to++ = (char)(0xE0 | c >> 12);
        } else {
            *to++ = (char)(0xF0 | c >> 18);
            *to++ = (char)(0x80 | (c >> 12 & 0x3F));
        }
        *to++ = (char)(0x80 | (c >> 6 & 0x3F));
    }
    *to++ = (char)(0x80 | (c & 0x3F));
    return to;
}

/* r->at is at the u. A character above U+FFFF is written as two halves, each useless alone. */
static aq_status read_unicode(reading *r, char **to)
{
    unsigned long c, low;
    aq_place place = place_at(r, r->at - 1);

    if (!hex(r->at + 1, &c))
        return aq_fail(r->tree.err, AQ_SYNTAX, place, "\\u wants four hexadecimal digits");
    r->at += 5;
    if (c == 0)
        return aq_fail(r->tree.err, AQ_FORBIDDEN, place, "\\u0000 is a NUL, which no text may hold");
    if (c >= 0xD800 && c < 0xDC00 && r->at[0] == '\\' && r->at[1] == 'u' && hex(r->at + 2, &low) &&
        low >= 0xDC00 && low < 0xE000) {
        r->at += 6;
        c = 0x10000 + ((c - 0xD800) << 10) + (low - 0xDC00);
    }
    if (c >= 0xD800 && c < 0xE000)
        return aq_fail(r->tree.err, AQ_SYNTAX, place,
                       "half a surrogate pair stands here without the other half");
    *to = write_character(*to, c);
    return AQ_OK;
}

static aq_status read_escape(reading *r, char **to)
{
    static const char letters[] = "\"\\/bfnrt", means[] = "\"\\/\b\f\n\r\t";
    const char *letter;

    r->at++;
    if (*r->at == 'u')
        return read_unicode(r, to);
    letter = *r->at ? strchr(letters, *r->at) : NULL;
    if (!letter)
        return refuse(r, *r->at, "one of \" \\ / b f n r t u behind a backslash");
    *(*to)++ = means[letter - letters];
    r->at++;
    return AQ_OK;
}

static aq_status read_wide(reading *r, char **to)
{
    size_t step = aq_utf8_step(r->at, (size_t)(r->end - r->at));

    if (step == 0)
        return aq_fail(r->tree.err, AQ_SYNTAX, place_at(r, r->at), "byte 0x%02X is not UTF-8",
                       (unsigned char)*r->at);
    memmove(*to, r->at, step);
    *to += step;
    r->at += step;
    r->wide += (int)step - 1;
    return AQ_OK;
}

/* From the first byte that is not simply itself. */
static aq_status read_rest(reading *r, aq_place start)
{
    char *to = r->at;
    aq_status status = AQ_OK;

    while (status == AQ_OK && *r->at != '"') {
        unsigned char c = (unsigned char)*r->at;

        if (c == '\\')
            status = read_escape(r, &to);
        else if (c >= 0x80)
            status = read_wide(r, &to);
        else if (r->at == r->end)
            status = aq_fail(r->tree.err, AQ_SYNTAX, start, "the string that opens here is never closed");
        else if (c < 0x20)
            status = aq_fail(r->tree.err, AQ_SYNTAX, place_at(r, r->at),
                             "a control character (0x%02X) stands in a string: write it as \\u%04X", c, c);
        else
            *to++ = *r->at++;
    }
    *to = '\0';
    return status;
}

/* r->at is at the opening quote, and ends behind the closing one. */
static aq_status read_string(reading *r, const char **text, aq_place *place)
{
    aq_status status = AQ_OK;
    int wide = r->wide;
    char *open = r->at++;

    *place = place_at(r, open);
    *text = r->at;
    while ((unsigned char)(*r->at - 0x20) < 0x60 && *r->at != '"' && *r->at != '\\')
        r->at++;
    if (*r->at == '"')
        *r->at = '\0';
    else
        status = read_rest(r, *place);
    r->at++;
    place->span = (int)(r->at - open) - (r->wide - wide);
    return status;
}

/* ---- numbers and words ---- */

static bool digit(char c)
{
    return c >= '0' && c <= '9';
}

static aq_status read_digits(reading *r)
{
    if (!digit(*r->at))
        return refuse(r, *r->at, "a digit");
    while (digit(*r->at))
        r->at++;
    return AQ_OK;
}

static aq_status read_number(reading *r)
{
    char *from = r->at;
    aq_place place = place_at(r, from);
    aq_status status = AQ_OK;

    r->at += *r->at == '-';
    if (*r->at == '0')
        r->at++;
    else
        status = read_digits(r);
    if (status == AQ_OK && *r->at == '.') {
        r->at++;
        status = read_digits(r);
    }
    if (status == AQ_OK && (*r->at == 'e' || *r->at == 'E')) {
        r->at++;
        r->at += *r->at == '+' || *r->at == '-';
        status = read_digits(r);
    }
    if (status != AQ_OK)
        return status;
    r->close = r->at;
    place.span = (int)(r->at - from);
    return aq_tree_value(&r->tree, AQ_NODE_SCALAR, place, from, false);
}

static aq_status read_word(reading *r)
{
    static const char *const words[] = { "true", "false", "null" };
    aq_place place = place_at(r, r->at);

    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        size_t length = strlen(words[i]);

        if (strncmp(r->at, words[i], length) != 0)
            continue;
        r->at += length;
        place.span = (int)length;
        return aq_tree_value(&r->tree, *words[i] == 'n' ? AQ_NODE_NOTHING : AQ_NODE_SCALAR, place, words[i],
                             false);
    }
    return refuse(r, *r->at, "a value");
}

/* ---- lists and maps ---- */

static aq_status read_key(reading *r)
{
    const char *key;
    aq_place place;
    aq_status status;

    if (*r->at != '"')
        return refuse(r, *r->at, "a key in double quotes");
    status = read_string(r, &key, &place);
    if (status != AQ_OK)
        return status;
    skip_space(r);
    if (*r->at != ':')
        return refuse(r, *r->at, "the colon behind a key");
    r->at++;
    aq_tree_key(&r->tree, key, place);
    return AQ_OK;
}

/* Opens a list or a map; `empty` tells that it was closed at once. */
static aq_status read_open(reading *r, bool *empty)
{
    bool map = *r->at == '{';
    aq_status status = aq_tree_open(&r->tree, map ? AQ_NODE_MAP : AQ_NODE_LIST, place_at(r, r->at));

    *empty = false;
    if (status != AQ_OK)
        return status;
    r->at++;
    skip_space(r);
    if (*r->at == (map ? '}' : ']')) {
        r->at++;
        *empty = true;
        return aq_tree_close(&r->tree);
    }
    return map ? read_key(r) : AQ_OK;
}

static aq_status read_value(reading *r, bool *whole)
{
    const char *text;
    aq_place place;
    aq_status status;

    *whole = true;
    skip_space(r);
    switch (*r->at) {
    case '{':
    case '[':
        return read_open(r, whole);
    case '"':
        status = read_string(r, &text, &place);
        return status == AQ_OK ? aq_tree_value(&r->tree, AQ_NODE_SCALAR, place, text, true) : status;
    case '-':
        return read_number(r);
    default:
        return digit(*r->at) ? read_number(r) : read_word(r);
    }
}

/* Behind a whole value: closes what ends here, up to the comma that wants another. */
static aq_status read_after(reading *r)
{
    aq_status status = AQ_OK;

    while (status == AQ_OK && r->tree.depth > 0) {
        bool map = r->tree.open[r->tree.depth - 1]->shape == AQ_NODE_MAP;
        char found;

        skip_space(r);
        found = *r->at;
        if (r->close)
            *r->close = '\0';
        r->close = NULL;
        if (found != ',' && found != (map ? '}' : ']'))
            return refuse(r, found, map ? "a comma or }" : "a comma or ]");
        r->at++;
        if (found == ',') {
            skip_space(r);
            return map ? read_key(r) : AQ_OK;
        }
        status = aq_tree_close(&r->tree);
    }
    return status;
}

static aq_status read_all(reading *r)
{
    aq_status status;

    do {
        bool whole;

        status = read_value(r, &whole);
        if (status == AQ_OK && whole)
            status = read_after(r);
    } while (status == AQ_OK && r->tree.depth > 0);
    if (status != AQ_OK)
        return status;
    skip_space(r);
    if (r->at != r->end)
        return refuse(r, *r->at, "the end of the text");
    if (r->close)
        *r->close = '\0';
    return AQ_OK;
}

aq_status aq_node_json(aq_node **out, aq_arena *arena, const char *text, size_t length, const char *source,
                       aq_error *err)
{
    reading r = { .tree = { .arena = arena, .err = err }, .source = source, .lines = 1 };
    aq_status status;

    *out = NULL;
    if (length > AQ_DOCUMENT_BYTES)
        return aq_fail(err, AQ_TOO_LARGE, (aq_place){ .source = source }, "more than 1 MiB in one text");
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        text += 3;
        length -= 3;
    }
    r.at = r.line = aq_arena_text(arena, text, length);
    if (!r.at)
        return aq_fail(err, AQ_NO_MEMORY, (aq_place){ .source = source }, "out of memory");
    r.end = r.at + length;
    skip_space(&r);
    if (r.at == r.end)
        return aq_fail(err, AQ_MISSING, place_at(&r, r.at), "the text is empty");
    status = read_all(&r);
    if (status == AQ_OK)
        *out = r.tree.root;
    return status;
}
