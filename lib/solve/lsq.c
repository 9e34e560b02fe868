/* The door of the bounded least squares: what a problem may hold, the memory, and the certificate. The method is told
 * in the files that lsq_inner.h lists. */
#include "solve/lsq_inner.h"

#include "base/fence.h"

#include <float.h>
#include <math.h>
#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* ---- memory ---- */

/* Hands out one block piece by piece; with base NULL it only counts. */
typedef struct {
    char *base;
    size_t used;
    bool fenced; /* the block is ours: nobody knows it as anything else */
    bool beyond; /* size_t */
} ledger;

static void *piece(ledger *from, size_t count, size_t each)
{
    size_t step = alignof(max_align_t);

    if (each != 0 && count > (SIZE_MAX / 4 - from->used) / each) {
        from->beyond = true;
        return NULL;
    }
    char *begin = from->base ? from->base + from->used : NULL;
    from->used += (count * each + AQ_FENCE + step - 1) / step * step;
    if (from->fenced) {
        aq_fence_close(begin, (size_t)(from->base + from->used - begin));
        aq_fence_open(begin, count * each);
    }
    return begin;
}

static double *doubles(ledger *from, size_t rows, size_t columns)
{
    if (columns != 0 && rows > SIZE_MAX / 64 / columns) {
        from->beyond = true;
        return NULL;
    }
    return piece(from, rows * columns, sizeof(double));
}

static size_t larger(size_t a, size_t b)
{
    return a > b ? a : b;
}

static void lay_out(aq_lsq_work *work, ledger *from, size_t rows, size_t parts)
{
    size_t n = parts, stacked = larger(rows + 1, 2 * n + 2); /* a row more for the equality */

    work->rows_most = rows;
    work->parts_most = parts;
    work->u = doubles(from, rows + 1 + n, n + 1);
    work->column = doubles(from, stacked, 1);
    work->rest = doubles(from, stacked, 1);
    work->normal = doubles(from, stacked, 1);
    work->dense = doubles(from, stacked, n);
    work->null = doubles(from, n, n);
    double **each[] = { &work->tau,     &work->norm, &work->to,        &work->lift,     &work->pull,
                        &work->size,    &work->low,  &work->high,      &work->scale,    &work->equal,
                        &work->inverse, &work->x,    &work->tie_scale, &work->tie_shift };
    for (size_t k = 0; k < sizeof each / sizeof *each; k++)
        *each[k] = doubles(from, n, 1);
    work->order = piece(from, n, sizeof(size_t));
    work->permutation = piece(from, n, sizeof(size_t));
    work->by_size = piece(from, stacked, sizeof(size_t));
    work->side = piece(from, n, sizeof(aq_lsq_side));
    work->settled = piece(from, n, sizeof(bool));
    work->tie_drawn = piece(from, n, sizeof(bool));
    work->stacked = piece(from, n, sizeof(bool));
}

size_t aq_lsq_room(size_t rows, size_t parts)
{
    aq_lsq_work work;
    ledger count = { 0 };

    if (rows > SIZE_MAX / 64 || parts > SIZE_MAX / 64)
        return 0;
    piece(&count, 1, sizeof work);
    lay_out(&work, &count, rows, parts);
    return count.beyond ? 0 : count.used;
}

static aq_lsq_work *work_in(void *memory, size_t bytes, bool fenced, size_t rows, size_t parts)
{
    size_t room = aq_lsq_room(rows, parts);
    ledger from = { .base = memory, .fenced = fenced };

    if (!memory || room == 0 || bytes < room || (uintptr_t)memory % alignof(max_align_t) != 0)
        return NULL;
    aq_lsq_work *work = piece(&from, 1, sizeof *work);
    lay_out(work, &from, rows, parts);
    return work;
}

aq_lsq_work *aq_lsq_work_at(void *memory, size_t bytes, size_t rows, size_t parts)
{
    return work_in(memory, bytes, false, rows, parts);
}

