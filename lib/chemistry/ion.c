/* The table of ions: what a salt, a label or a water analysis is split into. */
#include "chemistry/ion.h"

static const aq_ion_facts ions[AQ_ION_COUNT] = {
    [AQ_ION_ACID] = { "acid", "H+", 1, AQ_EL_H, { [AQ_EL_H] = 1 } },
    [AQ_ION_NITRATE] = { "nitrate", "NO3-", -1, AQ_EL_N, { [AQ_EL_N] = 1, [AQ_EL_O] = 3 } },
    [AQ_ION_AMMONIUM] = { "ammonium", "NH4+", 1, AQ_EL_N, { [AQ_EL_N] = 1, [AQ_EL_H] = 4 } },
    [AQ_ION_PHOSPHATE] = { "phosphate",
                           "H2PO4-",
                           -1,
                           AQ_EL_P,
                           { [AQ_EL_H] = 2, [AQ_EL_P] = 1, [AQ_EL_O] = 4 } },
    [AQ_ION_POTASSIUM] = { "potassium", "K+", 1, AQ_EL_K, { [AQ_EL_K] = 1 } },
    [AQ_ION_CALCIUM] = { "calcium", "Ca+2", 2, AQ_EL_CA, { [AQ_EL_CA] = 1 } },
    [AQ_ION_MAGNESIUM] = { "magnesium", "Mg+2", 2, AQ_EL_MG, { [AQ_EL_MG] = 1 } },
    [AQ_ION_SULFATE] = { "sulfate", "SO4-2", -2, AQ_EL_S, { [AQ_EL_S] = 1, [AQ_EL_O] = 4 } },
    [AQ_ION_SODIUM] = { "sodium", "Na+", 1, AQ_EL_NA, { [AQ_EL_NA] = 1 } },
    [AQ_ION_CHLORIDE] = { "chloride", "Cl-", -1, AQ_EL_CL, { [AQ_EL_CL] = 1 } },
    [AQ_ION_CARBONATE] = { "hydrogen carbonate",
                           "HCO3-",
                           -1,
                           AQ_EL_C,
                           { [AQ_EL_H] = 1, [AQ_EL_C] = 1, [AQ_EL_O] = 3 } },
    [AQ_ION_IRON] = { "iron(II)", "Fe+2", 2, AQ_EL_FE, { [AQ_EL_FE] = 1 } },
    [AQ_ION_MANGANESE] = { "manganese", "Mn+2", 2, AQ_EL_MN, { [AQ_EL_MN] = 1 } },
    [AQ_ION_ZINC] = { "zinc", "Zn+2", 2, AQ_EL_ZN, { [AQ_EL_ZN] = 1 } },
    [AQ_ION_COPPER] = { "copper", "Cu+2", 2, AQ_EL_CU, { [AQ_EL_CU] = 1 } },
    [AQ_ION_BORATE] = { "boric acid", "H3BO3", 0, AQ_EL_B, { [AQ_EL_H] = 3, [AQ_EL_B] = 1, [AQ_EL_O] = 3 } },
    [AQ_ION_MOLYBDATE] = { "molybdate", "MoO4-2", -2, AQ_EL_MO, { [AQ_EL_MO] = 1, [AQ_EL_O] = 4 } },
    [AQ_ION_SILICATE] = { "silicic acid",
                          "H4SiO4",
                          0,
                          AQ_EL_SI,
                          { [AQ_EL_H] = 4, [AQ_EL_SI] = 1, [AQ_EL_O] = 4 } },
    [AQ_ION_CITRATE] = { "citrate",
                         "H2C6H5O7-",
                         -1,
                         AQ_EL_C,
                         { [AQ_EL_C] = 6, [AQ_EL_H] = 7, [AQ_EL_O] = 7 } },
    [AQ_ION_ACETATE] = { "acetate", "CH3CO2-", -1, AQ_EL_C, { [AQ_EL_C] = 2, [AQ_EL_H] = 3, [AQ_EL_O] = 2 } },
};

const aq_ion_facts *aq_ion_of(aq_ion ion)
{
    return &ions[ion];
}

double aq_ion_molar_mass(aq_ion ion)
{
    double mass = 0;

    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        mass += ions[ion].atoms[i] * aq_element_of((aq_element)i)->weight;
    return mass;
}

double aq_ion_charge(const double amounts[AQ_ION_COUNT])
{
    double charge = 0;

    for (int i = 0; i < AQ_ION_COUNT; i++)
        charge += amounts[i] * ions[i].charge;
    return charge;
}
