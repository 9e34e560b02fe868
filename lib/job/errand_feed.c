/* Which of the line's groups and waters a tank of a plan takes: a line says them for all of its tanks. */
#include "job/errand_inner.h"

#include "job/rows.h"

#include <string.h>

/* ---- names ---- */

bool aq_errand_name(aq_arena *arena, aq_texts *names, const char *name)
{
    const char **place = name ? aq_list_add(arena, names, sizeof *place) : NULL;

    if (place)
        *place = name;
    return !name || place;
}

aq_status aq_errand_unknown(aq_arena *arena, aq_place place, const char *where, const char *noun,
                            const char *name, const aq_texts *known, aq_error *err)
{
    const char **words = aq_arena_take_array(arena, known->count + 1, sizeof *words), *near;

    if (!words)
        return AQ_NO_MEMORY;
    if (known->count)
        memcpy(words, known->at, known->count * sizeof *words);
    near = aq_nearest(name, words);
    return aq_fail(err, AQ_UNKNOWN_NAME, place, "%sno %s is called %s%s%s%s", where, noun, name,
                   near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
}

/* ---- groups ---- */

/* A tank that is fed with one group of the line keeps that group, its members, and the parts of no group. */
static aq_status keep_group(aq_errands *errands, aq_asked *asked, const char *name)
{
    aq_togethers all = asked->together;
    aq_parts parts = asked->part;

    if (!name || !all.count)
        return AQ_OK;
    memset(&asked->together, 0, sizeof asked->together);
    memset(&asked->part, 0, sizeof asked->part);
    for (size_t i = 0; i < all.count; i++) {
        aq_together *kept;

        if (!all.at[i].name || strcmp(all.at[i].name, name) != 0)
            continue;
        kept = aq_list_add(errands->arena, &asked->together, sizeof *kept);
        if (!kept)
            return AQ_NO_MEMORY;
        *kept = all.at[i];
    }
    for (size_t i = 0; i < parts.count; i++) {
        bool grouped = false, wanted = false;
        aq_part *kept;

        for (size_t j = 0; parts.at[i].name && j < all.count; j++)
            if (aq_together_has(&all.at[j], parts.at[i].name)) {
                grouped = true;
                wanted = wanted || (all.at[j].name && strcmp(all.at[j].name, name) == 0);
            }
        if (grouped && !wanted)
            continue;
        kept = aq_list_add(errands->arena, &asked->part, sizeof *kept);
        if (!kept)
            return AQ_NO_MEMORY;
        *kept = parts.at[i];
    }
    return AQ_OK;
}

/* In a tank of the line. */
static aq_status unknown(aq_errands *errands, const aq_reservoir *tank, const char *key, const char *noun,
                         const char *name, const aq_texts *known, aq_error *err)
{
    const char *where = aq_arena_format(errands->arena, "%s: %s: ", tank->name, key);

    return where ? aq_errand_unknown(errands->arena, tank->place, where, noun, name, known, err)
                 : AQ_NO_MEMORY;
}

/* A group that the line has not may be its recipe's. */
static aq_status take_group(aq_errands *errands, aq_asked *asked, const aq_reservoir *tank, aq_error *err)
{
    const aq_togethers all = asked->together;
    bool fed = asked->recipe_name || tank->recipe || errands->site.recipes.count;
    aq_texts names = { 0 };
    aq_status status = keep_group(errands, asked, tank->together);

    if (status != AQ_OK || !tank->together || !all.count || asked->together.count || fed)
        return status;
    for (size_t i = 0; i < all.count; i++)
        if (!aq_errand_name(errands->arena, &names, all.at[i].name))
            return AQ_NO_MEMORY;
    return unknown(errands, tank, "together", "group", tank->together, &names, err);
}

/* ---- waters ---- */

static aq_status ask_which_water(const aq_reservoir *tank, const aq_waters *waters, aq_error *err)
{
    for (size_t i = 0; i < waters->count; i++)
        if (waters->at[i].share.given || !waters->at[i].name)
            return AQ_OK; /* they are blended, or asked about by their shares */
    return aq_fail(
        err, AQ_MISSING, tank->place,
        "%s: which water fills it? Say water: %s in the tank, or a share in each water, like 50 %%",
        tank->name, waters->at[0].name);
}

/* Several waters are blended by their shares, but for a tank that names one of them. */
static aq_status take_water(aq_errands *errands, aq_asked *asked, const aq_reservoir *tank, aq_error *err)
{
    const aq_waters all = asked->water;
    aq_texts names = { 0 };
    aq_water *kept;

    if (all.count < 2)
        return AQ_OK;
    if (!tank->water)
        return ask_which_water(tank, &all, err);
    for (size_t i = 0; i < all.count; i++) {
        if (!aq_errand_name(errands->arena, &names, all.at[i].name))
            return AQ_NO_MEMORY;
        if (!all.at[i].name || strcmp(all.at[i].name, tank->water) != 0)
            continue;
        memset(&asked->water, 0, sizeof asked->water);
        kept = aq_list_add(errands->arena, &asked->water, sizeof *kept);
        if (!kept)
            return AQ_NO_MEMORY;
        *kept = all.at[i];
        memset(&kept->share, 0, sizeof kept->share);
        return AQ_OK;
    }
    if (aq_site_water(&errands->site, tank->water)) {
        memset(&asked->water, 0, sizeof asked->water);
        return AQ_OK;
    }
    return unknown(errands, tank, "water", "water", tank->water, &names, err);
}

aq_status aq_errand_feed(aq_errands *errands, aq_asked *asked, const aq_reservoir *tank, aq_error *err)
{
    aq_status status = take_group(errands, asked, tank, err);

    return status == AQ_OK ? take_water(errands, asked, tank, err) : status;
}
