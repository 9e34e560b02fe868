/* The rows of one tank, in the order of the hand: water, the checkpoint, each part with a stir, a reading where one can
 * be told, up to the mark, the last readings. pH comes last, for every part moves it (common practice, no source). */
#include "job/feed.h"

#include <math.h>

static const double circulate =
    10.0 / (24 * 60); /* d; 10 min at least before a reading: common practice, no source */

/* Each water by its share. The exact litres fill the tank to its mark; what is poured first leaves the doses their room,
 * and the mark is topped up to last. */
static bool water_rows(aq_sheet *sheet, const aq_feed *feed)
{
    double water = aq_feed_water(feed), whole = feed->problem.volume - feed->problem.heel;

    for (size_t i = 0; water > 0 && (i == 0 || i < feed->source.count); i++) {
        double share = feed->source.count > 1 ? feed->source.share[i] : 1;
        aq_row *row = share > 0 ? aq_sheet_row(sheet, AQ_DO_WATER) : NULL;

        if (!row && share > 0)
            return false;
        if (!row)
            continue;
        row->water = feed->source.count && feed->source.at[i].name ? feed->source.at[i].name : NULL;
        row->exact = aq_amount_volume(whole * share, false);
        row->amount = aq_amount_volume(water * share, true);
    }
    return true;
}

static bool read_row(aq_sheet *sheet, const aq_feed *feed, double ec, const char *note)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_READ);

    if (!row)
        return false;
    row->expect = aq_feed_reading(feed, ec);
    row->note = note;
    return true;
}

/* In the unit of the row's amount: fills of the tool, the full ones first. */
static bool fill_row(aq_sheet *sheet, aq_row *row, const aq_portion *portion, double unit)
{
    aq_fills fills;

    if (!portion->tool)
        return true;
    row->with = portion->tool->name;
    fills = aq_tool_fills(portion->tool, portion->amount);
    if (fills.full > 99) /* such a dose is not poured by this tool; no list would help */
        return true;
    for (size_t i = 0; i < fills.full + (fills.rest > 0); i++) {
        double *piece = aq_list_add(sheet->arena, &row->pieces, sizeof *piece);

        if (!piece)
            return false;
        *piece = aq_decimal_round((i < fills.full ? portion->tool->holds : fills.rest) * unit, 12);
    }
    return true;
}

static bool predilute_row(aq_sheet *sheet, const aq_dose *dose, const aq_portion *portion)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_PREDILUTE);

    if (!row)
        return false;
    row->part = dose->name;
    row->amount = aq_dose_amount(dose, portion->pre_amount, false);
    row->make = aq_amount_volume(portion->pre_make, false);
    return true;
}

/* What is drawn of a pre-dilution, and how much of the product is in it. */
static void drawn(aq_row *row, const aq_dose *dose, const aq_portion *portion)
{
    row->exact = aq_amount_of(portion->exact / portion->pre_amount * portion->pre_make * 1000, "mL");
    row->amount = aq_amount_of(aq_decimal_round(portion->amount * 1000, 12), "mL");
    row->concentrate = aq_dose_amount(dose, portion->exact, false);
}

bool aq_portion_rows(aq_sheet *sheet, const aq_dose *dose, const aq_portion *portion, double label_used)
{
    bool weighs = dose->weighs && !portion->prediluted;
    aq_row *row;

    if (portion->prediluted && !predilute_row(sheet, dose, portion))
        return false;
    row = aq_sheet_row(sheet, weighs ? AQ_DO_WEIGH : AQ_DO_POUR);
    if (!row)
        return false;
    row->part = dose->name;
    if (portion->prediluted) {
        drawn(row, dose, portion);
    } else {
        row->exact = aq_dose_amount(dose, portion->exact, false);
        row->amount = aq_dose_amount(dose, portion->amount, false);
        row->amount.value =
            aq_decimal_round(row->amount.value, 12); /* a mark is 0.62, not 0.6200000000000001 */
    }
    row->label_used = label_used;
    return fill_row(sheet, row, portion, weighs ? 1 : row->amount.unit[0] == 'm' ? 1000 : 1);
}

