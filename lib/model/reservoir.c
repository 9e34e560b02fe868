/* What holds liquid or plants: reservoirs, mist bottles, and lots of cuttings. */
#include "model/site.h"

#include "model/limits.h"
#include "model/stage.h"

/* At most the `most` that another key of the entry says: a fill in its brim, a heel in its fill. */
static aq_status check_below(aq_walk *walk, const aq_node *node, const char *key, aq_quantity value,
                             const char *of, aq_quantity most)
{
    if (!value.given || !most.given || value.value <= most.value)
        return AQ_OK;
    return aq_walk_fail(walk, AQ_CONFLICT, aq_node_get(node, key)->place, "%s: it is more than %s", key, of);
}

static aq_status check_reservoir(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_reservoir *tank = entry;
    aq_status status = aq_aim_check(walk, &tank->aim, node);

    if (status == AQ_OK)
        status = check_below(walk, node, "fill", tank->fill, "what the reservoir holds", tank->holds);
    if (!tank->fill.given)
        tank->fill = tank->holds;
    if (status == AQ_OK && !tank->fill.given)
        status =
            aq_walk_fail(walk, AQ_MISSING, node->place, "holds: how much the reservoir holds is missing");
    if (!tank->holds.given)
        tank->holds = tank->fill; /* to the brim, for all that is known */
    if (status == AQ_OK)
        status = check_below(walk, node, "heel", tank->heel, "what the reservoir is filled to", tank->fill);
    if (status == AQ_OK)
        status = check_below(walk, node, "dead", tank->dead, "what the reservoir is filled to", tank->fill);
    return status;
}

static const aq_field reservoir_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .needed = true,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_reservoir, name),
      .help = "what the reservoir is called",
      .example = "Mother bed" },
    { .key = "holds",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_reservoir, holds),
      .help = "up to the brim",
      .example = "60 L" },
    { .key = "fill",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_reservoir, fill),
      .help = "what it is filled to; the brim where not given",
      .example = "55 L" },
    { .key = "heel",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_reservoir, heel),
      .help = "old solution that the pump leaves",
      .example = "4 L" },
    { .key = "heel-ec",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_reservoir, heel_ec),
      .help = "EC of the heel",
      .example = "1.9 mS/cm" },
    { .key = "dead",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_reservoir, dead),
      .help = "in pipes and medium, never drained",
      .example = "2 L" },
    { .key = "water",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_reservoir, water),
      .help = "name of the water it is filled with",
      .example = "tap" },
    { .key = "recipe",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_reservoir, recipe),
      .help = "name of its recipe",
      .example = "leaf" },
    { .key = "lot",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_reservoir, lot),
      .help = "the lot it feeds, whose age gives the stage",
      .example = "basil-14" },
    { .key = "together",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_reservoir, together),
      .help = "name of the group it is fed with",
      .example = "veg" },
    { .key = "stage",
      .read = AQ_READ_ENTRY,
      .shape = &aq_stage_shape,
      .into = offsetof(aq_reservoir, stage),
      .help = "a stage of the recipe by name, or an entry",
      .example = "stock plants" },
    AQ_AIM_ROWS(aq_reservoir, aim),
    { .key = "uses",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_FLOW,
      .bounded = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_reservoir, uses),
      .help = "drunk and evaporated",
      .example = "3 L/d" },
    { .key = "uptake",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_reservoir, uptake),
      .help = "salts taken per litre drunk, as EC",
      .example = "0.9 mS/cm" },
    { .key = "limit",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_reservoir, limit),
      .help = "the EC that it is not to climb past between jobs",
      .example = "2.2 mS/cm" },
};

const aq_shape aq_reservoir_shape = {
    .noun = "reservoir",
    .fields = reservoir_fields,
    .count = sizeof reservoir_fields / sizeof *reservoir_fields,
    .size = sizeof(aq_reservoir),
    .has_place = true,
    .place_into = offsetof(aq_reservoir, place),
    .has_name = true,
    .name_into = offsetof(aq_reservoir, name),
    .check = check_reservoir,
};

static aq_status one_sprayer(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_bottle *bottle = entry;

    (void)walk;
    (void)node;
    if (bottle->sprayers == 0)
        bottle->sprayers = 1;
    return AQ_OK;
}

static const aq_field bottle_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .needed = true,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_bottle, name),
      .help = "what the bottle is called",
      .example = "Mister" },
    { .key = "holds",
      .read = AQ_READ_QUANTITY,
      .needed = true,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_bottle, holds),
      .help = "what is mixed in it at once",
      .example = "500 mL" },
    { .key = "water",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_bottle, water),
      .help = "name of the water it is filled with",
      .example = "rain" },
    { .key = "recipe",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_bottle, recipe),
      .help = "name of its recipe",
      .example = "leaf" },
    { .key = "lot",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_bottle, lot),
      .help = "the lot it mists",
      .example = "basil-14" },
    { .key = "stage",
      .read = AQ_READ_ENTRY,
      .shape = &aq_stage_shape,
      .into = offsetof(aq_bottle, stage),
      .help = "a stage of the recipe by name, or an entry",
      .example = "strike" },
    { .key = "daily",
      .read = AQ_READ_MINUTE,
      .into = offsetof(aq_bottle, daily),
      .help = "mixed every day at",
      .example = "07:30" },
    { .key = "sprayers",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 1,
      .most = 1000,
      .into = offsetof(aq_bottle, sprayers),
      .help = "that many bottles of it",
      .example = "2" },
};

const aq_shape aq_bottle_shape = {
    .noun = "bottle",
    .fields = bottle_fields,
    .count = sizeof bottle_fields / sizeof *bottle_fields,
    .size = sizeof(aq_bottle),
    .has_place = true,
    .place_into = offsetof(aq_bottle, place),
    .has_name = true,
    .name_into = offsetof(aq_bottle, name),
    .check = one_sprayer,
};

static const aq_field lot_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .needed = true,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_lot, name),
      .help = "what the lot is called",
      .example = "basil-14" },
    { .key = "stuck",
      .read = AQ_READ_DATE,
      .needed = true,
      .into = offsetof(aq_lot, stuck),
      .help = "day of sticking, day 0",
      .example = "2026-03-02" },
    { .key = "cuttings",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 1,
      .most = AQ_COUNT_MOST,
      .into = offsetof(aq_lot, cuttings),
      .help = "how many were stuck",
      .example = "60" },
    { .key = "recipe",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_lot, recipe),
      .help = "name of its recipe",
      .example = "leaf" },
};

const aq_shape aq_lot_shape = {
    .noun = "lot",
    .fields = lot_fields,
    .count = sizeof lot_fields / sizeof *lot_fields,
    .size = sizeof(aq_lot),
    .has_place = true,
    .place_into = offsetof(aq_lot, place),
    .has_name = true,
    .name_into = offsetof(aq_lot, name),
    .check = NULL,
};
