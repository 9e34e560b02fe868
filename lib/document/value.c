/* The ends of the tree: a scalar's text to a quantity, a date, a word among choices; and its limits.
 *
 * Each reader gets the scalar and the address of the value. A complaint of measure counts columns within the text;
 * where the text stands in the document as it reads, the complaint points at the very characters:
 *
 *     volume: 60 litters           column 12, not 9
 *                ^^^^^^^ */
#include "document/value.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/decimal.h"
#include "document/utf8.h"

enum { TEXT_BYTES = 200, WORDS_ROOM = 240 };
static const double count_most = 1e9; /* well inside a long of 32 bits */

/* ---- places ---- */

bool aq_value_literal(const aq_node *node)
{
    return node->place.line > 0 && node->place.span == aq_utf8_count(node->text) + (node->quoted ? 2 : 0);
}

aq_place aq_value_place(const aq_node *scalar, aq_place inside)
{
    aq_place place = scalar->place;

    place.line += inside.line - 1;
    place.column = inside.line > 1 ? inside.column : place.column + scalar->quoted + inside.column - 1;
    place.span = inside.span;
    return place;
}

/* A complaint of a reader, whose place is within the text. Measure writes signs such as a micro sign plainly before it
 * reads, so its columns fit only a text that has none. */
static aq_status refuse(aq_walk *walk, const aq_node *node, aq_error *err)
{
    aq_place inside = err->place;
    int length = (int)strlen(node->text);
    bool fits = inside.line == 1 && inside.column > 0 && inside.span > 0 &&
                inside.column + inside.span - 1 <= length && aq_utf8_count(node->text) == length;

    err->place = fits && aq_value_literal(node) ? aq_value_place(node, inside) : node->place;
    return aq_walk_add(walk, err);
}

/* "soon" is not a date, like 2026-03-02 */
static aq_status refuse_as(aq_walk *walk, const aq_field *field, const aq_node *node, const char *wanted)
{
    char brief[AQ_BRIEF_ROOM];

    return aq_walk_fail(walk, AQ_SYNTAX, node->place, "%s is not %s%s%s", aq_utf8_brief(node->text, brief),
                        wanted, field->example ? ", like " : "", field->example ? field->example : "");
}

/* ---- limits ---- */

/* Units that read well where the value's own is a compound one. */
static const struct {
    const aq_kind *kind;
    const char *name;
    double factor;
} usual[] = {
    { &AQ_KIND_VOLUME, "L", 1 },           { &AQ_KIND_MASS, "g", 1 },
    { &AQ_KIND_EC, "mS/cm", 1 },           { &AQ_KIND_RATE, "mL/L", 1e-3 },
    { &AQ_KIND_CONTENT, "g/L", 1 },        { &AQ_KIND_AMOUNT, "mmol", 1e-3 },
    { &AQ_KIND_MOLARITY, "mmol/L", 1e-3 }, { &AQ_KIND_HARDNESS, "meq/L", 1e-3 },
    { &AQ_KIND_TEMPERATURE, "degC", 1 },   { &AQ_KIND_TIME, "d", 1 },
    { &AQ_KIND_FLOW, "L/d", 1 },
};

typedef struct {
    const char *name; /* "" of a number */
    double factor, offset;
} shown_in;

static shown_in unit_of(aq_quantity quantity)
{
    if (quantity.unit)
        return (shown_in){ quantity.unit->name, quantity.unit->factor, quantity.unit->offset };
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++)
        if (aq_kind_equal(*usual[i].kind, quantity.kind))
            return (shown_in){ usual[i].name, usual[i].factor, 0 };
    return (shown_in){ "", 1, 0 };
}

/* "at most 100000 L"; the limit in the unit that the value was written in. */
static void write_limit(const char *words, double limit, shown_in unit, char out[WORDS_ROOM])
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_figures(limit / unit.factor - unit.offset, 6, false, digits);
    strcpy(out, words);
    strcat(out, digits);
    if (*unit.name) {
        strcat(out, " ");
        strncat(out, unit.name, WORDS_ROOM - strlen(out) - 1);
    }
}

static aq_status refuse_value(aq_walk *walk, const aq_field *field, const aq_node *node, aq_quantity found)
{
    char low[WORDS_ROOM] = "", high[WORDS_ROOM] = "", brief[AQ_BRIEF_ROOM];
    shown_in unit = unit_of(found);

    if (isfinite(field->least))
        write_limit(field->above ? "more than " : "at least ", field->least, unit, low);
    if (isfinite(field->most))
        write_limit("at most ", field->most, unit, high);
    return aq_walk_fail(walk, AQ_OUT_OF_RANGE, node->place, "%s must be %s%s%s",
                        aq_utf8_brief(node->text, brief), low, *low && *high ? " and " : "", high);
}

static aq_status check_limits(aq_walk *walk, const aq_field *field, const aq_node *node, aq_quantity found)
{
    bool enough = field->above ? found.value > field->least : found.value >= field->least;

    if (!field->bounded || (enough && found.value <= field->most))
        return AQ_OK;
    return refuse_value(walk, field, node, found);
}

