/* The complaint about what is missing. */
#include "job/rows.h"

#include <stdio.h>

aq_status aq_ask_for(aq_error *err, const char *key, const char *format, ...)
{
    char text[AQ_ERROR_TEXT];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    return aq_fail(err, AQ_MISSING, (aq_place){ 0 }, "%s: %s", key, text);
}
