/* What must not share a concentrate, and what a concentrate of several salts drops when it is cold. */
#ifndef AQ_CHEMISTRY_CONCENTRATE_H
#define AQ_CHEMISTRY_CONCENTRATE_H

#include "chemistry/composition.h"

/* Why two products clash in a concentrate; AQ_CLASH_NONE: they do not. */
typedef enum {
    AQ_CLASH_NONE,
    AQ_CLASH_CALCIUM, /* of the first with sulfate or phosphate of the second: gypsum, calcium phosphate */
    AQ_CLASH_LIME,    /* calcium of the first with carbonate of the second */
    AQ_CLASH_SILICATE, /* of the first with calcium, magnesium, ammonium or acid of the second: gel, sludge, ammonia */
    AQ_CLASH_CHELATE, /* of the first with acid of the second: the chelate lets go of its metal */
    AQ_CLASH_FIZZ     /* carbonate of the first with acid of the second */
} aq_clash;

/* In this order of the two; ask twice. One product that holds both was made to. */
AQ_API aq_clash aq_concentrate_clash(const aq_composition *first, const aq_composition *second);

/* Chelated iron that would rather stand apart from the sulfate or phosphate of the other, which take it up slowly. */
AQ_API bool aq_concentrate_rather_apart(const aq_composition *first, const aq_composition *second);

/* A salt that may fall out of a mixture of ions. */
typedef struct {
    const char *name;
    double parts[AQ_ION_COUNT]; /* of each ion in a formula unit */
    double product; /* natural logarithm of the product of its ions, mol/L, where it is saturated */
} aq_solid;

/* The salt whose gram holds `salt` and of which `per_litre` g dissolve in a litre of solution. False: it has no ions that
 * a product could be taken of. */
AQ_API bool aq_solid_of(aq_solid *out, const char *name, const aq_composition *salt, double per_litre);

/* The salts of the solubility table at that temperature; gypsum is not among them, for calcium and sulfate never share a
 * concentrate. Returns how many there are, `room` at most. */
AQ_API size_t aq_solids_tabled(aq_solid *out, size_t room, double celsius);

/* How many times the whole mixture could be strengthened before this salt is saturated: below 1 it falls out. INFINITY:
 * it lacks one of the ions. */
AQ_API double aq_solid_room(const aq_solid *solid, const double ions[AQ_ION_COUNT]);

#endif
