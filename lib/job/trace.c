/* Which single slip explains a reading that disagrees, and the safe next step: half the gap first.
 *
 * What was read says what slope, or what volume, would explain it: k' = (read - base) / dose, V' = V (expected - base) /
 * (read - base). The correction goes by the slope that was seen, not by the one that was believed. Example: 375 mL of
 * each in 100 L should read 0.30 + 0.40 x 3.75 = 1.80 and reads 1.55: the slope seen is 0.333, the whole gap takes 75
 * mL of each, so 37.5 mL are poured and 1.675 is expected. */
#include "job/feed.h"
#include "job/jobs.h"
#include "job/ladder.h"
#include "job/rows.h"
#include "job/slip.h"
#include "job/source.h"
#include "sheet/measured.h"
#include "solve/uncertainty.h"

#include <math.h>
#include <string.h>

static const double usual_coefficient = 0.02; /* per degC; usual default of hand-held meters */
static const double least_left = 0.2;         /* of a reading, in the coldest water that is still one */
static const double reading_doubt = 0.015;    /* mS/cm, of one reading: nearer than that two are the same */

static const aq_field trace_rows[] = {
    AQ_ROW_READING("expected", expected, "the EC that was expected, worked from the mix where not given",
                   "1.80 mS/cm"),
    AQ_ROW_READING("reads", reads, "what the meter shows", "1.55 mS/cm"),
    { .key = "temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = -5,
      .most = 60,
      .into = AQ_INTO(temperature),
      .help = "of the water when it was read",
      .example = "16 degC" },
    { .key = "compensated",
      .read = AQ_READ_YES_NO,
      .into = AQ_INTO(compensated),
      .help = "whether the meter corrects to 25 degC by itself",
      .example = "yes" },
    AQ_ROW_VOLUME,
    AQ_ROW_HEEL,
    AQ_ROW_HEEL_EC,
    AQ_ROW_DEAD,
    AQ_ROW_WATER_EC,
    AQ_ROW_WATER,
    AQ_AIM_ROWS(aq_asked, aim),
    AQ_ROW_RECIPE,
    AQ_ROW_STAGE,
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    AQ_ROW_POURED,
    AQ_ROWS_OF_EVERY_JOB,
};

typedef struct {
    aq_dosing dosing;
    double *rate; /* of each dose: L or g per litre of tank */
    double volume, heel, base, water_ec;
    double added;    /* mS/cm that the doses should have added; NaN: no slope is known */
    double mixed_ec; /* what a mix of it reads; NaN: not known */
    double expected, reads;
} tracing;

static aq_status base_of(tracing *t, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    double dead = asked->dead.given ? asked->dead.value : 0;
    aq_source source;
    aq_status status = aq_source_of(&source, arena, asked, err);

    if (status != AQ_OK)
        return status;
    t->volume = asked->volume.value + dead;
    t->heel = (asked->heel.given ? asked->heel.value : 0) + dead;
    t->water_ec = source.ec;
    if (isnan(source.ec))
        return aq_ask_for(err, "water-ec", "what does the water itself read, like 0.30 mS/cm?");
    if (t->heel > 0 && !asked->heel_ec.given)
        return aq_ask_for(err, "heel-ec", "what did the old solution read, like 2.1 mS/cm?");
    t->base =
        (t->heel * (t->heel > 0 ? asked->heel_ec.value : 0) + (t->volume - t->heel) * source.ec) / t->volume;
    return AQ_OK;
}

/* What was poured, in rates: of parts that are known by their composition alone a mix of those rates tells the EC. */
static bool ask_rates(aq_asked *planned, const tracing *t, aq_arena *arena)
{
    planned->aim = (aq_aim){ .ph = planned->aim.ph };
    for (size_t i = 0; i < t->dosing.count; i++) {
        const aq_dose *dose = &t->dosing.at[i];
        aq_named_amount *rate =
            dose->already > 0 ? aq_list_add(arena, &planned->aim.rates, sizeof *rate) : NULL;

        if (!rate && dose->already > 0)
            return false;
        if (rate)
            *rate = (aq_named_amount){ .name = dose->name,
                                       .amount = aq_quantity_of(dose->already, dose->weighs ? AQ_KIND_CONTENT
                                                                                            : AQ_KIND_RATE) };
    }
    memset(&planned->poured, 0, sizeof planned->poured);
    planned->over_label = "as it was poured";
    return true;
}

