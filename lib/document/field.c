/* The walk over a tree by a table: what each key reads, which are needed, where complaints point. */
#include "document/field.h"

#include <string.h>

#include "document/utf8.h"
#include "document/value.h"
#include "document/walk.h"

/* ---- YAML flow inside a scalar ---- */

/* A tree read from the text of `scalar` gets its places in the document. */
static void settle(const aq_node *scalar, bool literal, aq_node *node)
{
    node->place = literal ? aq_value_place(scalar, node->place) : scalar->place;
    if (node->key)
        node->key_place = literal ? aq_value_place(scalar, node->key_place) : scalar->place;
    for (aq_node *child = node->first; child; child = child->next)
        settle(scalar, literal, child);
}

static bool holds_flow(const aq_node *node)
{
    const char *text = node->text;

    if (node->shape != AQ_NODE_SCALAR)
        return false;
    while (*text == ' ')
        text++;
    return *text == '{' || *text == '[';
}

/* The list or map that the text of `node` holds. NULL after a complaint. */
static const aq_node *read_flow(aq_walk *walk, const aq_node *node)
{
    aq_error err = { .status = AQ_OK };
    aq_node *held;
    bool literal;

    literal = aq_value_literal(node);
    if (aq_node_yaml(&held, walk->arena, node->text, strlen(node->text), node->place.source, &err) != AQ_OK) {
        err.place = literal && err.place.line ? aq_value_place(node, err.place) : node->place;
        aq_walk_add(walk, &err);
        return NULL;
    }
    settle(node, literal, held);
    held->key = node->key;
    held->key_place = node->key_place;
    return held;
}

/* What `node` stands for: itself, or the list or map in it. NULL after a complaint. */
static const aq_node *unfold(aq_walk *walk, const aq_node *node)
{
    return holds_flow(node) ? read_flow(walk, node) : node;
}

/* ---- amounts and texts ---- */

static const aq_field name_row = { .read = AQ_READ_TEXT };

/* A key that the grower makes up is a name, and held to the same length. */
static aq_status check_name(aq_walk *walk, const aq_node *node)
{
    aq_node name = { .shape = AQ_NODE_SCALAR, .place = node->key_place, .text = node->key };
    const char *read;

    return aq_value_read(walk, &name_row, &name, &read);
}

static aq_status read_amount(aq_walk *walk, const aq_field *field, const aq_node *node, aq_amounts *into)
{
    aq_field row = *field;
    aq_named_amount *added = aq_list_add(walk->arena, into, sizeof *added);
    aq_step step = { .name = node->key };
    aq_status status;

    if (!added)
        return aq_walk_no_memory(walk, node->place);
    status = check_name(walk, node);
    if (status != AQ_OK)
        return status;
    added->name = node->key;
    added->place = node->place;
    row.read = AQ_READ_QUANTITY;
    aq_walk_push(walk, &step);
    if (node->shape == AQ_NODE_SCALAR)
        status = aq_value_read(walk, &row, node, &added->amount);
    else
        status = aq_walk_refuse(walk, NULL, node, "an amount");
    aq_walk_pop(walk);
    return status;
}

static bool among(const char *text, const char *const *words)
{
    for (; *words; words++)
        if (*text == **words && strcmp(text, *words) == 0)
            return true;
    return false;
}

static aq_status refuse_name(aq_walk *walk, const char *const *names, const aq_node *node, const char *of)
{
    char brief[AQ_BRIEF_ROOM];
    const char *near = aq_nearest(node->key, names);

    return aq_walk_fail(walk, AQ_UNKNOWN_NAME, node->key_place, "%s is not a name that %s can hold%s%s%s",
                        aq_utf8_brief(node->key, brief), of, near ? "; did you mean " : "", near ? near : "",
                        near ? "?" : "");
}

static aq_status read_amounts(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_status status = AQ_OK, one;

    if (node->shape != AQ_NODE_MAP)
        return aq_walk_refuse(walk, field, node, "a map of names and amounts");
    for (const aq_node *child = node->first; child; child = child->next) {
        if (field->choices && !among(child->key, field->choices))
            one = refuse_name(walk, field->choices, child, field->key);
        else
            one = read_amount(walk, field, child, into);
        status = status == AQ_OK ? one : status;
    }
    return status;
}

static aq_status read_one_text(aq_walk *walk, const aq_field *field, const aq_node *node, aq_texts *into)
{
    aq_field row = *field;
    const char **added;

    if (node->shape != AQ_NODE_SCALAR)
        return aq_walk_refuse(walk, field, node, "a text");
    added = aq_list_add(walk->arena, into, sizeof *added);
    row.read = AQ_READ_TEXT;
    return added ? aq_value_read(walk, &row, node, added) : aq_walk_no_memory(walk, node->place);
}

