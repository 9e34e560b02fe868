/* Seeded logs of a made-up nursery and what is learned from them, a JSON object a line, for solve/learn.py to compare. */
#include <stdio.h>
#include <stdlib.h>

#include "base/decimal.h"
#include "solve/nursery.h"

static void print_number(const char *before, double value)
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_exact(value, digits);
    printf("%s%s", before, digits);
}

static void print_mix(const nursery *n, size_t i)
{
    const aq_learn_mix *m = &n->mixes[i];

    printf("%s{\"tank\":%zu", i ? "," : "", m->tank);
    print_number(",\"volume\":", m->volume);
    print_number(",\"base\":", m->base);
    print_number(",\"reads\":", m->reads);
    print_number(",\"amounts\":[", m->amounts[0]);
    print_number(",", m->amounts[1]);
    printf("]}");
}

static void print_log(const nursery *n)
{
    printf("{\"mixes\":[");
    for (size_t i = 0; i < n->problem.count; i++)
        print_mix(n, i);
    print_number("],\"scale\":", n->answer->scale);
    for (size_t k = 0; k < UNKNOWNS; k++) {
        const aq_learn_estimate *e = k < SLOPES ? &n->answer->slopes[k] : &n->answer->tanks[k - SLOPES];

        print_number(k ? ",[" : ",\"learned\":[[", e->share);
        print_number(",", e->relative);
        printf("]");
    }
    printf("]}\n");
}

int main(void)
{
    nursery *n = calloc(1, sizeof *n);
    int code = 0;

    if (!n || !(n->arena = aq_arena_new(0)))
        return 1;
    for (uint64_t seed = 1; code == 0 && seed <= 40; seed++) {
        simulate(n, seed, 10 + seed % 31, 1);
        for (size_t i = 9; i < n->problem.count; i += 10)
            n->mixes[i].reads *= 1.4; /* one in ten on another ppm scale */
        aq_arena_reset(n->arena);
        code = aq_learn_solve(&n->answer, &n->problem, n->arena, &n->err) == AQ_OK ? 0 : 1;
        if (code == 0)
            print_log(n);
    }
    aq_arena_free(n->arena);
    free(n);
    return code;
}
