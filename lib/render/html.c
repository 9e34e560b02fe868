/* A sheet as one web page: no script, nothing fetched, for paper (A4, A5, letter) and for a phone of 360 px.
 *
 * Black on white, or white on black where the reader asks for dark; nothing depends on colour. Written so that an XML
 * parser reads it too, which is how the test checks headings, tables, labels and contrast (WCAG 2.1). A row or a job
 * is never split between two sheets of paper. Boxes can be ticked on a screen and print as boxes. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "render/elements.h"
#include "render/style.h"

/* Head */

static void outcome(aq_web *web, const aq_sheet *sheet)
{
    const char *says = aq_outcome_says(sheet->outcome);
    if (says) {
        aq_web_put(web, "<p class=\"outcome\">");
        aq_web_put(web, says);
        aq_web_put(web, "</p>\n");
    }
    aq_web_paragraph(web, "Verdict: ", sheet->verdict);
}

static void holds(aq_web *web, const aq_sheet *sheet)
{
    if (!sheet->volume.given && !sheet->heel.given && !sheet->water)
        return;
    aq_web_begin_run(web, "Holds");
    if (sheet->heel.given) {
        aq_page_amount(&web->page, aq_spoken_amount(&sheet->heel));
        aq_page_text(&web->page, " ");
        aq_page_others(&web->page, &sheet->heel);
        aq_page_text(&web->page, "of old solution now");
        if (sheet->heel_ec.given) {
            aq_page_text(&web->page, ", at ");
            aq_page_amount(&web->page, aq_spoken_amount(&sheet->heel_ec));
        }
        aq_web_item(web);
    }
    if (sheet->volume.given) {
        aq_page_amount(&web->page, aq_spoken_amount(&sheet->volume));
        aq_page_text(&web->page, " ");
        aq_page_others(&web->page, &sheet->volume);
        aq_page_text(&web->page, "when finished");
        aq_web_item(web);
    }
    if (sheet->water) {
        aq_page_text(&web->page, "Water: ");
        aq_page_name(&web->page, sheet->water);
        aq_web_item(web);
    }
    aq_web_end_run(web);
}

static void hazards(aq_web *web, const aq_sheet *sheet, const char *level)
{
    if (!sheet->hazards.count && !sheet->wear.count)
        return;
    aq_buffer_format(&web->out, "<div class=\"hazards\">\n<%s>Hazards</%s>\n<ul>\n", level, level);
    for (size_t i = 0; i < sheet->hazards.count; i++) {
        aq_sentence_hazard(&web->page, &sheet->hazards.at[i]);
        aq_web_item(web);
    }
    if (sheet->wear.count) {
        aq_page_text(&web->page, "Wear: ");
        aq_sentence_wear(&web->page, sheet);
        aq_web_item(web);
    }
    aq_web_put(web, "</ul>\n</div>\n");
}

/* Rows */

/* What is done with the hands alone: it needs no amount poured or read, and no place to write one. */
static bool brief(const aq_row *row)
{
    return row->what == AQ_DO_STIR || row->what == AQ_DO_WAIT || row->what == AQ_DO_DISCARD ||
           row->what == AQ_DO_RINSE;
}

static void row_said(aq_web *web, const aq_row *row)
{
    aq_page_amount(&web->page, aq_row_spoken(row));
    aq_page_text(&web->page, web->page.line.length ? " " : "");
    aq_sentence_row(&web->page, row);
}

static void box(aq_web *web, const aq_row *row)
{
    aq_web_put(web, "<input type=\"checkbox\" aria-label=\"done: ");
    row_said(web, row);
    aq_web_set_as(web, false);
    aq_web_put(web, "\"/>");
}

static void detail(aq_web *web, const aq_row *row)
{
    if (!aq_sentence_detail(&web->page, row))
        return;
    aq_web_put(web, "<small>");
    aq_web_set(web);
    aq_web_put(web, "</small>");
}

/* A stir or a wait under the row that it follows, with a box of its own. */
static void then(aq_web *web, const aq_row *row)
{
    aq_web_put(web, "<span class=\"then\">");
    box(web, row);
    aq_web_put(web, " then ");
    row_said(web, row);
    aq_web_set(web);
    detail(web, row);
    aq_web_put(web, "</span>");
}

static void row(aq_web *web, const aq_rows *rows, size_t which)
{
    const aq_row *row = &rows->at[which];
    aq_web_put(web, "<tr><td class=\"tick\">");
    box(web, row);
    aq_web_put(web, "</td><td><div class=\"do\"><span class=\"amount\">");
    aq_page_amount(&web->page, aq_row_spoken(row));
    aq_web_set(web);
    aq_web_put(web, "</span> <span>");
    aq_sentence_row(&web->page, row);
    if (row->tank) {
        aq_page_text(&web->page, ", tank ");
        aq_page_name(&web->page, row->tank);
    }
    aq_web_set(web);
    detail(web, row);
    for (size_t i = which + 1; i < rows->count && brief(&rows->at[i]); i++)
        then(web, &rows->at[i]);
    aq_web_put(web, brief(row) ? "</span></div></td><td></td></tr>\n"
                               : "</span></div></td><td class=\"write\"></td></tr>\n");
}

