/* The unit table. Each factor stands with its source; what is exact by definition is written as the definition.
 *
 * Sources: NIST SP 811 (2008), appendix B.8 and B.9; NIST Handbook 44, appendix C (US gallon, 231 cubic inches); the
 * International System itself for prefixes. EC at 25 degC as in ISO 7888. The ppm scales of conductivity meters are
 * conventions of the trade: the reading is EC in mS/cm times the number in the scale's name. */
#include "measure/unit.h"

#include <string.h>

#define MASS                                                                                                 \
    {                                                                                                        \
        .mass = 1                                                                                            \
    }
#define VOLUME                                                                                               \
    {                                                                                                        \
        .volume = 1                                                                                          \
    }
#define RATE                                                                                                 \
    {                                                                                                        \
        .rate = 1                                                                                            \
    }
#define CONTENT                                                                                              \
    {                                                                                                        \
        .mass = 1, .volume = -1                                                                              \
    }
#define AMOUNT                                                                                               \
    {                                                                                                        \
        .amount = 1                                                                                          \
    }
#define CHARGE                                                                                               \
    {                                                                                                        \
        .charge = 1                                                                                          \
    }
#define HARDNESS                                                                                             \
    {                                                                                                        \
        .charge = 1, .volume = -1                                                                            \
    }
#define EC                                                                                                   \
    {                                                                                                        \
        .ec = 1                                                                                              \
    }
#define TIME                                                                                                 \
    {                                                                                                        \
        .time = 1                                                                                            \
    }
#define HEAT                                                                                                 \
    {                                                                                                        \
        .heat = 1                                                                                            \
    }
#define LENGTH                                                                                               \
    {                                                                                                        \
        .length = 1                                                                                          \
    }
#define SHARE                                                                                                \
    {                                                                                                        \
        .mass = 0                                                                                            \
    }

static const char si[] = "SI prefix, exact";
static const char sp811[] = "NIST SP 811 (2008) B.8, exact by definition";
static const char sp811_b9[] = "NIST SP 811 (2008) B.9, exact by definition";
static const char scale[] = "meter scale: mS/cm times the number in its name, common practice";

/* Litres in a US gallon, 231 cubic inches of 2.54 cm; in an imperial one. */
#define GALLON_US 3.785411784
#define GALLON_IMPERIAL 4.54609
/* Grams in an avoirdupois pound and in a grain, 1/7000 of it. */
#define POUND 453.59237
#define GRAIN 0.06479891
/* Grams per equivalent: half the molar masses of CaCO3 and CaO by CIAAW 2021. */
#define CACO3_PER_EQ ((40.078 + 12.011 + 3 * 15.999) / 2)
#define CAO_PER_EQ ((40.078 + 15.999) / 2)

