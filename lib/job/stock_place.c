/* Which part of a feed goes into which stock tank.
 *
 * What a part says of its tank holds. The others are placed by a search for the fewest tanks in which nothing clashes and,
 * where the coldest night is known, nothing that would dissolve alone falls out for the ions of another. A salt that is
 * too strong by itself is no reason for another tank: no split can help it. Of the splits that do, the one is taken in
 * which iron chelates are away from sulfate and phosphate and the tanks are evenly loaded. */
#include "job/stock.h"

#include "chemistry/solubility.h"

#include <math.h>
#include <string.h>

const char *aq_stock_tank_name(int tank)
{
    static const char *const names[AQ_TANKS_MOST] = { "A", "B", "C", "D", "E", "F", "G", "H" };

    return names[tank];
}

/* ---- what dissolves ---- */

/* Between the two nearest points, or the end point beyond them. */
static double interpolate(const aq_part *part, double celsius, bool *per_water)
{
    const aq_solubility_point *below = NULL, *above = NULL, *end;

    for (size_t i = 0; i < part->solubility.count; i++) {
        const aq_solubility_point *point = &part->solubility.at[i];

        if (point->temperature <= celsius && (!below || point->temperature > below->temperature))
            below = point;
        if (point->temperature >= celsius && (!above || point->temperature < above->temperature))
            above = point;
    }
    end = below ? below : above;
    if (!end)
        return NAN;
    *per_water = end->per_water;
    if (!below || !above || !(above->temperature > below->temperature))
        return end->grams;
    return below->grams + (above->grams - below->grams) * (celsius - below->temperature) /
                              (above->temperature - below->temperature);
}

/* g per L of solution; what is given per kg of water needs the density of the saturated solution. */
static aq_status said_solubility(double *out, const aq_part *part, double celsius, aq_error *err)
{
    bool per_water = false;
    double grams = interpolate(part, celsius, &per_water);

    *out = grams;
    if (isnan(grams) || !per_water)
        return AQ_OK;
    if (!part->saturated.given)
        return aq_fail(err, AQ_MISSING, part->place,
                       "part %s: its solubility is per kg of water; the density of the saturated solution "
                       "turns it into g/L: say saturated: 1.08 kg/L",
                       aq_part_name(part));
    *out = grams / (1000 + grams) * part->saturated.value;
    return AQ_OK;
}

aq_status aq_stock_solubility(aq_placing *p, double celsius, aq_error *err)
{
    const aq_part *part = p->dose->part;
    aq_soluble salt;
    aq_status status = said_solubility(&p->dissolves, part, celsius, err);

    p->tabled = status == AQ_OK && isnan(p->dissolves) && part->formula && p->dose->weighs &&
                aq_solubility(&salt, part->formula, celsius);
    if (p->tabled)
        p->dissolves = salt.per_litre;
    return status;
}

/* ---- common ions ---- */

double aq_stock_strength(const aq_stocking *s, const aq_placing *p, int tank)
{
    return p->rate * p->share[tank] * s->parts;
}

double aq_stock_liquids(const aq_stocking *s, int tank)
{
    double litres = 0;

    for (size_t i = 0; i < s->count; i++)
        litres += s->at[i].dose->weighs ? 0 : aq_stock_strength(s, &s->at[i], tank);
    return litres;
}

void aq_stock_bring(double ions[AQ_ION_COUNT], const aq_placing *p, double strength)
{
    const aq_composition *c = p->dose->part->composition;

    for (int i = 0; c && isfinite(p->dose->per_unit) && i < AQ_ION_COUNT; i++)
        ions[i] += strength * p->dose->per_unit * c->ion[i];
}

void aq_stock_ions(double ions[AQ_ION_COUNT], const aq_stocking *s, int tank)
{
    memset(ions, 0, AQ_ION_COUNT * sizeof *ions);
    for (size_t i = 0; i < s->count; i++)
        aq_stock_bring(ions, &s->at[i], aq_stock_strength(s, &s->at[i], tank));
}

