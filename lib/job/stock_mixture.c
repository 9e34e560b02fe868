/* What stays dissolved when parts share a tank on the coldest night: each salt that their ions could make together is held to
 * the product of its ions where it is saturated alone.
 *
 * The search for a split asks of up to a million sets of parts, so what does not change from set to set is worked out
 * once: what each four parts bring, in each of their 16 sets, of the ions that any of the salts is made of, so that 64
 * parts take 16 additions; and each salt as a short list of those ions. With
 * c the mol/L of ion i, n its number in a salt and L the logarithm of the product where that is saturated, the mixture
 * may be strengthened exp((L - sum n ln c) / sum n) times; it falls out where 80 % of that is below 1, so where
 * L - sum n ln c < sum n ln(1 / 0.80). */
#include "job/stock.h"

#include <math.h>
#include <string.h>

/* Of one ion in a salt. */
typedef struct {
    size_t column; /* among those of `brings` */
    double parts;
} term;

typedef struct {
    const aq_solid *solid;
    const term *terms;
    size_t count;
    double least; /* of L - sum n ln c: below it, it falls out */
} held_salt;

struct aq_mixtures {
    size_t columns; /* ions that a salt is made of */
    int ion[AQ_ION_COUNT];
    double *brings; /* mol/L of each, by each of the 16 sets of four parts in a row, for each four */
    held_salt *salts;
    size_t count;
};

/* ---- which salts ---- */

static bool same_salt(const aq_solid *a, const aq_solid *b)
{
    for (size_t i = 0; i < sizeof a->parts / sizeof *a->parts; i++)
        if (a->parts[i] != b->parts[i])
            return false;
    return true;
}

/* The salts of the table, and above its word what a part says of itself. */
static void find_solids(aq_stocking *s)
{
    s->solid_count = aq_solids_tabled(s->solids, AQ_STOCK_SOLIDS_MOST, s->asked->coldest.value);
    for (size_t i = 0; i < s->count; i++) {
        const aq_placing *p = &s->at[i];
        aq_solid solid;
        size_t at = 0;

        if (!p->dose->part->formula || !p->dose->part->composition || p->tabled ||
            !aq_solid_of(&solid, p->dose->name, p->dose->part->composition, p->dissolves))
            continue;
        while (at < s->solid_count && !same_salt(&solid, &s->solids[at]))
            at++;
        if (at < AQ_STOCK_SOLIDS_MOST)
            s->solids[at] = solid;
        s->solid_count += at == s->solid_count && at < AQ_STOCK_SOLIDS_MOST;
    }
}

/* One part alone is too strong for this salt. */
static bool beyond_help(const aq_stocking *s, const aq_solid *solid)
{
    for (size_t i = 0; i < s->count; i++) {
        double ions[AQ_ION_COUNT] = { 0 };

        aq_stock_bring(ions, &s->at[i], s->at[i].rate * s->parts);
        if (aq_solid_room(solid, ions) * AQ_STOCK_MARGIN < 1)
            return true;
    }
    return false;
}

/* The salts that a split can help come first. */
static void sort_hopeless(aq_stocking *s)
{
    s->helped = 0;
    for (size_t i = 0; i < s->solid_count; i++) {
        aq_solid solid = s->solids[i];

        if (beyond_help(s, &solid))
            continue;
        s->solids[i] = s->solids[s->helped];
        s->solids[s->helped++] = solid;
    }
}

/* ---- what does not change ---- */

static void find_columns(aq_mixtures *m, const aq_stocking *s)
{
    for (int ion = 0; ion < AQ_ION_COUNT; ion++) {
        bool used = false;

        for (size_t i = 0; i < s->helped; i++)
            used = used || s->solids[i].parts[ion] > 0;
        if (used)
            m->ion[m->columns++] = ion;
    }
}

enum { PARTS_IN_ROW = 4, SETS = 1 << PARTS_IN_ROW };

static double *brought_by(const aq_mixtures *m, size_t row, aq_part_set set)
{
    return m->brings + (row * SETS + set) * m->columns;
}

/* Each set is a smaller one and its highest part. */
static void fill_row(const aq_mixtures *m, const aq_stocking *s, size_t row)
{
    for (size_t i = 0; i < PARTS_IN_ROW && row * PARTS_IN_ROW + i < s->count; i++) {
        const aq_placing *p = &s->at[row * PARTS_IN_ROW + i];
        aq_part_set bit = (aq_part_set)1 << i;
        double ions[AQ_ION_COUNT] = { 0 };

        aq_stock_bring(ions, p, p->rate * aq_stock_share(s, p) * s->parts);
        for (aq_part_set set = bit; set < 2 * bit; set++)
            for (size_t c = 0; c < m->columns; c++)
                brought_by(m, row, set)[c] = brought_by(m, row, set - bit)[c] + ions[m->ion[c]];
    }
}

static bool fill_brings(aq_mixtures *m, const aq_stocking *s)
{
    size_t rows = s->count / PARTS_IN_ROW + 1;

    m->brings = aq_arena_take_array(s->arena, rows * SETS * m->columns + 1, sizeof *m->brings);
    for (size_t row = 0; m->brings && row < rows; row++)
        fill_row(m, s, row);
    return m->brings != NULL;
}

static bool add_salt(aq_mixtures *m, aq_arena *arena, const aq_solid *solid)
{
    term *terms = aq_arena_take_array(arena, m->columns + 1, sizeof *terms);
    held_salt *added = &m->salts[m->count++];
    double sum = 0;

    if (!terms)
        return false;
    *added = (held_salt){ .solid = solid, .terms = terms };
    for (size_t c = 0; c < m->columns; c++)
        if (solid->parts[m->ion[c]] > 0) {
            terms[added->count++] = (term){ c, solid->parts[m->ion[c]] };
            sum += solid->parts[m->ion[c]];
        }
    added->least = sum * log((1 - 1e-9) / AQ_STOCK_MARGIN);
    return true;
}

bool aq_stock_mixtures(aq_stocking *s)
{
    aq_mixtures *m = aq_arena_take(s->arena, sizeof *m);

    find_solids(s);
    sort_hopeless(s);
    if (!m)
        return false;
    m->salts = aq_arena_take_array(s->arena, s->helped + 1, sizeof *m->salts);
    find_columns(m, s);
    if (!m->salts || !fill_brings(m, s))
        return false;
    for (size_t i = 0; i < s->helped; i++)
        if (!add_salt(m, s->arena, &s->solids[i]))
            return false;
    s->mixtures = m;
    return true;
}

/* ---- one set ---- */

const aq_solid *aq_stock_falls_out(const aq_stocking *s, aq_part_set parts)
{
    const aq_mixtures *m = s->mixtures;
    double logs[AQ_ION_COUNT] = { 0 };

    for (size_t row = 0; parts; row++, parts >>= PARTS_IN_ROW) {
        const double *brought = brought_by(m, row, parts % SETS);

        for (size_t c = 0; c < m->columns; c++)
            logs[c] += brought[c];
    }
    for (size_t c = 0; c < m->columns; c++)
        logs[c] = logs[c] > 0 ? log(logs[c]) : -INFINITY;
    for (size_t i = 0; i < m->count; i++) {
        const held_salt *salt = &m->salts[i];
        double left = salt->solid->product;

        for (size_t t = 0; t < salt->count; t++)
            left -= salt->terms[t].parts * logs[salt->terms[t].column];
        if (left < salt->least)
            return salt->solid;
    }
    return NULL;
}
