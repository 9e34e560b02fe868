/* Any quantity in any unit, with the factor and where it comes from.
 *
 *     result = (value x bridge) / unit        bridge: 1 between units of one kind
 *
 * A density leads from volume to mass, a formula from mass to moles, and a formula with `as` from what holds an element
 * to what it is counted as (P2O5 to P, K-IBA to IBA). Both may stand behind their unit: 50 mg/L NO3 to mg/L NO3-N.
 * Example: 135 mL at 1.26 kg/L is 170.1 g. */
#include "job/counted.h"
#include "job/rows.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/decimal.h"
#include "chemistry/formula.h"
#include "chemistry/ion.h"

static const aq_field convert_rows[] = {
    { .key = "quantity",
      .read = AQ_READ_TEXT,
      .into = AQ_INTO(quantity),
      .help = "what to convert: a number with its unit, and behind it what it is of",
      .example = "135 mL" },
    { .key = "to",
      .read = AQ_READ_TEXT,
      .into = AQ_INTO(unit),
      .help = "the unit wanted, and behind it what it is counted as",
      .example = "oz/100 gal-us" },
    AQ_ROW_DENSITY,
    { .key = "formula",
      .read = AQ_READ_TEXT,
      .into = AQ_INTO(formula),
      .help = "what it is of, for moles, charges and `as`",
      .example = "P2O5" },
    { .key = "as",
      .read = AQ_READ_TEXT,
      .into = AQ_INTO(as),
      .help = "what it is to be counted as",
      .example = "P" },
    AQ_ROWS_OF_EVERY_JOB,
};
static const aq_shape convert_asks = {
    .noun = "convert", .fields = convert_rows, .count = AQ_ROWS_COUNT(convert_rows), .size = sizeof(aq_asked)
};

typedef struct {
    aq_arena *arena;
    const aq_asked *asked;
    aq_error *err;
    aq_said said;
    const char *quantity, *unit; /* as asked, without the names behind them */
    const char *formula, *as;    /* what it is of, and counted as; NULL: not said */
    aq_quantity value;
    aq_measure from, to; /* the units of the quantity, and those wanted */
    double bridge;       /* base units of the kind wanted in one of the kind given */
    const char *bridge_says;
    double counted; /* g of `as` in one g of `formula`; 1 without them */
    double result;
} conversion;

/* A text was read here and not by the walker, so the key goes in front here too. */
static aq_status blame(const conversion *c, const char *key, aq_status status)
{
    if (c->err) {
        c->err->place = (aq_place){ 0 };
        aq_error_within(c->err, "%s: ", key);
    }
    return status;
}

/* ---- names ---- */

/* The unit behind the number, which may be a fraction; the whole text where it is a unit alone. */
static const char *unit_in(const char *text)
{
    const char *unit = text + strspn(text, "+-0123456789./ eE");

    while (unit > text && (unit[-1] == 'e' || unit[-1] == 'E'))
        unit--;
    return *unit ? unit : text;
}

/* The last word of a quantity or unit that makes no unit of it, but names a substance: the P2O5 of "150 mg/L P2O5". It
 * is taken from the text and must not differ from what its option says. */
static aq_status take_name(conversion *c, const char *key, const char **text, const char *option,
                           const char **name)
{
    const char *space = strrchr(*text, ' '), *word = space ? space + 1 : "";
    aq_formula formula;
    aq_measure measure;
    const aq_unit *unit;
    char *before;

    if (!((*word >= 'A' && *word <= 'Z') || *word == '(' || aq_formula_of_name(word)) ||
        aq_measure_read(&measure, unit_in(*text), &c->said, NULL) == AQ_OK ||
        aq_unit_find(&unit, word, strlen(word), &c->said, NULL) == AQ_OK ||
        aq_formula_read(&formula, aq_counted_formula(word), NULL) != AQ_OK)
        return AQ_OK;
    if (*name && strcmp(*name, word) != 0)
        return aq_fail(c->err, AQ_CONFLICT, (aq_place){ 0 }, "%s: %s is said here, and %s by %s: give one",
                       key, word, *name, option);
    before = aq_arena_text(c->arena, *text, (size_t)(space - *text));
    if (!before)
        return AQ_NO_MEMORY;
    *text = before;
    *name = word;
    return AQ_OK;
}

