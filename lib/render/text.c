/* A sheet as plain text for the bench: 46 columns of a clipped paper or a phone in a bag, or 80.
 *
 * Number first, then unit, then name; a box to tick before each row and room to write what was poured after it. It
 * reads in monochrome; bold headings are only for a terminal that was asked for them. Hazards stand above any
 * amount. */
#include <math.h>
#include <string.h>

#include "render/elements.h"
#include "render/glyph.h"
#include "render/text_tables.h"

enum { NARROW = 46, NARROWEST = 40, BESIDE_BOX = 4 };

#define TICK "[ ] "

static void line_of(aq_page *page, const char *mark, const char *typed)
{
    size_t hang = strlen(mark);
    aq_page_text(page, mark);
    aq_page_name(page, typed);
    aq_page_line(page, hang);
}

static void list(aq_page *page, const char *heading, const aq_texts *lines)
{
    if (!lines->count)
        return;
    aq_page_heading(page, heading);
    for (size_t i = 0; i < lines->count; i++)
        line_of(page, "- ", lines->at[i]);
}

static void outcome(aq_page *page, const aq_sheet *sheet)
{
    const char *says = aq_outcome_says(sheet->outcome);
    if (says) {
        aq_page_text(page, says);
        aq_page_line(page, 0);
    }
    if (sheet->verdict)
        line_of(page, "Verdict: ", sheet->verdict);
}

static void title(aq_page *page, const aq_sheet *sheet)
{
    if (page->bold)
        aq_buffer_text(&page->out, "\x1b[1m");
    aq_page_name(page, sheet->title ? sheet->title : sheet->job);
    aq_page_wrap(page, 2);
    if (page->bold)
        aq_buffer_text(&page->out, "\x1b[0m");
    aq_page_end(page);
    if (sheet->aim)
        line_of(page, "", sheet->aim);
    outcome(page, sheet);
    if (aq_sentence_when(page, sheet))
        aq_page_line(page, 0);
    if (sheet->reservoir && !(sheet->title && strstr(sheet->title, sheet->reservoir)))
        line_of(page, "", sheet->reservoir);
    if (sheet->note)
        line_of(page, "Note: ", sheet->note);
}

static void volume_line(aq_page *page, const aq_amount *amount, const char *words)
{
    aq_page_amount(page, aq_spoken_amount(amount));
    aq_page_text(page, " ");
    aq_page_others(page, amount);
    aq_page_text(page, words);
}

static void volumes(aq_page *page, const aq_sheet *sheet)
{
    if (!sheet->volume.given && !sheet->heel.given && !sheet->water)
        return;
    aq_page_heading(page, "HOLDS");
    if (sheet->heel.given) {
        volume_line(page, &sheet->heel, "of old solution now");
        if (sheet->heel_ec.given) {
            aq_page_text(page, ", at ");
            aq_page_amount(page, aq_spoken_amount(&sheet->heel_ec));
        }
        aq_page_line(page, 2);
    }
    if (sheet->volume.given) {
        volume_line(page, &sheet->volume, "when finished");
        aq_page_line(page, 2);
    }
    if (sheet->water)
        line_of(page, "Water: ", sheet->water);
}

static void hazard_line(aq_page *page, const aq_hazard *hazard)
{
    aq_page_text(page, "! ");
    aq_sentence_hazard(page, hazard);
    aq_page_line(page, 2);
}

static void wear(aq_page *page, const aq_sheet *sheet)
{
    if (!sheet->wear.count)
        return;
    aq_page_text(page, "Wear: ");
    aq_sentence_wear(page, sheet);
    aq_page_line(page, 6);
}

