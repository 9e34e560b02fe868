/* Above its range a chelate lets go of iron, which calcium or hydroxide replaces; below, hydrogen ion takes its place.
 * Tops: University of Florida IFAS Extension, Understanding and Applying Chelated Fertilizers Effectively Based on Soil pH
 * (Liu, Hanlon and Li), from memory: EDTA 6.5, DTPA 7.5, EDDHA 9. Bottoms, HEDTA, HBED and the kin of EDDHA: what makers'
 * data sheets agree on, from memory. Other sheets differ by half a pH. */
#include "chemistry/chelate.h"

#include <string.h>

/* A name that holds another stands before it. */
static const aq_chelate chelates[] = {
    { "EDDHMA", 3.5, 9 }, { "EDDHSA", 3.5, 9 }, { "EDDHA", 3.5, 9 }, { "HEDTA", 1.5, 7 },
    { "EDTA", 1.5, 6.5 }, { "DTPA", 1.5, 7.5 }, { "HBED", 2, 12 },
};

/* The one to be named of those that hold: first the commonest. */
static const char *const usual[] = { "EDTA", "DTPA", "EDDHA", "HBED" };

static char upper(char c)
{
    return (char)(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
}

static bool begins(const char *text, const char *name)
{
    while (*name && upper(*text) == *name) {
        text++;
        name++;
    }
    return !*name && !(upper(*text) >= 'A' && upper(*text) <= 'Z');
}

const aq_chelate *aq_chelate_in(const char *text)
{
    for (; text && *text; text++)
        for (size_t i = 0; i < sizeof chelates / sizeof *chelates; i++)
            if (begins(text, chelates[i].name))
                return &chelates[i];
    return NULL;
}

const aq_chelate *aq_chelate_for(double low, double high)
{
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
        const aq_chelate *chelate = aq_chelate_in(usual[i]);

        if (chelate && chelate->lowest <= low && high <= chelate->highest)
            return chelate;
    }
    return NULL;
}
