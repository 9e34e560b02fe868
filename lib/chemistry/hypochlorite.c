/* How bleach ages: three hypochlorite ions become a chlorate and two chlorides, at a rate that goes with the square of
 * what there is.
 *
 *     dc/dt = -k c^2, so c = c0 / (1 + k c0 t)
 *     k     = 2.083e10 T exp(-101800 / (R T)) exp(-56.5 / R) 10^(0.149 I)        L/(mol s), T in K, R = 8.314
 *
 * after Adam and Gordon, Inorganic Chemistry 38 (1999) 1326, at pH 11 to 13; the constants are from memory. The ionic
 * strength I is that of hypochlorite with as much chloride, of which it is made, 2 c0; the reaction keeps the charges, so
 * it stays. The tests hold it against a handbook's half-lives.
 *
 * Example: 60 g/L (6 % w/v) are 0.806 mol/L, I = 1.61. At 25 degC k = 1.77e-8, and after a year 60 / (1 + 0.449) = 41.4
 * g/L are left; at 20 degC 49.2. */
#include "chemistry/hypochlorite.h"

#include <math.h>

static const double molar_mass =
    74.442; /* g/mol of NaOCl: IUPAC atomic weights, as chemistry/element.c has them */
static const double gas_constant = 8.31446; /* J/(mol K): exact in the SI of 2019, here to six figures */
static const double seconds_a_day = 86400;

static double rate(double ionic_strength, double celsius)
{
    const double enthalpy = 101800, entropy = -56.5; /* J/mol, J/(mol K) of activation: the source above */
    double kelvin = celsius + 273.15;

    return 2.083e10 * kelvin * exp(entropy / gas_constant - enthalpy / (gas_constant * kelvin)) *
           pow(10, 0.149 * ionic_strength);
}

bool aq_hypochlorite_aged(double *left, double fresh, double days, double celsius)
{
    double moles = fresh / molar_mass;

    *left = 0;
    if (!(fresh > 0 && fresh <= AQ_HYPOCHLORITE_MOST && days >= 0 && days <= AQ_HYPOCHLORITE_OLDEST &&
          celsius >= 0 && celsius <= AQ_HYPOCHLORITE_WARMEST))
        return false;
    *left = fresh / (1 + rate(2 * moles, celsius) * moles * days * seconds_a_day);
    return true;
}
