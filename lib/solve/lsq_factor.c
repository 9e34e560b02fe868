/* The weighted rows, the ridge and the equality to an upper triangle R and Q'b, which is all the active set needs.
 *
 * Most problems are solved by the plain factors, one reflection for each column. The equality rides along as one
 * more row. That changes no answer, since every x that counts has the same value there, but parts that only the
 * equality can tell apart get a pivot of their own (an augmented Lagrangian of one step). The ridge is stacked
 * below.
 *
 * Where a pivot is small beside its column, where there are fewer rows than parts, or where a square would leave the
 * range of double, GSL's QR with column pivoting decides the rank instead, on columns scaled alike. Its rows come in
 * order of falling size, which keeps the rounding of each row small beside that row (Cox and Higham 1998), and a pivot
 * is weighed against what that may come to: so a target weighted 1e8 times less than another still tells twins apart.
 * The ridge is stacked only after the rank of the rest was decided: what rounding leaves of large rows then cannot
 * outweigh a small ridge. Example: for twins, two rows (3, 3) and (1, 1) come to (-3.16, -3.16) and (0, 4e-17); of the
 * latter nothing must be left beside a ridge of 1e-6. */
#include "solve/lsq_inner.h"

#include <float.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

/* The square of this is what a pivot may lose of sixteen digits: ten are left. */
static const double least_pivot = 1e-3;

/* Squares have to stay inside the range of double, about 1e-308 to 1e308, also when they are multiplied. */
static const double least_square = 1e-140, most_square = 1e140;

/* A ridge smaller than this beside every pivot is not stacked, where its square would drown in rounding, but decides
 * between equally good x afterwards: that moves x by the square of this at most. Parts that it leaves alone are drawn
 * to 0 by as small a share of it. */
static const double largest_decider = 1e-5, undecided = 1e-5;

/* An entry of a move is taken for rounding up to here, at most. */
static const double largest_noise = 1e-8;

static double weight_of(const aq_lsq *problem, size_t row)
{
    return problem->weight ? problem->weight[row] : 1;
}

static double anchor_of(const aq_lsq *problem, size_t part)
{
    return problem->anchor ? problem->anchor[part] : 0;
}

/* ---- plain ---- */

static void plain_scale(aq_lsq_work *work, const aq_lsq *problem)
{
    work->equal_to = problem->equal_to;
    for (size_t j = 0; j < problem->parts; j++) {
        work->scale[j] = 1;
        work->low[j] = aq_lsq_lower(problem, j);
        work->high[j] = aq_lsq_upper(problem, j);
        if (work->equality)
            work->equal[j] = problem->equal[j];
    }
}

/* A negative ridge or weight, which its square would hide, becomes NaN. */
static double at_least_0(double value)
{
    return value >= 0 ? value : NAN;
}

static double *plain_rows(const aq_lsq *problem, double *row)
{
    const double *a = problem->a;
    size_t n = problem->parts;

    for (size_t i = 0; i < problem->rows; i++, row += n + 1, a += n) {
        double weight = at_least_0(weight_of(problem, i));
        for (size_t j = 0; j < n; j++)
            row[j] = weight * a[j];
        row[n] = weight * problem->b[i];
    }
    return row;
}

/* The equality as a row: as large as the targets and the ridge are, in the unit of the part that counts most in it. */
static double *plain_equality(aq_lsq_work *work, const aq_lsq *problem, double *row)
{
    size_t n = problem->parts;
    double most = 0, *restrict size = work->size;

    for (size_t j = 0; j < n; j++)
        size[j] = problem->ridge ? problem->ridge[j] * problem->ridge[j] : 0;
    for (const double *at = work->u; at < row; at += n + 1)
        for (size_t j = 0; j < n; j++)
            size[j] += at[j] * at[j];
    for (size_t j = 0; j < n; j++) {
        double square = problem->equal[j] * problem->equal[j];
        if (square > most * size[j] && size[j] > 0)
            most = square / size[j];
    }
    double weight = most > 0 ? 1 / sqrt(most) : 1;
    for (size_t j = 0; j < n; j++)
        row[j] = weight * problem->equal[j];
    row[n] = weight * problem->equal_to;
    return row + n + 1;
}

static double *plain_ridge(const aq_lsq *problem, double *row)
{
    size_t n = problem->parts;

    for (size_t j = 0; j < n; j++, row += n + 1) {
        memset(row, 0, n * sizeof *row);
        row[j] = at_least_0(problem->ridge[j]);
        row[n] = row[j] * anchor_of(problem, j);
    }
    return row;
}

