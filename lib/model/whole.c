/* The first line of a document, and the pipeline from its text to its struct.
 *
 * "aliquot: site 1" given where a recipe is wanted would make every key unknown; so the kind is looked at before the
 * shape is walked, and is the only complaint when it is wrong. */
#include "model/whole.h"

#include <string.h>

/* The text behind `kind` and its space: "1" of "recipe 1"; NULL when the text is of another kind. */
static const char *version_of(const char *text, const char *kind)
{
    size_t length = strlen(kind);

    if (strncmp(text, kind, length) != 0 || (text[length] && text[length] != ' '))
        return NULL;
    return text + length + strspn(text + length, " ");
}

static aq_status look_at_kind(const aq_node *root, const char *kind, aq_error *err)
{
    const aq_node *head = root->shape == AQ_NODE_MAP ? aq_node_get(root, "aliquot") : NULL;
    const char *text = head && head->shape == AQ_NODE_SCALAR ? head->text : "something else";
    const char *version = version_of(text, kind);

    if (!head)
        return aq_fail(err, AQ_MISSING, root->place,
                       "aliquot: %s 1 is missing: the first line of a document says what it is", kind);
    if (!version)
        return aq_fail(err, AQ_CONFLICT, head->place, "aliquot: a %s is wanted here, and this is: %s", kind,
                       text);
    if (strcmp(version, "1") != 0)
        return aq_fail(err, AQ_OUT_OF_RANGE, head->place,
                       "aliquot: %s 1 is the version read here, and this is: %s", kind, text);
    return AQ_OK;
}

aq_status aq_whole_kind(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    (void)walk;
    (void)field;
    (void)node;
    (void)into;
    return AQ_OK;
}

aq_status aq_whole_read(void **out, aq_arena *arena, const aq_shape *shape, const char *kind,
                        const char *text, size_t length, const char *source, aq_complaints *complaints)
{
    aq_walk walk = { .arena = arena, .complaints = complaints };
    aq_error err = { 0 };
    aq_node *root = NULL;
    void *whole = aq_arena_take(arena, shape->size);
    aq_status status = whole ? aq_node_yaml(&root, arena, text, length, source, &err)
                             : aq_fail(&err, AQ_NO_MEMORY, (aq_place){ .source = source }, "out of memory");

    *out = NULL;
    if (status == AQ_OK)
        status = look_at_kind(root, kind, &err);
    if (status != AQ_OK) {
        aq_complain(complaints, &err);
        return status;
    }
    status = aq_shape_read(&walk, shape, root, whole);
    if (status == AQ_OK)
        *out = whole;
    return status;
}
