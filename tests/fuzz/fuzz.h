/* What every fuzz target shares: an entry point by libFuzzer's name, and checks that stop the program.
 *
 * A target takes any bytes and asserts what must hold whatever they say, not only that nothing crashes. The ordinary
 * test run gives it each kept input (replay.c); tests/fuzz/run lets clang's libFuzzer invent more. */
#ifndef FUZZ_H
#define FUZZ_H

#include <aliquot.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

/* Stays in force where NDEBUG takes assert away. */
#define must(held) must_at(held, #held, __FILE__, __LINE__)
static inline void must_at(bool held, const char *what, const char *file, int line)
{
    if (held)
        return;
    fprintf(stderr, "%s:%d: must hold: %s\n", file, line, what);
    abort();
}

/* The bytes as a text with an end; freed by the caller. */
static inline char *text_of_bytes(const uint8_t *bytes, size_t length)
{
    char *text = malloc(length + 1);

    must(text != NULL);
    if (length)
        memcpy(text, bytes, length);
    text[length] = '\0';
    return text;
}

/* Bytes of the UTF-8 character at `at`; 0: it is none (RFC 3629: no overlong form, no surrogate, none past U+10FFFF). */
static inline size_t character_at(const unsigned char *at, size_t left)
{
    size_t more = at[0] < 0x80   ? 0
                  : at[0] < 0xc2 ? 9
                  : at[0] < 0xe0 ? 1
                  : at[0] < 0xf0 ? 2
                  : at[0] < 0xf5 ? 3
                                 : 9;

    if (more > 3 || more >= left)
        return 0;
    for (size_t i = 1; i <= more; i++)
        if ((at[i] & 0xc0) != 0x80)
            return 0;
    if ((at[0] == 0xe0 && at[1] < 0xa0) || (at[0] == 0xed && at[1] > 0x9f) ||
        (at[0] == 0xf0 && at[1] < 0x90) || (at[0] == 0xf4 && at[1] > 0x8f))
        return 0;
    return more + 1;
}

static inline bool is_utf8(const char *text, size_t length)
{
    size_t more = 1;

    for (size_t i = 0; i < length && more; i += more)
        more = character_at((const unsigned char *)text + i, length - i);
    return more > 0;
}

/* Valid UTF-8 with no control byte (C0, DEL, C1) but those of `allowed`. */
static inline bool is_plain(const char *text, size_t length, const char *allowed)
{
    for (size_t i = 0; i < length;) {
        const unsigned char *at = (const unsigned char *)text + i;
        size_t more = character_at(at, length - i);
        bool control = at[0] < 0x20 || at[0] == 0x7f || (more == 2 && at[0] == 0xc2 && at[1] < 0xa0);

        if (!more || (control && !(at[0] && strchr(allowed, at[0]))))
            return false;
        i += more;
    }
    return true;
}

/* A complaint is one that a person can act on: the status that was returned, some words, a place that makes sense. What
 * was read in UTF-8 is quoted in it. */
static inline void check_complaint(const aq_error *err, aq_status status, bool utf8)
{
    size_t length = strlen(err->text);

    must(err->status == status);
    must(length > 0);
    if (utf8)
        must(is_utf8(err->text, length));
    must(err->place.line >= 0 && err->place.column >= 0);
}

static inline void check_complaints(const aq_complaints *all, aq_status status)
{
    must(status == AQ_NO_MEMORY || all->count > 0);
    must(all->count <= AQ_COMPLAINTS_MOST);
    for (size_t i = 0; i < all->count; i++)
        check_complaint(&all->at[i], all->at[i].status, true);
}

#endif
