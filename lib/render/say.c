/* Digits: an EC has two decimals, as a pocket meter shows it; a figure with a tolerance stops at the second digit of
 * the tolerance (JCGM 100, 7.2.6: "76 L within 11"); other figures have about three digits, and all those before the
 * point; what a tool shows is written out. */
#include "render/say.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

enum { POUR_FIGURES = 6, SHORTEST_PLACES = -9 };
#define NOTHING 1e-9 /* of any unit: what is left where exact sums would come to nothing */

/* Units whose digits are counted after the point, and those that people call otherwise. */
static const struct {
    const char *unit, *says;
    int places; /* -1: by size */
} units[] = {
    { "1", "", -1 },
    { "mS/cm", "mS/cm", 2 },
    { "dS/m", "dS/m", 2 },
    { "uS/cm", "uS/cm", 0 },
    { "CF", "CF", 1 },
    { "ppm-500", "ppm-500", 0 },
    { "ppm-640", "ppm-640", 0 },
    { "ppm-700", "ppm-700", 0 },
    { "pH", "pH", -1 },
    { "%w/w", "% w/w", -1 },
    { "%w/v", "% w/v", -1 },
    { "%v/v", "% v/v", -1 },
    { "d", "days", -1 },
    { "gal-us", "US gal", -1 },
    { "gal-imp", "imp gal", -1 },
    { "fl-oz-us", "US fl oz", -1 },
    { "fl-oz-imp", "imp fl oz", -1 },
    { "tsp-us", "US tsp", -1 },
    { "tsp-metric", "metric tsp", -1 },
    { "tbsp-us", "US tbsp", -1 },
    { "tbsp-metric", "metric tbsp", -1 },
};

static int unit_row(const char *unit)
{
    for (size_t i = 0; unit && i < COUNT(units); i++)
        if (*units[i].unit == *unit && strcmp(units[i].unit, unit) == 0)
            return (int)i;
    return -1;
}

/* Digits before the point: 0.05 has none and one zero after it, -1. */
static int whole_digits(double value)
{
    return value == 0 || !isfinite(value) ? 1 : (int)floor(log10(fabs(value))) + 1;
}

/* `places` decimals; below zero, rounded to tens and hundreds. */
static void write_places(double value, int places, char out[AQ_DECIMAL_ROOM])
{
    if (places >= 0) {
        aq_decimal_places(value, places < 12 ? places : 12, out);
        return;
    }
    double step = pow(10, -places);
    aq_decimal_places(step * round(value / step), 0, out);
}

/* Three digits or so: 0.333, 2.25, 33.6, 479.6, 2300. */
static void write_size(double value, char out[AQ_DECIMAL_ROOM])
{
    int whole = whole_digits(value);
    int figures = whole > 3 ? whole : whole == 3 ? 4 : 3;
    aq_decimal_figures(value, figures < 15 ? figures : 15, false, out);
}

/* "day" beside 1. */
static const char *unit_said(const char *unit, const char *digits)
{
    int row = unit_row(unit);
    if (!unit)
        return "";
    if (row < 0)
        return unit;
    if (strcmp(unit, "d") == 0 && strcmp(digits, "1") == 0)
        return "day";
    return units[row].says;
}

aq_spoken aq_spoken_amount(const aq_amount *amount)
{
    aq_spoken said = { .digits = "", .within = "", .unit = "" };
    int row = unit_row(amount->unit);
    int places = row < 0 ? -1 : units[row].places;
    bool counted = places >= 0;

    double value = fabs(amount->value) < NOTHING ? 0 : amount->value;

    if (!counted && amount->within > 0)
        places = 2 - whole_digits(amount->within);
    if (!counted && amount->within <= 0) {
        write_size(value, said.digits);
    } else {
        write_places(value, places, said.digits);
        if (amount->within > 0)
            write_places(amount->within, places, said.within);
    }
    said.unit = unit_said(amount->unit, said.digits);
    return said;
}

aq_spoken aq_spoken_pour(const aq_amount *amount)
{
    aq_spoken said = { .digits = "", .within = "", .unit = "" };
    int whole = whole_digits(amount->value);
    aq_decimal_figures(amount->value, whole > POUR_FIGURES ? whole : POUR_FIGURES, false, said.digits);
    said.unit = unit_said(amount->unit, said.digits);
    return said;
}

