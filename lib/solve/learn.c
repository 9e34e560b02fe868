/* Iteratively reweighted least squares over the linearised model, each step solved by aq_lsq.
 *
 * k m / (v f) is of degree 0 in (a, f) together, so J p is 0 at the point p where it is linearised, and a step solves
 * J p = reads - expected. The rows of all mixes are gathered into N = J'WJ + D^-2 first: whatever their number, the
 * solver sees the few rows of N's Cholesky factor and the bounds, and 100,000 mixes cost one pass each step. */
#include "solve/learn.h"

#include <math.h>
#include <string.h>

#include "solve/learn_known.h"
#include "solve/lsq.h"
#include "solve/symmetric.h"
#include "solve/uncertainty.h"

const double aq_learn_distrust = 3;

static const double mark_doubt = 0.025; /* a tank's mark: 5 % is two standard uncertainties */
static const double share_least = 0.02, tank_least = 0.5, tank_most = 2;
static const double huber = 1.345, bisquare = 4.685; /* Huber and Ronchetti 2009; Holland and Welsch 1977 */

/* The scale has a prior too, worth this many readings: with three mixes it can hardly be told. */
static const double scale_readings = 8;
static const double scale_clip = 1.5;    /* Huber's proposal 2 */
static const double scale_beta = 0.7784; /* E min(z^2, 1.5^2) of a standard normal z */

enum { STEPS_MOST = 100 };

/* ---- one mix ---- */

double aq_learn_added(const aq_fit *fit, size_t mix)
{
    const aq_learn_problem *problem = fit->problem;
    const aq_learn_mix *m = &problem->mixes[mix];
    double sum = 0;

    for (size_t j = 0; j < problem->slope_count; j++)
        sum += fit->x[j] * problem->slopes[j].label * m->amounts[j];
    return sum / m->volume / fit->x[problem->slope_count + m->tank];
}

/* Standard uncertainty of one reading's difference from what is expected: meter and base, and the pour. */
static double doubt_of(double added)
{
    aq_budget budget = aq_budget_first();

    budget.slope = budget.volume = 0; /* they are what is learned */
    return aq_uncertainty(&budget, added);
}

static double distance_of(const aq_fit *fit, size_t mix, double added)
{
    const aq_learn_mix *m = &fit->problem->mixes[mix];

    return (m->reads - m->base - added) / (fit->scale * doubt_of(added));
}

static double huber_weight(double distance)
{
    return fabs(distance) <= huber ? 1 : huber / fabs(distance);
}

static double bisquare_weight(double distance)
{
    double z = distance / bisquare;

    return fabs(z) < 1 ? (1 - z * z) * (1 - z * z) : 0;
}

/* Adds the lower triangle of w J J' to the matrix, and w J r to the right side. J has entries for what was poured and for
 * the tank, in the order of the unknowns. */
void aq_learn_gather(const aq_fit *fit, size_t mix, double added, double weight, double *matrix,
                     double *right)
{
    const aq_learn_problem *problem = fit->problem;
    const aq_learn_mix *m = &problem->mixes[mix];
    size_t n = fit->n, tank = problem->slope_count + m->tank, used = 0, at[AQ_LEARN_MOST];
    double j[AQ_LEARN_MOST], sigma = fit->scale * doubt_of(added), residual = m->reads - m->base - added;
    double per = 1 / (m->volume * fit->x[tank]);

    for (size_t k = 0; k < problem->slope_count; k++) {
        if (m->amounts[k] == 0)
            continue;
        at[used] = k;
        j[used++] = problem->slopes[k].label * m->amounts[k] * per;
    }
    at[used] = tank;
    j[used++] = -added / fit->x[tank];
    weight /= sigma * sigma;
    for (size_t k = 0; k < used; k++) {
        for (size_t l = 0; l <= k; l++)
            matrix[at[k] * n + at[l]] += weight * j[k] * j[l];
        if (right)
            right[at[k]] += weight * j[k] * residual;
    }
}

/* ---- a step ---- */

void aq_learn_add_prior(const aq_fit *fit, double *matrix, double *right)
{
    for (size_t k = 0; k < fit->n; k++) {
        double rows = 1 / (fit->doubt[k] * fit->doubt[k]);

        matrix[k * fit->n + k] += rows;
        if (right)
            right[k] += rows;
    }
}

/* Weighted rows, gathered at the present x. */
static void gather(aq_fit *fit, double (*weigh)(double))
{
    size_t n = fit->n;

    memset(fit->matrix, 0, n * n * sizeof *fit->matrix);
    memset(fit->right, 0, n * sizeof *fit->right);
    for (size_t i = 0; i < fit->problem->count; i++) {
        double added = aq_learn_added(fit, i), weight = weigh(distance_of(fit, i, added));

        if (weight > 0)
            aq_learn_gather(fit, i, added, weight, fit->matrix, fit->right);
    }
    aq_learn_add_prior(fit, fit->matrix, fit->right);
}

