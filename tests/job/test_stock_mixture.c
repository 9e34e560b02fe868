/* What falls out of a stock tank, against the plain sum over its parts: the tables that make it fast change no answer. */
#include "check.h"
#include "dice.h"

#include "job/stock.h"

#include <stdlib.h>

static const char *const formulas[] = { "KNO3",          "KH2PO4",        "MgSO4.7H2O", "K2SO4",
                                        "Ca(NO3)2.4H2O", "NH4NO3",        "NH4H2PO4",   "CaCl2.2H2O",
                                        "KCl",           "Mg(NO3)2.6H2O", "(NH4)2SO4",  "NaNO3" };
enum { FORMULAS = sizeof formulas / sizeof *formulas };

typedef struct {
    aq_arena *arena;
    aq_asked asked;
    aq_stocking s;
} bench;

static bench *stocked(size_t count, aq_dice *dice, double strongest)
{
    bench *b = calloc(1, sizeof *b);

    b->arena = aq_arena_new(0);
    b->asked.coldest = aq_quantity_of(5, AQ_KIND_TEMPERATURE);
    b->s = (aq_stocking){ .arena = b->arena, .asked = &b->asked, .parts = 100, .count = count };
    b->s.at = aq_arena_take_array(b->arena, count, sizeof *b->s.at);
    for (size_t i = 0; i < count; i++) {
        aq_composition *holds = aq_arena_take(b->arena, sizeof *holds);
        aq_part *part = aq_arena_take(b->arena, sizeof *part);
        aq_dose *dose = aq_arena_take(b->arena, sizeof *dose);
        const char *formula = formulas[dice_below(dice, FORMULAS)];

        assert_int_equal(aq_composition_of_formula(holds, formula, NULL), AQ_OK);
        *part = (aq_part){ .name = formula, .formula = formula, .composition = holds };
        part->tank = dice_below(dice, 9) == 0 ? AQ_TANK_BOTH : AQ_TANK_UNSAID;
        *dose = (aq_dose){ .part = part, .name = formula, .weighs = true, .per_unit = 1 };
        b->s.at[i] = (aq_placing){
            .dose = dose, .rate = strongest * (0.02 + dice_uniform(dice)), .dissolves = NAN, .tabled = true
        };
    }
    return b;
}

static bool plainly_falls_out(const aq_stocking *s, aq_part_set parts)
{
    double ions[AQ_ION_COUNT] = { 0 };

    for (size_t i = 0; i < s->count; i++)
        if (parts >> i & 1)
            aq_stock_bring(ions, &s->at[i], s->at[i].rate * aq_stock_share(s, &s->at[i]) * s->parts);
    for (size_t i = 0; i < s->helped; i++)
        if (aq_solid_room(&s->solids[i], ions) * AQ_STOCK_MARGIN < 1 - 1e-9)
            return true;
    return false;
}

static void test_every_set_of_parts_is_judged_as_by_the_plain_sum(void **state)
{
    static const size_t counts[] = { 1, 2, 3, 4, 5, 8, 31, 63, 64 };
    aq_dice dice = { 64 };
    size_t stays = 0, falls = 0;

    (void)state;
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++)
        for (int run = 0; run < 10; run++) {
            bench *b = stocked(counts[i], &dice, counts[i] > 8 ? 0.1 : 1.2);

            assert_true(aq_stock_mixtures(&b->s));
            for (int set = 0; set < 200; set++) {
                aq_part_set parts = 0;
                bool fell;

                for (size_t bit = 0; bit < counts[i]; bit++)
                    parts |= (aq_part_set)(dice_below(&dice, 2)) << bit;
                fell = aq_stock_falls_out(&b->s, parts) != NULL;
                if (fell != plainly_falls_out(&b->s, parts))
                    fail_msg("%zu parts, run %d: set %llx", counts[i], run, (unsigned long long)parts);
                falls += fell;
                stays += !fell;
            }
            aq_arena_free(b->arena);
            free(b);
        }
    assert_true(falls > 1000 && stays > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_set_of_parts_is_judged_as_by_the_plain_sum),
    };

    return cmocka_run_group_tests_name("stock_mixture", tests, NULL, NULL);
}
