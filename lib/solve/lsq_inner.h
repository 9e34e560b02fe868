/* What the files of the bounded least squares share; not installed.
 *
 *     lsq.c           checks, the answer, the certificate
 *     lsq_factor.c    the problem to a triangle: its rows to R and Q'b
 *     lsq_triangle.c  parts in and out of that triangle
 *     lsq_equal.c     an equality beside it
 *     lsq_active.c    which parts lie at a bound
 *     lsq_norm.c      of equally good answers, which
 *
 * Inside, part j counts in units of scale[j] and the right-hand side in units of `unit`: powers of two, so that
 * scaling rounds nothing. */
#ifndef AQ_SOLVE_LSQ_INNER_H
#define AQ_SOLVE_LSQ_INNER_H

#include "solve/lsq.h"

#include <math.h>

/* Where a part is. Parked: fixed within its range, because the free parts can do all that it could. */
typedef enum { AQ_AT_LOW = -1, AQ_FREE = 0, AQ_AT_HIGH = 1, AQ_PARKED = 2 } aq_lsq_side;

struct aq_lsq_work {
    size_t rows_most, parts_most; /* what there is room for */
    size_t parts, stride;         /* stride = parts + 1 */

    /* The triangle: `rank` rows of u, row-major. A row holds a column for each part, and the right-hand side less what
     * the fixed parts bring. The columns of the free parts, order[0..count), are upper triangular in that order. */
    size_t rank, count;
    double *u;
    size_t *order;
    double *inverse; /* one over each pivot */
    double *size;    /* sum of squares of each column */
    double total;    /* sum of squares of the right-hand side */
    double *column;  /* one column or right-hand side at work */
    double *low, *high, *scale;
    double unit; /* of the pivoted factors alone */

    /* The active set. */
    aq_lsq_side *side;
    bool *settled;  /* freeing the part gained nothing; in the end: no equally good x has it elsewhere */
    double *x, *to; /* where the parts are; where the free ones would be best */
    double *rest;   /* what is left over at `to`, in the rows of u */
    double *pull;   /* half the slope of the objective along each fixed part */
    double rest_square, right_square;
    size_t steps, patience;

    /* The equality, scaled as the parts are; `equality` false: none. */
    bool equality;
    double *equal, equal_to;
    double *lift;              /* R^-T equal */
    double lift_square;        /* its square; 0: no free part counts in the equality */
    double price, price_noise; /* its multiplier: half the objective per unit of equal_to */

    /* Pivoted factors, and the moves that change no target, `parts` entries each. Of equally good x, that of least
     * sum (tie_scale_j x_j - tie_shift_j)^2 is wanted. */
    double *dense, *tau, *norm, *normal;
    size_t *permutation, *by_size;
    double *null, *tie_scale, *tie_shift;
    bool *tie_drawn; /* to 0, and only where the others allow */
    bool *stacked;   /* its ridge is a row of the factors; else it only breaks ties */
};

static inline double *aq_lsq_row(const aq_lsq_work *work, size_t row)
{
    return work->u + row * work->stride;
}

static inline double aq_lsq_lower(const aq_lsq *problem, size_t part)
{
    return problem->lower ? problem->lower[part] : 0;
}

static inline double aq_lsq_upper(const aq_lsq *problem, size_t part)
{
    return problem->upper ? problem->upper[part] : INFINITY;
}

/* x, or the bound of part j that it passes. Unlike fmin and fmax this is no call. */
static inline double aq_lsq_within(const aq_lsq_work *work, size_t j, double x)
{
    return x < work->low[j] ? work->low[j] : x > work->high[j] ? work->high[j] : x;
}

/* ---- lsq_factor.c ---- */

/* The triangle with every part free, scales and bounds. Quick, but without pivots: false if it is not to be trusted,
 * because a column is nearly a mix of others or a number is not finite. */
bool aq_lsq_factor_plain(aq_lsq_work *work, const aq_lsq *problem);

/* The same for any numbers that are finite. Only the independent parts are free; fills what chooses between equals. */
void aq_lsq_factor_pivoted(aq_lsq_work *work, const aq_lsq *problem);

/* Fills null with moves of the parts that are not settled; gives how many. Every optimum is x and a mix of them. */
size_t aq_lsq_moves(aq_lsq_work *work);

/* ---- lsq_triangle.c ---- */

/* Reflects rows so that of `column` only the entry in `top` is left; the `count` rows from `body` on become 0 there.
 * Carries along the columns from..to-1. Gives one over the new pivot. */
double aq_lsq_reflect(double *top, double *body, size_t stride, size_t count, size_t column, size_t from,
                      size_t to, double *gather);

/* Marks part j as fixed at x, and takes what it brings out of the right-hand side; aq_lsq_unfix gives that back. */
void aq_lsq_fix(aq_lsq_work *work, size_t j, aq_lsq_side side, double x);
void aq_lsq_unfix(aq_lsq_work *work, size_t j);

/* Takes the parts marked as fixed out of the triangle. */
void aq_lsq_close_up(aq_lsq_work *work);

/* Frees a fixed part, as the last of the triangle; false if it is a mix of those that are free. */
bool aq_lsq_release(aq_lsq_work *work, size_t j);

/* Solves for the free parts, R to = right, and R'y = right in place of it. `right` is used up. */
void aq_lsq_solve_free(const aq_lsq_work *work, double *right, double *to);
void aq_lsq_solve_transposed(const aq_lsq_work *work, double *right);

/* ---- lsq_equal.c ---- */

/* Sets lift, price and price_noise for the free parts; a price that is no more than rounding is 0. */
void aq_lsq_price(aq_lsq_work *work);

/* What equal . to of the free parts, clipped to their bounds, is short of equal_to. */
double aq_lsq_short(const aq_lsq_work *work);

/* Whether the free parts can make up for what equal . x of the fixed ones leaves. */
bool aq_lsq_within_reach(const aq_lsq_work *work);

/* Puts x, which is within its bounds, on the equality: along it, and where a part meets a bound the others go on. What
 * lies at a bound stays there unless it may leave. */
void aq_lsq_repair(aq_lsq_work *work, bool leave_bounds);

/* Takes the rounding out of equal . x = equal_to, along the direction that costs least. */
void aq_lsq_hold(aq_lsq_work *work);

/* Moves the free parts by what `slope`, half the slope of the objective, and `miss`, what equal . x is short of
 * equal_to, still ask for. */
void aq_lsq_refine(aq_lsq_work *work, const double *slope, double miss);

/* ---- lsq_active.c ---- */

/* From the triangle to the best x within the bounds. */
void aq_lsq_active(aq_lsq_work *work);

/* ---- lsq_norm.c ---- */

/* Moves x, which is optimal, to the one that is wanted of all that are. Uses up the factors. */
void aq_lsq_choose(aq_lsq_work *work);

#endif
