/* From one addition to a tank: its volume, where the slope is known; or the slope, where the volume is.
 *
 *     V = k m / (e2 - e1)          k = V (e2 - e1) / m
 *
 * Two readings of +/-0.015 mS/cm each leave the difference uncertain by 0.03: 40 mL of each part that took a tank from
 * 1.10 to 1.31 say 76.2 L, but no better than +/-14 %. Aim for a rise of 0.5 to halve that. */
#include "job/dose.h"
#include "job/jobs.h"
#include "job/rows.h"

#include <math.h>
#include <string.h>

static const double readings_doubt = 0.03; /* mS/cm, of a difference of two readings of one meter */
static const double good_enough = 0.06 + 1e-9,
                    too_doubtful = 0.5; /* shares: rises of 0.5 and of 0.06 mS/cm */
static const double level_slack = 0.02; /* share: a mark read twice, and the parts themselves */
static const double ratio_slack = 0.02; /* share by which what was poured of a group may be off its ratio */

static const aq_field learn_rows[] = {
    { .key = "before",
      .read = AQ_READ_LEVEL,
      .bare = true,
      .into = AQ_INTO(before),
      .help = "reading before the addition",
      .example = "1.10 mS/cm" },
    { .key = "after",
      .read = AQ_READ_LEVEL,
      .bare = true,
      .into = AQ_INTO(after),
      .help = "reading after it",
      .example = "1.31 mS/cm" },
    AQ_ROW_POURED,
    AQ_ROW_RECIPE,
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    AQ_ROW_LITRES("volume", volume, "of the tank, where the slope is looked for: 1 L in a jar test", "1 L"),
    { .key = "since",
      .read = AQ_READ_DATE,
      .into = AQ_INTO(since),
      .help = "first day of the log that counts",
      .example = "2026-01-01" },
    AQ_ROWS_OF_EVERY_JOB,
};

static aq_status complete(const aq_asked *asked, aq_error *err)
{
    if (asked->since.year && !asked->before.given && !asked->after.given)
        return aq_ask_for(err, "since", "of which log? Name the site that it lies beside, or the file: log");
    if (!asked->before.given || !asked->after.given)
        return aq_ask_for(err, asked->before.given ? "after" : "before",
                          "a reading is needed, like 1.10 mS/cm");
    if (!asked->poured.count)
        return aq_ask_for(err, "poured", "what was poured in between, like {A: 40 mL, B: 40 mL}?");
    if (!(asked->after.ec.value > asked->before.ec.value))
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--after", 0, 0, 0 },
                       "after: EC did not rise, so the addition tells nothing: was the tank stirred?");
    return AQ_OK;
}

/* mS/cm times L that all of it adds, by the slopes: `already` is per litre of the one litre asked about. */
static double salts_of(const aq_dosing *dosing)
{
    double salts = 0;

    for (size_t i = 0; i < dosing->count; i++) {
        const aq_dose *dose = &dosing->at[i];
        const aq_mix_column *column = &dosing->columns[dose->column];

        if (!(dose->already > 0))
            continue;
        salts += column->slope * dose->already / dose->amount / (double)column->member_count;
    }
    return salts;
}

static bool add_doubt(aq_sheet *sheet, double share)
{
    const char *good = aq_say(sheet->arena, ceil(share * 100 - 1e-9), "");

    if (share > too_doubtful &&
        !aq_sheet_caution(sheet,
                          "this rise is too small to tell anything: pour on until it is 0.3 mS/cm at least"))
        return false;
    return aq_sheet_assume(sheet, "each reading is good to 0.015 mS/cm") &&
           (share > good_enough
                ? aq_sheet_next(sheet, "this is good to %s %%: aim for a rise of 0.5 mS/cm to do better",
                                good)
                : aq_sheet_next(sheet, "this is good to %s %%", good));
}

static aq_status find_volume(aq_sheet *sheet, double salts, double rise)
{
    double share = readings_doubt / rise;

    return aq_sheet_figure_within(sheet, "volume", salts / rise, "L", salts / rise * share) &&
                   aq_sheet_why(sheet, "%s / %s = %s", aq_say(sheet->arena, salts, "mS/cm L"),
                                aq_say(sheet->arena, rise, ""), aq_say(sheet->arena, salts / rise, "L"))
               ? AQ_OK
               : AQ_NO_MEMORY;
}

