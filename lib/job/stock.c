/* Stock tanks for an injector: grams for each, which salts may share one, what stays dissolved on the coldest night, and
 * a draw test.
 *
 *     stock strength = rate at the hose x n       for an injector of 1 part in n
 *     allowed        = 80 % of the solubility at the coldest temperature (common practice, no source)
 *     widest         = allowed / rate             the n beyond which it may crystallise
 *
 * Example: 0.45 g/L of potassium sulfate through 1 in 200 is 90 g/L, all that dissolves at 10 degC; 72 g/L are allowed, so
 * 1 in 160 is the widest. Calcium is kept apart from sulfate and phosphate (gypsum and calcium phosphate; University of
 * California ANR), chelated iron goes with the calcium, and what clashes with neither evens the tanks out. */
#include "chemistry/solubility.h"
#include "job/feed.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "sheet/measured.h"

#include <math.h>
#include <string.h>

static const double margin = 0.80; /* of the solubility */
static const double draw_slip =
    0.05; /* more than that and the injector wants service: common practice, no source */

static const aq_field stock_rows[] = {
    { .key = "ratio",
      .read = AQ_READ_RATIO,
      .into = AQ_INTO(ratio),
      .help = "of the injector",
      .example = "1 in 100" },
    AQ_ROW_LITRES("make", make.high, "of each stock tank", "10 L"),
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    AQ_ROW_RECIPE,
    AQ_AIM_ROWS(aq_asked, aim),
    { .key = "tanks",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 1,
      .most = 2,
      .into = AQ_INTO(tanks),
      .help = "how many there are, 2 where calcium would meet sulfate or phosphate",
      .example = "2" },
    { .key = "coldest",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = -5,
      .most = 50,
      .into = AQ_INTO(coldest),
      .help = "temperature of the shed at night",
      .example = "10 degC" },
    AQ_ROW_LITRES("draw", draw, "litres at the hose of a draw test", "20 L"),
    AQ_ROW_LITRES("drawn", drawn, "what the draw test took from the stock tank", "190 mL"),
    AQ_ROW_WATER_EC,
    AQ_ROW_WATER,
    AQ_ROWS_OF_EVERY_JOB_BUT_RATIO,
};

/* Where one dose of the feed goes. */
typedef struct {
    const aq_dose *dose;
    double rate;      /* at the hose: g/L, or L/L */
    double share[2];  /* in tank A and B: of its whole; adds up to 1 */
    double dissolves; /* g/L at the coldest; NaN: not known */
    bool tabled;      /* that is the handbooks' word, not the part's */
} placing;

typedef struct {
    aq_arena *arena;
    const aq_asked *asked;
    aq_asked hose; /* the question at the hose: one litre of feed */
    aq_feed feed;
    double parts; /* n of the injector */
    placing *at;
    size_t count;
    int tanks;
    const char *clash; /* two parts that must not share a tank do; NULL: none */
} stocking;

static const char *const tank_names[] = { "A", "B" };

/* ---- the feed at the hose ---- */

static aq_status solve_hose(stocking *s, aq_error *err)
{
    aq_feed_tank litre = { .volume = 1, .heel = 0, .heel_ec = NAN, .use = AQ_DOSE_ROOTS };
    const aq_aim *aim = &s->asked->aim;
    aq_status status;

    s->hose = *s->asked;
    memset(&s->hose.bench, 0, sizeof s->hose.bench);
    status = aq_feed_begin(&s->feed, s->arena, &s->hose, &litre, err);
    if (status != AQ_OK)
        return status;
    if (!s->feed.dosing.count)
        return aq_ask_for(err, "part", "what goes into the stock, like {name: Bag, rate: 0.75 g/L}?");
    if (aim->targets.count)
        status = aq_feed_aim_targets(&s->feed, &aim->targets, &aim->tolerance);
    else
        status = aim->rates.count ? aq_feed_aim_rates(&s->feed, &aim->rates, err)
                                  : aq_feed_aim_bottom(&s->feed, err);
    return status == AQ_OK ? aq_feed_solve(&s->feed, err) : status;
}