/* NaN and infinity spread to every sum they touch, and no comparison with NaN holds. */
static bool plain_trusted(aq_lsq_work *work, const double *end)
{
    size_t n = work->parts, stride = work->stride;
    double total = 0, *restrict size = work->size;

    for (const double *at = work->u + n; at < end; at += stride)
        total += *at * *at;
    work->total = total;
    for (size_t j = 0; j < n; j++)
        size[j] = 0;
    for (size_t i = 0; i < n; i++) {
        const double *row = work->u + i * stride;
        for (size_t j = i; j < n; j++)
            size[j] += row[j] * row[j];
    }
    bool good = total >= least_square && total <= most_square;
    for (size_t j = 0; j < n; j++) {
        double pivot = work->u[j * stride + j];
        good = good && pivot * pivot > least_pivot * least_pivot * size[j] && size[j] >= least_square &&
               size[j] <= most_square;
    }
    return good;
}

bool aq_lsq_factor_plain(aq_lsq_work *work, const aq_lsq *problem)
{
    size_t n = problem->parts, stride = n + 1, given = problem->rows + (work->equality ? 1 : 0);

    if (!problem->ridge && given < n)
        return false;
    plain_scale(work, problem);
    double *row = plain_rows(problem, work->u);
    if (work->equality)
        row = plain_equality(work, problem, row);
    if (problem->ridge)
        row = plain_ridge(problem, row);

    /* Column j meets the rows below its own, but of the ridge only the first j + 1: the others are still 0 there. */
    for (size_t j = 0; j < n; j++) {
        double *top = work->u + j * stride;
        size_t below = problem->ridge ? given : given - 1 - j;
        work->inverse[j] = aq_lsq_reflect(top, top + stride, stride, below, j, j + 1, n + 1, work->column);
        work->order[j] = j;
    }
    work->rank = work->count = n;
    return plain_trusted(work, row);
}

/* ---- pivoted ---- */

/* Of 0 it is 1. */
static double power_of_two(double size)
{
    int exponent;

    frexp(size, &exponent);
    return ldexp(1, exponent < -400 ? -400 : exponent > 400 ? 400 : exponent);
}

/* Columns to a largest entry between one half and one. A part that only the equality knows takes its size from there,
 * once `weight`, the weight of that row, is set by the parts that the targets know. */
static double column_scales(aq_lsq_work *work, const aq_lsq *problem)
{
    size_t n = problem->parts;
    double largest = 0;

    for (size_t j = 0; j < n; j++) {
        double most = problem->ridge ? problem->ridge[j] : 0;
        for (size_t i = 0; i < problem->rows; i++)
            most = fmax(most, fabs(weight_of(problem, i) * problem->a[i * n + j]));
        work->scale[j] = most > 0 ? 1 / power_of_two(most) : 0;
        if (work->equality)
            largest = fmax(largest, fabs(problem->equal[j]) * work->scale[j]);
    }
    double weight = 1 / power_of_two(largest);
    for (size_t j = 0; j < n; j++) {
        if (work->scale[j] == 0)
            work->scale[j] = work->equality && problem->equal[j] != 0
                                 ? 1 / power_of_two(weight * fabs(problem->equal[j]))
                                 : 1;
        if (work->equality)
            work->equal[j] = problem->equal[j] * work->scale[j];
    }
    return weight;
}

/* The right-hand side, with what the bounds force in, to a largest entry of about one, and with it the unit of every
 * part. */
static void right_scale(aq_lsq_work *work, const aq_lsq *problem, double weight)
{
    double most = work->equality ? fabs(weight * problem->equal_to) : 0;

    for (size_t i = 0; i < problem->rows; i++)
        most = fmax(most, fabs(weight_of(problem, i) * problem->b[i]));
    for (size_t j = 0; j < problem->parts; j++) {
        double near = fmin(fmax(0, aq_lsq_lower(problem, j)), aq_lsq_upper(problem, j));
        most = fmax(most, fabs(near / work->scale[j]));
        if (problem->ridge)
            most = fmax(most, fabs(problem->ridge[j] * anchor_of(problem, j)));
    }
    work->unit = power_of_two(most);
    work->equal_to = problem->equal_to / work->unit;
    for (size_t j = 0; j < problem->parts; j++) {
        work->scale[j] *= work->unit;
        work->low[j] = aq_lsq_lower(problem, j) / work->scale[j];
        work->high[j] = aq_lsq_upper(problem, j) / work->scale[j];
    }
}

/* The rows of the targets and of the equality, scaled, into u. Gives how many. */
static size_t scaled_rows(aq_lsq_work *work, const aq_lsq *problem, double weight)
{
    size_t n = problem->parts;
    double *row = work->u;

    for (size_t i = 0; i < problem->rows; i++, row += work->stride) {
        for (size_t j = 0; j < n; j++)
            row[j] = weight_of(problem, i) * problem->a[i * n + j] * (work->scale[j] / work->unit);
        row[n] = weight_of(problem, i) * problem->b[i] / work->unit;
    }
    if (!work->equality)
        return problem->rows;
    for (size_t j = 0; j < n; j++)
        row[j] = weight * work->equal[j];
    row[n] = weight * work->equal_to;
    return problem->rows + 1;
}

