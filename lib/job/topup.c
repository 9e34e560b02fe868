/* Two readings of one tank: what the plants take with a litre, what to top up with, when EC crosses a limit.
 *
 * Uptake strength is salts lost per litre lost, (V1 e1 - V2 e2) / (V1 - V2): a top-up of that strength puts back what
 * was taken. Example: 80 L at 1.8 and later 62 L at 2.05 lost 144 - 127.1 in 18 L, so 0.939 mS/cm. The dose is that of
 * a reservoir change with the rest as its old solution. */
#include "job/feed.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "job/show.h"
#include "job/source.h"
#include "solve/drift.h"

#include <math.h>
#include <string.h>

static const double small_change = 0.02; /* mS/cm: a plain top-up that moves EC by less is as good as any */

static const aq_field topup_rows[] = {
    { .key = "before",
      .read = AQ_READ_LEVEL,
      .into = AQ_INTO(before),
      .help = "the first reading: level and EC",
      .example = "80L@1.8mS/cm" },
    { .key = "after",
      .read = AQ_READ_LEVEL,
      .into = AQ_INTO(after),
      .help = "the second reading",
      .example = "62L@2.05mS/cm" },
    { .key = "hours",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TIME,
      .bare = true,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 100000,
      .into = AQ_INTO(hours),
      .help = "between the readings",
      .example = "72 h" },
    AQ_ROW_READING("limit", limit, "the EC whose crossing is asked about", "2.4 mS/cm"),
    { .key = "at",
      .read = AQ_READ_MOMENT,
      .into = AQ_INTO(at),
      .help = "date and time of the second reading",
      .example = "2026-03-05T07:30" },
    AQ_ROW_WATER_EC,
    AQ_ROW_WATER,
    AQ_ROW_RECIPE,
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    AQ_ROW_POURED,
    AQ_ROW_LEVEL,
    AQ_ROWS_OF_EVERY_JOB,
};

typedef struct {
    aq_tank_state before, after;
    double level; /* L, fill to */
    double days;  /* NaN: not said */
    double uptake, uses;
    double water_ec;  /* NaN: not said */
    double wanted_ec; /* of the filled tank, topped up at uptake strength */
} drinking;

/* A count is hours; a time with a unit is what it says. */
static double days_of(aq_quantity hours)
{
    if (!hours.given)
        return NAN;
    return aq_kind_equal(hours.kind, AQ_KIND_TIME) ? hours.value : hours.value / 24;
}

static aq_status work_out(drinking *d, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_source source;
    aq_status status;

    if (!asked->before.given)
        return aq_ask_for(err, "before", "the first reading is needed, like 80L@1.8mS/cm");
    if (!asked->after.given)
        return aq_ask_for(err, "after", "the second reading is needed, like 62L@2.05mS/cm");
    d->before = (aq_tank_state){ asked->before.volume.value, asked->before.ec.value };
    d->after = (aq_tank_state){ asked->after.volume.value, asked->after.ec.value };
    if (!(d->after.volume < d->before.volume))
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--after", 0, 0, 0 },
                       "after: the level has not fallen since the first reading, so nothing was drunk");
    d->level = asked->level.given ? asked->level.value : d->before.volume;
    if (!(d->level > d->after.volume))
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--level", 0, 0, 0 },
                       "level: the tank holds that much already");
    d->days = days_of(asked->hours);
    if (asked->limit.given && isnan(d->days))
        return aq_ask_for(err, "hours", "how long between the two readings, like 72? A limit needs it");
    status = aq_source_of(&source, arena, asked, err);
    if (status != AQ_OK)
        return status;
    d->water_ec = source.ec;
    if (isnan(d->water_ec) && asked->part.count)
        return aq_ask_for(err, "water-ec", "what does the water read that is added, like 0.4 mS/cm?");
    d->uptake = aq_drift_uptake(d->before, d->after);
    d->uses = aq_drift_uses(d->before, d->after, d->days);
    d->wanted_ec =
        aq_tank_mixed(d->after, (aq_tank_state){ d->level - d->after.volume, fmax(d->uptake, 0) }).ec;
    return AQ_OK;
}

/* What the tank reads when topped up with a solution of `ec`. */
static double topped_with(const drinking *d, double ec)
{
    return aq_tank_mixed(d->after, (aq_tank_state){ d->level - d->after.volume, ec }).ec;
}

static bool add_crossing(aq_sheet *sheet, const drinking *d, const aq_asked *asked)
{
    double days;
    aq_moment at = asked->at;
    char text[AQ_DATE_ROOM];
    long minutes;

    if (!asked->limit.given || isnan(d->uses))
        return true;
    /* EC rises where the plants take less than the tank has; then a limit below it was crossed before now */
    if (d->uptake < d->after.ec && d->after.ec > asked->limit.value)
        return aq_sheet_caution(sheet, "EC is past the limit of %s already: add plain water",
                                aq_say_ec(sheet->arena, asked->limit.value));
    days = aq_drift_crosses(d->after, d->uses, d->uptake, asked->limit.value);
    if (!isfinite(days))
        return aq_sheet_next(sheet, "EC will not cross %s before the tank is dry",
                             aq_say_ec(sheet->arena, asked->limit.value));
    if (!aq_sheet_figure(sheet, "crosses_in", days * 24, "h"))
        return false;
    if (at.date.year && at.minute < 0)
        return aq_sheet_assume(sheet, "when that is depends on the hour of the second reading: say it, like "
                                      "--at '2026-03-05 07:30'");
    if (!at.date.year || days > 100000)
        return true;
    minutes = at.minute + lround(days * 1440);
    at.date = aq_date_add(at.date, minutes / 1440);
    at.minute = (int)(minutes % 1440);
    aq_moment_write(at, text);
    return aq_sheet_figure_text(sheet, "crosses_at", aq_arena_format(sheet->arena, "%s", text));
}

