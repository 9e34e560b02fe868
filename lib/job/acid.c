/* Acid for alkalinity, or for pH by a jar test; what it brings in nitrogen, phosphorus or sulfur.
 *
 *     meq = (alkalinity - wanted) x litres         mL = meq / (g/L of acid / molar mass x protons)
 *
 * Example: 200 L from 180 to 60 mg/L CaCO3 are 2.398 meq/L, 479.6 meq; nitric acid of 67 % w/w at 1.40 kg/L holds 14.89
 * eq/L, so 32.2 mL, and brings 33.6 mg/L of N. The first 80 % are poured, the tank circulates and gasses off, and the
 * rest goes in by the reading. A jar test needs none of this: the sample is the tank. */
#include "base/decimal.h"
#include "chemistry/acid.h"
#include "chemistry/liquid.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "sheet/caution.h"
#include "sheet/hazard.h"
#include "sheet/measured.h"
#include "solve/dilute.h"

#include <math.h>
#include <string.h>

static const double first_share =
    0.80; /* common practice; University of Florida FAWN works to 80 % of the bases */
static const double ph_reached = 5.8; /* where organic acids are counted: mid-window of a feed */
static const double gas_off = 30;     /* min, common practice, no source */
static const double circulate = 10;   /* min */
static const double phosphorus_most =
    66; /* mg/L: 2.25 fl oz of 75 % phosphoric acid in 100 gal-us, UMass Extension */

/* S cm2/eq at infinite dilution, CRC Handbook: what the anion of an acid carries in place of bicarbonate. */
static const double bicarbonate = 44.5;
static const struct {
    const char *formula; /* of the acid */
    double anion;
} conductivities[] = { { "HNO3", 71.42 }, { "H3PO4", 36.0 }, { "H2SO4", 80.0 }, { "HCl", 76.31 } };

static const aq_field acid_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .needed = true,
      .into = offsetof(aq_acid_entry, name),
      .help = "nitric, phosphoric, sulfuric or citric",
      .example = "nitric" },
    { .key = "strength",
      .read = AQ_READ_STRENGTH,
      .needed = true,
      .into = offsetof(aq_acid_entry, strength),
      .help = "on its label",
      .example = "67 %w/w" },
    { .key = "density",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_CONTENT,
      .bounded = true,
      .least = AQ_DENSITY_LEAST,
      .most = AQ_DENSITY_MOST,
      .into = offsetof(aq_acid_entry, density),
      .help = "of the acid",
      .example = "1.40 kg/L" },
    { .key = "protons",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 3,
      .into = offsetof(aq_acid_entry, protons),
      .help = "given up by one molecule, by the acid where not given",
      .example = "1" },
};
static const aq_shape acid_shape = { .noun = "acid",
                                     .fields = acid_fields,
                                     .count = AQ_ROWS_COUNT(acid_fields),
                                     .size = sizeof(aq_acid_entry),
                                     .has_place = true,
                                     .place_into = offsetof(aq_acid_entry, place),
                                     .has_name = true,
                                     .name_into = offsetof(aq_acid_entry, name) };

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
      .shape = &acid_shape,
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

/* One acid against what is to be neutralised. */
typedef struct {
    const char *name;      /* as the grower calls it */
    const char *substance; /* NULL: not known */
    double litres;         /* whole */
    double strength;       /* g/g, for its hazards; NaN: not known */
    double protons;        /* given up by one molecule */
    double brings;         /* g of the element in a litre of the water treated */
    const char *element;   /* "N"; NULL: none that feeds */
    aq_acid acid;          /* not of a jar test */
} neutralising;

/* Mineral acids as growers' tables count them; organic ones are only partly dissociated where they leave the water. */
static double protons_of(const aq_acid *acid)
{
    return acid->brings == AQ_NUTRIENT_COUNT ? aq_acid_protons(acid, ph_reached) : acid->protons;
}

/* g/L at 20 degC by the handbooks' tables; NaN: not in them. */
static double tabled_density(const aq_acid *acid, const aq_strength *strength)
{
    const aq_liquid *liquid = aq_liquid_find(acid->formula);
    double density;

    if (!liquid || strength->basis != AQ_BASIS_WW ||
        !aq_liquid_density(&density, liquid, strength->value, 20))
        return NAN;
    return density;
}

/* g/g of what is handled, for its hazards; NaN: not known. */
static double share_of(const aq_acid *acid, const aq_acid_entry *entry)
{
    const aq_liquid *liquid = aq_liquid_find(acid->formula);
    double share;

    if (entry->strength.basis == AQ_BASIS_WW)
        return entry->strength.value;
    if (entry->density.given && entry->strength.basis == AQ_BASIS_WV)
        return entry->strength.value / entry->density.value;
    if (liquid && aq_liquid_share(&share, liquid, entry->strength.value, entry->strength.basis))
        return share;
    return NAN;
}

/* L of an acid that holds `per_litre` g/L, for as many equivalents. */
static double litres_for(const neutralising *n, double equivalents, double per_litre)
{
    return equivalents / (per_litre / n->acid.molar_mass * n->protons);
}

static aq_status ask_density(const neutralising *n, const aq_acid_entry *entry, double equivalents,
                             aq_arena *arena, aq_error *err)
{
    double density = tabled_density(&n->acid, &entry->strength);

    if (isnan(density))
        return aq_fail(
            err, AQ_MISSING, entry->place,
            "acid %s: %s needs its density, like 1.40 kg/L: it is on the bottle or in its safety data sheet",
            entry->name, entry->strength.typed);
    return aq_fail(err, AQ_MISSING, entry->place,
                   "acid %s: %s needs its density: it is on the bottle or in its safety data sheet. By "
                   "handbooks it is %s at 20 degC, which gives %s",
                   entry->name, entry->strength.typed, aq_say(arena, density / 1000, "kg/L"),
                   aq_say(arena, litres_for(n, equivalents, entry->strength.value * density) * 1000, "mL"));
}

