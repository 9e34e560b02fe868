/* Correcting a tank at the edges of its rules: water of EC 0, feed that is exactly as wanted, what no problem may be. */
#include "check.h"
#include "solve/adjust.h"

static aq_adjust_answer answer(aq_adjust_problem problem)
{
    aq_adjust_answer out;
    aq_error err = { 0 };

    assert_int_equal(aq_adjust(&out, &problem, &err), AQ_OK);
    return out;
}

/* Half of 10 L out and as much rain water in, which has nothing in it, halves 2.0. */
static void test_water_may_have_no_salts(void **state)
{
    aq_adjust_answer a =
        answer((aq_adjust_problem){ .holds = 10, .now = { 10, 2.0 }, .level = 10, .ec = 1.0, .water_ec = 0 });

    (void)state;
    check_close("remove", a.remove, 5, 1e-12);
    check_close("water", a.water, 5, 1e-12);
    check_close("end", a.end.ec, 1.0, 1e-12);
    assert_true(a.met);
}

/* What stands there may be such water too, and may be wanted again. */
static void test_a_tank_may_hold_or_want_no_salts(void **state)
{
    aq_adjust_answer fed = answer((aq_adjust_problem){
        .holds = 10, .now = { 5, 0 }, .level = 10, .ec = 1.0, .water_ec = 0.2, .most = INFINITY });
    aq_adjust_answer plain =
        answer((aq_adjust_problem){ .holds = 10, .now = { 10, 1.0 }, .level = 10, .ec = 0, .water_ec = 0 });

    (void)state;
    check_close("before", fed.before_dose, 0.1, 1e-12);
    check_close("adds", fed.adds, 0.9, 1e-12);
    check_close("plain", plain.remove, 10, 1e-12);
    assert_true(fed.met && plain.met);
}

/* A ready feed of 10 mS/cm, 0.1 L for each mS/cm in each litre, is all that comes into an empty tank: no water is needed,
 * so its EC may stay unknown; 5 mS/cm would want half a litre of it. */
static void test_doses_alone_may_fill_a_tank(void **state)
{
    aq_adjust_problem p = {
        .holds = 10, .now = { 0, NAN }, .level = 1, .ec = 10, .water_ec = NAN, .most = INFINITY, .room = 0.1
    };
    aq_adjust_answer a = answer(p), out;
    aq_error err = { 0 };

    (void)state;
    check_close("doses", a.doses, 1, 1e-12);
    check_close("end", a.end.ec, 10, 1e-12);
    p.ec = 5;
    assert_int_equal(aq_adjust(&out, &p, &err), AQ_INVALID);
}

/* Nothing dilutes what is as wanted, so there is no water to tell of and nothing that could be kept. */
static void test_a_tank_that_is_right_asks_for_nothing(void **state)
{
    aq_adjust_answer a = answer(
        (aq_adjust_problem){ .holds = 20, .now = { 10, 1.5 }, .level = 10, .ec = 1.5, .water_ec = 0.3 });

    (void)state;
    check_within("remove", a.remove, 0, 0);
    check_within("water", a.water, 0, 0);
    assert_true(isnan(a.water_needed) && isnan(a.keeps));
    assert_true(a.met && !a.capped && !a.brimming);
    a = answer((aq_adjust_problem){ .holds = 10, .now = { 10, 2 }, .level = 10, .ec = 2 });
    assert_true(isnan(a.drain_after)); /* 10 - 10 x 2 / 2 */
}

/* A solution that is as the second tank wants it may fill the room there is, whatever stands in there. */
static void test_a_second_tank_takes_all_of_what_it_wants(void **state)
{
    const aq_second_tank strong = { .holds = 10, .now = { 5, 2.0 }, .ec = 1.5 };
    aq_adjust_answer a = answer((aq_adjust_problem){
        .holds = 40, .now = { 40, 1.5 }, .level = 40, .ec = 1.2, .water_ec = 0.3, .into = &strong });

    (void)state;
    check_close("remove", a.remove, 10, 1e-12); /* 40 x 0.3 / (1.5 - 0.3) */
    check_close("moved", a.moved, 5, 1e-12);
    check_within("water with it", a.moved_water, 0, 0);
    check_close("second", a.second.ec, 1.75, 1e-12);
}

