/* A chart is 600 units wide and as wide as the page lets it be. Sizes of type are in the same units, so on a phone of
 * 360 px a label of 20 units is 12 px high. Coordinates have one decimal. */
#include <math.h>
#include <string.h>

#include "render/glyph.h"
#include "render/svg_pen.h"

enum { BAR = 30, LABEL = 110, VALUE = 150, LINE = 22 };
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

void aq_svg_number(aq_buffer *out, double value)
{
    char digits[AQ_DECIMAL_ROOM];
    aq_buffer_add(out, digits, aq_decimal_places(value, 1, digits));
}

void aq_svg_attribute(aq_buffer *out, const char *name, double value)
{
    aq_buffer_format(out, " %s=\"", name);
    aq_svg_number(out, value);
    aq_buffer_char(out, '"');
}

void aq_svg_spoken(aq_buffer *out, aq_spoken said)
{
    aq_html_text(out, said.digits);
    aq_buffer_text(out, *said.unit ? " " : "");
    aq_html_text(out, said.unit);
}

void aq_svg_begin(aq_charts *charts, double high, const char *title)
{
    aq_buffer *out = charts->out;
    int id = ++charts->drawn;
    aq_buffer_format(out, "<svg role=\"img\" aria-labelledby=\"chart%d chart%dsays\" viewBox=\"0 0 %d ", id,
                     id, AQ_SVG_WIDE);
    aq_svg_number(out, high);
    aq_buffer_format(out, "\">\n<title id=\"chart%d\">", id);
    aq_html_text(out, title);
    aq_buffer_format(out, "</title>\n<desc id=\"chart%dsays\">", id);
}

void aq_svg_text_at(aq_buffer *out, double x, double y, const char *anchor)
{
    aq_buffer_text(out, "<text");
    aq_svg_attribute(out, "x", x);
    aq_svg_attribute(out, "y", y);
    aq_buffer_format(out, " text-anchor=\"%s\">", anchor);
}

void aq_svg_line(aq_buffer *out, const char *style, double x, double y, double to_x, double to_y)
{
    aq_buffer_format(out, "<path class=\"%s\" d=\"M", style);
    aq_svg_number(out, x);
    aq_buffer_char(out, ' ');
    aq_svg_number(out, y);
    aq_buffer_char(out, 'L');
    aq_svg_number(out, to_x);
    aq_buffer_char(out, ' ');
    aq_svg_number(out, to_y);
    aq_buffer_text(out, "\"/>\n");
}

void aq_svg_rect(aq_buffer *out, const char *style, double x, double y, double wide, double high)
{
    aq_buffer_format(out, "<rect class=\"%s\"", style);
    aq_svg_attribute(out, "x", x);
    aq_svg_attribute(out, "y", y);
    aq_svg_attribute(out, "width", wide);
    aq_svg_attribute(out, "height", high);
    aq_buffer_text(out, "/>\n");
}

/* Bars */

static void bar(aq_buffer *out, const aq_bar *bar, size_t which, double most)
{
    double y = BAR * (double)which,
           length = (AQ_SVG_WIDE - LABEL - VALUE) * (most > 0 ? fmax(bar->value, 0) / most : 0);
    aq_svg_text_at(out, LABEL - 8, y + LINE, "end");
    aq_html_text(out, bar->label);
    aq_buffer_text(out, "</text><rect");
    aq_svg_attribute(out, "x", LABEL);
    aq_svg_attribute(out, "y", y + 6);
    aq_svg_attribute(out, "width", length);
    aq_svg_attribute(out, "height", BAR - 10);
    aq_buffer_text(out, "/>");
    aq_svg_text_at(out, LABEL + length + 8, y + LINE, "start");
    aq_svg_spoken(out, bar->said);
    aq_buffer_text(out, "</text>\n");
}

void aq_svg_bars(aq_charts *charts, const char *title, const aq_bar *bars, size_t count)
{
    double most = 0;
    if (!count)
        return;
    aq_svg_begin(charts, BAR * (double)count, title);
    for (size_t i = 0; i < count; i++) {
        aq_buffer_text(charts->out, i ? ", " : "");
        aq_html_text(charts->out, bars[i].label);
        aq_buffer_char(charts->out, ' ');
        aq_svg_spoken(charts->out, bars[i].said);
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
