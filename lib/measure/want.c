/* What a reader wants, and what it says to what it does not get. One row a want: kind, words, example. */
#include "measure/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/decimal.h"

/* A sentence as it is put together; what does not fit is left out. */
typedef struct {
    char text[AQ_ERROR_TEXT];
    size_t length;
} sentence;

static void AQ_PRINTF(2, 3) say(sentence *out, const char *format, ...)
{
    va_list values;
    int more;

    va_start(values, format);
    more = vsnprintf(out->text + out->length, sizeof out->text - out->length, format, values);
    va_end(values);
    if (more > 0)
        out->length += (size_t)more;
    if (out->length >= sizeof out->text)
        out->length = sizeof out->text - 1;
}

static const struct {
    unsigned bit;
    aq_kind kind;
    const char *subject; /* what needs it */
    const char *words;   /* "one volume per another" */
    const char *example; /* "3 mL/L" */
    const char *units;   /* that a number alone may have meant */
} wants[] = {
    { AQ_WANT_VOLUME, { .volume = 1 }, "this", "a volume", "60 L", "L, mL, gal-us" },
    { AQ_WANT_MASS, { .mass = 1 }, "this", "a mass", "170 g", "g, kg, oz" },
    { AQ_WANT_EC, { .ec = 1 }, "this", "an EC", "1.8 mS/cm", "mS/cm, uS/cm, CF, ppm-500" },
    { AQ_WANT_RATE,
      { .rate = 1 },
      "a rate",
      "one volume per another",
      "3 mL/L",
      "mL/L, tsp/gal, fl-oz/100 gal-us" },
    { AQ_WANT_CONTENT, { .mass = 1, .volume = -1 }, "this", "a mass per volume", "0.5 g/L", "mg/L, g/L" },
    { AQ_WANT_AMOUNT, { .amount = 1 }, "this", "an amount of substance", "5 mmol", "mmol, mol" },
    { AQ_WANT_MOLARITY,
      { .amount = 1, .volume = -1 },
      "this",
      "an amount of substance per volume",
      "5 mmol/L",
      "mmol/L" },
    { AQ_WANT_HARDNESS,
      { .charge = 1, .volume = -1 },
      "this",
      "a hardness or alkalinity",
      "120 mg/L CaCO3",
      "mg/L CaCO3, meq/L, gpg-us" },
    { AQ_WANT_SHARE, { .mass = 0 }, "this", "a share", "60 %", "%" },
    { AQ_WANT_TEMPERATURE, { .heat = 1 }, "this", "a temperature", "17 degC", "degC, degF" },
    { AQ_WANT_TIME, { .time = 1 }, "this", "a time", "4 d", "d, h, min" },
    { AQ_WANT_FLOW, { .volume = 1, .time = -1 }, "this", "a volume per time", "3 L/d", "L/d, mL/h" },
    { AQ_WANT_LENGTH, { .length = 1 }, "this", "a length", "36 mm", "mm, in" },
    { AQ_WANT_PER_DEGREE, { .heat = -1 }, "this", "a share per degree", "2 %/degC", "%/degC" },
    { AQ_WANT_CHARGE, { .charge = 1 }, "this", "an amount of charge", "480 meq", "meq" },
    { AQ_WANT_NUMBER, { .mass = 0 }, "this", "a number without unit", "5.8", "none" },
    { AQ_WANT_OF_LIQUID,
      { .mass = 0 },
      "a strength",
      "a share or a content",
      "35 % w/w, 3 % w/v, 70 % v/v or 1000 mg/L",
      "% w/w, % w/v, % v/v, mg/L" },
    { AQ_WANT_SLOPE,
      { .ec = 1, .rate = -1 },
      "an EC slope",
      "an EC per dose",
      "0.40 mS/cm per mL/L",
      "mS/cm per mL/L, mS/cm per g/L" },
    { AQ_WANT_ANY, { .mass = 0 }, "this", "a quantity", "60 L", "mL, g, mS/cm" },
};

enum { WANT_COUNT = sizeof wants / sizeof *wants };

