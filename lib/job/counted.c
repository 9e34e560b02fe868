/* What an amount of one thing comes to when it is counted as another. */
#include "job/counted.h"

#include "chemistry/composition.h"
#include "chemistry/formula.h"
#include "chemistry/ion.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is weighed as an element is named for what holds it: NO3-N is N. NULL where the name is not of that form. */
static const char *element_behind(const char *name)
{
    const char *dash = strrchr(name, '-');
    aq_formula holder, element;
    char before[16];
    size_t length = dash ? (size_t)(dash - name) : 0;

    if (!length || length >= sizeof before)
        return NULL;
    memcpy(before, name, length);
    before[length] = '\0';
    if (aq_formula_read(&holder, before, NULL) != AQ_OK || aq_formula_read(&element, dash + 1, NULL) != AQ_OK)
        return NULL;
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        if (element.count[i] > 0 && !(holder.count[i] > 0))
            return NULL;
    return dash + 1;
}

const char *aq_counted_formula(const char *name)
{
    const char *known = aq_formula_of_name(name);

    if (!known)
        known = element_behind(name);
    return known ? known : name;
}

int aq_counted_charges(const char *name)
{
    size_t named = element_behind(name) ? (size_t)(strrchr(name, '-') - name) : strlen(name);
    static const struct {
        const char *formula;
        int charges;
    } counted[] = { { "CaCO3", 2 }, { "CaO", 2 },  { "MgO", 2 }, { "CO3", 2 },
                    { "OH", 1 },    { "HPO4", 2 }, { "PO4", 3 } };

    for (size_t i = 0; i < sizeof counted / sizeof *counted; i++)
        if (strlen(counted[i].formula) == named && strncmp(counted[i].formula, name, named) == 0)
            return counted[i].charges;
    for (int i = 0; i < AQ_ION_COUNT; i++) {
        const aq_ion_facts *ion = aq_ion_of((aq_ion)i);
        size_t length = strcspn(ion->formula, "+-");

        if (named == length && strncmp(name, ion->formula, length) == 0)
            return abs(ion->charge);
    }
    return 0;
}

/* Carbon beside hydrogen: a hormone, an alcohol, an acid of plants. */
static bool organic(const aq_formula *formula)
{
    return formula->count[AQ_EL_C] > 0 && formula->count[AQ_EL_H] > 0;
}

/* The same organic substance but for hydrogen, water and the metal of its salt. */
static bool alike(const aq_formula *a, const aq_formula *b)
{
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        if (i != AQ_EL_H && i != AQ_EL_O && i != AQ_EL_K && i != AQ_EL_NA && a->count[i] != b->count[i])
            return false;
    return true;
}

/* Nitrogen of one form in a g of a salt: of NH4NO3 as NO3-N half of its nitrogen. False where that form is not meant. */
static bool nitrogen_as(double *factor, const char *of, const char *as)
{
    static const struct {
        const char *name;
        aq_nutrient form;
        bool whole; /* the ion, not its N */
    } forms[] = { { "NO3-N", AQ_N_NITRATE, false },
                  { "NO3", AQ_N_NITRATE, true },
                  { "NH4-N", AQ_N_AMMONIUM, false },
                  { "NH4", AQ_N_AMMONIUM, true } };
    aq_composition holds;
    double ion = 1;

    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        if (strcmp(forms[i].name, as) != 0 ||
            aq_composition_of_formula(&holds, aq_counted_formula(of), NULL) != AQ_OK)
            continue;
        if (forms[i].whole && aq_formula_factor(&ion, "N", forms[i].name, NULL) != AQ_OK)
            return false;
        *factor = holds.mass[forms[i].form] * ion;
        return *factor > 0;
    }
    return false;
}

/* 122 mg/L of HCO3 are 100 mg/L CaCO3: what takes up as much acid, or stands for as much hardness. */
static bool by_charge(double *factor, const char *of, const char *as, const aq_formula *a,
                      const aq_formula *b)
{
    int own = aq_counted_charges(of), wanted = aq_counted_charges(as);

    if ((strcmp(of, "CaCO3") != 0 && strcmp(as, "CaCO3") != 0) || !own || !wanted)
        return false;
    *factor = b->molar_mass / wanted / (a->molar_mass / own);
    return true;
}

aq_status aq_counted_as(double *factor, const char *of, const char *as, aq_error *err)
{
    aq_formula a, b;
    aq_status status = aq_formula_read(&a, aq_counted_formula(of), err);

    *factor = 0;
    if (status == AQ_OK)
        status = aq_formula_read(&b, aq_counted_formula(as), err);
    if (status != AQ_OK)
        return status;
    if (organic(&b) && (organic(&a) ? !alike(&a, &b) : !(a.count[AQ_EL_C] > 0)))
        return aq_fail(err, AQ_CONFLICT, (aq_place){ 0 }, "%s is another substance than %s", as, of);
    if (by_charge(factor, of, as, &a, &b) || nitrogen_as(factor, of, as))
        return AQ_OK;
    return aq_formula_factor(factor, aq_counted_formula(of), aq_counted_formula(as), err);
}