double aq_stock_share(const aq_stocking *s, const aq_placing *p)
{
    return p->dose->part->tank == AQ_TANK_BOTH && s->asked->tanks != 1 ? 0.5 : 1;
}

static bool stays_dissolved(const void *of, aq_part_set parts)
{
    return !aq_stock_falls_out(of, parts);
}

/* ---- clashes ---- */

/* Two liquids of which nobody says what they hold, or two parts that one label doses together: concentrates that are
 * sold apart, as a rule because the calcium of one would meet the sulfate or phosphate of the other (common practice, no
 * source). Where a line itself puts both into one tank it knows better. */
static bool strangers(const aq_placing *a, const aq_placing *b)
{
    const aq_part *first = a->dose->part, *second = b->dose->part;
    bool liquids = !a->dose->weighs && !b->dose->weighs;

    if (a->acid || b->acid || (first->composition && second->composition))
        return false;
    if (first->tank != AQ_TANK_UNSAID && second->tank != AQ_TANK_UNSAID)
        return false;
    return a->dose->column == b->dose->column || (liquids && !first->composition && !second->composition);
}

static aq_clash clash_of(const aq_placing *a, const aq_placing *b)
{
    const aq_composition *first = a->dose->part->composition, *second = b->dose->part->composition;

    return first && second ? aq_concentrate_clash(first, second) : AQ_CLASH_NONE;
}

static const char *say_clash(const aq_stocking *s, const aq_placing *a, const aq_placing *b)
{
    static const char *const words[] = {
        [AQ_CLASH_CALCIUM] =
            "calcium of %s would meet sulfate or phosphate of %s in one concentrate: gypsum or "
            "calcium phosphate falls out",
        [AQ_CLASH_LIME] = "calcium of %s would meet carbonate of %s in one concentrate: lime falls out",
        [AQ_CLASH_SILICATE] = "silicate of %s would meet %s in one concentrate: it gels or turns to sludge",
        [AQ_CLASH_CHELATE] =
            "the chelate of %s would meet the acid of %s in one concentrate: it lets go of its iron",
        [AQ_CLASH_FIZZ] = "carbonate of %s would meet the acid of %s in one concentrate: it foams over",
    };
    aq_clash clash = clash_of(a, b);
    const char *said = clash ? words[clash] : NULL, *first = said ? strstr(said, "%s") : NULL;
    const char *second = first ? strstr(first + 2, "%s") : NULL;

    if (strangers(a, b))
        return aq_arena_format(
            s->arena,
            "%s and %s would meet in one concentrate, and nobody says what they hold: calcium "
            "and sulfate or phosphate would fall out",
            a->dose->name, b->dose->name);
    return !second ? NULL
                   : aq_arena_format(s->arena, "%.*s%s%.*s%s%s", (int)(first - said), said, a->dose->name,
                                     (int)(second - first - 2), first + 2, b->dose->name, second + 2);
}

/* The first clash between a part of one set and a part of the other. */
static const char *clash_between(const aq_stocking *s, aq_part_set these, aq_part_set those)
{
    for (size_t i = 0; i < s->count; i++)
        for (size_t j = 0; j < s->count; j++) {
            const char *said = NULL;

            if (i != j && (these >> i & 1) && (those >> j & 1))
                said = say_clash(s, &s->at[i], &s->at[j]);
            if (!said && i != j && (those >> i & 1) && (these >> j & 1))
                said = say_clash(s, &s->at[i], &s->at[j]);
            if (said)
                return said;
        }
    return NULL;
}

static aq_part_set parts_in(const aq_stocking *s, int tank)
{
    aq_part_set set = 0;

    for (size_t i = 0; i < s->count; i++)
        if (s->at[i].share[tank] > 0)
            set |= (aq_part_set)1 << i;
    return set;
}

