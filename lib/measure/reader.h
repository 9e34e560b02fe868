/* What the readers of this room share: a cursor over one short text. Private to lib/measure. */
#ifndef AQ_MEASURE_READER_H
#define AQ_MEASURE_READER_H

#include "measure/quantity.h"

enum { AQ_VALUE_LONGEST = 200 };

/* `text` is the value with typographic signs made plain: a micro sign is u, a degree sign deg, dashes and minus signs -,
 * hard spaces plain ones. */
typedef struct {
    char text[AQ_VALUE_LONGEST + 1];
    size_t at;
    unsigned want;
    aq_said *said;
    aq_error *err;
} aq_reader;

/* AQ_SYNTAX when the text is empty or longer than any value is. */
aq_status aq_reader_start(aq_reader *reader, const char *text, unsigned want, aq_said *said, aq_error *err);
void aq_reader_skip(aq_reader *reader);                   /* spaces */
bool aq_reader_word(aq_reader *reader, const char *word); /* takes the word, if it stands alone there */
bool aq_reader_ended(aq_reader *reader);
aq_status aq_reader_fail(aq_reader *reader, aq_status status, size_t from, const char *format, ...)
    AQ_PRINTF(4, 5);

/* 2.385, 1/2, 1 1/2; a decimal comma is refused with both of its readings. */
aq_status aq_reader_number(aq_reader *reader, double *out);
/* A unit expression, up to what cannot belong to one. */
aq_status aq_reader_measure(aq_reader *reader, aq_measure *out);
/* Complains unless everything was read. */
aq_status aq_reader_finish(aq_reader *reader);
/* Complains unless the kind is one of those wanted. */
aq_status aq_reader_check(aq_reader *reader, aq_kind kind, bool percent, size_t from);

#endif
