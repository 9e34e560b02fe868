/* An equality c . x = d beside the triangle.
 *
 * It shifts the best x of the free parts along one direction: with g = R^-T c they meet R x = q + g p, where the price
 * p = (d - g . q) / (g . g) is its multiplier. Example: of x1 = 2 and x2 = 4 wanted and x1 + x2 = 3 held, R is the unit
 * matrix, g = (1, 1), p = (3 - 6) / 2, x = (0.5, 2.5). */
#include "solve/lsq_inner.h"

#include <float.h>
#include <math.h>

/* What the fixed parts leave of equal_to; adds the terms of that, taken positive, to `terms`. */
static double left_over(const aq_lsq_work *work, double *terms)
{
    double left = work->equal_to;

    *terms += fabs(left);
    for (size_t j = 0; j < work->parts; j++)
        if (work->side[j] != AQ_FREE) {
            left -= work->equal[j] * work->x[j];
            *terms += fabs(work->equal[j] * work->x[j]);
        }
    return left;
}

/* lift = R^-T c. */
static void lift_up(aq_lsq_work *work)
{
    work->lift_square = 0;
    for (size_t t = 0; t < work->count; t++)
        work->lift[t] = work->equal[work->order[t]];
    aq_lsq_solve_transposed(work, work->lift);
    for (size_t t = 0; t < work->count; t++)
        work->lift_square += work->lift[t] * work->lift[t];
}

void aq_lsq_price(aq_lsq_work *work)
{
    double terms = 0, price = left_over(work, &terms);

    lift_up(work);
    work->price = work->price_noise = 0;
    if (!(work->lift_square > 0))
        return;
    for (size_t t = 0; t < work->count; t++) {
        double part = work->lift[t] * aq_lsq_row(work, t)[work->parts];
        price -= part;
        terms += fabs(part);
    }
    terms *= 8 * DBL_EPSILON;
    work->price_noise = terms / work->lift_square;
    if (fabs(price) > terms)
        work->price = price / work->lift_square;
}

bool aq_lsq_within_reach(const aq_lsq_work *work)
{
    double terms = 0, left = left_over(work, &terms), least = 0, most = 0;

    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        double c = work->equal[j];
        if (c == 0)
            continue;
        least += c > 0 ? c * work->low[j] : c * work->high[j];
        most += c > 0 ? c * work->high[j] : c * work->low[j];
    }
    return least < left && left < most;
}

double aq_lsq_short(const aq_lsq_work *work)
{
    double terms = 0, miss = left_over(work, &terms);

    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        miss -= work->equal[j] * aq_lsq_within(work, j, work->to[j]);
    }
    return miss;
}

void aq_lsq_repair(aq_lsq_work *work, bool leave_bounds)
{
    for (size_t round = 0; round <= work->parts; round++) {
        double miss = work->equal_to, terms = fabs(miss), slope = 0;
        for (size_t j = 0; j < work->parts; j++) {
            miss -= work->equal[j] * work->x[j];
            terms += fabs(work->equal[j] * work->x[j]);
        }
        for (size_t j = 0; j < work->parts; j++) {
            double c = work->equal[j];
            bool up = c * miss > 0, at_low = work->x[j] <= work->low[j],
                 at_high = work->x[j] >= work->high[j];
            bool stuck = (at_low && !(up && leave_bounds)) || (at_high && (up || !leave_bounds));
            work->to[j] = c == 0 || stuck ? 0 : c / work->size[j];
            slope += c * work->to[j];
        }
        if (fabs(miss) <= DBL_EPSILON * terms || !(slope > 0))
            return;
        for (size_t j = 0; j < work->parts; j++)
            work->x[j] = aq_lsq_within(work, j, work->x[j] + miss / slope * work->to[j]);
    }
}

static void move_free(aq_lsq_work *work, double *right)
{
    aq_lsq_solve_free(work, right, work->to);
    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        work->x[j] = aq_lsq_within(work, j, work->x[j] + work->to[j]);
    }
}

void aq_lsq_hold(aq_lsq_work *work)
{
    double terms = 0, miss = left_over(work, &terms);

    for (size_t t = 0; t < work->count; t++) {
        double part = work->equal[work->order[t]] * work->x[work->order[t]];
        miss -= part;
        terms += fabs(part);
    }
    if (!(work->lift_square > 0) || fabs(miss) <= DBL_EPSILON * terms)
        return;
    for (size_t t = 0; t < work->count; t++)
        work->column[t] = miss / work->lift_square * work->lift[t];
    move_free(work, work->column);
}

void aq_lsq_refine(aq_lsq_work *work, const double *slope, double miss)
{
    double *right = work->column;

    for (size_t t = 0; t < work->count; t++)
        right[t] = -slope[work->order[t]];
    aq_lsq_solve_transposed(work, right);
    if (work->equality) {
        lift_up(work);
        for (size_t t = 0; t < work->count; t++)
            miss -= work->lift[t] * right[t];
        for (size_t t = 0; work->lift_square > 0 && t < work->count; t++)
            right[t] += miss / work->lift_square * work->lift[t];
    }
    move_free(work, right);
}
