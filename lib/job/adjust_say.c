/* The words of a correction. */
#include "job/adjust_say.h"
#include "base/decimal.h"
#include "job/show.h"

#include <math.h>
#include <string.h>

static const double stroke =
    0.5; /* mS/cm at one time that fruiting plants bear: common practice, no source */

static bool add_if_known(aq_sheet *sheet, const char *name, double value, const char *unit)
{
    return !isfinite(value) || aq_sheet_figure(sheet, name, value, unit);
}

/* What was said last may be done instead of the rows: in front of what to do about a meter. */
static bool instead(aq_sheet *sheet)
{
    const char **at = sheet->next.at + sheet->instead, *last = sheet->next.at[sheet->next.count - 1];

    memmove(at + 1, at, (sheet->next.count - 1 - sheet->instead) * sizeof *at);
    *at = last;
    sheet->instead++;
    return true;
}

/* Days from that EC, where each brings it lower by `drop`. */
static bool say_days(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem, double from,
                     double drop)
{
    double days = (from - problem->ec) / drop, whole = ceil(days - 1e-9);

    if (!(from > problem->ec))
        return true;
    if (!(drop > 0))
        return aq_sheet_next(sheet,
                             "plain top-ups never get there: a litre of water brings %s, and the plants take "
                             "%s with it",
                             aq_say_ec(sheet->arena, problem->water_ec),
                             aq_say_ec(sheet->arena, asked->uptake.value)) &&
               instead(sheet);
    return aq_sheet_figure(sheet, "days", days, "d") &&
           aq_sheet_next(
               sheet, "or top up with plain water only: EC falls by about %s a day, so it takes %s %s",
               aq_say_ec(sheet->arena, drop), aq_say(sheet->arena, whole, ""), whole > 1 ? "days" : "day") &&
           instead(sheet);
}

/* How long plain top-ups take to bring the tank, at its wanted level, to the wanted EC. */
static bool add_slow_path(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem)
{
    double level = fmax(problem->level, problem->now.volume), drop;
    aq_tank_state water = { level - problem->now.volume, problem->water_ec };

    if (!asked->uptake.given || !asked->uses.given || isnan(problem->water_ec))
        return true;
    drop = aq_drift_drop(level, asked->uses.value, asked->uptake.value, problem->water_ec);
    return aq_sheet_figure(sheet, "drop_per_day", drop, "mS/cm") &&
           say_days(sheet, asked, problem, aq_tank_mixed(problem->now, water).ec, drop);
}

static bool add_figures(aq_sheet *sheet, const aq_adjust_answer *answer)
{
    return add_if_known(sheet, "fill_ec", answer->fill_ec, "mS/cm") &&
           add_if_known(sheet, "water_needed", answer->water_needed, "L") &&
           add_if_known(sheet, "drain_after", answer->drain_after, "L") &&
           add_if_known(sheet, "makeup_ec", answer->makeup_ec >= 0 ? answer->makeup_ec : NAN, "mS/cm") &&
           add_if_known(sheet, "keeps", answer->keeps, "L");
}

/* What can be had without a dose: the wanted EC at a lower level, or what is there left as it is. */
static bool say_without_dose(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                             const aq_adjust_answer *answer)
{
    if (isfinite(answer->water_needed) && answer->water_needed > 0)
        return aq_sheet_next(
                   sheet, "or fill it less: %s of water bring it to %s at a level of %s",
                   aq_show_volume(sheet->arena, asked, answer->water_needed),
                   aq_say_ec(sheet->arena, problem->ec),
                   aq_show_volume(sheet->arena, asked, problem->now.volume + answer->water_needed)) &&
               instead(sheet);
    return !(problem->level > problem->now.volume) ||
           (aq_sheet_next(
                sheet, "or add nothing yet: it stays at %s, %s short, and each litre of water takes it lower",
                aq_say_ec(sheet->arena, problem->now.ec),
                aq_say_ec(sheet->arena, problem->ec - problem->now.ec)) &&
            instead(sheet));
}

/* What the dose will have to be, once it is known what it does: 120 L that lack 0.233 mS/cm take 28 / k mL. */
static bool say_dose_wanted(aq_sheet *sheet, const aq_asked *asked, double litres, double by)
{
    return aq_sheet_next(
               sheet,
               "or dose it: %s lack %s, which takes %s divided by the mS/cm that 1 mL/L of the part "
               "adds, by its label or a jar test",
               aq_show_volume(sheet->arena, asked, litres), aq_say_ec(sheet->arena, by),
               aq_say(sheet->arena, aq_decimal_round(by * litres, 3), "mL")) &&
           instead(sheet);
}

