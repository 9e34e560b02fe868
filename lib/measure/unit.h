/* The units that a grower, a label or a laboratory writes, each with its factor and where that comes from.
 *
 * A kind is a set of exponents, so that wrong sums fail without a special case. One thing is not reduced: volume per
 * volume (mL/L, tsp/gal) is a kind of its own, `rate`, for 2 mL/L and 0.2 % are not the same question, and an EC
 * slope (mS/cm per mL/L) must not be taken for an EC. Hardness and alkalinity are charge per volume, whatever they
 * are counted as: 1 meq/L is 50.04 mg/L CaCO3.
 *
 * Base units: g, L, L/L (rate), mol, eq, mS/cm at 25 degC, d, degC, m. */
#ifndef AQ_MEASURE_UNIT_H
#define AQ_MEASURE_UNIT_H

#include "base/error.h"

typedef struct {
    signed char mass, volume, rate, amount, charge, ec, time, heat, length;
} aq_kind; /* all zero: a share (a plain number, a percentage, mg/kg) */

typedef struct {
    const char *name; /* as written and read: "fl-oz-us" */
    aq_kind kind;
    double factor;      /* base units in one */
    double offset;      /* base = (value + offset) * factor; not 0 only for degF */
    const char *source; /* "NIST SP 811 B.8, exact" */
} aq_unit;

/* How the ambiguous words of one line or document are meant. Zeroed: nothing was said, so each is asked about. */
typedef enum { AQ_GALLON_UNSAID, AQ_GALLON_US, AQ_GALLON_IMPERIAL } aq_gallon;
typedef enum { AQ_RATIO_UNSAID, AQ_RATIO_IN, AQ_RATIO_PLUS } aq_ratio_as;
typedef enum { AQ_BASIS_UNSAID, AQ_BASIS_WW, AQ_BASIS_WV, AQ_BASIS_VV } aq_basis;
typedef enum { AQ_AS_UNSAID, AQ_AS_OXIDE, AQ_AS_ELEMENT } aq_as;
typedef struct {
    aq_gallon gallon;
    int ppm; /* 500, 640 or 700: a bare ppm of a reading; 0: unsaid */
    aq_ratio_as ratio;
    aq_basis basis; /* of a bare % of a liquid or a label; set only to work out a what-if */
    aq_as as;       /* of P and K on a label; set only to work out a what-if */
    bool used_gallon, used_ppm, used_ratio; /* set by the readers, for the sheet's assumptions */
} aq_said;

AQ_API bool aq_kind_equal(aq_kind a, aq_kind b);
/* "a volume", "an EC", "an EC per rate"; for messages. Never NULL. */
AQ_API const char *aq_kind_says(aq_kind kind);

/* A simple unit by its name, the first `length` bytes of `text` (case matters; "ml" and "l" are taken for mL and L,
 * "fl oz" for fl-oz, "µS/cm" and "μS/cm" for uS/cm, "°C" and "°F" for degC and degF). Bare gal, qt, pt, fl-oz, tbsp, tsp
 * and gpg, and a bare ppm, are looked up by what was `said` (NULL: nothing was); unsaid, AQ_AMBIGUOUS with the question.
 * An unknown name gives AQ_UNKNOWN_UNIT and names the nearest unit. */
AQ_API aq_status aq_unit_find(const aq_unit **out, const char *text, size_t length, aq_said *said,
                              aq_error *err);

/* Grams of CaCO3 per equivalent, 50.043: half its molar mass by CIAAW 2021. */
AQ_API double aq_unit_caco3(void);

/* The whole table, for the manual and for tests that walk it. */
AQ_API const aq_unit *aq_unit_table(size_t *count);

#endif
