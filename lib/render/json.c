/* A sheet as JSON (RFC 8259): one schema for every job, "sheet 1".
 *
 * Members that are not given are left out. Numbers are {"value":60,"unit":"L"}, with "within" where a tolerance is
 * stated; only label_used, pieces, gap, day, and low and high of a pH window stand bare. A figure whose name holds a
 * dot is nested: "real.N" is {"real":{"N":...}}. Spread out, each member of a sheet has its line and each row, hazard
 * or record stays on one; compact, the whole sheet is one line. A batch writes tens of thousands of these a second, so
 * everything is appended straight to the buffer, by hand. */
#include "render/json_pen.h"

/* Whether an earlier figure has the same first `length` bytes, so that the object they share is written already. */
static bool opened_before(const aq_figures *figures, size_t which, size_t length)
{
    for (size_t i = 0; i < which; i++)
        if (strncmp(figures->at[i].name, figures->at[which].name, length) == 0)
            return true;
    return false;
}

/* The members that share the first `length` bytes of `prefix`: one for each figure, or an object for each next dot. */
static void figure_members(aq_json_pen *pen, const aq_figures *figures, const char *prefix, size_t length)
{
    for (size_t i = 0; i < figures->count; i++) {
        const aq_figure *figure = &figures->at[i];
        if (length && strncmp(figure->name, prefix, length) != 0)
            continue;
        const char *rest = figure->name + length, *dot = strchr(rest, '.');
        size_t shared = dot ? (size_t)(dot - figure->name) + 1 : 0;
        if (dot && opened_before(figures, i, shared))
            continue;
        aq_json_next(pen);
        aq_json_quoted(pen->out, rest, dot ? (size_t)(dot - rest) : strlen(rest));
        aq_json_put(pen->out, ":", 1);
        if (dot) {
            aq_json_begin_tight(pen, "{");
            figure_members(pen, figures, figure->name, shared);
            aq_json_end_tight(pen, "}");
        } else if (figure->text) {
            aq_json_text(pen, figure->text);
        } else {
            aq_json_amount(pen, &figure->amount);
        }
    }
}

/* A window of pH, or one value where both ends meet. */
static void ph_window(aq_json_pen *pen, double low, double high)
{
    aq_json_begin_tight(pen, "{");
    AQ_JSON_BARE(pen, "low", low);
    AQ_JSON_BARE(pen, "high", high);
    if (!isnan(low) && !isnan(high)) {
        AQ_JSON_KEY(pen, "value");
        aq_json_number(pen, low + (high - low) / 2);
        if (high > low) {
            AQ_JSON_KEY(pen, "within");
            aq_json_number(pen, (high - low) / 2);
        }
    }
    AQ_JSON_KEY(pen, "unit");
    AQ_JSON_LITERAL(pen, "\"pH\"");
    aq_json_end_tight(pen, "}");
}

/* An EC, or {"ph":...}, or the EC with the window beside it. */
static void row_expect(aq_json_pen *pen, const aq_row *row)
{
    bool window = !isnan(row->ph_low) || !isnan(row->ph_high);
    if (!row->expect.given && !window)
        return;
    AQ_JSON_KEY(pen, "expect");
    if (!window) {
        aq_json_amount(pen, &row->expect);
        return;
    }
    aq_json_begin_tight(pen, "{");
    if (row->expect.given) {
        AQ_JSON_BARE(pen, "value", row->expect.value);
        AQ_JSON_TEXT(pen, "unit", row->expect.unit);
        if (row->expect.within > 0)
            AQ_JSON_BARE(pen, "within", row->expect.within);
    }
    AQ_JSON_KEY(pen, "ph");
    ph_window(pen, row->ph_low, row->ph_high);
    aq_json_end_tight(pen, "}");
}

static void row_pieces(aq_json_pen *pen, const aq_row *row)
{
    if (!row->pieces.count)
        return;
    AQ_JSON_KEY(pen, "pieces");
    aq_json_begin_tight(pen, "[");
    for (size_t i = 0; i < row->pieces.count; i++) {
        aq_json_next(pen);
        aq_json_number(pen, row->pieces.at[i]);
    }
    aq_json_end_tight(pen, "]");
}

