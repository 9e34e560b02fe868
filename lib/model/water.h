/* Source water: what comes in before anything is added. Read by aq_water_shape. */
#ifndef AQ_MODEL_WATER_H
#define AQ_MODEL_WATER_H

#include "chemistry/composition.h"
#include "document/field.h"

typedef struct {
    const char *name;        /* NULL: the only water of the line, called "water" */
    aq_quantity ec;          /* mS/cm at 25 degC */
    aq_quantity alkalinity;  /* eq/L */
    aq_quantity hardness;    /* eq/L */
    aq_quantity temperature; /* degC */
    aq_quantity ph;
    aq_amounts analysis; /* of ions and elements, g/L or mol/L */
    aq_quantity share;   /* where several waters fill one tank */
    aq_place place;

    /* worked out when the entry was read */
    const aq_composition *composition; /* per L, of `analysis` alone; NULL: not known */
} aq_water;

extern AQ_API const aq_shape aq_water_shape;

#endif
