/* Lines of text on a page of so many columns: words wrapped under a hanging indent, amounts in columns.
 *
 * A line is first collected word by word, then laid out. What a user typed is shown harmless as it is added. */
#ifndef AQ_RENDER_PAGE_H
#define AQ_RENDER_PAGE_H

#include "render/say.h"

/* A space that must not break, in a line not yet laid out; no name can hold this byte. */
#define AQ_JOIN "\x1f"
enum { AQ_JOIN_BYTE = 0x1f };

/* Around a name that runs from right to left, where the page isolates such names: a number beside it must not change
 * sides. */
enum { AQ_NAME_BYTE = 0x1e, AQ_NAME_END_BYTE = 0x1d };

typedef struct {
    aq_buffer out;
    aq_buffer line; /* collected so far */
    size_t width;
    bool isolate; /* names that run from right to left stand between AQ_NAME_BYTE and AQ_NAME_END_BYTE */
    bool bold;    /* headings are set bold for a terminal */
    const aq_sheet *sheet; /* whose `show` says which unit systems stand beside an amount */
} aq_page;

/* The columns of the amounts of one section: the widest number, and the widest unit. */
typedef struct {
    size_t digits, unit;
} aq_columns;

size_t aq_text_columns(const char *text);

void aq_page_text(aq_page *page, const char *words); /* our own words */
void aq_page_indent(aq_page *page, size_t columns);
void aq_page_name(aq_page *page, const char *typed); /* a user's; a break may stand between its words */
void aq_page_amount(aq_page *page, aq_spoken said);  /* 1.60 mS/cm ± 0.13, never broken */
void aq_page_others(aq_page *page,
                    const aq_amount *amount); /* "(14.5 US gal) ", nothing where there is none */
void aq_page_beside(aq_page *page, const aq_amount *amount); /* the same as " (14.5 US gal)" */

/* Lays out what was collected; lines after the first begin `hang` columns in. Returns the column it ends at, and
 * leaves the line open: aq_page_end closes it. */
size_t aq_page_wrap(aq_page *page, size_t hang);
void aq_page_end(aq_page *page);
void aq_page_drop(aq_page *page);              /* forgets what was collected */
void aq_page_line(aq_page *page, size_t hang); /* wrap and end */
void aq_page_blank(aq_page *page,
                   size_t column); /* room to write at the right edge, then the end of the line */
void aq_page_heading(aq_page *page, const char *words); /* after an empty line */

void aq_columns_widen(aq_columns *columns, aq_spoken said);
/* Starts a line with `mark` and the amount in its columns; returns where the words begin. */
size_t aq_page_cell(aq_page *page, const char *mark, aq_spoken said, aq_columns columns);

#endif