static void rows(aq_web *web, const aq_sheet *sheet)
{
    if (!sheet->rows.count)
        return;
    aq_web_put(
        web,
        "<table class=\"steps\">\n<caption>In this order</caption>\n<thead><tr><th scope=\"col\">done</th>"
        "<th scope=\"col\">amount and what</th><th scope=\"col\">poured, read</th></tr>"
        "</thead>\n<tbody>\n");
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (i == 0 || !brief(&sheet->rows.at[i]))
            row(web, &sheet->rows, i);
    aq_web_put(web, "</tbody>\n</table>\n");
}

static void expect(aq_web *web, const aq_sheet *sheet)
{
    if (!sheet->expect_ec.given && !aq_ph_window(sheet->expect_ph_low, sheet->expect_ph_high))
        return;
    aq_web_put(web, "<p><strong>Expect ");
    aq_sentence_expected(&web->page, sheet);
    aq_web_set(web);
    aq_web_put(web, "</strong></p>\n");
}

static void asides(aq_web *web, const char *title, const aq_asides *asides, bool verbs)
{
    if (!asides->count)
        return;
    aq_web_begin_run(web, title);
    for (size_t i = 0; i < asides->count; i++) {
        const aq_aside *aside = &asides->at[i];
        if (aside->ec.given) {
            aq_page_amount(&web->page, aq_spoken_amount(&aside->ec));
            if (verbs && web->sheet->expect_ec.given)
                aq_page_text(&web->page,
                             aside->ec.value < web->sheet->expect_ec.value ? " (low)" : " (high)");
            aq_page_text(&web->page, ": ");
        }
        aq_sentence_aside(&web->page, web->sheet->job, aside, verbs);
        aq_web_item(web);
    }
    aq_web_end_run(web);
}

static void shorts(aq_web *web, const char *title, const aq_shorts *shorts)
{
    if (!shorts->count)
        return;
    if (title)
        aq_web_heading(web, title);
    aq_web_put(web, "<ul>\n");
    for (size_t i = 0; i < shorts->count; i++) {
        aq_page_text(&web->page, title ? "" : "Short: ");
        aq_sentence_short(&web->page, &shorts->at[i]);
        aq_web_item(web);
    }
    aq_web_put(web, "</ul>\n");
}

/* Tables of figures */

static void figure_row(aq_web *web, const aq_figure *figure)
{
    char room[AQ_LABEL_ROOM];
    aq_web_put(web, "<tr><td class=\"number\">");
    if (figure->amount.given)
        aq_page_amount(&web->page, aq_spoken_figure(web->sheet->job, figure));
    else
        aq_sentence_words(&web->page, figure->text ? figure->text : "");
    aq_web_set(web);
    aq_web_put(web, "</td><td>");
    aq_page_others(&web->page, &figure->amount);
    aq_page_name(&web->page, aq_figure_label(web->sheet->job, figure, room));
    aq_web_set(web);
    aq_web_put(web, "</td></tr>\n");
}

/* A table of two columns, which runs on in print. */
static void begin_table(aq_web *web, const char *caption, const char *first, const char *second)
{
    aq_web_put(web, "<div class=\"run\">\n<table>\n<caption>");
    aq_web_put(web, caption);
    aq_web_put(web, "</caption>\n<thead><tr><th scope=\"col\">");
    aq_web_put(web, first);
    aq_web_put(web, "</th><th scope=\"col\">");
    aq_web_put(web, second);
    aq_web_put(web, "</th></tr></thead>\n<tbody>\n");
}

static void figures(aq_web *web, const aq_sheet *sheet)
{
    if (!aq_elements_leave_figures(sheet))
        return;
    begin_table(web, "Figures", "number", "what");
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (!aq_elements_tell(sheet, &sheet->figures.at[i]))
            figure_row(web, &sheet->figures.at[i]);
    aq_web_put(web, "</tbody>\n</table>\n</div>\n");
    if (aq_figures_lead(sheet))
        aq_svg_elements(&web->charts, &sheet->figures);
}

static void records(aq_web *web, const char *caption, const aq_records *records)
{
    if (!records->count)
        return;
    begin_table(web, caption, "what", "figures");
    for (size_t i = 0; i < records->count; i++) {
        aq_web_put(web, "<tr><th scope=\"row\">");
        aq_html_text(&web->out, records->at[i].name);
        aq_web_put(web, "</th><td>");
        aq_sentence_figures(&web->page, web->sheet->job, &records->at[i].figures);
        aq_web_set(web);
        aq_web_put(web, "</td></tr>\n");
    }
    aq_web_put(web, "</tbody>\n</table>\n</div>\n");
}

