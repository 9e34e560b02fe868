/* Rows of a sheet for a spreadsheet (RFC 4180: comma, CRLF, quotes doubled, a header line).
 *
 * One line a row of the sheet, and of each job of a plan; where figures were asked for, one line a figure before them,
 * its `do` the word "figure"; after them a line for each element wanted, got or from a source, which is the note, `do`
 * "record". A text cell that a spreadsheet would run as a formula (it begins with = + - or @, in
 * either width) is made inert by an apostrophe; tabs and line breaks are shown by their number like any other control
 * byte. Numbers stand bare, with a point, and their units in a column of their own. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/glyph.h"
#include "render/say.h"

static const char header[] =
    "date,time,day,job,title,site,reservoir,lot,outcome,hazards,row,do,part,tank,to,amount,unit,exact,exact_"
    "unit,"
    "within,with,pieces,label_used,make,make_unit,concentrate,concentrate_unit,ph_low,ph_high,note,"
    "final_ec,final_unit,final_within\r\n";

typedef struct {
    aq_buffer out;
    bool first; /* no cell stands on this line yet */
} sheet_lines;

static void next(sheet_lines *lines)
{
    if (!lines->first)
        aq_buffer_char(&lines->out, ',');
    lines->first = false;
}

static bool runs(unsigned long code)
{
    return code == '=' || code == '+' || code == '-' || code == '@' || code == 0xff1d || code == 0xff0b ||
           code == 0xff0d || code == 0xff20;
}

static bool double_quotes(aq_buffer *out, unsigned long code)
{
    if (code == '"')
        aq_buffer_char(out, '"');
    return false;
}

static void text(sheet_lines *lines, const char *text)
{
    next(lines);
    if (!text || !*text)
        return;
    bool quotes = strpbrk(text, "\",;\t\r\n ") != NULL;
    if (quotes)
        aq_buffer_char(&lines->out, '"');
    if (runs(aq_glyph_at(text).code))
        aq_buffer_char(&lines->out, '\'');
    aq_glyphs_add(&lines->out, text, double_quotes);
    if (quotes)
        aq_buffer_char(&lines->out, '"');
}

static void number(sheet_lines *lines, double value)
{
    char digits[AQ_DECIMAL_ROOM];
    next(lines);
    if (isfinite(value))
        aq_buffer_add(&lines->out, digits, aq_decimal_exact(value, digits));
}

/* Two cells: number and unit. */
static void amount(sheet_lines *lines, const aq_amount *amount)
{
    number(lines, amount && amount->given ? amount->value : NAN);
    text(lines, amount && amount->given ? amount->unit : NULL);
}

static void when(sheet_lines *lines, const aq_sheet *sheet)
{
    char date[AQ_DATE_ROOM] = "", clock[32] = "";
    if (sheet->at.date.year)
        aq_date_write(sheet->at.date, date);
    if (sheet->at.date.year && sheet->at.minute >= 0)
        snprintf(clock, sizeof clock, "%02d:%02d", sheet->at.minute / 60, sheet->at.minute % 60);
    text(lines, date);
    text(lines, clock);
    number(lines, sheet->day >= 0 ? (double)sheet->day : NAN);
}

/* "H314; H318", and the names of rules. */
static void hazards(sheet_lines *lines, const aq_sheet *sheet)
{
    aq_buffer codes = { 0 };
    for (size_t i = 0; i < sheet->hazards.count; i++) {
        const aq_hazard *hazard = &sheet->hazards.at[i];
        aq_buffer_text(&codes, i ? "; " : "");
        aq_buffer_text(&codes, *hazard->code ? hazard->code : hazard->rule ? hazard->rule : hazard->text);
    }
    lines->out.failed = lines->out.failed || codes.failed;
    text(lines, aq_buffer_chars(&codes));
    aq_buffer_free(&codes);
}

/* The cells that every line of a sheet begins with. */
static void begin(sheet_lines *lines, const aq_sheet *sheet, size_t row, const char *what)
{
    lines->first = true;
    when(lines, sheet);
    text(lines, sheet->job);
    text(lines, sheet->title);
    text(lines, sheet->site);
    text(lines, sheet->reservoir);
    text(lines, sheet->lot);
    text(lines, aq_outcome_word(sheet->outcome));
    hazards(lines, sheet);
    number(lines, (double)row);
    text(lines, what);
}

