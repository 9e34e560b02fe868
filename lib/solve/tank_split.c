/* The search itself. A branch is left where a clash shows, where it has as many parts beside what they should avoid as the
 * best split so far, or where its loads are as uneven already: all three only grow as parts are added. */
#include "solve/tank_split.h"

#include <math.h>

enum { STEPS_FOR_NUMBER = 1000000, STEPS_FOR_EVENNESS = 100000 };

typedef struct {
    const aq_tanks_problem *p;
    size_t order[AQ_TANKS_PARTS_MOST]; /* the hardest to place first */
    aq_part_set holds[AQ_TANKS_MOST];
    double load[AQ_TANKS_MOST];
    int used, most;
    long steps;
    bool first; /* any sound split will do */
    bool found;
    aq_part_set best[AQ_TANKS_MOST];
    int best_beside;
    double best_uneven;
} search;

static aq_part_set bit(size_t part)
{
    return (aq_part_set)1 << part;
}

static int count_bits(aq_part_set set)
{
    int count = 0;

    for (; set; set &= set - 1)
        count++;
    return count;
}

static bool may_join(const search *s, size_t part, int tank)
{
    const aq_tanks_problem *p = s->p;

    return !(s->holds[tank] & p->apart[part]) && (!p->fits || p->fits(p->of, s->holds[tank] | bit(part)));
}

static double uneven(const search *s)
{
    double sum = 0;

    for (int i = 0; i < s->most; i++)
        sum += s->load[i] * s->load[i];
    return sum;
}

static bool worse(const search *s, int beside)
{
    if (!s->found || beside < s->best_beside)
        return false;
    return beside > s->best_beside || uneven(s) >= s->best_uneven * (1 - 1e-12);
}

static void keep(search *s, int beside)
{
    s->found = true;
    s->best_beside = beside;
    s->best_uneven = uneven(s);
    for (int i = 0; i < AQ_TANKS_MOST; i++)
        s->best[i] = s->holds[i];
}

static void place(search *s, size_t at, int beside);

static void try_tank(search *s, size_t at, int tank, int beside)
{
    size_t part = s->order[at];
    int used = s->used;

    if (!may_join(s, part, tank))
        return;
    beside += count_bits(s->holds[tank] & s->p->rather[part]);
    s->holds[tank] |= bit(part);
    s->load[tank] += s->p->load[part];
    s->used = tank >= used ? tank + 1 : used;
    place(s, at + 1, beside);
    s->used = used;
    s->holds[tank] &= ~bit(part);
    s->load[tank] -= s->p->load[part];
}

/* Half of it in each of the first two. What is pinned comes first, so what this stands beside is the same in every split
 * and is not counted. */
static void try_both(search *s, size_t at, int beside)
{
    size_t part = s->order[at];
    double half = s->p->load[part] / 2;

    if (s->most < 2 || !may_join(s, part, 0) || !may_join(s, part, 1))
        return;
    for (int i = 0; i < 2; i++) {
        s->holds[i] |= bit(part);
        s->load[i] += half;
    }
    place(s, at + 1, beside);
    for (int i = 0; i < 2; i++) {
        s->holds[i] &= ~bit(part);
        s->load[i] -= half;
    }
}

static void place(search *s, size_t at, int beside)
{
    int last = s->used < s->most ? s->used : s->most - 1;

    if ((s->first && s->found) || s->steps <= 0 || worse(s, beside))
        return;
    s->steps--;
    if (at == s->p->count) {
        keep(s, beside);
        return;
    }
    int pinned = s->p->pinned[s->order[at]];
    if (pinned == AQ_TANKS_BOTH)
        try_both(s, at, beside);
    else if (pinned >= 0)
        try_tank(s, at, pinned, beside);
    for (int tank = 0; pinned == AQ_TANKS_FREE && tank <= last; tank++)
        try_tank(s, at, tank, beside);
}

/* A pinned part leaves no choice, then come those that most others must not meet, then the heaviest. */
static bool harder(const aq_tanks_problem *p, size_t a, size_t b)
{
    bool pinned_a = p->pinned[a] != AQ_TANKS_FREE, pinned_b = p->pinned[b] != AQ_TANKS_FREE;
    int edges_a = count_bits(p->apart[a]), edges_b = count_bits(p->apart[b]);

    if (pinned_a != pinned_b)
        return pinned_a;
    if (edges_a != edges_b)
        return edges_a > edges_b;
    return p->load[a] > p->load[b];
}

static void put_in_order(search *s)
{
    for (size_t i = 0; i < s->p->count; i++) {
        size_t at = i;

        for (; at > 0 && harder(s->p, i, s->order[at - 1]); at--)
            s->order[at] = s->order[at - 1];
        s->order[at] = i;
    }
}

/* Tanks that the user has named, whether or not anything else goes there. */
static int named_tanks(const aq_tanks_problem *p)
{
    int named = 0;

    for (size_t i = 0; i < p->count; i++) {
        int least = p->pinned[i] == AQ_TANKS_BOTH ? 2 : p->pinned[i] + 1;

        named = least > named ? least : named;
    }
    return named;
}

/* Whether `most` tanks do; `steps` says how long to look, and what is left of it. */
static bool look(search *s, int most, bool first, long *steps)
{
    s->most = most;
    s->used = named_tanks(s->p);
    s->first = first;
    s->found = false;
    s->steps = *steps;
    place(s, 0, 0);
    *steps = s->steps;
    return s->found;
}

static aq_status check(const aq_tanks_problem *p, aq_error *err)
{
    if (p->count > AQ_TANKS_PARTS_MOST)
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ 0 },
                       "no more than %d parts can be split over stock tanks", (int)AQ_TANKS_PARTS_MOST);
    if (p->tanks < 0 || p->tanks > AQ_TANKS_MOST || named_tanks(p) > AQ_TANKS_MOST)
        return aq_fail(err, AQ_OUT_OF_RANGE, (aq_place){ 0 }, "no more than %d stock tanks",
                       (int)AQ_TANKS_MOST);
    return AQ_OK;
}

aq_status aq_tanks_split(aq_tanks_answer *out, const aq_tanks_problem *problem, aq_error *err)
{
    search s = { .p = problem };
    long steps = STEPS_FOR_NUMBER, more = STEPS_FOR_EVENNESS;
    int least = named_tanks(problem) > 1 ? named_tanks(problem) : 1;
    aq_status status = check(problem, err);

    *out = (aq_tanks_answer){ .fewest = true };
    if (status != AQ_OK)
        return status;
    put_in_order(&s);
    if (problem->tanks > 0) {
        out->tanks = problem->tanks;
        out->sound = problem->tanks >= least && look(&s, problem->tanks, true, &steps);
    }
    for (int i = least; !problem->tanks && !out->sound && i <= AQ_TANKS_MOST; i++) {
        long given = STEPS_FOR_NUMBER;

        out->tanks = i;
        out->sound = look(&s, i, true, &given);
        out->fewest = out->sound ? out->fewest : out->fewest && given > 0;
    }
    if (!out->sound)
        return AQ_OK;
    aq_part_set any[AQ_TANKS_MOST];
    for (int i = 0; i < AQ_TANKS_MOST; i++)
        any[i] = s.best[i];
    bool better = look(&s, out->tanks, false, &more);
    for (int i = 0; i < AQ_TANKS_MOST; i++)
        out->holds[i] = better ? s.best[i] : any[i];
    return AQ_OK;
}