static aq_status take_names(conversion *c)
{
    aq_status status;

    c->quantity = c->asked->quantity;
    c->unit = c->asked->unit;
    c->formula = c->asked->formula;
    c->as = c->asked->as;
    status = take_name(c, "quantity", &c->quantity, "formula", &c->formula);
    return status == AQ_OK ? take_name(c, "to", &c->unit, "as", &c->as) : status;
}

/* ---- the quantity and the unit ---- */

/* What stands behind a number: a ratio goes on with its word and another number. "10 in" is a length. */
static bool is_ratio(const char *text)
{
    static const char *const words[] = { "in", "plus", ":" };

    text += strspn(text, "0123456789. ");
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        size_t length = strlen(words[i]);
        const char *after = text + length;

        if (strncmp(text, words[i], length) == 0)
            return after[strspn(after, " ")] >= '0' && after[strspn(after, " ")] <= '9';
    }
    return false;
}

/* 1 in 200 is 5 mL/L, and as an injector counts it 0.5 %. */
static aq_status read_as_ratio(conversion *c)
{
    aq_ratio ratio;
    aq_status status = aq_ratio_read(&ratio, c->quantity, &c->said, c->err);
    aq_kind kind = aq_kind_equal(c->to.kind, AQ_KIND_SHARE) ? AQ_KIND_SHARE : AQ_KIND_RATE;

    if (status != AQ_OK)
        return blame(c, "quantity", status);
    c->value = aq_quantity_of(1 / ratio.parts, kind);
    c->from = (aq_measure){ .kind = kind, .factor = 1 / ratio.parts };
    return AQ_OK;
}

/* A bare % of a liquid has a basis, which is asked for. */
static aq_status read_as_strength(conversion *c)
{
    aq_strength strength;
    aq_status status = aq_strength_read(&strength, c->quantity, &c->said, c->err);
    aq_kind kind = strength.basis == AQ_BASIS_WW   ? AQ_KIND_SHARE
                   : strength.basis == AQ_BASIS_WV ? AQ_KIND_CONTENT
                                                   : AQ_KIND_RATE;

    if (status != AQ_OK)
        return blame(c, "quantity", status);
    c->value = aq_quantity_of(strength.value, kind);
    c->from = (aq_measure){ .kind = kind, .factor = strength.basis == AQ_BASIS_WV ? 10 : 0.01 };
    return AQ_OK;
}

static aq_status read_both(conversion *c)
{
    const aq_asked *asked = c->asked;
    aq_status status;

    if (!asked->quantity)
        return aq_ask_for(c->err, "quantity", "what is to be converted? Like 135 mL");
    if (!asked->unit)
        return aq_ask_for(c->err, "to", "into which unit? Like g, or oz/100 gal-us");
    c->said = asked->said;
    status = take_names(c);
    if (status != AQ_OK)
        return status;
    status = aq_measure_read(&c->to, c->unit, &c->said, c->err);
    if (status != AQ_OK)
        return blame(c, "to", status);
    if (is_ratio(c->quantity))
        return read_as_ratio(c);
    if (aq_kind_equal(c->to.kind, AQ_KIND_CONTENT) && strcmp(unit_in(c->quantity), "%") == 0)
        return read_as_strength(c);
    if (strcmp(unit_in(c->quantity), "ppm") == 0 &&
        (aq_kind_equal(c->to.kind, AQ_KIND_CONTENT) || aq_kind_equal(c->to.kind, AQ_KIND_SHARE)))
        return aq_ask_for(c->err, "quantity",
                          "ppm of a mass can be by volume or by mass: write mg/L or mg/kg");
    status = aq_quantity_read(&c->value, c->quantity, AQ_WANT_ANY, &c->said, c->err);
    if (status == AQ_OK)
        status = aq_measure_read(&c->from, unit_in(c->quantity), &c->said, c->err);
    return status == AQ_OK ? AQ_OK : blame(c, "quantity", status);
}

/* ---- from one kind to another ---- */

typedef enum { BY_DENSITY, BY_MOLES, BY_CHARGE, BY_CHARGES } bridge_by;

/* Each leads from the first kind to the second by a factor, and back by its inverse. */
static const struct {
    const aq_kind *from, *to;
    bridge_by by;
} bridges[] = {
    { &AQ_KIND_VOLUME, &AQ_KIND_MASS, BY_DENSITY },       { &AQ_KIND_RATE, &AQ_KIND_CONTENT, BY_DENSITY },
    { &AQ_KIND_SHARE, &AQ_KIND_CONTENT, BY_DENSITY },     { &AQ_KIND_AMOUNT, &AQ_KIND_MASS, BY_MOLES },
    { &AQ_KIND_MOLARITY, &AQ_KIND_CONTENT, BY_MOLES },    { &AQ_KIND_HARDNESS, &AQ_KIND_CONTENT, BY_CHARGE },
    { &AQ_KIND_MOLARITY, &AQ_KIND_HARDNESS, BY_CHARGES },
};

