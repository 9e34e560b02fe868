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

/* What comes out: to the second tank as far as that wants it, the rest to drain or keep. */
static bool add_removal(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_answer *answer)
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
    if (answer->moved_water > 0) {
        row = add_litres(sheet, AQ_DO_WATER, answer->moved_water);
        if (!row)
            return false;
        row->to = other;
    }
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

static bool add_reading(aq_sheet *sheet, double ec)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_READ);

    if (row)
        row->expect = aq_amount_within(ec, "mS/cm", meter_tolerance);
    return row != NULL;
}

bool aq_adjust_expect(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_answer *answer)
{
    sheet->expect_ec = aq_amount_within(answer->end.ec, "mS/cm", meter_tolerance);
    return aq_say_meter(sheet, asked, answer->end.ec);
}

/* Water, then a reading; nothing is dosed. */
static bool add_water_only(aq_sheet *sheet, const aq_adjust_answer *answer)
{
    return (answer->water <= 1e-9 || add_litres(sheet, AQ_DO_WATER, answer->water)) &&
           add_reading(sheet, answer->end.ec);
}

static bool has_water(const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].what == AQ_DO_WATER)
            return true;
    return false;
}

/* The rows of the dosing sheet, after those that remove. */
static bool append_dosing(aq_sheet *sheet, const aq_sheet *dosing, const aq_adjust_answer *answer)
{
    double water = answer->water - answer->doses;

    if (water > 1e-6 && !has_water(dosing) && !add_litres(sheet, AQ_DO_WATER, water))
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
    (void)err;
    return add_removal(sheet, asked, answer) &&
                   (dosing ? append_dosing(sheet, dosing, answer) : add_water_only(sheet, answer))
               ? AQ_OK
               : AQ_NO_MEMORY;
}
