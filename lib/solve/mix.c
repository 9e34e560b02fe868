/* The dose engine: columns dosed first, then an EC alone by one strength; targets are mix_targets.c.
 *
 * Strength is found on s -> EC(min(s r, top)), which rises and never bends upward: by Newton's method where it is made
 * of straight pieces, and so exactly; by secants where the chemistry bends it, the first one along the slope in much
 * water. Both come from below, and a bracket keeps them in. */
#include "solve/mix_inner.h"

#include <math.h>
#include <string.h>

static const double ec_found = 1e-10;    /* mS/cm: where the search for an EC ends */
static const double in_tolerance = 1e-9; /* of a tolerance: as good as inside */

/* A bound that costs less than this, for a dose as large as its anchor, is only the ridge pulling. */
static const double ridge_noise = 1e-9;

enum { STEPS_MOST = 60 };

static aq_status refuse(aq_error *err, const char *why)
{
    return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "%s", why);
}

static bool is_amount(double value)
{
    return isfinite(value) && value >= 0;
}

static bool column_is_sound(const aq_mix_column *c)
{
    if (!(c->top >= 0) || !is_amount(c->already) || !is_amount(c->anchor) || c->slope < 0 || isinf(c->slope))
        return false;
    for (size_t m = 0; m < c->member_count; m++)
        if (!is_amount(c->members[m].per_share))
            return false;
    return isnan(c->to) || is_amount(c->to);
}

static bool target_is_sound(const aq_mix_target *t)
{
    return is_amount(t->wanted) && isfinite(t->tolerance) && t->tolerance > 0 && t->nutrient >= 0 &&
           t->nutrient < AQ_NUTRIENT_COUNT;
}

static aq_status check(const aq_mix_problem *p, aq_error *err)
{
    if (!(p->volume > 0) || isinf(p->volume) || !(p->heel >= 0) || p->heel > p->volume)
        return refuse(err, "the tank has no volume, or holds more old solution than that");
    if (p->heel_ec < 0 || p->water_ec < 0 || isinf(p->heel_ec) || isinf(p->water_ec) || p->ec < 0 ||
        isinf(p->ec))
        return refuse(err, "an EC is negative or infinite");
    for (size_t j = 0; j < p->count; j++)
        if (!column_is_sound(&p->columns[j]) || (p->fixed && !is_amount(p->fixed[j])))
            return refuse(err, "a part has a negative or infinite number where that makes no sense");
    for (size_t i = 0; i < p->target_count; i++)
        if (!target_is_sound(&p->targets[i]))
            return refuse(err, "a target or its tolerance is negative, infinite or not a number");
    return AQ_OK;
}

bool aq_mixing_aims_at_ec(const aq_mixing *m)
{
    return !isnan(m->problem->ec) && !m->problem->fixed;
}

static aq_status check_ec_aim(const aq_mixing *m)
{
    bool carried = false, first = false;

    for (size_t j = 0; j < m->problem->count; j++) {
        bool wanted = m->anchor[j] > 0 || m->problem->target_count > 0;

        carried = carried || (wanted && !m->first[j] && aq_expect_dilute_slope(&m->problem->columns[j]) > 0);
        first = first || m->first[j];
    }
    if ((aq_mixing_aims_at_ec(m) || first) && isnan(m->expect.base_ec))
        return refuse(m->err, "an EC is aimed at, and that of the old solution or of the water is not known");
    if (aq_mixing_aims_at_ec(m) && !carried)
        return refuse(m->err, "an EC is aimed at, and no part is known to add any");
    return AQ_OK;
}

static double room_under_top(const aq_mix_problem *p, size_t j)
{
    return p->over_label ? INFINITY : fmax(p->columns[j].top - p->columns[j].already, 0);
}

