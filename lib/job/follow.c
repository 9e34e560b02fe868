/* What the recipe says: the stage of the day, its aim, and the parts that this tank is fed with. */
#include "job/dose.h"
#include "job/filling.h"
#include "job/rows.h"
#include "model/names.h"

#include <string.h>

aq_status aq_follow_recipe(aq_filling *f)
{
    aq_asked *a = f->asked;
    bool from_site = !a->recipe_name;
    aq_status status;

    if (!a->recipe_name && a->tank)
        a->recipe_name = a->tank->recipe;
    if (!a->recipe_name && a->mister)
        a->recipe_name = a->mister->recipe;
    if (!a->recipe_name && a->stuck)
        a->recipe_name = a->stuck->recipe;
    if (!a->recipe_name && (a->tank || a->mister) && f->site->recipes.count == 1)
        a->recipe_name = f->site->recipes.at[0].name; /* the only one there is */
    if (!a->recipe_name || !aq_filling_asks(f, AQ_INTO(recipe_name)))
        return AQ_OK;
    status = aq_job_recipe(&a->recipe, f->arena, f->setting, a->recipe_name, (aq_place){ 0 }, f->complaints);
    f->recipe_from_site = from_site;
    if (status == AQ_OK && from_site)
        status = aq_filling_take(f, "recipe: %s, from the site", a->recipe_name);
    return status;
}

static bool stage_given(const aq_stage *stage)
{
    return stage->name || aq_aim_given(&stage->aim) || stage->mist.count;
}

/* A stage by its name alone is the recipe's. */
static aq_status named_stage(aq_filling *f, const aq_stage *stage)
{
    const aq_stage *known;
    aq_texts names;

    f->asked->stage = *stage;
    if (!aq_stage_only_named(stage))
        return AQ_OK;
    if (!f->asked->recipe)
        return aq_filling_complain(f, AQ_UNKNOWN_NAME, stage->place,
                                   "stage: %s is a stage of a recipe, and no recipe is given", stage->name);
    known = aq_stage_named(&f->asked->recipe->stages, stage->name);
    if (!known) {
        names = AQ_FILLING_NAMES(f, f->asked->recipe->stages, aq_stage);
        return aq_filling_unknown(f, stage->place, "stage of the recipe", stage->name, &names);
    }
    f->asked->stage = *known;
    return AQ_OK;
}

/* The stage of the lot on that day; a day without one matters only where nothing else says what to do. */
static aq_status stage_of_day(aq_filling *f)
{
    aq_asked *a = f->asked;
    long day = aq_lot_day(a->stuck, a->today.date);
    const aq_stage *stage = aq_lot_stage(a->stuck, &a->recipe->stages, &a->gate, a->today.date, NULL);

    if (stage) {
        a->stage = *stage;
        return aq_filling_take(f, "stage: %s, day %ld of %s", stage->name, day, a->stuck->name);
    }
    if (aq_aim_given(&a->aim) || (a->tank && aq_aim_given(&a->tank->aim)) || a->rate.low.given)
        return AQ_OK;
    return aq_filling_complain(
        f, AQ_MISSING, (aq_place){ 0 },
        "stage: %s is on day %ld after sticking, and the recipe has no stage for that day; name a stage or "
        "say an ec",
        a->stuck->name, day);
}

aq_status aq_follow_stage(aq_filling *f)
{
    aq_asked *a = f->asked;
    const aq_stage *own = a->tank ? &a->tank->stage : a->mister ? &a->mister->stage : NULL;
    aq_stage line = a->stage;

    if (!aq_filling_asks(f, AQ_INTO(stage)))
        return AQ_OK;
    if (stage_given(&line))
        return named_stage(f, &line);
    if (own && stage_given(own)) {
        aq_status status = named_stage(f, own);

        return status == AQ_OK && own->name ? aq_filling_take(f, "stage: %s, from the site", own->name)
                                            : status;
    }
    return a->stuck && a->recipe ? stage_of_day(f) : AQ_OK;
}

