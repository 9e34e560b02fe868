/* Which parts lie at a bound: a primal active-set method (Lawson and Hanson 1974, chapter 23; Stark and Parker 1995) on
 * the triangle alone.
 *
 * At the best x of a given set of free parts, what is left over, r, is at right angles to the columns of all of them.
 * The pull of a fixed part, its column times r, says whether x_j would rather move into its range; if none would,
 * x is optimal. Example: minimise (x1 + x2 - 2)^2 + (x1 - x2 - 2)^2 with x2 at its lower bound 1: x1 = 2, r = (1, -1),
 * the pull of x2 is 1 - (-1) = 2 > 0: less x2 would be better, its bound forbids that, x = (2, 1) is optimal.
 *
 * First guess: the triangle is solved from its last row up, each x clipped to its bounds before the next is found.
 * Parts that were clipped are fixed, and so are those that then leave their range, until none does: nearly always that
 * is within a part or two of the answer. From there on x stays within its bounds: the part that is worth most is freed,
 * the free ones move toward their best, and what meets a bound on the way is fixed.
 *
 * This ends: every best x lies strictly lower than the one before, so no set of free parts returns, and there are
 * finitely many. Rounding can blur that where a pull is rounding too. A part that comes straight back is therefore
 * settled, and not freed again until another has moved; and should patience run out, parts are freed by the lowest
 * number (Bland's rule), and each that does not lower the objective is settled likewise.
 *
 * While no free part counts in an equality c . x = d, its price may be any number that suits all bounds; if there is
 * none, two parts that disagree are freed together and trade. */
#include "solve/lsq_inner.h"

#include <float.h>
#include <math.h>

static bool fix_at_bound(aq_lsq_work *work, size_t j, double x)
{
    if (x <= work->low[j])
        aq_lsq_fix(work, j, AQ_AT_LOW, work->low[j]);
    else if (x >= work->high[j])
        aq_lsq_fix(work, j, AQ_AT_HIGH, work->high[j]);
    else
        return false;
    return true;
}

/* What the triangle of the free parts is to meet, into `column`, and what will be left over, into `rest`. */
static void aim(aq_lsq_work *work)
{
    if (work->equality)
        aq_lsq_price(work);
    for (size_t t = 0; t < work->count; t++) {
        work->rest[t] = work->equality ? work->price * work->lift[t] : 0;
        work->column[t] = aq_lsq_row(work, t)[work->parts] + work->rest[t];
    }
    for (size_t i = work->count; i < work->rank; i++)
        work->rest[i] = -aq_lsq_row(work, i)[work->parts];
}

/* The best x of the free parts, the others staying: into `to`, with what it leaves over in `rest`. */
static void balance(aq_lsq_work *work)
{
    aim(work);
    aq_lsq_solve_free(work, work->column, work->to);
}

/* The objective at `to`, less what no x can change. */
static double objective(const aq_lsq_work *work)
{
    double sum = 0;

    for (size_t i = 0; i < work->rank; i++)
        sum += work->rest[i] * work->rest[i];
    return sum;
}

/* ---- the first guess ---- */

/* Fixes every part where the repair leaves it: parked if that is within its range, unless it is free. */
static void start_on_equality(aq_lsq_work *work)
{
    for (size_t j = 0; j < work->parts; j++) {
        if (work->side[j] == AQ_FREE)
            work->x[j] = aq_lsq_within(work, j, work->to[j]);
        else
            aq_lsq_unfix(work, j);
    }
    aq_lsq_repair(work, true);
    for (size_t j = 0; j < work->parts; j++)
        if (!fix_at_bound(work, j, work->x[j]) && work->side[j] != AQ_FREE)
            aq_lsq_fix(work, j, AQ_PARKED, work->x[j]);
    aq_lsq_close_up(work);
}

/* Solves as solve_free does, but each x that leaves its range stays at its bound, and those before it reckon with
 * that. */
static void solve_clipped(aq_lsq_work *work)
{
    double *right = work->column;

    for (size_t t = work->count; t-- > 0;) {
        size_t j = work->order[t];
        double x = right[t] * work->inverse[t], low = work->low[j], high = work->high[j];
        const double *above = work->u + j;
        if (!(x > low && x < high))
            x = x > low ? high : low;
        work->to[j] = x;
        for (size_t i = 0; x != 0 && i < t; i++, above += work->stride)
            right[i] -= *above * x;
    }
}

/* Fixes the free parts that leave their range, save those that c . x will want when it is `miss` short. */
static bool fix_all_but(aq_lsq_work *work, double miss)
{
    bool fixed = false;

    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        double to = work->to[j], gives = miss != 0 ? work->equal[j] * miss : 0;
        if ((to <= work->low[j] && gives <= 0) || (to >= work->high[j] && gives >= 0))
            fixed = fix_at_bound(work, j, to) || fixed;
    }
    return fixed;
}