static aq_status begin(aq_mixing *m)
{
    size_t n = m->problem->count;
    double *doubles = aq_arena_take_array(m->arena, 7 * n, sizeof *doubles);
    aq_mix_answer *a = aq_arena_take(m->arena, sizeof *a);

    m->first = aq_arena_take_array(m->arena, n, sizeof *m->first);
    if (!doubles || !a || !m->first || !(a->bound = aq_arena_take_array(m->arena, n, sizeof *a->bound)))
        return aq_mixing_no_memory(m);
    a->x = doubles;
    a->ec_after = doubles + n;
    a->slope = doubles + 2 * n;
    a->price = doubles + 3 * n;
    m->upper = doubles + 4 * n;
    m->anchor = doubles + 5 * n;
    m->trial = doubles + 6 * n;
    m->answer = a;
    aq_expect_begin(&m->expect, m->problem);
    a->base_ec = m->expect.base_ec;
    for (size_t j = 0; j < n; j++) {
        m->upper[j] = room_under_top(m->problem, j);
        m->anchor[j] = m->problem->columns[j].anchor;
        m->first[j] = !isnan(m->problem->columns[j].to) && !m->problem->fixed;
    }
    return check_ec_aim(m);
}

/* ---- an EC by one strength ---- */

/* x_j = min(s r_j, top_j) for the columns of `anchor`; those with no anchor stay as they are. */
static void at_strength(const aq_mixing *m, const double *anchor, double s, double *x)
{
    for (size_t j = 0; j < m->problem->count; j++)
        if (anchor[j] > 0)
            x[j] = fmin(s * anchor[j], m->upper[j]);
}

/* mS/cm per unit of strength, in much water; columns at their tops add no more. */
static double dilute_rise(const aq_mixing *m, const double *anchor, double s)
{
    double sum = 0;

    for (size_t j = 0; j < m->problem->count; j++)
        if (anchor[j] > 0 && s * anchor[j] < m->upper[j])
            sum += anchor[j] * aq_expect_dilute_slope(&m->problem->columns[j]);
    return sum;
}

/* The strength at which the last column that carries EC comes to its top. */
static double strength_of_tops(const aq_mixing *m, const double *anchor)
{
    double s = 0;

    for (size_t j = 0; j < m->problem->count; j++)
        if (anchor[j] > 0 && aq_expect_dilute_slope(&m->problem->columns[j]) > 0)
            s = fmax(s, m->upper[j] / anchor[j]);
    return s;
}

/* Brings x to an EC along `anchor` and returns the strength; as near as tops and 0 allow. */
static double reach_ec(const aq_mixing *m, const double *anchor, double ec, double *x)
{
    bool linear = aq_expect_is_linear(&m->expect);
    double s = 0, low = 0, high = INFINITY, before = 0, miss_before = 0;

    for (int step = 0; step < STEPS_MOST; step++) {
        double miss, rise = dilute_rise(m, anchor, s), next;

        at_strength(m, anchor, s, x);
        miss = ec - aq_expect_ec(&m->expect, x);
        if (fabs(miss) <= ec_found || (miss < 0 && s <= 0))
            break;
        if (!(rise > 0)) {
            s = strength_of_tops(m, anchor);
            at_strength(m, anchor, s, x);
            break;
        }
        if (miss > 0)
            low = s;
        else
            high = s;
        if (!linear && step > 0)
            rise = (miss_before - miss) / (s - before);
        next = s + miss / rise;
        if (!(next > low && next < high))
            next = isinf(high) ? 2 * low : (low + high) / 2;
        before = s;
        miss_before = miss;
        s = next;
    }
    return s;
}

/* Columns with an EC of their own, in order, each alone. */
static void dose_first(aq_mixing *m)
{
    for (size_t j = 0; j < m->problem->count; j++) {
        if (!m->first[j])
            continue;
        memset(m->trial, 0, m->problem->count * sizeof *m->trial);
        if (aq_expect_knows_ec(&m->problem->columns[j]))
            m->trial[j] = 1;
        reach_ec(m, m->trial, m->problem->columns[j].to, m->answer->x);
        m->upper[j] = m->answer->x[j];
        m->anchor[j] = 0;
    }
}

static void solve_ec(aq_mixing *m)
{
    const aq_mix_problem *p = m->problem;
    double miss;

    for (size_t j = 0; j < p->count; j++)
        if (!aq_expect_knows_ec(&p->columns[j]))
            m->anchor[j] = 0;
    m->answer->strength = reach_ec(m, m->anchor, p->ec, m->answer->x);
    miss = fabs(aq_expect_ec(&m->expect, m->answer->x) - p->ec);
    m->answer->gap = miss <= aq_ec_slack ? miss / fmax(p->ec, aq_ec_slack) : 0;
}

