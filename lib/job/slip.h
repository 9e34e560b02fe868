/* Single slips that could explain a reading that disagrees, and how likely each is.
 *
 * A slip predicts a reading. How well it explains what was read is its prior times the normal density of the
 * difference, with the slip's own width beside that of an ordinary mix (Bayes' rule). Slips that can be of any size (a
 * tank not stirred, a mark in the wrong place) predict what was read, with a width that makes large ones unlikely. The
 * priors are judgement (common practice, no source); only their order is shown. */
#ifndef AQ_JOB_SLIP_H
#define AQ_JOB_SLIP_H

#include "sheet/sheet.h"

typedef struct {
    double base;         /* mS/cm before dosing */
    double added;        /* mS/cm that the doses should have added, above 0 */
    double reads;        /* mS/cm */
    double within;       /* tolerance of the expected reading */
    double volume, heel; /* L */
    double water_ec;     /* mS/cm; NaN: not known */
    double temperature;  /* degC; NaN: not said */
    bool compensated;    /* the meter is known to correct to 25 degC */
    size_t parts;
    const char *const *names;
    const double *adds; /* mS/cm of each part; NaN: not known apart */
    bool oxides;        /* a label counts P or K as oxide */
} aq_slip_case;

/* Adds a record "because", with "reads" and "decides", for each slip that explains something, likeliest first. */
AQ_API aq_status aq_slips_rank(aq_sheet *sheet, const aq_slip_case *mixed);

#endif
