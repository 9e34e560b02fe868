/* The words that the shared rows choose from, and the complaint about what is missing. */
#include "job/rows.h"

#include <stdio.h>

const char *const aq_gallon_words[] = { "us", "imperial", NULL };
const char *const aq_ppm_words[] = { "500", "640", "700", NULL };
const char *const aq_ratio_words[] = { "in", "plus", NULL };

/* What a recipe may aim at: nutrients, and sodium and chloride to keep them low. */
const char *const aq_target_words[] = { "NO3-N", "NH4-N", "N",  "P",  "K",  "Ca", "Mg", "S",  "Na",
                                        "Cl",    "Fe",    "Mn", "Zn", "Cu", "B",  "Mo", "Si", NULL };

aq_status aq_ask_for(aq_error *err, const char *key, const char *format, ...)
{
    char text[AQ_ERROR_TEXT];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    return aq_fail(err, AQ_MISSING, (aq_place){ 0 }, "%s: %s", key, text);
}
