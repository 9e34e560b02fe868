/* Litres to gallons for those who think in them. A gallon is big, an ounce is not: each system has three units, and the
 * largest that the amount fills is taken; what is less than the smallest stays in millilitres. */
#include "job/show.h"

#include <math.h>
#include <string.h>

#include "base/decimal.h"
#include "sheet/measured.h"

typedef struct {
    const char *units[3]; /* largest first */
    double least[3];      /* L from which each is used */
} measures;

static const measures customary[] = {
    { { "gal-us", "fl-oz-us", "tsp-us" },
      { 1.9, 0.0295, 0.0012 } }, /* half a gallon, an ounce, a quarter teaspoon */
    { { "gal-imp", "fl-oz-imp", "tsp-metric" }, { 2.2, 0.0284, 0.0012 } },
};

/* The system whose gallon that unit is; NULL: the metric one. */
static const measures *system_of(const char *unit)
{
    for (size_t i = 0; unit && i < sizeof customary / sizeof *customary; i++)
        for (size_t j = 0; j < 3; j++)
            if (strcmp(unit, customary[i].units[j]) == 0)
                return &customary[i];
    return NULL;
}

static const aq_quantity *asked_volume(const aq_asked *asked)
{
    const aq_quantity *volumes[] = { &asked->volume,   &asked->holds,     &asked->bottle.low,
                                     &asked->make.low, &asked->make.high, &asked->before.volume,
                                     &asked->medium };

    for (size_t i = 0; i < sizeof volumes / sizeof *volumes; i++)
        if (volumes[i]->given)
            return volumes[i];
    return NULL;
}

/* What is turned: everything into the first of `show`; or, where that is not given, only what is as large as a tank into
 * the gallon that a volume was asked in, for a dose was asked in millilitres or ounces of its own. */
typedef struct {
    const measures *into; /* NULL: nothing */
    bool tanks_only;
    bool tools; /* the bench has some, and what they measure stays in millilitres */
} turning;

static turning wanted(const aq_asked *asked)
{
    const aq_quantity *volume = asked_volume(asked);

    if (asked->show.count)
        return (turning){ system_of(asked->show.at[0]), false, asked->bench.count > 0 };
    return (turning){ volume && volume->unit ? system_of(volume->unit->name) : NULL, true,
                      asked->bench.count > 0 };
}

static double litres_in(const char *unit)
{
    const aq_unit *found;
    aq_said said = { 0 };

    return unit && aq_unit_find(&found, unit, strlen(unit), &said, NULL) == AQ_OK ? found->factor : NAN;
}

/* Four figures, but never more than it is: an amount at a label's top would pass it. */
static double round_down(double value)
{
    enum { FIGURES = 4 };
    double rounded = aq_decimal_round(value, FIGURES);

    if (!(rounded > value) || value <= 0)
        return rounded;
    return aq_decimal_round(rounded - pow(10, floor(log10(value)) - FIGURES + 1), FIGURES);
}

static double as_it_is(double value)
{
    return value;
}

static double three_figures(double value)
{
    return aq_decimal_round(value, 3);
}

static void turn(aq_amount *amount, turning t, double (*rounded)(double))
{
    bool litres = amount->given && strcmp(amount->unit, "L") == 0;
    double base = litres ? amount->value : amount->value / 1000;

    if (!litres && !(amount->given && strcmp(amount->unit, "mL") == 0))
        return;
    for (size_t i = 0; i < (t.tanks_only ? 1 : 3); i++) {
        double unit = litres_in(t.into->units[i]);

        if (base < t.into->least[i])
            continue;
        amount->value = rounded(base / unit);
        amount->within *= (litres ? 1 : 0.001) / unit;
        amount->unit = t.into->units[i];
        return;
    }
}

static void turn_pours(aq_asides *asides, turning t)
{
    for (size_t i = 0; i < asides->count; i++)
        for (size_t j = 0; j < asides->at[i].pours.count; j++) {
            aq_pour *pour = &asides->at[i].pours.at[j];

            if (!t.tools || pour->what != AQ_DO_POUR)
                turn(&pour->amount, t, three_figures);
        }
}

/* Water that is poured first leaves the doses their room: less than its exact litres, which fill the tank. */
static bool leaves_room(const aq_row *row)
{
    return aq_amount_base(row->amount) < three_figures(aq_amount_base(row->exact)) * (1 - 1e-9);
}

static void turn_row(aq_row *row, turning t)
{
    bool pours = row->what == AQ_DO_POUR;

    if (row->what == AQ_DO_PREDILUTE) /* a few millilitres in a cup, drawn from with a tool */
        return;
    turn(&row->make, t, as_it_is);
    if (row->with || row->concentrate.given)
        return;
    if (!pours && row->what != AQ_DO_WEIGH && row->exact.given && !leaves_room(row))
        row->amount = row->exact; /* rounded once, in the unit that is shown */
    turn(&row->amount, t, pours ? round_down : three_figures);
    turn(&row->exact, t, as_it_is);
    turn(&row->each, t, round_down);
}

static void turn_figures(aq_figures *figures, turning t)
{
    for (size_t i = 0; i < figures->count; i++)
        turn(&figures->at[i].amount, t, as_it_is);
}

static void turn_sheet(aq_sheet *sheet, turning t)
{
    turn(&sheet->volume, t, as_it_is);
    turn(&sheet->heel, t, as_it_is);
    for (size_t i = 0; i < sheet->rows.count; i++)
        turn_row(&sheet->rows.at[i], t);
    turn_figures(&sheet->figures, t);
    for (size_t i = 0; i < sheet->totals.count; i++)
        turn_figures(&sheet->totals.at[i].figures, t);
    turn_pours(&sheet->beside, t);
    turn_pours(&sheet->if_reads, t);
    for (size_t i = 0; i < sheet->jobs.count; i++)
        turn_sheet(sheet->jobs.at[i], t);
}

aq_status aq_show_units(aq_sheet *sheet, const aq_asked *asked)
{
    turning t = wanted(asked);
    const char **place;

    if (!t.into)
        return AQ_OK;
    turn_sheet(sheet, t);
    if (sheet->show.count)
        return AQ_OK;
    for (size_t i = 0; i < 2; i++) { /* asked in gallons: litres stand beside them */
        place = aq_list_add(sheet->arena, &sheet->show, sizeof *place);
        if (!place)
            return AQ_NO_MEMORY;
        *place = i ? "L" : t.into->units[0];
    }
    return AQ_OK;
}

/* As the rows of a printed sheet say it. */
static const char *spoken(const char *unit)
{
    static const char *const words[][2] = {
        { "gal-us", "US gal" },       { "gal-imp", "imp gal" }, { "fl-oz-us", "US fl oz" },
        { "fl-oz-imp", "imp fl oz" }, { "tsp-us", "US tsp" },   { "tsp-metric", "metric tsp" },
    };

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(unit, words[i][0]) == 0)
            return words[i][1];
    return unit;
}

const char *aq_show_volume(aq_arena *arena, const aq_asked *asked, double litres)
{
    turning t = wanted(asked);
    aq_amount amount = aq_amount_volume(litres, false);

    if (t.into)
        turn(&amount, t, as_it_is);
    return aq_say(arena, amount.value, spoken(amount.unit));
}
