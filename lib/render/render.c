/* The table of renderers: a new one is a file and a line here. */
#include "render/render.h"

#include <string.h>

static const aq_renderer renderers[] = {
    { "text", "text/plain; charset=utf-8", aq_render_text },
    { "json", "application/json", aq_render_json },
    { "csv", "text/csv; charset=utf-8; header=present", aq_render_csv },
    { "html", "text/html; charset=utf-8", aq_render_html },
    { "ics", "text/calendar; charset=utf-8", aq_render_ics },
};

const aq_renderer *aq_renderer_table(size_t *count)
{
    *count = sizeof renderers / sizeof *renderers;
    return renderers;
}

const aq_renderer *aq_renderer_find(const char *name)
{
    for (size_t i = 0; i < sizeof renderers / sizeof *renderers; i++)
        if (strcmp(renderers[i].name, name) == 0)
            return &renderers[i];
    return NULL;
}

aq_status aq_render_send(aq_buffer *buffer, aq_sink sink, aq_error *err)
{
    aq_status status = AQ_OK;
    if (buffer->failed)
        status = aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory while writing the sheet");
    else if (buffer->length && !sink.write(sink.to, buffer->bytes, buffer->length))
        status = aq_fail(err, AQ_WRITE_FAILED, (aq_place){ 0 }, "the sheet could not be written");
    aq_buffer_free(buffer);
    return status;
}
