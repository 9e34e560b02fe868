/* A cursor over one value: plain signs, numbers, unit expressions, and what to say when they are not there. */
#include "measure/reader.h"

#include "base/decimal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double number_most = 1e15; /* beyond it nothing is poured */

/* Signs that typesetting puts in place of plain ones. */
static const struct {
    const char *sign, *plain;
} signs[] = {
    { "\xC2\xB5", "u" },     { "\xCE\xBC", "u" },     { "\xC2\xB0", "deg" },  { "\xE2\x80\x93", "-" },
    { "\xE2\x80\x94", "-" }, { "\xE2\x88\x92", "-" }, { "\xC2\xA0", " " },    { "\xE2\x80\xAF", " " },
    { "\xC3\x97", "x" },     { "\xC2\xBD", " 1/2" },  { "\xC2\xBC", " 1/4" }, { "\xC2\xBE", " 3/4" },
};

static const struct {
    unsigned bit;
    const char *words, *example;
} wants[] = {
    { AQ_WANT_VOLUME, "a volume", "60 L" },
    { AQ_WANT_MASS, "a mass", "170 g" },
    { AQ_WANT_EC, "an EC", "1.8 mS/cm" },
    { AQ_WANT_RATE, "one volume per another", "3 mL/L" },
    { AQ_WANT_CONTENT, "a mass per volume", "0.5 g/L" },
    { AQ_WANT_AMOUNT, "an amount of substance", "5 mmol" },
    { AQ_WANT_MOLARITY, "an amount of substance per volume", "5 mmol/L" },
    { AQ_WANT_HARDNESS, "a hardness or alkalinity", "120 mg/L CaCO3" },
    { AQ_WANT_SHARE, "a share", "60 %" },
    { AQ_WANT_TEMPERATURE, "a temperature", "17 degC" },
    { AQ_WANT_TIME, "a time", "4 d" },
    { AQ_WANT_FLOW, "a volume per day", "3 L/d" },
    { AQ_WANT_LENGTH, "a length", "36 mm" },
    { AQ_WANT_PER_DEGREE, "a share per degree", "2 %/degC" },
    { AQ_WANT_CHARGE, "an amount of charge", "480 meq" },
};
enum { WANTS = sizeof wants / sizeof *wants };

const aq_kind AQ_KIND_SHARE = { .mass = 0 };
const aq_kind AQ_KIND_VOLUME = { .volume = 1 };
const aq_kind AQ_KIND_MASS = { .mass = 1 };
const aq_kind AQ_KIND_EC = { .ec = 1 };
const aq_kind AQ_KIND_RATE = { .rate = 1 };
const aq_kind AQ_KIND_CONTENT = { .mass = 1, .volume = -1 };
const aq_kind AQ_KIND_AMOUNT = { .amount = 1 };
const aq_kind AQ_KIND_MOLARITY = { .amount = 1, .volume = -1 };
const aq_kind AQ_KIND_HARDNESS = { .charge = 1, .volume = -1 };
const aq_kind AQ_KIND_TEMPERATURE = { .heat = 1 };
const aq_kind AQ_KIND_TIME = { .time = 1 };
const aq_kind AQ_KIND_FLOW = { .volume = 1, .time = -1 };

static const aq_kind kinds_wanted[WANTS] = {
    { .volume = 1 },
    { .mass = 1 },
    { .ec = 1 },
    { .rate = 1 },
    { .mass = 1, .volume = -1 },
    { .amount = 1 },
    { .amount = 1, .volume = -1 },
    { .charge = 1, .volume = -1 },
    { .mass = 0 },
    { .heat = 1 },
    { .time = 1 },
    { .volume = 1, .time = -1 },
    { .length = 1 },
    { .heat = -1 },
    { .charge = 1 },
};

