/* How much of a bottle goes into a litre:
 *
 *     liquid   take = wanted / stock, both in g per litre
 *     ratio    take = 1 / parts
 *     solid    grams = wanted / what a gram of it counts / purity
 *
 * Example: 35 % w/w at 1.13 kg/L holds 395.5 g/L, so 1 L of 3 % w/v takes 30 / 395.5 L = 75.9 mL. A hormone's strength
 * counts its acid: 1500 mg/L of IBA from its potassium salt takes 150 mg x 241.33 / 203.24 = 178 mg in 100 mL.
 *
 * A density is a fact of substance, strength and temperature. With all three the handbooks know it, and it is said as
 * an assumption; with two of them it is asked for, since the bottle may be old, or not what it is called. */
#include "job/concentrate.h"

#include <math.h>
#include <string.h>

#include "chemistry/formula.h"
#include "job/practice.h"
#include "job/counted.h"
#include "job/rows.h"
#include "solve/dilute.h"

double aq_concentrate_celsius(const aq_asked *asked)
{
    return asked->temperature.given && aq_liquid_called(asked->of) &&
                   aq_liquid_warms(aq_liquid_called(asked->of))
               ? asked->temperature.value
               : 20;
}

/* g/L of that strength of it; NaN: not in the table. */
static double tabled_density(const aq_asked *asked, const aq_strength *strength)
{
    const aq_liquid *liquid = aq_liquid_called(asked->of);
    double share, density;

    if (!liquid || !aq_liquid_share(&share, liquid, strength->value, strength->basis) ||
        !aq_liquid_density(&density, liquid, share, aq_concentrate_celsius(asked)))
        return NAN;
    return density;
}

/* Of the liquid itself, whatever the grower calls it; at 20 degC, where strengths by volume are stated. */
static double pure_density(const char *of)
{
    const aq_liquid *liquid = aq_liquid_called(of);

    return liquid && liquid->pure > 0 ? liquid->pure * 1000 : NAN;
}

double aq_strength_shown(const char **unit, const aq_strength *strength)
{
    bool percent = strchr(strength->typed, '%') != NULL;

    *unit = strength->basis == AQ_BASIS_WW   ? "%w/w"
            : strength->basis == AQ_BASIS_VV ? "%v/v"
            : percent                        ? "%w/v"
                                             : "mg/L";
    if (strength->basis != AQ_BASIS_WV)
        return strength->value * 100;
    return percent ? strength->value / 10 : strength->value * 1000; /* 10 g/L is 1 % w/v */
}

/* How the wanted strength was written decides how the reached one is shown. */
static void show_strength(aq_concentrate *from, const aq_strength *to, double per_litre)
{
    from->wanted = aq_strength_shown(&from->unit, to);
    from->reached_per_unit = from->wanted / per_litre;
}

/* What the bottle's density would be, and the answer that it would give. */
static aq_status ask_density(aq_dilution problem, const aq_asked *asked, aq_arena *arena, aq_error *err)
{
    double take = NAN;

    problem.make = asked->make.high.value;
    problem.stock_density = tabled_density(asked, &problem.stock);
    if (isnan(problem.stock_density) || aq_dilute(&take, &problem, NULL) != AQ_OK)
        return aq_ask_for(err, "density",
                          "%s of a liquid needs its density, like 1.13 kg/L: it is on the bottle or in its "
                          "safety data sheet",
                          problem.stock.typed);
    return aq_ask_for(
        err, "density",
        "%s of a liquid needs its density: it is on the bottle or in its safety data sheet. By "
        "handbooks it is %s at 20 degC, which gives %s; to go by the handbooks say how warm the "
        "liquid is: temperature",
        problem.stock.typed, aq_say(arena, problem.stock_density / 1000, "kg/L"),
        aq_say(arena, take * 1000, "mL"));
}

/* No dilution makes a liquid stronger: what it would give undiluted, in the unit of what is wanted. */
static aq_status too_weak(aq_concentrate *from, const aq_dilution *problem, aq_error *err)
{
    aq_dilution turned = { .stock = problem->to,
                           .to = problem->stock,
                           .stock_density = problem->to_density,
                           .to_density = problem->stock_density,
                           .pure_density = problem->pure_density,
                           .make = 1 };
    double share;
    aq_status status = aq_dilute(&share, &turned, err);

    if (status == AQ_OK) {
        show_strength(from, &problem->to, 1);
        from->neat = from->wanted * share;
        from->per_litre = 1;
    }
    return status;
}

/* A bottle whose label counts one substance, and a wanted strength that counts another. */
static aq_status count_liquid(aq_concentrate *from, aq_strength *stock, const aq_asked *asked, aq_error *err)
{
    double holds = 1;
    aq_status status;

    if (asked->purity.given)
        return aq_ask_for(err, "purity", "it is of a solid: of a liquid say its strength: stock");
    if (!asked->as)
        return AQ_OK;
    if (!asked->of)
        return aq_ask_for(err, "of", "counted as %s: what does the label count? Like K-IBA", asked->as);
    if (stock->basis == AQ_BASIS_VV || asked->to.strength.basis == AQ_BASIS_VV)
        return aq_ask_for(err, "as", "what counts as %s goes by mass, not by volume: say %%w/w or %%w/v",
                          asked->as);
    status = aq_counted_as(&holds, asked->of, asked->as, err);
    if (status != AQ_OK)
        return status;
    from->factor = 1 / holds;
    stock->value *= holds;
    return AQ_OK;
}

