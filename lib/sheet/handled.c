/* What a thing on a bench is: which substance, and to which classes of the rules it belongs.
 *
 * A substance that was named comes first, then the formula of a salt, then the name the user gave. Classes are also
 * read off a formula and a label's analysis, so that a blended feed with ammonium counts as ammonium. Example: a part
 * with the analysis {Ca: 5 %, NH4-N: 0.3 %} is calcium and ammonium, whatever it is called. */
#include <string.h>

#include "sheet/hazard.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static bool letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c & 0x80);
}

/* A word of a longer name that gives the bottle away: "Bench bleach", "Nitric acid 60 %". Two words say too little:
 * an amino acid is no acid to these rules, an alcohol-free cleaner no alcohol. */
static const aq_substance *told_by_word(const char *name)
{
    const unsigned tells = AQ_HYPOCHLORITE | AQ_PEROXIDE | AQ_ACID;
    while (*name) {
        char word[24];
        size_t length = 0;
        while (letter(name[length]))
            length++;
        if (length > 0 && length < sizeof word) {
            memcpy(word, name, length);
            word[length] = '\0';
            const aq_substance *found = aq_substance_of_class(word, tells);
            if (found && strcmp(found->name, "pH down") != 0)
                return found;
        }
        name += length ? length : 1;
    }
    return NULL;
}

const aq_substance *aq_handled_substance(const aq_handled *handled)
{
    const aq_part *part = handled->part;
    const aq_substance *found = handled->substance ? aq_substance_find(handled->substance) : NULL;
    if (!found && part && part->of)
        found = aq_substance_find(part->of);
    if (!found && part && part->formula)
        found = aq_substance_of_formula(part->formula);
    if (!found && handled->name)
        found = aq_substance_find(handled->name);
    if (!found && handled->name)
        found = told_by_word(handled->name);
    return found;
}

static unsigned analysis_classes(const aq_analysis *analysis)
{
    static const struct {
        const char *name;
        unsigned class;
    } shows[] = { { "NH4-N", AQ_AMMONIUM }, { "NH4", AQ_AMMONIUM }, { "urea-N", AQ_AMMONIUM },
                  { "Ca", AQ_CALCIUM },     { "CaO", AQ_CALCIUM },  { "S", AQ_SULFATE },
                  { "SO3", AQ_SULFATE },    { "SO4", AQ_SULFATE },  { "P", AQ_PHOSPHATE },
                  { "P2O5", AQ_PHOSPHATE }, { "PO4", AQ_PHOSPHATE } };
    unsigned classes = 0;
    for (size_t i = 0; i < analysis->contents.count; i++)
        for (size_t j = 0; j < COUNT(shows); j++)
            if (strcmp(analysis->contents.at[i].name, shows[j].name) == 0 &&
                analysis->contents.at[i].amount.value > 0)
                classes |= shows[j].class;
    return classes;
}

/* What a formula shows by its own letters. */
static unsigned formula_classes(const char *formula)
{
    static const struct {
        const char *letters;
        unsigned class;
    } shows[] = { { "NH4", AQ_AMMONIUM },  { "Ca", AQ_CALCIUM },       { "SO4", AQ_SULFATE },
                  { "PO4", AQ_PHOSPHATE }, { "OCl", AQ_HYPOCHLORITE }, { "ClO)", AQ_HYPOCHLORITE } };
    unsigned classes = 0;
    for (size_t i = 0; i < COUNT(shows); i++)
        if (strstr(formula, shows[i].letters))
            classes |= shows[i].class;
    return classes;
}

unsigned aq_handled_classes(const aq_handled *handled, const aq_substance *substance)
{
    unsigned classes = substance ? substance->classes : 0;
    if (handled->part && handled->part->formula)
        classes |= formula_classes(handled->part->formula);
    if (handled->part)
        classes |= analysis_classes(&handled->part->analysis);
    return classes;
}
