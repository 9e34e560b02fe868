/* The table of elements.
 *
 * Where the standard atomic weight is an interval (H B C N O Mg Si S Cl), the value is the conventional one,
 * written from memory of the CIAAW list and inside the interval of 2021; the others are the standard value of 2021
 * itself.
 * Example: K2O is 2 x 39.0983 + 15.999 = 94.1956 g/mol, so K2O x 0.830151 is K. */
#include "chemistry/element.h"

#include <string.h>

static const aq_element_facts elements[AQ_ELEMENT_COUNT] = {
    [AQ_EL_H] = { "H", "hydrogen", 1.008 },        [AQ_EL_B] = { "B", "boron", 10.81 },
    [AQ_EL_C] = { "C", "carbon", 12.011 },         [AQ_EL_N] = { "N", "nitrogen", 14.007 },
    [AQ_EL_O] = { "O", "oxygen", 15.999 },         [AQ_EL_F] = { "F", "fluorine", 18.998403162 },
    [AQ_EL_NA] = { "Na", "sodium", 22.98976928 },  [AQ_EL_MG] = { "Mg", "magnesium", 24.305 },
    [AQ_EL_SI] = { "Si", "silicon", 28.085 },      [AQ_EL_P] = { "P", "phosphorus", 30.973761998 },
    [AQ_EL_S] = { "S", "sulfur", 32.06 },          [AQ_EL_CL] = { "Cl", "chlorine", 35.45 },
    [AQ_EL_K] = { "K", "potassium", 39.0983 },     [AQ_EL_CA] = { "Ca", "calcium", 40.078 },
    [AQ_EL_MN] = { "Mn", "manganese", 54.938043 }, [AQ_EL_FE] = { "Fe", "iron", 55.845 },
    [AQ_EL_CO] = { "Co", "cobalt", 58.933194 },    [AQ_EL_NI] = { "Ni", "nickel", 58.6934 },
    [AQ_EL_CU] = { "Cu", "copper", 63.546 },       [AQ_EL_ZN] = { "Zn", "zinc", 65.38 },
    [AQ_EL_MO] = { "Mo", "molybdenum", 95.95 },
};

const aq_element_facts *aq_element_of(aq_element element)
{
    return &elements[element];
}

aq_element aq_element_find(const char *symbol, size_t length)
{
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        if (strlen(elements[i].symbol) == length && memcmp(elements[i].symbol, symbol, length) == 0)
            return (aq_element)i;
    return AQ_ELEMENT_COUNT;
}