/* ---- what dissolves ---- */

/* Between the two nearest points, or the end point beyond them. */
static double interpolate(const aq_part *part, double celsius, bool *per_water)
{
    const aq_solubility_point *below = NULL, *above = NULL;

    for (size_t i = 0; i < part->solubility.count; i++) {
        const aq_solubility_point *point = &part->solubility.at[i];

        if (point->temperature <= celsius && (!below || point->temperature > below->temperature))
            below = point;
        if (point->temperature >= celsius && (!above || point->temperature < above->temperature))
            above = point;
    }
    if (!below && !above)
        return NAN;
    *per_water = (below ? below : above)->per_water;
    if (!below || !above || !(above->temperature > below->temperature))
        return (below ? below : above)->grams;
    return below->grams + (above->grams - below->grams) * (celsius - below->temperature) /
                              (above->temperature - below->temperature);
}

/* g per L of solution; what is given per kg of water needs the density of the saturated solution. */
static aq_status said_solubility(double *out, const aq_part *part, double celsius, aq_error *err)
{
    bool per_water = false;
    double grams = interpolate(part, celsius, &per_water);

    *out = grams;
    if (isnan(grams) || !per_water)
        return AQ_OK;
    if (!part->saturated.given)
        return aq_fail(err, AQ_MISSING, part->place,
                       "part %s: its solubility is per kg of water; the density of the saturated solution "
                       "turns it into g/L: say saturated: 1.08 kg/L",
                       aq_part_name(part));
    *out = grams / (1000 + grams) * part->saturated.value;
    return AQ_OK;
}

/* What the part says of itself; else what handbooks have of a salt known by its formula. */
static aq_status find_solubility(placing *p, double celsius, aq_error *err)
{
    const aq_part *part = p->dose->part;
    aq_soluble salt;
    aq_status status = said_solubility(&p->dissolves, part, celsius, err);

    p->tabled = status == AQ_OK && isnan(p->dissolves) && part->formula && p->dose->weighs &&
                aq_solubility(&salt, part->formula, celsius);
    if (p->tabled)
        p->dissolves = salt.per_litre;
    return status;
}

/* ---- which tank ---- */

typedef enum { CALCIUM = 1, PRECIPITANT = 2, IRON = 4 } nature;

static unsigned nature_of(const aq_part *part)
{
    const aq_composition *c = part->composition;
    unsigned kind = 0;

    if (!c)
        return 0;
    kind |= c->ion[AQ_ION_CALCIUM] > 0 ? CALCIUM : 0u;
    kind |= c->ion[AQ_ION_SULFATE] > 0 || c->ion[AQ_ION_PHOSPHATE] > 0 ? PRECIPITANT : 0u;
    kind |= c->mass[AQ_FE] > 0 && !(kind & PRECIPITANT) ? IRON : 0u;
    return kind;
}

static int decide_tanks(const stocking *s)
{
    unsigned met = 0;

    if (s->asked->tanks)
        return (int)s->asked->tanks;
    for (size_t i = 0; i < s->count; i++) {
        met |= nature_of(s->at[i].dose->part);
        if (s->at[i].dose->part->tank >= AQ_TANK_B)
            return 2;
    }
    return (met & CALCIUM) && (met & PRECIPITANT) ? 2 : 1;
}

static double load_of(const stocking *s, int tank)
{
    double grams = 0;

    for (size_t i = 0; i < s->count; i++)
        grams += s->at[i].share[tank] * s->at[i].rate * (s->at[i].dose->weighs ? 1 : 1000);
    return grams;
}

static void put(placing *p, double in_a)
{
    p->share[0] = in_a;
    p->share[1] = 1 - in_a;
}

/* What is said, or what chemistry demands. False: free to go to either. */
static bool place_firmly(const stocking *s, placing *p)
{
    unsigned kind = nature_of(p->dose->part);
    int said = p->dose->part->tank;

    if (s->tanks == 1 || said == AQ_TANK_A)
        put(p, 1);
    else if (said == AQ_TANK_B)
        put(p, 0);
    else if (said == AQ_TANK_BOTH)
        put(p, 0.5);
    else if (kind & (CALCIUM | IRON))
        put(p, 1);
    else if (kind & PRECIPITANT)
        put(p, 0);
    else
        return false;
    return true;
}

