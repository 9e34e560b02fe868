/* Huber's proposal 2 from the weighted median, then the bisquare. */
#include "solve/typical.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

static const double huber = 1.345, bisquare = 4.685;       /* lose 5 % where all is normal */
static const double scale_clip = 1.5, scale_beta = 0.7784; /* E min(z^2, 1.5^2) of a standard normal z */
static const double efficiency = 0.95, distrust = 3;

enum { STEPS_MOST = 5000 }; /* a few do; where half of few findings are far out, hundreds */

static int by_value(const void *a, const void *b)
{
    double x = ((const aq_finding *)a)->value, y = ((const aq_finding *)b)->value;

    return (x > y) - (x < y);
}

/* The value with half of the weight on either side. */
static double weighted_median(aq_finding *findings, size_t count)
{
    double half = 0, below = 0;

    if (!count)
        return NAN;
    qsort(findings, count, sizeof *findings, by_value);
    for (size_t i = 0; i < count; i++)
        half += findings[i].weight / 2;
    for (size_t i = 0; i < count; i++) {
        below += findings[i].weight;
        if (below > half * (1 + 1e-12))
            return findings[i].value;
        if (below >= half * (1 - 1e-12) && i + 1 < count)
            return (findings[i].value + findings[i + 1].value) / 2;
    }
    return findings[count - 1].value;
}

static double distance(const aq_finding *f, double middle)
{
    return fabs(f->value - middle) * sqrt(f->weight);
}

static double huber_weight(double z)
{
    return z <= huber ? 1 : huber / z;
}

static double bisquare_weight(double z)
{
    double share = z / bisquare;

    return share < 1 ? (1 - share * share) * (1 - share * share) : 0;
}

/* The mean by weights of the spread; where all were refused, as it was. */
static double reweighted(const aq_finding *findings, size_t count, double middle, double scale,
                         double (*weigh)(double))
{
    double sum = 0, weights = 0;

    for (size_t i = 0; i < count; i++) {
        double weight = findings[i].weight * (scale > 0 ? weigh(distance(&findings[i], middle) / scale)
                                                        : findings[i].value == middle);

        sum += weight * findings[i].value;
        weights += weight;
    }
    return weights > 0 ? sum / weights : middle;
}

static double rescaled(const aq_finding *findings, size_t count, double middle, double scale)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += pow(fmin(distance(&findings[i], middle), scale_clip * scale), 2);
    return sqrt(sum / scale_beta / (double)(count - 1));
}

/* 1.4826 times the median distance: of normal findings the standard deviation. */
static double first_scale(const aq_finding *findings, size_t count, double middle)
{
    double least = INFINITY;

    for (size_t i = 0; i < count; i++) { /* the smallest distance that half of them do not pass */
        double d = distance(&findings[i], middle);
        size_t within = 0;

        for (size_t j = 0; j < count; j++)
            within += distance(&findings[j], middle) <= d;
        if (2 * within >= count + 1 && d < least)
            least = d;
    }
    return 1.4826 * least;
}

/* Student's t for 95 % with that many degrees of freedom. */
static double coverage_factor(size_t freedom)
{
    static const double t[] = { 12.71, 4.30, 3.18, 2.78, 2.57, 2.45, 2.36, 2.31, 2.26, 2.23,
                                2.20,  2.18, 2.16, 2.14, 2.13, 2.12, 2.11, 2.10, 2.09, 2.09 };
    size_t known = sizeof t / sizeof *t;

    if (freedom == 0)
        return INFINITY;
    return freedom <= known ? t[freedom - 1] : 1.96 + 2.5 / (double)freedom;
}

static void be_sure(aq_typical *typical, const aq_finding *findings, size_t count, double scale)
{
    double weights = 0;

    typical->trusted = 0;
    for (size_t i = 0; i < count; i++)
        if (distance(&findings[i], typical->value) <= distrust * scale) {
            weights += findings[i].weight;
            typical->trusted++;
        }
    typical->within = typical->trusted < 2
                          ? INFINITY
                          : coverage_factor(typical->trusted - 1) * scale / sqrt(efficiency * weights);
}

aq_typical aq_typical_of(aq_finding *findings, size_t count)
{
    aq_typical typical = { .value = weighted_median(findings, count), .within = INFINITY, .trusted = count };
    double scale = count > 1 ? first_scale(findings, count, typical.value) : 0;
    bool settled = count < 2;

    for (int step = 0; step < STEPS_MOST && !settled; step++) {
        double before = typical.value, scale_before = scale;

        typical.value = reweighted(findings, count, before, scale, huber_weight);
        scale = rescaled(findings, count, typical.value, scale);
        settled = fabs(typical.value - before) <= 1e-9 * fabs(before) &&
                  fabs(scale - scale_before) <= 1e-9 * scale_before;
    }
    settled = count < 2;
    for (int step = 0; step < STEPS_MOST && !settled; step++) {
        double before = typical.value;

        typical.value = reweighted(findings, count, before, scale, bisquare_weight);
        settled = fabs(typical.value - before) <= 1e-9 * fabs(before);
    }
    if (count > 1)
        be_sure(&typical, findings, count, scale);
    return typical;
}