/* The minimum of (x - N^-1 g)' N (x - N^-1 g) between the bounds: rows L', right side L^-1 g. Gives the largest change. */
static aq_status take_step(aq_fit *fit, double *change, aq_error *err)
{
    size_t n = fit->n;
    aq_lsq problem = {
        .rows = n, .parts = n, .a = fit->rows, .b = fit->right, .lower = fit->lower, .upper = fit->upper
    };
    double x[AQ_LEARN_MOST];
    aq_status status;

    if (!aq_cholesky(fit->matrix, n))
        return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "the readings are too far apart to be weighed");
    aq_cholesky_forward(fit->matrix, n, fit->right);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            fit->rows[i * n + j] = j >= i ? fit->matrix[j * n + i] : 0;
    status = aq_lsq_solve(&problem, fit->work, x, NULL);
    if (status != AQ_OK)
        return aq_fail(err, status, (aq_place){ 0 }, "the slopes could not be worked out");
    *change = 0;
    for (size_t k = 0; k < n; k++) {
        *change = fmax(*change, fabs(x[k] - fit->x[k]));
        fit->x[k] = x[k];
    }
    return AQ_OK;
}

/* How much of the unknowns the readings settle: the rest is the prior's. */
static double settled_unknowns(aq_fit *fit)
{
    size_t n = fit->n;
    double sum = 0;

    aq_cholesky_inverse(fit->matrix, n, fit->rows);
    for (size_t k = 0; k < n; k++)
        sum += 1 - fit->rows[k * n + k] / (fit->doubt[k] * fit->doubt[k]);
    return sum;
}

/* Huber's proposal 2, with the prior of the scale. */
static void rescale(aq_fit *fit)
{
    double sum = 0, free = (double)fit->problem->count - settled_unknowns(fit);

    for (size_t i = 0; i < fit->problem->count; i++) {
        double distance = distance_of(fit, i, aq_learn_added(fit, i));

        sum += fmin(distance * distance, scale_clip * scale_clip);
    }
    sum *= fit->scale * fit->scale / scale_beta;
    fit->scale = sqrt((scale_readings + sum) / (scale_readings + fmax(free, 0)));
}

static aq_status iterate(aq_fit *fit, double (*weigh)(double), aq_error *err)
{
    static const double enough = 1e-8; /* of a share that is known to a hundredth at best */
    double change = 1;
    aq_status status = AQ_OK;

    fit->settled = false;
    for (int step = 0; status == AQ_OK && step < STEPS_MOST && !fit->settled; step++) {
        double before = fit->scale;

        gather(fit, weigh);
        status = take_step(fit, &change, err);
        if (status == AQ_OK)
            rescale(fit);
        fit->settled = change < enough && fabs(fit->scale - before) < 1e-6;
        fit->steps++;
    }
    return status;
}

/* ---- the whole ---- */

static bool makes_sense(const aq_learn_problem *problem)
{
    size_t n = problem->slope_count + problem->tank_count;

    if (n == 0 || n > AQ_LEARN_MOST)
        return false;
    for (size_t j = 0; j < problem->slope_count; j++)
        if (!(problem->slopes[j].label > 0 && isfinite(problem->slopes[j].label) &&
              problem->slopes[j].doubt > 0))
            return false;
    for (size_t i = 0; i < problem->count; i++) {
        const aq_learn_mix *m = &problem->mixes[i];

        if (!(m->volume > 0) || !isfinite(m->base) || !isfinite(m->reads) || m->tank >= problem->tank_count)
            return false;
        for (size_t j = 0; j < problem->slope_count; j++)
            if (!(m->amounts[j] >= 0 && isfinite(m->amounts[j])))
                return false;
    }
    return true;
}

static bool begin(aq_fit *fit, const aq_learn_problem *problem, aq_arena *arena)
{
    size_t n = problem->slope_count + problem->tank_count, bytes = aq_lsq_room(n, n);
    void *room = aq_arena_take(arena, bytes);

    *fit = (aq_fit){ .problem = problem, .n = n, .scale = 1 };
    fit->matrix = aq_arena_take_array(arena, n * n, sizeof(double));
    fit->rows = aq_arena_take_array(arena, n * n, sizeof(double));
    fit->right = aq_arena_take_array(arena, n, sizeof(double));
    fit->work = room ? aq_lsq_work_at(room, bytes, n, n) : NULL;
    for (size_t k = 0; k < n; k++) {
        bool slope = k < problem->slope_count;

        fit->x[k] = 1;
        fit->doubt[k] = slope ? problem->slopes[k].doubt : mark_doubt;
        fit->lower[k] = slope ? share_least : tank_least;
        fit->upper[k] = slope ? INFINITY : tank_most;
    }
    return fit->matrix && fit->rows && fit->right && fit->work;
}

aq_status aq_learn_solve(aq_learn_answer **out, const aq_learn_problem *problem, aq_arena *arena,
                         aq_error *err)
{
    aq_fit fit;
    aq_status status;

    *out = NULL;
    if (!makes_sense(problem))
        return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "the log holds a number that makes no sense");
    if (!begin(&fit, problem, arena))
        return AQ_NO_MEMORY;
    status = iterate(&fit, huber_weight, err);
    if (status == AQ_OK)
        status = iterate(&fit, bisquare_weight, err);
    return status == AQ_OK ? aq_learn_known(out, &fit, arena, err) : status;
}
