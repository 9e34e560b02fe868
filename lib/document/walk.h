/* The path and the complaints of a walk. Private to this room. */
#ifndef AQ_DOCUMENT_WALK_H
#define AQ_DOCUMENT_WALK_H

#include "document/field.h"

/* The path is put together where a complaint needs it: "part 2: rate: " of two steps. Steps are many, complaints few. */
struct aq_step {
    const aq_step *outer;
    const char *word; /* NULL: the name alone */
    const char *name; /* the user's; NULL: none */
    size_t index;     /* from 1; 0: none */
};

/* Into what the step says, but for its `outer`; aq_walk_pop goes back out of it, before it ends. */
void aq_walk_push(aq_walk *walk, aq_step *step);
void aq_walk_pop(aq_walk *walk);

size_t aq_walk_count(const aq_walk *walk); /* complaints so far */

/* The status of the first complaint since there were `before`; AQ_OK where there is none. */
aq_status aq_walk_since(const aq_walk *walk, size_t before);

/* What a custom reader or a check returned; where it failed without a complaint of its own, it gets one. */
aq_status aq_walk_complained(aq_walk *walk, aq_status status, aq_place place, size_t before);

aq_status aq_walk_no_memory(aq_walk *walk, aq_place place);

/* "a list of 2 stands here; wanted is one value, like 60 L". `field` has the example, and may be NULL. */
aq_status aq_walk_refuse(aq_walk *walk, const aq_field *field, const aq_node *node, const char *wanted);

#endif
