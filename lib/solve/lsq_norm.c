/* Of all x that are equally good, the one of least sum x_j^2: what twin parts without a ridge, parts that bring
 * nothing, and fewer targets than parts come to. Example: 2 mL of twins within 0 and 1.5 each is 1 + 1; if one stops at
 * 0.5 it is 0.5 + 1.5.
 *
 * What is equally good is x + Z z within the bounds, Z being the moves that change no target. With Z of orthonormal
 * columns in the units of x, z = -Z'x is the shortest without bounds; from there the dual method of Goldfarb and Idnani
 * (1983) takes in one broken bound at a time. Its objective rises with every bound that it takes in, so it ends even
 * where many bounds meet in one corner, and with the unit matrix as its Hessian no factor is ill-conditioned. There are
 * few such moves, so the basis of the bounds taken in is made afresh when one of them goes. */
#include "solve/lsq_inner.h"

#include <float.h>
#include <math.h>
#include <string.h>

/* The bounds that hold x back. Row k of `normal` points from bound k into the range, as a direction of z; `basis` is
 * the same made orthonormal, normal_k = sum_i part_ki basis_i. */
typedef struct {
    size_t moves, count;
    double *z;
    double *normal, *basis; /* one row more than `moves`, for the bound to come */
    double *part;           /* and one column more */
    double *press;          /* multiplier of each bound: 0 or more */
    double *give;           /* what each loses per unit of the next one */
    double *way;            /* where z goes per unit of the next one */
    size_t *bound;          /* the part of each */
} corner;

/* Squared: directions of length 1 closer than this are one. */
static const double least_own = 1e-29;

