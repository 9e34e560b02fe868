/* Which parts lie at a bound: a primal active-set method (Lawson and Hanson 1974, chapter 23; Stark and Parker 1995)
 * on the triangle alone, whose factors are updated, never made afresh.
 *
 * At the best x of a given set of free parts, what is left over, r, is at right angles to the columns of all of them.
 * The pull of a fixed part, its column times r, says whether x_j would rather move into its range; if none would,
 * x is optimal. Example: minimise (x1 + x2 - 2)^2 + (x1 - x2 - 2)^2 with x2 at its lower bound 1: x1 = 2, r = (1, -1),
 * the pull of x2 is 1 - (-1) = 2 > 0: less x2 would be better, its bound forbids that, x = (2, 1) is optimal.
 *
 * First guess: the best x without bounds; all parts that leave their range are fixed where they left it, together, until
 * none does. That is nearly always within a part or two of the answer. From there on x stays within its bounds: the
 * part that pulls most is freed, the free parts move toward their best, and what meets a bound on the way is fixed.
 *
 * This ends: each best x lies strictly lower than the one before, so no set of free parts returns, and there are
 * finitely many. Rounding could blur "strictly", so a part that was freed without lowering the objective by more than
 * rounding is settled: it is not freed again until something else does. If patience runs out all the same, the
 * remaining parts are freed by the lowest number, and each of them once.
 *
 * An equality c . x = d shifts the best x along one direction: with g = R^-T c, the free parts meet R x = q + g p where
 * the price p = (d - g . q) / (g . g). */
#include "solve/lsq_inner.h"

#include <float.h>
#include <math.h>

static double *row_of(const aq_lsq_work *work, size_t row)
{
    return work->u + row * work->stride;
}

/* Adds `x` of part j to what the right-hand side leaves for the free parts. */
static void carry(aq_lsq_work *work, size_t j, double x)
{
    if (x == 0)
        return;
    for (size_t i = 0; i < work->rank; i++) {
        double *row = row_of(work, i);
        row[work->parts] += row[j] * x;
    }
}

static void fix(aq_lsq_work *work, size_t j, aq_lsq_side side, double x)
{
    work->side[j] = side;
    work->x[j] = x;
    carry(work, j, -x);
}

static bool fix_at_bound(aq_lsq_work *work, size_t j, double x)
{
    if (x <= work->low[j])
        fix(work, j, AQ_AT_LOW, work->low[j]);
    else if (x >= work->high[j])
        fix(work, j, AQ_AT_HIGH, work->high[j]);
    else
        return false;
    return true;
}

/* The first column that a reflection has to carry along: fixed, or free behind pivot `from`. */
static size_t first_moved(const aq_lsq_work *work, size_t from)
{
    size_t first = 0;

    while (first < work->parts && work->side[first] == AQ_FREE)
        first++;
    for (size_t t = from; t < work->count; t++)
        first = work->order[t] < first ? work->order[t] : first;
    return first;
}

/* Takes the parts that are no longer free out of the triangle. Those behind them move up, and the stair that they leave
 * (each column reaches down to its old pivot) is reflected away, so many can go at the price of one. */
static void close_up(aq_lsq_work *work)
{
    size_t kept = 0;

    while (kept < work->count && work->side[work->order[kept]] == AQ_FREE)
        kept++;
    size_t first = first_moved(work, kept);
    for (size_t from = kept; from < work->count; from++) {
        size_t j = work->order[from];
        if (work->side[j] != AQ_FREE)
            continue;
        work->order[kept] = j;
        work->inverse[kept] = aq_lsq_reflect(row_of(work, kept), row_of(work, kept + 1), work->stride, from - kept, j,
                                             first, work->parts + 1, work->column);
        kept++;
    }
    work->count = kept;
}

