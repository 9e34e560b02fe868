/* Which stage an entry belongs to, and what root checks answered: a gate that was not passed holds the stage before it. */
#include <string.h>

#include "job/recalling.h"
#include "model/schedule.h"

static const aq_reservoir *ours(const aq_recall *recall, const aq_entry *entry)
{
    return recall->site && entry->reservoir ? aq_site_reservoir(recall->site, entry->reservoir) : NULL;
}

const char *aq_recall_stage(const aq_recall *recall, const aq_entry *entry)
{
    const aq_reservoir *tank = ours(recall, entry);

    if (entry->stage)
        return aq_arena_text(recall->arena, entry->stage, strlen(entry->stage));
    return tank ? aq_tank_stage(tank, entry->lot, &recall->site->lots, &recall->recipes,
                                &recall->memory.gates, entry->at.date)
                : NULL;
}

/* The stage whose gate asks that question. */
static const char *asked_before(const aq_recall *recall, const char *question)
{
    for (size_t i = 0; question && i < recall->recipes.count; i++) {
        const aq_recipe *recipe = recall->recipes.at[i].recipe;

        for (size_t j = 0; recipe && j < recipe->stages.count; j++)
            if (recipe->stages.at[j].gate && strcmp(recipe->stages.at[j].gate, question) == 0)
                return recipe->stages.at[j].name;
    }
    return NULL;
}

static const char *kept(aq_recall *recall, const char *text)
{
    const char *copy = text ? aq_arena_text(recall->arena, text, strlen(text)) : NULL;

    recall->failed = recall->failed || (text && !copy);
    return copy;
}

bool aq_recall_gate(aq_recall *recall, const aq_entry *entry)
{
    const aq_reservoir *tank = ours(recall, entry);
    aq_gate *gate = aq_list_add(recall->arena, &recall->memory.gates, sizeof *gate);

    if (!gate)
        return false;
    *gate = (aq_gate){ .stage = entry->stage ? kept(recall, entry->stage) : asked_before(recall, entry->gate),
                       .lot = entry->lot ? kept(recall, entry->lot)
                              : tank     ? tank->lot
                                         : NULL,
                       .at = entry->at.date,
                       .passed = entry->passed };
    return !recall->failed;
}
