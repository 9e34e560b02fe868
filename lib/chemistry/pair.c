/* The table of species.
 *
 * One consistent set: wateq4f.dat as shipped with PHREEQC (Parkhurst & Appelo), with the phosphate acid H3PO4 from
 * phreeqc.dat, citrate, acetate, molybdate and CaNO3+ from minteq.v4.dat. Three warnings that the choice heeds:
 *   - KSO4- and NH4SO4- of the newer phreeqc.dat (1.18, 1.353) go with that file's own transport parameters; the
 *     conductivities of lib/chemistry/mobility.c were fitted with 0.85, so 0.85 and 1.11 stand here.
 *   - CaHCO3+ of the newer phreeqc.dat is in effect switched off (6.27); 11.435 = 1.106 + 10.329 stands here.
 *   - nitrate pairs are in minteq.v4.dat only (CaNO3+, 0.5).
 * `by_heat` is wateq4f.dat's analytic expression, from memory; each gives the log K and the enthalpy that stand
 * beside it within 0.005 and 0.4 kJ/mol, which a test checks. Activity parameters a, b: the same files.
 *
 * Example: (H+)(HCO3-) = 10^-10.329 ... read as formation, CO3-2 + H+ = HCO3- has log K 10.329, so at pH 8.33 a
 * litre has a hundred times as much HCO3- as CO3-2 (activities). */
#include "chemistry/pair.h"

#include <math.h>
#include <string.h>

/* The acid of a master form over the form of reference: PO4-3 is H2PO4- less two. */
#define NONE AQ_ION_ACID
#define MASTER(ion, formula, z, h, a, b)                                                                     \
    [AQ_SPECIES_MASTER + (ion)-1] = { formula, NONE, NONE, 0, z, h, 0, 0, { 0 }, a, b }