static double dot(const double *a, const double *b, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

static void add(double *to, double share, const double *from, size_t count)
{
    for (size_t i = 0; i < count; i++)
        to[i] += share * from[i];
}

/* Where part j is, in the units whose sum of squares is to be least. */
static double tie_of(const aq_lsq_work *work, size_t j, double x)
{
    return work->tie_scale[j] * x - work->tie_shift[j];
}

/* Takes its shares of the `count` orthonormal rows of `basis` out of `row`, and adds them to `shares`; twice, since
 * once leaves rounding that matters where little is left. */
static void make_orthogonal(double *row, const double *basis, size_t count, size_t length, double *shares)
{
    for (int turn = 0; turn < 2; turn++)
        for (size_t i = 0; i < count; i++) {
            double share = dot(row, basis + i * length, length);
            add(row, -share, basis + i * length, length);
            if (shares)
                shares[i] += share;
        }
}

static double largest_entry(const double *move, size_t n)
{
    double most = 0;

    for (size_t j = 0; j < n; j++)
        most = fmax(most, fabs(move[j]));
    return most;
}

/* The moves in the units of x, orthonormal; gives how many. A part whose unit is tiny keeps its digits, because its row
 * is only ever added to itself. */
static size_t orthonormal_moves(aq_lsq_work *work)
{
    size_t n = work->parts, moves = aq_lsq_moves(work), kept = 0;

    for (size_t k = 0; k < moves; k++) {
        double *move = work->null + k * n, *to = work->null + kept * n;
        for (size_t j = 0; j < n; j++)
            move[j] *= work->tie_scale[j];
        double most = largest_entry(move, n);
        for (size_t j = 0; j < n; j++)
            move[j] /= most;
        make_orthogonal(move, work->null, kept, n, NULL);
        double length = sqrt(dot(move, move, n));
        if (length < 64 * DBL_EPSILON)
            continue;
        for (size_t j = 0; j < n; j++)
            to[j] = move[j] / length;
        kept++;
    }
    return kept;
}

/* How far part j is beyond its bound on `side` (below 0: inside), over the length of its row of Z, which goes to
 * `normal` with the sign that leads back; 0 where only rounding is. */
static double breach(const aq_lsq_work *work, const corner *at, size_t j, aq_lsq_side side, double *normal)
{
    double sign = side == AQ_AT_LOW ? 1 : -1, square = 0;
    double bound = tie_of(work, j, side == AQ_AT_LOW ? work->low[j] : work->high[j]);
    double x = tie_of(work, j, work->x[j]), terms = fabs(work->tie_scale[j] * work->x[j]);

    for (size_t k = 0; k < at->moves; k++) {
        double share = work->null[k * work->parts + j];
        normal[k] = sign * share;
        square += share * share;
        x += share * at->z[k];
        terms += fabs(share * at->z[k]);
    }
    double beyond = sign * (bound - x), length = sqrt(square);
    if (!(fabs(beyond) > 16 * DBL_EPSILON * terms) || !(length > 0) || isinf(bound))
        return 0;
    for (size_t k = 0; k < at->moves; k++)
        normal[k] /= length;
    return beyond / length;
}

static bool taken_in(const corner *at, size_t j)
{
    for (size_t k = 0; k < at->count; k++)
        if (at->bound[k] == j)
            return true;
    return false;
}

/* The bound that is broken most; AQ_FREE if none is. */
static aq_lsq_side most_broken(const aq_lsq_work *work, const corner *at, size_t *part)
{
    double most = 0, *normal = at->way;
    aq_lsq_side side = AQ_FREE;

    for (size_t j = 0; j < work->parts; j++) {
        if (taken_in(at, j))
            continue;
        double low = breach(work, at, j, AQ_AT_LOW, normal), high = breach(work, at, j, AQ_AT_HIGH, normal);
        if (fmax(low, high) <= most)
            continue;
        most = fmax(low, high);
        side = low > high ? AQ_AT_LOW : AQ_AT_HIGH;
        *part = j;
    }
    return side;
}

/* Row k of `normal` into `basis` and `part`. Gives what is its own, squared. */
static double extend_basis(corner *at, size_t k)
{
    size_t moves = at->moves;
    double *own = at->basis + k * moves, *part = at->part + k * (moves + 1);

    memcpy(own, at->normal + k * moves, moves * sizeof *own);
    memset(part, 0, moves * sizeof *part);
    make_orthogonal(own, at->basis, k, moves, part);
    double square = dot(own, own, moves);
    memcpy(at->way, own, moves * sizeof *own);
    part[k] = sqrt(square);
    for (size_t i = 0; i < moves && part[k] > 0; i++)
        own[i] /= part[k];
    return square;
}

static void let_go(corner *at, size_t gone)
{
    size_t moves = at->moves;

    for (size_t k = gone; k + 1 <= at->count; k++) { /* the one to come stands behind the last */
        memcpy(at->normal + k * moves, at->normal + (k + 1) * moves, moves * sizeof *at->normal);
        at->press[k] = at->press[k + 1];
        at->bound[k] = at->bound[k + 1];
    }
    at->count--;
    for (size_t k = gone; k < at->count; k++)
        extend_basis(at, k);
}

/* What each bound loses per unit of the one to come: its normal as a mix of theirs. */
static void find_give(corner *at)
{
    size_t width = at->moves + 1;
    const double *share = at->part + at->count * width;

    for (size_t k = at->count; k-- > 0;) {
        double sum = share[k];
        for (size_t s = k + 1; s < at->count; s++)
            sum -= at->part[s * width + k] * at->give[s];
        at->give[k] = sum / at->part[k * width + k];
    }
}

/* Takes in the broken bound of part j, letting go of those that press no more. False if the bounds contradict each
 * other, which they do by rounding only. */
static bool take_in(const aq_lsq_work *work, corner *at, size_t j, aq_lsq_side side)
{
    size_t moves = at->moves;

    at->bound[at->count] = j;
    at->press[at->count] = 0;
    for (;;) {
        size_t new = at->count, first = new;
        double beyond = breach(work, at, j, side, at->normal + new *moves), step = INFINITY;
        if (beyond <= 0)
            return true;
        double own = extend_basis(at, new);
        bool moves_z = own > least_own;
        find_give(at);
        if (moves_z)
            step = beyond / own;
        for (size_t k = 0; k < new; k++)
            if (at->give[k] > 0 && at->press[k] < step * at->give[k]) {
                step = at->press[k] / at->give[k];
                first = k;
            }
        if (isinf(step))
            return false;
        if (moves_z)
            add(at->z, step, at->way, moves);
        add(at->press, -step, at->give, new);
        at->press[new] += step;
        if (first == new) {
            at->count++;
            return true;
        }
        let_go(at, first);
    }
}

/* To the answer; a part that came within rounding of a bound lies there. */
static void place(aq_lsq_work *work, const corner *at)
{
    for (size_t j = 0; j < work->parts; j++) {
        double x = work->x[j], terms = fabs(x), low = work->low[j], high = work->high[j];
        for (size_t k = 0; k < at->moves; k++) {
            double share = work->null[k * work->parts + j] * at->z[k] / work->tie_scale[j];
            x += share;
            terms += fabs(share);
        }
        x = fmin(fmax(x, low), high);
        if (fmin(x - low, high - x) <= 16 * DBL_EPSILON * terms || taken_in(at, j))
            x = x - low < high - x ? low : high;
        work->x[j] = x;
    }
}

/* The z of least sum of squares that obeys the bounds; false if rounding lets them contradict each other. */
static bool shortest(const aq_lsq_work *work, corner *at)
{
    size_t part = 0, patience = 64 + 16 * work->parts;
    aq_lsq_side side;

    at->count = 0;
    for (size_t k = 0; k < at->moves; k++) {
        at->z[k] = 0;
        for (size_t j = 0; j < work->parts; j++)
            at->z[k] -= work->null[k * work->parts + j] * tie_of(work, j, work->x[j]);
    }
    while ((side = most_broken(work, at, &part)) != AQ_FREE)
        if (patience-- == 0 || !take_in(work, at, part, side))
            return false;
    return true;
}

void aq_lsq_choose(aq_lsq_work *work)
{
    /* The factors have served; their memory serves again. */
    corner at = { .z = work->to,
                  .normal = work->dense,
                  .part = work->u,
                  .press = work->rest,
                  .give = work->pull,
                  .way = work->lift,
                  .bound = work->by_size };

    at.moves = orthonormal_moves(work);
    at.basis = at.normal + (at.moves + 1) * at.moves;
    if (at.moves == 0 || !shortest(work, &at))
        return;
    place(work, &at);

    /* Parts that no ridge pulls were drawn to 0 a little. Now that they are as short as they may be, they are drawn to
     * where they are, and those that a ridge pulls come to rest. */
    bool again = false;
    for (size_t j = 0; j < work->parts; j++)
        if (work->tie_drawn[j]) {
            work->tie_shift[j] = work->tie_scale[j] * work->x[j];
            again = true;
        }
    if (again && shortest(work, &at))
        place(work, &at);
}
