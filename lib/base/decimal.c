/* Numbers as digits and a power of ten, without a locale.
 *
 * Reading: up to 15 digits and powers up to 10^22 are exact doubles, so one multiplication or division rounds once and
 * right (Clinger, How to read floating point numbers accurately, 1990). Everything else goes to strtod as digits and
 * an exponent with no decimal point in it, which reads alike in every locale.
 *
 * Writing: the shortest digits that read back. A number with few decimals is found by trying, most others by scaling
 * exactly to whole numbers of 15, 16 and 17 digits, the rest by printing as many. People's roundings work on those
 * digits, so 1.225 rounds to 1.23 though the double lies a little below it. */
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
    char written[20]; /* the largest whole number has 20 digits */
    char *at = written + sizeof written;

    while (whole >= 10) {
        uint64_t tenth = whole / 10;

        *--at = (char)('0' + (whole - tenth * 10));
        whole = tenth;
    }
    *--at = (char)('0' + whole);
    d->count = (int)(written + sizeof written - at);
    memcpy(d->digit, at, (size_t)d->count);
    d->point = d->count - places;
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

/* What people write has few decimals: a whole number over 1, 10, 100 and so on. No two numbers of up to 15 digits share
 * a double, so where one reads back it is the shortest. */
static bool from_few(digits *d, double value)
{
    enum { FEW = 4 };

    for (int places = 0; EXACT_DOUBLES && places <= FEW; places++) {
        double scaled = value * power_of_ten[places];
        uint64_t whole;

        if (!(scaled < 1e15))
            return false;
        whole = (uint64_t)scaled;
        if ((double)whole == scaled && scaled / power_of_ten[places] == value) {
            from_whole(d, whole, places);
            return true;
        }
    }
    return false;
}

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

/* The whole number nearest to value x 10^places, exactly: the product is taken as a sum of two doubles, high + low, of
 * which no bit is lost. Returns whether that number over 10^places reads back as `value`, which is so where it is nearer
 * than half the step between doubles there. On a knife's edge, and beside a power of two where the steps differ, it says
 * no: printing and reading back decides. 0 <= places <= EXACT_POWERS and value x 10^places < 2^62. */
static bool whole_of(double value, parts p, int places, int64_t *whole)
{
    double high = value * power_of_ten[places], low = fma(value, power_of_ten[places], -high);
    double rounded = nearest_whole(high), off = (rounded - high) - low, more = nearest_whole(off), half_step;

    *whole = (int64_t)rounded - (int64_t)more;
    if (p.power_of_two)
        return false;
    half_step = power_of_ten[places] * two_to(p.exponent - DBL_MANT_DIG - 1);
    return fabs(off - more) < half_step * (1 - 1e-9);
}

/* The shortest digits by whole numbers of 15, 16 and 17 digits; false where the powers of ten at hand do not reach. A
 * number with fewer digits is found among those of 15, for up to 15 any digits survive a double. */
static bool from_wholes(digits *d, double value)
{
    parts p = parts_of(value);
    double tens = p.exponent * 0.30102999566398120; /* log10 2 */
    int before =
        (int)tens + (tens > (int)tens); /* the point: value is below 10^before; at most one too many */

    if (!EXACT_DOUBLES)
        return false;
    for (int figures = 15; figures <= DIGITS_MOST; figures++) {
        int places = figures - before;
        int64_t whole;
        bool same;

        if (places < 0 || places >= EXACT_POWERS)
            return false;
        same = whole_of(value, p, places, &whole);
        if (whole <= (int64_t)power_of_ten[figures - 1]) /* `before` was one too many */
            same = whole_of(value, p, ++places, &whole);
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
    digits d;

    if (!from_few(&d, value) && !from_wholes(&d, value))
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

static size_t put_zeros(char *out, int count)
{
    if (count <= 0)
        return 0;
    memset(out, '0', (size_t)count);
    return (size_t)count;
}

static size_t put_digits(char *out, const digits *d, int from, int to)
{
    if (to <= from)
        return 0;
    memcpy(out, d->digit + from, (size_t)(to - from));
    return (size_t)(to - from);
}

/* Plain notation with at least `places` decimals; returns the length. */
static size_t lay_out(const digits *d, bool negative, int places, char *out)
{
    size_t at = 0;
    int before = d->point < 0 ? 0 : d->point < d->count ? d->point : d->count; /* digits before the point */
    int decimals = d->count - d->point > places ? d->count - d->point : places;

    if (negative)
        out[at++] = '-';
    if (d->point <= 0)
        out[at++] = '0';
    at += put_digits(out + at, d, 0, before);
    at += put_zeros(out + at, d->point - before);
    if (decimals > 0) {
        int lead = d->point < 0 ? -d->point : 0; /* zeros between the point and the digits */

        out[at++] = '.';
        at += put_zeros(out + at, lead);
        at += put_digits(out + at, d, before, d->count);
        at += put_zeros(out + at, decimals - lead - (d->count - before));
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
