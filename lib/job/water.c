/* A water from its analysis, or a solution from its salts: EC, hardness, alkalinity, pH, whether the charges add up, and
 * what may fall out of it.
 *
 * A laboratory's HCO3 is alkalinity. With a measured pH the carbon dioxide that goes with it is known; without one, pH
 * follows from the amounts. Where no alkalinity is given at all, what the charges lack is taken to be bicarbonate, or
 * hydrogen ion in a rain that is short of cations. Sodium adsorption ratio: USDA Handbook 60, Na / sqrt((Ca + Mg) / 2) in
 * meq/L. */
#include "chemistry/conductivity.h"
#include "chemistry/formula.h"
#include "job/iron.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "job/source.h"
#include "model/matter.h"

#include <math.h>
#include <string.h>

static const double balance_good = 5; /* percent: above it an analysis is doubtful, as laboratories hold it */
static const double ec_suspect = 2;   /* tolerances by which a stated EC may miss the computed one */
static const char *const air_words[] = { "open", "closed", NULL };
enum { AIR_OPEN = 1 };

static const aq_field water_rows[] = {
    { .key = "analysis",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_CONTENT | AQ_WANT_MOLARITY | AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = AQ_CONTENT_MOST,
      .choices = aq_water_words,
      .into = AQ_INTO(analysis),
      .help = "ions and elements from a laboratory's report",
      .example = "{Ca: 42 mg/L, Na: 15 mg/L, Cl: 22 mg/L}" },
    { .key = "salts",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_CONTENT | AQ_WANT_MOLARITY,
      .bounded = true,
      .least = 0,
      .most = AQ_CONTENT_MOST,
      .into = AQ_INTO(salts),
      .help = "or what was dissolved in pure water, by formula",
      .example = "{KNO3: 0.4 g/L}" },
    { .key = "alkalinity",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = AQ_HARDNESS_MOST,
      .into = AQ_INTO(alkalinity),
      .help = "where the analysis has no HCO3",
      .example = "120 mg/L CaCO3" },
    { .key = "ph",
      .read = AQ_READ_NUMBERS,
      .bounded = true,
      .least = 0,
      .most = AQ_PH_MOST,
      .into = AQ_INTO_AIM(ph),
      .help = "as measured",
      .example = "7.4" },
    { .key = "temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = 0,
      .most = 50,
      .into = AQ_INTO(temperature),
      .help = "25 degC where not given",
      .example = "18 degC" },
    { .key = "air",
      .read = AQ_READ_CHOICE,
      .choices = air_words,
      .into = AQ_INTO(air),
      .help = "open: stirred until it has gassed off; closed where not given",
      .example = "open" },
    AQ_ROW_READING("ec", aim.ec, "what the report or a meter states, to compare", "0.32 mS/cm"),
    AQ_ROWS_OF_EVERY_JOB,
};

typedef struct {
    aq_composition holds; /* per L */
    aq_solution solution;
    aq_speciated speciated;
    double ec, within;
    bool closed_by_charge;
} examining;

/* A water of the site stands for an analysis: the one that is named, or the first. */
static aq_status take_from_site(const char **taken, aq_asked *asked, aq_error *err)
{
    const char *name = asked->setting->subject;
    const aq_water *water = name                        ? aq_site_water(asked->site, name)
                            : asked->site->waters.count ? &asked->site->waters.at[0]
                                                        : NULL;

    if (!water && name)
        return aq_fail(err, AQ_UNKNOWN_NAME, (aq_place){ 0 }, "no water of the site is called %s", name);
    if (!water)
        return aq_fail(err, AQ_UNKNOWN_NAME, (aq_place){ 0 }, "the site has no water to examine");
    *taken = water->name;
    if (!water->analysis.count)
        return aq_fail(err, AQ_MISSING, water->place,
                       "analysis: the site knows none of %s, so there is nothing to examine", water->name);
    asked->analysis = water->analysis;
    if (!asked->alkalinity.given)
        asked->alkalinity = water->alkalinity;
    if (!asked->temperature.given)
        asked->temperature = water->temperature;
    if (!asked->aim.ec.given)
        asked->aim.ec = water->ec;
    if (!asked->aim.ph.low.given && water->ph.given)
        asked->aim.ph.low = asked->aim.ph.high = water->ph;
    return AQ_OK;
}

static aq_status from_salts(examining *e, const aq_asked *asked, aq_error *err)
{
    for (size_t i = 0; i < asked->salts.count; i++) {
        const aq_named_amount *salt = &asked->salts.at[i];
        const char *known = aq_formula_of_name(salt->name), *text = known ? known : salt->name;
        bool molar = aq_kind_equal(salt->amount.kind, AQ_KIND_MOLARITY);
        aq_composition gram;
        aq_formula formula;
        aq_error inner = { .status = AQ_OK };
        aq_status status = aq_composition_of_formula(&gram, text, &inner);

        if (status == AQ_OK)
            status = aq_formula_read(&formula, text, &inner);
        if (status != AQ_OK)
            return aq_fail(err, status, salt->place, "salt %s: %s; write its formula, like KNO3", salt->name,
                           inner.text);
        aq_composition_add(&e->holds, &gram, salt->amount.value * (molar ? formula.molar_mass : 1));
    }
    return AQ_OK;
}

