/* The names that a list of a document declares, and complaints about a name that is not one of them. */
#ifndef AQ_MODEL_NAMES_H
#define AQ_MODEL_NAMES_H

#include "document/field.h"

/* More names of one sort than this are refused, so that no comparison of names grows with the square of a hostile
 * document. */
enum { AQ_NAMES_MOST = 2000 };

/* Start from { .noun = "part" }. */
typedef struct {
    const char *noun; /* what the names are of */
    aq_texts words;   /* with a NULL behind the last */
    bool failed;      /* memory was out: a name that is not here may be declared all the same */
} aq_names;

/* The value of `key` in entry `at` of `list`, somewhere in a document: only a complaint needs its place. */
typedef struct {
    const aq_node *root;
    const char *list; /* key of the list, or of the single entry that stands for one */
    size_t at;
    const char *key;
} aq_spot;

/* The entry where it has no such key; the list where it has no such entry. */
aq_place aq_spot_place(const aq_spot *spot);

/* Declares a name; AQ_DUPLICATE where it was declared before. A name of NULL declares nothing. */
aq_status aq_names_add(aq_names *names, aq_walk *walk, const char *name, const aq_spot *spot);

bool aq_names_have(const aq_names *names, const char *name);

/* AQ_UNKNOWN_NAME, with the nearest name, where `name` was not declared; `where` is the path to it, ending in ": ".
 * A name of NULL is fine: nothing was said. */
aq_status aq_names_want(const aq_names *names, aq_walk *walk, const char *where, const char *name,
                        aq_place place);

#endif
