/* Entries in, memory out: the latest readings, what was poured since a change, what is left, and the slopes learned. */
#include <math.h>
#include <string.h>

#include "job/recalling.h"

aq_recall *aq_recall_new(aq_arena *arena, const aq_setting *setting, aq_date since, aq_complaints *complaints)
{
    aq_recall *recall = aq_arena_take(arena, sizeof *recall);
    const aq_site *site = setting->site;

    if (!recall)
        return NULL;
    *recall = (aq_recall){ .arena = arena, .site = site, .since = since, .today = setting->today.date };
    for (size_t i = 0; site && i < site->recipes.count; i++) {
        aq_recipe_ref *ref = aq_list_add(arena, &recall->recipes, sizeof *ref);

        if (!ref)
            return NULL;
        *ref = site->recipes.at[i];
        if (aq_job_recipe(&ref->recipe, arena, setting, ref->name, ref->place, complaints) != AQ_OK)
            return NULL;
    }
    return recall;
}

/* ---- one entry ---- */

static bool copy_amounts(aq_recall *recall, aq_amounts *into, const aq_amounts *from)
{
    for (size_t i = 0; i < from->count; i++) {
        aq_named_amount *same = NULL;

        for (size_t j = 0; j < into->count; j++)
            if (strcmp(into->at[j].name, from->at[i].name) == 0 &&
                aq_kind_equal(into->at[j].amount.kind, from->at[i].amount.kind))
                same = &into->at[j];
        if (same) {
            same->amount.value += from->at[i].amount.value;
            continue;
        }
        same = aq_list_add(recall->arena, into, sizeof *same);
        if (!same)
            return false;
        *same = from->at[i];
        same->name = aq_arena_text(recall->arena, from->at[i].name, strlen(from->at[i].name));
        if (!same->name)
            return false;
    }
    return true;
}

static aq_tank_recalled *tank_of(aq_recall *recall, const char *name)
{
    aq_tank_recalled *tank;

    for (size_t i = 0; i < recall->memory.tanks.count; i++)
        if (strcmp(recall->memory.tanks.at[i].reservoir, name) == 0)
            return &recall->memory.tanks.at[i];
    tank = aq_list_add(recall->arena, &recall->memory.tanks, sizeof *tank);
    if (!tank || !aq_list_add(recall->arena, &recall->drinking, sizeof *recall->drinking.at))
        return NULL;
    tank->reservoir = aq_arena_text(recall->arena, name, strlen(name));
    return tank->reservoir ? tank : NULL;
}

/* A dose after a reading that was off is kept as a top-up, but does not stand for one that the week has. */
static bool is_correction(const aq_entry *entry)
{
    return entry->job && (strcmp(entry->job, "adjust") == 0 || strcmp(entry->job, "trace") == 0);
}

static bool take_tank(aq_recall *recall, const aq_entry *entry)
{
    aq_tank_recalled *tank = entry->reservoir ? tank_of(recall, entry->reservoir) : NULL;

    if (!entry->reservoir)
        return true;
    if (!tank)
        return false;
    if (entry->kind == AQ_ENTRY_MIX) {
        tank->changed = entry->at;
        tank->poured.count = 0;
        tank->ec.given = false; /* the old solution's */
    }
    if (entry->kind == AQ_ENTRY_TOP_UP && !is_correction(entry))
        tank->topped = entry->at;
    if (entry->ec_after.given) {
        tank->ec = entry->ec_after;
        tank->at = entry->at;
    }
    if (!aq_recall_drink(recall, (size_t)(tank - recall->memory.tanks.at), entry))
        return false;
    return entry->kind == AQ_ENTRY_READING || copy_amounts(recall, &tank->poured, &entry->poured);
}

static bool take_bottle(aq_recall *recall, const aq_entry *entry)
{
    aq_tank_recalled *bottle = entry->reservoir ? tank_of(recall, entry->reservoir) : NULL;

    if (bottle)
        bottle->misted = entry->at;
    return bottle || !entry->reservoir;
}

static aq_stock_memory *stock_of(const aq_recall *recall, const char *part)
{
    for (size_t i = 0; i < recall->memory.stock.count; i++)
        if (strcmp(recall->memory.stock.at[i].part, part) == 0)
            return &recall->memory.stock.at[i];
    return NULL;
}

static bool count_stock(aq_recall *recall, const aq_entry *entry)
{
    for (size_t i = 0; i < entry->left.count; i++) {
        const aq_named_amount *left = &entry->left.at[i];
        aq_stock_memory *stock = stock_of(recall, left->name);

        if (!stock) {
            stock = aq_list_add(recall->arena, &recall->memory.stock, sizeof *stock);
            if (!stock || !(stock->part = aq_arena_text(recall->arena, left->name, strlen(left->name))))
                return false;
        }
        stock->left = left->amount;
        stock->taken = entry->at.date;
    }
    return true;
}

/* Poured, or come in. Where the units differ the stock-take stands as it is. */
static void move_stock(aq_recall *recall, const aq_amounts *amounts, double sign)
{
    for (size_t i = 0; i < amounts->count; i++) {
        aq_stock_memory *stock = stock_of(recall, amounts->at[i].name);

        if (stock && aq_kind_equal(stock->left.kind, amounts->at[i].amount.kind))
            stock->left.value = fmax(0, stock->left.value + sign * amounts->at[i].amount.value);
    }
}

