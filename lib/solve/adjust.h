/* From what is in a tank to a wanted level and EC, wasting the least: remove r, add water a, then dose.
 *
 * Salts are conserved: (V - r) e + a w + D = L e*, with V - r + a = L and 0 <= D <= L m, where D is what the doses add
 * (in mS/cm times L) and m is the most that label tops allow. So D(r) = L e* - V e - (L - V) w + r (e - w) is a straight
 * line in the one unknown r, and the least waste is the least r from max(0, V - L) to V for which D is inside its
 * limits and the doses have room: they take q D litres of what comes in, V - r + max(a, q D) within the brim, where q is
 * `room`. (Those litres count as water in D, as everywhere: what they displace is a hundredth of what they bring.)
 * Removing comes before diluting: taking out strong solution takes out more salts. Where no r will do, EC is
 * brought as near as it can be, then with the least waste; a level that cannot be had without removing is missed.
 *
 * What moves to a second tank is no waste, but never more than that tank wants: it ends full at its own wanted EC at
 * most, helped by water alone; and no weaker than it wants, nor weaker than it was. */
#ifndef AQ_SOLVE_ADJUST_H
#define AQ_SOLVE_ADJUST_H

#include "solve/drift.h"

typedef struct {
    double holds; /* L: brim */
    aq_tank_state now;
    double ec; /* wanted, mS/cm */
} aq_second_tank;

typedef struct {
    double holds; /* L: brim */
    aq_tank_state now;
    double level, ec; /* wanted; level at most `holds` */
    double water_ec;  /* NaN: not known, and then nothing may be added */
    double most;      /* mS/cm that doses may add by the label; INFINITY: no top; 0: nothing to dose with */
    double room;      /* L that the doses take for each mS/cm in each L; 0: none */
    bool keep_all;    /* nothing may be removed */
    const aq_second_tank *into; /* NULL: what is removed is wasted */
} aq_adjust_problem;

typedef struct {
    double remove;             /* L, first; of these `moved` go to the second tank */
    double moved, moved_water; /* L, and the water that the second tank takes with it */
    double water;              /* L that come in, the doses' own litres among them */
    double doses;              /* L of the doses: of `water`, or above the level where they are more */
    double before_dose;        /* mS/cm after the water: the checkpoint */
    double adds;               /* mS/cm that the doses add to the finished tank */
    aq_tank_state end;         /* the finished tank */
    aq_tank_state second;      /* the second tank when done */
    bool met;                  /* level to 1e-9 L and EC to 1e-6 mS/cm */
    bool capped;               /* doses held back by `most` */
    bool brimming;             /* doses held back by the brim, for nothing may be removed */

    /* beside the answer; NaN where it does not apply */
    double fill_ec;      /* filled to the brim, nothing removed */
    double water_needed; /* to dilute to the wanted EC were there no brim */
    double drain_after;  /* to remove if the brim was filled first */
    double makeup_ec;    /* what is added must have, water and doses together */
    double keeps;        /* feed at the wanted EC that what is removed would make with water */
} aq_adjust_answer;

/* AQ_INVALID: a level above the brim, a volume below 0 or above the brim, EC not finite or below 0; or water of unknown
 * EC where water has to be added. */
AQ_API aq_status aq_adjust(aq_adjust_answer *out, const aq_adjust_problem *problem, aq_error *err);

/* The number of equal steps, at least 1, from one EC to another when none may be larger than `step`; 1000 at most. */
AQ_API int aq_adjust_steps(double from, double to, double step);

#endif
