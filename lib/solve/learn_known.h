/* The fit while it goes on, and what is known at its end. Private to this room. */
#ifndef AQ_SOLVE_LEARN_KNOWN_H
#define AQ_SOLVE_LEARN_KNOWN_H

#include "solve/learn.h"
#include "solve/lsq.h"

typedef struct {
    const aq_learn_problem *problem;
    size_t n;                    /* unknowns: slopes, then tanks */
    double x[AQ_LEARN_MOST];     /* a and f */
    double doubt[AQ_LEARN_MOST]; /* of the prior */
    double lower[AQ_LEARN_MOST], upper[AQ_LEARN_MOST];
    double scale;
    double *matrix, *rows, *right; /* n x n, n x n, n */
    aq_lsq_work *work;
    size_t steps;
    bool settled;
} aq_fit;

double aq_learn_added(const aq_fit *fit, size_t mix); /* mS/cm, at the present x */
void aq_learn_gather(const aq_fit *fit, size_t mix, double added, double weight, double *matrix,
                     double *right);
void aq_learn_add_prior(const aq_fit *fit, double *matrix, double *right);

aq_status aq_learn_known(aq_learn_answer **out, aq_fit *fit, aq_arena *arena, aq_error *err);

#endif
