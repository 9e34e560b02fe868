/* From a tank and an aim to exact doses, in litres, grams and mS/cm; no text, no tools.
 *
 * Salts are conserved: heel H of EC e_h and water to V give e_0 = (H e_h + (V - H) e_w) / V. A dose is x_j units per
 * litre of V, and the tank reads e_0 + sum k_j x_j where slopes k are known; for parts known only by composition the
 * chemistry's EC of (water and heel + those parts) less that of (water and heel) is added.
 *
 * Doses minimise sum_i (w_i (A x + b - t)_i)^2 + sum_j (rho_j (x_j - s r_j))^2 inside 0 <= x_j <= label top, with one
 * equality for EC. The ridge pulls toward the label's ratio r at the strength s that fits best alone, so parts that
 * are twins share a dose in one way only. Label tops outrank EC: where they clash the tops win, and the answer says by
 * how much it falls short and which parts hold it back. */
#ifndef AQ_SOLVE_MIX_H
#define AQ_SOLVE_MIX_H

#include "base/arena.h"
#include "chemistry/composition.h"

/* What one share of a column brings to a litre of tank. */
typedef struct {
    const aq_composition *composition; /* NULL: unknown */
    double per_share;                  /* of the unit that the composition is per: g, or L */
} aq_mix_member;

/* One unknown: a part, or a whole group. x counts L/L, g/L, or shares of a group. */
typedef struct {
    double low, top;   /* label range of x; top INFINITY: no limit on the label */
    double already;    /* x poured since the change: counts against the top */
    double anchor;     /* the label's ratio: the top where there is one, else 1; 0: no pull but to none */
    double slope;      /* mS/cm per unit of x; NaN: from the composition, and NaN there too means unknown */
    double to;         /* EC the tank reads after this column, dosed first; NaN: an ordinary one */
    const aq_mix_member *members;
    size_t member_count;
} aq_mix_column;

typedef struct {
    aq_nutrient nutrient;
    double wanted;    /* g per L of finished tank */
    double tolerance; /* share of `wanted` that counts as met; weight is 1 / (tolerance * wanted) */
} aq_mix_target;

typedef struct {
    double volume, heel;      /* L; heel includes what never drains */
    double heel_ec, water_ec; /* mS/cm; NaN: not known, and then nothing can be promised */
    const aq_solution *water; /* ions of the source water; NULL: not known */
    const double *base;       /* g/L of each nutrient in heel and water together, AQ_NUTRIENT_COUNT; NULL: none known */
    const aq_mix_column *columns;
    size_t count;
    double ec;                /* aim; NaN: none */
    const aq_mix_target *targets;
    size_t target_count;
    const double *fixed;      /* rates or a strength already decide every x; NULL: solve */
    bool over_label;          /* tops do not hold this once */
} aq_mix_problem;

typedef struct {
    double *x;            /* count, per litre of finished tank */
    double base_ec;       /* after water, before any dose; NaN: unknown */
    double *ec_after;     /* count: EC after column j was poured, columns in order; NaN where unknown */
    double ec;            /* expected at the end; NaN: unknown */
    double *slope;        /* count: mS/cm per unit of x at the answer; NaN unknown */
    double got[AQ_NUTRIENT_COUNT]; /* g/L in the finished tank from parts and base */
    bool capped;          /* a label top held the answer back */
    bool met;             /* EC within 1e-6 mS/cm and every target within its tolerance */
    double ec_short;      /* aim less expected, where an EC was aimed at; 0 when met */
    int *bound;           /* count: -1 at its lower bound, +1 at its top, 0 free */
    double *price;        /* count: what one more unit of x at that bound would give, in mS/cm (EC aim) or in weighted
                             misfit (targets); 0 for free columns */
    double gap;           /* optimality gap, relative */
    double strength;      /* s: share of the label's top that fits best */
} aq_mix_answer;

/* *out lives in `arena`. AQ_INFEASIBLE is never returned: a poor answer is an answer. AQ_INVALID: a problem with NaN
 * where none is allowed, or an EC aim with no column that carries EC. */
AQ_API aq_status aq_mix_solve(aq_mix_answer **out, const aq_mix_problem *problem, aq_arena *arena, aq_error *err);

#endif
