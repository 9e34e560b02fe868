/* The water that is added: one of the line's waters, or several by their shares. */
#ifndef AQ_JOB_SOURCE_H
#define AQ_JOB_SOURCE_H

#include "job/job.h"

typedef struct {
    double ec;                   /* mS/cm; NaN: not known */
    bool ec_worked_out;          /* of one of them, from its analysis */
    double alkalinity, hardness; /* eq/L; NaN: not known */
    const aq_composition *holds; /* per L; NULL: not known */
    size_t count;                /* waters; 0: nothing is known of the one there is */
    const aq_water *at;
    const double *share; /* of the water added, adding up to 1 */
} aq_source;

/* AQ_CONFLICT where shares do not add up to 1, AQ_MISSING where two waters give none. */
aq_status aq_source_of(aq_source *out, aq_arena *arena, const aq_asked *asked, aq_error *err);

/* What the entries of an analysis hold in a litre. The statuses of aq_composition_of_analysis. */
aq_status aq_source_analysis(aq_composition *out, const aq_amounts *analysis, aq_arena *arena, aq_error *err);

/* Of one water: eq/L as said, or else of its analysis; NaN: not known. */
double aq_water_alkalinity(const aq_water *water);
double aq_water_hardness(const aq_water *water);

/* mS/cm as said, or worked out of its analysis; NaN: not known. */
double aq_water_ec(const aq_water *water);

/* "tap", or "water" for one that has no name. */
const char *aq_source_name(const aq_source *source, size_t which);

/* "tap, EC 0.32 mS/cm, alkalinity 120 mg/L CaCO3"; NULL: nothing is known, or memory is out. */
const char *aq_source_say(const aq_source *source, aq_arena *arena);

/* mg/L CaCO3 from eq/L. */
double aq_as_carbonate(double equivalents);

#endif
