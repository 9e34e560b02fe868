/* Acid for alkalinity, or for pH by a jar test; what it brings in nitrogen, phosphorus or sulfur.
 *
 *     meq = (alkalinity - wanted) x litres         mL = meq / (g/L of acid / molar mass x protons)
 *
 * Example: 200 L from 180 to 60 mg/L CaCO3 are 2.398 meq/L, 479.6 meq; nitric acid of 67 % w/w at 1.40 kg/L holds 14.89
 * eq/L, so 32.2 mL, and brings 33.6 mg/L of N. The first 80 % are poured, the tank circulates and gasses off, and the
 * rest goes in by the reading. A jar test needs none of this: the sample is the tank. */
#include "base/decimal.h"
#include "job/iron.h"
#include "job/jobs.h"
#include "job/neutralise.h"
#include "job/rows.h"
#include "job/show.h"
#include "job/source.h"
#include "sheet/caution.h"
#include "sheet/hazard.h"
#include "sheet/measured.h"
#include "solve/dilute.h"

#include <math.h>
#include <string.h>

static const double first_share =
    0.80;                         /* common practice; University of Florida FAWN works to 80 % of the bases */
static const double gas_off = 30; /* min, common practice, no source */
static const double circulate = 10; /* min */
static const double phosphorus_most =
    66; /* mg/L: 2.25 fl oz of 75 % phosphoric acid in 100 gal-us, UMass Extension */

static const aq_field jar_fields[] = {
    { .key = "volume",
      .read = AQ_READ_QUANTITY,
      .needed = true,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_jar_entry, volume),
      .help = "of the sample",
      .example = "1 L" },
    { .key = "acid",
      .read = AQ_READ_QUANTITY,
      .needed = true,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 100,
      .into = offsetof(aq_jar_entry, acid),
      .help = "acid that moved it, diluted as below",
      .example = "0.8 mL" },
    { .key = "diluted",
      .read = AQ_READ_RATIO,
      .into = offsetof(aq_jar_entry, diluted),
      .help = "how that acid was diluted",
      .example = "1 in 10" },
    { .key = "from",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .least = 0,
      .most = 14,
      .into = offsetof(aq_jar_entry, from),
      .help = "pH before",
      .example = "6.9" },
    { .key = "to",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .least = 0,
      .most = 14,
      .into = offsetof(aq_jar_entry, to),
      .help = "pH after",
      .example = "5.9" },
};
static const aq_shape jar_shape = { .noun = "jar",
                                    .fields = jar_fields,
                                    .count = AQ_ROWS_COUNT(jar_fields),
                                    .size = sizeof(aq_jar_entry),
                                    .has_place = true,
                                    .place_into = offsetof(aq_jar_entry, place) };

static const aq_field acid_rows[] = {
    AQ_ROW_LITRES("volume", volume, "water to treat", "200 L"),
    { .key = "alkalinity",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = AQ_INTO(alkalinity),
      .help = "now",
      .example = "180 mg/L CaCO3" },
    { .key = "to",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = AQ_INTO(to.alkalinity),
      .help = "alkalinity wanted",
      .example = "60 mg/L CaCO3" },
    { .key = "acid",
      .read = AQ_READ_ENTRIES,
      .many = true,
      .shape = &aq_acid_shape,
      .into = AQ_INTO(acid),
      .help = "an acid; the first is poured, others are worked out beside it",
      .example = "{name: nitric, strength: 67 %w/w, density: 1.40 kg/L}" },
    { .key = "jar",
      .read = AQ_READ_ENTRY,
      .shape = &jar_shape,
      .into = AQ_INTO(jar),
      .help = "a jar test, in place of alkalinities",
      .example = "{volume: 1 L, acid: 0.8 mL, diluted: 1 in 10, from: 6.9, to: 5.9}" },
    AQ_ROW_WATER,
    AQ_ROWS_OF_EVERY_JOB,
};

/* eq/L now: as said, or of the water that is said. */
static aq_quantity alkalinity_of(const aq_asked *asked)
{
    if (asked->alkalinity.given || asked->water.count != 1 || isnan(aq_water_alkalinity(&asked->water.at[0])))
        return asked->alkalinity;
    return aq_quantity_of(aq_water_alkalinity(&asked->water.at[0]), AQ_KIND_HARDNESS);
}