/* What is to be poured in all, in both unit systems. */
static void totals(aq_web *web, const aq_records *totals)
{
    if (!totals->count)
        return;
    begin_table(web, "In all", "what", "amount");
    for (size_t i = 0; i < totals->count; i++) {
        const aq_figures *figures = &totals->at[i].figures;
        aq_web_put(web, "<tr><th scope=\"row\">");
        aq_html_text(&web->out, totals->at[i].name);
        aq_web_put(web, "</th><td>");
        aq_sentence_figures(&web->page, web->sheet->job, figures);
        if (figures->count == 1)
            aq_page_beside(&web->page, &figures->at[0].amount);
        aq_web_set(web);
        aq_web_put(web, "</td></tr>\n");
    }
    aq_web_put(web, "</tbody>\n</table>\n</div>\n");
}

static void label_tops(aq_web *web, const aq_sheet *sheet)
{
    bool any = false;
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const aq_row *row = &sheet->rows.at[i];
        if (isnan(row->label_used) || !row->part)
            continue;
        if (!any)
            begin_table(web, "Share of label top", "share", "part");
        any = true;
        aq_web_put(web, "<tr><td class=\"number\">");
        aq_sentence_share(&web->page, row->label_used);
        aq_web_set(web);
        aq_web_put(web, row->label_used > 1 ? "</td><td>OVER THE LABEL: " : "</td><td>");
        aq_html_text(&web->out, row->part);
        aq_web_put(web, "</td></tr>\n");
    }
    aq_web_put(web, any ? "</tbody>\n</table>\n</div>\n" : "");
    aq_web_paragraph(web, "Passed this once because: ", sheet->over_label);
}

/* Jobs of a plan */

static void job(aq_web *web, const aq_sheet *job)
{
    aq_web_put(web, "<section class=\"job\">\n<h3>");
    if (job->at.minute >= 0) {
        aq_sentence_clock(&web->page, job->at.minute);
        aq_page_text(&web->page, " ");
    }
    aq_page_name(&web->page, job->title ? job->title : job->job);
    if (job->day >= 0) {
        aq_page_text(&web->page, ", ");
        aq_sentence_day(&web->page, job->day);
    }
    aq_web_set(web);
    aq_web_put(web, "</h3>\n");
    aq_web_paragraph(web, "", job->aim);
    outcome(web, job);
    hazards(web, job, "h4");
    aq_web_list(web, NULL, &job->cautions);
    rows(web, job);
    expect(web, job);
    shorts(web, NULL, &job->shorts);
    aq_web_put(web, "</section>\n");
}

static void jobs(aq_web *web, const aq_sheet *sheet)
{
    const aq_sheets *jobs = &sheet->jobs;
    for (size_t i = 0; i < jobs->count; i++) {
        bool new_day = i == 0 || aq_date_compare(jobs->at[i]->at.date, jobs->at[i - 1]->at.date) != 0;
        if (new_day) {
            aq_web_put(web, "<h2>");
            if (jobs->at[i]->at.date.year)
                aq_sentence_date(&web->page, jobs->at[i]->at.date);
            else
                aq_page_text(&web->page, "Any day");
            aq_web_set(web);
            aq_web_put(web, "</h2>\n");
        }
        web->page.sheet = jobs->at[i]->show.count ? jobs->at[i] : sheet;
        job(web, jobs->at[i]);
    }
    web->page.sheet = sheet;
}

static bool drawn_before(const aq_sheets *jobs, size_t which)
{
    for (size_t i = 0; i < which; i++)
        if (jobs->at[i]->reservoir && strcmp(jobs->at[i]->reservoir, jobs->at[which]->reservoir) == 0)
            return true;
    return false;
}

static void tanks(aq_web *web, const aq_sheet *sheet)
{
    bool any = false;
    for (size_t i = 0; i < sheet->jobs.count; i++) {
        if (!sheet->jobs.at[i]->reservoir || drawn_before(&sheet->jobs, i))
            continue;
        size_t before = web->out.length;
        aq_web_put(web, any ? "" : "<h2>EC and level</h2>\n");
        aq_web_put(web, "<h3>");
        aq_html_text(&web->out, sheet->jobs.at[i]->reservoir);
        aq_web_put(web, "</h3>\n");
        int drawn = web->charts.drawn;
        aq_svg_tank(&web->charts, sheet, sheet->jobs.at[i]->reservoir);
        if (web->charts.drawn == drawn && !web->out.failed) {
            web->out.length = before;
            web->out.bytes[before] = '\0';
            continue;
        }
        any = true;
    }
}