static void row_members(aq_json_pen *pen, const aq_row *row)
{
    AQ_JSON_KEY(pen, "do");
    aq_json_text(pen, aq_do_word(row->what));
    AQ_JSON_TEXT(pen, "part", row->part);
    AQ_JSON_TEXT(pen, "water", row->water);
    AQ_JSON_TEXT(pen, "tank", row->tank);
    AQ_JSON_TEXT(pen, "to", row->to);
    AQ_JSON_AMOUNT(pen, "exact", row->exact);
    AQ_JSON_AMOUNT(pen, "amount", row->amount);
    AQ_JSON_TEXT(pen, "with", row->with);
    row_pieces(pen, row);
    AQ_JSON_BARE(pen, "label_used", row->label_used);
    AQ_JSON_AMOUNT(pen, "make", row->make);
    AQ_JSON_AMOUNT(pen, "concentrate", row->concentrate);
    AQ_JSON_AMOUNT(pen, "each", row->each);
    AQ_JSON_AMOUNT(pen, "strength", row->strength);
    row_expect(pen, row);
    AQ_JSON_AMOUNT(pen, "time", row->time);
    AQ_JSON_TEXT(pen, "note", row->note);
}

static void rows(aq_json_pen *pen, const aq_rows *rows)
{
    if (!rows->count)
        return;
    AQ_JSON_KEY(pen, "rows");
    aq_json_begin(pen, "[");
    for (size_t i = 0; i < rows->count; i++) {
        aq_json_next(pen);
        aq_json_begin_tight(pen, "{");
        row_members(pen, &rows->at[i]);
        aq_json_end_tight(pen, "}");
    }
    aq_json_end(pen, "]");
}

static void hazards(aq_json_pen *pen, const aq_hazards *hazards)
{
    if (!hazards->count)
        return;
    AQ_JSON_KEY(pen, "hazards");
    aq_json_begin(pen, "[");
    for (size_t i = 0; i < hazards->count; i++) {
        const aq_hazard *hazard = &hazards->at[i];
        aq_json_next(pen);
        aq_json_begin_tight(pen, "{");
        AQ_JSON_TEXT(pen, "code", hazard->code && *hazard->code ? hazard->code : NULL);
        AQ_JSON_TEXT(pen, "rule", hazard->rule);
        AQ_JSON_TEXT(pen, "text", hazard->text);
        AQ_JSON_TEXT(pen, "part", hazard->part);
        if (hazard->refuses) {
            AQ_JSON_KEY(pen, "refuses");
            AQ_JSON_LITERAL(pen, "true");
        }
        aq_json_end_tight(pen, "}");
    }
    aq_json_end(pen, "]");
}

static void pours(aq_json_pen *pen, const aq_pours *pours)
{
    if (!pours->count)
        return;
    AQ_JSON_KEY(pen, "do");
    aq_json_begin_tight(pen, "[");
    for (size_t i = 0; i < pours->count; i++) {
        const aq_pour *pour = &pours->at[i];
        aq_json_next(pen);
        aq_json_begin_tight(pen, "{");
        AQ_JSON_KEY(pen, "do");
        aq_json_text(pen, aq_do_word(pour->what));
        if (pour->what == AQ_DO_WATER)
            AQ_JSON_TEXT(pen, "water", pour->part);
        else
            AQ_JSON_TEXT(pen, "part", pour->part);
        AQ_JSON_AMOUNT(pen, "amount", pour->amount);
        aq_json_end_tight(pen, "}");
    }
    aq_json_end_tight(pen, "]");
}

static void figures(aq_json_pen *pen, const aq_figures *figures)
{
    if (!figures->count)
        return;
    AQ_JSON_KEY(pen, "figures");
    aq_json_begin(pen, "{");
    figure_members(pen, figures, "", 0);
    aq_json_end(pen, "}");
}

static void asides(aq_json_pen *pen, const aq_asides *asides)
{
    aq_json_begin(pen, "[");
    for (size_t i = 0; i < asides->count; i++) {
        const aq_aside *aside = &asides->at[i];
        aq_json_next(pen);
        aq_json_begin_tight(pen, "{");
        AQ_JSON_TEXT(pen, "part", aside->part);
        AQ_JSON_BARE(pen, "label_used", aside->label_used);
        AQ_JSON_AMOUNT(pen, "ec", aside->ec);
        AQ_JSON_TEXT(pen, "say", aside->say);
        pours(pen, &aside->pours);
        figures(pen, &aside->figures);
        aq_json_end_tight(pen, "}");
    }
    aq_json_end(pen, "]");
}

