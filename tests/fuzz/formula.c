/* A chemical formula: counts that are not negative, a mass that is their sum, shares that add up to one. */
#include "fuzz.h"

static void check_formula(const aq_formula *formula)
{
    double shares = 0;

    must(isfinite(formula->molar_mass) && formula->molar_mass > 0);
    must(formula->components >= 1 && formula->components <= AQ_FORMULA_COMPONENTS);
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++) {
        must(isfinite(formula->count[i]) && formula->count[i] >= 0);
        shares += aq_formula_share(formula, (aq_element)i);
    }
    must(fabs(shares - 1) < 1e-9);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    char *text = text_of_bytes(bytes, length);
    double dry[AQ_ELEMENT_COUNT], factor, share;
    aq_error err = { .status = AQ_OK };
    aq_formula formula;
    aq_status status = aq_formula_read(&formula, text, &err);

    if (status != AQ_OK) {
        check_complaint(&err, status, is_utf8(text, strlen(text)));
        must(formula.molar_mass == 0);
    } else {
        check_formula(&formula);
        share = aq_formula_dry(dry, &formula);
        must(share > 0 && share <= 1 + 1e-12);
        if (aq_formula_factor(&factor, text, text, NULL) == AQ_OK)
            must(fabs(factor - 1) < 1e-12);
    }
    aq_formula_of_name(text);
    free(text);
    return 0;
}
