/* A site: its rows, and what its lists must say about each other and about the recipes it names. */
#include "model/site.h"

#include <string.h>

#include "model/limits.h"
#include "model/names.h"
#include "model/says.h"
#include "model/whole.h"

/* ---- readers ---- */

aq_status aq_show_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    static const aq_field row = { .key = "show", .read = AQ_READ_TEXTS, .example = "[L, gal]" };
    aq_texts *units = into;

    (void)field;
    if (aq_field_read(walk, &row, node, units) != AQ_OK)
        return aq_complaints_status(walk->complaints);
    for (size_t i = 0; i < units->count; i++) {
        aq_measure measure;
        aq_error err = { 0 };
        aq_status status = aq_measure_read(&measure, units->at[i], &walk->said, &err);

        if (status == AQ_OK && !measure.unit)
            status = aq_fail(&err, AQ_WRONG_KIND, node->place, "%s is not one unit, like L or gal-us",
                             units->at[i]);
        if (status != AQ_OK) {
            err.place = node->place;
            aq_error_within(&err, "show: ");
            return aq_walk_add(walk, &err);
        }
    }
    return AQ_OK;
}

/* A map of name to path. */
static aq_status read_recipes(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_recipe_refs *refs = into;

    if (node->shape != AQ_NODE_MAP)
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place, "%s: wanted are names with files, like %s",
                            field->key, field->example);
    for (const aq_node *child = node->first; child; child = child->next) {
        aq_recipe_ref *ref;

        if (child->shape != AQ_NODE_SCALAR || !*child->text)
            return aq_walk_fail(walk, AQ_WRONG_KIND, child->place, "%s: %s: the recipe's file is wanted",
                                field->key, child->key);
        ref = aq_list_add(walk->arena, refs, sizeof *ref);
        if (!ref)
            return aq_walk_fail(walk, AQ_NO_MEMORY, child->place, "out of memory");
        *ref = (aq_recipe_ref){ .name = child->key, .path = child->text, .place = child->place };
    }
    return AQ_OK;
}

/* ---- what the lists of one site must say about each other ---- */

/* The names declared so far, the site, and the document, for the places of names. */
typedef struct {
    aq_walk *walk;
    const aq_site *site;
    const aq_node *root;
    aq_names waters, recipes, lots, reservoirs, bottles;
} declared;

/* The name that an entry gives at `spot` must be one of `names`; `noun` is what the path calls the entry. */
static void want(declared *all, const char *noun, aq_spot spot, const char *name, const aq_names *names)
{
    const char *where;

    if (!name || aq_names_have(names, name))
        return;
    spot.root = all->root;
    where = aq_arena_format(all->walk->arena, "%s %zu: %s: ", noun, spot.at + 1, spot.key);
    aq_names_want(names, all->walk, where ? where : "", name, aq_spot_place(&spot));
}

static void declare(declared *all)
{
    const aq_site *site = all->site;
    aq_spot spot = { .root = all->root, .key = "name" };

    for (spot.at = 0, spot.list = "waters"; spot.at < site->waters.count; spot.at++)
        aq_names_add(&all->waters, all->walk, site->waters.at[spot.at].name, &spot);
    for (spot.at = 0, spot.list = "recipes"; spot.at < site->recipes.count; spot.at++)
        aq_names_add(&all->recipes, all->walk, site->recipes.at[spot.at].name, &spot);
    for (spot.at = 0, spot.list = "reservoirs"; spot.at < site->reservoirs.count; spot.at++)
        aq_names_add(&all->reservoirs, all->walk, site->reservoirs.at[spot.at].name, &spot);
    for (spot.at = 0, spot.list = "bottles"; spot.at < site->bottles.count; spot.at++)
        aq_names_add(&all->bottles, all->walk, site->bottles.at[spot.at].name, &spot);
    for (spot.at = 0, spot.list = "lots"; spot.at < site->lots.count; spot.at++)
        aq_names_add(&all->lots, all->walk, site->lots.at[spot.at].name, &spot);
}

static void check_fed(declared *all, const char *noun, const char *list, size_t at, const char *water,
                      const char *recipe, const char *lot)
{
    want(all, noun, (aq_spot){ .list = list, .at = at, .key = "water" }, water, &all->waters);
    want(all, noun, (aq_spot){ .list = list, .at = at, .key = "recipe" }, recipe, &all->recipes);
    want(all, noun, (aq_spot){ .list = list, .at = at, .key = "lot" }, lot, &all->lots);
}

static void check_links(declared *all)
{
    const aq_site *site = all->site;

    for (size_t i = 0; i < site->reservoirs.count; i++)
        check_fed(all, "reservoir", "reservoirs", i, site->reservoirs.at[i].water,
                  site->reservoirs.at[i].recipe, site->reservoirs.at[i].lot);
    for (size_t i = 0; i < site->bottles.count; i++)
        check_fed(all, "bottle", "bottles", i, site->bottles.at[i].water, site->bottles.at[i].recipe,
                  site->bottles.at[i].lot);
    for (size_t i = 0; i < site->lots.count; i++)
        check_fed(all, "lot", "lots", i, NULL, site->lots.at[i].recipe, NULL);
    for (size_t i = 0; i < site->week.count; i++)
        want(all, "week", (aq_spot){ .list = "week", .at = i, .key = "reservoir" },
             site->week.at[i].reservoir, &all->reservoirs);
}

