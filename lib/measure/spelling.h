/* The plain spelling of what a person typed: ASCII, with a way back to the bytes that were typed.
 *
 *     "1 413 µS/cm" and "20–25 °C"   are read as   "1 413 uS/cm" and "20-25 degC"
 *
 * Private to the room. */
#ifndef AQ_MEASURE_SPELLING_H
#define AQ_MEASURE_SPELLING_H

#include "base/error.h"

enum { AQ_SPELLING_TYPED = 250, AQ_SPELLING_ROOM = 2 * AQ_SPELLING_TYPED + 1 };

typedef struct {
    char text[AQ_SPELLING_ROOM];          /* ended with a NUL */
    unsigned char from[AQ_SPELLING_ROOM]; /* where in the typed bytes each byte, and the NUL, comes from */
    size_t length;
} aq_spelling;

/* False when `length` is above AQ_SPELLING_TYPED: no quantity is that long. */
bool aq_spelling_of(aq_spelling *out, const char *text, size_t length);

/* How many characters the first `bytes` bytes of UTF-8 hold. */
int aq_spelling_characters(const char *text, size_t bytes);

#endif