/* The first tolerance of the line that no target has; those of a stage may be of more than the line wants. */
static const aq_named_amount *without_target(const aq_amounts *tolerance, const aq_amounts *targets)
{
    for (size_t i = 0; i < tolerance->count; i++) {
        size_t j = 0;

        while (j < targets->count && strcmp(targets->at[j].name, tolerance->at[i].name) != 0)
            j++;
        if (j == targets->count)
            return &tolerance->at[i];
    }
    return NULL;
}

aq_status aq_follow_aim(aq_filling *f)
{
    aq_asked *a = f->asked;
    const aq_aim *stage = &a->stage.aim, *tank = a->tank ? &a->tank->aim : NULL;
    bool by_line = aq_node_get(f->answers, "stage") != NULL;
    aq_range ph = a->aim.ph.low.given                                               ? a->aim.ph
                  : tank && tank->ph.low.given && !(by_line && stage->ph.low.given) ? tank->ph
                                                                                    : stage->ph;
    const aq_named_amount *stray;
    const aq_amounts own = a->aim.tolerance, tolerance = own.count ? own : stage->tolerance;

    if (!a->mist_ec.high.given)
        a->mist_ec = a->stage.mist_ec;
    if (!aq_filling_asks(f, AQ_INTO_AIM(ec)) || aq_filling_asks(f, AQ_INTO(bottle)))
        return AQ_OK;           /* a stage's EC is for roots: what it says of leaves is its mist */
    if (!aq_aim_given(&a->aim)) /* a stage that the line names goes before what the tank is usually fed */
        a->aim = tank && aq_aim_given(tank) && !(by_line && aq_aim_given(stage)) ? *tank : *stage;
    a->aim.ph = ph;
    stray = without_target(&own, &a->aim.targets);
    if (stray)
        return aq_filling_complain(f, AQ_UNKNOWN_NAME, stray->place, "tolerance: %s is not among the targets",
                                   stray->name);
    a->aim.tolerance = tolerance;
    if (!a->step.given && aq_filling_asks(f, AQ_INTO(step)))
        a->step = a->stage.step;
    return AQ_OK;
}

static bool is_called(const aq_together *group, const char *name)
{
    return group->name && strcmp(group->name, name) == 0;
}

static const aq_together *group_called(const aq_togethers *groups, const char *name)
{
    for (size_t i = 0; i < groups->count; i++)
        if (is_called(&groups->at[i], name))
            return &groups->at[i];
    return NULL;
}

/* "together: veg" of the line is no group but the name of one. Takes it out of the list. */
static aq_status take_name(aq_filling *f)
{
    aq_togethers *line = &f->asked->together;
    size_t kept = 0;

    for (size_t i = 0; i < line->count; i++) {
        if (line->at[i].parts.count)
            line->at[kept++] = line->at[i];
        else if (!f->group)
            f->group = line->at[i].name;
        else if (strcmp(f->group, line->at[i].name) != 0)
            return aq_filling_complain(f, AQ_CONFLICT, line->at[i].place,
                                       "together: %s is chosen already, and one group is dosed at a time",
                                       f->group);
    }
    line->count = kept;
    return AQ_OK;
}

static bool add_names(aq_filling *f, aq_texts *names, const aq_togethers *groups)
{
    for (size_t i = 0; i < groups->count; i++) {
        const char **name = groups->at[i].name ? aq_list_add(f->arena, names, sizeof *name) : NULL;

        if (groups->at[i].name && !name)
            return false;
        if (name)
            *name = groups->at[i].name;
    }
    return true;
}