#define ASIDES(pen, name, list)                                                                              \
    do {                                                                                                     \
        if ((list).count) {                                                                                  \
            AQ_JSON_KEY(pen, name);                                                                          \
            asides(pen, &(list));                                                                            \
        }                                                                                                    \
    } while (0)

/* "from": [{"part": "Bag", "amount": ...}] */
static void origins(aq_json_pen *pen, const aq_origins *from)
{
    if (!from->count)
        return;
    AQ_JSON_KEY(pen, "from");
    aq_json_begin_tight(pen, "[");
    for (size_t i = 0; i < from->count; i++) {
        aq_json_next(pen);
        aq_json_begin_tight(pen, "{");
        aq_json_next(pen);
        aq_json_text(pen, from->at[i].label);
        aq_json_put(pen->out, ":", 1);
        aq_json_text(pen, from->at[i].name);
        AQ_JSON_AMOUNT(pen, "amount", from->at[i].amount);
        aq_json_end_tight(pen, "}");
    }
    aq_json_end_tight(pen, "]");
}

static void records(aq_json_pen *pen, const aq_records *records)
{
    aq_json_begin(pen, "[");
    for (size_t i = 0; i < records->count; i++) {
        const aq_record *record = &records->at[i];
        aq_json_next(pen);
        aq_json_begin_tight(pen, "{");
        aq_json_next(pen);
        aq_json_text(pen, record->label);
        aq_json_put(pen->out, ":", 1);
        aq_json_text(pen, record->name);
        figure_members(pen, &record->figures, "", 0);
        origins(pen, &record->from);
        aq_json_end_tight(pen, "}");
    }
    aq_json_end(pen, "]");
}

#define RECORDS(pen, name, list)                                                                             \
    do {                                                                                                     \
        if ((list).count) {                                                                                  \
            AQ_JSON_KEY(pen, name);                                                                          \
            records(pen, &(list));                                                                           \
        }                                                                                                    \
    } while (0)

static void shorts(aq_json_pen *pen, const aq_shorts *shorts)
{
    if (!shorts->count)
        return;
    AQ_JSON_KEY(pen, "short");
    aq_json_begin(pen, "[");
    for (size_t i = 0; i < shorts->count; i++) {
        aq_json_next(pen);
        aq_json_begin_tight(pen, "{");
        AQ_JSON_TEXT(pen, "what", shorts->at[i].what);
        AQ_JSON_AMOUNT(pen, "by", shorts->at[i].by);
        AQ_JSON_TEXT(pen, "because", shorts->at[i].because);
        aq_json_end_tight(pen, "}");
    }
    aq_json_end(pen, "]");
}

static void expect(aq_json_pen *pen, const aq_sheet *sheet)
{
    bool window = !isnan(sheet->expect_ph_low) || !isnan(sheet->expect_ph_high);
    if (!sheet->expect_ec.given && !window)
        return;
    AQ_JSON_KEY(pen, "expect");
    aq_json_begin_tight(pen, "{");
    AQ_JSON_AMOUNT(pen, "ec", sheet->expect_ec);
    if (window) {
        AQ_JSON_KEY(pen, "ph");
        ph_window(pen, sheet->expect_ph_low, sheet->expect_ph_high);
    }
    aq_json_end_tight(pen, "}");
}

static void certificate(aq_json_pen *pen, const aq_sheet *sheet)
{
    if (isnan(sheet->gap) && !sheet->at_bound.count)
        return;
    AQ_JSON_KEY(pen, "certificate");
    aq_json_begin_tight(pen, "{");
    AQ_JSON_BARE(pen, "gap", sheet->gap);
    AQ_JSON_STRINGS(pen, "at_bound", sheet->at_bound);
    aq_json_end_tight(pen, "}");
}

