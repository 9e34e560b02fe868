/* Densities by the model of Laliberte & Cooper 2004, coefficients of Laliberte 2009, J. Chem. Eng. Data 54, 1725:
 *
 *     1 / rho = w_w / rho_w + sum_i w_i / rho_i
 *     rho_i = (c0 (1 - w_w) + c1) exp(1e-6 (t + c4)^2) / ((1 - w_w) + c2 + c3 t)          kg/m3, t in degC
 *
 * w: shares of mass, w_w that of water. Against the CRC Handbook's table of 20 degC, 1 to 20 %, fourteen salts are
 * within 0.0012 g/mL but for potassium carbonate and manganese sulfate (0.005); potassium hydroxide is within
 * 0.002. A strength beyond the range of the fit is worked out all the same, for a saturated solution lies there;
 * calcium nitrate's fit begins at 25 degC.
 * Example: 10 % KNO3 at 20 degC: 1.0626 g/mL; the CRC Handbook has 1.0627. */
#include "chemistry/density.h"

#include <math.h>
#include <string.h>

#include "chemistry/formula.h"
#include "chemistry/pair.h"

enum { MOST_SOLUTES = 16 };

static const struct {
    const char *formula;
    double c[5];
    double least, most; /* degC of the measurements */
    double share;       /* the strongest of them */
} fits[] = {
    { "(NH4)2SO4",
      { 618.240750736, 966.128116121, 0.602706202527, 0.00162790267933, 667.573420648 },
      15,
      55,
      0.4292 },
    { "Ca(NO3)2",
      { 57.3363374529, 538.054269301, 1.00008670445, 0.00720231361346, 1438.41364559 },
      25,
      60,
      0.7681 },
    { "CaCl2",
      { -9.72893747074, 14.7005352975, 4.19033341468, 0.0397403624277, 2708.12778895 },
      15,
      126.7,
      0.5132 },
    { "CuSO4",
      { -1.1207829415e-06, 6.06850590612e-07, -0.118863232464, 0.00378050075861, 4763.96073964 },
      10,
      60,
      0.2844 },
    { "FeCl3", { -14.9299417768, 63.3168799033, 1.15885132665, 0.010482083889, 2163.05805284 }, 0, 35, 0.5 },
    { "FeSO4",
      { -0.224719650197, 0.121140350304, 0.735724466696, -0.0218648366344, 3325.11261125 },
      15,
      25,
      0.2332 },
    { "H2SO4",
      { 70.8395152347, 142.352693909, 0.687794596188, 0.00649299683207, 1667.2386463 },
      -11.15,
      75,
      0.782 },
    { "H3PO4",
      { 1288.25499332, -4126.67487465, -4.64682626087, 0.00466168016728, -944.459685828 },
      15.85,
      81.4,
      0.85 },
    { "HNO3",
      { 0.272070788162, -0.399605969017, -2.33691977746, 0.00662112384276, -3089.01794099 },
      -10,
      95,
      0.7011 },
    { "K2CO3",
      { 2290.10867876, 1038.77363895, 0.109769327295, 0.000497783340936, -74.0786862142 },
      5,
      95,
      0.3606 },
    { "K2SO4",
      { 7.10599369467e-06, 4.65558662792e-05, 0.349566841181, 0.00751053641501, 4200.09377807 },
      0,
      98.67,
      0.1515 },
    { "KCl",
      { -0.855928945959, 6.04073571306, 2.81787416217, 0.0253924645877, 2681.61723466 },
      5,
      125,
      0.2643 },
    { "KH2PO4",
      { 0.175127099215, 0.058380109603, 0.170194505849, 0.00323440066031, 3062.75144964 },
      20,
      40,
      0.2321 },
    { "KNO3", { 1.49068709974, 6.67292354651, 1.47150749461, 0.0155872679453, 2539.22687485 }, 5, 95, 0.284 },
    { "KOH",
      { 821.119043255, 1043.20173374, 0.112873330223, 0.00124023636407, 539.630388369 },
      4,
      95,
      0.5186 },
    { "Mg(NO3)2",
      { 0.967814929692, 5.54043413599, 1.10374669743, 0.012334078216, 2589.61875022 },
      5,
      95,
      0.4393 },
    { "MgCl2",
      { -0.0215001423272, 0.0441202083909, 1.53227586827, -0.00980785060562, -3478.36496884 },
      0,
      98.67,
      0.3238 },
    { "MgSO4",
      { 98.1201663081, 59.2657647318, -0.0303404982114, 0.000503619228557, 1763.75942291 },
      0,
      125,
      0.2682 },
    { "Mn(NO3)2",
      { -0.0048262416125, 0.0094475908444, 1.2743307416, 0.0210811729977, 3666.76869958 },
      5,
      95,
      0.08411 },
    { "MnSO4",
      { 0.0164440169186, 0.0040870488212, -0.110639531486, 0.0019297948004, 3484.6364084 },
      20,
      25,
      0.364 },
    { "Na2MoO4",
      { -2.08131961211, 4.84461280524, 4.4342304236, -0.0208150320148, -2942.26405799 },
      25,
      80,
      0.35 },
    { "NaCl",
      { -0.00324112223655, 0.0636354335907, 1.01371399467, 0.014595101521, 3317.34854427 },
      0,
      140,
      0.2659 },
    { "NH4Cl",
      { 16.8882196384, 318.560293048, 5.08655606959, -0.0150616503055, -1769.12237166 },
      12.5,
      100,
      0.4 },
    { "NH4NO3",
      { 1412.56319897, 1214.07575155, 0.705071278089, 0.0011776086222, 107.081780209 },
      25,
      95,
      0.7874 },
    { "ZnSO4",
      { 19.3998326251, 36.9810552705, -0.08876578477, 0.00106893137547, 2058.60217737 },
      15,
      60,
      0.3677 },
};

