/* Acids: how many hydrogen ions a mole gives at a pH, what a litre of a strength neutralises, what comes with it.
 * */
#ifndef AQ_CHEMISTRY_ACID_H
#define AQ_CHEMISTRY_ACID_H

#include "chemistry/composition.h"

enum { AQ_ACID_STEPS = 3 };

typedef struct {
    const char *name, *formula;
    double molar_mass;        /* g/mol, worked out from the formula when the acid is found */
    int protons;              /* that growers' tables count: those given well before pH 5.8 */
    aq_nutrient brings;       /* AQ_NUTRIENT_COUNT: nothing a plant counts */
    double pk[AQ_ACID_STEPS]; /* of each step; strong ones far below 0; 99: no such step */
} aq_acid;

/* By a name of aq_formula_of_name ("nitric", "sulphuric acid") or by formula. False: not an acid we know. */
AQ_API bool aq_acid_find(aq_acid *out, const char *name);

/* H+ given by one molecule when the water ends at `ph`, at infinite dilution and 25 degC: phosphoric 1.04 at 5.8,
 * citric 2.12. */
AQ_API double aq_acid_protons(const aq_acid *acid, double ph);

/* eq/L of an acid of a share of mass and a density, g/L; `protons` as tables count or as aq_acid_protons says. */
AQ_API double aq_acid_strength(const aq_acid *acid, double share, double density, double protons);

/* g of the nutrient that one eq brings: nitric N 14.007, phosphoric (1 proton) P 30.974, sulfuric S 16.03. */
AQ_API double aq_acid_brings(const aq_acid *acid, double protons);

/* The share of carbonate alkalinity that is left (as HCO3-) when acid brings the pH to `ph` and nothing gasses off,
 * and the share that acid must neutralise for it is the rest: 0.22 and 0.78 at 5.8. Below pH 8. */
AQ_API double aq_bicarbonate_left(double ph, double celsius);

#endif
