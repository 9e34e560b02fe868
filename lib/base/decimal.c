/* Numbers as digits and a power of ten, without a locale.
 *
 * Reading: up to 15 digits and powers up to 10^22 are exact doubles, so one multiplication or division rounds once and
 * right (Clinger, How to read floating point numbers accurately, 1990). Everything else goes to strtod as digits and
 * an exponent with no decimal point in it, which reads alike in every locale.
 *
 * Writing: the shortest digits that read back, found for most numbers by scaling exactly to whole numbers of 15, 16 and
 * 17 digits, for the rest by printing as many. People's roundings work on those digits, so 1.225 rounds to 1.23 though the
 * double lies a little below it. */
#include "base/decimal.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DIGITS_KEPT = 800, DIGITS_MOST = 17, EXACT_POWERS = 22 };

/* Whether doubles are worked out as doubles: a processor that keeps more bits in between would round twice. */
#define EXACT_DOUBLES (FLT_EVAL_METHOD == 0)

static const double power_of_ten[EXACT_POWERS + 1] = { 1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                       1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                                       1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22 };

/* Digits as they stand in a text, the point taken out: value = 0.digits x 10^point, or mantissa x 10^tens. */
typedef struct {
    const char *text;
    size_t length; /* bytes of the number */
    bool negative;
    uint64_t mantissa; /* of the first 19 significant digits */
    int significant;   /* how many digits, leading zeros left out */
    long tens;         /* power of ten that belongs to the last digit */
    size_t digits_end; /* where the digits end */
} scan;

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static void take_digit(scan *s, char c, bool after_point)
{
    if (s->significant || c != '0') {
        if (s->significant < 19)
            s->mantissa = s->mantissa * 10 + (uint64_t)(c - '0');
        s->significant++;
    }
    s->tens -= after_point;
}

/* The exponent at `at`, added to s->tens; returns where it ends, or `at` when none stands there. */
static size_t take_exponent(scan *s, const char *text, size_t at, size_t length)
{
    size_t next = at + 1;
    bool negative = false;
    long exponent = 0;

    if (at >= length || (text[at] != 'e' && text[at] != 'E'))
        return at;
    if (next < length && (text[next] == '-' || text[next] == '+'))
        negative = text[next++] == '-';
    if (next >= length || !is_digit(text[next]))
        return at;
    for (; next < length && is_digit(text[next]); next++)
        if (exponent < 100000)
            exponent = exponent * 10 + (text[next] - '0');
    s->tens += negative ? -exponent : exponent;
    return next;
}

static bool scan_number(scan *s, const char *text, size_t length)
{
    size_t at = 0, digits = 0;
    bool point = false;

    *s = (scan){ .text = text };
    if (at < length && (text[at] == '-' || text[at] == '+'))
        s->negative = text[at++] == '-';
    for (; at < length && (is_digit(text[at]) || (text[at] == '.' && !point)); at++) {
        if (text[at] == '.') {
            point = true;
            continue;
        }
        take_digit(s, text[at], point);
        digits++;
    }
    if (!digits)
        return false;
    if (text[at - 1] == '.')
        at--; /* a full stop after the number belongs to the sentence */
    s->digits_end = at;
    s->length = take_exponent(s, text, at, length);
    return true;
}

/* The digits again, without their point, for strtod. What is dropped beyond DIGITS_KEPT only matters as "not zero". */
static double read_slowly(const scan *s)
{
    char plain[DIGITS_KEPT + 40];
    size_t kept = 0;
    long tens = s->tens;
    bool seen = false, rest = false;

    for (size_t i = 0; i < s->digits_end; i++) {
        char c = s->text[i];

        if (!is_digit(c) || (!seen && c == '0'))
            continue;
        seen = true;
        if (kept < DIGITS_KEPT) {
            plain[kept++] = c;
        } else {
            rest = rest || c != '0';
            tens++;
        }
    }
    if (rest) {
        plain[kept++] = '1';
        tens--;
    }
    snprintf(plain + kept, sizeof plain - kept, "e%ld", tens);
    return strtod(plain, NULL);
}

