/* Bounded least squares as a filter, so that other programs can judge the solver: a problem a line in, an answer a line
 * out, in the same order.
 *
 *     {"id": 7, "A": [[1, 2], [3, 4]], "b": [1, 2], "w": null, "lb": [0, 0], "ub": [null, 4], "eq": null, "ridge": null}
 *     {"id":7,"status":"optimal","x":[0,0.5]}
 *
 * w null: all 1; lb null: all 0; ub null or null in ub: no bound; null in lb: none below. "eq": {"c": [..], "d": 1},
 * "ridge": {"rho": [..] or one number for all, "x0": [..] or null}. Numbers that are not finite are the strings "NaN",
 * "Infinity" and "-Infinity". Status is optimal, invalid or infeasible; x is null unless optimal. A line that is not
 * such an object, or whose arrays do not fit each other, is invalid. --report adds the certificate, --time "ns", the
 * median time of one solve. */
#include "solve/lsq.h"

#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

typedef struct {
    bool report, time;
} options;

typedef struct {
    aq_lsq problem;
    double *store; /* every array of the problem */
    size_t used;
} line;

static bool read_number(const json_t *from, double if_null, double *to)
{
    static const struct {
        const char *word;
        double value;
    } words[] = { { "NaN", NAN }, { "Infinity", INFINITY }, { "-Infinity", -INFINITY } };

    if (json_is_number(from))
        *to = json_number_value(from);
    else if (json_is_null(from) && !isnan(if_null))
        *to = if_null;
    else if (json_is_string(from)) {
        for (size_t k = 0; k < sizeof words / sizeof *words; k++)
            if (strcmp(json_string_value(from), words[k].word) == 0) {
                *to = words[k].value;
                return true;
            }
        return false;
    } else
        return false;
    return true;
}

/* An array of `count` numbers into the store; NULL in `*to` where it is null or left out. `if_null` NaN: an entry may
 * not be null. */
static bool read_array(line *into, const json_t *from, size_t count, double if_null, const double **to)
{
    double *at = into->store + into->used;

    *to = NULL;
    if (!from || json_is_null(from))
        return true;
    if (!json_is_array(from) || json_array_size(from) != count)
        return false;
    for (size_t k = 0; k < count; k++)
        if (!read_number(json_array_get(from, k), if_null, at + k))
            return false;
    *to = at;
    into->used += count;
    return true;
}

static bool read_rows(line *into, const json_t *from)
{
    double *begin = into->store + into->used;
    const double *row;

    for (size_t i = 0; i < into->problem.rows; i++)
        if (!read_array(into, json_array_get(from, i), into->problem.parts, NAN, &row) || !row)
            return false;
    into->problem.a = begin;
    return true;
}

static bool read_ridge(line *into, const json_t *from)
{
    size_t parts = into->problem.parts;
    const json_t *rho = json_object_get(from, "rho");
    double *at = into->store + into->used, one;

    if (json_is_null(from) || !from)
        return true;
    if (!json_is_object(from) || !rho)
        return false;
    if (json_is_array(rho)) {
        if (!read_array(into, rho, parts, NAN, &into->problem.ridge))
            return false;
    } else {
        if (!read_number(rho, NAN, &one))
            return false;
        for (size_t j = 0; j < parts; j++)
            at[j] = one;
        into->problem.ridge = at;
        into->used += parts;
    }
    return read_array(into, json_object_get(from, "x0"), parts, NAN, &into->problem.anchor);
}

static bool read_equality(line *into, const json_t *from)
{
    if (!from || json_is_null(from))
        return true;
    return json_is_object(from) &&
           read_array(into, json_object_get(from, "c"), into->problem.parts, NAN, &into->problem.equal) &&
           into->problem.equal && read_number(json_object_get(from, "d"), NAN, &into->problem.equal_to);
}

/* How many parts: the length of the first array that tells. */
static size_t count_parts(const json_t *from)
{
    static const char *const keys[] = { "lb", "ub" };
    const json_t *row = json_array_get(json_object_get(from, "A"), 0);

    if (row)
        return json_array_size(row);
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
        if (json_is_array(json_object_get(from, keys[k])))
            return json_array_size(json_object_get(from, keys[k]));
    return json_array_size(json_object_get(json_object_get(from, "ridge"), "x0"));
}

