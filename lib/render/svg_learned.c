/* What was learned, each beside what was said before: the slope of a part beside its label's, the litres of a tank beside
 * its marks; and the readings that were not believed, each beside what it should have been.
 *
 * A line for each. A bar and a dot are the estimate and how sure it is (for a reading, what was expected and how far off
 * it would still have been believed); a diamond is what label or marks say; a cross is a reading. Slopes and litres of
 * all lines share one scale of shares, for their units differ: 1 is what the label says, or the estimate where there is
 * no label. Readings share a scale of mS/cm from 0. */
#include <math.h>
#include <string.h>

#include "render/svg_pen.h"

enum { LEFT = 12, RIGHT = 588, KEY = 34, LINE = 62, NAME = 20, STRIP = 40, HALF = 8 };

typedef struct {
    double low, middle, high; /* the bar and its dot */
    double other;             /* diamond or cross; NaN: none */
} marks;

static bool is_entry(const aq_record *record)
{
    return strcmp(record->label, "entry") == 0;
}

/* The number that a line is about: it bears the interval. */
static const aq_figure *said(const aq_record *record)
{
    const aq_figure *slope = aq_figures_amount_of(&record->figures, "slope"),
                    *volume = aq_figures_amount_of(&record->figures, "volume");

    return is_entry(record) ? aq_figures_amount_of(&record->figures, "expected") : slope ? slope : volume;
}

/* What label or marks say; a label of nothing says nothing. */
static const aq_figure *label_of(const aq_record *record)
{
    const aq_figure *label = aq_figures_amount_of(&record->figures, "label");

    return label && label->amount.value > 0 ? label : NULL;
}

static marks marks_of(const aq_record *record)
{
    const aq_figure *about = said(record), *label = label_of(record),
                    *read = aq_figures_amount_of(&record->figures, "read");
    const aq_figure *other = is_entry(record) ? read : label;
    double unit = is_entry(record) ? 1 : label ? label->amount.value : about->amount.value;
    double within = isfinite(about->amount.within) ? about->amount.within : 0;

    return (marks){ (about->amount.value - within) / unit, about->amount.value / unit,
                    (about->amount.value + within) / unit, other ? other->amount.value / unit : NAN };
}

static bool drawn(const aq_record *record, bool entries)
{
    const aq_figure *about = is_entry(record) == entries ? said(record) : NULL;

    return about && about->amount.value > 0 && (!entries || aq_figures_amount_of(&record->figures, "read"));
}

/* The scale: all marks, with a twentieth to spare at either end. */
static void span(double *from, double *to, const aq_records *learned, bool entries)
{
    *from = entries ? 0 : 0.9;
    *to = entries ? 0 : 1.1;
    for (size_t i = 0; i < learned->count; i++) {
        marks at;

        if (!drawn(&learned->at[i], entries))
            continue;
        at = marks_of(&learned->at[i]);
        *from = fmin(*from, fmax(at.low, 0));
        *to = fmax(*to, fmax(at.high, isnan(at.other) ? at.high : at.other));
    }
    double spare = (*to - *from) / 20;
    *to += spare;
    *from -= *from > 0 ? spare : 0;
}

static void diamond(aq_buffer *out, double x, double y)
{
    aq_svg_line(out, "sign", x - HALF, y, x, y - HALF);
    aq_svg_line(out, "sign", x, y - HALF, x + HALF, y);
    aq_svg_line(out, "sign", x + HALF, y, x, y + HALF);
    aq_svg_line(out, "sign", x, y + HALF, x - HALF, y);
}

static void cross(aq_buffer *out, double x, double y)
{
    aq_svg_line(out, "sign", x - HALF, y - HALF, x + HALF, y + HALF);
    aq_svg_line(out, "sign", x - HALF, y + HALF, x + HALF, y - HALF);
}

