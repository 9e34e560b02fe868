/* Numbers as digits and a power of ten, without a locale.
 *
 * Reading: up to 15 digits and powers up to 10^22 are exact doubles, so one multiplication or division rounds once and
 * right (Clinger, How to read floating point numbers accurately, 1990). Everything else goes to strtod as digits and
 * an exponent with no decimal point in it, which reads alike in every locale.
 *
 * Writing: the shortest digits that read back (digits.c). People's roundings work on those digits, so 1.225 rounds to
 * 1.23 though the double lies a little below it. */
#include "base/decimal.h"
#include "base/digits.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DIGITS_KEPT = 800 };

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

/* whole x 10^tens, where both are exact and one operation rounds once. |whole| < 10^15. */
static bool times_ten(double whole, long tens, double *out)
{
    if (!AQ_EXACT_DOUBLES || tens < -AQ_EXACT_POWERS || tens > AQ_EXACT_POWERS)
        return false;
    *out = tens < 0 ? whole / aq_power_of_ten[-tens] : whole * aq_power_of_ten[tens];
    return true;
}

size_t aq_decimal_read(const char *text, size_t length, double *out)
{
    scan s;
    double value;

    if (!scan_number(&s, text, length))
        return 0;
    if (!s.significant)
        value = 0;
    else if (s.significant > 15 || !times_ten((double)s.mantissa, s.tens, &value))
        value = read_slowly(&s);
    *out = s.negative ? -value : value;
    return s.length;
}

static size_t put_zeros(char *out, int count)
{
    if (count <= 0)
        return 0;
    memset(out, '0', (size_t)count);
    return (size_t)count;
}

/* Two digits at a time, from the last one on. */
static void spell(uint64_t whole, int count, char *out)
{
    static const char pairs[] =
        "0001020304050607080910111213141516171819202122232425262728293031323334353637383940"
        "4142434445464748495051525354555657585960616263646566676869707172737475767778798081"
        "828384858687888990919293949596979899";
    for (; count > 1; whole /= 100)
        memcpy(out + (count -= 2), pairs + 2 * (whole % 100), 2);
    if (count)
        *out = (char)('0' + whole);
}

/* Plain notation with at least `places` decimals; returns the length. */
static size_t lay_out(aq_digits d, bool negative, int places, char *out)
{
    size_t at = 0;
    int decimals = d.count - d.point > places ? d.count - d.point : places;

    if (negative)
        out[at++] = '-';
    if (d.point > 0 && d.point < d.count) { /* the point within the digits, which are moved to let it in */
        spell(d.whole, d.count, out + at + 1);
        memmove(out + at, out + at + 1, (size_t)d.point);
        at += (size_t)d.point;
        out[at] = '.';
        at += (size_t)(d.count - d.point) + 1;
        at += put_zeros(out + at, decimals - (d.count - d.point));
    } else if (d.point > 0) {
        spell(d.whole, d.count, out + at);
        at += (size_t)d.count;
        at += put_zeros(out + at, d.point - d.count);
        if (decimals > 0)
            out[at++] = '.';
        at += put_zeros(out + at, decimals);
    } else {
        out[at++] = '0';
        out[at++] = '.';
        at += put_zeros(out + at, -d.point);
        spell(d.whole, d.count, out + at);
        at += (size_t)d.count;
        at += put_zeros(out + at, decimals - (d.count - d.point));
    }
    out[at] = '\0';
    return at;
}

static size_t lay_out_tens(aq_digits d, bool negative, char *out)
{
    int tens = d.point - 1;
    size_t at;

    d.point = 1;
    at = lay_out(d, negative, 0, out);
    return at + (size_t)snprintf(out + at, AQ_DECIMAL_ROOM - at, "e%d", tens);
}

static size_t put(char *out, const char *text)
{
    size_t length = strlen(text);

    memcpy(out, text, length + 1);
    return length;
}

/* Of the size of a finite value. */
static aq_digits digits_of(double value)
{
    return value == 0 ? (aq_digits){ 0, 1, 1 } : aq_digits_of(fabs(value));
}

size_t aq_decimal_exact(double value, char out[AQ_DECIMAL_ROOM])
{
    aq_digits d;

    if (!isfinite(value))
        return put(out, "null");
    if (value == 0) /* and -0: nobody pours it */
        return put(out, "0");
    d = digits_of(value);
    if (d.point > 17 || d.point < -5)
        return lay_out_tens(d, value < 0, out);
    return lay_out(d, value < 0, 0, out);
}

static aq_digits figures_of(double value, int figures)
{
    figures = figures < 1 ? 1 : figures > AQ_DIGITS_MOST ? AQ_DIGITS_MOST : figures;
    return aq_digits_trimmed(aq_digits_rounded(digits_of(value), figures));
}

size_t aq_decimal_figures(double value, int figures, bool zeros, char out[AQ_DECIMAL_ROOM])
{
    aq_digits d;

    if (!isfinite(value))
        return put(out, "null");
    d = figures_of(value, figures);
    if (d.point > 15 || d.point < -5)
        return lay_out_tens(d, value < 0, out);
    figures = figures < 1 ? 1 : figures > AQ_DIGITS_MOST ? AQ_DIGITS_MOST : figures;
    return lay_out(d, value < 0, zeros && figures > d.point ? figures - d.point : 0, out);
}

size_t aq_decimal_places(double value, int places, char out[AQ_DECIMAL_ROOM])
{
    aq_digits d;

    if (!isfinite(value))
        return put(out, "null");
    places = places < 0 ? 0 : places > 12 ? 12 : places;
    if (fabs(value) >= 1e15)
        return aq_decimal_exact(value, out);
    d = digits_of(value);
    d = aq_digits_rounded(d, d.point + places);
    return lay_out(d, value < 0 && d.whole, places, out);
}

/* What is printed is read again only where one operation on its digits does not round as reading would. */
double aq_decimal_round(double value, int figures)
{
    char text[AQ_DECIMAL_ROOM];
    double rounded = value;
    aq_digits d;

    if (!isfinite(value))
        return value;
    d = figures_of(value, figures);
    if (d.count <= 15 && times_ten((double)d.whole, d.point - d.count, &rounded))
        return value < 0 ? -rounded : rounded;
    aq_decimal_read(text, aq_decimal_figures(value, figures, false, text), &rounded);
    return rounded;
}
