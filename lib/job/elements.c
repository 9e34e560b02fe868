/* Each element of a finished tank: how much was wanted, how much there is, and what it comes from.
 *
 *     got = sum over sources of share x what a litre (or gram) of the source holds
 *
 * Water counts by its share of the tank, the old solution by its own, acid by what its anion leaves, a part by the amount
 * that the tools can show. Example: 100 L of tap with 42 mg/L Ca and 39.7 g of a calcium nitrate of 19 % Ca hold
 * 42 + 75.4 = 117.4 mg/L Ca. Nitrogen is told in all and by its form. A source whose composition is not known is none
 * here, and `assumed` says so. */
#include "job/feed.h"

#include <math.h>

/* In the order of labels; "N" counts all nitrogen. */
static const aq_nutrient shown[] = { AQ_N_UNKNOWN, AQ_N_NITRATE, AQ_N_AMMONIUM, AQ_N_UREA, AQ_P,  AQ_K,
                                     AQ_CA,        AQ_MG,        AQ_S,          AQ_NA,     AQ_CL, AQ_FE,
                                     AQ_MN,        AQ_ZN,        AQ_CU,         AQ_B,      AQ_MO, AQ_SI };

typedef struct {
    const char *label, *name;
    const aq_composition *holds;
    double times; /* of it in a litre of the finished tank */
} giver;

typedef struct {
    aq_arena *arena;
    AQ_LIST(giver) at;
} givers;

static bool give(givers *all, const char *label, const char *name, const aq_composition *holds, double times)
{
    giver *one;

    if (!holds || !(times > 0))
        return true;
    one = aq_list_add(all->arena, &all->at, sizeof *one);
    if (one)
        *one = (giver){ label, name, holds, times };
    return one != NULL;
}

static bool give_water(givers *all, const aq_feed *feed)
{
    double fresh = 1 - feed->problem.heel / feed->problem.volume;

    for (size_t i = 0; feed->source.holds && i < feed->source.count; i++)
        if (!give(all, "water", aq_source_name(&feed->source, i), feed->source.at[i].composition,
                  feed->source.share[i] * fresh))
            return false;
    return give(all, "heel", "old solution", feed->heel_holds, 1 - fresh) &&
           give(all, "acid", feed->acid_name, feed->acid_holds, 1);
}

static bool find_givers(givers *all, const aq_feed *feed, bool rounded)
{
    if (!give_water(all, feed))
        return false;
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        double amount =
            rounded ? feed->portions[i].reaches : aq_feed_amount(feed, i, feed->exact->x[dose->column]);

        if (isfinite(dose->per_unit) && !give(all, "part", dose->name, dose->part->composition,
                                              amount / feed->problem.volume * dose->per_unit))
            return false;
    }
    return true;
}

/* NaN: not aimed at. */
static double wanted_of(const aq_feed *feed, aq_nutrient nutrient)
{
    for (size_t i = 0; i < feed->problem.target_count; i++)
        if (feed->problem.targets[i].nutrient == nutrient)
            return feed->problem.targets[i].wanted;
    return NAN;
}

static bool add_element(aq_sheet *sheet, const aq_feed *feed, const givers *all, aq_nutrient nutrient)
{
    double wanted = wanted_of(feed, nutrient), got = 0;
    aq_record *record;

    for (size_t i = 0; i < all->at.count; i++)
        got += all->at.at[i].times * aq_composition_nutrient(all->at.at[i].holds, nutrient);
    if (!(got > 0) && isnan(wanted))
        return true;
    record = aq_records_add(sheet->arena, &sheet->elements, "element", aq_nutrient_name(nutrient));
    if (!record ||
        (!isnan(wanted) && !aq_figures_add(sheet->arena, &record->figures, "wanted", wanted * 1000, "mg/L")))
        return false;
    if (!aq_figures_add(sheet->arena, &record->figures, "got", got * 1000, "mg/L"))
        return false;
    for (size_t i = 0; i < all->at.count; i++) {
        const giver *one = &all->at.at[i];
        double grams = one->times * aq_composition_nutrient(one->holds, nutrient);

        if (grams > 0 && !aq_origins_add(sheet->arena, &record->from, one->label, one->name,
                                         aq_amount_of(grams * 1000, "mg/L")))
            return false;
    }
    return true;
}

bool aq_feed_elements(aq_sheet *sheet, const aq_feed *feed, bool rounded)
{
    givers all = { .arena = sheet->arena };

    if (!find_givers(&all, feed, rounded))
        return false;
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++)
        if (!add_element(sheet, feed, &all, shown[i]))
            return false;
    return true;
}

bool aq_feed_element_figures(aq_sheet *sheet, const aq_composition *got)
{
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        double grams = aq_composition_nutrient(got, shown[i]);

        if (grams > 0 && !aq_sheet_figure(sheet, aq_nutrient_name(shown[i]), grams * 1000, "mg/L"))
            return false;
    }
    return true;
}
