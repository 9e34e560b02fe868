/* Speciation: three nested solutions of one set of equations.
 *
 *  - pairs, at known pH and activity coefficients: chemistry/pairing.c.
 *  - pH, where it is asked: H+ counted over the forms of reference must add up to the acid put in. That sum falls as pH
 *    rises, so the root is bracketed, and Newton's method is kept inside. Because hydrogen ions are counted and not
 *    charges, a water analysis that does not balance still has a sensible pH.
 *  - ionic strength I: the coefficients at I give forms whose ionic strength must be I; secant steps, bracketed.
 *
 * Example: 1 mmol/L of NaHCO3, closed, at 25 degC has pH 8.27; open to air of 417 ppm CO2, 8.18. */
#include "chemistry/speciation.h"

#include <math.h>

#include "chemistry/pairing.h"

static const double water = 0.99705; /* kg in a litre; density of water at 25 degC, CRC Handbook */
static const double ln10 = 2.302585092994046;

/* The ions in the order of aq_pairing's anions. */
static const aq_ion paired[AQ_PAIRED] = { AQ_ION_SULFATE, AQ_ION_CARBONATE, AQ_ION_PHOSPHATE,
                                          AQ_ION_NITRATE };

/* A form that this solution can hold; places in aq_pairing, -1: none. */
typedef struct {
    int species, cation, anion;
    aq_ion lone;     /* the partner, where it pairs with nothing but H+; AQ_ION_ACID: none */
    double log_k, k; /* of activities; of molalities but for H+ */
    double term;     /* k (H+)^n */
} form;

typedef struct {
    const aq_solution *in;
    aq_speciated *out;
    aq_debye debye;
    double total[AQ_ION_COUNT]; /* mol/kg */
    aq_ion cations[AQ_PAIRING_CATIONS];
    form forms[AQ_SPECIES_COUNT];
    size_t count;
    int live[AQ_SPECIES_COUNT]; /* species that may be above 0 */
    size_t lives;
    aq_pairing pairing;
    double lone[AQ_ION_COUNT]; /* forms of an ion without pairs, per free master */
    double free[AQ_ION_COUNT]; /* of those */
    double log_k_water, h;     /* activity of H+ */
    double carbon_dioxide;     /* open: activity of CO2 in water */
    double excess, slope;      /* H+ counted less the acid put in; its derivative by pH, near enough */
} work;

static int paired_place(aq_ion ion)
{
    for (int j = 0; j < AQ_PAIRED; j++)
        if (paired[j] == ion)
            return j;
    return -1;
}

static int cation_place(const work *w, aq_ion ion)
{
    for (size_t i = 0; i < w->pairing.cations; i++)
        if (w->cations[i] == ion)
            return (int)i;
    return -1;
}

static bool is_open(const work *w)
{
    return w->in->mode == AQ_PH_OPEN;
}

static bool has_ph(const aq_solution *in)
{
    return in->mode == AQ_PH_GIVEN || in->mode == AQ_PH_ALKALINITY;
}

static bool present(const work *w, aq_ion ion)
{
    return ion == AQ_ION_ACID || w->total[ion] > 0 || (ion == AQ_ION_CARBONATE && is_open(w));
}

static void choose_ions(work *w)
{
    aq_pairing *p = &w->pairing;

    w->live[w->lives++] = AQ_SPECIES_H;
    w->live[w->lives++] = AQ_SPECIES_OH;
    for (int i = AQ_ION_ACID + 1; i < AQ_ION_COUNT; i++) {
        aq_ion ion = (aq_ion)i;
        int j = paired_place(ion);

        if (!present(w, ion))
            continue;
        w->live[w->lives++] = aq_master(ion);
        if (j >= 0) {
            p->unknown[j] = !(ion == AQ_ION_CARBONATE && is_open(w));
            p->total_anion[j] = w->total[ion];
        } else if (aq_ion_of(ion)->charge > 0) {
            p->total[p->cations] = w->total[ion];
            w->cations[p->cations++] = ion;
        }
    }
}