const char *aq_stock_reason(const aq_stocking *s, int tank, int other)
{
    aq_part_set these = parts_in(s, tank), those = parts_in(s, other);
    const char *said = clash_between(s, these, those);
    const aq_solid *solid = said || !s->asked->coldest.given ? NULL : aq_stock_falls_out(s, these | those);

    if (solid)
        return aq_arena_format(s->arena,
                               "%s would fall out of one concentrate at %s, by the ions that its salts share",
                               solid->name, aq_say(s->arena, s->asked->coldest.value, "degC"));
    return said;
}

/* ---- the search ---- */

typedef struct {
    double load[AQ_TANKS_PARTS_MOST];
    int pinned[AQ_TANKS_PARTS_MOST];
    aq_part_set apart[AQ_TANKS_PARTS_MOST], rather[AQ_TANKS_PARTS_MOST];
} tables;

static bool rather_apart(const aq_placing *a, const aq_placing *b)
{
    const aq_composition *first = a->dose->part->composition, *second = b->dose->part->composition;

    return first && second && aq_concentrate_rather_apart(first, second);
}

static void fill_tables(tables *t, const aq_stocking *s)
{
    for (size_t i = 0; i < s->count; i++) {
        const aq_placing *p = &s->at[i];
        int said = p->dose->part->tank;

        t->load[i] = p->rate * (p->dose->weighs ? 1 : 1000);
        t->pinned[i] = said == AQ_TANK_BOTH     ? AQ_TANKS_BOTH
                       : said == AQ_TANK_UNSAID ? AQ_TANKS_FREE
                                                : said - AQ_TANK_A;
        if (s->asked->tanks == 1) /* there is no other */
            t->pinned[i] = AQ_TANKS_FREE;
        for (size_t j = 0; j < s->count; j++) {
            aq_part_set bit = (aq_part_set)1 << j;

            if (i != j && (clash_of(p, &s->at[j]) || clash_of(&s->at[j], p) || strangers(p, &s->at[j])))
                t->apart[i] |= bit;
            if (i != j && (rather_apart(p, &s->at[j]) || rather_apart(&s->at[j], p)))
                t->rather[i] |= bit;
        }
    }
}

/* The tank that must be A: what is pinned has letters already; else calcium comes first, then iron. */
static int first_tank(const aq_stocking *s, const aq_tanks_answer *split)
{
    int best = 0, most = -1;

    for (size_t i = 0; i < s->count; i++)
        if (s->at[i].dose->part->tank != AQ_TANK_UNSAID)
            return 0;
    for (int tank = 0; tank < split->tanks; tank++) {
        int worth = 0;

        for (size_t i = 0; i < s->count; i++) {
            const aq_composition *c = s->at[i].dose->part->composition;

            if (c && split->holds[tank] >> i & 1)
                worth |= (c->ion[AQ_ION_CALCIUM] > 0 ? 2 : 0) | (c->mass[AQ_FE] > 0 ? 1 : 0);
        }
        if (worth > most) {
            most = worth;
            best = tank;
        }
    }
    return best;
}

static void take_split(aq_stocking *s, const aq_tanks_answer *split)
{
    int first = first_tank(s, split);

    s->tanks = split->tanks;
    s->fewest = split->fewest;
    for (int tank = 0; tank < split->tanks; tank++) {
        int as = tank == first ? 0 : tank < first ? tank + 1 : tank;

        for (size_t i = 0; i < s->count; i++)
            if (split->holds[tank] >> i & 1)
                s->at[i].share[as] = aq_stock_share(s, &s->at[i]);
    }
}

/* What the recipe itself puts together. */
static const char *pinned_clash(const aq_stocking *s)
{
    const char *said = NULL;

    for (int tank = AQ_TANK_A; !said && tank <= AQ_TANK_B; tank++) {
        aq_part_set set = 0;

        for (size_t i = 0; i < s->count; i++)
            if (s->at[i].dose->part->tank == tank || s->at[i].dose->part->tank == AQ_TANK_BOTH)
                set |= (aq_part_set)1 << i;
        said = clash_between(s, set, set);
    }
    return said;
}

