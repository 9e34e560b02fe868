/* A foliar bottle or sprayer.
 *
 *     dose = bottle x rate          EC = e_w + k x rate, below the ceiling of these leaves
 *
 * Example: 250 mL at 0.25 mL/L is 0.0625 mL, three marks of a 1 mL syringe: 1 mL is made up to 10 mL first, and 0.62 mL
 * of that is drawn. A bottle whose volume is free moves to one that lands on marks instead. Leaves take less than roots:
 * a mist above its ceiling, or of a part that is for roots alone, is refused. */
#include "job/bottles.h"
#include "job/feed.h"
#include "job/rows.h"
#include "job/show.h"

#include <math.h>
#include <string.h>

#include "sheet/caution.h"
#include "solve/dilute.h"

/* mL/L, g/L, or % w/v, which is g in 100 mL. */
static aq_status read_rate(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    static const aq_field plain = { .key = "rate",
                                    .read = AQ_READ_RANGE,
                                    .want = AQ_WANT_RATE | AQ_WANT_CONTENT,
                                    .bounded = true,
                                    .above = true,
                                    .least = 0,
                                    .most = AQ_CONTENT_MOST,
                                    .example = "0.8 mL/L" };
    static const aq_field percent = { .key = "rate", .read = AQ_READ_STRENGTH, .example = "0.5 %w/v" };
    aq_range *rate = into;
    aq_strength strength = { 0 };
    aq_status status;

    (void)field;
    if (node->shape != AQ_NODE_SCALAR || !strchr(node->text, '%'))
        return aq_field_read(walk, &plain, node, rate);
    status = aq_field_read(walk, &percent, node, &strength);
    if (status != AQ_OK)
        return status;
    if (strength.basis == AQ_BASIS_WW)
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place,
                            "rate: a spray is measured by its volume: say %%w/v, %%v/v, mL/L or g/L");
    rate->low =
        aq_quantity_of(strength.value, strength.basis == AQ_BASIS_WV ? AQ_KIND_CONTENT : AQ_KIND_RATE);
    rate->low.given = true;
    rate->high = rate->low;
    return AQ_OK;
}

static const aq_field mist_rows[] = {
    { .key = "bottle",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = AQ_INTO(bottle),
      .help = "finished volume, or a range in which it may move to land on marks",
      .example = "500 mL" },
    { .key = "rate",
      .read = AQ_READ_CUSTOM,
      .custom = read_rate,
      .into = AQ_INTO(rate),
      .help = "of each part; of a group, that of its first part",
      .example = "0.8 mL/L" },
    AQ_ROW_PART,
    AQ_ROW_TOGETHER,
    { .key = "of",
      .read = AQ_READ_TEXT,
      .most = AQ_NAME_BYTES,
      .into = AQ_INTO(of),
      .help = "the substance, which brings its hazards",
      .example = "urea" },
    AQ_ROW_WATER_EC,
    AQ_ROW_WATER,
    { .key = "mist-ec",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = AQ_INTO(mist_ec),
      .help = "ceiling for these leaves: a mist above it is refused",
      .example = "0-0.8 mS/cm" },
    { .key = "sprayers",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 1,
      .most = 1000,
      .into = AQ_INTO(sprayers),
      .help = "so many bottles",
      .example = "3" },
    AQ_ROW_EC,
    AQ_ROW_RECIPE,
    AQ_ROW_STAGE,
    AQ_ROW_SUPPLY,
    AQ_ROWS_OF_EVERY_JOB,
};
static const aq_shape mist_asks = {
    .noun = "mist", .fields = mist_rows, .count = AQ_ROWS_COUNT(mist_rows), .size = sizeof(aq_asked)
};

typedef struct {
    aq_feed feed;
    aq_asked asked; /* the line's, with the parts that are sprayed */
    aq_sheet *sheet;
    aq_arena *arena;
    aq_error *err;
    double bottle; /* L, of one */
    long sprayers;
} misting;

