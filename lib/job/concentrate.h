/* What is in the bottle that a strength is made from, and how much of it a litre takes. */
#ifndef AQ_JOB_CONCENTRATE_H
#define AQ_JOB_CONCENTRATE_H

#include "job/job.h"

typedef struct {
    bool weighs;             /* a solid */
    double per_litre;        /* L, or g of a solid, in a litre made */
    double reached_per_unit; /* strength reached (in the unit shown) by one L or g of stock in one litre */
    const char *unit;        /* that strength is shown in; NULL: a ratio of what is not known */
    double wanted;           /* in that unit; of a ratio the stock's */
    double neat;             /* the stock itself in that unit, where it is weaker than wanted; else NaN */
    double factor;           /* g of it for 1 g of what is counted; 0 where that was not asked */
    double density;          /* g/L of the liquid; NaN: not known, and not needed */
    bool density_taken;      /* from the table */
    double to_density;       /* g/L taken from the table for what is made; NaN: none was needed */
} aq_concentrate;

/* AQ_MISSING: something must be said first, and the text asks for it. */
aq_status aq_concentrate_find(aq_concentrate *from, const aq_asked *asked, aq_arena *arena, aq_error *err);

/* A strength in the unit that it was written in: "%w/w", "%w/v" or "%v/v", or "mg/L" where it had no per cent. */
double aq_strength_shown(const char **unit, const aq_strength *strength);

/* degC at which the table of the substance is read: as said, or 20. */
double aq_concentrate_celsius(const aq_asked *asked);

#endif