static void choose_forms(work *w)
{
    for (int s = AQ_SPECIES_FORM; s < AQ_SPECIES_COUNT; s++) {
        const aq_species *species = aq_species_of(s);
        form *f = &w->forms[w->count];

        if (!present(w, species->cation) || !present(w, species->anion))
            continue;
        f->species = s;
        f->cation = species->cation == AQ_ION_ACID ? -1 : cation_place(w, species->cation);
        f->anion = species->anion == AQ_ION_ACID ? -1 : paired_place(species->anion);
        f->lone = f->anion < 0 ? species->anion : AQ_ION_ACID;
        f->log_k = aq_species_log_k(s, w->in->temperature);
        w->live[w->lives++] = s;
        w->count++;
    }
    w->log_k_water = aq_species_log_k(AQ_SPECIES_OH, w->in->temperature);
}

/* Constants of molalities from those of activities. */
static void condition(work *w, double ionic_strength)
{
    const double *lg = w->out->log_gamma;

    aq_activity(w->out->log_gamma, ionic_strength, w->debye);
    for (size_t i = 0; i < w->count; i++) {
        form *f = &w->forms[i];
        const aq_species *species = aq_species_of(f->species);
        double log_k = f->log_k - lg[f->species];

        if (species->cation != AQ_ION_ACID)
            log_k += lg[aq_master(species->cation)];
        if (species->anion != AQ_ION_ACID)
            log_k += lg[aq_master(species->anion)];
        f->k = exp(ln10 * log_k);
    }
}

static double h_power(double h, int n)
{
    switch (n) {
    case -1:
        return 1 / h;
    case 0:
        return 1;
    case 1:
        return h;
    case 2:
        return h * h;
    default:
        return h * h * h;
    }
}

/* What one mol of a carbonate counts in its balance: as alkalinity, HCO3- 1, CO3-2 2, CO2 0. */
static double weight(const work *w, const aq_species *species)
{
    return w->in->mode == AQ_PH_ALKALINITY ? 1 - species->acid : 1;
}

/* The coefficients of the pairing, and of the ions without pairs, at the present pH. */
static void gather(work *w)
{
    aq_pairing *p = &w->pairing;

    for (size_t i = 0; i < p->cations; i++) {
        p->alone[i] = 1;
        p->counted[i] = 0;
        for (int j = 0; j < AQ_PAIRED; j++)
            p->b[i][j] = 0;
    }
    for (int j = 0; j < AQ_PAIRED; j++)
        p->alone_anion[j] = 1;
    for (int i = 0; i < AQ_ION_COUNT; i++)
        w->lone[i] = 1;
    p->counted_alone = weight(w, aq_species_of(aq_master(AQ_ION_CARBONATE)));
    for (size_t i = 0; i < w->count; i++) {
        form *f = &w->forms[i];
        const aq_species *species = aq_species_of(f->species);

        f->term = f->k * h_power(w->h, species->protons);
        if (f->lone != AQ_ION_ACID)
            w->lone[f->lone] += f->term;
        else if (f->anion < 0)
            p->alone[f->cation] += f->term;
        else if (f->cation < 0)
            p->alone_anion[f->anion] += f->term;
        else
            p->b[f->cation][f->anion] += f->term;
        if (f->anion == AQ_PAIRED_CARBONATE)
            *(f->cation < 0 ? &p->counted_alone : &p->counted[f->cation]) += f->term * weight(w, species);
    }
}

/* The molality of every form, from the free masters. */
static void spread(work *w)
{
    double *m = w->out->molality;
    const aq_pairing *p = &w->pairing;

    m[AQ_SPECIES_H] = w->h * exp(-ln10 * w->out->log_gamma[AQ_SPECIES_H]);
    m[AQ_SPECIES_OH] = exp(ln10 * (w->log_k_water - w->out->log_gamma[AQ_SPECIES_OH])) / w->h;
    for (int i = AQ_ION_ACID + 1; i < AQ_ION_COUNT; i++)
        m[aq_master((aq_ion)i)] = w->free[i];
    for (size_t i = 0; i < p->cations; i++)
        m[aq_master(w->cations[i])] = p->free[i];
    for (int j = 0; j < AQ_PAIRED; j++)
        m[aq_master(paired[j])] = p->free_anion[j];
    for (size_t i = 0; i < w->count; i++) {
        const form *f = &w->forms[i];
        double value = f->term;

        if (f->cation >= 0)
            value *= p->free[f->cation];
        if (f->anion >= 0)
            value *= p->free_anion[f->anion];
        if (f->lone != AQ_ION_ACID)
            value *= w->free[f->lone];
        m[f->species] = value;
    }
}

