/* Formulas and labels to nutrients and ions.
 *
 * Example: a label with 12 % P2O5 holds 0.12 x 2 x 30.974 / 141.943 = 0.05237 g of P per g, and as many mol of
 * H2PO4- as of P. Calcium nitrate sold as "N 15.5 %, Ca 19 %" has 11.07 mmol of N of unknown form and 9.48 meq of
 * Ca+2 per g; of the nitrogen x = (11.07 + 9.48) / 2 = 10.27 mmol must be nitrate if nothing else is there: 14.4 %
 * and 1.1 % ammonium, which is how such a bag is labelled where the forms are given. */
#include "chemistry/composition.h"

#include <math.h>
#include <string.h>

#include "chemistry/split.h"

/* A nutrient, its element, and the ion that it becomes (AQ_ION_COUNT: it carries no charge, or the form is
 * unknown). */
static const struct {
    const char *name;
    aq_element element;
    aq_ion ion;
} nutrients[AQ_NUTRIENT_COUNT] = {
    [AQ_N_NITRATE] = { "NO3-N", AQ_EL_N, AQ_ION_NITRATE },
    [AQ_N_AMMONIUM] = { "NH4-N", AQ_EL_N, AQ_ION_AMMONIUM },
    [AQ_N_UREA] = { "urea-N", AQ_EL_N, AQ_ION_COUNT },
    [AQ_N_UNKNOWN] = { "N", AQ_EL_N, AQ_ION_COUNT },
    [AQ_P] = { "P", AQ_EL_P, AQ_ION_PHOSPHATE },
    [AQ_K] = { "K", AQ_EL_K, AQ_ION_POTASSIUM },
    [AQ_CA] = { "Ca", AQ_EL_CA, AQ_ION_CALCIUM },
    [AQ_MG] = { "Mg", AQ_EL_MG, AQ_ION_MAGNESIUM },
    [AQ_S] = { "S", AQ_EL_S, AQ_ION_SULFATE },
    [AQ_NA] = { "Na", AQ_EL_NA, AQ_ION_SODIUM },
    [AQ_CL] = { "Cl", AQ_EL_CL, AQ_ION_CHLORIDE },
    [AQ_FE] = { "Fe", AQ_EL_FE, AQ_ION_COUNT },
    [AQ_MN] = { "Mn", AQ_EL_MN, AQ_ION_MANGANESE },
    [AQ_ZN] = { "Zn", AQ_EL_ZN, AQ_ION_ZINC },
    [AQ_CU] = { "Cu", AQ_EL_CU, AQ_ION_COPPER },
    [AQ_B] = { "B", AQ_EL_B, AQ_ION_BORATE },
    [AQ_MO] = { "Mo", AQ_EL_MO, AQ_ION_MOLYBDATE },
    [AQ_SI] = { "Si", AQ_EL_SI, AQ_ION_SILICATE },
};

/* What labels and laboratories write that is not a nutrient's own name. `nutrient` AQ_NUTRIENT_COUNT: an ion
 * without one. `acid` is mol of H+ per mol that the form has beyond the form of reference. */
static const struct {
    const char *name, *formula;
    aq_nutrient nutrient;
    double acid;
} others[] = {
    { "P2O5", "P2O5", AQ_P, 0 },
    { "K2O", "K2O", AQ_K, 0 },
    { "CaO", "CaO", AQ_CA, 0 },
    { "MgO", "MgO", AQ_MG, 0 },
    { "SO3", "SO3", AQ_S, 0 },
    { "SiO2", "SiO2", AQ_SI, 0 },
    { "Na2O", "Na2O", AQ_NA, 0 },
    { "B2O3", "B2O3", AQ_B, 0 },
    { "NO3", "NO3", AQ_N_NITRATE, 0 },
    { "NH4", "NH4", AQ_N_AMMONIUM, 0 },
    { "SO4", "SO4", AQ_S, 0 },
    { "PO4", "PO4", AQ_P, 0 }, /* a laboratory's way of counting; pH says the form */
    { "H2PO4", "H2PO4", AQ_P, 0 },
    { "HPO4", "HPO4", AQ_P, -1 },
    { "HCO3", "HCO3", AQ_NUTRIENT_COUNT, 0 },
    { "CO3", "CO3", AQ_NUTRIENT_COUNT, -1 },
};

