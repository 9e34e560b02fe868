/* The characters of a text that a user typed: how many columns each takes, and which must not be printed as they are.
 *
 * Harmful are control bytes (a terminal obeys them), marks that turn the direction of the line or cannot be seen (a
 * name could then read as another), and bytes that are not UTF-8. They are shown by their number: \x1b, <U+202E>. */
#ifndef AQ_RENDER_GLYPH_H
#define AQ_RENDER_GLYPH_H

#include "base/buffer.h"

typedef struct {
    unsigned long code; /* the character; of a broken byte, that byte */
    size_t bytes;       /* it takes in the text: 0 at the end */
    bool broken;        /* not UTF-8 */
} aq_glyph;

/* The character at the start of `text`, which ends with a NUL. */
aq_glyph aq_glyph_at(const char *text);

bool aq_glyph_harmful(aq_glyph glyph);
int aq_glyph_columns(unsigned long code); /* 0 of a combining mark, 2 of a wide character, else 1 */

/* "\x1b" or "<U+202E>", for what is harmful; returns the length. */
enum { AQ_GLYPH_ROOM = 16 };
size_t aq_glyph_number(aq_glyph glyph, char out[AQ_GLYPH_ROOM]);

/* Adds `text` with everything harmful shown by its number; `put`, unless NULL, adds each other character its own way
 * and returns false for those that stand as they are. */
void aq_glyphs_add(aq_buffer *out, const char *text, bool (*put)(aq_buffer *out, unsigned long code));

#endif
