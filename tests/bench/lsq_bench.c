/* What a bounded solve costs beside what one might do instead, in one run on the same problems:
 *
 *     lsq_bench [PROBLEMS [SEED]]      for tests/bench/solver.py, which runs it several times and makes the table
 *
 * - one plain QR factorise-and-solve of the same matrix by GSL, which knows no bounds;
 * - the compiled core of R's nnls package (Lawson and Hanson's own Fortran), called from C, on problems without tops.
 *
 * A line is: family, rows, parts, then the nanoseconds of our solve, of ours with its certificate, of QR, and of nnls (0
 * where it has no place), with tabs between. Each is the median over random problems of the median of nine timings. Half
 * the doses of a problem lie at a bound or near; "noisy" problems have targets that no mix comes near, so that most do. */
#include "solve/lsq.h"

#include <dlfcn.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { ROWS_MOST = 24, PARTS_MOST = 16, TIMINGS = 9, REPEATS = 30, PROBLEMS_MOST = 2000 };

typedef struct {
    aq_lsq problem;
    double a[ROWS_MOST * PARTS_MOST], b[ROWS_MOST], weight[ROWS_MOST];
    double lower[PARTS_MOST], upper[PARTS_MOST], ridge[PARTS_MOST], anchor[PARTS_MOST], equal[PARTS_MOST];
} sample;

typedef struct {
    const char *name;
    bool equality, ridge, tops, noisy;
} family;

static const family families[] = {
    { "bounds", .tops = true },
    { "bounds, noisy", .tops = true, .noisy = true },
    { "bounds and ridge", .tops = true, .ridge = true },
    { "bounds and equality", .tops = true, .equality = true },
    { "equality, noisy", .tops = true, .equality = true, .noisy = true },
    { "floors at 0 only", .tops = false },
};

static const size_t sizes[][2] = { { 3, 3 },  { 4, 3 },   { 6, 4 },   { 8, 6 },
                                   { 10, 8 }, { 10, 10 }, { 16, 10 }, { 16, 16 } };

/* Marsaglia's xorshift: the same problems in every run. */
static unsigned long long seed = 88172645463325252u;

static double share(void)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return (double)(seed >> 11) * 0x1p-53;
}

static double normal(void)
{
    return sqrt(-2 * log(1 - share())) * cos(2 * 3.14159265358979323846 * share());
}

static void make(sample *at, const family *of, size_t rows, size_t parts)
{
    double wanted[PARTS_MOST], to = 0;

    for (size_t j = 0; j < parts; j++) {
        at->lower[j] = 0;
        at->upper[j] = of->tops ? 1 + share() : INFINITY;
        at->ridge[j] = 1e-3;
        at->anchor[j] = at->equal[j] = share();
        wanted[j] = fmin(fmax(2.4 * share() - 0.4, 0), at->upper[j]);
        to += at->equal[j] * wanted[j];
    }
    for (size_t i = 0; i < rows; i++) {
        at->weight[i] = 1 + share();
        at->b[i] = (of->noisy ? 2 : 0.3) * normal();
        for (size_t j = 0; j < parts; j++) {
            at->a[i * parts + j] = share();
            at->b[i] += of->noisy ? 0 : at->a[i * parts + j] * wanted[j];
        }
    }
    at->problem = (aq_lsq){ .rows = rows,
                            .parts = parts,
                            .a = at->a,
                            .b = at->b,
                            .weight = of->tops ? at->weight : NULL,
                            .lower = at->lower,
                            .upper = at->upper,
                            .ridge = of->ridge ? at->ridge : NULL,
                            .anchor = at->anchor,
                            .equal = of->equality ? at->equal : NULL,
                            .equal_to = to };
}

static double now(void)
{
    struct timespec at;

    clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec * 1e9 + (double)at.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return x < y ? -1 : x > y;
}

static double quantile(double *values, size_t count, double at)
{
    qsort(values, count, sizeof *values, by_size);
    return values[(size_t)(at * (double)(count - 1) + 0.5)];
}

/* ---- what is timed ---- */

typedef struct {
    const aq_lsq *problem;
    aq_lsq_work *work;
    gsl_matrix *matrix;
    gsl_vector *tau, *x, *rest;
    double columns[ROWS_MOST * PARTS_MOST], right[ROWS_MOST];
} bench;

typedef void nnls_core(double *a, int *stride, int *rows, int *columns, double *b, double *x, double *norm,
                       double *w, double *z, int *index, int *mode, int *set);
static nnls_core *nnls;

