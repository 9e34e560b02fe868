/* What a reading means: its scale, the temperature of the water, the last standard.
 *
 *     ec = shown x factor / (1 + a (t - 25))      factor = standard / what the meter showed in it
 *
 * The second term only for a meter that does not correct to 25 degC by itself; a is 2 % per degC where none is given,
 * as ISO 7888 and the meters themselves count it. Example: 1520 uS/cm at 16.67 degC, not corrected, is
 * 1.52 / (1 + 0.02 x -8.33) = 1.82 mS/cm. */
#include "base/decimal.h"
#include "chemistry/standard.h"
#include "job/jobs.h"
#include "job/ladder.h"
#include "job/rows.h"

#include <math.h>
#include <string.h>

static const double usual_coefficient = 0.02;  /* per degC; usual default of hand-held meters */
static const double coefficient_doubt = 0.001; /* per degC: feeds lie between 1.83 and 2.1 %/degC */
static const double probe_low = 0.85,
                    probe_high = 1.15;      /* factor of a probe worth keeping: common practice, no source */
static const double least_left = 0.2;       /* of a reading, in the coldest water that is still one */
static const double usual_tolerance = 0.10; /* mS/cm */

enum { SCALE_EC = 1, SCALE_CF = 2 };
static const char *const scale_names[] = { "EC", "CF", "ppm-500", "ppm-640", "ppm-700", NULL };
static const int scale_factors[] = { SCALE_EC, SCALE_CF, 500, 640, 700 };

static const aq_field meter_rows[] = {
    { .key = "reads",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_asked, shown),
      .help = "the reading in question, as the meter shows it",
      .example = "900 ppm-700" },
    { .key = "scale",
      .read = AQ_READ_CHOICE,
      .choices = scale_names,
      .into = offsetof(aq_asked, scale),
      .help = "what the meter's display counts in",
      .example = "ppm-500" },
    { .key = "temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = -5,
      .most = 60,
      .into = offsetof(aq_asked, temperature),
      .help = "of the water when it was read",
      .example = "17 degC" },
    { .key = "compensated",
      .read = AQ_READ_YES_NO,
      .into = offsetof(aq_asked, compensated),
      .help = "whether the meter corrects to 25 degC by itself",
      .example = "no" },
    { .key = "coefficient",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_PER_DEGREE,
      .bounded = true,
      .least = 0,
      .most = 0.05,
      .into = offsetof(aq_asked, coefficient),
      .help = "of temperature, 2 %/degC where not given",
      .example = "1.9 %/degC" },
    { .key = "standard",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 200,
      .into = offsetof(aq_asked, standard),
      .help = "EC of the standard at 25 degC, from its bottle",
      .example = "1413 uS/cm" },
    { .key = "standard-reads",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_asked, standard_shown),
      .help = "what the meter showed in the standard",
      .example = "1310 uS/cm" },
    { .key = "standard-temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = 0,
      .most = 50,
      .into = offsetof(aq_asked, standard_temperature),
      .help = "of the standard",
      .example = "20 degC" },
    { .key = "ec",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_asked, aim_shown),
      .help = "the EC it should be",
      .example = "1.8 mS/cm" },
    { .key = "tolerance",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_asked, tolerance_shown),
      .help = "how far from that is near enough",
      .example = "0.1 mS/cm" },
    AQ_ROWS_OF_EVERY_JOB,
};

/* One reading on its way from the display to mS/cm at 25 degC. */
typedef struct {
    aq_said said;
    const aq_meter *meter; /* the site's; NULL: there is none, or it is not the one that was read */
    const aq_meter *other; /* the site's where another was read */
    int scale;             /* of scale_factors; 0: not known */
    bool found;            /* the scale, from the standard */
    double shown;          /* mS/cm by the scale; NaN: none */
    double factor;         /* last standard */
    double standard;       /* at its temperature; NaN: none */
    double coefficient;
    bool compensated;
    double ec, within;     /* the answer */
    double aim, tolerance; /* NaN: none given */
} reading;

