/* Clashes: calcium apart from sulfate and phosphate (University of California ANR), from carbonate for the same reason; the
 * others are common practice, no source: silicate alone, chelates and carbonates away from acid.
 *
 * A salt in a mixture is held to the product of its ions where it is saturated alone in water:
 *
 *     product = c1^n1 x c2^n2 ...     saturated alone: c = n x S      room = (K / product)^(1 / (n1 + n2 ...))
 *
 * Activities are left out. They are lower in the stronger mixture, so the salt then dissolves somewhat more than this
 * says: the simplification errs to the safe side.
 * Example: of potassium sulfate at 10 degC 0.520 mol/L dissolve alone, K = (2 x 0.520)^2 x 0.520 = 0.562; beside 1 mol/L
 * of potassium from nitrate only 0.25 mol/L do: (1 + 0.50)^2 x 0.25 = 0.562. */
#include "chemistry/concentrate.h"

#include "chemistry/solubility.h"

#include <math.h>
#include <string.h>

static bool brings(const aq_composition *c, aq_ion ion)
{
    return c->ion[ion] > 0;
}

/* Real carbonate, not what only stands for ions that a label leaves out. */
static bool is_carbonate(const aq_composition *c)
{
    return c->ion[AQ_ION_CARBONATE] > fmax(c->closed, 0) + 1e-9;
}

static bool is_acid(const aq_composition *c)
{
    return c->ion[AQ_ION_ACID] > fmax(-c->closed, 0) + 1e-9;
}

/* Silicic acid does not stay in a concentrate; what is sold is alkaline silicate. */
static bool is_silicate(const aq_composition *c)
{
    return c->mass[AQ_SI] > 0 || brings(c, AQ_ION_SILICATE);
}

/* Iron that is not there as an ion. */
static bool is_chelate(const aq_composition *c)
{
    return c->mass[AQ_FE] > 0 && !brings(c, AQ_ION_IRON);
}

aq_clash aq_concentrate_clash(const aq_composition *first, const aq_composition *second)
{
    bool acid = is_acid(second);

    if (brings(first, AQ_ION_CALCIUM) && (brings(second, AQ_ION_SULFATE) || brings(second, AQ_ION_PHOSPHATE)))
        return AQ_CLASH_CALCIUM;
    if (brings(first, AQ_ION_CALCIUM) && is_carbonate(second))
        return AQ_CLASH_LIME;
    if (is_silicate(first) && (acid || brings(second, AQ_ION_CALCIUM) || brings(second, AQ_ION_MAGNESIUM) ||
                               brings(second, AQ_ION_AMMONIUM)))
        return AQ_CLASH_SILICATE;
    if (is_chelate(first) && acid)
        return AQ_CLASH_CHELATE;
    return is_carbonate(first) && acid ? AQ_CLASH_FIZZ : AQ_CLASH_NONE;
}

bool aq_concentrate_rather_apart(const aq_composition *first, const aq_composition *second)
{
    return is_chelate(first) && (brings(second, AQ_ION_SULFATE) || brings(second, AQ_ION_PHOSPHATE));
}

/* ---- common ions ---- */

bool aq_solid_of(aq_solid *out, const char *name, const aq_composition *salt, double per_litre)
{
    double least = INFINITY;

    *out = (aq_solid){ .name = name };
    for (int i = AQ_ION_ACID + 1; i < AQ_ION_COUNT; i++)
        if (salt->ion[i] > 0)
            least = fmin(least, salt->ion[i]);
    if (!isfinite(least) || !(per_litre > 0) || !isfinite(per_litre))
        return false;
    for (int i = AQ_ION_ACID + 1; i < AQ_ION_COUNT; i++) {
        out->parts[i] = salt->ion[i] / least;
        if (salt->ion[i] > 0)
            out->product += out->parts[i] * log(per_litre * salt->ion[i]);
    }
    return true;
}

size_t aq_solids_tabled(aq_solid *out, size_t room, double celsius)
{
    size_t count = 0;
    const char *formula;

    for (size_t row = 0; count < room && (formula = aq_solubility_solid(row)) != NULL; row++) {
        aq_soluble salt;
        aq_composition gram;

        if (!aq_solubility(&salt, formula, celsius) ||
            aq_composition_of_formula(&gram, formula, NULL) != AQ_OK)
            continue;
        if (brings(&gram, AQ_ION_CALCIUM) && brings(&gram, AQ_ION_SULFATE))
            continue;
        count += aq_solid_of(&out[count], salt.name, &gram, salt.per_litre);
    }
    return count;
}

double aq_solid_room(const aq_solid *solid, const double ions[AQ_ION_COUNT])
{
    double sum = 0, product = 0;

    for (int i = 0; i < AQ_ION_COUNT; i++) {
        if (!(solid->parts[i] > 0))
            continue;
        if (!(ions[i] > 0))
            return INFINITY;
        sum += solid->parts[i];
        product += solid->parts[i] * log(ions[i]);
    }
    return sum > 0 ? exp((solid->product - product) / sum) : INFINITY;
}