/* A chart under a heading of its own; neither where there is nothing to draw. */
static void headed(aq_web *web, const char *heading, void (*draw)(aq_charts *, const aq_sheet *))
{
    size_t before = web->out.length;
    int drawn = web->charts.drawn;
    aq_buffer_format(&web->out, "<div class=\"chart\">\n<h2>%s</h2>\n", heading);
    draw(&web->charts, web->sheet);
    aq_web_put(web, "</div>\n");
    if (web->charts.drawn == drawn && !web->out.failed) {
        web->out.length = before;
        web->out.bytes[before] = '\0';
    }
}

/* The page */

static void page_head(aq_web *web, const aq_sheet *sheet)
{
    aq_web_put(web, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
                    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
                    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
                    "'unsafe-inline'\"/>\n<title>");
    aq_html_text(&web->out, sheet->title ? sheet->title : sheet->job);
    aq_web_put(web, "</title>\n<style>\n");
    aq_web_put(web, aq_page_style);
    aq_web_put(web, "</style>\n</head>\n<body>\n");
    aq_web_put(web, sheet->jobs.count ? "<main class=\"plan\">\n<h1>" : "<main>\n<h1>");
    aq_html_text(&web->out, sheet->title ? sheet->title : sheet->job);
    aq_web_put(web, "</h1>\n");
    aq_web_paragraph(web, "", sheet->aim);
    outcome(web, sheet);
    bool when = aq_sentence_when(&web->page, sheet);
    if (when || sheet->reservoir) {
        aq_web_put(web, "<p>");
        aq_page_text(&web->page, when && sheet->reservoir ? ", " : "");
        aq_page_name(&web->page, sheet->reservoir ? sheet->reservoir : "");
        aq_web_set(web);
        aq_web_put(web, "</p>\n");
    }
    aq_web_paragraph(web, "Note: ", sheet->note);
}

static void actions(aq_web *web, const aq_sheet *sheet)
{
    holds(web, sheet);
    hazards(web, sheet, "h2");
    aq_web_list(web, "Mind", &sheet->cautions);
    if (aq_figures_lead(sheet))
        figures(web, sheet);
    rows(web, sheet);
    expect(web, sheet);
    asides(web, "If it reads", &sheet->if_reads, true);
    shorts(web, "Not as asked", &sheet->shorts);
    jobs(web, sheet);
    aq_web_put(web, "<div class=\"fine\">\n");
    aq_texts instead = aq_next_instead(sheet), rest = aq_next_rest(sheet);
    aq_web_list(web, "Next", &instead);
    aq_web_list(web, aq_next_doubts_meter(sheet) ? "If the meter disagrees" : "Next", &rest);
    aq_web_list(web, aq_tells_learned(sheet) ? "Readings cannot tell" : "The meter cannot see",
                &sheet->unseen);
    asides(web, "Or", &sheet->beside, false);
    label_tops(web, sheet);
}

static void findings(aq_web *web, const aq_sheet *sheet)
{
    totals(web, &sheet->totals);
    records(web, "Stock", &sheet->supplies);
    records(web, aq_tells_learned(sheet) ? "Not believed" : "Likely causes", &sheet->causes);
    records(web, "Saturation: above 0 may fall out", &sheet->precipitates);
    if (aq_elements_known(sheet)) {
        aq_elements_html(web, sheet);
    } else {
        records(web, "In a litre", &sheet->elements);
        aq_svg_balance(&web->charts, &sheet->elements);
    }
    if (!aq_figures_lead(sheet))
        figures(web, sheet);
    headed(web, "Learned, beside label and marks", aq_svg_learned);
    headed(web, "Readings not believed", aq_svg_doubted);
    tanks(web, sheet);
    headed(web, "Doses by day", aq_svg_doses);
    aq_web_list(web, "Assumed", &sheet->assumed);
    if (web->why)
        aq_web_list(web, "Why", &sheet->why);
}

static void foot(aq_web *web, const aq_sheet *sheet)
{
    if (sheet->outcome != AQ_REFUSED && (sheet->rows.count || sheet->jobs.count))
        aq_web_put(web, "<p class=\"sign\">poured by ______________ at _______</p>\n");
    aq_web_paragraph(web, "", sheet->defers);
    aq_web_put(web, "</div>\n</main>\n</body>\n</html>\n");
}

aq_status aq_render_html(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err)
{
    aq_web web = { .page = { .width = SIZE_MAX / 2, .sheet = sheet, .isolate = true },
                   .sheet = sheet,
                   .why = manner && manner->why };
    web.charts.out = &web.out;
    page_head(&web, sheet);
    actions(&web, sheet);
    findings(&web, sheet);
    foot(&web, sheet);
    aq_buffer_free(&web.page.line);
    return aq_render_send(&web.out, sink, err);
}