size_t aq_decimal_read(const char *text, size_t length, double *out)
{
    scan s;
    double value;

    if (!scan_number(&s, text, length))
        return 0;
    if (!s.significant)
        value = 0;
    else if (EXACT_DOUBLES && s.significant <= 15 && s.tens >= -EXACT_POWERS && s.tens <= EXACT_POWERS)
        value = s.tens < 0 ? (double)s.mantissa / power_of_ten[-s.tens]
                           : (double)s.mantissa * power_of_ten[s.tens];
    else
        value = read_slowly(&s);
    *out = s.negative ? -value : value;
    return s.length;
}

/* A positive number as digits: 0.d1 d2 d3 ... x 10^point. */
typedef struct {
    char digit[DIGITS_MOST + 3];
    int count, point;
} digits;

static void trim(digits *d)
{
    while (d->count > 1 && d->digit[d->count - 1] == '0')
        d->count--;
}

static void from_whole(digits *d, uint64_t whole, int places)
{
    char reversed[24];
    int count = 0;

    do
        reversed[count++] = (char)('0' + whole % 10);
    while (whole /= 10);
    for (int i = 0; i < count; i++)
        d->digit[i] = reversed[count - 1 - i];
    d->count = count;
    d->point = count - places;
    trim(d);
}

static void from_printing(digits *d, double value)
{
    char printed[64];

    /* a normal double may need 15 digits; below them fewer can do */
    for (int figures = value < DBL_MIN ? 1 : 15; figures <= DIGITS_MOST; figures++) {
        const char *at = printed;
        char plain[40];
        int count = 0, tens;

        snprintf(printed, sizeof printed, "%.*e", figures - 1, value);
        for (; *at && *at != 'e'; at++) /* the locale's radix mark is skipped with whatever is no digit */
            if (is_digit(*at) && count < DIGITS_MOST)
                d->digit[count++] = *at;
        tens = *at ? atoi(at + 1) : 0;
        snprintf(plain, sizeof plain, "%.*se%d", count, d->digit, tens - count + 1);
        d->count = count;
        d->point = tens + 1;
        if (strtod(plain, NULL) == value) /* exactly: that is what shortest means */
            break;
    }
    trim(d);
}

/* The whole number nearest to value x 10^places, exactly: the product is taken as a sum of two doubles, high + low, of
 * which no bit is lost. Returns whether that number over 10^places reads back as `value`, which is so where it is nearer
 * than half the step between doubles there. On a knife's edge, and beside a power of two where the steps differ, it says
 * no: printing and reading back decides. 0 <= places <= EXACT_POWERS and value x 10^places < 2^62. */
static bool whole_of(double value, int places, int64_t *whole)
{
    double high = value * power_of_ten[places], low = fma(value, power_of_ten[places], -high);
    double rounded = nearbyint(high), off = (rounded - high) - low, more = nearbyint(off), half_step;
    int exponent;

    *whole = (int64_t)rounded - (int64_t)more;
    if (!(frexp(value, &exponent) > 0.5))
        return false;
    half_step = ldexp(power_of_ten[places], exponent - DBL_MANT_DIG - 1);
    return fabs(off - more) < half_step * (1 - 1e-9);
}

/* The shortest digits by whole numbers of 15, 16 and 17 digits; false where the powers of ten at hand do not reach. A
 * number with fewer digits is found among those of 15, for up to 15 any digits survive a double. */
static bool from_wholes(digits *d, double value)
{
    int exponent, before; /* the point: value is below 10^before */

    if (!EXACT_DOUBLES)
        return false;
    frexp(value, &exponent);
    before = (int)ceil(exponent * 0.30102999566398120); /* log10 2; at most one too many */
    for (int figures = 15; figures <= DIGITS_MOST; figures++) {
        int places = figures - before;
        int64_t whole;
        bool same;

        if (places < 0 || places >= EXACT_POWERS)
            return false;
        same = whole_of(value, places, &whole);
        if (whole <= (int64_t)power_of_ten[figures - 1]) /* `before` was one too many */
            same = whole_of(value, ++places, &whole);
        if (!same)
            continue;
        from_whole(d, (uint64_t)whole, places);
        return true;
    }
    return false;
}

/* `value` is positive and finite. */
static digits digits_of(double value)
{
    digits d = { .count = 0 };

    if (!from_wholes(&d, value))
        from_printing(&d, value);
    return d;
}