/* What, for whom, when, and with what water. */
static void head(aq_json_pen *pen, const aq_sheet *sheet)
{
    AQ_JSON_TEXT(pen, "job", sheet->job);
    AQ_JSON_TEXT(pen, "title", sheet->title);
    AQ_JSON_TEXT(pen, "aim", sheet->aim);
    AQ_JSON_KEY(pen, "outcome");
    aq_json_text(pen, aq_outcome_word(sheet->outcome));
    AQ_JSON_TEXT(pen, "verdict", sheet->verdict);
    if (sheet->at.date.year) {
        char at[AQ_DATE_ROOM];
        aq_moment_write(sheet->at, at);
        AQ_JSON_KEY(pen, "at");
        aq_json_text(pen, at);
    }
    AQ_JSON_TEXT(pen, "timezone", sheet->timezone);
    AQ_JSON_TEXT(pen, "site", sheet->site);
    AQ_JSON_TEXT(pen, "reservoir", sheet->reservoir);
    AQ_JSON_TEXT(pen, "lot", sheet->lot);
    if (sheet->day >= 0)
        AQ_JSON_BARE(pen, "day", (double)sheet->day);
    AQ_JSON_TEXT(pen, "who", sheet->who);
    AQ_JSON_TEXT(pen, "note", sheet->note);
    AQ_JSON_AMOUNT(pen, "volume", sheet->volume);
    AQ_JSON_AMOUNT(pen, "heel", sheet->heel);
    AQ_JSON_AMOUNT(pen, "heel_ec", sheet->heel_ec);
    AQ_JSON_TEXT(pen, "water", sheet->water);
}

/* What is to be done, and what to expect of it. */
static void middle(aq_json_pen *pen, const aq_sheet *sheet)
{
    hazards(pen, &sheet->hazards);
    AQ_JSON_STRINGS(pen, "wear", sheet->wear);
    AQ_JSON_STRINGS(pen, "cautions", sheet->cautions);
    AQ_JSON_TEXT(pen, "over_label", sheet->over_label);
    rows(pen, &sheet->rows);
    expect(pen, sheet);
    shorts(pen, &sheet->shorts);
    ASIDES(pen, "if_reads", sheet->if_reads);
    ASIDES(pen, "beside", sheet->beside);
    figures(pen, &sheet->figures);
    RECORDS(pen, "elements", sheet->elements);
    RECORDS(pen, "precipitates", sheet->precipitates);
    RECORDS(pen, "causes", sheet->causes);
    RECORDS(pen, "learned", sheet->learned);
}

static void sheet_object(aq_json_pen *pen, const aq_sheet *sheet, const char *id);

static void jobs(aq_json_pen *pen, const aq_sheets *jobs)
{
    if (!jobs->count)
        return;
    AQ_JSON_KEY(pen, "jobs");
    aq_json_begin(pen, "[");
    for (size_t i = 0; i < jobs->count; i++) {
        aq_json_next(pen);
        sheet_object(pen, jobs->at[i], NULL);
    }
    aq_json_end(pen, "]");
}

static void sheet_object(aq_json_pen *pen, const aq_sheet *sheet, const char *id)
{
    aq_json_begin(pen, "{");
    if (id) {
        AQ_JSON_KEY(pen, "id");
        aq_json_put(pen->out, id, strlen(id));
    }
    AQ_JSON_KEY(pen, "aliquot");
    AQ_JSON_LITERAL(pen, "\"sheet 1\"");
    head(pen, sheet);
    middle(pen, sheet);
    jobs(pen, &sheet->jobs);
    RECORDS(pen, "totals", sheet->totals);
    RECORDS(pen, "supplies", sheet->supplies);
    AQ_JSON_STRINGS(pen, "next", sheet->next);
    AQ_JSON_STRINGS(pen, "unseen", sheet->unseen);
    certificate(pen, sheet);
    AQ_JSON_STRINGS(pen, "assumed", sheet->assumed);
    AQ_JSON_STRINGS(pen, "why", sheet->why);
    AQ_JSON_TEXT(pen, "defers", sheet->defers);
    aq_json_end(pen, "}");
}

void aq_json_add(aq_buffer *out, const aq_sheet *sheet, const aq_manner *manner)
{
    aq_json_pen pen = { .out = out, .first = true, .tight = manner && manner->compact };
    sheet_object(&pen, sheet, manner ? manner->id : NULL);
    aq_json_put(out, "\n", 1);
}

aq_status aq_render_json(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err)
{
    aq_buffer out = { 0 };
    aq_json_add(&out, sheet, manner);
    return aq_render_send(&out, sink, err);
}
