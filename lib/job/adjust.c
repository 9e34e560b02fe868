/* From what is in the tank to a wanted level and EC with the least waste: remove, add water, dose.
 *
 * The litres come from solve/adjust; what then has to be dosed is a reservoir change with the rest as its old solution.
 * Example: 120 L holding 105 L at 2.9 come to 2.0 with a tap of 0.4 by taking out 28.2 L first and filling with 43.2 L;
 * filling first would cost 32.2 L. */
#include "job/adjust_say.h"
#include "job/feed.h"
#include "job/jobs.h"
#include "job/ladder.h"
#include "job/rows.h"
#include "job/show.h"
#include "sheet/measured.h"
#include "solve/adjust.h"

#include <math.h>
#include <string.h>

static const double meter_tolerance = 0.10; /* mS/cm, of a reading after water alone */

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
    AQ_ROW_READING("step", step, "largest change of EC at one time: more is split over days", "0.5 mS/cm"),
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

static double value_or_nan(aq_quantity quantity)
{
    return quantity.given ? quantity.value : NAN;
}

static double water_ec(const aq_asked *asked)
{
    if (!asked->water_ec.given && asked->water.count == 1)
        return value_or_nan(asked->water.at[0].ec);
    return value_or_nan(asked->water_ec);
}

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

static aq_adjust_problem problem_of(const aq_asked *asked, const aq_second_tank *second)
{
    return (aq_adjust_problem){
        .holds = asked->holds.value,
        .now = { asked->volume.value, asked->ec_now.value },
        .level = asked->level.given ? asked->level.value : asked->holds.value,
        .ec = asked->aim.ec.value,
        .water_ec = water_ec(asked),
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

static aq_row *add_litres(aq_sheet *sheet, aq_do what, double litres)
{
    aq_row *row = aq_sheet_row(sheet, what);

    if (row) {
        row->exact = aq_amount_volume(litres, false);
        row->amount = aq_amount_volume(litres, true);
    }
    return row;
}

/* What comes out: to the second tank as far as that wants it, the rest to drain or keep. */
static bool add_removal(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_answer *answer)
{
    const char *other = asked->into.name ? asked->into.name : "the other tank";
    double drained = answer->remove - answer->moved;
    aq_row *row;

    if (answer->moved > 0) {
        row = add_litres(sheet, AQ_DO_MOVE, answer->moved);
        if (!row)
            return false;
        row->to = other;
    }
    if (answer->moved_water > 0) {
        row = add_litres(sheet, AQ_DO_WATER, answer->moved_water);
        if (!row)
            return false;
        row->to = other;
    }
    if (drained > 1e-9) {
        row = add_litres(sheet, AQ_DO_DRAIN, drained);
        if (!row)
            return false;
        row->note = fmin(answer->remove, answer->water) > answer->doses + 1e-6
                        ? "first, before any water; keep it for another tank or for stock plants"
                        : "first, to make room for the doses; keep it for stock plants";
    }
    return true;
}

static bool add_reading(aq_sheet *sheet, double ec)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_READ);

    if (row)
        row->expect = aq_amount_within(ec, "mS/cm", meter_tolerance);
    return row != NULL;
}

/* Water, then a reading; nothing is dosed. */
static bool add_water_only(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_answer *answer)
{
    if (answer->water > 1e-9 && !add_litres(sheet, AQ_DO_WATER, answer->water))
        return false;
    sheet->expect_ec = aq_amount_within(answer->end.ec, "mS/cm", meter_tolerance);
    return add_reading(sheet, answer->end.ec) && aq_say_meter(sheet, asked, answer->end.ec);
}

static bool has_water(const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].what == AQ_DO_WATER)
            return true;
    return false;
}

/* The rows of the dosing sheet, after those that remove. */
static bool append_dosing(aq_sheet *sheet, const aq_sheet *dosing, const aq_adjust_answer *answer)
{
    double water = answer->water - answer->doses;

    if (water > 1e-6 && !has_water(dosing) && !add_litres(sheet, AQ_DO_WATER, water))
        return false;
    for (size_t i = 0; i < dosing->rows.count; i++) {
        aq_row *row = aq_list_add(sheet->arena, &sheet->rows, sizeof *row);

        if (!row)
            return false;
        *row = dosing->rows.at[i];
    }
    return true;
}

