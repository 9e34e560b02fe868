/* The straight line of adjust.h, case by case.
 *
 * Example: 105 L at 2.9 mS/cm in a tank of 120 L, wanted 2.0 with water of 0.4: D(0) = 240 - 304.5 - 6 = -70.5 is too
 * strong, D rises by 2.9 - 0.4 with each litre removed, so 28.2 L go out and 43.2 L of water come in. */
#include "solve/adjust.h"

#include <math.h>

static const double volume_slack = 1e-9, ec_slack = 1e-6;

static aq_status refuse(aq_error *err, const char *why)
{
    return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "%s", why);
}

static bool is_ec(double ec)
{
    return isfinite(ec) && ec >= 0;
}

static bool fits(double volume, double holds)
{
    return volume >= 0 && volume <= holds + volume_slack && isfinite(holds);
}

static aq_status check(const aq_adjust_problem *p, aq_error *err)
{
    const aq_second_tank *into = p->into;

    if (!fits(p->now.volume, p->holds) || !fits(p->level, p->holds) || p->level <= 0)
        return refuse(err, "a level is below 0 or above the brim");
    if ((p->now.volume > 0 && !is_ec(p->now.ec)) || !is_ec(p->ec) || p->water_ec < 0 || !(p->most >= 0) ||
        !(p->room >= 0))
        return refuse(err, "an EC is negative or not a number");
    if (into && (!fits(into->now.volume, into->holds) || (into->now.volume > 0 && !is_ec(into->now.ec)) ||
                 !is_ec(into->ec)))
        return refuse(err, "the second tank has a level above its brim or an EC that is not a number");
    return AQ_OK;
}

/* The finished level: the wanted one, or what cannot be removed. */
static double end_level(const aq_adjust_problem *p)
{
    return p->keep_all ? fmax(p->level, p->now.volume) : p->level;
}

/* Old solution of a tank that stands empty has no EC; it is then as good as water. */
static double old_ec(const aq_adjust_problem *p)
{
    return p->now.volume > 0 ? p->now.ec : p->water_ec;
}

/* Where its EC is not known nothing but doses may come in; they count for themselves. */
static double water_ec(const aq_adjust_problem *p)
{
    return isnan(p->water_ec) ? 0 : p->water_ec;
}

static double incoming(const aq_adjust_problem *p, double remove)
{
    return fmax(end_level(p) - p->now.volume + remove, 0);
}

/* D(r): what doses would have to add. */
static double needed(const aq_adjust_problem *p, double remove)
{
    double old = p->now.volume > 0 ? old_ec(p) : 0;

    return end_level(p) * p->ec - (p->now.volume - remove) * old - incoming(p, remove) * water_ec(p);
}

/* The most that doses may add, by the label and by their room below the brim. */
static double allowed(const aq_adjust_problem *p, double remove)
{
    double level = end_level(p), space = incoming(p, remove) + fmax(p->holds - level, 0);

    return fmin(level * p->most, p->room > 0 ? space / p->room : INFINITY);
}

/* What is missed by, in mS/cm times L: 0 inside the limits. */
static double missed(const aq_adjust_problem *p, double remove)
{
    double dose = needed(p, remove);

    return fmax(fmax(-dose, dose - allowed(p, remove)), 0);
}

/* Where two straight lines of r meet, from their values at `low` and their slopes; `low` where they do not. */
static double meet(double low, double value, double slope, double other_value, double other_slope)
{
    double r = low + (other_value - value) / (slope - other_slope);

    return isfinite(r) ? r : low;
}

/* `missed` is the largest of four straight lines (0, -D, D less the label's most, D less what there is room for), so its
 * least lies at an end or where two of them meet; of all such r the least. Where -D meets one of the last two both are
 * below 0, for no most is. */
static double least_removed(const aq_adjust_problem *p)
{
    double level = end_level(p), low = fmax(0, p->now.volume - level),
           high = p->keep_all ? low : p->now.volume;
    double d = needed(p, low), rise = old_ec(p) - water_ec(p);
    double label = level * p->most, q = p->room, space = incoming(p, low) + fmax(p->holds - level, 0);
    double at[] = { low,
                    high,
                    meet(low, d, rise, 0, 0),             /* no dose at all */
                    meet(low, d, rise, label, 0),         /* the label's most */
                    meet(low, d, rise, space / q, 1 / q), /* just room for it */
                    meet(low, label, 0, space / q, 1 / q) };
    double best = low, least = missed(p, low);

    for (size_t i = 1; i < sizeof at / sizeof *at; i++) {
        double r = fmin(fmax(at[i], low), high), miss = missed(p, r), slack = ec_slack * 1e-3 * level;

        if (miss < least - slack || (miss <= least + slack && r < best)) {
            best = r;
            least = fmin(miss, least);
        }
    }
    return best;
}

