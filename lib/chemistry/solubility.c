/* How far salts dissolve.
 *
 * Mass percent of the anhydrous salt in the saturated solution: CRC Handbook, Aqueous Solubility of Inorganic
 * Compounds at Various Temperatures, from memory. Sources that could be read agree within 0 to 4 % (potassium
 * nitrate, ammonium dihydrogen phosphate, calcium chloride, copper sulfate), the lower figure standing here. Urea
 * is within 3 %; the double salt is what is quoted in trade (102 and 113 g in 100 mL of water); gypsum: the
 * classical figures, from memory. Where the stable solid changes with temperature (CaCl2, MnSO4, Na2MoO4), the
 * figure is that of the solid stable there.
 *
 * A widespread leaflet has the nitrates one column of temperature out: hence value, basis, temperature and source
 * together.
 * Example: K2SO4 at 10 degC: 8.46 % is 92.4 g to a kg of water, and with 1.0707 kg/L 90.6 g in a litre of
 * solution. */
#include "chemistry/solubility.h"

#include <math.h>
#include <string.h>

#include "chemistry/density.h"
#include "chemistry/formula.h"
#include "chemistry/pair.h"

enum { MOST_ROWS = 5 };

/* `volume`: mL that a gram of the anhydrous salt takes up, where the density model does not know it; urea from the
 * CRC Handbook's densities at 20 degC, the others from memory, within 0.05. */
static const struct {
    const char *name, *solid;
    double volume;
    struct {
        double celsius, percent;
    } rows[MOST_ROWS];
} salts[] = {
    /* clang-format off */
    { "potassium nitrate", "KNO3", 0,
      { { 0, 12 }, { 10, 17.6 }, { 20, 24.2 }, { 25, 27.7 }, { 30, 31.3 } } },
    { "potassium chloride", "KCl", 0,
      { { 0, 21.74 }, { 10, 23.61 }, { 20, 25.39 }, { 25, 26.22 }, { 30, 27.04 } } },
    { "potassium sulfate", "K2SO4", 0,
      { { 0, 7.11 }, { 10, 8.46 }, { 20, 9.95 }, { 25, 10.7 }, { 30, 11.4 } } },
    { "potassium dihydrogen phosphate", "KH2PO4", 0,
      { { 0, 11.74 }, { 10, 14.91 }, { 20, 18.25 }, { 25, 19.97 }, { 30, 21.77 } } },
    { "magnesium sulfate", "MgSO4.7H2O", 0,
      { { 0, 18.2 }, { 10, 21.7 }, { 20, 25.1 }, { 25, 26.3 }, { 30, 28.2 } } },
    { "magnesium nitrate", "Mg(NO3)2.6H2O", 0,
      { { 0, 38.4 }, { 10, 39.5 }, { 20, 40.8 }, { 25, 41.6 }, { 30, 42.4 } } },
    { "ammonium nitrate", "NH4NO3", 0,
      { { 0, 54 }, { 10, 60.1 }, { 20, 65.5 }, { 25, 68 }, { 30, 70.3 } } },
    { "ammonium sulfate", "(NH4)2SO4", 0,
      { { 0, 41.3 }, { 10, 42.1 }, { 20, 42.9 }, { 25, 43.3 }, { 30, 43.8 } } },
    { "ammonium dihydrogen phosphate", "NH4H2PO4", 0.55,
      { { 0, 17.8 }, { 10, 22 }, { 20, 26.4 }, { 25, 28.8 }, { 30, 31.2 } } },
    { "calcium nitrate", "Ca(NO3)2.4H2O", 0,
      { { 0, 50.1 }, { 10, 53.1 }, { 20, 56.7 }, { 25, 59 }, { 30, 60.9 } } },
    { "calcium chloride", "CaCl2.2H2O", 0,
      { { 0, 36.7 }, { 10, 39.19 }, { 20, 42.13 }, { 25, 44.83 }, { 30, 49.12 } } },
    { "iron(II) sulfate", "FeSO4.7H2O", 0,
      { { 0, 13.5 }, { 10, 17 }, { 20, 20.8 }, { 25, 22.8 }, { 30, 24.8 } } },
    { "manganese(II) sulfate", "MnSO4.H2O", 0,
      { { 0, 34.6 }, { 10, 37.3 }, { 20, 38.6 }, { 25, 38.9 }, { 30, 38.9 } } },
    { "zinc sulfate", "ZnSO4.7H2O", 0,
      { { 0, 29.1 }, { 10, 32 }, { 20, 35 }, { 25, 36.6 }, { 30, 38.2 } } },
    { "copper(II) sulfate", "CuSO4.5H2O", 0,
      { { 0, 12.4 }, { 10, 14.4 }, { 20, 16.7 }, { 25, 18 }, { 30, 19.3 } } },
    { "boric acid", "H3BO3", 0.65,
      { { 0, 2.61 }, { 10, 3.57 }, { 20, 4.77 }, { 25, 5.48 }, { 30, 6.27 } } },
    { "sodium molybdate", "Na2MoO4.2H2O", 0,
      { { 0, 30.6 }, { 10, 38.8 }, { 20, 39.4 }, { 25, 39.4 }, { 30, 39.8 } } },
    { "urea", "CO(NH2)2", 0.745,
      { { 0, 40.12 }, { 10, 45.95 }, { 20, 51.92 }, { 25, 54.55 }, { 30, 57.63 } } },
    { "calcium ammonium nitrate double salt", "5Ca(NO3)2.NH4NO3.10H2O", 0.45,
      { { 0, 42.08 }, { 20, 44.20 } } },
    { "gypsum", "CaSO4.2H2O", 0.1,
      { { 0, 0.1757 }, { 10, 0.1926 }, { 20, 0.2016 }, { 25, 0.2026 }, { 30, 0.2026 } } },
    /* clang-format on */
};

