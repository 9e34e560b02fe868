/* The rows of stock tanks: water, each part in its grams, up to the mark.
 *
 * Micronutrients are often too little for the scale. Below five of its marks a part is drawn from a concentrate instead:
 * weighed in an amount that the scale can show, made up to a volume, and so much of that is used. It is no stronger than
 * four fifths of what dissolves. Example: 2 g of boric acid with a scale marked every gram are 100 mL of 5 g in 250 mL;
 * 50 g/L would not dissolve. */
#include "job/stock.h"

#include "sheet/measured.h"

#include <math.h>

static const double room_temperature = 20; /* degC of the shed, where its coldest night is not given */

static bool measure_out(aq_portion *portion, const aq_stocking *s, const aq_placing *p, const aq_bench *bench)
{
    double celsius = s->asked->coldest.given ? s->asked->coldest.value : room_temperature;
    double said = isfinite(p->dissolves) && !p->tabled ? p->dissolves * AQ_STOCK_MARGIN : 0;

    portion->dissolves = said > 0 ? said : aq_dose_concentrate(p->dose, portion->exact, bench, celsius);
    return aq_portions_round(portion, 1, bench, NULL) == AQ_OK;
}

/* The row of a concentrate stands before that of what is drawn of it. */
static void say_concentrate(aq_sheet *sheet, const aq_portion *portion, int tank)
{
    aq_row *row = &sheet->rows.at[sheet->rows.count - 2];
    double left = floor(portion->pre_make / portion->amount + 1e-9) - 1;

    row->tank = aq_stock_tank_name(tank);
    row->note = left < 1 ? "a concentrate"
                         : aq_arena_format(sheet->arena, "a concentrate: label it, it is enough for %s more",
                                           aq_say(sheet->arena, left, ""));
}

/* Without a tool for volumes nothing can be drawn: what one would make possible. */
static bool offer_concentrate(aq_sheet *sheet, const aq_stocking *s, const aq_placing *p,
                              const aq_portion *portion)
{
    static const aq_tool cylinder = { .name = "cylinder", .holds = 0.1, .marks = 0.001 };
    aq_portion offer = *portion;
    aq_bench bench = { 0 };
    aq_tool *one = aq_list_add(s->arena, &bench, sizeof *one), *two;

    if (!one)
        return false;
    *one = *portion->tool;
    two = aq_list_add(s->arena, &bench, sizeof *two);
    if (!two)
        return false;
    *two = cylinder;
    if (!measure_out(&offer, s, p, &bench))
        return false;
    return !offer.prediluted || aq_sheet_next(sheet,
                                              "%s of %s is under five marks of the %s; with a 100 mL "
                                              "cylinder on the bench: make %s up to %s, "
                                              "use %s, label the rest",
                                              aq_say(s->arena, portion->exact, "g"), p->dose->name,
                                              portion->tool->name, aq_say(s->arena, offer.pre_amount, "g"),
                                              aq_say(s->arena, offer.pre_make * 1000, "mL"),
                                              aq_say(s->arena, offer.amount * 1000, "mL"));
}

static bool needs_offer(const aq_portion *portion)
{
    return portion->weighs && portion->tool && !portion->prediluted &&
           portion->exact < AQ_MARKS_LEAST * portion->tool->marks * (1 - 1e-9);
}

static bool add_weighing(aq_sheet *sheet, const aq_stocking *s, const aq_placing *p, int tank)
{
    double strength = aq_stock_strength(s, p, tank), litres = s->asked->make.high.value;
    bool made = s->asked->make.high.given;
    aq_portion portion = {
        .exact = strength * litres, .top = INFINITY, .weighs = p->dose->weighs, .effect = 1, .group = -1
    };
    aq_row *row;

    if (made && !measure_out(&portion, s, p, &s->asked->bench))
        return false;
    row = made ? aq_sheet_measure(sheet, p->dose->name, &portion)
               : aq_sheet_row(sheet, p->dose->weighs ? AQ_DO_WEIGH : AQ_DO_POUR);
    if (!row)
        return false;
    if (made && portion.prediluted)
        say_concentrate(sheet, &portion, tank);
    row->part = p->dose->name;
    row->tank = aq_stock_tank_name(tank);
    row->note = p->acid ? "into the water, slowly, before any salt" : NULL;
    row->strength = p->dose->weighs ? aq_amount_of(strength, "g/L") : aq_amount_of(strength * 1000, "mL/L");
    if (!made) { /* nobody says how much is made: the number to weigh is that of a litre */
        row->amount = row->strength;
        row->amount.value = aq_decimal_round(row->amount.value, 3);
    }
    return !made || !needs_offer(&portion) || offer_concentrate(sheet, s, p, &portion);
}

/* Of the tank, before anything is in it: hydroponics texts say 70 to 90 %. Liquid parts leave less room for it. */
static double water_first(const aq_stocking *s, int tank)
{
    return fmax(fmin(0.7, 0.9 * (1 - aq_stock_liquids(s, tank))), 0);
}

/* Most of the water first, warm, for many salts cool it as they dissolve; to the mark last. */
static bool add_tank(aq_sheet *sheet, const aq_stocking *s, int tank)
{
    double litres = s->asked->make.high.value, water = litres * water_first(s, tank);
    bool made = s->asked->make.high.given;
    aq_row *row = made && water > 0 ? aq_sheet_row(sheet, AQ_DO_WATER) : NULL;

    if (made && water > 0 && !row)
        return false;
    if (row) {
        row->tank = aq_stock_tank_name(tank);
        row->exact = aq_amount_volume(water, false);
        row->amount = aq_amount_volume(water, true);
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
