/* Writing JSON by hand, straight into a buffer: objects and lists, spread over lines or on one. */
#ifndef AQ_RENDER_JSON_PEN_H
#define AQ_RENDER_JSON_PEN_H

#include <math.h>
#include <string.h>

#include "render/render.h"

typedef struct {
    aq_buffer *out;
    bool first; /* nothing stands yet in the object or array being written */
    int tight;  /* > 0: on one line */
    int depth;
} aq_json_pen;

/* The buffer's own room is used directly: that for `count` bytes (NULL: there is none), and what was written there. */
static inline char *aq_json_room(aq_buffer *out, size_t count)
{
    if (out->bytes && !out->failed && out->room - out->length > count)
        return out->bytes + out->length;
    return aq_buffer_room(out, count);
}

static inline void aq_json_took(aq_buffer *out, size_t count)
{
    out->length += count;
    out->bytes[out->length] = '\0';
}

static inline void aq_json_put(aq_buffer *out, const char *bytes, size_t count)
{
    char *to = aq_json_room(out, count);

    if (!to)
        return;
    memcpy(to, bytes, count);
    aq_json_took(out, count);
}

void aq_json_line(aq_json_pen *pen); /* to the next line, indented */

/* Before each member or item. */
static inline void aq_json_next(aq_json_pen *pen)
{
    if (!pen->first)
        aq_json_put(pen->out, ",", 1);
    pen->first = false;
    if (!pen->tight)
        aq_json_line(pen);
}

/* "{" or "[", and its end; tight: all that stands in it is on one line. */
void aq_json_begin(aq_json_pen *pen, const char *bracket);
void aq_json_end(aq_json_pen *pen, const char *bracket);
void aq_json_begin_tight(aq_json_pen *pen, const char *bracket);
void aq_json_end_tight(aq_json_pen *pen, const char *bracket);

void aq_json_quoted(aq_buffer *out, const char *text, size_t length);
void aq_json_string(aq_buffer *out, const char *text);
void aq_json_text(aq_json_pen *pen, const char *text);
void aq_json_number(aq_json_pen *pen, double value);
void aq_json_amount(aq_json_pen *pen, const aq_amount *amount);
void aq_json_texts(aq_json_pen *pen, const aq_texts *list);

/* Members that are left out where nothing is given. Names are literals, so their length is known. */
#define AQ_JSON_LITERAL(pen, text) aq_json_put((pen)->out, "" text, sizeof(text) - 1)
#define AQ_JSON_KEY(pen, name) (aq_json_next(pen), AQ_JSON_LITERAL(pen, "\"" name "\":"))
#define AQ_JSON_TEXT(pen, name, text)                                                                        \
    do {                                                                                                     \
        if (text) {                                                                                          \
            AQ_JSON_KEY(pen, name);                                                                          \
            aq_json_text(pen, text);                                                                         \
        }                                                                                                    \
    } while (0)
#define AQ_JSON_AMOUNT(pen, name, given_amount)                                                              \
    do {                                                                                                     \
        if ((given_amount).given) {                                                                          \
            AQ_JSON_KEY(pen, name);                                                                          \
            aq_json_amount(pen, &(given_amount));                                                            \
        }                                                                                                    \
    } while (0)
#define AQ_JSON_BARE(pen, name, value)                                                                       \
    do {                                                                                                     \
        if (!isnan(value)) {                                                                                 \
            AQ_JSON_KEY(pen, name);                                                                          \
            aq_json_number(pen, value);                                                                      \
        }                                                                                                    \
    } while (0)
#define AQ_JSON_STRINGS(pen, name, list)                                                                     \
    do {                                                                                                     \
        if ((list).count) {                                                                                  \
            AQ_JSON_KEY(pen, name);                                                                          \
            aq_json_texts(pen, &(list));                                                                     \
        }                                                                                                    \
    } while (0)

#endif
