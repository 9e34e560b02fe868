/* Chemical formulas: "Ca(NO3)2.4H2O" to counts of elements and molar mass.
 *
 *     formula   = component { separator component }
 *     separator = "." | "*" | a middle dot or bullet
 *     component = [number] piece { piece }                  number may be 0.5 or 1/2, here alone
 *     piece     = ( element | "(" piece { piece } ")" | "[" ... "]" ) [whole number]
 *
 * Numbers written as subscripts (MgSO₄) are read too. Charges are not: "NO3" is read as its atoms. */
#ifndef AQ_CHEMISTRY_FORMULA_H
#define AQ_CHEMISTRY_FORMULA_H

#include "chemistry/element.h"

enum { AQ_FORMULA_COMPONENTS = 6, AQ_FORMULA_DEPTH = 8 };

typedef struct {
    double count[AQ_ELEMENT_COUNT];
    double molar_mass; /* g/mol */
    size_t components; /* a hydrate is two: the salt and its water */
    struct {
        double times;                   /* the number in front */
        double count[AQ_ELEMENT_COUNT]; /* of one */
    } component[AQ_FORMULA_COMPONENTS];
} aq_formula;

/* Reads the whole of `text`. On failure *out is zeroed and `err` has the column within `text`, counted from 1 (its
 * line is 1; the caller sets the rest of the place). */
AQ_API aq_status aq_formula_read(aq_formula *out, const char *text, aq_error *err);

/* The share of `element` in the mass, 0 to 1. */
AQ_API double aq_formula_share(const aq_formula *formula, aq_element element);

/* The atoms of a formula without its crystal water (MgSO4.7H2O: those of MgSO4), and their share of its mass: how
 * hydrates of one salt are told to be one. Water alone keeps its atoms. */
AQ_API double aq_formula_dry(double count[AQ_ELEMENT_COUNT], const aq_formula *formula);

/* Whether two such counts are of one substance. */
AQ_API bool aq_formula_same(const double a[AQ_ELEMENT_COUNT], const double b[AQ_ELEMENT_COUNT]);

/* How many g of `to` have as much of the element that both have as 1 g of `from`: ("P", "P2O5") is 2.29133,
 * ("K2SO4", "S") 0.183986. Oxygen and hydrogen do not count. AQ_CONFLICT where there is none in common, or
 * where two elements give different factors. */
AQ_API aq_status aq_formula_factor(double *factor, const char *from, const char *to, aq_error *err);

/* The formula of a substance that growers call by a name, letter case aside: rooting hormones and their potassium
 * salts ("IBA", "K-IBA", "NAA", "K-NAA"), urea, the acids ("nitric", "sulphuric acid"), potassium hydroxide,
 * peroxide, isopropyl alcohol, hypochlorite. NULL when the name is not known. */
AQ_API const char *aq_formula_of_name(const char *name);

#endif
