/* Text to double and back, the same in every locale and never through it.
 *
 * Reading is correctly rounded (to nearest, ties to even). Writing comes in two manners: for machines, the shortest
 * digits that read back to the same double; for people, a number of significant figures or of decimals. */
#ifndef AQ_BASE_DECIMAL_H
#define AQ_BASE_DECIMAL_H

#include "base/error.h"

enum { AQ_DECIMAL_ROOM = 40 }; /* bytes that hold any number written here, with its NUL */

/* Reads an optional sign, digits with at most one point, and an optional exponent, from the start of `text`.
 * Returns the number of bytes read, 0 when no number stands there. "inf", "nan", hexadecimal and digit separators
 * are not numbers. A value too large reads as INFINITY, which the caller refuses. */
AQ_API size_t aq_decimal_read(const char *text, size_t length, double *out);

/* The shortest digits that read back exactly, in the form of a JSON number: "0.1", "1e-12", "192". Returns the
 * length. NaN and infinities are written "null", for JSON has no other word for them. */
AQ_API size_t aq_decimal_exact(double value, char out[AQ_DECIMAL_ROOM]);

/* `figures` significant figures (1 to 17), half away from zero on the decimal digits, no exponent for magnitudes
 * from 1e-6 to below 1e15, trailing zeros kept when `zeros`: (1.8, 3, true) is "1.80", (0.0625, 2, false) is "0.063",
 * (1234.5, 3, false) is "1230". */
AQ_API size_t aq_decimal_figures(double value, int figures, bool zeros, char out[AQ_DECIMAL_ROOM]);

/* `places` decimals (0 to 12), rounded as above: (1.225, 2) is "1.23" (the double nearest 1.225 is taken by its
 * shortest digits, so a grower's 1.225 rounds as the grower expects). */
AQ_API size_t aq_decimal_places(double value, int places, char out[AQ_DECIMAL_ROOM]);

/* `value` rounded as aq_decimal_figures prints it. */
AQ_API double aq_decimal_round(double value, int figures);

#endif