aq_status aq_reader_start(aq_reader *reader, const char *text, unsigned want, aq_said *said, aq_error *err)
{
    size_t at = 0;

    *reader = (aq_reader){ .want = want, .said = said, .err = err };
    while (*text && at < AQ_VALUE_LONGEST - 4) {
        size_t sign = 0;

        while (sign < sizeof signs / sizeof *signs &&
               strncmp(text, signs[sign].sign, strlen(signs[sign].sign)) != 0)
            sign++;
        if (sign < sizeof signs / sizeof *signs) {
            at += (size_t)snprintf(reader->text + at, sizeof reader->text - at, "%s", signs[sign].plain);
            text += strlen(signs[sign].sign);
        } else {
            reader->text[at++] = *text++;
        }
    }
    reader->text[at] = '\0';
    if (*text)
        return aq_reader_fail(reader, AQ_SYNTAX, 0, "this is longer than any quantity is");
    aq_reader_skip(reader);
    if (!reader->text[reader->at])
        return aq_reader_fail(reader, AQ_SYNTAX, 0, "nothing stands here; a number and a unit are wanted");
    return AQ_OK;
}

void aq_reader_skip(aq_reader *reader)
{
    while (reader->text[reader->at] == ' ' || reader->text[reader->at] == '\t')
        reader->at++;
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool aq_reader_word(aq_reader *reader, const char *word)
{
    size_t length = strlen(word);
    size_t from = reader->at;

    aq_reader_skip(reader);
    if (strncmp(reader->text + reader->at, word, length) == 0 &&
        !is_letter(reader->text[reader->at + length])) {
        reader->at += length;
        return true;
    }
    reader->at = from;
    return false;
}

bool aq_reader_ended(aq_reader *reader)
{
    aq_reader_skip(reader);
    return !reader->text[reader->at];
}

aq_status aq_reader_fail(aq_reader *reader, aq_status status, size_t from, const char *format, ...)
{
    char text[AQ_ERROR_TEXT];
    size_t end = reader->at > from ? reader->at : strlen(reader->text);
    aq_place place = { NULL, 1, (int)from + 1, end > from ? (int)(end - from) : 1 };
    va_list values;

    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    return aq_fail(reader->err, status, place, "%s", text);
}

/* The digits at the cursor, without a sign: false where none stand there. */
static bool take_digits(aq_reader *reader, double *out)
{
    const char *text = reader->text + reader->at;
    size_t used;

    if (!is_digit(*text) && !(*text == '.' && is_digit(text[1])))
        return false;
    used = aq_decimal_read(text, strlen(text), out);
    reader->at += used;
    return used > 0;
}

static aq_status refuse_comma(aq_reader *reader, size_t from)
{
    size_t comma = reader->at, end = comma + 1;

    while (is_digit(reader->text[end]) || reader->text[end] == ',' || reader->text[end] == '.')
        end++;
    reader->at = end;
    return aq_reader_fail(
        reader, AQ_AMBIGUOUS, from,
        "%.*s could be %.*s.%.*s or %.*s%.*s: write a decimal point, and nothing between thousands",
        (int)(end - from), reader->text + from, (int)(comma - from), reader->text + from,
        (int)(end - comma - 1), reader->text + comma + 1, (int)(comma - from), reader->text + from,
        (int)(end - comma - 1), reader->text + comma + 1);
}

/* "/2" after a whole number, or " 1/2" after it. */
static aq_status take_fraction(aq_reader *reader, double *value)
{
    size_t from = reader->at;
    double top = *value, bottom, whole = 0;

    if (reader->text[reader->at] == ' ') {
        size_t space = reader->at;

        aq_reader_skip(reader);
        if (!take_digits(reader, &top) || reader->text[reader->at] != '/' ||
            !is_digit(reader->text[reader->at + 1])) {
            reader->at = space;
            return AQ_OK;
        }
        whole = *value;
    }
    if (reader->text[reader->at] != '/' || !is_digit(reader->text[reader->at + 1]))
        return AQ_OK;
    reader->at++;
    if (!take_digits(reader, &bottom) || !(bottom > 0) || floor(whole) < whole || floor(top) < top ||
        floor(bottom) < bottom)
        return aq_reader_fail(reader, AQ_SYNTAX, from, "a fraction is of whole numbers, like 1/2 or 1 1/2");
    *value = whole + top / bottom;
    return AQ_OK;
}

aq_status aq_reader_number(aq_reader *reader, double *out)
{
    size_t from;
    bool negative;
    aq_status status;

    aq_reader_skip(reader);
    from = reader->at;
    negative = reader->text[reader->at] == '-';
    reader->at += negative || reader->text[reader->at] == '+';
    if (!take_digits(reader, out)) {
        reader->at = from;
        return aq_reader_fail(reader, AQ_SYNTAX, from, "\"%s\" does not begin with a number",
                              reader->text + from);
    }
    if (reader->text[reader->at] == ',' && is_digit(reader->text[reader->at + 1]))
        return refuse_comma(reader, from);
    status = take_fraction(reader, out);
    if (status != AQ_OK)
        return status;
    if (!(fabs(*out) <= number_most))
        return aq_reader_fail(reader, AQ_OUT_OF_RANGE, from,
                              "this number is too large to mean anything here");
    *out = negative ? -*out : *out;
    return AQ_OK;
}

/* Where the unknown word at the cursor ends, for the message. */
static size_t word_end(const aq_reader *reader)
{
    size_t end = reader->at;

    while (reader->text[end] && !strchr(" \t/@,;", reader->text[end]))
        end++;
    return end > reader->at ? end : end + (reader->text[end] != '\0');
}

static aq_status ask_mass_ppm(aq_reader *reader, size_t from)
{
    aq_status status =
        aq_reader_fail(reader, AQ_AMBIGUOUS, from, "ppm of a substance could be mg/L or mg/kg: write which");

    if (reader->err && reader->err->status == AQ_AMBIGUOUS)
        reader->err->question = (aq_question){
            .key = "mass-ppm",
            .count = 2,
            .choice = { { "mg/L", "milligrams in a litre" }, { "mg/kg", "milligrams in a kilogram" } },
        };
    return status;
}

/* One named unit. */
static aq_status take_unit(aq_reader *reader, aq_measure *out)
{
    const char *text;
    size_t length, from;
    aq_status status;
    char after;

    aq_reader_skip(reader);
    from = reader->at;
    text = reader->text + from;
    length = aq_unit_length(text);
    after = text[length];
    if (!length || is_letter(after) || is_digit(after) || (after == '-' && is_letter(text[length + 1])))
        length = word_end(reader) - from;
    reader->at = from + length;
    if (length == 3 && strncmp(text, "ppm", 3) == 0 && !(reader->want & (AQ_WANT_EC | AQ_WANT_ANY)))
        return ask_mass_ppm(reader, from);
    status = aq_unit_find(&out->unit, text, length, reader->said, reader->err);
    if (status != AQ_OK) {
        if (reader->err && reader->err->place.line == 1 && !reader->err->place.source)
            reader->err->place.column = (int)from + 1;
        return status;
    }
    out->kind = out->unit->kind;
    out->factor = out->unit->factor;
    out->offset = out->unit->offset;
    return AQ_OK;
}

/* "100 L" or "L". */
static aq_status take_piece(aq_reader *reader, aq_measure *out)
{
    double number = 1;
    aq_status status;

    aq_reader_skip(reader);
    if (is_digit(reader->text[reader->at]) || reader->text[reader->at] == '.')
        if (!take_digits(reader, &number) || !(number > 0))
            return aq_reader_fail(reader, AQ_SYNTAX, reader->at, "a unit per nothing means nothing");
    status = take_unit(reader, out);
    if (number < 1 || number > 1) {
        out->factor *= number;
        out->unit = NULL;
    }
    return status;
}

/* Divides, or multiplies, `left` by `right`. Volume per volume is not reduced: it is a rate. */
static aq_status combine(aq_reader *reader, aq_measure *left, const aq_measure *right, bool divide,
                         size_t from)
{
    int sign = divide ? -1 : 1;
    const aq_kind *a = &left->kind, *b = &right->kind;

    if (left->unit && right->unit && (left->unit->offset < 0 || right->unit->offset < 0) && !divide)
        return aq_reader_fail(reader, AQ_SYNTAX, from, "degrees Fahrenheit stand alone");
    left->factor = divide ? left->factor / right->factor : left->factor * right->factor;
    left->offset = 0;
    left->unit = NULL;
    if (divide && aq_kind_equal(*a, AQ_KIND_VOLUME) && aq_kind_equal(*b, AQ_KIND_VOLUME)) {
        left->kind = AQ_KIND_RATE;
        return AQ_OK;
    }
    left->kind = (aq_kind){
        .mass = (signed char)(a->mass + sign * b->mass),
        .volume = (signed char)(a->volume + sign * b->volume),
        .rate = (signed char)(a->rate + sign * b->rate),
        .amount = (signed char)(a->amount + sign * b->amount),
        .charge = (signed char)(a->charge + sign * b->charge),
        .ec = (signed char)(a->ec + sign * b->ec),
        .time = (signed char)(a->time + sign * b->time),
        .heat = (signed char)(a->heat + sign * b->heat),
        .length = (signed char)(a->length + sign * b->length),
    };
    return AQ_OK;
}

/* "oz/100 gal-us", and "mg/L CaCO3", which is charge. */
static aq_status take_term(aq_reader *reader, aq_measure *out)
{
    size_t from = reader->at;
    aq_status status = take_piece(reader, out);

    while (status == AQ_OK &&
           (reader->text[reader->at] == '/' || (aq_reader_skip(reader), reader->text[reader->at] == '/'))) {
        aq_measure piece = { .factor = 1 };

        reader->at++;
        status = take_piece(reader, &piece);
        if (status == AQ_OK)
            status = combine(reader, out, &piece, true, from);
    }
    if (status == AQ_OK && (aq_reader_word(reader, "CaCO3") || aq_reader_word(reader, "as CaCO3"))) {
        if (!aq_kind_equal(out->kind, AQ_KIND_CONTENT))
            return aq_reader_fail(reader, AQ_WRONG_KIND, from,
                                  "as CaCO3 goes with a mass per volume, like 120 mg/L CaCO3");
        out->kind = AQ_KIND_HARDNESS;
        out->factor /= aq_unit_caco3();
    }
    return status;
}

aq_status aq_reader_measure(aq_reader *reader, aq_measure *out)
{
    size_t from = reader->at;
    aq_status status;

    *out = (aq_measure){ .factor = 1 };
    if (aq_reader_ended(reader))
        return aq_reader_fail(reader, AQ_UNKNOWN_UNIT, from, "a unit is missing here");
    status = take_term(reader, out);
    while (status == AQ_OK && aq_reader_word(reader, "per")) {
        aq_measure term = { .factor = 1 };

        status = take_term(reader, &term);
        if (status == AQ_OK)
            status = combine(reader, out, &term, true, from);
    }
    return status;
}

aq_status aq_reader_finish(aq_reader *reader)
{
    size_t from;

    if (aq_reader_ended(reader))
        return AQ_OK;
    from = reader->at;
    reader->at = strlen(reader->text);
    return aq_reader_fail(reader, AQ_SYNTAX, from, "\"%s\" is left over", reader->text + from);
}

static aq_status ask_basis(aq_reader *reader, size_t from)
{
    aq_status status =
        aq_reader_fail(reader, AQ_AMBIGUOUS, from,
                       "%% of a liquid could be w/w (grams in 100 g), w/v (grams in 100 mL) or v/v (mL in "
                       "100 mL): write which, like 4.0 %%w/v");

    if (reader->err && reader->err->status == AQ_AMBIGUOUS)
        reader->err->question = (aq_question){
            .key = "basis",
            .count = 3,
            .choice = { { "w/w", "grams in 100 g" },
                        { "w/v", "grams in 100 mL" },
                        { "v/v", "mL in 100 mL" } },
        };
    return status;
}

/* "a volume, like 60 L, or a mass, like 170 g" */
static void say_wanted(unsigned want, char *out, size_t room)
{
    size_t at = 0;

    out[0] = '\0';
    for (size_t i = 0; i < WANTS && at < room; i++)
        if (want & wants[i].bit)
            at += (size_t)snprintf(out + at, room - at, "%s%s, like %s", at ? ", or " : "", wants[i].words,
                                   wants[i].example);
}

aq_status aq_reader_check(aq_reader *reader, aq_kind kind, bool percent, size_t from)
{
    char wanted[300];

    if (reader->want & AQ_WANT_ANY)
        return AQ_OK;
    if (percent && !(reader->want & AQ_WANT_SHARE) && (reader->want & (AQ_WANT_RATE | AQ_WANT_CONTENT)))
        return ask_basis(reader, from);
    for (size_t i = 0; i < WANTS; i++)
        if ((reader->want & wants[i].bit) && aq_kind_equal(kind, kinds_wanted[i]))
            return AQ_OK;
    say_wanted(reader->want, wanted, sizeof wanted);
    return aq_reader_fail(reader, AQ_WRONG_KIND, from, "%.*s is %s; this needs %s", (int)(reader->at - from),
                          reader->text + from, aq_kind_says(kind), wanted);
}
