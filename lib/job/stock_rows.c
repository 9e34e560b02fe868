/* The rows of stock tanks: water, each part in its grams, up to the mark. */
#include "job/stock.h"

#include "sheet/measured.h"

#include <math.h>

static bool add_weighing(aq_sheet *sheet, const aq_stocking *s, const aq_placing *p, int tank)
{
    double strength = aq_stock_strength(s, p, tank), litres = s->asked->make.high.value;
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
    row->tank = aq_stock_tank_name(tank);
    row->note = p->acid ? "into the water, slowly, before any salt" : NULL;
    row->strength = p->dose->weighs ? aq_amount_of(strength, "g/L") : aq_amount_of(strength * 1000, "mL/L");
    if (!made) { /* nobody says how much is made: the number to weigh is that of a litre */
        row->amount = row->strength;
        row->amount.value = aq_decimal_round(row->amount.value, 3);
    }
    return true;
}

/* Most of the water first, warm, for many salts cool it as they dissolve; to the mark last. */
static bool add_tank(aq_sheet *sheet, const aq_stocking *s, int tank)
{
    double litres = s->asked->make.high.value;
    bool made = s->asked->make.high.given;
    aq_row *row = made ? aq_sheet_row(sheet, AQ_DO_WATER) : NULL;

    if (made && !row)
        return false;
    if (row) {
        row->tank = aq_stock_tank_name(tank);
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
        row->tank = aq_stock_tank_name(tank);
        row->make = row->amount = aq_amount_volume(litres, false);
    }
    return !made || row;
}

bool aq_stock_add_rows(aq_sheet *sheet, const aq_stocking *s)
{
    for (int tank = 0; tank < s->tanks; tank++)
        if (!add_tank(sheet, s, tank))
            return false;
    return true;
}