/* A stated zero is an answer too. */
static bool says_alkalinity(const aq_asked *asked)
{
    bool says = asked->alkalinity.given;

    for (size_t i = 0; i < asked->analysis.count && !says; i++)
        says = !strcmp(asked->analysis.at[i].name, "HCO3") || !strcmp(asked->analysis.at[i].name, "CO3");
    return says;
}

/* Which way pH is known, and with it what carbonate there is. */
static void take_carbonate(examining *e, const aq_asked *asked)
{
    aq_solution *s = &e->solution;
    bool analysed = asked->analysis.count > 0;

    memcpy(s->total, e->holds.ion, sizeof s->total);
    if (asked->alkalinity.given)
        s->total[AQ_ION_CARBONATE] = asked->alkalinity.value;
    s->temperature = asked->temperature.given ? asked->temperature.value : 25;
    s->ph = asked->aim.ph.low.value;
    s->mode = asked->air == AIR_OPEN ? AQ_PH_OPEN : AQ_PH_CLOSED;
    if (asked->aim.ph.low.given)
        s->mode = analysed ? AQ_PH_ALKALINITY : AQ_PH_GIVEN;
    else if (analysed && !says_alkalinity(asked)) {
        aq_composition_close(&e->holds);
        memcpy(s->total, e->holds.ion, sizeof s->total);
        e->closed_by_charge = true;
    }
}

static aq_status work_out(examining *e, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_status status;

    if (!asked->analysis.count && !asked->salts.count)
        return aq_ask_for(err, "analysis",
                          "what is in the water, like {Ca: 42 mg/L, Na: 15 mg/L}? Or which salts were added");
    if (asked->analysis.count && asked->salts.count)
        return aq_fail(err, AQ_CONFLICT, (aq_place){ "--salts", 0, 0, 0 },
                       "salts: a water is known by its analysis or by its salts, not by both");
    status = asked->analysis.count ? aq_source_analysis(&e->holds, &asked->analysis, arena, err)
                                   : from_salts(e, asked, err);
    if (status != AQ_OK)
        return status;
    take_carbonate(e, asked);
    if (!aq_speciate(&e->speciated, &e->solution))
        return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "these amounts make no solution: is a unit wrong?");
    e->ec = aq_ec_of(&e->solution);
    e->within = e->ec * aq_ec_within(&e->speciated);
    return AQ_OK;
}

static bool add_figures(aq_sheet *sheet, const examining *e, const aq_asked *asked)
{
    const aq_speciated *s = &e->speciated;
    double mg = aq_unit_caco3() * 1000, sodium = e->solution.total[AQ_ION_SODIUM] * 1000;
    double hard =
        (e->solution.total[AQ_ION_CALCIUM] + e->solution.total[AQ_ION_MAGNESIUM]) * 2000; /* meq/L */

    sheet->expect_ec = aq_amount_within(e->ec, "mS/cm", e->within);
    return aq_sheet_figure_within(sheet, "ec", e->ec, "mS/cm", e->within) &&
           (!asked->temperature.given ||
            aq_sheet_figure(sheet, "ec_as_warm", aq_conductivity(s, e->solution.temperature), "mS/cm")) &&
           aq_sheet_figure(sheet, "hardness", s->hardness * mg, "mg/L CaCO3") &&
           aq_sheet_figure(sheet, "alkalinity", s->alkalinity * mg, "mg/L CaCO3") &&
           aq_sheet_figure(sheet, "ph", s->ph, "pH") &&
           aq_sheet_figure(sheet, "balance", aq_charge_balance(s), "%") &&
           aq_sheet_figure(sheet, "cations", s->cations * 1000, "meq/L") &&
           aq_sheet_figure(sheet, "anions", s->anions * 1000, "meq/L") &&
           (!(sodium > 0 && hard > 0) ||
            aq_sheet_figure(sheet, "sodium_ratio", sodium / sqrt(hard / 2), "1"));
}

/* What the charges are made of, cations first: amounts in the forms of reference. */
static bool add_ions(aq_sheet *sheet, const examining *e)
{
    for (int sign = 1; sign >= -1; sign -= 2)
        for (int i = 0; i < AQ_ION_COUNT; i++) {
            const aq_ion_facts *ion = aq_ion_of((aq_ion)i);
            double charge = e->solution.total[i] * 1000 * ion->charge * sign;
            aq_record *record;

            if (i == AQ_ION_ACID || !(charge > 0))
                continue;
            record = aq_records_add(sheet->arena, &sheet->elements, "ion", ion->formula);
            if (!record || !aq_figures_add(sheet->arena, &record->figures, "amount", charge, "meq/L"))
                return false;
        }
    return true;
}

