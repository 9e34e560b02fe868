/* A sheet as JSON (RFC 8259): one schema for every job, "sheet 1".
 *
 * Members that are not given are left out. Numbers are {"value":60,"unit":"L"}, with "within" where a tolerance is
 * stated; only label_used, pieces, gap, day, and low and high of a pH window stand bare. A figure whose name holds a
 * dot is nested: "real.N" is {"real":{"N":...}}. Spread out, each member of a sheet has its line and each row, hazard
 * or record stays on one; compact, the whole sheet is one line. A batch writes tens of thousands of these a second, so
 * everything is appended straight to the buffer, by hand. */
#include <math.h>
#include <string.h>

#include "base/decimal.h"
#include "render/glyph.h"
#include "render/json.h"

typedef struct {
    aq_buffer *out;
    bool first; /* nothing stands yet in the object or array being written */
    int tight;  /* > 0: on one line */
    int depth;
} json_pen;

/* The buffer's own room is used directly while it lasts. */
static inline void put(aq_buffer *out, const char *bytes, size_t count)
{
    if (out->bytes && !out->failed && out->room - out->length > count) {
        memcpy(out->bytes + out->length, bytes, count);
        out->length += count;
        out->bytes[out->length] = '\0';
    } else {
        aq_buffer_add(out, bytes, count);
    }
}

#define LITERAL(pen, text) put((pen)->out, "" text, sizeof(text) - 1)

static void line_break(json_pen *pen)
{
    static const char blanks[] = "                                ";
    put(pen->out, "\n", 1);
    size_t columns = 2 * (size_t)pen->depth;
    put(pen->out, blanks, columns < sizeof blanks ? columns : sizeof blanks - 1);
}

static void separate(json_pen *pen)
{
    if (!pen->first)
        put(pen->out, ",", 1);
    pen->first = false;
    if (!pen->tight)
        line_break(pen);
}

static void begin(json_pen *pen, const char *bracket)
{
    put(pen->out, bracket, 1);
    pen->first = true;
    pen->depth++;
}

static void end(json_pen *pen, const char *bracket)
{
    pen->depth--;
    if (!pen->tight && !pen->first)
        line_break(pen);
    put(pen->out, bracket, 1);
    pen->first = false;
}

/* Opens what stays on one line, and ends it. */
static void begin_tight(json_pen *pen, const char *bracket)
{
    pen->tight++;
    begin(pen, bracket);
}

static void end_tight(json_pen *pen, const char *bracket)
{
    end(pen, bracket);
    pen->tight--;
}

#define KEY(pen, name) (separate(pen), LITERAL(pen, "\"" name "\":"))

/* \u with four digits; above U+FFFF a surrogate pair. */
static void escape_code(aq_buffer *out, unsigned long code)
{
    static const char digits[] = "0123456789abcdef";
    if (code > 0xffff) {
        code -= 0x10000;
        escape_code(out, 0xd800 + (code >> 10));
        code = 0xdc00 + (code & 0x3ff);
    }
    char text[6] = {
        '\\', 'u', digits[code >> 12 & 15], digits[code >> 8 & 15], digits[code >> 4 & 15], digits[code & 15]
    };
    put(out, text, sizeof text);
}

/* One character that cannot be copied as it stands. Direction marks go by number, for a line may be read on a
 * terminal; a byte that is no UTF-8 becomes the replacement character. */
static size_t escape(aq_buffer *out, const char *text)
{
    if (*text == '"' || *text == '\\') {
        put(out, "\\", 1);
        put(out, text, 1);
        return 1;
    }
    aq_glyph glyph = aq_glyph_at(text);
    if (glyph.broken)
        escape_code(out, 0xfffd);
    else if (aq_glyph_harmful(glyph))
        escape_code(out, glyph.code);
    else
        put(out, text, glyph.bytes);
    return glyph.bytes;
}

