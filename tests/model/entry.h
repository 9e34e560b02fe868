/* An entry from its YAML flow form, as an option gives it. */
#ifndef ENTRY_H
#define ENTRY_H

#include "check.h"

#include "document/field.h"

/* Reads `text` by `shape` into `into`; the first complaint (or none) is in *err. `said` may be NULL. */
static inline aq_status entry_read(const aq_shape *shape, const char *text, void *into, aq_arena *arena,
                                   const aq_said *said, aq_error *err)
{
    aq_complaints complaints = { 0 };
    aq_walk walk = { .arena = arena, .complaints = &complaints };
    aq_node *node;
    aq_status status;

    memset(err, 0, sizeof *err);
    if (said)
        walk.said = *said;
    status = aq_node_yaml(&node, arena, text, strlen(text), "--entry", err);
    if (status != AQ_OK)
        return status;
    status = aq_shape_read(&walk, shape, node, into);
    if (complaints.count)
        *err = complaints.at[0];
    return status;
}

/* Reads what must be readable. */
static inline void entry_must(const aq_shape *shape, const char *text, void *into, aq_arena *arena)
{
    aq_error err;

    if (entry_read(shape, text, into, arena, NULL, &err) != AQ_OK)
        fail_msg("%s: %s", text, err.text);
}

#endif
