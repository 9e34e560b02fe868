/* The weighted rows, the ridge and the equality to an upper triangle R and Q'b, which is all the active set needs.
 *
 * A reflection (Householder 1958; Golub and Van Loan, Matrix Computations, section 5.1) with v = a - r e1, where r is
 * the norm of a with the sign that does not cancel, turns (3, 4) into (-5, 0): v = (8, 4), I - v v' / 40.
 *
 * Most problems are solved by the plain factors below, on short loops over four columns at a time that keep their sums
 * in registers: a quarter of the time that the general routines of GSL take at these sizes. The equality rides along
 * as one more row. That changes no answer, since every x that counts has the same value there, but parts that only the
 * equality can tell apart get a pivot of their own (an augmented Lagrangian of one step).
 *
 * Where a pivot is small beside its column, where there are fewer rows than parts, or where a square would leave the
 * range of double, GSL's column-pivoted QR decides the rank instead. Its rows come in order of falling size, which
 * makes the error of each row small beside that row (Cox and Higham 1998), so that a target weighted 1e8 times less
 * than another still tells twins apart. The ridge is stacked below only after the rank of the rest was decided:
 * rounding of the large rows then cannot outweigh a small ridge. */
#include "solve/lsq_inner.h"

#include <float.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

/* A pivot below this share of its column leaves fewer than eleven digits: the pivoted factors are worth their price.
 * Squares have to stay well inside the range of double (1e-308 to 1e308) when they are multiplied. */
static const double least_pivot = 1e-3;
static const double least_square = 1e-140, most_square = 1e140;

static void reflect_four(double *restrict top, double *restrict body, size_t stride, size_t count,
                         const double *restrict v, double head, double share)
{
    double a = head * top[0], b = head * top[1], c = head * top[2], d = head * top[3];
    double *row = body;

    for (size_t i = 0; i < count; i++, row += stride) {
        a += v[i] * row[0];
        b += v[i] * row[1];
        c += v[i] * row[2];
        d += v[i] * row[3];
    }
    a *= share, b *= share, c *= share, d *= share;
    top[0] -= head * a, top[1] -= head * b, top[2] -= head * c, top[3] -= head * d;
    row = body;
    for (size_t i = 0; i < count; i++, row += stride) {
        row[0] -= v[i] * a;
        row[1] -= v[i] * b;
        row[2] -= v[i] * c;
        row[3] -= v[i] * d;
    }
}

static void reflect_one(double *restrict top, double *restrict body, size_t stride, size_t count,
                        const double *restrict v, double head, double share)
{
    double a = head * *top;

    for (size_t i = 0; i < count; i++)
        a += v[i] * body[i * stride];
    a *= share;
    *top -= head * a;
    for (size_t i = 0; i < count; i++)
        body[i * stride] -= v[i] * a;
}

double aq_lsq_reflect(double *top, double *body, size_t stride, size_t count, size_t column, size_t from, size_t to,
                      double *gather)
{
    double first = top[column], sum = 0;

    for (size_t i = 0; i < count; i++) {
        double below = body[i * stride + column];
        gather[i] = below;
        sum += below * below;
        body[i * stride + column] = 0;
    }
    if (sum == 0)
        return 1 / first;

    double norm = sqrt(first * first + sum);
    double pivot = first > 0 ? -norm : norm;
    double head = first - pivot, share = 1 / (norm * (norm + fabs(first)));
    size_t k = from;
    for (; k + 4 <= to; k += 4)
        reflect_four(top + k, body + k, stride, count, gather, head, share);
    for (; k < to; k++)
        reflect_one(top + k, body + k, stride, count, gather, head, share);

    /* `from` may lie before `column`, whose entries the loops then met as zeros below a used-up head. */
    top[column] = pivot;
    for (size_t i = 0; i < count; i++)
        body[i * stride + column] = 0;
    return 1 / pivot;
}

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
    work->unit = 1;
    work->equal_to = work->equality ? problem->equal_to : 0;
    for (size_t j = 0; j < problem->parts; j++) {
        work->scale[j] = 1;
        work->low[j] = problem->lower ? problem->lower[j] : 0;
        work->high[j] = problem->upper ? problem->upper[j] : INFINITY;
        if (work->equality)
            work->equal[j] = problem->equal[j];
    }
}

/* A negative ridge or weight, which its square would hide, becomes NaN. */
static double at_least_0(double value)
{
    return value >= 0 ? value : NAN;
}

