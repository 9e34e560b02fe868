/* What the finished tank should read, and what to do when it reads otherwise, with the amounts already worked.
 *
 * Half of a gap is corrected, then the tank is read again: a meter is wrong as often as a tank (common practice, no
 * source). For a reading d too low, each dosed part is raised in proportion, by d / 2 in all, but never beyond its
 * label's top. For one d too high, W litres are swapped for water: W = V (d / 2) / (e + d - e_w). */
#include "job/feed.h"
#include "job/ladder.h"
#include "job/rows.h"
#include "job/show.h"

#include <math.h>

static const double gap = 0.2; /* mS/cm: a miss that is worth a correction on every meter */
static const double noticeable =
    0.02; /* share of the added EC, or of a dose, that rounding may move before the sheet says so */
static const double too_coarse = 0.05; /* share of a dose beyond which it is not what was asked for */
static const double printed = 0.005;   /* mS/cm: nearer readings are printed alike */

/* EC that the doses add, known also where the water's is not; 0 where nothing in the bottle carries any. */
double aq_feed_adds(const aq_feed *feed)
{
    double sum = 0;

    if (isfinite(feed->poured->ec) && aq_feed_carries_ec(feed))
        return aq_feed_added(feed);
    if (!aq_feed_carries_ec(feed)) {
        for (size_t i = 0; i < feed->dosing.count; i++)
            if (!feed->dosing.at[i].part->composition)
                return NAN; /* nothing is known of it */
        return 0;
    }
    for (size_t i = 0; i < feed->dosing.column_count; i++)
        sum += feed->dosing.columns[i].slope * feed->poured->x[i];
    return sum;
}

/* How much more of each column lifts the tank by half the gap, in its x: the doses of `to` parts stay. */
static double raised(const aq_feed *feed, size_t column, double share)
{
    const aq_mix_column *c = &feed->problem.columns[column];
    double more = feed->poured->x[column] * share;
    double room = c->top - c->already - feed->poured->x[column];

    if (!isnan(c->to))
        return 0;
    return feed->problem.over_label ? more : fmin(more, fmax(room, 0));
}

/* mS/cm that the columns without a mark of their own add. */
static double raisable(const aq_feed *feed)
{
    double sum = 0;

    for (size_t i = 0; i < feed->problem.count; i++)
        if (isnan(feed->problem.columns[i].to) && isfinite(feed->poured->slope[i]))
            sum += feed->poured->slope[i] * feed->poured->x[i];
    return sum;
}

static aq_status round_raises(aq_portion *portions, const aq_feed *feed, double share, aq_error *err)
{
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        double more = aq_feed_amount(feed, i, raised(feed, dose->column, share));

        portions[i] = feed->portions[i];
        portions[i].exact = more;
        portions[i].top = fmax(portions[i].top - feed->portions[i].reaches, 0);
    }
    return aq_portions_round(portions, feed->dosing.count, &feed->asked->bench, err);
}

static aq_status add_low(aq_sheet *sheet, const aq_feed *feed, aq_error *err)
{
    double share = gap / 2 / raisable(feed);
    aq_portion *portions = aq_arena_take_array(feed->arena, feed->dosing.count + 1, sizeof *portions);
    aq_aside *aside = aq_asides_add(feed->arena, &sheet->if_reads);
    aq_status status;

    if (!portions || !aside)
        return AQ_NO_MEMORY;
    aside->ec = aq_amount_of(aq_decimal_round(feed->poured->ec - gap, 12), "mS/cm");
    status = round_raises(portions, feed, share, err);
    for (size_t i = 0; status == AQ_OK && i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        aq_amount amount = aq_dose_amount(dose, portions[i].reaches, true);

        if (portions[i].reaches > 0 &&
            !aq_pours_add(feed->arena, &aside->pours, dose->weighs ? AQ_DO_WEIGH : AQ_DO_POUR, dose->name,
                          amount))
            return AQ_NO_MEMORY;
    }
    aside->say = aside->pours.count ? aq_ladder_half_said
                                    : "nothing more may be poured: the label's top is reached. Check volume, "
                                      "water and meter";
    return status;
}

static aq_status add_high(aq_sheet *sheet, const aq_feed *feed)
{
    double reads = feed->poured->ec + gap;
    double swap = feed->problem.volume * (gap / 2) / (reads - feed->source.ec);
    aq_aside *aside = aq_asides_add(feed->arena, &sheet->if_reads);
    aq_amount amount = aq_amount_volume(swap, true);

    if (!aside)
        return AQ_NO_MEMORY;
    aside->ec = aq_amount_of(aq_decimal_round(reads, 12), "mS/cm");
    aside->say = aq_ladder_half_said;
    return aq_pours_add(feed->arena, &aside->pours, AQ_DO_DRAIN, NULL, amount) &&
                   aq_pours_add(feed->arena, &aside->pours, AQ_DO_WATER, NULL, amount)
               ? AQ_OK
               : AQ_NO_MEMORY;
}

static aq_status add_if_reads(aq_sheet *sheet, const aq_feed *feed, aq_error *err)
{
    aq_status status = AQ_OK;

    if (raisable(feed) > 0 && feed->poured->ec > gap)
        status = add_low(sheet, feed, err);
    if (status == AQ_OK && feed->source.ec < feed->poured->ec)
        status = add_high(sheet, feed);
    return status;
}

/* A dose on the marks of a coarse tool reads another EC than the one asked for. */
static bool say_rounding(aq_sheet *sheet, const aq_feed *feed)
{
    double off = feed->poured->ec - feed->exact->ec;

    if (!(fabs(off) > noticeable * (feed->exact->ec - feed->exact->base_ec)) || fabs(off) < printed)
        return true;
    return aq_sheet_caution(sheet, "on the marks of these tools the tank reads %s instead of %s",
                            aq_say_ec(sheet->arena, feed->poured->ec),
                            aq_say_ec(sheet->arena, feed->exact->ec));
}

