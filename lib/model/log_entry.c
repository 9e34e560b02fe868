/* The rows of a log's entry, and the way back from its values to words. */
#include "model/log_entry.h"

#include <string.h>

#include "base/decimal.h"
#include "document/utf8.h"
#include "model/limits.h"
#include "model/says.h"

#define ENTRY_WORD(name, word) word,
static const char *const kinds[] = { AQ_ENTRY_LIST(ENTRY_WORD) NULL };
#undef ENTRY_WORD

const char *aq_entry_word(int kind)
{
    return kind > AQ_ENTRY_UNSAID && kind < AQ_ENTRY_COUNT ? kinds[kind - 1] : "";
}

int aq_entry_kind_of(const char *word)
{
    for (int i = 0; kinds[i]; i++)
        if (strcmp(kinds[i], word) == 0)
            return i + 1;
    return AQ_ENTRY_UNSAID;
}

/* ---- what belongs together ---- */

static bool was_read(const aq_entry *entry)
{
    return entry->ec_after.given || entry->ec_before.given || entry->ph.given || entry->temperature.given ||
           entry->volume.given;
}

static int kind_of(const aq_entry *entry)
{
    if (entry->undoes)
        return AQ_ENTRY_UNDO;
    if (entry->gate || entry->passed)
        return AQ_ENTRY_ROOTS;
    if (entry->left.count)
        return AQ_ENTRY_STOCK;
    if (entry->poured.count || entry->planned.count)
        return AQ_ENTRY_MIX;
    return was_read(entry) ? AQ_ENTRY_READING : AQ_ENTRY_NOTE;
}

static bool uid_well_formed(const char *uid)
{
    return strlen(uid) == 16 && strspn(uid, "0123456789abcdef") == 16;
}

/* What each kind cannot do without, in words. */
static const char *lacks(const aq_entry *e)
{
    switch (e->kind) {
    case AQ_ENTRY_MIX:
    case AQ_ENTRY_TOP_UP:
        return !e->volume.given ? "volume: what the tank held afterwards is missing, like 60 L" : NULL;
    case AQ_ENTRY_READING:
        return was_read(e) ? NULL
                           : "a reading has an ec-after, a ph, a temperature or a volume; none is here";
    case AQ_ENTRY_ROOTS:
        return e->passed ? NULL : "passed: the answer at the gate is missing, yes or no";
    case AQ_ENTRY_STOCK:
    case AQ_ENTRY_DELIVERY:
        return e->left.count ? NULL
                             : "left: what is left, or came in, of each part is missing, like {A: 736 mL}";
    case AQ_ENTRY_NOTE:
        return e->note ? NULL : "there is nothing to keep: no amount, no reading and no note";
    case AQ_ENTRY_UNDO:
        return e->undoes ? NULL : "undoes: which entry is taken back is missing";
    default:
        return NULL;
    }
}

/* The first byte that begins no character of UTF-8; NULL: there is none. */
static const char *stray_byte(const char *text)
{
    size_t left = text ? strlen(text) : 0, step;

    for (; left > 0; text += step, left -= step) {
        step = aq_utf8_step(text, left);
        if (!step)
            return text;
    }
    return NULL;
}

static const char *stray_in_names(const aq_amounts *amounts)
{
    const char *stray = NULL;

    for (size_t i = 0; !stray && i < amounts->count; i++)
        stray = stray_byte(amounts->at[i].name);
    return stray;
}

/* A command line and a CSV may hold any bytes; a log that kept them could not be written out and read back. */
static aq_status check_texts(const aq_entry *entry, aq_error *err)
{
    for (size_t i = 0; i < aq_entry_shape.count; i++) {
        const aq_field *field = &aq_entry_shape.fields[i];
        const void *at = (const char *)entry + field->into;
        const char *stray = field->says                      ? NULL
                            : field->read == AQ_READ_TEXT    ? stray_byte(*(const char *const *)at)
                            : field->read == AQ_READ_AMOUNTS ? stray_in_names(at)
                                                             : NULL;

        if (stray)
            return aq_fail(err, AQ_SYNTAX, (aq_place){ 0 },
                           "%s: byte 0x%02X is not UTF-8: save it as UTF-8 text", field->key,
                           (unsigned)(unsigned char)*stray);
    }
    return AQ_OK;
}

