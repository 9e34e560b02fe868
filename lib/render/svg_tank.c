/* A tank through a plan: EC above, level below, over the same days.
 *
 * A job lifts or lowers both at once; between jobs they drift, on the straight line from what one job left to what the
 * next finds. A job is a filled square where the tank is changed, an open circle where it is topped up; a bar through
 * it spans the readings to expect. The brim is a dotted line. Every square and circle has its number beside it. */
#include <math.h>
#include <string.h>

#include "render/svg_pen.h"
#include "sheet/measured.h"

enum {
    LEFT = 112,
    RIGHT = 560,
    EC_TOP = 50,
    EC_HIGH = 120,
    LEVEL_TOP = 206,
    LEVEL_HIGH = 76,
    HIGH = 346,
    MARK = 6,
    ABOVE = 6,
    BELOW = 22,
    DAYS_NAMED = 8
};

typedef enum { STRENGTH, LEVEL } quantity;

/* One end of a job: what was found or what was left. */
typedef struct {
    bool given;
    double value, within;
    const char *unit;
} reading;

typedef struct {
    aq_buffer *out;
    const aq_sheet *plan;
    const char *reservoir;
    long from, to; /* days since 1970, the last one excluded */
    double most[2];
    reading brim;
    size_t jobs;
    bool followed;
} tank;

static bool of_tank(const aq_sheet *job, const char *reservoir)
{
    return job->reservoir && strcmp(job->reservoir, reservoir) == 0 && job->at.date.year;
}

static reading reading_of(const aq_amount *amount)
{
    return (reading){ amount->given, amount->value, amount->within, amount->unit };
}

static reading figure(const aq_sheet *job, const char *name)
{
    for (size_t i = 0; i < job->figures.count; i++)
        if (strcmp(job->figures.at[i].name, name) == 0)
            return reading_of(&job->figures.at[i].amount);
    return (reading){ .given = false };
}

/* A sheet says each volume in the unit that suits its size; a chart has one, that of the brim. */
static const char *level_unit(const aq_sheet *job)
{
    reading brim = figure(job, "holds");
    return brim.given ? brim.unit : "L";
}

static reading level(const aq_sheet *job, reading found)
{
    const char *unit = level_unit(job);
    if (found.given) {
        double one = aq_amount_base(aq_amount_of(1, unit));
        found.value = aq_amount_base(aq_amount_of(found.value, found.unit)) / one;
    }
    found.unit = unit;
    return found;
}

static bool tops_up(const aq_sheet *job)
{
    return job->job && strcmp(job->job, "topup") == 0;
}

static reading before(const aq_sheet *job, quantity which)
{
    reading found = figure(job, which == STRENGTH ? "ec_before" : "level_before");
    if (which == STRENGTH)
        return found.given ? found : reading_of(&job->heel_ec);
    return level(job, found.given ? found : reading_of(&job->heel));
}

/* A top-up's own volume and EC are those of the water poured in. */
static reading after(const aq_sheet *job, quantity which)
{
    reading poured = level(job, reading_of(&job->volume)), found = level(job, figure(job, "level_before"));
    if (which == STRENGTH)
        return tops_up(job) ? figure(job, "ec_after") : reading_of(&job->expect_ec);
    if (!tops_up(job))
        return poured;
    found.value += poured.value;
    found.given = found.given && poured.given;
    return found;
}

static void widen(tank *t, const aq_sheet *job)
{
    long day = aq_date_number(job->at.date);
    reading brim = figure(job, "holds");
    t->from = t->jobs ? t->from : day;
    t->to = day + 1;
    t->jobs++;
    if (brim.given) {
        t->brim = brim;
        t->most[LEVEL] = fmax(t->most[LEVEL], brim.value);
    }
    for (quantity which = STRENGTH; which <= LEVEL; which++) {
        reading ends[] = { before(job, which), after(job, which) };
        t->followed = t->followed || (which == STRENGTH && ends[0].given);
        for (int i = 0; i < 2; i++)
            if (ends[i].given)
                t->most[which] = fmax(t->most[which], ends[i].value + ends[i].within);
    }
}

static double across(const tank *t, const aq_sheet *job)
{
    double day = (double)aq_date_number(job->at.date) + (job->at.minute >= 0 ? job->at.minute / 1440.0 : 0);
    return LEFT + (day - (double)t->from) / (double)(t->to - t->from) * (RIGHT - LEFT);
}

static double height(const tank *t, quantity which, double value)
{
    double top = which == STRENGTH ? EC_TOP : LEVEL_TOP, high = which == STRENGTH ? EC_HIGH : LEVEL_HIGH;
    return top + high * (t->most[which] > 0 ? 1 - value / t->most[which] : 1);
}

