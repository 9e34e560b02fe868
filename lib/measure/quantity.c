/* Quantities, ranges and plain numbers: a number, a unit, and whether that is what was wanted. */
#include "measure/reader.h"

#include <string.h>

#include "base/decimal.h"

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

aq_quantity aq_quantity_of(double base_value, aq_kind kind)
{
    return (aq_quantity){ .value = base_value, .kind = kind, .given = true };
}

static aq_quantity of_measure(double value, const aq_measure *measure)
{
    return (aq_quantity){ .value = aq_scale(value + measure->offset, measure->factor),
                          .kind = measure->kind,
                          .unit = measure->unit,
                          .given = true };
}

/* Whether a number stands alone here: at the end, or before the dash of a range. */
static bool unit_follows(aq_reader *reader)
{
    size_t at = reader->at;
    bool dash = aq_reader_take_dash(reader);

    reader->at = at;
    return !dash && !aq_reader_at_end(reader);
}

/* The unit of a number that was read from `from` on. A bare number is one where numbers are wanted. */
static aq_status read_unit_of(aq_reader *reader, size_t from, double value, aq_measure *measure)
{
    size_t unit_from;
    aq_status status;

    if (!unit_follows(reader)) {
        *measure = (aq_measure){ .factor = 1 };
        return (reader->want & AQ_WANT_NUMBER) ? AQ_OK : aq_reader_lacks_unit(reader, from);
    }
    unit_from = reader->at;
    status = aq_reader_unit(reader, measure);
    if (status == AQ_AMBIGUOUS)
        return aq_reader_show_choices(reader, from, unit_from, value);
    return status == AQ_OK ? aq_reader_accept(reader, from, measure) : status;
}

aq_status aq_reader_quantity(aq_reader *reader, aq_quantity *out)
{
    aq_measure measure;
    double value = 0;
    size_t from;
    aq_status status;

    aq_reader_at_end(reader);
    from = reader->at;
    status = aq_reader_number(reader, &value);
    if (status == AQ_OK && aq_reader_take_dash(reader))
        return aq_reader_fail(reader, from, reader->plain.length, AQ_SYNTAX,
                              "one value is wanted, not a range");
    if (status == AQ_OK)
        status = read_unit_of(reader, from, value, &measure);
    if (status == AQ_OK)
        *out = of_measure(value, &measure);
    return status;
}

aq_status aq_quantity_read(aq_quantity *out, const char *text, unsigned want, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_open(&reader, text, want, said);

    *out = (aq_quantity){ .given = false };
    if (status == AQ_OK)
        status = aq_reader_quantity(&reader, out);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status != AQ_OK)
        *out = (aq_quantity){ .given = false };
    return aq_reader_finish(&reader, status, err);
}

/* The second value, after the dash; a first value without unit takes the unit of the second. */
static aq_status read_second(aq_reader *reader, aq_range *out, size_t from, double first, bool shared)
{
    size_t second_from = reader->at;
    aq_measure measure;
    double second;
    aq_status status = aq_reader_number(reader, &second);

    if (status == AQ_OK)
        status = read_unit_of(reader, second_from, second, &measure);
    if (status != AQ_OK)
        return status;
    out->high = of_measure(second, &measure);
    if (shared)
        out->low = of_measure(first, &measure);
    if (!aq_kind_equal(out->low.kind, out->high.kind))
        return aq_reader_fail(reader, from, reader->at, AQ_WRONG_KIND, "range goes from %s to %s",
                              aq_kind_says(out->low.kind), aq_kind_says(out->high.kind));
    if (out->low.value > out->high.value)
        return aq_reader_fail(reader, from, reader->at, AQ_OUT_OF_RANGE,
                              "range goes down: write the smaller value first");
    return AQ_OK;
}

static aq_status read_range(aq_reader *reader, aq_range *out)
{
    aq_measure measure;
    double first = 0;
    size_t from;
    aq_status status;

    aq_reader_at_end(reader);
    from = reader->at;
    status = aq_reader_number(reader, &first);
    if (status != AQ_OK)
        return status;
    if (aq_reader_take_dash(reader))
        return read_second(reader, out, from, first, true);
    status = read_unit_of(reader, from, first, &measure);
    if (status != AQ_OK)
        return status;
    out->low = out->high = of_measure(first, &measure);
    return aq_reader_take_dash(reader) ? read_second(reader, out, from, first, false) : AQ_OK;
}

aq_status aq_range_read(aq_range *out, const char *text, unsigned want, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_open(&reader, text, want, said);

    *out = (aq_range){ .low = { .given = false } };
    if (status == AQ_OK)
        status = read_range(&reader, out);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status != AQ_OK)
        *out = (aq_range){ .low = { .given = false } };
    return aq_reader_finish(&reader, status, err);
}

aq_status aq_number_read(double *out, const char *text, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_open(&reader, text, AQ_WANT_NUMBER, NULL);

    *out = 0;
    if (status == AQ_OK)
        status = aq_reader_number(&reader, out);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status != AQ_OK)
        *out = 0;
    return aq_reader_finish(&reader, status, err);
}

aq_status aq_measure_read(aq_measure *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_open(&reader, text, AQ_WANT_ANY, said);

    *out = (aq_measure){ .factor = 1 };
    if (status == AQ_OK)
        status = aq_reader_unit(&reader, out);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status != AQ_OK)
        *out = (aq_measure){ .factor = 0 };
    return aq_reader_finish(&reader, status, err);
}

aq_status aq_quantity_in(double *out, aq_quantity quantity, const aq_measure *measure, aq_error *err)
{
    *out = 0;
    if (!aq_kind_equal(quantity.kind, measure->kind))
        return aq_fail(err, AQ_WRONG_KIND, (aq_place){ .line = 0 }, "%s cannot be told as %s",
                       aq_kind_says(quantity.kind), aq_kind_says(measure->kind));
    *out = aq_unscale(quantity.value, measure->factor) - measure->offset;
    return AQ_OK;
}