aq_status aq_entry_check(aq_entry *entry, aq_error *err)
{
    static const aq_place nowhere = { 0 };
    const char *lack;

    if (entry->kind == AQ_ENTRY_UNSAID)
        entry->kind = kind_of(entry);
    lack = lacks(entry);
    if (lack)
        return aq_fail(err, AQ_MISSING, nowhere, "%s", lack);
    if (entry->uid && !uid_well_formed(entry->uid))
        return aq_fail(err, AQ_SYNTAX, nowhere,
                       "uid: %s is no mark of an entry, which is 16 of the digits 0-9 and a-f", entry->uid);
    if (entry->heel.given && entry->volume.given && entry->heel.value > entry->volume.value)
        return aq_fail(err, AQ_CONFLICT, nowhere, "heel: more old solution than the tank holds");
    if (entry->heel.value > 0 && !entry->heel_ec.given)
        return aq_fail(err, AQ_MISSING, nowhere,
                       "heel-ec: the EC of the old solution is missing, like 2.1 mS/cm");
    return check_texts(entry, err);
}

static aq_status check_entry(aq_walk *walk, void *into, const aq_node *node)
{
    aq_entry *entry = into;
    aq_error err = { .status = AQ_OK };
    aq_status status = aq_entry_check(entry, &err);

    entry->said = walk->said;
    return status == AQ_OK ? AQ_OK : aq_walk_fail(walk, status, node->place, "%s", err.text);
}

/* ---- rows ---- */

#define TEXT_ROW(name, member, most_bytes, words, sample)                                                    \
    {                                                                                                        \
        .key = name, .read = AQ_READ_TEXT, .most = most_bytes, .into = offsetof(aq_entry, member),           \
        .help = words, .example = sample                                                                     \
    }
#define NAME_ROW(name, member, words, sample) TEXT_ROW(name, member, AQ_NAME_BYTES, words, sample)
#define LITRES_ROW(name, member, words, sample)                                                              \
    {                                                                                                        \
        .key = name, .read = AQ_READ_QUANTITY, .want = AQ_WANT_VOLUME, .bounded = true, .least = 0,          \
        .most = AQ_VOLUME_MOST, .into = offsetof(aq_entry, member), .help = words, .example = sample         \
    }
#define EC_ROW(name, member, words, sample)                                                                  \
    {                                                                                                        \
        .key = name, .read = AQ_READ_QUANTITY, .want = AQ_WANT_EC, .bounded = true, .least = 0,              \
        .most = AQ_EC_MOST, .into = offsetof(aq_entry, member), .help = words, .example = sample             \
    }
#define AMOUNTS_ROW(name, member, words, sample)                                                             \
    {                                                                                                        \
        .key = name, .read = AQ_READ_AMOUNTS, .want = AQ_WANT_VOLUME | AQ_WANT_MASS, .bounded = true,        \
        .least = 0, .most = AQ_MASS_MOST, .into = offsetof(aq_entry, member), .help = words,                 \
        .example = sample                                                                                    \
    }

enum { NOTE_BYTES = 1000, TITLE_BYTES = 200 };

