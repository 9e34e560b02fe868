/* Targets of nutrients by bounded least squares, with or without an EC to read.
 *
 * An EC beside targets is an equality; where the chemistry bends it, the equality is laid along the slope at the last
 * answer until it holds to 1e-6 mS/cm (Gauss and Newton), halfway back to the answer before whenever a step did not
 * come nearer.
 *
 * Example: N 150 and K 210 mg/L within 5 % from two salts are two rows weighted by 1 / 7.5 and 1 / 10.5 mg/L; a miss
 * that just counts as met adds 1 to the sum of squares. */
#include "solve/lsq.h"
#include "solve/mix_inner.h"

#include <math.h>
#include <string.h>

static const double trace_target = 0.001; /* g/L: what a target of none is weighed by */

/* The ridge, as a share of its column's weighted length. Its square is what it moves a determined answer by, at most
 * 1e-6 down to singular values of 1e-5 of the largest; and rounding (1e-16 over it) leaves twins their ratio to 1e-8. */
static const double ridge_share = 1e-8;

enum { STEPS_MOST = 60 };

double aq_mix_target_weight(const aq_mix_target *t)
{
    return 1 / (t->tolerance * (t->wanted > 0 ? t->wanted : trace_target));
}

/* The least squares of the columns: rows are targets. */
typedef struct {
    double *a, *b, *weight;
    double *lower, *ridge, *anchor, *equal;
    aq_lsq lsq;
    aq_lsq_report report;
    aq_lsq_work *work;
} fitting;

static aq_status begin_fit(fitting *f, const aq_mixing *m)
{
    size_t n = m->problem->count, rows = m->problem->target_count, room = aq_lsq_room(rows, n);
    double *doubles = aq_arena_take_array(m->arena, rows * (n + 2) + 4 * n, sizeof *doubles);
    void *memory = room > 0 ? aq_arena_take(m->arena, room) : NULL;

    f->work = memory ? aq_lsq_work_at(memory, room, rows, n) : NULL;
    if (!doubles || !f->work)
        return aq_mixing_no_memory(m);
    f->a = doubles;
    f->b = f->a + rows * n;
    f->weight = f->b + rows;
    f->lower = f->weight + rows;
    f->ridge = f->lower + n;
    f->anchor = f->ridge + n;
    f->equal = f->anchor + n;
    f->report = (aq_lsq_report){ .side = m->answer->bound, .price = m->answer->price };
    f->lsq = (aq_lsq){ .rows = rows,
                       .parts = n,
                       .a = f->a,
                       .b = f->b,
                       .weight = f->weight,
                       .lower = f->lower,
                       .upper = m->upper,
                       .ridge = f->ridge,
                       .anchor = f->anchor };
    return AQ_OK;
}

static void state_targets(fitting *f, const aq_mixing *m)
{
    const aq_mix_problem *p = m->problem;

    for (size_t i = 0; i < p->target_count; i++) {
        const aq_mix_target *t = &p->targets[i];

        for (size_t j = 0; j < p->count; j++)
            f->a[i * p->count + j] = aq_expect_brings(&p->columns[j], t->nutrient);
        f->b[i] = t->wanted - (p->base ? aq_composition_nutrient(p->base, t->nutrient) : 0);
        f->weight[i] = aq_mix_target_weight(t);
    }
}

/* The length of a column, in tolerances per unit of x. */
static double column_length(const fitting *f, size_t j)
{
    double sum = 0;

    for (size_t i = 0; i < f->lsq.rows; i++) {
        double entry = f->weight[i] * f->a[i * f->lsq.parts + j];

        sum += entry * entry;
    }
    return sqrt(sum);
}

/* A column that serves no target is pulled along only where a label sets its ratio; one of unknown composition never. */
static void choose_anchors(const fitting *f, aq_mixing *m)
{
    for (size_t j = 0; j < m->problem->count; j++) {
        const aq_mix_column *c = &m->problem->columns[j];

        bool serves = aq_expect_serves_targets(c);
        bool usable = aq_mixing_aims_at_ec(m) ? aq_expect_knows_ec(c) : serves;

        if (!serves || (column_length(f, j) <= 0 && isinf(c->top)))
            m->anchor[j] = 0;
        if (!usable && !m->first[j])
            m->upper[j] = 0;
    }
}

/* s = (A r . b) / (A r . A r), in tolerances, with b less what was dosed first. */
static double best_strength(const fitting *f, const aq_mixing *m)
{
    double along = 0, square = 0;

    for (size_t i = 0; i < f->lsq.rows; i++) {
        double row = 0, left = f->b[i];

        for (size_t j = 0; j < f->lsq.parts; j++) {
            row += f->a[i * f->lsq.parts + j] * m->anchor[j];
            left -= m->first[j] ? f->a[i * f->lsq.parts + j] * m->answer->x[j] : 0;
        }
        along += f->weight[i] * row * f->weight[i] * left;
        square += f->weight[i] * row * f->weight[i] * row;
    }
    return square > 0 ? fmax(along / square, 0) : 0;
}