static bool add_minerals(aq_sheet *sheet, const examining *e)
{
    for (int i = 0; i < AQ_MINERAL_COUNT; i++) {
        double index = e->speciated.saturation[i];
        aq_record *record;

        if (index <= AQ_ABSENT)
            continue;
        record = aq_records_add(sheet->arena, &sheet->precipitates, "solid", aq_mineral_name((aq_mineral)i));
        if (!record || !aq_figures_add(sheet->arena, &record->figures, "index", index, "1"))
            return false;
        if (index > 0 && !aq_sheet_caution(sheet, "%s may fall out: its index is %s",
                                           aq_mineral_name((aq_mineral)i), aq_say(sheet->arena, index, "")))
            return false;
    }
    return true;
}

/* A stated EC far from the computed one, or charges that do not add up: which figure is suspect. */
static bool add_doubts(aq_sheet *sheet, const examining *e, const aq_asked *asked)
{
    double balance = aq_charge_balance(&e->speciated), off = asked->aim.ec.value - e->ec;

    if (e->closed_by_charge &&
        !aq_sheet_assume(sheet, "no alkalinity is given: bicarbonate, or hydrogen ion, closes the charges"))
        return false;
    if (asked->analysis.count && !e->closed_by_charge && fabs(balance) > balance_good &&
        !aq_sheet_caution(sheet, "the charges do not add up by %s %%: %s", aq_say(sheet->arena, balance, ""),
                          balance > 0 ? "a cation is too high, or an anion too low or missing"
                                      : "an anion is too high, or a cation too low or missing"))
        return false;
    if (!asked->aim.ec.given || fabs(off) <= ec_suspect * e->within)
        return true;
    return aq_sheet_caution(sheet, "the stated EC of %s does not go with this analysis: %s",
                            aq_say_ec(sheet->arena, asked->aim.ec.value),
                            fabs(balance) <= balance_good
                                ? "the analysis adds up, so doubt the EC: its unit, scale or temperature"
                                : "the analysis does not add up either, so doubt that first");
}

/* Nutrients that carry no charge. */
static bool say_unseen(aq_sheet *sheet, const examining *e)
{
    return !(e->holds.mass[AQ_N_UREA] > 0) || aq_sheet_unseen(sheet, "the urea: it carries no charge");
}

static bool say_forms(aq_sheet *sheet, const aq_asked *asked)
{
    bool unknown = false, known = false;

    for (size_t i = 0; i < asked->analysis.count; i++) {
        aq_nutrient nutrient = aq_nutrient_find(asked->analysis.at[i].name);

        unknown = unknown || (nutrient == AQ_N_UNKNOWN && asked->analysis.at[i].amount.value > 0);
        known = known || nutrient == AQ_N_NITRATE || nutrient == AQ_N_AMMONIUM || nutrient == AQ_N_UREA;
    }
    return !unknown || known || aq_say_form(sheet, "this water");
}

static aq_status water_run(aq_sheet **out, aq_arena *arena, const aq_asked *line, aq_error *err)
{
    aq_asked asked = *line;
    examining e = { .ec = 0 };
    const char *taken = NULL;
    aq_sheet *sheet;
    aq_status status = AQ_OK;

    if (line->site && !line->analysis.count && !line->salts.count)
        status = take_from_site(&taken, &asked, err);
    if (status == AQ_OK)
        status = work_out(&e, arena, &asked, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "water");
    if (!sheet)
        return AQ_NO_MEMORY;
    sheet->title = asked.analysis.count ? "a water by its analysis" : "a solution by its salts";
    if ((taken && !aq_sheet_assume(sheet, "water: %s, from the site", taken)) ||
        !add_figures(sheet, &e, &asked) || !add_ions(sheet, &e) || !add_minerals(sheet, &e) ||
        !add_doubts(sheet, &e, &asked) || !say_forms(sheet, &asked) || !say_unseen(sheet, &e) ||
        !aq_iron_of_water(sheet, e.solution.ph))
        return AQ_NO_MEMORY;
    *out = sheet;
    return AQ_OK;
}

static const aq_shape water_asks = {
    .noun = "water", .fields = water_rows, .count = AQ_ROWS_COUNT(water_rows), .size = sizeof(aq_asked)
};

const aq_job aq_job_water = {
    .name = "water",
    .does = "a water from its analysis, or a solution from its salts",
    .asks = &water_asks,
    .run = water_run,
    .example = "aliquot water --analysis '{Ca: 42 mg/L, Mg: 8 mg/L, Na: 15 mg/L, Cl: 22 mg/L}' "
               "--alkalinity '120 mg/L CaCO3' --ph 7.4"
};
