/* One acid against an alkalinity: how much of it, and what comes with it. The job acid pours it alone; mix pours it into
 * the water of a feed, which then wants less of what the acid brings. */
#ifndef AQ_JOB_NEUTRALISE_H
#define AQ_JOB_NEUTRALISE_H

#include "chemistry/acid.h"
#include "job/job.h"

/* The rows of an acid: its name, strength, density and protons. */
extern const aq_shape aq_acid_shape;

typedef struct {
    const char *name;      /* as the grower calls it */
    const char *substance; /* NULL: not known */
    double litres;         /* whole */
    double strength;       /* g/g, for its hazards; NaN: not known */
    double protons;        /* given up by one molecule */
    double brings;         /* g of the element in a litre of the water treated */
    const char *element;   /* "N"; NULL: none that feeds */
    double density;        /* g/L taken from the handbooks; NaN: none was */
    aq_acid acid;          /* not of a jar test */
    double ec_change;      /* mS/cm that the water treated reads more; NaN: not known */
} aq_neutralising;

/* For `eq_per_litre` eq/L in `volume` L. AQ_UNKNOWN_NAME: not an acid we know. AQ_MISSING: its strength needs a density;
 * the text says what the handbooks have, and what that would give. */
aq_status aq_neutralise(aq_neutralising *n, const aq_acid_entry *entry, double eq_per_litre, double volume,
                        aq_arena *arena, aq_error *err);

/* Says the density that was taken from the handbooks, if one was. */
bool aq_neutralise_assume(aq_sheet *sheet, const aq_neutralising *n, const aq_acid_entry *entry);

#endif
