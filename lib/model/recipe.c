/* A recipe: its rows, and what its parts, groups and stages must say about each other. */
#include "model/recipe.h"

#include <stdio.h>
#include <string.h>

#include "model/names.h"
#include "model/says.h"
#include "model/stage.h"
#include "model/whole.h"

/* ---- what the parts of one document must say about each other ---- */

/* The names declared so far, and the walk that complaints go to. */
typedef struct {
    aq_walk *walk;
    const aq_recipe *recipe;
    const aq_node *root;
    aq_names parts, groups, stages;
} declared;

static bool in_a_group(const aq_recipe *recipe, const char *part)
{
    for (size_t i = 0; i < recipe->together.count; i++)
        if (aq_together_has(&recipe->together.at[i], part))
            return true;
    return false;
}

static void check_parts(declared *all)
{
    const aq_parts *parts = &all->recipe->parts;
    aq_spot spot = { .root = all->root, .list = "parts", .key = "name" };

    for (; spot.at < parts->count; spot.at++) {
        const aq_part *part = &parts->at[spot.at];

        if (!part->name)
            aq_walk_fail(all->walk, AQ_MISSING, part->place, "part %zu: name is missing", spot.at + 1);
        if (aq_names_add(&all->parts, all->walk, part->name, &spot) == AQ_TOO_LARGE)
            return;
        if (part->name && !part->rate.high.given && !part->ec.given && !part->composition &&
            !in_a_group(all->recipe, part->name))
            aq_walk_fail(
                all->walk, AQ_MISSING, part->place,
                "part %zu: %s has neither a rate, an ec, an analysis nor a formula, so nothing can be worked "
                "out for it",
                spot.at + 1, part->name);
    }
}

static void check_amounts(declared *all, const aq_amounts *amounts, const char *noun, size_t at,
                          const char *key)
{
    for (size_t i = 0; i < amounts->count; i++) {
        const aq_named_amount *named = &amounts->at[i];
        const char *where;

        if (aq_names_have(&all->parts, named->name))
            continue;
        where = aq_arena_format(all->walk->arena, "%s %zu: %s: ", noun, at + 1, key);
        aq_names_want(&all->parts, all->walk, where ? where : "", named->name, named->place);
    }
}

/* More groups than this are refused, and more members of one (in together.c), so that comparing them all stays quick. */
enum { GROUPS_MOST = 200 };

/* A part of two groups is dosed through the one that a tank names; without names nobody could tell which. */
static void check_overlap(declared *all, size_t at)
{
    const aq_together *group = &all->recipe->together.at[at];

    for (size_t i = 0; i < at; i++) {
        const aq_together *other = &all->recipe->together.at[i];

        for (size_t j = 0; j < group->parts.count && !(group->name && other->name); j++)
            if (aq_together_has(other, group->parts.at[j].name))
                aq_walk_fail(all->walk, AQ_CONFLICT, group->parts.at[j].place,
                             "group %zu: parts: %s is in group %zu too: give each a name, so that a tank can "
                             "say which "
                             "it is fed with",
                             at + 1, group->parts.at[j].name, i + 1);
    }
}

static void check_groups(declared *all)
{
    const aq_togethers *groups = &all->recipe->together;
    aq_spot spot = { .root = all->root, .list = "together", .key = "name" };

    if (groups->count > GROUPS_MOST) {
        aq_walk_fail(all->walk, AQ_TOO_LARGE, groups->at[0].place,
                     "together: more than %d groups in one document", GROUPS_MOST);
        return;
    }
    for (; spot.at < groups->count; spot.at++) {
        if (aq_names_add(&all->groups, all->walk, groups->at[spot.at].name, &spot) == AQ_TOO_LARGE)
            return;
        if (!groups->at[spot.at].parts.count)
            aq_walk_fail(all->walk, AQ_MISSING, groups->at[spot.at].place, "group %zu: parts are missing",
                         spot.at + 1);
        check_amounts(all, &groups->at[spot.at].parts, "group", spot.at, "parts");
        check_overlap(all, spot.at);
    }
}

static bool days_meet(const aq_stage *a, const aq_stage *b)
{
    return a->days.low.given && b->days.low.given && a->days.low.value <= b->days.high.value &&
           b->days.low.value <= a->days.high.value;
}