static aq_status by_density(conversion *c, double *factor)
{
    if (!c->asked->density.given)
        return aq_ask_for(c->err, "density", "between volume and mass it is needed, like 1.26 kg/L");
    *factor = c->asked->density.value;
    c->bridge_says = aq_arena_format(c->arena, "density %s", aq_say(c->arena, *factor / 1000, "kg/L"));
    return AQ_OK;
}

/* Moles are of what is counted: of `as` where it is given. */
static aq_status by_moles(conversion *c, double *factor)
{
    const char *name = c->as ? c->as : c->formula;
    aq_formula formula;
    aq_status status;

    if (!name)
        return aq_ask_for(c->err, "formula", "between grams and moles it is needed, like KNO3");
    status = aq_formula_read(&formula, aq_counted_formula(name), c->err);
    if (status != AQ_OK)
        return blame(c, "formula", status);
    *factor = formula.molar_mass;
    c->bridge_says =
        aq_arena_format(c->arena, "%s: %s, CIAAW 2021", name, aq_say(c->arena, *factor, "g/mol"));
    return AQ_OK;
}

static aq_status find_charges(const conversion *c, const char *name, int *charges)
{
    *charges = aq_counted_charges(name);
    return *charges
               ? AQ_OK
               : aq_ask_for(c->err, "formula",
                            "how many charges has one %s? Name an ion, like Ca, NO3 or HCO3, or CaCO3", name);
}

/* Between mass and charge what is weighed must be said: 40 mg/L of Ca and 100 mg/L of CaCO3 are both 2 meq/L. What is
 * counted as CaCO3 already is so much of it. */
static aq_status by_charge(conversion *c, double *factor)
{
    const char *name = c->formula;
    aq_formula formula;
    aq_status status;
    int charges;

    if (!name && aq_kind_equal(c->value.kind, AQ_KIND_CONTENT))
        return aq_ask_for(c->err, "formula", "between mass and charge it is needed, like Ca, HCO3 or CaCO3");
    if (!name)
        name = c->as ? c->as : "CaCO3";
    status = aq_formula_read(&formula, aq_counted_formula(name), c->err);
    if (status != AQ_OK)
        return blame(c, "formula", status);
    status = find_charges(c, name, &charges);
    if (status != AQ_OK)
        return status;
    *factor = formula.molar_mass / charges;
    c->bridge_says =
        aq_arena_format(c->arena, "1 eq is %s of %s, CIAAW 2021", aq_say(c->arena, *factor, "g"), name);
    return AQ_OK;
}

static aq_status by_charges(conversion *c, double *factor)
{
    const char *name = c->formula ? c->formula : c->as;
    int charges;
    aq_status status =
        name ? find_charges(c, name, &charges)
             : aq_ask_for(c->err, "formula", "between moles and charge it is needed, like Ca, HCO3 or CaCO3");

    if (status != AQ_OK)
        return status;
    *factor = charges;
    c->bridge_says = aq_arena_format(c->arena, "one %s is %d eq", name, charges);
    return AQ_OK;
}

static aq_status find_bridge(conversion *c)
{
    static aq_status (*const by[])(conversion *, double *) = { by_density, by_moles, by_charge, by_charges };

    c->bridge = 1;
    if (aq_kind_equal(c->value.kind, c->to.kind))
        return AQ_OK;
    for (size_t i = 0; i < sizeof bridges / sizeof *bridges; i++) {
        bool there =
            aq_kind_equal(c->value.kind, *bridges[i].from) && aq_kind_equal(c->to.kind, *bridges[i].to);
        bool back =
            aq_kind_equal(c->value.kind, *bridges[i].to) && aq_kind_equal(c->to.kind, *bridges[i].from);
        double factor = 1;
        aq_status status = there || back ? by[bridges[i].by](c, &factor) : AQ_OK;

        if (status != AQ_OK)
            return status;
        if (!there && !back)
            continue;
        c->bridge = there ? factor : 1 / factor;
        return c->bridge_says ? AQ_OK : AQ_NO_MEMORY;
    }
    return aq_fail(c->err, AQ_WRONG_KIND, (aq_place){ 0 },
                   "to: %s is %s, and %s is %s: nothing leads from one to the other", c->quantity,
                   aq_kind_says(c->value.kind), c->unit, aq_kind_says(c->to.kind));
}