/* Frees part j as the last of the triangle; false if it is a mix of the free ones. */
static bool release(aq_lsq_work *work, size_t j)
{
    size_t last = work->count;
    double pivot = 0;

    for (size_t i = last; i < work->rank; i++)
        pivot += row_of(work, i)[j] * row_of(work, i)[j];
    if (!(pivot > 1e3 * DBL_EPSILON * DBL_EPSILON * work->size[j]))
        return false;
    size_t first = first_moved(work, last);
    carry(work, j, work->x[j]);
    work->side[j] = AQ_FREE;
    work->order[last] = j;
    work->inverse[last] = aq_lsq_reflect(row_of(work, last), row_of(work, last + 1), work->stride,
                                         work->rank - last - 1, j, first, work->parts + 1, work->column);
    work->count++;
    return true;
}

/* Solves the triangle of the free parts for `right`, which it uses up, into `to`. */
static void solve_free(const aq_lsq_work *work, double *right, double *to)
{
    for (size_t t = work->count; t-- > 0;) {
        size_t j = work->order[t];
        double x = right[t] * work->inverse[t];
        const double *above = work->u + j;
        for (size_t i = 0; i < t; i++, above += work->stride)
            right[i] -= *above * x;
        to[j] = x;
    }
}

/* Solves the transposed triangle for `right`, in place. */
static void solve_free_transposed(const aq_lsq_work *work, double *right)
{
    for (size_t t = 0; t < work->count; t++) {
        const double *row = row_of(work, t);
        double y = right[t] *= work->inverse[t];
        for (size_t s = t + 1; s < work->count; s++)
            right[s] -= row[work->order[s]] * y;
    }
}

/* What the fixed parts leave of equal_to; adds the terms of that, taken positive, to `terms`. */
static double left_of_equality(const aq_lsq_work *work, double *terms)
{
    double left = work->equal_to;

    *terms += fabs(left);
    for (size_t j = 0; j < work->parts; j++)
        if (work->side[j] != AQ_FREE) {
            left -= work->equal[j] * work->x[j];
            *terms += fabs(work->equal[j] * work->x[j]);
        }
    return left;
}

/* lift = R^-T c; gives its square, 0 if no free part counts in the equality. */
static double lift_equality(aq_lsq_work *work)
{
    double square = 0;

    for (size_t t = 0; t < work->count; t++)
        work->lift[t] = work->equal[work->order[t]];
    solve_free_transposed(work, work->lift);
    for (size_t t = 0; t < work->count; t++)
        square += work->lift[t] * work->lift[t];
    return square;
}

/* The multiplier of the equality; 0 where it is no more than rounding. */
static double price_of_equality(aq_lsq_work *work, double left, double terms, double square)
{
    double price = left;

    work->price_noise = 0;
    if (!(square > 0))
        return 0;
    for (size_t t = 0; t < work->count; t++) {
        double part = work->lift[t] * row_of(work, t)[work->parts];
        price -= part;
        terms += fabs(part);
    }
    work->price_noise = 8 * DBL_EPSILON * terms / square;
    return fabs(price) <= 8 * DBL_EPSILON * terms ? 0 : price / square;
}

/* What the triangle of the free parts is to meet, into `column`, and what will be left over, into `rest`. */
static void aim(aq_lsq_work *work)
{
    if (work->equality) {
        double terms = 0, left = left_of_equality(work, &terms), square = lift_equality(work);
        work->price = price_of_equality(work, left, terms, square);
    }
    for (size_t t = 0; t < work->count; t++) {
        work->rest[t] = work->equality ? work->price * work->lift[t] : 0;
        work->column[t] = row_of(work, t)[work->parts] + work->rest[t];
    }
    for (size_t i = work->count; i < work->rank; i++)
        work->rest[i] = -row_of(work, i)[work->parts];
}

/* The best x of the free parts, the others staying: into `to`, with what it leaves over in `rest`. */
static void balance(aq_lsq_work *work)
{
    aim(work);
    solve_free(work, work->column, work->to);
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

/* How far c . x of the free parts reaches down and up. */
static bool within_reach(const aq_lsq_work *work)
{
    double terms = 0, left = left_of_equality(work, &terms), least = 0, most = 0;

    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        double c = work->equal[j];
        if (c == 0)
            continue;
        least += c > 0 ? c * work->low[j] : c * work->high[j];
        most += c > 0 ? c * work->high[j] : c * work->low[j];
    }
    return least < left && left < most;
}