static const aq_species species[AQ_SPECIES_COUNT] = {
    [AQ_SPECIES_H] = { "H+", NONE, NONE, 1, 1, 1, 0, 0, { 0 }, 9, 0 },
    [AQ_SPECIES_OH] = { "OH-",
                        NONE,
                        NONE,
                        -1,
                        -1,
                        -1,
                        -14.0,
                        55.907,
                        { -283.9710, -0.05069842, 13323.00, 102.24447, -1119669.0 },
                        3.5,
                        0 },
    MASTER(AQ_ION_NITRATE, "NO3-", -1, 0, 3, 0),
    MASTER(AQ_ION_AMMONIUM, "NH4+", 1, 0, 2.5, 0),
    MASTER(AQ_ION_PHOSPHATE, "PO4-3", -3, -2, 4, 0),
    MASTER(AQ_ION_POTASSIUM, "K+", 1, 0, 3.5, 0.015),
    MASTER(AQ_ION_CALCIUM, "Ca+2", 2, 0, 5, 0.165),
    MASTER(AQ_ION_MAGNESIUM, "Mg+2", 2, 0, 5.5, 0.2),
    MASTER(AQ_ION_SULFATE, "SO4-2", -2, 0, 5, -0.04),
    MASTER(AQ_ION_SODIUM, "Na+", 1, 0, 4.08, 0.082),
    MASTER(AQ_ION_CHLORIDE, "Cl-", -1, 0, 3.63, 0.017),
    MASTER(AQ_ION_CARBONATE, "CO3-2", -2, -1, 5.4, 0),
    MASTER(AQ_ION_IRON, "Fe+2", 2, 0, 6, 0),
    MASTER(AQ_ION_MANGANESE, "Mn+2", 2, 0, 6, 0),
    MASTER(AQ_ION_ZINC, "Zn+2", 2, 0, 5, 0),
    MASTER(AQ_ION_COPPER, "Cu+2", 2, 0, 6, 0),
    MASTER(AQ_ION_BORATE, "H3BO3", 0, 0, 0, 0),
    MASTER(AQ_ION_MOLYBDATE, "MoO4-2", -2, 0, 0, 0),
    MASTER(AQ_ION_SILICATE, "H4SiO4", 0, 0, 0, 0),
    MASTER(AQ_ION_CITRATE, "C6H5O7-3", -3, -2, 0, 0),
    MASTER(AQ_ION_ACETATE, "CH3CO2-", -1, 0, 0, 0),

    /* name, cation, anion, protons, charge, acid, log K, enthalpy, by heat, a, b */
    [AQ_FORM_NH3] = { "NH3",
                      AQ_ION_AMMONIUM,
                      NONE,
                      -1,
                      0,
                      -1,
                      -9.252,
                      52.216,
                      { 0.6322, -0.001225, -2835.76 },
                      0,
                      0 },

    [AQ_FORM_HSO4] = { "HSO4-",
                       NONE,
                       AQ_ION_SULFATE,
                       1,
                       -1,
                       1,
                       1.988,
                       16.108,
                       { -56.889, 0.006473, 2307.9, 19.8858 },
                       4.5,
                       0 },
    [AQ_FORM_NASO4] = { "NaSO4-", AQ_ION_SODIUM, AQ_ION_SULFATE, 0, -1, 0, 0.70, 4.686, { 0 }, 5.4, 0 },
    [AQ_FORM_KSO4] = { "KSO4-", AQ_ION_POTASSIUM, AQ_ION_SULFATE, 0, -1, 0, 0.85, 9.414, { 0 }, 5.4, 0 },
    [AQ_FORM_NH4SO4] = { "NH4SO4-", AQ_ION_AMMONIUM, AQ_ION_SULFATE, 0, -1, 0, 1.11, 0, { 0 }, 5, 0 },
    [AQ_FORM_CASO4] = { "CaSO4", AQ_ION_CALCIUM, AQ_ION_SULFATE, 0, 0, 0, 2.30, 6.904, { 0 }, 0, 0 },
    [AQ_FORM_MGSO4] = { "MgSO4", AQ_ION_MAGNESIUM, AQ_ION_SULFATE, 0, 0, 0, 2.37, 19.037, { 0 }, 0, 0 },
    [AQ_FORM_FESO4] = { "FeSO4", AQ_ION_IRON, AQ_ION_SULFATE, 0, 0, 0, 2.25, 13.514, { 0 }, 0, 0 },
    [AQ_FORM_MNSO4] = { "MnSO4", AQ_ION_MANGANESE, AQ_ION_SULFATE, 0, 0, 0, 2.25, 14.1, { 0 }, 0, 0 },
    [AQ_FORM_ZNSO4] = { "ZnSO4", AQ_ION_ZINC, AQ_ION_SULFATE, 0, 0, 0, 2.37, 5.69, { 0 }, 0, 0 },
    [AQ_FORM_CUSO4] = { "CuSO4", AQ_ION_COPPER, AQ_ION_SULFATE, 0, 0, 0, 2.31, 5.104, { 0 }, 0, 0 },

    [AQ_FORM_HCO3] = { "HCO3-",
                       NONE,
                       AQ_ION_CARBONATE,
                       1,
                       -1,
                       0,
                       10.329,
                       -14.899,
                       { 107.8871, 0.03252849, -5151.79, -38.92561, 563713.9 },
                       5.4,
                       0 },
    [AQ_FORM_CO2] = { "CO2",
                      NONE,
                      AQ_ION_CARBONATE,
                      2,
                      0,
                      1,
                      16.681,
                      -24.008,
                      { 464.1965, 0.09344813, -26986.16, -165.75951, 2248628.9 },
                      0,
                      0 },
    [AQ_FORM_CACO3] = { "CaCO3",
                        AQ_ION_CALCIUM,
                        AQ_ION_CARBONATE,
                        0,
                        0,
                        -1,
                        3.224,
                        14.832,
                        { -1228.732, -0.299440, 35512.75, 485.818 },
                        0,
                        0 },
    [AQ_FORM_CAHCO3] = { "CaHCO3+",
                         AQ_ION_CALCIUM,
                         AQ_ION_CARBONATE,
                         1,
                         1,
                         0,
                         11.435,
                         -3.644,
                         { 1317.0071, 0.34546849, -39916.84, -517.70761, 563713.9 },
                         6,
                         0 },
    [AQ_FORM_MGCO3] = { "MgCO3",
                        AQ_ION_MAGNESIUM,
                        AQ_ION_CARBONATE,
                        0,
                        0,
                        -1,
                        2.98,
                        11.351,
                        { 0.9910, 0.00667 },
                        0,
                        0 },
    [AQ_FORM_MGHCO3] = { "MgHCO3+",
                         AQ_ION_MAGNESIUM,
                         AQ_ION_CARBONATE,
                         1,
                         1,
                         0,
                         11.399,
                         -11.594,
                         { 48.6721, 0.03252849, -2614.335, -18.00263, 563713.9 },
                         4,
                         0 },
    [AQ_FORM_NAHCO3] = { "NaHCO3", AQ_ION_SODIUM, AQ_ION_CARBONATE, 1, 0, 0, 10.079, -14.899, { 0 }, 0, 0 },

    [AQ_FORM_HPO4] = { "HPO4-2", NONE, AQ_ION_PHOSPHATE, 1, -2, -1, 12.346, -14.77, { 0 }, 5, 0 },
    [AQ_FORM_H2PO4] = { "H2PO4-", NONE, AQ_ION_PHOSPHATE, 2, -1, 0, 19.553, -18.912, { 0 }, 5.4, 0 },
    [AQ_FORM_H3PO4] = { "H3PO4", NONE, AQ_ION_PHOSPHATE, 3, 0, 1, 21.721, -10.1, { 0 }, 0, 0 },
    [AQ_FORM_CAPO4] = { "CaPO4-", AQ_ION_CALCIUM, AQ_ION_PHOSPHATE, 0, -1, -2, 6.459, 12.97, { 0 }, 5.4, 0 },
    [AQ_FORM_CAHPO4] = { "CaHPO4", AQ_ION_CALCIUM, AQ_ION_PHOSPHATE, 1, 0, -1, 15.085, -0.963, { 0 }, 0, 0 },
    [AQ_FORM_CAH2PO4] = { "CaH2PO4+",
                          AQ_ION_CALCIUM,
                          AQ_ION_PHOSPHATE,
                          2,
                          1,
                          0,
                          20.961,
                          -4.686,
                          { 0 },
                          5.4,
                          0 },
    [AQ_FORM_MGPO4] = { "MgPO4-",
                        AQ_ION_MAGNESIUM,
                        AQ_ION_PHOSPHATE,
                        0,
                        -1,
                        -2,
                        6.589,
                        12.97,
                        { 0 },
                        5.4,
                        0 },
    [AQ_FORM_MGHPO4] = { "MgHPO4",
                         AQ_ION_MAGNESIUM,
                         AQ_ION_PHOSPHATE,
                         1,
                         0,
                         -1,
                         15.216,
                         -0.963,
                         { 0 },
                         0,
                         0 },
    [AQ_FORM_MGH2PO4] = { "MgH2PO4+",
                          AQ_ION_MAGNESIUM,
                          AQ_ION_PHOSPHATE,
                          2,
                          1,
                          0,
                          21.066,
                          -4.686,
                          { 0 },
                          5.4,
                          0 },
    [AQ_FORM_KHPO4] = { "KHPO4-",
                        AQ_ION_POTASSIUM,
                        AQ_ION_PHOSPHATE,
                        1,
                        -1,
                        -1,
                        12.636,
                        -14.77,
                        { 0 },
                        5.4,
                        0 },
    [AQ_FORM_NAHPO4] = { "NaHPO4-",
                         AQ_ION_SODIUM,
                         AQ_ION_PHOSPHATE,
                         1,
                         -1,
                         -1,
                         12.636,
                         -14.77,
                         { 0 },
                         5.4,
                         0 },

    [AQ_FORM_CANO3] = { "CaNO3+", AQ_ION_CALCIUM, AQ_ION_NITRATE, 0, 1, 0, 0.5, -5.4, { 0 }, 0, 0 },

    [AQ_FORM_BOH4] = { "B(OH)4-", NONE, AQ_ION_BORATE, -1, -1, -1, -9.24, 13.489, { 0 }, 2.5, 0 },
    [AQ_FORM_H3SIO4] = { "H3SiO4-",
                         NONE,
                         AQ_ION_SILICATE,
                         -1,
                         -1,
                         -1,
                         -9.83,
                         25.606,
                         { -302.3724, -0.050698, 15669.69, 108.18466, -1119669.0 },
                         4,
                         0 },
    [AQ_FORM_HMOO4] = { "HMoO4-", NONE, AQ_ION_MOLYBDATE, 1, -1, 1, 4.2988, 20.0, { 0 }, 0, 0 },

    [AQ_FORM_HCITRATE] = { "HC6H5O7-2", NONE, AQ_ION_CITRATE, 1, -2, -1, 6.396, 3.347, { 0 }, 0, 0 },
    [AQ_FORM_H2CITRATE] = { "H2C6H5O7-", NONE, AQ_ION_CITRATE, 2, -1, 0, 11.157, 1.297, { 0 }, 0, 0 },
    [AQ_FORM_H3CITRATE] = { "H3C6H5O7", NONE, AQ_ION_CITRATE, 3, 0, 1, 14.285, -2.761, { 0 }, 0, 0 },
    [AQ_FORM_HACETATE] = { "CH3CO2H", NONE, AQ_ION_ACETATE, 1, 0, 1, 4.757, 0.41, { 0 }, 0, 0 },
};

static const double kelvin = 273.15, at_25 = 298.15;

const aq_species *aq_species_of(int index)
{
    return &species[index];
}

int aq_species_find(const char *name)
{
    int i = 0;

    while (i < AQ_SPECIES_COUNT && strcmp(species[i].name, name) != 0)
        i++;
    return i;
}

double aq_log_k(double log_k, double enthalpy, const double by_heat[5], double celsius)
{
    double t = celsius + kelvin;

    if (by_heat && by_heat[0] != 0)
        return by_heat[0] + by_heat[1] * t + by_heat[2] / t + by_heat[3] * log10(t) + by_heat[4] / (t * t);
    return log_k + enthalpy / (8.314462618e-3 * 2.302585093) * (1 / at_25 - 1 / t);
}

double aq_species_log_k(int index, double celsius)
{
    return aq_log_k(species[index].log_k, species[index].enthalpy, species[index].by_heat, celsius);
}

double aq_co2_log_k(double celsius)
{
    static const double by_heat[] = { 108.3865, 0.01985076, -6919.53, -40.45154, 669365.0 };

    return aq_log_k(-1.468, -19.983, by_heat, celsius);
}