/* A weighed dose of less than five marks, where nothing measures a solution of it: the miss is told, and what would do.
 * More than a twentieth is not what was asked for. */
static bool say_coarse(aq_sheet *sheet, const aq_feed *feed)
{
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_portion *p = &feed->portions[i];
        double off = p->exact > 0 ? p->reaches / p->exact - 1 : 0;
        double least = p->tool ? AQ_MARKS_LEAST * p->tool->marks : 0;

        if (!p->tool || p->prediluted || p->exact >= least * (1 - 1e-9) || !(fabs(off) > noticeable))
            continue;
        if (fabs(off) > too_coarse && sheet->outcome == AQ_MET)
            sheet->outcome = AQ_NEAREST;
        if (!aq_sheet_caution(
                sheet,
                "%s: the marks of %s give %s for %s, %s %% off: make at least %s, take a finer tool, or "
                "dissolve "
                "it and measure the solution with a syringe",
                feed->dosing.at[i].name, p->tool->name,
                aq_say(sheet->arena, aq_dose_amount(&feed->dosing.at[i], p->reaches, false).value,
                       aq_dose_amount(&feed->dosing.at[i], p->reaches, false).unit),
                aq_say(sheet->arena, aq_dose_amount(&feed->dosing.at[i], p->exact, false).value,
                       aq_dose_amount(&feed->dosing.at[i], p->exact, false).unit),
                aq_say(sheet->arena, aq_decimal_round(100 * off, 2), ""),
                aq_show_volume(sheet->arena, feed->asked, feed->problem.volume * least / p->exact)))
            return false;
    }
    return true;
}

/* As the meter's display counts it. */
static const char *say_shown(aq_arena *arena, const aq_meter *meter, double ec)
{
    return meter->scale >= 500
               ? aq_say(arena, ec * meter->scale, aq_arena_format(arena, "ppm-%d", meter->scale))
               : aq_say_ec(arena, ec);
}

bool aq_say_meter(aq_sheet *sheet, const aq_asked *asked, double ec)
{
    const aq_meter *meter = asked->site ? &asked->site->meter : NULL;
    double factor;

    if (!meter || !meter->given)
        return true;
    factor = aq_meter_factor(meter);
    if (fabs(factor - 1) < 0.005) /* less than what a pocket meter shows */
        return true;
    return aq_sheet_assume(sheet, AQ_METER_SHOWS "%s at %s", say_shown(sheet->arena, meter, ec / factor),
                           aq_say_ec(sheet->arena, ec));
}

bool aq_say_worked_out(aq_sheet *sheet, const aq_source *source)
{
    return !source->ec_worked_out ||
           aq_sheet_assume(sheet, "the water's EC is worked out from its analysis: %s; measure it",
                           aq_say_ec(sheet->arena, source->ec));
}

/* Nutrients that carry no charge: urea; and whole parts that bring no ions. */
static bool say_unseen(aq_sheet *sheet, const aq_feed *feed)
{
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_dose *dose = &feed->dosing.at[i];
        const aq_composition *holds = dose->part->composition;

        if (!(feed->portions[i].reaches > 0) || !holds || !(holds->mass[AQ_N_UREA] > 0))
            continue;
        if (!aq_sheet_unseen(sheet, "the urea of %s: measure its dose with care", dose->name))
            return false;
    }
    return true;
}

static bool slopes_known(const aq_feed *feed)
{
    for (size_t i = 0; i < feed->problem.count; i++)
        if (isnan(feed->poured->slope[i]))
            return false;
    return feed->problem.count > 0;
}

/* What is missing for a reading. */
static bool say_no_promise(aq_sheet *sheet, const aq_feed *feed)
{
    if (!slopes_known(feed))
        return aq_sheet_assume(sheet,
                               "no EC is promised: jar-test 1 L, read it, and say what each part adds");
    return aq_sheet_assume(sheet, "no EC is promised: say what the %s reads, %s",
                           isnan(feed->source.ec) ? "water" : "old solution",
                           isnan(feed->source.ec) ? "water-ec" : "heel-ec");
}

bool aq_feed_say_forms(aq_sheet *sheet, const aq_feed *feed)
{
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_composition *holds = feed->dosing.at[i].part->composition;

        if (feed->exact->x[feed->dosing.at[i].column] > 0 && holds && holds->mass[AQ_N_UNKNOWN] > 0 &&
            !aq_say_form(sheet, feed->dosing.at[i].name))
            return false;
    }
    return true;
}

aq_status aq_feed_expect(aq_sheet *sheet, const aq_feed *feed, aq_error *err)
{
    const aq_range *ph = &feed->asked->aim.ph;

    if (ph->low.given) {
        sheet->expect_ph_low = ph->low.value;
        sheet->expect_ph_high = ph->high.value;
    }
    if (!say_unseen(sheet, feed) || !aq_feed_say_forms(sheet, feed) || !say_coarse(sheet, feed))
        return AQ_NO_MEMORY;
    if (isnan(feed->poured->ec))
        return say_no_promise(sheet, feed) ? AQ_OK : AQ_NO_MEMORY;
    sheet->expect_ec = aq_feed_reading(feed, feed->poured->ec);
    if (!aq_say_worked_out(sheet, &feed->source) || !say_rounding(sheet, feed) ||
        !aq_say_meter(sheet, feed->asked, feed->poured->ec) || !aq_say_ladder(sheet, AQ_STEPS_ALL))
        return AQ_NO_MEMORY;
    return add_if_reads(sheet, feed, err);
}
