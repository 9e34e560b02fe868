/* A small site for the targets that need one: every kind of entry once, and a recipe with a hazard. */
#ifndef FERNHOLLOW_H
#define FERNHOLLOW_H

#include "fuzz.h"

static const char fernhollow_site[] =
    "aliquot: site 1\nname: Fernhollow\ngallon: us\nshow: [L, gal]\nrecipes: {leaf: two-part-leaf.yaml}\n"
    "waters:\n"
    "  tap: {ec: 0.32 mS/cm, alkalinity: 120 mg/L CaCO3, temperature: 14 degC, analysis: {Ca: 42 mg/L, Mg: 8 "
    "mg/L}}\n"
    "  rain: {ec: 0.03 mS/cm}\n"
    "meter: {scale: ppm-500, compensated: no, standard: 1413 uS/cm, reads: 690 ppm-500, checked: "
    "2026-03-01}\n"
    "bench:\n"
    "  - {name: 1 mL syringe, holds: 1 mL, marks: 0.02 mL}\n"
    "  - {name: 60 mL syringe, holds: 60 mL, marks: 1 mL}\n"
    "  - {name: kitchen scale, holds: 3 kg, marks: 1 g}\n"
    "reservoirs:\n"
    "  - {name: Trays, holds: 12 L, water: tap, recipe: leaf, lot: basil-14, uses: 0.4 L/d, uptake: 0.6 "
    "mS/cm}\n"
    "  - {name: Bed, holds: 60 L, fill: 55 L, heel: 4 L, heel-ec: 1.5 mS/cm, water: tap, recipe: leaf,\n"
    "     stage: stock plants, uses: 3 L/d, uptake: 0.9 mS/cm}\n"
    "bottles:\n"
    "  - {name: Mister, holds: 500 mL, water: rain, recipe: leaf, lot: basil-14, daily: 07:30}\n"
    "lots:\n"
    "  - {name: basil-14, stuck: 2026-03-02, cuttings: 60}\n"
    "week:\n"
    "  - {reservoir: Trays, change: [Mon 07:30, Thu 07:30]}\n"
    "  - {reservoir: Bed, change: [Mon 09:00], top-up: [Thu 09:00]}\n"
    "supplies:\n"
    "  - {part: Part A, left: 736 mL, pack: 5 L, price: 42.00, lead: 4 d}\n"
    "  - {part: Kelp mist, left: 240 mL, pack: 500 mL, price: 18.50, lead: 7 d}\n"
    "currency: EUR\ntimezone: Europe/Dublin\n";

static const char fernhollow_recipe[] =
    "aliquot: recipe 1\nname: Two-part leaf feed\nparts:\n"
    "  - {name: Supplement, rate: 0-1.5 mL/L, analysis: {basis: w/v, as: element, NO3-N: 3.4 %, Ca: 3.2 %, "
    "Mg: 1 "
    "%},\n"
    "     ec: 0.29 mS/cm per mL/L}\n"
    "  - {name: Part A, rate: 1-4 mL/L, density: 1.11 kg/L, hazards: [H318],\n"
    "     analysis: {basis: w/w, as: oxide, NO3-N: 2.8 %, NH4-N: 0.2 %, K2O: 3.4 %, Ca: 1.85 %, Fe: 0.05 "
    "%}}\n"
    "  - {name: Part B, rate: 1-4 mL/L, density: 1.09 kg/L,\n"
    "     analysis: {basis: w/w, as: oxide, NO3-N: 0.7 %, P2O5: 1.95 %, K2O: 3.2 %, Mg: 0.35 %, S: 0.3 %}}\n"
    "  - {name: Kelp mist, use: foliar, rate: 1-2 mL/L, ec: 0.12 mS/cm per mL/L}\n"
    "  - {name: Magnesium sulfate, formula: MgSO4.7H2O}\n"
    "together:\n  - {parts: {Part A: 1, Part B: 1}, ec: 0.40 mS/cm per mL/L}\n"
    "stages:\n"
    "  - {name: strike, days: 0-3, mist: {Kelp mist: 1 mL/L}, mist-ec: 0-0.8 mS/cm, ec: 0.5 mS/cm}\n"
    "  - {name: vegetative, days: 4-1000, gate: half the cuttings show roots, mist: {Kelp mist: 1.5 mL/L},\n"
    "     mist-ec: 0-1.2 mS/cm, ec: 1.6 mS/cm, step: 0.5 mS/cm, ph: 5.6-6.2}\n"
    "  - {name: stock plants, targets: {N: 150 mg/L, P: 31 mg/L, K: 210 mg/L, Ca: 110 mg/L, Mg: 30 mg/L},\n"
    "     tolerance: {N: 5 %, P: 15 %}, ph: 5.6-6.2}\n";

/* Read once and kept to the end of the program: a document that is only read may serve every question. */
static inline const aq_site *fernhollow(void)
{
    static aq_site *site;
    static aq_arena *arena;
    static aq_complaints complaints;

    if (site)
        return site;
    arena = aq_arena_new(0);
    must(arena != NULL);
    must(aq_site_read(&site, arena, fernhollow_site, strlen(fernhollow_site), "site.yaml", &complaints) ==
         AQ_OK);
    must(aq_recipe_read(&site->recipes.at[0].recipe, arena, fernhollow_recipe, strlen(fernhollow_recipe),
                        "two-part-leaf.yaml", &complaints) == AQ_OK);
    must(aq_site_check_recipes(site, &complaints) == AQ_OK);
    return site;
}

#endif
