/* Unit expressions.
 *
 *     0.65 mS/cm per 100 mg/L
 *          ^^^^^ term, one name of the table
 *                    ^^^ ^^ ^ term of two pieces, the first with a number of its own
 *
 * A term is worked out from left to right. Dividing a volume by a volume gives a rate, which is never reduced further;
 * a mass per volume counted as CaCO3 becomes a charge per volume. */
#include "measure/reader.h"

#include <string.h>

#include "measure/calcium_carbonate.h"

enum { PIECES_MOST = 12, NAME_MOST = 40 };

/* In base units: times a number up to 1e15 it stays far from what a double can hold. */
#define FACTOR_LEAST 1e-60
#define FACTOR_MOST 1e60

/* a * b (sign 1) or a / b (sign -1). A volume divided by a volume becomes a rate. */
static aq_kind combine(aq_kind a, aq_kind b, int sign)
{
    if (sign < 0 && a.volume > 0 && b.volume > 0) {
        signed char pairs = a.volume < b.volume ? a.volume : b.volume;

        a.rate = (signed char)(a.rate + pairs);
    }
    a.mass = (signed char)(a.mass + sign * b.mass);
    a.volume = (signed char)(a.volume + sign * b.volume);
    a.rate = (signed char)(a.rate + sign * b.rate);
    a.amount = (signed char)(a.amount + sign * b.amount);
    a.charge = (signed char)(a.charge + sign * b.charge);
    a.ec = (signed char)(a.ec + sign * b.ec);
    a.time = (signed char)(a.time + sign * b.time);
    a.heat = (signed char)(a.heat + sign * b.heat);
    a.length = (signed char)(a.length + sign * b.length);
    return a;
}

static void join(aq_measure *into, const aq_measure *piece, int sign)
{
    into->kind = combine(into->kind, piece->kind, sign);
    into->factor = sign < 0 ? into->factor / piece->factor : into->factor * piece->factor;
    into->offset = 0; /* a degree of a step has no zero point */
    into->unit = NULL;
}

/* The longest name of the table has 11 letters; what is longer is no name, and is cut. */
static bool copy_name(char name[NAME_MOST + 1], const char *text, size_t length)
{
    size_t kept = length < NAME_MOST ? length : NAME_MOST;

    memcpy(name, text, kept);
    name[kept] = '\0';
    return kept == length;
}

static bool join_names(char name[NAME_MOST + 1], const char *first, size_t length, char mark,
                       const char *second, size_t second_length)
{
    if (length + 1 + second_length > NAME_MOST)
        return false;
    memcpy(name, first, length);
    name[length] = mark;
    memcpy(name + length + 1, second, second_length);
    name[length + 1 + second_length] = '\0';
    return true;
}

/* Where the name that begins at `at` ends: letters and digits, and what a hyphen joins. A hyphen before a digit is
 * part of a name only in a name of the table, so 2mL-4mL is a range and 900ppm-500 a reading. */
static size_t name_end(const aq_reader *reader, size_t at)
{
    const char *text = reader->plain.text;
    size_t end = at;

    while (aq_is_letter(text[end]) || (end > at && aq_is_digit(text[end])))
        end++;
    while (end > at && text[end] == '-' && aq_is_letter(text[end + 1]))
        for (end++; aq_is_letter(text[end]) || aq_is_digit(text[end]);)
            end++;
    if (end > at && text[end] == '-' && aq_is_digit(text[end + 1])) {
        char name[NAME_MOST + 1];
        size_t longer = end + 1;

        while (aq_is_digit(text[longer]))
            longer++;
        if (!aq_is_letter(text[longer]) && copy_name(name, text + at, longer - at) && aq_unit_named(name))
            end = longer;
    }
    return end;
}

/* "% w/v" */
static size_t percent_name(const char *text, size_t next, char *name)
{
    bool basis = (text[next] == 'w' || text[next] == 'v') && text[next + 1] == '/' &&
                 (text[next + 2] == 'w' || text[next + 2] == 'v') && !aq_is_letter(text[next + 3]);

    if (!basis)
        return 0;
    name[0] = '%';
    memcpy(name + 1, text + next, 3);
    name[4] = '\0';
    return next + 3;
}

/* What stands below the line in names of the table that have one: "mS/cm", "dS/m", "mg/kg". Most lines are divisions, as
 * in mL/L, and need no look at the table. */
