/* A tree as it grows from front to back, within the ceilings that every document has. Private to this room: the YAML
 * and the JSON reader both build through it, so neither recurses. */
#ifndef AQ_DOCUMENT_TREE_H
#define AQ_DOCUMENT_TREE_H

#include "document/node.h"

typedef struct {
    aq_arena *arena;
    aq_error *err;
    aq_node *root;                    /* NULL until the first value */
    aq_node *open[AQ_DOCUMENT_DEPTH]; /* lists and maps that are not closed, the innermost last */
    size_t depth, nodes;
    const char *key; /* of the value to come; NULL: none yet */
    aq_place key_place;
} aq_tree;

/* Whether the next thing is a key: the innermost is a map, and no key waits for its value. */
bool aq_tree_wants_key(const aq_tree *tree);
void aq_tree_key(aq_tree *tree, const char *key, aq_place place);

/* A scalar or nothing; a list or map that stays open; its end, where keys given twice are found. */
aq_status aq_tree_value(aq_tree *tree, aq_node_shape shape, aq_place place, const char *text, bool quoted);
aq_status aq_tree_open(aq_tree *tree, aq_node_shape shape, aq_place place);
aq_status aq_tree_close(aq_tree *tree);

#endif