/* The ion whose forms of different acid a species belongs to. */
static aq_ion family(int s)
{
    const aq_species *species = aq_species_of(s);

    if (s < AQ_SPECIES_MASTER)
        return AQ_ION_ACID;
    if (s < AQ_SPECIES_FORM)
        return (aq_ion)(s - AQ_SPECIES_MASTER + 1);
    return species->anion != AQ_ION_ACID ? species->anion : species->cation;
}

/* H+ counted over the forms of reference, and how it falls with pH: each family gives the variance of its acid. */
static void count_acid(work *w)
{
    double all[AQ_ION_COUNT] = { 0 }, first[AQ_ION_COUNT] = { 0 }, second[AQ_ION_COUNT] = { 0 };
    bool open = is_open(w);

    for (size_t i = 0; i < w->lives; i++) {
        double m = w->out->molality[w->live[i]];
        aq_ion of = family(w->live[i]);
        /* CO2 that comes or goes takes a hydrogen ion and HCO3- together */
        double acid = aq_species_of(w->live[i])->acid - (open && of == AQ_ION_CARBONATE ? 1 : 0);

        all[of] += m;
        first[of] += acid * m;
        second[of] += acid * acid * m;
    }
    w->excess = (open ? w->total[AQ_ION_CARBONATE] : 0) - w->total[AQ_ION_ACID];
    w->slope = 0;
    for (int i = 0; i < AQ_ION_COUNT; i++) {
        bool kept = i != AQ_ION_ACID && !(open && i == AQ_ION_CARBONATE) && all[i] > 0;
        w->excess += first[i];
        w->slope -= ln10 * (second[i] - (kept ? first[i] * first[i] / all[i] : 0));
    }
}

static bool at_ph(work *w, double ph, bool warm)
{
    w->h = exp(-ln10 * ph);
    w->out->ph = ph;
    gather(w);
    for (int i = AQ_ION_ACID + 1; i < AQ_ION_COUNT; i++)
        w->free[i] = w->total[i] / w->lone[i];
    if (is_open(w)) {
        double co2 = w->carbon_dioxide * exp(-ln10 * w->out->log_gamma[AQ_FORM_CO2]);
        for (size_t i = 0; i < w->count; i++)
            if (w->forms[i].species == AQ_FORM_CO2)
                w->pairing.free_anion[AQ_PAIRED_CARBONATE] = co2 / w->forms[i].term;
    }
    bool settled = aq_pairing_solve(&w->pairing, warm);
    spread(w);
    return settled;
}

/* pH from the acid, to `near`, starting from `start`. The slope that count_acid knows leaves out how pairs shift,
 * so it serves the first step only; the later ones are secants, and past thirty the bracket is halved. */
static bool find_ph(work *w, double start, double near, bool warm)
{
    double low = -2, high = 16, ph = start, before = 0, excess_before = 0;

    for (int turn = 0; turn < 100; turn++) {
        if (!at_ph(w, ph, warm || turn > 0))
            return false;
        count_acid(w);
        if (w->excess > 0)
            low = ph;
        else
            high = ph;
        double slope = turn > 0 ? (w->excess - excess_before) / (ph - before) : w->slope;
        double step = -w->excess / (slope < 0 ? slope : w->slope);
        if (fabs(step) < near || high - low < 1e-12)
            return true;
        before = ph;
        excess_before = w->excess;
        ph += fmin(fmax(step, -2), 2);
        if (!(ph > low && ph < high) || turn > 30)
            ph = (low + high) / 2;
    }
    return false;
}

static double ionic_strength(const work *w)
{
    double sum = 0;

    for (size_t i = 0; i < w->lives; i++) {
        int charge = aq_species_of(w->live[i])->charge;
        sum += charge * charge * w->out->molality[w->live[i]];
    }
    return sum / 2;
}

