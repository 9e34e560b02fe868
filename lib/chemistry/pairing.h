/* Who pairs with whom, at one pH and one set of activity coefficients. Internal to the room.
 *
 * Cation i has the total M_i, of which m_i is free; anion j has A_j and a_j. All in mol/kg:
 *     M_i = m_i (c_i + sum_j b_ij a_j)        A_j = a_j (d_j + sum_i b_ij m_i)
 * c and d count the forms without a partner (NH3; HCO3- and CO2), b the pairs. */
#ifndef AQ_CHEMISTRY_PAIRING_H
#define AQ_CHEMISTRY_PAIRING_H

#include "chemistry/pair.h"

/* The anions that have pairs. */
enum { AQ_PAIRED_SULFATE, AQ_PAIRED_CARBONATE, AQ_PAIRED_PHOSPHATE, AQ_PAIRED_NITRATE, AQ_PAIRED };
enum { AQ_PAIRING_CATIONS = 9 };

typedef struct {
    size_t cations;
    double total[AQ_PAIRING_CATIONS], alone[AQ_PAIRING_CATIONS], free[AQ_PAIRING_CATIONS];
    double b[AQ_PAIRING_CATIONS][AQ_PAIRED];
    bool unknown[AQ_PAIRED]; /* false: free_anion is known, or there is none */
    double total_anion[AQ_PAIRED], alone_anion[AQ_PAIRED], free_anion[AQ_PAIRED];
    /* d and b of carbonate where its balance counts something else than carbonate (alkalinity); else copies. */
    double counted_alone, counted[AQ_PAIRING_CATIONS];
} aq_pairing;

/* Fills `free` and `free_anion`; with `warm` starting from what they hold. False: no answer within 400 turns. */
bool aq_pairing_solve(aq_pairing *p, bool warm);

#endif
