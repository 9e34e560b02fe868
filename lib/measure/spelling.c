/* Plain spelling: the signs that keyboards, phones and word processors put where ASCII has a letter. */
#include "measure/spelling.h"

#include <string.h>

static const struct {
    const char *sign, *plain;
} signs[] = {
    { "\xC2\xB5", "u" },     /* micro sign */
    { "\xCE\xBC", "u" },     /* Greek mu */
    { "\xC2\xB0", "deg" },   /* degree sign */
    { "\xC2\xBA", "deg" },   /* ordinal sign, beside it on many keyboards */
    { "\xE2\x80\x93", "-" }, /* en dash */
    { "\xE2\x80\x94", "-" }, /* em dash */
    { "\xE2\x88\x92", "-" }, /* minus sign */
    { "\xC3\x97", "x" },     /* multiplication sign */
    { "\xC2\xB3", "3" },     /* superscript three: cm3 */
    { "\xE2\x82\x83", "3" }, /* subscript three: CaCO3 */
    { "\xC2\xA0", " " },     /* no-break space */
    { "\xE2\x80\x89", " " }, /* thin space */
    { "\xE2\x80\xAF", " " }, /* narrow no-break space */
    { "\xC2\xBC", " 1/4" },  /* fractions in one sign */
    { "\xC2\xBD", " 1/2" },  { "\xC2\xBE", " 3/4" },
};

/* The plain form of the sign at `text`, and its length in bytes; NULL for a byte that stays as it is. */
static const char *plain_of(const char *text, size_t left, size_t *bytes)
{
    if ((unsigned char)*text < 0x80)
        return NULL;
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        *bytes = strlen(signs[i].sign);
        if (*bytes <= left && memcmp(text, signs[i].sign, *bytes) == 0)
            return signs[i].plain;
    }
    return NULL;
}

bool aq_spelling_of(aq_spelling *out, const char *text, size_t length)
{
    size_t to = 0;

    if (length > AQ_SPELLING_TYPED)
        return false;
    for (; to < length && (unsigned char)text[to] < 0x80 && text[to] != '\t';
         to++) { /* nearly always all of it */
        out->text[to] = text[to];
        out->from[to] = (unsigned char)to;
    }
    for (size_t at = to; at < length;) {
        size_t bytes = 1;
        const char *plain = plain_of(text + at, length - at, &bytes);

        if (!plain) {
            bytes = 1;
            out->text[to] = text[at] == '\t' ? ' ' : text[at];
            out->from[to++] = (unsigned char)at;
        }
        for (; plain && *plain; plain++) {
            out->text[to] = *plain;
            out->from[to++] = (unsigned char)at;
        }
        at += bytes;
    }
    out->text[to] = '\0';
    out->from[to] = (unsigned char)length;
    out->length = to;
    return true;
}

int aq_spelling_characters(const char *text, size_t bytes)
{
    int count = 0;

    for (size_t i = 0; i < bytes; i++)
        count += ((unsigned char)text[i] & 0xC0) != 0x80;
    return count;
}