/* What was poured, or where the line does not say, what a mix of it would pour; and what that would read. */
static aq_status rates_of(tracing *t, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_asked planned = *asked;
    aq_error ignored = { .status = AQ_OK };
    aq_sheet *sheet;
    aq_status status;

    t->rate = aq_arena_take_array(arena, t->dosing.count, sizeof *t->rate);
    if (!t->rate || (asked->poured.count && !ask_rates(&planned, t, arena)))
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < t->dosing.count; i++)
        t->rate[i] = t->dosing.at[i].already;
    if (!asked->poured.count && asked->expected.given && !aq_aim_given(&planned.aim))
        planned.aim.ec = asked->expected; /* what was expected is what was planned */
    memset(&planned.bench, 0, sizeof planned.bench);
    status = aq_job_mix.run(&sheet, arena, &planned, asked->poured.count ? &ignored : err);
    t->mixed_ec = status == AQ_OK && sheet->expect_ec.given ? sheet->expect_ec.value : NAN;
    if (asked->poured.count)
        return AQ_OK;
    for (size_t i = 0; status == AQ_OK && i < sheet->rows.count; i++)
        for (size_t j = 0; sheet->rows.at[i].part && j < t->dosing.count; j++)
            if (strcmp(sheet->rows.at[i].part, t->dosing.at[j].name) == 0)
                t->rate[j] += aq_amount_base(sheet->rows.at[i].exact) / t->volume;
    return status;
}

/* mS/cm of one dose by the slope of its column, shared out by its amount; a group's slope is known as a whole only. */
static double column_adds(const tracing *t, size_t column)
{
    const aq_mix_column *c = &t->dosing.columns[column];
    double shares = 0;
    size_t members = 0;

    for (size_t i = 0; i < t->dosing.count; i++)
        if (t->dosing.at[i].column == column) {
            shares += t->rate[i] / t->dosing.at[i].amount;
            members++;
        }
    return members && shares > 0 ? c->slope * shares / (double)members : 0;
}

/* The site's meter, unless the reading was typed in a ppm that it does not show. */
static const aq_meter *meter_of(const aq_asked *asked)
{
    const aq_meter *meter = asked->site && asked->site->meter.given ? &asked->site->meter : NULL;

    return meter && aq_meter_counts_in(meter, aq_meter_scale_typed(asked->reads.unit)) ? meter : NULL;
}

/* What the line says of the meter, else what the site does. */
static int compensated(const aq_asked *asked)
{
    const aq_meter *meter = meter_of(asked);

    return asked->compensated ? asked->compensated : meter ? meter->compensated : AQ_UNSAID;
}

/* At 25 degC: a meter that is known not to correct is corrected here, where the temperature is said. */
static double reading_of(const aq_asked *asked)
{
    const aq_meter *meter = meter_of(asked);
    double a = meter && meter->coefficient.given ? meter->coefficient.value : usual_coefficient;

    if (compensated(asked) != AQ_NO || !asked->temperature.given)
        return asked->reads.value;
    return asked->reads.value / fmax(1 + a * (asked->temperature.value - 25), least_left);
}

static aq_status work_out(tracing *t, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_status status;

    if (!asked->reads.given)
        return aq_ask_for(err, "reads", "what does the meter show, like 1.55 mS/cm?");
    if (!asked->volume.given)
        return aq_ask_for(err, "volume", "how much is in the tank, like 100 L?");
    status = base_of(t, arena, asked, err);
    if (status == AQ_OK)
        status = aq_dosing_of(&t->dosing, arena, asked, AQ_DOSE_ROOTS, t->volume, err);
    if (status == AQ_OK)
        status = rates_of(t, arena, asked, err);
    if (status != AQ_OK)
        return status;
    t->reads = reading_of(asked);
    t->added = 0;
    for (size_t i = 0; i < t->dosing.column_count; i++)
        t->added += column_adds(t, i);
    if (isnan(t->added))
        t->added = t->mixed_ec - t->base;
    if (asked->expected.given)
        t->added = asked->expected.value - t->base;
    if (asked->expected.given && !(t->added > 0))
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--expected", 0, 0, 0 },
                       "expected: that is no more than the water and the old solution read by themselves");
    if (!(t->added > 0))
        return aq_ask_for(err, "expected",
                          "what was it expected to read? Nothing that was poured has a known EC");
    t->expected = t->base + t->added;
    return AQ_OK;
}

/* What share of what was poured closes the whole gap, by the slope that was seen. */
static double whole_share(const tracing *t)
{
    return t->reads > t->base + 1e-6 ? (t->expected - t->reads) / (t->reads - t->base) : NAN;
}

/* The first dose poured, where all that was poured is of its column; NULL: several slopes, or nothing. */
static const aq_dose *only_column(const tracing *t, double *rate)
{
    const aq_dose *first = NULL;

    for (size_t i = 0; i < t->dosing.count; i++) {
        if (!(t->rate[i] > 0))
            continue;
        if (first && first->column != t->dosing.at[i].column)
            return NULL;
        if (!first)
            *rate = t->rate[i];
        first = first ? first : &t->dosing.at[i];
    }
    return first;
}

