/* A week, or more: every change, top-up, mist and watering, day by day in walking order; what they take in all; what
 * runs short, and when.
 *
 * Between errands a reservoir loses `uses` litres a day at uptake strength, so its level and EC are followed where the
 * site says both. */
#include "job/errand.h"
#include "job/feed.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "sheet/caution.h"
#include "sheet/measured.h"
#include "sheet/shelf.h"

#include <math.h>
#include <string.h>

static const long usual_days = 7;
static const int usual_clock = 7 * 60 + 30; /* of a lot's daily job */

static const aq_field plan_rows[] = {
    AQ_ROW_FROM("first day, today where not given"),
    AQ_ROW_DAYS("how many days, 7 where not given"),
    { .key = "reservoir",
      .read = AQ_READ_ENTRIES,
      .many = true,
      .shape = &aq_reservoir_shape,
      .into = AQ_INTO(reservoir),
      .help = "a tank, in walking order",
      .example = "{name: Trays, holds: 12 L, ec: 0.9 mS/cm}" },
    { .key = "week",
      .read = AQ_READ_ENTRIES,
      .many = true,
      .shape = &aq_week_shape,
      .into = AQ_INTO(week),
      .help = "when a tank is changed and topped up",
      .example = "{reservoir: Trays, change: [Mon, Thu]}" },
    { .key = "lot",
      .read = AQ_READ_ENTRIES,
      .many = true,
      .shape = &aq_lot_shape,
      .into = AQ_INTO(lot),
      .help = "cuttings stuck on one day",
      .example = "{name: basil-14, stuck: 2026-03-02, cuttings: 60}" },
    { .key = "stage",
      .read = AQ_READ_ENTRIES,
      .many = true,
      .shape = &aq_stage_shape,
      .into = AQ_INTO(stages),
      .help = "what is wanted on which days after sticking",
      .example = "{name: root-in, days: 4-6, ec: 0.8 mS/cm, makes: 3 L/d}" },
    { .key = "gate",
      .read = AQ_READ_ENTRIES,
      .many = true,
      .shape = &aq_gate_shape,
      .into = AQ_INTO(gate),
      .help = "the answer at a gate: no repeats the day before",
      .example = "{stage: root-in, at: 2026-03-06, passed: no}" },
    { .key = "roots-at",
      .read = AQ_READ_MINUTE,
      .into = AQ_INTO(roots_at),
      .help = "clock time of a lot's daily job, 07:30 where not given",
      .example = "08:00" },
    { .key = "timezone",
      .read = AQ_READ_TEXT,
      .into = AQ_INTO(timezone),
      .help = "of the times, for the calendar",
      .example = "Europe/Dublin" },
    AQ_ROW_SUPPLY,
    AQ_ROW_CURRENCY,
    AQ_ROW_WATER_EC,
    AQ_ROW_WATER,
    AQ_ROW_RECIPE,
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    AQ_ROWS_OF_EVERY_JOB,
};

typedef struct {
    aq_arena *arena;
    const aq_asked *asked;
    aq_errands errands;
    aq_date from;
    long days;
    aq_sheet *sheet; /* of the whole plan */
    aq_need_list needs;
} planning;

static bool add_need(planning *p, aq_moment at, const char *what, double amount, bool weighs, bool water)
{
    aq_need *need = aq_list_add(p->arena, &p->needs, sizeof *need);

    if (need)
        *need = (aq_need){ at, what, amount, weighs, water };
    return need != NULL;
}

/* What leaves the bottle: the product in a pre-dilution, not what is drawn of it; what the tool shows, where there is
 * one, not what was worked out. */
static bool count_row(planning *p, const aq_sheet *job, const aq_row *row)
{
    bool weighs = row->what == AQ_DO_WEIGH;
    aq_amount taken = row->with && row->amount.given ? row->amount
                      : row->exact.given             ? row->exact
                                                     : row->amount;

    if (row->what == AQ_DO_WATER && !row->to)
        return add_need(p, job->at, row->water ? row->water : "water", aq_amount_base(taken), false, true);
    if (!row->part || row->concentrate.given ||
        (row->what != AQ_DO_POUR && row->what != AQ_DO_WEIGH && row->what != AQ_DO_PREDILUTE))
        return true;
    return add_need(p, job->at, row->part, aq_amount_base(taken), weighs || strcmp(taken.unit, "g") == 0,
                    false);
}

