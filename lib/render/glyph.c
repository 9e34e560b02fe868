/* Characters of UTF-8 (RFC 3629: no surrogates, nothing above U+10FFFF, no longer form than needed).
 *
 * Widths follow the East Asian Width property (Unicode 15: W and F take two columns) and the combining marks of the
 * scripts that a keyboard writes; blocks, not single characters, for a bench sheet is not a terminal emulator. */
#include "render/glyph.h"

#include <string.h>

typedef struct {
    unsigned long first, last;
} range;

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* Sorted. Direction marks: Unicode Bidi_Control. The others are invisible, or end a line where none should end. */
static const range hidden[] = {
    { 0x61c, 0x61c },   { 0x180e, 0x180e }, { 0x200b, 0x200b }, { 0x200e, 0x200f },   { 0x2028, 0x202e },
    { 0x2060, 0x206f }, { 0xfeff, 0xfeff }, { 0xfff9, 0xfffb }, { 0xe0000, 0xe007f },
};
static const range combining[] = {
    { 0x300, 0x36f },   { 0x483, 0x489 },   { 0x591, 0x5bd },   { 0x5bf, 0x5c7 },   { 0x610, 0x61a },
    { 0x64b, 0x65f },   { 0x6d6, 0x6dc },   { 0x6df, 0x6e8 },   { 0x900, 0x902 },   { 0x93c, 0x93c },
    { 0x941, 0x948 },   { 0x94d, 0x94d },   { 0xe31, 0xe31 },   { 0xe34, 0xe3a },   { 0xe47, 0xe4e },
    { 0x1ab0, 0x1aff }, { 0x1dc0, 0x1dff }, { 0x200c, 0x200d }, { 0x20d0, 0x20f0 }, { 0xfe00, 0xfe0f },
    { 0xfe20, 0xfe2f },
};
static const range wide[] = {
    { 0x1100, 0x115f },   { 0x231a, 0x231b },   { 0x23e9, 0x23ec },   { 0x2e80, 0x303e },
    { 0x3041, 0xa4cf },   { 0xa960, 0xa97c },   { 0xac00, 0xd7a3 },   { 0xf900, 0xfaff },
    { 0xfe30, 0xfe6f },   { 0xff01, 0xff60 },   { 0xffe0, 0xffe6 },   { 0x16fe0, 0x18cff },
    { 0x1b000, 0x1b2ff }, { 0x1f300, 0x1f64f }, { 0x1f680, 0x1f6ff }, { 0x1f900, 0x1f9ff },
    { 0x20000, 0x3fffd },
};

static bool within(unsigned long code, const range *ranges, size_t count)
{
    size_t low = 0, high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (code > ranges[middle].last)
            low = middle + 1;
        else
            high = middle;
    }
    return low < count && code >= ranges[low].first;
}

aq_glyph aq_glyph_at(const char *text)
{
    /* By length: the bits of the first byte, and the least code that needs that length. */
    static const struct {
        unsigned char mask, lead, keeps;
        unsigned long least;
    } forms[] = { { 0x80, 0x00, 0x7f, 0 },
                  { 0xe0, 0xc0, 0x1f, 0x80 },
                  { 0xf0, 0xe0, 0x0f, 0x800 },
                  { 0xf8, 0xf0, 0x07, 0x10000 } };
    const unsigned char *at = (const unsigned char *)text;
    aq_glyph broken = { .code = at[0], .bytes = 1, .broken = true };

    if (at[0] < 0x80)
        return (aq_glyph){ .code = at[0], .bytes = at[0] != 0 };
    for (size_t more = 0; more < COUNT(forms); more++) {
        if ((at[0] & forms[more].mask) != forms[more].lead)
            continue;
        unsigned long code = at[0] & forms[more].keeps;
        for (size_t i = 1; i <= more; i++) {
            if ((at[i] & 0xc0) != 0x80)
                return broken;
            code = code << 6 | (at[i] & 0x3f);
        }
        if (code < forms[more].least || code > 0x10ffff || (code >= 0xd800 && code <= 0xdfff))
            return broken;
        return (aq_glyph){ .code = code, .bytes = more + 1 };
    }
    return broken;
}

bool aq_glyph_harmful(aq_glyph glyph)
{
    return glyph.broken || glyph.code < 0x20 || (glyph.code >= 0x7f && glyph.code < 0xa0) ||
           within(glyph.code, hidden, COUNT(hidden));
}

int aq_glyph_columns(unsigned long code)
{
    if (code < 0x300)
        return 1;
    if (within(code, combining, COUNT(combining)))
        return 0;
    return within(code, wide, COUNT(wide)) ? 2 : 1;
}

size_t aq_glyph_number(aq_glyph glyph, char out[AQ_GLYPH_ROOM])
{
    static const char lower[] = "0123456789abcdef", upper[] = "0123456789ABCDEF";
    bool byte = glyph.broken || glyph.code < 0x100;
    const char *digits = byte ? lower : upper;
    size_t length = byte ? 2 : 3;

    memcpy(out, byte ? "\\x" : "<U+", length);
    int places = byte ? 2 : glyph.code > 0xfffff ? 6 : glyph.code > 0xffff ? 5 : 4;
    while (places-- > 0)
        out[length++] = digits[glyph.code >> (4 * places) & 0xf];
    if (!byte)
        out[length++] = '>';
    out[length] = '\0';
    return length;
}

/* How many bytes from here on are ASCII that can be shown. */
static size_t plain_run(const char *text)
{
    size_t run = 0;
    while (text[run] >= 0x20 && text[run] < 0x7f)
        run++;
    return run;
}

void aq_glyphs_add(aq_buffer *out, const char *text, bool (*put)(aq_buffer *out, unsigned long code))
{
    size_t plain = put ? 0 : plain_run(text);

    aq_buffer_add(out, text, plain);
    text += plain;
    for (aq_glyph glyph = aq_glyph_at(text); glyph.bytes; text += glyph.bytes, glyph = aq_glyph_at(text)) {
        char number[AQ_GLYPH_ROOM];
        if (aq_glyph_harmful(glyph)) {
            size_t length = aq_glyph_number(glyph, number);
            for (size_t i = 0; i < length; i++)
                if (!put || !put(out, (unsigned char)number[i]))
                    aq_buffer_char(out, number[i]);
        } else if (!put || !put(out, glyph.code)) {
            aq_buffer_add(out, text, glyph.bytes);
        }
    }
}
