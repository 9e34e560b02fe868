/* The acid of a mix. Example: 80 L of tap from 180 to 60 mg/L CaCO3 by nitric acid bring 33.6 mg/L of N, so a feed of
 * 150 mg/L of N takes only 116.4 from its parts. */
#include "job/treat.h"

#include "job/rows.h"
#include "sheet/measured.h"

#include <math.h>
#include <string.h>

static double fresh_litres(const aq_feed *feed)
{
    return feed->problem.volume - feed->problem.heel;
}

/* A litre of the water added, with what the acid left in it. */
static aq_status count_acid(const aq_neutralising *acid, double eq_per_litre, aq_feed *feed)
{
    aq_composition *base = aq_arena_take(feed->arena, sizeof *base);
    aq_composition *brings = aq_arena_take(feed->arena, sizeof *brings);
    double fresh = fresh_litres(feed) / feed->problem.volume;
    aq_composition gram;

    if (!base || !brings)
        return AQ_NO_MEMORY;
    if (feed->problem.base)
        *base = *feed->problem.base;
    if (aq_composition_of_formula(&gram, acid->acid.formula, NULL) == AQ_OK)
        aq_composition_add(brings, &gram, eq_per_litre / acid->protons * acid->acid.molar_mass * fresh);
    aq_composition_add(base, brings, 1);
    feed->problem.base = base;
    feed->acid_name = acid->name;
    feed->acid_holds = brings;
    if (isfinite(acid->ec_change))
        feed->problem.water_ec += acid->ec_change;
    return AQ_OK;
}

aq_status aq_treat_begin(aq_neutralising *acid, aq_feed *feed, aq_error *err)
{
    const aq_asked *asked = feed->asked;
    double now = feed->source.alkalinity, wanted = asked->to.alkalinity.value;
    aq_status status;

    *acid = (aq_neutralising){ .ec_change = NAN };
    if (!asked->acid.count)
        return asked->to.alkalinity.given ? aq_ask_for(err, "acid", "which acid brings the alkalinity down?")
                                          : AQ_OK;
    if (!asked->to.alkalinity.given)
        return aq_ask_for(err, "alkalinity",
                          "which alkalinity should the water have after the acid, like 60 mg/L CaCO3?");
    if (isnan(now))
        return aq_ask_for(err, "water",
                          "what is its alkalinity, like {ec: 0.32 mS/cm, alkalinity: 120 mg/L CaCO3}?");
    if (now <= wanted)
        return AQ_OK;
    status = aq_neutralise(acid, &asked->acid.at[0], now - wanted, fresh_litres(feed), feed->arena, err);
    return status == AQ_OK ? count_acid(acid, now - wanted, feed) : status;
}

/* The rows just added, from `from` on, moved behind the rows of water at the front. */
static void move_forward(aq_rows *rows, size_t from)
{
    size_t at = 0, moved = rows->count - from;

    while (at < from && rows->at[at].what == AQ_DO_WATER)
        at++;
    for (size_t i = 0; i < moved; i++) {
        aq_row row = rows->at[from + i];

        memmove(&rows->at[at + i + 1], &rows->at[at + i], (from - at) * sizeof row);
        rows->at[at + i] = row;
    }
}

static bool add_figures(aq_sheet *sheet, const aq_neutralising *acid)
{
    return aq_sheet_figure(sheet, "acid", acid->litres * 1000, "mL") &&
           (!acid->element ||
            aq_sheet_caution(sheet,
                             "the acid brings %s of %s to the water added; it is deducted from the feed",
                             aq_say(sheet->arena, acid->brings * 1000, "mg/L"), acid->element)) &&
           aq_sheet_next(sheet, "read the pH after the acid has gassed off for 30 min, before any part");
}

aq_status aq_treat_rows(aq_sheet *sheet, const aq_neutralising *acid, const aq_feed *feed, aq_error *err)
{
    aq_portion portion = { .exact = acid->litres, .top = INFINITY, .effect = 1, .group = -1 };
    size_t from = sheet->rows.count;
    aq_row *row;
    aq_status status;

    if (!(acid->litres > 0))
        return AQ_OK;
    status = aq_portions_round(&portion, 1, &feed->asked->bench, err);
    if (status != AQ_OK)
        return status;
    row = aq_sheet_measure(sheet, acid->name, &portion);
    if (!row)
        return AQ_NO_MEMORY;
    row->note = "into the water, slowly, before any part";
    row = aq_sheet_row(sheet, AQ_DO_WAIT);
    if (!row || !add_figures(sheet, acid) || !aq_neutralise_assume(sheet, acid, &feed->asked->acid.at[0]))
        return AQ_NO_MEMORY;
    row->time = aq_amount_of(30, "min");
    row->note = "circulate, let it gas off";
    move_forward(&sheet->rows, from);
    return AQ_OK;
}
