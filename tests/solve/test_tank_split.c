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

/* As many as there may be, of each: 64 parts fill no more than one tank, and a tank's letter may be the last. Arrays of just
 * this size, so that the address sanitizer sees a step too far. */
static void test_all_the_room_there_is_can_be_used(void **state)
{
    enum { ALL = AQ_TANKS_PARTS_MOST };
    double *load = malloc(ALL * sizeof *load);
    int *pinned = malloc(ALL * sizeof *pinned);
    aq_part_set *none = calloc(ALL, sizeof *none);
    aq_tanks_problem p = { .count = ALL, .load = load, .pinned = pinned, .apart = none, .rather = none };
    aq_tanks_answer got;

    (void)state;
    assert_true(load && pinned && none);
    for (size_t i = 0; i < ALL; i++) {
        load[i] = 1;
        pinned[i] = AQ_TANKS_FREE;
    }
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("one tank", got.sound && got.tanks == 1 && got.holds[0] == ~(aq_part_set)0);
    p.tanks = AQ_TANKS_MOST;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("all tanks", got.sound && got.tanks == AQ_TANKS_MOST);
    p.tanks = 0;
    pinned[ALL - 1] = AQ_TANKS_MOST - 1;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("the last is named", got.sound && got.tanks == AQ_TANKS_MOST);
    pinned[ALL - 1]++;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OUT_OF_RANGE);
    p.count = 0;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("nothing", got.sound && got.tanks == 1);
    free(load);
    free(pinned);
    free(none);
}

/* Letters are given out as parts are placed: first those that most others must not meet, then the heaviest. */
static void test_the_hardest_parts_have_the_first_letters(void **state)
{
    static const struct {
        const char *row;
        double load[3];
        aq_part_set apart[3];
        aq_part_set holds[3];
    } rows[] = {
        { "the middle one, which must meet neither", { 1, 2, 1 }, { 2, 5, 2 }, { 2, 5 } },
        { "the last, which must meet neither", { 3, 1, 2 }, { 4, 4, 3 }, { 4, 3 } },
        { "all apart, by load", { 3, 1, 2 }, { 6, 5, 3 }, { 1, 4, 2 } },
        { "all apart, the heaviest last", { 1, 2, 3 }, { 6, 5, 3 }, { 4, 2, 1 } },
    };
    static const int pinned[] = { AQ_TANKS_FREE, AQ_TANKS_FREE, AQ_TANKS_FREE };
    static const aq_part_set none[3] = { 0 };

    (void)state;
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        aq_tanks_problem p = {
            .count = 3, .load = rows[r].load, .pinned = pinned, .apart = rows[r].apart, .rather = none
        };
        aq_tanks_answer got;

        assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
        for (size_t t = 0; t < 3; t++)
            check_true(rows[r].row, got.holds[t] == rows[r].holds[t]);
    }
}

/* Two that must not meet are pinned to one tank: no number of tanks does, which is seen at once however many splits the
 * eighteen others have, each of which must not meet its two neighbours in a ring. */
static void test_what_is_pinned_is_placed_first(void **state)
{
    enum { RING = 18, ALL = RING + 2 };
    double load[ALL];
    int pinned[ALL];
    aq_part_set apart[ALL], none[ALL] = { 0 };
    aq_tanks_problem p = { .count = ALL, .load = load, .pinned = pinned, .apart = apart, .rather = none };
    aq_tanks_answer got;

    (void)state;
    for (size_t i = 0; i < ALL; i++) {
        load[i] = 1;
        pinned[i] = i < RING ? AQ_TANKS_FREE : 0;
        apart[i] = (aq_part_set)1 << (i + 1) % RING | (aq_part_set)1 << (i + RING - 1) % RING;
    }
    apart[RING] = (aq_part_set)1 << (RING + 1);
    apart[RING + 1] = (aq_part_set)1 << RING;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("no split, and the search was not cut short", !got.sound && got.fewest);
}

