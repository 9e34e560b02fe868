/* Formulas, read by descent.
 *
 * Example: 5Ca(NO3)2.NH4NO3.10H2O has the components 5Ca(NO3)2, NH4NO3 and 10H2O, and 1080.71 g/mol. After a full
 * stop a number belongs to the component that it begins: CaSO4.0.5H2O has half a water. */
#include "chemistry/formula.h"

#include <math.h>
#include <string.h>

enum { MOST_ATOMS = 10000 };

typedef struct {
    const char *text, *at;
    aq_error *err;
} reader;

/* Not those of ctype.h: they follow the locale. */
static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_upper(char c)
{
    return c >= 'A' && c <= 'Z';
}

static bool is_lower(char c)
{
    return c >= 'a' && c <= 'z';
}

static int lower(char c)
{
    return is_upper(c) ? c - 'A' + 'a' : c;
}

/* The column in characters, for a message. */
static int column_of(const reader *in, const char *at)
{
    int column = 1;

    for (const char *p = in->text; p < at; p++)
        if (((unsigned char)*p & 0xC0) != 0x80)
            column++;
    return column;
}

/* Bytes of the character at `at`, so that a message shows it whole. */
static int width_of(const char *at)
{
    int width = *at ? 1 : 0;

    while (width && ((unsigned char)at[width] & 0xC0) == 0x80)
        width++;
    return width;
}

static aq_status fail_at(const reader *in, const char *at, const char *what)
{
    aq_place place = { NULL, 1, column_of(in, at), 1 };

    if (*at)
        return aq_fail(in->err, AQ_SYNTAX, place, "formula %s: %s, at \"%.*s\"", in->text, what, width_of(at),
                       at);
    return aq_fail(in->err, AQ_SYNTAX, place, "formula %s: %s, at its end", in->text, what);
}

/* A digit, plain or subscript (U+2080 to U+2089); -1: none. */
static int digit_at(const char *at, int *bytes)
{
    if (is_digit(*at)) {
        *bytes = 1;
        return *at - '0';
    }
    if (strncmp(at, "\xE2\x82", 2) == 0 && (unsigned char)at[2] >= 0x80 && (unsigned char)at[2] <= 0x89) {
        *bytes = 3;
        return (unsigned char)at[2] - 0x80;
    }
    return -1;
}

/* A whole number, or `otherwise` where there is none. */
static aq_status read_count(reader *in, double otherwise, double *out)
{
    const char *start = in->at;
    int bytes;
    double value = 0;

    for (int digit; (digit = digit_at(in->at, &bytes)) >= 0; in->at += bytes) {
        value = value * 10 + digit;
        if (value > MOST_ATOMS)
            return fail_at(in, start, "a number is too large");
    }
    *out = in->at == start ? otherwise : value;
    return *out > 0 ? AQ_OK : fail_at(in, start, "a number must be more than 0");
}

/* What a component begins with: nothing, 5, 0.5 or 1/2. */
static aq_status read_times(reader *in, double *out)
{
    const char *start = in->at;
    double value = 0, scale = 1, lower = 1;

    if (!is_digit(*in->at))
        return *out = 1, AQ_OK;
    for (; is_digit(*in->at) && value <= MOST_ATOMS; in->at++)
        value = value * 10 + (*in->at - '0');
    if (*in->at == '.' && is_digit(in->at[1]))
        for (in->at++; is_digit(*in->at) && scale < 1e6; in->at++)
            value += (*in->at - '0') / (scale *= 10);
    if (*in->at == '/') {
        in->at++;
        aq_status status = read_count(in, 0, &lower);
        if (status != AQ_OK)
            return status;
    }
    *out = value / lower;
    if (value > MOST_ATOMS)
        return fail_at(in, start, "a number is too large");
    return *out > 0 ? AQ_OK : fail_at(in, start, "a number must be more than 0");
}