/* ---- what is sprayed ---- */

static bool named(const aq_amounts *amounts, const char *name)
{
    for (size_t i = 0; i < amounts->count; i++)
        if (strcmp(amounts->at[i].name, name) == 0)
            return true;
    return false;
}

static bool any_for_leaves(const aq_parts *parts)
{
    for (size_t i = 0; i < parts->count; i++)
        if (parts->at[i].use == AQ_USE_FOLIAR)
            return true;
    return false;
}

static bool in_line(const misting *m, const aq_part *part)
{
    const aq_recipe *recipe = m->asked.recipe;

    return !recipe || !part->name || !aq_part_named(&recipe->parts, part->name);
}

/* The stage's mist says which parts; else those of the line; else those of the recipe that are for leaves. */
static bool sprayed(const misting *m, const aq_part *part, bool leaves)
{
    if (m->asked.stage.mist.count && !m->asked.rate.low.given)
        return part->name && named(&m->asked.stage.mist, part->name);
    return in_line(m, part) || !leaves || part->use == AQ_USE_FOLIAR;
}

static bool keep_parts(misting *m, const aq_parts *parts)
{
    bool leaves = any_for_leaves(parts);

    for (size_t i = 0; i < parts->count; i++) {
        aq_part *place;

        if (!sprayed(m, &parts->at[i], leaves))
            continue;
        place = aq_list_add(m->arena, &m->asked.part, sizeof *place);
        if (!place)
            return false;
        *place = parts->at[i];
    }
    return true;
}

static bool keep_groups(misting *m, const aq_togethers *groups)
{
    for (size_t i = 0; i < groups->count; i++) {
        aq_together *place;

        if (!aq_part_named(&m->asked.part, groups->at[i].parts.at[0].name))
            continue;
        place = aq_list_add(m->arena, &m->asked.together, sizeof *place);
        if (!place)
            return false;
        *place = groups->at[i];
    }
    return true;
}

/* Keeps the parts that are sprayed, and the groups all of whose members are. */
static bool choose_parts(misting *m, const aq_asked *asked)
{
    m->asked = *asked;
    memset(&m->asked.part, 0, sizeof m->asked.part);
    memset(&m->asked.together, 0, sizeof m->asked.together);
    if (!keep_parts(m, &asked->part) || !keep_groups(m, &asked->together))
        return false;
    if (!asked->part.count) { /* what comes from a bottle without a name */
        aq_part *place = aq_list_add(m->arena, &m->asked.part, sizeof *place);

        if (!place)
            return false;
        place->of = asked->of;
        place->name = asked->of;
        place->rate = (aq_range){ 0 };
        if (aq_kind_equal(asked->rate.low.kind, AQ_KIND_CONTENT)) /* asked for by mass, so weighed */
            place->analysis = (aq_analysis){ .given = true, .basis = AQ_BASIS_WW };
    }
    return true;
}

/* ---- how much of it ---- */

static aq_status take_rate(misting *m)
{
    const aq_quantity rate = m->asked.rate.low;

    m->feed.fixed = aq_arena_take_array(m->arena, m->feed.dosing.column_count + 1, sizeof *m->feed.fixed);
    m->feed.problem.fixed = m->feed.fixed;
    if (!m->feed.fixed)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < m->feed.dosing.count; i++) {
        const aq_dose *dose = &m->feed.dosing.at[i];
        double x = aq_dose_rate(dose, rate, 1) / dose->amount;

        if (isnan(x))
            return aq_fail(m->err, AQ_MISSING, dose->part->place,
                           "rate: %s is %s, so its density is needed, like 1.26 kg/L", dose->name,
                           dose->weighs ? "weighed" : "poured");
        if (i == 0 || m->feed.dosing.at[i - 1].column != dose->column)
            aq_feed_fix(&m->feed, dose->column, x);
    }
    return AQ_OK;
}

