/* A formula split into ions by counting its atoms.
 *
 * Each element but H, O, N and C has one ion of reference, so its atoms give the amount. What is left is n mol of
 * nitrate among N mol of nitrogen, h mol of H+ and w mol of water, and three conditions fix them:
 *
 *     charge  h = -(Z + (N - n) - n)           Z, H', O': charge, H and O of the other ions
 *     oxygen  O = O' + 3 n + w                 4 (N - n): the hydrogen of ammonium
 *     hydrogen H = H' + 4 (N - n) + h + 2 w
 *
 * which give 8 n = H' + 3 N - Z + 2 (O - O') - H. A formula in another state of oxidation (sulfite, nitrite,
 * iron(III), peroxide) gives an n that is not a whole number from 0 to N, and is refused.
 * Example: NH4H2PO4 has N = 1, Z = -1, H' = 2, O' = O = 4, H = 6: n = (2 + 3 + 1 + 0 - 6) / 8 = 0, so it is
 * ammonium. */
#include "chemistry/split.h"

#include <math.h>

static bool whole(double value)
{
    return fabs(value - round(value)) < 1e-6;
}

/* CO(NH2)2 in any spelling; `times` is how many. */
static bool is_urea(const double *count, double *times)
{
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        if (count[i] > 0 && i != AQ_EL_C && i != AQ_EL_H && i != AQ_EL_N && i != AQ_EL_O)
            return false;
    *times = count[AQ_EL_C];
    return *times > 0 && count[AQ_EL_O] == *times && count[AQ_EL_N] == 2 * *times &&
           count[AQ_EL_H] == 4 * *times;
}

/* The ions whose element alone gives their amount; false where an element has no ion. */
static bool split_plain(double *ions, const double *count)
{
    bool known[AQ_ELEMENT_COUNT] = { [AQ_EL_H] = true, [AQ_EL_O] = true, [AQ_EL_N] = true, [AQ_EL_C] = true };

    for (int i = 0; i < AQ_ION_COUNT; i++) {
        aq_element element = aq_ion_of((aq_ion)i)->element;
        if (element == AQ_EL_H || element == AQ_EL_N || element == AQ_EL_C)
            continue;
        ions[i] = count[element];
        known[element] = true;
    }
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        if (count[i] > 0 && !known[i])
            return false;
    return true;
}

/* Nitrogen and acid by the three conditions, with the carbon already put down as one of its ions. */
static bool split_nitrogen(double *ions, const double *count)
{
    double charge = aq_ion_charge(ions), hydrogen = 0, oxygen = 0, nitrogen = count[AQ_EL_N];

    for (int i = 0; i < AQ_ION_COUNT; i++) {
        hydrogen += ions[i] * aq_ion_of((aq_ion)i)->atoms[AQ_EL_H];
        oxygen += ions[i] * aq_ion_of((aq_ion)i)->atoms[AQ_EL_O];
    }
    double nitrate = (hydrogen + 3 * nitrogen - charge + 2 * (count[AQ_EL_O] - oxygen) - count[AQ_EL_H]) / 8;
    if (!whole(nitrate) || nitrate < -1e-6 || nitrate > nitrogen + 1e-6)
        return false;
    ions[AQ_ION_NITRATE] = fmax(0, round(nitrate));
    ions[AQ_ION_AMMONIUM] = nitrogen - ions[AQ_ION_NITRATE];
    ions[AQ_ION_ACID] = -aq_ion_charge(ions);
    return true;
}

static bool split_component(double *ions, double *urea, const double *count)
{
    static const aq_ion carbons[] = { AQ_ION_CARBONATE, AQ_ION_CITRATE, AQ_ION_ACETATE };
    double plain[AQ_ION_COUNT] = { 0 };

    if (is_urea(count, urea))
        return true;
    if (!split_plain(plain, count))
        return false;
    for (size_t i = 0; i < sizeof carbons / sizeof *carbons; i++) {
        for (int k = 0; k < AQ_ION_COUNT; k++)
            ions[k] = plain[k];
        ions[carbons[i]] = count[AQ_EL_C] / aq_ion_of(carbons[i])->atoms[AQ_EL_C];
        if (whole(ions[carbons[i]]) && split_nitrogen(ions, count))
            return true;
    }
    return false;
}

bool aq_split(double ions[AQ_ION_COUNT], double *urea, const aq_formula *formula)
{
    *urea = 0;
    for (int i = 0; i < AQ_ION_COUNT; i++)
        ions[i] = 0;
    for (size_t part = 0; part < formula->components; part++) {
        double times = formula->component[part].times, these[AQ_ION_COUNT] = { 0 }, this_urea = 0;

        if (!split_component(these, &this_urea, formula->component[part].count))
            return false;
        *urea += times * this_urea;
        for (int i = 0; i < AQ_ION_COUNT; i++)
            ions[i] += times * these[i];
    }
    return true;
}
