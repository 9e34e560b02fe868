/* Several waters in one tank mix by their shares: salts, alkalinity and hardness are conserved, so each is the mean
 * weighted by share (FAO Irrigation and Drainage Paper 29, on blending). Half of 0.72 and half of 0.03 is 0.375 mS/cm. */
#include "job/source.h"

#include <math.h>
#include <string.h>

#include "chemistry/conductivity.h"

static const double carbonate_per_eq = 50043.5; /* mg CaCO3 in 1 eq: half of 100.087 g/mol, CIAAW 2021 */
static const double share_slack = 1e-6;
static const double usual_ph = 7.5; /* of tap water; common practice, no source. EC hardly depends on it */

double aq_as_carbonate(double equivalents)
{
    return equivalents * carbonate_per_eq;
}

const char *aq_source_name(const aq_source *source, size_t which)
{
    return which < source->count && source->at[which].name ? source->at[which].name : "water";
}

aq_status aq_source_analysis(aq_composition *out, const aq_amounts *analysis, aq_arena *arena, aq_error *err)
{
    aq_content *contents = aq_arena_take_array(arena, analysis->count, sizeof *contents);

    if (!contents)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < analysis->count; i++)
        contents[i] = (aq_content){ .name = analysis->at[i].name,
                                    .amount = analysis->at[i].amount.value,
                                    .molar = aq_kind_equal(analysis->at[i].amount.kind, AQ_KIND_MOLARITY),
                                    .charged = aq_kind_equal(analysis->at[i].amount.kind, AQ_KIND_HARDNESS),
                                    .place = analysis->at[i].place };
    return aq_composition_of_analysis(out, contents, analysis->count, AQ_AS_ELEMENT, err);
}

static bool all_give(const aq_waters *waters)
{
    for (size_t i = 0; i < waters->count; i++)
        if (!waters->at[i].share.given)
            return false;
    return true;
}

/* One water is all of it; of two with one share, the other is the rest. */
static aq_status take_shares(double *share, const aq_waters *waters, aq_error *err)
{
    double sum = 0;
    size_t silent = 0, last = 0;

    for (size_t i = 0; i < waters->count; i++) {
        share[i] = waters->at[i].share.given ? waters->at[i].share.value : 0;
        sum += share[i];
        if (!waters->at[i].share.given) {
            silent++;
            last = i;
        }
    }
    if (silent > 1)
        return aq_fail(err, AQ_MISSING, waters->at[last].place,
                       "water: how much of each? Say a share in each of them, like 50 %%");
    if (silent == 1 && sum < 1) {
        share[last] = 1 - sum;
        return AQ_OK;
    }
    if (all_give(waters) && fabs(sum - 1) <= share_slack)
        return AQ_OK;
    return aq_fail(err, AQ_CONFLICT, waters->at[0].place, "water: the shares do not add up to 100 %%");
}

/* The mean of one property; NaN where one of the waters does not say it. */
static double mean(const aq_source *source, double (*property)(const aq_water *))
{
    double sum = 0;

    for (size_t i = 0; i < source->count; i++)
        if (source->share[i] > 0)
            sum += source->share[i] * property(&source->at[i]);
    return source->count ? sum : NAN;
}

static bool reports_carbonate(const aq_water *water)
{
    for (size_t i = 0; i < water->analysis.count; i++)
        if (strcmp(water->analysis.at[i].name, "HCO3") == 0 || strcmp(water->analysis.at[i].name, "CO3") == 0)
            return true;
    return false;
}

/* A report that leaves carbonates out has no alkalinity, not one of 0. */
double aq_water_alkalinity(const aq_water *water)
{
    if (water->alkalinity.given)
        return water->alkalinity.value;
    return water->composition && reports_carbonate(water)
               ? water->composition->ion[AQ_ION_CARBONATE] - water->composition->ion[AQ_ION_ACID]
               : NAN;
}

double aq_water_hardness(const aq_water *water)
{
    if (water->hardness.given)
        return water->hardness.value;
    return water->composition ? aq_composition_hardness(water->composition) : NAN;
}

/* A water known only by its analysis: what the report leaves out is taken for hydrogen carbonate, which is nearly always
 * what it is. */
double aq_water_ec(const aq_water *water)
{
    aq_composition whole;
    aq_solution solution = { .temperature = 25, .mode = AQ_PH_GIVEN };

    if (water->ec.given || !water->composition)
        return water->ec.given ? water->ec.value : NAN;
    whole = *water->composition;
    aq_composition_close(&whole);
    memcpy(solution.total, whole.ion, sizeof solution.total);
    solution.ph = water->ph.given ? water->ph.value : usual_ph;
    return aq_ec_of(&solution);
}

static const aq_composition *blend(const aq_source *source, aq_arena *arena)
{
    aq_composition *sum;

    for (size_t i = 0; i < source->count; i++)
        if (!source->at[i].composition)
            return NULL;
    sum = source->count ? aq_arena_take(arena, sizeof *sum) : NULL;
    for (size_t i = 0; sum && i < source->count; i++)
        aq_composition_add(sum, source->at[i].composition, source->share[i]);
    return sum;
}

aq_status aq_source_of(aq_source *out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    const aq_waters *waters = &asked->water;
    double *share = aq_arena_take_array(arena, waters->count + 1, sizeof *share);
    aq_status status = AQ_OK;

    *out = (aq_source){ .ec = NAN, .alkalinity = NAN, .hardness = NAN };
    if (!share)
        return AQ_NO_MEMORY;
    if (waters->count == 1)
        share[0] = 1;
    else if (waters->count)
        status = take_shares(share, waters, err);
    if (status != AQ_OK)
        return status;
    out->count = waters->count;
    out->at = waters->at;
    out->share = share;
    out->ec = mean(out, aq_water_ec);
    for (size_t i = 0; i < waters->count; i++)
        out->ec_worked_out = out->ec_worked_out || (!waters->at[i].ec.given && waters->at[i].composition);
    out->alkalinity = mean(out, aq_water_alkalinity);
    out->hardness = mean(out, aq_water_hardness);
    out->holds = blend(out, arena);
    return AQ_OK;
}

static const char *join(aq_arena *arena, const char *text, const char *more)
{
    return text && more ? aq_arena_format(arena, "%s, %s", text, more) : more;
}

static const char *say_names(const aq_source *source, aq_arena *arena)
{
    const char *text = aq_source_name(source, 0);

    for (size_t i = 0; source->count > 1 && text && i < source->count; i++) {
        const char *share = aq_say(arena, source->share[i] * 100, "%");

        text = !share ? NULL
               : i    ? aq_arena_format(arena, "%s and %s %s", text, share, aq_source_name(source, i))
                      : aq_arena_format(arena, "%s %s", share, text);
    }
    return text;
}

const char *aq_source_say(const aq_source *source, aq_arena *arena)
{
    const struct {
        const char *word;
        double value;
    } carbonates[] = { { "alkalinity", source->alkalinity }, { "hardness", source->hardness } };
    bool named = source->count > 1 || (source->count == 1 && source->at[0].name);
    const char *text = named ? say_names(source, arena) : NULL;

    if (isfinite(source->ec))
        text = join(arena, text, aq_arena_format(arena, "EC %s", aq_say_ec(arena, source->ec)));
    for (size_t i = 0; i < sizeof carbonates / sizeof *carbonates; i++)
        if (isfinite(carbonates[i].value))
            text = join(arena, text,
                        aq_arena_format(arena, "%s %s", carbonates[i].word,
                                        aq_say(arena, aq_as_carbonate(carbonates[i].value), "mg/L CaCO3")));
    return text;
}
