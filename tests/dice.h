/* Seeded chance for tests of laws: the same numbers on every machine, and a run can be repeated from its seed. */
#ifndef DICE_H
#define DICE_H

#include <math.h>
#include <stddef.h>
#include <stdint.h>

/* xorshift64* of Vigna, ACM Transactions on Mathematical Software 42 (2016) 30; the seed must not be 0. */
typedef struct {
    uint64_t state;
} aq_dice;

/* Strictly between 0 and 1. */
static inline double dice_uniform(aq_dice *dice)
{
    dice->state ^= dice->state >> 12;
    dice->state ^= dice->state << 25;
    dice->state ^= dice->state >> 27;
    return ((double)(dice->state * 2685821657736338717u >> 11) + 0.5) / 9007199254740992.0;
}

static inline double dice_between(aq_dice *dice, double low, double high)
{
    return low + (high - low) * dice_uniform(dice);
}

/* 0 to below `count`. */
static inline size_t dice_below(aq_dice *dice, size_t count)
{
    return (size_t)(dice_uniform(dice) * (double)count);
}

/* Mean 0, standard deviation 1, by the transform of Box and Muller. */
static inline double dice_normal(aq_dice *dice)
{
    double radius = sqrt(-2 * log(dice_uniform(dice)));

    return radius * cos(6.283185307179586 * dice_uniform(dice));
}

#endif
