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
    double exact; /* L, or g when `weighs` */
    double top;   /* most that the label allows, same unit; INFINITY: none */
    bool weighs;
    double dissolves; /* of a weighed part: most g that a litre of a pre-dilution may hold; 0: not known */
    /* what one unit does to the reading, > 0; 0 or NaN: not known, and then shares of a dose count */
    double effect;

    /* With several targets: what one unit does to each of them, in its tolerance; `aims` of them in every portion.
     * NULL: `effect` */
    const double *effects;
    size_t aims;
    int group; /* portions of one group share a number; -1: alone */

    /* answered. No tool: the bench has none that can; amount is `exact` to 3 figures, never over the top */
    const aq_tool *tool;
    double below, above; /* the marks of that tool beside what is wanted; the same where there is no choice */
    double amount;       /* what to measure out: of the product, or of the pre-dilution (then always L) */
    double reaches;      /* of the product, after rounding to the tool, L or g: what the tank gets */
    bool prediluted;
    double pre_amount; /* product that goes into the pre-dilution, L or g */
    double pre_make;   /* the volume it is made up to, L */
} aq_portion;

/* A pre-dilution is the weakest step of 1 in 10, 20, 50, 100 ... that brings the draw to AQ_MARKS_LEAST marks (of a
 * weighed part 1 g in 20 mL, 50 mL ..., and no stronger than `dissolves`; it needs a tool for volumes). 1 mL or 1 g goes into it, more where that is
 * under AQ_MARKS_LEAST marks, less where the tool holds less. Of two combinations that fit alike the lower is taken.
 * A positive dose never becomes 0 with a tool named beside it.
 *
 * AQ_INVALID when a portion, or its top, is negative or not a number, or a portion is not finite. */
AQ_API aq_status aq_portions_round(aq_portion *portions, size_t count, const aq_bench *bench, aq_error *err);

#endif