/* Of the line's own groups those go that share a part with the one that it chose, and the parts of those alone. */
static void leave_out(aq_filling *f, const aq_together *chosen)
{
    aq_togethers *line = &f->asked->together;
    aq_parts *parts = &f->asked->part;
    const aq_togethers all = *line;
    const aq_together own = *chosen; /* which may move */
    size_t kept = 0, left = 0;

    for (size_t i = 0; i < parts->count; i++) {
        bool grouped = false, stays = false;

        for (size_t j = 0; parts->at[i].name && j < all.count; j++)
            if (aq_together_has(&all.at[j], parts->at[i].name)) {
                grouped = true;
                stays = stays || &all.at[j] == chosen || !aq_groups_meet(&all.at[j], &own);
            }
        if (stays || !grouped)
            parts->at[left++] = parts->at[i];
    }
    parts->count = left;
    for (size_t i = 0; i < all.count; i++)
        if (&all.at[i] == chosen || !aq_groups_meet(&all.at[i], &own))
            line->at[kept++] = all.at[i];
    line->count = kept;
}

/* Which group is dosed, where several share a part: by the line, by the stage, or by what the tank is fed with. */
static aq_status choose_group(aq_filling *f)
{
    const aq_togethers none = { 0 }, *line = &f->asked->together;
    const aq_togethers *recipe = f->asked->recipe ? &f->asked->recipe->together : &none;
    aq_status status = take_name(f);
    aq_texts names = { 0 };

    if (status != AQ_OK)
        return status;
    if (!f->group) {
        f->group = f->asked->stage.together          ? f->asked->stage.together
                   : f->asked->tank && recipe->count ? f->asked->tank->together
                                                     : NULL;
        return AQ_OK;
    }
    if (group_called(line, f->group))
        leave_out(f, group_called(line, f->group));
    else if (!group_called(recipe, f->group))
        return add_names(f, &names, line) && add_names(f, &names, recipe)
                   ? aq_filling_unknown(f, (aq_place){ 0 }, "group", f->group, &names)
                   : aq_filling_no_memory(f);
    return AQ_OK;
}

/* Whether the recipe's group stays: the tank may be fed by one of them only, and a group of the line replaces those
 * that share a part with it. */
static bool group_stays(const aq_filling *f, const aq_together *group)
{
    if (f->group && !is_called(group, f->group))
        return false;
    for (size_t i = 0; i < f->asked->together.count; i++)
        if (aq_groups_meet(group, &f->asked->together.at[i]))
            return false;
    return true;
}

/* A part that stands only in groups which do not stay is not poured. */
static bool part_stays(const aq_filling *f, const char *name)
{
    bool grouped = false;

    for (size_t i = 0; i < f->asked->recipe->together.count; i++) {
        const aq_together *group = &f->asked->recipe->together.at[i];

        if (!aq_together_has(group, name))
            continue;
        if (group_stays(f, group))
            return true;
        grouped = true;
    }
    for (size_t i = 0; i < f->asked->together.count; i++)
        if (aq_together_has(&f->asked->together.at[i], name))
            return true;
    return !grouped;
}

static bool add_part(aq_filling *f, aq_parts *parts, const aq_part *part)
{
    aq_part *place;

    if (part->name && aq_part_named(parts, part->name))
        return true;
    place = aq_list_add(f->arena, parts, sizeof *place);
    if (!place)
        return false;
    *place = *part;
    return true;
}

/* The recipe's parts in its order, the line's in place of those they are named after, then the line's own. */
static bool merge_parts(aq_filling *f)
{
    aq_parts merged = { 0 };
    const aq_parts *line = &f->asked->part, *recipe = &f->asked->recipe->parts;

    for (size_t i = 0; i < recipe->count; i++) {
        const aq_part *same = aq_part_named(line, recipe->at[i].name);

        if (part_stays(f, recipe->at[i].name) && !add_part(f, &merged, same ? same : &recipe->at[i]))
            return false;
    }
    for (size_t i = 0; i < line->count; i++)
        if (!add_part(f, &merged, &line->at[i]))
            return false;
    f->asked->part = merged;
    return true;
}

