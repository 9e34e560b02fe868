/* The numbers of one tank: the problem, its exact answer, and the answer again with the amounts that tools can show.
 *
 * The second answer is what the sheet promises: 36.7 mL where 36.667 were wanted reads what 36.7 mL give. */
#include "job/feed.h"
#include "job/remember.h"
#include "job/rows.h"

#include <math.h>

static const double room_temperature = 20; /* degC, of a pre-dilution used the same day */
static const double litres_from = 10;      /* a dose this large is said in L */

/* False: out of memory. */
static bool find_base(aq_feed *feed)
{
    double fresh = 1 - feed->problem.heel / feed->problem.volume;
    aq_composition *base;

    if (!feed->source.holds && !feed->heel_holds)
        return true;
    base = aq_arena_take(feed->arena, sizeof *base);
    if (base && feed->source.holds)
        aq_composition_add(base, feed->source.holds, fresh);
    if (base && feed->heel_holds)
        aq_composition_add(base, feed->heel_holds, 1 - fresh);
    feed->problem.base = base;
    return base != NULL;
}

aq_status aq_feed_begin(aq_feed *feed, aq_arena *arena, const aq_asked *asked, const aq_feed_tank *tank,
                        aq_error *err)
{
    aq_status status;

    *feed = (aq_feed){
        .arena = arena, .asked = asked, .budget = aq_budget_first(), .tanks = fmax(tank->tanks, 1)
    };
    status = aq_source_of(&feed->source, arena, asked, err);
    if (status == AQ_OK)
        status = aq_dosing_of(&feed->dosing, arena, asked, tank->use, tank->volume, err);
    if (status != AQ_OK)
        return status;
    feed->problem = (aq_mix_problem){ .volume = tank->volume,
                                      .heel = tank->heel,
                                      .heel_ec = tank->heel > 0 ? tank->heel_ec : 0,
                                      .water_ec = tank->heel < tank->volume ? feed->source.ec : 0,
                                      .columns = feed->dosing.columns,
                                      .count = feed->dosing.column_count,
                                      .ec = NAN,
                                      .over_label = asked->over_label != NULL };
    feed->heel_holds = tank->heel > 0 ? tank->heel_holds : NULL;
    return find_base(feed) ? AQ_OK : AQ_NO_MEMORY;
}

double aq_feed_amount(const aq_feed *feed, size_t which, double x)
{
    return x * feed->dosing.at[which].amount * feed->problem.volume;
}

aq_amount aq_dose_amount(const aq_dose *dose, double amount, bool rounded)
{
    if (dose->weighs)
        return aq_amount_mass(amount, rounded);
    if (amount < litres_from)
        return aq_amount_of(rounded ? aq_decimal_round(amount * 1000, 3) : amount * 1000, "mL");
    return aq_amount_volume(amount, rounded);
}

bool aq_feed_carries_ec(const aq_feed *feed)
{
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_composition *holds = feed->dosing.at[i].part->composition;

        if (isfinite(feed->dosing.columns[feed->dosing.at[i].column].slope) ||
            (holds && aq_composition_cations(holds) + aq_composition_anions(holds) > 0))
            return true;
    }
    return false;
}

static aq_status check_ec(const aq_feed *feed, aq_error *err)
{
    if (isnan(feed->problem.ec))
        return AQ_OK;
    if (isnan(feed->problem.water_ec))
        return aq_ask_for(err, "water-ec", "to aim at an EC, that of the water is needed, like 0.35 mS/cm");
    if (isnan(feed->problem.heel_ec))
        return aq_ask_for(err, "heel-ec", "the EC of the old solution is needed, measured before refilling");
    if (!aq_feed_carries_ec(feed))
        return aq_ask_for(err, "ec",
                          "none of the parts says what EC it adds; give one, like "
                          "{name: Feed, ec: 0.42 mS/cm per mL/L} from the label or a jar test");
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        const aq_mix_column *column = &feed->dosing.columns[dose->column];

        if (isfinite(column->to) && isnan(column->slope) && !dose->part->composition)
            return aq_fail(err, AQ_MISSING, dose->part->place,
                           "%s is dosed to an EC of its own: say what it adds, like ec: 0.45 mS/cm per mL/L",
                           dose->name);
    }
    return AQ_OK;
}

static void take_portion(aq_portion *portion, const aq_feed *feed, size_t which)
{
    const aq_dose *dose = &feed->dosing.at[which];
    const aq_mix_column *column = &feed->dosing.columns[dose->column];
    double slope = feed->exact->slope[dose->column] / dose->amount;
    double top = feed->problem.over_label ? INFINITY : (dose->top - dose->already) * feed->problem.volume;

    *portion = (aq_portion){ .exact = aq_feed_amount(feed, which, feed->exact->x[dose->column]),
                             .top = fmax(top, 0),
                             .weighs = dose->weighs,
                             .effect = slope / feed->problem.volume,
                             .group = column->member_count > 1 ? (int)dose->column : -1 };
    portion->exact = fmax(portion->exact, 0);
    portion->dissolves = aq_dose_concentrate(dose, portion->exact, &feed->asked->bench, room_temperature);
}