static double salts(aq_tank_state tank)
{
    return tank.volume > 0 ? tank.volume * tank.ec : 0;
}

/* The most that the second tank takes of a solution no stronger than it wants: all it has room for while that brings it
 * nearer, and never past what it wants. 20 L at 3.5 that want 3.2 take 20 x 0.3 / 0.3 of 2.9. */
static double second_wants_weak(const aq_second_tank *into, double ec)
{
    if (into->now.volume <= 0 || ec >= into->now.ec)
        return INFINITY;
    return (salts(into->now) - into->now.volume * into->ec) / (into->ec - ec);
}

/* The same of a stronger one: what water can bring down to its wanted EC before it is full; and where water is too strong
 * for that, what it brings down itself. */
static double second_wants_strong(const aq_second_tank *into, double ec, double water_ec)
{
    double room = into->holds - into->now.volume;

    if (water_ec < into->ec)
        return (into->holds * into->ec - salts(into->now) - room * water_ec) / (ec - water_ec);
    return (into->now.volume * into->ec - salts(into->now)) / (ec - into->ec);
}

static double second_wants(const aq_second_tank *into, double ec, double water_ec)
{
    double most = ec <= into->ec ? second_wants_weak(into, ec) : second_wants_strong(into, ec, water_ec);

    return fmin(fmax(most, 0), into->holds - into->now.volume);
}

static void move_to_second(aq_adjust_answer *out, const aq_adjust_problem *p)
{
    const aq_second_tank *into = p->into;
    aq_tank_state mixed;
    double strong;

    out->second = into->now;
    out->moved = fmin(out->remove, second_wants(into, old_ec(p), p->water_ec));
    if (out->moved <= 0)
        return;
    mixed = aq_tank_mixed(into->now, (aq_tank_state){ out->moved, old_ec(p) });
    strong = mixed.volume * (mixed.ec - into->ec);
    if (strong > 0 && p->water_ec < into->ec)
        out->moved_water = fmin(strong / (into->ec - p->water_ec), into->holds - mixed.volume);
    out->second = aq_tank_mixed(mixed, (aq_tank_state){ out->moved_water, p->water_ec });
}

static double or_nan(bool applies, double value)
{
    return applies ? value : NAN;
}

static void beside(aq_adjust_answer *out, const aq_adjust_problem *p)
{
    double old = old_ec(p), water = p->water_ec, kept = p->now.volume - out->remove;
    aq_tank_state brim = aq_tank_mixed(p->now, (aq_tank_state){ p->holds - p->now.volume, water });
    double after = p->holds - p->level * (p->ec - water) / (brim.ec - water);
    bool dilutes = old > p->ec && p->ec > water;

    out->fill_ec = brim.ec;
    out->water_needed = or_nan(dilutes, p->now.volume * (old - p->ec) / (p->ec - water));
    out->drain_after = or_nan(brim.ec > water && p->ec >= water && after > 0, after);
    out->makeup_ec =
        or_nan(out->water > out->doses + volume_slack, (out->end.volume * p->ec - kept * old) / out->water);
    out->keeps = or_nan(dilutes && out->remove > 0, out->remove * (old - water) / (p->ec - water));
}

aq_status aq_adjust(aq_adjust_answer *out, const aq_adjust_problem *p, aq_error *err)
{
    aq_status status = check(p, err);
    aq_tank_state kept;
    double level = end_level(p), dose;

    *out = (aq_adjust_answer){ 0 };
    if (status != AQ_OK)
        return status;
    out->remove = least_removed(p);
    out->water = incoming(p, out->remove);
    dose = fmin(fmax(needed(p, out->remove), 0), allowed(p, out->remove));
    out->doses = dose * p->room;
    if (isnan(p->water_ec) && out->water > out->doses + volume_slack)
        return refuse(err, "water has to be added and its EC is not known");
    kept = (aq_tank_state){ p->now.volume - out->remove, p->now.ec };
    out->before_dose = aq_tank_mixed(kept, (aq_tank_state){ out->water, water_ec(p) }).ec;
    out->adds = dose / level;
    out->end = (aq_tank_state){ level, out->before_dose + out->adds };
    out->met = fabs(level - p->level) <= volume_slack && fabs(out->end.ec - p->ec) <= ec_slack;
    out->brimming = p->ec - out->end.ec > ec_slack && dose < level * p->most - ec_slack * level;
    out->capped = p->most > 0 && p->ec - out->end.ec > ec_slack && !out->brimming;
    if (p->into)
        move_to_second(out, p);
    beside(out, p);
    return AQ_OK;
}

int aq_adjust_steps(double from, double to, double step)
{
    double steps = ceil(fabs(to - from) / step - 1e-9);

    return (int)fmin(fmax(steps, 1), 1000); /* of NaN, where no step is given, 1 */
}
