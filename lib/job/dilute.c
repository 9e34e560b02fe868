/* A strength from a stronger one, always to the mark: a liquid by w/w, w/v or v/v, by a ratio, or a solid weighed.
 *
 *     liquid   take = make x wanted / stock, both in g per litre
 *     ratio    take = make / parts
 *     solid    grams = wanted x make x M(solid) / M(counted as) / purity
 *
 * Example: 35 % w/w at 1.13 kg/L holds 395.5 g/L, so 1 L of 3 % w/v takes 30 / 395.5 L = 75.9 mL. A hormone's strength
 * counts its acid: 1500 mg/L of IBA from its potassium salt takes 150 mg x 241.33 / 203.24 = 178 mg in 100 mL. */
#include "base/decimal.h"
#include "chemistry/formula.h"
#include "chemistry/hypochlorite.h"
#include "document/utf8.h"
#include "job/ageing.h"
#include "job/concentrate.h"
#include "job/jobs.h"
#include "job/practice.h"
#include "job/rows.h"
#include "job/show.h"
#include "sheet/caution.h"
#include "sheet/hazard.h"
#include "sheet/measured.h"
#include "solve/dilute.h"

#include <math.h>
#include <string.h>

static const double slip_most = 0.05;  /* a batch whose strength would miss by more is refused */
static const double ratio_warned = 20; /* below it, in and plus differ by more than 5 % */

static aq_status read_stock(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);
static aq_status read_to(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);

static const aq_field dilute_rows[] = {
    { .key = "stock",
      .read = AQ_READ_CUSTOM,
      .custom = read_stock,
      .into = AQ_INTO(stock),
      .help = "what is in the bottle: a strength, or the name or formula of a solid",
      .example = "35 %w/w" },
    { .key = "to",
      .read = AQ_READ_CUSTOM,
      .custom = read_to,
      .into = AQ_INTO(to),
      .help = "what is wanted: a strength or a ratio",
      .example = "1 in 200" },
    AQ_ROW_MAKE,
    AQ_ROW_DENSITY,
    { .key = "temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = 0,
      .most = 50,
      .into = AQ_INTO(temperature),
      .help = "of the liquid: its density then comes from the handbooks",
      .example = "17 degC" },
    { .key = "age",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TIME,
      .bounded = true,
      .least = 0,
      .most = AQ_HYPOCHLORITE_OLDEST,
      .into = AQ_INTO(age),
      .help = "of a bottle of bleach: what it has lost is then made up for",
      .example = "200 d" },
    { .key = "kept",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = 0,
      .most = AQ_HYPOCHLORITE_WARMEST,
      .into = AQ_INTO(kept),
      .help = "how warm that bottle stood, 20 degC where not given",
      .example = "25 degC" },
    { .key = "as",
      .read = AQ_READ_TEXT,
      .into = AQ_INTO(as),
      .help = "what the wanted strength counts, where that is not the solid itself",
      .example = "IBA" },
    { .key = "purity",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 1,
      .into = AQ_INTO(purity),
      .help = "of a solid, 100 % where not given",
      .example = "98 %" },
    { .key = "of",
      .read = AQ_READ_TEXT,
      .into = AQ_INTO(of),
      .help = "the substance, for its name and hazards",
      .example = "hydrogen peroxide" },
    AQ_ROWS_OF_EVERY_JOB,
};