/* Adds "this needs a volume, like 60 L, or a mass, like 170 g". */
static void say_wanted(unsigned want, sentence *out)
{
    bool first = true;

    for (size_t i = 0; i < WANT_COUNT; i++) {
        if (!(want & wants[i].bit))
            continue;
        if (first)
            say(out, "%s needs %s, like %s", wants[i].subject, wants[i].words, wants[i].example);
        else
            say(out, ", or %s, like %s", wants[i].words, wants[i].example);
        first = false;
    }
}

static bool wanted(unsigned want, aq_kind kind)
{
    if (want & AQ_WANT_ANY)
        return true;
    if ((want & AQ_WANT_SLOPE) && kind.ec == 1)
        return true; /* strength.c looks at the rest */
    if (want & AQ_WANT_OF_LIQUID)
        want |= AQ_WANT_SHARE | AQ_WANT_CONTENT | AQ_WANT_RATE;
    for (size_t i = 0; i < WANT_COUNT; i++)
        if ((want & wants[i].bit & ~(unsigned)AQ_WANT_NUMBER) && aq_kind_equal(wants[i].kind, kind))
            return true;
    return false;
}

/* A bare % of a liquid: by weight, by weight in volume, or by volume? */
static aq_status read_percent(aq_reader *reader, size_t from, aq_measure *measure)
{
    static const aq_question question = { .key = "basis",
                                          .count = 3,
                                          .choice = { { "w/w", "g in 100 g of the liquid" },
                                                      { "w/v", "g in 100 mL of the liquid" },
                                                      { "v/v", "mL in 100 mL of the liquid" } } };
    static const char *const names[] = { NULL, "%w/w", "%w/v", "%v/v" };
    const char *name = names[reader->said->basis];
    const aq_unit *unit;
    aq_status status;

    if (!name) {
        aq_excerpt typed = aq_reader_typed(reader, from, reader->at);

        return aq_reader_ask(reader, from, reader->at, &question,
                             "%.*s of a liquid can be by weight or by volume: write %% w/w, %% w/v or %% v/v",
                             typed.length, typed.text);
    }
    status = aq_unit_find(&unit, name, strlen(name), reader->said, &reader->complaint);
    if (status == AQ_OK)
        *measure = (aq_measure){ unit->kind, unit->factor, unit->offset, unit };
    return status;
}

static bool is_bare_percent(const aq_measure *measure)
{
    return measure->unit && measure->unit->name[0] == '%' && !measure->unit->name[1];
}

/* A label that pours by the ounce means the fluid one. */
static bool is_ounce_of_liquid(const aq_reader *reader, const aq_measure *measure)
{
    return (reader->want & AQ_WANT_VOLUME) && measure->unit && strcmp(measure->unit->name, "oz") == 0;
}

static aq_status refuse_kind(aq_reader *reader, size_t from, const aq_measure *measure)
{
    sentence words = { .length = 0 };
    aq_excerpt typed = aq_reader_typed(reader, from, reader->at);

    say_wanted(reader->want, &words);
    if (is_ounce_of_liquid(reader, measure))
        say(&words, ", or fl-oz-us or fl-oz-imp");
    return aq_reader_fail(reader, from, reader->at, AQ_WRONG_KIND, "%.*s is %s; %s", typed.length, typed.text,
                          aq_kind_says(measure->kind), words.text);
}

aq_status aq_reader_accept(aq_reader *reader, size_t from, aq_measure *measure)
{
    enum { LIQUID = AQ_WANT_RATE | AQ_WANT_CONTENT | AQ_WANT_OF_LIQUID };

    if (is_bare_percent(measure) && (reader->want & LIQUID) &&
        !(reader->want & (AQ_WANT_SHARE | AQ_WANT_ANY))) {
        aq_status status = read_percent(reader, from, measure);

        if (status != AQ_OK)
            return status;
    }
    return wanted(reader->want, measure->kind) ? AQ_OK : refuse_kind(reader, from, measure);
}

