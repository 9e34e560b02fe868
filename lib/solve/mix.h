/* From a tank and an aim to exact doses, in litres, grams and mS/cm; no text, no tools.
 *
 * Salts are conserved: heel H of EC e_h and water to V give e_0 = (H e_h + (V - H) e_w) / V. A dose is x_j units per
 * litre of V, and the tank reads e_0 + sum k_j x_j where slopes k are known; for parts known only by composition the
 * chemistry's EC of (water and heel + those parts) less that of (water and heel) is added.
 *
 * Columns with an EC of their own to reach (`to`) are dosed first, in order. The others: with targets, doses minimise
 * sum_i (w_i (A x + b - t)_i)^2 + sum_j (rho_j (x_j - s r_j))^2 inside 0 <= x_j <= label top, with one equality where an
 * EC is aimed at too. The ridge is too small to move a determined answer; it pulls toward the label's ratio r at the
 * strength s that fits best alone, so parts that are twins share a dose in one way only. With an EC alone every dose is
 * min(s r_j, top_j) for the one s that reads it: just the label's ratio, until a top binds. Label tops outrank EC: where
 * they clash the tops win, and the answer says by how much it falls short and which parts hold it back.
 *
 * Example: 80 L with 40 L of 2.1 mS/cm left in it, water of 0.35, a pair of 0.40 mS/cm a share, aim 1.8: e_0 is 1.225,
 * x = 0.575 / 0.40 = 1.4375 shares, so 115 mL of each part. */
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
    double top;     /* most by the label; INFINITY: no limit there */
    double already; /* x poured since the change: counts against the top */
    /* the label's ratio: the top where there is one, else what is usual in the unit of x (0.001 for 1 mL/L,
     * 1 for 1 g/L or 1 share); 0: no pull but to none */
    double anchor;
    double slope; /* mS/cm per unit of x; NaN: from the compositions, and unknown where one of them is */
    double to;    /* EC the tank reads after this column, dosed first; NaN: an ordinary one */
    const aq_mix_member *members;
    size_t member_count;
} aq_mix_column;

typedef struct {
    aq_nutrient nutrient; /* AQ_N_UNKNOWN counts all nitrogen */
    double wanted;        /* g per L of finished tank */
    /* share of `wanted` that counts as met, > 0; weight is 1 / (tolerance * wanted), and of a target of none
     * 1 / (tolerance * 1 mg/L) */
    double tolerance;
} aq_mix_target;

typedef struct {
    double volume, heel;      /* L; heel includes what never drains */
    double heel_ec, water_ec; /* mS/cm; NaN: not known, and then nothing can be promised */
    /* per L, in heel and water together, as far as it is known; NULL: not at all */
    const aq_composition *base;
    const aq_mix_column *columns; /* in pouring order */
    size_t count;
    double ec; /* aim; NaN: none */
    const aq_mix_target *targets;
    size_t target_count;
    const double *fixed; /* count: rates or a strength already decide every x; NULL: solve */
    bool over_label;     /* tops do not hold this once */
} aq_mix_problem;

typedef struct {
    double *x;      /* count, per litre of finished tank */
    double base_ec; /* after water, before any dose; NaN: unknown */
    /* count: EC after column j was poured, those with `to` before the others; NaN: unknown */
    double *ec_after;
    double ec;          /* expected at the end; NaN: unknown */
    double *slope;      /* count: mS/cm per unit of x at the answer; NaN: unknown */
    aq_composition got; /* per L of the finished tank, from parts and base, as far as it is known */
    bool met;           /* EC within 1e-6 mS/cm and every target within its tolerance */
    bool capped;        /* not met, and a label top held the answer back */
    double ec_short;    /* aim less expected, where an EC was aimed at; 0 when met; below 0: reads too high */
    int *bound;         /* count: -1 at none, +1 at its top, 0 between; 0 for fixed doses inside their tops */
    /* count: what one more unit of x at its top (or less than none) would give: mS/cm where the EC falls
     * short, else the fall of the summed squares of misses in tolerances; 0: nothing */
    double *price;
    double gap;      /* optimality gap, relative */
    double strength; /* s; of fixed doses the largest share of an anchor */
} aq_mix_answer;

/* *out lives in `arena`. A poor answer is an answer, never an error. Columns of unknown EC cannot serve an EC, and
 * columns of unknown composition cannot serve targets: they stay at 0 unless the other aim wants them.
 * AQ_INVALID: a number that makes no sense; an EC aim where the EC of heel or water is not known, or with no column
 * that carries EC. AQ_NO_MEMORY. */
AQ_API aq_status aq_mix_solve(aq_mix_answer **out, const aq_mix_problem *problem, aq_arena *arena,
                              aq_error *err);

#endif