static bool below_a_line(const char *text, size_t length)
{
    return (length == 1 && *text == 'm') ||
           (length == 2 && (memcmp(text, "cm", 2) == 0 || memcmp(text, "kg", 2) == 0));
}

/* Names of more than one word: "fl oz", "% w/v", "mS/cm". Writes the name without its spaces; returns where it ends,
 * or 0 when the name is not of that sort. */
static size_t long_name(const aq_reader *reader, size_t at, size_t end, char name[NAME_MOST + 1])
{
    const char *text = reader->plain.text;
    size_t next = aq_reader_space(reader, end), last, first = end - at;

    if (text[at] == '%')
        return percent_name(text, next, name);
    if (first == 2 && memcmp(text + at, "fl", 2) == 0 && strncmp(text + next, "oz", 2) == 0) {
        last = name_end(reader, next);
        return join_names(name, "fl", 2, '-', text + next, last - next) ? last : 0;
    }
    if (text[next] != '/')
        return 0;
    next = aq_reader_space(reader, next + 1);
    last = name_end(reader, next);
    if (!below_a_line(text + next, last - next) ||
        !join_names(name, text + at, first, '/', text + next, last - next))
        return 0;
    return aq_unit_named(name) ? last : 0;
}

/* ppm of a mass: of what, by volume or by mass? */
static aq_status ask_mass_ppm(aq_reader *reader, size_t from, size_t to)
{
    static const aq_question content = { .key = "mass-ppm",
                                         .count = 2,
                                         .choice = { { "mg/L", "mg in a litre of the solution" },
                                                     { "mg/kg", "mg in a kilogram" } } };
    static const aq_question hardness = { .key = "mass-ppm",
                                          .count = 1,
                                          .choice = { { "mg/L CaCO3", "counted as calcium carbonate" } } };

    if ((reader->want & (AQ_WANT_HARDNESS | AQ_WANT_CONTENT)) == AQ_WANT_HARDNESS)
        return aq_reader_ask(reader, from, to, &hardness,
                             "ppm of hardness or alkalinity does not say what is counted: write mg/L CaCO3");
    return aq_reader_ask(reader, from, to, &content,
                         "ppm of a mass can be by volume or by mass: write mg/L or mg/kg");
}

static aq_status find_unit(aq_reader *reader, size_t from, size_t to, const char *name, aq_measure *out)
{
    aq_status status;
    const aq_unit *unit;

    if (strcmp(aq_unit_usual(name), "ppm") == 0 &&
        (reader->after_per || !(reader->want & (AQ_WANT_EC | AQ_WANT_ANY | AQ_WANT_SLOPE))))
        return ask_mass_ppm(reader, from, to);
    unit = aq_unit_named(name);
    status = unit ? AQ_OK : aq_unit_find(&unit, name, strlen(name), reader->said, NULL);
    if (status == AQ_UNKNOWN_UNIT)
        return aq_reader_unknown(reader, from, to);
    if (status != AQ_OK) {
        aq_unit_find(&unit, name, strlen(name), reader->said, &reader->complaint);
        reader->complaint.place = aq_reader_place(reader, from, to);
        return status;
    }
    *out = (aq_measure){ unit->kind, unit->factor, unit->offset, unit };
    return AQ_OK;
}

static aq_status read_name(aq_reader *reader, aq_measure *out)
{
    char name[NAME_MOST + 1];
    size_t from = reader->at = aq_reader_space(reader, reader->at), end, last;

    end = reader->plain.text[from] == '%' ? from + 1 : name_end(reader, from);
    if (end == from) {
        aq_excerpt found = aq_reader_typed(reader, from, reader->plain.length);

        if (!found.length)
            return aq_reader_fail(reader, from, from, AQ_SYNTAX, "a unit is missing here");
        return aq_reader_fail(reader, from, reader->plain.length, AQ_SYNTAX,
                              "\"%.*s\" does not begin with a unit", found.length, found.text);
    }
    last = long_name(reader, from, end, name);
    if (!last) {
        last = end;
        copy_name(name, reader->plain.text + from, end - from);
    }
    reader->at = last;
    return find_unit(reader, from, last, name, out);
}

/* [number] name */
static aq_status read_piece(aq_reader *reader, aq_measure *out)
{
    size_t from = reader->at = aq_reader_space(reader, reader->at);
    double count = 1;
    aq_status status = AQ_OK;

    if (aq_is_digit(reader->plain.text[from])) {
        status = aq_reader_number(reader, &count);
        if (status == AQ_OK && !(count > 0))
            status =
                aq_reader_fail(reader, from, reader->at, AQ_OUT_OF_RANGE, "nothing can be counted per zero");
    }
    if (status == AQ_OK)
        status = read_name(reader, out);
    if (status == AQ_OK && count != 1) {
        out->factor *= count;
        out->unit = NULL;
    }
    return status;
}

