/* Parts and groups to columns. A group is one unknown; a part of it has no column of its own.
 *
 * Pouring order: silicate first, for it gels where calcium meets it; then acid; then parts that are dosed to an EC of
 * their own; then the label's order. Order of the first three: common practice, no source. */
#include "job/dose.h"

#include "chemistry/solubility.h"
#include "job/rows.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char unnamed[] = "concentrate";

typedef struct {
    const aq_asked *asked;
    aq_arena *arena;
    aq_dosing *out;
    aq_dose_use use;
    double volume;
    aq_error *err;
} building;

const char *aq_part_name(const aq_part *part)
{
    return part->name ? part->name : unnamed;
}

/* g of a part in a litre of it. */
static double density_of(const aq_part *part)
{
    return part->density.given ? part->density.value : NAN;
}

/* What the composition counts (g, or L with per_litre) in one unit of the dose (L, or g of a weighed part). */
static double composition_per_unit(const aq_part *part, bool weighs)
{
    if (!part->composition)
        return NAN;
    if (weighs)
        return part->per_litre ? 1 / density_of(part) : 1;
    return part->per_litre ? 1 : density_of(part);
}

double aq_part_slope(const aq_part *part, bool weighs)
{
    double per = part->ec.value;

    if (!part->ec.given)
        return NAN;
    if (part->ec.element[0])
        return part->composition
                   ? per * composition_per_unit(part, weighs) *
                         aq_composition_nutrient(part->composition, aq_nutrient_find(part->ec.element))
                   : NAN;
    if (part->ec.by_mass)
        return weighs ? per : per * density_of(part);
    return weighs ? per / density_of(part) : per;
}

double aq_dose_rate(const aq_dose *dose, aq_quantity amount, double volume)
{
    bool by_mass = aq_kind_equal(amount.kind, AQ_KIND_CONTENT) || aq_kind_equal(amount.kind, AQ_KIND_MASS);
    bool whole = aq_kind_equal(amount.kind, AQ_KIND_VOLUME) || aq_kind_equal(amount.kind, AQ_KIND_MASS);
    double rate = whole ? amount.value / volume : amount.value;

    if (by_mass == dose->weighs)
        return rate;
    return by_mass ? rate / density_of(dose->part) : rate * density_of(dose->part);
}

static aq_status ask_density(const aq_dose *dose, const char *what, aq_error *err)
{
    return aq_fail(err, AQ_MISSING, dose->part->place,
                   "part %s: %s is %s, and it is %s here: its density is needed, like 1.26 kg/L", dose->name,
                   what, dose->weighs ? "by volume" : "by mass", dose->weighs ? "weighed" : "poured");
}

/* The label's range, in the part's own unit. */
static aq_status take_rate(aq_dose *dose, aq_error *err)
{
    const aq_range *rate = &dose->part->rate;

    dose->low = 0;
    dose->top = INFINITY;
    if (!rate->high.given)
        return AQ_OK;
    dose->low = rate->low.given ? aq_dose_rate(dose, rate->low, 1) : 0;
    dose->top = aq_dose_rate(dose, rate->high, 1);
    return isnan(dose->top) || isnan(dose->low) ? ask_density(dose, "its rate", err) : AQ_OK;
}

static aq_status take_poured(aq_dose *dose, const building *b)
{
    const aq_amounts *poured = &b->asked->poured;

    for (size_t i = 0; i < poured->count; i++) {
        if (strcmp(poured->at[i].name, dose->name) != 0)
            continue;
        dose->already += aq_dose_rate(dose, poured->at[i].amount, b->volume);
        if (isnan(dose->already))
            return ask_density(dose, "what was poured", b->err);
    }
    return AQ_OK;
}

static aq_status add_dose(building *b, const aq_part *part, double amount, bool weighs)
{
    aq_dose *dose = &b->out->at[b->out->count++];
    aq_status status;

    *dose = (aq_dose){ .part = part,
                       .name = aq_part_name(part),
                       .column = b->out->column_count,
                       .weighs = weighs,
                       .amount = amount,
                       .slope = aq_part_slope(part, weighs),
                       .per_unit = composition_per_unit(part, weighs) };
    status = take_rate(dose, b->err);
    return status == AQ_OK ? take_poured(dose, b) : status;
}

/* A column's limits are those of its members, in its own unit: the lowest top, the highest bottom. */
static void limit_column(const aq_dosing *dosing, aq_mix_column *column, double *low, size_t from)
{
    column->top = INFINITY;
    for (size_t i = from; i < dosing->count; i++) {
        const aq_dose *dose = &dosing->at[i];

        *low = fmax(*low, dose->low / dose->amount);
        column->top = fmin(column->top, dose->top / dose->amount);
        column->already = fmax(column->already, dose->already / dose->amount);
    }
}

static double slope_of_members(const aq_dosing *dosing, size_t from)
{
    double sum = 0;

    for (size_t i = from; i < dosing->count; i++)
        sum += dosing->at[i].slope * dosing->at[i].amount;
    return sum;
}

