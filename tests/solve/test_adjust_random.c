/* Correcting thousands of random tanks: against a fine grid of everything that could be removed and dosed below the
 * brim, the litres of the doses counted. */
#include "check.h"
#include "dice.h"
#include "tanks.h"

static aq_adjust_problem random_tank(aq_dice *dice)
{
    aq_adjust_problem p = { .holds = dice_between(dice, 10, 200) };

    p.now = (aq_tank_state){ p.holds * dice_between(dice, 0.1, 1), dice_between(dice, 0.2, 4) };
    p.level = dice_below(dice, 2) ? p.holds : p.holds * dice_between(dice, 0.3, 1);
    p.ec = dice_between(dice, 0.3, 3);
    p.water_ec = dice_between(dice, 0, 1);
    p.most = dice_below(dice, 3) ? dice_between(dice, 0, 2) : 0;
    p.keep_all = dice_below(dice, 5) == 0;
    p.room = dice_below(dice, 3) ? dice_between(dice, 0, 0.02) : 0;
    if (dice_below(dice, 4) == 0) /* to the brim, or to the mark */
        p.now.volume = dice_below(dice, 2) ? p.holds : p.level;
    return p;
}

/* EC of the tank after removing, adding and dosing, by nothing but the salts that go out and come in. */
static double poured_ec(const aq_adjust_problem *p, double remove, double water, double adds)
{
    double salts = (p->now.volume - remove) * p->now.ec + water * p->water_ec;

    return salts / (p->now.volume - remove + water) + adds;
}

/* How near the grid gets to the wanted EC with no more removed than `limit`. */
static double grid_miss(const aq_adjust_problem *p, double limit)
{
    enum { REMOVED = 60, DOSED = 40 };
    double best = INFINITY;

    for (int i = 0; i <= REMOVED; i++) {
        double remove = limit * i / REMOVED, water = p->level - p->now.volume + remove;

        for (int j = 0; j <= DOSED && water >= 0; j++) {
            double adds = p->most * j / DOSED, doses = p->room * adds * p->level;

            if (p->now.volume - remove + fmax(water, doses) <= p->holds)
                best = fmin(best, fabs(poured_ec(p, remove, water, adds) - p->ec));
        }
    }
    return best;
}

static void check_against_grid(const aq_adjust_problem *p)
{
    aq_adjust_answer out = adjusted("random tank", *p);
    double least = fmax(0, p->now.volume - p->level), miss = fabs(out.end.ec - p->ec);

    check_within("EC by the salts", poured_ec(p, out.remove, out.water, out.adds), out.end.ec, 1e-9);
    check_true("inside the tank", out.remove >= 0 && out.remove <= p->now.volume + 1e-9 && out.water >= 0);
    check_true("inside the label", out.adds >= 0 && out.adds <= p->most + 1e-9);
    check_within("litres of doses", out.doses, p->room * out.adds * out.end.volume, 1e-9);
    check_true("below the brim",
               p->now.volume - out.remove + fmax(out.water, out.doses) <= p->holds * (1 + 1e-9));
    check_within("level", p->now.volume - out.remove + out.water, out.end.volume, 1e-9);
    if (p->keep_all && p->now.volume > p->level)
        return;
    check_true("nothing on the grid is nearer", grid_miss(p, p->keep_all ? 0 : p->now.volume) >= miss - 1e-9);
    /* With less removed nothing on the grid does as well: the grid's own coarseness cannot help it. */
    if (out.remove > least + 1e-3)
        check_true("less would not do", grid_miss(p, out.remove - 1e-3) > miss + 1e-9);
}

static void test_no_point_of_a_grid_wastes_less(void **state)
{
    aq_dice dice = { 12061 };

    (void)state;
    for (int run = 0; run < 2000; run++) {
        aq_adjust_problem p = random_tank(&dice);

        check_against_grid(&p);
    }
}

/* NaN is alike too. */
static void check_alike(const char *name, double got, double want)
{
    if (!isnan(got) || !isnan(want))
        check_close(name, got, want, 1e-9);
}

static void test_all_litres_grow_with_the_tank(void **state)
{
    static const double factors[] = { 2, 0x1p-8 };
    aq_dice dice = { 31 };

    (void)state;
    for (int run = 0; run < 20000; run++) {
        double by = factors[run % 2];
        aq_adjust_problem p = random_tank(&dice), other = p;
        aq_adjust_answer one = adjusted("one", p), two;

        other.holds *= by;
        other.now.volume *= by;
        other.level *= by;
        two = adjusted("the other", other);
        check_alike("remove", two.remove / by, one.remove);
        check_alike("water", two.water / by, one.water);
        check_alike("doses", two.doses / by, one.doses);
        check_alike("adds", two.adds, one.adds);
        check_alike("filled", two.fill_ec, one.fill_ec);
        check_alike("water needed", two.water_needed / by, one.water_needed);
        check_alike("drained after", two.drain_after / by, one.drain_after);
        check_alike("to make up", two.makeup_ec, one.makeup_ec);
        check_alike("keeps", two.keeps / by, one.keeps);
        check_true("what held it back", two.capped == one.capped && two.brimming == one.brimming);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_point_of_a_grid_wastes_less),
        cmocka_unit_test(test_all_litres_grow_with_the_tank),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