/* Calcium from one part and sulfate or phosphate from another in one tank; one product that holds both was made to. */
static const char *find_clash(stocking *s)
{
    for (int tank = 0; tank < s->tanks; tank++)
        for (size_t i = 0; i < s->count; i++)
            for (size_t j = 0; j < s->count; j++)
                if (i != j && s->at[i].share[tank] > 0 && s->at[j].share[tank] > 0 &&
                    (nature_of(s->at[i].dose->part) & CALCIUM) &&
                    (nature_of(s->at[j].dose->part) & PRECIPITANT))
                    return aq_arena_format(
                        s->arena, "calcium of %s would meet sulfate or phosphate of %s in one concentrate",
                        s->at[i].dose->name, s->at[j].dose->name);
    return NULL;
}

static aq_status place_all(stocking *s, aq_error *err)
{
    aq_status status = AQ_OK;

    s->count = s->feed.dosing.count;
    s->at = aq_arena_take_array(s->arena, s->count + 1, sizeof *s->at);
    if (!s->at)
        return AQ_NO_MEMORY;
    for (size_t i = 0; status == AQ_OK && i < s->count; i++) {
        const aq_dose *dose = &s->feed.dosing.at[i];

        s->at[i] = (placing){ .dose = dose,
                              .rate = aq_feed_amount(&s->feed, i, s->feed.exact->x[dose->column]),
                              .dissolves = NAN };
        if (s->asked->coldest.given)
            status = find_solubility(&s->at[i], s->asked->coldest.value, err);
    }
    s->tanks = decide_tanks(s);
    for (size_t i = 0; i < s->count; i++)
        place_firmly(s, &s->at[i]);
    for (size_t i = 0; i < s->count; i++) /* the free ones, each to the lighter tank */
        if (!place_firmly(s, &s->at[i]))
            put(&s->at[i], load_of(s, 0) <= load_of(s, 1));
    s->clash = find_clash(s);
    return status;
}

/* ---- the sheet ---- */

static double strength_in(const stocking *s, const placing *p, int tank)
{
    /* both tanks run through the hose together, so half of a part in each gives its whole rate */
    return p->rate * p->share[tank] * s->parts;
}

static bool add_weighing(aq_sheet *sheet, const stocking *s, const placing *p, int tank)
{
    double strength = strength_in(s, p, tank), litres = s->asked->make.high.value;
    bool made = s->asked->make.high.given;
    aq_portion portion = {
        .exact = strength * litres, .top = INFINITY, .weighs = p->dose->weighs, .effect = 1, .group = -1
    };
    aq_row *row;

    if (made && aq_portions_round(&portion, 1, &s->asked->bench, NULL) != AQ_OK)
        return false;
    row = made ? aq_sheet_measure(sheet, p->dose->name, &portion)
               : aq_sheet_row(sheet, p->dose->weighs ? AQ_DO_WEIGH : AQ_DO_POUR);
    if (!row)
        return false;
    row->part = p->dose->name;
    row->tank = tank_names[tank];
    row->strength = p->dose->weighs ? aq_amount_of(strength, "g/L") : aq_amount_of(strength * 1000, "mL/L");
    if (!made) { /* nobody says how much is made: the number to weigh is that of a litre */
        row->amount = row->strength;
        row->amount.value = aq_decimal_round(row->amount.value, 3);
    }
    return true;
}

