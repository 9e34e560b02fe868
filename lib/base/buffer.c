/* Growing bytes. The length doubles, so adding n bytes one at a time costs O(n). */
#include "base/buffer.h"

#include <stdlib.h>
#include <string.h>

#include "base/format.h"

static const size_t default_ceiling = (size_t)64 << 20;

static size_t ceiling_of(const aq_buffer *buffer)
{
    return buffer->ceiling ? buffer->ceiling : default_ceiling;
}

/* More memory, for `count` bytes and the NUL. */
static bool grow(aq_buffer *buffer, size_t count)
{
    size_t room = buffer->room ? buffer->room : 256;
    char *grown;

    while (room - buffer->length <= count)
        room *= 2;
    grown = realloc(buffer->bytes, room);
    if (!grown) {
        buffer->failed = true;
        return false;
    }
    buffer->bytes = grown;
    buffer->room = room;
    return true;
}

/* Room for `count` bytes more and the NUL. */
static bool make_room(aq_buffer *buffer, size_t count)
{
    if (buffer->failed)
        return false;
    if (count >= ceiling_of(buffer) - buffer->length) {
        buffer->failed = true;
        return false;
    }
    return (buffer->bytes && count < buffer->room - buffer->length) || grow(buffer, count);
}

char *aq_buffer_room(aq_buffer *buffer, size_t count)
{
    return make_room(buffer, count) ? buffer->bytes + buffer->length : NULL;
}

void aq_buffer_add(aq_buffer *buffer, const char *bytes, size_t count)
{
    if (!count || !make_room(buffer, count))
        return;
    memcpy(buffer->bytes + buffer->length, bytes, count);
    buffer->length += count;
    buffer->bytes[buffer->length] = '\0';
}

void aq_buffer_text(aq_buffer *buffer, const char *text)
{
    aq_buffer_add(buffer, text, strlen(text));
}

void aq_buffer_char(aq_buffer *buffer, char c)
{
    if (!make_room(buffer, 1))
        return;
    buffer->bytes[buffer->length++] = c;
    buffer->bytes[buffer->length] = '\0';
}

void aq_buffer_format(aq_buffer *buffer, const char *format, ...)
{
    char small[256];
    va_list values;
    int length;

    va_start(values, format);
    length = aq_format(small, sizeof small, format, values);
    va_end(values);
    if (length < 0)
        buffer->failed = true;
    if (length >= 0 && (size_t)length < sizeof small)
        aq_buffer_add(buffer, small, (size_t)length);
    if (length < (int)sizeof small || !make_room(buffer, (size_t)length))
        return;
    va_start(values, format);
    aq_format(buffer->bytes + buffer->length, (size_t)length + 1, format, values);
    va_end(values);
    buffer->length += (size_t)length;
}

const char *aq_buffer_chars(const aq_buffer *buffer)
{
    return buffer->bytes ? buffer->bytes : "";
}

void aq_buffer_clear(aq_buffer *buffer)
{
    buffer->length = 0;
    buffer->failed = false;
    if (buffer->bytes)
        buffer->bytes[0] = '\0';
}

void aq_buffer_free(aq_buffer *buffer)
{
    free(buffer->bytes);
    *buffer = (aq_buffer){ .ceiling = buffer->ceiling };
}

static bool write_into(void *to, const char *bytes, size_t count)
{
    aq_buffer *buffer = to;

    aq_buffer_add(buffer, bytes, count);
    return !buffer->failed;
}

aq_sink aq_buffer_sink(aq_buffer *buffer)
{
    return (aq_sink){ write_into, buffer };
}