/* ---- what the answer says of itself ---- */

static void say_fixed(aq_mixing *m)
{
    const aq_mix_problem *p = m->problem;

    for (size_t j = 0; j < p->count; j++) {
        m->answer->x[j] = p->fixed[j];
        if (m->anchor[j] > 0)
            m->answer->strength = fmax(m->answer->strength, p->fixed[j] / m->anchor[j]);
    }
}

static void say_readings(const aq_mixing *m)
{
    const aq_mix_problem *p = m->problem;
    aq_mix_answer *a = m->answer;

    memset(m->trial, 0, p->count * sizeof *m->trial);
    a->ec = aq_expect_ec(&m->expect, a->x);
    for (int later = 0; later <= 1; later++)
        for (size_t j = 0; j < p->count; j++)
            if (m->first[j] != (later == 1)) {
                m->trial[j] = a->x[j];
                a->ec_after[j] = aq_expect_ec(&m->expect, m->trial);
            }
    aq_expect_slopes(&m->expect, a->x, a->slope);
    if (aq_mixing_aims_at_ec(m) && fabs(p->ec - a->ec) > aq_ec_slack)
        a->ec_short = p->ec - a->ec;
}

static void say_composition(const aq_mixing *m)
{
    const aq_mix_problem *p = m->problem;

    if (p->base)
        m->answer->got = *p->base;
    for (size_t j = 0; j < p->count; j++)
        for (size_t i = 0; i < p->columns[j].member_count; i++)
            if (p->columns[j].members[i].composition)
                aq_composition_add(&m->answer->got, p->columns[j].members[i].composition,
                                   m->answer->x[j] * p->columns[j].members[i].per_share);
}

static bool all_met(const aq_mixing *m)
{
    const aq_mix_problem *p = m->problem;

    for (size_t i = 0; i < p->target_count && !p->fixed; i++) {
        double miss = aq_composition_nutrient(&m->answer->got, p->targets[i].nutrient) - p->targets[i].wanted;

        if (fabs(miss) * aq_mix_target_weight(&p->targets[i]) > 1 + in_tolerance)
            return false;
    }
    return m->answer->ec_short == 0;
}

static bool at_top(const aq_mixing *m, size_t j)
{
    double top = room_under_top(m->problem, j), x = m->answer->x[j];

    return x > 0 ? x >= top * (1 - 1e-12) : top <= 0;
}

/* Bounds in the sense of the label, and what they cost: where the EC falls short that is what counts, else what the
 * least squares say of the targets. */
static void say_bounds(const aq_mixing *m)
{
    aq_mix_answer *a = m->answer;
    bool held = false, priced = m->problem->target_count > 0 && !m->problem->fixed;

    for (size_t j = 0; j < m->problem->count; j++) {
        bool top = at_top(m, j);

        a->bound[j] = top ? 1 : a->x[j] <= 0 && !m->problem->fixed ? -1 : 0;
        a->price[j] = priced && a->bound[j] != 0 && !m->first[j] ? fabs(a->price[j]) : 0;
        if (a->price[j] * fmax(a->x[j], m->problem->columns[j].anchor) < ridge_noise)
            a->price[j] = 0;
        if (a->ec_short > 0)
            a->price[j] = top && a->slope[j] > 0 ? a->slope[j] : 0;
        held = held || (top && a->price[j] > 0);
    }
    a->met = all_met(m);
    a->capped = !a->met && held;
}

aq_status aq_mix_solve(aq_mix_answer **out, const aq_mix_problem *problem, aq_arena *arena, aq_error *err)
{
    aq_mixing m = { .problem = problem, .arena = arena, .err = err };
    aq_status status = check(problem, err);

    *out = NULL;
    if (status == AQ_OK)
        status = begin(&m);
    if (status != AQ_OK)
        return status;
    dose_first(&m);
    if (problem->fixed)
        say_fixed(&m);
    else if (problem->target_count > 0)
        status = aq_mixing_fit_targets(&m);
    else if (aq_mixing_aims_at_ec(&m))
        solve_ec(&m);
    if (status != AQ_OK)
        return status;
    say_readings(&m);
    say_composition(&m);
    say_bounds(&m);
    *out = m.answer;
    return AQ_OK;
}