static aq_status read_element(reader *in, double *count)
{
    size_t length = is_lower(in->at[1]) ? 2 : 1;
    aq_element element = aq_element_find(in->at, length);
    aq_place place = { NULL, 1, column_of(in, in->at), (int)length };
    double times = 1;

    if (element == AQ_ELEMENT_COUNT)
        return aq_fail(in->err, AQ_UNKNOWN_NAME, place, "formula %s: \"%.*s\" is not an element that we know",
                       in->text, (int)length, in->at);
    in->at += length;
    aq_status status = read_count(in, 1, &times);
    count[element] += times;
    return status;
}

static aq_status read_pieces(reader *in, double *count, int depth);

static aq_status read_group(reader *in, double *count, int depth)
{
    const char *open = in->at++;
    char close = *open == '(' ? ')' : ']';
    double inner[AQ_ELEMENT_COUNT] = { 0 };
    double times = 1;

    if (depth >= AQ_FORMULA_DEPTH)
        return fail_at(in, open, "groups are nested too deep");
    aq_status status = read_pieces(in, inner, depth + 1);
    if (status != AQ_OK)
        return status;
    if (*in->at != close)
        return fail_at(in, open, "a bracket is not closed");
    in->at++;
    status = read_count(in, 1, &times);
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        count[i] += inner[i] * times;
    return status;
}

static aq_status read_pieces(reader *in, double *count, int depth)
{
    const char *start = in->at;
    aq_status status = AQ_OK;

    while (status == AQ_OK) {
        if (is_upper(*in->at))
            status = read_element(in, count);
        else if (*in->at == '(' || *in->at == '[')
            status = read_group(in, count, depth);
        else
            break;
    }
    if (status == AQ_OK && in->at == start)
        return fail_at(in, start, "an element is wanted");
    return status;
}

/* Bytes of a separator: a full stop, an asterisk, or one of the dots and bullets that stand for it in print. */
static size_t separator_at(const char *at)
{
    static const char *const dots[] = {
        ".", "*", "\xC2\xB7", "\xE2\x8B\x85", "\xE2\x88\x99", "\xE2\x80\xA2"
    };

    for (size_t i = 0; i < sizeof dots / sizeof *dots; i++)
        if (strncmp(at, dots[i], strlen(dots[i])) == 0)
            return strlen(dots[i]);
    return 0;
}

static aq_status read_component(reader *in, aq_formula *out)
{
    double *count = out->component[out->components].count;
    double times = 1;
    aq_status status = read_times(in, &times);

    if (status == AQ_OK)
        status = read_pieces(in, count, 0);
    for (int i = 0; status == AQ_OK && i < AQ_ELEMENT_COUNT; i++) {
        out->count[i] += count[i] * times;
        out->molar_mass += count[i] * times * aq_element_of((aq_element)i)->weight;
    }
    out->component[out->components].times = times;
    out->components++;
    return status;
}

static aq_status read_formula(reader *in, aq_formula *out)
{
    aq_status status = read_component(in, out);

    while (status == AQ_OK && *in->at) {
        size_t dot = separator_at(in->at);
        if (dot == 0)
            return fail_at(in, in->at, "a formula has elements, numbers, brackets and dots");
        if (out->components == AQ_FORMULA_COMPONENTS)
            return fail_at(in, in->at, "it has too many components");
        in->at += dot;
        status = read_component(in, out);
    }
    return status;
}

aq_status aq_formula_read(aq_formula *out, const char *text, aq_error *err)
{
    static const aq_formula nothing;
    reader in = { text, text, err };

    *out = nothing;
    aq_status status = read_formula(&in, out);
    if (status != AQ_OK)
        *out = nothing;
    return status;
}

double aq_formula_share(const aq_formula *formula, aq_element element)
{
    return formula->count[element] * aq_element_of(element)->weight / formula->molar_mass;
}

static bool is_water(const double *count)
{
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        if (count[i] > 0 && i != AQ_EL_H && i != AQ_EL_O)
            return false;
    return count[AQ_EL_H] == 2 * count[AQ_EL_O];
}

