/* Strengths, ratios, levels, slopes and sizes.
 *
 * A strength is how much of a substance is in how much: 35 % w/w is 0.35 g per g, 3 % w/v is 30 g per L, 70 % v/v is
 * 0.7 L per L. A ratio 1 plus 200 is one part in 201 of the result. */
#include "measure/reader.h"

#include <stdio.h>
#include <string.h>

#include "base/decimal.h"

static const struct {
    aq_kind kind;
    aq_basis basis;
    double whole; /* the most there can be; 0: no such limit is known */
} bases[] = {
    { { .mass = 0 }, AQ_BASIS_WW, 1 },
    { { .mass = 1, .volume = -1 }, AQ_BASIS_WV, 0 },
    { { .rate = 1 }, AQ_BASIS_VV, 1 },
};

/* A copy of what was typed, cut to fit at a whole character. */
static void keep_typed(char *out, size_t room, const char *text)
{
    size_t length = strlen(text);

    if (length >= room) {
        length = room - 1;
        while (length && ((unsigned char)text[length] & 0xC0) == 0x80)
            length--;
    }
    memcpy(out, text, length);
    out[length] = '\0';
}

static aq_status read_strength(aq_reader *reader, aq_strength *out)
{
    aq_quantity quantity;
    aq_status status = aq_reader_quantity(reader, &quantity);

    if (status == AQ_OK && !aq_reader_at_end(reader))
        status = aq_reader_rest(reader);
    if (status != AQ_OK)
        return status;
    for (size_t i = 0; i < sizeof bases / sizeof *bases; i++) {
        if (!aq_kind_equal(bases[i].kind, quantity.kind))
            continue;
        *out = (aq_strength){ .value = quantity.value, .basis = bases[i].basis, .given = true };
        if (quantity.value < 0)
            return aq_reader_fail(reader, 0, reader->at, AQ_OUT_OF_RANGE, "a strength is not negative");
        if (bases[i].whole > 0 && quantity.value > bases[i].whole)
            return aq_reader_fail(reader, 0, reader->at, AQ_OUT_OF_RANGE, "nothing is stronger than 100 %%");
    }
    keep_typed(out->typed, sizeof out->typed, reader->typed);
    return AQ_OK;
}

aq_status aq_strength_read(aq_strength *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_open(&reader, text, AQ_WANT_OF_LIQUID, said);

    *out = (aq_strength){ .given = false };
    if (status == AQ_OK)
        status = read_strength(&reader, out);
    if (status != AQ_OK)
        *out = (aq_strength){ .given = false };
    return aq_reader_finish(&reader, status, err);
}

/* 1:n is one part in n to some labels and one part plus n to others: a fifth apart at 1:4, nothing at 1:200. */
static aq_status ask_ratio(aq_reader *reader, double first, double second)
{
    static const aq_question question = { .key = "ratio",
                                          .count = 2,
                                          .choice = { { "in", "parts in so many parts of the result" },
                                                      { "plus", "parts added to so many parts of water" } } };
    char one[AQ_DECIMAL_ROOM], many[AQ_DECIMAL_ROOM], sum[AQ_DECIMAL_ROOM];

    aq_decimal_exact(first, one);
    aq_decimal_exact(second, many);
    aq_decimal_exact(first + second, sum);
    return aq_reader_ask(
        reader, 0, reader->at, &question,
        "%s:%s can be %s in %s (%s part in %s of the result) or %s plus %s (%s part in %s of the "
        "result)",
        one, many, one, many, one, many, one, many, one, sum);
}

/* An injector's share, 1 %, is one part in 100 parts out. */
static aq_status read_injector_share(aq_reader *reader, double share, double *parts)
{
    if (!aq_reader_take(reader, '%'))
        return aq_reader_fail(reader, 0, reader->at, AQ_SYNTAX,
                              "a ratio says how many parts in how many, like 1 in 200 or 1 plus 200");
    if (!(share > 0 && share <= 100))
        return aq_reader_fail(reader, 0, reader->at, AQ_OUT_OF_RANGE,
                              "a ratio is above 0 %% and at most 100 %%");
    *parts = 100 / share;
    return AQ_OK;
}