/* Shares that are said in per cent, money that is said to the cent, and what each figure is called. */
typedef enum { AS_IT_IS, PER_CENT, MONEY, FINE_MONEY, ALL_DIGITS } manner_of;
static const struct {
    const char *job; /* NULL: of any */
    const char *name, *label;
    manner_of manner;
    const char *one;   /* the label beside 1, NULL: the same */
    const char *minus; /* the label of a negative one, said without its sign; NULL: the same, with it */
} labels[] = {
    { "convert", "result", "", ALL_DIGITS },
    { "convert", "factor", "is the factor", ALL_DIGITS },
    { "meter", "factor", "is what its readings are multiplied by", AS_IT_IS },
    { "meter", "standard", "is what the standard should read", AS_IT_IS },
    { "meter", "over", "above the aim", AS_IT_IS, NULL, "below the aim" },
    { "meter", "scale", "the meter counts in", AS_IT_IS },
    { "dilute", "strength", "strength as measured out", AS_IT_IS },
    { "dilute", "volume", "made", AS_IT_IS },
    { "stock", "strength", "in the stock tank", AS_IT_IS },
    { "stock", "ratio", "is the n of the real 1 in n", AS_IT_IS },
    { "stock", "widest", "is the widest n of 1 in n", AS_IT_IS },
    { "stock", "draw", "is what the draw test should take", AS_IT_IS },
    { "blend", "share", "of it is the first water", PER_CENT },
    { "condition", "each", "in one piece", AS_IT_IS },
    { "condition", "volume", "with what clings and spills", AS_IT_IS },
    { "flush", "volume", "to pour through, about", AS_IT_IS },
    { "trace", "expected", "was expected", AS_IT_IS },
    { "trace", "slope", "is what the parts then add", AS_IT_IS },
    { "trace", "volume", "is what the tank then holds", AS_IT_IS },
    { "learn", "volume", "is what the tank holds", AS_IT_IS },
    { "learn", "slope", "is what the parts add", AS_IT_IS },
    { NULL, "ec", "EC", AS_IT_IS },
    { NULL, "ph", "", AS_IT_IS },
    { NULL, "ppm-500", "", AS_IT_IS },
    { NULL, "ppm-640", "", AS_IT_IS },
    { NULL, "ppm-700", "", AS_IT_IS },
    { NULL, "strength", "of full label strength", PER_CENT },
    { NULL, "label_used", "of a label top, at most", PER_CENT },
    { NULL, "nutrient_share", "of the EC is from nutrients", PER_CENT },
    { NULL, "hardness", "hardness", AS_IT_IS },
    { NULL, "alkalinity", "alkalinity", AS_IT_IS },
    { NULL, "cost", "cost", MONEY },
    { NULL, "cost_per_litre", "a litre", FINE_MONEY },
    { NULL, "price", "price", MONEY },
    { NULL, "ec_added", "EC that the parts add", AS_IT_IS },
    { NULL, "fill_ec", "if only filled to the brim", AS_IT_IS },
    { NULL, "water_needed", "water needed, were there no brim", AS_IT_IS },
    { NULL, "drain_after", "to remove if filled first", AS_IT_IS },
    { NULL, "makeup_ec", "average of what is added", AS_IT_IS },
    { NULL, "keeps", "of feed that the drained part makes", AS_IT_IS },
    { NULL, "drop_per_day", "lower each day", AS_IT_IS, NULL, "higher each day" },
    { NULL, "days", "until it is there", AS_IT_IS },
    { NULL, "uptake", "uptake strength", AS_IT_IS },
    { NULL, "uses", "drunk", AS_IT_IS },
    { NULL, "plain_ec", "with plain water only", AS_IT_IS },
    { NULL, "full_ec", "with full-strength top-ups", AS_IT_IS },
    { NULL, "crosses_in", "until the limit is crossed", AS_IT_IS },
    { NULL, "crosses_at", "crosses the limit", AS_IT_IS },
    { NULL, "acid", "of acid in all", AS_IT_IS },
    { NULL, "first", "of it first", AS_IT_IS },
    { NULL, "equivalents", "of alkalinity to take away", AS_IT_IS },
    { NULL, "ec_change", "change of EC", AS_IT_IS },
    { NULL, "soak", "taken up by all pieces", AS_IT_IS },
    { NULL, "pore_volumes", "times what the medium holds", AS_IT_IS },
    { NULL, "solubility", "dissolves at the coldest", AS_IT_IS },
    { NULL, "allowed", "is allowed: 80 % of that", AS_IT_IS },
    { NULL, "holds", "to the brim", AS_IT_IS },
    { NULL, "cations", "of cations", AS_IT_IS },
    { NULL, "anions", "of anions", AS_IT_IS },
    { NULL, "balance", "out of charge balance", AS_IT_IS },
    { NULL, "strength_real", "of the strength meant", PER_CENT },
    { NULL, "whole", "of the first part, the others in their ratio, for the whole gap", AS_IT_IS, NULL,
      "of the first part is too much in it" },
    { NULL, "amount", "", AS_IT_IS },
    { NULL, "left", "left", AS_IT_IS },
    { NULL, "needed", "needed", AS_IT_IS },
    { NULL, "short", "short", AS_IT_IS },
    { NULL, "runs_out", "runs out", AS_IT_IS },
    { NULL, "order_by", "order by", AS_IT_IS },
    { NULL, "share", "of what that mix wants", PER_CENT },
    { NULL, "share_ec", "is what it then reads", AS_IT_IS },
    { NULL, "even_share", "of each mix, if all are thinned evenly", PER_CENT },
    { NULL, "even_ec", "is what they then read", AS_IT_IS },
    { NULL, "lasts", "of use", AS_IT_IS },
    { NULL, "mixes", "mixes", AS_IT_IS, "mix" },
    { NULL, "packs", "packs to buy", AS_IT_IS, "pack to buy" },
    { NULL, "reads", "is what it would read", AS_IT_IS },
    { NULL, "decides", "to tell:", AS_IT_IS },
    { NULL, "index", "saturation index", AS_IT_IS },
};

