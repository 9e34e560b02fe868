/* The words of the rows that say how ambiguous words are meant. */
#include "model/says.h"

const char *const aq_gallon_words[] = { "us", "imperial", NULL };
const char *const aq_ppm_words[] = { "500", "640", "700", NULL };
const char *const aq_ratio_words[] = { "in", "plus", NULL };
