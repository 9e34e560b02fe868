/* What leaves each bottle on each day of a plan: a strip of bars for each part, tallest at its largest day.
 *
 * A pour of a pre-dilution is counted where the pre-dilution is made, by the product that goes into it. Seven columns
 * at most: a longer plan puts some days together, and says from which day each column is. */
#include <math.h>
#include <string.h>

#include "render/svg_pen.h"

enum { COLUMNS = 7, PARTS = 12, STRIP = 92, NAME = 22, BARS_TOP = 50, BARS_HIGH = 36, FOOT = 34, LEFT = 10 };

typedef struct {
    const char *part, *unit;
    double sum[COLUMNS];
    double most;
} dose;

typedef struct {
    dose doses[PARTS];
    size_t count;
    long from, days, each; /* each: days of one column */
} doses;

static dose *dose_of(doses *all, const char *part, const char *unit)
{
    for (size_t i = 0; i < all->count; i++)
        if (strcmp(all->doses[i].part, part) == 0 && strcmp(all->doses[i].unit, unit) == 0)
            return &all->doses[i];
    if (all->count == PARTS)
        return NULL;
    all->doses[all->count] = (dose){ .part = part, .unit = unit };
    return &all->doses[all->count++];
}

static void take(doses *all, const aq_sheet *job, const aq_row *row)
{
    bool dosed = row->what == AQ_DO_POUR || row->what == AQ_DO_WEIGH || row->what == AQ_DO_PREDILUTE;
    if (!row->part || !dosed || row->concentrate.given || !row->amount.given || !row->amount.unit)
        return;
    bool litres = strcmp(row->amount.unit, "L") == 0;
    dose *of = dose_of(all, row->part, litres ? "mL" : row->amount.unit);
    long column = (aq_date_number(job->at.date) - all->from) / all->each;
    if (!of || column < 0 || column >= COLUMNS)
        return;
    of->sum[column] += row->amount.value * (litres ? 1000 : 1);
    of->most = fmax(of->most, of->sum[column]);
}

static void collect(doses *all, const aq_sheet *plan)
{
    long last = 0;
    for (size_t i = 0; i < plan->jobs.count; i++) {
        long day = aq_date_number(plan->jobs.at[i]->at.date);
        all->from = i ? (day < all->from ? day : all->from) : day;
        last = i ? (day > last ? day : last) : day;
    }
    all->days = last - all->from + 1;
    all->each = (all->days + COLUMNS - 1) / COLUMNS;
    for (size_t i = 0; i < plan->jobs.count; i++)
        for (size_t j = 0; j < plan->jobs.at[i]->rows.count; j++)
            take(all, plan->jobs.at[i], &plan->jobs.at[i]->rows.at[j]);
}

static long columns_of(const doses *all)
{
    return (all->days + all->each - 1) / all->each;
}

static aq_spoken said(const dose *of, double value)
{
    aq_amount amount = aq_amount_of(value, of->unit);
    return aq_spoken_amount(&amount);
}

static void day_name(aq_buffer *out, const doses *all, long column)
{
    aq_date date = aq_date_of(all->from + column * all->each);
    aq_buffer_format(out, "%s%s %d", all->each > 1 ? "from " : "", aq_weekday_name(aq_date_weekday(date)),
                     date.day);
}

static void describe(aq_buffer *out, const doses *all)
{
    for (size_t i = 0; i < all->count; i++) {
        bool any = false;
        aq_html_text(out, all->doses[i].part);
        aq_buffer_text(out, ": ");
        for (long column = 0; column < columns_of(all); column++) {
            if (!(all->doses[i].sum[column] > 0))
                continue;
            aq_buffer_text(out, any ? ", " : "");
            any = true;
            day_name(out, all, column);
            aq_buffer_char(out, ' ');
            aq_svg_spoken(out, said(&all->doses[i], all->doses[i].sum[column]));
        }
        aq_buffer_text(out, ". ");
    }
    aq_buffer_text(out, "</desc>\n");
}

static void strip(aq_buffer *out, const doses *all, size_t which)
{
    const dose *of = &all->doses[which];
    double top = STRIP * (double)which, slot = (AQ_SVG_WIDE - 2.0 * LEFT) / (double)columns_of(all);
    aq_svg_text_at(out, LEFT, top + NAME, "start");
    aq_html_text(out, of->part);
    aq_buffer_text(out, ", ");
    aq_html_text(out, said(of, 0).unit);
    aq_buffer_text(out, "</text>\n");
    aq_svg_line(out, "axis", LEFT, top + BARS_TOP + BARS_HIGH, AQ_SVG_WIDE - LEFT,
                top + BARS_TOP + BARS_HIGH);
    for (long column = 0; column < columns_of(all); column++) {
        double x = LEFT + slot * (double)column, high = BARS_HIGH * of->sum[column] / of->most;
        if (!(of->sum[column] > 0))
            continue;
        aq_svg_rect(out, "solid", x, top + BARS_TOP + BARS_HIGH - high, 16, high);
        aq_svg_text_at(out, x + 22, top + BARS_TOP + BARS_HIGH - 8, "start");
        aq_html_text(out, said(of, of->sum[column]).digits);
        aq_buffer_text(out, "</text>\n");
    }
}

void aq_svg_doses(aq_charts *charts, const aq_sheet *plan)
{
    doses all = { .count = 0 };
    aq_buffer *out = charts->out;
    if (!plan->jobs.count)
        return;
    collect(&all, plan);
    if (!all.count || columns_of(&all) < 2)
        return;
    double high = STRIP * (double)all.count + FOOT;
    aq_svg_begin(charts, high, "Doses of each part");
    describe(out, &all);
    for (size_t i = 0; i < all.count; i++)
        strip(out, &all, i);
    for (long column = 0; column < columns_of(&all); column++) {
        double slot = (AQ_SVG_WIDE - 2.0 * LEFT) / (double)columns_of(&all);
        aq_svg_text_at(out, LEFT + slot * (double)column, high - 10, "start");
        day_name(out, &all, column);
        aq_buffer_text(out, "</text>\n");
    }
    aq_buffer_text(out, "</svg>\n");
}