static const char *scale_word(int scale)
{
    for (size_t i = 0; scale_names[i]; i++)
        if (scale_factors[i] == scale)
            return scale_names[i];
    return NULL;
}

static aq_status ask_compensated(aq_error *err)
{
    aq_place nowhere = { "--compensated", 0, 0, 0 };
    aq_status status = aq_fail(err, AQ_AMBIGUOUS, nowhere,
                               "does this meter correct to 25 degC by itself? Say compensated: yes or no "
                               "(warm half a glass of feed: a reading that stays is corrected)");

    if (err)
        err->question =
            (aq_question){ .key = "compensated",
                           .count = 2,
                           .choice = { { "yes", "it corrects to 25 degC" },
                                       { "no", "it shows the EC of the water as warm as it is" } } };
    return status;
}

/* Whether the meter corrects to 25 degC by itself, by the line or by the site. */
static int compensation(const reading *r, const aq_asked *asked)
{
    return asked->compensated ? asked->compensated : r->meter ? r->meter->compensated : AQ_UNSAID;
}

/* The standard as warm as it was, 25 degC where nobody says. */
static double warm_standard(const aq_asked *asked)
{
    return asked->standard_temperature.given
               ? aq_standard_at(asked->standard.value, asked->standard_temperature.value)
               : asked->standard.value;
}

/* "707 ppm" or "707" in a standard of 1.413 mS/cm: the scale whose number is nearest to 707 / 1.413. */
static void find_scale(reading *r, const aq_asked *asked)
{
    double number = 0, ec = compensation(r, asked) == AQ_NO ? warm_standard(asked) : asked->standard.value;
    const char *text = asked->standard_shown;
    size_t used = aq_decimal_read(text, strlen(text), &number);
    double counts = number / ec;

    while (used && text[used] == ' ')
        used++;
    if (!used || strcmp(text + used, "ppm") != 0)
        return;
    r->scale = counts < 570 ? 500 : counts < 670 ? 640 : 700; /* halfway between the three scales */
    r->said.ppm = r->scale;
    r->found = true;
}

/* The scale in whose unit a reading was typed; 0 where it is a number alone, or cannot be read. */
static int scale_typed(const char *text, aq_said said)
{
    aq_quantity quantity;
    aq_error ignored = { .status = AQ_OK };

    if (!text || aq_quantity_read(&quantity, text, AQ_WANT_EC, &said, &ignored) != AQ_OK)
        return 0;
    return aq_meter_scale_typed(quantity.unit);
}

/* What the line says that the display counts in: by its own word, by the unit of what was read, or by what it says of a
 * bare ppm. Without a unit the site's meter may count in EC or CF, whatever a ppm would be. */
static int scale_of_line(const reading *r, const aq_asked *asked)
{
    int typed = scale_typed(asked->shown, r->said);

    if (asked->scale)
        return scale_factors[asked->scale - 1];
    if (!typed)
        typed = scale_typed(asked->standard_shown, r->said);
    if (typed)
        return typed;
    return r->meter && r->meter->scale > 0 && r->meter->scale < 500 ? 0 : r->said.ppm;
}

/* The site's meter is the one that was read, unless the line counts in a ppm that it does not show. */
static void take_scale(reading *r, const aq_asked *asked)
{
    int line;

    r->said = asked->said;
    r->meter = asked->site && asked->site->meter.given ? &asked->site->meter : NULL;
    line = scale_of_line(r, asked);
    if (r->meter && !aq_meter_counts_in(r->meter, line)) {
        r->other = r->meter;
        r->meter = NULL;
    }
    if (asked->scale || line >= 500 || !r->meter || !r->meter->scale)
        r->scale = line;
    else
        r->scale = r->meter->scale;
    if (r->scale >= 500)
        r->said.ppm = r->scale;
    else if (!r->scale && asked->standard_shown && asked->standard.given)
        find_scale(r, asked);
}