/* g of `as` in a g of `formula`: what both hold counts. */
static aq_status find_counted(conversion *c)
{
    const char *from = c->formula, *to = c->as;
    aq_status status;

    c->counted = 1;
    if (!to || aq_kind_equal(c->to.kind, AQ_KIND_HARDNESS) ||
        (aq_kind_equal(c->value.kind, AQ_KIND_HARDNESS) &&
         (!from || aq_kind_equal(c->to.kind, AQ_KIND_MOLARITY))))
        return AQ_OK; /* whatever it is counted as, its charge is the same */
    if (!from)
        return aq_ask_for(c->err, "formula", "counted as %s: what is it of? Like P2O5", to);
    status = aq_counted_as(&c->counted, from, to, c->err);
    return status == AQ_OK ? AQ_OK : blame(c, "as", status);
}

/* ---- the sheet ---- */

static const char *say_factor(const conversion *c, double value)
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_figures(value, 9, false, digits);
    return aq_arena_format(c->arena, "%s", digits);
}

/* What a unit's factor counts: the unit of its kind that has the factor 1. */
static const char *base_of(aq_kind kind)
{
    size_t count;
    const aq_unit *units = aq_unit_table(&count);

    for (size_t i = 0; i < count; i++)
        if (units[i].factor == 1 && aq_kind_equal(units[i].kind, kind))
            return units[i].name;
    return aq_kind_equal(kind, AQ_KIND_HARDNESS) ? "eq/L" : "of one";
}

/* The units that a text is made of, each with its source. */
static bool why_units(aq_sheet *sheet, conversion *c, const char *text)
{
    while (*text) {
        size_t length = strcspn(text, "/. ");
        const aq_unit *unit;

        if (length && aq_unit_find(&unit, text, length, &c->said, NULL) == AQ_OK && unit->factor != 1 &&
            !aq_sheet_why(sheet, "%s: %s %s; %s", unit->name, say_factor(c, unit->factor),
                          base_of(unit->kind), unit->source))
            return false;
        text += length;
        text += strspn(text, "/. 0123456789");
    }
    return true;
}

static bool add_why(aq_sheet *sheet, conversion *c)
{
    if (is_ratio(c->quantity)
            ? !aq_sheet_why(sheet, "1 part in %s of the result", say_factor(c, 1 / c->value.value))
            : !why_units(sheet, c, unit_in(c->quantity)))
        return false;
    if (!why_units(sheet, c, c->unit))
        return false;
    if (c->bridge_says && !aq_sheet_why(sheet, "%s", c->bridge_says))
        return false;
    return c->counted == 1 || /* exactly 1 where nothing was counted */
           aq_sheet_why(sheet, "1 g of %s counts as %s g of %s, CIAAW 2021",
                        c->formula ? c->formula : "CaCO3", say_factor(c, c->counted), c->as);
}

static bool add_figures(aq_sheet *sheet, const conversion *c)
{
    double factor = c->from.factor * c->bridge * c->counted / c->to.factor;
    bool shifted = fabs(c->from.offset) + fabs(c->to.offset) > 0; /* degF has no one factor */

    return aq_sheet_figure(sheet, "result", c->result, c->unit) &&
           (shifted || aq_sheet_figure(sheet, "factor", factor, "1"));
}

static aq_status convert_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    conversion c = { .arena = arena, .asked = asked, .err = err };
    aq_status status = read_both(&c);
    aq_sheet *sheet;

    if (status == AQ_OK)
        status = find_counted(&c);
    if (status == AQ_OK)
        status = find_bridge(&c);
    if (status != AQ_OK)
        return status;
    c.result = c.value.value * c.bridge * c.counted / c.to.factor - c.to.offset;
    sheet = aq_sheet_new(arena, "convert");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title = aq_arena_format(arena, "%s in %s", asked->quantity, asked->unit);
    if (!sheet->title || !add_figures(sheet, &c) || !add_why(sheet, &c))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

const aq_job aq_job_convert = {
    .name = "convert",
    .does = "any quantity in any unit, with the exact factor and its source",
    .asks = &convert_asks,
    .run = convert_run,
    .positional = "quantity",
    .example = "aliquot convert 833.3mg/L --to 'oz/100 gal-us'",
};
