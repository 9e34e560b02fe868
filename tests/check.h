/* What cmocka lacks: comparison of doubles as doubles. cmocka 1.1.5 casts to float, so that 1000000.01 equals
 * 1000000.04 within 0.001; every comparison of a double in these tests comes through here. */
#ifndef CHECK_H
#define CHECK_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Passes when |got - want| <= tolerance * max(1, |want|); NaN never passes. */
static inline void check_close_at(const char *row, double got, double want, double tolerance,
                                  const char *file, int line)
{
    if (fabs(got - want) <= tolerance * fmax(1, fabs(want)))
        return;
    print_error("%s: got %.17g, want %.17g within %g\n", row, got, want, tolerance);
    _fail(file, line);
}

/* Passes when |got - want| <= tolerance; for figures whose size is far from 1. */
static inline void check_within_at(const char *row, double got, double want, double tolerance,
                                   const char *file, int line)
{
    if (fabs(got - want) <= tolerance)
        return;
    print_error("%s: got %.17g, want %.17g within %g\n", row, got, want, tolerance);
    _fail(file, line);
}

static inline void check_text_at(const char *row, const char *got, const char *want, const char *file,
                                 int line)
{
    if (got && want && strcmp(got, want) == 0)
        return;
    print_error("%s: got \"%s\", want \"%s\"\n", row, got ? got : "(null)", want ? want : "(null)");
    _fail(file, line);
}

static inline void check_true_at(const char *row, bool held, const char *what, const char *file, int line)
{
    if (held)
        return;
    print_error("%s: %s does not hold\n", row, what);
    _fail(file, line);
}

#define check_close(row, got, want, tolerance) check_close_at(row, got, want, tolerance, __FILE__, __LINE__)
#define check_within(row, got, want, tolerance) check_within_at(row, got, want, tolerance, __FILE__, __LINE__)
#define check_text(row, got, want) check_text_at(row, got, want, __FILE__, __LINE__)
#define check_true(row, held) check_true_at(row, held, #held, __FILE__, __LINE__)

#endif