/* A line that says one scale of its meter and another of what that meter shows contradicts itself. */
static aq_status check_scale(const aq_quantity *shown, const char *option, const reading *r, aq_error *err)
{
    const char *own = r->scale >= 500 ? scale_word(r->scale) : "";
    const char *typed = shown->unit ? shown->unit->name : "";

    if (!own || strncmp(own, "ppm-", 4) != 0 || strncmp(typed, "ppm-", 4) != 0 || strcmp(own, typed) == 0)
        return AQ_OK;
    return aq_fail(err, AQ_CONFLICT, (aq_place){ option, 0, 0, 0 },
                   "scale: the meter is said to count in %s, and what it shows is said in %s: which is it?",
                   own, typed);
}

/* mS/cm from what the display shows: with a unit as that unit says, a number alone by the meter's scale. */
static aq_status read_shown(double *out, const char *text, const char *option, reading *r, aq_error *err)
{
    aq_quantity quantity;
    aq_error ignored = { .status = AQ_OK };
    double number;
    aq_status status;

    if (r->scale && aq_number_read(&number, text, &ignored) == AQ_OK) {
        *out = r->scale == SCALE_EC ? number : r->scale == SCALE_CF ? number / 10 : number / r->scale;
        status = AQ_OK;
    } else {
        status = aq_quantity_read(&quantity, text, AQ_WANT_EC, &r->said, err);
        *out = quantity.value;
        if (status == AQ_OK)
            status = check_scale(&quantity, option, r, err);
    }
    if (status == AQ_OK && !(*out >= 0 && *out <= 200))
        status = aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ option, 0, 0, 0 },
                         "%s is no reading of a solution; an EC lies between 0 and 200 mS/cm", text);
    else if (status != AQ_OK && err)
        err->place.source = option;
    return status;
}

static aq_status take_standard(reading *r, const aq_asked *asked, aq_error *err)
{
    bool warm = asked->standard_temperature.given;
    double shown;
    aq_status status;

    r->factor = r->meter && !asked->standard.given ? aq_meter_factor(r->meter) : 1;
    r->standard = NAN;
    if (!asked->standard.given)
        return AQ_OK;
    r->standard = warm_standard(asked);
    if (!asked->standard_shown)
        return AQ_OK;
    if (warm && compensation(r, asked) == AQ_UNSAID && fabs(asked->standard_temperature.value - 25) > 0.5)
        return ask_compensated(err);
    status = read_shown(&shown, asked->standard_shown, "--standard-reads", r, err);
    if (status == AQ_OK && !(shown > 0))
        status = aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--standard-reads", 0, 0, 0 },
                         "a meter that shows 0 in a standard measures nothing: clean or replace the probe");
    if (status == AQ_OK)
        r->factor = (r->compensated ? asked->standard.value : r->standard) / shown;
    return status;
}

/* An EC of the line that no display showed: its unit is its own, but a bare ppm is what the meter counts in. */
static aq_status read_ec(double *out, const char *text, const char *option, const reading *r, aq_error *err)
{
    aq_said said = r->said;
    aq_quantity quantity;
    aq_status status;

    *out = NAN;
    if (!text)
        return AQ_OK;
    status = aq_quantity_read(&quantity, text, AQ_WANT_EC, &said, err);
    if (status == AQ_OK && !(quantity.value >= 0 && quantity.value <= 200))
        status = aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ option, 0, 0, 0 },
                         "%s is no EC of a solution; one lies between 0 and 200 mS/cm", text);
    else if (status != AQ_OK && err)
        err->place.source = option;
    *out = quantity.value;
    return status;
}

static aq_status take_aim(reading *r, const aq_asked *asked, aq_error *err)
{
    aq_status status = read_ec(&r->aim, asked->aim_shown, "--ec", r, err);

    if (status == AQ_OK)
        status = read_ec(&r->tolerance, asked->tolerance_shown, "--tolerance", r, err);
    if (status == AQ_OK && r->tolerance <= 0)
        status = aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--tolerance", 0, 0, 0 },
                         "tolerance: must be more than 0 mS/cm");
    return status;
}

