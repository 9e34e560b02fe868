/* The typical value of what was found several times, each time with a weight, and one of them perhaps by mistake.
 *
 * Findings x_i are spread about the value m with the variance s^2 / w_i: litres a day over w_i days, or salts a litre over
 * w_i litres, so that without mistakes m is all litres over all days. m and s minimise by Huber's proposal 2, and m then,
 * with s as it is, by Tukey's bisquare, which gives no weight at all to what cannot be true (P. J. Huber and E. M.
 * Ronchetti, Robust Statistics, 2nd ed. 2009, chapters 4 and 6; constants 1.345, 1.5 and 4.685).
 *
 * How sure: m is within t s / sqrt(0.95 sum of w_i) with 95 %, of the findings that are trusted; t is Student's of one fewer
 * than they are, for nothing is known of s beforehand (JCGM 100:2008, table G.2).
 *
 * Example: 3.1, 2.9, 3.0 and 9 L/d, a day each: 3.0 L/d, and the 9 was a level misread. */
#ifndef AQ_SOLVE_TYPICAL_H
#define AQ_SOLVE_TYPICAL_H

#include <stddef.h>

#include "base/error.h"

typedef struct {
    double value, weight; /* weight above 0 */
} aq_finding;

typedef struct {
    double value;
    double within;  /* half of the interval that holds it with 95 %; INFINITY of a single one */
    size_t trusted; /* findings within three s of it */
} aq_typical;

/* Sorts the findings. NaN of none. */
AQ_API aq_typical aq_typical_of(aq_finding *findings, size_t count);

#endif
