/* What was learned, as a sheet: each slope and each tank with its tolerance, what the readings cannot tell apart, and the
 * entries that were not believed, with what each looks like. */
#include <math.h>
#include <string.h>

#include "job/recalling.h"
#include "solve/uncertainty.h"

typedef struct {
    aq_recall *recall;
    aq_sheet *sheet;
    aq_arena *arena;
} telling;

/* A dot would nest: "slope.Part A" is figures.slope["Part A"], so a dot in a name becomes a space. */
static const char *figure_name(const telling *t, const char *what, const char *name)
{
    char *text = aq_arena_format(t->arena, "%s.%s", what, name);

    for (char *at = text ? text + strlen(what) + 1 : NULL; at && *at; at++)
        if (*at == '.')
            *at = ' ';
    return text;
}

/* A group's share is 1 mL of each, so it is counted as a slope by mL/L; one written as rates is a whole. */
static const char *unit_of(const aq_recalled_slope *slope, double *per)
{
    bool shares = slope->group != NULL;

    *per = slope->weighs || shares ? 1 : 1000;
    if (shares && slope->group->rates)
        return "mS/cm";
    return slope->weighs ? "mS/cm per g/L" : "mS/cm per mL/L";
}

static const char *percent(const telling *t, double share)
{
    return aq_say(t->arena, share * 100, "%");
}

static const char *mixes(const telling *t, size_t count)
{
    return aq_arena_format(t->arena, count == 1 ? "%zu mix" : "%zu mixes", count);
}

static bool keep(telling *t, const char *label, const char *name, const char *figure, aq_amount amount,
                 double said, size_t mixes)
{
    aq_record *record = aq_records_add(t->arena, &t->sheet->learned, label, name);

    return record && aq_figures_amount(t->arena, &record->figures, figure, amount) &&
           (isnan(said) || aq_figures_add(t->arena, &record->figures, "label", said, amount.unit)) &&
           aq_figures_add(t->arena, &record->figures, "mixes", (double)mixes, "");
}

static bool tell_slope(telling *t, size_t at)
{
    const aq_recalled_slope *slope = &t->recall->slopes.at[at];
    const aq_learn_estimate *e = &t->recall->answer->slopes[at];
    double per, label = t->recall->labels.at[at].label;
    const char *unit = unit_of(slope, &per), *name = figure_name(t, "slope", slope->name);

    if (!name ||
        !aq_sheet_figure_within(t->sheet, name, e->share * label / per, unit,
                                2 * e->relative * label / per) ||
        !keep(t, "part", slope->name, "slope",
              aq_amount_within(e->share * label / per, unit, 2 * e->relative * label / per),
              slope->labelled ? label / per : NAN, e->mixes))
        return false;
    if (slope->labelled)
        return aq_sheet_why(t->sheet, "%s: %s of the label's %s, from %s", slope->name, percent(t, e->share),
                            aq_say(t->arena, label / per, unit), mixes(t, e->mixes));
    return aq_sheet_why(t->sheet, "%s: no label says its EC; from %s", slope->name, mixes(t, e->mixes));
}

static bool tell_tank(telling *t, size_t at)
{
    const aq_recalled_tank *tank = &t->recall->tanks.at[at];
    const aq_learn_estimate *e = &t->recall->answer->tanks[at];
    const char *name = figure_name(t, "volume", tank->name);

    return name &&
           aq_sheet_figure_within(t->sheet, name, e->share * tank->marked, "L",
                                  2 * e->relative * tank->marked) &&
           keep(t, "tank", tank->name, "volume",
                aq_amount_within(e->share * tank->marked, "L", 2 * e->relative * tank->marked), tank->marked,
                e->mixes) &&
           aq_sheet_why(t->sheet, "%s: %s of what its marks say, from %s", tank->name, percent(t, e->share),
                        mixes(t, e->mixes));
}

/* "uses.Trays" of all stages together, "uses.Trays in root-in" of one. */
static bool tell_drinking(telling *t, const aq_drinking *drinking)
{
    const char *name = drinking->stage
                           ? aq_arena_format(t->arena, "%s in %s", drinking->reservoir, drinking->stage)
                           : drinking->reservoir;
    const char *uses = name ? figure_name(t, "uses", name) : NULL,
               *uptake = name ? figure_name(t, "uptake", name) : NULL;

    return uses && uptake &&
           aq_sheet_figure_within(t->sheet, uses, drinking->uses.value, "L/d", drinking->uses_within) &&
           aq_sheet_figure_within(t->sheet, uptake, drinking->uptake.value, "mS/cm",
                                  drinking->uptake_within) &&
           aq_sheet_why(t->sheet, "%s: from %zu pairs of readings with nothing added between", name,
                        drinking->pairs);
}