/* A strength begins with a number; anything else is the name or formula of a solid. */
static aq_status read_stock(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    const aq_field strength = { .key = field->key, .read = AQ_READ_STRENGTH };
    aq_stock_of *stock = into;
    aq_formula formula;
    aq_error err = { .status = AQ_OK };
    char brief[AQ_BRIEF_ROOM];
    aq_status status;

    if (node->shape != AQ_NODE_SCALAR || (node->text[0] >= '0' && node->text[0] <= '9') ||
        node->text[0] == '.') {
        status = aq_field_read(walk, &strength, node, &stock->strength);
        if (status == AQ_OK && !(stock->strength.value > 0))
            status = aq_walk_fail(walk, AQ_OUT_OF_RANGE, node->place,
                                  "%s: a strength of nothing is plain water", field->key);
        stock->given = status == AQ_OK;
        return status;
    }
    if (!aq_formula_of_name(node->text) && aq_formula_read(&formula, node->text, &err) != AQ_OK)
        return aq_walk_fail(
            walk, AQ_UNKNOWN_NAME, node->place,
            "%s is neither a strength, like 35 %%w/w, nor a solid known by name (IBA, K-IBA, NAA, "
            "K-NAA, urea) or by formula",
            aq_utf8_brief(node->text, brief));
    stock->solid = node->text;
    stock->given = true;
    return AQ_OK;
}

static bool looks_like_ratio(const char *text)
{
    return strchr(text, ':') || strstr(text, "in") || strstr(text, "plus") || strstr(text, "+") ||
           strstr(text, " to ");
}

static aq_status read_to(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    const aq_field ratio = { .key = field->key, .read = AQ_READ_RATIO };
    const aq_field strength = { .key = field->key, .read = AQ_READ_STRENGTH };
    aq_wanted *wanted = into;
    aq_status status;

    if (node->shape == AQ_NODE_SCALAR && looks_like_ratio(node->text))
        status = aq_field_read(walk, &ratio, node, &wanted->ratio);
    else
        status = aq_field_read(walk, &strength, node, &wanted->strength);
    if (status == AQ_OK && wanted->strength.given && !(wanted->strength.value > 0))
        status = aq_walk_fail(walk, AQ_OUT_OF_RANGE, node->place, "%s: a strength of nothing is plain water",
                              field->key);
    wanted->given = status == AQ_OK;
    return status;
}

typedef struct {
    const char *name; /* of the row */
    aq_concentrate from;
    aq_aged aged;
    double make;    /* L */
    double density; /* g/L of a liquid that is weighed; 0: poured, or a solid */
    aq_portion portion;
    /* where one pre-dilution would be too weak; the last makes what is wanted */
    aq_serial_step step[AQ_SERIAL_MOST];
    size_t steps; /* 0: none is needed */
} dilution;

/* The middle of a free range, moved so that the dose lands on a mark. */
static double volume_of(const dilution *d, const aq_asked *asked)
{
    double low = asked->make.low.value, high = asked->make.high.value;
    const aq_tool *tool =
        aq_bench_choose(&asked->bench, d->from.per_litre * (low + high) / 2, d->from.weighs);
    aq_marked marked = { d->from.per_litre, tool ? tool->marks : 0 };

    return high > low ? aq_make_on_marks(low, high, 0, &marked, 1) : high;
}

/* To the nearest mark of the finest tool: either side of the strength is a miss. */
static void measure_at_once(dilution *d, const aq_bench *bench)
{
    const aq_tool *tool = aq_bench_finest(bench, d->from.weighs);
    double below, above;

    d->portion.tool = tool;
    d->portion.prediluted = false;
    d->steps = 0;
    d->portion.amount = aq_decimal_round(d->portion.exact, 3);
    if (tool) {
        below = aq_tool_below(tool, d->portion.exact);
        above = aq_tool_above(tool, d->portion.exact);
        d->portion.amount = d->portion.exact - below < above - d->portion.exact ? below : above;
    }
    d->portion.reaches = tool ? d->portion.amount : d->portion.exact;
}

/* A pre-dilution that does not go into the batch, or is a bucket for a cup of it, helps nobody. */
static bool unwieldy(const dilution *d)
{
    double most = d->steps ? 0 : d->portion.pre_make;

    for (size_t i = 0; i + 1 < d->steps; i++)
        most = fmax(most, d->step[i].make);
    return d->portion.prediluted && (d->portion.amount > d->make || most > 5 * d->make);
}

