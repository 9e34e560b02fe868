/* The path and the complaints of a walk. Private to this room. */
#ifndef AQ_DOCUMENT_WALK_H
#define AQ_DOCUMENT_WALK_H

#include "document/field.h"

/* Adds "word: ", or "word 2: " where `index` is not 0, to the path, and gives the length for aq_walk_pop to go back to.
 * What has no room is left out: the place still tells. The second cuts a long name. */
size_t aq_walk_push(aq_walk *walk, const char *word, size_t index);
size_t aq_walk_push_name(aq_walk *walk, const char *name);
void aq_walk_pop(aq_walk *walk, size_t length);

size_t aq_walk_count(const aq_walk *walk); /* complaints so far */

/* The status of the first complaint since there were `before`; AQ_OK where there is none. */
aq_status aq_walk_since(const aq_walk *walk, size_t before);

/* What a custom reader or a check returned; where it failed without a complaint of its own, it gets one. */
aq_status aq_walk_complained(aq_walk *walk, aq_status status, aq_place place, size_t before);

aq_status aq_walk_no_memory(aq_walk *walk, aq_place place);

/* "a list of 2 stands here; wanted is one value, like 60 L". `field` has the example, and may be NULL. */
aq_status aq_walk_refuse(aq_walk *walk, const aq_field *field, const aq_node *node, const char *wanted);

#endif
