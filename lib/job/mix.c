/* A reservoir change, into an empty or partly drained tank.
 *
 *     e_0 = (H e_h + (V - H) e_w) / V         the tank after the water, before any part
 *     x   = (e - e_0) / k                     what each litre needs
 *
 * Example: 80 L with 40 L of 2.1 mS/cm left in it, water of 0.35, a pair that adds 0.40 mS/cm per mL/L, to 1.8:
 * e_0 = 1.225, x = 1.4375 mL/L, 115 mL of each. The full tank's dose, 290 mL, would read 2.68 and burn. */
#include "job/feed.h"
#include "job/iron.h"
#include "job/rows.h"
#include "job/show.h"
#include "job/treat.h"

#include <math.h>
#include <string.h>

static const aq_field mix_rows[] = {
    AQ_ROW_VOLUME,        AQ_ROW_HEEL,     AQ_ROW_HEEL_EC,   AQ_ROW_HEEL_ANALYSIS,
    AQ_ROW_DEAD,          AQ_ROW_WATER_EC, AQ_ROW_WATER,     AQ_AIM_ROWS(aq_asked, aim),
    AQ_ROW_RECIPE,        AQ_ROW_STAGE,    AQ_ROW_PART,      AQ_ROW_TOGETHER,
    AQ_ROW_POURED,        AQ_ROW_SUPPLY,   AQ_ROW_FEED_ACID, AQ_ROW_FEED_ALKALINITY,
    AQ_ROWS_OF_EVERY_JOB,
};

static aq_status check_line(aq_walk *walk, void *entry, const aq_node *node)
{
    return aq_aim_check(walk, &((const aq_asked *)entry)->aim, node);
}

static const aq_shape mix_asks = { .noun = "mix",
                                   .fields = mix_rows,
                                   .count = AQ_ROWS_COUNT(mix_rows),
                                   .size = sizeof(aq_asked),
                                   .check = check_line };

/* The mix under way. */
typedef struct {
    aq_feed feed;
    aq_composition heel_holds;
    aq_neutralising acid; /* into the water; 0 L: none */
    aq_sheet *sheet;
    const aq_asked *asked;
    aq_arena *arena;
    aq_error *err;
} mixing;

/* ---- what is asked ---- */

static aq_status check_tank(const aq_asked *asked, aq_error *err)
{
    double heel = asked->heel.value + asked->dead.value;

    if (!asked->volume.given && asked->site && asked->site->reservoirs.count)
        return aq_ask_for(err, "volume",
                          "how much is in the tank when finished? Or name a reservoir of the site, like %s",
                          asked->site->reservoirs.at[0].name);
    if (!asked->volume.given)
        return aq_ask_for(err, "volume", "how much is in the tank when finished? Like 60 L");
    if (asked->heel.value > asked->volume.value)
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ 0 },
                       "heel: more old solution than the finished tank holds");
    if (heel > 0 && !asked->heel_ec.given)
        return aq_ask_for(err, "heel-ec", "the EC of the old solution is needed, measured before refilling");
    if (!asked->part.count && !asked->together.count)
        return aq_ask_for(err, "part", "what goes in? Like {name: Feed, rate: 2-4 mL/L}, or a recipe");
    return AQ_OK;
}

static aq_status begin(mixing *m)
{
    const aq_asked *asked = m->asked;
    double heel = asked->heel.value + asked->dead.value;
    aq_feed_tank tank = { .volume = asked->volume.value + asked->dead.value,
                          .heel = heel,
                          .heel_ec = asked->heel_ec.given ? asked->heel_ec.value : NAN,
                          .use = AQ_DOSE_ROOTS };
    aq_status status = check_tank(asked, m->err);

    if (status == AQ_OK && asked->heel_analysis.count) {
        tank.heel_holds = &m->heel_holds;
        status = aq_source_analysis(&m->heel_holds, &asked->heel_analysis, m->arena, m->err);
    }
    if (status == AQ_OK)
        status = aq_feed_begin(&m->feed, m->arena, asked, &tank, m->err);
    if (status == AQ_OK)
        status = aq_treat_begin(&m->acid, &m->feed, m->err);
    if (status == AQ_OK && !m->feed.dosing.count)
        return aq_ask_for(m->err, "part", "all of the parts are for leaves; what goes into the tank?");
    return status;
}

/* ---- the rest of the sheet ---- */