/* A name of the IANA time zone database: letters, digits and a few signs, as RFC 5545 prints it in a calendar. */
static void check_timezone(declared *all)
{
    static const char allowed[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_+-/";
    const char *zone = all->site->timezone;

    if (zone && zone[strspn(zone, allowed)] != '\0')
        aq_walk_fail(all->walk, AQ_SYNTAX, aq_node_get(all->root, "timezone")->place,
                     "timezone: %s is no name of a time zone, like Europe/Dublin", zone);
}

static aq_status check_site(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_site *site = entry;
    const aq_node *bench = aq_node_get(node, "bench");
    declared all = { .walk = walk,
                     .site = site,
                     .root = node,
                     .waters = { .noun = "water" },
                     .recipes = { .noun = "recipe" },
                     .lots = { .noun = "lot" },
                     .reservoirs = { .noun = "reservoir" },
                     .bottles = { .noun = "bottle" } };

    site->source = node->place.source;
    site->said = walk->said;
    if (bench && site->bench.count == 0)
        aq_walk_fail(walk, AQ_MISSING, bench->place,
                     "bench: there is no tool on it; leave bench out where amounts need not go to marks");
    declare(&all);
    check_links(&all);
    check_timezone(&all);
    return aq_complaints_status(walk->complaints);
}

/* ---- rows ---- */

static const aq_field site_fields[] = {
    AQ_WHOLE_ROW("site"),
    { .key = "name",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_site, name),
      .help = "what the site is called",
      .example = "Fernhollow" },
    AQ_SAYS_ROWS(aq_site, said),
    { .key = "show",
      .read = AQ_READ_CUSTOM,
      .custom = aq_show_read,
      .into = offsetof(aq_site, show),
      .help = "units of the sheet, first one first",
      .example = "[L, gal]" },
    { .key = "recipes",
      .read = AQ_READ_CUSTOM,
      .custom = read_recipes,
      .into = offsetof(aq_site, recipes),
      .help = "names of recipes and their files, relative to this one",
      .example = "{leaf: two-part-leaf.yaml}" },
    { .key = "waters",
      .read = AQ_READ_NAMED,
      .shape = &aq_water_shape,
      .into = offsetof(aq_site, waters),
      .help = "names of source waters and what is known of them",
      .example = "{tap: {ec: 0.32 mS/cm}}" },
    { .key = "meter",
      .read = AQ_READ_ENTRY,
      .shape = &aq_meter_shape,
      .into = offsetof(aq_site, meter),
      .help = "the EC meter" },
    { .key = "bench",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_tool_shape,
      .into = offsetof(aq_site, bench),
      .help = "the tools that doses are measured with" },
    { .key = "reservoirs",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_reservoir_shape,
      .into = offsetof(aq_site, reservoirs),
      .help = "in walking order" },
    { .key = "bottles",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_bottle_shape,
      .into = offsetof(aq_site, bottles),
      .help = "mist bottles and sprayers" },
    { .key = "lots",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_lot_shape,
      .into = offsetof(aq_site, lots),
      .help = "cuttings stuck on one day" },
    { .key = "week",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_week_shape,
      .into = offsetof(aq_site, week),
      .help = "when reservoirs are changed and topped up" },
    { .key = "supplies",
      .read = AQ_READ_ENTRIES,
      .shape = &aq_supply_shape,
      .into = offsetof(aq_site, supplies),
      .help = "what is on the shelf" },
    { .key = "currency",
      .read = AQ_READ_TEXT,
      .most = 8,
      .into = offsetof(aq_site, currency),
      .help = "a label for prices; nothing is converted",
      .example = "EUR" },
    { .key = "timezone",
      .read = AQ_READ_TEXT,
      .most = 64,
      .into = offsetof(aq_site, timezone),
      .help = "for the calendar",
      .example = "Europe/Dublin" },
};

const aq_shape aq_site_shape = {
    .noun = "site",
    .fields = site_fields,
    .count = sizeof site_fields / sizeof *site_fields,
    .size = sizeof(aq_site),
    .check = check_site,
};

aq_status aq_site_read(aq_site **out, aq_arena *arena, const char *text, size_t length, const char *source,
                       aq_complaints *complaints)
{
    void *site;
    aq_status status = aq_whole_read(&site, arena, &aq_site_shape, "site", text, length, source, complaints);

    *out = site;
    return status;
}

/* ---- names to entries ---- */

static bool called(const char *name, const char *wanted)
{
    return name && wanted && strcmp(name, wanted) == 0;
}

const aq_reservoir *aq_site_reservoir(const aq_site *site, const char *name)
{
    for (size_t i = 0; i < site->reservoirs.count; i++)
        if (called(site->reservoirs.at[i].name, name))
            return &site->reservoirs.at[i];
    return NULL;
}

const aq_bottle *aq_site_bottle(const aq_site *site, const char *name)
{
    for (size_t i = 0; i < site->bottles.count; i++)
        if (called(site->bottles.at[i].name, name))
            return &site->bottles.at[i];
    return NULL;
}

aq_said aq_site_said(const aq_site *site)
{
    aq_said said = { 0 };

    if (!site)
        return said;
    said.gallon = site->said.gallon;
    said.ratio = site->said.ratio;
    said.ppm = site->said.ppm ? site->said.ppm : site->meter.scale >= 500 ? site->meter.scale : 0;
    return said;
}

const aq_water *aq_site_water(const aq_site *site, const char *name)
{
    for (size_t i = 0; i < site->waters.count; i++)
        if (called(site->waters.at[i].name, name))
            return &site->waters.at[i];
    return NULL;
}

const aq_lot *aq_site_lot(const aq_site *site, const char *name)
{
    for (size_t i = 0; i < site->lots.count; i++)
        if (called(site->lots.at[i].name, name))
            return &site->lots.at[i];
    return NULL;
}

const aq_recipe *aq_site_recipe(const aq_site *site, const char *name)
{
    for (size_t i = 0; i < site->recipes.count; i++)
        if (called(site->recipes.at[i].name, name))
            return site->recipes.at[i].recipe;
    return NULL;
}
