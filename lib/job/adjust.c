/* From what is in the tank to a wanted level and EC with the least waste: remove, add water, dose.
 *
 * The litres come from solve/adjust; what then has to be dosed is a reservoir change with the rest as its old solution.
 * Example: 120 L holding 105 L at 2.9 come to 2.0 with a tap of 0.4 by taking out 28.2 L first and filling with 43.2 L;
 * filling first would cost 32.2 L. */
#include "job/adjust_days.h"
#include "job/adjust_say.h"
#include "job/jobs.h"
#include "job/ladder.h"
#include "job/rows.h"
#include "job/show.h"

#include <math.h>

static const aq_field into_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_into_entry, name),
      .help = "the other tank",
      .example = "Mother bed" },
    { .key = "holds",
      .read = AQ_READ_QUANTITY,
      .needed = true,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_into_entry, holds),
      .help = "to the brim",
      .example = "60 L" },
    { .key = "volume",
      .read = AQ_READ_QUANTITY,
      .needed = true,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_into_entry, volume),
      .help = "what is in it",
      .example = "20 L" },
    { .key = "ec-now",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_into_entry, ec_now),
      .help = "its EC",
      .example = "1.2 mS/cm" },
    { .key = "ec",
      .read = AQ_READ_QUANTITY,
      .needed = true,
      .want = AQ_WANT_EC,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_into_entry, ec),
      .help = "the EC it should have",
      .example = "1.6 mS/cm" },
};
static const aq_shape into_shape = { .noun = "into",
                                     .fields = into_fields,
                                     .count = AQ_ROWS_COUNT(into_fields),
                                     .size = sizeof(aq_into_entry),
                                     .has_place = true,
                                     .place_into = offsetof(aq_into_entry, place) };

static const aq_field adjust_rows[] = {
    AQ_ROW_HOLDS,
    AQ_ROW_LITRES_OR_NONE("volume", volume, "what is in the tank now", "92 L"),
    AQ_ROW_EC_NOW,
    AQ_ROW_EC,
    AQ_ROW_LEVEL,
    AQ_ROW_WATER_EC,
    AQ_ROW_WATER,
    AQ_ROW_RECIPE,
    AQ_ROW_STAGE,
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    AQ_ROW_POURED,
    { .key = "drain",
      .read = AQ_READ_YES_NO,
      .into = AQ_INTO(drain),
      .help = "whether some may be removed, yes where not given",
      .example = "no" },
    { .key = "step",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = AQ_INTO(step),
      .help = "largest change of EC at one time: more is split over days",
      .example = "0.5 mS/cm" },
    AQ_ROW_READING("uptake", uptake, "salts taken with a litre drunk, for how long plain top-ups take",
                   "1.5 mS/cm"),
    { .key = "uses",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_FLOW,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = AQ_INTO(uses),
      .help = "what the plants drink in a day",
      .example = "6 L/d" },
    { .key = "into",
      .read = AQ_READ_ENTRY,
      .shape = &into_shape,
      .into = AQ_INTO(into),
      .help = "a tank that can take what is drained",
      .example = "{name: Mother bed, holds: 60 L, volume: 20 L, ec-now: "
                 "1.2 mS/cm, ec: 1.6 mS/cm}" },
    AQ_ROWS_OF_EVERY_JOB,
};

static aq_status complete_other(const aq_into_entry *into, aq_error *err)
{
    if (!into->holds.given)
        return AQ_OK;
    if (into->volume.value > into->holds.value)
        return aq_fail(err, AQ_OUT_OF_RANGE, into->place,
                       "into: more is in that tank than it holds to the brim");
    if (into->volume.value > 0 && !into->ec_now.given)
        return aq_fail(err, AQ_MISSING, into->place,
                       "into: what does that tank read now? Say its ec-now, like 1.2 mS/cm");
    return AQ_OK;
}

static aq_status complete(const aq_asked *asked, aq_error *err)
{
    if (!asked->holds.given)
        return aq_ask_for(err, "holds", "what does the tank hold to the brim, like 100 L?");
    if (!asked->volume.given)
        return aq_ask_for(err, "volume", "how much is in it now, like 92 L?");
    if (!asked->ec_now.given)
        return aq_ask_for(err, "ec-now", "what does it read now, like 2.4 mS/cm?");
    if (!asked->aim.ec.given)
        return aq_ask_for(err, "ec", "which EC is wanted, like 1.8 mS/cm?");
    if (asked->volume.value > asked->holds.value)
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--volume", 0, 0, 0 },
                       "volume: more is in the tank than it holds to the brim");
    if (asked->level.given && asked->level.value > asked->holds.value)
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--level", 0, 0, 0 },
                       "level: more is wanted than the tank holds to the brim");
    return complete_other(&asked->into, err);
}

