/* The unit table, and units by their names.
 *
 * base = (value + offset) * factor, so 62 degF is (62 - 32) / 1.8 = 16.67 degC and 2 tsp-us is 2 * 4.92892159375e-3 L.
 *
 * Sources: NIST SP 811 (2008) Appendix B.8 and B.9 give each factor marked SP 811; "exact" means that it follows from
 * definitions without rounding. The pint, quart and ounce of the imperial gallon are its 1/8, 1/4 and 1/160. ISO 7888
 * reckons EC at 25 degC. The factors of the ppm scales are their names: ppm-500 shows 500 for 1 mS/cm.
 *
 * Hardness counted as CaCO3 becomes charge with 100.086 g/mol and two charges: 40.078 + 12.011 + 3 * 15.999, the
 * conventional weights of CIAAW 2021, so 1 meq/L is 50.043 mg/L CaCO3. A German degree is 10 mg CaO/L (56.077 g/mol),
 * a French degree 10 mg CaCO3/L. */
#include "measure/unit.h"

#include "measure/calcium_carbonate.h"
#include "measure/reader.h"

#include <string.h>

#define CAO_PER_EQ ((40.078 + 15.999) / 2) /* g/eq */

#define EXACT_SI "SI, exact"
#define B8 "NIST SP 811 B.8, exact"
#define B9 "NIST SP 811 B.9, exact"
#define IMPERIAL "a fraction of 4.546 09 L, NIST SP 811 B.8, exact"
#define LABELLING "21 CFR 101.9(b)(5)(viii), exact"
#define SCALE "the factor is the scale's name"

#define SHARE                                                                                                \
    {                                                                                                        \
        .mass = 0                                                                                            \
    }
#define MASS                                                                                                 \
    {                                                                                                        \
        .mass = 1                                                                                            \
    }
#define VOLUME                                                                                               \
    {                                                                                                        \
        .volume = 1                                                                                          \
    }
#define EC                                                                                                   \
    {                                                                                                        \
        .ec = 1                                                                                              \
    }
#define TIME                                                                                                 \
    {                                                                                                        \
        .time = 1                                                                                            \
    }
#define LENGTH                                                                                               \
    {                                                                                                        \
        .length = 1                                                                                          \
    }
#define HARDNESS                                                                                             \
    {                                                                                                        \
        .charge = 1, .volume = -1                                                                            \
    }