static aq_status complete(const aq_asked *asked, aq_error *err)
{
    if (!asked->volume.given)
        return aq_ask_for(err, "volume", "how much water is treated, like 200 L?");
    if (asked->jar.from.given && asked->jar.to.given && asked->jar.to.value >= asked->jar.from.value)
        return aq_fail(err, AQ_CONFLICT, asked->jar.place,
                       "jar: acid brings the pH down, and here it went up: are from and to turned round?");
    if (asked->jar.volume.given)
        return AQ_OK;
    if (!alkalinity_of(asked).given)
        return aq_ask_for(err, "alkalinity",
                          "what is it now, like 180 mg/L CaCO3? Without that number use a jar test");
    if (!asked->to.alkalinity.given)
        return aq_ask_for(err, "to", "which alkalinity is wanted, like 60 mg/L CaCO3?");
    if (!asked->acid.count)
        return aq_ask_for(err, "acid",
                          "which acid, like {name: nitric, strength: 67 %%w/w, density: 1.40 kg/L}?");
    return AQ_OK;
}

static bool add_wait(aq_sheet *sheet, double minutes, const char *note)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_WAIT);

    if (row) {
        row->time = aq_amount_of(minutes, "min");
        row->note = note;
    }
    return row != NULL;
}

static aq_status add_pour(aq_sheet *sheet, const aq_neutralising *n, double litres, const aq_bench *bench,
                          const char *note, aq_error *err)
{
    aq_portion portion = { .exact = litres, .top = INFINITY, .effect = 1, .group = -1 };
    aq_status status = aq_portions_round(&portion, 1, bench, err);
    aq_row *row;

    if (status != AQ_OK)
        return status;
    row = aq_sheet_measure(sheet, n->name, &portion);
    if (!row)
        return AQ_NO_MEMORY;
    row->note = note;
    return AQ_OK;
}

/* 80 % first; the rest by the reading. */
static aq_status add_rows(aq_sheet *sheet, const aq_neutralising *n, const aq_asked *asked, aq_error *err)
{
    double first = n->litres * first_share;
    aq_row *row = aq_sheet_row(sheet, AQ_DO_WATER);
    aq_status status;

    if (!row)
        return AQ_NO_MEMORY;
    row->exact = row->amount = aq_amount_of(asked->volume.value, "L");
    row->note = "in the tank first: acid into water, never water into acid";
    status = add_pour(sheet, n, first, &asked->bench, "slowly, with the pump running", err);
    if (status == AQ_OK &&
        (!add_wait(sheet, circulate, "circulate") || !add_wait(sheet, gas_off, "let it gas off")))
        status = AQ_NO_MEMORY;
    row = status == AQ_OK ? aq_sheet_row(sheet, AQ_DO_READ) : NULL;
    if (status == AQ_OK && !row)
        status = AQ_NO_MEMORY;
    if (status != AQ_OK)
        return status;
    row->note = "the pH: go on only if it is still too high";
    if (asked->jar.to.given) {
        row->ph_low = asked->jar.to.value;
        row->ph_high = asked->jar.from.given ? fmax(asked->jar.from.value, asked->jar.to.value)
                                             : asked->jar.to.value + 1;
        sheet->expect_ph_low =
            asked->jar.to.value - 0.2; /* pH of a small tank: +/-0.2, common practice, no source */
        sheet->expect_ph_high = asked->jar.to.value + 0.2;
    }
    return add_pour(sheet, n, n->litres - first, &asked->bench, "by drops, reading as it goes", err);
}

static bool add_brought(aq_sheet *sheet, const aq_neutralising *n)
{
    const char *brings = aq_say(sheet->arena, n->brings * 1000, "mg/L");

    if (n->element && !aq_sheet_figure(sheet, n->element, n->brings * 1000, "mg/L"))
        return false;
    if (n->element && n->brings > 0 &&
        !aq_sheet_caution(sheet, "the acid brings %s of %s: deduct it from the feed", brings, n->element))
        return false;
    if (n->acid.brings == AQ_P && n->brings * 1000 > phosphorus_most &&
        !aq_sheet_caution(
            sheet,
            "that is more phosphorus than the usual ceiling of 66 mg/L: take another acid for part of it"))
        return false;
    if (!n->element && n->litres > 0 &&
        !aq_sheet_caution(sheet, "an organic acid is eaten by microbes within days, and the alkalinity that "
                                 "it took comes back: mix for the day"))
        return false;
    return isnan(n->ec_change) || aq_sheet_figure(sheet, "ec_change", n->ec_change, "mS/cm");
}