static const aq_unit units[] = {
    { "g", MASS, 1, 0, si },
    { "kg", MASS, 1e3, 0, si },
    { "mg", MASS, 1e-3, 0, si },
    { "ug", MASS, 1e-6, 0, si },
    { "lb", MASS, POUND, 0, sp811 },
    { "oz", MASS, POUND / 16, 0, sp811 },
    { "gr", MASS, GRAIN, 0, sp811 },
    { "L", VOLUME, 1, 0, si },
    { "mL", VOLUME, 1e-3, 0, si },
    { "cL", VOLUME, 1e-2, 0, si },
    { "dL", VOLUME, 1e-1, 0, si },
    { "uL", VOLUME, 1e-6, 0, si },
    { "m3", VOLUME, 1e3, 0, si },
    { "cm3", VOLUME, 1e-3, 0, si },
    { "ft3", VOLUME, 28.316846592, 0, sp811 },
    { "in3", VOLUME, 0.016387064, 0, sp811 },
    { "gal-us", VOLUME, GALLON_US, 0, sp811 },
    { "gal-imp", VOLUME, GALLON_IMPERIAL, 0, sp811 },
    { "qt-us", VOLUME, GALLON_US / 4, 0, sp811 },
    { "qt-imp", VOLUME, GALLON_IMPERIAL / 4, 0, "a quarter of 4.54609 L, exact" },
    { "pt-us", VOLUME, GALLON_US / 8, 0, sp811 },
    { "pt-imp", VOLUME, GALLON_IMPERIAL / 8, 0, "an eighth of 4.54609 L, exact" },
    { "cup-us", VOLUME, GALLON_US / 16, 0, sp811 },
    { "cup-metric", VOLUME, 0.240, 0, "21 CFR 101.9(b)(5)(viii), exact for labelling" },
    { "fl-oz-us", VOLUME, GALLON_US / 128, 0, sp811 },
    { "fl-oz-imp", VOLUME, GALLON_IMPERIAL / 160, 0, sp811_b9 },
    { "fl-oz-metric", VOLUME, 0.030, 0, "21 CFR 101.9(b)(5)(viii), exact for labelling" },
    { "tbsp-us", VOLUME, GALLON_US / 256, 0, sp811_b9 },
    { "tbsp-metric", VOLUME, 0.015, 0, "21 CFR 101.9(b)(5)(viii), exact for labelling" },
    { "tsp-us", VOLUME, GALLON_US / 768, 0, sp811_b9 },
    { "tsp-metric", VOLUME, 0.005, 0, "21 CFR 101.9(b)(5)(viii), exact for labelling" },
    { "mol", AMOUNT, 1, 0, si },
    { "mmol", AMOUNT, 1e-3, 0, si },
    { "umol", AMOUNT, 1e-6, 0, si },
    { "eq", CHARGE, 1, 0, si },
    { "meq", CHARGE, 1e-3, 0, si },
    { "ueq", CHARGE, 1e-6, 0, si },
    { "gpg-us", HARDNESS, GRAIN / GALLON_US / CACO3_PER_EQ, 0, "grain of CaCO3 per US gallon; CIAAW 2021" },
    { "gpg-imp", HARDNESS, GRAIN / GALLON_IMPERIAL / CACO3_PER_EQ, 0,
      "grain of CaCO3 per imperial gallon; CIAAW 2021" },
    { "dH", HARDNESS, 0.010 / CAO_PER_EQ, 0, "10 mg CaO in a litre; CIAAW 2021" },
    { "fH", HARDNESS, 0.010 / CACO3_PER_EQ, 0, "10 mg CaCO3 in a litre; CIAAW 2021" },
    { "mS/cm", EC, 1, 0, si },
    { "dS/m", EC, 1, 0, si },
    { "mS/m", EC, 1e-2, 0, si },
    { "S/m", EC, 10, 0, si },
    { "uS/cm", EC, 1e-3, 0, si },
    { "mmho/cm", EC, 1, 0, "NIST SP 811 (2008) B.9: 1 mho is 1 S" },
    { "umho/cm", EC, 1e-3, 0, "NIST SP 811 (2008) B.9: 1 mho is 1 S" },
    { "CF", EC, 0.1, 0, "conductivity factor, a tenth of a mS/cm, common practice" },
    { "ppm-500", EC, 1.0 / 500, 0, scale },
    { "ppm-640", EC, 1.0 / 640, 0, scale },
    { "ppm-700", EC, 1.0 / 700, 0, scale },
    { "d", TIME, 1, 0, "86400 s, exact" },
    { "h", TIME, 1.0 / 24, 0, "3600 s, exact" },
    { "min", TIME, 1.0 / 1440, 0, "60 s, exact" },
    { "s", TIME, 1.0 / 86400, 0, si },
    { "week", TIME, 7, 0, "seven days, exact" },
    { "degC", HEAT, 1, 0, si },
    { "degF", HEAT, 1 / 1.8, -32, "NIST SP 811 (2008) B.8: t_C = (t_F - 32) / 1.8" },
    { "m", LENGTH, 1, 0, si },
    { "cm", LENGTH, 1e-2, 0, si },
    { "mm", LENGTH, 1e-3, 0, si },
    { "in", LENGTH, 0.0254, 0, sp811 },
    { "ft", LENGTH, 0.3048, 0, sp811 },
    { "%", SHARE, 1e-2, 0, si },
    { "%w/w", SHARE, 1e-2, 0, "gram in 100 g" },
    { "%w/v", CONTENT, 10, 0, "gram in 100 mL" },
    { "%v/v", RATE, 1e-2, 0, "millilitre in 100 mL" },
};
enum { UNITS = sizeof units / sizeof *units };

