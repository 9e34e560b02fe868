/* What the files of the dose engine share; not installed.
 *
 *     mix.c          checks, columns dosed first, an EC alone, what the answer says of itself
 *     mix_targets.c  targets, with or without an EC, by bounded least squares
 *     expect.c       what a tank should read */
#ifndef AQ_SOLVE_MIX_INNER_H
#define AQ_SOLVE_MIX_INNER_H

#include "solve/expect.h"

/* What one solve carries along; arrays of problem->count in the arena. */
typedef struct {
    const aq_mix_problem *problem;
    aq_mix_answer *answer;
    aq_expectation expect;
    double *upper;  /* what the label still allows; lowered to hold a column where it is */
    double *anchor; /* the label's ratio; 0 where nothing pulls */
    double *trial;  /* another x, to compare */
    bool *first;    /* dosed first: already in x, and not to be changed */
    aq_arena *arena;
    aq_error *err;
} aq_mixing;

/* mS/cm: as good as met. */
static const double aq_ec_slack = 1e-6;

bool aq_mixing_aims_at_ec(const aq_mixing *m);
static inline aq_status aq_mixing_no_memory(const aq_mixing *m)
{
    return aq_fail(m->err, AQ_NO_MEMORY, (aq_place){ 0 }, "%s", aq_status_text(AQ_NO_MEMORY));
}

/* 1 over the miss that still counts as met, g/L. */
double aq_mix_target_weight(const aq_mix_target *target);

/* Fills x, strength and gap, and the raw sides and prices of the least squares. */
aq_status aq_mixing_fit_targets(aq_mixing *m);

#endif
