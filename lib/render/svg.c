/* A chart is 600 units wide and as wide as the page lets it be. Sizes of type are in the same units, so on a phone of
 * 360 px a label of 20 units is 12 px high. Coordinates have one decimal. */
#include "render/svg.h"

#include <math.h>
#include <string.h>

#include "render/glyph.h"

enum {
    WIDE = 600,
    BAR = 30,
    LABEL = 110,
    VALUE = 150,
    LEFT = 120,
    RIGHT = 590,
    EC_TOP = 34,
    EC_HIGH = 110,
    LEVEL_TOP = 184,
    LEVEL_HIGH = 70,
    TANK_HIGH = 300,
    LINE = 22
};
enum { BARS_MOST = 32, BARS_LEAST = 3 };

static bool markup(aq_buffer *out, unsigned long code)
{
    static const struct {
        unsigned long code;
        const char *says;
    } escapes[] = {
        { '&', "&amp;" }, { '<', "&lt;" }, { '>', "&gt;" }, { '"', "&quot;" }, { '\'', "&#39;" }
    };
    for (size_t i = 0; i < sizeof escapes / sizeof *escapes; i++) {
        if (escapes[i].code != code)
            continue;
        aq_buffer_text(out, escapes[i].says);
        return true;
    }
    return false;
}

void aq_html_text(aq_buffer *out, const char *text)
{
    aq_glyphs_add(out, text, markup);
}

static void number(aq_buffer *out, double value)
{
    char digits[AQ_DECIMAL_ROOM];
    aq_buffer_add(out, digits, aq_decimal_places(value, 1, digits));
}

static void attribute(aq_buffer *out, const char *name, double value)
{
    aq_buffer_format(out, " %s=\"", name);
    number(out, value);
    aq_buffer_char(out, '"');
}

static void spoken(aq_buffer *out, aq_spoken said)
{
    aq_html_text(out, said.digits);
    aq_buffer_text(out, *said.unit ? " " : "");
    aq_html_text(out, said.unit);
}

static void begin(aq_charts *charts, double high, const char *title)
{
    aq_buffer *out = charts->out;
    int id = ++charts->drawn;
    aq_buffer_format(out, "<svg role=\"img\" aria-labelledby=\"chart%d chart%dsays\" viewBox=\"0 0 %d ", id,
                     id, WIDE);
    number(out, high);
    aq_buffer_format(out, "\">\n<title id=\"chart%d\">", id);
    aq_html_text(out, title);
    aq_buffer_format(out, "</title>\n<desc id=\"chart%dsays\">", id);
}

static void text_at(aq_buffer *out, double x, double y, const char *anchor)
{
    aq_buffer_text(out, "<text");
    attribute(out, "x", x);
    attribute(out, "y", y);
    aq_buffer_format(out, " text-anchor=\"%s\">", anchor);
}

/* Bars */

static void bar(aq_buffer *out, const aq_bar *bar, size_t which, double most)
{
    double y = BAR * (double)which,
           length = (WIDE - LABEL - VALUE) * (most > 0 ? fmax(bar->value, 0) / most : 0);
    text_at(out, LABEL - 8, y + LINE, "end");
    aq_html_text(out, bar->label);
    aq_buffer_text(out, "</text><rect");
    attribute(out, "x", LABEL);
    attribute(out, "y", y + 6);
    attribute(out, "width", length);
    attribute(out, "height", BAR - 10);
    aq_buffer_text(out, "/>");
    text_at(out, LABEL + length + 8, y + LINE, "start");
    spoken(out, bar->said);
    aq_buffer_text(out, "</text>\n");
}

void aq_svg_bars(aq_charts *charts, const char *title, const aq_bar *bars, size_t count)
{
    double most = 0;
    if (!count)
        return;
    begin(charts, BAR * (double)count, title);
    for (size_t i = 0; i < count; i++) {
        aq_buffer_text(charts->out, i ? ", " : "");
        aq_html_text(charts->out, bars[i].label);
        aq_buffer_char(charts->out, ' ');
        spoken(charts->out, bars[i].said);
        most = fmax(most, bars[i].value);
    }
    aq_buffer_text(charts->out, "</desc>\n");
    for (size_t i = 0; i < count; i++)
        bar(charts->out, &bars[i], i, most);
    aq_buffer_text(charts->out, "</svg>\n");
}

