/* What a unit that is not in the table may have been meant as.
 *
 * A hint never becomes a reading: "1.8 ms" of an EC is refused, and the message names mS/cm. Only units that can stand
 * where the name stood are named: of "5 Lb/ML", wanted as a mass per volume, the second can only be a volume. In
 * this order: a name that is whole but for what follows its hyphen or its line (cup, mS); words that people use and the
 * table has not; the fewest slips of the pen, if they are few enough. A slip is a letter added, dropped, changed or
 * swapped with its neighbour (Damerau 1964); a change of case is half a slip. */
#include "measure/reader.h"

#include <stdio.h>
#include <string.h>

/* ---- what can stand here ---- */

/* Kinds that are wanted as one unit, and kinds wanted as one above a line and another below it. */
static const struct {
    unsigned want;
    aq_kind kind;
} undivided[] = {
    { AQ_WANT_VOLUME, { .volume = 1 } },
    { AQ_WANT_MASS, { .mass = 1 } },
    { AQ_WANT_EC, { .ec = 1 } },
    { AQ_WANT_AMOUNT, { .amount = 1 } },
    { AQ_WANT_HARDNESS, { .charge = 1, .volume = -1 } },
    { AQ_WANT_SHARE, { .mass = 0 } },
    { AQ_WANT_TEMPERATURE, { .heat = 1 } },
    { AQ_WANT_TIME, { .time = 1 } },
    { AQ_WANT_LENGTH, { .length = 1 } },
    { AQ_WANT_CHARGE, { .charge = 1 } },
    { AQ_WANT_OF_LIQUID, { .mass = 0 } },
};

static const struct {
    unsigned want;
    aq_kind above, below;
} divided[] = {
    { AQ_WANT_RATE, { .volume = 1 }, { .volume = 1 } },
    { AQ_WANT_CONTENT, { .mass = 1 }, { .volume = 1 } },
    { AQ_WANT_MOLARITY, { .amount = 1 }, { .volume = 1 } },
    { AQ_WANT_HARDNESS, { .charge = 1 }, { .volume = 1 } },
    { AQ_WANT_HARDNESS, { .mass = 1 }, { .volume = 1 } },
    { AQ_WANT_FLOW, { .volume = 1 }, { .time = 1 } },
    { AQ_WANT_PER_DEGREE, { .mass = 0 }, { .heat = 1 } },
    { AQ_WANT_OF_LIQUID, { .mass = 1 }, { .volume = 1 } },
    { AQ_WANT_OF_LIQUID, { .volume = 1 }, { .volume = 1 } },
};

/* In "0.40 mS/cm per mL/L" an EC before the "per", a volume or a mass after it, and a volume below its line. */
static bool fits_slope(const aq_reader *reader, aq_kind kind)
{
    if (!reader->after_per)
        return !reader->below && aq_kind_equal(kind, AQ_KIND_EC);
    return aq_kind_equal(kind, AQ_KIND_VOLUME) || (!reader->below && aq_kind_equal(kind, AQ_KIND_MASS));
}

static bool fits(const aq_reader *reader, aq_kind kind)
{
    bool below = reader && (reader->below || reader->after_per);

    if (!reader || (reader->want & AQ_WANT_ANY))
        return true;
    if ((reader->want & AQ_WANT_SLOPE) && fits_slope(reader, kind))
        return true;
    for (size_t i = 0; !below && i < sizeof undivided / sizeof *undivided; i++)
        if ((reader->want & undivided[i].want) && aq_kind_equal(undivided[i].kind, kind))
            return true;
    for (size_t i = 0; i < sizeof divided / sizeof *divided; i++)
        if ((reader->want & divided[i].want) &&
            aq_kind_equal(below ? divided[i].below : divided[i].above, kind))
            return true;
    return false;
}

/* ---- words ---- */