/* "mg/L CaCO3", "mg/L as CaCO3": what is counted, as charge. */
static void take_calcium_carbonate(aq_reader *reader, aq_measure *out)
{
    static const aq_kind content = { .mass = 1, .volume = -1 };
    size_t at = reader->at;

    aq_reader_take_word(reader, "as");
    if (!aq_kind_equal(out->kind, content) || !aq_reader_take_word(reader, "CaCO3")) {
        reader->at = at;
        return;
    }
    out->kind = (aq_kind){ .charge = 1, .volume = -1 };
    out->factor /= AQ_CACO3_PER_EQ;
    out->unit = NULL;
}

static aq_status read_term(aq_reader *reader, aq_measure *out)
{
    aq_status status;

    reader->below = false;
    status = read_piece(reader, out);
    for (int pieces = 1; status == AQ_OK; pieces++) {
        aq_measure piece;
        size_t at = aq_reader_space(reader, reader->at);
        char mark = reader->plain.text[at];

        if (mark != '/' && !(mark == '.' && aq_is_letter(reader->plain.text[at + 1])))
            break;
        if (pieces >= PIECES_MOST)
            return aq_reader_fail(reader, at, reader->plain.length, AQ_TOO_LARGE, "unit has too many pieces");
        reader->at = at + 1;
        reader->below |= mark == '/';
        status = read_piece(reader, &piece);
        if (status == AQ_OK)
            join(out, &piece, mark == '/' ? -1 : 1);
    }
    if (status == AQ_OK)
        take_calcium_carbonate(reader, out);
    return status;
}

/* What most labels, meters and lines of a batch say, so that it need not be worked out each time. Factors are the very
 * steps that reading takes, to the last bit. */
static const struct {
    const char *text;
    aq_measure measure;
} usual[] = {
    { "mg/L", { { .mass = 1, .volume = -1 }, 1e-3, 0, NULL } },
    { "g/L", { { .mass = 1, .volume = -1 }, 1, 0, NULL } },
    { "mmol/L", { { .amount = 1, .volume = -1 }, 1e-3, 0, NULL } },
    { "mL/L", { { .rate = 1 }, 1e-3, 0, NULL } },
    { "mS/cm per mL/L", { { .ec = 1, .rate = -1 }, 1 / 1e-3, 0, NULL } },
    { "mg/L CaCO3", { { .charge = 1, .volume = -1 }, 1e-3 / AQ_CACO3_PER_EQ, 0, NULL } },
};

/* Whether all that is left to read is a name of the table, or usual. */
static bool read_whole(aq_reader *reader, aq_measure *out)
{
    const char *text = reader->plain.text + reader->at;
    size_t length = reader->plain.length - reader->at;
    const aq_unit *unit;

    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++)
        if (usual[i].text[0] == text[0] && usual[i].text[1] == text[1] && strcmp(usual[i].text, text) == 0) {
            *out = usual[i].measure;
            reader->at += length;
            return true;
        }
    unit = aq_unit_exact(text, length);
    if (!unit)
        return false;
    *out = (aq_measure){ unit->kind, unit->factor, unit->offset, unit };
    reader->at += length;
    return true;
}

aq_status aq_reader_unit(aq_reader *reader, aq_measure *out)
{
    size_t from = reader->at;
    aq_status status;

    reader->after_per = false;
    if (read_whole(reader, out))
        return AQ_OK;
    status = read_term(reader, out);
    for (int terms = 1; status == AQ_OK && aq_reader_take_word(reader, "per"); terms++) {
        aq_measure term;

        if (terms >= 3)
            return aq_reader_fail(reader, reader->at - 3, reader->plain.length, AQ_TOO_LARGE,
                                  "unit has too many terms");
        reader->after_per = true;
        status = read_term(reader, &term);
        if (status == AQ_OK)
            join(out, &term, -1);
    }
    if (status == AQ_OK && !(out->factor >= FACTOR_LEAST && out->factor <= FACTOR_MOST))
        status = aq_reader_fail(reader, from, reader->at, AQ_OUT_OF_RANGE,
                                "a unit as large or as small as this one measures nothing");
    return status;
}
