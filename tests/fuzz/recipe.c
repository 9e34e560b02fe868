/* Bytes as a recipe: a whole recipe within its limits, or complaints. */
#include "fuzz.h"

static void check_part(const aq_part *part)
{
    must(part->name && *part->name);
    if (part->rate.high.given)
        must(part->rate.low.value >= 0 && part->rate.low.value <= part->rate.high.value);
    if (part->density.given)
        must(part->density.value > 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    static aq_complaints complaints;
    aq_arena *arena = aq_arena_new(0);
    const aq_recipe *recipe;
    aq_status status;

    complaints.count = complaints.more = 0;
    must(arena != NULL);
    status = aq_recipe_read(&recipe, arena, (const char *)bytes, length, "recipe.yaml", &complaints);
    must((status == AQ_OK) == (recipe != NULL));
    if (status != AQ_OK)
        check_complaints(&complaints, status);
    for (size_t i = 0; recipe && i < recipe->parts.count; i++) {
        check_part(&recipe->parts.at[i]);
        must(aq_part_named(&recipe->parts, recipe->parts.at[i].name) == &recipe->parts.at[i]);
    }
    for (size_t i = 0; recipe && i < recipe->stages.count; i++)
        must(aq_stage_named(&recipe->stages, recipe->stages.at[i].name) == &recipe->stages.at[i]);
    aq_arena_free(arena);
    return 0;
}
