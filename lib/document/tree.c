/* Nodes: made one by one, with the ceilings on depth and number, and the search for keys given twice.
 *
 * A map of a few keys is searched pair by pair; a large one is sorted, so that 100,000 keys cost a sort and not five
 * thousand million comparisons. */
#include "document/tree.h"

#include <stdlib.h>
#include <string.h>

#include "document/utf8.h"

enum { FEW_KEYS = 16 };

static aq_node *make(aq_arena *arena, aq_node_shape shape, aq_place place)
{
    aq_node *node = aq_arena_room(arena, sizeof *node);

    if (node)
        *node = (aq_node){ .shape = shape, .place = place };
    return node;
}

static void link_child(aq_node *parent, aq_node *child)
{
    if (parent->last)
        parent->last->next = child;
    else
        parent->first = child;
    parent->last = child;
    parent->count++;
}

static aq_node *put(aq_tree *tree, aq_node_shape shape, aq_place place, aq_status *status)
{
    aq_node *parent = tree->depth ? tree->open[tree->depth - 1] : NULL;
    aq_node *node = NULL;

    *status = AQ_OK;
    if (tree->nodes == AQ_DOCUMENT_NODES)
        *status =
            aq_fail(tree->err, AQ_TOO_LARGE, place, "more than %d values in one document", AQ_DOCUMENT_NODES);
    else if (!(node = make(tree->arena, shape, place)))
        *status = aq_fail(tree->err, AQ_NO_MEMORY, place, "out of memory");
    if (!node)
        return NULL;
    tree->nodes++;
    if (parent)
        link_child(parent, node);
    else
        tree->root = node;
    node->key = tree->key;
    node->key_place = tree->key_place;
    tree->key = NULL;
    tree->key_place = (aq_place){ .line = 0 };
    return node;
}

bool aq_tree_wants_key(const aq_tree *tree)
{
    return tree->depth && tree->open[tree->depth - 1]->shape == AQ_NODE_MAP && !tree->key;
}

void aq_tree_key(aq_tree *tree, const char *key, aq_place place)
{
    tree->key = key;
    tree->key_place = place;
}

aq_status aq_tree_value(aq_tree *tree, aq_node_shape shape, aq_place place, const char *text, bool quoted)
{
    aq_status status;
    aq_node *node = put(tree, shape, place, &status);

    if (node) {
        node->text = text;
        node->quoted = quoted;
    }
    return status;
}

aq_status aq_tree_open(aq_tree *tree, aq_node_shape shape, aq_place place)
{
    aq_status status;
    aq_node *node;

    if (tree->depth == AQ_DOCUMENT_DEPTH)
        return aq_fail(tree->err, AQ_TOO_DEEP, place, "lists and maps stand more than %d deep in each other",
                       AQ_DOCUMENT_DEPTH);
    node = put(tree, shape, place, &status);
    if (node)
        tree->open[tree->depth++] = node;
    return status;
}

static bool same(const char *a, const char *b)
{
    return *a == *b && strcmp(a, b) == 0;
}

static bool earlier(aq_place a, aq_place b)
{
    return a.line != b.line ? a.line < b.line : a.column < b.column;
}

static int by_key(const void *a, const void *b)
{
    const aq_node *left = *(aq_node *const *)a, *right = *(aq_node *const *)b;
    int order = strcmp(left->key, right->key);

    return order ? order : earlier(left->key_place, right->key_place) ? -1 : 1;
}

static const aq_node *twice_of_few(const aq_node *map, const aq_node **first)
{
    for (const aq_node *child = map->first; child; child = child->next)
        for (const aq_node *before = map->first; before != child; before = before->next)
            if (same(before->key, child->key)) {
                *first = before;
                return child;
            }
    return NULL;
}

static const aq_node *twice_of_many(aq_node **sorted, size_t count, const aq_node **first)
{
    const aq_node *found = NULL;

    qsort(sorted, count, sizeof *sorted, by_key);
    for (size_t i = 1; i < count; i++) {
        if (!same(sorted[i - 1]->key, sorted[i]->key))
            continue;
        if (found && !earlier(sorted[i]->key_place, found->key_place))
            continue;
        *first = sorted[i - 1];
        found = sorted[i];
    }
    return found;
}

static aq_status refuse_twice(aq_tree *tree, const aq_node *map)
{
    const aq_node *first = NULL, *second;
    aq_node **sorted, **end;
    char key[AQ_BRIEF_ROOM];

    if (map->count <= FEW_KEYS) {
        second = twice_of_few(map, &first);
    } else {
        end = sorted = aq_arena_take_array(tree->arena, map->count, sizeof *sorted);
        if (!sorted)
            return aq_fail(tree->err, AQ_NO_MEMORY, map->place, "out of memory");
        for (aq_node *child = map->first; child; child = child->next)
            *end++ = child;
        second = twice_of_many(sorted, map->count, &first);
    }
    if (!second)
        return AQ_OK;
    aq_utf8_brief(second->key, key);
    if (first->key_place.line == second->key_place.line)
        return aq_fail(tree->err, AQ_DUPLICATE, second->key_place, "%s is given twice", key);
    return aq_fail(tree->err, AQ_DUPLICATE, second->key_place, "%s is given twice: the first is on line %d",
                   key, first->key_place.line);
}

aq_status aq_tree_close(aq_tree *tree)
{
    const aq_node *closed = tree->open[--tree->depth];

    return closed->shape == AQ_NODE_MAP ? refuse_twice(tree, closed) : AQ_OK;
}

const aq_node *aq_node_get(const aq_node *map, const char *key)
{
    for (const aq_node *child = map->first; child; child = child->next)
        if (child->key && same(child->key, key))
            return child;
    return NULL;
}

aq_node *aq_node_new(aq_arena *arena, aq_node_shape shape, aq_place place, const char *text)
{
    aq_node *node = make(arena, shape, place);

    if (!node)
        return NULL;
    node->text = text;
    if (shape == AQ_NODE_SCALAR)
        node->place.span = *text ? aq_utf8_count(text) : 1;
    return node;
}

/* `value`, which stays where it is among its siblings, becomes a list of what it was. */
static bool wrap(aq_arena *arena, aq_node *value)
{
    aq_node *was = aq_arena_take(arena, sizeof *was);

    if (!was)
        return false;
    *was = *value;
    was->key = NULL;
    was->next = NULL;
    value->shape = AQ_NODE_LIST;
    value->text = NULL;
    value->quoted = false;
    value->count = 0;
    value->first = value->last = NULL;
    link_child(value, was);
    return true;
}

bool aq_node_add(aq_arena *arena, aq_node *parent, const char *key, aq_node *child)
{
    aq_node *had = key ? (aq_node *)aq_node_get(parent, key) : NULL;

    if (!child)
        return false;
    if (had) {
        if (had->shape != AQ_NODE_LIST && !wrap(arena, had))
            return false;
        link_child(had, child);
        return true;
    }
    child->key = key;
    child->key_place = child->place;
    link_child(parent, child);
    return true;
}