static bool stands(unsigned char byte)
{
    return byte >= 0x20 && byte < 0x7f && byte != '"' && byte != '\\';
}

static void quoted(aq_buffer *out, const char *text, size_t length)
{
    put(out, "\"", 1);
    for (size_t i = 0; i < length;) {
        size_t run = i;
        while (run < length && stands((unsigned char)text[run]))
            run++;
        if (run > i)
            put(out, text + i, run - i);
        i = run;
        if (i < length)
            i += escape(out, text + i);
    }
    put(out, "\"", 1);
}

static void string(json_pen *pen, const char *text)
{
    quoted(pen->out, text, strlen(text));
}

void aq_json_string(aq_buffer *out, const char *text)
{
    quoted(out, text, strlen(text));
}

static void number(json_pen *pen, double value)
{
    char digits[AQ_DECIMAL_ROOM];
    put(pen->out, digits, aq_decimal_exact(value, digits));
}

static void amount(json_pen *pen, const aq_amount *amount)
{
    LITERAL(pen, "{\"value\":");
    number(pen, amount->value);
    LITERAL(pen, ",\"unit\":");
    string(pen, amount->unit ? amount->unit : "1");
    if (amount->within > 0) {
        LITERAL(pen, ",\"within\":");
        number(pen, amount->within);
    }
    LITERAL(pen, "}");
}

#define TEXT(pen, name, text)                                                                                \
    do {                                                                                                     \
        if (text) {                                                                                          \
            KEY(pen, name);                                                                                  \
            string(pen, text);                                                                               \
        }                                                                                                    \
    } while (0)

#define AMOUNT(pen, name, given_amount)                                                                      \
    do {                                                                                                     \
        if ((given_amount).given) {                                                                          \
            KEY(pen, name);                                                                                  \
            amount(pen, &(given_amount));                                                                    \
        }                                                                                                    \
    } while (0)

#define BARE(pen, name, value)                                                                               \
    do {                                                                                                     \
        if (!isnan(value)) {                                                                                 \
            KEY(pen, name);                                                                                  \
            number(pen, value);                                                                              \
        }                                                                                                    \
    } while (0)

#define STRINGS(pen, name, list)                                                                             \
    do {                                                                                                     \
        if ((list).count) {                                                                                  \
            KEY(pen, name);                                                                                  \
            strings(pen, &(list));                                                                           \
        }                                                                                                    \
    } while (0)

static void strings(json_pen *pen, const aq_texts *list)
{
    begin(pen, "[");
    for (size_t i = 0; i < list->count; i++) {
        separate(pen);
        string(pen, list->at[i]);
    }
    end(pen, "]");
}

/* Whether an earlier figure has the same first `length` bytes, so that the object they share is written already. */
static bool opened_before(const aq_figures *figures, size_t which, size_t length)
{
    for (size_t i = 0; i < which; i++)
        if (strncmp(figures->at[i].name, figures->at[which].name, length) == 0)
            return true;
    return false;
}

/* The members that share the first `length` bytes of `prefix`: one for each figure, or an object for each next dot. */
static void figure_members(json_pen *pen, const aq_figures *figures, const char *prefix, size_t length)
{
    for (size_t i = 0; i < figures->count; i++) {
        const aq_figure *figure = &figures->at[i];
        if (length && strncmp(figure->name, prefix, length) != 0)
            continue;
        const char *rest = figure->name + length, *dot = strchr(rest, '.');
        size_t shared = dot ? (size_t)(dot - figure->name) + 1 : 0;
        if (dot && opened_before(figures, i, shared))
            continue;
        separate(pen);
        quoted(pen->out, rest, dot ? (size_t)(dot - rest) : strlen(rest));
        put(pen->out, ":", 1);
        if (dot) {
            begin_tight(pen, "{");
            figure_members(pen, figures, figure->name, shared);
            end_tight(pen, "}");
        } else if (figure->text) {
            string(pen, figure->text);
        } else {
            amount(pen, &figure->amount);
        }
    }
}

