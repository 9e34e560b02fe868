/* Hazards, what to wear, and what must never meet: a table of rules over a sheet and over a day.
 *
 * Hazards come from the GHS codes of the parts and from the substance at its strength. Rules that refuse set the
 * outcome to AQ_REFUSED and take the pouring rows away, so nobody pours by a refused sheet. Statement texts are those
 * of the UN GHS, annex 3. Every sheet with a hazard ends by deferring to the label, the safety data sheet, local codes
 * and a licensed applicator or qualified person. */
#ifndef AQ_SHEET_CAUTION_H
#define AQ_SHEET_CAUTION_H

#include "model/site.h"
#include "sheet/sheet.h"

/* Something handled on a sheet: a part, or a substance at the strength it is handled at. */
typedef struct {
    const char *name;       /* as the user calls it */
    const char *substance;  /* "nitric acid"; NULL: known only by its codes and composition */
    double strength;        /* g/g of the concentrate; NaN: unknown, then the strongest class is taken */
    const aq_part *part;    /* for its codes and composition; NULL: none */
    bool concentrate;       /* handled undiluted (as poured from the bottle) */
} aq_handled;

/* Adds hazards, wear, the deferring line and refusals to the sheet. `handled` is everything that one vessel meets on
 * this sheet. */
AQ_API aq_status aq_caution_apply(aq_sheet *sheet, const aq_handled *handled, size_t count, aq_error *err);

/* Rules over the jobs of one vessel in one day: acid and hypochlorite without a rinse between. */
AQ_API aq_status aq_caution_day(aq_sheet *plan, aq_error *err);

/* The statement text of a GHS code, NULL when the code is not one of the table. */
AQ_API const char *aq_hazard_text(const char *code);

#endif
