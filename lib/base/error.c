/* Statuses, and the caller's record of a complaint. */
#include "base/error.h"

#include <string.h>

#include "base/format.h"

#define AS_NAME(name, words) #name,
static const char *const names[] = { AQ_STATUS_LIST(AS_NAME) };
#undef AS_NAME

#define AS_TEXT(name, words) words,
static const char *const texts[] = { AQ_STATUS_LIST(AS_TEXT) };
#undef AS_TEXT

const char *aq_status_name(aq_status status)
{
    return (unsigned)status < AQ_STATUS_COUNT ? names[status] : "AQ_UNKNOWN";
}

const char *aq_status_text(aq_status status)
{
    return (unsigned)status < AQ_STATUS_COUNT ? texts[status] : "unknown status";
}

/* Ends `text`, which may have been cut in the middle of a character, after its last whole one. */
static void end_whole(char *text, size_t length)
{
    size_t back = 0;

    while (back < length && back < 4 && ((unsigned char)text[length - 1 - back] & 0xC0) == 0x80)
        back++;
    if (back < length) {
        unsigned char lead = (unsigned char)text[length - 1 - back];
        size_t wanted = lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : lead >= 0xC0 ? 1 : 0;

        if (back < wanted)
            length -= back + 1;
    }
    text[length] = '\0';
}

static void write_text(char *out, size_t room, const char *format, va_list values) AQ_PRINTF(3, 0);
static void write_text(char *out, size_t room, const char *format, va_list values)
{
    int length = aq_format(out, room, format, values);

    if (length < 0)
        out[0] = '\0';
    else if ((size_t)length >= room)
        end_whole(out, room - 1);
}

aq_status(aq_fail)(aq_error *err, aq_status status, aq_place place, const char *format, ...)
{
    va_list values;

    if (!err || err->status != AQ_OK)
        return status;
    err->status = status;
    err->place = place;
    err->question = (aq_question){ .key = NULL };
    va_start(values, format);
    write_text(err->text, sizeof err->text, format, values);
    va_end(values);
    return status;
}

void aq_error_within(aq_error *err, const char *format, ...)
{
    char front[AQ_ERROR_TEXT];
    size_t length, kept;
    va_list values;

    if (!err || err->status == AQ_OK)
        return;
    va_start(values, format);
    write_text(front, sizeof front, format, values);
    va_end(values);
    length = strlen(front);
    kept = strlen(err->text);
    if (length + kept > sizeof err->text - 1) {
        kept = sizeof err->text - 1 - length;
        end_whole(err->text, kept);
        kept = strlen(err->text);
    }
    memmove(err->text + length, err->text, kept + 1);
    memcpy(err->text, front, length);
}

void aq_complain(aq_complaints *all, const aq_error *err)
{
    if (all->count < AQ_COMPLAINTS_MOST)
        all->at[all->count++] = *err;
    else
        all->more++;
}

aq_status aq_complaints_status(const aq_complaints *all)
{
    return all->count ? all->at[0].status : AQ_OK;
}
