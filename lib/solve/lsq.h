/* Bounded least squares: the doses that come closest to every target at once, none below its least, none above its top.
 *
 * Minimises
 *
 *     sum_i (weight_i (A x - b)_i)^2  +  sum_j (ridge_j (x_j - anchor_j))^2
 *     where lower <= x <= upper  and, if `equal` is given,  equal . x = equal_to.
 *
 * Example: Part A and Part B bring 47 and 0 mg/L of nitrogen and 10 and 60 of potassium per mL/L; 94 and 120 are
 * wanted, and 1.5 mL/L of Part A is its label top. Then A = { 47, 0, 10, 60 }, b = { 94, 120 }, upper = { 1.5, 4 },
 * and x = { 1.5, 1.75 }: Part A stops at its top, Part B makes up the potassium, and 23.5 mg/L of nitrogen fall short.
 *
 * The answer is exact up to rounding, not iterated to a tolerance, and always the same for the same numbers. Where many
 * x are equally good (twin parts, fewer targets than parts) it is the one of least sum x_j^2 among them, unless a ridge
 * says otherwise: 2 mL of twins within 0 and 1.5 each are 1 + 1.
 *
 * Nothing is allocated in a solve and nothing is global: threads with workspaces of their own never meet. */
#ifndef AQ_SOLVE_LSQ_H
#define AQ_SOLVE_LSQ_H

#include "base/error.h"

/* Arrays are borrowed for the call. Numbers may have any scale: entries of 1e-8 and 1e8 in one problem do no harm.
 *
 * NULL stands for weights of 1, lower bounds of 0, no upper bounds, no ridge, anchors of 0, no equality. -INFINITY and
 * INFINITY are no bound; where lower == upper the part is given. Weights and ridges are 0 or more. A ridge pulls its
 * part toward its anchor; one of 1e-4 or less of its column decides between twins without moving anything else. */
typedef struct {
    size_t rows, parts;           /* either may be 0 */
    const double *a, *b, *weight; /* a: rows x parts, row-major; b, weight: rows */
    const double *lower, *upper;  /* parts; upper may be INFINITY */
    const double *ridge, *anchor; /* parts; ridge may be NULL */
    const double *equal;          /* parts; equal . x = equal_to; may be NULL */
    double equal_to;
} aq_lsq;

/* The certificate, worked from the problem's own numbers and not from the factors that led to x. Set `side` and `price`
 * before the call to arrays of `parts` entries, or to NULL; the rest is filled in.
 *
 * A price is what a bound costs: the change of the objective per unit by which the bound of x_j were moved up. It is
 * negative at a top that holds a target back, positive at a floor that pushes past one, 0 for a part within its range.
 * In the unit of a target i the same is plain from A: 0.1 mL/L more Part B gives 0.1 a[i][B] mS/cm.
 *
 * `gap` is the worst breach of the conditions of optimality, as a share of the terms it is left of. Rounding leaves
 * 1e-16 to 1e-12 where x is determined well; a gap beyond 1e-6 says that the problem has no answer to trust. */
typedef struct {
    int *side;          /* -1 at its lower bound, +1 at its upper or given, 0 within its range */
    double *price;      /* objective per unit of the part */
    double equal_price; /* objective per unit of equal_to */
    double objective;   /* the sum of squares at x */
    double gap;
    size_t rank;  /* columns that A, ridge and equality tell apart; below `parts` a tie was broken */
    size_t steps; /* how often parts were freed again after the first guess */
} aq_lsq_report;

/* Memory for problems of up to `rows` by `parts`. */
typedef struct aq_lsq_work aq_lsq_work;

/* NULL: out of memory. Freeing NULL is fine. */
AQ_API aq_lsq_work *aq_lsq_work_new(size_t rows, size_t parts);
AQ_API void aq_lsq_work_free(aq_lsq_work *work);

/* The same on the caller's memory (an array on the stack, an arena), which must outlive it and be aligned for any type;
 * such a workspace is not freed. aq_lsq_room gives the bytes it takes, 10 KiB for 20 rows and 12 parts, or 0 where that
 * is beyond size_t. aq_lsq_work_at gives NULL if `bytes` are fewer or `memory` is not aligned. */
AQ_API size_t aq_lsq_room(size_t rows, size_t parts);
AQ_API aq_lsq_work *aq_lsq_work_at(void *memory, size_t bytes, size_t rows, size_t parts);

/* Fills x (parts entries) and `report` (which may be NULL).
 *
 * AQ_INVALID: a NaN anywhere, an infinity anywhere but in a bound that means none, a lower bound above its upper, a
 * weight or ridge below 0. AQ_INFEASIBLE: no x between the bounds meets the equality; one that is only out of reach by
 * the rounding of its own sum counts as reached. AQ_TOO_LARGE: more rows or parts than the workspace was made for.
 * On failure x and `report` are as they were. */
AQ_API aq_status aq_lsq_solve(const aq_lsq *problem, aq_lsq_work *work, double *x, aq_lsq_report *report);

#endif