/* Most of the water first, warm, for many salts cool it as they dissolve; to the mark last. */
static bool add_tank(aq_sheet *sheet, const stocking *s, int tank)
{
    double litres = s->asked->make.high.value;
    bool made = s->asked->make.high.given;
    aq_row *row = made ? aq_sheet_row(sheet, AQ_DO_WATER) : NULL;

    if (made && !row)
        return false;
    if (row) {
        row->tank = tank_names[tank];
        row->exact =
            aq_amount_volume(litres * 0.7, false); /* of the water first: hydroponics texts say 70 to 90 % */
        row->amount = aq_amount_volume(litres * 0.7, true);
        row->note = "warm: salts cool it as they dissolve";
    }
    for (size_t i = 0; i < s->count; i++)
        if (s->at[i].share[tank] > 0 && s->at[i].rate > 0 && !add_weighing(sheet, s, &s->at[i], tank))
            return false;
    row = made ? aq_sheet_row(sheet, AQ_DO_TOP) : NULL;
    if (row) {
        row->tank = tank_names[tank];
        row->make = row->amount = aq_amount_volume(litres, false);
    }
    return !made || row;
}

static bool add_elements(aq_sheet *sheet, const stocking *s)
{
    const aq_composition *got = &s->feed.exact->got;

    for (int i = 0; i < AQ_NUTRIENT_COUNT; i++) {
        double grams = aq_composition_nutrient(got, (aq_nutrient)i);

        if (grams > 0 && !aq_sheet_figure(sheet, aq_nutrient_name((aq_nutrient)i), grams * 1000, "mg/L"))
            return false;
    }
    return !(aq_composition_cations(got) > 0) ||
           aq_sheet_figure(sheet, "cations", aq_composition_cations(got) * 1000, "meq/L");
}

/* The strength of the one part there is, or of each row; and what its solubility allows. */
static bool add_solubility(aq_sheet *sheet, const stocking *s)
{
    double widest = INFINITY;

    for (size_t i = 0; i < s->count; i++) {
        const placing *p = &s->at[i];
        double largest = fmax(strength_in(s, p, 0), strength_in(s, p, 1)), allowed = p->dissolves * margin;

        if (s->count == 1 && !aq_sheet_figure(sheet, "strength", largest * (p->dose->weighs ? 1 : 1000),
                                              p->dose->weighs ? "g/L" : "mL/L"))
            return false;
        if (isnan(p->dissolves) || !(p->rate > 0))
            continue;
        if (p->tabled && !aq_sheet_assume(sheet, "solubility of %s: %s at %s, alone in water, by handbooks",
                                          p->dose->name, aq_say(s->arena, p->dissolves, "g/L"),
                                          aq_say(s->arena, s->asked->coldest.value, "degC")))
            return false;
        widest = fmin(widest, allowed / (p->rate * fmax(p->share[0], p->share[1])));
        if (s->count == 1 && (!aq_sheet_figure(sheet, "solubility", p->dissolves, "g/L") ||
                              !aq_sheet_figure(sheet, "allowed", allowed, "g/L")))
            return false;
        if (largest <= allowed * (1 + 1e-9))
            continue;
        sheet->outcome = AQ_NEAREST;
        if (!aq_sheet_short(sheet, p->dose->name, aq_amount_of(largest - allowed, "g/L"),
                            "%s of %s may crystallise at %s: %s dissolve, and 80 %% of that is allowed",
                            aq_say(s->arena, largest, "g/L"), p->dose->name,
                            aq_say(s->arena, s->asked->coldest.value, "degC"),
                            aq_say(s->arena, p->dissolves, "g/L")))
            return false;
    }
    if (!isfinite(widest))
        return true;
    return aq_sheet_figure(sheet, "widest", floor(widest + 1e-9), "1") &&
           (widest >= s->parts * (1 - 1e-9) ||
            aq_sheet_next(sheet, "set the injector to 1 in %s or stronger, or warm the shed",
                          aq_say(s->arena, floor(widest + 1e-9), "")));
}

