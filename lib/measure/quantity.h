/* A number with its unit: parse, convert, format, ranges, strengths, ratios, levels.
 *
 * Grammar (white space is free between the pieces):
 *     quantity  = number unit
 *     number    = decimal | [whole] whole "/" whole                     2.385   1/2   1 1/2
 *     unit      = term { "per" term }                                   mS/cm per mL/L
 *     term      = piece { ("/" | ".") piece } ["CaCO3"]                 mL/L   oz/100 gal-us   mg/L CaCO3
 *     piece     = [number] name                                         100 L
 *     range     = number to number unit | quantity to quantity           2-4 mL/L   58-62mL   2 to 4 mL/L
 *     strength  = number ("%w/w" | "%w/v" | "%v/v" | mg/L ... | mg/kg)  35%w/w   1000mg/L
 *     ratio     = number ("in" | "plus" | ":") number                   1 in 200
 *     level     = quantity "@" quantity                                 80L@1.8mS/cm
 *
 * Nothing is guessed: a missing unit, a bare % of a liquid, a bare ppm, 1:20, `1,5` are refused with the readings
 * they could have. NaN, infinities and numbers beyond 1e15 are refused. */
#ifndef AQ_MEASURE_QUANTITY_H
#define AQ_MEASURE_QUANTITY_H

#include "measure/unit.h"

/* In base units of its kind. Zeroed: not given. */
typedef struct {
    double value;
    aq_kind kind;
    const aq_unit *unit; /* as typed, where it is one simple unit (80 gal-us); else NULL */
    bool given;
} aq_quantity;

typedef struct {
    aq_quantity low, high; /* one value: both the same */
} aq_range;

/* How much of a substance a liquid or solid holds, with the basis that says per what.
 * value: AQ_BASIS_WW g per g, AQ_BASIS_WV g per L, AQ_BASIS_VV L per L. */
typedef struct {
    double value;
    aq_basis basis;
    bool given;
    char typed[24]; /* as the user wrote it, cut to fit: "35% w/w" */
} aq_strength;

/* 1 in n: one part in n parts of the result. `parts` is n in that reading whichever way it was written
 * (1 plus 200 gives 201). */
typedef struct {
    double parts;
    bool given;
} aq_ratio;

/* A volume (L) at an EC (mS/cm); `volume.given` is false where only the EC was given and that is allowed. */
typedef struct {
    aq_quantity volume, ec;
    bool given;
} aq_level;

/* An EC slope: mS/cm per L/L (`kind` rate), per g/L (mass), or per g/L of an element ("per 100 mg/L N"). */
typedef struct {
    double value;     /* mS/cm for 1 base unit of rate: 0.40 mS/cm per mL/L is 400 */
    bool by_mass;     /* per g/L instead of per L/L */
    char element[12]; /* "N": per g/L of that element; "" otherwise */
    bool given;
} aq_slope;

/* What a reader accepts; the bits may be added. Each has words and an example for its messages. */
typedef enum {
    AQ_WANT_VOLUME = 1 << 0,      /* 60 L */
    AQ_WANT_MASS = 1 << 1,        /* 170 g */
    AQ_WANT_EC = 1 << 2,          /* 1.8 mS/cm, 900 ppm-500, 18 CF */
    AQ_WANT_RATE = 1 << 3,        /* 2 mL/L */
    AQ_WANT_CONTENT = 1 << 4,     /* g/L, mg/L, oz/100 gal-us, kg/L: mass per volume */
    AQ_WANT_AMOUNT = 1 << 5,      /* mmol */
    AQ_WANT_MOLARITY = 1 << 6,    /* mmol/L */
    AQ_WANT_HARDNESS = 1 << 7,    /* mg/L CaCO3, meq/L, gpg, dH: charge per volume */
    AQ_WANT_SHARE = 1 << 8,       /* 60 %, mg/kg */
    AQ_WANT_TEMPERATURE = 1 << 9, /* 17 degC, 62 degF */
    AQ_WANT_TIME = 1 << 10,       /* 4 d, 72 h, 30 min */
    AQ_WANT_FLOW = 1 << 11,       /* 3 L/d */
    AQ_WANT_LENGTH = 1 << 12,     /* 36 mm */
    AQ_WANT_PER_DEGREE = 1 << 13, /* 2 %/degC */
    AQ_WANT_CHARGE = 1 << 14,     /* 480 meq */
    AQ_WANT_ANY = 1 << 15,        /* whatever unit it has; a number alone is still refused */
    AQ_WANT_NUMBER = 1 << 16      /* a number with no unit, of kind share: a range of pH is 5.6-6.2 */
} aq_want;

/* Each reads the whole of `text`, by what was `said` (NULL: nothing was). On failure *out is zeroed and `err` says what
 * was found, what is wanted and an example. `err->place.column` counts characters from 1 within `text`, line is 1; the
 * caller makes it a place in its document. */
AQ_API aq_status aq_quantity_read(aq_quantity *out, const char *text, unsigned want, aq_said *said,
                                  aq_error *err);
AQ_API aq_status aq_range_read(aq_range *out, const char *text, unsigned want, aq_said *said, aq_error *err);
AQ_API aq_status aq_strength_read(aq_strength *out, const char *text, aq_said *said, aq_error *err);
/* Also an injector's share of what leaves it: "1 %" is 1 in 100. At most 1 in 1e9. */
AQ_API aq_status aq_ratio_read(aq_ratio *out, const char *text, aq_said *said, aq_error *err);
AQ_API aq_status aq_level_read(aq_level *out, const char *text, bool ec_alone, aq_said *said, aq_error *err);
AQ_API aq_status aq_slope_read(aq_slope *out, const char *text, aq_said *said, aq_error *err);
/* "36x36x40mm" or "36 x 36 x 40 mm" to a volume in L. */
AQ_API aq_status aq_size_read(double *litres, const char *text, aq_said *said, aq_error *err);
/* A number with no unit: pH, money, a count. Fractions are read, a decimal comma refused. */
AQ_API aq_status aq_number_read(double *out, const char *text, aq_error *err);

/* A unit expression alone ("oz/100 gal-us"): its kind, base = value * factor + offset * factor. */
typedef struct {
    aq_kind kind;
    double factor, offset;
    const aq_unit *unit; /* when it is one simple unit */
} aq_measure;
AQ_API aq_status aq_measure_read(aq_measure *out, const char *text, aq_said *said, aq_error *err);

AQ_API aq_quantity aq_quantity_of(double base_value, aq_kind kind);
/* The number of `measure` in `quantity`; AQ_WRONG_KIND where the kinds differ. */
AQ_API aq_status aq_quantity_in(double *out, aq_quantity quantity, const aq_measure *measure, aq_error *err);

extern AQ_API const aq_kind AQ_KIND_SHARE, AQ_KIND_VOLUME, AQ_KIND_MASS, AQ_KIND_EC, AQ_KIND_RATE,
    AQ_KIND_CONTENT, AQ_KIND_AMOUNT, AQ_KIND_MOLARITY, AQ_KIND_HARDNESS, AQ_KIND_TEMPERATURE, AQ_KIND_TIME,
    AQ_KIND_FLOW;

#endif
