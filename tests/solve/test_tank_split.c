/* The split over stock tanks against every split there is: a counter that runs through all of them, digit by digit. */
#include "solve/tank_split.h"

#include "check.h"

#include <stdlib.h>

enum { PARTS_MOST = 7, TANKS_MOST = 4, PROBLEMS = 3000 };

typedef struct {
    double load[PARTS_MOST], takes[PARTS_MOST], room; /* a tank has room for so much: "takes" of its parts */
    int pinned[PARTS_MOST];
    aq_part_set apart[PARTS_MOST], rather[PARTS_MOST];
    aq_tanks_problem p;
} problem;

static bool has(aq_part_set set, size_t part)
{
    return set >> part & 1;
}

static bool has_room(const void *of, aq_part_set parts)
{
    const problem *x = of;
    double sum = 0;

    for (size_t i = 0; i < x->p.count; i++)
        sum += has(parts, i) ? x->takes[i] : 0;
    return sum <= x->room;
}

static double dice(void)
{
    return rand() / (RAND_MAX + 1.0);
}

static void edges(aq_part_set *sets, size_t count, double often)
{
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < i; j++)
            if (dice() < often) {
                sets[i] |= (aq_part_set)1 << j;
                sets[j] |= (aq_part_set)1 << i;
            }
}

static void roll(problem *x)
{
    *x = (problem){ .room = 1 + 3 * dice() };
    x->p = (aq_tanks_problem){ .count = 1 + (size_t)(dice() * PARTS_MOST),
                               .load = x->load,
                               .pinned = x->pinned,
                               .apart = x->apart,
                               .rather = x->rather,
                               .fits = dice() < 0.5 ? has_room : NULL,
                               .of = x,
                               .tanks = dice() < 0.3 ? 1 + (int)(dice() * TANKS_MOST) : 0 };
    edges(x->apart, x->p.count, 0.4 * dice());
    edges(x->rather, x->p.count, 0.3 * dice());
    for (size_t i = 0; i < x->p.count; i++) {
        double pin = dice();

        x->load[i] = 0.1 + dice();
        x->takes[i] = dice();
        x->pinned[i] = pin < 0.08 ? 0 : pin < 0.16 ? 1 : pin < 0.22 ? AQ_TANKS_BOTH : AQ_TANKS_FREE;
    }
}

/* What a split is worth; beside is -1 where something clashes. */
typedef struct {
    int beside;
    double uneven;
} worth;

static worth weigh(const problem *x, const aq_part_set *holds, int tanks)
{
    worth w = { 0, 0 };

    for (int t = 0; t < tanks; t++) {
        double load = 0;

        if (holds[t] && x->p.fits && !x->p.fits(x, holds[t]))
            return (worth){ -1, 0 };
        for (size_t i = 0; i < x->p.count; i++) {
            if (!has(holds[t], i))
                continue;
            load += x->load[i] / (x->pinned[i] == AQ_TANKS_BOTH ? 2 : 1);
            for (size_t j = 0; j < i; j++) {
                if (has(holds[t], j) && has(x->apart[i], j))
                    return (worth){ -1, 0 };
                w.beside += has(holds[t], j) && has(x->rather[i], j);
            }
        }
        w.uneven += load * load;
    }
    return w;
}

/* Split number `which` of tanks^count; false: it is not one that the pins allow. */
static bool split(aq_part_set *holds, const problem *x, int tanks, long which)
{
    for (int t = 0; t < TANKS_MOST; t++)
        holds[t] = 0;
    for (size_t i = 0; i < x->p.count; i++, which /= tanks) {
        long digit = which % tanks;
        int pin = x->pinned[i];

        if (pin == AQ_TANKS_BOTH && (tanks < 2 || digit > 0))
            return false;
        if (pin >= 0 && digit != pin)
            return false;
        holds[digit] |= (aq_part_set)1 << i;
        if (pin == AQ_TANKS_BOTH)
            holds[1] |= (aq_part_set)1 << i;
    }
    return true;
}

static bool best_of_all(worth *best, const problem *x, int tanks)
{
    long splits = 1;
    aq_part_set holds[TANKS_MOST];
    bool found = false;

    for (size_t i = 0; i < x->p.count; i++)
        splits *= tanks;
    for (long which = 0; which < splits; which++) {
        worth w = split(holds, x, tanks, which) ? weigh(x, holds, tanks) : (worth){ -1, 0 };

        if (w.beside < 0 ||
            (found && (w.beside > best->beside || (w.beside == best->beside && w.uneven >= best->uneven))))
            continue;
        *best = w;
        found = true;
    }
    return found;
}

static int named(const problem *x)
{
    int most = 1;

    for (size_t i = 0; i < x->p.count; i++)
        if (x->pinned[i] == 1 || x->pinned[i] == AQ_TANKS_BOTH)
            most = 2;
    return most;
}

