/* Strengths, ratios, levels, EC slopes and sizes: values that are more than a number and a unit. */
#include "measure/quantity.h"

#include "measure/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static aq_status ask_strength_basis(aq_reader *reader, size_t from)
{
    aq_status status =
        aq_reader_fail(reader, AQ_AMBIGUOUS, from,
                       "%s could be w/w (grams in 100 g), w/v (grams in 100 mL) or v/v (mL in 100 mL): "
                       "write which, like %s w/w",
                       reader->text + from, reader->text + from);

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

/* The basis that a unit says by itself, and the factor to the basis's own unit. */
static aq_status basis_of(aq_reader *reader, const aq_measure *measure, size_t from, aq_strength *out)
{
    if (measure->unit && strcmp(measure->unit->name, "%") == 0) {
        if (reader->said->basis == AQ_BASIS_UNSAID)
            return ask_strength_basis(reader, from);
        out->basis = reader->said->basis;
        out->value *= out->basis == AQ_BASIS_WV ? 10 : 0.01; /* 1 % w/v is 10 g/L */
        return AQ_OK;
    }
    if (aq_kind_equal(measure->kind, AQ_KIND_CONTENT))
        out->basis = AQ_BASIS_WV;
    else if (aq_kind_equal(measure->kind, AQ_KIND_RATE))
        out->basis = AQ_BASIS_VV;
    else if (aq_kind_equal(measure->kind, AQ_KIND_SHARE))
        out->basis = AQ_BASIS_WW;
    else
        return aq_reader_fail(
            reader, AQ_WRONG_KIND, from,
            "%s is %s; a strength is a share or a content, like 35 %%w/w, 3 %%w/v, 70 %%v/v or 1000 mg/L",
            reader->text + from, aq_kind_says(measure->kind));
    out->value *= measure->factor;
    return AQ_OK;
}

static aq_status take_strength(aq_reader *reader, aq_strength *out)
{
    size_t from = reader->at;
    aq_measure measure;
    aq_status status = aq_reader_number(reader, &out->value);

    if (status != AQ_OK)
        return status;
    if (aq_reader_ended(reader))
        return aq_reader_fail(reader, AQ_UNKNOWN_UNIT, from,
                              "%s has no unit: write one, like %%w/w, %%w/v, %%v/v or mg/L",
                              reader->text + from);
    status = aq_reader_measure(reader, &measure);
    if (status == AQ_OK)
        status = aq_reader_finish(reader);
    if (status == AQ_OK)
        status = basis_of(reader, &measure, from, out);
    if (status != AQ_OK)
        return status;
    if (!(out->value >= 0))
        return aq_reader_fail(reader, AQ_OUT_OF_RANGE, from, "a strength is not negative");
    if (out->basis != AQ_BASIS_WV && out->value > 1)
        return aq_reader_fail(reader, AQ_OUT_OF_RANGE, from, "nothing is stronger than 100 %%");
    snprintf(out->typed, sizeof out->typed, "%.*s", (int)sizeof out->typed - 1, reader->text + from);
    out->given = true;
    return AQ_OK;
}

aq_status aq_strength_read(aq_strength *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status =
        aq_reader_start(&reader, text, AQ_WANT_SHARE | AQ_WANT_RATE | AQ_WANT_CONTENT, said, err);

    *out = (aq_strength){ 0 };
    if (status == AQ_OK)
        status = take_strength(&reader, out);
    if (status != AQ_OK)
        *out = (aq_strength){ 0 };
    return status;
}

static aq_status ask_ratio(aq_reader *reader, double first, double second)
{
    int a = (int)fmin(first, 1e6), b = (int)fmin(second, 1e6);
    aq_status status =
        aq_reader_fail(reader, AQ_AMBIGUOUS, 0,
                       "%s could be %d in %d (%d part in %d of the result) or %d plus %d (%d part and %d "
                       "of water): write which, or say ratio: in or plus",
                       reader->text, a, b, a, b, a, b, a, b);

    if (reader->err && reader->err->status == AQ_AMBIGUOUS)
        reader->err->question = (aq_question){
            .key = "ratio",
            .count = 2,
            .choice = { { "in", "one part in n of the result" }, { "plus", "one part and n of water" } },
        };
    return status;
}

static aq_status take_ratio(aq_reader *reader, aq_ratio *out)
{
    double first, second;
    aq_ratio_as as = AQ_RATIO_UNSAID;
    aq_status status = aq_reader_number(reader, &first);

    if (status != AQ_OK)
        return status;
    if (aq_reader_word(reader, "%")) {
        *out = (aq_ratio){ .parts = 100 / first, .given = true };
        status = aq_reader_finish(reader);
        return status == AQ_OK && !(first > 0 && first <= 100)
                   ? aq_reader_fail(reader, AQ_OUT_OF_RANGE, 0,
                                    "a ratio is more than 0 %% and at most 100 %%")
                   : status;
    }
    if (aq_reader_word(reader, "in"))
        as = AQ_RATIO_IN;
    else if (aq_reader_word(reader, "plus") || aq_reader_word(reader, "+"))
        as = AQ_RATIO_PLUS;
    else if (!aq_reader_word(reader, ":") && !aq_reader_word(reader, "to"))
        return aq_reader_fail(reader, AQ_SYNTAX, 0, "%s is no ratio; write one like 1 in 200 or 1 plus 200",
                              reader->text);
    status = aq_reader_number(reader, &second);
    if (status == AQ_OK)
        status = aq_reader_finish(reader);
    if (status != AQ_OK)
        return status;
    if (!(first > 0) || !(second > 0))
        return aq_reader_fail(reader, AQ_OUT_OF_RANGE, 0, "both numbers of a ratio are more than 0");
    if (as == AQ_RATIO_UNSAID) {
        as = reader->said->ratio;
        if (as == AQ_RATIO_UNSAID)
            return ask_ratio(reader, first, second);
        reader->said->used_ratio = true;
    }
    *out =
        (aq_ratio){ .parts = as == AQ_RATIO_IN ? second / first : (first + second) / first, .given = true };
    if (out->parts < 1)
        return aq_reader_fail(reader, AQ_OUT_OF_RANGE, 0,
                              "a part cannot be larger than the whole: is the ratio turned round?");
    return AQ_OK;
}

aq_status aq_ratio_read(aq_ratio *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_start(&reader, text, AQ_WANT_SHARE, said, err);

    *out = (aq_ratio){ 0 };
    if (status == AQ_OK)
        status = take_ratio(&reader, out);
    if (status != AQ_OK)
        *out = (aq_ratio){ 0 };
    return status;
}

aq_status aq_level_read(aq_level *out, const char *text, bool ec_alone, aq_said *said, aq_error *err)
{
    const char *at = strchr(text, '@');
    char volume[AQ_VALUE_LONGEST + 1];
    aq_status status = AQ_OK;

    *out = (aq_level){ .given = false };
    if (!at && !ec_alone)
        return aq_fail(err, AQ_SYNTAX, (aq_place){ NULL, 1, 1, 1 },
                       "%.60s is no level with its EC; write one like 80L@1.8mS/cm", text);
    if (at) {
        if ((size_t)(at - text) > AQ_VALUE_LONGEST)
            return aq_fail(err, AQ_SYNTAX, (aq_place){ NULL, 1, 1, 1 }, "this is longer than any level is");
        snprintf(volume, sizeof volume, "%.*s", (int)(at - text), text);
        status = aq_quantity_read(&out->volume, volume, AQ_WANT_VOLUME, said, err);
        text = at + 1;
    }
    if (status == AQ_OK)
        status = aq_quantity_read(&out->ec, text, AQ_WANT_EC, said, err);
    out->given = status == AQ_OK;
    if (status != AQ_OK)
        *out = (aq_level){ .given = false };
    return status;
}

/* "per 100 mg/L N": the element after the last unit, if one stands there. */
static void take_element(aq_reader *reader, char *element, size_t room)
{
    size_t length = 0;

    aq_reader_skip(reader);
    while (length + 1 < room &&
           strchr("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-",
                  reader->text[reader->at + length]) &&
           reader->text[reader->at + length])
        length++;
    snprintf(element, room, "%.*s", (int)length, reader->text + reader->at);
    reader->at += length;
}

static aq_status take_slope(aq_reader *reader, aq_slope *out)
{
    static const aq_kind by_rate = { .ec = 1, .rate = -1 }, by_mass = { .ec = 1, .mass = -1, .volume = 1 };
    aq_measure measure;
    double number;
    aq_status status = aq_reader_number(reader, &number);

    if (status == AQ_OK)
        status = aq_reader_measure(reader, &measure);
    if (status != AQ_OK)
        return status;
    if (aq_kind_equal(measure.kind, by_mass))
        take_element(reader, out->element, sizeof out->element);
    status = aq_reader_finish(reader);
    if (status != AQ_OK)
        return status;
    out->by_mass = aq_kind_equal(measure.kind, by_mass);
    if (!out->by_mass && !aq_kind_equal(measure.kind, by_rate))
        return aq_reader_fail(reader, AQ_WRONG_KIND, 0,
                              "%s is %s; the EC of a part is per dose, like 0.40 mS/cm per mL/L",
                              reader->text, aq_kind_says(measure.kind));
    if (!(number > 0))
        return aq_reader_fail(reader, AQ_OUT_OF_RANGE, 0,
                              "an EC slope is more than 0: a part that adds nothing has none");
    out->value = number * measure.factor;
    out->given = true;
    return AQ_OK;
}

aq_status aq_slope_read(aq_slope *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_start(&reader, text, AQ_WANT_EC | AQ_WANT_ANY, said, err);

    *out = (aq_slope){ 0 };
    if (status == AQ_OK)
        status = take_slope(&reader, out);
    if (status != AQ_OK)
        *out = (aq_slope){ 0 };
    return status;
}

aq_status aq_size_read(double *litres, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_measure measure;
    double side, volume = 1;
    aq_status status = aq_reader_start(&reader, text, AQ_WANT_LENGTH, said, err);

    *litres = 0;
    for (int i = 0; status == AQ_OK && i < 3; i++) {
        status = aq_reader_number(&reader, &side);
        if (status == AQ_OK && !(side > 0))
            status = aq_reader_fail(&reader, AQ_OUT_OF_RANGE, 0, "each side is more than 0");
        volume *= side;
        if (status == AQ_OK && i < 2 && !aq_reader_word(&reader, "x") &&
            !(reader.text[reader.at] == 'x' && reader.text[++reader.at]))
            status = aq_reader_fail(&reader, AQ_SYNTAX, 0, "%s is no size; write three sides like 36x36x40mm",
                                    reader.text);
    }
    if (status == AQ_OK)
        status = aq_reader_measure(&reader, &measure);
    if (status == AQ_OK)
        status = aq_reader_finish(&reader);
    if (status == AQ_OK)
        status = aq_reader_check(&reader, measure.kind, false, 0);
    if (status == AQ_OK)
        *litres = volume * measure.factor * measure.factor * measure.factor * 1000; /* m3 to L */
    return status;
}
