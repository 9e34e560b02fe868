/* What dissolved matter becomes in water: free ions, acids and pairs, pH, alkalinity, what may come out of
 * solution.
 *
 * Amounts are mol per L of solution; a litre is taken to hold the water of a litre at 25 degC (0.99705 kg), which
 * is right to 0.4 % up to 0.1 mol/L. Activities hold to about 0.5 mol/kg of ionic strength (stock tanks are beyond
 * that: the answer is finite, and only a direction). Costs some microseconds and allocates nothing. */
#ifndef AQ_CHEMISTRY_SPECIATION_H
#define AQ_CHEMISTRY_SPECIATION_H

#include "chemistry/pair.h"

typedef enum {
    AQ_PH_CLOSED, /* pH follows from the amounts; no gas goes in or out */
    AQ_PH_OPEN,   /* pH follows, with the CO2 of the air: gassed off, as a stirred tank is after an hour */
    AQ_PH_GIVEN,  /* `ph` is known; amounts are what they are, and acid is whatever that takes */
    AQ_PH_ALKALINITY /* `ph` is known, and total[AQ_ION_CARBONATE] is the alkalinity that a laboratory calls HCO3, eq/L
                        (HCO3- and twice CO3-2): CO2 comes on top */
} aq_ph_mode;

typedef struct {
    double total[AQ_ION_COUNT]; /* mol/L in the sense of chemistry/ion.h; only the acid may be negative */
    double temperature;         /* degC, 0 to 50 */
    aq_ph_mode mode;
    double ph;  /* AQ_PH_GIVEN, AQ_PH_ALKALINITY */
    double air; /* AQ_PH_OPEN: CO2, atm; 0 takes 10^-3.38 (417 ppm, the air of 2022) */
} aq_solution;

typedef enum { AQ_GYPSUM, AQ_CALCITE, AQ_BRUSHITE, AQ_STRUVITE, AQ_MINERAL_COUNT } aq_mineral;

enum { AQ_ABSENT = -99 }; /* the saturation index of a solid one of whose ions is not there */

typedef struct {
    double ph;
    double ionic_strength; /* mol/kg */
    double cations;        /* eq/L, H+ among them; pairs counted as their ions */
    double anions;
    double alkalinity; /* eq/L */
    double hardness;   /* eq/L */
    double saturation
        [AQ_MINERAL_COUNT]; /* log10 of the ion product over the solubility product; above 0: may form */
    double molality[AQ_SPECIES_COUNT]; /* mol/kg of each form */
    double log_gamma[AQ_SPECIES_COUNT];
    bool settled; /* false only where an iteration reached its limit, which no test has seen */
} aq_speciated;

/* False, and *out zeroed, where a total is negative or not finite, or pH or temperature are outside -1 to 15 and
 * -5 to 100. */
AQ_API bool aq_speciate(aq_speciated *out, const aq_solution *solution);

/* 100 (cations - anions) / (cations + anions): how far an analysis is from adding up; above 5 % it is doubtful. */
AQ_API double aq_charge_balance(const aq_speciated *speciated);

/* "gypsum", and its formula. */
AQ_API const char *aq_mineral_name(aq_mineral mineral);
AQ_API const char *aq_mineral_formula(aq_mineral mineral);

/* For speciation.c: fills `saturation` from the rest. */
void aq_saturate(aq_speciated *speciated, double celsius);

#endif