/* A window of pH, or one value where both ends meet. */
static void ph_window(json_pen *pen, double low, double high)
{
    begin_tight(pen, "{");
    BARE(pen, "low", low);
    BARE(pen, "high", high);
    if (!isnan(low) && !isnan(high)) {
        KEY(pen, "value");
        number(pen, low + (high - low) / 2);
        if (high > low) {
            KEY(pen, "within");
            number(pen, (high - low) / 2);
        }
    }
    KEY(pen, "unit");
    LITERAL(pen, "\"pH\"");
    end_tight(pen, "}");
}

/* An EC, or {"ph":...}, or the EC with the window beside it. */
static void row_expect(json_pen *pen, const aq_row *row)
{
    bool window = !isnan(row->ph_low) || !isnan(row->ph_high);
    if (!row->expect.given && !window)
        return;
    KEY(pen, "expect");
    if (!window) {
        amount(pen, &row->expect);
        return;
    }
    begin_tight(pen, "{");
    if (row->expect.given) {
        BARE(pen, "value", row->expect.value);
        TEXT(pen, "unit", row->expect.unit);
        if (row->expect.within > 0)
            BARE(pen, "within", row->expect.within);
    }
    KEY(pen, "ph");
    ph_window(pen, row->ph_low, row->ph_high);
    end_tight(pen, "}");
}

static void row_pieces(json_pen *pen, const aq_row *row)
{
    if (!row->pieces.count)
        return;
    KEY(pen, "pieces");
    begin_tight(pen, "[");
    for (size_t i = 0; i < row->pieces.count; i++) {
        separate(pen);
        number(pen, row->pieces.at[i]);
    }
    end_tight(pen, "]");
}

static void row_members(json_pen *pen, const aq_row *row)
{
    KEY(pen, "do");
    string(pen, aq_do_word(row->what));
    TEXT(pen, "part", row->part);
    TEXT(pen, "water", row->water);
    TEXT(pen, "tank", row->tank);
    TEXT(pen, "to", row->to);
    AMOUNT(pen, "exact", row->exact);
    AMOUNT(pen, "amount", row->amount);
    TEXT(pen, "with", row->with);
    row_pieces(pen, row);
    BARE(pen, "label_used", row->label_used);
    AMOUNT(pen, "make", row->make);
    AMOUNT(pen, "concentrate", row->concentrate);
    AMOUNT(pen, "each", row->each);
    AMOUNT(pen, "strength", row->strength);
    row_expect(pen, row);
    AMOUNT(pen, "time", row->time);
    TEXT(pen, "note", row->note);
}

static void rows(json_pen *pen, const aq_rows *rows)
{
    if (!rows->count)
        return;
    KEY(pen, "rows");
    begin(pen, "[");
    for (size_t i = 0; i < rows->count; i++) {
        separate(pen);
        begin_tight(pen, "{");
        row_members(pen, &rows->at[i]);
        end_tight(pen, "}");
    }
    end(pen, "]");
}

static void hazards(json_pen *pen, const aq_hazards *hazards)
{
    if (!hazards->count)
        return;
    KEY(pen, "hazards");
    begin(pen, "[");
    for (size_t i = 0; i < hazards->count; i++) {
        const aq_hazard *hazard = &hazards->at[i];
        separate(pen);
        begin_tight(pen, "{");
        TEXT(pen, "code", hazard->code && *hazard->code ? hazard->code : NULL);
        TEXT(pen, "rule", hazard->rule);
        TEXT(pen, "text", hazard->text);
        TEXT(pen, "part", hazard->part);
        if (hazard->refuses) {
            KEY(pen, "refuses");
            LITERAL(pen, "true");
        }
        end_tight(pen, "}");
    }
    end(pen, "]");
}

