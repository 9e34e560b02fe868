/* Rooting cubes or plugs: how much to mix for their soak, and at what.
 *
 * A piece takes up a share of its size; the batch is that for all of them, with something over, rounded up to the next
 * half litre. Example: 98 cubes of 36 x 36 x 40 mm are 51.8 mL each; at 80 % they soak up 4.06 L, with 15 % over 4.67 L,
 * so 5 L are mixed. The shares are working rules of the trade (common practice, no source) and are options. The dose is
 * that of a reservoir change of the same volume. */
#include "job/jobs.h"
#include "job/rows.h"
#include "job/show.h"

#include <math.h>

static const double usual_fills = 0.80, usual_extra = 0.15;
static const double batch_step = 0.5; /* L */
static const double least_ec = 0.005; /* mS/cm: less than what a meter shows */
static const double ph_drift = 0.7;   /* a cube raises the pH of what drains out by up to this */
static const double ph_least = 5.0;   /* below it the soak attacks mineral fibre */

static const aq_field condition_rows[] = {
    { .key = "pieces",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .least = 1,
      .most = 1e6,
      .into = AQ_INTO(pieces),
      .help = "how many cubes or plugs",
      .example = "98" },
    { .key = "size",
      .read = AQ_READ_SIZE,
      .into = AQ_INTO(size),
      .help = "of one piece",
      .example = "36x36x40mm" },
    { .key = "each",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 100,
      .into = AQ_INTO(each),
      .help = "or the volume of one piece",
      .example = "50 mL" },
    { .key = "fills",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 1,
      .into = AQ_INTO(fills),
      .help = "share of its size that takes water, 80 % where not given",
      .example = "75 %" },
    { .key = "extra",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bounded = true,
      .least = 0,
      .most = 10,
      .into = AQ_INTO(extra),
      .help = "mixed beyond what they soak up, 15 % where not given",
      .example = "20 %" },
    AQ_ROW_MAKE,
    AQ_AIM_ROWS(aq_asked, aim),
    AQ_ROW_WATER_EC,
    AQ_ROW_WATER,
    AQ_ROW_RECIPE,
    AQ_ROW_STAGE,
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    AQ_ROWS_OF_EVERY_JOB,
};

typedef struct {
    double each, soak, volume; /* L: of a piece, soaked up by all, with what is over */
    double fills, extra;
} soaking;

static aq_status work_out(soaking *s, const aq_asked *asked, aq_error *err)
{
    if (!asked->pieces.given)
        return aq_ask_for(err, "pieces", "how many cubes or plugs are there?");
    if (asked->pieces.value != floor(asked->pieces.value))
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--pieces", 0, 0, 0 },
                       "pieces: cubes and plugs are counted, so this is a whole number, like 98");
    if (asked->size.given && asked->each.given)
        return aq_fail(err, AQ_CONFLICT, (aq_place){ "--each", 0, 0, 0 },
                       "each: the size says how large a piece is already: give one of the two");
    if (!asked->size.given && !asked->each.given)
        return aq_ask_for(err, "size", "how large is one, like 36x36x40mm? Or say its volume: each");
    s->each = asked->size.given ? asked->size.value : asked->each.value;
    s->fills = asked->fills.given ? asked->fills.value : usual_fills;
    s->extra = asked->extra.given ? asked->extra.value : usual_extra;
    s->soak = s->each * s->fills * asked->pieces.value;
    s->volume = s->soak * (1 + s->extra);
    return AQ_OK;
}

static double batch_of(const soaking *s, const aq_asked *asked)
{
    return asked->make.high.given ? asked->make.high.value : ceil(s->volume / batch_step - 1e-9) * batch_step;
}

/* An aim that plain water does not meet takes parts, and the mix asks for those that are missing. */
static bool is_dosed(const aq_asked *asked)
{
    const aq_aim *aim = &asked->aim;
    bool plain_water =
        aim->ec.given && asked->water_ec.given && fabs(aim->ec.value - asked->water_ec.value) < least_ec;

    return asked->part.count || (aq_aim_given(aim) && !plain_water);
}

/* Water alone, where nothing is dosed. */
static aq_status plain(aq_sheet **out, aq_arena *arena, double litres, const aq_asked *asked)
{
    aq_sheet *sheet = aq_sheet_new(arena, "condition");
    aq_row *row = sheet ? aq_sheet_row(sheet, AQ_DO_WATER) : NULL;

    if (!row)
        return AQ_NO_MEMORY;
    row->exact = aq_amount_volume(litres, false);
    row->amount = aq_amount_volume(litres, true);
    sheet->volume = aq_amount_of(litres, "L");
    if (asked->water_ec.given)
        sheet->expect_ec = aq_amount_within(asked->water_ec.value, "mS/cm", 0.10);
    *out = sheet;
    return AQ_OK;
}

