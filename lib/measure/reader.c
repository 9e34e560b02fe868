/* Numbers and unit expressions.
 *
 *     0.65 mS/cm per 100 mg/L
 *     ^^^^ number
 *          ^^^^^ term, one name of the table
 *                    ^^^ ^^ ^ term of two pieces, the first with a number of its own
 *
 * A term is worked out from left to right. Dividing a volume by a volume gives a rate, which is never reduced further;
 * a mass per volume counted as CaCO3 becomes a charge per volume. */
#include "measure/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/decimal.h"
#include "measure/calcium_carbonate.h"

enum { PIECES_MOST = 12, NAME_MOST = 40 };
#define NUMBER_MOST 1e15

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

static size_t skip_space(const aq_reader *reader, size_t at)
{
    while (reader->plain.text[at] == ' ')
        at++;
    return at;
}

aq_status aq_reader_open(aq_reader *reader, const char *text, unsigned want, aq_said *said)
{
    reader->typed = text;
    reader->at = 0;
    reader->want = want;
    reader->after_per = false;
    reader->unsaid = (aq_said){ .gallon = AQ_GALLON_UNSAID };
    reader->said = said ? said : &reader->unsaid;
    reader->complaint.status = AQ_OK;
    if (aq_spelling_of(&reader->plain, text, strlen(text)))
        return AQ_OK;
    return aq_fail(&reader->complaint, AQ_TOO_LARGE, (aq_place){ .line = 1, .column = 1, .span = 1 },
                   "text is too long for a quantity (at most %d bytes)", AQ_SPELLING_TYPED);
}

aq_status aq_reader_finish(aq_reader *reader, aq_status status, aq_error *err)
{
    if (status != AQ_OK && err && err->status == AQ_OK)
        *err = reader->complaint;
    return status;
}

bool aq_reader_at_end(aq_reader *reader)
{
    reader->at = skip_space(reader, reader->at);
    return reader->at >= reader->plain.length;
}

bool aq_reader_take(aq_reader *reader, char mark)
{
    size_t at = skip_space(reader, reader->at);

    if (at >= reader->plain.length || reader->plain.text[at] != mark)
        return false;
    reader->at = at + 1;
    return true;
}

bool aq_reader_take_word(aq_reader *reader, const char *word)
{
    size_t at = skip_space(reader, reader->at), length = strlen(word);

    if (strncmp(reader->plain.text + at, word, length) != 0 || is_letter(reader->plain.text[at + length]))
        return false;
    reader->at = at + length;
    return true;
}

bool aq_reader_take_dash(aq_reader *reader)
{
    return aq_reader_take(reader, '-') || aq_reader_take_word(reader, "to");
}

aq_excerpt aq_reader_typed(const aq_reader *reader, size_t from, size_t to)
{
    enum { SHOWN = 60 };
    size_t start = reader->plain.from[from], end = reader->plain.from[to < from ? from : to];

    while (end > start && reader->typed[end - 1] == ' ')
        end--;
    if (end - start > SHOWN) {
        end = start + SHOWN;
        while (end > start && ((unsigned char)reader->typed[end] & 0xC0) == 0x80)
            end--;
    }
    return (aq_excerpt){ (int)(end - start), reader->typed + start };
}

static aq_place place_of(const aq_reader *reader, size_t from, size_t to)
{
    size_t start = reader->plain.from[from], end = reader->plain.from[to < from ? from : to];
    int span;

    while (end > start && reader->typed[end - 1] == ' ')
        end--;
    span = aq_spelling_characters(reader->typed + start, end - start);
    return (aq_place){ .line = 1,
                       .column = 1 + aq_spelling_characters(reader->typed, start),
                       .span = span > 0 ? span : 1 };
}

aq_status aq_reader_fail(aq_reader *reader, size_t from, size_t to, aq_status status, const char *format, ...)
{
    char text[AQ_ERROR_TEXT];
    va_list values;

    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    return aq_fail(&reader->complaint, status, place_of(reader, from, to), "%s", text);
}

aq_status aq_reader_ask(aq_reader *reader, size_t from, size_t to, const aq_question *question,
                        const char *format, ...)
{
    char text[AQ_ERROR_TEXT];
    va_list values;

    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    aq_fail(&reader->complaint, AQ_AMBIGUOUS, place_of(reader, from, to), "%s", text);
    reader->complaint.question = *question;
    return AQ_AMBIGUOUS;
}

