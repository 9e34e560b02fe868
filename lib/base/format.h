/* Sentences from a format, for the rooms; what printf does with the few directives that sentences have, without its
 * locale and without its cost.
 *
 * Done here: %s with a precision or without, %c, %d, %ld, %zu, %lu, %%. Any other directive, and a NULL for %s, hands the
 * whole format to vsnprintf, so every format that printf takes is right. Private to the library. */
#ifndef AQ_BASE_FORMAT_H
#define AQ_BASE_FORMAT_H

#include "base/error.h"

/* As vsnprintf: writes at most room - 1 bytes and a NUL, returns the length of the whole, negative when it failed. */
int aq_format(char *out, size_t room, const char *format, va_list values) AQ_PRINTF(3, 0);

#endif