static bool add_figures(aq_sheet *sheet, const tracing *t, const aq_asked *asked)
{
    double seen = t->reads - t->base, rate = 0;
    const aq_dose *dose = only_column(t, &rate);
    double unit = dose && dose->weighs ? 1 : 1000;

    if (!aq_sheet_figure(sheet, "expected", t->expected, "mS/cm"))
        return false;
    if (!(seen > 1e-6))
        return true;
    if (!aq_sheet_figure(sheet, "volume", t->volume * t->added / seen, "L"))
        return false;
    if (!dose)
        return true;
    return aq_sheet_figure(sheet, "slope", seen * aq_dose_counts(asked, dose) / rate,
                           dose->weighs ? "mS/cm per g/L" : "mS/cm per mL/L") &&
           aq_sheet_figure(sheet, "whole", whole_share(t) * rate * t->volume * unit,
                           dose->weighs ? "g" : "mL");
}

/* Half of what is missing of each part, on the marks of the bench; NULL: no memory. A tool that cannot show it is told
 * of by nobody here: the exact amount stands. */
static aq_portion *portions_of(const tracing *t, aq_arena *arena, const aq_asked *asked, double share)
{
    aq_portion *portions = aq_arena_take_array(arena, t->dosing.count + 1, sizeof *portions);

    for (size_t i = 0; portions && i < t->dosing.count; i++) {
        const aq_dose *dose = &t->dosing.at[i];
        const aq_mix_column *column = &t->dosing.columns[dose->column];

        portions[i] = (aq_portion){ .exact = t->rate[i] * t->volume * share / 2,
                                    .top = INFINITY,
                                    .weighs = dose->weighs,
                                    .effect = column->slope / dose->amount / t->volume,
                                    .group = column->member_count > 1 ? (int)dose->column : -1 };
    }
    if (portions && aq_portions_round(portions, t->dosing.count, &asked->bench, NULL) != AQ_OK)
        return NULL;
    return portions;
}

/* Too weak: half of what is missing, of every part in its ratio. Gives the reading that the rounded amounts lead to. */
static bool add_pours(aq_sheet *sheet, const tracing *t, const aq_asked *asked, double share, double *halfway)
{
    aq_portion *portions = portions_of(t, sheet->arena, asked, share);
    double wanted = 0, poured = 0;

    for (size_t i = 0; portions && i < t->dosing.count; i++) {
        const aq_dose *dose = &t->dosing.at[i];
        double used = (t->rate[i] + portions[i].reaches / t->volume) / dose->top;

        if (!(portions[i].exact > 0))
            continue;
        if (!aq_portion_rows(sheet, dose, &portions[i], isfinite(dose->top) ? used : NAN))
            return false;
        if (isfinite(dose->top) && used > 1 + 1e-9 &&
            !aq_sheet_caution(sheet, "this would take %s past its label maximum: find the slip first",
                              dose->name))
            return false;
        wanted += 1;
        poured += portions[i].reaches / portions[i].exact;
    }
    if (wanted > 0)
        *halfway = t->reads + (*halfway - t->reads) * poured / wanted;
    return portions && aq_portions_discard_row(sheet, portions, t->dosing.count) &&
           aq_say_no_tools(sheet, asked);
}

/* Too strong: swap tank for water until half of what is over is gone. */
static bool add_swap(aq_sheet *sheet, const tracing *t, double halfway)
{
    double litres = t->volume * (t->reads - halfway) / (t->reads - t->water_ec);
    static const aq_do acts[] = { AQ_DO_DRAIN, AQ_DO_WATER };

    if (!(t->reads > t->water_ec) || !(litres > 0) || litres > t->volume)
        return true;
    for (size_t i = 0; i < sizeof acts / sizeof *acts; i++) {
        aq_row *row = aq_sheet_row(sheet, acts[i]);

        if (!row)
            return false;
        row->exact = aq_amount_volume(litres, false);
        row->amount = aq_amount_volume(litres, true);
    }
    return true;
}