static const aq_unit units[] = {
    /* volume */
    { "L", VOLUME, 1, 0, EXACT_SI },
    { "mL", VOLUME, 1e-3, 0, EXACT_SI },
    { "cL", VOLUME, 1e-2, 0, EXACT_SI },
    { "dL", VOLUME, 1e-1, 0, EXACT_SI },
    { "uL", VOLUME, 1e-6, 0, EXACT_SI },
    { "m3", VOLUME, 1e3, 0, B8 },
    { "cm3", VOLUME, 1e-3, 0, B8 },
    { "in3", VOLUME, 0.016387064, 0, B8 },
    { "ft3", VOLUME, 28.316846592, 0, B8 },
    { "gal-us", VOLUME, 3.785411784, 0, B8 },
    { "gal-imp", VOLUME, 4.54609, 0, B8 },
    { "qt-us", VOLUME, 0.946352946, 0, B8 },
    { "qt-imp", VOLUME, 1.1365225, 0, IMPERIAL },
    { "pt-us", VOLUME, 0.473176473, 0, B8 },
    { "pt-imp", VOLUME, 0.56826125, 0, IMPERIAL },
    { "cup-us", VOLUME, 0.2365882365, 0, B8 },
    { "cup-metric", VOLUME, 0.24, 0, LABELLING },
    { "fl-oz-us", VOLUME, 0.0295735295625, 0, B8 },
    { "fl-oz-imp", VOLUME, 0.0284130625, 0, IMPERIAL },
    { "fl-oz-metric", VOLUME, 0.03, 0, LABELLING },
    { "tbsp-us", VOLUME, 0.01478676478125, 0, B9 },
    { "tbsp-metric", VOLUME, 0.015, 0, LABELLING },
    { "tsp-us", VOLUME, 0.00492892159375, 0, B9 },
    { "tsp-metric", VOLUME, 0.005, 0, LABELLING },

    /* mass */
    { "g", MASS, 1, 0, EXACT_SI },
    { "kg", MASS, 1e3, 0, EXACT_SI },
    { "mg", MASS, 1e-3, 0, EXACT_SI },
    { "ug", MASS, 1e-6, 0, EXACT_SI },
    { "oz", MASS, 28.349523125, 0, B8 },
    { "lb", MASS, 453.59237, 0, B8 },
    { "grain", MASS, 0.06479891, 0, B8 },

    /* EC at 25 degC */
    { "mS/cm", EC, 1, 0, EXACT_SI },
    { "dS/m", EC, 1, 0, EXACT_SI },
    { "uS/cm", EC, 1e-3, 0, EXACT_SI },
    { "S/m", EC, 10, 0, EXACT_SI },
    { "mS/m", EC, 1e-2, 0, EXACT_SI },
    { "mmho/cm", EC, 1, 0, B9 },
    { "umho/cm", EC, 1e-3, 0, B9 },
    { "CF", EC, 0.1, 0, "10 CF is 1 mS/cm, common practice, no source" },
    { "ppm-500", EC, 1.0 / 500, 0, SCALE },
    { "ppm-640", EC, 1.0 / 640, 0, SCALE },
    { "ppm-700", EC, 1.0 / 700, 0, SCALE },

    /* share, and the percentages that say of what */
    { "%", SHARE, 0.01, 0, "one in a hundred, exact" },
    { "g/kg", SHARE, 1e-3, 0, EXACT_SI },
    { "mg/kg", SHARE, 1e-6, 0, EXACT_SI },
    { "ug/kg", SHARE, 1e-9, 0, EXACT_SI },
    { "%w/w", SHARE, 0.01, 0, "g in 100 g, exact" },
    { "%w/v", { .mass = 1, .volume = -1 }, 10, 0, "g in 100 mL, exact" },
    { "%v/v", { .rate = 1 }, 0.01, 0, "mL in 100 mL, exact" },

    /* amount and charge */
    { "mol", { .amount = 1 }, 1, 0, EXACT_SI },
    { "mmol", { .amount = 1 }, 1e-3, 0, EXACT_SI },
    { "umol", { .amount = 1 }, 1e-6, 0, EXACT_SI },
    { "eq", { .charge = 1 }, 1, 0, "one mole of charge, exact" },
    { "meq", { .charge = 1 }, 1e-3, 0, "one mole of charge, exact" },
    { "ueq", { .charge = 1 }, 1e-6, 0, "one mole of charge, exact" },
    { "gpg-us", HARDNESS, 0.06479891 / 3.785411784 / AQ_CACO3_PER_EQ, 0,
      "NIST SP 811 B.8, 64.798 91 mg of CaCO3 in 3.785 411 784 L; CIAAW 2021" },
    { "gpg-imp", HARDNESS, 0.06479891 / 4.54609 / AQ_CACO3_PER_EQ, 0,
      "NIST SP 811 B.8, 64.798 91 mg of CaCO3 in 4.546 09 L; CIAAW 2021" },
    { "dH", HARDNESS, 0.01 / CAO_PER_EQ, 0, "10 mg/L CaO, German degree, from memory; CIAAW 2021" },
    { "fH", HARDNESS, 0.01 / AQ_CACO3_PER_EQ, 0, "10 mg/L CaCO3, French degree, from memory; CIAAW 2021" },

    /* time, temperature, length */
    { "week", TIME, 7, 0, "7 d, exact" },
    { "d", TIME, 1, 0, "24 h, exact" },
    { "h", TIME, 1.0 / 24, 0, "NIST SP 811 B.8, 3600 s, exact" },
    { "min", TIME, 1.0 / 1440, 0, "NIST SP 811 B.8, 60 s, exact" },
    { "s", TIME, 1.0 / 86400, 0, EXACT_SI },
    { "degC", { .heat = 1 }, 1, 0, EXACT_SI },
    { "degF", { .heat = 1 }, 1 / 1.8, -32, "NIST SP 811 B.8, (t - 32) / 1.8, exact" },
    { "m", LENGTH, 1, 0, EXACT_SI },
    { "cm", LENGTH, 1e-2, 0, EXACT_SI },
    { "mm", LENGTH, 1e-3, 0, EXACT_SI },
    { "um", LENGTH, 1e-6, 0, EXACT_SI },
    { "in", LENGTH, 0.0254, 0, B8 },
    { "ft", LENGTH, 0.3048, 0, B8 },
};