/* Words that are no slip of one of ours, in any case of letters; what the fewest slips find needs no row. */
static const struct {
    const char *typed;
    aq_kind kind;
    const char *instead;
} words[] = {
    { "millisiemens", { .ec = 1 }, "mS/cm" },
    { "millisiemens/cm", { .ec = 1 }, "mS/cm" },
    { "mSiemens", { .ec = 1 }, "mS/cm" },
    { "mSiemens/cm", { .ec = 1 }, "mS/cm" },
    { "microsiemens", { .ec = 1 }, "uS/cm" },
    { "microsiemens/cm", { .ec = 1 }, "uS/cm" },
    { "uSiemens/cm", { .ec = 1 }, "uS/cm" },
    { "decisiemens", { .ec = 1 }, "dS/m" },
    { "decisiemens/m", { .ec = 1 }, "dS/m" },
    { "siemens", { .ec = 1 }, "mS/cm, uS/cm or S/m" },
    { "mho", { .ec = 1 }, "mmho/cm or umho/cm" },
    { "ukgal", { .volume = 1 }, "gal-imp" },
    { "gal-uk", { .volume = 1 }, "gal-imp" },
    { "gallon-uk", { .volume = 1 }, "gal-imp" },
    { "usgal", { .volume = 1 }, "gal-us" },
    { "us", { .volume = 1 }, "gal-us, qt-us, pt-us or fl-oz-us" },
    { "uk", { .volume = 1 }, "gal-imp, qt-imp, pt-imp or fl-oz-imp" },
    { "imp", { .volume = 1 }, "gal-imp, qt-imp, pt-imp or fl-oz-imp" },
    { "imperial", { .volume = 1 }, "gal-imp, qt-imp, pt-imp or fl-oz-imp" },
    { "cups", { .volume = 1 }, "cup-us or cup-metric" },
    { "t", { .volume = 1 }, "tsp-us, tsp-metric, tbsp-us or tbsp-metric" },
    { "tea", { .volume = 1 }, "tsp-us or tsp-metric" },
    { "table", { .volume = 1 }, "tbsp-us or tbsp-metric" },
    { "drop", { .volume = 1 }, "mL, for a drop has no fixed size" },
    { "drops", { .volume = 1 }, "mL, for a drop has no fixed size" },
    { "lt", { .volume = 1 }, "L" },
    { "ltr", { .volume = 1 }, "L" },
    { "ltrs", { .volume = 1 }, "L" },
    { "mil", { .volume = 1 }, "mL" },
    { "mils", { .volume = 1 }, "mL" },
    { "cubic", { .volume = 1 }, "m3, cm3, ft3 or in3" },
    { "gms", { .mass = 1 }, "g" },
    { "kilo", { .mass = 1 }, "kg" },
    { "kilos", { .mass = 1 }, "kg" },
    { "mcg", { .mass = 1 }, "ug" },
    { "celsius", { .heat = 1 }, "degC" },
    { "centigrade", { .heat = 1 }, "degC" },
    { "k", { .heat = 1 }, "degC" },
    { "kelvin", { .heat = 1 }, "degC" },
    { "fahrenheit", { .heat = 1 }, "degF" },
    { "deg", { .heat = 1 }, "degC or degF" },
    { "degree", { .heat = 1 }, "degC or degF" },
    { "degrees", { .heat = 1 }, "degC or degF" },
    { "month", { .time = 1 }, "week or d" },
    { "months", { .time = 1 }, "week or d" },
    { "wk", { .time = 1 }, "week" },
    { "wks", { .time = 1 }, "week" },
    { "sec", { .time = 1 }, "s" },
    { "secs", { .time = 1 }, "s" },
    { "seconds", { .time = 1 }, "s" },
    { "inch", { .length = 1 }, "in" },
    { "inches", { .length = 1 }, "in" },
    { "clark", { .charge = 1, .volume = -1 }, "gpg-imp" },
    { "mval", { .charge = 1 }, "meq" },
};