static const double most_form_excess = 0.02; /* labels round each form to 0.1 %; common practice, no source */

const char *aq_nutrient_name(aq_nutrient nutrient)
{
    return nutrients[nutrient].name;
}

aq_nutrient aq_nutrient_find(const char *name)
{
    for (int i = 0; i < AQ_NUTRIENT_COUNT; i++)
        if (nutrients[i].name[0] == name[0] && strcmp(nutrients[i].name, name) == 0)
            return (aq_nutrient)i;
    return AQ_NUTRIENT_COUNT;
}

double aq_nutrient_weight(aq_nutrient nutrient)
{
    return aq_element_of(nutrients[nutrient].element)->weight;
}

double aq_composition_nutrient(const aq_composition *composition, aq_nutrient nutrient)
{
    const double *mass = composition->mass;

    if (nutrient == AQ_N_UNKNOWN)
        return mass[AQ_N_NITRATE] + mass[AQ_N_AMMONIUM] + mass[AQ_N_UREA] + mass[AQ_N_UNKNOWN];
    return mass[nutrient];
}

/* Masses of a salt from its ions: each nutrient by the ion of its row, iron by its own. */
static void masses_of_ions(aq_composition *out, double urea)
{
    for (int i = 0; i < AQ_NUTRIENT_COUNT; i++)
        if (nutrients[i].ion != AQ_ION_COUNT)
            out->mass[i] = out->ion[nutrients[i].ion] * aq_nutrient_weight((aq_nutrient)i);
    out->mass[AQ_FE] = out->ion[AQ_ION_IRON] * aq_nutrient_weight(AQ_FE);
    out->mass[AQ_N_UREA] = 2 * urea * aq_nutrient_weight(AQ_N_UREA);
}

aq_status aq_composition_of_formula(aq_composition *out, const char *formula, aq_error *err)
{
    static const aq_composition nothing;
    aq_place nowhere = { 0 };
    aq_formula read;
    double urea;
    aq_status status = aq_formula_read(&read, formula, err);

    *out = nothing;
    if (status != AQ_OK)
        return status;
    if (!aq_split(out->ion, &urea, &read)) {
        *out = nothing;
        return aq_fail(err, AQ_INVALID, nowhere,
                       "formula %s cannot be split into the ions that we know; give the part by its analysis",
                       formula);
    }
    for (int i = 0; i < AQ_ION_COUNT; i++)
        out->ion[i] /= read.molar_mass;
    masses_of_ions(out, urea / read.molar_mass);
    return AQ_OK;
}

/* The words of one entry: what it counts. */
typedef struct {
    aq_nutrient nutrient; /* AQ_NUTRIENT_COUNT: carbonate */
    const char *formula;  /* NULL: the nutrient's element */
    double acid;
} reading;

/* P and K of a label that does not say how they are counted: the question that the document answers with `as`. */
static aq_status ask_as(const aq_content *content, aq_nutrient nutrient, aq_error *err)
{
    static const aq_question question = {
        "as", 2, { { "oxide", "P as P2O5, K as K2O" }, { "element", "P and K themselves" } }
    };
    bool first = err && err->status == AQ_OK;
    aq_status status =
        aq_fail(err, AQ_AMBIGUOUS, content->place, "%s may be meant as the element or as its oxide %s",
                content->name, nutrient == AQ_P ? "P2O5" : "K2O");

    if (first)
        err->question = question;
    return status;
}