/* Per mL/L (or g/L) of a part; of a group per what its label counts as one. */
static aq_status find_slope(aq_sheet *sheet, double units, bool weighs, double rise)
{
    const char *unit = weighs ? "g/L" : "mL/L";

    return aq_sheet_figure_within(sheet, "slope", rise / units, weighs ? "mS/cm per g/L" : "mS/cm per mL/L",
                                  readings_doubt / units) &&
                   aq_sheet_why(sheet, "%s / %s = %s", aq_say_ec(sheet->arena, rise),
                                aq_say(sheet->arena, units, unit), aq_say(sheet->arena, rise / units, ""))
               ? AQ_OK
               : AQ_NO_MEMORY;
}

/* A jar test of things that were only named as they were poured, in equal amounts: 2 mL of A and 2 mL of B in 1 L are
 * 2 mL/L of a pair. */
static aq_status from_poured(aq_sheet *sheet, const aq_asked *asked, double rise, aq_error *err)
{
    const aq_amounts *poured = &asked->poured;
    const aq_quantity *first = &poured->at[0].amount;
    bool weighs = aq_kind_equal(first->kind, AQ_KIND_MASS) || aq_kind_equal(first->kind, AQ_KIND_CONTENT);
    bool whole = aq_kind_equal(first->kind, AQ_KIND_MASS) || aq_kind_equal(first->kind, AQ_KIND_VOLUME);
    double rate = first->value / (whole ? asked->volume.value : 1);
    bool equal = asked->volume.given && !asked->part.count && rate > 0;

    for (size_t i = 1; equal && i < poured->count; i++)
        equal = aq_kind_equal(poured->at[i].amount.kind, first->kind) &&
                fabs(poured->at[i].amount.value - first->value) <= 1e-9 * first->value;
    if (!equal)
        return aq_ask_for(err, "part", "which of the parts is %s? Say it as a part, or in a group: together",
                          poured->at[0].name);
    sheet->title = "what the parts add, from one addition";
    return find_slope(sheet, rate * (weighs ? 1 : 1000), weighs, rise);
}

static const aq_dose *first_poured(const aq_dosing *dosing)
{
    for (size_t i = 0; i < dosing->count; i++)
        if (dosing->at[i].already > 0)
            return &dosing->at[i];
    return NULL;
}

/* What is known decides what is learned: the volume by the slopes, the slope by the volume; a tank of the site whose
 * parts are known gives both, each by the other. */
static aq_status learn_both(aq_sheet *sheet, const aq_asked *asked, const aq_dosing *dosing, aq_error *err)
{
    const aq_dose *dose = first_poured(dosing);
    double salts = salts_of(dosing), rise = asked->after.ec.value - asked->before.ec.value;
    double volume = asked->volume.value;
    bool by_slope = salts > 0 && !(asked->volume.given && !asked->tank);
    aq_status status = AQ_OK;

    if (!dose)
        return from_poured(sheet, asked, rise, err);
    if (!by_slope && !asked->volume.given)
        return aq_ask_for(err, "together",
                          "what do the parts add, like {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}? Or "
                          "say the volume, to find that");
    sheet->title = !by_slope             ? "what the parts add, from one addition"
                   : asked->volume.given ? "a tank and its parts, from one addition"
                                         : "the volume of a tank, from one addition";
    if (by_slope)
        status = find_volume(sheet, salts, rise);
    if (status == AQ_OK && asked->volume.given)
        status = find_slope(sheet, dose->already / volume / aq_dose_counts(asked, dose), dose->weighs, rise);
    return status;
}

/* A level names the tank's volume as well, where no slope is known that would tell another. */
static void take_level(aq_asked *asked, const aq_dosing *dosing)
{
    const aq_quantity *level = asked->after.volume.given ? &asked->after.volume : &asked->before.volume;

    if (!asked->volume.given && level->given && !(salts_of(dosing) > 0))
        asked->volume = *level;
}

