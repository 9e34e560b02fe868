/* Iron chelates, and the pH between which each holds its iron. */
#ifndef AQ_CHEMISTRY_CHELATE_H
#define AQ_CHEMISTRY_CHELATE_H

#include "base/error.h"

typedef struct {
    const char *name;       /* "EDTA" */
    double lowest, highest; /* pH in which it holds iron */
} aq_chelate;

/* The chelate that a product's name or substance names, however it is written: "Fe-EDDHA 6 %", "iron dtpa". NULL: none
 * we know. */
AQ_API const aq_chelate *aq_chelate_in(const char *text);

/* The mildest one that holds iron from `low` to `high`: the one with the lowest top. NULL: none does. */
AQ_API const aq_chelate *aq_chelate_for(double low, double high);

#endif