void aq_svg_elements(aq_charts *charts, const aq_figures *figures)
{
    aq_bar bars[BARS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < figures->count && count < sizeof bars / sizeof *bars; i++) {
        const aq_figure *figure = &figures->at[i];
        bool symbol = figure->name[0] >= 'A' && figure->name[0] <= 'Z';
        if (symbol && figure->amount.given && figure->amount.unit && strcmp(figure->amount.unit, "mg/L") == 0)
            bars[count++] = (aq_bar){ figure->name, aq_spoken_amount(&figure->amount), figure->amount.value };
    }
    if (count >= BARS_LEAST)
        aq_svg_bars(charts, "In a litre", bars, count);
}

void aq_svg_records(aq_charts *charts, const char *title, const aq_records *records)
{
    aq_bar bars[BARS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < records->count && count < sizeof bars / sizeof *bars; i++) {
        const aq_figures *of = &records->at[i].figures;
        if (of->count && of->at[0].amount.given)
            bars[count++] =
                (aq_bar){ records->at[i].name, aq_spoken_amount(&of->at[0].amount), of->at[0].amount.value };
    }
    aq_svg_bars(charts, title, bars, count);
}

/* A tank */

static bool of_tank(const aq_sheet *job, const char *reservoir)
{
    return job->reservoir && strcmp(job->reservoir, reservoir) == 0 && job->at.date.year;
}

/* Days from the first day of the calendar, with the clock time as a part of a day. */
static double days_of(const aq_sheet *job)
{
    return (double)aq_date_number(job->at.date) + (job->at.minute >= 0 ? job->at.minute / 1440.0 : 0);
}

/* One of the two quantities drawn, before and after a job. */
typedef enum { STRENGTH, LEVEL } quantity;

static const aq_amount *before(const aq_sheet *job, quantity which)
{
    return which == STRENGTH ? &job->heel_ec : &job->heel;
}

static const aq_amount *after(const aq_sheet *job, quantity which)
{
    return which == STRENGTH ? &job->expect_ec : &job->volume;
}

typedef struct {
    const aq_sheet *plan;
    const char *reservoir;
    quantity which;
    double from, to; /* days */
    double most;
    double top, high;
    size_t points;
} tank_frame;

static void widen(tank_frame *frame, const aq_sheet *job)
{
    const aq_amount *amounts[] = { before(job, frame->which), after(job, frame->which) };
    for (size_t i = 0; i < 2; i++) {
        if (!amounts[i]->given)
            continue;
        double day = days_of(job);
        frame->from = frame->points ? fmin(frame->from, day) : day;
        frame->to = frame->points ? fmax(frame->to, day) : day;
        frame->most = fmax(frame->most, amounts[i]->value);
        frame->points++;
    }
}

static tank_frame framed(const aq_sheet *plan, const char *reservoir, quantity which, double top, double high)
{
    tank_frame out = { .plan = plan, .reservoir = reservoir, .which = which, .top = top, .high = high };
    for (size_t i = 0; i < plan->jobs.count; i++)
        if (of_tank(plan->jobs.at[i], reservoir))
            widen(&out, plan->jobs.at[i]);
    return out;
}

static void point(aq_buffer *out, const tank_frame *frame, double day, double value)
{
    double across = frame->to > frame->from ? (day - frame->from) / (frame->to - frame->from) : 0;
    double up = frame->most > 0 ? value / frame->most : 0;
    number(out, LEFT + across * (RIGHT - LEFT));
    aq_buffer_char(out, ',');
    number(out, frame->top + frame->high * (1 - up));
    aq_buffer_char(out, ' ');
}

