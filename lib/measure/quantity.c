/* Quantities and ranges. The grammar stands in the header; the pieces in reader.c. */
#include "measure/quantity.h"

#include "measure/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static aq_quantity in_base(double number, const aq_measure *measure)
{
    return (aq_quantity){ .value = (number + measure->offset) * measure->factor,
                          .kind = measure->kind,
                          .unit = measure->unit,
                          .given = true };
}

static bool is_percent(const aq_measure *measure)
{
    return measure->unit && strcmp(measure->unit->name, "%") == 0;
}

/* A number alone: say so, with an example of what is wanted. */
static aq_status refuse_bare(aq_reader *reader, size_t from)
{
    static const struct {
        unsigned bit;
        const char *examples;
    } rows[] = {
        { AQ_WANT_EC, "mS/cm, uS/cm, CF, ppm-500" },
        { AQ_WANT_RATE, "mL/L, tsp/gal, fl-oz/100 gal-us" },
        { AQ_WANT_CONTENT, "mg/L, g/L" },
        { AQ_WANT_VOLUME, "L, mL, gal-us" },
        { AQ_WANT_MASS, "g, kg, oz" },
        { AQ_WANT_HARDNESS, "mg/L CaCO3, meq/L, gpg-us" },
        { AQ_WANT_TEMPERATURE, "degC, degF" },
        { AQ_WANT_SHARE, "%" },
        { AQ_WANT_TIME, "d, h, min" },
        { AQ_WANT_FLOW, "L/d" },
        { AQ_WANT_LENGTH, "mm, in" },
        { AQ_WANT_PER_DEGREE, "%/degC" },
        { AQ_WANT_MOLARITY, "mmol/L" },
        { AQ_WANT_ANY, "mL, g, mS/cm" },
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (reader->want & rows[i].bit)
            return aq_reader_fail(reader, AQ_UNKNOWN_UNIT, from, "%s has no unit: write one, like %s",
                                  reader->text + from, rows[i].examples);
    return aq_reader_fail(reader, AQ_UNKNOWN_UNIT, from, "%s has no unit", reader->text + from);
}

/* A number and its unit at the cursor. */
static aq_status take_quantity(aq_reader *reader, aq_quantity *out)
{
    size_t from = reader->at;
    aq_measure measure;
    double number;
    aq_status status = aq_reader_number(reader, &number);

    if (status != AQ_OK)
        return status;
    if (aq_reader_ended(reader))
        return refuse_bare(reader, from);
    status = aq_reader_measure(reader, &measure);
    if (status == AQ_OK)
        status = aq_reader_check(reader, measure.kind, is_percent(&measure), from);
    if (status == AQ_OK)
        *out = in_base(number, &measure);
    return status;
}

aq_status aq_quantity_read(aq_quantity *out, const char *text, unsigned want, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_start(&reader, text, want, said, err);

    *out = (aq_quantity){ 0 };
    if (status == AQ_OK)
        status = take_quantity(&reader, out);
    if (status == AQ_OK)
        status = aq_reader_finish(&reader);
    if (status != AQ_OK)
        *out = (aq_quantity){ 0 };
    return status;
}

/* After "2" of "2-4 mL/L": the second number, and the unit of both. */
static aq_status take_second(aq_reader *reader, double first, size_t from, aq_range *out)
{
    aq_measure measure;
    double second;
    aq_status status = aq_reader_number(reader, &second);

    if (status != AQ_OK)
        return status;
    if (aq_reader_ended(reader))
        return refuse_bare(reader, from);
    status = aq_reader_measure(reader, &measure);
    if (status == AQ_OK)
        status = aq_reader_check(reader, measure.kind, is_percent(&measure), from);
    if (status != AQ_OK)
        return status;
    out->low = in_base(first, &measure);
    out->high = in_base(second, &measure);
    return AQ_OK;
}

static bool takes_dash(aq_reader *reader)
{
    size_t from = reader->at;

    aq_reader_skip(reader);
    if (reader->text[reader->at] == '-') {
        reader->at++;
        return true;
    }
    if (aq_reader_word(reader, "to"))
        return true;
    reader->at = from;
    return false;
}

static aq_status take_range(aq_reader *reader, aq_range *out)
{
    size_t from = reader->at;
    double first;
    aq_status status = aq_reader_number(reader, &first);

    if (status != AQ_OK)
        return status;
    if (takes_dash(reader))
        return take_second(reader, first, from, out);
    reader->at = from;
    status = take_quantity(reader, &out->low);
    out->high = out->low;
    if (status == AQ_OK && takes_dash(reader))
        status = take_quantity(reader, &out->high);
    return status;
}

aq_status aq_range_read(aq_range *out, const char *text, unsigned want, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_start(&reader, text, want, said, err);
    size_t from = reader.at;

    *out = (aq_range){ .low = { 0 } };
    if (status == AQ_OK)
        status = take_range(&reader, out);
    if (status == AQ_OK)
        status = aq_reader_finish(&reader);
    if (status == AQ_OK && !aq_kind_equal(out->low.kind, out->high.kind))
        status = aq_reader_fail(&reader, AQ_WRONG_KIND, from, "the two ends are %s and %s",
                                aq_kind_says(out->low.kind), aq_kind_says(out->high.kind));
    if (status == AQ_OK && out->low.value > out->high.value)
        status =
            aq_reader_fail(&reader, AQ_OUT_OF_RANGE, from, "the first end of a range is the smaller one");
    if (status != AQ_OK)
        *out = (aq_range){ .low = { 0 } };
    return status;
}

aq_status aq_number_read(double *out, const char *text, aq_error *err)
{
    aq_said nothing = { .gallon = AQ_GALLON_UNSAID };
    aq_reader reader;
    aq_status status = aq_reader_start(&reader, text, 0, &nothing, err);

    *out = 0;
    if (status == AQ_OK)
        status = aq_reader_number(&reader, out);
    if (status == AQ_OK)
        status = aq_reader_finish(&reader);
    if (status != AQ_OK)
        *out = 0;
    return status;
}

aq_status aq_measure_read(aq_measure *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_start(&reader, text, AQ_WANT_ANY, said, err);

    *out = (aq_measure){ .factor = 1 };
    if (status == AQ_OK)
        status = aq_reader_measure(&reader, out);
    if (status == AQ_OK)
        status = aq_reader_finish(&reader);
    return status;
}

aq_quantity aq_quantity_of(double base_value, aq_kind kind)
{
    return (aq_quantity){ .value = base_value, .kind = kind, .given = true };
}

aq_status aq_quantity_in(double *out, aq_quantity quantity, const aq_measure *measure, aq_error *err)
{
    aq_place nowhere = { NULL, 0, 0, 0 };

    *out = 0;
    if (!aq_kind_equal(quantity.kind, measure->kind))
        return aq_fail(err, AQ_WRONG_KIND, nowhere, "%s cannot be given as %s", aq_kind_says(quantity.kind),
                       aq_kind_says(measure->kind));
    *out = quantity.value / measure->factor - measure->offset;
    return AQ_OK;
}
