/* The shelf as it is counted: a bottle that is open and one that is not are one stock of their part.
 *
 * Example: 100 mL in one bottle of A and 300 mL in another make three mixes of 130 mL, the last from what is left of the
 * first two; each held against the whole need by itself would run short. */
#include "job/filling.h"
#include "job/rows.h"

#include <math.h>
#include <string.h>

static aq_supply *supply_named(aq_supplies *pooled, const char *part)
{
    for (size_t i = 0; i < pooled->count; i++)
        if (strcmp(pooled->at[i].part, part) == 0)
            return &pooled->at[i];
    return NULL;
}

static void take_unsaid(aq_quantity *into, aq_quantity from)
{
    if (!into->given)
        *into = from;
}

/* What is left of both, as the first is counted; false: by weight and by volume, and no density is given. */
static bool add_left(aq_supply *into, const aq_supply *more)
{
    double amount = more->left.value;

    if (!into->left.given || !more->left.given) {
        take_unsaid(&into->left, more->left);
        return true;
    }
    if (!aq_kind_equal(into->left.kind, more->left.kind)) {
        if (!into->density.given)
            return false;
        amount = aq_kind_equal(more->left.kind, AQ_KIND_MASS) ? amount / into->density.value
                                                              : amount * into->density.value;
    }
    into->left.value += amount;
    return true;
}

/* The bottle that is opened first is the first to spoil; what only one of them says holds for both. */
static bool pool(aq_supply *into, const aq_supply *more)
{
    take_unsaid(&into->density, more->density);
    if (!into->pack.given || !into->price.given) {
        if (more->pack.given)
            into->pack = more->pack;
        if (more->price.given)
            into->price = more->price;
    }
    take_unsaid(&into->lead, more->lead);
    if (more->opened.year && (!into->opened.year || aq_date_compare(more->opened, into->opened) < 0))
        into->opened = more->opened;
    take_unsaid(&into->keeps, more->keeps);
    return add_left(into, more);
}

static aq_status say_pooled(aq_filling *f, const aq_supplies *all, const aq_supplies *pooled)
{
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < pooled->count; i++) {
        const aq_supply *supply = &pooled->at[i];
        bool weighs = aq_kind_equal(supply->left.kind, AQ_KIND_MASS);
        size_t count = 0;

        for (size_t j = 0; j < all->count; j++)
            count += strcmp(all->at[j].part, supply->part) == 0;
        if (count > 1)
            status = aq_filling_take(
                f, "%s: %zu supplies are counted as one, %s in all", supply->part, count,
                aq_say(f->arena, supply->left.value * (weighs ? 1 : 1000), weighs ? "g" : "mL"));
    }
    return status;
}

aq_status aq_pool_shelf(aq_filling *f)
{
    const aq_supplies all = f->asked->supply;
    aq_supplies pooled = { 0 };

    for (size_t i = 0; i < all.count; i++) {
        aq_supply *same = supply_named(&pooled, all.at[i].part);

        if (same && !pool(same, &all.at[i]))
            return aq_filling_complain(
                f, AQ_MISSING, all.at[i].place,
                "supply %s is counted by weight and by volume: its density is needed, like 1.26 kg/L",
                same->part);
        if (same)
            continue;
        same = aq_list_add(f->arena, &pooled, sizeof *same);
        if (!same)
            return aq_filling_no_memory(f);
        *same = all.at[i];
    }
    if (pooled.count == all.count)
        return AQ_OK;
    f->asked->supply = pooled; /* the site's own shelf stays as it is */
    return say_pooled(f, &all, &pooled);
}