aq_status aq_reader_lacks_unit(aq_reader *reader, size_t from)
{
    aq_excerpt typed = aq_reader_typed(reader, from, reader->at);
    sentence units = { .length = 0 };

    for (size_t i = 0; i < WANT_COUNT; i++)
        if (reader->want & wants[i].bit)
            say(&units, "%s%s", units.length ? ", " : "", wants[i].units);
    return aq_reader_fail(reader, from, reader->at, AQ_UNKNOWN_UNIT, "%.*s has no unit: write one, like %s",
                          typed.length, typed.text, units.text);
}

aq_status aq_reader_lacks_wanted(aq_reader *reader, size_t from, size_t to)
{
    aq_excerpt typed = aq_reader_typed(reader, from, to);
    sentence words = { .length = 0 };

    say_wanted(reader->want, &words);
    return aq_reader_fail(reader, from, to, AQ_UNKNOWN_UNIT, "\"%.*s\" is not a unit we know; %s",
                          aq_hint_shown(typed.text, (size_t)typed.length), typed.text, words.text);
}

/* Units that a reading is shown in, so that a person can tell which is theirs: the first of its kind that makes it at
 * least 1, else the last. */
static const struct {
    aq_kind kind;
    const char *name;
    double factor;
} shown[] = {
    { { .volume = 1 }, "L", 1 },
    { { .volume = 1 }, "mL", 1e-3 },
    { { .rate = 1 }, "mL/L", 1e-3 },
    { { .ec = 1 }, "mS/cm", 1 },
    { { .mass = 1, .volume = -1 }, "g/L", 1 },
    { { .charge = 1, .volume = -1 }, "meq/L", 1e-3 },
    { { .volume = 1, .time = -1 }, "L/d", 1 },
};

static bool say_amount(const aq_measure *measure, double value, char *out, size_t room)
{
    double base = aq_scale(value, measure->factor);
    char digits[AQ_DECIMAL_ROOM];
    bool said = false;

    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        if (!aq_kind_equal(shown[i].kind, measure->kind))
            continue;
        aq_decimal_figures(aq_unscale(base, shown[i].factor), 3, true, digits);
        snprintf(out, room, "%s %s", digits, shown[i].name);
        said = true;
        if (fabs(base) >= shown[i].factor)
            break;
    }
    return said;
}

static aq_said said_as(const char *key, size_t choice)
{
    static const int scales[AQ_CHOICES_MOST] = { 500, 640, 700 };
    aq_said said = { .gallon = AQ_GALLON_UNSAID };

    if (strcmp(key, "gallon") == 0)
        said.gallon = choice == 0 ? AQ_GALLON_US : AQ_GALLON_IMPERIAL;
    else
        said.ppm = scales[choice];
    return said;
}

aq_status aq_reader_show_choices(aq_reader *reader, size_t from, size_t unit_from, double value)
{
    const aq_question question = reader->complaint.question;
    sentence amounts = { .length = 0 };
    double lowest = INFINITY, highest = -INFINITY;
    aq_excerpt typed;

    if (!question.key || (strcmp(question.key, "gallon") != 0 && strcmp(question.key, "ppm") != 0))
        return AQ_AMBIGUOUS;
    for (size_t i = 0; i < question.count; i++) {
        aq_reader other = *reader;
        aq_said said = said_as(question.key, i);
        aq_measure measure;
        char amount[AQ_DECIMAL_ROOM + 16];

        other.at = unit_from;
        other.said = &said;
        other.complaint.status = AQ_OK;
        if (aq_reader_unit(&other, &measure) != AQ_OK || !say_amount(&measure, value, amount, sizeof amount))
            return AQ_AMBIGUOUS;
        reader->at = other.at;
        lowest = fmin(lowest, measure.factor);
        highest = fmax(highest, measure.factor);
        say(&amounts, "%s%s (%s)",
            i == 0                   ? ""
            : i + 1 < question.count ? ", "
                                     : " or ",
            amount, question.choice[i].word);
    }
    if (!(lowest < highest))
        return AQ_AMBIGUOUS; /* a spoon: the same in both */
    typed = aq_reader_typed(reader, from, reader->at);
    aq_error_within(&reader->complaint, "%.*s is %s: ", typed.length, typed.text, amounts.text);
    return AQ_AMBIGUOUS;
}