/* What a person says of an entry. */
#define ENTRY_ROWS                                                                                           \
    { .key = "kind",                                                                                         \
      .read = AQ_READ_CHOICE,                                                                                \
      .choices = kinds,                                                                                      \
      .into = offsetof(aq_entry, kind),                                                                      \
      .help = "what sort of entry, where that does not follow from the rest",                                \
      .example = "top-up" },                                                                                 \
        { .key = "at",                                                                                       \
          .read = AQ_READ_MOMENT,                                                                            \
          .into = offsetof(aq_entry, at),                                                                    \
          .help = "when, now where not given",                                                               \
          .example = "2026-03-02T07:30" },                                                                   \
        NAME_ROW("reservoir", reservoir, "the tank", "Trays"),                                               \
        NAME_ROW("lot", lot, "the cuttings it feeds", "basil-14"),                                           \
        NAME_ROW("stage", stage, "what it was mixed for", "vegetative"),                                     \
        NAME_ROW("water", water, "name of the water added", "tap"),                                          \
        LITRES_ROW("volume", volume, "what the tank held afterwards", "12 L"),                               \
        LITRES_ROW("heel", heel, "old solution in it", "4 L"),                                               \
        EC_ROW("heel-ec", heel_ec, "EC of the old solution", "2.1 mS/cm"),                                   \
        EC_ROW("water-ec", water_ec, "EC of the water added", "0.32 mS/cm"),                                 \
        AMOUNTS_ROW("planned", planned, "what the sheet asked for", "{A: 18 mL, B: 18 mL}"),                 \
        AMOUNTS_ROW("poured", poured, "what was poured", "{A: 18 mL, B: 18 mL}"),                            \
        EC_ROW("ec-before", ec_before, "EC after the water, before anything was poured", "0.32 mS/cm"),      \
        EC_ROW("ec-after", ec_after, "EC at the end", "0.92 mS/cm"),                                         \
        EC_ROW("shown-before", shown_before, "what the meter showed before, where it was corrected",         \
               "0.30 mS/cm"),                                                                                \
        EC_ROW("shown-after", shown_after, "what the meter showed at the end, where it was corrected",       \
               "0.90 mS/cm"),                                                                                \
        EC_ROW("expected", expected, "EC that the sheet promised", "0.92 mS/cm"),                            \
        EC_ROW("within", within, "its tolerance", "0.10 mS/cm"),                                             \
        { .key = "ph",                                                                                       \
          .read = AQ_READ_NUMBER,                                                                            \
          .bounded = true,                                                                                   \
          .least = 0,                                                                                        \
          .most = AQ_PH_MOST,                                                                                \
          .into = offsetof(aq_entry, ph),                                                                    \
          .help = "pH at the end",                                                                           \
          .example = "5.8" },                                                                                \
        { .key = "temperature",                                                                              \
          .read = AQ_READ_QUANTITY,                                                                          \
          .want = AQ_WANT_TEMPERATURE,                                                                       \
          .bounded = true,                                                                                   \
          .least = AQ_TEMPERATURE_LEAST,                                                                     \
          .most = AQ_TEMPERATURE_MOST,                                                                       \
          .into = offsetof(aq_entry, temperature),                                                           \
          .help = "of the solution",                                                                         \
          .example = "19 degC" },                                                                            \
        AMOUNTS_ROW("left", left, "of a stock-take, what is left; of a delivery, what came", "{A: 736 mL}"), \
        TEXT_ROW("gate", gate, TITLE_BYTES, "what was asked before a stage",                                 \
                 "half the cuttings show roots"),                                                            \
        { .key = "passed",                                                                                   \
          .read = AQ_READ_YES_NO,                                                                            \
          .into = offsetof(aq_entry, passed),                                                                \
          .help = "the answer at the gate",                                                                  \
          .example = "yes" },                                                                                \
        NAME_ROW("job", job, "what the sheet was for", "mix"),                                               \
        TEXT_ROW("title", title, TITLE_BYTES, "title of the sheet", "Trays, 12 L to 0.92 mS/cm"),            \
        TEXT_ROW("over-label", over_label, TITLE_BYTES, "why a label's top was passed", "trial of bench 3"), \
        NAME_ROW("who", who, "who did it", "Nell"),                                                          \
        TEXT_ROW("note", note, NOTE_BYTES, "a line to remember", "after the heat wave"),                     \
        AQ_GALLON_ROW(aq_entry, said), AQ_PPM_ROW(aq_entry, said)

static const aq_field entry_fields[] = {
    { .key = "id",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 0,
      .most = 1e15,
      .into = offsetof(aq_entry, id),
      .help = "number of the entry in its log",
      .example = "12" },
    TEXT_ROW("uid", uid, 16, "mark of the entry in every log that holds it", "00c3e1f09a7b4d52"),
    TEXT_ROW("undoes", undoes, 16, "mark of the entry that this one takes back", "00c3e1f09a7b4d52"),
    ENTRY_ROWS,
};

static const char *const formats[] = { "text", "csv", "json", NULL };
enum { PATH_BYTES = 4000 };

#define LINE_ROW(name, reads, member, words, sample)                                                         \
    {                                                                                                        \
        .key = name, .read = reads, .into = offsetof(aq_log_line, member), .help = words, .example = sample  \
    }

