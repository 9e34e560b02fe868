/* Stock tanks for an injector: grams for each, which salts may share one, what stays dissolved on the coldest night, and
 * a draw test.
 *
 *     stock strength = rate at the hose x n       for an injector of 1 part in n
 *     allowed        = 80 % of the solubility at the coldest temperature (common practice, no source)
 *     widest         = allowed / rate             the n beyond which it may crystallise
 *
 * Example: 0.45 g/L of potassium sulfate through 1 in 200 is 90 g/L, all that dissolves at 10 degC; 72 g/L are allowed, so
 * 1 in 160 is the widest. What the water at the hose and the acid bring of an element is not dosed again: the stock is
 * made up with the same water, so a litre at the hose holds all that a litre of it holds. */
#include "job/iron.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "job/show.h"
#include "job/stock.h"
#include "job/treat.h"

#include <math.h>
#include <string.h>

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
      .most = AQ_TANKS_MOST,
      .into = AQ_INTO(tanks),
      .help = "how many there are; the fewest in which nothing clashes where not given",
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
    AQ_ROW_FEED_ACID,
    AQ_ROW_FEED_ALKALINITY,
    AQ_ROWS_OF_EVERY_JOB_BUT_RATIO,
};

/* ---- the feed at the hose ---- */

static aq_status solve_hose(aq_stocking *s, aq_error *err)
{
    aq_feed_tank litre = { .volume = 1, .heel = 0, .heel_ec = NAN, .use = AQ_DOSE_ROOTS };
    aq_status status;

    s->hose = *s->asked;
    memset(&s->hose.bench, 0, sizeof s->hose.bench);
    status = aq_feed_begin(&s->feed, s->arena, &s->hose, &litre, err);
    if (status != AQ_OK)
        return status;
    if (!s->feed.dosing.count)
        return aq_ask_for(err, "part", "what goes into the stock, like {name: Bag, rate: 0.75 g/L}?");
    status = aq_treat_begin(&s->acid, &s->feed, err);
    if (status != AQ_OK)
        return status;
    status = aq_feed_take_aim(&s->feed, &s->asked->aim, err);
    return status == AQ_OK ? aq_feed_solve(&s->feed, err) : status;
}

/* ---- the sheet ---- */

static bool add_elements(aq_sheet *sheet, const aq_stocking *s)
{
    const aq_composition *got = &s->feed.exact->got;

    return aq_feed_element_figures(sheet, got) && aq_feed_elements(sheet, &s->feed, false) &&
           (!(aq_composition_cations(got) > 0) ||
            aq_sheet_figure(sheet, "cations", aq_composition_cations(got) * 1000, "meq/L"));
}

/* What the injector really gives, from what it took. */
static bool add_real(aq_sheet *sheet, const aq_stocking *s)
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

static bool add_draw(aq_sheet *sheet, const aq_stocking *s)
{
    if (!s->asked->draw.given)
        return true;
    if (!aq_sheet_figure(sheet, "draw", s->asked->draw.value / s->parts * 1000, "mL") ||
        !aq_sheet_next(sheet, "draw test: %s at the hose must take %s of stock",
                       aq_show_volume(s->arena, s->asked, s->asked->draw.value),
                       aq_say(s->arena, s->asked->draw.value / s->parts * 1000, "mL")))
        return false;
    return !s->asked->drawn.given || add_real(sheet, s);
}

static bool refuse(aq_sheet *sheet, const aq_stocking *s)
{
    sheet->outcome = AQ_REFUSED;
    sheet->rows.count = 0;
    if (!s->needed)
        return aq_sheet_short(sheet, "tanks", (aq_amount){ 0 },
                              "%s; leave it to the search which tank is whose", s->clash) != NULL;
    return aq_sheet_short(sheet, "tanks", aq_amount_of((double)(s->needed - s->asked->tanks), "1"),
                          "%s; use %s tanks", s->clash, aq_say(s->arena, s->needed, "")) != NULL;
}

