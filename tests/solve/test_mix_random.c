/* Doses that read an EC, for thousands of random tanks: a pour that shares nothing with the solver, and what no answer may
 * depend on. */
#include "check.h"
#include "dice.h"
#include "tanks.h"

/* A random tank with up to five columns, tops on some, and an aim that may be out of reach. */
enum { MOST = 5 };
typedef struct {
    aq_mix_column columns[MOST];
    aq_mix_problem problem;
} label_tank;

static void random_tank(label_tank *t, aq_dice *dice)
{
    t->problem = (aq_mix_problem){ .volume = dice_between(dice, 5, 200),
                                   .heel_ec = dice_between(dice, 0.2, 3),
                                   .water_ec = dice_between(dice, 0, 0.9),
                                   .ec = dice_between(dice, 0.5, 3),
                                   .columns = t->columns,
                                   .count = 1 + dice_below(dice, MOST) };
    t->problem.heel = t->problem.volume * (dice_below(dice, 2) ? dice_between(dice, 0, 0.6) : 0);
    for (size_t j = 0; j < t->problem.count; j++) {
        double top = dice_between(dice, 0.0005, 0.006);

        t->columns[j] = (aq_mix_column){ .slope = dice_between(dice, 30, 500),
                                         .anchor = top,
                                         .to = NAN,
                                         .top = dice_below(dice, 3) ? top : INFINITY };
    }
}

/* Litre by litre: the salts of heel, water and doses, shared by the volume. */
static double poured_ec(const aq_mix_problem *p, const double *x)
{
    double salts = p->heel * p->heel_ec + (p->volume - p->heel) * p->water_ec;

    for (size_t j = 0; j < p->count; j++)
        salts += p->columns[j].slope * (x[j] * p->volume);
    return salts / p->volume;
}

static void check_label(const label_tank *t, const aq_mix_answer *a)
{
    for (size_t j = 0; j < t->problem.count; j++) {
        double share = a->x[j] / t->columns[j].anchor;

        check_true("inside the label", a->x[j] >= 0 && a->x[j] <= t->columns[j].top);
        check_true("the label's ratio, or a top",
                   fabs(share - a->strength) <= 1e-9 * (1 + a->strength) || a->x[j] >= t->columns[j].top);
    }
}

static void test_pouring_the_answer_reads_the_aim(void **state)
{
    aq_dice dice = { 4 };
    aq_arena *arena = aq_arena_new(0);
    int met = 0, capped = 0;

    (void)state;
    for (int run = 0; run < 10000; run++) {
        label_tank t;
        const aq_mix_answer *a;

        random_tank(&t, &dice);
        aq_arena_reset(arena);
        a = solved("random", &t.problem, arena);
        check_within("reads", poured_ec(&t.problem, a->x), a->ec, 1e-9);
        check_label(&t, a);
        check_within("what is left is rounding, as a share of the EC", a->gap, 0, 1e-13);
        check_within("short", t.problem.ec - a->ec, a->ec_short, 1e-6);
        check_true("met or not", a->met == (fabs(a->ec_short) <= 1e-6));
        for (size_t j = 0; j < t.problem.count && a->ec_short > 0; j++)
            check_true("tops win only when all bind", a->x[j] >= t.columns[j].top);
        for (size_t j = 0; j < t.problem.count && a->ec_short < 0; j++)
            check_true("nothing is poured into what is too strong", a->x[j] <= 0);
        met += a->met;
        capped += a->capped;
    }
    check_true("some of each", met > 1000 && capped > 100);
    aq_arena_free(arena);
}

static void test_twice_the_volume_is_twice_each_dose(void **state)
{
    aq_dice dice = { 41 };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int run = 0; run < 10000; run++) {
        label_tank t;
        const aq_mix_answer *once, *twice;

        random_tank(&t, &dice);
        aq_arena_reset(arena);
        once = solved("once", &t.problem, arena);
        t.problem.volume *= 2;
        t.problem.heel *= 2;
        twice = solved("twice", &t.problem, arena);
        for (size_t j = 0; j < t.problem.count; j++)
            check_within("dose per litre", twice->x[j], once->x[j], 1e-12);
    }
    aq_arena_free(arena);
}

static void test_the_order_of_the_parts_does_not_matter(void **state)
{
    aq_dice dice = { 42 };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int run = 0; run < 10000; run++) {
        label_tank t, turned;
        const aq_mix_answer *one, *other;

        random_tank(&t, &dice);
        turned = t;
        turned.problem.columns = turned.columns;
        for (size_t j = 0; j < t.problem.count; j++)
            turned.columns[j] = t.columns[t.problem.count - 1 - j];
        aq_arena_reset(arena);
        one = solved("one", &t.problem, arena);
        other = solved("other", &turned.problem, arena);
        for (size_t j = 0; j < t.problem.count; j++)
            check_within("dose", other->x[t.problem.count - 1 - j], one->x[j], 1e-12);
    }
    aq_arena_free(arena);
}

static void test_a_top_that_does_not_bind_changes_nothing(void **state)
{
    aq_dice dice = { 43 };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (int run = 0; run < 10000; run++) {
        label_tank t;
        const aq_mix_answer *with, *without;

        random_tank(&t, &dice);
        aq_arena_reset(arena);
        with = solved("with", &t.problem, arena);
        for (size_t j = 0; j < t.problem.count; j++)
            if (with->x[j] < t.columns[j].top)
                t.columns[j].top = INFINITY;
        without = solved("without", &t.problem, arena);
        for (size_t j = 0; j < t.problem.count; j++)
            check_within("dose", without->x[j], with->x[j], 1e-12);
    }
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pouring_the_answer_reads_the_aim),
        cmocka_unit_test(test_twice_the_volume_is_twice_each_dose),
        cmocka_unit_test(test_the_order_of_the_parts_does_not_matter),
        cmocka_unit_test(test_a_top_that_does_not_bind_changes_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
