/* What a syringe, cylinder, spoon or scale can show, and how a dose is measured out with it.
 *
 * A bench is a set of tools. Volumes are in L and masses in g; a tool measures one of the two. */
#ifndef AQ_MEASURE_GRADUATION_H
#define AQ_MEASURE_GRADUATION_H

#include "base/arena.h"
#include "measure/quantity.h"

typedef struct {
    const char *name;
    double holds,
        marks;   /* L or g: what it holds when full, and the step between two marks; 0 < marks <= holds */
    bool weighs; /* a scale: g */
    aq_place place;
} aq_tool;

typedef AQ_LIST(aq_tool) aq_bench;

/* Below this many marks of the finest tool a dose is better drawn from a pre-dilution. Common practice, no source. */
enum { AQ_MARKS_LEAST = 5 };

/* The tool for `amount` (L, or g when `weighs`) with which the least goes wrong, of those that have AQ_MARKS_LEAST marks
 * in the amount; where none has, the finest. NULL when the bench has no tool of that sort.
 *
 * What goes wrong with a tool that is filled n times is, as a share of the amount, half a mark at each fill, either way
 * by chance (n of them add up as their root, JCGM 100), and 1.5 % for each fill after the first, for fills are
 * miscounted and each leaves its drop behind (common practice, no source). For 171 mL:
 *     1 L jug marked every 25 mL        12.5 / 171                        7.3 %
 *     60 mL syringe marked every mL     sqrt 3 * 0.5 / 171 + 2 * 1.5 %    3.5 %
 *     250 mL cylinder, every 2 mL       1 / 171                           0.6 %, the one to take
 * and for 250 mL the jug, 5.0 %, is better than five fills of the syringe, 6.4 %. Of two that are alike the finer. */
AQ_API const aq_tool *aq_bench_choose(const aq_bench *bench, double amount, bool weighs);

/* The finest tool of a sort, NULL when there is none. */
AQ_API const aq_tool *aq_bench_finest(const aq_bench *bench, bool weighs);

/* The mark at or just below, and at or just above `amount`, in the tool's unit. An amount within 1e-9 of a mark is
 * on it: both are that mark. */
AQ_API double aq_tool_below(const aq_tool *tool, double amount);
AQ_API double aq_tool_above(const aq_tool *tool, double amount);

/* The fills that make up `amount` (already on a mark): full ones first, then the rest: 192 mL with 60 mL is 60, 60,
 * 60, 12. `full` fills of tool->holds and one of `rest` (0: none). */
typedef struct {
    size_t full;
    double rest;
} aq_fills;
AQ_API aq_fills aq_tool_fills(const aq_tool *tool, double amount);

#endif
