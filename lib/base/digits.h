/* The shortest decimal digits of a double. Private to this room. */
#ifndef AQ_BASE_DIGITS_H
#define AQ_BASE_DIGITS_H

#include <float.h>
#include <stdbool.h>
#include <stdint.h>

enum { AQ_DIGITS_MOST = 17, AQ_EXACT_POWERS = 22 };

/* Whether doubles are worked out as doubles: a processor that keeps more bits in between would round twice. */
#define AQ_EXACT_DOUBLES (FLT_EVAL_METHOD == 0)

extern const double aq_power_of_ten[AQ_EXACT_POWERS + 1];

/* A number of 0 or more: `whole` has `count` digits, and stands for 0.whole x 10^point. 1.225 is { 1225, 4, 1 }. */
typedef struct {
    uint64_t whole;
    int count, point;
} aq_digits;

/* `value` is positive and finite. At most AQ_DIGITS_MOST digits, none of them a zero at the end. */
aq_digits aq_digits_of(double value);

/* Keeps `count` digits, half away from zero. 0 or fewer may leave one digit, "1", one place further left, or zero. */
aq_digits aq_digits_rounded(aq_digits digits, int count);
aq_digits aq_digits_trimmed(aq_digits digits); /* without zeros at the end */

#endif
