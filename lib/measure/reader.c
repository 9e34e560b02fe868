/* The cursor over one value: what stands next, numbers, and complaints that point at what was typed.
 *
 * A number is 2.385, 1/2 or 1 1/2. A comma is refused with both of its readings. */
#include "measure/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/decimal.h"

#define NUMBER_MOST 1e15

aq_status aq_reader_open(aq_reader *reader, const char *text, unsigned want, aq_said *said)
{
    reader->typed = text;
    reader->at = 0;
    reader->want = want;
    reader->after_per = reader->below = false;
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

size_t aq_reader_space(const aq_reader *reader, size_t at)
{
    while (reader->plain.text[at] == ' ')
        at++;
    return at;
}

bool aq_reader_at_end(aq_reader *reader)
{
    reader->at = aq_reader_space(reader, reader->at);
    return reader->at >= reader->plain.length;
}

bool aq_reader_take(aq_reader *reader, char mark)
{
    size_t at = aq_reader_space(reader, reader->at);

    if (reader->plain.text[at] != mark)
        return false;
    reader->at = at + 1;
    return true;
}

bool aq_reader_take_word(aq_reader *reader, const char *word)
{
    size_t at = aq_reader_space(reader, reader->at), length = strlen(word);

    if (strncmp(reader->plain.text + at, word, length) != 0 || aq_is_letter(reader->plain.text[at + length]))
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

aq_place aq_reader_place(const aq_reader *reader, size_t from, size_t to)
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

aq_status(aq_reader_fail)(aq_reader *reader, size_t from, size_t to, aq_status status, const char *format,
                          ...)
{
    char text[AQ_ERROR_TEXT];
    va_list values;

    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    return aq_fail(&reader->complaint, status, aq_reader_place(reader, from, to), "%s", text);
}

aq_status aq_reader_ask(aq_reader *reader, size_t from, size_t to, const aq_question *question,
                        const char *format, ...)
{
    char text[AQ_ERROR_TEXT];
    va_list values;

    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    aq_fail(&reader->complaint, AQ_AMBIGUOUS, aq_reader_place(reader, from, to), "%s", text);
    reader->complaint.question = *question;
    return AQ_AMBIGUOUS;
}

aq_status aq_reader_rest(aq_reader *reader)
{
    size_t at = aq_reader_space(reader, reader->at);
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
    for (; aq_is_digit(text[to]) || text[to] == '.' || (text[to] == ',' && aq_is_digit(text[to + 1])); to++) {
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

    while (aq_is_digit(text[slash]))
        slash++;
    if (slash == at || text[slash] != '/' || !aq_is_digit(text[slash + 1]))
        return 0;
    end = slash + 1;
    while (aq_is_digit(text[end]))
        end++;
    aq_decimal_read(text + at, slash - at, above);
    aq_decimal_read(text + slash + 1, end - slash - 1, below);
    return end;
}

/* Adds the fraction that makes "1/2" or "1 1/2" of the whole number from `from` to reader->at. */
static aq_status take_fraction(aq_reader *reader, size_t from, double *value)
{
    const char *text = reader->plain.text;
    size_t digits = from + (text[from] == '-' || text[from] == '+'),
           next = aq_reader_space(reader, reader->at), end;
    double above = 0, below = 1, whole = 0;

    for (size_t i = digits; i < reader->at; i++)
        if (!aq_is_digit(text[i]))
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
    size_t from = reader->at = aq_reader_space(reader, reader->at), used, next;
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
    if (text[reader->at] == ',' && aq_is_digit(text[reader->at + 1]))
        return refuse_comma(reader, from);
    status = take_fraction(reader, from, out);
    if (status != AQ_OK)
        return status;
    if (!(fabs(*out) <= NUMBER_MOST))
        return aq_reader_fail(reader, from, reader->at, AQ_OUT_OF_RANGE, "number is beyond 1e15");
    next = aq_reader_space(reader, reader->at);
    if (next > reader->at && aq_is_digit(text[next]))
        return aq_reader_fail(
            reader, from, next + 1, AQ_AMBIGUOUS,
            "number has a space in it: write nothing between thousands, and a unit after it");
    return AQ_OK;
}