aq_lsq_work *aq_lsq_work_new(size_t rows, size_t parts)
{
    size_t room = aq_lsq_room(rows, parts);
    void *memory = room > 0 ? malloc(room) : NULL;

    aq_lsq_work *work = work_in(memory, room, true, rows, parts);

    if (!work)
        free(memory);
    return work;
}

void aq_lsq_work_free(aq_lsq_work *work)
{
    free(work);
}

/* ---- what a problem may hold ---- */

static bool all_finite(const double *at, size_t count)
{
    for (size_t i = 0; at && i < count; i++)
        if (!isfinite(at[i]))
            return false;
    return true;
}

static bool none_negative(const double *at, size_t count)
{
    for (size_t i = 0; at && i < count; i++)
        if (!(at[i] >= 0))
            return false;
    return true;
}

static bool bounds_valid(const aq_lsq *problem)
{
    bool good = true;

    for (size_t j = 0; j < problem->parts; j++) {
        double low = aq_lsq_lower(problem, j), high = aq_lsq_upper(problem, j);
        good = good && low <= high && low < INFINITY && high > -INFINITY;
    }
    return good;
}

/* Products that leave the range of double count as infinite. */
static bool products_finite(const aq_lsq *problem)
{
    for (size_t i = 0; i < problem->rows && problem->weight; i++) {
        double weight = problem->weight[i];
        if (!isfinite(weight * problem->b[i]))
            return false;
        for (size_t j = 0; j < problem->parts; j++)
            if (!isfinite(weight * problem->a[i * problem->parts + j]))
                return false;
    }
    for (size_t j = 0; j < problem->parts && problem->ridge && problem->anchor; j++)
        if (!isfinite(problem->ridge[j] * problem->anchor[j]))
            return false;
    return true;
}

static bool numbers_valid(const aq_lsq *problem)
{
    size_t n = problem->parts, rows = problem->rows;

    return all_finite(problem->a, rows * n) && all_finite(problem->b, rows) &&
           all_finite(problem->weight, rows) && all_finite(problem->ridge, n) &&
           all_finite(problem->anchor, n) && all_finite(problem->equal, n) &&
           (!problem->equal || isfinite(problem->equal_to)) && none_negative(problem->weight, rows) &&
           none_negative(problem->ridge, n) && products_finite(problem);
}

/* Whether equal . x takes the value equal_to anywhere between the bounds, give or take the rounding of the sum. Sets
 * work->equality unless all of `equal` is 0. */
static bool equality_reachable(aq_lsq_work *work, const aq_lsq *problem)
{
    double least = 0, most = 0, terms = fabs(problem->equal_to);

    work->equality = false;
    for (size_t j = 0; j < problem->parts; j++) {
        double c = problem->equal[j];
        double low = aq_lsq_lower(problem, j), high = aq_lsq_upper(problem, j);
        if (c == 0)
            continue;
        work->equality = true;
        least += c > 0 ? c * low : c * high;
        most += c > 0 ? c * high : c * low;
        terms += (isinf(low) ? 0 : fabs(c * low)) + (isinf(high) ? 0 : fabs(c * high));
    }
    double rounding = (double)(problem->parts + 4) * DBL_EPSILON * terms;
    return !(problem->equal_to < least - rounding) && !(problem->equal_to > most + rounding);
}

/* ---- the certificate ---- */

typedef struct {
    double objective;
    double terms; /* norm of the misfits with every term taken positive: what their rounding is a share of */
} misfit;

/* Half the slope of the weighted targets along each part into work->pull, and the squared norm of its column into
 * work->to. */
static misfit slopes_of_rows(aq_lsq_work *work, const aq_lsq *problem, const double *x)
{
    size_t n = problem->parts;
    double *restrict pull = work->pull, *restrict size = work->to;
    misfit at = { 0, 0 };

    for (size_t j = 0; j < n; j++)
        pull[j] = size[j] = 0;
    for (size_t i = 0; i < problem->rows; i++) {
        const double *a = problem->a + i * n;
        double weight = problem->weight ? problem->weight[i] : 1, miss = -problem->b[i], terms = fabs(miss);
        for (size_t j = 0; j < n; j++) {
            miss += a[j] * x[j];
            terms += fabs(a[j] * x[j]);
        }
        miss *= weight;
        terms *= weight;
        at.objective += miss * miss;
        at.terms += terms * terms;
        for (size_t j = 0; j < n; j++) {
            double entry = weight * a[j];
            pull[j] += entry * miss;
            size[j] += entry * entry;
        }
    }
    at.terms = sqrt(at.terms);
    return at;
}