/* Puts x, which is within its bounds, on the equality: along c, and as parts meet a bound the others take over. Every
 * round but the last stops a part. What was moved away from a bound is parked. */
static void repair(aq_lsq_work *work)
{
    for (size_t round = 0; round <= work->parts; round++) {
        double miss = work->equal_to, slope = 0;
        for (size_t j = 0; j < work->parts; j++)
            miss -= work->equal[j] * work->x[j];
        for (size_t j = 0; j < work->parts; j++) {
            double c = work->equal[j];
            bool stuck = c * miss > 0 ? work->x[j] >= work->high[j] : work->x[j] <= work->low[j];
            work->to[j] = c == 0 || stuck ? 0 : c / work->size[j];
            slope += c * work->to[j];
        }
        if (miss == 0 || !(slope > 0))
            return;
        for (size_t j = 0; j < work->parts; j++)
            work->x[j] = fmin(fmax(work->x[j] + miss / slope * work->to[j], work->low[j]), work->high[j]);
    }
}

/* Fixes every part where `x` has it; those within their range stay free if they are now. */
static void stand(aq_lsq_work *work)
{
    for (size_t j = 0; j < work->parts; j++) {
        double x = work->x[j];
        if (x > work->low[j] && x < work->high[j]) {
            if (work->side[j] != AQ_FREE)
                fix(work, j, AQ_PARKED, x);
        } else {
            fix_at_bound(work, j, x);
        }
    }
    close_up(work);
}