static aq_status check_number(aq_walk *walk, const aq_field *field, const aq_node *node, double found)
{
    return check_limits(walk, field, node, aq_quantity_of(found, AQ_KIND_SHARE));
}

static aq_status check_range(aq_walk *walk, const aq_field *field, const aq_node *node, const aq_range *range)
{
    char brief[AQ_BRIEF_ROOM];
    aq_status status;

    if (range->low.value > range->high.value)
        return aq_walk_fail(walk, AQ_OUT_OF_RANGE, node->place,
                            "%s runs downwards: write the smaller number first",
                            aq_utf8_brief(node->text, brief));
    status = check_limits(walk, field, node, range->low);
    return status == AQ_OK ? check_limits(walk, field, node, range->high) : status;
}

/* ---- words ---- */

static aq_status read_text(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    size_t most = field->most > 0 ? (size_t)field->most : TEXT_BYTES;

    if (!*node->text)
        return aq_walk_fail(walk, AQ_MISSING, node->place, "the text is empty%s%s",
                            field->example ? "; write one, like " : "", field->example ? field->example : "");
    if (strlen(node->text) > most)
        return aq_walk_fail(walk, AQ_TOO_LARGE, node->place, "a text of %zu bytes; at most %zu are read",
                            strlen(node->text), most);
    *(const char **)into = node->text;
    return AQ_OK;
}

static aq_status read_yes_no(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    static const struct {
        const char *word;
        aq_yes_no means;
    } words[] = { { "yes", AQ_YES }, { "no", AQ_NO }, { "true", AQ_YES }, { "false", AQ_NO } };
    char brief[AQ_BRIEF_ROOM];

    (void)field;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(node->text, words[i].word) == 0) {
            *(aq_yes_no *)into = words[i].means;
            return AQ_OK;
        }
    return aq_walk_fail(walk, AQ_SYNTAX, node->place, "%s is neither yes nor no",
                        aq_utf8_brief(node->text, brief));
}

static void list_words(const char *const *words, char out[WORDS_ROOM])
{
    size_t length = 0;

    out[0] = '\0';
    for (size_t i = 0; words[i]; i++) {
        const char *before = i == 0 ? "" : words[i + 1] ? ", " : " or ";
        size_t more = strlen(before) + strlen(words[i]);

        if (length + more + sizeof " ..." > WORDS_ROOM) {
            strcpy(out + length, " ...");
            return;
        }
        strcpy(out + length, before);
        strcat(out + length, words[i]);
        length += more;
    }
}

/* gallon, ppm and ratio hold for every value of the line: into the walk, and as aq_said has them. */
static void say(aq_walk *walk, const aq_field *field, const char *word, int index, int *into)
{
    if (strcmp(field->key, "ppm") == 0)
        walk->said.ppm = *into = (int)strtol(word, NULL, 10);
    else
        *into = index + 1;
    if (strcmp(field->key, "gallon") == 0)
        walk->said.gallon = (aq_gallon)*into;
    if (strcmp(field->key, "ratio") == 0)
        walk->said.ratio = (aq_ratio_as)*into;
}

static aq_status read_choice(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    char brief[AQ_BRIEF_ROOM], words[WORDS_ROOM];
    const char *near;

    for (int i = 0; field->choices[i]; i++) {
        if (strcmp(node->text, field->choices[i]) != 0)
            continue;
        if (field->says)
            say(walk, field, node->text, i, into);
        else
            *(int *)into = i + 1;
        return AQ_OK;
    }
    list_words(field->choices, words);
    near = aq_nearest(node->text, field->choices);
    return aq_walk_fail(walk, AQ_UNKNOWN_NAME, node->place, "%s is not one of the choices: %s%s%s%s",
                        aq_utf8_brief(node->text, brief), words, near ? "; did you mean " : "",
                        near ? near : "", near ? "?" : "");
}

/* ---- numbers ---- */

