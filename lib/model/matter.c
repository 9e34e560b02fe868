/* What may be named in an analysis, and how its amounts become a composition. */
#include "model/matter.h"

const char *const aq_analysis_words[] = { "N",   "NO3-N", "NH4-N", "urea-N", "P",    "P2O5", "K",
                                          "K2O", "Ca",    "CaO",   "Mg",     "MgO",  "S",    "SO3",
                                          "Na",  "Na2O",  "Cl",    "Fe",     "Mn",   "Zn",   "Cu",
                                          "B",   "B2O3",  "Mo",    "Si",     "SiO2", NULL };

const char *const aq_water_words[] = { "Ca", "Mg", "Na",  "K",     "NH4", "NH4-N", "HCO3",  "CO3",  "SO4",
                                       "S",  "Cl", "NO3", "NO3-N", "N",   "PO4",   "H2PO4", "HPO4", "P",
                                       "Fe", "Mn", "Zn",  "Cu",    "B",   "Mo",    "Si",    "SiO2", NULL };

const char *const aq_target_words[] = { "NO3-N", "NH4-N", "N",  "P",  "K",  "Ca", "Mg", "S",  "Na",
                                        "Cl",    "Fe",    "Mn", "Zn", "Cu", "B",  "Mo", "Si", NULL };

static const aq_content *contents_of(aq_walk *walk, const aq_amounts *amounts, double per_share,
                                     double per_content)
{
    aq_content *contents = aq_arena_take_array(walk->arena, amounts->count, sizeof *contents);

    for (size_t i = 0; contents && i < amounts->count; i++) {
        const aq_named_amount *named = &amounts->at[i];
        bool share = aq_kind_equal(named->amount.kind, AQ_KIND_SHARE);

        contents[i].name = named->name;
        contents[i].amount = named->amount.value * (share ? per_share : per_content);
        contents[i].molar = aq_kind_equal(named->amount.kind, AQ_KIND_MOLARITY);
        contents[i].charged = aq_kind_equal(named->amount.kind, AQ_KIND_HARDNESS);
        contents[i].place = named->place;
    }
    return contents;
}

const aq_composition *aq_matter_compose(aq_walk *walk, const aq_amounts *amounts, double per_share,
                                        double per_content, aq_as as)
{
    aq_error err = { 0 };
    aq_composition *composition = aq_arena_take(walk->arena, sizeof *composition);
    const aq_content *contents = contents_of(walk, amounts, per_share, per_content);
    aq_status status = composition && contents
                           ? aq_composition_of_analysis(composition, contents, amounts->count, as, &err)
                           : aq_fail(&err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory");

    if (status == AQ_OK)
        return composition;
    aq_error_within(&err, "analysis: ");
    aq_walk_add(walk, &err);
    return NULL;
}