/* Of 2.0 in a tank of 1.5 nothing is asked where nothing moves. Water that is as strong as wanted brings nothing down. */
static void test_a_second_tank_gets_water_only_where_it_helps(void **state)
{
    const aq_second_tank strong = { .holds = 10, .now = { 5, 2.0 }, .ec = 1.5 };
    const aq_second_tank as_water = { .holds = 10, .now = { 5, 0.2 }, .ec = 0.4 };
    aq_adjust_answer still = answer((aq_adjust_problem){
        .holds = 40, .now = { 40, 1.2 }, .level = 40, .ec = 1.2, .water_ec = 0.3, .into = &strong });
    aq_adjust_answer moves = answer((aq_adjust_problem){
        .holds = 40, .now = { 40, 1.5 }, .level = 40, .ec = 1.2, .water_ec = 0.4, .into = &as_water });

    aq_adjust_answer thin = answer((aq_adjust_problem){
        .holds = 40, .now = { 40, 1.4 }, .level = 38, .ec = 1.4, .water_ec = 1.5, .into = &strong });

    (void)state;
    check_close("moved", thin.moved, 2, 1e-12);
    check_within("water", thin.moved_water, 0, 0);
    check_within("moved", still.moved, 0, 0);
    check_within("water", still.moved_water, 0, 0);
    check_close("as it was", still.second.ec, 2.0, 1e-12);
    check_close("moved", moves.moved, 1 / 1.1, 1e-12); /* 5 x 0.4 - 5 x 0.2 over 1.5 - 0.4 */
    check_within("water", moves.moved_water, 0, 1e-12);
    check_close("full strength", moves.second.ec, 0.4, 1e-12);
}

/* D(0) = 20 - 30 = -10 rises by 3 - 0.4: from 10 / 2.6 L on no dose is needed, up to twice that the label would allow
 * one. The least goes out. */
static void test_the_least_goes_out_where_doses_could_make_up_for_more(void **state)
{
    aq_adjust_answer a = answer((aq_adjust_problem){
        .holds = 10, .now = { 10, 3 }, .level = 10, .ec = 2, .water_ec = 0.4, .most = 1 });

    (void)state;
    check_close("remove", a.remove, 10 / 2.6, 1e-9);
    check_within("adds", a.adds, 0, 1e-9);
}

/* 9 L of 1.0 in a tank of 10 L, wanted 2.0: D = 9 + 0.5 r, of which the label allows 5.4 and the room 2 + 2 r. Up to 1.7 L
 * more room helps more than it costs; beyond, the label holds back what water has made thinner. */
static void test_room_is_made_for_what_the_label_allows(void **state)
{
    aq_adjust_answer a = answer((aq_adjust_problem){
        .holds = 10, .now = { 9, 1 }, .level = 9, .ec = 2, .water_ec = 0.5, .most = 0.6, .room = 0.5 });

    (void)state;
    check_close("remove", a.remove, 1.7, 1e-9);
    check_close("adds", a.adds, 0.6, 1e-9);
    check_close("end", a.end.ec, (7.3 + 0.85 + 5.4) / 9, 1e-9);
    assert_true(a.capped && !a.met);
}

/* Wanted as the water is: no water would be enough beside old solution, and a tank filled first is drained of all. */
static void test_only_water_is_as_water(void **state)
{
    aq_adjust_answer a = answer(
        (aq_adjust_problem){ .holds = 20, .now = { 10, 1.5 }, .level = 20, .ec = 0.3, .water_ec = 0.3 });

    (void)state;
    assert_true(isnan(a.water_needed) && isnan(a.keeps));
    check_close("drain after", a.drain_after, 20, 1e-12);
}

