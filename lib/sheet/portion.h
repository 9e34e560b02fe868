/* From exact doses to what the tools on the bench can show.
 *
 * Doses go to marks: of the marks just below and just above each exact dose, the combination with the least weighted
 * misfit is taken, never over a label top, and a group's ratio is part of the misfit. A dose below AQ_MARKS_LEAST
 * marks of the finest tool is drawn from a pre-dilution. A dose larger than the tool is split into fills. */
#ifndef AQ_SHEET_PORTION_H
#define AQ_SHEET_PORTION_H

#include "measure/graduation.h"

typedef struct {
    /* asked */
    double exact;     /* L, or g when `weighs` */
    double top;       /* most that the label allows, same unit; INFINITY: none */
    bool weighs;
    double effect;    /* what one unit does to the reading or the target: weights the misfit; at least > 0 */
    int group;        /* portions of one group share a number; -1: alone */

    /* answered */
    const aq_tool *tool; /* NULL: the bench has none: amount is `exact` to 3 figures, never over the top */
    double amount;       /* what to measure out: of the product, or of the pre-dilution */
    double reaches;      /* of the product, after rounding: what the tank gets */
    bool prediluted;
    double pre_amount;   /* product that goes into the pre-dilution */
    double pre_make;     /* the volume it is made up to, L */
} aq_portion;

/* `pre` is the tool the pre-dilution is made with; the batch of a pre-dilution is no larger than 1 L unless it must.
 * AQ_INVALID when a portion is negative or not finite. */
AQ_API aq_status aq_portions_round(aq_portion *portions, size_t count, const aq_bench *bench, aq_error *err);

#endif
