/* The rows of one day of a correction: what comes out, then water, or what a reservoir change pours. */
#include "job/adjust_days.h"
#include "job/feed.h"

#include <math.h>

static const double meter_tolerance = 0.10; /* mS/cm, of a reading after water alone */

static aq_row *add_litres(aq_sheet *sheet, aq_do what, double litres)
{
    aq_row *row = aq_sheet_row(sheet, what);

    if (row) {
        row->exact = aq_amount_volume(litres, false);
        row->amount = aq_amount_volume(litres, true);
    }
    return row;
}

/* Each water by its share, into the tank or `to` another. */
static bool add_water(aq_sheet *sheet, const aq_source *source, double litres, const char *to)
{
    for (size_t i = 0; i == 0 || i < source->count; i++) {
        double share = source->count ? source->share[i] : 1;
        aq_row *row = share > 0 ? add_litres(sheet, AQ_DO_WATER, litres * share) : NULL;

        if (!row && share > 0)
            return false;
        if (!row)
            continue;
        row->water = source->count ? source->at[i].name : NULL;
        row->to = to;
    }
    return true;
}

/* What comes out: to the second tank as far as that wants it, the rest to drain or keep. */
static bool add_removal(aq_sheet *sheet, const aq_asked *asked, const aq_source *source,
                        const aq_adjust_answer *answer)
{
    const char *other = asked->into.name ? asked->into.name : "the other tank";
    double drained = answer->remove - answer->moved;
    aq_row *row;

    if (answer->moved > 0) {
        row = add_litres(sheet, AQ_DO_MOVE, answer->moved);
        if (!row)
            return false;
        row->to = other;
    }
    if (answer->moved_water > 0 && !add_water(sheet, source, answer->moved_water, other))
        return false;
    if (drained > 1e-9) {
        row = add_litres(sheet, AQ_DO_DRAIN, drained);
        if (!row)
            return false;
        row->note = fmin(answer->remove, answer->water) > answer->doses + 1e-6
                        ? "first, before any water; keep it for another tank or for stock plants"
                        : "first, to make room for the doses; keep it for stock plants";
    }
    return true;
}

static bool add_reading(aq_sheet *sheet, const aq_asked *asked, double ec)
{
    const aq_range *ph = &asked->aim.ph;
    aq_row *row = aq_sheet_row(sheet, AQ_DO_READ);

    if (row)
        row->expect = aq_amount_within(ec, "mS/cm", meter_tolerance);
    if (!row || !ph->low.given)
        return row != NULL;
    row = aq_sheet_row(sheet, AQ_DO_READ);
    if (!row)
        return false;
    row->ph_low = ph->low.value;
    row->ph_high = ph->high.value;
    return true;
}

bool aq_adjust_expect(aq_sheet *sheet, const aq_asked *asked, const aq_source *source,
                      const aq_adjust_answer *answer)
{
    const aq_range *ph = &asked->aim.ph;

    if (ph->low.given) {
        sheet->expect_ph_low = ph->low.value;
        sheet->expect_ph_high = ph->high.value;
    }
    sheet->expect_ec = aq_amount_within(answer->end.ec, "mS/cm", meter_tolerance);
    if (answer->water > 0)
        sheet->water = aq_source_say(source, sheet->arena);
    return (!(answer->water > 0) || aq_say_worked_out(sheet, source)) &&
           aq_say_meter(sheet, asked, answer->end.ec);
}

/* Water, then a reading; nothing is dosed. */
static bool add_water_only(aq_sheet *sheet, const aq_asked *asked, const aq_source *source,
                           const aq_adjust_answer *answer)
{
    return (answer->water <= 1e-9 || add_water(sheet, source, answer->water, NULL)) &&
           add_reading(sheet, asked, answer->end.ec);
}

static bool has_water(const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].what == AQ_DO_WATER)
            return true;
    return false;
}

/* The rows of the dosing sheet, after those that remove. */
static bool append_dosing(aq_sheet *sheet, const aq_sheet *dosing, const aq_source *source,
                          const aq_adjust_answer *answer)
{
    double water = answer->water - answer->doses;

    if (water > 1e-6 && !has_water(dosing) && !add_water(sheet, source, water, NULL))
        return false;
    for (size_t i = 0; i < dosing->rows.count; i++) {
        aq_row *row = aq_list_add(sheet->arena, &sheet->rows, sizeof *row);

        if (!row)
            return false;
        *row = dosing->rows.at[i];
    }
    return true;
}

aq_status aq_adjust_rows(aq_sheet *sheet, const aq_asked *asked, const aq_sheet *dosing,
                         const aq_adjust_answer *answer, aq_error *err)
{
    aq_source source;
    aq_status status = aq_source_of(&source, sheet->arena, asked, err);

    if (status != AQ_OK)
        return status;
    return add_removal(sheet, asked, &source, answer) &&
                   (dosing ? append_dosing(sheet, dosing, &source, answer)
                           : add_water_only(sheet, asked, &source, answer))
               ? AQ_OK
               : AQ_NO_MEMORY;
}