/* The finished volume less what was there: the litres a change takes from the tap, its doses among them. */
static bool count(planning *p, const aq_sheet *job)
{
    const aq_row *top = NULL;
    bool water = false;

    for (size_t i = 0; i < job->rows.count; i++) {
        const aq_row *row = &job->rows.at[i];

        water = water || row->what == AQ_DO_WATER;
        top = row->what == AQ_DO_TOP ? row : top;
        if (!count_row(p, job, row))
            return false;
    }
    /* a bottle that is only filled up to its mark takes that much water, but for its drops */
    return water || !top ||
           add_need(p, job->at, top->water ? top->water : "water",
                    aq_amount_base(top->make.given ? top->make : top->amount), false, true);
}

/* ---- of one tank, bottle or lot ---- */

static const char *subject_of(const planning *p)
{
    return p->asked->setting ? p->asked->setting->subject : NULL;
}

static bool is_called(const char *name, const char *wanted)
{
    return name && strcmp(name, wanted) == 0;
}

/* Whether the task is of what the line names behind its site; it names nothing: all are. */
static bool is_wanted(const planning *p, const aq_task *task)
{
    const char *name = subject_of(p);

    return !name || (task->reservoir && is_called(task->reservoir->name, name)) ||
           (task->bottle && is_called(task->bottle->name, name)) ||
           (task->lot && is_called(task->lot->name, name));
}

/* Every name that a plan can be of. */
static bool add_names(const planning *p, aq_texts *names)
{
    const aq_asked *a = p->asked;
    const aq_bottles *bottles = &p->errands.site.bottles;
    bool added = true;

    for (size_t i = 0; i < a->reservoir.count; i++)
        added = added && aq_errand_name(p->arena, names, a->reservoir.at[i].name);
    for (size_t i = 0; i < bottles->count; i++)
        added = added && aq_errand_name(p->arena, names, bottles->at[i].name);
    for (size_t i = 0; i < a->lot.count; i++)
        added = added && aq_errand_name(p->arena, names, a->lot.at[i].name);
    return added;
}

static aq_status check_subject(planning *p, aq_error *err)
{
    const char *name = subject_of(p);
    aq_texts names = { 0 };

    if (!name)
        return AQ_OK;
    if (!add_names(p, &names))
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < names.count; i++)
        if (strcmp(names.at[i], name) == 0)
            return AQ_OK;
    return aq_errand_unknown(p->arena, (aq_place){ 0 }, "", "reservoir, bottle or lot", name, &names, err);
}

static bool add_stages(planning *p, aq_texts *names, const aq_stages *stages)
{
    for (size_t i = 0; i < stages->count; i++)
        if (!aq_errand_name(p->arena, names, stages->at[i].name))
            return false;
    return true;
}

/* An answer at a gate is of a stage that there is; one from the log may be of a recipe that is gone. */
static aq_status check_gates(planning *p, aq_error *err)
{
    const aq_asked *asked = p->errands.asked;
    const aq_recipe_refs *recipes = &p->errands.site.recipes;
    aq_texts names = { 0 };
    bool fine = add_stages(p, &names, &asked->stages);

    for (size_t i = 0; fine && i < recipes->count; i++)
        fine = !recipes->at[i].recipe || add_stages(p, &names, &recipes->at[i].recipe->stages);
    if (fine && asked->recipe)
        fine = add_stages(p, &names, &asked->recipe->stages);
    if (!fine)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < asked->gate.count; i++) {
        const aq_gate *gate = &asked->gate.at[i];
        bool known = !gate->stage || !gate->place.line;

        for (size_t j = 0; j < names.count && !known; j++)
            known = strcmp(names.at[j], gate->stage) == 0;
        if (!known)
            return aq_errand_unknown(p->arena, gate->place, "gate: ", "stage", gate->stage, &names, err);
    }
    return AQ_OK;
}

/* ---- the tasks ---- */

/* What the task's tank crosses before it. */
static bool watch(planning *p, const aq_task *task)
{
    char day[AQ_DATE_ROOM];
    const char *then;

    if (!task->reservoir)
        return true;
    aq_date_say(task->at.date, day);
    then = aq_arena_format(p->arena, "the %s of %s", task->kind == AQ_TASK_CHANGE ? "change" : "top-up", day);
    return then && aq_errand_watch(&p->errands, p->sheet, task->reservoir, task->entry, task->at, then);
}

/* What the tanks cross between the last task of each and the end. */
static bool watch_to_the_end(planning *p)
{
    aq_moment end = { aq_date_add(p->from, p->days), 0 };

    for (size_t i = 0; i < p->asked->reservoir.count; i++)
        if (is_wanted(p, &(aq_task){ .reservoir = &p->asked->reservoir.at[i] }) &&
            !aq_errand_watch(&p->errands, p->sheet, &p->asked->reservoir.at[i], NULL, end,
                             "this plan is over"))
            return false;
    return true;
}