static double *plain_ridge(aq_lsq_work *work, const aq_lsq *problem, double *row)
{
    for (size_t j = 0; j < problem->parts; j++, row += work->stride) {
        memset(row, 0, work->stride * sizeof *row);
        row[j] = at_least_0(problem->ridge[j]);
        row[problem->parts] = row[j] * anchor_of(problem, j);
    }
    return row;
}

static double *plain_rows(const aq_lsq *problem, double *row)
{
    const double *a = problem->a;

    for (size_t i = 0; i < problem->rows; i++) {
        double weight = at_least_0(weight_of(problem, i));
        for (size_t j = 0; j < problem->parts; j++)
            row[j] = weight * a[j];
        row[problem->parts] = weight * problem->b[i];
        row += problem->parts + 1;
        a += problem->parts;
    }
    return row;
}

/* The equality as a row about as large as the others together. */
static double *plain_equality(const aq_lsq *problem, double *begin, double *row)
{
    double sum = 0, own = 0;

    for (const double *at = begin; at < row; at++)
        sum += *at * *at;
    for (size_t j = 0; j < problem->parts; j++)
        own += problem->equal[j] * problem->equal[j];
    double weight = sum > 0 ? sqrt(sum / own) : 1;
    for (size_t j = 0; j < problem->parts; j++)
        row[j] = weight * problem->equal[j];
    row[problem->parts] = weight * problem->equal_to;
    return row + problem->parts + 1;
}

/* NaN and infinity spread to every sum they touch, and no comparison with NaN holds. */
static bool plain_trusted(aq_lsq_work *work, const double *end)
{
    size_t n = work->parts;
    double total = 0;

    for (const double *at = work->u + n; at < end; at += work->stride)
        total += *at * *at;
    work->total = total;
    bool good = total <= most_square;
    for (size_t j = 0; j < n; j++)
        work->size[j] = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t j = i; j < n; j++)
            work->size[j] += work->u[i * work->stride + j] * work->u[i * work->stride + j];
    for (size_t j = 0; j < n; j++) {
        double pivot = work->u[j * work->stride + j];
        good = good && pivot * pivot > least_pivot * least_pivot * work->size[j] && work->size[j] >= least_square &&
               work->size[j] <= most_square;
    }
    return good;
}

bool aq_lsq_factor_plain(aq_lsq_work *work, const aq_lsq *problem)
{
    size_t n = problem->parts;
    size_t below = problem->rows + (work->equality ? 1 : 0);
    double *row = work->u, *body = row;

    if (!problem->ridge && below < n)
        return false;
    plain_scale(work, problem);
    if (problem->ridge)
        row = body = plain_ridge(work, problem, row);
    row = plain_rows(problem, row);
    if (work->equality)
        row = plain_equality(problem, work->u, row);

    /* The ridge lies on top as a triangle already: column j meets its row j and the rows of A, no other. */
    for (size_t j = 0; j < n; j++) {
        double *top = work->u + j * work->stride;
        if (!problem->ridge) {
            body = top + work->stride;
            below--;
        }
        work->inverse[j] = aq_lsq_reflect(top, body, work->stride, below, j, j + 1, n + 1, work->column);
        work->order[j] = j;
    }
    work->rank = work->count = n;
    return plain_trusted(work, row);
}

/* ---- pivoted ---- */

