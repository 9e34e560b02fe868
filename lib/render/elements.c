/* Number first, then what was wanted, then each source:
 *
 *      150 mg/L N (150 wanted)
 *               from 33.6 nitric, 60.2 Calcium
 *               nitrate, 55.9 Potassium nitrate
 *
 * The sources stand without their unit, which is that of the line above, and a single one without its number. Where one
 * brings everything, it is said once. */
#include "render/elements.h"

#include <string.h>

static const aq_amount *figure_of(const aq_record *record, const char *name)
{
    for (size_t i = 0; i < record->figures.count; i++)
        if (strcmp(record->figures.at[i].name, name) == 0)
            return &record->figures.at[i].amount;
    return NULL;
}

bool aq_elements_known(const aq_sheet *sheet)
{
    return sheet->elements.count && strcmp(sheet->elements.at[0].label, "element") == 0;
}

bool aq_elements_tell(const aq_sheet *sheet, const aq_figure *figure)
{
    for (size_t i = 0; aq_elements_known(sheet) && i < sheet->elements.count; i++)
        if (strcmp(sheet->elements.at[i].name, figure->name) == 0)
            return true;
    return false;
}

bool aq_elements_leave_figures(const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (!aq_elements_tell(sheet, &sheet->figures.at[i]))
            return true;
    return false;
}

/* What brings all there is of every element; NULL: several do. */
static const aq_origin *only_source(const aq_sheet *sheet)
{
    const aq_origin *only = NULL;

    for (size_t i = 0; i < sheet->elements.count; i++)
        for (size_t j = 0; j < sheet->elements.at[i].from.count; j++) {
            const aq_origin *one = &sheet->elements.at[i].from.at[j];

            if (only && (strcmp(only->name, one->name) != 0 || strcmp(only->label, one->label) != 0))
                return NULL;
            only = one;
        }
    return only;
}

/* The one source of an element brings all of it, so its number is not said again. */
static void say_sources(aq_page *page, const aq_record *record)
{
    if (record->from.count == 1) {
        aq_page_text(page, "from ");
        aq_page_name(page, record->from.at[0].name);
        return;
    }
    for (size_t i = 0; i < record->from.count; i++) {
        aq_page_text(page, i ? ", " : "from ");
        aq_page_text(page, aq_spoken_amount(&record->from.at[i].amount).digits);
        aq_page_text(page, " ");
        aq_page_name(page, record->from.at[i].name);
    }
}

static void say_only(aq_page *page, const aq_origin *only)
{
    aq_page_text(page, "all from ");
    aq_page_name(page, only->name);
}

void aq_elements_text(aq_page *page, const aq_sheet *sheet)
{
    const aq_origin *only = aq_elements_known(sheet) ? only_source(sheet) : NULL;
    aq_columns columns = { 0 };

    if (!aq_elements_known(sheet))
        return;
    aq_page_heading(page, "IN A LITRE");
    for (size_t i = 0; i < sheet->elements.count; i++)
        aq_columns_widen(&columns, aq_spoken_amount(figure_of(&sheet->elements.at[i], "got")));
    for (size_t i = 0; i < sheet->elements.count; i++) {
        const aq_record *record = &sheet->elements.at[i];
        const aq_amount *wanted = figure_of(record, "wanted");
        size_t hang = aq_page_cell(page, "", aq_spoken_amount(figure_of(record, "got")), columns);

        aq_page_text(page, record->name);
        if (wanted) {
            aq_page_text(page, " (");
            aq_page_text(page, aq_spoken_amount(wanted).digits);
            aq_page_text(page, " wanted)");
        }
        if (!only && record->from.count == 1) {
            aq_page_text(page, " ");
            say_sources(page, record);
        }
        aq_page_line(page, hang);
        if (record->from.count < 2)
            continue;
        aq_page_indent(page, hang);
        say_sources(page, record);
        aq_page_line(page, hang);
    }
    if (only) {
        say_only(page, only);
        aq_page_line(page, 2);
    }
}

static void html_row(aq_web *web, const aq_record *record, bool aimed, bool sources)
{
    const aq_amount *wanted = figure_of(record, "wanted");

    aq_web_put(web, "<tr><th scope=\"row\">");
    aq_page_name(&web->page, record->name);
    aq_web_set(web);
    aq_web_put(web, "</th><td class=\"number\">");
    aq_page_amount(&web->page, aq_spoken_amount(figure_of(record, "got")));
    aq_web_set(web);
    if (aimed) {
        aq_web_put(web, "</td><td class=\"aim\">");
        aq_page_text(&web->page, wanted ? aq_spoken_amount(wanted).digits : "");
        aq_web_set(web);
    }
    if (sources) {
        aq_web_put(web, "</td><td class=\"desk\">");
        say_sources(&web->page, record);
        aq_web_set(web);
    }
    aq_web_put(web, "</td></tr>\n");
}

void aq_elements_html(aq_web *web, const aq_sheet *sheet)
{
    const aq_origin *only = aq_elements_known(sheet) ? only_source(sheet) : NULL;
    bool aimed = false;

    if (!aq_elements_known(sheet))
        return;
    for (size_t i = 0; i < sheet->elements.count; i++)
        aimed = aimed || figure_of(&sheet->elements.at[i], "wanted");
    aq_web_put(web, "<div class=\"run\">\n<table>\n<caption>In a litre");
    if (only) {
        aq_web_put(web, ", ");
        say_only(&web->page, only);
        aq_web_set(web);
    }
    aq_web_put(web, "</caption>\n<thead><tr><th scope=\"col\">element</th><th scope=\"col\">got</th>");
    aq_web_put(web, aimed ? "<th scope=\"col\">wanted</th>" : "");
    aq_web_put(web, only ? "" : "<th scope=\"col\">from</th>");
    aq_web_put(web, "</tr></thead>\n<tbody>\n");
    for (size_t i = 0; i < sheet->elements.count; i++)
        html_row(web, &sheet->elements.at[i], aimed, !only);
    aq_web_put(web, "</tbody>\n</table>\n</div>\n");
}