static void interval(aq_buffer *out, double low, double middle, double high, double y)
{
    aq_svg_line(out, "bar", low, y, high, y);
    aq_svg_line(out, "bar", low, y - HALF, low, y + HALF);
    aq_svg_line(out, "bar", high, y - HALF, high, y + HALF);
    aq_buffer_text(out, "<circle class=\"solid\"");
    aq_svg_attribute(out, "cx", middle);
    aq_svg_attribute(out, "cy", y);
    aq_buffer_text(out, " r=\"5\"/>\n");
}

static void within(aq_buffer *out, aq_spoken number)
{
    aq_html_text(out, number.digits);
    aq_buffer_text(out, *number.within ? " ± " : "");
    aq_html_text(out, number.within);
}

/* "0.412 ± 0.010 mS/cm per mL/L: Part A, label 0.42"; "read 1.12, not 1.60 ± 0.12: entry 7, Mon 2 Mar 2026" */
static void words(aq_buffer *out, const aq_record *record)
{
    const aq_figure *other =
        is_entry(record) ? aq_figures_amount_of(&record->figures, "read") : label_of(record);
    const char *what = strcmp(record->label, "tank") == 0 ? "marks" : "label";
    aq_spoken number = aq_spoken_amount(&said(record)->amount);

    if (is_entry(record)) {
        aq_buffer_text(out, "read ");
        aq_html_text(out, aq_spoken_amount(&other->amount).digits);
        aq_buffer_text(out, ", not ");
    }
    within(out, number);
    aq_buffer_text(out, is_entry(record) ? "" : " ");
    aq_html_text(out, is_entry(record) ? "" : number.unit);
    aq_buffer_text(out, ": ");
    aq_html_text(out, record->name);
    if (is_entry(record))
        return;
    aq_buffer_format(out, other ? ", %s " : ", no label", what);
    if (other)
        aq_html_text(out, aq_spoken_amount(&other->amount).digits);
}

static void line(aq_buffer *out, const aq_record *record, double top, double from, double to)
{
    double scale = (RIGHT - LEFT) / (to - from), y = top + STRIP;
    marks at = marks_of(record);

    aq_svg_text_at(out, LEFT, top + NAME, "start");
    words(out, record);
    aq_buffer_text(out, "</text>\n");
    aq_svg_line(out, "thin", LEFT, y, RIGHT, y);
    interval(out, LEFT + (fmax(at.low, from) - from) * scale, LEFT + (at.middle - from) * scale,
             LEFT + (at.high - from) * scale, y);
    if (isfinite(at.other))
        (is_entry(record) ? cross : diamond)(out, LEFT + (at.other - from) * scale, y);
}

static void chart(aq_charts *charts, const aq_records *learned, bool entries, const char *title,
                  const char *key)
{
    aq_buffer *out = charts->out;
    double from, to, top = KEY;
    size_t count = 0;

    for (size_t i = 0; i < learned->count; i++)
        count += drawn(&learned->at[i], entries);
    if (!count)
        return;
    span(&from, &to, learned, entries);
    aq_svg_begin(charts, KEY + LINE * (double)count, title);
    for (size_t i = 0; i < learned->count; i++) {
        if (!drawn(&learned->at[i], entries))
            continue;
        words(out, &learned->at[i]);
        aq_buffer_text(out, ". ");
    }
    aq_buffer_text(out, "</desc>\n");
    aq_svg_text_at(out, LEFT, NAME, "start");
    aq_buffer_text(out, key);
    aq_buffer_text(out, "</text>\n");
    for (size_t i = 0; i < learned->count; i++) {
        if (!drawn(&learned->at[i], entries))
            continue;
        line(out, &learned->at[i], top, from, to);
        top += LINE;
    }
    aq_buffer_text(out, "</svg>\n");
}

void aq_svg_learned(aq_charts *charts, const aq_sheet *sheet)
{
    chart(charts, &sheet->learned, false, "What was learned",
          "bar and dot: learned; diamond: label or marks");
}

void aq_svg_doubted(aq_charts *charts, const aq_sheet *sheet)
{
    chart(charts, &sheet->learned, true, "Readings not believed",
          "cross: read, mS/cm; bar and dot: expected");
}
