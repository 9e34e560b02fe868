/* Recalling under way: what its steps share. Private to this room. */
#ifndef AQ_JOB_RECALLING_H
#define AQ_JOB_RECALLING_H

#include "job/recall.h"
#include "solve/learn.h"

/* One unknown slope: a group, a part of a recipe, or a name that no recipe has. */
typedef struct {
    const aq_together *group; /* NULL: a part alone */
    const aq_part *part;      /* NULL: of no recipe; of a group its first member */
    const char *name;         /* "Part A and Part B" */
    const char *first;        /* name of the part, or of the group's first */
    bool weighs;              /* counts g, not L; a group counts shares */
    bool labelled;            /* its slope comes from a label, not from a guess */
} aq_recalled_slope;

typedef struct {
    const char *name;
    double marked; /* L, by the site, or the most that was logged */
} aq_recalled_tank;

/* What a tank drank between two readings with nothing added in between. */
typedef struct {
    double uses, days, uptake, litres;
    const char *stage; /* on the day of the first; NULL: not known */
    aq_date last;
} aq_recalled_pair;

/* What a tank held when it was last read, and those pairs. */
typedef struct {
    double volume, ec;
    aq_moment at;
    bool known;
    const char *stage; /* then */
    AQ_LIST(aq_recalled_pair) pairs;
} aq_recalled_drinking;

struct aq_recall {
    aq_arena *arena;
    const aq_site *site;
    aq_recipe_refs recipes; /* with what they name attached */
    aq_date since, today;
    AQ_LIST(aq_recalled_slope) slopes;
    AQ_LIST(aq_learn_slope) labels; /* of each slope */
    AQ_LIST(aq_recalled_tank) tanks;
    AQ_LIST(aq_learn_mix) mixes;
    AQ_LIST(long) ids;      /* of each mix */
    AQ_LIST(size_t) widths; /* slopes that were known when its row was written */
    AQ_LIST(aq_moment) moments;
    bool failed;     /* memory gave way while entries came in */
    size_t left_out; /* mixes that cannot teach: no reading, no water EC, parts out of their ratio */
    AQ_LIST(aq_recalled_drinking) drinking; /* of each of memory.tanks */
    aq_memory memory;
    aq_learn_problem problem;
    aq_learn_answer *answer; /* NULL: nothing was learned yet */
};

/* Learns from what was taken, once. With no mix that can teach, recall->answer stays NULL. */
aq_status aq_recall_learn(aq_recall *recall, aq_error *err);

/* Takes note of what a tank holds now, and of what it drank since it was last read. False: out of memory. */
bool aq_recall_drink(aq_recall *recall, size_t tank, const aq_entry *entry);
bool aq_recall_drinking(aq_recall *recall); /* what is typical of it all, into the memory */

/* The answer at a gate, into the memory. False: out of memory. */
bool aq_recall_gate(aq_recall *recall, const aq_entry *entry);

/* The stage that a tank is mixed for, by the entry itself or by the site. NULL: not known. Borrowed from site or recipe,
 * or kept in the recall's arena. */
const char *aq_recall_stage(const aq_recall *recall, const aq_entry *entry);

/* Adds a mix that teaches, or counts it as left out. False: out of memory. */
bool aq_recall_mix(aq_recall *recall, const aq_entry *entry);

#endif