/* 1 mL/L, 1 g/L, one share. */
static double usual_anchor(const aq_dose *dose)
{
    return (dose->weighs ? 1 : 0.001) / dose->amount;
}

/* The label's ratio is that of its tops. What says its EC but no rate is a feed too; what says neither, as a salt by its
 * formula, is poured for a target only. */
static double anchor_of(const aq_dosing *dosing, const aq_mix_column *column, size_t from)
{
    if (isfinite(column->top))
        return column->top;
    return isfinite(column->slope) ? usual_anchor(&dosing->at[from]) : 0;
}

static bool take_members(building *b, aq_mix_column *column, size_t from)
{
    aq_mix_member *members = aq_arena_take_array(b->arena, b->out->count - from, sizeof *members);

    column->members = members;
    column->member_count = b->out->count - from;
    for (size_t i = from; members && i < b->out->count; i++) {
        const aq_dose *dose = &b->out->at[i];
        double per_share = dose->per_unit * dose->amount;

        members[i - from] = isfinite(per_share) ? (aq_mix_member){ dose->part->composition, per_share }
                                                : (aq_mix_member){ NULL, dose->amount };
    }
    return members != NULL;
}

/* "A", "A and B", "A, B and C" */
static const char *name_column(const building *b, size_t from)
{
    const char *text = b->out->at[from].name;

    for (size_t i = from + 1; text && i < b->out->count; i++)
        text = aq_arena_format(b->arena, i + 1 < b->out->count ? "%s, %s" : "%s and %s", text,
                               b->out->at[i].name);
    return text;
}

/* Closes the column whose doses begin at `from`; `slope` is what the group says of itself, NaN: nothing. */
static aq_status close_column(building *b, size_t from, double slope)
{
    aq_mix_column *column = &b->out->columns[b->out->column_count];
    const aq_part *first = b->out->at[from].part;

    limit_column(b->out, column, &b->out->low[b->out->column_count], from);
    column->slope = isnan(slope) ? slope_of_members(b->out, from) : slope;
    column->to = first->to.given ? first->to.value : NAN;
    column->anchor = anchor_of(b->out, column, from);
    b->out->names[b->out->column_count] = name_column(b, from);
    if (!take_members(b, column, from) || !b->out->names[b->out->column_count])
        return AQ_NO_MEMORY;
    b->out->column_count++;
    return AQ_OK;
}

static aq_status add_group(building *b, const aq_together *group)
{
    size_t from = b->out->count;
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < group->parts.count; i++) {
        const aq_part *part = aq_part_named(&b->asked->part, group->parts.at[i].name);
        bool weighs = group->rates ? aq_kind_equal(group->parts.at[i].amount.kind, AQ_KIND_CONTENT)
                                   : aq_part_weighed(part, &b->asked->bench);

        status = add_dose(b, part, aq_together_amount(group, i, weighs), weighs);
    }
    return status == AQ_OK ? close_column(b, from, aq_together_ec(group)) : status;
}

static aq_status add_single(building *b, const aq_part *part)
{
    size_t from = b->out->count;
    aq_status status = add_dose(b, part, 1, aq_part_weighed(part, &b->asked->bench));

    return status == AQ_OK ? close_column(b, from, NAN) : status;
}

static bool used(const building *b, const aq_part *part)
{
    if (b->use == AQ_DOSE_ALL || b->use == AQ_DOSE_EVERY)
        return true;
    return b->use == AQ_DOSE_LEAVES ? part->use == AQ_USE_FOLIAR : part->use != AQ_USE_FOLIAR;
}

/* Where a part stands in pouring order, before the order of the label. */
static int rank_of(const aq_part *part)
{
    if ((part->of && strstr(part->of, "silicate")) ||
        (part->composition && part->composition->mass[AQ_SI] > 0))
        return 0;
    if (part->of && strstr(part->of, " acid"))
        return 1;
    return part->to.given ? 2 : 3;
}
enum { RANKS = 4 };

static bool grouped(const aq_togethers *groups, const char *name)
{
    for (size_t i = 0; name && i < groups->count; i++)
        if (aq_together_has(&groups->at[i], name))
            return true;
    return false;
}

/* The groups whose first part of the list this is. */
static aq_status add_groups_of(building *b, const aq_part *part)
{
    const aq_togethers *groups = &b->asked->together;
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < groups->count; i++)
        if (strcmp(groups->at[i].parts.at[0].name, part->name) == 0)
            status = add_group(b, &groups->at[i]);
    return status;
}

static aq_status add_rank(building *b, int rank)
{
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < b->asked->part.count; i++) {
        const aq_part *part = &b->asked->part.at[i];

        if (rank_of(part) != rank || !used(b, part))
            continue;
        status = grouped(&b->asked->together, part->name) ? add_groups_of(b, part) : add_single(b, part);
    }
    return status;
}