static const aq_field line_fields[] = {
    { .key = "log",
      .read = AQ_READ_TEXT,
      .most = PATH_BYTES,
      .into = offsetof(aq_log_line, log),
      .help = "file of the log; where not given, it lies beside the site: fernhollow.log for fernhollow.yaml",
      .example = "fernhollow.log" },
    { .key = "sheet",
      .read = AQ_READ_TEXT,
      .most = PATH_BYTES,
      .into = offsetof(aq_log_line, sheet),
      .help = "add: the sheet that was followed, as --format json printed it",
      .example = "trays.json" },
    ENTRY_ROWS,
    LINE_ROW("part", AQ_READ_TEXT, part, "list, export: only entries with this part", "Part A"),
    LINE_ROW("from", AQ_READ_DATE, from, "list, export: from this day", "2026-03-02"),
    LINE_ROW("to", AQ_READ_DATE, to, "list, export: to this day", "2026-03-08"),
    { .key = "last",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 1,
      .most = 1e9,
      .into = offsetof(aq_log_line, last),
      .help = "list, export: only so many, the newest",
      .example = "20" },
    LINE_ROW("undone", AQ_READ_YES_NO, undone, "list: those that were taken back too", "yes"),
    { .key = "format",
      .read = AQ_READ_CHOICE,
      .choices = formats,
      .into = offsetof(aq_log_line, format),
      .help = "list, export: how it is written",
      .example = "csv" },
    { .key = "output",
      .read = AQ_READ_TEXT,
      .most = PATH_BYTES,
      .into = offsetof(aq_log_line, output),
      .help = "list, export: a file for it",
      .example = "march.csv" },
};

const aq_shape aq_entry_shape = {
    .noun = "entry",
    .fields = entry_fields,
    .count = sizeof entry_fields / sizeof *entry_fields,
    .size = sizeof(aq_entry),
    .has_place = true,
    .place_into = offsetof(aq_entry, place),
    .check = check_entry,
};

const aq_shape aq_log_line_shape = {
    .noun = "line",
    .fields = line_fields,
    .count = sizeof line_fields / sizeof *line_fields,
    .size = sizeof(aq_log_line),
    .has_place = true,
    .place_into = offsetof(aq_log_line, entry.place),
};

/* ---- back to words ---- */

/* Tries a smaller unit; only where it is read back to the very same number does it stand. */
static bool in_unit(aq_quantity amount, double factor, const char *unit, char out[AQ_ENTRY_TEXT])
{
    char digits[AQ_DECIMAL_ROOM];
    double number;

    aq_decimal_figures(amount.value / factor, 15, false, digits);
    if (aq_decimal_read(digits, strlen(digits), &number) != strlen(digits) || number * factor != amount.value)
        return false;
    strcpy(out, digits);
    strcat(out, unit);
    return true;
}

static const struct {
    const aq_kind *kind;
    const char *unit;
    double factor;
} plain[] = {
    { &AQ_KIND_VOLUME, " L", 1 },
    { &AQ_KIND_MASS, " g", 1 },
    { &AQ_KIND_EC, " mS/cm", 1 },
    { &AQ_KIND_TEMPERATURE, " degC", 1 },
};

void aq_entry_amount(aq_quantity amount, char out[AQ_ENTRY_TEXT])
{
    if (amount.value > 0 && amount.value < 1 && aq_kind_equal(amount.kind, AQ_KIND_VOLUME) &&
        in_unit(amount, 1e-3, " mL", out))
        return;
    aq_decimal_exact(amount.value, out);
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++)
        if (aq_kind_equal(*plain[i].kind, amount.kind))
            strcat(out, plain[i].unit);
}

static const char *whole(long value, char out[AQ_ENTRY_TEXT])
{
    aq_decimal_exact((double)value, out);
    return out;
}

const char *aq_entry_value(const aq_entry *entry, const aq_field *field, char out[AQ_ENTRY_TEXT])
{
    const void *from = (const char *)entry + field->into;
    const aq_quantity *quantity = from;
    const aq_moment *moment = from;

    if (field->says)
        return NULL;
    switch (field->read) {
    case AQ_READ_TEXT:
        return *(const char *const *)from;
    case AQ_READ_COUNT:
        return *(const long *)from ? whole(*(const long *)from, out) : NULL;
    case AQ_READ_CHOICE:
        return *(const int *)from ? field->choices[*(const int *)from - 1] : NULL;
    case AQ_READ_YES_NO:
        return *(const int *)from == AQ_UNSAID ? NULL : *(const int *)from == AQ_YES ? "yes" : "no";
    case AQ_READ_MOMENT:
        if (moment->date.year == 0)
            return NULL;
        aq_moment_write(*moment, out);
        return out;
    case AQ_READ_NUMBER:
    case AQ_READ_QUANTITY:
        if (!quantity->given)
            return NULL;
        aq_entry_amount(*quantity, out);
        return out;
    default:
        return NULL;
    }
}
