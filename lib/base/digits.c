/* The shortest digits that read back as the same double, and those nearest to it among the shortest.
 *
 * A number with few decimals is found by trying. Most others are scaled exactly to a whole number of 17 digits, of which
 * the nearest of 15 or 16 digits is taken where it reads back too. The rest are printed, and read back. */
#include "base/digits.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const double aq_power_of_ten[AQ_EXACT_POWERS + 1] = { 1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                      1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                                      1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22 };

static const uint64_t tens[AQ_DIGITS_MOST + 3] = {
    1,
    10,
    100,
    1000,
    10000,
    100000,
    1000000,
    10000000,
    100000000,
    1000000000,
    10000000000,
    100000000000,
    1000000000000,
    10000000000000,
    100000000000000,
    1000000000000000,
    10000000000000000,
    100000000000000000,
    1000000000000000000,
    10000000000000000000u,
};

static int count_of(uint64_t whole)
{
    int count = whole < tens[8] ? 1 : whole < tens[14] ? 9 : 15;

    while (whole >= tens[count])
        count++;
    return count;
}

aq_digits aq_digits_trimmed(aq_digits digits)
{
    for (; digits.count > 4 && digits.whole % 10000 == 0; digits.count -= 4)
        digits.whole /= 10000;
    for (; digits.count > 1 && digits.whole % 10 == 0; digits.count--)
        digits.whole /= 10;
    return digits;
}

/* whole / 10^places */
static aq_digits from_whole(uint64_t whole, int places)
{
    int count = count_of(whole);

    return (aq_digits){ whole, count, count - places };
}

aq_digits aq_digits_rounded(aq_digits digits, int count)
{
    uint64_t unit, rest;

    if (count >= digits.count)
        return digits;
    if (count < 0)
        return (aq_digits){ 0, 1, 1 };
    unit = tens[digits.count - count];
    rest = digits.whole % unit;
    digits.whole = digits.whole / unit + (rest >= unit / 2);
    digits.count = count;
    if (digits.whole >= tens[count]) { /* 99.6 is 100, one digit more; 0.6 to no digit is 1 */
        digits.count++;
        digits.point++;
    }
    return digits.count ? digits : (aq_digits){ 0, 1, 1 };
}

/* ---- by trying ---- */

/* What people write has few decimals: a whole number over 10^4. No two numbers of up to 15 digits share a double, so where
 * one reads back it is the shortest, once its zeros are gone. */
static bool from_few(aq_digits *digits, double value)
{
    enum { FEW = 4 };
    double scaled = value * aq_power_of_ten[FEW];
    int64_t whole;

    if (!AQ_EXACT_DOUBLES || !(scaled < 1e15))
        return false;
    whole = (int64_t)(scaled + 0.5);
    if ((double)whole / aq_power_of_ten[FEW] != value)
        return false;
    *digits = aq_digits_trimmed(from_whole((uint64_t)whole, FEW));
    return true;
}

/* ---- by scaling ---- */

/* The parts of a double (IEEE 754), for the C library's functions are slow to call: value is below 2^exponent, and not
 * below half of that; a subnormal counts as the smallest normal one. */
typedef struct {
    int exponent;
    bool power_of_two;
} parts;

static parts parts_of(double value)
{
    uint64_t bits;

    memcpy(&bits, &value, sizeof bits);
    return (parts){ (int)(bits >> 52 & 0x7FF) - 1022, !(bits & 0xFFFFFFFFFFFFF) };
}

/* 2^exponent, for a normal double. */
static double two_to(int exponent)
{
    uint64_t bits = (uint64_t)(exponent + 1023) << 52;
    double value;

    memcpy(&value, &bits, sizeof value);
    return value;
}

/* To the nearest whole number, ties to even; -2^51 < value. Above 2^52 a double has no fraction, so adding that and
 * taking it away again rounds. */
static double nearest_whole(double value)
{
    static const double no_fraction = 4503599627370496; /* 2^52 */
    double shifted;

    if (value >= no_fraction)
        return value;
    shifted = value < 0 ? value - no_fraction : value + no_fraction;
    return value < 0 ? shifted + no_fraction : shifted - no_fraction;
}