static aq_status work_out(reading *r, const aq_asked *asked, aq_error *err)
{
    const aq_meter *meter;
    aq_status status;
    int said;

    take_scale(r, asked);
    meter = r->meter;
    said = compensation(r, asked);
    r->compensated = said != AQ_NO;
    r->coefficient = asked->coefficient.given            ? asked->coefficient.value
                     : meter && meter->coefficient.given ? meter->coefficient.value
                                                         : usual_coefficient;
    status = take_aim(r, asked, err);
    if (status == AQ_OK)
        status = take_standard(r, asked, err);
    if (status != AQ_OK || !asked->shown) {
        r->shown = NAN;
        return status;
    }
    if (asked->temperature.given && said == AQ_UNSAID)
        return ask_compensated(err);
    if (asked->compensated == AQ_NO && !asked->temperature.given)
        return aq_ask_for(
            err, "temperature",
            "how warm was the water, like 17 degC? A meter that does not correct shows about 2 %% "
            "less for each degree under 25 degC");
    status = read_shown(&r->shown, asked->shown, "--reads", r, err);
    r->ec = r->shown * r->factor;
    if (asked->temperature.given && !r->compensated) {
        double away = asked->temperature.value - 25;

        if (1 + r->coefficient * away < least_left)
            return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ "--coefficient", 0, 0, 0 },
                           "coefficient: so large a one leaves nothing to read in water so cold; feeds have "
                           "about 2 %%/degC");
        r->ec /= 1 + r->coefficient * away;
        r->within = 2 * coefficient_doubt * fabs(away) * r->ec;
    }
    return status;
}

static bool add_figures(aq_sheet *sheet, const reading *r, const aq_asked *asked)
{
    bool fine = true;

    if (isfinite(r->shown)) {
        fine = aq_sheet_figure_within(sheet, "ec", r->ec, "mS/cm", r->within) &&
               aq_sheet_figure(sheet, "ppm-500", r->ec * 500, "ppm-500") &&
               aq_sheet_figure(sheet, "ppm-640", r->ec * 640, "ppm-640") &&
               aq_sheet_figure(sheet, "ppm-700", r->ec * 700, "ppm-700");
    }
    if (fine && scale_word(r->scale))
        fine = aq_sheet_figure_text(sheet, "scale", scale_word(r->scale));
    if (fine && isfinite(r->standard))
        fine = aq_sheet_figure(sheet, "standard", r->standard * 1000, "uS/cm");
    if (fine && (asked->standard_shown || r->factor != 1)) /* exactly 1 where no standard was read */
        fine = aq_sheet_figure(sheet, "factor", r->factor, "1");
    if (fine && isfinite(r->aim) && isfinite(r->shown))
        fine = aq_sheet_figure(sheet, "over", r->ec - r->aim, "mS/cm");
    return fine;
}

static bool add_verdict(aq_sheet *sheet, const reading *r)
{
    double tolerance = isfinite(r->tolerance) ? r->tolerance : usual_tolerance;
    double over = r->ec - r->aim;

    if (!isfinite(r->aim) || !isfinite(r->shown))
        return true;
    sheet->verdict = fabs(over) <= tolerance + 1e-9 ? "within tolerance"
                     : over > 0                     ? "too strong"
                                                    : "too weak";
    if (!isfinite(r->tolerance) &&
        !aq_sheet_assume(sheet, "tolerance: %s, as none was given", aq_say_ec(sheet->arena, tolerance)))
        return false;
    if (fabs(over) <= tolerance + 1e-9)
        return true;
    return aq_say_ladder(sheet, AQ_STEP_CIRCULATE | AQ_STEP_PROBE | AQ_STEP_STANDARD | AQ_STEP_HALF |
                                    (over > 0 ? AQ_STEP_STRONG : 0));
}

/* 800 ppm in 1413 uS/cm is a ppm-500 that reads 13 % high, or a ppm-640 that reads 12 % low: then only the label or
 * the manual of the meter tells. The EC is the same by either, for the standard and the reading share the scale. */