static bool any_leaves(const aq_lsq_work *work)
{
    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        if (work->to[j] <= work->low[j] || work->to[j] >= work->high[j])
            return true;
    }
    return false;
}

/* Fixes the free parts that leave their range; false if none does. Where clipping them all would leave c . x short,
 * only those that then give all they can are fixed, since the others will be asked for more (Bitran and Hax 1981). */
static bool fix_leavers(aq_lsq_work *work)
{
    if (!any_leaves(work))
        return false;
    if (!work->equality || !fix_all_but(work, aq_lsq_short(work)))
        fix_all_but(work, 0);
    aq_lsq_close_up(work);
    return true;
}

/* Ends with x within its bounds and on the equality; true if x is also the best of its free parts. */
static bool guess(aq_lsq_work *work)
{
    aim(work);
    solve_clipped(work);
    while (fix_leavers(work)) {
        if (work->equality && !aq_lsq_within_reach(work)) {
            start_on_equality(work);
            return false;
        }
        balance(work);
    }
    for (size_t t = 0; t < work->count; t++)
        work->x[work->order[t]] = work->to[work->order[t]];
    return true;
}

/* ---- from there down ---- */

/* How far from x toward `to` part j may go, 1 being all the way. */
static double room(const aq_lsq_work *work, size_t j)
{
    double x = work->x[j], to = work->to[j];

    if (to < work->low[j])
        return (x - work->low[j]) / (x - to);
    if (to > work->high[j])
        return (work->high[j] - x) / (to - x);
    return 2;
}

/* Moves x toward `to` as far as all may go, and fixes those that stopped it. True if it arrived. */
static bool advance(aq_lsq_work *work)
{
    double share = 2;

    for (size_t t = 0; t < work->count; t++) {
        double own = room(work, work->order[t]);
        share = own < share ? own : share;
    }
    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        if (share > 1) {
            work->x[j] = work->to[j];
        } else if (room(work, j) <= share) {
            fix_at_bound(work, j, work->to[j]);
        } else {
            double x = work->x[j] + share * (work->to[j] - work->x[j]);
            work->x[j] = aq_lsq_within(work, j, x);
        }
    }
    if (share <= 1)
        aq_lsq_close_up(work);
    return share > 1;
}

static void descend(aq_lsq_work *work)
{
    do
        balance(work);
    while (!advance(work));
}

/* What each fixed part would gain by moving: half the slope of the objective, the equality's price not yet taken
 * off. */
static void pulls(aq_lsq_work *work)
{
    size_t parts = work->parts;
    double *restrict pull = work->pull;

    work->rest_square = 0;
    work->right_square = work->total;
    for (size_t j = 0; j < parts; j++) {
        pull[j] = 0;
        if (work->side[j] != AQ_FREE)
            work->right_square += work->size[j] * work->x[j] * work->x[j];
    }
    for (size_t i = work->price == 0 ? work->count : 0; i < work->rank; i++) {
        const double *restrict row = aq_lsq_row(work, i);
        double rest = work->rest[i];
        work->rest_square += rest * rest;
        for (size_t j = 0; j < parts; j++)
            pull[j] += row[j] * rest;
    }
}

static double net_pull(const aq_lsq_work *work, size_t j)
{
    return work->pull[j] - (work->equality ? work->price * work->equal[j] : 0);
}

/* Rounding in a pull, squared. A pull is a column times what is left over; the column is known to within rounding of
 * its size, the rest to within rounding of the right-hand side, and only the part of the column that is at right angles
 * to the free ones meets the latter. So a pull as small as that of a small ridge still counts. */
static double noise_of_pull(const aq_lsq_work *work, size_t j)
{
    double own = 0, unit = 64 * DBL_EPSILON * DBL_EPSILON * (double)(work->parts + 1);

    for (size_t i = work->count; i < work->rank; i++)
        own += aq_lsq_row(work, i)[j] * aq_lsq_row(work, i)[j];
    double noise = unit * (own * work->right_square + work->size[j] * work->rest_square);
    if (work->equality) {
        double c = work->equal[j];
        noise += unit * work->price * work->price * c * c;
        noise += work->price_noise * work->price_noise * (c * c + work->size[j] * work->lift_square);
    }
    return noise;
}

/* Whether part j would leave its range if it could. */
static bool presses(const aq_lsq_work *work, size_t j)
{
    double pull = net_pull(work, j);
    bool outward = work->side[j] == AQ_AT_LOW ? pull > 0 : work->side[j] == AQ_AT_HIGH && pull < 0;

    return outward && pull * pull > noise_of_pull(work, j);
}

