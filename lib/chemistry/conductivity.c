/* Conductivity: Onsager's limiting law for a mixture, tamed at higher strength by one width for each ion.
 *
 *     kappa = sum_i m_i rho lambda_i                                  mS/cm, over all charged forms
 *     lambda_i = l_i - (E z_i^2 + R |z_i| z' l_i) sqrt(I) / (1 + B_i sqrt(I))
 *     E = 41.25 / (eta sqrt(eps T))                                   drag of the ionic cloud (eta in poise)
 *     R = 2.801e6 / (eps T)^1.5  q / (1 + sqrt q)                     its delay
 *     q = z+ z- (l+ + l-) / ((z+ + z-)(z- l+ + z+ l-))                l+, l- per equivalent
 *
 * l_i and B_i stand in chemistry/mobility.c; z+ and z- are the mean charges of cations and of anions (weighted by
 * equivalents), z' that of the ions of opposite sign. For one salt this is Onsager's equation of 1927 (Robinson &
 * Stokes, Electrolyte Solutions, chapter 7), with the constants of water at the temperature. Its form for mixtures
 * is ours.
 * Example: 0.01 mol/L of KCl at 25 degC: E 30.3, R 0.229, sqrt(I) 0.1: K+ 73.64 - (30.3 + 16.9) 0.1 / 1.13
 * = 69.46, Cl- 76.12 - (30.3 + 17.4) 0.1 / 1.129 = 71.89, so kappa = 1.414 mS/cm; measured: 1.412 (CRC), 1.413 (the
 * standard). */
#include "chemistry/conductivity.h"

#include <math.h>
#include <stdlib.h>

#include "chemistry/mobility.h"

static const double water = 0.99705;   /* kg in a litre, as in speciation.c */
static const double floor_share = 0.1; /* of the limit, so that brines stay positive; ours, no source */

/* Viscosity of water, poise: Kestin et al. 1978, from memory as it stands in the closed form of ISO 7888's
 * function. */
static double viscosity(double celsius)
{
    double x = 20 - celsius;

    return 1.002e-2 * pow(10, x / (celsius + 96) * (1.2364 - 1.37e-3 * x + 5.7e-6 * x * x));
}

/* The means over the ions of one sign. */
typedef struct {
    double charge;       /* z+ */
    double conductivity; /* l+, per equivalent */
} side;

static side mean_of(const double *molality, const double *limit, int sign)
{
    double eq = 0, square = 0, carried = 0;
    side mean = { 1, 50 }; /* where there is none, it does not matter */

    for (int i = 0; i < AQ_SPECIES_COUNT; i++) {
        int charge = aq_species_of(i)->charge * sign;
        if (charge <= 0 || molality[i] <= 0)
            continue;
        eq += charge * molality[i];
        square += charge * charge * molality[i];
        carried += limit[i] * molality[i];
    }
    if (eq > 0) {
        mean.charge = square / eq;
        mean.conductivity = carried / eq;
    }
    return mean;
}

double aq_conductivity(const aq_speciated *speciated, double celsius)
{
    double et = aq_water_dielectric(celsius) * (celsius + 273.15), root = sqrt(speciated->ionic_strength);
    double limit[AQ_SPECIES_COUNT], sum = 0;

    for (int i = 0; i < AQ_SPECIES_COUNT; i++)
        limit[i] = speciated->molality[i] > 0 ? aq_mobility_limit(i, celsius) : 0;
    side plus = mean_of(speciated->molality, limit, 1), minus = mean_of(speciated->molality, limit, -1);
    double q = plus.charge * minus.charge * (plus.conductivity + minus.conductivity) /
               ((plus.charge + minus.charge) *
                (minus.charge * plus.conductivity + plus.charge * minus.conductivity));
    double drag = 41.25 / (viscosity(celsius) * sqrt(et)),
           delay = 2.801e6 / (et * sqrt(et)) * q / (1 + sqrt(q));

    for (int i = 0; i < AQ_SPECIES_COUNT; i++) {
        int charge = aq_species_of(i)->charge;
        if (charge == 0 || speciated->molality[i] <= 0)
            continue;
        double other = charge > 0 ? minus.charge : plus.charge;
        double slope = drag * charge * charge + delay * abs(charge) * other * limit[i];
        double lambda = limit[i] - slope * root / (1 + aq_mobility_of(i)->width * root);
        sum += speciated->molality[i] * fmax(lambda, floor_share * limit[i]);
    }
    return sum * water;
}

double aq_ec_of(const aq_solution *solution)
{
    aq_solution at_25 = *solution;
    aq_speciated speciated;

    at_25.temperature = 25;
    return aq_speciate(&speciated, &at_25) ? aq_conductivity(&speciated, 25) : 0;
}

double aq_ec_within(const aq_speciated *speciated)
{
    return 0.05 + 0.5 * speciated->hardness + 0.1 * speciated->ionic_strength;
}

double aq_ion_conductivity(aq_ion ion)
{
    switch (ion) {
    case AQ_ION_ACID:
        return aq_mobility_limit(AQ_SPECIES_H, 25);
    case AQ_ION_PHOSPHATE:
        return aq_mobility_limit(AQ_FORM_H2PO4, 25);
    case AQ_ION_CARBONATE:
        return aq_mobility_limit(AQ_FORM_HCO3, 25);
    case AQ_ION_CITRATE:
        return aq_mobility_limit(AQ_FORM_H2CITRATE, 25);
    default:
        return aq_mobility_limit(aq_master(ion), 25);
    }
}

double aq_to_25_natural(double celsius)
{
    /* ISO 7888:1985 (EN 27888), as reprinted in two instrument manuals: whole degrees from 0 */
    static const double f25[] = { 1.918, 1.857, 1.800, 1.745, 1.693, 1.643, 1.596, 1.551, 1.508,
                                  1.467, 1.428, 1.390, 1.354, 1.320, 1.287, 1.256, 1.225, 1.196,
                                  1.168, 1.141, 1.116, 1.091, 1.067, 1.044, 1.021, 1.000, 0.979,
                                  0.959, 0.940, 0.921, 0.903, 0.886, 0.869, 0.853, 0.837, 0.822 };
    int last = (int)(sizeof f25 / sizeof *f25) - 2;
    int row = celsius <= 0 ? 0 : celsius >= last ? last : (int)celsius;

    return f25[row] + (f25[row + 1] - f25[row]) * (celsius - row);
}

double aq_to_25_linear(double celsius, double coefficient)
{
    return 1 / (1 + coefficient * (celsius - 25));
}
