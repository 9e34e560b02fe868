/* What the charts are drawn with. A chart is AQ_SVG_WIDE units wide; its type is 20 of them unless it says less. */
#ifndef AQ_RENDER_SVG_PEN_H
#define AQ_RENDER_SVG_PEN_H

#include "render/svg.h"

enum { AQ_SVG_WIDE = 600 };

/* Opens a chart of that height and its description, which the caller fills in words and closes with </desc>. */
void aq_svg_begin(aq_charts *charts, double high, const char *title);
void aq_svg_number(aq_buffer *out, double value); /* one decimal */
void aq_svg_attribute(aq_buffer *out, const char *name, double value);
void aq_svg_spoken(aq_buffer *out, aq_spoken said);
void aq_svg_text_at(aq_buffer *out, double x, double y, const char *anchor); /* opens <text> */
void aq_svg_line(aq_buffer *out, const char *style, double x, double y, double to_x, double to_y);
void aq_svg_rect(aq_buffer *out, const char *style, double x, double y, double wide, double high);

#endif
