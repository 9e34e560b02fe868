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

static const double readings_doubt = 0.03; /* mS/cm, of a difference of two readings of one meter */

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
    return aq_sheet_assume(sheet, "each reading is good to 0.015 mS/cm") &&
           aq_sheet_next(sheet, "this is good to %s %%: aim for a rise of 0.5 mS/cm to do better",
                         aq_say(sheet->arena, ceil(share * 100), ""));
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

/* Per mL/L of the first part that was poured: of a group, with its others in their ratio. */
static aq_status find_slope(aq_sheet *sheet, const aq_dose *dose, double rise, double volume)
{
    double rate = dose->already / volume * (dose->weighs ? 1 : 1000);

    return aq_sheet_figure_within(sheet, "slope", rise / rate,
                                  dose->weighs ? "mS/cm per g/L" : "mS/cm per mL/L", readings_doubt / rate) &&
                   aq_sheet_why(sheet, "%s / %s = %s", aq_say_ec(sheet->arena, rise),
                                aq_say(sheet->arena, rate, dose->weighs ? "g/L" : "mL/L"),
                                aq_say(sheet->arena, rise / rate, ""))
               ? AQ_OK
               : AQ_NO_MEMORY;
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
    bool by_slope = salts > 0 && !(asked->volume.given && !asked->tank);
    aq_status status = AQ_OK;

    if (!dose)
        return aq_ask_for(err, "part", "which of the parts is %s? Say it as a part, or in a group: together",
                          asked->poured.at[0].name);
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
        status = find_slope(sheet, dose, rise, asked->volume.value);
    if (status == AQ_OK && !add_doubt(sheet, readings_doubt / rise))
        status = AQ_NO_MEMORY;
    return status;
}

static aq_status learn_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_dosing dosing;
    aq_sheet *sheet;
    aq_status status = complete(asked, err);

    if (status == AQ_OK)
        status = aq_dosing_of(&dosing, arena, asked, AQ_DOSE_ALL, 1, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "learn");
    if (!sheet)
        return AQ_NO_MEMORY;
    status = learn_both(sheet, asked, &dosing, err);
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