/* ---- what it means for a sheet ---- */

/* For each part in each tank: the slope that jobs use there, and how the tolerance of 1 mS/cm added changes. */
static bool tell_use(telling *t)
{
    const aq_memory *memory = &t->recall->memory;
    aq_budget first = aq_budget_first();

    for (size_t i = 0; i < memory->slopes.count; i++) {
        const aq_learned_slope *s = &memory->slopes.at[i];
        aq_budget learned = aq_budget_learned(s->relative);

        if (!s->reservoir)
            continue;
        if (s->mixes < AQ_LEARNED_FROM) {
            if (!aq_sheet_assume(t->sheet, "%s in %s: sheets use what was learned from %d mixes on, now %zu",
                                 s->part, s->reservoir, AQ_LEARNED_FROM, s->mixes))
                return false;
            continue;
        }
        if (!aq_sheet_why(t->sheet, "sheets for %s use it: 1 mS/cm added is promised within %s, not %s",
                          s->reservoir, aq_say_ec(t->arena, aq_tolerance(&learned, 1)),
                          aq_say_ec(t->arena, aq_tolerance(&first, 1))))
            return false;
    }
    return true;
}

/* ---- what it does not know ---- */

static const char *name_of(const telling *t, size_t unknown)
{
    size_t slopes = t->recall->slopes.count;

    return unknown < slopes ? t->recall->slopes.at[unknown].name : t->recall->tanks.at[unknown - slopes].name;
}

static bool tell_blind(telling *t, const aq_learn_blind *blind)
{
    const char *text = name_of(t, blind->at[0]);

    for (size_t i = 1; text && i < blind->count; i++)
        text = aq_arena_format(t->arena, i + 1 < blind->count ? "%s, %s" : "%s and %s", text,
                               name_of(t, blind->at[i]));
    return text &&
           aq_sheet_unseen(t->sheet,
                           "%s could all be larger or smaller together: only labels and marks tie them down, "
                           "and no sheet depends on it",
                           text);
}

static bool tell_drift(telling *t, size_t at)
{
    const aq_learn_estimate *e = &t->recall->answer->slopes[at];

    if (e->drifted == 0)
        return true;
    return aq_sheet_caution(
        t->sheet,
        "The last three mixes with %s read %s %s than the rest: a new bottle? Then learn from its "
        "first day: --since",
        t->recall->slopes.at[at].name, percent(t, fabs(e->drifted)), e->drifted > 0 ? "more" : "less");
}

/* ---- entries that are not believed ---- */

/* What one slip would have made of the reading. */
static const char *slip_of(const aq_learn_mix *mix, double expected)
{
    double added = expected - mix->base;
    const struct {
        double reads;
        const char *says;
    } slips[] = {
        { expected * 7 / 5, "the meter was read on another ppm scale" },
        { expected * 5 / 7, "the meter was read on another ppm scale" },
        { expected * 10, "a decimal point slipped" },
        { expected / 10, "a decimal point slipped" },
        { mix->base + 2 * added, "everything was poured twice, or half the water was there" },
        { mix->base + added / 2, "a part was left out, or twice the water was there" },
        { mix->base, "nothing was poured yet, or it was not stirred" },
    };
    size_t best = 0;

    for (size_t i = 1; i < sizeof slips / sizeof *slips; i++)
        if (fabs(slips[i].reads - mix->reads) < fabs(slips[best].reads - mix->reads))
            best = i;
    return fabs(slips[best].reads - mix->reads) < 0.12 * added ? slips[best].says
                                                               : "no single slip explains it";
}

