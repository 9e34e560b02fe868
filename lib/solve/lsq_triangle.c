/* Parts in and out of the triangle of the free ones, whose factors are updated, never made afresh.
 *
 * A reflection (Householder 1958; Golub and Van Loan, Matrix Computations, section 5.1) with v = a - r e1, where r is
 * the norm of a with the sign that does not cancel, turns (3, 4) into (-5, 0): v = (8, 4) and I - v v' / 40. It is
 * applied to four columns at a time, whose sums then stay in registers: on the few dozen rows of a mix that takes a
 * quarter of the time of the general routines.
 *
 * The columns keep their places; only the list of free parts changes. Fixed columns are carried along, so that what is
 * left over at the best x of the free parts is the right-hand side below the triangle, and the pull of a fixed part
 * its column times that. */
#include "solve/lsq_inner.h"

#include <float.h>
#include <math.h>

static void reflect_four(double *restrict top, double *restrict body, size_t stride, size_t count,
                         const double *restrict v, double head, double share)
{
    double a = head * top[0], b = head * top[1], c = head * top[2], d = head * top[3];
    double *row = body;

    for (size_t i = 0; i < count; i++, row += stride) {
        a += v[i] * row[0];
        b += v[i] * row[1];
        c += v[i] * row[2];
        d += v[i] * row[3];
    }
    a *= share, b *= share, c *= share, d *= share;
    top[0] -= head * a, top[1] -= head * b, top[2] -= head * c, top[3] -= head * d;
    row = body;
    for (size_t i = 0; i < count; i++, row += stride) {
        row[0] -= v[i] * a;
        row[1] -= v[i] * b;
        row[2] -= v[i] * c;
        row[3] -= v[i] * d;
    }
}

static void reflect_one(double *restrict top, double *restrict body, size_t stride, size_t count,
                        const double *restrict v, double head, double share)
{
    double a = head * *top;

    for (size_t i = 0; i < count; i++)
        a += v[i] * body[i * stride];
    a *= share;
    *top -= head * a;
    for (size_t i = 0; i < count; i++)
        body[i * stride] -= v[i] * a;
}

/* Two rows: a rotation, which is the same to rounding, but where the upper entry is 0 it swaps the rows exactly, so
 * that a small row (of a ridge) takes no rounding from a large one. */
static double rotate(double *restrict top, double *restrict below, size_t column, size_t from, size_t to)
{
    double norm = sqrt(top[column] * top[column] + below[column] * below[column]), inverse = 1 / norm;
    double c = top[column] * inverse, s = below[column] * inverse;

    for (size_t k = from; k < to; k++) {
        double a = top[k], b = below[k];
        top[k] = c * a + s * b;
        below[k] = c * b - s * a;
    }
    top[column] = norm;
    below[column] = 0;
    return inverse;
}

/* Reflected, an entry of 0 would share the rounding of the largest below it. Swapping the rows does not round. */
static double swap_rows(double *top, double *body, size_t stride, size_t count, size_t from, size_t to,
                        double *gather)
{
    size_t most = 0;

    for (size_t i = 1; i < count; i++)
        if (fabs(gather[i]) > fabs(gather[most]))
            most = i;
    for (size_t k = from; k < to; k++) {
        double kept = top[k];
        top[k] = body[most * stride + k];
        body[most * stride + k] = kept;
    }
    double first = gather[most];
    gather[most] = 0;
    return first;
}

double aq_lsq_reflect(double *top, double *body, size_t stride, size_t count, size_t column, size_t from,
                      size_t to, double *gather)
{
    double first = top[column], sum = 0;

    for (size_t i = 0; i < count; i++) {
        double below = body[i * stride + column];
        gather[i] = below;
        sum += below * below;
        body[i * stride + column] = 0;
    }
    if (sum == 0)
        return 1 / first;
    if (count == 1) {
        body[column] = gather[0];
        return rotate(top, body, column, from, to);
    }

    double norm = sqrt(first * first + sum);
    if (first == 0)
        first = swap_rows(top, body, stride, count, from, to, gather);
    double pivot = first > 0 ? -norm : norm;
    double head = first - pivot, share = 1 / (norm * (norm + fabs(first)));
    size_t k = from;
    for (; k + 4 <= to; k += 4)
        reflect_four(top + k, body + k, stride, count, gather, head, share);
    for (; k < to; k++)
        reflect_one(top + k, body + k, stride, count, gather, head, share);

    /* `from` may lie before `column`, whose entries the loops then met as zeros below a used-up head. */
    top[column] = pivot;
    for (size_t i = 0; i < count; i++)
        body[i * stride + column] = 0;
    return 1 / pivot;
}

