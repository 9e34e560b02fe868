/* How sure the fit is, what it cannot tell apart, and whether the latest mixes agree with the rest.
 *
 * Each trusted reading carries the information of a normal one, less the 5 % that robust weights cost; a distrusted one
 * carries none. The inverse of that information and the prior's together is the covariance. */
#include "solve/learn_known.h"

#include <math.h>
#include <string.h>

#include "solve/symmetric.h"
#include "solve/uncertainty.h"

static const double efficiency = 0.95; /* of the bisquare at 4.685, where all is normal */
static const double component =
    0.3; /* of a direction's largest, from where an unknown is named as part of it */

static bool trusted(const aq_learn_answer *answer, size_t mix)
{
    return fabs(answer->distance[mix]) <= aq_learn_distrust;
}

static void look_back(aq_learn_answer *answer, const aq_fit *fit)
{
    const aq_learn_problem *problem = fit->problem;
    aq_budget budget = aq_budget_first();

    budget.slope = budget.volume = 0;
    for (size_t i = 0; i < problem->count; i++) {
        const aq_learn_mix *m = &problem->mixes[i];
        double added = aq_learn_added(fit, i);

        answer->expected[i] = m->base + added;
        answer->distance[i] =
            (m->reads - answer->expected[i]) / (fit->scale * aq_uncertainty(&budget, added));
        if (!trusted(answer, i))
            continue;
        answer->tanks[m->tank].mixes++;
        for (size_t j = 0; j < problem->slope_count; j++)
            answer->slopes[j].mixes += m->amounts[j] > 0;
    }
}

/* Information of the readings alone, into the lower triangle of fit->matrix. */
static void inform(const aq_learn_answer *answer, aq_fit *fit)
{
    memset(fit->matrix, 0, fit->n * fit->n * sizeof *fit->matrix);
    for (size_t i = 0; i < fit->problem->count; i++)
        if (trusted(answer, i))
            aq_learn_gather(fit, i, aq_learn_added(fit, i), efficiency, fit->matrix, NULL);
}

static aq_status be_unsure(aq_learn_answer *answer, aq_fit *fit, aq_error *err)
{
    size_t n = fit->n;

    inform(answer, fit);
    aq_learn_add_prior(fit, fit->matrix, NULL);
    if (!aq_cholesky(fit->matrix, n))
        return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "the readings are too far apart to be weighed");
    aq_cholesky_inverse(fit->matrix, n, answer->covariance);
    for (size_t k = 0; k < n; k++) {
        bool slope = k < fit->problem->slope_count;
        aq_learn_estimate *e = slope ? &answer->slopes[k] : &answer->tanks[k - fit->problem->slope_count];

        e->share = fit->x[k];
        e->relative = sqrt(answer->covariance[k * n + k]);
    }
    return AQ_OK;
}

/* In units of the prior's doubt an eigenvalue below 1 is a direction that the readings say less about than the prior. It
 * is worth a word where they do say something about each unknown in it, only not about them apart. */
static void name_direction(aq_learn_blind *blind, const double *vectors, const double *alone, size_t n,
                           size_t at)
{
    double most = 0;

    blind->count = 0;
    for (size_t k = 0; k < n; k++)
        most = fmax(most, fabs(vectors[k * n + at]));
    for (size_t k = 0; k < n; k++)
        if (fabs(vectors[k * n + at]) > component * most && alone[k] > 1)
            blind->at[blind->count++] = k;
}

static bool be_blind(aq_learn_answer *answer, aq_fit *fit, aq_arena *arena)
{
    size_t n = fit->n;
    double alone[AQ_LEARN_MOST];

    answer->blind = aq_arena_take_array(arena, n, sizeof *answer->blind);
    if (!answer->blind)
        return false;
    inform(answer, fit);
    for (size_t k = 0; k < n; k++)
        for (size_t l = 0; l <= k; l++)
            fit->matrix[l * n + k] = fit->matrix[k * n + l] *= fit->doubt[k] * fit->doubt[l];
    for (size_t k = 0; k < n; k++)
        alone[k] = fit->matrix[k * n + k];
    aq_eigen(fit->matrix, n, fit->rows);
    for (size_t k = 0; k < n; k++) {
        if (fit->matrix[k * n + k] >= 1)
            continue;
        name_direction(&answer->blind[answer->blind_count], fit->rows, alone, n, k);
        answer->blind_count += answer->blind[answer->blind_count].count > 1;
    }
    return true;
}