/* How much part j is worth freeing: 0 if it is not, else the square of its pull over its column's. */
static double worth(const aq_lsq_work *work, size_t j)
{
    double pull = net_pull(work, j);

    if (work->side[j] == AQ_FREE || (work->side[j] == AQ_AT_LOW && pull >= 0) ||
        (work->side[j] == AQ_AT_HIGH && pull <= 0) || work->settled[j] || work->low[j] == work->high[j])
        return 0;
    return pull * pull > noise_of_pull(work, j) ? pull * pull / work->size[j] : 0;
}

/* While no free part counts in the equality its price is open: each fixed part allows a range of it. Sets the price
 * nearest 0 that suits all; if none does, names the pair that would rather trade, and gives true. */
static bool trade(aq_lsq_work *work, size_t pair[2])
{
    double least = -INFINITY, most = INFINITY, blur[2] = { 0, 0 };

    pair[0] = pair[1] = 0;
    for (size_t j = 0; j < work->parts; j++) {
        double c = work->equal[j], price = work->pull[j] / c;
        bool from_above = (work->side[j] == AQ_AT_LOW) == (c > 0), parked = work->side[j] == AQ_PARKED;
        if (work->side[j] == AQ_FREE || c == 0 || work->low[j] == work->high[j])
            continue;
        if ((from_above || parked) && price < most)
            most = price, pair[0] = j;
        if ((!from_above || parked) && price > least)
            least = price, pair[1] = j;
    }
    if (most < INFINITY)
        blur[0] = sqrt(noise_of_pull(work, pair[0])) / fabs(work->equal[pair[0]]);
    if (least > -INFINITY)
        blur[1] = sqrt(noise_of_pull(work, pair[1])) / fabs(work->equal[pair[1]]);
    work->price = least <= blur[1] && most >= -blur[0] ? 0 : fmin(fmax(0, least), most);
    return least - most > blur[0] + blur[1] && !(work->settled[pair[0]] && work->settled[pair[1]]);
}

/* The parts to free next: none, one, or two that trade along the equality. */
static size_t next(aq_lsq_work *work, size_t pair[2])
{
    double most = 0;
    size_t found = 0;

    pulls(work);
    if (work->equality && !(work->lift_square > 0) && trade(work, pair))
        return 2;
    for (size_t j = 0; j < work->parts; j++) {
        double gain = worth(work, j);
        if (gain <= most || (found == 1 && work->steps > work->patience))
            continue;
        most = gain;
        pair[0] = j;
        found = 1;
    }
    return found;
}

/* Frees the parts of `pair` and goes to the new best; false if all of them are back where they were. */
static bool try_free(aq_lsq_work *work, const size_t *pair, size_t count)
{
    aq_lsq_side before[2];
    bool released = false, moved = false;

    for (size_t k = 0; k < count; k++) {
        before[k] = work->side[pair[k]];
        if (aq_lsq_release(work, pair[k]))
            released = true;
    }
    if (!released)
        return false;
    descend(work);
    work->steps++;
    for (size_t k = 0; k < count; k++)
        moved = moved || work->side[pair[k]] != before[k];
    return moved;
}

static void improve(aq_lsq_work *work)
{
    double best = objective(work);
    size_t pair[2], count;

    while ((count = next(work, pair)) > 0) {
        bool moved = try_free(work, pair, count);
        double now = objective(work);
        if (work->steps > work->patience)
            moved = now < best * (1 - 16 * DBL_EPSILON);
        best = fmin(best, now);
        for (size_t j = 0; moved && j < work->parts; j++)
            work->settled[j] = false;
        for (size_t k = 0; !moved && k < count; k++)
            work->settled[pair[k]] = true;
    }
}

static void begin(aq_lsq_work *work)
{
    work->steps = 0;
    work->price = work->price_noise = 0;
    for (size_t j = 0; j < work->parts; j++) {
        work->settled[j] = false;
        work->side[j] = AQ_PARKED;
    }
    for (size_t t = 0; t < work->count; t++)
        work->side[work->order[t]] = AQ_FREE;
    for (size_t j = 0; j < work->parts; j++) {
        double near = aq_lsq_within(work, j, 0);
        if (work->side[j] != AQ_FREE && !fix_at_bound(work, j, near))
            aq_lsq_fix(work, j, AQ_PARKED, near);
    }
}

void aq_lsq_active(aq_lsq_work *work)
{
    begin(work);
    if (!guess(work))
        descend(work);
    improve(work);
    if (work->equality)
        aq_lsq_hold(work);

    /* A part that presses against its bound does so in every optimum. */
    for (size_t j = 0; work->rank < work->parts && j < work->parts; j++)
        work->settled[j] = work->low[j] == work->high[j] || presses(work, j);
}