static int label_row(const char *job, const char *name)
{
    for (size_t i = 0; i < COUNT(labels); i++)
        if (*labels[i].name == *name && strcmp(labels[i].name, name) == 0 &&
            (!labels[i].job || (job && strcmp(labels[i].job, job) == 0)))
            return (int)i;
    return -1;
}

/* "slope.Part_A": words for what was learned, and the name as it was typed. */
static bool of_a_name(const char *name, char room[AQ_LABEL_ROOM])
{
    static const struct {
        const char *before, *says;
    } learned[] = {
        { "slope.", "added by " },
        { "volume.", "held by " },
        { "uses.", "drunk from " },
        { "uptake.", "is the uptake strength of " },
    };
    for (size_t i = 0; i < COUNT(learned); i++) {
        size_t length = strlen(learned[i].before), says = strlen(learned[i].says);
        if (strncmp(name, learned[i].before, length) != 0 || says + strlen(name + length) >= AQ_LABEL_ROOM)
            continue;
        memcpy(room, learned[i].says, says);
        memcpy(room + says, name + length, strlen(name + length) + 1);
        return true;
    }
    return false;
}

const char *aq_figure_label(const char *job, const aq_figure *figure, char room[AQ_LABEL_ROOM])
{
    const char *name = figure->name;
    int row = label_row(job, name);
    if (row >= 0 && labels[row].minus && figure->amount.value < 0)
        return labels[row].minus;
    if (row >= 0 && labels[row].one && strcmp(aq_spoken_figure(job, figure).digits, "1") == 0)
        return labels[row].one;
    if (row >= 0)
        return labels[row].label;
    if (of_a_name(name, room))
        return room;
    size_t length = 0;
    for (; name[length] && length + 1 < AQ_LABEL_ROOM; length++)
        room[length] = name[length] == '_' || name[length] == '.' ? ' ' : name[length];
    room[length] = '\0';
    return room;
}

static void per_cent(const aq_amount *amount, aq_spoken *said)
{
    aq_amount hundred = {
        .value = 100 * amount->value, .within = 100 * amount->within, .unit = "%", .given = true
    };
    *said = aq_spoken_amount(&hundred);
    if (hundred.within <= 0)
        aq_decimal_figures(hundred.value, fabs(hundred.value) < 100 ? 2 : 3, false, said->digits);
}

aq_spoken aq_spoken_figure(const char *job, const aq_figure *figure)
{
    aq_spoken said = { .digits = "", .within = "", .unit = figure->text ? figure->text : "" };
    if (!figure->amount.given)
        return said;
    int row = label_row(job, figure->name);
    manner_of manner = row < 0 ? AS_IT_IS : labels[row].manner;
    bool counts = figure->amount.unit && strcmp(figure->amount.unit, "1") == 0;

    aq_amount amount = figure->amount;
    if (row >= 0 && labels[row].minus)
        amount.value = fabs(amount.value);
    said = aq_spoken_amount(&amount);
    if (manner == PER_CENT && counts)
        per_cent(&figure->amount, &said);
    else if (manner == MONEY)
        aq_decimal_places(figure->amount.value, 2, said.digits);
    else if (manner == FINE_MONEY)
        aq_decimal_places(figure->amount.value, 4, said.digits);
    else if (manner == ALL_DIGITS)
        aq_decimal_figures(figure->amount.value, 10, false, said.digits);
    return said;
}