static double power_of_two(double size)
{
    int exponent = 0;

    if (size > 0)
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
    double weight = largest > 0 ? 1 / power_of_two(largest) : 1;
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

/* The right-hand side to a largest entry of about one, and with it the unit of every part. */
static void right_scale(aq_lsq_work *work, const aq_lsq *problem, double weight)
{
    double most = work->equality ? fabs(weight * problem->equal_to) : 0;

    for (size_t i = 0; i < problem->rows; i++)
        most = fmax(most, fabs(weight_of(problem, i) * problem->b[i]));
    for (size_t j = 0; j < problem->parts && problem->ridge; j++)
        most = fmax(most, fabs(problem->ridge[j] * anchor_of(problem, j)));
    work->unit = most > 0 ? power_of_two(most) : 1;
    work->equal_to = work->equality ? problem->equal_to / work->unit : 0;
    for (size_t j = 0; j < problem->parts; j++) {
        work->scale[j] *= work->unit;
        work->low[j] = problem->lower ? problem->lower[j] / work->scale[j] : 0;
        work->high[j] = problem->upper ? problem->upper[j] / work->scale[j] : INFINITY;
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

/* The rows of the ridge into u, below those that are independent of each other. */
static size_t scaled_ridge(aq_lsq_work *work, const aq_lsq *problem)
{
    size_t n = problem->parts, rows = work->rank;

    for (size_t j = 0; j < n; j++) {
        double *row = work->u + rows * work->stride;
        if (!(problem->ridge[j] > 0))
            continue;
        memset(row, 0, n * sizeof *row);
        row[j] = problem->ridge[j] * (work->scale[j] / work->unit);
        row[n] = problem->ridge[j] * anchor_of(problem, j) / work->unit;
        work->total += row[n] * row[n];
        rows++;
    }
    return rows;
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

/* The first `rows` of u to dense and column, largest first, with the size of each in rest. */
static void gather_falling(aq_lsq_work *work, size_t rows)
{
    size_t n = work->parts;

    for (size_t i = 0; i < rows; i++) {
        work->column[i] = 0;
        for (size_t j = 0; j < n; j++)
            work->column[i] = fmax(work->column[i], fabs(work->u[i * work->stride + j]));
        work->by_size[i] = i;
    }
    sort_falling(work->by_size, rows, work->column);
    for (size_t i = 0; i < rows; i++)
        work->rest[i] = work->column[work->by_size[i]];
    for (size_t i = 0; i < rows; i++) {
        const double *row = work->u + work->by_size[i] * work->stride;
        memcpy(work->dense + i * n, row, n * sizeof *row);
        work->column[i] = row[n];
    }
}

/* QR with column pivoting of dense, right-hand side in column; gives the rank. What is left in row k is rounding if it
 * is small beside the k-th largest row. */
static size_t decompose(aq_lsq_work *work, size_t rows)
{
    size_t n = work->parts, most = rows < n ? rows : n, rank = 0;
    int sign;

    if (most == 0)
        return 0;
    gsl_matrix_view dense = gsl_matrix_view_array(work->dense, rows, n);
    gsl_vector_view tau = gsl_vector_view_array(work->tau, most), norm = gsl_vector_view_array(work->norm, n);
    gsl_vector_view right = gsl_vector_view_array(work->column, rows);
    gsl_permutation order = { n, work->permutation };
    double noise = 32 * DBL_EPSILON * ((double)n + sqrt((double)rows));

    gsl_linalg_QRPT_decomp(&dense.matrix, &tau.vector, &order, &sign, &norm.vector);
    gsl_linalg_QR_QTvec(&dense.matrix, &tau.vector, &right.vector);
    while (rank < most && fabs(work->dense[rank * n + rank]) > noise * work->rest[rank])
        rank++;
    return rank;
}

/* The first `rows` of u to as many independent ones, columns in their own places. */
static void triangle(aq_lsq_work *work, size_t rows)
{
    size_t n = work->parts;

    gather_falling(work, rows);
    work->rank = decompose(work, rows);
    for (size_t i = 0; i < work->rank; i++) {
        double *row = work->u + i * work->stride;
        for (size_t k = 0; k < n; k++)
            row[work->permutation[k]] = k < i ? 0 : work->dense[i * n + k];
        row[n] = work->column[i];
    }
}

/* With R = (R1 R2) every dependent part k gives a move that changes no target: itself up by one, and the independent
 * ones by -R1^-1 r_k. */
static void null_moves(aq_lsq_work *work)
{
    size_t n = work->parts, rank = work->rank;

    for (size_t k = rank; k < n; k++) {
        double *move = work->null + (k - rank) * n;
        memset(move, 0, n * sizeof *move);
        move[work->permutation[k]] = 1;
        for (size_t t = rank; t-- > 0;) {
            const double *row = work->u + t * work->stride;
            double sum = row[work->permutation[k]];
            for (size_t s = t + 1; s < rank; s++)
                sum += row[work->permutation[s]] * move[work->permutation[s]];
            move[work->permutation[t]] = -sum * work->inverse[t];
        }
        for (size_t j = 0; j < n; j++)
            if (fabs(move[j]) < 64 * DBL_EPSILON)
                move[j] = 0;
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
        work->permutation[j] = j; /* as it stands if there is no row at all */
    triangle(work, rows);
    if (problem->ridge)
        triangle(work, scaled_ridge(work, problem));

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
    null_moves(work);
}
