/* Which parts share a stock tank: the split into the fewest tanks in which nothing clashes.
 *
 * Parts that must not meet are the edges of a graph whose colours are tanks, and what a tank can hold together may be
 * limited too. The search goes through the splits depth first, a part at a time, a new tank opened only when those in
 * use have been tried, so no split is tried twice under other letters; it tries one tank, then two, and so on, so the
 * first number that works is the fewest. Among the splits into so many it takes the one with the fewest parts beside
 * one that they should rather avoid, and of these the one whose loads are most even (least sum of squares).
 *
 * Example: calcium nitrate and iron chelate, potassium nitrate, and three salts of sulfate and phosphate need two tanks;
 * iron would rather stay away from phosphate, and potassium nitrate evens the loads out. */
#ifndef AQ_SOLVE_TANK_SPLIT_H
#define AQ_SOLVE_TANK_SPLIT_H

#include "base/error.h"

#include <stdint.h>

enum { AQ_TANKS_MOST = 8, AQ_TANKS_PARTS_MOST = 64 };
enum { AQ_TANKS_FREE = -1, AQ_TANKS_BOTH = -2 };

/* A set of parts: bit i is part i. */
typedef uint64_t aq_part_set;

typedef struct {
    size_t count;
    const double *load; /* of each part, >= 0 */
    const int *pinned;  /* tank from 0, AQ_TANKS_FREE, or AQ_TANKS_BOTH: half in tank 0 and half in tank 1 */
    const aq_part_set *apart;  /* of each part: those it must not meet; symmetric */
    const aq_part_set *rather; /* of each part: those it should not meet where there is a choice; symmetric */
    /* Whether these can be in one tank; of a set that can, every smaller one can. NULL: all can. */
    bool (*fits)(const void *of, aq_part_set parts);
    const void *of;
    int tanks; /* so many there are; 0: as few as are needed */
} aq_tanks_problem;

typedef struct {
    bool sound; /* there is a split, in so many tanks, in which nothing clashes */
    int tanks;
    aq_part_set holds[AQ_TANKS_MOST];
    bool fewest; /* no smaller number does: false where the search was cut short */
} aq_tanks_answer;

/* AQ_OUT_OF_RANGE: more parts or tanks than there is room for. A problem that no split solves is an answer that is not
 * sound. The search ends after a million steps for the number and a hundred thousand for the evenness, which up to ten
 * parts never takes. */
AQ_API aq_status aq_tanks_split(aq_tanks_answer *out, const aq_tanks_problem *problem, aq_error *err);

#endif