/* Whether a label leaves a choice: 2-4 mL/L does, 2 mL/L does not. */
static bool has_range(const aq_feed *feed)
{
    for (size_t i = 0; i < feed->dosing.column_count; i++) {
        double top = feed->problem.columns[i].top;

        if (feed->dosing.low[i] < top && isfinite(top))
            return true;
    }
    return false;
}

/* The label's range: bottom, middle and top, side by side; a group that has its rates and no range keeps to them. */
static aq_status add_beside(mixing *m, double share)
{
    aq_mix_problem p = m->feed.problem;
    aq_aside *aside = aq_asides_add(m->arena, &m->sheet->beside);
    double *x = aq_arena_take_array(m->arena, p.count, sizeof *x);
    aq_mix_answer *answer;
    aq_status status;

    if (!aside || !x)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < p.count; i++) {
        x[i] = p.fixed[i];
        if (isinf(p.columns[i].top))
            continue;
        x[i] = m->feed.dosing.low[i] + share * (p.columns[i].top - m->feed.dosing.low[i]);
        aside->label_used = fmax(aside->label_used, x[i] / p.columns[i].top);
    }
    p.fixed = x;
    status = aq_mix_solve(&answer, &p, m->arena, m->err);
    if (status != AQ_OK)
        return status;
    if (isfinite(answer->ec))
        aside->ec = aq_amount_of(answer->ec, "mS/cm");
    for (size_t i = 0; i < m->feed.dosing.count; i++) {
        const aq_dose *dose = &m->feed.dosing.at[i];
        aq_amount amount = aq_dose_amount(dose, aq_feed_amount(&m->feed, i, x[dose->column]), true);

        if (!aq_pours_add(m->arena, &aside->pours, dose->weighs ? AQ_DO_WEIGH : AQ_DO_POUR, dose->name,
                          amount))
            return AQ_NO_MEMORY;
    }
    return AQ_OK;
}

static aq_status add_range(mixing *m)
{
    aq_status status = AQ_OK;

    if (aq_aim_given(&m->asked->aim) || !has_range(&m->feed))
        return AQ_OK;
    for (int i = 0; status == AQ_OK && i < 3; i++)
        status = add_beside(m, i / 2.0);
    if (status == AQ_OK &&
        !aq_sheet_assume(m->sheet, "nothing was aimed at, so this is the bottom of the label's range"))
        status = AQ_NO_MEMORY;
    return status;
}

/* "150 mg/L N, 31 mg/L P" */
static const char *say_targets(const mixing *m)
{
    const aq_amounts *targets = &m->asked->aim.targets;
    const char *text = "";

    for (size_t i = 0; text && i < targets->count; i++) {
        bool molar = aq_kind_equal(targets->at[i].amount.kind, AQ_KIND_MOLARITY);
        const char *one = aq_say(m->arena, targets->at[i].amount.value * 1000, molar ? "mmol/L" : "mg/L");

        text = one ? aq_arena_format(m->arena, "%s%s%s %s", text, i ? ", " : "", one, targets->at[i].name)
                   : NULL;
    }
    return text;
}

/* What is aimed at, behind the volume: "to 1.80 mS/cm", "at 60 % of the label". */
static const char *say_aim(const mixing *m)
{
    const aq_aim *aim = &m->asked->aim;

    if (aim->ec.given)
        return aq_arena_format(m->arena, "to %s", aq_say_ec(m->arena, aim->ec.value));
    if (aim->strength.given)
        return aq_arena_format(m->arena, "at %s of the label",
                               aq_say(m->arena, aim->strength.value * 100, "%"));
    if (aim->targets.count && m->asked->stage.name)
        return aq_arena_format(m->arena, "for %s", m->asked->stage.name);
    if (aim->targets.count)
        return aq_arena_format(m->arena, "to %s", say_targets(m));
    if (aim->rates.count)
        return "at the rates asked for";
    return has_range(&m->feed) ? "at the label's lowest rate" : "at the label's rate";
}

/* Why this aim: the stage, and its day. */
static const char *say_reason(const mixing *m)
{
    const aq_asked *asked = m->asked;
    const char *what = asked->aim.targets.count ? say_targets(m) : say_aim(m), *when = "";

    if (!asked->stage.name || !what)
        return NULL;
    if (asked->stuck)
        when = aq_arena_format(m->arena, ", day %ld", aq_lot_day(asked->stuck, asked->today.date));
    if (strncmp(what, "to ", 3) == 0)
        what += 3;
    return when ? aq_arena_format(m->arena, "%s%s: %s", asked->stage.name, when, what) : NULL;
}