/* What the injector really gives, from what it took. */
static bool add_real(aq_sheet *sheet, const stocking *s)
{
    double real = s->asked->draw.value / s->asked->drawn.value, gives = s->parts / real;
    const aq_composition *got = &s->feed.exact->got;
    bool good = fabs(gives - 1) <= draw_slip + 1e-9;

    sheet->verdict = good ? "good" : "service";
    if (!aq_sheet_figure(sheet, "ratio", real, "1"))
        return false;
    for (int i = 0; i < AQ_NUTRIENT_COUNT; i++) {
        double grams = aq_composition_nutrient(got, (aq_nutrient)i) * gives;
        const char *name = aq_arena_format(s->arena, "real.%s", aq_nutrient_name((aq_nutrient)i));

        if (!name || (grams > 0 && !aq_sheet_figure(sheet, name, grams * 1000, "mg/L")))
            return false;
    }
    if (s->count == 1 &&
        !aq_sheet_figure(sheet, "strength_real", s->at[0].rate * real * (s->at[0].dose->weighs ? 1 : 1000),
                         s->at[0].dose->weighs ? "g/L" : "mL/L"))
        return false;
    return good ||
           aq_sheet_next(
               sheet, "the injector gives %s %% of what it should: service it, or make the stock for 1 in %s",
               aq_say(s->arena, gives * 100, ""), aq_say(s->arena, real, ""));
}

static bool add_draw(aq_sheet *sheet, const stocking *s)
{
    if (!s->asked->draw.given)
        return true;
    if (!aq_sheet_figure(sheet, "draw", s->asked->draw.value / s->parts * 1000, "mL") ||
        !aq_sheet_next(sheet, "draw test: %s at the hose must take %s of stock",
                       aq_say(s->arena, s->asked->draw.value, "L"),
                       aq_say(s->arena, s->asked->draw.value / s->parts * 1000, "mL")))
        return false;
    return !s->asked->drawn.given || add_real(sheet, s);
}

static bool refuse(aq_sheet *sheet, const stocking *s)
{
    sheet->outcome = AQ_REFUSED;
    sheet->rows.count = 0;
    return aq_sheet_short(sheet, "tanks", aq_amount_of(1, "1"),
                          "%s: gypsum or calcium phosphate falls out; use two tanks", s->clash) != NULL;
}

static bool fill_sheet(aq_sheet *sheet, const stocking *s)
{
    for (int tank = 0; !s->clash && tank < s->tanks; tank++)
        if (!add_tank(sheet, s, tank))
            return false;
    if (isfinite(s->feed.exact->ec))
        sheet->expect_ec = aq_feed_reading(&s->feed, s->feed.exact->ec);
    return add_elements(sheet, s) && add_solubility(sheet, s) && add_draw(sheet, s) &&
           (!s->clash || refuse(sheet, s)) &&
           aq_sheet_caution(sheet, "make no more than three to four weeks' use") &&
           aq_sheet_next(sheet, "a new combination first stands overnight in a jar at stock strength: cloudy "
                                "means it clashes");
}

static aq_status complete(const aq_asked *asked, aq_error *err)
{
    if (!asked->ratio.given)
        return aq_ask_for(err, "ratio", "what does the injector do, like 1 in 100?");
    if (asked->drawn.given && !asked->draw.given)
        return aq_ask_for(err, "draw", "how many litres came out of the hose in the draw test?");
    return AQ_OK;
}

static aq_status stock_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    stocking s = { .arena = arena, .asked = asked, .parts = asked->ratio.parts };
    aq_sheet *sheet;
    aq_status status = complete(asked, err);

    if (status == AQ_OK)
        status = solve_hose(&s, err);
    if (status == AQ_OK)
        status = place_all(&s, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "stock");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title = aq_arena_format(arena, "stock for an injector of 1 in %s", aq_say(arena, s.parts, ""));
    if (asked->make.high.given)
        sheet->volume = aq_amount_of(asked->make.high.value, "L");
    if (!sheet->title || !fill_sheet(sheet, &s))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static const aq_shape stock_asks = {
    .noun = "stock", .fields = stock_rows, .count = AQ_ROWS_COUNT(stock_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_stock = {
    .name = "stock",
    .does = "stock tanks for an injector: grams, split, solubility, draw test",
    .asks = &stock_asks,
    .run = stock_run,
    .example = "aliquot stock --ratio '1 in 100' --make 10L --targets '{N: 150 mg/L}' "
               "--part '{name: Bag, analysis: {basis: w/w, N: 20 %, P2O5: 10 %, K2O: 20 %}}'"
};