/* Weaker than 1 in 100 at once would take a bucket for a syringe's worth: then step by step. */
static void dilute_in_steps(dilution *d)
{
    const aq_tool *tool = d->portion.tool;
    double least, drawn = 1, below, above, take;

    if (!tool || !d->portion.prediluted || d->portion.pre_make <= 100 * d->portion.pre_amount * (1 + 1e-9))
        return;
    least = fmax(AQ_MARKS_LEAST * tool->marks, fmin(tool->holds, 1e-3));
    d->steps = aq_dilute_serially(d->step, d->from.per_litre, d->make, least);
    for (size_t i = 0; i + 1 < d->steps; i++)
        drawn *= d->step[i].take / d->step[i].make;
    if (!d->steps)
        return;
    take = d->step[d->steps - 1].take;
    below = aq_tool_below(tool, take);
    above = aq_tool_above(tool, take);
    d->portion.amount = take - below < above - take ? below : above;
    d->portion.reaches = d->portion.amount * drawn;
}

/* With only a scale on the bench, a liquid of known density is weighed. */
static void weigh_liquid(dilution *d, const aq_asked *asked)
{
    double density = asked->density.given ? asked->density.value : d->from.density;

    if (d->from.weighs || !(density > 0) || aq_bench_finest(&asked->bench, false) ||
        !aq_bench_finest(&asked->bench, true))
        return;
    d->density = density;
    d->from.weighs = true;
    d->from.per_litre *= density;
    d->from.reached_per_unit /= density;
}

/* L that the dose takes of the batch; a solid takes none. */
static double litres_of(const dilution *d)
{
    if (!d->from.weighs)
        return d->portion.exact;
    return d->density > 0 ? d->portion.exact / d->density : 0;
}

static aq_status portion_out(dilution *d, const aq_asked *asked, aq_error *err)
{
    aq_status status = AQ_OK;

    weigh_liquid(d, asked);
    d->make = volume_of(d, asked);
    d->portion = (aq_portion){ .exact = d->from.per_litre * d->make,
                               .top = INFINITY,
                               .weighs = d->from.weighs,
                               .effect = 1,
                               .group = -1 };
    if (d->from.weighs)
        measure_at_once(d, &asked->bench);
    else
        status = aq_portions_round(&d->portion, 1, &asked->bench, err);
    if (status == AQ_OK && !d->from.weighs)
        dilute_in_steps(d);
    if (status == AQ_OK && unwieldy(d))
        measure_at_once(d, &asked->bench);
    return status;
}

/* Each step is drawn from the one before it. */
static bool add_steps(aq_sheet *sheet, const dilution *d)
{
    const char *tool = d->portion.tool ? d->portion.tool->name : NULL;
    aq_row *row;

    for (size_t i = 0; i + 1 < d->steps; i++) {
        row = aq_sheet_row(sheet, AQ_DO_PREDILUTE);
        if (!row)
            return false;
        row->part = d->name;
        row->amount = aq_amount_measured(d->step[i].take, false);
        row->make = aq_amount_measured(d->step[i].make, false);
        row->with = tool;
        row->note = i ? "drawn from the pre-dilution before this one" : "drawn from the bottle";
    }
    row = aq_sheet_row(sheet, AQ_DO_POUR);
    if (!row)
        return false;
    row->part = d->name;
    row->exact = aq_amount_of(d->step[d->steps - 1].take * 1000, "mL");
    row->amount = aq_amount_measured(d->portion.amount, false);
    row->concentrate = aq_amount_of(d->portion.exact * 1000, "mL");
    row->with = tool;
    return true;
}

static bool add_measured(aq_sheet *sheet, const dilution *d)
{
    return d->steps ? add_steps(sheet, d) : aq_sheet_measure(sheet, d->name, &d->portion) != NULL;
}

static double slip_of(const dilution *d)
{
    return fabs(d->portion.reaches / d->portion.exact - 1);
}

static bool add_top(aq_sheet *sheet, const dilution *d)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_TOP);

    if (!row)
        return false;
    row->amount = aq_amount_volume(d->make, false);
    row->make = row->amount;
    row->note = "with water, or what the label says";
    return true;
}