static bool add_step(aq_sheet *sheet, const tracing *t, const aq_asked *asked)
{
    double gap = t->expected - t->reads, halfway = t->reads + gap / 2, share = whole_share(t);
    aq_budget budget = aq_budget_first();
    double within = aq_tolerance(&budget, t->added);
    aq_row *row;

    sheet->verdict = fabs(gap) < reading_doubt    ? "as expected"
                     : fabs(gap) <= within + 1e-9 ? "within tolerance"
                     : gap > 0                    ? "too weak"
                                                  : "too strong";
    if (fabs(gap) < reading_doubt)
        return true;
    if (fabs(gap) <= within + 1e-9 &&
        !aq_sheet_caution(sheet,
                          "%s is within %s of what was expected, the tolerance of a first mix: nothing needs "
                          "pouring; what stands below is only to come nearer",
                          aq_say_ec(sheet->arena, t->reads), aq_say_ec(sheet->arena, within)))
        return false;
    if (gap < -within - 1e-9 &&
        !aq_sheet_caution(
            sheet, "too strong: stop feeding, and hold the pump if roots are bare, until it reads right"))
        return false;
    if (gap > 0 ? isfinite(share) && !add_pours(sheet, t, asked, share, &halfway)
                : !add_swap(sheet, t, halfway))
        return false;
    if (!sheet->rows.count)
        return true;
    row = aq_sheet_row(sheet, AQ_DO_READ);
    if (!row)
        return false;
    row->expect = aq_amount_within(halfway, "mS/cm", within);
    sheet->expect_ec = row->expect;
    return aq_say_meter(sheet, asked, halfway);
}

static aq_status add_causes(aq_sheet *sheet, const tracing *t, const aq_asked *asked)
{
    aq_budget budget = aq_budget_first();
    const char **names = aq_arena_take_array(sheet->arena, t->dosing.count + 1, sizeof *names);
    double *adds = aq_arena_take_array(sheet->arena, t->dosing.count + 1, sizeof *adds);
    aq_slip_case mixed = { .base = t->base,
                           .added = t->added,
                           .reads = t->reads,
                           .within = aq_tolerance(&budget, t->added),
                           .volume = t->volume,
                           .heel = t->heel,
                           .water_ec = t->water_ec,
                           .temperature = asked->temperature.given ? asked->temperature.value : NAN,
                           .compensated = compensated(asked) == AQ_YES || t->reads != asked->reads.value,
                           .parts = t->dosing.count,
                           .names = names,
                           .adds = adds };

    if (!names || !adds)
        return AQ_NO_MEMORY;
    if (fabs(t->expected - t->reads) < reading_doubt)
        return AQ_OK; /* nothing to explain */
    for (size_t i = 0; i < t->dosing.count; i++) {
        names[i] = t->dosing.at[i].name;
        adds[i] = t->dosing.at[i].slope * t->rate[i];
        mixed.oxides =
            mixed.oxides || (t->dosing.at[i].part && t->dosing.at[i].part->analysis.as == AQ_AS_OXIDE);
    }
    return aq_slips_rank(sheet, &mixed);
}

static bool add_why(aq_sheet *sheet, const tracing *t, const aq_asked *asked)
{
    if (t->reads != asked->reads.value && /* the same double where nothing was corrected */
        !aq_sheet_assume(sheet, "%s at %s is %s at 25 degC: the meter does not correct",
                         aq_say_ec(sheet->arena, asked->reads.value),
                         aq_say(sheet->arena, asked->temperature.value, "degC"),
                         aq_say_ec(sheet->arena, t->reads)))
        return false;
    return aq_sheet_why(sheet, "expected %s + %s = %s; read %s", aq_say(sheet->arena, t->base, ""),
                        aq_say(sheet->arena, t->added, ""), aq_say_ec(sheet->arena, t->expected),
                        aq_say_ec(sheet->arena, t->reads));
}

static aq_status trace_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    tracing t = { .volume = 0 };
    aq_sheet *sheet;
    aq_status status = work_out(&t, arena, asked, err);

    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "trace");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title = aq_arena_format(arena, "expected %s, reads %s", aq_say_ec(arena, t.expected),
                                   aq_say_ec(arena, t.reads));
    sheet->volume = aq_amount_of(t.volume, "L");
    if (!sheet->title || !add_figures(sheet, &t, asked) || !aq_say_ladder(sheet, AQ_STEPS_ALL) ||
        !add_step(sheet, &t, asked) || !add_why(sheet, &t, asked))
        return AQ_NO_MEMORY;
    status = add_causes(sheet, &t, asked);
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static const aq_shape trace_asks = {
    .noun = "trace", .fields = trace_rows, .count = AQ_ROWS_COUNT(trace_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_trace = { .name = "trace",
                              .does = "which single slip explains a reading that disagrees",
                              .asks = &trace_asks,
                              .run = trace_run,
                              .example = "aliquot trace --volume 100L --water-ec 0.30mS/cm --reads 1.55mS/cm "
                                         "--together '{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}' "
                                         "--poured '{A: 375 mL, B: 375 mL}'" };
