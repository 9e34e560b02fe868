/* The statements of the GHS, and the substances of the trade: by which names they go, what they are by strength, and
 * with what they must never meet. */
#ifndef AQ_SHEET_HAZARD_H
#define AQ_SHEET_HAZARD_H

#include "sheet/caution.h"

/* From this strength on (g/g) the codes are these, divided by a space; until the next band begins. */
typedef struct {
    double from;
    const char *codes; /* NULL: no further band */
} aq_hazard_band;

enum { AQ_BANDS_MOST = 6 };
typedef struct {
    const char *name;                    /* "nitric acid" */
    const char *others;                  /* other names, divided by "; " */
    const char *formula;                 /* as at the front of a part's formula; NULL: none */
    unsigned classes;                    /* aq_class */
    aq_hazard_band bands[AQ_BANDS_MOST]; /* from weak to strong; weaker than the first: no code */
    const char *practice;                /* what else belongs on the sheet; NULL: nothing */
    const char *source;
} aq_substance;

/* By one of its names, whatever the case. NULL: not in the table. */
const aq_substance *aq_substance_find(const char *name);

/* The same among the substances that have one of `classes`: a fifth of the table or less. */
const aq_substance *aq_substance_of_class(const char *name, unsigned classes);

/* By the formula of a salt, its water of crystallisation left aside. NULL: not in the table. */
const aq_substance *aq_substance_of_formula(const char *formula);

/* The codes at `strength` (g/g; NaN: unknown, and then the strongest), divided by spaces; "" where there is none. */
const char *aq_substance_codes(const aq_substance *substance, double strength);

AQ_API const aq_substance *aq_substance_table(size_t *count);

/* What is handled: its substance (NULL: not known), and the classes of that, of its formula and of its label. */
const aq_substance *aq_handled_substance(const aq_handled *handled);
unsigned aq_handled_classes(const aq_handled *handled, const aq_substance *substance);

/* For the rules: adds one, once; false when memory is out. */
bool aq_hazard_rule(aq_sheet *sheet, const char *rule, const char *text, bool refuses);

/* The row measures out a part. */
bool aq_row_pours(const aq_row *row);

/* Nobody pours by a refused sheet: rows go, and every other amount that could be poured. */
void aq_sheet_refuse(aq_sheet *sheet);

/* The closing line, where there is a hazard. */
void aq_sheet_defer(aq_sheet *sheet);

#endif
