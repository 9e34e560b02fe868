/* Columns of numbers, and things with what is known of each: a line where little is, else a line for each figure. */
#include "render/text_tables.h"

#include <math.h>

#include "render/elements.h"

void aq_text_label_tops(aq_page *page, const aq_sheet *sheet)
{
    static const char passed[] = "Passed this once because: ";
    bool any = false;
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const aq_row *row = &sheet->rows.at[i];
        if (isnan(row->label_used) || !row->part)
            continue;
        if (!any)
            aq_page_heading(page, "SHARE OF LABEL TOP");
        any = true;
        aq_sentence_share(page, row->label_used);
        aq_page_text(page, row->label_used > 1 ? " OVER THE LABEL: " : " ");
        aq_page_name(page, row->part);
        aq_page_line(page, 2);
    }
    if (!sheet->over_label)
        return;
    aq_page_text(page, passed);
    aq_page_name(page, sheet->over_label);
    aq_page_line(page, sizeof passed - 1);
}

void aq_text_figures(aq_page *page, const aq_sheet *sheet)
{
    aq_columns columns = { 0 };
    if (!aq_elements_leave_figures(sheet))
        return;
    aq_page_heading(page, "FIGURES");
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (!aq_elements_tell(sheet, &sheet->figures.at[i]))
            aq_columns_widen(&columns, aq_spoken_figure(sheet->job, &sheet->figures.at[i]));
    for (size_t i = 0; i < sheet->figures.count; i++) {
        const aq_figure *figure = &sheet->figures.at[i];
        char room[AQ_LABEL_ROOM];
        if (aq_elements_tell(sheet, figure))
            continue;
        if (!figure->amount.given) {
            aq_sentence_figure(page, sheet->job, figure);
            aq_page_line(page, 2);
            continue;
        }
        size_t hang = aq_page_cell(page, "", aq_spoken_figure(sheet->job, figure), columns);
        aq_page_others(page, &figure->amount);
        aq_page_name(page, aq_figure_label(sheet->job, figure, room));
        aq_page_line(page, hang);
    }
}

/* A thing and much that is known of it: a line each. */
static void long_record(aq_page *page, const aq_sheet *sheet, const aq_record *record)
{
    aq_page_name(page, record->name);
    aq_page_line(page, 2);
    for (size_t i = 0; i < record->figures.count; i++) {
        aq_page_indent(page, 2);
        aq_sentence_figure(page, sheet->job, &record->figures.at[i]);
        aq_page_line(page, 4);
    }
}

static void short_record(aq_page *page, const aq_sheet *sheet, const aq_record *record)
{
    aq_page_name(page, record->name);
    aq_page_text(page, record->figures.count ? ": " : "");
    aq_sentence_figures(page, sheet->job, &record->figures);
    aq_page_line(page, 2);
}

enum { SHORT_MOST = 5 }; /* figures that still read as one sentence */

void aq_text_records(aq_page *page, const aq_sheet *sheet, const char *heading, const aq_records *records)
{
    bool many = false;
    if (!records->count)
        return;
    for (size_t i = 0; i < records->count; i++)
        many = many || records->at[i].figures.count > SHORT_MOST;
    aq_page_heading(page, heading);
    for (size_t i = 0; i < records->count; i++)
        if (many)
            long_record(page, sheet, &records->at[i]);
        else
            short_record(page, sheet, &records->at[i]);
}

/* Totals are amounts of things: number, unit, name, in columns. */
void aq_text_totals(aq_page *page, const aq_sheet *sheet)
{
    const aq_records *totals = &sheet->totals;
    aq_columns columns = { 0 };
    if (!totals->count)
        return;
    aq_page_heading(page, "IN ALL");
    for (size_t i = 0; i < totals->count; i++)
        if (totals->at[i].figures.count)
            aq_columns_widen(&columns, aq_spoken_figure(NULL, &totals->at[i].figures.at[0]));
    for (size_t i = 0; i < totals->count; i++) {
        const aq_record *total = &totals->at[i];
        size_t hang = 2;
        if (total->figures.count) {
            hang = aq_page_cell(page, "", aq_spoken_figure(NULL, &total->figures.at[0]), columns);
            aq_page_others(page, &total->figures.at[0].amount);
        }
        aq_page_name(page, total->name);
        aq_page_line(page, hang);
    }
}