static void point(const tank *t, double x, double y)
{
    aq_svg_number(t->out, x);
    aq_buffer_char(t->out, ',');
    aq_svg_number(t->out, y);
    aq_buffer_char(t->out, ' ');
}

static void course(const tank *t, quantity which)
{
    aq_buffer_text(t->out, "<polyline points=\"");
    for (size_t i = 0; i < t->plan->jobs.count; i++) {
        const aq_sheet *job = t->plan->jobs.at[i];
        if (!of_tank(job, t->reservoir))
            continue;
        reading ends[] = { before(job, which), after(job, which) };
        for (int end = 0; end < 2; end++)
            if (ends[end].given)
                point(t, across(t, job), height(t, which, ends[end].value));
    }
    aq_buffer_text(t->out, "\"/>\n");
}

static aq_spoken said(reading what)
{
    aq_amount amount = aq_amount_of(what.value, what.unit);
    return aq_spoken_amount(&amount);
}

/* The number without its unit, which the axis says. */
static void label(const tank *t, double x, double y, reading what)
{
    aq_svg_text_at(t->out, x, y, "start");
    aq_html_text(t->out, said(what).digits);
    aq_buffer_text(t->out, "</text>\n");
}

static void span(const tank *t, double x, reading left)
{
    double low = height(t, STRENGTH, fmax(left.value - left.within, 0)),
           high = height(t, STRENGTH, left.value + left.within);
    aq_svg_line(t->out, "bar", x, low, x, high);
    aq_svg_line(t->out, "bar", x - MARK, low, x + MARK, low);
    aq_svg_line(t->out, "bar", x - MARK, high, x + MARK, high);
}

static void mark(const tank *t, const aq_sheet *job, quantity which)
{
    reading found = before(job, which), left = after(job, which);
    double x = across(t, job);
    double floor = height(t, which, 0) - 6; /* a label stays clear of the days */
    bool rose = !found.given || found.value <= left.value;
    if (found.given && left.given && strcmp(said(found).digits, said(left).digits) != 0)
        label(t, x + 10, fmin(height(t, which, found.value) + (rose ? BELOW : -ABOVE), floor), found);
    if (!left.given)
        return;
    double y = height(t, which, left.value);
    if (which == STRENGTH && left.within > 0)
        span(t, x, left);
    if (tops_up(job)) {
        aq_buffer_text(t->out, "<circle class=\"open\"");
        aq_svg_attribute(t->out, "cx", x);
        aq_svg_attribute(t->out, "cy", y);
        aq_svg_attribute(t->out, "r", MARK);
        aq_buffer_text(t->out, "/>\n");
    } else {
        aq_svg_rect(t->out, "solid", x - MARK, y - MARK, 2 * MARK, 2 * MARK);
    }
    label(t, x + 10, fmin(y + (rose ? -ABOVE : BELOW), floor), left);
}

/* The axis: what it is, in which unit, and zero. */
static void axis(const tank *t, const char *name, const char *unit, double top, double high)
{
    aq_amount none = aq_amount_of(0, unit);
    aq_svg_text_at(t->out, LEFT - 10, top + 18, "end");
    aq_html_text(t->out, name);
    aq_buffer_text(t->out, "</text>\n");
    aq_svg_text_at(t->out, LEFT - 10, top + 40, "end");
    aq_html_text(t->out, aq_spoken_amount(&none).unit);
    aq_buffer_text(t->out, "</text>\n");
    aq_svg_text_at(t->out, LEFT - 10, top + high + 4, "end");
    aq_buffer_text(t->out, "0</text>\n");
    aq_svg_line(t->out, "axis", LEFT, top, LEFT, top + high);
    aq_svg_line(t->out, "axis", LEFT, top + high, RIGHT, top + high);
}

static void brim(const tank *t)
{
    double y = height(t, LEVEL, t->brim.value);
    aq_svg_line(t->out, "thin", LEFT, y, RIGHT, y);
    aq_svg_text_at(t->out, LEFT - 10, y - 6, "end");
    aq_buffer_text(t->out, "brim ");
    aq_svg_spoken(t->out, said(t->brim));
    aq_buffer_text(t->out, "</text>\n");
}