static bool add_figures(aq_sheet *sheet, const soaking *s, const aq_asked *asked)
{
    return aq_sheet_figure(sheet, "each", s->each * 1000, "mL") &&
           aq_sheet_figure(sheet, "soak", s->soak, "L") && aq_sheet_figure(sheet, "volume", s->volume, "L") &&
           (asked->fills.given || aq_sheet_assume(sheet, "a piece takes up 80 %% of its size")) &&
           (asked->extra.given || aq_sheet_assume(sheet, "15 %% more is mixed than is soaked up")) &&
           aq_sheet_why(sheet, "%s x %s x %s = %s; x %s = %s", aq_say(sheet->arena, s->each * 1000, "mL"),
                        aq_say(sheet->arena, s->fills, ""), aq_say(sheet->arena, asked->pieces.value, ""),
                        aq_say(sheet->arena, s->soak, "L"), aq_say(sheet->arena, 1 + s->extra, ""),
                        aq_say(sheet->arena, s->volume, "L"));
}

/* What drains out, half an hour to an hour later, decides; not what went in. */
static bool add_ph(aq_sheet *sheet, const aq_asked *asked)
{
    const aq_range *ph = &asked->aim.ph;

    if (!ph->low.given)
        return true;
    sheet->expect_ph_low = ph->low.value;
    sheet->expect_ph_high = ph->high.value > ph->low.value ? ph->high.value : ph->low.value + ph_drift;
    return !(ph->low.value < ph_least) ||
           aq_sheet_caution(sheet, "a soak below pH 5.0 attacks mineral fibre: stay at 5.0 or above");
}

/* Pieces that stay half dry are not what was asked for; without all of the extra they are soaked all the same. */
static bool add_short(aq_sheet *sheet, const soaking *s, double batch)
{
    if (batch < s->soak * (1 - 1e-9)) {
        if (sheet->outcome == AQ_MET)
            sheet->outcome = AQ_NEAREST;
        return aq_sheet_caution(sheet, "the pieces soak up %s, more than is mixed",
                                aq_say(sheet->arena, s->soak, "L"));
    }
    return !(batch < s->volume * (1 - 1e-9)) ||
           aq_sheet_caution(sheet, "with what is over it takes %s: less than that is mixed",
                            aq_say(sheet->arena, s->volume, "L"));
}

static bool add_words(aq_sheet *sheet, const soaking *s, double batch)
{
    return add_short(sheet, s, batch) &&
           aq_sheet_caution(sheet, "drain, never squeeze: a squeezed cube holds no air") &&
           aq_sheet_next(sheet, "find the pH by a jar test of this solution, then set it in the whole") &&
           aq_sheet_next(sheet,
                         "after 30 to 60 min check the pH and EC of what drains out, not of what went in");
}

static aq_status condition_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_asked mixing = *asked;
    soaking s = { 0 };
    aq_sheet *sheet = NULL;
    double batch;
    aq_status status = work_out(&s, asked, err);

    if (status != AQ_OK)
        return status;
    batch = batch_of(&s, asked);
    mixing.volume = aq_quantity_of(batch, AQ_KIND_VOLUME);
    status =
        is_dosed(asked) ? aq_job_mix.run(&sheet, arena, &mixing, err) : plain(&sheet, arena, batch, asked);
    if (status != AQ_OK)
        return status;
    sheet->job = "condition";
    sheet->title =
        aq_arena_format(arena, "condition %s %s with %s", aq_say(arena, asked->pieces.value, ""),
                        asked->pieces.value == 1 ? "piece" : "pieces", aq_show_volume(arena, asked, batch));
    if (!sheet->title || !add_figures(sheet, &s, asked) || !add_ph(sheet, asked) ||
        !add_words(sheet, &s, batch))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static const aq_shape condition_asks = { .noun = "condition",
                                         .fields = condition_rows,
                                         .count = AQ_ROWS_COUNT(condition_rows),
                                         .size = sizeof(aq_asked) };

const aq_job aq_job_condition = {
    .name = "condition",
    .does = "soak rooting cubes or plugs: volume, dose, pH window",
    .asks = &condition_asks,
    .run = condition_run,
    .example = "aliquot condition --pieces 98 --size 36x36x40mm --ec 0.6mS/cm --ph 5.5 "
               "--water-ec 0.2mS/cm --together '{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}'"
};