static aq_status dose(aq_sheet **out, aq_arena *arena, const aq_asked *asked,
                      const aq_adjust_problem *problem, const aq_adjust_answer *answer, aq_error *err)
{
    aq_asked mixing = *asked;

    double left = problem->now.volume - answer->remove;
    /* nothing but doses goes in: no water is poured for their sake */
    bool full = left > problem->level * (1 - 1e-9) || answer->water < answer->doses + 1e-3;
    aq_error ignored = { .status = AQ_OK };
    aq_status status;

    mixing.volume = aq_quantity_of(problem->level, AQ_KIND_VOLUME);
    mixing.heel = aq_quantity_of(full ? problem->level : left, AQ_KIND_VOLUME);
    mixing.heel_ec = aq_quantity_of(full ? answer->before_dose : problem->now.ec, AQ_KIND_EC);
    mixing.aim = (aq_aim){ .ec = aq_quantity_of(answer->brimming ? answer->end.ec : problem->ec, AQ_KIND_EC),
                           .ph = asked->aim.ph };
    status = aq_job_mix.run(out, arena, &mixing, full ? err : &ignored);
    if (status == AQ_OK || full)
        return status;
    /* the doses are more than the little water: that goes in by itself first */
    mixing.heel = aq_quantity_of(problem->level, AQ_KIND_VOLUME);
    mixing.heel_ec = aq_quantity_of(answer->before_dose, AQ_KIND_EC);
    return aq_job_mix.run(out, arena, &mixing, err);
}

/* mS/cm by which label tops keep a dosing sheet below its aim, before any rounding. */
static double missing_ec(const aq_sheet *dosing)
{
    for (size_t i = 0; i < dosing->shorts.count; i++)
        if (strcmp(dosing->shorts.at[i].what, "ec") == 0)
            return dosing->shorts.at[i].by.value;
    return 0;
}

/* L that its liquids take; what is weighed dissolves into next to nothing. */
static double litres_poured(const aq_sheet *dosing)
{
    double litres = 0;

    for (size_t i = 0; i < dosing->rows.count; i++)
        if (dosing->rows.at[i].what == AQ_DO_POUR)
            litres += aq_amount_base(dosing->rows.at[i].exact);
    return litres;
}

static bool has_room(const aq_sheet *dosing, const aq_adjust_answer *answer, const aq_adjust_problem *problem)
{
    return litres_poured(dosing) <= answer->water + problem->holds - answer->end.volume + 1e-9;
}

static aq_status answer_again(aq_adjust_answer *answer, aq_sheet **dosing, aq_arena *arena,
                              const aq_asked *asked, const aq_adjust_problem *problem, aq_error *err)
{
    aq_status status = aq_adjust(answer, problem, err);

    *dosing = NULL;
    return status == AQ_OK && answer->adds > 1e-9 ? dose(dosing, arena, asked, problem, answer, err) : status;
}

/* The answer, and the dosing sheet where doses are part of it. Label tops and the litres of the doses show only when the
 * doses are worked out; where they hold back, or find no room, the litres are worked out again. */
static aq_status solve(aq_adjust_answer *answer, aq_sheet **dosing, aq_arena *arena, const aq_asked *asked,
                       aq_adjust_problem *problem, aq_error *err)
{
    aq_status status = answer_again(answer, dosing, arena, asked, problem, err);

    if (status == AQ_OK && *dosing && missing_ec(*dosing) > 0) {
        problem->most = answer->adds - missing_ec(*dosing);
        status = answer_again(answer, dosing, arena, asked, problem, err);
    }
    for (int turn = 0; turn < 2 && status == AQ_OK && *dosing && !has_room(*dosing, answer, problem);
         turn++) {
        problem->room = litres_poured(*dosing) / (answer->adds * problem->level);
        status = answer_again(answer, dosing, arena, asked, problem, err);
    }
    return status;
}

static bool add_day(aq_sheet *sheet)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_WAIT);

    if (!row)
        return false;
    row->time = aq_amount_of(1, "d");
    row->note = "so that the plants meet the change in steps";
    return true;
}