static aq_status read_name(reading *out, const aq_content *content, aq_as as, aq_error *err)
{
    aq_nutrient nutrient = aq_nutrient_find(content->name);

    if ((nutrient == AQ_P || nutrient == AQ_K) && as == AQ_AS_UNSAID)
        return ask_as(content, nutrient, err);
    if (nutrient != AQ_NUTRIENT_COUNT) {
        out->nutrient = nutrient;
        out->formula = NULL;
        out->acid = 0;
        if (as == AQ_AS_OXIDE && nutrient == AQ_P)
            out->formula = "P2O5";
        if (as == AQ_AS_OXIDE && nutrient == AQ_K)
            out->formula = "K2O";
        return AQ_OK;
    }
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (strcmp(others[i].name, content->name) == 0) {
            out->nutrient = others[i].nutrient;
            out->formula = others[i].formula;
            out->acid = others[i].acid;
            return AQ_OK;
        }
    return aq_fail(err, AQ_UNKNOWN_NAME, content->place,
                   "\"%s\" is not a nutrient, an oxide or an ion that we know", content->name);
}

/* g of the entry's formula in a mol, and how many atoms of the nutrient it has. */
static aq_status weigh(const reading *what, double *molar_mass, double *atoms, aq_error *err)
{
    aq_formula formula;
    aq_status status;

    if (!what->formula) {
        *molar_mass = aq_nutrient_weight(what->nutrient);
        *atoms = 1;
        return AQ_OK;
    }
    status = aq_formula_read(&formula, what->formula, err);
    if (status != AQ_OK)
        return status;
    *molar_mass = formula.molar_mass;
    *atoms = what->nutrient == AQ_NUTRIENT_COUNT ? 0 : formula.count[nutrients[what->nutrient].element];
    return AQ_OK;
}

static aq_status add_content(aq_composition *out, const aq_content *content, aq_as as, bool *seen,
                             aq_error *err)
{
    reading what = { AQ_NUTRIENT_COUNT, "", 0 };
    double molar_mass, atoms;
    aq_status status = read_name(&what, content, as, err);

    if (status == AQ_OK && !(content->amount >= 0 && content->amount <= 1e15))
        status = aq_fail(err, AQ_OUT_OF_RANGE, content->place, "%s must be 0 or more", content->name);
    if (status == AQ_OK)
        status = weigh(&what, &molar_mass, &atoms, err);
    if (status != AQ_OK)
        return status;
    double mol = content->molar ? content->amount : content->amount / molar_mass;
    if (what.nutrient == AQ_NUTRIENT_COUNT) {
        out->ion[AQ_ION_CARBONATE] += mol;
        out->ion[AQ_ION_ACID] += mol * what.acid;
        return AQ_OK;
    }
    if (seen[what.nutrient])
        return aq_fail(err, AQ_DUPLICATE, content->place, "%s is given twice",
                       aq_nutrient_name(what.nutrient));
    seen[what.nutrient] = true;
    mol *= atoms;
    out->mass[what.nutrient] = mol * aq_nutrient_weight(what.nutrient);
    out->ion[AQ_ION_ACID] += mol * what.acid;
    return AQ_OK;
}

/* "N" beside its forms is their total. */
static aq_status settle_nitrogen(aq_composition *out, const bool *seen, aq_place place, aq_error *err)
{
    double *mass = out->mass;
    double forms = mass[AQ_N_NITRATE] + mass[AQ_N_AMMONIUM] + mass[AQ_N_UREA];

    if (!seen[AQ_N_UNKNOWN] || forms <= 0)
        return AQ_OK;
    if (forms > mass[AQ_N_UNKNOWN] * (1 + most_form_excess))
        return aq_fail(err, AQ_CONFLICT, place,
                       "the forms of nitrogen add to more than N, which counts them all");
    mass[AQ_N_UNKNOWN] = forms > mass[AQ_N_UNKNOWN] ? 0 : mass[AQ_N_UNKNOWN] - forms;
    return AQ_OK;
}