/* Shell's sort of `index` by falling size: in place, and quick enough for the few thousand rows of a log. */
static void sort_falling(size_t *index, size_t count, const double *size)
{
    for (size_t gap = count / 2; gap > 0; gap = gap == 2 ? 1 : gap * 5 / 11)
        for (size_t i = gap; i < count; i++) {
            size_t moved = index[i], k = i;
            for (; k >= gap && size[index[k - gap]] < size[moved]; k -= gap)
                index[k] = index[k - gap];
            index[k] = moved;
        }
}

/* The first `rows` of u to dense and column, largest first, with the size of each in rest. Only the `columns` parts of
 * order are taken. */
static void gather_falling(aq_lsq_work *work, size_t rows, size_t columns)
{
    for (size_t i = 0; i < rows; i++) {
        const double *row = aq_lsq_row(work, i);
        work->column[i] = 0;
        for (size_t k = 0; k < columns; k++)
            work->column[i] = fmax(work->column[i], fabs(row[work->order[k]]));
        work->by_size[i] = i;
    }
    sort_falling(work->by_size, rows, work->column);
    for (size_t i = 0; i < rows; i++)
        work->rest[i] = work->column[work->by_size[i]];
    for (size_t i = 0; i < rows; i++) {
        const double *row = aq_lsq_row(work, work->by_size[i]);
        for (size_t k = 0; k < columns; k++)
            work->dense[i * columns + k] = row[work->order[k]];
        work->column[i] = row[work->parts];
    }
}

/* Whether pivot k is what rounding left: the distance of a column from the span of those before it, along the unit
 * vector q, is known to within rounding of each row times its entry of q. */
static bool is_rounding(aq_lsq_work *work, gsl_matrix *dense, gsl_vector *tau, size_t k)
{
    double pivot = fabs(gsl_matrix_get(dense, k, k)), sum = 0;
    double noise = 32 * DBL_EPSILON * ((double)dense->size2 + sqrt((double)dense->size1));

    if (pivot > noise * work->rest[0])
        return false;
    gsl_vector_view q = gsl_vector_view_array(work->normal, dense->size1);
    gsl_vector_set_basis(&q.vector, k);
    gsl_linalg_QR_Qvec(dense, tau, &q.vector);
    for (size_t i = 0; i < dense->size1; i++)
        sum += work->rest[i] * work->rest[i] * work->normal[i] * work->normal[i];
    return pivot <= noise * sqrt(sum);
}

/* QR with column pivoting of dense, right-hand side in column; gives the rank. */
static size_t decompose(aq_lsq_work *work, size_t rows, size_t columns)
{
    size_t most = rows < columns ? rows : columns, rank = 0;
    int sign;

    if (most == 0)
        return 0;
    gsl_matrix_view dense = gsl_matrix_view_array(work->dense, rows, columns);
    gsl_vector_view tau = gsl_vector_view_array(work->tau, most);
    gsl_vector_view norm = gsl_vector_view_array(work->norm, columns);
    gsl_vector_view right = gsl_vector_view_array(work->column, rows);
    gsl_permutation order = { columns, work->permutation };

    gsl_linalg_QRPT_decomp(&dense.matrix, &tau.vector, &order, &sign, &norm.vector);
    gsl_linalg_QR_QTvec(&dense.matrix, &tau.vector, &right.vector);
    while (rank < most && !is_rounding(work, &dense.matrix, &tau.vector, rank))
        rank++;
    return rank;
}

/* The first `rows` of u to as many independent ones, columns in their own places. */
static void triangle(aq_lsq_work *work, size_t rows)
{
    size_t n = work->parts;

    for (size_t j = 0; j < n; j++)
        work->order[j] = work->permutation[j] = j; /* which stands if there is no row at all */
    gather_falling(work, rows, n);
    work->rank = decompose(work, rows, n);
    for (size_t i = 0; i < work->rank; i++) {
        double *row = aq_lsq_row(work, i);
        for (size_t k = 0; k < n; k++)
            row[work->permutation[k]] = k < i ? 0 : work->dense[i * n + k];
        row[n] = work->column[i];
    }
}

static double least_of_pivots(const aq_lsq_work *work)
{
    double least = INFINITY;

    for (size_t i = 0; i < work->rank; i++)
        least = fmin(least, fabs(aq_lsq_row(work, i)[work->permutation[i]]));
    return work->rank > 0 ? least : 0;
}

/* Part k of the factors in dense, which depends on the first `rank`, up by one, and those down by R1^-1 r_k. What is
 * small enough to be rounding is nothing: it moves no part that presses, so that costs its square at most. */
