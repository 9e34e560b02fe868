/* The rows with which a document, or a line, says once how its ambiguous words are meant. */
#ifndef AQ_MODEL_SAYS_H
#define AQ_MODEL_SAYS_H

#include "document/field.h"

/* In the order of aq_gallon and aq_ratio_as; NULL-ended. */
extern AQ_API const char *const aq_gallon_words[], *const aq_ppm_words[], *const aq_ratio_words[];

#define AQ_GALLON_ROW(type, said)                                                                            \
    {                                                                                                        \
        .key = "gallon", .read = AQ_READ_CHOICE, .says = true, .choices = aq_gallon_words,                   \
        .into = offsetof(type, said.gallon), .help = "how gal, fl oz, tbsp, tsp and gpg are meant",          \
        .example = "us"                                                                                      \
    }
#define AQ_PPM_ROW(type, said)                                                                               \
    {                                                                                                        \
        .key = "ppm", .read = AQ_READ_CHOICE, .says = true, .choices = aq_ppm_words,                         \
        .into = offsetof(type, said.ppm), .help = "how a bare ppm of a reading is meant", .example = "500"   \
    }
#define AQ_RATIO_ROW(type, said)                                                                             \
    {                                                                                                        \
        .key = "ratio", .read = AQ_READ_CHOICE, .says = true, .choices = aq_ratio_words,                     \
        .into = offsetof(type, said.ratio), .help = "how 1:200 is meant: 1 in 200 or 1 plus 200",            \
        .example = "in"                                                                                      \
    }

/* The three, for `said`, a member of `type` that is an aq_said. A job that has a ratio of its own takes two. The walker
 * keeps what was said in walk->said; a check copies that over what these rows left. */
#define AQ_SAYS_ROWS(type, said) AQ_GALLON_ROW(type, said), AQ_PPM_ROW(type, said), AQ_RATIO_ROW(type, said)

#endif
