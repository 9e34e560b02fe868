/* Where bytes go: a sink, and a buffer that is one.
 *
 * A renderer writes into an aq_sink and never knows whether that is a file, a socket or memory. */
#ifndef AQ_BASE_BUFFER_H
#define AQ_BASE_BUFFER_H

#include "base/error.h"

/* Writes all `count` bytes and returns true, or returns false, after which it is not called again. */
typedef struct {
    bool (*write)(void *to, const char *bytes, size_t count);
    void *to;
} aq_sink;

/* Growing bytes with a ceiling, always ended with a NUL. Start from { 0 } or { .ceiling = n }; a ceiling of 0 means
 * 64 MiB. Once an addition fails, `failed` stays set and nothing more is added, so a long run of additions needs
 * one check at its end. */
typedef struct {
    char *bytes; /* NULL until something is added; use aq_buffer_chars */
    size_t length, room, ceiling;
    bool failed;
} aq_buffer;

AQ_API void aq_buffer_add(aq_buffer *buffer, const char *bytes, size_t count);
AQ_API char *aq_buffer_room(aq_buffer *buffer, size_t count); /* room for so many more; NULL: there is none */
AQ_API void aq_buffer_text(aq_buffer *buffer, const char *text);
AQ_API void aq_buffer_char(aq_buffer *buffer, char c);
AQ_API void aq_buffer_format(aq_buffer *buffer, const char *format, ...)
    AQ_PRINTF(2, 3);                                         /* no doubles: locale */
AQ_API const char *aq_buffer_chars(const aq_buffer *buffer); /* "" when empty; never NULL */
AQ_API void aq_buffer_clear(aq_buffer *buffer);              /* length 0, memory kept, `failed` reset */
AQ_API void aq_buffer_free(aq_buffer *buffer);               /* back to { 0 } but for the ceiling */
AQ_API aq_sink aq_buffer_sink(aq_buffer *buffer);

#endif
