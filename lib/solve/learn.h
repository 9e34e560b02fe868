/* What mixes and their readings say about bottles and tanks: EC slopes k of parts or groups, and true volumes.
 *
 * A mix of volume v (by the marks of tank t) that read e_0 before and had amounts m_j poured in reads
 *
 *     e = e_0 + sum_j k_j m_j / (v f_t)        f_t = true volume / marked volume
 *
 * Unknown are a_j = k_j / label_j and f_t. They minimise
 *
 *     sum_i rho((e_i - read_i) / (s u_i)) + sum_j ((a_j - 1) / d_j)^2 + sum_t ((f_t - 1) / 0.025)^2
 *
 * The prior rows say what is believed without any reading: a label's slope within 10 % and a tank's mark within 5 %,
 * both two standard uncertainties, so three mixes refine a label and one bad reading does not overturn it. u_i is the
 * uncertainty of one reading (solve/uncertainty.h), s its scale as the readings themselves show it. rho is Huber's
 * first, then Tukey's bisquare, which gives a reading that cannot be true no weight at all (P. J. Huber and E. M.
 * Ronchetti, Robust Statistics, 2nd ed. 2009, chapters 6 and 7; constants 1.345 and 4.685 lose 5 % where all is well).
 *
 * Example: 76 L by the mark, a pair of 0.40 mS/cm a share, 40 mL of each: 0.211 mS/cm are expected. If the meter rises
 * by 0.20 again and again, the tank is larger or the bottles weaker: their quotient is known to 1 %, each of the two
 * only as well as the mark and the label were (`blind` says so), until another tank or another bottle joins in. */
#ifndef AQ_SOLVE_LEARN_H
#define AQ_SOLVE_LEARN_H

#include "base/arena.h"

enum { AQ_LEARN_MOST = 64 }; /* slopes and tanks together */

typedef struct {
    double label; /* mS/cm per L/L, g/L or share; above 0 */
    double doubt; /* relative standard uncertainty of that: 0.05 for a label, 1 for a mere guess */
} aq_learn_slope;

typedef struct {
    size_t tank;
    double volume;         /* L by its marks, above 0 */
    double base;           /* mS/cm before anything was poured: as read, or from heel and water */
    double reads;          /* mS/cm at the end */
    const double *amounts; /* of each slope: L, g, or litres at one share */
} aq_learn_mix;

typedef struct {
    const aq_learn_slope *slopes;
    size_t slope_count, tank_count;
    const aq_learn_mix *mixes; /* in the order of time */
    size_t count;
} aq_learn_problem;

typedef struct {
    double share;    /* of the label's slope, of the marked volume */
    double relative; /* its standard uncertainty, as a share of the label or mark */
    size_t mixes;    /* that say something about it and are trusted */
    /* of a slope: the last three mixes read so much of what was added above the rest; 0: they agree */
    double drifted;
} aq_learn_estimate;

/* Unknowns that the readings move only together: slopes first, then slope_count + tank. All slopes and tanks may grow
 * by one factor and no reading changes, so there is always one such set once there are readings: what ties it down is
 * the labels and marks. Numbers in tanks (aq_learn_in_tank) do not suffer from it. */
typedef struct {
    size_t count, at[AQ_LEARN_MOST];
} aq_learn_blind;

typedef struct {
    aq_learn_estimate *slopes, *tanks;
    double *covariance; /* relative, slopes then tanks, row by row */
    double *expected;   /* of each mix, mS/cm */
    double *distance;   /* of each mix: (reads - expected) / (s u); beyond 3 it is distrusted */
    double scale;       /* s */
    aq_learn_blind *blind;
    size_t blind_count;
    size_t steps;
    bool settled; /* false: the iteration was given up, and the numbers are to be distrusted */
} aq_learn_answer;

extern AQ_API const double aq_learn_distrust; /* 3 */

/* *out lives in `arena`. AQ_INVALID: a number that makes no sense, or more unknowns than AQ_LEARN_MOST. AQ_NO_MEMORY. */
AQ_API aq_status aq_learn_solve(aq_learn_answer **out, const aq_learn_problem *problem, aq_arena *arena,
                                aq_error *err);

/* What a sheet for that tank needs: the slope per litre of its marks, k / f as a share of the label, and the relative
 * standard uncertainty of that quotient, which is smaller than that of either where only the quotient is known. */
AQ_API void aq_learn_in_tank(const aq_learn_answer *answer, const aq_learn_problem *problem, size_t slope,
                             size_t tank, double *share, double *relative);

/* Of two such quotients, relative to both: parts that were always poured together are known together better than apart. */
AQ_API double aq_learn_covariance(const aq_learn_answer *answer, const aq_learn_problem *problem, size_t one,
                                  size_t other, size_t tank);

#endif