static void by_us(bench *on)
{
    double x[PARTS_MOST];

    if (aq_lsq_solve(on->problem, on->work, x, NULL) != AQ_OK)
        abort();
}

static void by_us_with_certificate(bench *on)
{
    double x[PARTS_MOST], price[PARTS_MOST];
    int side[PARTS_MOST];
    aq_lsq_report report = { .side = side, .price = price };

    if (aq_lsq_solve(on->problem, on->work, x, &report) != AQ_OK)
        abort();
}

static void by_gsl(bench *on)
{
    gsl_matrix_const_view a =
        gsl_matrix_const_view_array(on->problem->a, on->problem->rows, on->problem->parts);
    gsl_vector_const_view b = gsl_vector_const_view_array(on->problem->b, on->problem->rows);

    gsl_matrix_memcpy(on->matrix, &a.matrix);
    gsl_linalg_QR_decomp(on->matrix, on->tau);
    gsl_linalg_QR_lssolve(on->matrix, on->tau, &b.vector, on->x, on->rest);
}

static void by_nnls(bench *on)
{
    int rows = (int)on->problem->rows, parts = (int)on->problem->parts, index[PARTS_MOST], mode, set;
    double a[ROWS_MOST * PARTS_MOST], b[ROWS_MOST], x[PARTS_MOST], w[PARTS_MOST], z[ROWS_MOST], norm;

    memcpy(a, on->columns, sizeof *a * (size_t)(rows * parts));
    memcpy(b, on->right, sizeof *b * (size_t)rows);
    nnls(a, &rows, &rows, &parts, b, x, &norm, w, z, index, &mode, &set);
}

static double time_of(void (*solve)(bench *), bench *on)
{
    double taken[TIMINGS];

    for (size_t k = 0; k < TIMINGS; k++) {
        double begin = now();
        for (int again = 0; again < REPEATS; again++)
            solve(on);
        taken[k] = (now() - begin) / REPEATS;
    }
    return quantile(taken, TIMINGS, 0.5);
}

/* ---- the table ---- */

static void measure(const family *of, size_t rows, size_t parts, size_t count)
{
    static double ours[PROBLEMS_MOST], certified[PROBLEMS_MOST], plain[PROBLEMS_MOST], other[PROBLEMS_MOST];
    static sample at;
    static bench on;

    on.work = aq_lsq_work_new(rows, parts);
    on.matrix = gsl_matrix_alloc(rows, parts);
    on.tau = gsl_vector_alloc(parts);
    on.x = gsl_vector_alloc(parts);
    on.rest = gsl_vector_alloc(rows);
    for (size_t k = 0; k < count; k++) {
        make(&at, of, rows, parts);
        on.problem = &at.problem;
        for (size_t i = 0; i < rows; i++) {
            on.right[i] = at.b[i];
            for (size_t j = 0; j < parts; j++)
                on.columns[j * rows + i] = at.a[i * parts + j];
        }
        ours[k] = time_of(by_us, &on);
        certified[k] = time_of(by_us_with_certificate, &on);
        plain[k] = time_of(by_gsl, &on);
        other[k] = !of->tops && nnls ? time_of(by_nnls, &on) : 0;
    }
    printf("%s\t%zu\t%zu\t%.1f\t%.1f\t%.1f\t%.1f\n", of->name, rows, parts, quantile(ours, count, 0.5),
           quantile(certified, count, 0.5), quantile(plain, count, 0.5), quantile(other, count, 0.5));
    fflush(stdout);
    aq_lsq_work_free(on.work);
    gsl_matrix_free(on.matrix);
    gsl_vector_free(on.tau);
    gsl_vector_free(on.x);
    gsl_vector_free(on.rest);
}

int main(int count, char **words)
{
    size_t problems = count > 1 ? (size_t)strtoul(words[1], NULL, 10) : 300;
    void *library = dlopen("/usr/lib/R/site-library/nnls/libs/nnls.so", RTLD_LAZY);

    if (problems < 1 || problems > PROBLEMS_MOST)
        problems = 300;
    if (count > 2)
        seed ^= strtoull(words[2], NULL, 10) * 0x9e3779b97f4a7c15u; /* spread over all the bits */
    if (library)
        *(void **)&nnls = dlsym(library, "nnls_");
    if (!nnls)
        fprintf(stderr, "nnls is not installed (r-cran-nnls): %s\n", dlerror());
    for (size_t f = 0; f < sizeof families / sizeof *families; f++)
        for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++)
            measure(&families[f], sizes[s][0], sizes[s][1], problems);
    return 0;
}
