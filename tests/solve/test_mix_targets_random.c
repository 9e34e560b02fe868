/* Doses that bring nutrients, for thousands of random recipes: against plain arithmetic, which knows no factors and no
 * bounds. */
#include "check.h"
#include "dice.h"
#include "tanks.h"

enum { PARTS = 4, NUTRIENTS = 6 };
static const aq_nutrient nutrients[NUTRIENTS] = { AQ_N_UNKNOWN, AQ_P, AQ_K, AQ_CA, AQ_MG, AQ_S };

typedef struct {
    aq_composition composition[PARTS];
    aq_mix_member member[PARTS];
    aq_mix_column column[PARTS];
    aq_mix_target target[NUTRIENTS];
    aq_mix_problem problem;
} recipe;

static void random_recipe(recipe *r, aq_dice *dice, double top_chance)
{
    r->problem = tank(dice_between(dice, 5, 200));
    r->problem.columns = r->column;
    r->problem.count = 1 + dice_below(dice, PARTS);
    r->problem.targets = r->target;
    r->problem.target_count = NUTRIENTS;
    for (size_t j = 0; j < PARTS; j++) {
        r->composition[j] = (aq_composition){ 0 };
        for (size_t i = 0; i < NUTRIENTS; i++)
            if (dice_below(dice, 2))
                r->composition[j].mass[nutrients[i]] = dice_between(dice, 0.01, 0.3);
        r->composition[j].mass[nutrients[j]] += 0.1;
        r->member[j] = (aq_mix_member){ &r->composition[j], 1 };
        r->column[j] = weighed(&r->member[j]);
        r->column[j].anchor = dice_between(dice, 0.2, 2);
        if (dice_uniform(dice) < top_chance)
            r->column[j].top = r->column[j].anchor;
    }
    for (size_t i = 0; i < NUTRIENTS; i++)
        r->target[i] =
            (aq_mix_target){ nutrients[i], dice_between(dice, 0.02, 0.3), dice_between(dice, 0.02, 0.2) };
}

static double misses(const recipe *r, const double *x)
{
    double sum = 0;

    for (size_t i = 0; i < NUTRIENTS; i++) {
        double got = 0;

        for (size_t j = 0; j < r->problem.count; j++)
            got += x[j] * r->composition[j].mass[nutrients[i]];
        got = (got - r->target[i].wanted) / (r->target[i].wanted * r->target[i].tolerance);
        sum += got * got;
    }
    return sum;
}

/* The normal equations of the same targets, without ridge or bounds, by elimination. */
static void normal_equations(const recipe *r, double *x)
{
    double m[PARTS][PARTS + 1] = { { 0 } };
    size_t n = r->problem.count;

    for (size_t i = 0; i < NUTRIENTS; i++) {
        double w = 1 / (r->target[i].wanted * r->target[i].tolerance);

        for (size_t j = 0; j < n; j++) {
            double entry = w * w * r->composition[j].mass[nutrients[i]];

            for (size_t k = 0; k < n; k++)
                m[j][k] += entry * r->composition[k].mass[nutrients[i]];
            m[j][n] += entry * r->target[i].wanted;
        }
    }
    for (size_t j = 0; j < n; j++)
        for (size_t k = j + 1; k < n; k++)
            for (size_t c = n + 1; c-- > j;)
                m[k][c] -= m[j][c] * (m[k][j] / m[j][j]);
    for (size_t j = n; j-- > 0;) {
        x[j] = m[j][n];
        for (size_t k = j + 1; k < n; k++)
            x[j] -= m[j][k] * x[k];
        x[j] /= m[j][j];
    }
}

static void test_the_ridge_does_not_move_a_determined_answer(void **state)
{
    aq_dice dice = { 606 };
    aq_arena *arena = aq_arena_new(0);
    int compared = 0;

    (void)state;
    for (int run = 0; run < 10000; run++) {
        recipe r;
        double plain[PARTS];
        const aq_mix_answer *a;
        bool inside = true;

        random_recipe(&r, &dice, 0);
        normal_equations(&r, plain);
        for (size_t j = 0; j < r.problem.count; j++)
            inside = inside && plain[j] > 1e-3;
        if (!inside)
            continue;
        compared++;
        aq_arena_reset(arena);
        a = solved("random", &r.problem, arena);
        for (size_t j = 0; j < r.problem.count; j++)
            check_within("dose", a->x[j] / plain[j], 1, 1e-6);
    }
    check_true("enough of them", compared > 2000);
    aq_arena_free(arena);
}

