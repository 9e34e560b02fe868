/* What a site says about its recipes, once they are attached: which one feeds an entry, and whether the stages, groups
 * and parts that the site names are in it. */
#include "model/site.h"

#include "model/names.h"

const aq_recipe *aq_site_recipe_for(const aq_site *site, const char *recipe, const char *lot)
{
    const aq_lot *fed = aq_site_lot(site, lot);

    if (recipe)
        return aq_site_recipe(site, recipe);
    if (fed && fed->recipe)
        return aq_site_recipe(site, fed->recipe);
    return site->recipes.count == 1 ? site->recipes.at[0].recipe : NULL;
}

bool aq_stage_only_named(const aq_stage *stage)
{
    return stage->name && !aq_aim_given(&stage->aim) && stage->mist.count == 0 && !stage->makes.given &&
           !stage->together;
}

/* A name that is wanted, looked for among the names of one list of a recipe. */
typedef struct {
    aq_walk walk;
    const char *entry; /* "reservoir", "bottle" */
    const char *of;    /* its name */
} looking;

/* Names of a recipe were checked when it was read; the same part may stand in several recipes. */
static void add(looking *at, aq_names *names, const char *name)
{
    static const aq_node nowhere = { .shape = AQ_NODE_NOTHING };
    aq_spot spot = { .root = &nowhere, .list = "recipes" };

    if (name && !aq_names_have(names, name))
        aq_names_add(names, &at->walk, name, &spot);
}

static void want(looking *at, const char *key, const char *name, aq_place place, const aq_names *names)
{
    char *where = aq_arena_format(at->walk.arena, "%s %s: %s: ", at->entry, at->of, key);

    aq_names_want(names, &at->walk, where ? where : "", name, place);
}

static void check_stage_name(looking *at, const aq_stage *stage, const aq_recipe *recipe, aq_place place)
{
    aq_names names = { .noun = "stage" };

    if (!aq_stage_only_named(stage))
        return;
    for (size_t i = 0; i < recipe->stages.count; i++)
        add(at, &names, recipe->stages.at[i].name);
    want(at, "stage", stage->name, stage->place.line ? stage->place : place, &names);
}

static void check_group_name(looking *at, const char *group, const aq_recipe *recipe, aq_place place)
{
    aq_names names = { .noun = "group" };

    if (!group)
        return;
    for (size_t i = 0; i < recipe->together.count; i++)
        add(at, &names, recipe->together.at[i].name);
    want(at, "together", group, place, &names);
}

static void check_rate_names(looking *at, const aq_amounts *rates, const aq_recipe *recipe)
{
    aq_names names = { .noun = "part" };

    if (rates->count == 0)
        return;
    for (size_t i = 0; i < recipe->parts.count; i++)
        add(at, &names, recipe->parts.at[i].name);
    for (size_t i = 0; i < rates->count; i++)
        want(at, "rates", rates->at[i].name, rates->at[i].place, &names);
}

/* A supply may belong to any of the recipes; while one of them is not attached, nothing can be said. */
static void check_supplies(const aq_site *site, looking *at)
{
    aq_names names = { .noun = "part" };

    for (size_t i = 0; i < site->recipes.count; i++) {
        const aq_recipe *recipe = site->recipes.at[i].recipe;

        if (!recipe)
            return;
        for (size_t j = 0; j < recipe->parts.count; j++)
            add(at, &names, recipe->parts.at[j].name);
    }
    if (site->recipes.count == 0)
        return;
    for (size_t i = 0; i < site->supplies.count; i++) {
        at->entry = "supply";
        at->of = site->supplies.at[i].part;
        want(at, "part", site->supplies.at[i].part, site->supplies.at[i].place, &names);
    }
}

aq_status aq_site_check_recipes(const aq_site *site, aq_complaints *complaints)
{
    looking at = { .walk = { .arena = aq_arena_new(0), .complaints = complaints } };

    if (!at.walk.arena)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < site->reservoirs.count; i++) {
        const aq_reservoir *tank = &site->reservoirs.at[i];
        const aq_recipe *recipe = aq_site_recipe_for(site, tank->recipe, tank->lot);

        at.entry = "reservoir";
        at.of = tank->name;
        if (!recipe)
            continue;
        check_stage_name(&at, &tank->stage, recipe, tank->place);
        check_group_name(&at, tank->together, recipe, tank->place);
        check_rate_names(&at, &tank->aim.rates, recipe);
    }
    for (size_t i = 0; i < site->bottles.count; i++) {
        const aq_bottle *bottle = &site->bottles.at[i];
        const aq_recipe *recipe = aq_site_recipe_for(site, bottle->recipe, bottle->lot);

        at.entry = "bottle";
        at.of = bottle->name;
        if (recipe)
            check_stage_name(&at, &bottle->stage, recipe, bottle->place);
    }
    check_supplies(site, &at);
    aq_arena_free(at.walk.arena);
    return aq_complaints_status(complaints);
}