/* One thing wrong in each; the first row is right. */
static const struct {
    const char *row;
    aq_adjust_problem problem;
    aq_second_tank into;
    bool right;
} asked[] = {
    { "right", { .holds = 10, .now = { 0.5, 1 }, .level = 10, .ec = 1 }, { 5, { 0.5, 1 }, 1 }, true },
    { "an empty tank has no EC",
      { .holds = 10, .now = { 0, NAN }, .level = 10, .ec = 1 },
      { 5, { 0, NAN }, 1 },
      true },
    { "no EC", { .holds = 10, .now = { 0.5, NAN }, .level = 10, .ec = 1 }, { 5, { 0.5, 1 }, 1 }, false },
    { "no EC in the second",
      { .holds = 10, .now = { 0.5, 1 }, .level = 10, .ec = 1 },
      { 5, { 0.5, NAN }, 1 },
      false },
    { "no EC wanted in the second",
      { .holds = 10, .now = { 0.5, 1 }, .level = 10, .ec = 1 },
      { 5, { 0.5, 1 }, NAN },
      false },
    { "water below 0",
      { .holds = 10, .now = { 0.5, 1 }, .level = 10, .ec = 1, .water_ec = -0.1 },
      { 5, { 0.5, 1 }, 1 },
      false },
    { "no level", { .holds = 10, .now = { 0.5, 1 }, .level = 0, .ec = 1 }, { 5, { 0.5, 1 }, 1 }, false },
    { "over the brim",
      { .holds = 10, .now = { 0.5, 1 }, .level = 10.1, .ec = 1 },
      { 5, { 0.5, 1 }, 1 },
      false },
    { "over the second's brim",
      { .holds = 10, .now = { 0.5, 1 }, .level = 10, .ec = 1 },
      { 5, { 5.1, 1 }, 1 },
      false },
    { "no most",
      { .holds = 10, .now = { 0.5, 1 }, .level = 10, .ec = 1, .most = NAN },
      { 5, { 0.5, 1 }, 1 },
      false },
    { "no room",
      { .holds = 10, .now = { 0.5, 1 }, .level = 10, .ec = 1, .room = -1 },
      { 5, { 0.5, 1 }, 1 },
      false },
};

static void test_what_cannot_be_is_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        aq_adjust_problem problem = asked[i].problem;
        aq_adjust_answer out;
        aq_error err = { 0 };

        problem.into = &asked[i].into;
        check_true(asked[i].row, aq_adjust(&out, &problem, &err) == (asked[i].right ? AQ_OK : AQ_INVALID));
    }
}

/* 100 L at 1.0 for 2.0, nothing may go out, 5 mL for each mS/cm in a litre; the label allows 0.5, so 0.25 L of doses. What
 * holds back is the brim where it leaves more than 1e-6 mS/cm less than that. */
static void test_what_holds_doses_back_is_told_to_a_millionth(void **state)
{
    static const struct {
        const char *row;
        double adds; /* what there is room for */
        bool capped, brimming;
    } rows[] = { { "room for more", 0.6, true, false },
                 { "half a millionth less", 0.5 - 5e-7, true, false },
                 { "five millionths less", 0.5 - 5e-6, false, true } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_adjust_answer a = answer((aq_adjust_problem){ .holds = 100 + 0.5 * rows[i].adds,
                                                         .now = { 100, 1.0 },
                                                         .level = 100,
                                                         .ec = 2.0,
                                                         .water_ec = 0.3,
                                                         .most = 0.5,
                                                         .room = 0.005,
                                                         .keep_all = true });

        check_within(rows[i].row, a.adds, fmin(rows[i].adds, 0.5), 1e-12);
        check_true(rows[i].row, a.capped == rows[i].capped && a.brimming == rows[i].brimming);
    }
}

/* 1.0005 in steps of 0.5 needs a third: what rounding leaves beside a whole number is far less. */
static void test_steps_are_never_larger_than_asked(void **state)
{
    (void)state;
    assert_int_equal(aq_adjust_steps(1.0, 2.0, 0.5), 2);
    assert_int_equal(aq_adjust_steps(2.0, 1.0, 0.5), 2);
    assert_int_equal(aq_adjust_steps(0.5, 1.5005, 0.5), 3);
    assert_int_equal(aq_adjust_steps(0.3, 0.9, 0.1), 6); /* 0.9 - 0.3 is a little more than 0.6 */
    assert_int_equal(aq_adjust_steps(1.0, 1.0, 0.5), 1);
    assert_int_equal(aq_adjust_steps(1.0, 2.0, 1e-6), 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_water_may_have_no_salts),
        cmocka_unit_test(test_a_tank_may_hold_or_want_no_salts),
        cmocka_unit_test(test_doses_alone_may_fill_a_tank),
        cmocka_unit_test(test_a_tank_that_is_right_asks_for_nothing),
        cmocka_unit_test(test_a_second_tank_takes_all_of_what_it_wants),
        cmocka_unit_test(test_a_second_tank_gets_water_only_where_it_helps),
        cmocka_unit_test(test_the_least_goes_out_where_doses_could_make_up_for_more),
        cmocka_unit_test(test_room_is_made_for_what_the_label_allows),
        cmocka_unit_test(test_only_water_is_as_water),
        cmocka_unit_test(test_what_cannot_be_is_refused),
        cmocka_unit_test(test_what_holds_doses_back_is_told_to_a_millionth),
        cmocka_unit_test(test_steps_are_never_larger_than_asked),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
