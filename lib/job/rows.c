/* What the rows of every job share: the complaint about what is missing, and a word on tools. */
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

bool aq_say_no_tools(aq_sheet *sheet, const aq_asked *asked)
{
    return asked->bench.count ||
           aq_sheet_assume(sheet, "no tools were given: amounts are exact to three figures");
}

bool aq_say_form(aq_sheet *sheet, const char *of)
{
    return aq_sheet_assume(sheet,
                           "N of %s: in which form is not known; as nitrate and ammonium it is counted so "
                           "that the charges add up",
                           of);
}
