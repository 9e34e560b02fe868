/* Whether the aim was met, and where it was not: by how much, because of what, and what one can do about it. */
#include "job/feed.h"

#include <math.h>

static void decide_outcome(aq_sheet *sheet, const aq_feed *feed)
{
    const aq_mix_answer *exact = feed->exact;

    sheet->outcome = feed->held_back || exact->capped ? AQ_CAPPED : exact->met ? AQ_MET : AQ_NEAREST;
}

/* "Part A is at its label maximum; 0.1 mL/L more would give 0.04 mS/cm" */
static bool short_of_ec(aq_sheet *sheet, const aq_feed *feed)
{
    const aq_mix_answer *exact = feed->exact;
    aq_amount by = aq_amount_of(exact->ec_short, "mS/cm");
    size_t held = feed->dosing.count;

    for (size_t i = 0; i < feed->dosing.count; i++)
        if (exact->bound[feed->dosing.at[i].column] > 0 && held == feed->dosing.count)
            held = i;
    if (exact->ec_short < 0)
        return aq_sheet_short(sheet, "ec", by, "the %s %s",
                              feed->problem.heel > 0 ? "old solution and the water alone read"
                                                     : "water alone reads",
                              aq_say_ec(feed->arena, exact->base_ec)) != NULL;
    if (held == feed->dosing.count)
        return aq_sheet_short(sheet, "ec", by, "the parts cannot give more") != NULL;
    const aq_dose *dose = &feed->dosing.at[held];
    double step = dose->weighs ? 0.1 : 0.0001;
    double gives = exact->price[dose->column] * step / dose->amount;

    return aq_sheet_short(
               sheet, "ec", by, "%s at %s label maximum; 0.1 %s more would give %s",
               aq_arena_format(feed->arena, "%s %s", feed->dosing.names[dose->column],
                               feed->problem.columns[dose->column].member_count > 1 ? "are" : "is"),
               feed->problem.columns[dose->column].member_count > 1 ? "their" : "its",
               dose->weighs ? "g/L" : "mL/L", aq_say(feed->arena, gives, "mS/cm")) != NULL;
}

/* A part with an EC of its own to reach: its label's top may end below that, or the water stand above it already. */
static bool short_of_own_ec(aq_sheet *sheet, const aq_feed *feed)
{
    for (size_t i = 0; i < feed->dosing.column_count && !feed->problem.fixed; i++) {
        double to = feed->problem.columns[i].to, miss = to - feed->exact->ec_after[i];
        const char *name = feed->dosing.names[i];

        if (isnan(miss) || fabs(miss) <= 1e-6)
            continue;
        if (miss < 0) {
            if (!aq_sheet_assume(sheet, "%s is left out: without it the tank reads no less than %s", name,
                                 aq_say_ec(feed->arena, to)))
                return false;
            continue;
        }
        if (sheet->outcome == AQ_MET)
            sheet->outcome = AQ_CAPPED;
        if (!aq_sheet_short(sheet, aq_arena_format(feed->arena, "EC after %s", name),
                            aq_amount_of(miss, "mS/cm"), "%s is wanted there, and its label maximum gives %s",
                            aq_say_ec(feed->arena, to), aq_say_ec(feed->arena, feed->exact->ec_after[i])))
            return false;
    }
    return true;
}

static bool short_of_targets(aq_sheet *sheet, const aq_feed *feed)
{
    const aq_mix_problem *p = &feed->problem;

    for (size_t i = 0; i < p->target_count; i++) {
        const aq_mix_target *target = &p->targets[i];
        double got = aq_composition_nutrient(&feed->exact->got, target->nutrient);
        double miss = target->wanted - got;

        if (fabs(miss) <= target->tolerance * target->wanted * (1 + 1e-9))
            continue;
        if (!aq_sheet_short(
                sheet, feed->asked->aim.targets.at[i].name, aq_amount_of(miss * 1000, "mg/L"), "%s",
                got > 0 ? aq_arena_format(feed->arena, "%s is wanted, and these parts come nearest at %s",
                                          aq_say(feed->arena, target->wanted * 1000, "mg/L"),
                                          aq_say(feed->arena, got * 1000, "mg/L"))
                        : "none of these parts brings any"))
            return false;
    }
    return true;
}

static bool say_causes(aq_sheet *sheet, const aq_feed *feed)
{
    if (sheet->outcome != AQ_CAPPED || !(feed->exact->ec_short > 0))
        return true;
    return aq_sheet_caution(
               sheet,
               "where does %s come from? Likely from another product's chart, another ppm scale, a slope "
               "that is too low (jar-test 1 L), or a label that counts on harder water",
               aq_say_ec(feed->arena, feed->problem.ec)) &&
           aq_sheet_caution(
               sheet, "to pass the label this once, say why: --over-label WHY; it is printed and logged");
}

/* A tank too strong before any dose: how much of the old solution may stay, or which other water it takes. */
static bool say_too_strong(aq_sheet *sheet, const aq_feed *feed)
{
    const aq_mix_problem *p = &feed->problem;
    double stays = p->volume * (p->ec - p->water_ec) / (p->heel_ec - p->water_ec);

    if (!(feed->exact->ec_short < 0))
        return true;
    if (!(p->heel > 0) || !(p->heel_ec > p->water_ec) || !(stays > 0))
        return aq_sheet_caution(sheet,
                                "the water alone is as strong as wanted or stronger, and no part can lower "
                                "it: blend in softer water first");
    return aq_sheet_caution(
        sheet, "drain until no more than %s of the old solution is left",
        aq_say(feed->arena, aq_amount_volume(stays, true).value, aq_amount_volume(stays, true).unit));
}

bool aq_feed_shorts(aq_sheet *sheet, const aq_feed *feed)
{
    const aq_mix_answer *exact = feed->exact;

    decide_outcome(sheet, feed);
    sheet->gap = feed->problem.fixed ? NAN : aq_decimal_round(exact->gap, 2);
    for (size_t i = 0; i < feed->dosing.column_count; i++) {
        const char **place =
            exact->bound[i] > 0 ? aq_list_add(feed->arena, &sheet->at_bound, sizeof *place) : NULL;

        if (exact->bound[i] > 0 && !place)
            return false;
        if (place)
            *place = feed->dosing.names[i];
    }
    if (fabs(exact->ec_short) > 1e-6 && !short_of_ec(sheet, feed))
        return false;
    if (feed->held_back &&
        !aq_sheet_short(sheet, "rate", (aq_amount){ 0 }, "the label's maximum holds it back"))
        return false;
    return short_of_own_ec(sheet, feed) && short_of_targets(sheet, feed) && say_causes(sheet, feed) &&
           say_too_strong(sheet, feed);
}
