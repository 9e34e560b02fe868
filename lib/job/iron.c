/* Iron and the pH it is kept at: a chelate holds its iron only in a range (chemistry/chelate.h), and what it lets go of is
 * rust on the bottom of the tank. Example: EDTA in a feed whose window reaches pH 7.0 is 0.5 too far up; DTPA holds it.
 *
 * The pH is that of the window asked for; where none is, that of the one source water, unless acid goes into it. */
#include "job/iron.h"

#include "chemistry/chelate.h"

#include <math.h>

typedef struct {
    double low, high; /* NaN: not known */
    const char *of;   /* "the window" */
} ph_of;

static ph_of find_ph(const aq_feed *feed)
{
    const aq_range *window = &feed->asked->aim.ph;
    const aq_source *source = &feed->source;

    if (window->low.given)
        return (ph_of){ window->low.value, window->high.given ? window->high.value : window->low.value,
                        "its window" };
    if (source->count == 1 && source->at[0].ph.given && !feed->acid_holds)
        return (ph_of){ source->at[0].ph.value, source->at[0].ph.value,
                        "the water, where nothing lowers it," };
    return (ph_of){ NAN, NAN, NULL };
}

static const char *say_ph(aq_arena *arena, double ph)
{
    return aq_say(arena, ph, "");
}

/* "use DTPA, which holds it from 1.5 to 7.5" */
static const char *say_other(aq_arena *arena, double low, double high)
{
    const aq_chelate *other = aq_chelate_for(low, high);

    return !other ? "change the pH"
                  : aq_arena_format(arena, "use %s, which holds it from pH %s to %s, or change the pH",
                                    other->name, say_ph(arena, other->lowest), say_ph(arena, other->highest));
}

static const aq_chelate *chelate_of(const aq_dose *dose)
{
    const aq_chelate *found;

    if (!dose->part->composition || !(dose->part->composition->mass[AQ_FE] > 0))
        return NULL;
    found = aq_chelate_in(dose->part->of);
    return found ? found : aq_chelate_in(dose->name);
}

static bool say_chelate(aq_sheet *sheet, const aq_dose *dose, const ph_of *ph)
{
    const aq_chelate *chelate = chelate_of(dose);
    aq_arena *arena = sheet->arena;
    bool high = chelate && ph->high > chelate->highest;

    if (!chelate || (!high && !(ph->low < chelate->lowest)))
        return true;
    return aq_sheet_caution(sheet, "%s lets go of the iron of %s %s pH %s, and %s reaches pH %s: %s",
                            chelate->name, dose->name, high ? "above" : "below",
                            say_ph(arena, high ? chelate->highest : chelate->lowest), ph->of,
                            say_ph(arena, high ? ph->high : ph->low), say_other(arena, ph->low, ph->high));
}

bool aq_iron_of_feed(aq_sheet *sheet, const aq_feed *feed)
{
    ph_of ph = find_ph(feed);

    for (size_t i = 0; isfinite(ph.high) && i < feed->dosing.count; i++)
        if (feed->exact->x[feed->dosing.at[i].column] > 0 && !say_chelate(sheet, &feed->dosing.at[i], &ph))
            return false;
    return true;
}

bool aq_iron_of_water(aq_sheet *sheet, double ph)
{
    const aq_chelate *weakest = aq_chelate_in("EDTA"), *holds = aq_chelate_for(ph, ph);

    if (!(ph > weakest->highest) || !holds)
        return true;
    return aq_sheet_next(sheet, "iron at pH %s: %s holds it, to pH %s; %s lets go above %s",
                         aq_say(sheet->arena, ph, ""), holds->name, say_ph(sheet->arena, holds->highest),
                         weakest->name, say_ph(sheet->arena, weakest->highest));
}