/* Adds `x` of part j to what the right-hand side leaves for the free parts. */
static void carry(aq_lsq_work *work, size_t j, double x)
{
    if (x == 0)
        return;
    for (size_t i = 0; i < work->rank; i++) {
        double *row = aq_lsq_row(work, i);
        row[work->parts] += row[j] * x;
    }
}

void aq_lsq_fix(aq_lsq_work *work, size_t j, aq_lsq_side side, double x)
{
    work->side[j] = side;
    work->x[j] = x;
    carry(work, j, -x);
}

void aq_lsq_unfix(aq_lsq_work *work, size_t j)
{
    carry(work, j, work->x[j]);
}

/* The first column that a reflection has to carry along: fixed, or free behind pivot `from`. */
static size_t first_moved(const aq_lsq_work *work, size_t from)
{
    size_t first = 0;

    while (first < work->parts && work->side[first] == AQ_FREE)
        first++;
    for (size_t t = from; t < work->count; t++)
        first = work->order[t] < first ? work->order[t] : first;
    return first;
}

/* Takes the parts that are no longer free out of the triangle. Those behind them move up, and the stair that they leave
 * (each column reaches down to its old pivot) is reflected away, so many can go at the price of one. */
void aq_lsq_close_up(aq_lsq_work *work)
{
    size_t kept = 0;

    while (kept < work->count && work->side[work->order[kept]] == AQ_FREE)
        kept++;
    size_t first = first_moved(work, kept);
    for (size_t from = kept; from < work->count; from++) {
        size_t j = work->order[from];
        if (work->side[j] != AQ_FREE)
            continue;
        work->order[kept] = j;
        work->inverse[kept] = aq_lsq_reflect(aq_lsq_row(work, kept), aq_lsq_row(work, kept + 1), work->stride,
                                             from - kept, j, first, work->parts + 1, work->column);
        kept++;
    }
    work->count = kept;
}

/* Frees part j as the last of the triangle; false if it is a mix of the free ones. */
bool aq_lsq_release(aq_lsq_work *work, size_t j)
{
    size_t last = work->count;
    double pivot = 0;

    for (size_t i = last; i < work->rank; i++)
        pivot += aq_lsq_row(work, i)[j] * aq_lsq_row(work, i)[j];
    if (!(pivot > 1e3 * DBL_EPSILON * DBL_EPSILON * work->size[j]))
        return false;
    size_t first = first_moved(work, last);
    carry(work, j, work->x[j]);
    work->side[j] = AQ_FREE;
    work->order[last] = j;
    work->inverse[last] = aq_lsq_reflect(aq_lsq_row(work, last), aq_lsq_row(work, last + 1), work->stride,
                                         work->rank - last - 1, j, first, work->parts + 1, work->column);
    work->count++;
    return true;
}

/* Solves the triangle of the free parts for `right`, which it uses up, into `to`. */
void aq_lsq_solve_free(const aq_lsq_work *work, double *right, double *to)
{
    for (size_t t = work->count; t-- > 0;) {
        size_t j = work->order[t];
        double x = right[t] * work->inverse[t];
        const double *above = work->u + j;
        for (size_t i = 0; i < t; i++, above += work->stride)
            right[i] -= *above * x;
        to[j] = x;
    }
}

/* Solves the transposed triangle for `right`, in place. */
void aq_lsq_solve_transposed(const aq_lsq_work *work, double *right)
{
    for (size_t t = 0; t < work->count; t++) {
        const double *row = aq_lsq_row(work, t);
        double y = right[t] *= work->inverse[t];
        for (size_t s = t + 1; s < work->count; s++)
            right[s] -= row[work->order[s]] * y;
    }
}
