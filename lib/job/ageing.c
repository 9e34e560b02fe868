/* Bleach that stood: chemistry/hypochlorite.h says what is left at the best, and more of it is poured to make up for that.
 * A ratio of a label is for a fresh bottle, so it is made up for likewise. */
#include "job/ageing.h"

#include <math.h>
#include <string.h>

#include "chemistry/hypochlorite.h"
#include "job/concentrate.h"
#include "job/rows.h"
#include "job/show.h"
#include "sheet/hazard.h"

static const double shelf = 20;          /* degC where nothing is said: common practice, no source */
static const double worth_pouring = 0.5; /* of the label's strength: common practice, no source */

static double celsius(const aq_asked *asked)
{
    return asked->kept.given ? asked->kept.value : shelf;
}

static bool is_bleach(const char *of)
{
    const aq_substance *substance = of ? aq_substance_of_class(of, AQ_HYPOCHLORITE) : NULL;

    return substance && strcmp(substance->formula, "NaOCl") == 0;
}

aq_status aq_aged_find(aq_aged *aged, const aq_asked *asked, aq_error *err)
{
    const aq_strength *stock = &asked->stock.strength;
    double fresh, left;

    *aged = (aq_aged){ .left = 1, .strength = NAN };
    if (!asked->age.given)
        return asked->kept.given ? aq_ask_for(err, "age", "how long did the bottle stand there, like 200 d?")
                                 : AQ_OK;
    if (!is_bleach(asked->of))
        return aq_ask_for(
            err, "age",
            "what a bottle loses as it stands is known here of sodium hypochlorite (bleach) alone: "
            "say of: bleach where it is that, else go by the date on its label and leave age out");
    if (!stock->given)
        return aq_ask_for(err, "stock",
                          "how strong was it when it was fresh, like 6 %%w/v? It is on its label");
    if (stock->basis == AQ_BASIS_VV)
        return aq_ask_for(err, "stock",
                          "bleach is a solid dissolved in water: its strength is %%w/v or %%w/w, which?");
    if (stock->basis == AQ_BASIS_WW && !asked->density.given)
        return aq_ask_for(err, "density",
                          "%s of a liquid needs its density, like 1.09 kg/L: it is on the bottle "
                          "or in its safety data sheet",
                          stock->typed);
    fresh = stock->basis == AQ_BASIS_WW ? stock->value * asked->density.value : stock->value;
    if (!aq_hypochlorite_aged(&left, fresh, asked->age.value, celsius(asked)))
        return aq_ask_for(err, "stock", "bleach is not sold above 25 %%w/v: what does its label say?");
    aged->left = left / fresh;
    aged->strength = aq_strength_shown(&aged->unit, stock) * aged->left;
    return AQ_OK;
}

bool aq_aged_say(aq_sheet *sheet, const aq_aged *aged, const aq_asked *asked)
{
    aq_arena *arena = sheet->arena;
    bool fine;

    if (isnan(aged->strength))
        return true;
    fine =
        aq_sheet_figure(sheet, "stock_now", aged->strength, aged->unit) &&
        aq_sheet_assume(sheet, "the bottle stood shut, in the dark, at %s%s",
                        aq_say(arena, celsius(asked), "degC"),
                        asked->kept.given ? "" : ", as how warm was not said") &&
        aq_sheet_why(sheet, "%s has become %s in %s", aq_say(arena, aged->strength / aged->left, aged->unit),
                     aq_say(arena, aged->strength, aged->unit), aq_say(arena, asked->age.value, "d")) &&
        aq_sheet_caution(
            sheet, "that is the most that the bottle can have left: light, warmth and dirt take more. A test "
                   "strip for chlorine tells");
    return fine &&
           (!(aged->left < worth_pouring) ||
            aq_sheet_caution(sheet, "under half of its label is left: a fresh bottle is the surer way"));
}