static bool teaches(const aq_recall *recall, const aq_entry *entry)
{
    return (entry->kind == AQ_ENTRY_MIX || entry->kind == AQ_ENTRY_TOP_UP) && entry->poured.count &&
           (!recall->since.year || aq_date_compare(entry->at.date, recall->since) >= 0);
}

static bool take(aq_recall *recall, const aq_entry *entry)
{
    switch (entry->kind) {
    case AQ_ENTRY_STOCK:
        return count_stock(recall, entry);
    case AQ_ENTRY_ROOTS:
        return aq_recall_gate(recall, entry);
    case AQ_ENTRY_DELIVERY:
        move_stock(recall, &entry->left, 1);
        return true;
    case AQ_ENTRY_MIST:
        move_stock(recall, &entry->poured, -1);
        return take_bottle(recall, entry);
    case AQ_ENTRY_MIX:
    case AQ_ENTRY_TOP_UP:
    case AQ_ENTRY_READING:
        move_stock(recall, &entry->poured, -1);
        return take_tank(recall, entry) && (!teaches(recall, entry) || aq_recall_mix(recall, entry));
    default:
        return true;
    }
}

bool aq_recall_take(void *to, const aq_entry *entry)
{
    aq_recall *recall = to;

    recall->failed = recall->failed || !take(recall, entry);
    return !recall->failed;
}

/* ---- learning ---- */

/* Rows were written when fewer slopes were known: the later ones are 0 there. */
static bool widen_rows(aq_recall *recall)
{
    size_t n = recall->slopes.count;

    for (size_t i = 0; i < recall->mixes.count; i++) {
        double *wide;

        if (recall->widths.at[i] == n)
            continue;
        wide = aq_arena_take_array(recall->arena, n, sizeof *wide);
        if (!wide)
            return false;
        memcpy(wide, recall->mixes.at[i].amounts, recall->widths.at[i] * sizeof *wide);
        recall->mixes.at[i].amounts = wide;
        recall->widths.at[i] = n;
    }
    return true;
}

aq_status aq_recall_learn(aq_recall *recall, aq_error *err)
{
    if (!recall->failed && (recall->answer || !recall->mixes.count))
        return AQ_OK;
    if (recall->failed || !widen_rows(recall))
        return AQ_NO_MEMORY;
    recall->problem = (aq_learn_problem){ .slopes = recall->labels.at,
                                          .slope_count = recall->slopes.count,
                                          .tank_count = recall->tanks.count,
                                          .mixes = recall->mixes.at,
                                          .count = recall->mixes.count };
    return aq_learn_solve(&recall->answer, &recall->problem, recall->arena, err);
}

static bool poured_in(const aq_recall *recall, size_t slope, size_t tank, aq_date *last)
{
    bool found = false;

    for (size_t i = 0; i < recall->mixes.count; i++) {
        const aq_learn_mix *mix = &recall->mixes.at[i];

        if (!(mix->amounts[slope] > 0) || (tank < recall->tanks.count && mix->tank != tank))
            continue;
        *last = recall->moments.at[i].date;
        found = true;
    }
    return found;
}

static const double *remember_covariance(const aq_recall *recall, size_t slope, size_t tank)
{
    size_t slopes = recall->slopes.count, n = slopes + recall->tanks.count;
    const aq_learn_answer *answer = recall->answer;
    double *with = aq_arena_take_array(recall->arena, slopes, sizeof *with);

    for (size_t i = 0; with && i < slopes; i++)
        with[i] = tank < recall->tanks.count ? aq_learn_covariance(answer, &recall->problem, slope, i, tank)
                                             : answer->covariance[slope * n + i] /
                                                   (answer->slopes[slope].share * answer->slopes[i].share);
    return with;
}

/* In the tanks where it was poured, by their marks; and anywhere else, as if marks were right. */
static bool remember_slope(aq_recall *recall, size_t slope)
{
    for (size_t tank = 0; tank <= recall->tanks.count; tank++) {
        const aq_learn_estimate *alone = &recall->answer->slopes[slope];
        double share = alone->share, relative = alone->relative / alone->share;
        aq_learned_slope *learned;
        const double *with;
        aq_date last = { 0 };

        if (!poured_in(recall, slope, tank, &last))
            continue;
        if (tank < recall->tanks.count)
            aq_learn_in_tank(recall->answer, &recall->problem, slope, tank, &share, &relative);
        learned = aq_list_add(recall->arena, &recall->memory.slopes, sizeof *learned);
        if (!learned)
            return false;
        with = remember_covariance(recall, slope, tank);
        if (!with)
            return false;
        *learned =
            (aq_learned_slope){ .part = recall->slopes.at[slope].first,
                                .reservoir = tank < recall->tanks.count ? recall->tanks.at[tank].name : NULL,
                                .slope = share * recall->labels.at[slope].label,
                                .relative = relative,
                                .at = slope,
                                .with = with,
                                .mixes = alone->mixes,
                                .last = last };
    }
    return true;
}

aq_status aq_recall_memory(const aq_memory **out, aq_recall *recall, const char *source, aq_error *err)
{
    aq_status status = aq_recall_learn(recall, err);

    *out = NULL;
    recall->memory.source = source;
    if (!aq_recall_drinking(recall))
        return AQ_NO_MEMORY;
    recall->memory.slopes.count = 0;
    for (size_t i = 0; status == AQ_OK && recall->answer && i < recall->slopes.count; i++)
        if (!remember_slope(recall, i))
            status = AQ_NO_MEMORY;
    if (status == AQ_OK)
        *out = &recall->memory;
    return status;
}