typedef enum { METRIC, AMERICAN, IMPERIAL } measures;

static bool ends(const char *text, const char *ending)
{
    size_t length = strlen(text), wants = strlen(ending);
    return length >= wants && strcmp(text + length - wants, ending) == 0;
}

static measures measures_of(const char *unit)
{
    if (ends(unit, "-us"))
        return AMERICAN;
    return ends(unit, "-imp") ? IMPERIAL : METRIC;
}

/* As a person may write it in `show`. */
static const aq_unit *unit_written(const char *name)
{
    aq_said said = { 0 };
    const aq_unit *unit = NULL;
    return aq_unit_find(&unit, name, strlen(name), &said, NULL) == AQ_OK ? unit : NULL;
}

/* A sheet's own units have the names of the table, or are compounds that stand in no other system. */
static const aq_unit *unit_named(const char *name)
{
    size_t count;
    const aq_unit *table = aq_unit_table(&count);
    for (size_t i = 0; name && i < count; i++)
        if (table[i].name[0] == name[0] && strcmp(table[i].name, name) == 0)
            return &table[i];
    return NULL;
}

/* Gallons from about half of one on, fluid ounces from one on, else teaspoons: what a tank, a jug and a spoon show. */
static const char *volume_unit(measures in, double litres)
{
    static const struct {
        const char *name;
        double least; /* L */
    } names[][3] = {
        [METRIC] = { { "L", 1 }, { "mL", 0 }, { "mL", 0 } },
        [AMERICAN] = { { "gal-us", 1.85 }, { "fl-oz-us", 0.0294 }, { "tsp-us", 0 } },
        [IMPERIAL] = { { "gal-imp", 2.25 }, { "fl-oz-imp", 0.0283 }, { "tsp-metric", 0 } },
    };
    size_t i = 0;
    while (i < 2 && fabs(litres) < names[in][i].least)
        i++;
    return names[in][i].name;
}

/* Whether a person can measure that much of `unit`, having brought teaspoons to the quarters of a set of spoons: at most
 * 0.5 % above, the last figure of what stands beside, for a label's top may stand there; and at most 5 % below, the
 * error that a tool may have. A scale that shows ounces shows tenths, so nothing below an ounce is weighed by them. Sets
 * of spoons and such scales: common practice, no source. */
static bool can_be_measured(double *value, const char *unit)
{
    if (strncmp(unit, "tsp-", 4) == 0) {
        double quarters = floor(4 * 1.005 * *value) / 4;
        bool near = quarters >= 0.95 * *value;
        *value = quarters;
        return near && quarters > 0;
    }
    return strcmp(unit, "oz") != 0 || fabs(*value) >= 1;
}

static bool customary_mass(const char *unit)
{
    return strcmp(unit, "oz") == 0 || strcmp(unit, "lb") == 0;
}

/* The unit for `amount` in the system that the word `show` stands for; NULL where `show` is about something else. */
static const char *unit_shown(const char *show, const aq_unit *wanted, const aq_unit *has, double base)
{
    if (aq_kind_equal(has->kind, AQ_KIND_EC) && aq_kind_equal(wanted->kind, AQ_KIND_EC))
        return show;
    if (!aq_kind_equal(wanted->kind, AQ_KIND_VOLUME))
        return NULL;
    measures in = measures_of(show);
    if (aq_kind_equal(has->kind, AQ_KIND_VOLUME))
        return measures_of(has->name) == in ? NULL : volume_unit(in, base);
    if (aq_kind_equal(has->kind, AQ_KIND_MASS))
        return customary_mass(has->name) == (in != METRIC) ? NULL : in == METRIC ? "g" : "oz";
    return NULL;
}

bool aq_other_system(const aq_sheet *sheet, size_t which, const aq_amount *amount, aq_amount *out)
{
    const aq_unit *has = unit_named(amount->unit), *wanted = has ? unit_written(sheet->show.at[which]) : NULL;
    if (!wanted)
        return false;
    double base = (amount->value + has->offset) * has->factor;
    const char *name = unit_shown(sheet->show.at[which], wanted, has, base);
    const aq_unit *to = unit_named(name);
    if (!to || strcmp(name, amount->unit) == 0)
        return false;
    double value = base / to->factor - to->offset;
    bool measured = can_be_measured(&value, name);
    *out = aq_amount_of(value, name);
    return measured;
}