enum { UNIT_COUNT = sizeof units / sizeof *units };

/* Other spellings of one name. The case of an EC cannot be meant otherwise. */
static const struct {
    const char *typed, *name;
} spellings[] = {
    { "l", "L" },
    { "ml", "mL" },
    { "ul", "uL" },
    { "cc", "cm3" },
    { "litre", "L" },
    { "litres", "L" },
    { "liter", "L" },
    { "liters", "L" },
    { "millilitre", "mL" },
    { "millilitres", "mL" },
    { "milliliter", "mL" },
    { "milliliters", "mL" },
    { "gallon", "gal" },
    { "gallons", "gal" },
    { "fl oz", "fl-oz" },
    { "fl oz-us", "fl-oz-us" },
    { "fl oz-imp", "fl-oz-imp" },
    { "teaspoon", "tsp" },
    { "teaspoons", "tsp" },
    { "tablespoon", "tbsp" },
    { "tablespoons", "tbsp" },
    { "gram", "g" },
    { "grams", "g" },
    { "grains", "grain" },
    { "ounce", "oz" },
    { "ounces", "oz" },
    { "lbs", "lb" },
    { "pound", "lb" },
    { "pounds", "lb" },
    { "ms/cm", "mS/cm" },
    { "us/cm", "uS/cm" },
    { "US/cm", "uS/cm" },
    { "weeks", "week" },
    { "day", "d" },
    { "days", "d" },
    { "hour", "h" },
    { "hours", "h" },
    { "hr", "h" },
    { "minute", "min" },
    { "minutes", "min" },
    { "C", "degC" },
    { "F", "degF" },
    { "degdH", "dH" },
    { "degfH", "fH" },
    { "percent", "%" },
    { "pct", "%" },
    { "PPM", "ppm" },
    { "Ppm", "ppm" },
    { "% w/w", "%w/w" },
    { "% w/v", "%w/v" },
    { "% v/v", "%v/v" },
};

/* Names that two countries fill differently. The imperial gallon has no spoon of its own in law, so a spoon is the US
 * one beside either gallon; a metric spoon must be named. */
typedef struct {
    const char *bare, *us, *imperial;
    const char *us_means, *imperial_means;
    const char *instead; /* what to write so that nothing is open */
} bare_name;

static const bare_name bare_names[] = {
    { "gal", "gal-us", "gal-imp", "US gallon, 3.785 L", "imperial gallon, 4.546 L", "gal-us or gal-imp" },
    { "qt", "qt-us", "qt-imp", "US quart, 0.946 L", "imperial quart, 1.137 L", "qt-us or qt-imp" },
    { "pt", "pt-us", "pt-imp", "US pint, 473 mL", "imperial pint, 568 mL", "pt-us or pt-imp" },
    { "fl-oz", "fl-oz-us", "fl-oz-imp", "US fluid ounce, 29.57 mL", "imperial fluid ounce, 28.41 mL",
      "fl-oz-us or fl-oz-imp" },
    { "tbsp", "tbsp-us", "tbsp-us", "US gallon, 3.785 L",
      "imperial gallon, 4.546 L; the spoon stays the US one, 14.79 mL", "tbsp-us or tbsp-metric" },
    { "tsp", "tsp-us", "tsp-us", "US gallon, 3.785 L",
      "imperial gallon, 4.546 L; the spoon stays the US one, 4.929 mL", "tsp-us or tsp-metric" },
    { "gpg", "gpg-us", "gpg-imp", "grain per US gallon, 17.12 mg/L CaCO3",
      "grain per imperial gallon, 14.25 mg/L CaCO3", "gpg-us or gpg-imp" },
};

