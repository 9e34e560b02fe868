/* The sentences of a sheet, added to the line of a page and not yet laid out: text, web page and calendar set the same
 * words each in its own way. */
#ifndef AQ_RENDER_SENTENCE_H
#define AQ_RENDER_SENTENCE_H

#include "render/page.h"

void aq_sentence_date(aq_page *page, aq_date date);
void aq_sentence_clock(aq_page *page, int minute);
void aq_sentence_day(aq_page *page, long day);
void aq_sentence_words(aq_page *page,
                       const char *text); /* a date that a job gave as 2026-03-06 is said as one */

bool aq_sentence_when(aq_page *page, const aq_sheet *sheet); /* false: it says nothing of when and for whom */
const char *aq_outcome_says(aq_outcome outcome);             /* NULL: as asked */
void aq_sentence_hazard(aq_page *page, const aq_hazard *hazard);
void aq_sentence_wear(aq_page *page, const aq_sheet *sheet);

bool aq_ph_window(double low, double high); /* whether there is one */
void aq_sentence_window(aq_page *page, double low, double high);
void aq_sentence_expected(aq_page *page, const aq_sheet *sheet);

aq_spoken aq_row_spoken(const aq_row *row);                /* its amount; empty: none */
void aq_sentence_row(aq_page *page, const aq_row *row);    /* what follows the amount */
bool aq_sentence_detail(aq_page *page, const aq_row *row); /* fills, tool, note; false: nothing to add */
void aq_sentence_share(aq_page *page, double share);       /* 80 % */
void aq_sentence_figure(aq_page *page, const char *job, const aq_figure *figure);
void aq_sentence_figures(aq_page *page, const char *job, const aq_figures *figures);
void aq_sentence_aside(aq_page *page, const char *job, const aq_aside *aside, bool verbs);
void aq_sentence_short(aq_page *page, const aq_short *miss);

#endif