static bool read_line(line *into, const json_t *from)
{
    const json_t *a = json_object_get(from, "A");
    aq_lsq *problem = &into->problem;

    memset(into, 0, sizeof *into);
    if (!json_is_array(a))
        return false;
    problem->rows = json_array_size(a);
    problem->parts = count_parts(from);
    into->store =
        malloc(sizeof *into->store * (problem->rows * (problem->parts + 2) + 6 * problem->parts + 1));
    return into->store && read_rows(into, a) &&
           read_array(into, json_object_get(from, "b"), problem->rows, NAN, &problem->b) && problem->b &&
           read_array(into, json_object_get(from, "w"), problem->rows, NAN, &problem->weight) &&
           read_array(into, json_object_get(from, "lb"), problem->parts, -INFINITY, &problem->lower) &&
           read_array(into, json_object_get(from, "ub"), problem->parts, INFINITY, &problem->upper) &&
           read_equality(into, json_object_get(from, "eq")) &&
           read_ridge(into, json_object_get(from, "ridge"));
}

static void write_array(const char *key, const double *at, size_t count)
{
    printf(",\"%s\":[", key);
    for (size_t k = 0; k < count; k++)
        printf("%s%.17g", k ? "," : "", at[k]);
    printf("]");
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return x < y ? -1 : x > y;
}

/* Nanoseconds of one solve: the median of nine runs of a hundred. */
static double time_of(const aq_lsq *problem, aq_lsq_work *work, double *x)
{
    enum { RUNS = 9, REPEATS = 100 };
    double taken[RUNS];

    for (int run = 0; run < RUNS; run++) {
        struct timespec begin, end;
        clock_gettime(CLOCK_MONOTONIC, &begin);
        for (int k = 0; k < REPEATS; k++)
            if (aq_lsq_solve(problem, work, x, NULL) != AQ_OK)
                return 0;
        clock_gettime(CLOCK_MONOTONIC, &end);
        taken[run] = (double)(end.tv_sec - begin.tv_sec) * 1e9 + (double)(end.tv_nsec - begin.tv_nsec);
    }
    qsort(taken, RUNS, sizeof *taken, by_size);
    return taken[RUNS / 2] / REPEATS;
}

static void write_answer(const json_t *id, aq_status status, const double *x, size_t parts)
{
    char *text = id ? json_dumps(id, JSON_ENCODE_ANY | JSON_COMPACT | JSON_REAL_PRECISION(17)) : NULL;

    printf("{\"id\":%s,\"status\":\"%s\"", text ? text : "null",
           status == AQ_OK           ? "optimal"
           : status == AQ_INFEASIBLE ? "infeasible"
                                     : "invalid");
    if (status == AQ_OK)
        write_array("x", x, parts);
    else
        printf(",\"x\":null");
    free(text);
}

static void write_report(const aq_lsq_report *report, size_t parts)
{
    printf(",\"gap\":%.17g,\"objective\":%.17g,\"equal_price\":%.17g,\"rank\":%zu,\"steps\":%zu", report->gap,
           report->objective, report->equal_price, report->rank, report->steps);
    write_array("price", report->price, parts);
}

static void answer(const char *text, size_t length, options with)
{
    json_t *from = json_loadb(text, length, JSON_ALLOW_NUL, NULL);
    const json_t *id = json_object_get(from, "id");
    line read;
    double *x = NULL;

    if (read_line(&read, from)) {
        size_t parts = read.problem.parts;
        aq_lsq_work *work = aq_lsq_work_new(read.problem.rows, parts);
        x = calloc(2 * parts + 1, sizeof *x);
        aq_lsq_report report = { .price = x ? x + parts : NULL };
        aq_status status = work && x ? aq_lsq_solve(&read.problem, work, x, &report) : AQ_NO_MEMORY;
        write_answer(id, status, x, parts);
        if (with.report && status == AQ_OK)
            write_report(&report, parts);
        if (with.time && status == AQ_OK)
            printf(",\"ns\":%.1f", time_of(&read.problem, work, x));
        aq_lsq_work_free(work);
    } else {
        write_answer(id, AQ_INVALID, NULL, 0);
    }
    printf("}\n");
    free(x);
    free(read.store);
    json_decref(from);
}

int main(int count, char **words)
{
    options with = { 0 };
    char *text = NULL;
    size_t size = 0;
    ssize_t length;

    for (int k = 1; k < count; k++) {
        with.report = with.report || strcmp(words[k], "--report") == 0;
        with.time = with.time || strcmp(words[k], "--time") == 0;
    }
    while ((length = getline(&text, &size, stdin)) >= 0)
        if (length > 1 || (length == 1 && text[0] != '\n'))
            answer(text, (size_t)length, with);
    free(text);
    return ferror(stdin) || fflush(stdout) != 0 ? 3 : 0;
}
