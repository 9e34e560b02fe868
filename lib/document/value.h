/* One scalar to one value. Private to this room: field.c walks, value.c reads what stands at the ends. */
#ifndef AQ_DOCUMENT_VALUE_H
#define AQ_DOCUMENT_VALUE_H

#include "document/field.h"

/* Whether `field` reads a single value, so that `node` has to be a scalar. */
bool aq_value_single(aq_read read);

/* A scalar by such a field, into the value itself. */
aq_status aq_value_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);

/* Whether complaints can point inside the text of `node`: it is written as it reads, on one line, with no escapes. */
bool aq_value_literal(const aq_node *node);

/* The place in the document of `inside`, a place in the text of a scalar that stands as written. */
aq_place aq_value_place(const aq_node *scalar, aq_place inside);

#endif
