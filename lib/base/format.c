/* One pass over the format; each directive copies its bytes. */
#include "base/format.h"

#include <limits.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    char *out;
    size_t room, length; /* the length goes on where the room has ended */
} writing;

static void put(writing *w, const char *bytes, size_t count)
{
    if (w->length < w->room)
        memcpy(w->out + w->length, bytes, count < w->room - w->length ? count : w->room - w->length);
    w->length += count;
}

static void put_whole(writing *w, uint64_t whole, bool negative)
{
    char digits[24];
    char *at = digits + sizeof digits;

    do
        *--at = (char)('0' + whole % 10);
    while (whole /= 10);
    if (negative)
        *--at = '-';
    put(w, at, (size_t)(digits + sizeof digits - at));
}

static void put_signed(writing *w, long value)
{
    put_whole(w, value < 0 ? 0 - (uint64_t)value : (uint64_t)value, value < 0);
}

static bool put_text(writing *w, const char *text, size_t most)
{
    if (!text)
        return false;
    put(w, text, most == SIZE_MAX ? strlen(text) : strnlen(text, most));
    return true;
}

/* The directive at *format, behind its sign; moves *format behind it. False where it is for printf. */
static bool direct(writing *w, const char **format, va_list *values)
{
    const char *at = *format;
    size_t most = SIZE_MAX;

    if (at[0] == '.' && at[1] == '*') {
        int given = va_arg(*values, int);

        most = given < 0 ? SIZE_MAX : (size_t)given;
        at += 2;
    } else if (at[0] == '.') {
        for (most = 0, at++; *at >= '0' && *at <= '9' && most < 10000; at++)
            most = most * 10 + (size_t)(*at - '0');
    }
    *format = at + (*at == 'z' || *at == 'l' ? 2 : 1);
    if (*at == 's')
        return put_text(w, va_arg(*values, const char *), most);
    if (most != SIZE_MAX)
        return false;
    if (at[0] == 'd')
        put_signed(w, va_arg(*values, int));
    else if (at[0] == 'l' && at[1] == 'd')
        put_signed(w, va_arg(*values, long));
    else if (at[0] == 'l' && at[1] == 'u')
        put_whole(w, va_arg(*values, unsigned long), false);
    else if (at[0] == 'z' && at[1] == 'u')
        put_whole(w, va_arg(*values, size_t), false);
    else if (at[0] == 'c')
        put(w, &(char){ (char)va_arg(*values, int) }, 1);
    else if (at[0] == '%')
        put(w, "%", 1);
    else
        return false;
    return true;
}

/* False where a directive is for printf. */
static bool fill(writing *w, const char *format, va_list *values)
{
    while (*format) {
        if (*format == '%') {
            format++;
            if (!direct(w, &format, values))
                return false;
            continue;
        }
        if (w->length < w->room) /* what stands between directives is short: " ", ": " */
            w->out[w->length] = *format;
        w->length++;
        format++;
    }
    return true;
}

int aq_format(char *out, size_t room, const char *format, va_list values)
{
    writing w = { out, room, 0 };
    va_list mine;
    bool done;

    va_copy(mine, values);
    done = fill(&w, format, &mine);
    va_end(mine);
    if (!done)
        return vsnprintf(out, room, format, values);
    if (room)
        out[w.length < room ? w.length : room - 1] = '\0';
    return w.length > INT_MAX ? -1 : (int)w.length;
}
