/* The tools of the bench with their marks, and what is left of each part. */
#include "model/site.h"

#include "model/limits.h"

/* ---- a tool ---- */

/* Volume and mark are read together, once both are there, for they must be of one kind. */
static aq_status leave_for_check(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    (void)walk;
    (void)field;
    (void)node;
    (void)into;
    return AQ_OK;
}

static aq_status read_amount(aq_walk *walk, aq_quantity *out, const char *key, const aq_node *node)
{
    const aq_field row = { .key = key,
                           .read = AQ_READ_QUANTITY,
                           .want = AQ_WANT_VOLUME | AQ_WANT_MASS,
                           .bounded = true,
                           .above = true,
                           .least = 0,
                           .most = AQ_MASS_MOST,
                           .example = "60 mL" };

    return aq_field_read(walk, &row, aq_node_get(node, key), out);
}

static aq_status check_tool(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_tool *tool = entry;
    aq_quantity holds = { 0 }, marks = { 0 };
    aq_status status = read_amount(walk, &holds, "holds", node);
    aq_status other = read_amount(walk, &marks, "marks", node);

    if (status != AQ_OK || other != AQ_OK)
        return status != AQ_OK ? status : other;
    if (!aq_kind_equal(holds.kind, marks.kind))
        return aq_walk_fail(
            walk, AQ_CONFLICT, aq_node_get(node, "marks")->place,
            "marks: a tool measures volume or mass: what it holds and its marks are of one kind");
    if (marks.value > holds.value)
        return aq_walk_fail(walk, AQ_CONFLICT, aq_node_get(node, "marks")->place,
                            "marks: the step between two marks is more than the tool holds");
    tool->holds = holds.value;
    tool->marks = marks.value;
    tool->weighs = aq_kind_equal(holds.kind, AQ_KIND_MASS);
    return AQ_OK;
}

static const aq_field tool_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .needed = true,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_tool, name),
      .help = "what the tool is called",
      .example = "60 mL syringe" },
    { .key = "holds",
      .read = AQ_READ_CUSTOM,
      .needed = true,
      .custom = leave_for_check,
      .into = offsetof(aq_tool, holds),
      .help = "most that it measures at once",
      .example = "60 mL" },
    { .key = "marks",
      .read = AQ_READ_CUSTOM,
      .needed = true,
      .custom = leave_for_check,
      .into = offsetof(aq_tool, marks),
      .help = "step between two marks",
      .example = "1 mL" },
};

const aq_shape aq_tool_shape = {
    .noun = "tool",
    .fields = tool_fields,
    .count = sizeof tool_fields / sizeof *tool_fields,
    .size = sizeof(aq_tool),
    .has_place = true,
    .place_into = offsetof(aq_tool, place),
    .has_name = true,
    .name_into = offsetof(aq_tool, name),
    .check = check_tool,
};

/* ---- a supply ---- */

/* A stock-take by weight: (1860 g - 90 g) / 1.26 kg/L leaves 1405 mL; with no density, grams. */
static aq_status weigh(aq_walk *walk, aq_supply *supply, const aq_node *node)
{
    double grams = supply->weighs.value - supply->empty.value;

    if (supply->left.given)
        return aq_walk_fail(walk, AQ_CONFLICT, aq_node_get(node, "weighs")->place,
                            "weighs: left already says what there is");
    if (!supply->empty.given)
        return aq_walk_fail(walk, AQ_MISSING, aq_node_get(node, "weighs")->place,
                            "empty: what the empty bottle weighs is missing, like empty: 90 g");
    if (grams < 0)
        return aq_walk_fail(walk, AQ_CONFLICT, aq_node_get(node, "weighs")->place,
                            "weighs: it is less than the empty bottle");
    supply->left = supply->density.given ? aq_quantity_of(grams / supply->density.value, AQ_KIND_VOLUME)
                                         : aq_quantity_of(grams, AQ_KIND_MASS);
    return AQ_OK;
}

static aq_status check_supply(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_supply *supply = entry;
    aq_status status = supply->weighs.given ? weigh(walk, supply, node) : AQ_OK;

    if (status == AQ_OK && supply->left.given && supply->pack.given && !supply->density.given &&
        !aq_kind_equal(supply->left.kind, supply->pack.kind))
        status = aq_walk_fail(
            walk, AQ_WRONG_KIND, aq_node_get(node, "pack")->place,
            "pack: a pack by mass and a rest by volume, or the other way round, need the density");
    return status;
}

static const aq_field supply_fields[] = {
    { .key = "part",
      .read = AQ_READ_TEXT,
      .needed = true,
      .into = offsetof(aq_supply, part),
      .help = "name of the part",
      .example = "Part A" },
    { .key = "left",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME | AQ_WANT_MASS,
      .bounded = true,
      .least = 0,
      .most = AQ_MASS_MOST,
      .into = offsetof(aq_supply, left),
      .help = "what is left of it",
      .example = "736 mL" },
    { .key = "pack",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME | AQ_WANT_MASS,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_MASS_MOST,
      .into = offsetof(aq_supply, pack),
      .help = "size of a whole pack",
      .example = "5 L" },
    { .key = "price",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .least = 0,
      .most = 1e9,
      .into = offsetof(aq_supply, price),
      .help = "of one pack, in the site's currency",
      .example = "42.00" },
    { .key = "lead",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TIME,
      .bounded = true,
      .least = 0,
      .most = AQ_DAYS_MOST,
      .into = offsetof(aq_supply, lead),
      .help = "from order to delivery",
      .example = "4 d" },
    { .key = "weighs",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_MASS,
      .bounded = true,
      .least = 0,
      .most = AQ_MASS_MOST,
      .into = offsetof(aq_supply, weighs),
      .help = "the bottle with what is left, instead of left",
      .example = "1860 g" },
    { .key = "empty",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_MASS,
      .bounded = true,
      .least = 0,
      .most = AQ_MASS_MOST,
      .into = offsetof(aq_supply, empty),
      .help = "the empty bottle",
      .example = "90 g" },
    { .key = "density",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_CONTENT,
      .bounded = true,
      .least = AQ_DENSITY_LEAST,
      .most = AQ_DENSITY_MOST,
      .into = offsetof(aq_supply, density),
      .help = "mass of a litre, to turn a weight into a volume",
      .example = "1.26 kg/L" },
    { .key = "opened",
      .read = AQ_READ_DATE,
      .into = offsetof(aq_supply, opened),
      .help = "day it was opened",
      .example = "2026-02-20" },
    { .key = "keeps",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TIME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_DAYS_MOST,
      .into = offsetof(aq_supply, keeps),
      .help = "after opening",
      .example = "90 d" },
};

const aq_shape aq_supply_shape = {
    .noun = "supply",
    .fields = supply_fields,
    .count = sizeof supply_fields / sizeof *supply_fields,
    .size = sizeof(aq_supply),
    .has_place = true,
    .place_into = offsetof(aq_supply, place),
    .check = check_supply,
};
