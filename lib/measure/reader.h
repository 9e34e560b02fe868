/* The pieces that every reader of measures is made of: numbers, unit expressions, what is wanted, and complaints with
 * their place. Private to the room.
 *
 * A reader works on the plain spelling and complains in the typed one. Its complaint is its own until
 * aq_reader_finish hands it to the caller. */
#ifndef AQ_MEASURE_READER_H
#define AQ_MEASURE_READER_H

#include <math.h>

#include "measure/quantity.h"
#include "measure/spelling.h"

/* Beside the public aq_want bits: the concentration of a liquid, where a bare % must say its basis. */
enum { AQ_WANT_OF_LIQUID = 1 << 20, AQ_WANT_SLOPE = 1 << 21 };

typedef struct {
    const char *typed;
    aq_spelling plain;
    size_t at; /* in plain.text */
    unsigned want;
    bool after_per; /* in the second term: "per 100 ppm N" is a mass */
    bool below;     /* after the line of a term */
    aq_said *said, unsaid;
    aq_error complaint;
} aq_reader;

/* unit.c: a unit by its name in plain spelling, NULL for none. Names that are open (gal, ppm) are none. The second wants
 * the name of the table, byte for byte. */
const aq_unit *aq_unit_named(const char *name);
const aq_unit *aq_unit_exact(const char *text, size_t length);
const char *aq_unit_usual(const char *name); /* L for litres, ppm for PPM, gal for gallons; else `name` */

/* Every name that reads as a unit, or asks which: what to write for it, and its kind. False past the last. */
typedef struct {
    const char *typed, *instead; /* "gallons", "gal-us or gal-imp" */
    aq_kind kind;
} aq_unit_name;
bool aq_unit_name_at(size_t i, aq_unit_name *out);

/* hint.c: what a name that is no unit may have been meant as, of the kinds that `reader` (NULL: any) can take where it
 * stands; false when nothing is near. */
enum { AQ_HINT_ROOM = 80 };
bool aq_hint_near(const aq_reader *reader, const char *name, char *out, size_t room);
/* How many bytes a message shows of a name: at most 40, and no part of a character at their end. */
int aq_hint_shown(const char *text, size_t length);
/* Complains of the unknown unit from byte `from` to byte `to` of the plain text, or asks which is meant. */
aq_status aq_reader_unknown(aq_reader *reader, size_t from, size_t to);

/* reader.c: the cursor */
aq_status aq_reader_open(aq_reader *reader, const char *text, unsigned want, aq_said *said);
aq_status aq_reader_finish(aq_reader *reader, aq_status status, aq_error *err);
bool aq_reader_at_end(aq_reader *reader); /* after white space */
bool aq_reader_take(aq_reader *reader, char mark);
bool aq_reader_take_dash(aq_reader *reader); /* the "-" or "to" of a range */
bool aq_reader_take_word(aq_reader *reader, const char *word);
aq_status aq_reader_number(aq_reader *reader, double *out);
size_t aq_reader_space(const aq_reader *reader, size_t at); /* where the spaces from `at` on end */
aq_place aq_reader_place(const aq_reader *reader, size_t from, size_t to);

/* Complains of what stands from byte `from` to byte `to` of the plain text. */
aq_status aq_reader_fail(aq_reader *reader, size_t from, size_t to, aq_status status, const char *format, ...)
    AQ_PRINTF(5, 6);
#ifdef __clang_analyzer__ /* as with aq_fail */
#define aq_reader_fail(reader, from, to, status, ...)                                                        \
    (aq_reader_fail(reader, from, to, status, __VA_ARGS__), (status))
#endif
aq_status aq_reader_ask(aq_reader *reader, size_t from, size_t to, const aq_question *question,
                        const char *format, ...) AQ_PRINTF(5, 6);
aq_status aq_reader_rest(aq_reader *reader); /* complains of text that is left over */

/* A stretch of the typed text for "%.*s". */
typedef struct {
    int length;
    const char *text;
} aq_excerpt;
aq_excerpt aq_reader_typed(const aq_reader *reader, size_t from, size_t to);

/* expression.c: a unit, up to what cannot belong to one */
aq_status aq_reader_unit(aq_reader *reader, aq_measure *out);

/* want.c: whether a measure is what is wanted; may read a bare % of a liquid by what was said. `from` is where the
 * quantity begins. */
aq_status aq_reader_accept(aq_reader *reader, size_t from, aq_measure *measure);
aq_status aq_reader_lacks_unit(aq_reader *reader, size_t from);
/* "furlong" is not a unit we know; this needs a volume, like 60 L */
aq_status aq_reader_lacks_wanted(aq_reader *reader, size_t from, size_t to);
/* Rewrites the complaint that a name is open, so that it shows what `value` would be in each reading. The unit begins
 * at `unit_from`. */
aq_status aq_reader_show_choices(aq_reader *reader, size_t from, size_t unit_from, double value);

/* quantity.c: number, unit, and whether it is wanted */
aq_status aq_reader_quantity(aq_reader *reader, aq_quantity *out);

static inline bool aq_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static inline bool aq_is_letter(char c) /* and any byte of a longer character */
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

/* value * factor. Where the factor is one in a whole number (mL, mg, ppm-700) the division rounds once, so 70 mL is the
 * double nearest 0.07. */
static inline double aq_scale(double value, double factor)
{
    double parts = 1 / factor;

    if (parts > 1 && parts < 1e15 && fabs(parts - nearbyint(parts)) <= 1e-15 * parts)
        return value / nearbyint(parts);
    return value * factor;
}

/* value / factor, alike. */
static inline double aq_unscale(double value, double factor)
{
    double parts = 1 / factor;

    if (parts > 1 && parts < 1e15 && fabs(parts - nearbyint(parts)) <= 1e-15 * parts)
        return value * nearbyint(parts);
    return value / factor;
}

#endif