/* The word between the two numbers; `open` when it is one that labels use for both. */
static bool take_ratio_word(aq_reader *reader, aq_ratio_as *as, bool *open)
{
    *open = false;
    *as = AQ_RATIO_IN;
    if (aq_reader_take_word(reader, "in"))
        return true;
    *as = AQ_RATIO_PLUS;
    if (aq_reader_take_word(reader, "plus") || aq_reader_take(reader, '+'))
        return true;
    *as = reader->said->ratio;
    *open = aq_reader_take(reader, ':') || aq_reader_take_word(reader, "to");
    return *open;
}

static aq_status read_ratio(aq_reader *reader, double *parts)
{
    double first, second;
    bool open;
    aq_ratio_as as;
    aq_status status = aq_reader_number(reader, &first);

    if (status != AQ_OK)
        return status;
    if (!take_ratio_word(reader, &as, &open))
        return read_injector_share(reader, first, parts);
    status = aq_reader_number(reader, &second);
    if (status == AQ_OK && !aq_reader_at_end(reader))
        status = aq_reader_rest(reader);
    if (status != AQ_OK)
        return status;
    if (!(first > 0 && second > 0))
        return aq_reader_fail(reader, 0, reader->at, AQ_OUT_OF_RANGE,
                              "both numbers of a ratio are more than 0");
    if (second < first && as != AQ_RATIO_PLUS)
        return aq_reader_fail(reader, 0, reader->at, AQ_OUT_OF_RANGE,
                              "a part cannot be larger than the whole: is the ratio turned round?");
    if (as == AQ_RATIO_UNSAID)
        return ask_ratio(reader, first, second);
    reader->said->used_ratio |= open;
    *parts = (as == AQ_RATIO_IN ? second : first + second) / first;
    return AQ_OK;
}

/* One part in more than this is a slip of the pen: a thousandth of the weakest hormone or trace (common practice, no
 * source). It also keeps 1e-320 + 2 from becoming an infinite share. */
static const double weakest_ratio = 1e9;

static aq_status check_weakness(aq_reader *reader, double parts)
{
    if (parts <= weakest_ratio)
        return AQ_OK;
    return aq_reader_fail(reader, 0, reader->at, AQ_OUT_OF_RANGE, "a ratio is at most 1 in 1000000000");
}

aq_status aq_ratio_read(aq_ratio *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    double parts = 0;
    aq_status status = aq_reader_open(&reader, text, 0, said);

    *out = (aq_ratio){ .given = false };
    if (status == AQ_OK)
        status = read_ratio(&reader, &parts);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status == AQ_OK)
        status = check_weakness(&reader, parts);
    if (status == AQ_OK)
        *out = (aq_ratio){ .parts = parts, .given = true };
    return aq_reader_finish(&reader, status, err);
}

static aq_status read_level(aq_reader *reader, aq_level *out, bool ec_alone)
{
    aq_quantity first;
    aq_status status = aq_reader_quantity(reader, &first);

    if (status != AQ_OK)
        return status;
    if (aq_kind_equal(first.kind, AQ_KIND_EC)) {
        if (!ec_alone)
            return aq_reader_fail(reader, 0, reader->at, AQ_SYNTAX,
                                  "a level names the volume before its EC, like 80 L@1.8 mS/cm");
        *out = (aq_level){ .ec = first, .given = true };
        return AQ_OK;
    }
    if (!aq_reader_take(reader, '@'))
        return aq_reader_fail(reader, 0, reader->at, AQ_SYNTAX,
                              "a level names an EC after its volume, like 80 L@1.8 mS/cm");
    reader->want = AQ_WANT_EC;
    status = aq_reader_quantity(reader, &out->ec);
    out->volume = first;
    out->given = true;
    return status;
}

aq_status aq_level_read(aq_level *out, const char *text, bool ec_alone, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_open(&reader, text, AQ_WANT_VOLUME | AQ_WANT_EC, said);

    *out = (aq_level){ .given = false };
    if (status == AQ_OK)
        status = read_level(&reader, out, ec_alone);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status != AQ_OK)
        *out = (aq_level){ .given = false };
    return aq_reader_finish(&reader, status, err);
}

