/* Declared names, in the order of the document. Lists are short, so they are searched from the front. */
#include "model/names.h"

#include <string.h>

bool aq_names_have(const aq_names *names, const char *name)
{
    for (size_t i = 0; i < names->words.count; i++)
        if (strcmp(names->words.at[i], name) == 0)
            return true;
    return false;
}

/* The NULL that aq_nearest wants at the end is added and not counted. */
static bool add_word(aq_names *names, aq_arena *arena, const char *name)
{
    const char **word = aq_list_add(arena, &names->words, sizeof *word);
    const char **end = word ? aq_list_add(arena, &names->words, sizeof *end) : NULL;

    names->words.count -= (size_t)(word != NULL) + (end != NULL);
    if (!end)
        return false;
    names->words.at[names->words.count++] = name;
    names->words.at[names->words.count] = NULL;
    return true;
}

aq_place aq_spot_place(const aq_spot *spot)
{
    const aq_node *list = aq_node_get(spot->root, spot->list), *entry = list, *value;

    if (list && list->shape == AQ_NODE_LIST) {
        entry = list->first;
        for (size_t i = 0; entry && i < spot->at; i++)
            entry = entry->next;
    }
    value = entry && entry->shape == AQ_NODE_MAP ? aq_node_get(entry, spot->key) : NULL;
    return value ? value->place : entry ? entry->place : list ? list->place : spot->root->place;
}

aq_status aq_names_add(aq_names *names, aq_walk *walk, const char *name, const aq_spot *spot)
{
    if (!name)
        return AQ_OK;
    if (aq_names_have(names, name))
        return aq_walk_fail(walk, AQ_DUPLICATE, aq_spot_place(spot), "%s: name: two of the %ss are called %s",
                            spot->list, names->noun, name);
    if (names->words.count == AQ_NAMES_MOST)
        return aq_walk_fail(walk, AQ_TOO_LARGE, aq_spot_place(spot), "%s: more than %d in one document",
                            spot->list, AQ_NAMES_MOST);
    names->failed = names->failed || !add_word(names, walk->arena, name);
    if (names->failed)
        return aq_walk_fail(walk, AQ_NO_MEMORY, spot->root->place, "out of memory");
    return AQ_OK;
}

aq_status aq_names_want(const aq_names *names, aq_walk *walk, const char *where, const char *name,
                        aq_place place)
{
    const char *nearest;

    if (!name || names->failed || aq_names_have(names, name))
        return AQ_OK;
    if (names->words.count == 0)
        return aq_walk_fail(walk, AQ_UNKNOWN_NAME, place, "%s%s is no %s: none is declared here", where, name,
                            names->noun);
    nearest = walk->complaints->more ? NULL : aq_nearest(name, names->words.at);
    if (nearest)
        return aq_walk_fail(walk, AQ_UNKNOWN_NAME, place, "%sno %s is called %s; did you mean %s?", where,
                            names->noun, name, nearest);
    return aq_walk_fail(walk, AQ_UNKNOWN_NAME, place, "%sno %s is called %s; there is %s%s", where,
                        names->noun, name, names->words.at[0], names->words.count > 1 ? " and others" : "");
}