static bool last_of_column(const aq_feed *feed, size_t which)
{
    return which + 1 == feed->dosing.count ||
           feed->dosing.at[which + 1].column != feed->dosing.at[which].column;
}

/* After a whole column its EC can be told; the last reading of all comes when the tank is full. */
static bool read_after(const aq_feed *feed, size_t which, size_t last)
{
    return last_of_column(feed, which) && which < last &&
           isfinite(feed->poured->ec_after[feed->dosing.at[which].column]);
}

aq_status aq_feed_pour_rows(aq_sheet *sheet, const aq_feed *feed, aq_error *err)
{
    size_t last = 0;

    (void)err;
    for (size_t i = 0; i < feed->dosing.count; i++)
        if (feed->portions[i].exact > 0)
            last = i;
    for (size_t i = 0; i < feed->dosing.count; i++) {
        if (!(feed->portions[i].exact > 0))
            continue;
        if (!aq_portion_rows(sheet, &feed->dosing.at[i], &feed->portions[i], aq_feed_label_used(feed, i)) ||
            !aq_sheet_row(sheet, AQ_DO_STIR))
            return AQ_NO_MEMORY;
        if (read_after(feed, i, last) &&
            !read_row(sheet, feed, feed->poured->ec_after[feed->dosing.at[i].column], NULL))
            return AQ_NO_MEMORY;
    }
    return AQ_OK;
}

bool aq_portions_discard_row(aq_sheet *sheet, const aq_portion *portions, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        aq_row *row = portions[i].prediluted ? aq_sheet_row(sheet, AQ_DO_DISCARD) : NULL;

        if (!portions[i].prediluted)
            continue;
        if (row)
            row->note = "what is left of the pre-dilution, today";
        return row != NULL;
    }
    return true;
}

bool aq_feed_discard_row(aq_sheet *sheet, const aq_feed *feed)
{
    return aq_portions_discard_row(sheet, feed->portions, feed->dosing.count);
}

static bool top_row(aq_sheet *sheet, const aq_feed *feed)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_TOP);

    if (!row)
        return false;
    row->exact = aq_amount_volume(feed->problem.volume, false);
    row->amount = aq_amount_volume(feed->problem.volume, true);
    return true;
}

static bool last_rows(aq_sheet *sheet, const aq_feed *feed)
{
    const aq_range *ph = &feed->asked->aim.ph;
    aq_row *wait = aq_sheet_row(sheet, AQ_DO_WAIT), *row;

    if (!wait)
        return false;
    wait->time = aq_amount_of(circulate * 24 * 60, "min");
    wait->note = "circulate";
    if (isfinite(feed->poured->ec) && !read_row(sheet, feed, feed->poured->ec, NULL))
        return false;
    if (!ph->low.given)
        return true;
    row = aq_sheet_row(sheet, AQ_DO_READ);
    if (!row)
        return false;
    row->ph_low = ph->low.value;
    row->ph_high = ph->high.value;
    return true;
}

aq_status aq_feed_rows(aq_sheet *sheet, const aq_feed *feed, aq_error *err)
{
    aq_status status;

    if (!water_rows(sheet, feed))
        return AQ_NO_MEMORY;
    if (isfinite(feed->poured->base_ec) &&
        !read_row(sheet, feed, feed->poured->base_ec, "the checkpoint of volume and water"))
        return AQ_NO_MEMORY;
    status = aq_feed_pour_rows(sheet, feed, err);
    if (status != AQ_OK)
        return status;
    if (feed->problem.heel < feed->problem.volume && !top_row(sheet, feed))
        return AQ_NO_MEMORY;
    return last_rows(sheet, feed) && aq_feed_discard_row(sheet, feed) ? AQ_OK : AQ_NO_MEMORY;
}