/* "N" of "per 100 mg/L N"; the model knows which elements there are. */
static void take_element(aq_reader *reader, aq_slope *out)
{
    const char *name;
    size_t length = 0;

    if (aq_reader_at_end(reader))
        return;
    name = reader->plain.text + reader->at;
    if (*name < 'A' || *name > 'Z')
        return;
    while ((name[length] >= 'A' && name[length] <= 'Z') || (name[length] >= 'a' && name[length] <= 'z') ||
           (name[length] >= '0' && name[length] <= '9') || name[length] == '-')
        length++;
    if (length >= sizeof out->element)
        return;
    memcpy(out->element, name, length);
    out->element[length] = '\0';
    reader->at += length;
}

static aq_status read_slope(aq_reader *reader, aq_slope *out)
{
    static const aq_kind per_rate = { .ec = 1, .rate = -1 },
                         per_content = { .ec = 1, .mass = -1, .volume = 1 };
    aq_quantity quantity;
    aq_excerpt typed;
    aq_status status = aq_reader_quantity(reader, &quantity);

    if (status != AQ_OK)
        return status;
    typed = aq_reader_typed(reader, 0, reader->at);
    out->value = quantity.value;
    out->given = true;
    out->by_mass = aq_kind_equal(quantity.kind, per_content);
    if (!out->by_mass && !aq_kind_equal(quantity.kind, per_rate))
        return aq_reader_fail(reader, 0, reader->at, AQ_WRONG_KIND,
                              "%.*s is %s; an EC slope needs an EC per dose, like 0.40 mS/cm per mL/L",
                              typed.length, typed.text, aq_kind_says(quantity.kind));
    if (!(quantity.value > 0))
        return aq_reader_fail(reader, 0, reader->at, AQ_OUT_OF_RANGE,
                              "an EC slope is more than 0: a part that adds nothing has none");
    if (out->by_mass)
        take_element(reader, out);
    return AQ_OK;
}

aq_status aq_slope_read(aq_slope *out, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    aq_status status = aq_reader_open(&reader, text, AQ_WANT_SLOPE, said);

    *out = (aq_slope){ .given = false };
    if (status == AQ_OK)
        status = read_slope(&reader, out);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status != AQ_OK)
        *out = (aq_slope){ .given = false };
    return aq_reader_finish(&reader, status, err);
}

/* Three edges; an edge without a unit has that of the next edge that has one. */
static aq_status read_edges(aq_reader *reader, double edge[3])
{
    int bare = 0;

    for (int i = 0; i < 3; i++) {
        aq_measure unit;
        size_t from = reader->at;
        aq_status status = aq_reader_number(reader, &edge[i]);

        if (status == AQ_OK && !(edge[i] > 0))
            status = aq_reader_fail(reader, from, reader->at, AQ_OUT_OF_RANGE, "an edge is longer than zero");
        if (status != AQ_OK)
            return status;
        bare++;
        if (i < 2 && aq_reader_take(reader, '*'))
            continue;
        if (aq_reader_at_end(reader))
            return i < 2 ? AQ_SYNTAX : aq_reader_lacks_unit(reader, from);
        status = aq_reader_unit(reader, &unit);
        if (status == AQ_OK)
            status = aq_reader_accept(reader, from, &unit);
        if (status != AQ_OK)
            return status;
        for (; bare > 0; bare--)
            edge[i - bare + 1] = aq_scale(edge[i - bare + 1], unit.factor);
        if (i < 2 && !aq_reader_take(reader, '*'))
            return AQ_SYNTAX;
    }
    return AQ_OK;
}

aq_status aq_size_read(double *litres, const char *text, aq_said *said, aq_error *err)
{
    aq_reader reader;
    double edge[3] = { 0 };
    aq_status status = aq_reader_open(&reader, text, AQ_WANT_LENGTH, said);

    for (size_t i = 0; status == AQ_OK && i < reader.plain.length; i++)
        if (reader.plain.text[i] == 'x' || reader.plain.text[i] == 'X')
            reader.plain.text[i] = '*'; /* no unit of length has an x: "4cmx4cm" is not a cmx4cm */
    if (status == AQ_OK)
        status = read_edges(&reader, edge);
    if (status == AQ_OK && !aq_reader_at_end(&reader))
        status = aq_reader_rest(&reader);
    if (status == AQ_SYNTAX)
        aq_reader_fail(&reader, 0, reader.plain.length, AQ_SYNTAX,
                       "a size has three edges, like 36x36x40 mm");
    *litres = status == AQ_OK ? edge[0] * edge[1] * edge[2] * 1000 : 0;
    return aq_reader_finish(&reader, status, err);
}