static bool say_other_scale(aq_sheet *sheet, const reading *r, const aq_asked *asked)
{
    static const int scales[] = { 500, 640, 700 };

    for (size_t i = 0; i < sizeof scales / sizeof *scales; i++) {
        double factor = r->factor * scales[i] / r->scale;

        if (scales[i] == r->scale || !(fabs(factor - 1) < 1.5 * fabs(r->factor - 1)))
            continue;
        if (!aq_sheet_assume(
                sheet,
                "scale: %s, the nearest by %s in the standard; were it %s, the factor would be %s "
                "and the EC the same",
                scale_word(r->scale), asked->standard_shown, scale_word(scales[i]),
                aq_say(sheet->arena, factor, "")))
            return false;
    }
    return true;
}

static bool add_words(aq_sheet *sheet, const reading *r, const aq_asked *asked)
{
    bool fine = true;

    if (r->factor < probe_low || r->factor > probe_high)
        fine = aq_sheet_caution(
            sheet,
            "the last standard is out by a factor of %s: clean the probe, try a fresh standard, "
            "or replace the probe",
            aq_say(sheet->arena, r->factor, ""));
    if (fine && r->found)
        fine = say_other_scale(sheet, r, asked);
    if (fine && r->other)
        fine =
            aq_sheet_assume(sheet,
                            "meter: another one, for the site's counts in %s and this counts in %s, so that "
                            "the site's last standard does not correct it",
                            scale_word(r->other->scale), scale_word(r->scale));
    if (fine && isfinite(r->standard) && compensation(r, asked) == AQ_UNSAID &&
        fabs(r->standard - asked->standard.value) > 1e-9)
        fine = aq_sheet_caution(sheet,
                                "only a meter that does not correct to 25 degC shows the standard's value at "
                                "its own temperature; one that does shows %s",
                                aq_say_ec(sheet->arena, asked->standard.value));
    if (fine && isfinite(r->shown) && !r->compensated && !asked->temperature.given)
        fine =
            aq_sheet_assume(sheet, "reads: at 25 degC, for this meter does not correct; in colder water it "
                                   "shows about 2 %% less for each degree: say the temperature");
    if (fine && asked->temperature.given && !r->compensated && !asked->coefficient.given)
        fine = aq_sheet_assume(sheet, "coefficient: %s %%/degC, the usual one for feeds",
                               aq_say(sheet->arena, r->coefficient * 100, ""));
    if (fine && isfinite(r->shown))
        fine = aq_sheet_why(sheet, "shown %s x factor %s%s = %s", aq_say_ec(sheet->arena, r->shown),
                            aq_say(sheet->arena, r->factor, ""),
                            asked->temperature.given && !r->compensated ? ", to 25 degC" : "",
                            aq_say_ec(sheet->arena, r->ec));
    return fine;
}

static aq_status meter_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    reading r = { .shown = NAN };
    aq_sheet *sheet;
    aq_status status;

    if (!asked->shown && !asked->standard.given)
        return aq_fail(err, AQ_MISSING, (aq_place){ "--reads", 0, 0, 0 },
                       "reads: the reading in question is needed, like 1.62 mS/cm; or a standard alone");
    if (asked->standard_shown && !asked->standard.given)
        return aq_ask_for(err, "standard",
                          "which standard did it read, like 1413 uS/cm? It is on its bottle");
    status = work_out(&r, asked, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "meter");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title = isfinite(r.shown) ? aq_arena_format(arena, "the meter shows %s", asked->shown)
                                     : "what the standard reads";
    if (!sheet->title || !add_figures(sheet, &r, asked) || !add_verdict(sheet, &r) ||
        !add_words(sheet, &r, asked))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static const aq_shape meter_asks = { .noun = "meter",
                                     .fields = meter_rows,
                                     .count = sizeof meter_rows / sizeof *meter_rows,
                                     .size = sizeof(aq_asked) };

const aq_job aq_job_meter = { .name = "meter",
                              .does = "what a reading means: its scale, temperature and last standard",
                              .asks = &meter_asks,
                              .run = meter_run,
                              .example =
                                  "aliquot meter --reads 1520uS/cm --temperature 62degF --compensated no" };