/* As if nothing paired. */
static double first_strength(const work *w)
{
    double sum = 1e-7;

    for (int i = 0; i < AQ_ION_COUNT; i++) {
        int charge = aq_ion_of((aq_ion)i)->charge;
        sum += charge * charge * fabs(w->total[i]) / 2;
    }
    return sum;
}

/* The ionic strength that gives itself. The first turns know pH only as well as they know I. */
static bool settle(work *w)
{
    double low = 0, high = INFINITY, at = first_strength(w), before = 0, miss_before = 0, near = 1e-3;

    for (int turn = 0; turn < 60; turn++) {
        condition(w, at);
        if (!(has_ph(w->in) ? at_ph(w, w->in->ph, turn > 0)
                            : find_ph(w, turn > 0 ? w->out->ph : 7, near, turn > 0)))
            return false;
        double is = ionic_strength(w), miss = is - at;
        w->out->ionic_strength = is;
        if (fabs(miss) <= 1e-11 * is + 1e-16 && near <= 1e-10)
            return true;
        near = fmin(fmax(1e-3 * fabs(miss) / is, 1e-11), 1e-3);
        if (miss > 0)
            low = at;
        else
            high = at;
        double next = is;
        if (turn > 0 && miss != miss_before)
            next = at - miss * (at - before) / (miss - miss_before);
        before = at;
        miss_before = miss;
        if (!(next > low && next < high))
            next = high < INFINITY && turn > 8 ? (low + high) / 2 : is;
        if (high - low <= 1e-12 * high && near <= 1e-10)
            return true;
        at = next;
    }
    return false;
}

static bool acceptable(const aq_solution *in)
{
    for (int i = 0; i < AQ_ION_COUNT; i++)
        if (!(fabs(in->total[i]) <= 50) || (i != AQ_ION_ACID && in->total[i] < 0))
            return false;
    if (has_ph(in) && !(in->ph >= -1 && in->ph <= 15))
        return false;
    return in->temperature >= -5 && in->temperature <= 100 && in->air >= 0 && in->air <= 100;
}

/* What the caller reads, per litre. */
static void sum_up(work *w)
{
    aq_speciated *out = w->out;
    double charge = 0, cations = out->molality[AQ_SPECIES_H], carbonate = 0, acid = 0;

    for (size_t i = 0; i < w->lives; i++) {
        int s = w->live[i];
        charge += aq_species_of(s)->charge * out->molality[s];
        acid += aq_species_of(s)->acid * out->molality[s];
        if (family(s) == AQ_ION_CARBONATE)
            carbonate += out->molality[s];
    }
    for (size_t i = 0; i < w->pairing.cations; i++)
        cations += aq_ion_of(w->cations[i])->charge * w->pairing.total[i];
    cations -= out->molality[AQ_FORM_NH3];
    out->cations = cations * water;
    out->anions = (cations - charge) * water;
    out->alkalinity = (carbonate - acid) * water;
    out->hardness = 2 * (w->total[AQ_ION_CALCIUM] + w->total[AQ_ION_MAGNESIUM]) * water;
}

bool aq_speciate(aq_speciated *out, const aq_solution *solution)
{
    static const aq_speciated nothing;
    work w = { .in = solution, .out = out, .debye = aq_debye_at(solution->temperature) };

    *out = nothing;
    if (!acceptable(solution))
        return false;
    for (int i = 0; i < AQ_ION_COUNT; i++)
        w.total[i] = solution->total[i] / water;
    if (is_open(&w))
        w.carbon_dioxide = (solution->air > 0 ? solution->air : exp(-ln10 * 3.38)) *
                           exp(ln10 * aq_co2_log_k(solution->temperature));
    choose_ions(&w);
    choose_forms(&w);
    out->settled = settle(&w);
    sum_up(&w);
    aq_saturate(out, solution->temperature);
    return true;
}

double aq_charge_balance(const aq_speciated *speciated)
{
    double sum = speciated->cations + speciated->anions;

    return sum > 0 ? 100 * (speciated->cations - speciated->anions) / sum : 0;
}
