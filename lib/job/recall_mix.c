/* One mix of the log as a row of the fit: which slopes its amounts belong to, and what the tank read before them. */
#include <math.h>
#include <string.h>

#include "job/dose.h"
#include "job/recalling.h"

/* Where no label says it, 0.3 mS/cm for 1 mL/L, or 0.8 for 1 g/L, is a feed like others; it may be wrong by all of itself
 * (common practice, no source). */
static const double guess_by_volume = 300, guess_by_mass = 0.8;
static const double label_doubt = 0.05, guess_doubt = 1;

static const double in_ratio =
    0.1; /* members of a group may be out of their ratio by this much of their mean */

/* ---- which slope ---- */

static const aq_together *group_of(const aq_recall *recall, const char *part, const aq_recipe **recipe)
{
    for (size_t i = 0; i < recall->recipes.count; i++) {
        *recipe = recall->recipes.at[i].recipe;
        for (size_t j = 0; *recipe && j < (*recipe)->together.count; j++)
            if (aq_together_has(&(*recipe)->together.at[j], part))
                return &(*recipe)->together.at[j];
    }
    return NULL;
}

static const aq_part *part_of(const aq_recall *recall, const char *name)
{
    const aq_part *part = NULL;

    for (size_t i = 0; !part && i < recall->recipes.count; i++)
        if (recall->recipes.at[i].recipe)
            part = aq_part_named(&recall->recipes.at[i].recipe->parts, name);
    return part;
}

static bool weighs(const aq_recall *recall, const aq_part *part)
{
    static const aq_bench none = { 0 };

    return part && aq_part_weighed(part, recall->site ? &recall->site->bench : &none);
}

/* mS/cm of one share: what the group says, else what its members add. */
static double label_of_group(const aq_recall *recall, const aq_together *group)
{
    double sum = aq_together_ec(group);

    if (!isnan(sum))
        return sum;
    sum = 0;
    for (size_t i = 0; i < group->parts.count; i++) {
        const aq_part *part = part_of(recall, group->parts.at[i].name);
        bool by_mass = weighs(recall, part);

        sum += (part ? aq_part_slope(part, by_mass) : NAN) * aq_together_amount(group, i, by_mass);
    }
    return sum;
}

static const char *name_of_group(const aq_recall *recall, const aq_together *group)
{
    const char *text = group->name ? group->name : group->parts.at[0].name;

    for (size_t i = 1; text && !group->name && i < group->parts.count; i++)
        text = aq_arena_format(recall->arena, i + 1 < group->parts.count ? "%s, %s" : "%s and %s", text,
                               group->parts.at[i].name);
    return text;
}

static bool add_slope(aq_recall *recall, const char *part)
{
    const aq_recipe *recipe = NULL;
    const aq_together *group = group_of(recall, part, &recipe);
    aq_recalled_slope *slope = aq_list_add(recall->arena, &recall->slopes, sizeof *slope);
    aq_learn_slope *label = aq_list_add(recall->arena, &recall->labels, sizeof *label);
    double value;

    if (!slope || !label)
        return false;
    *slope = (aq_recalled_slope){ .group = group, .first = group ? group->parts.at[0].name : part };
    slope->first = aq_arena_text(recall->arena, slope->first, strlen(slope->first));
    slope->part = slope->first ? part_of(recall, slope->first) : NULL;
    slope->name = group ? name_of_group(recall, group) : slope->first;
    slope->weighs = !group && weighs(recall, slope->part);
    value = group         ? label_of_group(recall, group)
            : slope->part ? aq_part_slope(slope->part, slope->weighs)
                          : NAN;
    slope->labelled = value > 0;
    if (!slope->labelled)
        value = group           ? guess_by_volume * aq_together_amount(group, 0, false)
                : slope->weighs ? guess_by_mass
                                : guess_by_volume;
    *label = (aq_learn_slope){ value, slope->labelled ? label_doubt : guess_doubt };
    return slope->name != NULL;
}

/* More unknowns than the fit takes are not learned. */
static bool full(const aq_recall *recall)
{
    return recall->slopes.count + recall->tanks.count >= AQ_LEARN_MOST;
}

/* The slope that a part belongs to, added where it is new. -1: out of memory; AQ_LEARN_MOST: there is no room. */
static long slope_of(aq_recall *recall, const char *part)
{
    for (size_t i = 0; i < recall->slopes.count; i++) {
        const aq_recalled_slope *slope = &recall->slopes.at[i];

        if (slope->group ? aq_together_has(slope->group, part) : strcmp(slope->first, part) == 0)
            return (long)i;
    }
    if (full(recall))
        return AQ_LEARN_MOST;
    return add_slope(recall, part) ? (long)recall->slopes.count - 1 : -1;
}

/* ---- how much of it ---- */

/* L or g, as the part is counted; NaN: only a density could tell. */
static double counted(aq_quantity amount, const aq_part *part, bool by_mass)
{
    bool mass = aq_kind_equal(amount.kind, AQ_KIND_MASS);
    double density = part && part->density.given ? part->density.value : NAN;

    if (mass == by_mass)
        return amount.value;
    return mass ? amount.value / density : amount.value * density;
}