/* No split avoids a clash: which, and how many tanks would do. */
static aq_status explain(aq_stocking *s, aq_tanks_problem problem, aq_error *err)
{
    aq_tanks_answer split;
    aq_status status;
    aq_part_set all = s->count < AQ_TANKS_PARTS_MOST ? ((aq_part_set)1 << s->count) - 1 : ~(aq_part_set)0;

    problem.tanks = 0;
    status = aq_tanks_split(&split, &problem, err);
    s->needed = split.sound ? split.tanks : 0;
    s->tanks = 1;
    s->clash = s->needed ? NULL : pinned_clash(s);
    if (!s->clash)
        s->clash = clash_between(s, all, all);
    return status == AQ_OK && !s->clash ? AQ_NO_MEMORY : status;
}

static aq_status search_split(aq_stocking *s, aq_error *err)
{
    tables *t = aq_arena_take(s->arena, sizeof *t);
    aq_tanks_problem problem = { .count = s->count, .of = s, .tanks = (int)s->asked->tanks };
    aq_tanks_answer split;
    aq_status status;

    if (!t)
        return AQ_NO_MEMORY;
    problem.load = t->load;
    problem.pinned = t->pinned;
    problem.apart = t->apart;
    problem.rather = t->rather;
    if (s->count <= AQ_TANKS_PARTS_MOST)
        fill_tables(t, s);
    problem.fits = s->asked->coldest.given ? stays_dissolved : NULL;
    status = aq_tanks_split(&split, &problem, err);
    if (status == AQ_OK && !split.sound &&
        problem.fits) { /* the coldest night must be borne, a clash must not */
        problem.fits = NULL;
        status = aq_tanks_split(&split, &problem, err);
    }
    if (status != AQ_OK)
        return status;
    if (!split.sound)
        return explain(s, problem, err);
    take_split(s, &split);
    return AQ_OK;
}

/* ---- all of it ---- */

/* What the acid brings to a litre of its own, as a part that is poured. */
static bool place_acid(aq_stocking *s)
{
    aq_dose *dose = aq_arena_take(s->arena, sizeof *dose);
    aq_part *part = aq_arena_take(s->arena, sizeof *part);
    aq_composition *holds = aq_arena_take(s->arena, sizeof *holds);

    if (!dose || !part || !holds)
        return false;
    aq_composition_add(holds, s->feed.acid_holds, 1 / s->acid.litres);
    *part = (aq_part){ .name = s->acid.name, .composition = holds, .per_litre = true };
    *dose = (aq_dose){ .part = part, .name = s->acid.name, .top = INFINITY, .slope = NAN, .per_unit = 1 };
    s->at[s->count++] = (aq_placing){ .dose = dose, .rate = s->acid.litres, .dissolves = NAN, .acid = true };
    return true;
}

aq_status aq_stock_place(aq_stocking *s, aq_error *err)
{
    aq_status status = AQ_OK;

    s->at = aq_arena_take_array(s->arena, s->feed.dosing.count + 2, sizeof *s->at);
    if (!s->at)
        return AQ_NO_MEMORY;
    if (s->acid.litres > 0 && !place_acid(s)) /* into the water first, before any salt */
        return AQ_NO_MEMORY;
    for (size_t i = 0; status == AQ_OK && i < s->feed.dosing.count; i++) {
        const aq_dose *dose = &s->feed.dosing.at[i];
        aq_placing *p = &s->at[s->count++];

        *p = (aq_placing){ .dose = dose,
                           .rate = aq_feed_amount(&s->feed, i, s->feed.exact->x[dose->column]),
                           .dissolves = NAN };
        if (s->asked->coldest.given)
            status = aq_stock_solubility(p, s->asked->coldest.value, err);
    }
    if (status == AQ_OK && s->asked->coldest.given && !aq_stock_mixtures(s))
        status = AQ_NO_MEMORY;
    return status == AQ_OK ? search_split(s, err) : status;
}
