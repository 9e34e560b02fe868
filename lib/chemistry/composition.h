/* What a gram (or a litre) of a product brings: masses of nutrients, and ions.
 *
 * From a formula, the composition is exact. From a label it is what the label says: the ions that it leaves out
 * (the sulfate of a potassium sulfate listed only as K2O) show as a charge, and aq_composition_close makes that
 * good. */
#ifndef AQ_CHEMISTRY_COMPOSITION_H
#define AQ_CHEMISTRY_COMPOSITION_H

#include "chemistry/ion.h"
#include "measure/unit.h"

typedef enum {
    AQ_N_NITRATE, /* nitrogen by its form */
    AQ_N_AMMONIUM,
    AQ_N_UREA,
    AQ_N_UNKNOWN, /* nitrogen that a label gives without its form */
    AQ_P,
    AQ_K,
    AQ_CA,
    AQ_MG,
    AQ_S,
    AQ_NA,
    AQ_CL,
    AQ_FE,
    AQ_MN,
    AQ_ZN,
    AQ_CU,
    AQ_B,
    AQ_MO,
    AQ_SI,
    AQ_NUTRIENT_COUNT
} aq_nutrient;

typedef struct {
    double mass[AQ_NUTRIENT_COUNT]; /* g per g of product, or per L */
    double ion[AQ_ION_COUNT];       /* mol per g of product, or per L */
    double closed; /* eq per g or L that aq_composition_close added: positive as HCO3-, negative as H+ */
} aq_composition;

/* One entry of a label or of a water analysis: "NO3-N" 0.047, "K2O" 0.01, "SO4" 0.030. */
typedef struct {
    const char *name;
    double amount; /* g per g of product, or g per L; mol instead with `molar`, eq with `charged` */
    bool molar;
    aq_place place; /* for complaints */
    bool charged;
} aq_content;

/* "NO3-N", "NH4-N", "urea-N", "N" (form unknown), "P", "K" ... */
AQ_API const char *aq_nutrient_name(aq_nutrient nutrient);
/* AQ_NUTRIENT_COUNT when `name` is none of them. "N" gives AQ_N_UNKNOWN. */
AQ_API aq_nutrient aq_nutrient_find(const char *name);
/* g/mol of its element. */
AQ_API double aq_nutrient_weight(aq_nutrient nutrient);

/* What a target or a figure of that name counts, g per g or L: AQ_N_UNKNOWN, called "N", counts all nitrogen. */
AQ_API double aq_composition_nutrient(const aq_composition *composition, aq_nutrient nutrient);

/* The composition of 1 g of a salt, acid, base, oxide or urea. AQ_INVALID where the elements cannot be split into
 * the ions we know (sulfite, nitrite, iron(III), cobalt): such a part is given by its analysis. */
AQ_API aq_status aq_composition_of_formula(aq_composition *out, const char *formula, aq_error *err);

/* The composition that entries of an analysis add up to. Names: those of aq_nutrient_name; oxides P2O5, K2O, CaO,
 * MgO, SO3, SiO2, Na2O, B2O3; ions NO3, NH4, PO4, H2PO4, HPO4, SO4, HCO3, CO3. `as` says how a bare P and K are
 * meant, and is AQ_AS_ELEMENT for a water or a target; with AQ_AS_UNSAID a bare P or K is AQ_AMBIGUOUS.
 *
 * "N" beside forms of nitrogen is their total; what the forms leave is of unknown form. Unknown nitrogen is put
 * down as nitrate and ammonium in the proportion that leaves the least charge. Iron counts as chelated and, as urea
 * does, brings no ions. AQ_CONFLICT where forms exceed the total by more than 2 %, AQ_DUPLICATE where an element
 * comes twice (P and P2O5), AQ_WRONG_KIND for a charge of what has none in water or of nitrogen of unknown form,
 * AQ_UNKNOWN_NAME, AQ_OUT_OF_RANGE for a negative or non-finite amount. */
AQ_API aq_status aq_composition_of_analysis(aq_composition *out, const aq_content *contents, size_t count,
                                            aq_as as, aq_error *err);

/* Makes the charges add to zero: a lack of anions becomes hydrogen carbonate, a lack of cations hydrogen ion.
 * Returns what was added, as in `closed`. */
AQ_API double aq_composition_close(aq_composition *composition);

/* Adds `times` as much of `part` to `sum` (g/L of a dose, or L/L, times what a g or L brings). */
AQ_API void aq_composition_add(aq_composition *sum, const aq_composition *part, double times);

/* eq of cations (ammonium among them, hydrogen ion not) and of anions, in the forms of reference; a base counts as
 * hydroxide, so that both are 2 for K2HPO4. */
AQ_API double aq_composition_cations(const aq_composition *composition);
AQ_API double aq_composition_anions(const aq_composition *composition);

/* Hardness, eq: calcium and magnesium. */
AQ_API double aq_composition_hardness(const aq_composition *composition);

#endif
