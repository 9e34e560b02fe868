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
 * x are equally good (twin parts, fewer targets than parts) it is the one of least sum x_j^2 among them.
 *
 * Nothing is allocated in a solve and nothing is global: threads with workspaces of their own never meet. */
#ifndef AQ_SOLVE_LSQ_H
#define AQ_SOLVE_LSQ_H

#include "base/error.h"

/* Every array is borrowed for the call. Numbers may have any scale: units as different as 1e-8 and 1e8 in one problem
 * do no harm. */
typedef struct {
    size_t rows, parts;                   /* either may be 0 */
    const double *a, *b, *weight;         /* a: rows x parts, row-major; b, weight: rows. weight NULL: all 1; 0 or more */
    const double *lower, *upper;          /* parts. lower NULL: all 0; upper NULL: none. -INFINITY, INFINITY: no bound;
                                             lower == upper: the part is given */
    const double *ridge, *anchor;         /* parts. ridge NULL: no pull; 0 or more. anchor NULL: all 0 */
    const double *equal; double equal_to; /* parts. equal NULL: no equality; else all 0 only with equal_to 0 */
} aq_lsq;

/* The certificate. Set `side` and `price` before the call to arrays of `parts` entries, or to NULL; the rest is filled
 * in. All of it is worked from the problem's own numbers, not from the factors that led to x.
 *
 * price[j] is what a bound costs: the change of the objective for one more unit of the bound that x_j lies at (so
 * negative at a top that holds a target back, positive at a floor that pushes past it, and 0 for a part that is free).
 * For a single row i it says the same in that row's unit: 0.1 mL/L more Part B gives 0.1 a[i][B] mS/cm. */
typedef struct {
    int *side;          /* -1 at its lower bound, +1 at its upper, 0 between; a given part counts as +1 */
    double *price;      /* objective per unit of the bound */
    double equal_price; /* objective per unit of equal_to */
    double objective;   /* the minimum: the sum of squares above */
    double gap;         /* worst breach of the conditions of optimality, as a share of the terms it is the sum of: 1e-12
                           is rounding. A problem too large for its doubles would show here, and only here */
    size_t rank;        /* independent columns of A, ridge and equality together; below `parts`, x may have been chosen
                           by least norm */
    size_t steps;       /* parts that were freed again after the first guess */
} aq_lsq_report;

/* Memory for problems of up to `rows` by `parts`. */
typedef struct aq_lsq_work aq_lsq_work;

/* NULL: out of memory. Freeing NULL is fine. */
AQ_API aq_lsq_work *aq_lsq_work_new(size_t rows, size_t parts);
AQ_API void aq_lsq_work_free(aq_lsq_work *work);

/* The same on the caller's memory (an array on the stack, an arena), which must outlive it and be aligned for any type;
 * such a workspace is not freed. aq_lsq_room is the bytes it takes, about 16 (rows + parts) (parts + 4) + 32 parts^2;
 * 0 when that is beyond size_t. aq_lsq_work_at gives NULL if `bytes` are fewer. */
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
