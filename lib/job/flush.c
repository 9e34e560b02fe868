/* Leaching a medium until its drain reads low enough.
 *
 * The medium is taken as well mixed, so what it holds decays with each pore volume poured: the litres are
 * V ln((now - feed) / (to - feed)). Channels in the medium make that uncertain by 30 % (common practice, no source), so
 * the sheet pours in thirds and the drain decides. Example: 12 L at 3.4, flushed with 0.6 to 1.2, take
 * 12 x ln(2.8 / 0.6) = 18.5 L. */
#include "job/feed.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "job/show.h"
#include "solve/dilute.h"

#include <math.h>

static const double doubt = 0.30; /* of the volume: common practice, no source */
enum { POURS = 3 };

static const aq_field flush_rows[] = {
    AQ_ROW_LITRES("medium", medium, "water that the medium holds", "12 L"),
    AQ_ROW_EC_NOW,
    AQ_ROW_READING("feed-ec", feed_ec, "EC of the solution poured", "0.6 mS/cm"),
    AQ_ROW_READING("to", to.ec, "EC of the drain at which to stop", "1.2 mS/cm"),
    AQ_ROWS_OF_EVERY_JOB,
};

static aq_status complete(const aq_asked *asked, aq_error *err)
{
    if (!asked->medium.given)
        return aq_ask_for(err, "medium", "how much water does the medium hold, like 12 L?");
    if (!asked->ec_now.given)
        return aq_ask_for(err, "ec-now", "what does the drain read now, like 3.4 mS/cm?");
    if (!asked->feed_ec.given)
        return aq_ask_for(err, "feed-ec", "what does the solution that is poured read, like 0.6 mS/cm?");
    if (!asked->to.ec.given)
        return aq_ask_for(err, "to", "at which EC of the drain to stop, like 1.2 mS/cm?");
    return AQ_OK;
}

/* Why this solution will not do, even where the drain is there already: to pour it would undo that. */
static bool refuse(aq_sheet *sheet, const aq_asked *asked)
{
    double by = asked->feed_ec.value - asked->to.ec.value;

    if (asked->ec_now.value <= asked->to.ec.value &&
        !aq_sheet_next(sheet, "the drain is there already: nothing to pour"))
        return false;
    sheet->outcome = AQ_REFUSED;
    return aq_sheet_short(sheet, "ec", aq_amount_of(by, "mS/cm"),
                          "the drain cannot come down to %s with a solution of %s: flush with a weaker one",
                          aq_say_ec(sheet->arena, asked->to.ec.value),
                          aq_say_ec(sheet->arena, asked->feed_ec.value)) != NULL;
}

static bool add_pours(aq_sheet *sheet, const aq_asked *asked, double litres)
{
    double feed = asked->feed_ec.value, over = asked->ec_now.value - feed;

    for (int i = 1; i <= POURS; i++) {
        aq_row *row = aq_sheet_row(sheet, AQ_DO_POUR);

        if (!row)
            return false;
        row->part = "flush solution";
        row->exact = aq_amount_volume(litres / POURS, false);
        row->amount = aq_amount_volume(litres / POURS, true);
        row = aq_sheet_row(sheet, AQ_DO_READ);
        if (!row)
            return false;
        row->expect = aq_amount_of(feed + over * exp(-litres * i / POURS / asked->medium.value), "mS/cm");
        row->note = "of the drain";
    }
    return aq_say_meter(sheet, asked, asked->to.ec.value) &&
           aq_sheet_next(sheet, "the drain decides: stop when it reads %s, go on while it does not",
                         aq_say_ec(sheet->arena, asked->to.ec.value)) &&
           aq_sheet_caution(sheet, "do not leave stressed roots in plain water, nor a cold medium soaked");
}

static bool say_why(aq_sheet *sheet, const aq_asked *asked, double litres)
{
    if (!(litres > 0))
        return aq_sheet_why(sheet, "the drain reads %s already, no more than %s: 0 L",
                            aq_say_ec(sheet->arena, asked->ec_now.value),
                            aq_say_ec(sheet->arena, asked->to.ec.value));
    return aq_sheet_why(
        sheet, "%s x ln((%s - %s) / (%s - %s)) = %s", aq_say(sheet->arena, asked->medium.value, "L"),
        aq_say(sheet->arena, asked->ec_now.value, ""), aq_say(sheet->arena, asked->feed_ec.value, ""),
        aq_say(sheet->arena, asked->to.ec.value, ""), aq_say(sheet->arena, asked->feed_ec.value, ""),
        aq_say(sheet->arena, litres, "L"));
}

static bool add_figures(aq_sheet *sheet, const aq_asked *asked, double litres)
{
    return aq_sheet_figure_within(sheet, "volume", litres, "L", litres * doubt) &&
           aq_sheet_figure(sheet, "pore_volumes", litres / asked->medium.value, "1") &&
           aq_sheet_assume(sheet,
                           "the medium is well mixed; channels in it make the litres uncertain by 30 %%") &&
           say_why(sheet, asked, litres);
}

static aq_status flush_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_status status = complete(asked, err);
    aq_sheet *sheet;
    double litres;
    bool fine;

    if (status != AQ_OK)
        return status;
    litres =
        aq_flush_volume(asked->medium.value, asked->ec_now.value, asked->feed_ec.value, asked->to.ec.value);
    sheet = aq_sheet_new(arena, "flush");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title =
        aq_arena_format(arena, "flush %s of medium to %s", aq_show_volume(arena, asked, asked->medium.value),
                        aq_say_ec(arena, asked->to.ec.value));
    if (asked->to.ec.value <= asked->feed_ec.value)
        fine = refuse(sheet, asked);
    else if (litres > 0)
        fine = add_figures(sheet, asked, litres) && add_pours(sheet, asked, litres) &&
               aq_say_no_tools(sheet, asked);
    else
        fine = add_figures(sheet, asked, litres) &&
               aq_sheet_next(sheet, "the drain is there already: nothing to pour");
    if (!sheet->title || !fine)
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static const aq_shape flush_asks = {
    .noun = "flush", .fields = flush_rows, .count = AQ_ROWS_COUNT(flush_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_flush = {
    .name = "flush",
    .does = "leach a medium until its drain reads low enough",
    .asks = &flush_asks,
    .run = flush_run,
    .example = "aliquot flush --medium 12L --ec-now 3.4mS/cm --feed-ec 0.6mS/cm --to 1.2mS/cm"
};