static void pours(json_pen *pen, const aq_pours *pours)
{
    if (!pours->count)
        return;
    KEY(pen, "do");
    begin_tight(pen, "[");
    for (size_t i = 0; i < pours->count; i++) {
        const aq_pour *pour = &pours->at[i];
        separate(pen);
        begin_tight(pen, "{");
        KEY(pen, "do");
        string(pen, aq_do_word(pour->what));
        if (pour->what == AQ_DO_WATER)
            TEXT(pen, "water", pour->part);
        else
            TEXT(pen, "part", pour->part);
        AMOUNT(pen, "amount", pour->amount);
        end_tight(pen, "}");
    }
    end_tight(pen, "]");
}

static void figures(json_pen *pen, const aq_figures *figures)
{
    if (!figures->count)
        return;
    KEY(pen, "figures");
    begin(pen, "{");
    figure_members(pen, figures, "", 0);
    end(pen, "}");
}

static void asides(json_pen *pen, const aq_asides *asides)
{
    begin(pen, "[");
    for (size_t i = 0; i < asides->count; i++) {
        const aq_aside *aside = &asides->at[i];
        separate(pen);
        begin_tight(pen, "{");
        TEXT(pen, "part", aside->part);
        BARE(pen, "label_used", aside->label_used);
        AMOUNT(pen, "ec", aside->ec);
        TEXT(pen, "say", aside->say);
        pours(pen, &aside->pours);
        figures(pen, &aside->figures);
        end_tight(pen, "}");
    }
    end(pen, "]");
}

#define ASIDES(pen, name, list)                                                                              \
    do {                                                                                                     \
        if ((list).count) {                                                                                  \
            KEY(pen, name);                                                                                  \
            asides(pen, &(list));                                                                            \
        }                                                                                                    \
    } while (0)

static void records(json_pen *pen, const aq_records *records)
{
    begin(pen, "[");
    for (size_t i = 0; i < records->count; i++) {
        const aq_record *record = &records->at[i];
        separate(pen);
        begin_tight(pen, "{");
        separate(pen);
        string(pen, record->label);
        put(pen->out, ":", 1);
        string(pen, record->name);
        figure_members(pen, &record->figures, "", 0);
        end_tight(pen, "}");
    }
    end(pen, "]");
}

#define RECORDS(pen, name, list)                                                                             \
    do {                                                                                                     \
        if ((list).count) {                                                                                  \
            KEY(pen, name);                                                                                  \
            records(pen, &(list));                                                                           \
        }                                                                                                    \
    } while (0)

static void shorts(json_pen *pen, const aq_shorts *shorts)
{
    if (!shorts->count)
        return;
    KEY(pen, "short");
    begin(pen, "[");
    for (size_t i = 0; i < shorts->count; i++) {
        separate(pen);
        begin_tight(pen, "{");
        TEXT(pen, "what", shorts->at[i].what);
        AMOUNT(pen, "by", shorts->at[i].by);
        TEXT(pen, "because", shorts->at[i].because);
        end_tight(pen, "}");
    }
    end(pen, "]");
}

static void expect(json_pen *pen, const aq_sheet *sheet)
{
    bool window = !isnan(sheet->expect_ph_low) || !isnan(sheet->expect_ph_high);
    if (!sheet->expect_ec.given && !window)
        return;
    KEY(pen, "expect");
    begin_tight(pen, "{");
    AMOUNT(pen, "ec", sheet->expect_ec);
    if (window) {
        KEY(pen, "ph");
        ph_window(pen, sheet->expect_ph_low, sheet->expect_ph_high);
    }
    end_tight(pen, "}");
}

static void certificate(json_pen *pen, const aq_sheet *sheet)
{
    if (isnan(sheet->gap) && !sheet->at_bound.count)
        return;
    KEY(pen, "certificate");
    begin_tight(pen, "{");
    BARE(pen, "gap", sheet->gap);
    STRINGS(pen, "at_bound", sheet->at_bound);
    end_tight(pen, "}");
}

