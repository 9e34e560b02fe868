/* The typical value against the equations that define it (P. J. Huber and E. M. Ronchetti, Robust Statistics, 2nd ed. 2009,
 * chapter 6), solved here by halving an interval, which shares no step with reweighting. */
#include "check.h"
#include "dice.h"
#include "solve/typical.h"

enum { MOST = 16, RUNS = 300 };

typedef struct {
    aq_finding at[MOST];
    size_t count;
} findings;

static double standard(const findings *f, size_t i, double m, double s)
{
    return (f->at[i].value - m) * sqrt(f->at[i].weight) / s;
}

/* sum of sqrt(w) psi(z), which falls as m grows: psi(z) = z, at most 1.345 either way. */
static double huber_pull(const findings *f, double m, double s)
{
    double sum = 0;

    for (size_t i = 0; i < f->count; i++)
        sum += sqrt(f->at[i].weight) * fmin(fmax(standard(f, i, m, s), -1.345), 1.345);
    return sum;
}

static double huber_middle(const findings *f, double s)
{
    double low = -100, high = 100;

    for (int step = 0; step < 200; step++) {
        double m = (low + high) / 2;

        if (huber_pull(f, m, s) > 0)
            low = m;
        else
            high = m;
    }
    return (low + high) / 2;
}

/* sum of min(z, 1.5)^2 over n - 1, which falls as s grows; E min(z, 1.5)^2 of a standard normal z is 0.7784. */
static double spread(const findings *f, double s)
{
    double m = huber_middle(f, s), sum = 0;

    for (size_t i = 0; i < f->count; i++)
        sum += fmin(pow(standard(f, i, m, s), 2), 2.25);
    return sum / (double)(f->count - 1);
}

static double huber_scale(const findings *f)
{
    double low = 1e-9, high = 100;

    for (int step = 0; step < 200; step++) {
        double s = sqrt(low * high);

        if (spread(f, s) > 0.7784)
            low = s;
        else
            high = s;
    }
    return sqrt(low * high);
}

/* sum of w (x - m) (1 - (z / 4.685)^2)^2 over those within 4.685: 0 where the bisquare has its value. */
static double bisquare_pull(const findings *f, double m, double s)
{
    double sum = 0;

    for (size_t i = 0; i < f->count; i++) {
        double share = standard(f, i, m, s) / 4.685;

        if (fabs(share) < 1)
            sum += f->at[i].weight * (f->at[i].value - m) * pow(1 - share * share, 2);
    }
    return sum;
}

/* Findings of a heavy tail, so that some are held back and some refused; weights from 1 to 4. */
static void roll(findings *f, aq_dice *dice)
{
    f->count = 5 + dice_below(dice, MOST - 5);
    for (size_t i = 0; i < f->count; i++) {
        double weight = dice_between(dice, 1, 4), wide = dice_uniform(dice) < 0.25 ? 6 : 1;

        f->at[i] = (aq_finding){ 3 + wide * dice_normal(dice) / sqrt(weight), weight };
    }
}

static void test_the_value_solves_its_equations(void **state)
{
    aq_dice dice = { 2026 };
    size_t refused = 0;

    (void)state;
    for (int run = 0; run < RUNS; run++) {
        findings f;

        roll(&f, &dice);
        double s = huber_scale(&f), all = 0;
        aq_typical got = aq_typical_of(f.at, f.count);
        size_t trusted = 0;
        double weights = 0;

        for (size_t i = 0; i < f.count; i++) {
            bool near = fabs(standard(&f, i, got.value, s)) <= 3;

            all += f.at[i].weight;
            trusted += near;
            weights += near ? f.at[i].weight : 0;
        }
        check_within("pull", bisquare_pull(&f, got.value, s) / all / s, 0, 1e-6);
        check_true("trusted", got.trusted == trusted);
        refused += f.count - trusted;
        /* the scale again, from the interval: t of two findings is 12.71, of sixteen 2.13 */
        double t = got.within * sqrt(0.95 * weights) / s;
        check_true("interval", t > 2.1 && t < 12.8);
    }
    check_true("some were refused", refused > RUNS / 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_value_solves_its_equations),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