static const char *say_volume(aq_sheet *sheet, double litres)
{
    return aq_say(sheet->arena, litres < 1 ? litres * 1000 : litres, litres < 1 ? "mL" : "L");
}

static bool refuse_coarse(aq_sheet *sheet, const dilution *d)
{
    double marks = d->portion.tool->marks, least = aq_least_make(d->from.per_litre, marks, slip_most);
    double next = (floor(d->portion.exact / marks) + 1) * marks / d->from.per_litre;
    aq_amount shown = aq_amount_measured(marks, d->from.weighs),
              wanted = d->from.weighs ? aq_amount_mass(d->portion.exact, false)
                                      : aq_amount_volume(d->portion.exact, false);

    sheet->outcome = AQ_REFUSED;
    return aq_sheet_short(sheet, d->name,
                          aq_amount_measured(fabs(d->portion.reaches - d->portion.exact), d->from.weighs),
                          "%s goes by %s, and %s is wanted: make at least %s, or %s, which lands on a mark%s",
                          d->portion.tool->name, aq_say(sheet->arena, shown.value, shown.unit),
                          aq_say(sheet->arena, wanted.value, wanted.unit), say_volume(sheet, least),
                          say_volume(sheet, next),
                          d->from.weighs && !(d->density > 0) ? ", or buy it as a liquid" : "") != NULL;
}

static bool say_density(aq_sheet *sheet, const char *what, double density, const aq_asked *asked)
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_places(density / 1000, 3, digits);
    return aq_sheet_assume(sheet, "density of %s: %s kg/L at %s, by handbooks", what, digits,
                           aq_say(sheet->arena, aq_concentrate_celsius(asked), "degC"));
}

static bool refuse_weak(aq_sheet *sheet, const aq_concentrate *from)
{
    sheet->outcome = AQ_REFUSED;
    return aq_sheet_short(sheet, "strength", aq_amount_of(from->wanted - from->neat, from->unit),
                          "the stock is weaker than what is wanted: undiluted it has %s",
                          aq_say(sheet->arena, from->neat, from->unit)) != NULL;
}

static bool add_figures(aq_sheet *sheet, const dilution *d, const aq_asked *asked)
{
    aq_amount made = aq_amount_volume(d->make, false);
    bool fine = aq_sheet_figure(sheet, "volume", made.value, made.unit);

    if (fine && d->from.unit)
        fine = aq_sheet_figure(sheet, "strength", d->portion.reaches / d->make * d->from.reached_per_unit,
                               d->from.unit);
    if (fine && asked->stock.solid && !asked->purity.given)
        fine = aq_sheet_assume(sheet, "purity: 100 %%, as the label of %s was not given", d->name);
    if (fine && asked->as)
        fine = aq_sheet_why(sheet, "the strength counts %s: %s times as much of %s", asked->as,
                            aq_say(sheet->arena, d->from.factor, ""), d->name);
    if (fine && d->from.density_taken)
        fine = say_density(sheet, "the liquid", d->from.density, asked);
    if (fine && isfinite(d->from.to_density))
        fine = say_density(sheet, "what is made", d->from.to_density, asked);
    return fine && aq_say_no_tools(sheet, asked);
}

static bool say_ratio(aq_sheet *sheet, const aq_asked *asked)
{
    const char *parts = aq_say(sheet->arena, asked->to.ratio.parts, "");

    return !asked->to.ratio.given || !(asked->to.ratio.parts < ratio_warned) ||
           aq_sheet_caution(sheet, "1 in %s is not 1 plus %s: at so strong a ratio the two differ by %s %%",
                            parts, parts, aq_say(sheet->arena, 100 / asked->to.ratio.parts, ""));
}

static bool add_words(aq_sheet *sheet, const dilution *d, const aq_asked *asked)
{
    return say_ratio(sheet, asked) && aq_practice_words(sheet, asked, d->name, d->make, litres_of(d)) &&
           aq_sheet_why(sheet, "%s in a litre x %s = %s",
                        aq_say(sheet->arena, d->from.per_litre * (d->from.weighs ? 1 : 1000),
                               d->from.weighs ? "g" : "mL"),
                        aq_say(sheet->arena, d->make, "L"),
                        aq_say(sheet->arena, d->portion.exact * (d->from.weighs ? 1 : 1000),
                               d->from.weighs ? "g" : "mL"));
}

