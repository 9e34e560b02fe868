/* The table of mobilities.
 *
 * `at_25` starts from the limiting conductivities of the CRC Handbook (Vanysek, Ionic Conductivity and Diffusion at
 * Infinite Dilution), those of ion pairs from the diffusion coefficients of phreeqc.dat, citrate and B(OH)4- from
 * memory; H3SiO4- and the metal-phosphate pairs are guesses of magnitude, which matter little below pH 9. `by_heat`
 * are the coefficients of McCleskey, Nordstrom, Ryan & Ball 2012, Geochim. Cosmochim. Acta 77, 369 for the free
 * ions (only their ratio to 25 degC is used: their absolute values lie up to 1 % above the standard KCl solutions).
 *
 * The third decimals are ours: `at_25` of the ten commonest ions (the CRC value, moved by at most 1.9 %) and of the
 * pairs with sulfate, hydrogen carbonate and nitrate, and all of `width`, were fitted together to 83 single-salt
 * values of the CRC Handbook up to 0.1 eq/L, the single-salt equations of McCleskey 2011 (5, 25 and 40 degC, to
 * 0.05 mol/kg), the 20 degC table of the CRC up to 0.2 mol/kg, and, with little weight, the natural waters of
 * Stuyfzand 1987. Fitted to one half of those waters only, the other half is met as well. Forms that no measurement
 * shows keep width 1.3, the Debye-Hueckel value for an ion of 4 angstrom. */
#include "chemistry/mobility.h"