static bool add_title(mixing *m)
{
    const aq_asked *asked = m->asked;
    const char *aim = say_aim(m), *litres = aq_show_volume(m->arena, asked, asked->volume.value);
    const char *text = aim && litres ? aq_arena_format(m->arena, "%s %s", litres, aim) : NULL;

    if (text && asked->tank)
        text = aq_arena_format(m->arena, "%s, %s", asked->tank->name, text);
    m->sheet->aim = say_reason(m);
    m->sheet->title = text;
    m->sheet->volume = aq_amount_of(asked->volume.value + asked->dead.value, "L");
    if (m->feed.problem.heel > 0)
        m->sheet->heel = aq_amount_of(m->feed.problem.heel, "L");
    if (m->feed.problem.heel > 0 && asked->heel_ec.given)
        m->sheet->heel_ec = aq_amount_of(asked->heel_ec.value, "mS/cm");
    m->sheet->water = aq_source_say(&m->feed.source, m->arena);
    return text != NULL;
}

static bool why_base(mixing *m)
{
    const aq_mix_problem *p = &m->feed.problem;
    aq_arena *a = m->arena;

    if (isnan(m->feed.exact->base_ec))
        return true;
    if (!(p->heel > 0))
        return aq_sheet_why(m->sheet, "water alone: %s", aq_say_ec(a, m->feed.exact->base_ec));
    return aq_sheet_why(m->sheet, "after the water: (%s x %s + %s x %s) / %s = %s mS/cm",
                        aq_say(a, p->heel, ""), aq_say(a, p->heel_ec, ""), aq_say(a, p->volume - p->heel, ""),
                        aq_say(a, p->water_ec, ""), aq_say(a, p->volume, ""),
                        aq_say(a, m->feed.exact->base_ec, ""));
}

static bool why_dose(mixing *m, size_t which)
{
    const aq_dose *dose = &m->feed.dosing.at[which];
    double x = m->feed.exact->x[dose->column] * dose->amount;
    aq_arena *a = m->arena;
    const char *unit = dose->weighs ? "g/L" : "mL/L";
    aq_amount whole =
        aq_dose_amount(dose, aq_feed_amount(&m->feed, which, m->feed.exact->x[dose->column]), false);

    return aq_sheet_why(m->sheet, "%s: %s x %s = %s", dose->name,
                        aq_say(a, dose->weighs ? x : x * 1000, unit), aq_say(a, m->feed.problem.volume, "L"),
                        aq_say(a, whole.value, whole.unit));
}

/* (1.8 - 1.225) / 0.40 = 1.44 of one column, where one alone carries the EC. */
static bool why_share(mixing *m)
{
    const aq_mix_problem *p = &m->feed.problem;
    aq_arena *a = m->arena;

    if (isnan(p->ec) || p->count != 1 || p->target_count || !isfinite(m->feed.exact->slope[0]) ||
        m->sheet->outcome != AQ_MET)
        return true;
    return aq_sheet_why(m->sheet, "%s: (%s - %s) / %s = %s", m->feed.dosing.names[0], aq_say(a, p->ec, ""),
                        aq_say(a, m->feed.exact->base_ec, ""), aq_say(a, m->feed.exact->slope[0], ""),
                        aq_say(a, m->feed.exact->x[0], ""));
}

static bool add_why(mixing *m)
{
    const aq_amount *expect = &m->sheet->expect_ec;

    if (!why_base(m) || !why_share(m))
        return false;
    for (size_t i = 0; i < m->feed.dosing.count; i++)
        if (m->feed.portions[i].exact > 0 && !why_dose(m, i))
            return false;
    return !expect->given ||
           aq_sheet_why(m->sheet, "within %s: 0.10, or 10 %% of the %s added, whichever is larger",
                        aq_say(m->arena, expect->within, ""), aq_say_ec(m->arena, aq_feed_added(&m->feed)));
}

/* Above this, eq/L, water keeps pushing pH up: the top of what is ideal for irrigation, 0.75 to 2.6 meq/L (D. Bailey, NC
 * State floriculture leaflets on water alkalinity; from memory). */
static const double alkaline = 0.0026;

static bool say_alkaline(mixing *m)
{
    double alkalinity = m->feed.source.alkalinity;

    return !(alkalinity > alkaline) || m->acid.litres > 0 ||
           aq_sheet_caution(
               m->sheet,
               "alkalinity of %s: acid goes into the water first, before any part; say acid and alkalinity",
               aq_say(m->arena, aq_as_carbonate(alkalinity), "mg/L CaCO3"));
}