/* Words that could be either of two units of ours: a question, not a hint. That a feed reads about 1 or 2 mS/cm is
 * common practice, no source. */
static const struct {
    const char *typed;
    aq_kind kind;
    const char *ask;
    aq_question question;
} open_words[] = {
    { "EC",
      { .ec = 1 },
      "EC is what is measured, not a unit: is it mS/cm (a feed reads about 1 or 2) or uS/cm (about 1000 or "
      "2000)?",
      { .key = "unit",
        .count = 2,
        .choice = { { "mS/cm", "a feed reads about 1 or 2" },
                    { "uS/cm", "a feed reads about 1000 or 2000" } } } },
    { "TDS",
      { .ec = 1 },
      "TDS is what a meter makes of an EC by its own scale: is it ppm-500, ppm-640 or ppm-700?",
      { .key = "unit",
        .count = 3,
        .choice = { { "ppm-500", "500 ppm is 1 mS/cm" },
                    { "ppm-640", "640 ppm is 1 mS/cm" },
                    { "ppm-700", "700 ppm is 1 mS/cm" } } } },
    { "gr",
      { .mass = 1 },
      "gr can be a gram or a grain, 0.0648 g: write g or grain",
      { .key = "unit", .count = 2, .choice = { { "g", "gram" }, { "grain", "0.0648 g" } } } },
};

/* ---- slips of the pen ---- */

static int least(int a, int b)
{
    return a < b ? a : b;
}

/* Of ASCII alone, whatever the host's locale makes of an i. */
static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same_letters(const char *a, const char *b, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (lower(a[i]) != lower(b[i]))
            return false;
    return true;
}

static bool same_word(const char *a, const char *b)
{
    return strlen(a) == strlen(b) && same_letters(a, b, strlen(a));
}

static int half_slip(char a, char b)
{
    return a == b ? 0 : lower(a) == lower(b) ? 1 : 2;
}

/* Slips that turn one name into the other, counted in halves. Names longer than the table's longest are far from all. */
static int half_slips(const char *a, const char *b)
{
    enum { LONGEST = 15, FAR = 1000 };
    int before[LONGEST + 1], last[LONGEST + 1], row[LONGEST + 1];
    size_t width = strlen(b);

    if (width > LONGEST)
        return FAR;
    if (same_word(a, b))
        return 1; /* LITRES: the shift key slipped once */
    for (size_t i = 0; i <= width; i++)
        row[i] = last[i] = 2 * (int)i;
    for (size_t j = 0; a[j]; j++) {
        memcpy(before, last, sizeof last);
        memcpy(last, row, sizeof row);
        row[0] = last[0] + 2;
        for (size_t i = 1; i <= width; i++) {
            row[i] = least(last[i - 1] + half_slip(a[j], b[i - 1]), least(last[i], row[i - 1]) + 2);
            if (j > 0 && i > 1 && a[j] == b[i - 2] && a[j - 1] == b[i - 1])
                row[i] = least(row[i], before[i - 2] + 2);
        }
    }
    return row[width];
}

/* Whether `name` is all of `whole` before its hyphen or line: cup of cup-us, ms of mS/cm. */
static bool is_stem(const char *name, const char *whole)
{
    size_t length = strlen(name);

    return length && length < strlen(whole) && same_letters(name, whole, length) &&
           (whole[length] == '-' || whole[length] == '/');
}

/* "cup-us or cup-metric": all that the stem may go on to after its hyphen. */
static void list_stem(const aq_reader *reader, const char *name, char *out, size_t room)
{
    size_t count, length = 0;
    const aq_unit *units = aq_unit_table(&count);

    out[0] = '\0';
    for (size_t i = 0; i < count; i++)
        if (is_stem(name, units[i].name) && units[i].name[strlen(name)] == '-' &&
            fits(reader, units[i].kind) && length < room)
            length +=
                (size_t)snprintf(out + length, room - length, "%s%s", length ? " or " : "", units[i].name);
}

