/* What has to be dosed is a reservoir change with the rest as its old solution: the job that mixes works it out. */
#include "job/adjust_days.h"
#include "job/jobs.h"
#include "sheet/measured.h"

#include <math.h>
#include <string.h>

/* Of a tank, closer than which nobody tells its level; common practice, no source. Nothing is drained for less, and no dose
 * held back. */
static const double unseen = 0.01;

static aq_status dose(aq_sheet **out, aq_arena *arena, const aq_asked *asked,
                      const aq_adjust_problem *problem, const aq_adjust_answer *answer, aq_error *err)
{
    aq_asked mixing = *asked;

    double left = problem->now.volume - answer->remove;
    /* nothing but doses goes in: no water is poured for their sake */
    bool full = left > answer->end.volume * (1 - 1e-9) || answer->water < answer->doses + 1e-3;
    aq_error ignored = { .status = AQ_OK };
    aq_status status;

    mixing.volume = aq_quantity_of(answer->end.volume, AQ_KIND_VOLUME);
    mixing.heel = aq_quantity_of(full ? answer->end.volume : left, AQ_KIND_VOLUME);
    mixing.heel_ec = aq_quantity_of(full ? answer->before_dose : problem->now.ec, AQ_KIND_EC);
    mixing.aim = (aq_aim){ .ec = aq_quantity_of(answer->brimming ? answer->end.ec : problem->ec, AQ_KIND_EC),
                           .ph = asked->aim.ph };
    /* a step no larger than the stage allows is kept to by splitting the change */
    if (asked->step.given && asked->step.value <= mixing.stage.step.value)
        mixing.stage.step.given = false;
    status = aq_job_mix.run(out, arena, &mixing, full ? err : &ignored);
    if (status == AQ_OK || full)
        return status;
    /* the doses are more than the little water: that goes in by itself first */
    mixing.heel = aq_quantity_of(answer->end.volume, AQ_KIND_VOLUME);
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
    double room = answer->water + problem->holds - answer->end.volume;

    return litres_poured(dosing) <= room + unseen * problem->holds;
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
aq_status aq_adjust_solve(aq_adjust_answer *answer, aq_sheet **dosing, aq_arena *arena, const aq_asked *asked,
                          aq_adjust_problem *problem, aq_error *err)
{
    aq_status status = answer_again(answer, dosing, arena, asked, problem, err);

    if (status == AQ_OK && *dosing && missing_ec(*dosing) > 0) {
        problem->most = answer->adds - missing_ec(*dosing);
        status = answer_again(answer, dosing, arena, asked, problem, err);
    }
    for (int turn = 0; turn < 2 && status == AQ_OK && *dosing && !has_room(*dosing, answer, problem);
         turn++) {
        problem->room = litres_poured(*dosing) / (answer->adds * answer->end.volume);
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

double aq_adjust_level_by_water(const aq_adjust_problem *problem)
{
    double added = problem->now.volume * (problem->now.ec - problem->ec) / (problem->ec - problem->water_ec);

    return added > 0 ? fmin(problem->now.volume + added, problem->level) : problem->level;
}

/* One day's part of the change. */
static aq_status add_step(aq_sheet *sheet, aq_adjust_answer *answer, aq_asked *asked,
                          const aq_adjust_problem *step, aq_error *err)
{
    aq_sheet *dosing;
    aq_status status = answer_again(answer, &dosing, sheet->arena, asked, step, err);

    if (status == AQ_OK)
        status = aq_adjust_rows(sheet, asked, dosing, answer, err);
    if (status == AQ_OK && dosing && !count_poured(asked, sheet->arena, dosing, answer->end.volume))
        status = AQ_NO_MEMORY;
    return status;
}

/* The change is spread over days: each step is worked from where the one before ended. Filled further than water alone
 * takes it that day, EC would change by more at once. */
aq_status aq_adjust_add_days(aq_sheet *sheet, const aq_asked *asked, const aq_adjust_problem *problem,
                             const aq_adjust_answer *whole, int days, aq_error *err)
{
    aq_asked today = *asked;
    aq_adjust_problem step = *problem;
    aq_adjust_answer answer;
    aq_second_tank second = { 0 };
    double from = problem->now.ec;
    aq_status status = AQ_OK;

    if (problem->into) {
        second = *problem->into;
        step.into = &second;
    }
    for (int i = 1; status == AQ_OK && i <= days; i++) {
        step.level = problem->level;
        step.ec = from + (whole->end.ec - from) * i / days;
        if (i < days)
            step.level = aq_adjust_level_by_water(&step);
        status = add_step(sheet, &answer, &today, &step, err);
        step.now = answer.end;
        second.now = answer.second;
        if (status == AQ_OK && i < days && !add_day(sheet))
            status = AQ_NO_MEMORY;
    }
    return status;
}

int aq_adjust_days(const aq_asked *asked, const aq_adjust_problem *problem, double ec)
{
    if (!asked->step.given)
        return 1;
    return aq_adjust_steps(problem->now.ec, ec, asked->step.value);
}