/* value x 10^places = whole + rest, |rest| <= 1/2, exactly: the product is a sum of two doubles, high + low, of which no
 * bit is lost. 0 <= places <= AQ_EXACT_POWERS and value x 10^places < 2^62. */
typedef struct {
    int64_t whole;
    double rest;
    /* half the step between doubles there: what is nearer to the product reads back as `value` */
    double reach;
} scaled;

static scaled scale(double value, parts p, int places)
{
    double power = aq_power_of_ten[places], high = value * power, low = fma(value, power, -high);
    double rounded = nearest_whole(high), off = (rounded - high) - low, more = nearest_whole(off);

    return (scaled){ (int64_t)rounded - (int64_t)more, more - off,
                     power * two_to(p.exponent - DBL_MANT_DIG - 1) };
}

/* The multiple of `unit`, 10 or 100, that is nearest to the product, ties to even; whether it reads back. On a knife's
 * edge it says no. */
static bool nearest_of(const scaled *s, int64_t unit, int64_t *nearest)
{
    int64_t times = s->whole / unit, over = s->whole - times * unit;
    double above = (double)(2 * over - unit) + 2 * s->rest; /* 0: half way */

    if (above > 0 || (!(above < 0) && times % 2)) {
        times++;
        over -= unit;
    }
    *nearest = times;
    return fabs((double)over + s->rest) < s->reach * (1 - 1e-9);
}

/* Of 17 digits, or of the nearest 16 or 15 where those read back too; where no 16 do, no 15 can. A number with fewer is
 * found among those of 15, for up to 15 any digits survive a double. False where the powers of ten at hand do not reach,
 * beside a power of two, where the steps between doubles differ, and beyond 10^15, where a decimal of 16 digits can lie
 * half way between doubles. */
static bool from_scaling(aq_digits *digits, double value)
{
    parts p = parts_of(value);
    double log10 = p.exponent * 0.30102999566398120;
    int before = (int)log10 + (log10 > (int)log10); /* value is below 10^before; at most one too many */
    int places = AQ_DIGITS_MOST - before;
    int64_t of16, of15;
    scaled s;

    if (!AQ_EXACT_DOUBLES || p.power_of_two || places < 2 || places >= AQ_EXACT_POWERS)
        return false;
    s = scale(value, p, places);
    if (s.whole <= (int64_t)tens[AQ_DIGITS_MOST - 1]) /* `before` was one too many */
        s = scale(value, p, ++places);
    if (nearest_of(&s, 10, &of16)) {
        *digits = nearest_of(&s, 100, &of15) ? aq_digits_trimmed(from_whole((uint64_t)of15, places - 2))
                                             : from_whole((uint64_t)of16, places - 1);
        return true;
    }
    *digits = from_whole((uint64_t)s.whole, places);
    return fabs(s.rest) < s.reach * (1 - 1e-9);
}

/* ---- by printing ---- */

static aq_digits from_printing(double value)
{
    aq_digits digits = { 0 };
    char printed[64], plain[40];

    /* a normal double may need 15 digits; below them fewer can do */
    for (int figures = value < DBL_MIN ? 1 : 15; figures <= AQ_DIGITS_MOST; figures++) {
        const char *at = printed;
        int exponent;

        digits = (aq_digits){ 0 };
        snprintf(printed, sizeof printed, "%.*e", figures - 1, value);
        for (; *at && *at != 'e'; at++) /* the locale's radix mark is skipped with whatever is no digit */
            if (*at >= '0' && *at <= '9' && digits.count < AQ_DIGITS_MOST) {
                digits.whole = digits.whole * 10 + (uint64_t)(*at - '0');
                digits.count++;
            }
        exponent = *at ? (int)strtol(at + 1, NULL, 10) : 0;
        digits.point = exponent + 1;
        snprintf(plain, sizeof plain, "%llue%d", (unsigned long long)digits.whole,
                 exponent - digits.count + 1);
        if (strtod(plain, NULL) == value) /* exactly: that is what shortest means */
            break;
    }
    return aq_digits_trimmed(digits);
}

aq_digits aq_digits_of(double value)
{
    aq_digits digits;

    if (!from_few(&digits, value) && !from_scaling(&digits, value))
        digits = from_printing(value);
    return digits;
}
