/* Activity coefficients, and the properties of water that they follow from.
 *
 *     log10 g = -A z^2 sqrt(I) / (1 + B a sqrt(I)) + b I      Truesdell & Jones 1974, where a species has a and b
 *     log10 g = -A z^2 (sqrt(I) / (1 + sqrt(I)) - 0.3 I)      Davies, for the other ions
 *     log10 g = 0.1 I                                          uncharged
 *
 * A and B follow from the density (Kell 1975, in the short form of the CRC Handbook) and the dielectric constant of
 * water (the expressions of WATEQ, from memory): 0.5094 and 0.3284 per angstrom at 25 degC, where phreeqc.dat has
 * 0.5092 and 0.3283. The equations hold to about 0.5 mol/kg; above 1 mol/kg the coefficient of 1 mol/kg stands, so
 * that a stock tank still has an answer, which is then only a direction.
 * Example: Ca+2 at I = 0.02 mol/kg and 25
 * degC: -0.5094 x 4 x 0.1414 / (1 + 0.3284 x 5 x 0.1414) + 0.165 x 0.02 =
 * -0.2305, so g is 0.588. */
#include "chemistry/pair.h"

#include <math.h>

static const double most = 1; /* mol/kg */

double aq_water_density(double celsius)
{
    double from_4 = celsius - 3.9863;

    return 1 - (celsius + 288.9414) / (508929.2 * (celsius + 68.12963)) * from_4 * from_4;
}

double aq_water_dielectric(double celsius)
{
    double t = celsius + 273.15;

    return 2727.586 + 0.6224107 * t - 466.9151 * log(t) - 52000.87 / t;
}

aq_debye aq_debye_at(double celsius)
{
    double density = aq_water_density(celsius), et = aq_water_dielectric(celsius) * (celsius + 273.15);
    aq_debye at = { 1.82483e6 * sqrt(density) / (et * sqrt(et)), 50.2916 * sqrt(density / et) };

    return at;
}

void aq_activity(double log_gamma[AQ_SPECIES_COUNT], double ionic_strength, aq_debye debye)
{
    double strength = fmin(fmax(ionic_strength, 0), most), root = sqrt(strength);
    double davies = -debye.a * (root / (1 + root) - 0.3 * strength);

    for (int i = 0; i < AQ_SPECIES_COUNT; i++) {
        const aq_species *s = aq_species_of(i);
        double square = (double)(s->charge * s->charge);

        if (s->charge == 0)
            log_gamma[i] = 0.1 * strength;
        else if (s->size > 0)
            log_gamma[i] = -debye.a * square * root / (1 + debye.b * s->size * root) + s->extra * strength;
        else
            log_gamma[i] = davies * square;
    }
}