/* How far off it would still have been believed stands beside what was expected. */
static bool keep_entry(telling *t, size_t at, const char *day)
{
    const aq_recall *recall = t->recall;
    double expected = recall->answer->expected[at], reads = recall->mixes.at[at].reads;
    double within = aq_learn_distrust * (reads - expected) / recall->answer->distance[at];
    const char *name = aq_arena_format(t->arena, "entry %ld, %s", recall->ids.at[at], day);
    aq_record *record = name ? aq_records_add(t->arena, &t->sheet->learned, "entry", name) : NULL;

    return record && aq_figures_add(t->arena, &record->figures, "read", reads, "mS/cm") &&
           aq_figures_amount(t->arena, &record->figures, "expected",
                             aq_amount_within(expected, "mS/cm", within));
}

static bool tell_doubt(telling *t, size_t at)
{
    const aq_recall *recall = t->recall;
    const aq_learn_mix *mix = &recall->mixes.at[at];
    double expected = recall->answer->expected[at];
    char day[AQ_DATE_ROOM];
    const char *text;
    aq_record *record;

    aq_date_say(recall->moments.at[at].date, day);
    if (!keep_entry(t, at, day))
        return false;
    text = aq_arena_format(t->arena, "entry %ld of %s is not believed: %s", recall->ids.at[at], day,
                           slip_of(mix, expected));
    record = text ? aq_records_add(t->arena, &t->sheet->causes, "because", text) : NULL;
    return record && aq_figures_add(t->arena, &record->figures, "read", mix->reads, "mS/cm") &&
           aq_figures_add(t->arena, &record->figures, "expected", expected, "mS/cm");
}

/* The newest first: a slip of yesterday can still be looked into. */
static bool tell_doubts(telling *t)
{
    enum { MOST = 12 };
    const aq_recall *recall = t->recall;
    size_t told = 0, more = 0;

    for (size_t i = recall->mixes.count; i-- > 0;) {
        if (fabs(recall->answer->distance[i]) <= aq_learn_distrust)
            continue;
        if (told == MOST) {
            more++;
            continue;
        }
        if (!tell_doubt(t, i))
            return false;
        told++;
    }
    return more == 0 || aq_sheet_assume(t->sheet, "%zu older entries are not believed either", more);
}

/* ---- the sheet ---- */

static bool tell_nothing(telling *t)
{
    t->sheet->outcome = AQ_NEAREST;
    t->sheet->title = "nothing to learn from yet";
    return aq_sheet_next(
        t->sheet, "log a mix with its volume, what was poured, the EC of its water and the EC at the end");
}

static bool tell_title(telling *t)
{
    const aq_recall *recall = t->recall;
    char from[AQ_DATE_ROOM], to[AQ_DATE_ROOM];

    aq_date_write(recall->moments.at[0].date, from);
    aq_date_write(recall->moments.at[recall->moments.count - 1].date, to);
    t->sheet->title =
        aq_arena_format(t->arena, "learned from %s, %s to %s", mixes(t, recall->mixes.count), from, to);
    return t->sheet->title &&
           aq_sheet_assume(t->sheet,
                           "labels are good to 10 %%, marks of tanks to 5 %%, until readings say more");
}

static bool tell_all(telling *t)
{
    const aq_recall *recall = t->recall;
    bool told = tell_title(t);

    for (size_t i = 0; told && i < recall->slopes.count; i++)
        told = tell_slope(t, i) && tell_drift(t, i);
    for (size_t i = 0; told && i < recall->tanks.count; i++)
        told = tell_tank(t, i);
    told = told && tell_use(t);
    for (size_t i = 0; told && i < recall->answer->blind_count; i++)
        told = tell_blind(t, &recall->answer->blind[i]);
    return told && tell_doubts(t);
}

aq_status aq_recall_sheet(aq_sheet **out, aq_recall *recall, aq_error *err)
{
    telling t = { recall, aq_sheet_new(recall->arena, "learn"), recall->arena };
    const aq_memory *memory;
    aq_status status = t.sheet ? aq_recall_memory(&memory, recall, NULL, err) : AQ_NO_MEMORY;

    *out = NULL;
    if (status != AQ_OK)
        return status;
    if (!(recall->answer ? tell_all(&t) : tell_nothing(&t)))
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < memory->drinking.count; i++)
        if (!tell_drinking(&t, &memory->drinking.at[i]))
            return AQ_NO_MEMORY;
    if (recall->left_out && !aq_sheet_assume(t.sheet,
                                             "%s left out: no reading, no EC of the water, or parts out "
                                             "of their ratio",
                                             mixes(&t, recall->left_out)))
        return AQ_NO_MEMORY;
    *out = t.sheet;
    return AQ_OK;
}
