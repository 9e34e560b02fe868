/* A site: the waters, meter, tools, tanks, bottles, lots, week and shelf of one grower. */
#ifndef AQ_MODEL_SITE_H
#define AQ_MODEL_SITE_H

#include "model/reading.h"
#include "model/recipe.h"
#include "model/water.h"

typedef struct {
    const char *name;
    aq_quantity holds, fill;          /* L: the brim, and what it is filled to (holds where not given) */
    aq_quantity heel, heel_ec, dead;  /* L, mS/cm, L: what will not drain */
    const char *water, *recipe, *lot; /* names in the site, NULL: not given */
    const char *together;             /* name of the group it is fed with */
    aq_stage stage;                   /* an entry, or only its name */
    aq_aim aim;
    aq_quantity uses;   /* L/d */
    aq_quantity uptake; /* mS/cm: salts taken per litre drunk */
    aq_quantity limit;  /* mS/cm: that EC is not to climb past between jobs */
    aq_place place;
} aq_reservoir;

typedef struct {
    const char *name;
    aq_quantity holds;
    const char *water, *recipe, *lot;
    aq_stage stage;
    aq_clock daily;
    long sprayers; /* at least 1 */
    aq_place place;
} aq_bottle;

typedef struct {
    const char *name, *recipe;
    aq_date stuck; /* day 0 */
    long cuttings;
    aq_place place;
} aq_lot;

/* Mon 07:30; minute -1: no clock time. */
typedef struct {
    aq_weekday day;
    int minute;
} aq_weektime;
typedef AQ_LIST(aq_weektime) aq_weektimes;

typedef struct {
    const char *reservoir;
    aq_weektimes change, top_up;
    aq_quantity add; /* L of a top-up */
    /* of the change's dose per litre; not given: plain water, or uptake strength where known */
    aq_quantity share;
    aq_quantity uptake, heel, heel_ec;
    aq_place place;
} aq_week_entry;

typedef struct {
    const char *part;
    aq_quantity left, pack;             /* L or g; left follows from weighs where that was given */
    aq_quantity price;                  /* of one pack */
    aq_quantity lead;                   /* d */
    aq_quantity weighs, empty, density; /* a stock-take by weight: g, g, g/L */
    aq_date opened;
    aq_quantity keeps; /* d after opening */
    aq_place place;
} aq_supply;

typedef struct {
    const char *stage; /* NULL: whichever has its gate on that day */
    const char *lot;   /* that was looked at; NULL: any */
    aq_date at;
    int passed; /* aq_yes_no */
    aq_place place;
} aq_gate;

typedef struct {
    const char *name, *path;
    aq_place place;
    const aq_recipe *recipe; /* attached after loading; NULL until then */
} aq_recipe_ref;

typedef AQ_LIST(aq_water) aq_waters;
typedef AQ_LIST(aq_reservoir) aq_reservoirs;
typedef AQ_LIST(aq_bottle) aq_bottles;
typedef AQ_LIST(aq_lot) aq_lots;
typedef AQ_LIST(aq_week_entry) aq_week;
typedef AQ_LIST(aq_supply) aq_supplies;
typedef AQ_LIST(aq_gate) aq_gates;
typedef AQ_LIST(aq_recipe_ref) aq_recipe_refs;

typedef struct {
    const char *source; /* file name */
    const char *name;
    aq_said said;
    aq_texts show; /* unit systems, first one first */
    aq_recipe_refs recipes;
    aq_waters waters;
    aq_meter meter;
    aq_bench bench;
    aq_reservoirs reservoirs;
    aq_bottles bottles;
    aq_lots lots;
    aq_week week;
    aq_supplies supplies;
    const char *currency, *timezone;
} aq_site;

extern AQ_API const aq_shape aq_tool_shape, aq_reservoir_shape, aq_bottle_shape, aq_lot_shape, aq_week_shape,
    aq_supply_shape, aq_gate_shape, aq_site_shape;

/* Custom readers, for rows of other shapes too: aq_weektimes from `[Mon 07:30, Thu]` or one day, aq_texts of units. */
AQ_API aq_status aq_weektimes_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);
AQ_API aq_status aq_show_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);

/* Reads and checks a whole document. Names that point nowhere (water, recipe, lot, reservoir of a week), fills above
 * the brim, a bench with no tool are complaints. Recipes are only named: the caller loads each `path`, relative to the
 * site's file, and attaches it. */
AQ_API aq_status aq_site_read(aq_site **out, aq_arena *arena, const char *text, size_t length,
                              const char *source, aq_complaints *complaints);

/* Checks what a site says about a recipe that is now attached: stages that a reservoir names, groups, parts of the
 * supplies. */
AQ_API aq_status aq_site_check_recipes(const aq_site *site, aq_complaints *complaints);

/* The recipe of an entry that names `recipe` and `lot` (either may be NULL): its own, else its lot's, else the only one
 * of the site. NULL: none, or not attached. */
AQ_API const aq_recipe *aq_site_recipe_for(const aq_site *site, const char *recipe, const char *lot);

/* Whether an entry's stage is only a name, to be looked up in its recipe. */
AQ_API bool aq_stage_only_named(const aq_stage *stage);

/* How bare units are meant in a line that is typed beside this site: by its own words, and a ppm by its meter's scale.
 * NULL: nothing is said. */
AQ_API aq_said aq_site_said(const aq_site *site);

AQ_API const aq_reservoir *aq_site_reservoir(const aq_site *site,
                                             const char *name); /* these give NULL: none */
AQ_API const aq_bottle *aq_site_bottle(const aq_site *site, const char *name);
AQ_API const aq_water *aq_site_water(const aq_site *site, const char *name);
AQ_API const aq_lot *aq_site_lot(const aq_site *site, const char *name);
AQ_API const aq_recipe *aq_site_recipe(const aq_site *site, const char *name);

#endif