static bool add_figures(aq_sheet *sheet, const aq_neutralising *n)
{
    return aq_sheet_figure(sheet, "acid", n->litres * 1000, "mL") &&
           aq_sheet_figure(sheet, "first", n->litres * first_share * 1000, "mL");
}

static aq_status add_beside(aq_sheet *sheet, const aq_asked *asked, double eq_per_litre, aq_error *err)
{
    for (size_t i = 1; i < asked->acid.count; i++) {
        aq_neutralising other;
        aq_aside *aside;
        aq_status status =
            aq_neutralise(&other, &asked->acid.at[i], eq_per_litre, asked->volume.value, sheet->arena, err);

        if (status != AQ_OK)
            return status;
        if (!aq_neutralise_assume(sheet, &other, &asked->acid.at[i]))
            return AQ_NO_MEMORY;
        aside = aq_asides_add(sheet->arena, &sheet->beside);
        if (!aside)
            return AQ_NO_MEMORY;
        aside->part = other.name;
        if (!aq_pours_add(sheet->arena, &aside->pours, AQ_DO_POUR, other.name,
                          aq_amount_volume(other.litres, false)) ||
            (other.element &&
             !aq_figures_add(sheet->arena, &aside->figures, other.element, other.brings * 1000, "mg/L")))
            return AQ_NO_MEMORY;
    }
    return AQ_OK;
}

/* g of CaCO3 that make one equivalent, to more figures than a sentence has: 50 would not give the answer. */
static const char *say_caco3(aq_arena *arena)
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_places(aq_unit_caco3(), 2, digits);
    return aq_arena_format(arena, "%s", digits);
}

/* From alkalinities. */
static aq_status by_alkalinity(aq_sheet *sheet, aq_neutralising *n, const aq_asked *asked, aq_error *err)
{
    double now = alkalinity_of(asked).value, eq_per_litre = fmax(now - asked->to.alkalinity.value, 0);
    double mg = aq_unit_caco3() * 1000;
    aq_status status =
        aq_neutralise(n, &asked->acid.at[0], eq_per_litre, asked->volume.value, sheet->arena, err);

    if (status != AQ_OK)
        return status;
    if (!add_figures(sheet, n) ||
        !aq_sheet_figure(sheet, "equivalents", eq_per_litre * asked->volume.value * 1000, "meq") ||
        !add_brought(sheet, n) || !aq_neutralise_assume(sheet, n, &asked->acid.at[0]) ||
        (!asked->acid.at[0].protons.given &&
         !aq_sheet_assume(sheet, "one molecule of %s gives up %s proton%s near pH 5.8", n->substance,
                          aq_say(sheet->arena, n->protons, ""), n->protons > 1 ? "s" : "")) ||
        (eq_per_litre > 0 &&
         !aq_sheet_why(sheet, "(%s - %s) / %s = %s; x %s = %s", aq_say(sheet->arena, now * mg, ""),
                       aq_say(sheet->arena, asked->to.alkalinity.value * mg, ""), say_caco3(sheet->arena),
                       aq_say(sheet->arena, eq_per_litre * 1000, "meq/L"),
                       aq_say(sheet->arena, asked->volume.value, "L"),
                       aq_say(sheet->arena, eq_per_litre * asked->volume.value * 1000, "meq"))))
        return AQ_NO_MEMORY;
    return add_beside(sheet, asked, eq_per_litre, err);
}