static const struct {
    int scale;
    const char *unit;
} ppm_scales[] = { { 500, "ppm-500" }, { 640, "ppm-640" }, { 700, "ppm-700" } };

static const aq_question ppm_question = {
    .key = "ppm",
    .count = 3,
    .choice = { { "500", "500 ppm is 1 mS/cm" },
                { "640", "640 ppm is 1 mS/cm" },
                { "700", "700 ppm is 1 mS/cm" } },
};

static const struct {
    aq_kind kind;
    const char *says;
} kinds[] = {
    { SHARE, "a share" },
    { VOLUME, "a volume" },
    { MASS, "a mass" },
    { EC, "an EC" },
    { { .rate = 1 }, "a rate" },
    { { .mass = 1, .volume = -1 }, "a mass per volume" },
    { { .amount = 1 }, "an amount of substance" },
    { { .amount = 1, .volume = -1 }, "an amount of substance per volume" },
    { { .charge = 1 }, "an amount of charge" },
    { HARDNESS, "a hardness or alkalinity" },
    { { .heat = 1 }, "a temperature" },
    { TIME, "a time" },
    { { .volume = 1, .time = -1 }, "a volume per time" },
    { LENGTH, "a length" },
    { { .heat = -1 }, "a share per degree" },
    { { .ec = 1, .rate = -1 }, "an EC per rate" },
    { { .ec = 1, .mass = -1, .volume = 1 }, "an EC per mass per volume" },
    { { .ec = 1, .time = -1 }, "an EC per time" },
    { { .mass = 1, .time = -1 }, "a mass per time" },
    { { .amount = 1, .mass = -1 }, "an amount of substance per mass" },
    { { .charge = 1, .mass = -1 }, "a charge per mass" },
};

double aq_unit_caco3(void)
{
    return AQ_CACO3_PER_EQ;
}

bool aq_kind_equal(aq_kind a, aq_kind b)
{
    return memcmp(&a, &b, sizeof a) == 0; /* chars alone, so no byte lies between them */
}

const char *aq_kind_says(aq_kind kind)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (aq_kind_equal(kinds[i].kind, kind))
            return kinds[i].says;
    return "a compound quantity";
}

const aq_unit *aq_unit_table(size_t *count)
{
    *count = UNIT_COUNT;
    return units;
}

static const bare_name *bare_of(const char *name)
{
    for (size_t i = 0; i < sizeof bare_names / sizeof *bare_names; i++)
        if (strcmp(bare_names[i].bare, name) == 0)
            return &bare_names[i];
    return NULL;
}

const char *aq_unit_usual(const char *name)
{
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++)
        if (spellings[i].typed[0] == name[0] && strcmp(spellings[i].typed, name) == 0)
            return spellings[i].name;
    return name;
}

/* Whether `name` is the text and nothing more. */
static bool is_name(const char *name, const char *text, size_t length)
{
    size_t i = 0;

    while (i < length && name[i] == text[i] && name[i])
        i++;
    return i == length && !name[i];
}

const aq_unit *aq_unit_exact(const char *text, size_t length)
{
    for (size_t i = 0; length && i < UNIT_COUNT; i++)
        if (units[i].name[0] == text[0] && is_name(units[i].name, text, length))
            return &units[i];
    return NULL;
}

/* No other spelling is a name of the table, so most names are found at once. */
const aq_unit *aq_unit_named(const char *name)
{
    const aq_unit *unit = aq_unit_exact(name, strlen(name));
    const char *usual = unit ? name : aq_unit_usual(name);

    return usual == name ? unit : aq_unit_exact(usual, strlen(usual));
}