aq_status aq_reader_rest(aq_reader *reader)
{
    size_t at = skip_space(reader, reader->at);
    aq_excerpt rest = aq_reader_typed(reader, at, reader->plain.length);

    return aq_reader_fail(reader, at, reader->plain.length, AQ_SYNTAX, "\"%.*s\" is left over", rest.length,
                          rest.text);
}

/* 1,5 is one and a half to some and fifteen to others; the comma stands at reader->at. */
static aq_status refuse_comma(aq_reader *reader, size_t from)
{
    char point[AQ_SPELLING_ROOM], none[AQ_SPELLING_ROOM];
    const char *text = reader->plain.text;
    size_t to = from, points = 0, nones = 0;
    bool seen = false;

    if (text[to] == '-' || text[to] == '+')
        point[points++] = none[nones++] = text[to++];
    for (; is_digit(text[to]) || text[to] == '.' || (text[to] == ',' && is_digit(text[to + 1])); to++) {
        if (text[to] == ',') {
            if (!seen)
                point[points++] = '.';
            seen = true;
            continue;
        }
        if (text[to] != '.')
            point[points++] = text[to];
        none[nones++] = text[to];
    }
    point[points] = none[nones] = '\0';
    return aq_reader_fail(
        reader, from, to, AQ_AMBIGUOUS,
        "%.*s could be %.40s or %.40s: write a decimal point, and nothing between thousands",
        (int)(to - from > 40 ? 40 : to - from), text + from, point, none);
}

/* "3/4" at `at`: its two whole numbers, and where it ends; 0 when no fraction stands there. */
static size_t scan_fraction(const aq_reader *reader, size_t at, double *above, double *below)
{
    const char *text = reader->plain.text;
    size_t slash = at, end;

    while (is_digit(text[slash]))
        slash++;
    if (slash == at || text[slash] != '/' || !is_digit(text[slash + 1]))
        return 0;
    end = slash + 1;
    while (is_digit(text[end]))
        end++;
    aq_decimal_read(text + at, slash - at, above);
    aq_decimal_read(text + slash + 1, end - slash - 1, below);
    return end;
}

/* Adds the fraction that makes "1/2" or "1 1/2" of the whole number from `from` to reader->at. */
static aq_status take_fraction(aq_reader *reader, size_t from, double *value)
{
    const char *text = reader->plain.text;
    size_t digits = from + (text[from] == '-' || text[from] == '+'), next = skip_space(reader, reader->at),
           end;
    double above = 0, below = 1, whole = 0;

    for (size_t i = digits; i < reader->at; i++)
        if (!is_digit(text[i]))
            return AQ_OK;
    end = scan_fraction(reader, digits, &above, &below);
    if (!end && next > reader->at) {
        end = scan_fraction(reader, next, &above, &below);
        whole = fabs(*value);
    }
    if (!end)
        return AQ_OK;
    reader->at = end;
    if (below == 0)
        return aq_reader_fail(reader, from, end, AQ_OUT_OF_RANGE, "a fraction has no zero below its line");
    *value = text[from] == '-' ? -(whole + above / below) : whole + above / below;
    return AQ_OK;
}

aq_status aq_reader_number(aq_reader *reader, double *out)
{
    const char *text = reader->plain.text;
    size_t from = reader->at = skip_space(reader, reader->at), used, next;
    aq_status status;

    used = aq_decimal_read(text + from, reader->plain.length - from, out);
    if (!used) {
        aq_excerpt found = aq_reader_typed(reader, from, reader->plain.length);

        if (!found.length)
            return aq_reader_fail(reader, from, from, AQ_SYNTAX, "a number is missing here");
        return aq_reader_fail(reader, from, reader->plain.length, AQ_SYNTAX,
                              "\"%.*s\" does not begin with a number", found.length, found.text);
    }
    reader->at = from + used;
    if (text[reader->at] == ',' && is_digit(text[reader->at + 1]))
        return refuse_comma(reader, from);
    status = take_fraction(reader, from, out);
    if (status != AQ_OK)
        return status;
    if (!(fabs(*out) <= NUMBER_MOST))
        return aq_reader_fail(reader, from, reader->at, AQ_OUT_OF_RANGE, "number is beyond 1e15");
    next = skip_space(reader, reader->at);
    if (next > reader->at && is_digit(text[next]))
        return aq_reader_fail(
            reader, from, next + 1, AQ_AMBIGUOUS,
            "number has a space in it: write nothing between thousands, and a unit after it");
    return AQ_OK;
}

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

    while (is_letter(text[end]) || (end > at && is_digit(text[end])))
        end++;
    while (end > at && text[end] == '-' && is_letter(text[end + 1]))
        for (end++; is_letter(text[end]) || is_digit(text[end]);)
            end++;
    if (end > at && text[end] == '-' && is_digit(text[end + 1])) {
        char name[NAME_MOST + 1];
        size_t longer = end + 1;

        while (is_digit(text[longer]))
            longer++;
        if (!is_letter(text[longer]) && copy_name(name, text + at, longer - at) && aq_unit_named(name))
            end = longer;
    }
    return end;
}