/* The row of a salt, and its anhydrous share of the mass; -1: none. */
static int row_of(double *share, const char *formula)
{
    double count[AQ_ELEMENT_COUNT], other[AQ_ELEMENT_COUNT];
    aq_formula read;

    if (aq_formula_read(&read, formula, NULL) != AQ_OK)
        return -1;
    *share = aq_formula_dry(count, &read);
    for (size_t row = 0; row < sizeof fits / sizeof *fits; row++) {
        if (aq_formula_read(&read, fits[row].formula, NULL) != AQ_OK)
            continue;
        aq_formula_dry(other, &read);
        if (aq_formula_same(count, other))
            return (int)row;
    }
    return -1;
}

bool aq_density_known(const char *formula)
{
    double share;

    return row_of(&share, formula) >= 0;
}

static double apparent(int row, double salts, double celsius)
{
    const double *c = fits[row].c;

    return (c[0] * salts + c[1]) * exp(1e-6 * (celsius + c[4]) * (celsius + c[4])) /
           (salts + c[2] + c[3] * celsius);
}

bool aq_density_of_shares(double *g_per_litre, const aq_solute *solutes, size_t count, double celsius)
{
    double dry[MOST_SOLUTES], salts = 0, volume;
    int rows[MOST_SOLUTES];

    *g_per_litre = 0;
    if (count > MOST_SOLUTES || !(celsius >= 0 && celsius <= 50))
        return false;
    for (size_t i = 0; i < count; i++) {
        double share;
        rows[i] = row_of(&share, solutes[i].formula);
        if (rows[i] < 0 || !(solutes[i].amount >= 0 && solutes[i].amount <= 1))
            return false;
        dry[i] = solutes[i].amount * share;
        salts += dry[i];
    }
    if (salts >= 1)
        return false;
    volume = (1 - salts) / (1000 * aq_water_density(celsius));
    for (size_t i = 0; i < count; i++)
        if (dry[i] > 0)
            volume += dry[i] / apparent(rows[i], salts, celsius);
    if (!(volume > 0))
        return false;
    *g_per_litre = 1 / volume;
    return true;
}

/* Grams become shares by the density, which hangs on the shares: each turn misses a tenth of what the one before
 * did. */
bool aq_density_of_litre(double *g_per_litre, const aq_solute *solutes, size_t count, double celsius)
{
    aq_solute shares[MOST_SOLUTES];
    double density = 1000, next = 0;

    *g_per_litre = 0;
    if (count > MOST_SOLUTES)
        return false;
    for (int turn = 0; turn < 100; turn++) {
        for (size_t i = 0; i < count; i++) {
            shares[i].formula = solutes[i].formula;
            shares[i].amount = solutes[i].amount / density;
        }
        if (!aq_density_of_shares(&next, shares, count, celsius))
            return false;
        if (fabs(next - density) < 1e-9 * density) {
            *g_per_litre = next;
            return true;
        }
        density = next;
    }
    return false;
}