double aq_formula_dry(double count[AQ_ELEMENT_COUNT], const aq_formula *formula)
{
    double dry = 0;
    size_t waters = 0;

    memset(count, 0, AQ_ELEMENT_COUNT * sizeof *count);
    for (size_t part = 0; part < formula->components; part++)
        waters += is_water(formula->component[part].count);
    for (size_t part = 0; part < formula->components; part++) {
        if (waters < formula->components && is_water(formula->component[part].count))
            continue; /* of a salt; water written in two pieces is still water */
        for (int i = 0; i < AQ_ELEMENT_COUNT; i++) {
            double atoms = formula->component[part].count[i] * formula->component[part].times;
            count[i] += atoms;
            dry += atoms * aq_element_of((aq_element)i)->weight;
        }
    }
    return formula->molar_mass > 0 ? dry / formula->molar_mass : 0;
}

bool aq_formula_same(const double a[AQ_ELEMENT_COUNT], const double b[AQ_ELEMENT_COUNT])
{
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++)
        if (a[i] != b[i])
            return false;
    return true;
}

aq_status aq_formula_factor(double *factor, const char *from, const char *to, aq_error *err)
{
    aq_formula a, b;
    aq_place nowhere = { 0 };
    aq_status status = aq_formula_read(&a, from, err);

    *factor = 0;
    if (status == AQ_OK)
        status = aq_formula_read(&b, to, err);
    if (status != AQ_OK)
        return status;
    for (int i = 0; i < AQ_ELEMENT_COUNT; i++) {
        if (i == AQ_EL_H || i == AQ_EL_O || a.count[i] <= 0 || b.count[i] <= 0)
            continue;
        double found = a.count[i] / b.count[i] * b.molar_mass / a.molar_mass;
        if (*factor > 0 && fabs(found - *factor) > 1e-9 * found) {
            *factor = 0;
            return aq_fail(err, AQ_CONFLICT, nowhere,
                           "%s and %s have two elements in common, in different proportions", from, to);
        }
        *factor = found;
    }
    if (*factor > 0)
        return AQ_OK;
    return aq_fail(err, AQ_CONFLICT, nowhere, "%s and %s have no element in common but oxygen and hydrogen",
                   from, to);
}

static bool same_word(const char *a, const char *b)
{
    while (*a && lower(*a) == lower(*b))
        a++, b++;
    return *a == *b;
}

const char *aq_formula_of_name(const char *name)
{
    static const struct {
        const char *name, *formula;
    } names[] = {
        { "IBA", "C12H13NO2" },         { "K-IBA", "C12H12KNO2" },
        { "NAA", "C12H10O2" },          { "K-NAA", "C12H9KO2" },
        { "urea", "CO(NH2)2" },         { "nitric acid", "HNO3" },
        { "nitric", "HNO3" },           { "phosphoric acid", "H3PO4" },
        { "phosphoric", "H3PO4" },      { "sulfuric acid", "H2SO4" },
        { "sulfuric", "H2SO4" },        { "sulphuric acid", "H2SO4" },
        { "sulphuric", "H2SO4" },       { "citric acid", "C6H8O7" },
        { "citric", "C6H8O7" },         { "hydrochloric acid", "HCl" },
        { "hydrochloric", "HCl" },      { "acetic acid", "C2H4O2" },
        { "acetic", "C2H4O2" },         { "potassium hydroxide", "KOH" },
        { "caustic potash", "KOH" },    { "hydrogen peroxide", "H2O2" },
        { "peroxide", "H2O2" },         { "isopropyl alcohol", "C3H8O" },
        { "isopropanol", "C3H8O" },     { "2-propanol", "C3H8O" },
        { "rubbing alcohol", "C3H8O" }, { "sodium hypochlorite", "NaClO" },
        { "ethanol", "C2H6O" },         { "ethyl alcohol", "C2H6O" },
    };

    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (same_word(names[i].name, name))
            return names[i].formula;
    return NULL;
}
