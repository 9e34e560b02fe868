#include "entry.h"

#include "model/part.h"

static void test_a_share_has_its_ec_and_its_amounts(void **state)
{
    /* By the definition of a share: 1 mL/L of each bare ratio, or the rates themselves. */
    static const struct {
        const char *group;
        double ec, first, last, last_weighed; /* mS/cm, L/L or g/L */
    } rows[] = {
        { "{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}", 0.40, 0.001, 0.001, 1 },
        { "{parts: {A: 3, B: 2}, ec: 2.0 mS/cm per mL/L}", 2.0, 0.003, 0.002, 2 },
        { "{parts: {A: 3.0 mL/L, B: 1.8 mL/L}, ec: 2.0 mS/cm}", 2.0, 0.003, 0.0018, 0.0018 },
        { "{parts: {A: 0.5 g/L, B: 0.25 g/L}, ec: 900 ppm-500}", 1.8, 0.5, 0.25, 0.25 },
        { "{parts: {A: 1, B: 0.5}, ec: 1.2 mS/cm per g/L}", 1.2, 0.001, 0.0005, 0.5 },
        { "{name: veg, parts: {A: 1, B: 1}}", NAN, 0.001, 0.001, 1 },
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_together group;

        entry_must(&aq_together_shape, rows[i].group, &group, arena);
        if (isnan(rows[i].ec))
            check_true(rows[i].group, isnan(aq_together_ec(&group)));
        else
            check_close(rows[i].group, aq_together_ec(&group), rows[i].ec, 1e-12);
        check_within(rows[i].group, aq_together_amount(&group, 0, false), rows[i].first, 1e-15);
        check_within(rows[i].group, aq_together_amount(&group, 1, false), rows[i].last, 1e-15);
        check_within(rows[i].group, aq_together_amount(&group, 1, true), rows[i].last_weighed, 1e-15);
        assert_true(aq_together_has(&group, "B"));
        assert_false(aq_together_has(&group, "C"));
    }
    aq_arena_free(arena);
}

static void test_members_keep_the_order_written(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_together group;

    (void)state;
    entry_must(&aq_together_shape, "{parts: {Micro: 2, Bloom: 1, Grow: 3}}", &group, arena);
    check_text("first", group.parts.at[0].name, "Micro");
    check_text("second", group.parts.at[1].name, "Bloom");
    check_text("third", group.parts.at[2].name, "Grow");
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_share_has_its_ec_and_its_amounts),
        cmocka_unit_test(test_members_keep_the_order_written),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