static bool stem_of(const aq_reader *reader, const char *name, char *out, size_t room)
{
    size_t count;
    const aq_unit *units = aq_unit_table(&count);

    for (size_t i = 0; i < count; i++) {
        if (!is_stem(name, units[i].name) || !fits(reader, units[i].kind))
            continue;
        if (units[i].name[strlen(name)] == '-')
            list_stem(reader, name, out, room);
        else
            snprintf(out, room, "%s", units[i].name);
        return true;
    }
    return false;
}

/* A third of the letters may be slips, and one is always forgiven. */
static bool fewest_slips(const aq_reader *reader, const char *name, char *out, size_t room)
{
    int third = (int)strlen(name) * 2 / 3, most = third > 2 ? third : 2, fewest = most + 1;
    aq_unit_name known;

    for (size_t i = 0; aq_unit_name_at(i, &known); i++) {
        int slips = fits(reader, known.kind) ? half_slips(name, known.typed) : fewest;

        if (slips >= fewest)
            continue;
        fewest = slips;
        snprintf(out, room, "%s", known.instead);
    }
    return fewest <= most;
}

bool aq_hint_near(const aq_reader *reader, const char *name, char *out, size_t room)
{
    if (stem_of(reader, name, out, room))
        return true;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (fits(reader, words[i].kind) && same_word(words[i].typed, name)) {
            snprintf(out, room, "%s", words[i].instead);
            return true;
        }
    return fewest_slips(reader, name, out, room);
}

/* ---- the complaint ---- */

/* What a message shows of a name: at most 40 bytes, and no part of a character at their end. */
int aq_hint_shown(const char *text, size_t length)
{
    size_t end = length < 40 ? length : 40, last = end;

    while (last > 0 && ((unsigned char)text[last - 1] & 0xC0) == 0x80)
        last--;
    if (last > 0) {
        unsigned char lead = (unsigned char)text[last - 1];
        size_t wanted = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;

        if (end - (last - 1) < wanted)
            end = last - 1;
    }
    return (int)end;
}

static aq_status ask_open(aq_reader *reader, size_t from, size_t to, const char *name)
{
    for (size_t i = 0; i < sizeof open_words / sizeof *open_words; i++)
        if (fits(reader, open_words[i].kind) && same_word(open_words[i].typed, name))
            return aq_reader_ask(reader, from, to, &open_words[i].question, "%s", open_words[i].ask);
    return AQ_OK;
}

/* Where the name of an EC ends that has its line within: the whole of MS/CM is one mistyped name. */
static size_t with_line(const aq_reader *reader, size_t to)
{
    const char *text = reader->plain.text;
    size_t end = to;

    if (reader->below || reader->after_per || !(reader->want & (AQ_WANT_EC | AQ_WANT_SLOPE)))
        return to;
    if ((text[end] == '/' || text[end] == '.') && aq_is_letter(text[end + 1]))
        for (end++; aq_is_letter(text[end]);)
            end++;
    return end;
}

aq_status aq_reader_unknown(aq_reader *reader, size_t from, size_t to)
{
    char name[AQ_SPELLING_ROOM], near[AQ_HINT_ROOM];
    size_t end = with_line(reader, to);
    aq_excerpt typed = aq_reader_typed(reader, from, end);
    aq_status status;

    snprintf(name, sizeof name, "%.*s", (int)(end - from), reader->plain.text + from);
    status = ask_open(reader, from, end, name);
    if (status != AQ_OK)
        return status;
    typed.length = aq_hint_shown(typed.text, (size_t)typed.length);
    if (aq_hint_near(reader, name, near, sizeof near))
        return aq_reader_fail(reader, from, end, AQ_UNKNOWN_UNIT,
                              "\"%.*s\" is not a unit we know; the nearest is %s", typed.length, typed.text,
                              near);
    return aq_reader_lacks_wanted(reader, from, end);
}