static const aq_mobility mobilities[AQ_SPECIES_COUNT] = {
    [AQ_SPECIES_H] = { "H+", 347.574, { -0.01414, 5.355, 224.2 }, 2.173 },
    [AQ_SPECIES_OH] = { "OH-", 198.0, { 0.003396, 2.925, 121.3 }, 1.692 },
    [AQ_SPECIES_MASTER + AQ_ION_NITRATE - 1] = { "NO3-", 71.029, { 0.001925, 1.214, 39.9 }, 0.302 },
    [AQ_SPECIES_MASTER + AQ_ION_AMMONIUM - 1] = { "NH4+", 73.546, { 0.003341, 1.285, 39.04 }, 1.407 },
    [AQ_SPECIES_MASTER + AQ_ION_PHOSPHATE - 1] = { "PO4-3", 207.0, { 0 }, 1.3 },
    [AQ_SPECIES_MASTER + AQ_ION_POTASSIUM - 1] = { "K+", 73.641, { 0.003046, 1.261, 40.7 }, 1.300 },
    [AQ_SPECIES_MASTER + AQ_ION_CALCIUM - 1] = { "Ca+2", 116.747, { 0.009645, 1.984, 62.28 }, 1.790 },
    [AQ_SPECIES_MASTER + AQ_ION_MAGNESIUM - 1] = { "Mg+2", 105.553, { 0.01068, 1.695, 57.16 }, 2.351 },
    [AQ_SPECIES_MASTER + AQ_ION_SULFATE - 1] = { "SO4-2", 157.725, { 0.01037, 2.838, 82.37 }, 3.518 },
    [AQ_SPECIES_MASTER + AQ_ION_SODIUM - 1] = { "Na+", 49.861, { 0.003763, 0.877, 26.23 }, 0.587 },
    [AQ_SPECIES_MASTER + AQ_ION_CHLORIDE - 1] = { "Cl-", 76.119, { 0.003817, 1.337, 40.99 }, 1.291 },
    [AQ_SPECIES_MASTER + AQ_ION_CARBONATE - 1] = { "CO3-2", 138.6, { -0.000326, 2.998, 64.03 }, 1.024 },
    [AQ_SPECIES_MASTER + AQ_ION_IRON - 1] = { "Fe+2", 108.0, { 0.009939, 1.878, 54.8 }, 2.4 },
    [AQ_SPECIES_MASTER + AQ_ION_MANGANESE - 1] = { "Mn+2", 107.0, { 0.01275, 2.109, 46.19 }, 2.404 },
    [AQ_SPECIES_MASTER + AQ_ION_ZINC - 1] = { "Zn+2", 105.6, { 0.01249, 1.912, 48.2 }, 4.497 },
    [AQ_SPECIES_MASTER + AQ_ION_COPPER - 1] = { "Cu+2", 107.2, { 0.00818, 1.939, 53.26 }, 1.745 },
    [AQ_SPECIES_MASTER + AQ_ION_BORATE - 1] = { "H3BO3", 0, { 0 }, 0 },
    [AQ_SPECIES_MASTER + AQ_ION_MOLYBDATE - 1] = { "MoO4-2", 149.0, { 0 }, 2.4 },
    [AQ_SPECIES_MASTER + AQ_ION_SILICATE - 1] = { "H4SiO4", 0, { 0 }, 0 },
    [AQ_SPECIES_MASTER + AQ_ION_CITRATE - 1] = { "C6H5O7-3", 210.6, { 0 }, 2.4 },
    [AQ_SPECIES_MASTER + AQ_ION_ACETATE - 1] = { "CH3CO2-", 40.9, { 0 }, 2.538 },
    [AQ_FORM_NH3] = { "NH3", 0, { 0 }, 0 },
    [AQ_FORM_HSO4] = { "HSO4-", 52.0, { 0.000927, 0.8337, 29.56 }, 2.057 },
    [AQ_FORM_NASO4] = { "NaSO4-", 50.227, { 0 }, 1.3 },
    [AQ_FORM_KSO4] = { "KSO4-", 44.516, { 0 }, 1.3 },
    [AQ_FORM_NH4SO4] = { "NH4SO4-", 55.688, { 0 }, 1.3 },
    [AQ_FORM_CASO4] = { "CaSO4", 0, { 0 }, 0 },
    [AQ_FORM_MGSO4] = { "MgSO4", 0, { 0 }, 0 },
    [AQ_FORM_FESO4] = { "FeSO4", 0, { 0 }, 0 },
    [AQ_FORM_MNSO4] = { "MnSO4", 0, { 0 }, 0 },
    [AQ_FORM_ZNSO4] = { "ZnSO4", 0, { 0 }, 0 },
    [AQ_FORM_CUSO4] = { "CuSO4", 0, { 0 }, 0 },
    [AQ_FORM_HCO3] = { "HCO3-", 44.076, { 0.000614, 0.9048, 21.14 }, 0.899 },
    [AQ_FORM_CO2] = { "CO2", 0, { 0 }, 0 },
    [AQ_FORM_CACO3] = { "CaCO3", 0, { 0 }, 0 },
    [AQ_FORM_CAHCO3] = { "CaHCO3+", 2.219, { 0 }, 1.3 },
    [AQ_FORM_MGCO3] = { "MgCO3", 0, { 0 }, 0 },
    [AQ_FORM_MGHCO3] = { "MgHCO3+", 13.5, { 0 }, 1.3 },
    [AQ_FORM_NAHCO3] = { "NaHCO3", 0, { 0 }, 0 },
    [AQ_FORM_HPO4] = { "HPO4-2", 110.175, { 0 }, 2.520 },
    [AQ_FORM_H2PO4] = { "H2PO4-", 32.639, { 0 }, 0.302 },
    [AQ_FORM_H3PO4] = { "H3PO4", 0, { 0 }, 0 },
    [AQ_FORM_CAPO4] = { "CaPO4-", 18.0, { 0 }, 1.3 },
    [AQ_FORM_CAHPO4] = { "CaHPO4", 0, { 0 }, 0 },
    [AQ_FORM_CAH2PO4] = { "CaH2PO4+", 18.0, { 0 }, 1.3 },
    [AQ_FORM_MGPO4] = { "MgPO4-", 18.0, { 0 }, 1.3 },
    [AQ_FORM_MGHPO4] = { "MgHPO4", 0, { 0 }, 0 },
    [AQ_FORM_MGH2PO4] = { "MgH2PO4+", 18.0, { 0 }, 1.3 },
    [AQ_FORM_KHPO4] = { "KHPO4-", 45.258, { 0 }, 1.3 },
    [AQ_FORM_NAHPO4] = { "NaHPO4-", 40.0, { 0 }, 1.3 },
    [AQ_FORM_CANO3] = { "CaNO3+", 21.844, { 0 }, 1.3 },
    [AQ_FORM_BOH4] = { "B(OH)4-", 35.3, { 0 }, 1.3 },
    [AQ_FORM_H3SIO4] = { "H3SiO4-", 30.0, { 0 }, 1.3 },
    [AQ_FORM_HMOO4] = { "HMoO4-", 40.0, { 0 }, 1.3 },
    [AQ_FORM_HCITRATE] = { "HC6H5O7-2", 90.0, { 0 }, 2.4 },
    [AQ_FORM_H2CITRATE] = { "H2C6H5O7-", 30.0, { 0 }, 1.3 },
    [AQ_FORM_H3CITRATE] = { "H3C6H5O7", 0, { 0 }, 0 },
    [AQ_FORM_HACETATE] = { "CH3CO2H", 0, { 0 }, 0 },
};

const aq_mobility *aq_mobility_of(int species)
{
    return &mobilities[species];
}

static double at(const double by_heat[3], double celsius)
{
    return (by_heat[0] * celsius + by_heat[1]) * celsius + by_heat[2];
}

double aq_mobility_limit(int species, double celsius)
{
    const aq_mobility *m = &mobilities[species];
    const double *by_heat = m->by_heat[2] > 0 ? m->by_heat : mobilities[aq_master(AQ_ION_SULFATE)].by_heat;

    return m->at_25 * at(by_heat, celsius) / at(by_heat, 25);
}