static bool same(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

static bool hazard_seen(const aq_sheet *plan, size_t job, size_t which)
{
    const aq_hazard *hazard = &plan->jobs.at[job]->hazards.at[which];
    for (size_t j = 0; j <= job; j++) {
        const aq_hazards *earlier = &plan->jobs.at[j]->hazards;
        for (size_t i = 0; i < earlier->count && (j < job || i < which); i++)
            if (same(earlier->at[i].code, hazard->code) && same(earlier->at[i].text, hazard->text) &&
                same(earlier->at[i].part, hazard->part))
                return true;
    }
    return false;
}

/* Hazards of this mix; of a plan, those of all its jobs once. */
static void hazards(aq_page *page, const aq_sheet *sheet)
{
    bool any = sheet->hazards.count || sheet->wear.count;
    for (size_t j = 0; j < sheet->jobs.count; j++)
        any = any || sheet->jobs.at[j]->hazards.count;
    if (!any)
        return;
    aq_page_heading(page, "HAZARDS");
    for (size_t i = 0; i < sheet->hazards.count; i++)
        hazard_line(page, &sheet->hazards.at[i]);
    for (size_t j = 0; j < sheet->jobs.count; j++)
        for (size_t i = 0; i < sheet->jobs.at[j]->hazards.count; i++)
            if (!hazard_seen(sheet, j, i))
                hazard_line(page, &sheet->jobs.at[j]->hazards.at[i]);
    wear(page, sheet);
}

static aq_columns row_columns(const aq_rows *rows)
{
    aq_columns columns = { 0 };
    for (size_t i = 0; i < rows->count; i++)
        aq_columns_widen(&columns, aq_row_spoken(&rows->at[i]));
    return columns;
}

static bool wants_blank(aq_do what)
{
    return what != AQ_DO_STIR && what != AQ_DO_WAIT && what != AQ_DO_DISCARD && what != AQ_DO_RINSE;
}

static void row_lines(aq_page *page, const aq_row *row, aq_columns columns)
{
    size_t hang = aq_page_cell(page, TICK, aq_row_spoken(row), columns);
    if (!aq_row_amount(row))
        hang = BESIDE_BOX;
    aq_sentence_row(page, row);
    size_t column = aq_page_wrap(page, hang);
    if (wants_blank(row->what))
        aq_page_blank(page, column);
    else
        aq_page_end(page);

    aq_page_indent(page, hang);
    if (aq_sentence_detail(page, row))
        aq_page_line(page, hang);
    else
        aq_page_drop(page);
}

static void rows(aq_page *page, const aq_rows *rows)
{
    aq_columns columns = row_columns(rows);
    const char *tank = NULL;
    for (size_t i = 0; i < rows->count; i++) {
        const aq_row *row = &rows->at[i];
        if (row->tank && !same(row->tank, tank))
            line_of(page, "Tank ", row->tank);
        tank = row->tank;
        row_lines(page, row, columns);
    }
}

static void expect(aq_page *page, const aq_sheet *sheet)
{
    if (!sheet->expect_ec.given && !aq_ph_window(sheet->expect_ph_low, sheet->expect_ph_high))
        return;
    aq_page_heading(page, "EXPECT");
    aq_sentence_expected(page, sheet);
    size_t column = aq_page_wrap(page, 2);
    if (sheet->rows.count)
        aq_page_blank(page, column);
    else
        aq_page_end(page);
}

static void if_reads(aq_page *page, const aq_sheet *sheet)
{
    if (!sheet->if_reads.count)
        return;
    aq_page_heading(page, "IF IT READS");
    for (size_t i = 0; i < sheet->if_reads.count; i++) {
        const aq_aside *aside = &sheet->if_reads.at[i];
        if (aside->ec.given) {
            aq_page_amount(page, aq_spoken_amount(&aside->ec));
            if (sheet->expect_ec.given)
                aq_page_text(page, aside->ec.value < sheet->expect_ec.value ? " (low)" : " (high)");
            aq_page_text(page, ": ");
        }
        aq_sentence_aside(page, sheet->job, aside, true);
        aq_page_line(page, 2);
    }
}

static void beside(aq_page *page, const aq_sheet *sheet)
{
    if (!sheet->beside.count)
        return;
    aq_page_heading(page, "OR");
    for (size_t i = 0; i < sheet->beside.count; i++) {
        const aq_aside *aside = &sheet->beside.at[i];
        if (aside->ec.given) {
            aq_page_amount(page, aq_spoken_amount(&aside->ec));
            aq_page_text(page, ": ");
        }
        aq_sentence_aside(page, sheet->job, aside, false);
        aq_page_line(page, 2);
    }
}

static void short_line(aq_page *page, const aq_short *miss)
{
    aq_sentence_short(page, miss);
    aq_page_line(page, 2);
}

static void shorts(aq_page *page, const aq_sheet *sheet)
{
    if (!sheet->shorts.count)
        return;
    aq_page_heading(page, "NOT AS ASKED");
    for (size_t i = 0; i < sheet->shorts.count; i++)
        short_line(page, &sheet->shorts.at[i]);
}

static void certificate(aq_page *page, const aq_sheet *sheet)
{
    if (isnan(sheet->gap))
        return;
    aq_page_text(page, "- there is no better mix");
    if (sheet->gap > 0) {
        char digits[AQ_DECIMAL_ROOM];
        aq_decimal_exact(sheet->gap, digits);
        aq_page_text(page, ", to within ");
        aq_page_text(page, digits);
        aq_page_text(page, " of its misfit");
    }
    for (size_t i = 0; i < sheet->at_bound.count; i++) {
        aq_page_text(page, i ? ", " : "; at a limit: ");
        aq_page_name(page, sheet->at_bound.at[i]);
    }
    aq_page_line(page, 2);
}

static void arithmetic(aq_page *page, const aq_sheet *sheet)
{
    if (!sheet->why.count && isnan(sheet->gap))
        return;
    list(page, "WHY", &sheet->why);
    if (!sheet->why.count)
        aq_page_heading(page, "WHY");
    certificate(page, sheet);
}

/* Place for name and time, and the line that gives way to the label. */
static void foot(aq_page *page, const aq_sheet *sheet)
{
    bool poured = sheet->outcome != AQ_REFUSED && (sheet->rows.count || sheet->jobs.count);
    if (poured)
        aq_buffer_text(&page->out, "\npoured by ______________ at _______\n");
    if (sheet->defers) {
        aq_buffer_char(&page->out, '\n');
        line_of(page, "", sheet->defers);
    }
}

/* The day that all jobs of `date` from `first` on count for their lots; -1 where they differ or count none. */
static long common_day(const aq_sheets *jobs, size_t first)
{
    long day = -1;
    for (size_t i = first; i < jobs->count; i++) {
        const aq_sheet *job = jobs->at[i];
        if (aq_date_compare(job->at.date, jobs->at[first]->at.date) != 0)
            break;
        if (job->day >= 0 && day >= 0 && job->day != day)
            return -1;
        if (job->day >= 0)
            day = job->day;
    }
    return day;
}

static void day_heading(aq_page *page, const aq_sheets *jobs, size_t first, long day)
{
    if (jobs->at[first]->at.date.year)
        aq_sentence_date(page, jobs->at[first]->at.date);
    else
        aq_page_text(page, "Any day");
    if (day >= 0) {
        aq_page_text(page, ", ");
        aq_sentence_day(page, day);
    }
    aq_page_heading(page, "");
}

static void job_head(aq_page *page, const aq_sheet *job, bool say_the_day)
{
    if (job->at.minute >= 0) {
        aq_sentence_clock(page, job->at.minute);
        aq_page_text(page, " ");
    }
    aq_page_name(page, job->title ? job->title : job->job);
    if (say_the_day && job->day >= 0) {
        aq_page_text(page, ", ");
        aq_sentence_day(page, job->day);
    }
    aq_page_line(page, 2);
    if (job->aim)
        line_of(page, "", job->aim);
    outcome(page, job);
    if (job->hazards.count) {
        aq_page_text(page, "!");
        for (size_t i = 0; i < job->hazards.count; i++) {
            const aq_hazard *hazard = &job->hazards.at[i];
            aq_page_text(page, i ? ", " : " ");
            aq_page_name(page, *hazard->code ? hazard->code : hazard->text);
        }
        aq_page_line(page, 2);
    }
    wear(page, job);
}

/* A job of a plan, short: what, hazards, rows, what to expect. */
static void job(aq_page *page, const aq_sheet *job, bool say_the_day)
{
    job_head(page, job, say_the_day);
    for (size_t i = 0; i < job->cautions.count; i++)
        line_of(page, "- ", job->cautions.at[i]);
    rows(page, &job->rows);
    if (job->expect_ec.given || aq_ph_window(job->expect_ph_low, job->expect_ph_high)) {
        aq_page_text(page, "expect ");
        aq_sentence_expected(page, job);
        aq_page_line(page, 2);
    }
    for (size_t i = 0; i < job->shorts.count; i++) {
        aq_page_text(page, "short: ");
        short_line(page, &job->shorts.at[i]);
    }
}

static void jobs(aq_page *page, const aq_sheet *sheet)
{
    const aq_sheets *jobs = &sheet->jobs;
    long day = -1;
    for (size_t i = 0; i < jobs->count; i++) {
        bool new_day = i == 0 || aq_date_compare(jobs->at[i]->at.date, jobs->at[i - 1]->at.date) != 0;
        if (new_day) {
            day = common_day(jobs, i);
            day_heading(page, jobs, i, day);
        } else {
            aq_page_end(page);
        }
        page->sheet = jobs->at[i]->show.count ? jobs->at[i] : sheet;
        job(page, jobs->at[i], day < 0);
    }
    page->sheet = sheet;
}

static void actions(aq_page *page, const aq_sheet *sheet)
{
    list(page, "MIND", &sheet->cautions);
    if (aq_figures_lead(sheet))
        aq_text_figures(page, sheet);
    if (sheet->rows.count) {
        aq_page_heading(page, "IN THIS ORDER");
        rows(page, &sheet->rows);
    }
    expect(page, sheet);
    if_reads(page, sheet);
    aq_texts instead = aq_next_instead(sheet), rest = aq_next_rest(sheet);
    list(page, "NEXT", &instead);
    list(page, aq_next_doubts_meter(sheet) ? "IF THE METER DISAGREES" : "NEXT", &rest);
    list(page, aq_tells_learned(sheet) ? "READINGS CANNOT TELL" : "THE METER CANNOT SEE", &sheet->unseen);
    beside(page, sheet);
    jobs(page, sheet);
    aq_text_label_tops(page, sheet);
}

static void findings(aq_page *page, const aq_sheet *sheet)
{
    aq_text_totals(page, sheet);
    aq_text_records(page, sheet, "STOCK", &sheet->supplies);
    shorts(page, sheet);
    aq_text_records(page, sheet, aq_tells_learned(sheet) ? "NOT BELIEVED" : "LIKELY CAUSES", &sheet->causes);
    aq_text_records(page, sheet, "SATURATION: ABOVE 0 MAY FALL OUT", &sheet->precipitates);
    if (aq_elements_known(sheet))
        aq_elements_text(page, sheet);
    else
        aq_text_records(page, sheet, "IN A LITRE", &sheet->elements);
    if (!aq_figures_lead(sheet))
        aq_text_figures(page, sheet);
    list(page, "ASSUMED", &sheet->assumed);
}

aq_status aq_render_text(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err)
{
    int width = manner && manner->width ? manner->width : NARROW;
    aq_page page = { .width = (size_t)(width < NARROWEST ? NARROWEST : width),
                     .sheet = sheet,
                     .bold = manner && manner->colour };
    title(&page, sheet);
    volumes(&page, sheet);
    hazards(&page, sheet);
    actions(&page, sheet);
    findings(&page, sheet);
    if (manner && manner->why)
        arithmetic(&page, sheet);
    foot(&page, sheet);

    aq_page_drop(&page);
    aq_buffer_free(&page.line);
    return aq_render_send(&page.out, sink, err);
}

void aq_text_add(aq_buffer *out, const char *text)
{
    aq_glyphs_add(out, text, NULL);
}
