/* What a feed aims at, as the problem wants it: targets, or doses that a rate, a strength or the label decides. */
#include "job/feed.h"
#include "job/rows.h"

#include <math.h>
#include <string.h>

static const double usual_tolerance =
    0.05; /* share of a target, where none is given: what a kitchen scale can keep */

static double target_tolerance(const aq_amounts *tolerance, const char *name)
{
    for (size_t i = 0; i < tolerance->count; i++)
        if (strcmp(tolerance->at[i].name, name) == 0)
            return tolerance->at[i].amount.value;
    return usual_tolerance;
}

/* Where nobody knows what any of the parts holds, a target is no aim yet. */
static aq_status check_known(const aq_dosing *dosing, aq_error *err)
{
    for (size_t i = 0; i < dosing->count; i++)
        if (!isnan(dosing->at[i].per_unit))
            return AQ_OK;
    return dosing->count
               ? aq_fail(err, AQ_MISSING, dosing->at[0].part->place,
                         "%s: what does it hold? A target needs its analysis, like analysis: {basis: w/w, N: "
                         "15 %%}, or its formula, like KNO3",
                         dosing->at[0].name)
               : AQ_OK;
}

aq_status aq_feed_aim_targets(aq_feed *feed, const aq_amounts *wanted, const aq_amounts *tolerance,
                              aq_error *err)
{
    aq_mix_target *targets = aq_arena_take_array(feed->arena, wanted->count, sizeof *targets);
    aq_status status = check_known(&feed->dosing, err);

    if (status != AQ_OK)
        return status;
    if (!targets)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < wanted->count; i++) {
        const aq_named_amount *one = &wanted->at[i];
        aq_nutrient nutrient = aq_nutrient_find(one->name);
        bool molar = aq_kind_equal(one->amount.kind, AQ_KIND_MOLARITY);

        targets[i] =
            (aq_mix_target){ .nutrient = nutrient,
                             .wanted = one->amount.value * (molar ? aq_nutrient_weight(nutrient) : 1),
                             .tolerance = target_tolerance(tolerance, one->name) };
    }
    feed->problem.targets = targets;
    feed->problem.target_count = wanted->count;
    return AQ_OK;
}

static bool begin_fixed(aq_feed *feed)
{
    feed->fixed = aq_arena_take_array(feed->arena, feed->dosing.column_count + 1, sizeof *feed->fixed);
    feed->problem.fixed = feed->fixed;
    return feed->fixed != NULL;
}

void aq_feed_fix(aq_feed *feed, size_t column, double x)
{
    const aq_mix_column *c = &feed->problem.columns[column];
    double room = fmax(c->top - c->already, 0);

    feed->fixed[column] = x;
    if (feed->problem.over_label || x <= room * (1 + 1e-12))
        return;
    feed->fixed[column] = room;
    feed->held_back = true;
}

/* A part that is dosed to an EC of its own goes there whatever the others are given: to - (base and what stands before
 * it) over its slope. */
static aq_status fix_to_its_ec(aq_feed *feed, size_t column, aq_error *err)
{
    const aq_mix_problem *p = &feed->problem;
    const aq_mix_column *c = &p->columns[column];
    double reads =
        (p->heel * (p->heel > 0 ? p->heel_ec : 0) + (p->volume - p->heel) * p->water_ec) / p->volume;

    for (size_t i = 0; i < column; i++)
        if (isfinite(p->columns[i].to))
            reads += p->columns[i].slope * feed->fixed[i];
    if (isnan(reads))
        return aq_ask_for(err, isnan(p->water_ec) ? "water-ec" : "heel-ec",
                          "%s is dosed until the tank reads %s: what does it read before?",
                          feed->dosing.names[column], aq_say_ec(feed->arena, c->to));
    if (!(c->slope > 0))
        return aq_ask_for(err, "ec",
                          "%s is dosed to an EC of its own, so its slope is needed, like 0.45 mS/cm "
                          "per mL/L",
                          feed->dosing.names[column]);
    aq_feed_fix(feed, column, fmax((c->to - reads) / c->slope, 0));
    return AQ_OK;
}

