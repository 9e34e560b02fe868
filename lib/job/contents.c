/* What is in the finished tank, how near the labels' tops it is, what it costs, and what is left on the shelf. */
#include "job/feed.h"
#include "job/rows.h"
#include "sheet/shelf.h"

#include <math.h>
#include <string.h>

static bool say_unknown(aq_sheet *sheet, const aq_feed *feed)
{
    bool any = false;

    for (size_t i = 0; i < AQ_NUTRIENT_COUNT; i++)
        any = any || feed->got.mass[i] > 0;
    if (!any)
        return true;
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];

        if (feed->portions[i].reaches > 0 && isnan(dose->per_unit) &&
            !aq_sheet_assume(sheet, "nutrients are without %s: %s", dose->name,
                             dose->part->composition ? "its analysis is by mass and its density is not given"
                                                     : "its analysis is not given"))
            return false;
    }
    if (feed->problem.heel > 0 && !feed->heel_holds &&
        !aq_sheet_assume(sheet, "nutrients are without those of the old solution"))
        return false;
    return feed->source.holds || feed->problem.heel >= feed->problem.volume ||
           aq_sheet_assume(sheet, "nutrients are without those of the water: its analysis is not given");
}

static double label_used(const aq_feed *feed)
{
    double most = NAN;

    for (size_t i = 0; i < feed->dosing.count; i++)
        most = fmax(most, aq_feed_label_used(feed, i));
    return most;
}

/* The share of full strength: of the labels' tops where every column has one, or of a group written as rates. */
static double strength(const aq_feed *feed)
{
    double s = feed->poured->strength;

    for (size_t i = 0; i < feed->asked->together.count; i++)
        if (feed->asked->together.at[i].rates)
            return feed->dosing.column_count == 1 ? feed->exact->x[0] : NAN;
    for (size_t i = 0; i < feed->dosing.column_count; i++)
        if (!isfinite(feed->dosing.columns[i].top))
            return NAN;
    return feed->dosing.column_count ? s : NAN;
}

/* What rounding leaves of a share, or of an EC, that is none. */
static const double nothing = 1e-12;

static bool add_shares(aq_sheet *sheet, const aq_feed *feed)
{
    const struct {
        const char *name;
        double value;
        const char *unit;
    } figures[] = {
        { "strength", strength(feed), "1" },
        { "label_used", label_used(feed), "1" },
        { "nutrient_share", 1 - feed->source.ec / feed->poured->ec, "1" },
        { "hardness", aq_as_carbonate(feed->source.hardness), "mg/L CaCO3" },
        { "alkalinity", aq_as_carbonate(feed->source.alkalinity), "mg/L CaCO3" },
    };

    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++)
        if (isfinite(figures[i].value) &&
            !aq_sheet_figure(sheet, figures[i].name, fabs(figures[i].value) < nothing ? 0 : figures[i].value,
                             figures[i].unit))
            return false;
    return true;
}

static const aq_supply *supply_of(const aq_feed *feed, const char *part)
{
    for (size_t i = 0; i < feed->asked->supply.count; i++)
        if (strcmp(feed->asked->supply.at[i].part, part) == 0)
            return &feed->asked->supply.at[i];
    return NULL;
}

/* An amount on the shelf in the unit of the dose; NaN where only a density could tell. */
static double in_dose_unit(const aq_dose *dose, const aq_supply *supply, aq_quantity amount)
{
    double density = supply->density.given       ? supply->density.value
                     : dose->part->density.given ? dose->part->density.value
                                                 : NAN;
    bool by_mass = aq_kind_equal(amount.kind, AQ_KIND_MASS);

    if (!amount.given)
        return NAN;
    if (by_mass == dose->weighs)
        return amount.value;
    return by_mass ? amount.value / density : amount.value * density;
}

static double left_of(const aq_dose *dose, const aq_supply *supply)
{
    aq_quantity net = supply->weighs;

    if (supply->left.given)
        return in_dose_unit(dose, supply, supply->left);
    net.value -= supply->empty.given ? supply->empty.value : 0;
    return in_dose_unit(dose, supply, net);
}

static bool add_left(aq_sheet *sheet, const aq_feed *feed, size_t which, double left)
{
    const aq_dose *dose = &feed->dosing.at[which];
    double taken = feed->portions[which].reaches * feed->tanks, after = left - taken;
    aq_amount amount = aq_dose_amount(dose, fmax(after, 0), true);
    aq_record *record =
        isnan(left) ? NULL : aq_records_add(sheet->arena, &sheet->supplies, "part", dose->name);

    if (isnan(left))
        return true;
    if (!record || !aq_figures_add(sheet->arena, &record->figures, "left", amount.value, amount.unit))
        return false;
    if (after >= 0)
        return true;
    amount = aq_dose_amount(dose, -after, true);
    return aq_figures_add(sheet->arena, &record->figures, "short", amount.value, amount.unit) &&
           aq_sheet_caution(sheet, "%s is on the shelf for less than this: %s short", dose->name,
                            aq_say(sheet->arena, amount.value, amount.unit));
}

static bool say_unpriced(aq_sheet *sheet, const aq_feed *feed)
{
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_supply *supply = supply_of(feed, feed->dosing.at[i].name);

        if (feed->portions[i].reaches > 0 && !(supply && supply->price.given && supply->pack.given) &&
            !aq_shelf_unpriced(sheet, feed->dosing.at[i].name))
            return false;
    }
    return true;
}

static bool add_supplies(aq_sheet *sheet, const aq_feed *feed)
{
    const char *currency = feed->asked->currency ? feed->asked->currency : "1";
    double cost = 0;
    bool priced = false;

    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        const aq_supply *supply = supply_of(feed, dose->name);
        double pack = supply && supply->price.given ? in_dose_unit(dose, supply, supply->pack) : NAN;

        if (!supply || !(feed->portions[i].reaches > 0))
            continue;
        if (!add_left(sheet, feed, i, left_of(dose, supply)))
            return false;
        if (isnan(pack))
            continue;
        cost += feed->portions[i].reaches * feed->tanks / pack * supply->price.value;
        priced = true;
    }
    return !priced || (aq_sheet_figure(sheet, "cost", cost, currency) && say_unpriced(sheet, feed));
}

/* A site's shelf holds more than one mix takes; on the line it is a slip. */
static bool say_unused(aq_sheet *sheet, const aq_feed *feed)
{
    const aq_asked *asked = feed->asked;
    bool fine = true;

    for (size_t i = 0; !asked->site && i < asked->supply.count; i++) {
        bool used = false;

        for (size_t j = 0; j < feed->dosing.count; j++)
            used = used || strcmp(feed->dosing.at[j].name, asked->supply.at[i].part) == 0;
        fine = fine &&
               (used || aq_sheet_assume(sheet, "the supply of %s is not drawn on: no part here is called so",
                                        asked->supply.at[i].part));
    }
    return fine;
}

aq_status aq_feed_figures(aq_sheet *sheet, const aq_feed *feed, aq_error *err)
{
    (void)err;
    return add_shares(sheet, feed) && aq_feed_element_figures(sheet, &feed->got) &&
                   say_unknown(sheet, feed) && add_supplies(sheet, feed) && say_unused(sheet, feed)
               ? AQ_OK
               : AQ_NO_MEMORY;
}
