/* A water's ions as two bars of one scale, charge by charge: cations above, anions below. In a sound analysis both are as
 * long; the gap at the end is what does not add up. Each share has its name beside it, open and hatched by turns. */
#include <math.h>
#include <string.h>

#include "render/svg_pen.h"

enum { LEFT = 10, RIGHT = 590, BAR_HIGH = 34, CATIONS_TOP = 64, ANIONS_TOP = 104, HIGH = 208, NAMED = 76 };

static double charge(const aq_record *ion)
{
    return ion->figures.count && ion->figures.at[0].amount.given ? ion->figures.at[0].amount.value : 0;
}

/* The sign of the charge ends the formula, or stands before its number: Ca+2, HCO3-. */
static bool cation(const aq_record *ion)
{
    return strchr(ion->name, '+') != NULL;
}

static double sum(const aq_records *ions, bool cations)
{
    double out = 0;
    for (size_t i = 0; i < ions->count; i++)
        if (cation(&ions->at[i]) == cations)
            out += charge(&ions->at[i]);
    return out;
}

static void name(aq_buffer *out, const aq_record *ion)
{
    aq_html_text(out, ion->name);
    aq_buffer_char(out, ' ');
    aq_html_text(out, aq_spoken_amount(&ion->figures.at[0].amount).digits);
}

static void hatch(aq_buffer *out, double x, double y, double wide)
{
    for (int i = 1; i * 8 < wide; i++)
        aq_svg_line(out, "bar", x + i * 8, y, x + i * 8, y + BAR_HIGH);
}

/* Shares too narrow for their own name are named at the end of the line. */
static void bar(aq_buffer *out, const aq_records *ions, bool cations, double scale)
{
    double x = LEFT, y = cations ? CATIONS_TOP : ANIONS_TOP,
           text = cations ? CATIONS_TOP - 8 : ANIONS_TOP + 56, free = LEFT;
    bool hatched = false;
    for (size_t i = 0; i < ions->count; i++) {
        double wide = charge(&ions->at[i]) * scale;
        if (cation(&ions->at[i]) != cations || !(wide > 0))
            continue;
        aq_svg_rect(out, "open", x, y, wide, BAR_HIGH);
        if (hatched)
            hatch(out, x, y, wide);
        hatched = !hatched;
        if (wide >= NAMED || x >= free) {
            double at = fmin(fmax(x, free), RIGHT - NAMED);
            aq_svg_text_at(out, at, text, "start");
            name(out, &ions->at[i]);
            aq_buffer_text(out, "</text>\n");
            free = at + 12.0 * (double)(strlen(ions->at[i].name) + 6);
        }
        x += wide;
    }
}

static void total(aq_buffer *out, const char *words, double value, double y)
{
    aq_amount amount = aq_amount_of(value, "meq/L");
    aq_svg_text_at(out, LEFT, y, "start");
    aq_buffer_text(out, words);
    aq_svg_spoken(out, aq_spoken_amount(&amount));
    aq_buffer_text(out, "</text>\n");
}

void aq_svg_balance(aq_charts *charts, const aq_records *ions)
{
    double cations = sum(ions, true), anions = sum(ions, false), most = fmax(cations, anions);
    aq_buffer *out = charts->out;
    if (!(most > 0) || strcmp(ions->at[0].label, "ion") != 0)
        return;
    aq_svg_begin(charts, HIGH, "Charge balance");
    for (size_t i = 0; i < ions->count; i++) {
        aq_buffer_text(out, i ? ", " : "");
        name(out, &ions->at[i]);
        aq_buffer_text(out, " meq/L");
    }
    aq_buffer_text(out, "</desc>\n");
    total(out, "cations ", cations, 24);
    bar(out, ions, true, (RIGHT - LEFT) / most);
    bar(out, ions, false, (RIGHT - LEFT) / most);
    total(out, "anions ", anions, HIGH - 10);
    aq_buffer_text(out, "</svg>\n");
}
