/* Bytes as YAML and as JSON: a tree within its limits whose every text is UTF-8, or a complaint with a place. */
#include "fuzz.h"

static size_t check_tree(const aq_node *node, int depth)
{
    size_t nodes = 1, children = 0;

    must(!node->count || depth <= AQ_DOCUMENT_DEPTH);
    must((node->shape == AQ_NODE_SCALAR) == (node->text != NULL) || node->shape == AQ_NODE_NOTHING);
    must(node->place.line >= 1 && node->place.column >= 1 && node->place.span >= 1);
    if (node->text)
        must(is_utf8(node->text, strlen(node->text)));
    for (const aq_node *child = node->first; child; child = child->next) {
        if (node->shape == AQ_NODE_MAP)
            must(child->key && aq_node_get(node, child->key) == child);
        nodes += check_tree(child, depth + 1);
        children++;
    }
    must(children == node->count);
    return nodes;
}

static void check_document(aq_status (*read)(aq_node **, aq_arena *, const char *, size_t, const char *,
                                             aq_error *),
                           const uint8_t *bytes, size_t length)
{
    aq_arena *arena = aq_arena_new(0);
    aq_error err = { .status = AQ_OK };
    aq_node *node;
    aq_status status = read(&node, arena, (const char *)bytes, length, "input", &err);

    must(arena != NULL);
    if (status == AQ_OK) {
        must(check_tree(node, 1) <= AQ_DOCUMENT_NODES);
    } else {
        must(node == NULL);
        check_complaint(&err, status, true);
    }
    aq_arena_free(arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    check_document(aq_node_yaml, bytes, length);
    check_document(aq_node_json, bytes, length);
    return 0;
}
