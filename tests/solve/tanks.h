/* Tanks, salts and parts to ask the dose engine about. */
#ifndef TANKS_H
#define TANKS_H

#include "check.h"
#include "solve/adjust.h"
#include "solve/mix.h"

static inline aq_mix_answer *solved(const char *row, const aq_mix_problem *problem, aq_arena *arena)
{
    aq_mix_answer *answer = NULL;
    aq_error err = { 0 };

    check_true(row, aq_mix_solve(&answer, problem, arena, &err) == AQ_OK && answer);
    return answer;
}

static inline aq_adjust_answer adjusted(const char *row, aq_adjust_problem problem)
{
    aq_adjust_answer out;
    aq_error err = { 0 };

    check_true(row, aq_adjust(&out, &problem, &err) == AQ_OK);
    return out;
}

static inline aq_composition salt(const char *formula)
{
    aq_composition composition;

    check_true(formula, aq_composition_of_formula(&composition, formula, NULL) == AQ_OK);
    return composition;
}

static inline aq_mix_problem tank(double volume)
{
    return (aq_mix_problem){ .volume = volume, .heel_ec = NAN, .water_ec = 0, .ec = NAN };
}

static inline aq_mix_column weighed(const aq_mix_member *member)
{
    return (aq_mix_column){
        .top = INFINITY, .anchor = 1, .slope = NAN, .to = NAN, .members = member, .member_count = 1
    };
}

#endif