/* Those of the columns that nothing else has fixed. */
static aq_status fix_own(aq_feed *feed, aq_error *err)
{
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < feed->problem.count; i++)
        if (isfinite(feed->problem.columns[i].to) && !(feed->fixed[i] > 0))
            status = fix_to_its_ec(feed, i, err);
    return status;
}

/* The x of full strength: the label's top, or a group's rates as they are written. INFINITY: neither. */
static double full_strength(const aq_feed *feed, const aq_dose *dose)
{
    const aq_togethers *groups = &feed->asked->together;

    for (size_t i = 0; i < groups->count; i++)
        if (groups->at[i].rates && aq_together_has(&groups->at[i], dose->name))
            return 1;
    return feed->problem.columns[dose->column].top;
}

aq_status aq_feed_aim_strength(aq_feed *feed, double strength, aq_error *err)
{
    if (!begin_fixed(feed))
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        double full = full_strength(feed, dose);

        if (isfinite(feed->problem.columns[dose->column].to))
            continue;
        if (isinf(full))
            return aq_fail(err, AQ_MISSING, dose->part->place,
                           "strength: it is a share of the label's top rate, and %s has no rate", dose->name);
        aq_feed_fix(feed, dose->column, strength * full);
    }
    return fix_own(feed, err);
}

static const aq_dose *dose_named(const aq_dosing *dosing, const char *name)
{
    for (size_t i = 0; i < dosing->count; i++)
        if (strcmp(dosing->at[i].name, name) == 0)
            return &dosing->at[i];
    return NULL;
}

/* A rate of one member of a group is a rate of all of it; two that disagree with the ratio are a contradiction. */
aq_status aq_feed_aim_rates(aq_feed *feed, const aq_amounts *rates, aq_error *err)
{
    if (!begin_fixed(feed))
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < rates->count; i++) {
        const aq_named_amount *one = &rates->at[i];
        const aq_dose *dose = dose_named(&feed->dosing, one->name);
        double rate = dose ? aq_dose_rate(dose, one->amount, 1) : 0, x;

        if (!dose)
            return aq_fail(err, AQ_UNKNOWN_NAME, one->place, "rates: %s is none of the parts", one->name);
        if (isnan(rate))
            return aq_fail(err, AQ_MISSING, one->place, "rates: the density of %s is needed for that",
                           dose->name);
        x = rate / dose->amount;
        if (feed->fixed[dose->column] > 0 && fabs(x - feed->fixed[dose->column]) > 1e-9 * x &&
            !feed->held_back)
            return aq_fail(err, AQ_CONFLICT, one->place,
                           "rates: %s is dosed together with others in another ratio", dose->name);
        aq_feed_fix(feed, dose->column, x);
    }
    return fix_own(feed, err);
}

aq_status aq_feed_aim_bottom(aq_feed *feed, aq_error *err)
{
    if (!begin_fixed(feed))
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        bool range = isfinite(feed->problem.columns[dose->column].top);
        double bottom = range ? feed->dosing.low[dose->column] : full_strength(feed, dose);

        if (isfinite(feed->problem.columns[dose->column].to))
            continue;
        if (isinf(bottom))
            return aq_fail(
                err, AQ_MISSING, dose->part->place,
                "%s: how much of it? Neither its label's rate is given nor what is wanted: say a rate, or "
                "ec, strength, rates or targets",
                dose->name);
        aq_feed_fix(feed, dose->column, bottom);
    }
    return fix_own(feed, err);
}

aq_status aq_feed_take_aim(aq_feed *feed, const aq_aim *aim, aq_error *err)
{
    if (aim->ec.given)
        feed->problem.ec = aim->ec.value;
    if (aim->targets.count)
        return aq_feed_aim_targets(feed, &aim->targets, &aim->tolerance, err);
    if (aim->ec.given)
        return AQ_OK;
    if (aim->strength.given)
        return aq_feed_aim_strength(feed, aim->strength.value, err);
    return aim->rates.count ? aq_feed_aim_rates(feed, &aim->rates, err) : aq_feed_aim_bottom(feed, err);
}
