/* The table of acids.
 *
 * pK of phosphoric acid: 2.148 (NIST), 7.198 (Bates & Acree 1945), 12.35; of citric: 3.128, 4.761, 6.396 (Bates &
 * Pinching 1949); of HSO4-: 1.988; all at 25 degC, from memory but for the last (phreeqc.dat).
 * Example: 67 % nitric
 * acid of 1.40 kg/L has 1400 x 0.67 / 63.012 = 14.89 eq/L; 2.398 meq/L of it bring 33.6 mg/L of N. */
#include "chemistry/acid.h"

#include <math.h>
#include <string.h>

#include "chemistry/formula.h"
#include "chemistry/pair.h"

static const double strong = -3, none = 99;

static const aq_acid acids[] = {
    { "nitric acid", "HNO3", 0, 1, AQ_N_NITRATE, { strong, none, none } },
    { "phosphoric acid", "H3PO4", 0, 1, AQ_P, { 2.148, 7.198, 12.35 } },
    { "sulfuric acid", "H2SO4", 0, 2, AQ_S, { strong, 1.988, none } },
    { "citric acid", "C6H8O7", 0, 3, AQ_NUTRIENT_COUNT, { 3.128, 4.761, 6.396 } },
    { "hydrochloric acid", "HCl", 0, 1, AQ_CL, { strong, none, none } },
    { "acetic acid", "C2H4O2", 0, 1, AQ_NUTRIENT_COUNT, { 4.757, none, none } },
};

bool aq_acid_find(aq_acid *out, const char *name)
{
    static const aq_acid nothing;
    const char *formula = aq_formula_of_name(name);
    aq_formula read;

    *out = nothing;
    for (size_t i = 0; i < sizeof acids / sizeof *acids; i++) {
        if (strcmp(acids[i].formula, formula ? formula : name) != 0)
            continue;
        *out = acids[i];
        if (aq_formula_read(&read, out->formula, NULL) == AQ_OK)
            out->molar_mass = read.molar_mass;
        return true;
    }
    return false;
}

double aq_acid_protons(const aq_acid *acid, double ph)
{
    double form = 1, all = 1, given = 0;

    for (int i = 0; i < AQ_ACID_STEPS; i++) {
        form *= pow(10, ph - acid->pk[i]);
        all += form;
        given += (i + 1) * form;
    }
    return given / all;
}

double aq_acid_strength(const aq_acid *acid, double share, double density, double protons)
{
    return share * density / acid->molar_mass * protons;
}

double aq_acid_brings(const aq_acid *acid, double protons)
{
    return acid->brings == AQ_NUTRIENT_COUNT ? 0 : aq_nutrient_weight(acid->brings) / protons;
}

double aq_bicarbonate_left(double ph, double celsius)
{
    double pk = aq_species_log_k(AQ_FORM_CO2, celsius) - aq_species_log_k(AQ_FORM_HCO3, celsius);

    return 1 / (1 + pow(10, pk - ph));
}