/* Where no column has anything to be anchored at, all pull alike. */
static void anchor_all(aq_dosing *dosing)
{
    for (size_t i = 0; i < dosing->column_count; i++)
        if (dosing->columns[i].anchor > 0)
            return;
    for (size_t i = 0; i < dosing->count; i++) {
        const aq_dose *dose = &dosing->at[i];

        dosing->columns[dose->column].anchor = usual_anchor(dose);
    }
}

bool aq_groups_meet(const aq_together *a, const aq_together *b)
{
    for (size_t i = 0; i < a->parts.count; i++)
        if (aq_together_has(b, a->parts.at[i].name))
            return true;
    return false;
}

static bool meets_another(const aq_togethers *groups, size_t which)
{
    for (size_t i = 0; i < groups->count; i++)
        if (i != which && aq_groups_meet(&groups->at[i], &groups->at[which]))
            return true;
    return false;
}

static aq_status ask_which_group(const aq_togethers *groups, aq_error *err)
{
    aq_question question = { .key = "together" };
    char names[200] = "";
    size_t length = 0, seen = 0;

    for (size_t i = 0; i < groups->count; i++) {
        const char *name = groups->at[i].name;

        if (!meets_another(groups, i))
            continue;
        if (!name)
            return aq_fail(err, AQ_CONFLICT, groups->at[i].place,
                           "together: this group shares a part with another: give each a name, and say "
                           "which one is dosed, together: NAME");
        if (length + strlen(name) + 4 < sizeof names)
            length +=
                (size_t)snprintf(names + length, sizeof names - length, "%s%s", seen ? " or " : "", name);
        if (seen < AQ_CHOICES_MOST) {
            question.choice[seen].word = name;
            question.choice[seen].means = "that group";
        }
        seen++;
    }
    aq_fail(err, AQ_AMBIGUOUS, (aq_place){ 0 },
            "together: these groups share a part, so one of them is dosed: %s? Say its name as together",
            names);
    question.count = seen < AQ_CHOICES_MOST ? seen : AQ_CHOICES_MOST;
    if (err)
        err->question = question;
    return AQ_AMBIGUOUS;
}

/* What was poured counts against a label's top, so a slip in its name must not pass. */
static aq_status check_poured(const building *b)
{
    const aq_amounts *poured = &b->asked->poured;

    for (size_t i = 0; i < poured->count; i++) {
        bool known = false;

        for (size_t j = 0; j < b->asked->part.count && !known; j++)
            known = strcmp(aq_part_name(&b->asked->part.at[j]), poured->at[i].name) == 0;
        if (!known)
            return aq_fail(b->err, AQ_UNKNOWN_NAME, poured->at[i].place, "poured: %s is none of the parts",
                           poured->at[i].name);
    }
    return AQ_OK;
}

aq_status aq_dosing_of(aq_dosing *out, aq_arena *arena, const aq_asked *asked, aq_dose_use use, double volume,
                       aq_error *err)
{
    building b = { asked, arena, out, use, volume, err };
    size_t room = asked->part.count + 1;
    aq_status status = AQ_OK;

    for (size_t i = 0; use != AQ_DOSE_EVERY && i < asked->together.count; i++)
        if (meets_another(&asked->together, i))
            return ask_which_group(&asked->together, err);
    for (size_t i = 0; i < asked->together.count; i++)
        room += asked->together.at[i].parts.count;
    *out = (aq_dosing){ 0 };
    out->columns = aq_arena_take_array(arena, room, sizeof *out->columns);
    out->low = aq_arena_take_array(arena, room, sizeof *out->low);
    out->names = aq_arena_take_array(arena, room, sizeof *out->names);
    out->at = aq_arena_take_array(arena, room, sizeof *out->at);
    if (!out->columns || !out->low || !out->names || !out->at)
        return AQ_NO_MEMORY;
    if (use != AQ_DOSE_EVERY)
        status = check_poured(&b);
    for (int rank = 0; status == AQ_OK && rank < RANKS; rank++)
        status = add_rank(&b, rank);
    if (status == AQ_OK)
        anchor_all(out);
    return status;
}

double aq_dose_counts(const aq_asked *asked, const aq_dose *dose)
{
    for (size_t i = 0; i < asked->together.count; i++)
        if (!asked->together.at[i].rates && aq_together_has(&asked->together.at[i], dose->name))
            return dose->amount;
    return dose->weighs ? 1 : 0.001;
}

double aq_dose_concentrate(const aq_dose *dose, double exact, const aq_bench *bench, double celsius)
{
    const aq_tool *scale = dose->weighs && dose->part->formula ? aq_bench_finest(bench, true) : NULL;
    aq_soluble salt;

    if (!scale || exact >= AQ_MARKS_LEAST * scale->marks ||
        !aq_solubility(&salt, dose->part->formula, celsius))
        return 0;
    return 0.8 * salt.per_litre; /* a fifth less: common practice, no source */
}