static aq_status measure_acid(neutralising *n, const aq_acid_entry *entry, double eq_per_litre, double volume,
                              aq_arena *arena, aq_error *err)
{
    double per_litre, density = entry->density.given ? entry->density.value : NAN;

    n->name = entry->name;
    if (!aq_acid_find(&n->acid, entry->name))
        return aq_fail(err, AQ_UNKNOWN_NAME, entry->place,
                       "acid %s: only nitric, phosphoric, sulfuric, citric, hydrochloric and acetic acid are "
                       "known; use a jar test for another",
                       entry->name);
    n->substance = n->acid.name;
    n->protons = entry->protons.given ? entry->protons.value : protons_of(&n->acid);
    per_litre = aq_strength_per_litre(entry->strength, density, NAN);
    if (isnan(per_litre))
        return ask_density(n, entry, eq_per_litre * volume, arena, err);
    n->strength = share_of(&n->acid, entry);
    n->litres = litres_for(n, eq_per_litre * volume, per_litre);
    n->brings = eq_per_litre * aq_acid_brings(&n->acid, n->protons);
    n->element = n->acid.brings == AQ_N_NITRATE        ? "N"
                 : n->acid.brings == AQ_NUTRIENT_COUNT ? NULL
                                                       : aq_nutrient_name(n->acid.brings);
    return AQ_OK;
}

/* eq/L now: as said, or of the water that is said. */
static aq_quantity alkalinity_of(const aq_asked *asked)
{
    return asked->alkalinity.given || asked->water.count != 1 ? asked->alkalinity
                                                              : asked->water.at[0].alkalinity;
}

static aq_status complete(const aq_asked *asked, aq_error *err)
{
    if (!asked->volume.given)
        return aq_ask_for(err, "volume", "how much water is treated, like 200 L?");
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

static aq_status add_pour(aq_sheet *sheet, const neutralising *n, double litres, const aq_bench *bench,
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
static aq_status add_rows(aq_sheet *sheet, const neutralising *n, const aq_asked *asked, aq_error *err)
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

static bool add_ec_change(aq_sheet *sheet, const neutralising *n, double eq_per_litre)
{
    for (size_t i = 0; i < sizeof conductivities / sizeof *conductivities; i++)
        if (strcmp(conductivities[i].formula, n->acid.formula) == 0) /* S cm2/eq x eq/L = mS/cm */
            return aq_sheet_figure(sheet, "ec_change", eq_per_litre * (conductivities[i].anion - bicarbonate),
                                   "mS/cm");
    return true;
}

static bool add_brought(aq_sheet *sheet, const neutralising *n, double eq_per_litre)
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
    return add_ec_change(sheet, n, eq_per_litre);
}

static bool add_figures(aq_sheet *sheet, const neutralising *n)
{
    return aq_sheet_figure(sheet, "acid", n->litres * 1000, "mL") &&
           aq_sheet_figure(sheet, "first", n->litres * first_share * 1000, "mL");
}

static aq_status add_beside(aq_sheet *sheet, const aq_asked *asked, double eq_per_litre, aq_error *err)
{
    for (size_t i = 1; i < asked->acid.count; i++) {
        neutralising other;
        aq_aside *aside;
        aq_status status =
            measure_acid(&other, &asked->acid.at[i], eq_per_litre, asked->volume.value, sheet->arena, err);

        if (status != AQ_OK)
            return status;
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
static aq_status by_alkalinity(aq_sheet *sheet, neutralising *n, const aq_asked *asked, aq_error *err)
{
    double now = alkalinity_of(asked).value, eq_per_litre = fmax(now - asked->to.alkalinity.value, 0);
    double mg = aq_unit_caco3() * 1000;
    aq_status status =
        measure_acid(n, &asked->acid.at[0], eq_per_litre, asked->volume.value, sheet->arena, err);

    if (status != AQ_OK)
        return status;
    if (!add_figures(sheet, n) ||
        !aq_sheet_figure(sheet, "equivalents", eq_per_litre * asked->volume.value * 1000, "meq") ||
        !add_brought(sheet, n, eq_per_litre) ||
        (!asked->acid.at[0].protons.given &&
         !aq_sheet_assume(sheet, "one molecule of %s gives up %s proton%s near pH 5.8", n->substance,
                          aq_say(sheet->arena, n->protons, ""), n->protons > 1 ? "s" : "")) ||
        !aq_sheet_why(sheet, "(%s - %s) / %s = %s; x %s = %s", aq_say(sheet->arena, now * mg, ""),
                      aq_say(sheet->arena, asked->to.alkalinity.value * mg, ""), say_caco3(sheet->arena),
                      aq_say(sheet->arena, eq_per_litre * 1000, "meq/L"),
                      aq_say(sheet->arena, asked->volume.value, "L"),
                      aq_say(sheet->arena, eq_per_litre * asked->volume.value * 1000, "meq")))
        return AQ_NO_MEMORY;
    return add_beside(sheet, asked, eq_per_litre, err);
}

/* From a sample: what moved it, undiluted, for as much more water. */
static aq_status by_jar(aq_sheet *sheet, neutralising *n, const aq_asked *asked)
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
                       aq_say(sheet->arena, n->litres * 1000, "mL"))
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
    neutralising n = { .strength = NAN };
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
    sheet->title =
        aq_arena_format(arena, "%s for %s of water", n.name, aq_say(arena, asked->volume.value, "L"));
    if (!sheet->title || !add_words(sheet))
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
