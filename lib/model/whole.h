/* A whole document of one kind: text to struct by a shape, once its line `aliquot: KIND 1` says that it is one. */
#ifndef AQ_MODEL_WHOLE_H
#define AQ_MODEL_WHOLE_H

#include "document/field.h"

/* Reads `text` by `shape` into a new struct in `arena`. `kind` is "recipe" or "site". A document of another kind or
 * version gets that one complaint and no flood of unknown keys. *out is NULL on any complaint. */
aq_status aq_whole_read(void **out, aq_arena *arena, const aq_shape *shape, const char *kind,
                        const char *text, size_t length, const char *source, aq_complaints *complaints);

/* The row of the key `aliquot`, which aq_whole_read has already looked at. */
#define AQ_WHOLE_ROW(kind)                                                                                   \
    {                                                                                                        \
        .key = "aliquot", .read = AQ_READ_CUSTOM, .needed = true, .custom = aq_whole_kind,                   \
        .help = "what this document is, and the version of its form", .example = kind " 1"                   \
    }
aq_status aq_whole_kind(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);

#endif