static aq_status read_plain_number(aq_walk *walk, const aq_field *field, const aq_node *node, double *out)
{
    aq_error err = { .status = AQ_OK };

    if (aq_number_read(out, node->text, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return check_number(walk, field, node, *out);
}

static aq_status read_count(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    double number;
    aq_status status = read_plain_number(walk, field, node, &number);

    if (status != AQ_OK)
        return status;
    if (number != floor(number) || fabs(number) > count_most)
        return refuse_as(walk, field, node, "a whole number");
    *(long *)into = (long)number;
    return AQ_OK;
}

static aq_status read_number(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    double number;
    aq_status status = read_plain_number(walk, field, node, &number);

    if (status == AQ_OK)
        *(aq_quantity *)into = aq_quantity_of(number, AQ_KIND_SHARE);
    return status;
}

/* The hyphen of "5.6-6.2": behind a digit, so that it is neither a sign nor part of an exponent. NULL: one number. */
static const char *range_hyphen(const char *text)
{
    const char *hyphen = strchr(text, '-');

    for (; hyphen; hyphen = strchr(hyphen + 1, '-')) {
        const char *before = hyphen;

        while (before > text && before[-1] == ' ')
            before--;
        if (before > text && strchr("0123456789.", before[-1]))
            return hyphen;
    }
    return NULL;
}

/* One end of a range of numbers, `length` bytes from `from`. */
static aq_status read_end(const aq_node *node, const char *from, size_t length, aq_quantity *out,
                          aq_error *err)
{
    char text[64];
    double number;

    while (length && *from == ' ') {
        from++;
        length--;
    }
    while (length && from[length - 1] == ' ')
        length--;
    if (length >= sizeof text)
        return aq_fail(err, AQ_SYNTAX, (aq_place){ NULL, 1, 1, 1 }, "a number of %zu bytes is too long",
                       length);
    memcpy(text, from, length);
    text[length] = '\0';
    if (aq_number_read(&number, text, err) != AQ_OK) {
        if (err->place.line == 1)
            err->place.column += (int)(from - node->text);
        return err->status;
    }
    *out = aq_quantity_of(number, AQ_KIND_SHARE);
    return AQ_OK;
}

static aq_status read_numbers(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_range *out = into;
    aq_error err = { .status = AQ_OK };
    const char *hyphen = range_hyphen(node->text);
    size_t first = hyphen ? (size_t)(hyphen - node->text) : strlen(node->text);

    if (read_end(node, node->text, first, &out->low, &err) != AQ_OK)
        return refuse(walk, node, &err);
    out->high = out->low;
    if (hyphen && read_end(node, hyphen + 1, strlen(hyphen + 1), &out->high, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return check_range(walk, field, node, out);
}

/* ---- quantities ---- */

static aq_status read_quantity(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_quantity *out = into;
    aq_error err; /* nearly always unused: the rest of it is left to who complains */
    double number;

    err.status = AQ_OK;
    if (field->bare && aq_number_read(&number, node->text, NULL) == AQ_OK)
        *out = aq_quantity_of(number, AQ_KIND_SHARE);
    else if (aq_quantity_read(out, node->text, field->want, &walk->said, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return check_limits(walk, field, node, *out);
}

static aq_status read_range(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_error err = { .status = AQ_OK };

    if (aq_range_read(into, node->text, field->want, &walk->said, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return check_range(walk, field, node, into);
}

static aq_status read_strength(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_strength *out = into;
    aq_error err = { .status = AQ_OK };

    if (aq_strength_read(out, node->text, &walk->said, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return check_number(walk, field, node, out->value);
}

static aq_status read_ratio(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_ratio *out = into;
    aq_error err = { .status = AQ_OK };

    if (aq_ratio_read(out, node->text, &walk->said, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return check_number(walk, field, node, out->parts);
}

/* The limits are of the volume, where one is given. */
static aq_status read_level(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_level *out = into;
    aq_error err = { .status = AQ_OK };

    if (aq_level_read(out, node->text, field->bare, &walk->said, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return out->volume.given ? check_limits(walk, field, node, out->volume) : AQ_OK;
}

static aq_status read_slope(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_slope *out = into;
    aq_error err;

    err.status = AQ_OK;
    if (aq_slope_read(out, node->text, &walk->said, &err) != AQ_OK)
        return refuse(walk, node, &err);
    return check_number(walk, field, node, out->value);
}

static aq_status read_size(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_quantity *out = into;
    aq_error err = { .status = AQ_OK };
    double litres;

    if (aq_size_read(&litres, node->text, &walk->said, &err) != AQ_OK)
        return refuse(walk, node, &err);
    *out = aq_quantity_of(litres, AQ_KIND_VOLUME);
    return check_limits(walk, field, node, *out);
}

/* ---- days and times ---- */

static aq_status read_date(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    return aq_date_read(node->text, into) ? AQ_OK : refuse_as(walk, field, node, "a date: year-month-day");
}

static aq_status read_minute(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_clock *out = into;

    out->given = aq_minute_read(node->text, &out->minute);
    return out->given ? AQ_OK : refuse_as(walk, field, node, "a time of day: hours:minutes");
}

static aq_status read_moment(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    return aq_moment_read(node->text, into) ? AQ_OK
                                            : refuse_as(walk, field, node, "a date with a time of day");
}

/* ---- the table of readers ---- */

typedef aq_status reader(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);

static reader *const readers[] = {
    [AQ_READ_TEXT] = read_text,     [AQ_READ_YES_NO] = read_yes_no,     [AQ_READ_COUNT] = read_count,
    [AQ_READ_NUMBER] = read_number, [AQ_READ_NUMBERS] = read_numbers,   [AQ_READ_QUANTITY] = read_quantity,
    [AQ_READ_RANGE] = read_range,   [AQ_READ_STRENGTH] = read_strength, [AQ_READ_RATIO] = read_ratio,
    [AQ_READ_LEVEL] = read_level,   [AQ_READ_SLOPE] = read_slope,       [AQ_READ_SIZE] = read_size,
    [AQ_READ_DATE] = read_date,     [AQ_READ_MINUTE] = read_minute,     [AQ_READ_MOMENT] = read_moment,
    [AQ_READ_CHOICE] = read_choice,
};

bool aq_value_single(aq_read read)
{
    return read < sizeof readers / sizeof *readers;
}

aq_status aq_value_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    return readers[field->read](walk, field, node, into);
}
