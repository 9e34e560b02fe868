/* A recipe: parts in pouring order, groups dosed together, and stages that say what is wanted when. */
#ifndef AQ_MODEL_RECIPE_H
#define AQ_MODEL_RECIPE_H

#include "model/part.h"

/* What a stage, a reservoir or a line aims at: at most one of ec, strength, rates and targets, but that ec may go
 * with targets. None: the bottom of the label range. */
typedef struct {
    aq_quantity ec;       /* mS/cm */
    aq_quantity strength; /* share of the label's top rate */
    aq_amounts rates;     /* per part: L/L or g/L */
    aq_amounts targets;   /* per element: g/L or mol/L */
    aq_amounts tolerance; /* per element: share */
    aq_range ph;
} aq_aim;

typedef struct {
    const char *name;
    aq_range days; /* since the day of sticking, day 0; whole numbers */
    aq_aim aim;
    aq_amounts mist;      /* per part: L/L or g/L */
    aq_range mist_ec;     /* ceiling (high) for these leaves, mS/cm */
    aq_range air, water;  /* degC */
    aq_range humidity;    /* share */
    aq_range light;       /* d */
    const char *together; /* the group that it is fed with, where several share a part; NULL: not said */
    const char *gate;     /* asked before the stage begins */
    aq_quantity makes;    /* L/d, for a lot that is watered by hand */
    aq_quantity step;     /* largest change of EC at one time, mS/cm */
    aq_place place;
} aq_stage;

typedef AQ_LIST(aq_part) aq_parts;
typedef AQ_LIST(aq_together) aq_togethers;
typedef AQ_LIST(aq_stage) aq_stages;

typedef struct {
    const char *source; /* file name */
    const char *name;
    aq_said said;
    aq_parts parts;
    aq_togethers together;
    aq_stages stages;
} aq_recipe;

extern AQ_API const aq_shape aq_stage_shape, aq_recipe_shape;

/* Reads and checks a whole document into `arena`; *out lives there. On failure *out is NULL and `complaints` (needed)
 * holds everything found wrong: names of `together`, `mist` and `rates` that are no part, groups that hold a part
 * twice, stages whose days overlap, a part with neither a rate, an EC, an analysis nor a formula. */
AQ_API aq_status aq_recipe_read(const aq_recipe **out, aq_arena *arena, const char *text, size_t length,
                                const char *source, aq_complaints *complaints);

AQ_API const aq_stage *aq_stage_named(const aq_stages *stages,
                                      const char *name);               /* NULL: none of that name */
AQ_API const aq_stage *aq_stage_on(const aq_stages *stages, long day); /* NULL: no stage has that day */
AQ_API const aq_part *aq_part_named(const aq_parts *parts, const char *name);
AQ_API bool aq_aim_given(const aq_aim *aim);

#endif