static void end(sheet_lines *lines, const aq_sheet *sheet)
{
    amount(lines, &sheet->expect_ec);
    number(lines, sheet->expect_ec.given && sheet->expect_ec.within > 0 ? sheet->expect_ec.within : NAN);
    aq_buffer_text(&lines->out, "\r\n");
}

static void pieces(sheet_lines *lines, const aq_row *row)
{
    aq_buffer said = { 0 };
    aq_pieces_add(&said, row);
    lines->out.failed = lines->out.failed || said.failed;
    text(lines, aq_buffer_chars(&said));
    aq_buffer_free(&said);
}

static void row_line(sheet_lines *lines, const aq_sheet *sheet, size_t which)
{
    const aq_row *row = &sheet->rows.at[which];
    const aq_amount *shown = aq_row_amount(row);

    begin(lines, sheet, which + 1, aq_do_word(row->what));
    text(lines, row->what == AQ_DO_WATER ? row->water : row->part);
    text(lines, row->tank);
    text(lines, row->to);
    amount(lines, shown);
    amount(lines, &row->exact);
    number(lines, shown && shown->within > 0 ? shown->within : NAN);
    text(lines, row->with);
    pieces(lines, row);
    number(lines, row->label_used);
    amount(lines, &row->make);
    amount(lines, &row->concentrate);
    number(lines, row->ph_low);
    number(lines, row->ph_high);
    text(lines, row->note);
    end(lines, sheet);
}

static void figure_line(sheet_lines *lines, const aq_sheet *sheet, size_t row, const char *name,
                        const char *of, const aq_figure *figure)
{
    begin(lines, sheet, row, of ? "record" : "figure");
    text(lines, of ? of : name);
    text(lines, NULL);
    text(lines, of ? name : NULL);
    amount(lines, &figure->amount);
    amount(lines, NULL);
    number(lines, figure->amount.given && figure->amount.within > 0 ? figure->amount.within : NAN);
    for (int blank = 0; blank < 9; blank++)
        text(lines, NULL);
    text(lines, figure->text);
    end(lines, sheet);
}

static void figures(sheet_lines *lines, const aq_sheet *sheet, size_t *row, const char *of,
                    const aq_figures *figures)
{
    for (size_t i = 0; i < figures->count; i++)
        figure_line(lines, sheet, ++*row, figures->at[i].name, of, &figures->at[i]);
}

/* What each source brings of an element: the source stands last. */
static void origins(sheet_lines *lines, const aq_sheet *sheet, size_t *row, const aq_record *record)
{
    for (size_t i = 0; i < record->from.count; i++) {
        aq_figure brought = { .name = "from", .amount = record->from.at[i].amount };
        brought.text = record->from.at[i].name;
        figure_line(lines, sheet, ++*row, brought.name, record->name, &brought);
    }
}

static void records(sheet_lines *lines, const aq_sheet *sheet, size_t *row, const aq_records *records)
{
    for (size_t i = 0; i < records->count; i++) {
        figures(lines, sheet, row, records->at[i].name, &records->at[i].figures);
        origins(lines, sheet, row, &records->at[i]);
    }
}

static void sheet_rows(sheet_lines *lines, const aq_sheet *sheet)
{
    size_t row = 0;
    if (aq_figures_lead(sheet)) {
        figures(lines, sheet, &row, NULL, &sheet->figures);
        records(lines, sheet, &row, &sheet->supplies);
        records(lines, sheet, &row, &sheet->causes);
        records(lines, sheet, &row, &sheet->precipitates);
    }
    for (size_t i = 0; i < sheet->rows.count; i++)
        row_line(lines, sheet, i);
    row += sheet->rows.count;
    records(lines, sheet, &row, &sheet->elements);
    for (size_t i = 0; i < sheet->jobs.count; i++)
        sheet_rows(lines, sheet->jobs.at[i]);
}

aq_status aq_render_csv(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err)
{
    (void)manner;
    sheet_lines lines = { 0 };
    aq_buffer_text(&lines.out, header);
    sheet_rows(&lines, sheet);
    return aq_render_send(&lines.out, sink, err);
}