/* rho_j^2 is made to fall with what the anchor of a column does, so that twins that have to leave s r leave it in
 * proportion, and keep the label's ratio. */
static void choose_ridge(fitting *f, const aq_mixing *m)
{
    double longest = 0, most = 0;

    for (size_t j = 0; j < f->lsq.parts; j++) {
        longest = fmax(longest, column_length(f, j));
        most = fmax(most, column_length(f, j) * m->anchor[j]);
    }
    for (size_t j = 0; j < f->lsq.parts; j++) {
        double length = column_length(f, j), does = length * m->anchor[j];

        if (length <= 0)
            length = longest > 0 ? longest : 1;
        f->ridge[j] = ridge_share * length * (does > 0 ? fmin(sqrt(most / does), 100) : 1);
        f->anchor[j] = m->answer->strength * m->anchor[j];
        f->lower[j] = m->first[j] ? m->answer->x[j] : 0;
    }
}

/* The equality along the slopes at x: EC(x) + k . (y - x) = aim. */
static void lay_equality(fitting *f, const aq_mixing *m, const double *x, double ec)
{
    double to = m->problem->ec - ec;

    aq_expect_slopes(&m->expect, x, f->equal);
    for (size_t j = 0; j < f->lsq.parts; j++) {
        if (!aq_expect_knows_ec(&m->problem->columns[j]))
            f->equal[j] = 0;
        to += f->equal[j] * x[j];
    }
    f->lsq.equal = f->equal;
    f->lsq.equal_to = to;
}

/* Whether the EC lies between what nothing and what all tops read. Where it does not, the columns that carry EC are
 * held there: tops win over EC, and less than nothing cannot be dosed. */
static bool ec_in_reach(fitting *f, aq_mixing *m)
{
    double least, most;
    bool endless = false;

    memcpy(m->trial, f->lower, f->lsq.parts * sizeof *m->trial);
    least = aq_expect_ec(&m->expect, m->trial);
    for (size_t j = 0; j < f->lsq.parts; j++) {
        endless = endless || (isinf(m->upper[j]) && aq_expect_dilute_slope(&m->problem->columns[j]) > 0);
        m->trial[j] = isinf(m->upper[j]) ? f->lower[j] : m->upper[j];
    }
    most = endless ? INFINITY : aq_expect_ec(&m->expect, m->trial);
    if (m->problem->ec >= least && m->problem->ec <= most)
        return true;
    for (size_t j = 0; j < f->lsq.parts; j++)
        if (aq_expect_dilute_slope(&m->problem->columns[j]) > 0) {
            if (m->problem->ec < least)
                m->upper[j] = f->lower[j];
            else
                f->lower[j] = m->upper[j];
        }
    return false;
}

static bool fit(fitting *f, const aq_mixing *m)
{
    return aq_lsq_solve(&f->lsq, f->work, m->answer->x, &f->report) == AQ_OK;
}

static void halfway(double *x, const double *to, size_t count)
{
    for (size_t j = 0; j < count; j++)
        x[j] = (x[j] + to[j]) / 2;
}

/* Equality after equality. One that no x can meet was laid too far from the answer. */
static void fit_ec(fitting *f, aq_mixing *m)
{
    double *x = m->answer->x, before = INFINITY;

    for (int step = 0; step < STEPS_MOST; step++) {
        double ec = aq_expect_ec(&m->expect, x), miss = fabs(ec - m->problem->ec);

        if (step > 0 && miss <= aq_ec_slack / 100)
            return;
        if (miss >= before) {
            halfway(x, m->trial, f->lsq.parts);
            ec = aq_expect_ec(&m->expect, x);
        }
        before = fabs(ec - m->problem->ec);
        memcpy(m->trial, x, f->lsq.parts * sizeof *x);
        lay_equality(f, m, x, ec);
        if (!fit(f, m))
            halfway(x, f->lower, f->lsq.parts);
    }
}

aq_status aq_mixing_fit_targets(aq_mixing *m)
{
    fitting f = { 0 };
    aq_status status = begin_fit(&f, m);
    bool held;

    if (status != AQ_OK)
        return status;
    state_targets(&f, m);
    choose_anchors(&f, m);
    m->answer->strength = best_strength(&f, m);
    choose_ridge(&f, m);
    held = aq_mixing_aims_at_ec(m) && ec_in_reach(&f, m);
    if (!held || !aq_expect_is_linear(&m->expect))
        fit(&f, m);
    if (held)
        fit_ec(&f, m);
    m->answer->gap = f.report.gap;
    return AQ_OK;
}
