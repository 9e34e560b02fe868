/* Strengths to litres and grams.
 *
 * Example: 35 % w/w peroxide of 1.13 kg/L holds 0.35 x 1130 = 395.5 g/L, so a litre of 3 % w/v (30 g/L) takes 75.9 mL;
 * 3/35 of a litre would be 85.7 mL and make 3.39 %. */
#include "solve/dilute.h"

#include <math.h>

double aq_strength_per_litre(aq_strength strength, double density, double pure_density)
{
    switch (strength.basis) {
    case AQ_BASIS_WW:
        return strength.value * density;
    case AQ_BASIS_WV:
        return strength.value;
    case AQ_BASIS_VV:
        return strength.value * pure_density;
    case AQ_BASIS_UNSAID:
        break;
    }
    return NAN;
}

static const char *missing_density(aq_strength strength, const char *solution)
{
    return strength.basis == AQ_BASIS_VV ? "the pure substance" : solution;
}

static aq_status refuse_density(const char *whose, aq_error *err)
{
    return aq_fail(err, AQ_MISSING, (aq_place){ 0 },
                   "w/w, w/v and v/v only compare through a density; give the density of %s", whose);
}

aq_status aq_dilute(double *take, const aq_dilution *d, aq_error *err)
{
    bool by_volume = d->stock.basis == AQ_BASIS_VV && d->to.basis == AQ_BASIS_VV;
    double pure = by_volume ? 1 : d->pure_density;
    double stock = aq_strength_per_litre(d->stock, d->stock_density, pure);
    double to = aq_strength_per_litre(d->to, d->to_density, pure);

    *take = 0;
    if (!(d->stock.value > 0) || !(d->to.value > 0) || !(d->make > 0))
        return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "a strength or the volume to make is not above 0");
    if (isnan(stock))
        return refuse_density(missing_density(d->stock, "the stock"), err);
    if (isnan(to))
        return refuse_density(missing_density(d->to, "the finished solution"), err);
    if (to > stock * (1 + 1e-12))
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ 0 }, "the stock is weaker than what is wanted");
    *take = d->make * fmin(to / stock, 1);
    return AQ_OK;
}

double aq_dissolve(double per_litre, double make, double factor, double purity)
{
    return per_litre * make * factor / purity;
}

double aq_least_make(double per_litre, double marks, double slip)
{
    return marks / 2 / slip / per_litre;
}

/* The sum over the parts of (amount on the nearest mark / amount - 1)^2. */
static double marks_missed(double make, const aq_marked *parts, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++) {
        double marks = parts[i].per_litre * make / parts[i].marks;
        double miss = parts[i].marks > 0 && marks > 0 ? round(marks) / marks - 1 : 0;

        sum += miss * miss;
    }
    return sum;
}

/* 1, 2 or 5 times a power of ten, no more than a twentieth of the volume. */
static double round_step(double volume)
{
    double decade = pow(10, floor(log10(volume / 20))), digit = volume / 20 / decade;

    return decade * (digit >= 5 ? 5 : digit >= 2 ? 2 : 1);
}

/* Far more than any vessel has marks. */
static const double candidates_most = 10000;

double aq_make_on_marks(double low, double high, double step, const aq_marked *parts, size_t count)
{
    double middle = (low + high) / 2, best = middle, least = INFINITY;
    double by = step > 0 ? step : round_step(middle), first;

    by *= ceil((high - low) / by / candidates_most + 1e-12);
    first = ceil(low / by - 1e-9);
    for (int i = 0; (first + i) * by <= high * (1 + 1e-12); i++) {
        double make = (first + i) * by, missed = marks_missed(make, parts, count);

        if (missed < least - 1e-12 ||
            (missed < least + 1e-12 && fabs(make - middle) < fabs(best - middle) - 1e-12)) {
            least = fmin(missed, least);
            best = make;
        }
    }
    return best;
}

/* The weakest step that brings `take` to `least`; the strongest where none does. */
static double step_for(double take, double least)
{
    static const double ratio[] = { 10, 20, 50, 100 };
    size_t i = 0;

    while (i < 3 && take * ratio[i] < least * (1 - 1e-12))
        i++;
    return ratio[i];
}

/* A step before the last takes the least that the tool takes well, which makes at least ten times that, and the next
 * step takes less: the weakest ratio that does is chosen, and between ratios lies a factor of ten at most. */
size_t aq_dilute_serially(aq_serial_step steps[AQ_SERIAL_MOST], double share, double make, double least)
{
    size_t count = 0;
    double take = share * make;

    if (!(share > 0 && share <= 1 && make > 0 && least > 0))
        return 0;
    while (take < least * (1 - 1e-12)) {
        double ratio = step_for(take, least);

        if (count + 1 == AQ_SERIAL_MOST)
            return 0;
        steps[count++] = (aq_serial_step){ least, least * ratio };
        take *= ratio;
    }
    steps[count++] = (aq_serial_step){ take, make };
    return count;
}

aq_blend aq_blend_to(double first, double second, double wanted)
{
    double share = (wanted - second) / (first - second), held;

    if (first == second)
        share = 1;
    held = fmin(fmax(share, 0), 1);
    return (aq_blend){
        .share = held,
        .reached = held * first + (1 - held) * second,
        .inside = held == share && (first != second || wanted == first),
    };
}

double aq_flush_volume(double medium, double now_ec, double feed_ec, double to_ec)
{
    if (now_ec <= to_ec)
        return 0;
    if (to_ec <= feed_ec)
        return INFINITY;
    return medium * log((now_ec - feed_ec) / (to_ec - feed_ec));
}