/* What was poured on the days before counts against the label's top. */
static bool count_poured(aq_asked *asked, aq_arena *arena, const aq_sheet *dosing, double level)
{
    aq_amounts before = asked->poured;

    memset(&asked->poured, 0, sizeof asked->poured);
    for (size_t i = 0; i < before.count + dosing->rows.count; i++) {
        const aq_row *row = i < before.count ? NULL : &dosing->rows.at[i - before.count];
        bool pours = row && (row->what == AQ_DO_POUR || row->what == AQ_DO_WEIGH);
        aq_named_amount *poured = !row || pours ? aq_list_add(arena, &asked->poured, sizeof *poured) : NULL;

        if (!poured && (!row || pours))
            return false;
        if (!row)
            *poured = before.at[i];
        else if (pours)
            *poured = (aq_named_amount){
                .name = row->part,
                .amount = aq_quantity_of(
                    aq_amount_base(row->concentrate.given ? row->concentrate : row->exact) / level,
                    row->what == AQ_DO_POUR ? AQ_KIND_RATE : AQ_KIND_CONTENT)
            };
    }
    return true;
}

/* One day's part of the change. */
static aq_status add_step(aq_sheet *sheet, aq_asked *asked, aq_adjust_problem *step, aq_error *err)
{
    aq_adjust_answer answer;
    aq_sheet *dosing = NULL;
    aq_status status = aq_adjust(&answer, step, err);

    if (status == AQ_OK && answer.adds > 1e-9)
        status = dose(&dosing, sheet->arena, asked, step, &answer, err);
    if (status != AQ_OK)
        return status;
    if (!add_removal(sheet, asked, &answer) ||
        !(dosing ? append_dosing(sheet, dosing, &answer) : add_water_only(sheet, asked, &answer)) ||
        (dosing && !count_poured(asked, sheet->arena, dosing, step->level)))
        return AQ_NO_MEMORY;
    step->now = answer.end;
    return AQ_OK;
}

/* The change is spread over days: each step is worked from where the one before ended. */
static aq_status add_steps(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                           const aq_adjust_answer *whole, int steps, aq_error *err)
{
    aq_asked today = *asked;
    aq_adjust_problem step = *problem;
    double from = problem->now.ec;
    aq_status status = AQ_OK;

    for (int i = 1; status == AQ_OK && i <= steps; i++) {
        step.ec = from + (whole->end.ec - from) * i / steps;
        status = add_step(sheet, &today, &step, err);
        if (status == AQ_OK && i < steps && !add_day(sheet))
            status = AQ_NO_MEMORY;
    }
    return status;
}

static int steps_of(const aq_asked *asked, const aq_adjust_problem *problem, double ec)
{
    if (!asked->step.given || !(asked->step.value > 0))
        return 1;
    return aq_adjust_steps(problem->now.ec, ec, asked->step.value);
}

static aq_status fill_sheet(aq_sheet *sheet, const aq_sheet *dosing, const aq_asked *asked,
                            const aq_adjust_problem *problem, const aq_adjust_answer *answer, aq_error *err)
{
    int steps = steps_of(asked, problem, answer->end.ec);
    bool fine;

    if (!dosing) {
        sheet->heel = aq_amount_of(problem->now.volume, "L");
        sheet->heel_ec = aq_amount_of(problem->now.ec, "mS/cm");
    }
    if (steps > 1) {
        aq_status status = add_steps(sheet, asked, problem, answer, steps, err);

        if (status != AQ_OK)
            return status;
        fine = aq_sheet_assume(sheet, "the change is made in %d steps, a day apart", steps);
    } else {
        fine = add_removal(sheet, asked, answer) &&
               (dosing ? append_dosing(sheet, dosing, answer) : add_water_only(sheet, asked, answer));
    }
    fine = fine && aq_adjust_say(sheet, asked, problem, answer) &&
           (dosing || sheet->outcome == AQ_REFUSED ||
            aq_say_ladder(sheet, AQ_STEPS_ALL & ~(unsigned)AQ_STEP_TANK));
    return fine ? AQ_OK : AQ_NO_MEMORY;
}

static aq_status adjust_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_second_tank second = { asked->into.holds.value,
                              { asked->into.volume.value, asked->into.ec_now.value },
                              asked->into.ec.value };
    aq_adjust_problem problem;
    aq_adjust_answer answer;
    aq_sheet *sheet, *dosing;
    aq_status status = complete(asked, err);

    if (status != AQ_OK)
        return status;
    problem = problem_of(asked, asked->into.holds.given ? &second : NULL);
    if (isnan(problem.water_ec) && needs_water(&problem))
        return aq_ask_for(err, "water-ec", "what does the water read that is added, like 0.35 mS/cm?");
    status = solve(&answer, &dosing, arena, asked, &problem, err);
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
    status = sheet->title ? fill_sheet(sheet, dosing, asked, &problem, &answer, err) : AQ_NO_MEMORY;
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