/* With targets, marks are chosen by what they do to each of them. */
static aq_status add_effects(aq_feed *feed)
{
    const aq_mix_problem *problem = &feed->problem;

    for (size_t i = 0; problem->target_count && i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        double *effects = aq_arena_take_array(feed->arena, problem->target_count, sizeof *effects);

        if (!effects)
            return AQ_NO_MEMORY;
        for (size_t j = 0; j < problem->target_count && isfinite(dose->per_unit); j++) {
            const aq_mix_target *target = &problem->targets[j];
            double weight = 1 / (target->tolerance * (target->wanted > 0 ? target->wanted : 0.001));

            effects[j] = weight * dose->per_unit / problem->volume *
                         aq_composition_nutrient(dose->part->composition, target->nutrient);
        }
        feed->portions[i].effects = effects;
        feed->portions[i].aims = problem->target_count;
    }
    return AQ_OK;
}

/* A bench without a tool of that sort is a grower who forgot one, not a reason to guess. */
static aq_status check_tools(const aq_feed *feed, aq_error *err)
{
    for (size_t i = 0; feed->asked->bench.count && i < feed->dosing.count; i++) {
        const aq_portion *portion = &feed->portions[i];
        const char *name = feed->dosing.at[i].name;

        if (portion->tool || !(portion->exact > 0))
            continue;
        if (portion->weighs)
            return aq_ask_for(err, "bench", "%s is weighed, and no scale is on the bench", name);
        return aq_ask_for(
            err, "bench",
            "%s is poured, and nothing on the bench measures volumes; add a syringe, or say the "
            "part's density so that it can be weighed",
            name);
    }
    return AQ_OK;
}

static aq_status round_doses(aq_feed *feed, aq_error *err)
{
    aq_status status;

    feed->portions = aq_arena_take_array(feed->arena, feed->dosing.count + 1, sizeof *feed->portions);
    if (!feed->portions)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < feed->dosing.count; i++)
        take_portion(&feed->portions[i], feed, i);
    status = add_effects(feed);
    if (status == AQ_OK)
        status = aq_portions_round(feed->portions, feed->dosing.count, &feed->asked->bench, err);
    return status == AQ_OK ? check_tools(feed, err) : status;
}

/* The share of a group is the mean of what its members were rounded to. */
static double *rounded_shares(const aq_feed *feed)
{
    double *x = aq_arena_take_array(feed->arena, feed->dosing.column_count + 1, sizeof *x);

    for (size_t i = 0; x && i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        double share = feed->portions[i].reaches / feed->problem.volume / dose->amount;

        x[dose->column] += share / (double)feed->dosing.columns[dose->column].member_count;
    }
    return x;
}

/* Nutrients by the amounts themselves: the members of a group may have been rounded apart. */
static void add_up(aq_feed *feed)
{
    feed->all_known = true;
    if (feed->problem.base)
        feed->got = *feed->problem.base;
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        double rate = feed->portions[i].reaches / feed->problem.volume;

        if (isfinite(dose->per_unit))
            aq_composition_add(&feed->got, dose->part->composition, rate * dose->per_unit);
        else if (rate > 0)
            feed->all_known = false;
    }
}

aq_status aq_feed_solve(aq_feed *feed, aq_error *err)
{
    aq_mix_problem again = feed->problem;
    aq_status status = check_ec(feed, err);

    if (status == AQ_OK)
        status = aq_mix_solve(&feed->exact, &feed->problem, feed->arena, err);
    if (status == AQ_OK)
        status = round_doses(feed, err);
    if (status != AQ_OK)
        return status;
    again.fixed = rounded_shares(feed);
    if (!again.fixed)
        return AQ_NO_MEMORY;
    add_up(feed);
    status = aq_mix_solve(&feed->poured, &again, feed->arena, err);
    if (status == AQ_OK)
        feed->budget = aq_remember_budget(feed);
    if (status == AQ_OK && aq_feed_water(feed) < 0)
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ 0 },
                       "volume: the doses alone are more than the tank can take");
    return status;
}

/* The top times a volume over that volume can miss the top by the last digit, which is not over the label. */
double aq_feed_label_used(const aq_feed *feed, size_t which)
{
    const aq_dose *dose = &feed->dosing.at[which];
    double used;

    if (!isfinite(dose->top) || !(dose->top > 0))
        return NAN;
    used = (feed->portions[which].reaches / feed->problem.volume + dose->already) / dose->top;
    return fabs(used - 1) <= 1e-12 ? 1 : used;
}

double aq_feed_water(const aq_feed *feed)
{
    double water = feed->problem.volume - feed->problem.heel;

    for (size_t i = 0; water > 0 && i < feed->dosing.count; i++)
        if (!feed->portions[i].weighs || feed->portions[i].prediluted)
            water -= feed->portions[i].amount;
    return water;
}

double aq_feed_added(const aq_feed *feed)
{
    return feed->poured->ec - feed->poured->base_ec;
}

aq_amount aq_feed_reading(const aq_feed *feed, double ec)
{
    double added = fmax(ec - feed->poured->base_ec, 0);

    return aq_amount_within(ec, "mS/cm", aq_tolerance(&feed->budget, added));
}
