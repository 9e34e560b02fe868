/* Where a walk is, and what it found wrong on its way. */
#include "document/walk.h"

#include <stdio.h>
#include <string.h>

#include "base/format.h"
#include "document/utf8.h"

/* ---- the path in front of complaints ---- */

size_t aq_walk_push(aq_walk *walk, const char *word, size_t index)
{
    size_t before = strlen(walk->path), length = strlen(word);
    char number[24] = "";

    if (index)
        snprintf(number, sizeof number, " %zu", index);
    if (before + length + strlen(number) + sizeof ": " > sizeof walk->path)
        return before;
    memcpy(walk->path + before, word, length);
    strcpy(walk->path + before + length, number);
    strcat(walk->path + before + length, ": ");
    return before;
}

size_t aq_walk_push_name(aq_walk *walk, const char *name)
{
    char brief[AQ_BRIEF_ROOM];

    return aq_walk_push(walk, aq_utf8_brief(name, brief), 0);
}

void aq_walk_pop(aq_walk *walk, size_t before)
{
    walk->path[before] = '\0';
}

/* ---- complaints ---- */

size_t aq_walk_count(const aq_walk *walk)
{
    return walk->complaints->count + walk->complaints->more;
}

aq_status aq_walk_add(aq_walk *walk, const aq_error *err)
{
    aq_error whole = *err;

    aq_error_within(&whole, "%s", walk->path);
    aq_complain(walk->complaints, &whole);
    return err->status;
}

aq_status aq_walk_fail(aq_walk *walk, aq_status status, aq_place place, const char *format, ...)
{
    char text[AQ_ERROR_TEXT + 8]; /* longer, so that the cut is aq_fail's, at a whole character */
    aq_error err = { .status = AQ_OK };
    va_list values;

    va_start(values, format);
    aq_format(text, sizeof text, format, values);
    va_end(values);
    aq_fail(&err, status, place, "%s", text);
    return aq_walk_add(walk, &err);
}

aq_status aq_walk_since(const aq_walk *walk, size_t before)
{
    if (aq_walk_count(walk) == before)
        return AQ_OK;
    return walk->complaints->at[before < AQ_COMPLAINTS_MOST ? before : 0].status;
}

aq_status aq_walk_no_memory(aq_walk *walk, aq_place place)
{
    return aq_walk_fail(walk, AQ_NO_MEMORY, place, "out of memory");
}

aq_status aq_walk_complained(aq_walk *walk, aq_status status, aq_place place, size_t before)
{
    if (status != AQ_OK && aq_walk_count(walk) == before)
        return aq_walk_fail(walk, status, place, "%s", aq_status_text(status));
    return status;
}

aq_status aq_walk_refuse(aq_walk *walk, const aq_field *field, const aq_node *node, const char *wanted)
{
    const char *example = field && field->example ? field->example : "";
    const char *join = *example ? ", like " : "";
    char brief[AQ_BRIEF_ROOM];

    switch (node->shape) {
    case AQ_NODE_LIST:
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place, "a list of %zu stands here; wanted is %s%s%s",
                            node->count, wanted, join, example);
    case AQ_NODE_MAP:
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place, "a map of keys stands here; wanted is %s%s%s",
                            wanted, join, example);
    case AQ_NODE_NOTHING:
        return aq_walk_fail(walk, AQ_MISSING, node->place, "nothing stands here; wanted is %s%s%s", wanted,
                            join, example);
    default:
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place, "%s stands here; wanted is %s%s%s",
                            aq_utf8_brief(node->text, brief), wanted, join, example);
    }
}
