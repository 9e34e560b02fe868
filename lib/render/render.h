/* A sheet, a plan or the job table to bytes. A renderer is a pure function: no clock, no locale, no files.
 *
 * Names that users typed are made harmless for where they are printed: control bytes and direction marks on a terminal, markup in HTML,
 * formulas in CSV, line breaks in a calendar. */
#ifndef AQ_RENDER_RENDER_H
#define AQ_RENDER_RENDER_H

#include "base/buffer.h"
#include "job/job.h"

typedef struct {
    int width;      /* columns of text: 46 where not given (0), at least 40 */
    bool why;       /* the arithmetic and the uncertainty budget too */
    bool colour;    /* text: bold headings, for a terminal; never the only sign of anything */
    bool compact;   /* json: one line */
    const char *id; /* json: written first, as the member "id"; itself JSON. NULL: none */
    aq_moment now;  /* calendar stamp, UTC */
    const char *
        former; /* calendar: the export before this one, whose events that are gone are cancelled; NULL: none */
} aq_manner;

typedef struct {
    const char *name; /* "text", "json", "csv", "html", "ics" */
    const char *type; /* "application/json" */
    aq_status (*sheet)(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err);
} aq_renderer;

AQ_API const aq_renderer *aq_renderer_table(size_t *count);
AQ_API const aq_renderer *aq_renderer_find(const char *name); /* NULL: none of that name */

/* Writes what the buffer holds into the sink, and frees it. A buffer that failed gives AQ_NO_MEMORY. */
AQ_API aq_status aq_render_send(aq_buffer *buffer, aq_sink sink, aq_error *err);

/* Adds a text that a user typed as the text renderer prints it: what a terminal would obey, or what turns or hides
 * letters, is shown by its number. */
AQ_API void aq_text_add(aq_buffer *out, const char *text);

/* A sheet as JSON and a line break, added to a buffer that a caller keeps. */
AQ_API void aq_json_add(aq_buffer *out, const aq_sheet *sheet, const aq_manner *manner);

AQ_API aq_status aq_render_text(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err);
AQ_API aq_status aq_render_json(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err);
AQ_API aq_status aq_render_csv(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err);
AQ_API aq_status aq_render_html(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err);
AQ_API aq_status aq_render_ics(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err);

/* JSON Schema (draft 2020-12) from rows: of a batch line of that job or of any, of a recipe, of a site; and of the sheet. */
AQ_API aq_status aq_schema_job(const aq_job *job, aq_sink sink, aq_error *err);
AQ_API aq_status aq_schema_batch(aq_sink sink, aq_error *err);
AQ_API aq_status aq_schema_recipe(aq_sink sink, aq_error *err);
AQ_API aq_status aq_schema_site(aq_sink sink, aq_error *err);
AQ_API aq_status aq_schema_sheet(aq_sink sink, aq_error *err);

#endif