static aq_status do_task(planning *p, const aq_task *task, aq_error *err)
{
    aq_sheet *job = NULL, **place;
    aq_status status = watch(p, task) ? aq_errand_sheet(&job, &p->errands, task, err) : AQ_NO_MEMORY;

    if (status != AQ_OK || !job)
        return status;
    if (job->at.minute < 0 && task->kind == AQ_TASK_WATER_LOT)
        job->at.minute = p->asked->roots_at.given ? p->asked->roots_at.minute : usual_clock;
    place = aq_list_add(p->arena, &p->sheet->jobs, sizeof *place);
    if (!place)
        return AQ_NO_MEMORY;
    *place = job;
    if (job->outcome > p->sheet->outcome)
        p->sheet->outcome = job->outcome;
    return count(p, job) ? AQ_OK : AQ_NO_MEMORY;
}

static bool is_tank(const aq_asked *a, const char *name)
{
    for (size_t i = 0; i < a->reservoir.count; i++)
        if (strcmp(a->reservoir.at[i].name, name) == 0)
            return true;
    return false;
}

/* The entry of the week that names no reservoir, and which it may have meant. */
static aq_status blame_week(const planning *p, aq_error *err)
{
    const aq_asked *a = p->asked;
    aq_texts names = { 0 };
    const char *where;
    size_t which = 0;

    for (size_t i = 0; i < a->reservoir.count; i++)
        if (!aq_errand_name(p->arena, &names, a->reservoir.at[i].name))
            return AQ_NO_MEMORY;
    while (which + 1 < a->week.count && is_tank(a, a->week.at[which].reservoir))
        which++;
    where = aq_arena_format(p->arena, "week %zu: ", which + 1);
    return !where ? AQ_NO_MEMORY
                  : aq_errand_unknown(p->arena, a->week.at[which].place, where, "reservoir",
                                      a->week.at[which].reservoir, &names, err);
}

/* A lot that nobody waters by hand and that stands in no tank, or days between two changes. */
static bool say_idle(planning *p)
{
    if (p->sheet->jobs.count || p->sheet->cautions.count || p->sheet->assumed.count)
        return true;
    return aq_sheet_caution(p->sheet,
                            p->asked->lot.count
                                ? "no job falls into these days: say makes: 3 L/d in the stages of a lot "
                                  "that is watered by hand, or which tank has the lot"
                                : "no job falls into these days");
}

static bool add_once(aq_arena *arena, aq_texts *texts, const char *text)
{
    for (size_t i = 0; i < texts->count; i++)
        if (strcmp(texts->at[i], text) == 0)
            return true;
    return aq_errand_name(arena, texts, text);
}

/* What its jobs take for granted, each said once: who reads the week reads no job's own sheet. What comes from the site
 * is left to those, for it stands there, and "12 L, from Trays" means nothing without its job. What the meter shows is
 * one line, with each reading of the week. */
static bool gather_assumed(planning *p)
{
    const size_t head = sizeof AQ_METER_SHOWS - 1;
    aq_texts shown = { 0 };
    const char *all = NULL;

    for (size_t i = 0; i < p->sheet->jobs.count; i++) {
        const aq_sheet *job = p->sheet->jobs.at[i];

        for (size_t j = job->taken; j < job->assumed.count; j++) {
            const char *line = job->assumed.at[j];
            bool fine = strncmp(line, AQ_METER_SHOWS, head) == 0 ? add_once(p->arena, &shown, line + head)
                                                                 : aq_sheet_assume(p->sheet, "%s", line);
            if (!fine)
                return false;
        }
    }
    for (size_t i = 0; i < shown.count; i++) {
        all = aq_arena_format(p->arena, "%s%s%s", all ? all : "", all ? ", " : "", shown.at[i]);
        if (!all)
            return false;
    }
    return !all || aq_sheet_assume(p->sheet, AQ_METER_SHOWS "%s", all);
}

static aq_status work_out(planning *p, aq_error *err)
{
    const aq_asked *a = p->asked;
    aq_tasks tasks = { 0 };
    aq_status status;

    p->from = a->from.year ? a->from : a->today.date;
    p->days = a->days ? a->days : usual_days;
    if (!(a->week.count || a->lot.count || p->errands.site.bottles.count))
        return aq_ask_for(err, "week",
                          "nothing is planned: say which tank is changed when, like {reservoir: Trays, "
                          "change: [Mon, Thu]}");
    status = aq_schedule(&tasks, p->arena, &a->reservoir, &a->week, &p->errands.site.bottles, &a->lot,
                         p->from, p->days);
    if (status == AQ_UNKNOWN_NAME)
        return blame_week(p, err);
    if (status == AQ_OK)
        status = check_subject(p, err);
    if (status == AQ_OK)
        status = check_gates(p, err);
    for (size_t i = 0; status == AQ_OK && i < tasks.count; i++)
        status = !is_wanted(p, &tasks.at[i]) ? AQ_OK
                 : aq_errand_is_done(&p->errands, &tasks.at[i])
                     ? aq_errand_skip(&p->errands, p->sheet, &tasks.at[i], err)
                     : do_task(p, &tasks.at[i], err);
    if (status == AQ_OK && !(watch_to_the_end(p) && aq_errands_tell(&p->errands, p->sheet)))
        status = AQ_NO_MEMORY;
    return status;
}