/* Other spellings of one unit. */
static const struct {
    const char *word, *name;
} spellings[] = {
    { "l", "L" },
    { "ml", "mL" },
    { "ul", "uL" },
    { "litre", "L" },
    { "litres", "L" },
    { "liter", "L" },
    { "liters", "L" },
    { "cc", "cm3" },
    { "gram", "g" },
    { "grams", "g" },
    { "day", "d" },
    { "days", "d" },
    { "hour", "h" },
    { "hours", "h" },
    { "minutes", "min" },
    { "weeks", "week" },
    { "% w/w", "%w/w" },
    { "% w/v", "%w/v" },
    { "% v/v", "%v/v" },
    { "ms/cm", "mS/cm" },
    { "us/cm", "uS/cm" },
    { "US/cm", "uS/cm" },
    { "fl oz-us", "fl-oz-us" },
    { "fl oz-imp", "fl-oz-imp" },
    { "pct", "%" },
    { "percent", "%" },
};
enum { SPELLINGS = sizeof spellings / sizeof *spellings };

/* Words that mean another amount on each side of the Atlantic. An imperial gallon has no spoon of its own in law, so a
 * spoon stays the US one, 4.929 mL; tsp-metric says 5 mL. */
static const struct {
    const char *word, *us, *imperial;
} bare[] = {
    { "gal", "gal-us", "gal-imp" },       { "gallon", "gal-us", "gal-imp" },
    { "gallons", "gal-us", "gal-imp" },   { "fl-oz", "fl-oz-us", "fl-oz-imp" },
    { "fl oz", "fl-oz-us", "fl-oz-imp" }, { "qt", "qt-us", "qt-imp" },
    { "pt", "pt-us", "pt-imp" },          { "tsp", "tsp-us", "tsp-us" },
    { "tbsp", "tbsp-us", "tbsp-us" },     { "gpg", "gpg-us", "gpg-imp" },
};
enum { BARE = sizeof bare / sizeof *bare };

const aq_unit *aq_unit_table(size_t *count)
{
    *count = UNITS;
    return units;
}

bool aq_kind_equal(aq_kind a, aq_kind b)
{
    return a.mass == b.mass && a.volume == b.volume && a.rate == b.rate && a.amount == b.amount &&
           a.charge == b.charge && a.ec == b.ec && a.time == b.time && a.heat == b.heat &&
           a.length == b.length;
}

const char *aq_kind_says(aq_kind kind)
{
    static const struct {
        aq_kind kind;
        const char *says;
    } words[] = {
        { SHARE, "a share" },
        { MASS, "a mass" },
        { VOLUME, "a volume" },
        { RATE, "a rate" },
        { CONTENT, "a mass per volume" },
        { AMOUNT, "an amount of substance" },
        { { .amount = 1, .volume = -1 }, "an amount of substance per volume" },
        { CHARGE, "an amount of charge" },
        { HARDNESS, "a hardness or alkalinity" },
        { EC, "an EC" },
        { TIME, "a time" },
        { HEAT, "a temperature" },
        { LENGTH, "a length" },
        { { .volume = 1, .time = -1 }, "a volume per time" },
        { { .heat = -1 }, "a share per degree" },
        { { .ec = 1, .rate = -1 }, "an EC per rate" },
        { { .ec = 1, .mass = -1, .volume = 1 }, "an EC per mass per volume" },
    };

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (aq_kind_equal(words[i].kind, kind))
            return words[i].says;
    return "a quantity of another kind";
}

static const aq_unit *by_name(const char *name)
{
    for (size_t i = 0; i < UNITS; i++)
        if (strcmp(units[i].name, name) == 0)
            return &units[i];
    return NULL;
}

static bool is(const char *word, const char *text, size_t length)
{
    return strlen(word) == length && memcmp(word, text, length) == 0;
}

static aq_status ask_gallon(aq_error *err, const char *text, size_t length)
{
    aq_place place = { NULL, 1, 1, (int)length };
    aq_status status =
        aq_fail(err, AQ_AMBIGUOUS, place,
                "%.*s: of the US gallon (3.785 L) or the imperial one (4.546 L)? Say gallon: us or "
                "imperial, or write the unit with -us or -imp",
                (int)length, text);

    if (err && err->status == AQ_AMBIGUOUS)
        err->question = (aq_question){
            .key = "gallon",
            .count = 2,
            .choice = { { "us", "US gallon, 3.785 L" }, { "imperial", "imperial gallon, 4.546 L" } },
        };
    return status;
}