/* Adds those of the ridge, or of the part of it that `only` names. They come last: added first, they would drown in
 * what cancels later. */
static void add_ridge(aq_lsq_work *work, const aq_lsq *problem, const double *x, const bool *only, misfit *at)
{
    double terms = at->terms * at->terms;

    for (size_t j = 0; problem->ridge && j < problem->parts; j++) {
        double ridge = problem->ridge[j], anchor = problem->anchor ? problem->anchor[j] : 0;
        double miss = ridge * (x[j] - anchor), own = ridge * (fabs(x[j]) + fabs(anchor));
        if (only && !only[j])
            continue;
        at->objective += miss * miss;
        terms += own * own;
        work->pull[j] += ridge * miss;
        work->to[j] += ridge * ridge;
    }
    at->terms = sqrt(terms);
}

static misfit slopes(aq_lsq_work *work, const aq_lsq *problem, const double *x)
{
    misfit at = slopes_of_rows(work, problem, x);

    if (problem->ridge)
        add_ridge(work, problem, x, NULL, &at);
    return at;
}

static int side_of(const aq_lsq *problem, size_t j, double x)
{
    return x >= aq_lsq_upper(problem, j) ? 1 : x <= aq_lsq_lower(problem, j) ? -1 : 0;
}

/* What the equality adds to the certificate. */
typedef struct {
    double price; /* half of it */
    double size;  /* norm of the equality, each part counted in the unit that its column has */
    double miss;  /* equal . x - equal_to */
    double terms; /* the same with every term taken positive */
} balance;

/* If no free part counts in the equality, many prices suit all the bounds: the one nearest to 0. */
static double price_within_bounds(const aq_lsq_work *work, const aq_lsq *problem, const double *x)
{
    double price = 0;

    for (size_t j = 0; j < problem->parts; j++) {
        double c = problem->equal[j], at = work->pull[j] / c;
        if (c == 0 || work->low[j] == work->high[j])
            continue;
        price = (side_of(problem, j, x[j]) < 0) == (c > 0) ? fmin(price, at) : fmax(price, at);
    }
    return price;
}

/* The slopes of the free parts are price times c but for rounding, so the price is their average by how well they are
 * known: a part that no target knows has none at all. */
static balance equality_of(const aq_lsq_work *work, const aq_lsq *problem, const double *x)
{
    balance of = { .miss = -problem->equal_to, .terms = fabs(problem->equal_to) };
    double sum = 0, known = 0, square = 0;

    for (size_t j = 0; j < problem->parts; j++) {
        double c = problem->equal[j], share = work->to[j] > 0 ? c / work->to[j] : 0;
        of.miss += c * x[j];
        of.terms += fabs(c * x[j]);
        square += c * share;
        if (c == 0 || (work->side[j] != AQ_FREE && side_of(problem, j, x[j]) != 0))
            continue;
        known += work->to[j] > 0 ? c * share : INFINITY;
        sum += work->pull[j] * share;
    }
    of.size = sqrt(square);
    of.price = known > 0 ? sum / known : price_within_bounds(work, problem, x);
    return of;
}