/* g/g of the stock, for its hazards: w/v and v/v are near enough to it at the strengths where a class begins. */
static double hazard_strength(const aq_asked *asked)
{
    const aq_strength *stock = &asked->stock.strength;

    if (asked->stock.solid)
        return 1;
    if (!stock->given)
        return NAN;
    return stock->basis == AQ_BASIS_WV
               ? fmin(stock->value / (asked->density.given ? asked->density.value : 1000), 1)
               : stock->value;
}

static aq_status fill_sheet(aq_sheet *sheet, const dilution *d, const aq_asked *asked, aq_error *err)
{
    aq_handled handled = { .name = d->name,
                           .substance = asked->of ? asked->of : asked->stock.solid,
                           .strength = hazard_strength(asked),
                           .concentrate = true };
    bool coarse = d->portion.tool && !d->portion.prediluted && slip_of(d) > slip_most + 1e-9;
    bool fine =
        aq_aged_say(sheet, &d->aged, asked) && (isfinite(d->from.neat) || add_figures(sheet, d, asked));

    if (fine && isfinite(d->from.neat))
        fine = refuse_weak(sheet, &d->from);
    else if (fine && coarse)
        fine = refuse_coarse(sheet, d);
    else if (fine)
        fine = aq_practice_before(sheet, d->name, d->make - litres_of(d)) && add_measured(sheet, d) &&
               add_top(sheet, d) && add_words(sheet, d, asked);
    return fine ? aq_caution_apply(sheet, &handled, 1, err) : AQ_NO_MEMORY;
}

/* What a litre takes of the bottle as it is today. */
static aq_status find_stock(dilution *d, const aq_asked *asked, aq_arena *arena, aq_error *err)
{
    aq_asked today = *asked;
    aq_status status = aq_aged_find(&d->aged, asked, err);

    if (status != AQ_OK)
        return status;
    today.stock.strength.value *= d->aged.left;
    status = aq_concentrate_find(&d->from, &today, arena, err);
    if (status == AQ_OK && asked->to.ratio.given)
        d->from.per_litre /= d->aged.left;
    if (d->from.per_litre > 1 && isnan(d->from.neat) && !d->from.weighs)
        return aq_ask_for(
            err, "to",
            "the bottle has too little left for 1 in %s, even undiluted: take a fresh one, or say "
            "a weaker ratio",
            aq_say(arena, asked->to.ratio.parts, ""));
    return status;
}

static aq_status dilute_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    dilution d = { .name = asked->of ? asked->of : asked->stock.solid ? asked->stock.solid : "concentrate" };
    aq_sheet *sheet;
    aq_status status = find_stock(&d, asked, arena, err);

    if (status == AQ_OK)
        status = portion_out(&d, asked, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "dilute");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->volume = aq_amount_volume(d.make, false);
    sheet->title = aq_arena_format(
        arena, "%s to %s, %s", d.name,
        asked->to.ratio.given ? aq_arena_format(arena, "1 in %s", aq_say(arena, asked->to.ratio.parts, ""))
                              : aq_say(arena, d.from.wanted, d.from.unit),
        aq_show_volume(arena, asked, d.make));
    status = sheet->title ? fill_sheet(sheet, &d, asked, err) : AQ_NO_MEMORY;
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static const aq_shape dilute_asks = {
    .noun = "dilute", .fields = dilute_rows, .count = AQ_ROWS_COUNT(dilute_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_dilute = {
    .name = "dilute",
    .does = "a strength from a stronger one, to the mark",
    .asks = &dilute_asks,
    .run = dilute_run,
    .cautious = true,
    .example = "aliquot dilute --of 'hydrogen peroxide' --stock 35%w/w --density 1.13kg/L "
               "--to 3%w/v --make 1L"
};