static void line(aq_buffer *out, const tank_frame *frame, const char *dashes)
{
    aq_buffer_format(out, "<polyline%s points=\"", dashes);
    for (size_t i = 0; i < frame->plan->jobs.count; i++) {
        const aq_sheet *job = frame->plan->jobs.at[i];
        if (!of_tank(job, frame->reservoir))
            continue;
        if (before(job, frame->which)->given)
            point(out, frame, days_of(job), before(job, frame->which)->value);
        if (after(job, frame->which)->given)
            point(out, frame, days_of(job), after(job, frame->which)->value);
    }
    aq_buffer_text(out, "\"/>\n");
}

/* The axis: what it is, its top value, and zero. */
static void axis(aq_buffer *out, const tank_frame *frame, const char *name, const char *unit)
{
    aq_amount most = aq_amount_of(frame->most, unit);
    text_at(out, LEFT - 10, frame->top + LINE / 2.0, "end");
    spoken(out, aq_spoken_amount(&most));
    aq_buffer_text(out, "</text>");
    text_at(out, LEFT - 10, frame->top + frame->high, "end");
    aq_buffer_text(out, "0</text>");
    text_at(out, LEFT, frame->top - 10, "start");
    aq_html_text(out, name);
    aq_buffer_text(out, "</text><path d=\"M");
    number(out, LEFT);
    aq_buffer_char(out, ' ');
    number(out, frame->top);
    aq_buffer_char(out, 'V');
    number(out, frame->top + frame->high);
    aq_buffer_char(out, 'H');
    number(out, RIGHT);
    aq_buffer_text(out, "\"/>\n");
}

static void say_job(aq_buffer *out, const aq_sheet *job)
{
    char day[AQ_DATE_ROOM];
    aq_date_say(job->at.date, day);
    aq_buffer_text(out, day);
    aq_buffer_text(out, ":");
    if (job->heel_ec.given) {
        aq_buffer_char(out, ' ');
        spoken(out, aq_spoken_amount(&job->heel_ec));
        aq_buffer_text(out, " before;");
    }
    if (job->expect_ec.given) {
        aq_buffer_char(out, ' ');
        spoken(out, aq_spoken_amount(&job->expect_ec));
    }
    if (job->volume.given) {
        aq_buffer_text(out, job->expect_ec.given ? ", " : " ");
        spoken(out, aq_spoken_amount(&job->volume));
    }
    aq_buffer_text(out, " after. ");
}

static void date_at(aq_buffer *out, double day, double x, const char *anchor)
{
    char said[AQ_DATE_ROOM];
    aq_date_say(aq_date_of((long)floor(day)), said);
    text_at(out, x, TANK_HIGH - 14, anchor);
    aq_buffer_text(out, said);
    aq_buffer_text(out, "</text>\n");
}

static const char *level_unit(const aq_sheet *plan, const char *reservoir)
{
    for (size_t i = 0; i < plan->jobs.count; i++)
        if (of_tank(plan->jobs.at[i], reservoir) && plan->jobs.at[i]->volume.given)
            return plan->jobs.at[i]->volume.unit;
    return "L";
}

void aq_svg_tank(aq_charts *charts, const aq_sheet *plan, const char *reservoir)
{
    tank_frame ec = framed(plan, reservoir, STRENGTH, EC_TOP, EC_HIGH);
    tank_frame level = framed(plan, reservoir, LEVEL, LEVEL_TOP, LEVEL_HIGH);
    aq_buffer *out = charts->out;
    if (ec.points < 2 || ec.to <= ec.from)
        return;
    if (level.points) {
        level.from = ec.from = fmin(ec.from, level.from);
        level.to = ec.to = fmax(ec.to, level.to);
    }
    begin(charts, TANK_HIGH, reservoir);
    for (size_t i = 0; i < plan->jobs.count; i++)
        if (of_tank(plan->jobs.at[i], reservoir))
            say_job(out, plan->jobs.at[i]);
    aq_buffer_text(out, "</desc>\n");
    axis(out, &ec, "EC", "mS/cm");
    line(out, &ec, "");
    if (level.points) {
        axis(out, &level, "level", level_unit(plan, reservoir));
        line(out, &level, " stroke-dasharray=\"8 6\"");
    }
    date_at(out, ec.from, LEFT, "start");
    date_at(out, ec.to, RIGHT, "end");
    aq_buffer_text(out, "</svg>\n");
}
