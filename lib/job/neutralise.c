/* mL = meq / (g/L of acid / molar mass x protons). Example: 479.6 meq by nitric acid of 67 % w/w at 1.40 kg/L, which holds
 * 14.89 eq/L, are 32.2 mL, and bring 14.007 mg of N with each meq. */
#include "job/neutralise.h"

#include "base/decimal.h"
#include "chemistry/liquid.h"
#include "job/rows.h"
#include "solve/dilute.h"

#include <math.h>
#include <string.h>

static const double ph_reached = 5.8; /* where organic acids are counted: mid-window of a feed */

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
    { .key = "temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = 0,
      .most = 50,
      .into = offsetof(aq_acid_entry, temperature),
      .help = "of the acid: its density then comes from the handbooks",
      .example = "12 degC" },
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
const aq_shape aq_acid_shape = { .noun = "acid",
                                 .fields = acid_fields,
                                 .count = AQ_ROWS_COUNT(acid_fields),
                                 .size = sizeof(aq_acid_entry),
                                 .has_place = true,
                                 .place_into = offsetof(aq_acid_entry, place),
                                 .has_name = true,
                                 .name_into = offsetof(aq_acid_entry, name) };

static double ec_change(const aq_neutralising *n, double eq_per_litre)
{
    for (size_t i = 0; i < sizeof conductivities / sizeof *conductivities; i++)
        if (strcmp(conductivities[i].formula, n->acid.formula) == 0) /* S cm2/eq x eq/L = mS/cm */
            return eq_per_litre * (conductivities[i].anion - bicarbonate);
    return NAN;
}

/* Mineral acids as growers' tables count them; organic ones are only partly dissociated where they leave the water. */
static double protons_of(const aq_acid *acid)
{
    return acid->brings == AQ_NUTRIENT_COUNT ? aq_acid_protons(acid, ph_reached) : acid->protons;
}

/* g/L by the handbooks' tables; NaN: not in them. */
static double tabled_density(const aq_acid *acid, const aq_strength *strength, double celsius)
{
    const aq_liquid *liquid = aq_liquid_find(acid->formula);
    double density;

    if (!liquid || strength->basis != AQ_BASIS_WW ||
        !aq_liquid_density(&density, liquid, strength->value, celsius))
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
static double litres_for(const aq_neutralising *n, double equivalents, double per_litre)
{
    return equivalents / (per_litre / n->acid.molar_mass * n->protons);
}

/* Of the table: no temperature moves the density of citric acid there. */
static double celsius_of(const aq_acid *acid, const aq_acid_entry *entry)
{
    const aq_liquid *liquid = aq_liquid_find(acid->formula);

    return liquid && aq_liquid_warms(liquid) ? entry->temperature.value : 20;
}

bool aq_neutralise_assume(aq_sheet *sheet, const aq_neutralising *n, const aq_acid_entry *entry)
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_places(n->density / 1000, 3, digits);
    return isnan(n->density) ||
           aq_sheet_assume(sheet, "density of %s: %s kg/L at %s, by handbooks", n->name, digits,
                           aq_say(sheet->arena, celsius_of(&n->acid, entry), "degC"));
}

static aq_status ask_density(const aq_neutralising *n, const aq_acid_entry *entry, double equivalents,
                             aq_arena *arena, aq_error *err)
{
    double density = tabled_density(&n->acid, &entry->strength, 20);

    if (isnan(density))
        return aq_fail(
            err, AQ_MISSING, entry->place,
            "acid %s: %s needs its density, like 1.40 kg/L: it is on the bottle or in its safety data sheet",
            entry->name, entry->strength.typed);
    return aq_fail(
        err, AQ_MISSING, entry->place,
        "acid %s: %s needs its density: it is on the bottle or in its safety data sheet. By "
        "handbooks it is %s at 20 degC, which gives %s; to go by the handbooks say how warm the acid is: "
        "temperature",
        entry->name, entry->strength.typed, aq_say(arena, density / 1000, "kg/L"),
        aq_say(arena, litres_for(n, equivalents, entry->strength.value * density) * 1000, "mL"));
}

aq_status aq_neutralise(aq_neutralising *n, const aq_acid_entry *entry, double eq_per_litre, double volume,
                        aq_arena *arena, aq_error *err)
{
    double per_litre, density = entry->density.given ? entry->density.value : NAN;

    n->name = entry->name;
    if (!aq_acid_find(&n->acid, entry->name))
        return aq_fail(err, AQ_UNKNOWN_NAME, entry->place,
                       "acid %s: only nitric, phosphoric, sulfuric, citric, hydrochloric and acetic acid are "
                       "known; use a jar test for another",
                       entry->name);
    if (!(entry->strength.value > 0))
        return aq_fail(err, AQ_OUT_OF_RANGE, entry->place, "acid %s: its strength must be more than 0",
                       entry->name);
    n->substance = n->acid.name;
    n->protons = entry->protons.given ? entry->protons.value : protons_of(&n->acid);
    n->density = NAN;
    if (entry->strength.basis == AQ_BASIS_WW && !entry->density.given && entry->temperature.given)
        density = n->density = tabled_density(&n->acid, &entry->strength, celsius_of(&n->acid, entry));
    per_litre = aq_strength_per_litre(entry->strength, density, NAN);
    if (isnan(per_litre))
        return ask_density(n, entry, eq_per_litre * volume, arena, err);
    n->strength = share_of(&n->acid, entry);
    n->litres = litres_for(n, eq_per_litre * volume, per_litre);
    n->brings = eq_per_litre * aq_acid_brings(&n->acid, n->protons);
    n->element = n->acid.brings == AQ_N_NITRATE        ? "N"
                 : n->acid.brings == AQ_NUTRIENT_COUNT ? NULL
                                                       : aq_nutrient_name(n->acid.brings);
    n->ec_change = ec_change(n, eq_per_litre);
    return AQ_OK;
}