/* The litres that one share of the group would have been poured for, by this member. */
static double shares_by(const aq_recall *recall, const aq_together *group, size_t member, aq_quantity amount)
{
    const aq_part *part = part_of(recall, group->parts.at[member].name);
    bool by_mass = weighs(recall, part);

    return counted(amount, part, by_mass) / aq_together_amount(group, member, by_mass);
}

static const aq_named_amount *poured_of(const aq_entry *entry, const char *part)
{
    for (size_t i = 0; i < entry->poured.count; i++)
        if (strcmp(entry->poured.at[i].name, part) == 0)
            return &entry->poured.at[i];
    return NULL;
}

/* NaN where a member is missing, or so far out of its ratio that the group is not what was poured. */
static double shares_of(const aq_recall *recall, const aq_together *group, const aq_entry *entry)
{
    double sum = 0, least = INFINITY, most = 0;

    for (size_t i = 0; i < group->parts.count; i++) {
        const aq_named_amount *amount = poured_of(entry, group->parts.at[i].name);
        double shares = amount ? shares_by(recall, group, i, amount->amount) : NAN;

        sum += shares;
        least = fmin(least, shares);
        most = fmax(most, shares);
    }
    sum /= (double)group->parts.count;
    return most - least <= in_ratio * sum ? sum : NAN;
}

static double amount_of(const aq_recall *recall, size_t at, const aq_entry *entry)
{
    const aq_recalled_slope *slope = &recall->slopes.at[at];
    const aq_named_amount *poured = poured_of(entry, slope->first);

    if (slope->group)
        return shares_of(recall, slope->group, entry);
    return poured ? counted(poured->amount, slope->part, slope->weighs) : NAN;
}

/* ---- the mix ---- */

/* What the tank read before the doses: read itself, or worked from heel and water. NaN: not known. */
static double base_of(const aq_entry *entry)
{
    double volume = entry->volume.value, heel = entry->heel.value;

    if (entry->ec_before.given)
        return entry->ec_before.value;
    if (entry->kind == AQ_ENTRY_TOP_UP && !entry->heel.given)
        return NAN; /* what was in the tank is not known */
    if (!entry->water_ec.given && volume > heel)
        return NAN;
    return (heel * entry->heel_ec.value + (volume - heel) * entry->water_ec.value) / volume;
}

static double marked_volume(const aq_recall *recall, const char *name, double logged)
{
    const aq_reservoir *tank = recall->site ? aq_site_reservoir(recall->site, name) : NULL;

    return tank ? (tank->fill.given ? tank->fill.value : tank->holds.value) : logged;
}

/* As slope_of. */
static long tank_of(aq_recall *recall, const char *name, double volume)
{
    aq_recalled_tank *tank;

    if (!name)
        name = "tank";
    for (size_t i = 0; i < recall->tanks.count; i++)
        if (strcmp(recall->tanks.at[i].name, name) == 0) {
            tank = &recall->tanks.at[i];
            tank->marked = marked_volume(recall, name, fmax(volume, tank->marked));
            return (long)i;
        }
    if (full(recall))
        return AQ_LEARN_MOST;
    tank = aq_list_add(recall->arena, &recall->tanks, sizeof *tank);
    if (!tank || !(tank->name = aq_arena_text(recall->arena, name, strlen(name))))
        return -1;
    tank->marked = marked_volume(recall, name, volume);
    return (long)recall->tanks.count - 1;
}

static bool add_row(aq_recall *recall, const aq_entry *entry, double base, long tank, const double *amounts)
{
    aq_learn_mix *mix = aq_list_add(recall->arena, &recall->mixes, sizeof *mix);
    long *id = aq_list_add(recall->arena, &recall->ids, sizeof *id);
    aq_moment *at = aq_list_add(recall->arena, &recall->moments, sizeof *at);
    size_t *width = aq_list_add(recall->arena, &recall->widths, sizeof *width);
    double *kept = aq_arena_take_array(recall->arena, recall->slopes.count, sizeof *kept);

    if (!mix || !id || !at || !width || !kept)
        return false;
    memcpy(kept, amounts, recall->slopes.count * sizeof *kept);
    *mix = (aq_learn_mix){ (size_t)tank, entry->volume.value, base, entry->ec_after.value, kept };
    *id = entry->id;
    *at = entry->at;
    *width = recall->slopes.count;
    return true;
}

static bool leave_out(aq_recall *recall)
{
    recall->left_out++;
    return true;
}

bool aq_recall_mix(aq_recall *recall, const aq_entry *entry)
{
    double amounts[AQ_LEARN_MOST] = { 0 }, base = base_of(entry), sum = 0;
    long tank;

    if (!entry->ec_after.given || !(entry->volume.value > 0) || isnan(base))
        return leave_out(recall);
    for (size_t i = 0; i < entry->poured.count; i++) {
        long at = slope_of(recall, entry->poured.at[i].name);

        if (at < 0 || at >= AQ_LEARN_MOST)
            return at >= 0 && leave_out(recall);
        amounts[at] = amount_of(recall, (size_t)at, entry);
        sum += amounts[at];
    }
    tank = sum > 0 ? tank_of(recall, entry->reservoir, entry->volume.value) : AQ_LEARN_MOST; /* NaN is not */
    if (tank < 0 || tank >= AQ_LEARN_MOST)
        return tank >= 0 && leave_out(recall);
    return add_row(recall, entry, base, tank, amounts);
}