/* "% w/v" */
static size_t percent_name(const char *text, size_t next, char *name)
{
    bool basis = (text[next] == 'w' || text[next] == 'v') && text[next + 1] == '/' &&
                 (text[next + 2] == 'w' || text[next + 2] == 'v') && !is_letter(text[next + 3]);

    if (!basis)
        return 0;
    name[0] = '%';
    memcpy(name + 1, text + next, 3);
    name[4] = '\0';
    return next + 3;
}

/* Names of more than one word: "fl oz", "% w/v", "mS/cm". Writes the name without its spaces; returns where it ends,
 * or 0 when the name is not of that sort. */
static size_t long_name(const aq_reader *reader, size_t at, size_t end, char name[NAME_MOST + 1])
{
    const char *text = reader->plain.text;
    size_t next = skip_space(reader, end), last, first = end - at;

    if (text[at] == '%')
        return percent_name(text, next, name);
    if (first == 2 && memcmp(text + at, "fl", 2) == 0 && strncmp(text + next, "oz", 2) == 0) {
        last = name_end(reader, next);
        return join_names(name, "fl", 2, '-', text + next, last - next) ? last : 0;
    }
    if (text[next] != '/')
        return 0;
    next = skip_space(reader, next + 1);
    last = name_end(reader, next);
    if (last == next || !join_names(name, text + at, first, '/', text + next, last - next))
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

    if (strcmp(name, "ppm") == 0 &&
        (reader->after_per || !(reader->want & (AQ_WANT_EC | AQ_WANT_ANY | AQ_WANT_SLOPE))))
        return ask_mass_ppm(reader, from, to);
    unit = aq_unit_named(name);
    status = unit ? AQ_OK : aq_unit_find(&unit, name, strlen(name), reader->said, &reader->complaint);
    if (status != AQ_OK) {
        reader->complaint.place = place_of(reader, from, to);
        return status;
    }
    *out = (aq_measure){ unit->kind, unit->factor, unit->offset, unit };
    return AQ_OK;
}

static aq_status read_name(aq_reader *reader, aq_measure *out)
{
    char name[NAME_MOST + 1];
    size_t from = reader->at = skip_space(reader, reader->at), end, last;

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
    size_t from = reader->at = skip_space(reader, reader->at);
    double count = 1;
    aq_status status = AQ_OK;

    if (is_digit(reader->plain.text[from])) {
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
    aq_status status = read_piece(reader, out);

    for (int pieces = 1; status == AQ_OK; pieces++) {
        aq_measure piece;
        size_t at = skip_space(reader, reader->at);
        char mark = reader->plain.text[at];

        if (mark != '/' && !(mark == '.' && is_letter(reader->plain.text[at + 1])))
            break;
        if (pieces >= PIECES_MOST)
            return aq_reader_fail(reader, at, reader->plain.length, AQ_TOO_LARGE, "unit has too many pieces");
        reader->at = at + 1;
        status = read_piece(reader, &piece);
        if (status == AQ_OK)
            join(out, &piece, mark == '/' ? -1 : 1);
    }
    if (status == AQ_OK)
        take_calcium_carbonate(reader, out);
    return status;
}

aq_status aq_reader_unit(aq_reader *reader, aq_measure *out)
{
    aq_status status;

    reader->after_per = false;
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
    return status;
}