static bool merge_groups(aq_filling *f)
{
    aq_togethers merged = { 0 };
    const aq_togethers *recipe = &f->asked->recipe->together, *line = &f->asked->together;

    for (size_t i = 0; i < recipe->count + line->count; i++) {
        const aq_together *group = i < recipe->count ? &recipe->at[i] : &line->at[i - recipe->count];
        aq_together *place;

        if (i < recipe->count && !group_stays(f, group))
            continue;
        place = aq_list_add(f->arena, &merged, sizeof *place);
        if (!place)
            return false;
        *place = *group;
    }
    f->asked->together = merged;
    return true;
}

/* A member of a group that no part declares is a part of that name. */
static bool add_members(aq_filling *f)
{
    for (size_t i = 0; i < f->asked->together.count; i++) {
        const aq_together *group = &f->asked->together.at[i];

        for (size_t j = 0; j < group->parts.count; j++) {
            aq_part part = { .name = group->parts.at[j].name, .place = group->parts.at[j].place };

            if (!add_part(f, &f->asked->part, &part))
                return false;
        }
    }
    return true;
}

/* A what-if with another feed: what the line doses together has none of the parts that this tank is usually fed with. */
static bool another_feed(const aq_filling *f)
{
    const aq_parts *usual = &f->asked->recipe->parts;

    for (size_t i = 0; i < f->asked->together.count; i++)
        for (size_t j = 0; j < usual->count; j++)
            if (usual->at[j].name && aq_together_has(&f->asked->together.at[i], usual->at[j].name))
                return false;
    return f->recipe_from_site && f->asked->together.count;
}

/* One of the lists of a line, of entries that have names and places. */
typedef struct {
    const char *option;
    const void *entries;
    size_t count, size, name_at, place_at;
} line_list;

#define LINE_LIST(option, list, entry)                                                                       \
    {                                                                                                        \
        option, (list).at, (list).count, sizeof(entry), offsetof(entry, name), offsetof(entry, place)        \
    }

static const char *name_in(const line_list *list, size_t i)
{
    return *(const char *const *)(const void *)((const char *)list->entries + i * list->size + list->name_at);
}

static aq_place place_in(const line_list *list, size_t i)
{
    return *(const aq_place *)(const void *)((const char *)list->entries + i * list->size + list->place_at);
}

/* In a document two entries of one name are a mistake, and on a line too; a hostile line is not searched for them. */
static aq_status check_twins(aq_filling *f, const line_list *list)
{
    for (size_t i = 1; i < list->count && list->count <= AQ_NAMES_MOST; i++)
        for (size_t j = 0; name_in(list, i) && j < i; j++)
            if (name_in(list, j) && strcmp(name_in(list, i), name_in(list, j)) == 0)
                return aq_filling_complain(f, AQ_DUPLICATE, place_in(list, i),
                                           "%s %zu: name: two of the %ss are called %s", list->option, i + 1,
                                           list->option, name_in(list, i));
    return AQ_OK;
}

aq_status aq_follow_twins(aq_filling *f)
{
    const line_list lists[] = { LINE_LIST("part", f->asked->part, aq_part),
                                LINE_LIST("reservoir", f->asked->reservoir, aq_reservoir),
                                LINE_LIST("lot", f->asked->lot, aq_lot) };
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < sizeof lists / sizeof *lists; i++)
        status = check_twins(f, &lists[i]);
    return status;
}

aq_status aq_follow_parts(aq_filling *f)
{
    aq_status status = AQ_OK;

    if (!aq_filling_asks(f, AQ_INTO(part)))
        return AQ_OK;
    if (aq_filling_asks(f, AQ_INTO(together)))
        status = choose_group(f);
    if (status != AQ_OK)
        return status;
    if (f->asked->recipe && another_feed(f))
        status = aq_filling_take(f, "parts: those of this line, in place of the recipe's");
    else if (f->asked->recipe && !(merge_parts(f) && merge_groups(f)))
        status = aq_filling_no_memory(f);
    if (status != AQ_OK)
        return status;
    return add_members(f) ? AQ_OK : aq_filling_no_memory(f);
}