static aq_status read_texts(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_status status = AQ_OK, one;

    if (node->shape == AQ_NODE_SCALAR)
        return read_one_text(walk, field, node, into);
    if (node->shape != AQ_NODE_LIST)
        return aq_walk_refuse(walk, field, node, "a text or a list of texts");
    for (const aq_node *child = node->first; child; child = child->next) {
        one = read_one_text(walk, field, child, into);
        status = status == AQ_OK ? one : status;
    }
    return status;
}

/* ---- entries ---- */

static aq_status read_shape(aq_walk *walk, const aq_shape *shape, const aq_node *node, const char *name,
                            void *into);

/* Room for one more struct at the end of a list whose type only the shape knows. */
static void *add_entry(aq_walk *walk, const aq_shape *shape, void *list)
{
    AQ_LIST(char) *entries = list;

    return aq_list_add(walk->arena, entries, shape->size);
}

static aq_status read_entries(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    bool list = node->shape == AQ_NODE_LIST;
    aq_step step = { .word = field->shape->noun };
    aq_status status = AQ_OK;

    for (const aq_node *child = list ? node->first : node; child; child = list ? child->next : NULL) {
        void *entry = add_entry(walk, field->shape, into);
        aq_status one;

        step.index++;
        aq_walk_push(walk, &step);
        one = entry ? read_shape(walk, field->shape, child, NULL, entry)
                    : aq_walk_no_memory(walk, child->place);
        aq_walk_pop(walk);
        status = status == AQ_OK ? one : status;
    }
    return status;
}

static aq_status read_one_named(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    void *entry = add_entry(walk, field->shape, into);
    aq_step step = { .word = field->shape->noun, .name = node->key };
    aq_status status;

    if (!entry)
        return aq_walk_no_memory(walk, node->place);
    status = check_name(walk, node);
    if (status != AQ_OK)
        return status;
    aq_walk_push(walk, &step);
    status = read_shape(walk, field->shape, node, node->key, entry);
    aq_walk_pop(walk);
    return status;
}

static aq_status read_named(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_status status = AQ_OK, one;

    if (node->shape != AQ_NODE_MAP)
        return aq_walk_refuse(walk, field, node, "a map of names, each with its keys");
    for (const aq_node *child = node->first; child; child = child->next) {
        one = read_one_named(walk, field, child, into);
        status = status == AQ_OK ? one : status;
    }
    return status;
}

/* ---- one field ---- */

static aq_status read_custom(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    size_t before = aq_walk_count(walk);

    return aq_walk_complained(walk, field->custom(walk, field, node, into), node->place, before);
}

static aq_status read_many(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    size_t before = aq_walk_count(walk);

    node = unfold(walk, node);
    if (!node)
        return aq_walk_since(walk, before);
    switch (field->read) {
    case AQ_READ_ENTRY:
        return read_shape(walk, field->shape, node, NULL, into);
    case AQ_READ_ENTRIES:
        return read_entries(walk, field, node, into);
    case AQ_READ_NAMED:
        return read_named(walk, field, node, into);
    case AQ_READ_AMOUNTS:
        return read_amounts(walk, field, node, into);
    case AQ_READ_TEXTS:
        return read_texts(walk, field, node, into);
    default:
        return read_custom(walk, field, node, into);
    }
}

static aq_status read_field(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    if (!aq_value_single(field->read))
        return read_many(walk, field, node, into);
    if (node->shape == AQ_NODE_SCALAR)
        return aq_value_read(walk, field, node, into);
    return aq_walk_refuse(walk, field, node, "one value");
}

aq_status aq_field_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    bool own_path =
        field->read == AQ_READ_ENTRIES || field->read == AQ_READ_NAMED || field->read == AQ_READ_CUSTOM;
    aq_step step = { .word = field->key };
    aq_status status;

    if (!field->key || own_path)
        return read_field(walk, field, node, into);
    aq_walk_push(walk, &step);
    status = read_field(walk, field, node, into);
    aq_walk_pop(walk);
    return status;
}

/* ---- one entry ---- */

static bool given(const aq_node *node)
{
    return node && !(node->shape == AQ_NODE_NOTHING && node->text); /* JSON null is as good as no key */
}

static const aq_field *find_field(const aq_shape *shape, const char *key)
{
    for (size_t i = 0; i < shape->count; i++)
        if (*shape->fields[i].key == *key && strcmp(shape->fields[i].key, key) == 0)
            return &shape->fields[i];
    return NULL;
}

static size_t count_words(const char *const *words)
{
    size_t count = 0;

    while (words && words[count])
        count++;
    return count;
}

