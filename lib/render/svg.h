/* Charts as inline SVG: lines in the colour of the text, told apart by dashes and labels, never by colour. Each has a
 * title and a description that say in words what it shows. */
#ifndef AQ_RENDER_SVG_H
#define AQ_RENDER_SVG_H

#include "render/say.h"

/* How often charts were drawn on this page: their ids must differ. */
typedef struct {
    aq_buffer *out;
    int drawn;
} aq_charts;

/* One bar: "42 mg/L" "Ca". */
typedef struct {
    const char *label; /* as a user may have typed it */
    aq_spoken said;
    double value;
} aq_bar;
void aq_svg_bars(aq_charts *charts, const char *title, const aq_bar *bars, size_t count);

/* The elements among the figures that are in mg/L, where there are enough to compare; the first figure of each record. */
void aq_svg_elements(aq_charts *charts, const aq_figures *figures);
void aq_svg_records(aq_charts *charts, const char *title, const aq_records *records);

/* EC and level of one reservoir through a plan, before and after each job. Nothing is drawn for less than two jobs. */
void aq_svg_tank(aq_charts *charts, const aq_sheet *plan, const char *reservoir);

/* Adds `text` for HTML: harmless, with its markup escaped. */
void aq_html_text(aq_buffer *out, const char *text);

#endif