/* What came in beside the parts has an EC of its own, which nobody said. */
static aq_status check_levels(const aq_asked *asked, aq_error *err)
{
    double before = asked->before.volume.value, after = asked->after.volume.value;

    if (!asked->before.volume.given || !asked->after.volume.given ||
        fabs(after - before) <= level_slack * before)
        return AQ_OK;
    return aq_fail(
        err, AQ_CONFLICT, (aq_place){ "--after", 0, 0, 0 },
        "after: the level changed by more than the parts make: fill up first, read, pour, and read "
        "again");
}

/* A rate is so much in the tank that was said; without a volume it is no amount. */
static aq_status take_amounts(aq_asked *asked, aq_arena *arena, aq_error *err)
{
    const aq_amounts said = asked->poured;
    aq_quantity volume = asked->volume;

    if (!volume.given)
        volume = asked->after.volume.given ? asked->after.volume : asked->before.volume;
    memset(&asked->poured, 0, sizeof asked->poured);
    for (size_t i = 0; i < said.count; i++) {
        aq_named_amount *one = aq_list_add(arena, &asked->poured, sizeof *one);
        bool rate = aq_kind_equal(said.at[i].amount.kind, AQ_KIND_RATE),
             content = aq_kind_equal(said.at[i].amount.kind, AQ_KIND_CONTENT);

        if (!one)
            return AQ_NO_MEMORY;
        *one = said.at[i];
        if (!rate && !content)
            continue;
        if (!volume.given)
            return aq_fail(
                err, AQ_MISSING, one->place,
                "poured: %s: a rate is no amount while the volume is not known: say what was poured, "
                "like 40 mL",
                one->name);
        one->amount = aq_quantity_of(one->amount.value * volume.value, rate ? AQ_KIND_VOLUME : AQ_KIND_MASS);
    }
    return AQ_OK;
}

/* Of a group only the whole is known, so pours in another ratio than its own tell nothing. */
static aq_status check_ratio(const aq_dosing *dosing, aq_error *err)
{
    for (size_t i = 0; i < dosing->count; i++) {
        const aq_dose *dose = &dosing->at[i];
        const aq_mix_column *column = &dosing->columns[dose->column];

        for (size_t j = 0; column->member_count > 1 && j < i; j++) {
            const aq_dose *other = &dosing->at[j];

            if (other->column == dose->column &&
                fabs(dose->already / dose->amount - other->already / other->amount) >
                    ratio_slack * (dose->already / dose->amount + other->already / other->amount))
                return aq_fail(
                    err, AQ_CONFLICT, (aq_place){ 0 },
                    "poured: %s and %s are dosed together, and were not poured in their ratio: what "
                    "each adds is not known apart",
                    other->name, dose->name);
        }
    }
    return AQ_OK;
}

static aq_status learn_run(aq_sheet **out, aq_arena *arena, const aq_asked *line, aq_error *err)
{
    aq_asked with_level = *line, *asked = &with_level;
    aq_dosing dosing;
    aq_sheet *sheet;
    aq_status status = complete(asked, err);

    if (status == AQ_OK)
        status = check_levels(asked, err);
    if (status == AQ_OK)
        status = take_amounts(asked, arena, err);
    if (status == AQ_OK)
        status = aq_dosing_of(&dosing, arena, asked, AQ_DOSE_EVERY, 1, err);
    if (status == AQ_OK)
        status = check_ratio(&dosing, err);
    if (status != AQ_OK)
        return status;
    take_level(asked, &dosing);
    sheet = aq_sheet_new(arena, "learn");
    if (!sheet)
        return AQ_NO_MEMORY;
    status = learn_both(sheet, asked, &dosing, err);
    if (status == AQ_OK &&
        !add_doubt(sheet, readings_doubt / (asked->after.ec.value - asked->before.ec.value)))
        status = AQ_NO_MEMORY;
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static const aq_shape learn_asks = {
    .noun = "learn", .fields = learn_rows, .count = AQ_ROWS_COUNT(learn_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_learn = {
    .name = "learn",
    .does = "a tank's volume, or a part's EC, from one addition",
    .asks = &learn_asks,
    .run = learn_run,
    .example = "aliquot learn --before 1.10mS/cm --after 1.31mS/cm --poured '{A: 40 mL, B: 40 mL}' "
               "--together '{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}'"
};