static void certify(aq_lsq_work *work, const aq_lsq *problem, const double *x, aq_lsq_report *report)
{
    misfit at = slopes(work, problem, x);
    balance equality = { 0 };
    double price_terms = 0;

    report->objective = at.objective;
    report->rank = work->rank;
    report->steps = work->steps;
    report->gap = 0;
    if (problem->equal) {
        equality = equality_of(work, problem, x);
        price_terms = fabs(equality.price);
        if (equality.size > 0) {
            at.terms += fabs(problem->equal_to) / equality.size;
            price_terms = at.terms / equality.size;
        }
        equality.terms += equality.size * at.terms;
        report->gap = equality.terms > 0 ? fabs(equality.miss) / equality.terms : 0;
    }
    report->equal_price = 2 * equality.price;
    for (size_t j = 0; j < problem->parts; j++) {
        double low = aq_lsq_lower(problem, j), high = aq_lsq_upper(problem, j);
        double c = problem->equal ? problem->equal[j] : 0, pull = work->pull[j] - equality.price * c;
        double terms = sqrt(work->to[j]) * at.terms + price_terms * fabs(c);
        int side = side_of(problem, j, x[j]);
        double breach = low == high ? 0 : side == 0 ? fabs(pull) : fmax(0, side * pull);

        if (breach > 0)
            report->gap = fmax(report->gap, breach / terms);
        if (report->side)
            report->side[j] = side;
        if (report->price)
            report->price[j] = side == 0 ? 0 : 2 * pull;
    }
}

/* ---- solve ---- */

static void unscale(const aq_lsq_work *work, double *x)
{
    for (size_t j = 0; j < work->parts; j++)
        x[j] = work->x[j] * work->scale[j];
}

/* A step of iterative refinement with the slope taken from the problem's own numbers (Bjorck 1987, corrected seminormal
 * equations). Where the factors had to be pivoted a part may be told from its twin by a small ridge alone; there the
 * rounding of one reflection moves x by its square, while the slope of exact twins is rounded alike. */
static void refine(aq_lsq_work *work, const aq_lsq *problem, double *x)
{
    double miss = work->equal_to;

    unscale(work, x);
    misfit at = slopes_of_rows(work, problem, x);
    for (size_t j = 0; work->equality && j < problem->parts; j++)
        work->pull[j] -= work->price * work->unit * problem->equal[j];
    add_ridge(work, problem, x, work->stacked, &at);
    for (size_t j = 0; j < problem->parts; j++) {
        work->pull[j] *= work->scale[j] / work->unit / work->unit;
        miss -= work->equality ? work->equal[j] * work->x[j] : 0;
    }
    aq_lsq_refine(work, work->pull, miss);
}

/* Breaks a tie, unless rounding would spoil more than that gains. */
static void choose(aq_lsq_work *work, const aq_lsq *problem, double *x)
{
    size_t bytes = problem->parts * sizeof *x;

    unscale(work, x);
    misfit before = slopes(work, problem, x);
    memcpy(work->inverse, work->x, bytes);
    aq_lsq_choose(work);
    if (work->equality)
        aq_lsq_repair(work, false); /* of rounding only */
    unscale(work, x);
    misfit after = slopes(work, problem, x);
    double terms = fmax(before.terms, after.terms);
    if (!(after.objective <= before.objective + 1e-12 * terms * terms))
        memcpy(work->x, work->inverse, bytes);
}

aq_status aq_lsq_solve(const aq_lsq *problem, aq_lsq_work *work, double *x, aq_lsq_report *report)
{
    size_t n = problem->parts;
    bool pivoted = false;

    if (problem->rows > work->rows_most || n > work->parts_most)
        return AQ_TOO_LARGE;
    if (!bounds_valid(problem))
        return AQ_INVALID;
    work->equality = false;
    if (problem->equal && !equality_reachable(work, problem))
        return numbers_valid(problem) ? AQ_INFEASIBLE : AQ_INVALID;
    work->parts = n;
    work->stride = n + 1;
    work->patience = 32 + 16 * n;

    /* A number that is not finite spoils the plain factors, so only then need each be looked at. */
    if (!aq_lsq_factor_plain(work, problem)) {
        if (!numbers_valid(problem))
            return AQ_INVALID;
        aq_lsq_factor_pivoted(work, problem);
        pivoted = true;
    }
    aq_lsq_active(work);
    for (int turn = 0; pivoted && turn < 2; turn++)
        refine(work, problem, x);
    if (work->rank < n)
        choose(work, problem, x);
    unscale(work, x);
    if (report)
        certify(work, problem, x, report);
    return AQ_OK;
}