/* An EC cannot be promised over a part of which nobody knows what it adds, so such a part is not poured for one; nor is one
 * of which nobody knows what it holds poured for a target. */
static bool say_left_out(mixing *m)
{
    for (size_t i = 0; m->feed.problem.target_count && i < m->feed.dosing.count; i++) {
        const aq_dose *dose = &m->feed.dosing.at[i];

        if (isnan(dose->per_unit) && !(m->feed.exact->x[dose->column] > 0) &&
            !aq_sheet_assume(m->sheet, "%s is left out: what it holds is not known", dose->name))
            return false;
    }
    for (size_t i = 0; i < m->feed.dosing.column_count; i++)
        if (!isnan(m->feed.problem.ec) && isnan(m->feed.exact->slope[i]) && !(m->feed.exact->x[i] > 0) &&
            !aq_sheet_assume(m->sheet, "%s is left out: what EC it adds is not known",
                             m->feed.dosing.names[i]))
            return false;
    return true;
}

/* A gate is asked before its stage begins, so on the stage's first day; always, where no lot tells the day. */
static bool gate_is_now(const mixing *m)
{
    const aq_asked *a = m->asked;
    long held = 0;

    if (!a->stage.gate || !a->stuck || !a->stage.days.low.given)
        return a->stage.gate != NULL;
    if (a->recipe)
        aq_lot_stage(a->stuck, &a->recipe->stages, &a->gate, a->today.date, &held);
    return aq_gate_asks(a->stuck, &a->stage, held, &a->gate, a->today.date);
}

static bool add_cautions(mixing *m)
{
    const aq_stage *stage = &m->asked->stage;
    double rise = m->feed.poured->ec - m->feed.problem.heel_ec;

    if (gate_is_now(m) &&
        !aq_sheet_caution(m->sheet, "before this stage: %s? If not, stay with the day before", stage->gate))
        return false;
    if (stage->step.given && m->feed.problem.heel > 0 && rise > stage->step.value &&
        !aq_sheet_caution(m->sheet, "EC rises by %s at once, and this stage allows %s",
                          aq_say_ec(m->arena, rise), aq_say_ec(m->arena, stage->step.value)))
        return false;
    if (!say_alkaline(m) || !say_left_out(m) || !aq_iron_of_feed(m->sheet, &m->feed))
        return false;
    return !m->feed.dosing.count || aq_say_no_tools(m->sheet, m->asked);
}

static aq_status fill_sheet(mixing *m)
{
    aq_status status = AQ_OK;

    if (!add_title(m))
        return AQ_NO_MEMORY;
    status = aq_feed_rows(m->sheet, &m->feed, m->err);
    if (status == AQ_OK)
        status = aq_treat_rows(m->sheet, &m->acid, &m->feed, m->err);
    if (status == AQ_OK && !aq_feed_shorts(m->sheet, &m->feed))
        status = AQ_NO_MEMORY;
    if (status == AQ_OK)
        status = aq_feed_expect(m->sheet, &m->feed, m->err);
    if (status == AQ_OK)
        status = add_range(m);
    if (status == AQ_OK)
        status = aq_feed_figures(m->sheet, &m->feed, m->err);
    if (status == AQ_OK && !(aq_feed_elements(m->sheet, &m->feed, true) && add_cautions(m) && add_why(m)))
        status = AQ_NO_MEMORY;
    return status;
}

static aq_status mix_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    mixing m = { .arena = arena, .asked = asked, .err = err };
    aq_status status = begin(&m);

    if (status == AQ_OK)
        status = aq_feed_take_aim(&m.feed, &asked->aim, err);
    if (status == AQ_OK)
        status = aq_feed_solve(&m.feed, err);
    if (status != AQ_OK)
        return status;
    m.sheet = aq_sheet_new(arena, "mix");
    status = m.sheet ? fill_sheet(&m) : AQ_NO_MEMORY;
    if (status == AQ_OK)
        *out = m.sheet;
    return status;
}

const aq_job aq_job_mix = {
    .name = "mix",
    .does = "a reservoir change, into an empty or partly drained tank",
    .asks = &mix_asks,
    .run = mix_run,
    .example = "aliquot mix --volume 80L --heel 40L --heel-ec 2.1mS/cm --water-ec 0.35mS/cm --ec 1.8mS/cm "
               "--together '{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}'",
};