static aq_status take_aim(misting *m)
{
    if (m->asked.rate.low.given && m->asked.aim.ec.given)
        return aq_fail(m->err, AQ_CONFLICT, (aq_place){ 0 },
                       "rate and ec both say how much: give one of them");
    if (m->asked.rate.low.given)
        return take_rate(m);
    if (m->asked.aim.ec.given) {
        m->feed.problem.ec = m->asked.aim.ec.value;
        return AQ_OK;
    }
    if (m->asked.stage.mist.count)
        return aq_feed_aim_rates(&m->feed, &m->asked.stage.mist, m->err);
    return aq_feed_aim_bottom(&m->feed, m->err);
}

/* mL/L or g/L of a dose, as the rounding of a free bottle wants it. */
static double per_litre(const misting *m, size_t which)
{
    const aq_dose *dose = &m->feed.dosing.at[which];

    return m->feed.exact->x[dose->column] * dose->amount;
}

/* A free volume moves to where the amounts land on marks. */
static aq_status settle_bottle(misting *m)
{
    double low = m->asked.bottle.low.value, high = m->asked.bottle.high.value;
    aq_marked *marked = aq_arena_take_array(m->arena, m->feed.dosing.count + 1, sizeof *marked);

    if (!(low < high))
        return AQ_OK;
    if (!marked)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < m->feed.dosing.count; i++) {
        double amount = per_litre(m, i) * (low + high) / 2;
        const aq_tool *tool = aq_bench_choose(&m->asked.bench, amount, m->feed.dosing.at[i].weighs);

        marked[i] = (aq_marked){ per_litre(m, i), tool ? tool->marks : 0 };
    }
    m->bottle = aq_make_on_marks(low, high, 0, marked, m->feed.dosing.count);
    return AQ_OK;
}

static aq_status begin(misting *m)
{
    aq_feed_tank tank = {
        .volume = m->bottle, .heel_ec = NAN, .use = AQ_DOSE_ALL, .tanks = (double)m->sprayers
    };
    aq_status status = aq_feed_begin(&m->feed, m->arena, &m->asked, &tank, m->err);

    return status == AQ_OK ? take_aim(m) : status;
}

/* ---- refusals ---- */

static const aq_dose *for_roots(const misting *m)
{
    for (size_t i = 0; i < m->feed.dosing.count; i++)
        if (m->feed.dosing.at[i].part->use == AQ_USE_ROOT && !m->feed.problem.over_label)
            return &m->feed.dosing.at[i];
    return NULL;
}

static bool refuse_roots(misting *m, const aq_dose *dose)
{
    m->sheet->outcome = AQ_REFUSED;
    return aq_sheet_short(m->sheet, dose->name, (aq_amount){ 0 },
                          "its label is for roots and gives no rate for leaves") &&
           aq_sheet_caution(m->sheet, "use a part whose label has a foliar rate");
}

static bool refuse_unseen(misting *m)
{
    m->sheet->outcome = AQ_REFUSED;
    return aq_sheet_short(m->sheet, "ec",
                          m->asked.aim.ec.given ? aq_amount_of(m->asked.aim.ec.value, "mS/cm")
                                                : (aq_amount){ 0 },
                          "nothing in the bottle carries EC, so no dose of it can be found by a meter") &&
           aq_sheet_caution(m->sheet, "say a rate, like 5 g/L");
}

/* What the mist reads; where the water's EC is not known, what it reads at least. */
static double least_ec(const misting *m)
{
    return isfinite(m->feed.poured->ec) ? m->feed.poured->ec : aq_feed_adds(&m->feed);
}

