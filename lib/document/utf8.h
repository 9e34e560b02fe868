/* One character of UTF-8 (RFC 3629): no overlong forms, no surrogates, nothing above U+10FFFF. Private to the library. */
#ifndef AQ_DOCUMENT_UTF8_H
#define AQ_DOCUMENT_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

/* The number of bytes of the character that begins at `at`, of which `left` remain; 0 when none begins there. */
static inline size_t aq_utf8_step(const char *at, size_t left)
{
    const unsigned char *byte = (const unsigned char *)at;
    size_t count = byte[0] < 0x80 ? 1 : byte[0] < 0xC2 ? 0 : byte[0] < 0xE0 ? 2 : byte[0] < 0xF0 ? 3 : 4;

    if (count > left || byte[0] > 0xF4)
        return 0;
    for (size_t i = 1; i < count; i++)
        if ((byte[i] & 0xC0) != 0x80)
            return 0;
    if ((byte[0] == 0xE0 && byte[1] < 0xA0) || (byte[0] == 0xED && byte[1] > 0x9F) ||
        (byte[0] == 0xF0 && byte[1] < 0x90) || (byte[0] == 0xF4 && byte[1] > 0x8F))
        return 0;
    return count;
}

static inline bool aq_utf8_inside(char byte) /* not the first byte of its character */
{
    return ((unsigned char)byte & 0xC0) == 0x80;
}

static inline int aq_utf8_count(const char *text)
{
    int count = 0;

    for (; *text; text++)
        count += !aq_utf8_inside(*text);
    return count;
}

enum { AQ_BRIEF_CHARACTERS = 40, AQ_BRIEF_ROOM = 4 * AQ_BRIEF_CHARACTERS + 4 };

/* `text` as a message quotes it: a long one is cut and ends with three dots. Returns `out`. */
static inline const char *aq_utf8_brief(const char *text, char out[AQ_BRIEF_ROOM])
{
    size_t length = 0;

    for (int count = 0; text[length]; length++) {
        count += !aq_utf8_inside(text[length]);
        if (count > AQ_BRIEF_CHARACTERS || length == 4 * AQ_BRIEF_CHARACTERS)
            break;
    }
    memcpy(out, text, length);
    strcpy(out + length, text[length] ? "..." : "");
    return out;
}

#endif
