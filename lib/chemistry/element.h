/* Elements and their atomic weights.
 *
 * Weights are the conventional values of CIAAW/IUPAC 2021 (Prohaska et al. 2022, Pure Appl. Chem. 94, 573-600). */
#ifndef AQ_CHEMISTRY_ELEMENT_H
#define AQ_CHEMISTRY_ELEMENT_H

#include "base/error.h"

typedef enum {
    AQ_EL_H,
    AQ_EL_B,
    AQ_EL_C,
    AQ_EL_N,
    AQ_EL_O,
    AQ_EL_F,
    AQ_EL_NA,
    AQ_EL_MG,
    AQ_EL_SI,
    AQ_EL_P,
    AQ_EL_S,
    AQ_EL_CL,
    AQ_EL_K,
    AQ_EL_CA,
    AQ_EL_MN,
    AQ_EL_FE,
    AQ_EL_CO,
    AQ_EL_NI,
    AQ_EL_CU,
    AQ_EL_ZN,
    AQ_EL_MO,
    AQ_ELEMENT_COUNT
} aq_element;

typedef struct {
    const char *symbol, *name;
    double weight; /* g/mol */
} aq_element_facts;

/* A row of the table; `element` must be one of the list. */
AQ_API const aq_element_facts *aq_element_of(aq_element element);

/* The element whose symbol is the first `length` bytes of `symbol` (case matters); AQ_ELEMENT_COUNT for none. */
AQ_API aq_element aq_element_find(const char *symbol, size_t length);

#endif
