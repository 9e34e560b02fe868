/* Random problems of bounded least squares, seeded alike in every run: up to 12 parts and 17 rows, with twins, empty
 * columns, closed bounds, ridges and an equality among them. */
#ifndef LSQ_SAMPLES_H
#define LSQ_SAMPLES_H

#include "check.h"
#include "solve/lsq_inner.h"

enum { MOST = 20, REAL_MOST = 400 };

/* NULL where all are 0. */
static inline const double *given(const double *numbers, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (numbers[k] != 0)
            return numbers;
    return NULL;
}

/* Marsaglia's xorshift, seeded alike in every run. */
static unsigned long long seed;

static inline double random_share(void)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return (double)(seed >> 11) * 0x1p-53;
}

static inline size_t random_below(size_t count)
{
    return (size_t)(random_share() * (double)count);
}

typedef struct {
    aq_lsq problem;
    double a[REAL_MOST], b[MOST], weight[MOST], lower[MOST], upper[MOST], ridge[MOST], anchor[MOST],
        equal[MOST];
} sample;

static inline void make_awkward(sample *at)
{
    size_t n = at->problem.parts, j = random_below(n), k = random_below(n), kind = random_below(5);

    for (size_t i = 0; i < at->problem.rows; i++) {
        double *row = at->a + i * n;
        row[j] = kind == 0   ? 0
                 : kind == 1 ? row[k]
                 : kind == 2 ? -3 * row[k]
                 : kind == 3 ? row[k] * (1 + 1e-7)
                             : row[j];
    }
    if (kind == 4 && at->lower[j] > -INFINITY)
        at->upper[j] = at->lower[j];
}

static inline void make_random(sample *at)
{
    size_t n = 1 + random_below(12), rows = random_below(18), awkward = random_below(3);

    *at = (sample){ .problem = { .rows = rows,
                                 .parts = n,
                                 .a = at->a,
                                 .b = at->b,
                                 .lower = at->lower,
                                 .upper = at->upper } };
    for (size_t i = 0; i < rows; i++) {
        at->weight[i] = 0.1 + 3 * random_share();
        at->b[i] = 6 * random_share() - 1;
        for (size_t j = 0; j < n; j++)
            at->a[i * n + j] = 2 * random_share() - 0.6;
    }
    double to = 0;
    for (size_t j = 0; j < n; j++) {
        at->lower[j] = random_below(4) == 0 ? -INFINITY : random_below(4) == 0 ? 0.25 : 0;
        at->upper[j] = random_below(3) == 0 ? INFINITY : 0.5 + random_share();
        at->ridge[j] = random_below(4) == 0 ? 0 : 0.01 * random_share();
        at->anchor[j] = 2 * random_share();
        at->equal[j] = random_below(4) == 0 ? 0 : random_share();
    }
    while (awkward-- > 0)
        make_awkward(at);
    for (size_t j = 0; j < n; j++)
        to += at->equal[j] * fmin(fmax(random_share(), at->lower[j]), at->upper[j]);
    at->problem.weight = random_below(2) ? at->weight : NULL;
    at->problem.ridge = random_below(3) == 0 ? at->ridge : NULL;
    at->problem.anchor = at->anchor;
    at->problem.equal = random_below(3) == 0 && given(at->equal, n) ? at->equal : NULL;
    at->problem.equal_to = to;
}

static inline double objective_at(const aq_lsq *problem, const double *x)
{
    double sum = 0;

    for (size_t i = 0; i < problem->rows; i++) {
        double miss = -problem->b[i];
        for (size_t j = 0; j < problem->parts; j++)
            miss += problem->a[i * problem->parts + j] * x[j];
        miss *= problem->weight ? problem->weight[i] : 1;
        sum += miss * miss;
    }
    for (size_t j = 0; problem->ridge && j < problem->parts; j++)
        sum += pow(problem->ridge[j] * (x[j] - problem->anchor[j]), 2);
    return sum;
}

#endif
