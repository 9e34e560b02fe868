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

/* The elements among the figures that are in mg/L, where there are enough to compare. */
void aq_svg_elements(aq_charts *charts, const aq_figures *figures);

/* EC and level of one reservoir through a plan: before and after each job, how sure the reading after it is, and the
 * brim. Nothing is drawn for less than two jobs, nor where no old solution was followed. */
void aq_svg_tank(aq_charts *charts, const aq_sheet *plan, const char *reservoir);

/* What each part is dosed with, day by day; days are drawn together where there are more than a week of them. */
void aq_svg_doses(aq_charts *charts, const aq_sheet *plan);

/* Charges of cations over those of anions: the ions among the sheet's elements. */
void aq_svg_balance(aq_charts *charts, const aq_records *ions);

/* What was learned of parts and tanks, each with how sure it is, beside label or marks. */
void aq_svg_learned(aq_charts *charts, const aq_sheet *sheet);

/* The readings that were not believed, each beside what was expected. */
void aq_svg_doubted(aq_charts *charts, const aq_sheet *sheet);

/* Adds `text` for HTML: harmless, with its markup escaped. */
void aq_html_text(aq_buffer *out, const char *text);

#endif