static void move_of(const aq_lsq_work *work, size_t columns, size_t rank, size_t k, double *move)
{
    const double *r = work->dense;
    double most = 1;

    memset(move, 0, work->parts * sizeof *move);
    move[work->order[work->permutation[k]]] = 1;
    for (size_t t = rank; t-- > 0;) {
        double sum = r[t * columns + k];
        for (size_t s = t + 1; s < rank; s++)
            sum += r[t * columns + s] * move[work->order[work->permutation[s]]];
        move[work->order[work->permutation[t]]] = -sum / r[t * columns + t];
        most = fmax(most, fabs(sum / r[t * columns + t]));
    }
    double spread = rank > 0 ? fabs(r[0] / r[(rank - 1) * columns + rank - 1]) : 1;
    double noise = fmin(64 * DBL_EPSILON * spread, largest_noise) * most;
    for (size_t j = 0; j < work->parts; j++)
        if (fabs(move[j]) <= noise)
            move[j] = 0;
}

size_t aq_lsq_moves(aq_lsq_work *work)
{
    size_t columns = 0;

    for (size_t j = 0; j < work->parts; j++)
        if (!work->settled[j])
            work->order[columns++] = j;
    for (size_t k = 0; k < columns; k++)
        work->permutation[k] = k;
    gather_falling(work, work->rank, columns);
    for (size_t i = 1; i < work->rank; i++)
        work->rest[i] = work->rest[0]; /* updated rows share the rounding of the largest */
    size_t rank = decompose(work, work->rank, columns);
    for (size_t k = rank; k < columns; k++)
        move_of(work, columns, rank, k, work->null + (k - rank) * work->parts);
    return columns - rank;
}

static double scaled_ridge(const aq_lsq_work *work, const aq_lsq *problem, size_t j)
{
    return problem->ridge[j] * (work->scale[j] / work->unit);
}

/* Stacks the rows of the ridge that are larger than `least` and not yet `stacked`, which is what they are then. False
 * if there is none. */
static bool stack_ridge(aq_lsq_work *work, const aq_lsq *problem, double least)
{
    size_t n = problem->parts, rows = work->rank;

    for (size_t j = 0; j < n; j++) {
        double *row = work->u + rows * work->stride, ridge = scaled_ridge(work, problem, j);
        if (work->stacked[j] || !(ridge > least))
            continue;
        work->stacked[j] = true;
        memset(row, 0, n * sizeof *row);
        row[j] = ridge;
        row[n] = problem->ridge[j] * anchor_of(problem, j) / work->unit;
        work->total += row[n] * row[n];
        rows++;
    }
    if (rows == work->rank)
        return false;
    triangle(work, rows);
    return true;
}

/* What to choose by between equally good x: the least distance from the anchors that the rest of the ridge pulls to;
 * for parts that nothing pulls, the least norm. */
static void choose_by(aq_lsq_work *work, const aq_lsq *problem)
{
    double most = 0;

    for (size_t j = 0; problem->ridge && j < problem->parts; j++)
        if (!work->stacked[j])
            most = fmax(most, problem->ridge[j]);
    for (size_t j = 0; j < problem->parts; j++) {
        double unit = work->scale[j] / work->unit,
               pull = most > 0 && !work->stacked[j] ? problem->ridge[j] / most : 0;
        work->tie_drawn[j] = most > 0 && pull <= undecided;
        work->tie_scale[j] = most > 0 ? unit * fmax(pull, undecided) : unit;
        work->tie_shift[j] = pull > undecided ? pull * anchor_of(problem, j) / work->unit : 0;
    }
}

void aq_lsq_factor_pivoted(aq_lsq_work *work, const aq_lsq *problem)
{
    size_t n = problem->parts;
    double weight = column_scales(work, problem);

    right_scale(work, problem, weight);
    size_t rows = scaled_rows(work, problem, weight);
    work->total = 0;
    for (size_t i = 0; i < rows; i++)
        work->total += work->u[i * work->stride + n] * work->u[i * work->stride + n];
    for (size_t j = 0; j < n; j++)
        work->stacked[j] = false;
    triangle(work, rows);
    while (problem->ridge && stack_ridge(work, problem, largest_decider * least_of_pivots(work)))
        ;
    if (problem->ridge && work->rank == n)
        stack_ridge(work, problem, 0);
    choose_by(work, problem);

    work->count = work->rank;
    for (size_t j = 0; j < n; j++)
        work->size[j] = 0;
    for (size_t i = 0; i < work->rank; i++) {
        const double *row = work->u + i * work->stride;
        for (size_t j = 0; j < n; j++)
            work->size[j] += row[j] * row[j];
        work->order[i] = work->permutation[i];
        work->inverse[i] = 1 / row[work->order[i]];
    }
}