/* What the litres that a jar test gave take away and bring, where it is known what they hold. */
static bool tell_of_jar(aq_sheet *sheet, aq_neutralising *n, const aq_asked *asked)
{
    const aq_acid_entry *entry = asked->acid.count ? &asked->acid.at[0] : NULL;
    aq_error ignored = { .status = AQ_OK }; /* the jar test answers without */
    aq_neutralising of_one = *n, known = *n;
    double eq_per_litre;

    if (!entry || aq_neutralise(&of_one, entry, 1, asked->volume.value, sheet->arena, &ignored) != AQ_OK)
        return true;
    eq_per_litre = n->litres / of_one.litres;
    if (aq_neutralise(&known, entry, eq_per_litre, asked->volume.value, sheet->arena, &ignored) != AQ_OK)
        return true;
    *n = known;
    return aq_sheet_figure(sheet, "equivalents", eq_per_litre * asked->volume.value * 1000, "meq") &&
           add_brought(sheet, n) && aq_neutralise_assume(sheet, n, entry);
}

/* From a sample: what moved it, undiluted, for as much more water. */
static aq_status by_jar(aq_sheet *sheet, aq_neutralising *n, const aq_asked *asked)
{
    const aq_jar_entry *jar = &asked->jar;
    double parts = jar->diluted.given ? jar->diluted.parts : 1;

    n->name = asked->acid.count ? asked->acid.at[0].name : "acid";
    n->substance = asked->acid.count ? asked->acid.at[0].name : "pH down";
    n->strength = NAN;
    n->litres = jar->acid.value / parts / jar->volume.value * asked->volume.value;
    return add_figures(sheet, n) &&
                   (jar->diluted.given ||
                    aq_sheet_assume(sheet, "the acid of the jar test was not diluted")) &&
                   aq_sheet_why(
                       sheet, "%s / %s x %s = %s", aq_say(sheet->arena, jar->acid.value * 1000, "mL"),
                       aq_say(sheet->arena, parts, ""),
                       aq_say(sheet->arena, asked->volume.value / jar->volume.value, "L a litre of sample"),
                       aq_say(sheet->arena, n->litres * 1000, "mL")) &&
                   tell_of_jar(sheet, n, asked)
               ? AQ_OK
               : AQ_NO_MEMORY;
}

static bool add_words(aq_sheet *sheet)
{
    return aq_sheet_caution(sheet, "a pH under about 4.5 injures roots: stop well above it") &&
           aq_sheet_next(sheet, "read the pH again after 2 h: an alkaline medium pulls it back up") &&
           aq_sheet_next(sheet, "alkalinity drifts with the season: measure it again before the next change");
}

static aq_status acid_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_neutralising n = { .strength = NAN, .density = NAN, .ec_change = NAN };
    aq_handled handled;
    aq_sheet *sheet;
    aq_status status = complete(asked, err);

    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "acid");
    if (!sheet)
        return AQ_NO_MEMORY;
    status = asked->jar.volume.given ? by_jar(sheet, &n, asked) : by_alkalinity(sheet, &n, asked, err);
    if (status == AQ_OK && n.litres > 0)
        status = add_rows(sheet, &n, asked, err);
    if (status != AQ_OK)
        return status;
    if (!(n.litres > 0) && !aq_sheet_next(sheet, "the alkalinity is there already: no acid is needed"))
        return AQ_NO_MEMORY;
    sheet->volume = aq_amount_of(asked->volume.value, "L");
    sheet->title = aq_arena_format(arena, "%s for %s of water", n.name,
                                   aq_show_volume(arena, asked, asked->volume.value));
    if (!sheet->title || !add_words(sheet) || (n.litres > 0 && !aq_say_no_tools(sheet, asked)) ||
        (asked->jar.volume.given && !aq_iron_of_water(sheet, asked->jar.to.value)))
        return AQ_NO_MEMORY;
    handled =
        (aq_handled){ .name = n.name, .substance = n.substance, .strength = n.strength, .concentrate = true };
    status = aq_caution_apply(sheet, &handled, n.litres > 0, err);
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static const aq_shape acid_asks = {
    .noun = "acid", .fields = acid_rows, .count = AQ_ROWS_COUNT(acid_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_acid = {
    .name = "acid",
    .does = "alkalinity down to a target, or pH by jar test",
    .asks = &acid_asks,
    .run = acid_run,
    .cautious = true,
    .example = "aliquot acid --volume 200L --alkalinity '180 mg/L CaCO3' --to '60 mg/L CaCO3' "
               "--acid '{name: nitric, strength: 67 %w/w, density: 1.40 kg/L}'"
};
