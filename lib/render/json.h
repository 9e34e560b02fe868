/* What JSON texts share. */
#ifndef AQ_RENDER_JSON_H
#define AQ_RENDER_JSON_H

#include "render/render.h"

void aq_json_string(aq_buffer *out, const char *text); /* in quotes, escaped */

#endif