/* A mist above the ceiling, and the largest share of it that would pass. */
static bool refuse_ceiling(misting *m)
{
    double ceiling = m->asked.mist_ec.high.value, ec = least_ec(m);
    double share = (ceiling - (ec - aq_feed_adds(&m->feed))) / aq_feed_adds(&m->feed);

    m->sheet->outcome = AQ_REFUSED;
    if (!aq_sheet_short(m->sheet, "ec", aq_amount_of(ec - ceiling, "mS/cm"),
                        "it would read %s, and these leaves take %s", aq_say_ec(m->arena, ec),
                        aq_say_ec(m->arena, ceiling)))
        return false;
    if (!(share > 0))
        return aq_sheet_caution(m->sheet, "the water alone is above it: take softer water");
    return aq_sheet_caution(m->sheet, "%s of that dose would read %s",
                            aq_say(m->arena, floor(share * 100 + 1e-9), "%"), aq_say_ec(m->arena, ceiling));
}

/* ---- the sheet ---- */

static bool add_title(misting *m)
{
    const char *text = aq_show_volume(m->arena, &m->asked, m->bottle);

    if (text && m->sprayers > 1)
        text = aq_arena_format(m->arena, "%ld bottles of %s", m->sprayers, text);
    else if (text)
        text = aq_arena_format(m->arena, "%s, %s", m->asked.mister ? m->asked.mister->name : "a mist bottle",
                               text);
    m->sheet->title = text;
    m->sheet->volume = aq_amount_volume(m->bottle * (double)m->sprayers, false);
    if (m->asked.stage.name)
        m->sheet->aim = m->asked.stage.name;
    m->sheet->water = aq_source_say(&m->feed.source, m->arena);
    return text != NULL;
}

static aq_status add_rows(misting *m)
{
    aq_status status = aq_feed_pour_rows(m->sheet, &m->feed, m->err);
    aq_row *row;

    if (status != AQ_OK)
        return status;
    if (!aq_bottles_share(m->sheet, &m->feed))
        return AQ_NO_MEMORY;
    row = aq_sheet_row(m->sheet, AQ_DO_TOP);
    if (!row)
        return AQ_NO_MEMORY;
    row->amount = aq_amount_volume(m->bottle, false);
    row->water = m->feed.source.count == 1 ? m->feed.source.at[0].name : NULL;
    if (m->sprayers > 1)
        row->note = "each bottle";
    if (isfinite(m->feed.poured->ec)) {
        row = aq_sheet_row(m->sheet, AQ_DO_READ);
        if (!row)
            return AQ_NO_MEMORY;
        row->expect = aq_feed_reading(&m->feed, m->feed.poured->ec);
    }
    return aq_feed_discard_row(m->sheet, &m->feed) ? AQ_OK : AQ_NO_MEMORY;
}

static bool add_why(misting *m)
{
    for (size_t i = 0; i < m->feed.dosing.count; i++) {
        const aq_dose *dose = &m->feed.dosing.at[i];
        double rate = per_litre(m, i);
        aq_amount whole = aq_dose_amount(dose, m->feed.portions[i].exact, false);

        if (!aq_sheet_why(m->sheet, "%s: %s x %s = %s%s", dose->name,
                          aq_say(m->arena, dose->weighs ? rate : rate * 1000, dose->weighs ? "g/L" : "mL/L"),
                          aq_say(m->arena, m->feed.problem.volume, "L"),
                          aq_say(m->arena, whole.value, whole.unit), m->sprayers > 1 ? " in each" : ""))
            return false;
    }
    return true;
}

static bool add_words(misting *m)
{
    double added = aq_feed_adds(&m->feed);

    if (isfinite(added) && !aq_sheet_figure(m->sheet, "ec_added", added, "mS/cm"))
        return false;
    if (m->asked.bottle.low.value < m->asked.bottle.high.value &&
        !aq_sheet_assume(m->sheet, "the bottle may hold %s to %s: %s lands on marks",
                         aq_say(m->arena, m->asked.bottle.low.value * 1000, "mL"),
                         aq_say(m->arena, m->asked.bottle.high.value * 1000, "mL"),
                         aq_say(m->arena, m->bottle * 1000, "mL")))
        return false;
    if (!aq_say_no_tools(m->sheet, &m->asked))
        return false;
    return aq_sheet_caution(m->sheet, "mist early, so that leaves are dry by dark; not in full sun") &&
           add_why(m);
}