/* The row whose anhydrous salt is that of `formula`; `dry` is what is not crystal water in it. -1: none. */
static int row_of(double *dry, const char *formula)
{
    double count[AQ_ELEMENT_COUNT], other[AQ_ELEMENT_COUNT];
    aq_formula read;

    if (aq_formula_read(&read, formula, NULL) != AQ_OK)
        return -1;
    *dry = aq_formula_dry(count, &read);
    for (size_t i = 0; i < sizeof salts / sizeof *salts; i++) {
        if (aq_formula_read(&read, salts[i].solid, NULL) != AQ_OK)
            continue;
        aq_formula_dry(other, &read);
        if (aq_formula_same(count, other))
            return (int)i;
    }
    return -1;
}

static int last_of(int row)
{
    int last = MOST_ROWS - 1;

    while (last > 0 && salts[row].rows[last].percent <= 0)
        last--;
    return last;
}

/* Straight between rows; the nearest row beyond them. */
static double share_at(int row, double celsius)
{
    int last = last_of(row), i = 0;

    if (celsius <= salts[row].rows[0].celsius)
        return salts[row].rows[0].percent / 100;
    if (celsius >= salts[row].rows[last].celsius)
        return salts[row].rows[last].percent / 100;
    while (celsius > salts[row].rows[i + 1].celsius)
        i++;
    double from = salts[row].rows[i].celsius, to = salts[row].rows[i + 1].celsius;
    double low = salts[row].rows[i].percent, high = salts[row].rows[i + 1].percent;
    return (low + (high - low) * (celsius - from) / (to - from)) / 100;
}

static double density_at(int row, double share, double dry, const char *formula, double celsius)
{
    aq_solute solute = { formula, share / dry };
    double density;

    if (solute.amount <= 1 && aq_density_of_shares(&density, &solute, 1, celsius))
        return density;
    return 1000 / ((1 - share) / aq_water_density(celsius) + share * salts[row].volume);
}

bool aq_solubility(aq_soluble *out, const char *formula, double celsius)
{
    static const aq_soluble nothing;
    double dry = 0;
    int row = row_of(&dry, formula);

    *out = nothing;
    if (row < 0 || !(celsius >= -5 && celsius <= 50))
        return false;
    double share = share_at(row, celsius);
    out->name = salts[row].name;
    out->solid = salts[row].solid;
    out->share = share;
    out->per_water = share < dry ? 1000 * share / (dry - share) : INFINITY;
    out->density = density_at(row, share, dry, formula, fmax(celsius, 0));
    out->per_litre = share * out->density / dry;
    out->beyond = celsius < salts[row].rows[0].celsius || celsius > salts[row].rows[last_of(row)].celsius;
    return true;
}

const char *aq_solubility_solid(size_t row)
{
    return row < sizeof salts / sizeof *salts ? salts[row].solid : NULL;
}
