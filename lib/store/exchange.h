/* The log as text that other programs read, and that comes back without loss: every member of every entry, undone ones
 * and their undos too, and numbers to the last bit.
 *
 *     text   blocks of "key: value", a blank line between them: YAML, and easy on the eye
 *     csv    a heading, then a line each (RFC 4180); amounts are one cell, {A: 18 mL, B: 18 mL}; a cell that a spreadsheet
 *            would run has an apostrophe in front
 *     json   an object a line (JSON Lines), quantities as strings with their unit */
#ifndef AQ_STORE_EXCHANGE_H
#define AQ_STORE_EXCHANGE_H

#include "store/log.h"

typedef enum { AQ_FORM_TEXT, AQ_FORM_CSV, AQ_FORM_JSON, AQ_FORM_COUNT } aq_log_form;
AQ_API const char *aq_log_form_word(aq_log_form form); /* "text" */

/* Writes what the filter leaves. AQ_WRITE_FAILED: the sink gave up. */
AQ_API aq_status aq_log_export(aq_log *log, const aq_log_filter *filter, aq_log_form form, aq_sink sink,
                               aq_error *err);

/* Gives up to `room` bytes, fewer only at the end; -1: they could not be read. */
typedef struct {
    long (*read)(void *from, char *bytes, size_t room);
    void *from;
    const char *name; /* what complaints call it */
} aq_bytes;

typedef struct {
    long read, added; /* entries that were there already are read and not added */
} aq_import_count;

/* Adds every entry of a text of any of the three forms, or none of them. An entry keeps its uid, so that it is added
 * once however often it comes; one without gets a new one; ids are given anew. `said` is how a bare gallon or ppm in
 * it is meant. On failure the log is as it was and `err` has the line. */
AQ_API aq_status aq_log_import(aq_log *log, aq_bytes bytes, const aq_said *said, aq_import_count *count,
                               aq_error *err);

#endif
