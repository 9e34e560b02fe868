/* What hardness and alkalinity are counted as. Private to the room. */
#ifndef AQ_MEASURE_CALCIUM_CARBONATE_H
#define AQ_MEASURE_CALCIUM_CARBONATE_H

/* g of CaCO3 in 1 eq: two charges, and the conventional atomic weights of CIAAW 2021 (Prohaska et al. 2022, Pure Appl.
 * Chem. 94, 573-600): Ca 40.078, C 12.011, O 15.999. */
#define AQ_CACO3_PER_EQ ((40.078 + 12.011 + 3 * 15.999) / 2)

#endif
