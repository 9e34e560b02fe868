/* Every form that an ion takes in water: acids, bases and pairs, with the constants that say how much of each.
 *
 * A species is made of at most one cation, one anion and some hydrogen ions, each in its master form (Ca+2, SO4-2,
 * CO3-2, PO4-3 ...); its molality m follows from  m g = K (cation) (anion) (H+)^n, where ( ) is an activity and g the
 * activity coefficient of the species. */
#ifndef AQ_CHEMISTRY_PAIR_H
#define AQ_CHEMISTRY_PAIR_H

#include "chemistry/ion.h"

/* H+ and OH-; then the master of each ion but the acid, in the order of aq_ion; then the other forms. */
enum {
    AQ_SPECIES_H,
    AQ_SPECIES_OH,
    AQ_SPECIES_MASTER, /* of an ion: see aq_master */
    AQ_FORM_NH3 = AQ_SPECIES_MASTER + AQ_ION_COUNT - 1,
    AQ_FORM_HSO4,
    AQ_FORM_NASO4,
    AQ_FORM_KSO4,
    AQ_FORM_NH4SO4,
    AQ_FORM_CASO4,
    AQ_FORM_MGSO4,
    AQ_FORM_FESO4,
    AQ_FORM_MNSO4,
    AQ_FORM_ZNSO4,
    AQ_FORM_CUSO4,
    AQ_FORM_HCO3,
    AQ_FORM_CO2,
    AQ_FORM_CACO3,
    AQ_FORM_CAHCO3,
    AQ_FORM_MGCO3,
    AQ_FORM_MGHCO3,
    AQ_FORM_NAHCO3,
    AQ_FORM_HPO4,
    AQ_FORM_H2PO4,
    AQ_FORM_H3PO4,
    AQ_FORM_CAPO4,
    AQ_FORM_CAHPO4,
    AQ_FORM_CAH2PO4,
    AQ_FORM_MGPO4,
    AQ_FORM_MGHPO4,
    AQ_FORM_MGH2PO4,
    AQ_FORM_KHPO4,
    AQ_FORM_NAHPO4,
    AQ_FORM_CANO3,
    AQ_FORM_BOH4,
    AQ_FORM_H3SIO4,
    AQ_FORM_HMOO4,
    AQ_FORM_HCITRATE,
    AQ_FORM_H2CITRATE,
    AQ_FORM_H3CITRATE,
    AQ_FORM_HACETATE,
    AQ_SPECIES_COUNT
};
enum { AQ_SPECIES_FORM = AQ_FORM_NH3 };

/* The species that is an ion's master form, such as PO4-3 of phosphate. */
static inline int aq_master(aq_ion ion)
{
    return AQ_SPECIES_MASTER + (int)ion - 1;
}

typedef struct {
    const char *name; /* "CaHCO3+" */
    aq_ion cation;    /* AQ_ION_ACID: none */
    aq_ion anion;     /* or an uncharged acid; AQ_ION_ACID: none */
    int protons;      /* n; negative where hydrogen ions leave */
    int charge;
    int acid;          /* H+ beyond the forms of reference of its ions: HPO4-2 has -1 */
    double log_k;      /* 25 degC, infinite dilution */
    double enthalpy;   /* kJ/mol, of the formation above; used where there is no `by_heat` */
    double by_heat[5]; /* log K = a0 + a1 T + a2/T + a3 log10 T + a4/T^2, T in K; all 0: none */
    double size,
        extra; /* Truesdell-Jones a (angstrom) and b; size 0: Davies, or 0.1 I for an uncharged one */
} aq_species;

AQ_API const aq_species *aq_species_of(int index);

/* The place of a species by its name, AQ_SPECIES_COUNT for none. */
AQ_API int aq_species_find(const char *name);

double aq_species_log_k(int index, double celsius);

/* log10 of a constant by heat, or by its value at 25 degC and its enthalpy (van 't Hoff). */
double aq_log_k(double log_k, double enthalpy, const double by_heat[5], double celsius);

/* log10 of mol/kg of CO2 in water under 1 atm of it. */
double aq_co2_log_k(double celsius);

/* A and B of the Debye-Hueckel equation at a temperature. */
typedef struct {
    double a, b;
} aq_debye;
aq_debye aq_debye_at(double celsius);

/* log10 of the activity coefficients of all species at an ionic strength (mol/kg). */
void aq_activity(double log_gamma[AQ_SPECIES_COUNT], double ionic_strength, aq_debye debye);

/* The density of water, kg/L, 0 to 40 degC. */
double aq_water_density(double celsius);

/* The dielectric constant of water. */
double aq_water_dielectric(double celsius);

#endif