/* Each day at its midnight, or as many of them as there is room to name. */
static void days(const tank *t)
{
    long count = t->to - t->from, every = (count + DAYS_NAMED - 1) / DAYS_NAMED;
    for (long day = 0; day < count; day += every) {
        double x = LEFT + (double)day / (double)count * (RIGHT - LEFT);
        aq_date date = aq_date_of(t->from + day);
        aq_svg_line(t->out, "axis", x, LEVEL_TOP + LEVEL_HIGH, x, LEVEL_TOP + LEVEL_HIGH + 6);
        aq_svg_text_at(t->out, x, LEVEL_TOP + LEVEL_HIGH + 26, "start");
        aq_buffer_format(t->out, "%s %d</text>\n", aq_weekday_name(aq_date_weekday(date)), date.day);
    }
}

static void key(const tank *t)
{
    aq_svg_rect(t->out, "solid", LEFT, HIGH - 22, 2 * MARK, 2 * MARK);
    aq_svg_text_at(t->out, LEFT + 20, HIGH - 10, "start");
    aq_buffer_text(t->out, "change</text>\n<circle class=\"open\"");
    aq_svg_attribute(t->out, "cx", LEFT + 130);
    aq_svg_attribute(t->out, "cy", HIGH - 16);
    aq_svg_attribute(t->out, "r", MARK);
    aq_buffer_text(t->out, "/>\n");
    aq_svg_text_at(t->out, LEFT + 144, HIGH - 10, "start");
    aq_buffer_text(t->out, "top-up</text>\n");
    aq_svg_line(t->out, "bar", LEFT + 250, HIGH - 24, LEFT + 250, HIGH - 8);
    aq_svg_line(t->out, "bar", LEFT + 244, HIGH - 24, LEFT + 256, HIGH - 24);
    aq_svg_line(t->out, "bar", LEFT + 244, HIGH - 8, LEFT + 256, HIGH - 8);
    aq_svg_text_at(t->out, LEFT + 266, HIGH - 10, "start");
    aq_buffer_text(t->out, "readings to expect</text>\n");
}

static void say_end(const tank *t, const aq_sheet *job, reading ec, reading level, const char *when)
{
    if (!ec.given && !level.given)
        return;
    aq_buffer_char(t->out, ' ');
    if (ec.given)
        aq_svg_spoken(t->out, said(ec));
    if (ec.given && ec.within > 0) {
        aq_amount amount = aq_amount_within(ec.value, ec.unit, ec.within);
        aq_buffer_format(t->out, " \u00b1 %s", aq_spoken_amount(&amount).within);
    }
    aq_buffer_text(t->out, ec.given && level.given ? ", " : "");
    if (level.given)
        aq_svg_spoken(t->out, said(level));
    aq_buffer_format(t->out, " %s%s", when, when[0] == 'b' && after(job, STRENGTH).given ? ";" : "");
}

static void say_job(const tank *t, const aq_sheet *job)
{
    char day[AQ_DATE_ROOM];
    aq_date_say(job->at.date, day);
    aq_buffer_text(t->out, day);
    aq_buffer_text(t->out, tops_up(job) ? ", top-up:" : ", change:");
    say_end(t, job, before(job, STRENGTH), before(job, LEVEL), "before");
    say_end(t, job, after(job, STRENGTH), after(job, LEVEL), "after");
    aq_buffer_text(t->out, ". ");
}

void aq_svg_tank(aq_charts *charts, const aq_sheet *plan, const char *reservoir)
{
    tank t = { .out = charts->out, .plan = plan, .reservoir = reservoir };
    for (size_t i = 0; i < plan->jobs.count; i++)
        if (of_tank(plan->jobs.at[i], reservoir))
            widen(&t, plan->jobs.at[i]);
    if (t.jobs < 2 || !t.followed || t.to - t.from < 2)
        return;
    aq_svg_begin(charts, HIGH, reservoir);
    for (size_t i = 0; i < plan->jobs.count; i++)
        if (of_tank(plan->jobs.at[i], reservoir))
            say_job(&t, plan->jobs.at[i]);
    if (t.brim.given) {
        aq_buffer_text(t.out, "The brim is at ");
        aq_svg_spoken(t.out, said(t.brim));
        aq_buffer_char(t.out, '.');
    }
    aq_buffer_text(t.out, "</desc>\n");
    axis(&t, "EC", "mS/cm", EC_TOP, EC_HIGH);
    axis(&t, "level", t.brim.given ? t.brim.unit : "L", LEVEL_TOP, LEVEL_HIGH);
    course(&t, STRENGTH);
    course(&t, LEVEL);
    if (t.brim.given)
        brim(&t);
    for (size_t i = 0; i < plan->jobs.count; i++)
        for (quantity which = STRENGTH; which <= LEVEL; which++)
            if (of_tank(plan->jobs.at[i], reservoir))
                mark(&t, plan->jobs.at[i], which);
    days(&t);
    key(&t);
    aq_buffer_text(t.out, "</svg>\n");
}