static void test_no_split_needs_fewer_tanks_or_is_more_even(void **state)
{
    int unsound = 0, three = 0;

    (void)state;
    srand(20260302);
    for (int n = 0; n < PROBLEMS; n++) {
        problem x;
        aq_tanks_answer answer;
        worth best = { 0, 0 }, got;
        int tanks = 0;

        roll(&x);
        assert_int_equal(aq_tanks_split(&answer, &x.p, NULL), AQ_OK);
        if (x.p.tanks)
            tanks = x.p.tanks >= named(&x) && best_of_all(&best, &x, x.p.tanks) ? x.p.tanks : 0;
        for (int t = named(&x); !x.p.tanks && !tanks && t <= TANKS_MOST; t++)
            tanks = best_of_all(&best, &x, t) ? t : 0;
        if (!tanks) { /* no split, or one of more tanks than are tried here */
            assert_true(!answer.sound || answer.tanks > TANKS_MOST);
            unsound++;
            continue;
        }
        assert_true(answer.sound && answer.fewest);
        assert_int_equal(answer.tanks, tanks);
        got = weigh(&x, answer.holds, tanks);
        assert_int_equal(got.beside, best.beside);
        check_close("sum of squares", got.uneven, best.uneven, 1e-9);
        three += tanks > 2;
    }
    assert_true(unsound > 50 && three > 50);
}

/* Four salts that must all stay apart need four tanks, nine need more than there may be. */
static void test_what_must_all_stay_apart_needs_a_tank_each(void **state)
{
    static const struct {
        size_t count;
        bool sound;
    } rows[] = { { 1, true }, { 4, true }, { 8, true }, { 9, false } };

    (void)state;
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        double load[9] = { 1, 1, 1, 1, 1, 1, 1, 1, 1 };
        int pinned[9];
        aq_part_set apart[9], rather[9] = { 0 };
        aq_tanks_problem p = { rows[r].count, load, pinned, apart, rather, NULL, NULL, 0 };
        aq_tanks_answer answer;

        for (size_t i = 0; i < 9; i++) {
            pinned[i] = AQ_TANKS_FREE;
            apart[i] = ~((aq_part_set)1 << i);
        }
        assert_int_equal(aq_tanks_split(&answer, &p, NULL), AQ_OK);
        assert_int_equal(answer.sound, rows[r].sound);
        if (rows[r].sound)
            assert_int_equal(answer.tanks, (int)rows[r].count);
    }
}

static void test_more_than_there_is_room_for_is_refused(void **state)
{
    aq_tanks_problem parts = { .count = AQ_TANKS_PARTS_MOST + 1 }, tanks = { .tanks = AQ_TANKS_MOST + 1 };
    static const int pinned[AQ_TANKS_PARTS_MOST + 1] = { 0 };
    aq_tanks_answer answer;

    (void)state;
    parts.pinned = pinned;
    assert_int_equal(aq_tanks_split(&answer, &parts, NULL), AQ_OUT_OF_RANGE);
    assert_int_equal(aq_tanks_split(&answer, &tanks, NULL), AQ_OUT_OF_RANGE);
    assert_false(answer.sound);
}

/* Parts that are alike in everything go to the tanks in the order in which they are listed. */
static void test_parts_that_are_alike_keep_their_order(void **state)
{
    static const double load[] = { 2, 2, 2, 2 };
    static const int pinned[] = { AQ_TANKS_FREE, AQ_TANKS_FREE, AQ_TANKS_FREE, AQ_TANKS_FREE };
    static const aq_part_set apart[] = { 2, 1, 8, 4 }, rather[] = { 0, 0, 0, 0 };
    aq_tanks_problem p = { .count = 4, .load = load, .pinned = pinned, .apart = apart, .rather = rather };
    aq_tanks_answer got;

    (void)state;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    assert_int_equal(got.tanks, 2);
    check_true("the first in the first", (got.holds[0] & 3) == 1 && (got.holds[1] & 3) == 2);
}

/* 1.001 + 0.9995 is 1.0005 + 1: the evenest by hand, if only by a part in four million. */
static void test_a_little_evener_is_evener(void **state)
{
    static const double load[] = { 1.001, 1.0005, 1, 0.9995 };
    static const int pinned[] = { AQ_TANKS_FREE, AQ_TANKS_FREE, AQ_TANKS_FREE, AQ_TANKS_FREE };
    static const aq_part_set none[] = { 0, 0, 0, 0 };
    aq_tanks_problem p = {
        .count = 4, .load = load, .pinned = pinned, .apart = none, .rather = none, .tanks = 2
    };
    aq_tanks_answer got;

    (void)state;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("1 and 4, 2 and 3", got.holds[0] == 9 && got.holds[1] == 6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_split_needs_fewer_tanks_or_is_more_even),
        cmocka_unit_test(test_what_must_all_stay_apart_needs_a_tank_each),
        cmocka_unit_test(test_more_than_there_is_room_for_is_refused),
        cmocka_unit_test(test_parts_that_are_alike_keep_their_order),
        cmocka_unit_test(test_a_little_evener_is_evener),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
