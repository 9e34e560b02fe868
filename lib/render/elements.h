/* The table of elements in a litre: got, wanted, and from which source. */
#ifndef AQ_RENDER_ELEMENTS_H
#define AQ_RENDER_ELEMENTS_H

#include "render/web.h"

/* Whether the figure is told again, with more, by the table of elements; it is not repeated then. */
bool aq_elements_tell(const aq_sheet *sheet, const aq_figure *figure);
/* Whether any other figure is left. */
bool aq_elements_leave_figures(const aq_sheet *sheet);

/* Nothing where the sheet has no such table: a water's ions are records of another sort. */
bool aq_elements_known(const aq_sheet *sheet);
void aq_elements_text(aq_page *page, const aq_sheet *sheet);
void aq_elements_html(aq_web *web, const aq_sheet *sheet);

#endif
