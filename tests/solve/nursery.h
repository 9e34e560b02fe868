/* A made-up nursery whose bottles and tanks are known exactly, and the log that it would have kept. */
#ifndef NURSERY_H
#define NURSERY_H

#include "dice.h"
#include "solve/learn.h"
#include "solve/uncertainty.h"

enum { SLOPES = 2, TANKS = 2, UNKNOWNS = SLOPES + TANKS, MIXES_MOST = 400 };

/* A nursery with a pair and a supplement, a 12 L and a 60 L tank. */
typedef struct {
    aq_arena *arena;
    aq_dice dice;
    double truth[UNKNOWNS]; /* shares of labels and marks */
    double amounts[MIXES_MOST][SLOPES];
    aq_learn_mix mixes[MIXES_MOST];
    aq_learn_slope slopes[SLOPES];
    aq_learn_problem problem;
    aq_learn_answer *answer;
    aq_error err;
} nursery;

static inline double noise_of(double added)
{
    aq_budget budget = aq_budget_first();

    budget.slope = budget.volume = 0;
    return aq_uncertainty(&budget, added);
}

static inline double added_by(const nursery *n, size_t mix)
{
    const aq_learn_mix *m = &n->mixes[mix];
    double sum = 0;

    for (size_t j = 0; j < SLOPES; j++)
        sum += n->truth[j] * n->slopes[j].label * m->amounts[j];
    return sum / (m->volume * n->truth[SLOPES + m->tank]);
}

/* Truth as wide as the prior believes, readings as unsure as the budget says, times `noise`. */
static inline void simulate(nursery *n, uint64_t seed, size_t count, double noise)
{
    n->dice.state = seed * 2654435761u + 1;
    n->slopes[0] = (aq_learn_slope){ 400, 0.05 };
    n->slopes[1] = (aq_learn_slope){ 450, 0.05 };
    for (size_t k = 0; k < UNKNOWNS; k++)
        n->truth[k] = 1 + (k < SLOPES ? 0.05 : 0.025) * dice_normal(&n->dice);
    for (size_t i = 0; i < count; i++) {
        aq_learn_mix *m = &n->mixes[i];

        m->tank = dice_below(&n->dice, TANKS);
        m->volume = m->tank ? 60 : 12;
        n->amounts[i][0] = dice_between(&n->dice, 0.001, 0.0035) * m->volume;
        n->amounts[i][1] = dice_below(&n->dice, 2) ? dice_between(&n->dice, 0.0005, 0.0015) * m->volume : 0;
        m->amounts = n->amounts[i];
        m->base = 0.32;
        m->reads = m->base + added_by(n, i);
        m->reads += noise * noise_of(added_by(n, i)) * dice_normal(&n->dice);
    }
    n->problem = (aq_learn_problem){ n->slopes, SLOPES, TANKS, n->mixes, count };
}

#endif
