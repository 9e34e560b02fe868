/* Alcohol, bleach, hormones and acids, as they are handled. Where no source stands beside a figure it is common practice
 * without one. */
#include "job/practice.h"

#include <math.h>
#include <string.h>

#include "base/decimal.h"
#include "sheet/hazard.h"

static const double softwood_most = 3; /* g/L of hormone: common practice, no source */

const aq_liquid *aq_liquid_called(const char *of)
{
    const aq_substance *substance = of ? aq_substance_find(of) : NULL;
    const aq_liquid *liquid = of ? aq_liquid_find(of) : NULL;

    return liquid || !substance ? liquid : aq_liquid_find(substance->name);
}

/* Acid and peroxide go into water that stands there already. It is half of the water, in round figures, for the mark is
 * filled up to at the end. */
bool aq_practice_before(aq_sheet *sheet, const char *name, double water)
{
    const aq_substance *substance = aq_substance_find(name);
    aq_row *row;

    if (!substance || !(substance->classes & (AQ_ACID | AQ_PEROXIDE)) || !(water > 0))
        return true;
    row = aq_sheet_row(sheet, AQ_DO_WATER);
    if (!row)
        return false;
    row->amount = aq_amount_volume(aq_decimal_round(water / 2, 2), true);
    row->note = substance->classes & AQ_ACID ? "about half of it, before the acid"
                                             : "about half of it, before the peroxide";
    return true;
}

/* Alcohol and water shrink: how much water that takes, where the table knows. */
static bool say_shrinkage(aq_sheet *sheet, const aq_asked *asked, double make, double take)
{
    const aq_liquid *liquid = aq_liquid_called(asked->of);
    const aq_strength *stock = &asked->stock.strength, *to = &asked->to.strength;
    double from, wanted, water, made;

    if (liquid && !asked->to.ratio.given && aq_liquid_share(&from, liquid, stock->value, stock->basis) &&
        aq_liquid_share(&wanted, liquid, to->value, to->basis) &&
        aq_liquid_dilute(&water, &made, liquid, take, from, wanted))
        return aq_sheet_caution(
            sheet,
            "alcohol and water shrink as they mix: this takes about %s of water, not %s, so fill to the mark "
            "and never measure the water",
            aq_say(sheet->arena, aq_decimal_round(water * 1000, 2), "mL"),
            aq_say(sheet->arena, (make - take) * 1000, "mL"));
    return aq_sheet_caution(
        sheet,
        "alcohol and water shrink by 2 to 3 %% as they mix: fill to the mark, never measure the water");
}

/* Common practice, no source, but for the acid form: suppliers' pages of technical IBA say that it takes alcohol. */
static bool say_of_hormone(aq_sheet *sheet, const aq_asked *asked)
{
    const char *solid = asked->stock.solid;
    double wanted = asked->to.strength.basis == AQ_BASIS_WV ? asked->to.strength.value : NAN; /* g/L */

    if (solid && (strcmp(solid, "IBA") == 0 || strcmp(solid, "NAA") == 0) &&
        !aq_sheet_caution(sheet, "the acid form does not dissolve in water: dissolve it in a little alcohol "
                                 "first, then fill up; the potassium salt dissolves as it is"))
        return false;
    if (!solid &&
        !aq_sheet_caution(sheet, "a concentrate in alcohol turns cloudy in water: then fill up with "
                                 "half alcohol, half water, or as its label says"))
        return false;
    return !(wanted > softwood_most) ||
           aq_sheet_caution(sheet, "above 3,000 mg/L a dip blackens softwood, above 5,000 it kills it");
}

bool aq_practice_words(aq_sheet *sheet, const aq_asked *asked, const char *name, double make, double take)
{
    const aq_substance *substance = aq_substance_find(name);
    unsigned classes = substance ? substance->classes : 0;

    if (((classes & AQ_ALCOHOL) && !say_shrinkage(sheet, asked, make, take)) ||
        ((classes & AQ_HORMONE) && !say_of_hormone(sheet, asked)))
        return false;
    return !(classes & AQ_HYPOCHLORITE) || asked->age.given ||
           aq_sheet_caution(sheet, "bleach weakens on the shelf: an old bottle is weaker than its label");
}
