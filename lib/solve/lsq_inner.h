/* What the files of the bounded least squares share; not installed.
 *
 *     lsq.c         checks, bounds in and answer out, the certificate
 *     lsq_factor.c  the problem to a triangle: rows to R and Q'b
 *     lsq_active.c  which parts lie at a bound: the active set, on that triangle alone
 *     lsq_norm.c    of equally good answers the shortest
 *
 * Inside, part j counts in units of scale[j], a power of two, so that scaling rounds nothing. */
#ifndef AQ_SOLVE_LSQ_INNER_H
#define AQ_SOLVE_LSQ_INNER_H

#include "solve/lsq.h"

typedef enum { AQ_AT_LOW = -1, AQ_FREE = 0, AQ_AT_HIGH = 1, AQ_PARKED = 2 } aq_lsq_side;

struct aq_lsq_work {
    size_t rows_most, parts_most; /* what there is room for */

    size_t parts, stride; /* stride = parts + 1 */
    size_t rank;          /* rows of u in use */
    double *u;            /* row-major, stride wide: the columns of the parts, then the right-hand side less what the
                             fixed parts already bring. Columns order[0..count) form an upper triangle */
    double *column;       /* one column, gathered */
    double *size;         /* of each column: the sum of its squares */
    double total;         /* sum of squares of the whole right-hand side */
    double *low, *high, *scale;

    bool equality;    /* equal . x = equal_to is to be held */
    double *equal;    /* scaled as the parts are */
    double equal_to;  /* in units of `unit` */
    double price;     /* multiplier of the equality: half the objective per unit of equal_to */
    double price_noise;
    double unit;      /* of the right-hand side, a power of two */

    size_t count;     /* free parts */
    size_t *order;    /* the free parts, as their pivots stand */
    aq_lsq_side *side;
    bool *settled;    /* freeing this part gained nothing: its multiplier is rounding. In the answer: a part that no
                         equally good x can move */
    double *inverse;  /* of the pivots */
    double *x, *to;   /* where we are, and where the free parts would be best */
    double *rest;     /* what the free parts leave over, in the rows of u */
    double *lift;     /* the equality in those rows */
    double *pull;     /* multiplier of each fixed part */
    double rest_square, right_square; /* what rounding in a pull is a share of */
    size_t steps, patience;

    double *dense, *tau, *norm; /* for the pivoted factors */
    size_t *permutation, *by_size;
    double *null;     /* parts - rank columns of `parts` entries: moves that change no target */
};

/* Fills everything up to `order` and `inverse`: fast without pivoting, which is trusted only if no column is nearly a
 * mix of those before it; else by rank-revealing pivoted factors, with rank and null. */
bool aq_lsq_factor_plain(aq_lsq_work *work, const aq_lsq *problem);
void aq_lsq_factor_pivoted(aq_lsq_work *work, const aq_lsq *problem);

/* Reflects (Householder) so that `column` is left only in row `top`: of the `count` rows from `body` on it becomes 0.
 * Columns from..to-1 of all these rows are carried along. Gives one over the new pivot. */
double aq_lsq_reflect(double *top, double *body, size_t stride, size_t count, size_t column, size_t from, size_t to,
                      double *gather);

/* From factors to the best x within the bounds. */
void aq_lsq_active(aq_lsq_work *work);

/* Moves the free parts by what `slope`, half the slope of the objective, and `miss`, what equal . x is short of
 * equal_to, still ask for. Both are scaled as x is. */
void aq_lsq_refine(aq_lsq_work *work, const double *slope, double miss);

/* Moves x, which is optimal, to the shortest of all that are. */
void aq_lsq_shorten(aq_lsq_work *work);

#endif
