/* Text to tree: YAML documents, YAML flow on a command line, and JSON lines all become the same nodes with places.
 *
 * YAML 1.1 by libyaml, UTF-8. Refused, each with its own message: anchors, aliases, tags, duplicate keys, more than
 * one document, more than 1 MiB, more than 32 levels, more than 100,000 nodes, bytes that are not UTF-8, NUL. A plain scalar keeps its
 * text: the field that wants it reads it, so no value changes its type by its look.
 *
 * libyaml counts lines and columns from 0 and in characters; the 1 is added where an event becomes a node, and
 * nowhere else. */
#ifndef AQ_DOCUMENT_NODE_H
#define AQ_DOCUMENT_NODE_H

#include "base/arena.h"

enum { AQ_DOCUMENT_BYTES = 1 << 20, AQ_DOCUMENT_DEPTH = 32, AQ_DOCUMENT_NODES = 100000 };

typedef enum { AQ_NODE_SCALAR, AQ_NODE_LIST, AQ_NODE_MAP, AQ_NODE_NOTHING } aq_node_shape;

/* Everything in a node lives in the arena it was read into. */
typedef struct aq_node aq_node;
struct aq_node {
    aq_node_shape shape; /* NOTHING: an empty value, as in "key:" or JSON null */
    aq_place place;
    const char *text; /* scalar: its text, NUL-ended, with no NUL inside; JSON null: "null"; NULL elsewhere */
    const char *key;  /* of a child of a map; NULL elsewhere */
    aq_place key_place;
    aq_node *first, *last; /* children in the order written */
    aq_node *next;         /* sibling */
    size_t count;          /* children */
    bool quoted;
};

/* One document. `source` names it in messages ("two-part.yaml", "--part") and must outlive the nodes; `text` need
 * not. An empty document is refused. On failure *out is NULL and `err` says why. */
AQ_API aq_status aq_node_yaml(aq_node **out, aq_arena *arena, const char *text, size_t length,
                              const char *source, aq_error *err);

/* One JSON value (RFC 8259), the whole of `text`. Numbers, true and false keep their text as scalars; null is NOTHING.
 * Same limits. */
AQ_API aq_status aq_node_json(aq_node **out, aq_arena *arena, const char *text, size_t length,
                              const char *source, aq_error *err);

/* The child of a map with that key, or NULL. */
AQ_API const aq_node *aq_node_get(const aq_node *map, const char *key);

/* Building by hand, as the command line does: an empty map or list, a scalar, and the addition of a child. `text` and
 * `key` are borrowed. A scalar's span becomes the length of its text, so that complaints can point inside it. NULL or
 * false when memory is out. aq_node_add on a key the map already has makes its value a list that holds both (an
 * option given twice). */
AQ_API aq_node *aq_node_new(aq_arena *arena, aq_node_shape shape, aq_place place, const char *text);
AQ_API bool aq_node_add(aq_arena *arena, aq_node *parent, const char *key, aq_node *child);

#endif