/* The keys of the shape, and the names that its rest allows, NULL-ended. NULL: out of memory. */
static const char **known_keys(aq_walk *walk, const aq_shape *shape)
{
    const char *const *names = shape->rest ? shape->rest->choices : NULL;
    size_t more = count_words(names);
    const char **words = aq_arena_take_array(walk->arena, shape->count + more + 1, sizeof *words);

    if (!words)
        return NULL;
    for (size_t i = 0; i < shape->count; i++)
        words[i] = shape->fields[i].key;
    for (size_t i = 0; i < more; i++)
        words[shape->count + i] = names[i];
    return words;
}

static aq_status refuse_key(aq_walk *walk, const aq_shape *shape, const aq_node *child)
{
    const char **words = known_keys(walk, shape);
    const char *near = words ? aq_nearest(child->key, words) : NULL;
    char brief[AQ_BRIEF_ROOM];

    if (!words)
        return aq_walk_no_memory(walk, child->key_place);
    return aq_walk_fail(walk, AQ_UNKNOWN_KEY, child->key_place, "%s is no key of a %s%s%s%s",
                        aq_utf8_brief(child->key, brief), shape->noun, near ? "; did you mean " : "",
                        near ? near : "", near ? "?" : "");
}

static bool rest_takes(const aq_field *rest, const char *key)
{
    return rest && (!rest->choices || among(key, rest->choices));
}

static void read_child(aq_walk *walk, const aq_shape *shape, const aq_node *child, const char *name,
                       char *into)
{
    const aq_field *field = find_field(shape, child->key);

    if (!given(child))
        return;
    if (field && name && field->into == shape->name_into)
        aq_walk_fail(walk, AQ_CONFLICT, child->key_place, "the name already stands before the colon: %s",
                     name);
    else if (field && !field->says)
        aq_field_read(walk, field, child, into + field->into);
    else if (!field && rest_takes(shape->rest, child->key))
        read_amount(walk, shape->rest, child, (aq_amounts *)(void *)(into + shape->rest->into));
    else if (!field)
        refuse_key(walk, shape, child);
}

static void read_sayings(aq_walk *walk, const aq_shape *shape, const aq_node *map, char *into)
{
    for (size_t i = 0; i < shape->count; i++) {
        const aq_field *field = &shape->fields[i];
        const aq_node *child = field->says ? aq_node_get(map, field->key) : NULL;

        if (given(child))
            aq_field_read(walk, field, child, into + field->into);
    }
}

static void look_for_needed(aq_walk *walk, const aq_shape *shape, const aq_node *map, const char *name)
{
    for (size_t i = 0; i < shape->count; i++) {
        const aq_field *field = &shape->fields[i];

        if (!field->needed || (name && field->into == shape->name_into) ||
            given(aq_node_get(map, field->key)))
            continue;
        aq_walk_fail(walk, AQ_MISSING, map->place, "%s is missing: %s%s%s", field->key,
                     field->help ? field->help : "", field->example ? ", like " : "",
                     field->example ? field->example : "");
    }
}

static void read_map(aq_walk *walk, const aq_shape *shape, const aq_node *map, const char *name, char *into)
{
    read_sayings(walk, shape, map, into);
    for (const aq_node *child = map->first; child; child = child->next)
        read_child(walk, shape, child, name, into);
    look_for_needed(walk, shape, map, name);
}

static void read_entry(aq_walk *walk, const aq_shape *shape, const aq_node *node, const char *name,
                       void *into)
{
    bool plain = node->shape == AQ_NODE_SCALAR && shape->scalar && !name;

    if (plain && aq_value_read(walk, &name_row, node, &name) != AQ_OK)
        return;
    if (node->shape != AQ_NODE_MAP && !plain) {
        aq_walk_refuse(walk, NULL, node,
                       shape->scalar && !name ? "a name, or a map of keys" : "a map of keys");
        return;
    }
    if (shape->has_place)
        memcpy((char *)into + shape->place_into, &node->place, sizeof node->place);
    if (shape->has_name && name)
        memcpy((char *)into + shape->name_into, &name, sizeof name);
    if (!plain)
        read_map(walk, shape, node, shape->has_name ? name : NULL, into);
}

/* An entry from its map, or from the one scalar that may stand for it. `name`: what NAMED has before the colon. */
static aq_status read_shape(aq_walk *walk, const aq_shape *shape, const aq_node *node, const char *name,
                            void *into)
{
    size_t before = aq_walk_count(walk);

    memset(into, 0, shape->size);
    node = unfold(walk, node);
    if (!node)
        return aq_walk_since(walk, before);
    read_entry(walk, shape, node, name, into);
    if (aq_walk_count(walk) == before && shape->check)
        aq_walk_complained(walk, shape->check(walk, into, node), node->place, before);
    return aq_walk_since(walk, before);
}

aq_status aq_shape_read(aq_walk *walk, const aq_shape *shape, const aq_node *map, void *into)
{
    return read_shape(walk, shape, map, NULL, into);
}
