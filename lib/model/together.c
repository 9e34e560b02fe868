/* A group: parts dosed in a fixed ratio. Its EC is written in one of two ways, told apart by the word "per":
 *
 *     {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}          bare ratios: the slope of one share, 1 mL of each per L
 *     {parts: {A: 3.0 mL/L, B: 1.8 mL/L}, ec: 2.0 mS/cm}      rates: what these rates add together
 *
 * A slope beside rates would not say whose millilitre it counts, and a plain EC beside ratios would not say at what
 * rate, so each is refused with the other. */
#include "model/part.h"

#include <math.h>
#include <string.h>

#include "model/limits.h"
#include "model/rate.h"

static const aq_field slope_row = {
    .key = "ec", .read = AQ_READ_SLOPE, .help = "EC of one share", .example = "0.40 mS/cm per mL/L"
};
static const aq_field whole_row = { .key = "ec",
                                    .read = AQ_READ_QUANTITY,
                                    .want = AQ_WANT_EC,
                                    .bounded = true,
                                    .above = true,
                                    .least = 0,
                                    .most = AQ_EC_MOST,
                                    .help = "EC that these rates add together",
                                    .example = "2.0 mS/cm" };

static aq_status read_group_ec(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_together *group = into;

    (void)field;
    if (node->shape == AQ_NODE_SCALAR && strstr(node->text, " per "))
        return aq_field_read(walk, &slope_row, node, &group->slope);
    return aq_field_read(walk, &whole_row, node, &group->whole);
}

enum { MEMBERS_MOST = 64 };

static bool bare(const aq_named_amount *member)
{
    return aq_kind_equal(member->amount.kind, AQ_KIND_SHARE);
}

static aq_status check_members(aq_walk *walk, aq_together *group, const aq_node *node)
{
    aq_status status = AQ_OK;

    if (group->parts.count > MEMBERS_MOST)
        return aq_walk_fail(walk, AQ_TOO_LARGE, node->place, "parts: more than %d in one group",
                            MEMBERS_MOST);
    if (group->parts.count == 0)
        return aq_walk_fail(walk, AQ_MISSING, node->place,
                            "parts: a group names the parts that are dosed together");
    group->rates = !bare(&group->parts.at[0]);
    for (size_t i = 0; i < group->parts.count; i++) {
        const aq_named_amount *member = &group->parts.at[i];

        if (bare(member) == group->rates)
            status =
                aq_walk_fail(walk, AQ_CONFLICT, member->place,
                             "parts: %s: a group is either bare ratios, like {A: 1, B: 1}, or rates, like "
                             "{A: 3 mL/L, B: 1.8 mL/L}",
                             member->name);
        else if (group->rates && aq_rate_check(walk, member->amount, member->place, "parts") != AQ_OK)
            status = AQ_OUT_OF_RANGE;
    }
    return status;
}

static aq_status check_group_ec(aq_walk *walk, const aq_together *group, const aq_node *node)
{
    const aq_node *ec = aq_node_get(node, "ec");

    if (group->rates && group->slope.given)
        return aq_walk_fail(walk, AQ_CONFLICT, ec->place,
                            "ec: beside rates it is what they add together, like 2.0 mS/cm");
    if (!group->rates && group->whole.given)
        return aq_walk_fail(walk, AQ_CONFLICT, ec->place,
                            "ec: beside bare ratios it is a slope, like 0.40 mS/cm per mL/L");
    if (!group->slope.given)
        return AQ_OK;
    if (group->slope.element[0])
        return aq_walk_fail(walk, AQ_WRONG_KIND, ec->place,
                            "ec: a group's slope counts its shares, like 0.40 mS/cm per mL/L, not %s",
                            group->slope.element);
    return aq_slope_check(walk, &group->slope, ec->place);
}

static aq_status check_together(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_together *group = entry;
    aq_status status;

    if (node->shape == AQ_NODE_SCALAR)
        return AQ_OK; /* a name alone: a group that somebody else tells of */
    status = check_members(walk, group, node);
    return status == AQ_OK ? check_group_ec(walk, group, node) : status;
}

bool aq_together_has(const aq_together *group, const char *part)
{
    for (size_t i = 0; i < group->parts.count; i++)
        if (strcmp(group->parts.at[i].name, part) == 0)
            return true;
    return false;
}

double aq_together_amount(const aq_together *group, size_t member, bool weighed)
{
    double amount = group->parts.at[member].amount.value;

    return group->rates || weighed ? amount : amount / 1000;
}

double aq_together_ec(const aq_together *group)
{
    if (group->whole.given)
        return group->whole.value;
    if (!group->slope.given)
        return NAN;
    return group->slope.by_mass ? group->slope.value : group->slope.value / 1000;
}

static const aq_field together_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_together, name),
      .help = "what the group is called, where there are several",
      .example = "veg" },
    { .key = "parts",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_RATE | AQ_WANT_CONTENT,
      .bare = true,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_CONTENT_MOST,
      .into = offsetof(aq_together, parts),
      .help = "the parts in pouring order, each with its ratio or its rate",
      .example = "{A: 1, B: 1}" },
    { .key = "ec",
      .read = AQ_READ_CUSTOM,
      .custom = read_group_ec,
      .help = "EC of one share of bare ratios; or what the rates add together",
      .example = "0.40 mS/cm per mL/L" },
};

const aq_shape aq_together_shape = {
    .noun = "group",
    .fields = together_fields,
    .count = sizeof together_fields / sizeof *together_fields,
    .size = sizeof(aq_together),
    .has_place = true,
    .place_into = offsetof(aq_together, place),
    .has_name = true,
    .name_into = offsetof(aq_together, name),
    .scalar = true,
    .check = check_together,
};
