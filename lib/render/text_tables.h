/* The tables of the text renderer: shares of label tops, figures, records, totals. Each adds nothing where the sheet has
 * none. */
#ifndef AQ_RENDER_TEXT_TABLES_H
#define AQ_RENDER_TEXT_TABLES_H

#include "render/sentence.h"

void aq_text_label_tops(aq_page *page, const aq_sheet *sheet);
void aq_text_figures(aq_page *page, const aq_sheet *sheet);
void aq_text_records(aq_page *page, const aq_sheet *sheet, const char *heading, const aq_records *records);
void aq_text_totals(aq_page *page, const aq_sheet *sheet);

#endif
