/* What a solution holds: the kinds of matter that dissolve into ions, each in one form of reference.
 *
 * An amount of a kind is all of it, whatever forms it takes in water: AQ_ION_PHOSPHATE counts H3PO4, H2PO4-, HPO4-2
 * and every pair. What the forms of reference leave over is acid: AQ_ION_ACID is mol of H+ added beyond them, and
 * negative where a base was added. K2HPO4 is 2 K+, 1 H2PO4- and acid -1; nitric acid is NO3- and acid +1. So the
 * charges of a salt always add to zero, and pH follows from the amounts. */
#ifndef AQ_CHEMISTRY_ION_H
#define AQ_CHEMISTRY_ION_H

#include "chemistry/element.h"

typedef enum {
    AQ_ION_ACID,      /* H+ */
    AQ_ION_NITRATE,   /* NO3- */
    AQ_ION_AMMONIUM,  /* NH4+ */
    AQ_ION_PHOSPHATE, /* H2PO4- */
    AQ_ION_POTASSIUM, /* K+ */
    AQ_ION_CALCIUM,   /* Ca+2 */
    AQ_ION_MAGNESIUM, /* Mg+2 */
    AQ_ION_SULFATE,   /* SO4-2 */
    AQ_ION_SODIUM,    /* Na+ */
    AQ_ION_CHLORIDE,  /* Cl- */
    AQ_ION_CARBONATE, /* HCO3- */
    AQ_ION_IRON,      /* Fe+2, not the chelated */
    AQ_ION_MANGANESE, /* Mn+2 */
    AQ_ION_ZINC,      /* Zn+2 */
    AQ_ION_COPPER,    /* Cu+2 */
    AQ_ION_BORATE,    /* H3BO3 */
    AQ_ION_MOLYBDATE, /* MoO4-2 */
    AQ_ION_SILICATE,  /* H4SiO4 */
    AQ_ION_CITRATE,   /* H2C6H5O7- */
    AQ_ION_ACETATE,   /* CH3CO2- */
    AQ_ION_COUNT
} aq_ion;

typedef struct {
    const char *name, *formula; /* "nitrate", "NO3-" */
    int charge;
    aq_element element;             /* the element that counts it: N of nitrate; AQ_EL_H of the acid itself */
    double atoms[AQ_ELEMENT_COUNT]; /* of one ion */
} aq_ion_facts;

AQ_API const aq_ion_facts *aq_ion_of(aq_ion ion);

/* g/mol of the form of reference. */
AQ_API double aq_ion_molar_mass(aq_ion ion);

/* The sum of charges, eq: cations positive. */
AQ_API double aq_ion_charge(const double amounts[AQ_ION_COUNT]);

#endif