/* What, for whom, when, and with what water. */
static void head(json_pen *pen, const aq_sheet *sheet)
{
    TEXT(pen, "job", sheet->job);
    TEXT(pen, "title", sheet->title);
    TEXT(pen, "aim", sheet->aim);
    KEY(pen, "outcome");
    string(pen, aq_outcome_word(sheet->outcome));
    TEXT(pen, "verdict", sheet->verdict);
    if (sheet->at.date.year) {
        char at[AQ_DATE_ROOM];
        aq_moment_write(sheet->at, at);
        KEY(pen, "at");
        string(pen, at);
    }
    TEXT(pen, "timezone", sheet->timezone);
    TEXT(pen, "site", sheet->site);
    TEXT(pen, "reservoir", sheet->reservoir);
    TEXT(pen, "lot", sheet->lot);
    if (sheet->day >= 0)
        BARE(pen, "day", (double)sheet->day);
    TEXT(pen, "who", sheet->who);
    TEXT(pen, "note", sheet->note);
    AMOUNT(pen, "volume", sheet->volume);
    AMOUNT(pen, "heel", sheet->heel);
    AMOUNT(pen, "heel_ec", sheet->heel_ec);
    TEXT(pen, "water", sheet->water);
}

/* What is to be done, and what to expect of it. */
static void middle(json_pen *pen, const aq_sheet *sheet)
{
    hazards(pen, &sheet->hazards);
    STRINGS(pen, "wear", sheet->wear);
    STRINGS(pen, "cautions", sheet->cautions);
    TEXT(pen, "over_label", sheet->over_label);
    rows(pen, &sheet->rows);
    expect(pen, sheet);
    shorts(pen, &sheet->shorts);
    ASIDES(pen, "if_reads", sheet->if_reads);
    ASIDES(pen, "beside", sheet->beside);
    figures(pen, &sheet->figures);
    RECORDS(pen, "elements", sheet->elements);
    RECORDS(pen, "precipitates", sheet->precipitates);
    RECORDS(pen, "causes", sheet->causes);
}

static void sheet_object(json_pen *pen, const aq_sheet *sheet, const char *id);

static void jobs(json_pen *pen, const aq_sheets *jobs)
{
    if (!jobs->count)
        return;
    KEY(pen, "jobs");
    begin(pen, "[");
    for (size_t i = 0; i < jobs->count; i++) {
        separate(pen);
        sheet_object(pen, jobs->at[i], NULL);
    }
    end(pen, "]");
}

static void sheet_object(json_pen *pen, const aq_sheet *sheet, const char *id)
{
    begin(pen, "{");
    if (id) {
        KEY(pen, "id");
        put(pen->out, id, strlen(id));
    }
    KEY(pen, "aliquot");
    LITERAL(pen, "\"sheet 1\"");
    head(pen, sheet);
    middle(pen, sheet);
    jobs(pen, &sheet->jobs);
    RECORDS(pen, "totals", sheet->totals);
    RECORDS(pen, "supplies", sheet->supplies);
    STRINGS(pen, "next", sheet->next);
    STRINGS(pen, "unseen", sheet->unseen);
    certificate(pen, sheet);
    STRINGS(pen, "assumed", sheet->assumed);
    STRINGS(pen, "why", sheet->why);
    TEXT(pen, "defers", sheet->defers);
    end(pen, "}");
}

void aq_json_add(aq_buffer *out, const aq_sheet *sheet, const aq_manner *manner)
{
    json_pen pen = { .out = out, .first = true, .tight = manner && manner->compact };
    sheet_object(&pen, sheet, manner ? manner->id : NULL);
    put(out, "\n", 1);
}

aq_status aq_render_json(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err)
{
    aq_buffer out = { 0 };
    aq_json_add(&out, sheet, manner);
    return aq_render_send(&out, sink, err);
}