static bool add_figures(aq_sheet *sheet, const drinking *d, const aq_asked *asked)
{
    return aq_sheet_figure(sheet, "uptake", d->uptake, "mS/cm") &&
           (isnan(d->uses) || aq_sheet_figure(sheet, "uses", d->uses, "L/d")) &&
           (isnan(d->water_ec) || aq_sheet_figure(sheet, "plain_ec", topped_with(d, d->water_ec), "mS/cm")) &&
           aq_sheet_figure(sheet, "full_ec", topped_with(d, d->before.ec), "mS/cm") &&
           add_crossing(sheet, d, asked) &&
           aq_sheet_why(sheet, "(%s x %s - %s x %s) / %s = %s", aq_say(sheet->arena, d->before.volume, ""),
                        aq_say(sheet->arena, d->before.ec, ""), aq_say(sheet->arena, d->after.volume, ""),
                        aq_say(sheet->arena, d->after.ec, ""),
                        aq_say(sheet->arena, d->before.volume - d->after.volume, ""),
                        aq_say_ec(sheet->arena, d->uptake));
}

static const char *verdict_of(const drinking *d)
{
    if (!isnan(d->water_ec) && d->uptake <= d->water_ec + small_change)
        return "plain water";
    if (d->uptake >= d->before.ec - small_change)
        return "full strength or more";
    return "part strength";
}

static bool add_words(aq_sheet *sheet, const drinking *d)
{
    sheet->verdict = verdict_of(d);
    if (d->uptake < 0 &&
        !aq_sheet_caution(sheet, "salts were gained between the readings: was something poured, or a "
                                 "reading taken before the tank was stirred?"))
        return false;
    return aq_sheet_caution(sheet, "a leak loses salts as well as water, and looks like a stronger uptake") &&
           aq_sheet_assume(sheet, "evaporation takes no salt, so the uptake strength includes it already");
}

/* Water alone: nothing to dose with, or nothing to dose. */
static aq_status plain(aq_sheet **out, aq_arena *arena, const aq_asked *asked, const drinking *d)
{
    aq_sheet *sheet = aq_sheet_new(arena, "topup");
    aq_row *row = sheet ? aq_sheet_row(sheet, AQ_DO_WATER) : NULL;
    double litres = d->level - d->after.volume;

    if (!row)
        return AQ_NO_MEMORY;
    row->exact = aq_amount_volume(litres, false);
    row->amount = aq_amount_volume(litres, true);
    sheet->volume = aq_amount_of(d->level, "L");
    if (!isnan(d->water_ec))
        sheet->expect_ec = aq_amount_within(topped_with(d, d->water_ec), "mS/cm", 0.10);
    if (strcmp(verdict_of(d), "plain water") != 0 &&
        !aq_sheet_caution(
            sheet,
            "this is plain water, and the plants took %s with each litre: say what the water reads, "
            "water-ec, and which parts there are, and the dose is worked out",
            aq_say_ec(arena, d->uptake)))
        return AQ_NO_MEMORY;
    if (!isnan(d->water_ec) && !aq_say_meter(sheet, asked, sheet->expect_ec.value))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static aq_status topup_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_asked mixing = *asked;
    drinking d = { .level = 0 };
    aq_sheet *sheet = NULL;
    aq_status status = work_out(&d, arena, asked, err);

    if (status != AQ_OK)
        return status;
    mixing.volume = aq_quantity_of(d.level, AQ_KIND_VOLUME);
    mixing.heel = aq_quantity_of(d.after.volume, AQ_KIND_VOLUME);
    mixing.heel_ec = aq_quantity_of(d.after.ec, AQ_KIND_EC);
    mixing.aim = (aq_aim){ .ec = aq_quantity_of(d.wanted_ec, AQ_KIND_EC), .ph = asked->aim.ph };
    if (asked->part.count && !isnan(d.water_ec) && d.uptake > d.water_ec)
        status = aq_job_mix.run(&sheet, arena, &mixing, err);
    else
        status = plain(&sheet, arena, asked, &d);
    if (status != AQ_OK)
        return status;
    sheet->job = "topup";
    sheet->title = aq_arena_format(arena, "top up %s to %s", aq_show_volume(arena, asked, d.after.volume),
                                   aq_show_volume(arena, asked, d.level));
    if (!sheet->title || !add_figures(sheet, &d, asked) || !add_words(sheet, &d))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static const aq_shape topup_asks = {
    .noun = "topup", .fields = topup_rows, .count = AQ_ROWS_COUNT(topup_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_topup = {
    .name = "topup",
    .does = "what to top up with, from two readings of one tank",
    .asks = &topup_asks,
    .run = topup_run,
    .example = "aliquot topup --before 80L@1.8mS/cm --after 62L@2.05mS/cm --hours 72 "
               "--water-ec 0.4mS/cm --together '{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}'"
};
