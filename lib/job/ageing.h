/* A bottle that is not fresh any more: what it has lost on the shelf, made up for in what is poured. */
#ifndef AQ_JOB_AGEING_H
#define AQ_JOB_AGEING_H

#include "job/job.h"

typedef struct {
    double left;      /* of the label's strength, 0 to 1; 1: no age was said */
    double strength;  /* of the bottle today in `unit`; NaN: no age was said */
    const char *unit; /* as the label has it: "%w/v", "%w/w" or "mg/L" */
} aq_aged;

/* What `age` and `kept` of the question come to. AQ_MISSING, and the text asks for it: the label's strength or density,
 * another strength than bleach is sold in, or no age where it is another substance, whose loss is not known here. */
aq_status aq_aged_find(aq_aged *aged, const aq_asked *asked, aq_error *err);

/* The figure `stock_now` and the words beside it. False: memory is out. */
bool aq_aged_say(aq_sheet *sheet, const aq_aged *aged, const aq_asked *asked);

#endif