static aq_status ask_ppm(aq_error *err)
{
    aq_place place = { NULL, 1, 1, 3 };
    aq_status status =
        aq_fail(err, AQ_AMBIGUOUS, place,
                "ppm on a meter counts 500, 640 or 700 for 1 mS/cm: which scale? Say ppm: 500, 640 or "
                "700, or write ppm-500, ppm-640 or ppm-700");

    if (err && err->status == AQ_AMBIGUOUS)
        err->question = (aq_question){
            .key = "ppm",
            .count = 3,
            .choice = { { "500", "500 for 1 mS/cm" },
                        { "640", "640 for 1 mS/cm" },
                        { "700", "700 for 1 mS/cm" } },
        };
    return status;
}

static aq_status find_bare(const aq_unit **out, size_t which, const char *text, size_t length, aq_said *said,
                           aq_error *err)
{
    if (said->gallon == AQ_GALLON_UNSAID)
        return ask_gallon(err, text, length);
    said->used_gallon = true;
    *out = by_name(said->gallon == AQ_GALLON_US ? bare[which].us : bare[which].imperial);
    return AQ_OK;
}

static aq_status find_ppm(const aq_unit **out, aq_said *said, aq_error *err)
{
    if (said->ppm != 500 && said->ppm != 640 && said->ppm != 700)
        return ask_ppm(err);
    said->used_ppm = true;
    *out = by_name(said->ppm == 500 ? "ppm-500" : said->ppm == 640 ? "ppm-640" : "ppm-700");
    return AQ_OK;
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Edits between two short words, letters of either case alike (Levenshtein 1966). */
static size_t edits(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t row[33];

    if (a_length > 32 || b_length > 32)
        return 99;
    for (size_t j = 0; j <= b_length; j++)
        row[j] = j;
    for (size_t i = 1; i <= a_length; i++) {
        size_t corner = row[0];

        row[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            size_t change = corner + (lower(a[i - 1]) != lower(b[j - 1]));

            corner = row[j];
            row[j] = row[j] + 1 < change ? row[j] + 1 : change;
            if (row[j - 1] + 1 < row[j])
                row[j] = row[j - 1] + 1;
        }
    }
    return row[b_length];
}

static const char *nearest_unit(const char *text, size_t length)
{
    size_t best = 1 + length / 3;
    const char *name = NULL;

    for (size_t i = 0; i < UNITS; i++) {
        size_t away = edits(text, length, units[i].name, strlen(units[i].name));

        if (away < best) {
            best = away;
            name = units[i].name;
        }
    }
    return name;
}

aq_status aq_unit_find(const aq_unit **out, const char *text, size_t length, aq_said *said, aq_error *err)
{
    const char *near;

    *out = NULL;
    for (size_t i = 0; i < UNITS; i++)
        if (is(units[i].name, text, length)) {
            *out = &units[i];
            return AQ_OK;
        }
    for (size_t i = 0; i < BARE; i++)
        if (is(bare[i].word, text, length))
            return find_bare(out, i, text, length, said, err);
    if (is("ppm", text, length))
        return find_ppm(out, said, err);
    for (size_t i = 0; i < SPELLINGS; i++)
        if (is(spellings[i].word, text, length)) {
            *out = by_name(spellings[i].name);
            return AQ_OK;
        }
    near = nearest_unit(text, length);
    return aq_fail(err, AQ_UNKNOWN_UNIT, (aq_place){ NULL, 1, 1, (int)length },
                   "%.*s is not a unit we know%s%s%s", (int)length, text, near ? "; is it " : "",
                   near ? near : "", near ? "?" : "");
}

/* The longest word of `words` that stands at `text`. */
static void longer(const char *word, const char *text, size_t *best)
{
    size_t length = strlen(word);

    if (length > *best && strncmp(word, text, length) == 0)
        *best = length;
}

size_t aq_unit_length(const char *text)
{
    size_t best = 0;

    for (size_t i = 0; i < UNITS; i++)
        longer(units[i].name, text, &best);
    for (size_t i = 0; i < BARE; i++)
        longer(bare[i].word, text, &best);
    for (size_t i = 0; i < SPELLINGS; i++)
        longer(spellings[i].word, text, &best);
    longer("ppm", text, &best);
    return best;
}

double aq_unit_caco3(void)
{
    return CACO3_PER_EQ;
}