static bool one_of(const char *job, const char *const *jobs, size_t count)
{
    for (size_t i = 0; job && i < count; i++)
        if (strcmp(jobs[i], job) == 0)
            return true;
    return false;
}

bool aq_figures_lead(const aq_sheet *sheet)
{
    static const char *const jobs[] = { "convert", "meter",    "water", "topup",
                                        "trace",   "supplies", "learn", "flush" };
    return (!sheet->rows.count && !sheet->jobs.count) || one_of(sheet->job, jobs, COUNT(jobs));
}

aq_texts aq_next_instead(const aq_sheet *sheet)
{
    aq_texts instead = sheet->next;
    instead.count = sheet->instead;
    return instead;
}

aq_texts aq_next_rest(const aq_sheet *sheet)
{
    aq_texts rest = sheet->next;
    if (sheet->instead)
        rest.at += sheet->instead;
    rest.count -= sheet->instead;
    return rest;
}

bool aq_next_doubts_meter(const aq_sheet *sheet)
{
    static const char *const others[] = { "acid", "blend", "dilute",   "learn",
                                          "plan", "stock", "supplies", "water" };
    return sheet->outcome != AQ_REFUSED && !one_of(sheet->job, others, COUNT(others));
}

bool aq_tells_learned(const aq_sheet *sheet)
{
    return sheet->job && strcmp(sheet->job, "learn") == 0;
}

static void add_figures(aq_buffer *out, double value)
{
    char digits[AQ_DECIMAL_ROOM];
    aq_buffer_add(out, digits, aq_decimal_figures(value, POUR_FIGURES, false, digits));
}

void aq_pieces_add(aq_buffer *out, const aq_row *row)
{
    if (row->pieces.count < 2)
        return;
    for (size_t i = 0, run; i < row->pieces.count; i += run) {
        for (run = 1; i + run < row->pieces.count && row->pieces.at[i + run] == row->pieces.at[i];)
            run++;
        if (i)
            aq_buffer_text(out, " + ");
        if (run > 1)
            aq_buffer_format(out, "%zu x ", run);
        add_figures(out, row->pieces.at[i]);
    }
}

const aq_amount *aq_row_amount(const aq_row *row)
{
    if (row->amount.given)
        return &row->amount;
    if (row->what == AQ_DO_TOP && row->make.given)
        return &row->make;
    if (row->what == AQ_DO_READ && row->expect.given)
        return &row->expect;
    if ((row->what == AQ_DO_WAIT || row->what == AQ_DO_STIR) && row->time.given)
        return &row->time;
    return NULL;
}

aq_row_words aq_row_said(const aq_row *row)
{
    bool drawn = row->concentrate.given;
    bool told = row->expect.given || !isnan(row->ph_low) || !isnan(row->ph_high);
    switch (row->what) {
    case AQ_DO_DRAIN:
        return (aq_row_words){ "drain off", NULL, "" };
    case AQ_DO_MOVE:
        return (aq_row_words){ "move", NULL, "" };
    case AQ_DO_WATER:
        return row->water ? (aq_row_words){ "water: ", row->water, "" } : (aq_row_words){ "water", NULL, "" };
    case AQ_DO_PREDILUTE:
        return (aq_row_words){ "", row->part, " into a cup: pre-dilution" };
    case AQ_DO_POUR:
        return (aq_row_words){ drawn ? "of the pre-dilution of " : "", row->part, "" };
    case AQ_DO_WEIGH:
        return (aq_row_words){ "", row->part, ", weighed" };
    case AQ_DO_STIR:
        return (aq_row_words){ "stir", NULL, "" };
    case AQ_DO_READ:
        return (aq_row_words){ told ? "to read now" : "read", NULL, "" };
    case AQ_DO_WAIT:
        return (aq_row_words){ "wait", NULL, "" };
    case AQ_DO_TOP:
        return (aq_row_words){ "top up to this mark", NULL, "" };
    case AQ_DO_RINSE:
        return (aq_row_words){ "rinse", NULL, "" };
    case AQ_DO_DISCARD:
        return (aq_row_words){ row->part ? "throw away what is left of " : "throw the rest away", row->part,
                               "" };
    case AQ_DO_COUNT:
        break;
    }
    return (aq_row_words){ "", row->part, "" };
}
