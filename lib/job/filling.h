/* The work of filling: what its steps share. */
#ifndef AQ_JOB_FILLING_H
#define AQ_JOB_FILLING_H

#include "job/fill.h"

typedef struct {
    aq_asked *asked;
    aq_arena *arena;
    const aq_job *job;
    const aq_node *answers;
    const aq_setting *setting;
    const aq_site *site; /* NULL: the line stands alone */
    aq_complaints *complaints;
    const char *group;     /* the only one that is dosed together, by its name; NULL: nobody says */
    bool recipe_from_site; /* nobody asked for the recipe: the tank is fed by it */
} aq_filling;

/* Whether the job has a row that fills that member of aq_asked. */
bool aq_filling_asks(const aq_filling *f, size_t into);

/* Says what was taken and changes the numbers. */
aq_status aq_filling_take(aq_filling *f, const char *format, ...) AQ_PRINTF(2, 3);

aq_status aq_filling_complain(aq_filling *f, aq_status status, aq_place place, const char *format, ...)
    AQ_PRINTF(4, 5);
aq_status aq_filling_no_memory(aq_filling *f);

/* "no reservoir of the site is called Tray; did you mean Trays?" */
aq_status aq_filling_unknown(aq_filling *f, aq_place place, const char *noun, const char *name,
                             const aq_texts *known);

/* The names of a list of entries; `name_at` is where the name stands in an entry of `size`. */
aq_texts aq_filling_names(aq_filling *f, const void *entries, size_t count, size_t size, size_t name_at);
#define AQ_FILLING_NAMES(f, list, type)                                                                      \
    aq_filling_names((f), (list).at, (list).count, sizeof(type), offsetof(type, name))

/* Several supplies of one part are one stock of it; said. */
aq_status aq_pool_shelf(aq_filling *f);

/* The steps that follow a recipe, in this order. */
aq_status aq_follow_recipe(aq_filling *f);
aq_status aq_follow_stage(aq_filling *f);
aq_status aq_follow_aim(aq_filling *f);
aq_status aq_follow_twins(aq_filling *f); /* before the site adds entries of its own */
aq_status aq_follow_parts(aq_filling *f);

#endif