static bool seven_fit(const void *of, aq_part_set parts)
{
    int count = 0;

    (void)of;
    for (; parts; parts &= parts - 1)
        count++;
    return count <= 7;
}

/* 22 parts, seven to a tank: three tanks are one short, but the ways to find that out are 3 to the 22nd over 6, far more than
 * a million. So four may not be the fewest, for all that is known. */
static void test_a_search_cut_short_says_so(void **state)
{
    enum { ALL = 22 };
    double load[ALL];
    int pinned[ALL];
    aq_part_set none[ALL] = { 0 };
    aq_tanks_problem p = {
        .count = ALL, .load = load, .pinned = pinned, .apart = none, .rather = none, .fits = seven_fit
    };
    aq_tanks_answer got;

    (void)state;
    for (size_t i = 0; i < ALL; i++) {
        load[i] = 1;
        pinned[i] = AQ_TANKS_FREE;
    }
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("four, perhaps not the fewest", got.sound && got.tanks == 4 && !got.fewest);
}

enum { LATE = 21 };

/* The last two cannot be together, and neither can be with both of the first two. */
static bool late_fit(const void *of, aq_part_set parts)
{
    bool both = has(parts, 0) && has(parts, 1), last = has(parts, LATE - 2), very_last = has(parts, LATE - 1);

    (void)of;
    return !(last && very_last) && !(both && (last || very_last));
}

/* With the first two in one tank there are 2 to the 17th ways to place the seventeen between before the last two fail, so
 * the first split, all where it is tried first, comes after more than a hundred thousand steps and within a million: a
 * search for the most even one ends before it has any, and the first is the answer. */
static void test_a_split_found_late_is_kept(void **state)
{
    double load[LATE];
    int pinned[LATE];
    aq_part_set none[LATE] = { 0 }, apart = (aq_part_set)1 << 1 | (aq_part_set)1 << (LATE - 1);
    aq_tanks_problem p = {
        .count = LATE, .load = load, .pinned = pinned, .apart = none, .rather = none, .fits = late_fit
    };
    aq_tanks_answer got;

    (void)state;
    for (size_t i = 0; i < LATE; i++) {
        load[i] = 1;
        pinned[i] = AQ_TANKS_FREE;
    }
    for (p.tanks = 0; p.tanks <= 2; p.tanks += 2) {
        assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
        assert_int_equal(got.tanks, 2);
        check_true("sound", got.sound && got.fewest);
        check_true("the second and the last", got.holds[1] == apart);
        check_true("all others", got.holds[0] == ((aq_part_set)1 << LATE) - 1 - apart);
    }
}

/* Four parts that are alike split evenly in three ways: the first of them is kept, which leaves the first two together. */
static void test_of_splits_as_even_the_first_is_kept(void **state)
{
    static const double load[] = { 2, 2, 2, 2 };
    static const int pinned[] = { AQ_TANKS_FREE, AQ_TANKS_FREE, AQ_TANKS_FREE, AQ_TANKS_FREE };
    static const aq_part_set none[] = { 0, 0, 0, 0 };
    aq_tanks_problem p = {
        .count = 4, .load = load, .pinned = pinned, .apart = none, .rather = none, .tanks = 2
    };
    aq_tanks_answer got;

    (void)state;
    assert_int_equal(aq_tanks_split(&got, &p, NULL), AQ_OK);
    check_true("1 and 2, 3 and 4", got.holds[0] == 3 && got.holds[1] == 12);
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
        cmocka_unit_test(test_all_the_room_there_is_can_be_used),
        cmocka_unit_test(test_the_hardest_parts_have_the_first_letters),
        cmocka_unit_test(test_what_is_pinned_is_placed_first),
        cmocka_unit_test(test_a_search_cut_short_says_so),
        cmocka_unit_test(test_a_split_found_late_is_kept),
        cmocka_unit_test(test_of_splits_as_even_the_first_is_kept),
        cmocka_unit_test(test_parts_that_are_alike_keep_their_order),
        cmocka_unit_test(test_a_little_evener_is_evener),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
