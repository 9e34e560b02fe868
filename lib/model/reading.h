/* A meter, and what a reading of it means: scale, temperature, last standard. */
#ifndef AQ_MODEL_READING_H
#define AQ_MODEL_READING_H

#include "document/field.h"

typedef struct {
    int scale;                        /* 0 unsaid, 1 EC, 2 CF, 500, 640, 700: what the display counts in */
    int compensated;                  /* aq_yes_no: corrects to 25 degC by itself */
    aq_quantity coefficient;          /* per degC; 2 % where not given */
    aq_quantity standard;             /* EC of the standard at 25 degC */
    aq_quantity reads;                /* what it showed in that standard, mS/cm by the meter's own scale */
    aq_quantity standard_temperature; /* degC */
    aq_date checked;
    aq_place place;
    bool given;
} aq_meter;

extern AQ_API const aq_shape aq_meter_shape;

/* The scale (500, 640, 700) of a meter that showed `shown_ppm` in a standard of `standard` mS/cm: 690 in 1.413 is 500.
 * 0 where it is more than 4 % from all of them. */
AQ_API int aq_meter_scale_found(double standard, double shown_ppm);

/* The scale that a reading was typed in, as `scale` has it; 0 for NULL. */
AQ_API int aq_meter_scale_typed(const aq_unit *unit);

/* Whether what was read in that scale (as `scale`, 0 where nobody knows) can be this meter's: a ppm of another scale
 * than its own was shown by another meter, while mS/cm may be its ppm after it was divided. */
AQ_API bool aq_meter_counts_in(const aq_meter *meter, int scale);

/* true / shown: 1 where no standard was recorded. A compensated meter's standard stands at its 25 degC value. */
AQ_API double aq_meter_factor(const aq_meter *meter);

/* mS/cm at 25 degC for a reading in mS/cm at `temperature` (NaN: unknown, and then an uncompensated reading is taken
 * as it is), by the linear coefficient and the last standard. */
AQ_API double aq_meter_true(const aq_meter *meter, double shown, double temperature);

#endif
