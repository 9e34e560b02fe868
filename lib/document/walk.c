/* Where a walk is, and what it found wrong on its way. */
#include "document/walk.h"

#include <stdio.h>
#include <string.h>

#include "base/format.h"
#include "document/utf8.h"

/* ---- the path in front of complaints ---- */

enum { PATH_ROOM = 240 };

void aq_walk_push(aq_walk *walk, aq_step *step)
{
    step->outer = walk->within;
    walk->within = step;
}

void aq_walk_pop(aq_walk *walk)
{
    walk->within = walk->within->outer;
}

/* "part 2: rate: "; returns its length. What has no room is left out: the place still tells. */
static size_t write_path(const aq_step *step, char out[PATH_ROOM])
{
    char piece[PATH_ROOM + 1], brief[AQ_BRIEF_ROOM] = "", number[24] = "";
    size_t before, length;

    *out = '\0';
    if (!step)
        return 0;
    before = write_path(step->outer, out);
    if (step->name)
        aq_utf8_brief(step->name, brief);
    if (step->index)
        snprintf(number, sizeof number, " %zu", step->index);
    length = (size_t)snprintf(piece, sizeof piece, "%s%s%s%s: ", step->word ? step->word : "",
                              step->word && step->name ? " " : "", brief, number);
    if (before + length >= PATH_ROOM)
        return before;
    memcpy(out + before, piece, length + 1);
    return before + length;
}

/* ---- complaints ---- */

size_t aq_walk_count(const aq_walk *walk)
{
    return walk->complaints->count + walk->complaints->more;
}

aq_status aq_walk_add(aq_walk *walk, const aq_error *err)
{
    char path[PATH_ROOM];
    aq_error whole = *err;

    write_path(walk->within, path);
    aq_error_within(&whole, "%s", path);
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