static aq_status of_liquid(aq_concentrate *from, const aq_asked *asked, aq_arena *arena, aq_error *err)
{
    aq_dilution problem = { .stock = asked->stock.strength,
                            .to = asked->to.strength,
                            .stock_density = asked->density.given ? asked->density.value : NAN,
                            .to_density = tabled_density(asked, &asked->to.strength),
                            .pure_density = pure_density(asked->of),
                            .make = 1 };
    aq_status status;

    if (problem.stock.basis == AQ_BASIS_WW && !asked->density.given) {
        if (asked->temperature.given)
            problem.stock_density = tabled_density(asked, &problem.stock);
        if (isnan(problem.stock_density))
            return ask_density(problem, asked, arena, err);
        from->density_taken = true;
    }
    from->density = problem.stock_density;
    if (problem.to.basis == AQ_BASIS_WW && isnan(problem.to_density))
        return aq_ask_for(
            err, "to",
            "the density of %s is not known here, and a strength by weight needs it: say what is "
            "wanted as %%w/v, or name the substance: of",
            problem.to.typed);
    from->to_density = problem.to.basis == AQ_BASIS_WW ? problem.to_density : NAN;
    if ((problem.stock.basis == AQ_BASIS_VV) != (problem.to.basis == AQ_BASIS_VV) &&
        isnan(problem.pure_density))
        return aq_ask_for(err, "of",
                          "between v/v and the others it takes the density of the pure substance: name it, "
                          "like isopropyl alcohol, or say both strengths alike");
    status = count_liquid(from, &problem.stock, asked, err);
    if (status != AQ_OK)
        return status;
    status = aq_dilute(&from->per_litre, &problem, err);
    if (status == AQ_OUT_OF_RANGE)
        return too_weak(from, &problem, err);
    if (status == AQ_OK)
        show_strength(from, &problem.to, from->per_litre);
    return status;
}

static aq_status of_solid(aq_concentrate *from, const aq_asked *asked, aq_error *err)
{
    double holds = 1, purity = asked->purity.given ? asked->purity.value : 1;
    const aq_strength *to = &asked->to.strength;
    aq_formula solid;
    aq_status status = asked->as ? aq_counted_as(&holds, asked->stock.solid, asked->as, err)
                                 : aq_formula_read(&solid, aq_counted_formula(asked->stock.solid), err);

    if (status != AQ_OK)
        return status;
    if (to->basis != AQ_BASIS_WV)
        return aq_ask_for(
            err, "to", "the strength of a dissolved solid is a mass per volume, like 1500 mg/L or 0.5 %%w/v");
    from->weighs = true;
    from->factor = 1 / holds;
    from->per_litre = aq_dissolve(to->value, 1, from->factor, purity);
    show_strength(from, to, from->per_litre);
    return AQ_OK;
}

/* What a bottle of known strength comes to by a ratio: by weight only where its density leads to grams in a litre. */
static void show_diluted(aq_concentrate *from, const aq_asked *asked)
{
    aq_strength stock = asked->stock.strength;

    if (!asked->stock.given || (stock.basis == AQ_BASIS_WW && !asked->density.given))
        return;
    if (stock.basis == AQ_BASIS_WW) {
        stock.value *= asked->density.value;
        stock.basis = AQ_BASIS_WV;
    }
    show_strength(from, &stock, 1);
}

static aq_status of_ratio(aq_concentrate *from, const aq_asked *asked, aq_error *err)
{
    if (asked->stock.solid)
        return aq_ask_for(err, "to", "a ratio is of liquids: of a solid say a strength, like 1500 mg/L");
    if (asked->as || asked->purity.given)
        return aq_ask_for(err, asked->as ? "as" : "purity",
                          "a ratio has no use for it: say a strength: to, like 1500 mg/L");
    from->per_litre = 1 / asked->to.ratio.parts;
    show_diluted(from, asked);
    return AQ_OK;
}

aq_status aq_concentrate_find(aq_concentrate *from, const aq_asked *asked, aq_arena *arena, aq_error *err)
{
    *from = (aq_concentrate){ .wanted = NAN, .neat = NAN, .density = NAN, .to_density = NAN };
    if (!asked->to.given)
        return aq_ask_for(err, "to", "what is wanted: a strength like 3 %%w/v, or a ratio like 1 in 200?");
    if (!asked->make.high.given)
        return aq_ask_for(err, "make", "how much is to be made, like 500 mL?");
    if (asked->to.ratio.given)
        return of_ratio(from, asked, err);
    if (!asked->stock.given)
        return aq_ask_for(err, "stock",
                          "how strong is what is in the bottle, like 35 %%w/w? For a solid, its name");
    return asked->stock.solid ? of_solid(from, asked, err) : of_liquid(from, asked, arena, err);
}