/* Keeps `count` digits, half away from zero. 0 or fewer may leave one digit, "1", one place further left, or zero. */
static void round_digits(digits *d, int count)
{
    bool up;

    if (count >= d->count)
        return;
    if (count < 0) {
        *d = (digits){ .digit = "0", .count = 1, .point = 1 };
        return;
    }
    up = d->digit[count] >= '5';
    d->count = count;
    for (int i = count - 1; up && i >= 0; i--) {
        up = d->digit[i] == '9';
        d->digit[i] = (char)(up ? '0' : d->digit[i] + 1);
    }
    if (up) {
        memmove(d->digit + 1, d->digit, (size_t)d->count);
        d->digit[0] = '1';
        d->count++;
        d->point++;
    }
    if (!d->count)
        *d = (digits){ .digit = "0", .count = 1, .point = 1 };
}

/* Plain notation with at least `places` decimals; returns the length. */
static size_t lay_out(const digits *d, bool negative, int places, char *out)
{
    size_t at = 0;
    int decimals = d->count - d->point > places ? d->count - d->point : places;

    if (negative)
        out[at++] = '-';
    if (d->point <= 0)
        out[at++] = '0';
    for (int i = 0; i < d->point; i++)
        out[at++] = i < d->count ? d->digit[i] : '0';
    if (decimals > 0)
        out[at++] = '.';
    for (int i = 0; i < decimals; i++) {
        int which = d->point + i;

        out[at++] = which >= 0 && which < d->count ? d->digit[which] : '0';
    }
    out[at] = '\0';
    return at;
}

static size_t lay_out_tens(const digits *d, bool negative, char *out)
{
    digits front = *d;
    size_t at;

    front.point = 1;
    at = lay_out(&front, negative, 0, out);
    return at + (size_t)snprintf(out + at, AQ_DECIMAL_ROOM - at, "e%d", d->point - 1);
}

static size_t put(char *out, const char *text)
{
    size_t length = strlen(text);

    memcpy(out, text, length + 1);
    return length;
}

size_t aq_decimal_exact(double value, char out[AQ_DECIMAL_ROOM])
{
    digits d;

    if (!isfinite(value))
        return put(out, "null");
    if (value == 0) /* and -0: nobody pours it */
        return put(out, "0");
    d = digits_of(fabs(value));
    if (d.point > 17 || d.point < -5)
        return lay_out_tens(&d, value < 0, out);
    return lay_out(&d, value < 0, 0, out);
}

static bool all_zero(const digits *d)
{
    return d->count == 1 && d->digit[0] == '0';
}

size_t aq_decimal_figures(double value, int figures, bool zeros, char out[AQ_DECIMAL_ROOM])
{
    digits d;

    if (!isfinite(value))
        return put(out, "null");
    if (value == 0)
        d = (digits){ .digit = "0", .count = 1, .point = 1 };
    else
        d = digits_of(fabs(value));
    figures = figures < 1 ? 1 : figures > DIGITS_MOST ? DIGITS_MOST : figures;
    round_digits(&d, figures);
    trim(&d);
    if (d.point > 15 || d.point < -5)
        return lay_out_tens(&d, value < 0, out);
    return lay_out(&d, value < 0, zeros && figures > d.point ? figures - d.point : 0, out);
}

size_t aq_decimal_places(double value, int places, char out[AQ_DECIMAL_ROOM])
{
    digits d;

    if (!isfinite(value))
        return put(out, "null");
    places = places < 0 ? 0 : places > 12 ? 12 : places;
    if (fabs(value) >= 1e15)
        return aq_decimal_exact(value, out);
    if (value == 0)
        d = (digits){ .digit = "0", .count = 1, .point = 1 };
    else
        d = digits_of(fabs(value));
    round_digits(&d, d.point + places);
    return lay_out(&d, value < 0 && !all_zero(&d), places, out);
}

double aq_decimal_round(double value, int figures)
{
    char text[AQ_DECIMAL_ROOM];
    double rounded = value;

    if (!isfinite(value))
        return value;
    aq_decimal_figures(value, figures, false, text);
    aq_decimal_read(text, strlen(text), &rounded);
    return rounded;
}