static void start_on_equality(aq_lsq_work *work)
{
    for (size_t j = 0; j < work->parts; j++) {
        if (work->side[j] == AQ_FREE)
            work->x[j] = fmin(fmax(work->to[j], work->low[j]), work->high[j]);
        else
            carry(work, j, work->x[j]);
    }
    repair(work);
    stand(work);
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

static bool fix_leavers(aq_lsq_work *work)
{
    size_t fixed = 0;

    for (size_t t = 0; t < work->count; t++)
        fixed += fix_at_bound(work, work->order[t], work->to[work->order[t]]);
    if (fixed > 0)
        close_up(work);
    return fixed > 0;
}

/* Ends with x within its bounds and on the equality; true if x is also the best of its free parts. */
static bool guess(aq_lsq_work *work)
{
    aim(work);
    solve_clipped(work);
    while (fix_leavers(work)) {
        if (work->equality && !within_reach(work)) {
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

    if (to <= work->low[j])
        return x > work->low[j] ? (x - work->low[j]) / (x - to) : 0;
    if (to >= work->high[j])
        return x < work->high[j] ? (work->high[j] - x) / (to - x) : 0;
    return 2;
}

/* Moves x toward `to` as far as all may go, and fixes those that stopped it. True if it arrived. */
static bool advance(aq_lsq_work *work)
{
    double share = 2;

    for (size_t t = 0; t < work->count; t++)
        share = fmin(share, room(work, work->order[t]));
    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        if (share > 1) {
            work->x[j] = work->to[j];
        } else if (room(work, j) <= share) {
            fix_at_bound(work, j, work->to[j]);
        } else {
            double x = work->x[j] + share * (work->to[j] - work->x[j]);
            work->x[j] = fmin(fmax(x, work->low[j]), work->high[j]);
        }
    }
    if (share <= 1)
        close_up(work);
    return share > 1;
}

static void descend(aq_lsq_work *work)
{
    do
        balance(work);
    while (!advance(work));
}

/* What each fixed part would gain by moving: half the slope of the objective, the equality's price not yet taken off. */
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
        const double *restrict row = row_of(work, i);
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
        own += row_of(work, i)[j] * row_of(work, i)[j];
    double noise = unit * (own * work->right_square + work->size[j] * work->rest_square);
    if (work->equality) {
        double c = work->equal[j], lift = 0;
        for (size_t t = 0; t < work->count; t++)
            lift += work->lift[t] * work->lift[t];
        noise += unit * work->price * work->price * c * c;
        noise += work->price_noise * work->price_noise * (c * c + work->size[j] * lift);
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

    for (size_t j = 0; j < work->parts; j++) {
        double c = work->equal[j], price = work->pull[j] / c;
        bool from_above = (work->side[j] == AQ_AT_LOW) == (c > 0), parked = work->side[j] == AQ_PARKED;
        if (work->side[j] == AQ_FREE || c == 0 || work->settled[j] || work->low[j] == work->high[j])
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
    if (least - most > blur[0] + blur[1])
        return true;
    work->price = least <= blur[1] && most >= -blur[0] ? 0 : fmin(fmax(0, least), most);
    return false;
}

static bool counts_in_equality(const aq_lsq_work *work)
{
    for (size_t t = 0; t < work->count; t++)
        if (work->equal[work->order[t]] != 0)
            return true;
    return false;
}

/* The parts to free next: none, one, or two that trade along the equality. */
static size_t next(aq_lsq_work *work, size_t pair[2])
{
    double most = 0;
    size_t found = 0;

    pulls(work);
    if (work->equality && !counts_in_equality(work) && trade(work, pair))
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
        if (release(work, pair[k]))
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

/* ---- the last digits ---- */

static void move_free(aq_lsq_work *work, double *right)
{
    solve_free(work, right, work->to);
    for (size_t t = 0; t < work->count; t++) {
        size_t j = work->order[t];
        work->x[j] = fmin(fmax(work->x[j] + work->to[j], work->low[j]), work->high[j]);
    }
}

/* Takes the rounding out of c . x = d, along the direction that costs least. */
static void hold_equality(aq_lsq_work *work)
{
    double terms = 0, miss = left_of_equality(work, &terms), square = 0;

    for (size_t t = 0; t < work->count; t++) {
        miss -= work->equal[work->order[t]] * work->x[work->order[t]];
        square += work->lift[t] * work->lift[t];
    }
    if (!(square > 0) || miss == 0)
        return;
    for (size_t t = 0; t < work->count; t++)
        work->column[t] = miss / square * work->lift[t];
    move_free(work, work->column);
}

void aq_lsq_refine(aq_lsq_work *work, const double *slope, double miss)
{
    double *right = work->column;

    for (size_t t = 0; t < work->count; t++)
        right[t] = -slope[work->order[t]];
    solve_free_transposed(work, right);
    if (work->equality) {
        double square = lift_equality(work);
        for (size_t t = 0; t < work->count; t++)
            miss -= work->lift[t] * right[t];
        for (size_t t = 0; square > 0 && t < work->count; t++)
            right[t] += miss / square * work->lift[t];
    }
    move_free(work, right);
}

void aq_lsq_active(aq_lsq_work *work)
{
    work->steps = 0;
    work->price = 0;
    for (size_t j = 0; j < work->parts; j++) {
        work->settled[j] = false;
        work->side[j] = AQ_PARKED;
    }
    for (size_t t = 0; t < work->count; t++)
        work->side[work->order[t]] = AQ_FREE;
    for (size_t j = 0; j < work->parts; j++) {
        double near = fmin(fmax(0, work->low[j]), work->high[j]);
        if (work->side[j] != AQ_FREE && !fix_at_bound(work, j, near))
            fix(work, j, AQ_PARKED, near);
    }
    if (!guess(work))
        descend(work);
    improve(work);
    if (work->equality)
        hold_equality(work);
    if(work->steps>work->patience)__builtin_printf("PATIENCE\n");
    for (size_t j = 0; work->rank < work->parts && j < work->parts; j++)
        work->settled[j] = work->low[j] == work->high[j] || presses(work, j);
}