static aq_adjust_problem problem_of(const aq_asked *asked, const aq_source *source,
                                    const aq_second_tank *second)
{
    return (aq_adjust_problem){
        .holds = asked->holds.value,
        .now = { asked->volume.value, asked->ec_now.value },
        .level = asked->level.given ? asked->level.value : asked->holds.value,
        .ec = asked->aim.ec.value,
        .water_ec = source->ec,
        .most = asked->part.count ? INFINITY : 0,
        .keep_all = asked->drain == AQ_NO,
        .into = second,
    };
}

/* Whether any answer adds water: there is room to fill, or the tank is too strong. */
static bool needs_water(const aq_adjust_problem *problem)
{
    return problem->level > problem->now.volume * (1 + 1e-9) || problem->ec < problem->now.ec - 1e-9;
}

static aq_status fill_sheet(aq_sheet *sheet, const aq_sheet *dosing, const aq_asked *asked,
                            const aq_source *source, const aq_adjust_problem *problem,
                            const aq_adjust_answer *answer, aq_error *err)
{
    int days = aq_adjust_days(asked, problem, answer->end.ec);
    aq_status status;

    sheet->heel = aq_amount_of(problem->now.volume, "L");
    sheet->heel_ec = aq_amount_of(problem->now.ec, "mS/cm");
    if (!dosing && !aq_adjust_expect(sheet, asked, source, answer))
        return AQ_NO_MEMORY;
    if (days > 1)
        status = aq_adjust_add_days(sheet, asked, problem, answer, days, err);
    else
        status = aq_adjust_rows(sheet, asked, dosing, answer, err);
    if (status != AQ_OK)
        return status;
    return (days == 1 || aq_sheet_assume(sheet, "the change is made in %d steps, a day apart", days)) &&
                   aq_adjust_say(sheet, asked, problem, answer) &&
                   (dosing || sheet->outcome == AQ_REFUSED ||
                    aq_say_ladder(sheet, AQ_STEPS_ALL & ~(unsigned)AQ_STEP_TANK))
               ? AQ_OK
               : AQ_NO_MEMORY;
}

static aq_status adjust_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_second_tank second = { asked->into.holds.value,
                              { asked->into.volume.value, asked->into.ec_now.value },
                              asked->into.ec.value };
    aq_adjust_problem problem;
    aq_adjust_answer answer;
    aq_source source;
    aq_sheet *sheet, *dosing;
    aq_status status = complete(asked, err);

    if (status == AQ_OK)
        status = aq_source_of(&source, arena, asked, err);
    if (status != AQ_OK)
        return status;
    problem = problem_of(asked, &source, asked->into.holds.given ? &second : NULL);
    if (isnan(problem.water_ec) && needs_water(&problem))
        return aq_ask_for(err, "water-ec", "what does the water read that is added, like 0.35 mS/cm?");
    if (!asked->level.given && (!asked->part.count || problem.water_ec > problem.ec))
        problem.level = aq_adjust_level_by_water(&problem);
    status = aq_adjust_solve(&answer, &dosing, arena, asked, &problem, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "adjust");
    if (!sheet)
        return AQ_NO_MEMORY;
    if (dosing) {
        *sheet = *dosing;
        sheet->job = "adjust";
        sheet->rows = (aq_rows){ 0 };
    }
    sheet->volume = aq_amount_of(answer.end.volume, "L");
    sheet->title = aq_arena_format(arena, "%s at %s to %s", aq_show_volume(arena, asked, problem.now.volume),
                                   aq_say_ec(arena, problem.now.ec), aq_say_ec(arena, problem.ec));
    status = sheet->title ? fill_sheet(sheet, dosing, asked, &source, &problem, &answer, err) : AQ_NO_MEMORY;
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static const aq_shape adjust_asks = {
    .noun = "adjust", .fields = adjust_rows, .count = AQ_ROWS_COUNT(adjust_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_adjust = { .name = "adjust",
                               .does = "from what is in the tank to a level and EC, wasting least",
                               .asks = &adjust_asks,
                               .run = adjust_run,
                               .example =
                                   "aliquot adjust --holds 100L --volume 92L --ec-now 2.4mS/cm --ec 1.8mS/cm "
                                   "--water-ec 0.05mS/cm" };