/* Why there is not one tank fewer. */
static bool add_reasons(aq_sheet *sheet, const aq_stocking *s)
{
    for (int tank = 0; tank < s->tanks; tank++)
        for (int other = 0; other < tank; other++) {
            const char *reason = aq_stock_reason(s, other, tank);

            if (reason && !aq_sheet_why(sheet, "%s apart from %s: %s", aq_stock_tank_name(other),
                                        aq_stock_tank_name(tank), reason))
                return false;
        }
    return s->fewest || aq_sheet_assume(sheet, "the search for fewer tanks was cut short: fewer may do");
}

/* What is in the water already, as far as it is known. */
static bool say_water(aq_sheet *sheet, const aq_stocking *s)
{
    const char *how = s->asked->aim.targets.count ? "deducted from the targets" : "counted at the hose";

    if (s->acid.litres > 0 && !aq_neutralise_assume(sheet, &s->acid, &s->asked->acid.at[0]))
        return false;
    if (s->acid.element &&
        !aq_sheet_assume(sheet, "the acid brings %s of %s to the hose: %s",
                         aq_say(s->arena, s->acid.brings * 1000, "mg/L"), s->acid.element, how))
        return false;
    if (s->feed.source.holds)
        return aq_sheet_assume(sheet, "what the water holds is %s; the stock is made with the same water",
                               how);
    return !s->feed.source.count ||
           aq_sheet_assume(sheet, "elements are without those of the water: its analysis "
                                  "is not given");
}

static bool fill_sheet(aq_sheet *sheet, const aq_stocking *s)
{
    if (!aq_feed_shorts(sheet, &s->feed) || (!s->clash && !aq_stock_add_rows(sheet, s)))
        return false;
    if (isfinite(s->feed.exact->ec))
        sheet->expect_ec = aq_feed_reading(&s->feed, s->feed.exact->ec);
    return aq_feed_say_forms(sheet, &s->feed) && aq_say_no_tools(sheet, s->asked) && add_elements(sheet, s) &&
           aq_stock_add_solubility(sheet, s) && add_draw(sheet, s) && say_water(sheet, s) &&
           (s->clash ? refuse(sheet, s) : add_reasons(sheet, s)) && aq_iron_of_feed(sheet, &s->feed) &&
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
    aq_stocking s = { .arena = arena, .asked = asked, .parts = asked->ratio.parts };
    aq_sheet *sheet;
    aq_status status = complete(asked, err);

    if (status == AQ_OK)
        status = solve_hose(&s, err);
    if (status == AQ_OK)
        status = aq_stock_place(&s, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "stock");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title = aq_arena_format(arena, "stock for an injector of 1 in %s", aq_say(arena, s.parts, ""));
    if (asked->make.high.given)
        sheet->volume = aq_amount_of(asked->make.high.value, "L");
    sheet->water = aq_source_say(&s.feed.source, arena);
    if (!sheet->title || !fill_sheet(sheet, &s))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static aq_status check_line(aq_walk *walk, void *entry, const aq_node *node)
{
    return aq_aim_check(walk, &((const aq_asked *)entry)->aim, node);
}

static const aq_shape stock_asks = { .noun = "stock",
                                     .fields = stock_rows,
                                     .count = AQ_ROWS_COUNT(stock_rows),
                                     .size = sizeof(aq_asked),
                                     .check = check_line };

const aq_job aq_job_stock = {
    .name = "stock",
    .does = "stock tanks for an injector: grams, split, solubility, draw test",
    .asks = &stock_asks,
    .run = stock_run,
    .example = "aliquot stock --ratio '1 in 100' --make 10L --targets '{N: 150 mg/L}' "
               "--part '{name: Bag, analysis: {basis: w/w, N: 20 %, P2O5: 10 %, K2O: 20 %}}'"
};