/* A new bottle: the last three mixes with a part all read on one side, by more than two uncertainties in the mean. */
static void look_for_drift(aq_learn_answer *answer, const aq_fit *fit, size_t slope)
{
    enum { LATEST = 3, BEFORE = 3 };
    const aq_learn_problem *problem = fit->problem;
    double sum = 0, of_added = 0, sides = 0;
    size_t seen = 0;

    for (size_t i = problem->count; i-- > 0 && seen < LATEST + BEFORE;) {
        double distance = answer->distance[i], added = answer->expected[i] - problem->mixes[i].base;

        if (!(problem->mixes[i].amounts[slope] > 0) || seen++ >= LATEST)
            continue;
        sum += distance;
        of_added += (problem->mixes[i].reads - answer->expected[i]) / added;
        sides += distance > 0 ? 1 : -1;
    }
    if (seen == LATEST + BEFORE && fabs(sides) == LATEST && fabs(sum) > 2 * LATEST)
        answer->slopes[slope].drifted = of_added / LATEST;
}

aq_status aq_learn_known(aq_learn_answer **out, aq_fit *fit, aq_arena *arena, aq_error *err)
{
    const aq_learn_problem *problem = fit->problem;
    aq_learn_answer *answer = aq_arena_take(arena, sizeof *answer);
    aq_status status;

    if (!answer)
        return AQ_NO_MEMORY;
    answer->slopes = aq_arena_take_array(arena, problem->slope_count, sizeof *answer->slopes);
    answer->tanks = aq_arena_take_array(arena, problem->tank_count, sizeof *answer->tanks);
    answer->covariance = aq_arena_take_array(arena, fit->n * fit->n, sizeof(double));
    answer->expected = aq_arena_take_array(arena, problem->count, sizeof(double));
    answer->distance = aq_arena_take_array(arena, problem->count, sizeof(double));
    if (!answer->slopes || !answer->tanks || !answer->covariance || !answer->expected || !answer->distance)
        return AQ_NO_MEMORY;
    answer->scale = fit->scale;
    answer->steps = fit->steps;
    answer->settled = fit->settled;
    look_back(answer, fit);
    status = be_unsure(answer, fit, err);
    if (status == AQ_OK && !be_blind(answer, fit, arena))
        return AQ_NO_MEMORY;
    for (size_t j = 0; status == AQ_OK && j < problem->slope_count; j++)
        look_for_drift(answer, fit, j);
    if (status == AQ_OK)
        *out = answer;
    return status;
}

/* q = a / f: u(q, r) / (q r) = u(a, b) / (a b) + u^2(f) / f^2 - u(a, f) / (a f) - u(b, f) / (b f), JCGM 102 section 6 for
 * quotients to first order. */
double aq_learn_covariance(const aq_learn_answer *answer, const aq_learn_problem *problem, size_t one,
                           size_t other, size_t tank)
{
    size_t n = problem->slope_count + problem->tank_count, t = problem->slope_count + tank;
    const double *c = answer->covariance;
    double a = answer->slopes[one].share, b = answer->slopes[other].share, f = answer->tanks[tank].share;

    return c[one * n + other] / (a * b) + c[t * n + t] / (f * f) - c[one * n + t] / (a * f) -
           c[other * n + t] / (b * f);
}

void aq_learn_in_tank(const aq_learn_answer *answer, const aq_learn_problem *problem, size_t slope,
                      size_t tank, double *share, double *relative)
{
    *share = answer->slopes[slope].share / answer->tanks[tank].share;
    *relative = sqrt(fmax(aq_learn_covariance(answer, problem, slope, slope, tank), 0));
}