static void ions_of_masses(aq_composition *out)
{
    for (int i = 0; i < AQ_NUTRIENT_COUNT; i++)
        if (nutrients[i].ion != AQ_ION_COUNT)
            out->ion[nutrients[i].ion] = out->mass[i] / aq_nutrient_weight((aq_nutrient)i);
    double unknown = out->mass[AQ_N_UNKNOWN] / aq_nutrient_weight(AQ_N_UNKNOWN);
    double nitrate = fmin(fmax((unknown + aq_ion_charge(out->ion)) / 2, 0), unknown);
    out->ion[AQ_ION_NITRATE] += nitrate;
    out->ion[AQ_ION_AMMONIUM] += unknown - nitrate;
}

/* Laboratories report charges too, as meq/L or as mg/L of CaCO3: 2 meq/L of Ca are 1 mmol/L. A mole of it carries what
 * its own ions do. */
static aq_status of_charge(aq_content *content, aq_as as, aq_error *err)
{
    aq_content mole = { .name = content->name, .amount = 1, .molar = true, .place = content->place };
    aq_composition holds;
    aq_status status = aq_composition_of_analysis(&holds, &mole, 1, as, err);
    double charge = 0;

    if (status != AQ_OK)
        return status;
    if (!(holds.mass[AQ_N_UNKNOWN] > 0))
        charge = fmax(aq_composition_cations(&holds), aq_composition_anions(&holds));
    if (!(charge > 0))
        return aq_fail(err, AQ_WRONG_KIND, content->place,
                       "%s: its charge in water is not known, so say it by mass, like 5 mg/L", content->name);
    content->amount /= charge;
    content->molar = true;
    content->charged = false;
    return AQ_OK;
}

aq_status aq_composition_of_analysis(aq_composition *out, const aq_content *contents, size_t count, aq_as as,
                                     aq_error *err)
{
    static const aq_composition nothing;
    bool seen[AQ_NUTRIENT_COUNT] = { false };
    aq_place place = { 0 };
    aq_status status = AQ_OK;

    *out = nothing;
    for (size_t i = 0; status == AQ_OK && i < count; i++) {
        aq_content content = contents[i];

        status = content.charged ? of_charge(&content, as, err) : AQ_OK;
        if (status == AQ_OK)
            status = add_content(out, &content, as, seen, err);
        if (strcmp(contents[i].name, "N") == 0)
            place = contents[i].place;
    }
    if (status == AQ_OK)
        status = settle_nitrogen(out, seen, place, err);
    if (status == AQ_OK)
        ions_of_masses(out);
    else
        *out = nothing;
    return status;
}

double aq_composition_close(aq_composition *composition)
{
    double charge = aq_ion_charge(composition->ion);

    composition->ion[charge > 0 ? AQ_ION_CARBONATE : AQ_ION_ACID] += fabs(charge);
    composition->closed += charge;
    return charge;
}

void aq_composition_add(aq_composition *sum, const aq_composition *part, double times)
{
    for (int i = 0; i < AQ_NUTRIENT_COUNT; i++)
        sum->mass[i] += part->mass[i] * times;
    for (int i = 0; i < AQ_ION_COUNT; i++)
        sum->ion[i] += part->ion[i] * times;
    sum->closed += part->closed * times;
}

/* The eq of ions whose charge has the sign of `sign`. */
static double charges(const aq_composition *composition, int sign)
{
    double sum = 0;

    for (int i = AQ_ION_ACID + 1; i < AQ_ION_COUNT; i++)
        if (aq_ion_of((aq_ion)i)->charge * sign > 0)
            sum += composition->ion[i] * aq_ion_of((aq_ion)i)->charge * sign;
    return sum;
}

double aq_composition_cations(const aq_composition *composition)
{
    return charges(composition, 1);
}

double aq_composition_anions(const aq_composition *composition)
{
    return charges(composition, -1) + fmax(0, -composition->ion[AQ_ION_ACID]);
}

double aq_composition_hardness(const aq_composition *composition)
{
    return 2 * (composition->ion[AQ_ION_CALCIUM] + composition->ion[AQ_ION_MAGNESIUM]);
}