static void check_days(declared *all, size_t at)
{
    const aq_stages *stages = &all->recipe->stages;
    aq_spot spot = { .root = all->root, .list = "stages", .at = at, .key = "days" };

    for (size_t i = 0; i < at; i++)
        if (days_meet(&stages->at[at], &stages->at[i]))
            aq_walk_fail(all->walk, AQ_CONFLICT, aq_spot_place(&spot),
                         "stage %zu: days: they overlap those of stage %zu", at + 1, i + 1);
}

static void check_group_name(declared *all, const aq_stage *stage, size_t at)
{
    char where[48];

    if (!stage->together || aq_names_have(&all->groups, stage->together))
        return;
    snprintf(where, sizeof where, "stage %zu: together: ", at + 1);
    aq_names_want(&all->groups, all->walk, where, stage->together, stage->place);
}

static void check_stages(declared *all)
{
    const aq_stages *stages = &all->recipe->stages;
    aq_spot spot = { .root = all->root, .list = "stages", .key = "name" };

    for (; spot.at < stages->count && spot.at <= AQ_NAMES_MOST; spot.at++) {
        const aq_stage *stage = &stages->at[spot.at];

        if (!stage->name)
            aq_walk_fail(all->walk, AQ_MISSING, stage->place, "stage %zu: name is missing", spot.at + 1);
        if (aq_names_add(&all->stages, all->walk, stage->name, &spot) == AQ_TOO_LARGE)
            return;
        check_amounts(all, &stage->mist, "stage", spot.at, "mist");
        check_amounts(all, &stage->aim.rates, "stage", spot.at, "rates");
        check_group_name(all, stage, spot.at);
        check_days(all, spot.at);
    }
}

static aq_status check_recipe(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_recipe *recipe = entry;
    declared all = { .walk = walk,
                     .recipe = recipe,
                     .root = node,
                     .parts = { .noun = "part" },
                     .groups = { .noun = "group" },
                     .stages = { .noun = "stage" } };

    recipe->source = node->place.source;
    recipe->said = walk->said;
    check_parts(&all);
    check_groups(&all);
    check_stages(&all);
    return aq_complaints_status(walk->complaints);
}

/* ---- rows ---- */

static const aq_field recipe_fields[] = {
    AQ_WHOLE_ROW("recipe"),
    { .key = "name",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_recipe, name),
      .help = "what the recipe is called",
      .example = "Two-part leaf feed" },
    AQ_SAYS_ROWS(aq_recipe, said),
    { .key = "parts",
      .read = AQ_READ_ENTRIES,
      .needed = true,
      .shape = &aq_part_shape,
      .into = offsetof(aq_recipe, parts),
      .help = "bottles, bags and salts, in the order the labels say to pour",
      .example = "[{name: Part A, rate: 1-4 mL/L}]" },
    { .key = "together",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_together_shape,
      .into = offsetof(aq_recipe, together),
      .help = "parts dosed in a fixed ratio" },
    { .key = "stages",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_stage_shape,
      .into = offsetof(aq_recipe, stages),
      .help = "what is wanted when" },
};

const aq_shape aq_recipe_shape = {
    .noun = "recipe",
    .fields = recipe_fields,
    .count = sizeof recipe_fields / sizeof *recipe_fields,
    .size = sizeof(aq_recipe),
    .check = check_recipe,
};

aq_status aq_recipe_read(const aq_recipe **out, aq_arena *arena, const char *text, size_t length,
                         const char *source, aq_complaints *complaints)
{
    void *recipe;
    aq_status status =
        aq_whole_read(&recipe, arena, &aq_recipe_shape, "recipe", text, length, source, complaints);

    *out = recipe;
    return status;
}

const aq_stage *aq_stage_named(const aq_stages *stages, const char *name)
{
    for (size_t i = 0; i < stages->count; i++)
        if (stages->at[i].name && strcmp(stages->at[i].name, name) == 0)
            return &stages->at[i];
    return NULL;
}

const aq_stage *aq_stage_on(const aq_stages *stages, long day)
{
    double on = (double)day;

    for (size_t i = 0; i < stages->count; i++)
        if (stages->at[i].days.low.given && stages->at[i].days.low.value <= on &&
            on <= stages->at[i].days.high.value)
            return &stages->at[i];
    return NULL;
}

const aq_part *aq_part_named(const aq_parts *parts, const char *name)
{
    for (size_t i = 0; i < parts->count; i++)
        if (parts->at[i].name && strcmp(parts->at[i].name, name) == 0)
            return &parts->at[i];
    return NULL;
}