static aq_status fill_sheet(misting *m)
{
    aq_status status;

    if (m->feed.held_back || m->feed.exact->capped)
        m->sheet->outcome = AQ_CAPPED;
    else if (!m->feed.exact->met)
        m->sheet->outcome = AQ_NEAREST;
    if (m->feed.held_back &&
        !aq_sheet_short(m->sheet, "rate", (aq_amount){ 0 }, "the label's foliar maximum holds it back"))
        return AQ_NO_MEMORY;
    if (m->asked.aim.ec.given && fabs(m->feed.exact->ec_short) > 1e-6 && !aq_feed_shorts(m->sheet, &m->feed))
        return AQ_NO_MEMORY;
    if (m->asked.mist_ec.high.given && least_ec(m) > m->asked.mist_ec.high.value + 1e-9)
        return refuse_ceiling(m) ? AQ_OK : AQ_NO_MEMORY;
    if (m->asked.mist_ec.high.given && isnan(m->feed.poured->ec) &&
        !aq_sheet_caution(
            m->sheet, "the ceiling of %s for these leaves is not checked: say what the water reads, water-ec",
            aq_say_ec(m->arena, m->asked.mist_ec.high.value)))
        return AQ_NO_MEMORY;
    status = add_rows(m);
    if (status == AQ_OK)
        status = aq_feed_expect(m->sheet, &m->feed, m->err);
    if (status == AQ_OK)
        status = aq_feed_figures(m->sheet, &m->feed, m->err);
    return status == AQ_OK && !add_words(m) ? AQ_NO_MEMORY : status;
}

/* The doses are worked out per litre first, for the bottle may move; then for the bottle. */
static aq_status work_out(misting *m)
{
    aq_status status = aq_feed_solve(&m->feed, m->err);
    double before = m->bottle;

    if (status == AQ_OK)
        status = settle_bottle(m);
    if (status != AQ_OK || m->bottle == before)
        return status;
    status = begin(m);
    return status == AQ_OK ? aq_feed_solve(&m->feed, m->err) : status;
}

static aq_status mist_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    misting m = { .arena = arena, .err = err, .sprayers = asked->sprayers > 0 ? asked->sprayers : 1 };
    const aq_dose *roots;
    aq_status status;

    if (!asked->bottle.low.given)
        return aq_ask_for(err, "bottle", "how much is in the bottle when finished? Like 500 mL");
    m.bottle = (asked->bottle.low.value + asked->bottle.high.value) / 2;
    m.sheet = aq_sheet_new(arena, "mist");
    if (!m.sheet || !choose_parts(&m, asked))
        return AQ_NO_MEMORY;
    status = begin(&m);
    if (status != AQ_OK)
        return status;
    *out = m.sheet;
    if (!add_title(&m))
        return AQ_NO_MEMORY;
    roots = for_roots(&m);
    if (roots)
        return refuse_roots(&m, roots) ? AQ_OK : AQ_NO_MEMORY;
    if (asked->aim.ec.given && !aq_feed_carries_ec(&m.feed))
        return refuse_unseen(&m) ? AQ_OK : AQ_NO_MEMORY;
    status = work_out(&m);
    if (status == AQ_OK && !add_title(&m))
        status = AQ_NO_MEMORY;
    return status == AQ_OK ? fill_sheet(&m) : status;
}

const aq_job aq_job_mist = {
    .name = "mist",
    .does = "a foliar bottle or sprayer, below its ceilings",
    .asks = &mist_asks,
    .run = mist_run,
    .example = "aliquot mist --bottle 250mL --rate 0.25mL/L --bench '{name: 1 mL syringe, holds: 1 mL, "
               "marks: 0.02 mL}'",
};
