/* How the numbers and names of a sheet are said to people, whatever the format: digits, units in words, the other
 * unit systems, what a figure is called, what a row asks to be done. */
#ifndef AQ_RENDER_SAY_H
#define AQ_RENDER_SAY_H

#include "base/decimal.h"
#include "render/render.h"

/* An amount taken apart: "192" "mL"; "1.60" "mS/cm" "0.13"; "62" "%". */
typedef struct {
    char digits[AQ_DECIMAL_ROOM];
    char within[AQ_DECIMAL_ROOM]; /* "": no tolerance */
    const char *unit;             /* for people: "US gal"; "": none. A currency is as the user typed it */
} aq_spoken;

aq_spoken aq_spoken_amount(
    const aq_amount *amount);                      /* two decimals of an EC, three figures or so of others */
aq_spoken aq_spoken_pour(const aq_amount *amount); /* every digit of what a tool shows */
aq_spoken aq_spoken_figure(const char *job, const aq_figure *figure); /* its text, where it has no number */

/* The amount in another unit system of the sheet's `show`, number `which` of it; false where that is no other,
 * or where nothing in it measures the amount: a third of a millilitre is no share of a teaspoon that a spoon shows. */
bool aq_other_system(const aq_sheet *sheet, size_t which, const aq_amount *amount, aq_amount *out);

/* What a figure is called after its number, "of the EC is from nutrients"; "" where number and unit say it all. A name
 * that the table lacks is written into `room` in words. */
enum { AQ_LABEL_ROOM = 64 };
const char *aq_figure_label(const char *job, const aq_figure *figure, char room[AQ_LABEL_ROOM]);

/* Jobs that are asked for a figure rather than for what to pour. */
bool aq_figures_lead(const aq_sheet *sheet);

/* What is to do next, in two: what may be done instead of the rows, and the rest. */
aq_texts aq_next_instead(const aq_sheet *sheet);
aq_texts aq_next_rest(const aq_sheet *sheet);

/* Whether the rest of what is to do next is about a reading that disagrees; else it is simply next. */
bool aq_next_doubts_meter(const aq_sheet *sheet);

/* Whether it tells what was learned: its causes are entries not believed, and what is unseen no meter's fault. */
bool aq_tells_learned(const aq_sheet *sheet);

/* "3 x 60 + 12" for the fills of a row; nothing for a single fill. */
void aq_pieces_add(aq_buffer *out, const aq_row *row);

/* What the row's amount is: `amount`, else `make`, `expect` or `time`. NULL: none. */
const aq_amount *aq_row_amount(const aq_row *row);

/* Words for the row after its amount, in two parts around a name that a user typed (NULL: none). */
typedef struct {
    const char *before, *name, *after;
} aq_row_words;
aq_row_words aq_row_said(const aq_row *row);

#endif
