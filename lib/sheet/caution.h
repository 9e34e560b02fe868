/* Hazards, what to wear, and what must never meet: a table of rules over a sheet and over a day.
 *
 * Hazards come from the GHS codes of the parts and from the substance at its strength. Rules that refuse set the
 * outcome to AQ_REFUSED and take the rows and every other amount away, so nobody pours by a refused sheet. Statement
 * texts are those of the UN GHS, annex 3. Every sheet with a hazard ends by deferring to the label, the safety data
 * sheet, local codes and a licensed applicator or qualified person. */
#ifndef AQ_SHEET_CAUTION_H
#define AQ_SHEET_CAUTION_H

#include "model/site.h"
#include "sheet/sheet.h"

/* What a thing is to the rules; aq_sheet.classes holds those of everything on a sheet. */
typedef enum {
    AQ_ACID = 1 << 0,
    AQ_BASE = 1 << 1,
    AQ_HYPOCHLORITE = 1 << 2,
    AQ_PEROXIDE = 1 << 3,
    AQ_ALCOHOL = 1 << 4,
    AQ_AMMONIUM = 1 << 5, /* and urea */
    AQ_CALCIUM = 1 << 6,
    AQ_SULFATE = 1 << 7,
    AQ_PHOSPHATE = 1 << 8,
    AQ_HORMONE = 1 << 9,
    AQ_ACETIC = 1 << 10
} aq_class;

/* Something handled on a sheet: a part, or a substance at the strength it is handled at. */
typedef struct {
    const char *name;      /* as the user calls it */
    const char *substance; /* "nitric acid"; NULL: known only by its codes, its composition and its name */
    double strength;       /* g/g of the concentrate; NaN: unknown, then the strongest class is taken */
    const aq_part *part;   /* for its codes and composition; NULL: none */
    bool concentrate;      /* handled undiluted (as poured from the bottle) */
} aq_handled;

/* Adds hazards, wear, the deferring line and refusals to the sheet. `handled` is everything that one vessel meets on
 * this sheet. Where a strong acid is poured and no water stands in the vessel, a row of water is put before it. */
AQ_API aq_status aq_caution_apply(aq_sheet *sheet, const aq_handled *handled, size_t count, aq_error *err);

/* What the plants on the other end can take; NaN where it is not known. */
typedef struct {
    double mist_most; /* ceiling of what is sprayed on these leaves, mS/cm: above it the sheet is refused */
    double ec_was;    /* what the roots stand in before, mS/cm */
    double ec_step;   /* largest change at one time, mS/cm */
    bool unrooted;    /* a lot in a stage before roots, by its days */
    bool feeds_roots; /* the sheet feeds a medium that may be dry */
} aq_bearing;
AQ_API aq_status aq_caution_plants(aq_sheet *sheet, const aq_bearing *bearing, aq_error *err);

/* Rules over the jobs of one vessel in one day: acid and hypochlorite without a rinse between refuse the later job.
 * The plan takes over what its jobs say of hazards: classes and the deferring line. */
AQ_API aq_status aq_caution_day(aq_sheet *plan, aq_error *err);

/* The statement text of a GHS code, NULL when the code is not one of the table. */
AQ_API const char *aq_hazard_text(const char *code);

#endif
