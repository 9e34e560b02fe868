/* How wide the injector may be set before something falls out on the coldest night: each part alone, and each salt that
 * the ions of one tank could make together. */
#include "job/stock.h"

#include <math.h>

static const double warm_shed = 20; /* degC */

static double largest_share(const aq_placing *p)
{
    double most = 0;

    for (int tank = 0; tank < AQ_TANKS_MOST; tank++)
        most = fmax(most, p->share[tank]);
    return most;
}

static const char *say_coldest(const aq_stocking *s)
{
    return aq_say(s->arena, s->asked->coldest.value, "degC");
}

/* The lowest temperature that the part has a solubility for; below it the same is taken. -INFINITY: none is said. */
static double table_begins(const aq_part *part)
{
    double least = INFINITY;

    for (size_t i = 0; i < part->solubility.count; i++)
        least = fmin(least, part->solubility.at[i].temperature);
    return part->solubility.count ? least : -INFINITY;
}

/* The strength of the one part there is; what it dissolves to, and what is allowed of that. */
static bool add_part(aq_sheet *sheet, const aq_stocking *s, const aq_placing *p, double *widest)
{
    double largest = p->rate * largest_share(p) * s->parts, allowed = p->dissolves * AQ_STOCK_MARGIN;
    bool alone = s->count == 1;

    if (alone && !aq_sheet_figure(sheet, "strength", largest * (p->dose->weighs ? 1 : 1000),
                                  p->dose->weighs ? "g/L" : "mL/L"))
        return false;
    if (!(p->rate > 0))
        return true;
    if (isnan(p->dissolves))
        return !p->dose->weighs ||
               aq_sheet_assume(sheet,
                               "how much of %s dissolves at %s is not known: say its solubility, or stand "
                               "a jar of it out for a night",
                               p->dose->name, say_coldest(s));
    if (s->asked->coldest.value < table_begins(p->dose->part) - 1e-9 &&
        !aq_sheet_caution(sheet, "the solubility of %s is said from %s upwards, and less dissolves at %s",
                          p->dose->name, aq_say(s->arena, table_begins(p->dose->part), "degC"),
                          say_coldest(s)))
        return false;
    if (p->tabled && !aq_sheet_assume(sheet, "solubility of %s: %s at %s, alone in water, by handbooks",
                                      p->dose->name, aq_say(s->arena, p->dissolves, "g/L"), say_coldest(s)))
        return false;
    *widest = fmin(*widest, allowed / (p->rate * largest_share(p)));
    if (alone && (!aq_sheet_figure(sheet, "solubility", p->dissolves, "g/L") ||
                  !aq_sheet_figure(sheet, "allowed", allowed, "g/L")))
        return false;
    if (largest <= allowed * (1 + 1e-9))
        return true;
    sheet->outcome = AQ_NEAREST;
    return aq_sheet_short(sheet, p->dose->name, aq_amount_of(largest - allowed, "g/L"),
                          "%s of %s may crystallise at %s: %s dissolve, and 80 %% of that is allowed",
                          aq_say(s->arena, largest, "g/L"), p->dose->name, say_coldest(s),
                          aq_say(s->arena, p->dissolves, "g/L")) != NULL;
}

/* A part in that tank whose own ions are too many for the salt, and which is complained of by itself. */
static bool said_of_a_part(const aq_stocking *s, const aq_solid *solid, int tank)
{
    for (size_t i = 0; i < s->count; i++) {
        double ions[AQ_ION_COUNT] = { 0 };

        if (isnan(s->at[i].dissolves))
            continue;
        aq_stock_bring(ions, &s->at[i], aq_stock_strength(s, &s->at[i], tank));
        if (aq_solid_room(solid, ions) * AQ_STOCK_MARGIN < 1 - 1e-9)
            return true;
    }
    return false;
}