static aq_unit_name name_of(const char *typed, const char *name)
{
    const bare_name *bare = bare_of(name);
    const aq_unit *unit = aq_unit_named(bare ? bare->us : name);

    if (!unit) /* ppm */
        return (aq_unit_name){ typed, "ppm-500, ppm-640 or ppm-700", AQ_KIND_EC };
    return (aq_unit_name){ typed, bare ? bare->instead : name, unit->kind };
}

bool aq_unit_name_at(size_t i, aq_unit_name *out)
{
    enum { BARE = sizeof bare_names / sizeof *bare_names, OTHER = sizeof spellings / sizeof *spellings };

    if (i < UNIT_COUNT)
        *out = name_of(units[i].name, units[i].name);
    else if (i < UNIT_COUNT + BARE)
        *out = name_of(bare_names[i - UNIT_COUNT].bare, bare_names[i - UNIT_COUNT].bare);
    else if (i < UNIT_COUNT + BARE + OTHER)
        *out = name_of(spellings[i - UNIT_COUNT - BARE].typed, spellings[i - UNIT_COUNT - BARE].name);
    return i < UNIT_COUNT + BARE + OTHER;
}

static aq_status find_bare(const aq_unit **out, const bare_name *name, aq_said *said, aq_error *err)
{
    const aq_question question = { .key = "gallon",
                                   .count = 2,
                                   .choice = { { "us", name->us_means },
                                               { "imperial", name->imperial_means } } };

    if (said && said->gallon != AQ_GALLON_UNSAID) {
        said->used_gallon = true;
        *out = aq_unit_named(said->gallon == AQ_GALLON_US ? name->us : name->imperial);
        return AQ_OK;
    }
    if (err && err->status == AQ_OK) {
        aq_fail(err, AQ_AMBIGUOUS, (aq_place){ .line = 0 },
                "say gallon: us or gallon: imperial for %s, or write %s", name->bare, name->instead);
        err->question = question;
    }
    return AQ_AMBIGUOUS;
}

static aq_status find_ppm(const aq_unit **out, aq_said *said, aq_error *err)
{
    for (size_t i = 0; said && i < sizeof ppm_scales / sizeof *ppm_scales; i++)
        if (ppm_scales[i].scale == said->ppm) {
            said->used_ppm = true;
            *out = aq_unit_named(ppm_scales[i].unit);
            return AQ_OK;
        }
    if (err && err->status == AQ_OK) {
        aq_fail(err, AQ_AMBIGUOUS, (aq_place){ .line = 0 },
                "ppm on a meter counts 500, 640 or 700 for 1 mS/cm: say ppm: 500, 640 or 700, or write "
                "ppm-500, ppm-640 or ppm-700");
        err->question = ppm_question;
    }
    return AQ_AMBIGUOUS;
}

aq_status aq_unit_find(const aq_unit **out, const char *text, size_t length, aq_said *said, aq_error *err)
{
    aq_spelling plain;
    const bare_name *bare;
    const char *name = "";
    char near[AQ_HINT_ROOM];

    *out = aq_unit_exact(text, length);
    if (*out)
        return AQ_OK;
    if (aq_spelling_of(&plain, text, length))
        name = aq_unit_usual(plain.text);
    bare = bare_of(name);
    if (bare)
        return find_bare(out, bare, said, err);
    if (strcmp(name, "ppm") == 0)
        return find_ppm(out, said, err);
    *out = aq_unit_named(name);
    if (*out)
        return AQ_OK;
    if (!err || err->status != AQ_OK)
        return AQ_UNKNOWN_UNIT; /* the nearest takes longer to find than all the rest */
    if (!aq_hint_near(NULL, name, near, sizeof near))
        return aq_fail(err, AQ_UNKNOWN_UNIT, (aq_place){ .line = 0 }, "\"%.*s\" is not a unit we know",
                       aq_hint_shown(text, length), text);
    return aq_fail(err, AQ_UNKNOWN_UNIT, (aq_place){ .line = 0 },
                   "\"%.*s\" is not a unit we know; the nearest is %s", aq_hint_shown(text, length), text,
                   near);
}