/* No step up or down of any dose, nor of any two together, does better, as far as label and nothing allow. */
static void test_no_other_doses_come_nearer(void **state)
{
    aq_dice dice = { 607 };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int run = 0; run < 3000; run++) {
        recipe r;
        const aq_mix_answer *a;
        double best, other[PARTS];

        random_recipe(&r, &dice, 0.6);
        aq_arena_reset(arena);
        a = solved("random", &r.problem, arena);
        best = misses(&r, a->x);
        for (size_t j = 0; j < r.problem.count; j++)
            check_true("inside the label", a->x[j] >= 0 && a->x[j] <= r.column[j].top);
        for (int attempt = 0; attempt < 40; attempt++) {
            for (size_t j = 0; j < r.problem.count; j++)
                other[j] =
                    fmin(fmax(a->x[j] + dice_normal(&dice) * pow(10, -attempt % 5), 0), r.column[j].top);
            check_true("no nearer", misses(&r, other) >= best * (1 - 1e-9) - 1e-9);
        }
        check_true("certificate", a->gap < 1e-9);
    }
    aq_arena_free(arena);
}

static void test_scaling_tank_and_targets(void **state)
{
    aq_dice dice = { 608 };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int run = 0; run < 3000; run++) {
        recipe r;
        const aq_mix_answer *once, *twice, *half;

        random_recipe(&r, &dice, 0);
        aq_arena_reset(arena);
        once = solved("once", &r.problem, arena);
        r.problem.volume *= 2;
        twice = solved("twice", &r.problem, arena);
        for (size_t i = 0; i < NUTRIENTS; i++)
            r.target[i].wanted /= 2;
        half = solved("half", &r.problem, arena);
        for (size_t j = 0; j < r.problem.count; j++) {
            check_close("a larger tank, the same per litre", twice->x[j], once->x[j], 1e-12);
            check_close("half of each target, half of each dose", half->x[j], once->x[j] / 2, 1e-6);
        }
    }
    aq_arena_free(arena);
}

static void test_an_ec_beside_targets_is_held(void **state)
{
    aq_dice dice = { 609 };
    aq_arena *arena = aq_arena_new(0);
    int held = 0;

    (void)state;
    for (int run = 0; run < 3000; run++) {
        recipe r;
        const aq_mix_answer *a;
        double ec, most = 0;

        random_recipe(&r, &dice, 0.5);
        r.problem.water_ec = ec = dice_between(&dice, 0, 0.8);
        r.problem.ec = dice_between(&dice, 0.5, 3);
        for (size_t j = 0; j < r.problem.count; j++) {
            r.column[j].slope = dice_between(&dice, 0.4, 1.5);
            most += r.column[j].slope * r.column[j].top;
        }
        aq_arena_reset(arena);
        a = solved("random", &r.problem, arena);
        for (size_t j = 0; j < r.problem.count; j++)
            ec += r.column[j].slope * a->x[j];
        check_within("reads", a->ec, ec, 1e-9);
        if (r.problem.ec < r.problem.water_ec)
            check_within("too strong already: nothing is poured", ec, r.problem.water_ec, 1e-12);
        else
            check_within("the aim, or all tops", ec, fmin(r.problem.ec, r.problem.water_ec + most), 1e-6);
        check_within("short", a->ec_short, r.problem.ec - ec, 1e-6);
        held += a->ec_short == 0;
    }
    check_true("some of each", held > 500 && held < 2900);
    aq_arena_free(arena);
}

static void test_running_out_of_memory_is_said(void **state)
{
    aq_dice dice = { 610 };
    recipe r;
    size_t refused = 0;
    aq_status status = AQ_NO_MEMORY;

    (void)state;
    random_recipe(&r, &dice, 0.5);
    for (size_t ceiling = 64; status != AQ_OK; ceiling += 64) {
        aq_arena *arena = aq_arena_new(ceiling);
        aq_mix_answer *answer = NULL;

        assert_non_null(arena);
        status = aq_mix_solve(&answer, &r.problem, arena, NULL);
        check_true("refused or solved", status == AQ_NO_MEMORY ? !answer : status == AQ_OK && answer);
        refused += status == AQ_NO_MEMORY;
        aq_arena_free(arena);
    }
    check_true("small arenas are refused", refused > 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_ridge_does_not_move_a_determined_answer),
        cmocka_unit_test(test_no_other_doses_come_nearer),
        cmocka_unit_test(test_scaling_tank_and_targets),
        cmocka_unit_test(test_an_ec_beside_targets_is_held),
        cmocka_unit_test(test_running_out_of_memory_is_said),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