/* Nothing is poured by a sheet that refuses, so it fills no tank and expects no reading. */
static bool refuse(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                   const aq_adjust_answer *answer, double by)
{
    sheet->outcome = AQ_REFUSED;
    sheet->rows.count = 0;
    sheet->expect_ec.given = false;
    sheet->expect_ph_low = sheet->expect_ph_high = NAN;
    sheet->water = NULL;
    sheet->volume.given = false;
    return aq_sheet_short(sheet, "ec", aq_amount_of(by, "mS/cm"),
                          "EC can only be raised by a dose: say which part, or group, and what it adds") &&
           say_without_dose(sheet, asked, problem, answer) &&
           say_dose_wanted(sheet, asked, answer->end.volume, by);
}

static double wanted_level(const aq_asked *asked)
{
    return asked->level.given ? asked->level.value : asked->holds.value;
}

/* Filled only as far as water keeps it at the wanted EC. */
static bool say_filled_less(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                            const aq_adjust_answer *answer, double by)
{
    double lacks = problem->ec - answer->fill_ec;

    return aq_sheet_short(sheet, "level", aq_amount_of(by, "L"), "filled to the brim it would read %s",
                          aq_say_ec(sheet->arena, answer->fill_ec)) &&
           (!(lacks > 0) || say_dose_wanted(sheet, asked, asked->holds.value, lacks));
}

/* More stays in the tank than is wanted, for nothing may be removed; or less is in it. */
static bool say_level(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                      const aq_adjust_answer *answer)
{
    double by = answer->end.volume - wanted_level(asked);

    if (by < -1e-6)
        return say_filled_less(sheet, asked, problem, answer, -by);
    return !(by > 1e-6) ||
           aq_sheet_short(sheet, "level", aq_amount_of(by, "L"), "nothing may be removed, so %s stay",
                          aq_show_volume(sheet->arena, asked, answer->end.volume)) != NULL;
}

static bool say_ec(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                   const aq_adjust_answer *answer)
{
    aq_arena *arena = sheet->arena;
    double by = problem->ec - answer->end.ec;
    aq_adjust_problem free = *problem;
    aq_adjust_answer other;

    free.keep_all = false;
    if (fabs(by) <= 1e-6)
        return true;
    if (problem->keep_all && aq_adjust(&other, &free, NULL) == AQ_OK && other.met)
        return aq_sheet_short(sheet, "ec", aq_amount_of(fabs(by), "mS/cm"),
                              "%s cannot be reached today without removing %s", aq_say_ec(arena, problem->ec),
                              aq_show_volume(arena, asked, other.remove)) != NULL;
    if (sheet->shorts.count)
        return true;
    return aq_sheet_short(sheet, "ec", aq_amount_of(fabs(by), "mS/cm"), "%s",
                          by < 0 ? "this water is too strong to bring the tank down to there"
                                 : "a label top holds the doses back") != NULL;
}

static bool say_short(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                      const aq_adjust_answer *answer)
{
    double by = problem->ec - answer->end.ec;

    if (answer->met && answer->end.volume > wanted_level(asked) - 1e-6)
        return true;
    if (by > 1e-6 && !asked->part.count)
        return refuse(sheet, asked, problem, answer, by);
    if (sheet->outcome == AQ_MET)
        sheet->outcome = answer->capped ? AQ_CAPPED : AQ_NEAREST;
    return say_ec(sheet, asked, problem, answer) && say_level(sheet, asked, problem, answer);
}

/* "105 - 120 x (2 - 0.4) / (2.9 - 0.4) = 28.2 L to remove", where water alone does it. */
static bool add_why(aq_sheet *sheet, const aq_adjust_problem *problem, const aq_adjust_answer *answer)
{
    aq_arena *arena = sheet->arena;
    const char *water = aq_say(arena, problem->water_ec, "");

    if (!(answer->remove > 0) || answer->adds > 1e-9 || !answer->met || isnan(problem->water_ec))
        return true;
    return aq_sheet_why(sheet, "%s - %s x (%s - %s) / (%s - %s) = %s to remove",
                        aq_say(arena, problem->now.volume, ""), aq_say(arena, problem->level, ""),
                        aq_say(arena, problem->ec, ""), water, aq_say(arena, problem->now.ec, ""), water,
                        aq_say(arena, answer->remove, "L"));
}

static bool warn_of_stroke(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                           const aq_adjust_answer *answer)
{
    if (asked->step.given || !sheet->rows.count || fabs(answer->end.ec - problem->now.ec) <= stroke + 1e-9)
        return true;
    return aq_sheet_caution(sheet, "a change of more than 0.5 mS/cm at one time can shock fruiting plants: "
                                   "with plants on the tank spread it over days, with step");
}

bool aq_adjust_say(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                   const aq_adjust_answer *answer)
{
    return add_figures(sheet, answer) && add_slow_path(sheet, asked, problem) &&
           add_why(sheet, problem, answer) && say_short(sheet, asked, problem, answer) &&
           warn_of_stroke(sheet, asked, problem, answer);
}