static bool add_tank(aq_sheet *sheet, const aq_stocking *s, int tank, double *widest)
{
    double ions[AQ_ION_COUNT];

    aq_stock_ions(ions, s, tank);
    for (size_t i = 0; i < s->solid_count; i++) {
        double room = aq_solid_room(&s->solids[i], ions) * AQ_STOCK_MARGIN;

        *widest = fmin(*widest, room * s->parts);
        if (room >= 1 - 1e-9 || said_of_a_part(s, &s->solids[i], tank))
            continue;
        sheet->outcome = AQ_NEAREST;
        if (!aq_sheet_short(
                sheet, s->solids[i].name, (aq_amount){ 0 },
                "it may crystallise in tank %s at %s by the ions that its salts share: %s of this strength "
                "is allowed",
                aq_stock_tank_name(tank), say_coldest(s), aq_say(s->arena, room * 100, "%")))
            return false;
    }
    return true;
}

/* A shed can be warmed; a tank takes no more than it holds. */
static bool add_widest(aq_sheet *sheet, const aq_stocking *s, double dissolves, double room)
{
    double widest = floor(fmin(dissolves, room) + 1e-9);

    if (!isfinite(widest))
        return true;
    return aq_sheet_figure(sheet, "widest", widest, "1") &&
           (widest >= s->parts * (1 - 1e-9) ||
            aq_sheet_next(sheet, "set the injector to 1 in %s or stronger%s", aq_say(s->arena, widest, ""),
                          room < dissolves ? "" : ", or warm the shed"));
}

/* More liquid than the tank holds: no stock of that strength can be poured. */
static bool add_room(aq_sheet *sheet, const aq_stocking *s, int tank, double *widest)
{
    double liquids = aq_stock_liquids(s, tank);

    if (liquids <= 1 + 1e-9)
        return true;
    *widest = fmin(*widest, s->parts / liquids);
    sheet->outcome = AQ_NEAREST;
    return aq_sheet_short(sheet, "volume", aq_amount_of((liquids - 1) * 1000, "mL/L"),
                          "a litre of tank %s would need %s of liquid parts", aq_stock_tank_name(tank),
                          aq_say(s->arena, liquids * 1000, "mL")) != NULL;
}

/* Nobody said how cold it gets: what is too strong for a warm day is said, and that the rest is not known. */
static bool say_unreckoned(aq_sheet *sheet, const aq_stocking *s)
{
    bool salts = false;

    for (size_t i = 0; i < s->count; i++) {
        aq_error none = { .status = AQ_OK };
        aq_placing p = s->at[i];
        double largest = p.rate * largest_share(&p) * s->parts;

        salts = salts || p.dose->weighs;
        if (!p.dose->weighs || aq_stock_solubility(&p, warm_shed, &none) != AQ_OK ||
            !(largest > p.dissolves * AQ_STOCK_MARGIN * (1 + 1e-9)))
            continue;
        if (!aq_sheet_caution(sheet,
                              "%s of %s may not stay dissolved: %s do at %s, and 80 %% of that is allowed",
                              aq_say(s->arena, largest, "g/L"), p.dose->name,
                              aq_say(s->arena, p.dissolves, "g/L"), aq_say(s->arena, warm_shed, "degC")))
            return false;
    }
    return !salts ||
           aq_sheet_assume(sheet, "what a cold night drops is not reckoned: say how cold the shed gets "
                                  "with coldest, like 10 degC");
}

bool aq_stock_add_solubility(aq_sheet *sheet, const aq_stocking *s)
{
    double widest = INFINITY, room = INFINITY;

    for (int tank = 0; !s->clash && tank < s->tanks; tank++)
        if (!add_room(sheet, s, tank, &room))
            return false;
    for (size_t i = 0; i < s->count; i++)
        if (!add_part(sheet, s, &s->at[i], &widest))
            return false;
    for (int tank = 0; !s->clash && s->asked->coldest.given && tank < s->tanks; tank++)
        if (!add_tank(sheet, s, tank, &widest))
            return false;
    if (!s->clash && !s->asked->coldest.given && !say_unreckoned(sheet, s))
        return false;
    if (isfinite(widest) && s->count > 1 &&
        !aq_sheet_assume(
            sheet, "salts in one tank are held to the product of their ions where each is saturated alone"))
        return false;
    return add_widest(sheet, s, widest, room);
}