static aq_status begin(planning *p, aq_arena *arena, const aq_asked *asked)
{
    *p = (planning){ .arena = arena, .asked = asked };
    p->sheet = aq_sheet_new(arena, "plan");
    return p->sheet ? aq_errands_begin(&p->errands, arena, asked) : AQ_NO_MEMORY;
}

/* In the order in which things are first needed; water after the parts. */
static bool add_totals(planning *p, bool water)
{
    for (size_t i = 0; i < p->needs.count; i++) {
        const aq_need *need = &p->needs.at[i];
        aq_record *record;
        double sum = 0;
        size_t first = 0;

        if (need->water != water)
            continue;
        while (p->needs.at[first].water != water || strcmp(p->needs.at[first].what, need->what) != 0)
            first++;
        if (first < i)
            continue;
        for (size_t j = i; j < p->needs.count; j++)
            if (p->needs.at[j].water == water && strcmp(p->needs.at[j].what, need->what) == 0)
                sum += p->needs.at[j].amount;
        record = aq_records_add(p->arena, &p->sheet->totals, water ? "water" : "part", need->what);
        if (!record ||
            !aq_figures_add(p->arena, &record->figures, "amount", water || need->weighs ? sum : sum * 1000,
                            water          ? "L"
                            : need->weighs ? "g"
                                           : "mL"))
            return false;
    }
    return true;
}

static aq_status add_shelf(planning *p, aq_error *err)
{
    aq_shelf_manner manner = { .from = p->from,
                               .days = p->days,
                               .each = NAN,
                               .ec = NAN,
                               .water_ec = NAN,
                               .currency = p->asked->currency };

    return aq_shelf_reckon(p->sheet, &p->asked->supply, &p->needs, &manner, err);
}

static aq_status plan_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    planning p;
    char first[AQ_DATE_ROOM];
    aq_status status = begin(&p, arena, asked);

    if (status == AQ_OK)
        status = work_out(&p, err);
    if (status != AQ_OK)
        return status;
    aq_date_say(p.from, first);
    p.sheet->title =
        aq_arena_format(arena, "plan of %ld day%s from %s%s%s", p.days, p.days == 1 ? "" : "s", first,
                        subject_of(&p) ? " for " : "", subject_of(&p) ? subject_of(&p) : "");
    p.sheet->at = (aq_moment){ p.from, -1 };
    /* a plan of one tank has no say in what the others had: its calendar calls nothing off */
    if (!subject_of(&p))
        p.sheet->until = aq_date_add(p.from, p.days - 1);
    if (!p.sheet->title || !say_idle(&p) || !gather_assumed(&p) || !add_totals(&p, false) ||
        !add_totals(&p, true))
        return AQ_NO_MEMORY;
    status = add_shelf(&p, err);
    if (status == AQ_OK)
        status = aq_caution_day(p.sheet, err);
    if (status == AQ_OK)
        *out = p.sheet;
    return status;
}

aq_status aq_plan_needs(aq_need_list *out, aq_arena *arena, const aq_asked *asked, aq_date from, long days,
                        aq_error *err)
{
    aq_asked spanned = *asked;
    planning p;
    aq_status status;

    spanned.from = from;
    spanned.days = days;
    if (asked->site) { /* who asks about the shelf has no rows for the week itself */
        spanned.reservoir = asked->site->reservoirs;
        spanned.week = asked->site->week;
        spanned.lot = asked->site->lots;
    }
    status = begin(&p, arena, &spanned);
    if (status == AQ_OK)
        status = work_out(&p, err);
    if (status == AQ_OK)
        *out = p.needs;
    return status;
}

static const aq_shape plan_asks = {
    .noun = "plan", .fields = plan_rows, .count = AQ_ROWS_COUNT(plan_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_plan = { .name = "plan",
                             .does =
                                 "a week of changes, top-ups and mists: day by day, totals, what runs short",
                             .asks = &plan_asks,
                             .run = plan_run,
                             .cautious = true,
                             .example =
                                 "aliquot plan examples/fernhollow/site.yaml --from 2026-03-09 --days 7" };
