/* What the log knows, in the answers of a site's jobs; and what no entry can teach. */
#include "remembering.h"

static const char site_text[] = "aliquot: site 1\n"
                                "name: Fernhollow\n"
                                "recipes: {leaf: leaf.yaml}\n"
                                "waters:\n"
                                "  tap: {ec: 0.3 mS/cm}\n"
                                "reservoirs:\n"
                                "  - {name: Trays, holds: 12 L, water: tap}\n"
                                "  - {name: Bed, holds: 60 L, heel: 6 L, water: tap}\n"
                                "supplies:\n"
                                "  - {part: A, left: 5 L}\n"
                                "  - {part: B, left: 5 L}\n";
static const char recipe_text[] = "aliquot: recipe 1\n"
                                  "parts:\n"
                                  "  - {name: A, rate: 1-4 mL/L}\n"
                                  "  - {name: B, rate: 1-4 mL/L}\n"
                                  "  - {name: Salt, formula: MgSO4.7H2O}\n"
                                  "together:\n"
                                  "  - {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}\n";

static int begin(void **state)
{
    bench_begin(state, site_text, recipe_text);
    return 0;
}

/* A mix of the trays that reads as if the pair added `slope` mS/cm per mL/L: 2 mL/L of each. */
static void log_mix(bench *b, int day, const char *reads)
{
    log_entry(b,
              aq_arena_format(b->arena,
                              "{at: 2026-03-%02dT08:00, reservoir: Trays, volume: 12 L, water-ec: 0.3 mS/cm,"
                              " poured: {A: 24 mL, B: 24 mL}, ec-after: %s mS/cm}",
                              day, reads));
}

/* ---- slopes ---- */

/* The label says 0.40 mS/cm per mL/L: 1.2 added takes 3 mL/L, 36 mL in 12 L. */
static void test_two_mixes_do_not_move_a_sheet(void **state)
{
    bench *b = *state;
    const aq_sheet *sheet;

    log_mix(b, 2, "1.02");
    log_mix(b, 5, "1.02");
    sheet = answer(b, "mix", "Trays", "{ec: 1.5 mS/cm}");
    check_within("A", exact(sheet, "A"), 36, 1e-9);
    check_true("by the label", !assumes(sheet, "learned"));
    check_within("tolerance", sheet->expect_ec.within, 0.12, 1e-9);
}

/* 2 mL/L that add 0.72 are 0.36 in the litres of this tank's marks; prior and readings meet nearer to the readings the
 * more there are. Twenty mixes leave 0.36 but for a hundredth. */
static void test_three_mixes_and_more_do(void **state)
{
    bench *b = *state;
    const aq_sheet *three, *many;

    for (int day = 2; day <= 4; day++)
        log_mix(b, day, "1.02");
    three = answer(b, "mix", "Trays", "{ec: 1.5 mS/cm}");
    check_true("more than by the label", exact(three, "A") > 37);
    check_true("said", assumes(three, "learned from 3 mixes to 2026-03-04 (label 0.4)"));
    check_true("surer than on first use", three->expect_ec.within < 0.10);
    b->recall = aq_recall_new(b->arena, &b->setting, (aq_date){ 0 }, &b->complaints);
    for (int day = 1; day <= 20; day++)
        log_mix(b, day, "1.02");
    many = answer(b, "mix", "Trays", "{ec: 1.5 mS/cm}");
    check_within("A", exact(many, "A"), 40, 0.5);
    check_within("tolerance", many->expect_ec.within, 0.06, 0.002);
}

static void test_another_tank_learns_of_the_bottle_but_not_of_the_marks(void **state)
{
    bench *b = *state;
    const aq_sheet *trays, *bed;

    for (int day = 1; day <= 20; day++)
        log_mix(b, day, "1.02");
    trays = answer(b, "mix", "Trays", "{ec: 1.5 mS/cm}");
    bed = answer(b, "mix", "Bed", "{ec: 1.5 mS/cm, heel: 0 L}");
    check_true("more than by the label", exact(bed, "A") / 60 > 3.02);
    check_true("less than where the marks are in doubt too", exact(bed, "A") / 60 < exact(trays, "A") / 12);
    check_true("less sure", bed->expect_ec.within > trays->expect_ec.within);
}

static void test_what_the_line_says_stands(void **state)
{
    bench *b = *state;
    const aq_sheet *sheet;

    for (int day = 1; day <= 20; day++)
        log_mix(b, day, "1.02");
    sheet = answer(b, "mix", "Trays",
                   "{ec: 1.5 mS/cm, together: {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}}");
    check_within("A", exact(sheet, "A"), 36, 1e-9);
}

static size_t mixes_learned(bench *b)
{
    const aq_memory *found = memory(b);

    return found->slopes.count ? found->slopes.at[0].mixes : 0;
}

static void test_entries_that_cannot_teach_are_left_out(void **state)
{
    static const char *const entries[] = {
        "{at: 2026-03-01, reservoir: Trays, volume: 12 L, water-ec: 0.3 mS/cm, poured: {A: 24 mL, B: 24 mL}}",
        "{at: 2026-03-01, reservoir: Trays, volume: 12 L, poured: {A: 24 mL, B: 24 mL}, ec-after: 1 mS/cm}",
        "{at: 2026-03-01, reservoir: Trays, volume: 12 L, water-ec: 0.3 mS/cm, poured: {A: 24 mL},"
        " ec-after: 1 mS/cm}",
        "{at: 2026-03-01, reservoir: Trays, volume: 12 L, water-ec: 0.3 mS/cm, poured: {A: 24 mL, B: 12 mL},"
        " ec-after: 1 mS/cm}",
        "{at: 2026-03-01, reservoir: Trays, volume: 12 L, water-ec: 0.3 mS/cm, poured: {A: 24 g, B: 24 mL},"
        " ec-after: 1 mS/cm}",
        "{at: 2026-03-01, kind: top-up, reservoir: Trays, volume: 12 L, water-ec: 0.3 mS/cm,"
        " poured: {A: 24 mL, B: 24 mL}, ec-after: 1 mS/cm}",
    };
    bench *b = *state;

    for (size_t i = 0; i < sizeof entries / sizeof *entries; i++)
        log_entry(b, entries[i]);
    assert_int_equal(mixes_learned(b), 0);
    log_mix(b, 2, "1.02");
    assert_int_equal(mixes_learned(b), 1);
}

static void test_a_top_up_teaches_by_its_own_two_readings(void **state)
{
    bench *b = *state;

    for (int day = 1; day <= 3; day++)
        log_entry(b, "{at: 2026-03-02, kind: top-up, reservoir: Trays, volume: 12 L, ec-before: 1.0 mS/cm,"
                     " poured: {A: 24 mL, B: 24 mL}, ec-after: 1.72 mS/cm}");
    assert_int_equal(mixes_learned(b), 3);
}

static void test_a_part_that_no_recipe_knows_is_learned_by_its_name(void **state)
{
    aq_setting alone = { .today = { { 2026, 3, 20 }, 480 } };
    bench *b = *state;
    const aq_memory *found;

    b->recall = aq_recall_new(b->arena, &alone, (aq_date){ 0 }, &b->complaints);
    for (int i = 0; i < 30; i++)
        log_entry(
            b, "{at: 2026-03-02, reservoir: Trays, volume: 10 L, water-ec: 0.3 mS/cm, poured: {Feed: 20 mL},"
               " ec-after: 1.3 mS/cm}");
    found = memory(b);
    assert_int_equal(found->slopes.count, 2);
    check_text("part", found->slopes.at[0].part, "Feed");
    check_within("0.5 mS/cm per mL/L in this tank", found->slopes.at[0].slope, 500, 5);
}

static void test_only_entries_since_a_day_teach(void **state)
{
    bench *b = *state;

    b->recall = aq_recall_new(b->arena, &b->setting, (aq_date){ 2026, 3, 10 }, &b->complaints);
    for (int day = 8; day <= 11; day++)
        log_mix(b, day, "1.02");
    assert_int_equal(mixes_learned(b), 2);
}

/* ---- the tank ---- */

static void test_the_last_reading_is_that_of_the_old_solution(void **state)
{
    bench *b = *state;
    const aq_sheet *sheet;

    log_entry(b, "{at: 2026-03-10, reservoir: Bed, volume: 60 L, ec-after: 1.4 mS/cm}");
    log_entry(b, "{at: 2026-03-18, reservoir: Bed, volume: 51 L, ec-after: 1.9 mS/cm}");
    sheet = answer(b, "mix", "Bed", "{ec: 1.5 mS/cm}");
    check_true("said", assumes(sheet, "heel-ec: 1.90 mS/cm, read 2026-03-18, from the log"));
    check_within("A: (1.5 - (6 x 1.9 + 54 x 0.3) / 60) / 0.4 x 60", exact(sheet, "A"), 156, 1e-6);
    sheet = answer(b, "adjust", "Bed", "{volume: 55 L, ec: 1.5 mS/cm}");
    check_true("EC now", assumes(sheet, "ec-now: 1.90 mS/cm, read 2026-03-18, from the log"));
    sheet = answer(b, "mix", "Bed", "{ec: 1.5 mS/cm, heel-ec: 1.0 mS/cm}");
    check_true("what is measured stands", !assumes(sheet, "from the log"));
}

static void test_a_reading_of_three_weeks_ago_is_not_that_of_the_tank(void **state)
{
    bench *b = *state;
    aq_node *node;
    aq_sheet *sheet;

    log_entry(b, "{at: 2026-02-27, reservoir: Bed, volume: 60 L, ec-after: 1.4 mS/cm}");
    b->setting.memory = memory(b);
    b->setting.subject = "Bed";
    assert_int_equal(aq_node_yaml(&node, b->arena, "{ec: 1.5 mS/cm}", 15, "-", NULL), AQ_OK);
    assert_int_equal(aq_job_answer(&sheet, b->arena, aq_job_find("mix"), node, &b->setting, &b->complaints),
                     AQ_MISSING);
}

/* 4 mL/L are the label's top: after 36 mL of 48, a correction has 12 mL left, and a new mix all 48. */
static void test_what_was_poured_since_the_change_counts_against_the_label(void **state)
{
    bench *b = *state;
    const aq_sheet *sheet;

    log_entry(b, "{at: 2026-03-17, reservoir: Trays, volume: 12 L, poured: {A: 48 mL, B: 48 mL}}");
    log_entry(b, "{at: 2026-03-18, reservoir: Trays, volume: 12 L, poured: {A: 30 mL, B: 30 mL}}");
    log_entry(b,
              "{at: 2026-03-19, kind: top-up, reservoir: Trays, volume: 12 L, poured: {A: 6 mL, B: 6 mL}}");
    sheet = answer(b, "adjust", "Trays", "{volume: 12 L, ec-now: 1.0 mS/cm, ec: 2.4 mS/cm}");
    check_true("said", assumes(sheet, "since the change of 2026-03-18"));
    check_within("A", exact(sheet, "A"), 12, 1e-6);
    assert_int_equal(sheet->outcome, AQ_CAPPED);
    sheet = answer(b, "mix", "Trays", "{ec: 1.9 mS/cm}");
    check_within("a new mix", exact(sheet, "A"), 48, 1e-6);
}

/* 3 L a day at (60 x 1.6 - 54 x 1.68) / 6 = 0.88 mS/cm, three times of four; a level misread once does not matter, and
 * readings an hour apart teach nothing. */
static void test_pairs_of_readings_tell_what_a_tank_drinks(void **state)
{
    bench *b = *state;
    const aq_sheet *sheet;

    for (int day = 1; day <= 13; day += 4) {
        log_entry(b, aq_arena_format(b->arena,
                                     "{at: 2026-03-%02dT08:00, reservoir: Bed, kind: mix, volume: 60 L,"
                                     " ec-after: 1.6 mS/cm}",
                                     day));
        log_entry(
            b, aq_arena_format(b->arena,
                               "{at: 2026-03-%02dT08:00, reservoir: Bed, volume: %s L, ec-after: 1.68 mS/cm}",
                               day + 2, day == 5 ? "45" : "54"));
        log_entry(
            b, aq_arena_format(b->arena,
                               "{at: 2026-03-%02dT09:00, reservoir: Bed, volume: 44 L, ec-after: 1.68 mS/cm}",
                               day + 2));
    }
    check_within("uses", memory(b)->drinking.at[0].uses.value, 3, 1e-9);
    check_within("uptake", memory(b)->drinking.at[0].uptake.value, 0.88, 1e-9);
    assert_int_equal(memory(b)->drinking.at[0].pairs, 4);
    sheet = answer(b, "adjust", "Bed", "{volume: 58 L, ec: 1.5 mS/cm, drain: no}");
    check_true("said",
               assumes(sheet, "uses: 3 L/d learned from 4 pairs of readings to 2026-03-15, from the log"));
}

/* ---- the shelf ---- */

static void test_a_stock_take_less_what_was_poured_is_left(void **state)
{
    bench *b = *state;
    const aq_memory *found;

    log_entry(b, "{at: 2026-03-01, reservoir: Trays, volume: 12 L, poured: {A: 500 mL}}");
    log_entry(b, "{at: 2026-03-02, left: {A: 700 mL, Salt: 900 g}}");
    log_entry(b, "{at: 2026-03-03, reservoir: Trays, volume: 12 L, poured: {A: 24 mL, Salt: 3 g}}");
    log_entry(b, "{at: 2026-03-04, kind: mist, volume: 0.5 L, poured: {A: 1 mL}}");
    log_entry(b, "{at: 2026-03-05, kind: delivery, left: {A: 1 L}}");
    log_entry(b, "{at: 2026-03-06, reservoir: Trays, volume: 12 L, poured: {B: 24 mL, Salt: 3 mL}}");
    found = memory(b);
    assert_int_equal(found->stock.count, 2);
    check_within("A", found->stock.at[0].left.value, 1.675, 1e-12);
    check_within("Salt: mL cannot be taken from g", found->stock.at[1].left.value, 897, 1e-12);
    check_true("said", assumes(answer(b, "mix", "Trays", "{ec: 1.5 mS/cm}"), "the stock-take of 2026-03-02"));
}

/* ---- the sheet ---- */

static const aq_figure *figure(const aq_sheet *sheet, const char *name)
{
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (strcmp(sheet->figures.at[i].name, name) == 0)
            return &sheet->figures.at[i];
    fail_msg("no figure %s", name);
    return NULL;
}

static void test_the_sheet_names_what_it_learned_and_what_it_does_not_believe(void **state)
{
    bench *b = *state;
    aq_sheet *sheet;

    for (int day = 1; day <= 20; day++)
        log_mix(b, day, day == 7 ? "1.428" : "1.02");
    assert_int_equal(aq_recall_sheet(&sheet, b->recall, &b->err), AQ_OK);
    check_within("slope", figure(sheet, "slope.A and B")->amount.value, 0.373, 0.01);
    check_text("unit", figure(sheet, "slope.A and B")->amount.unit, "mS/cm per mL/L");
    check_within("volume", figure(sheet, "volume.Trays")->amount.value, 12.3, 0.1);
    assert_int_equal(sheet->causes.count, 1);
    check_true("which", strstr(sheet->causes.at[0].name, "7 Mar 2026") != NULL);
    check_true("why", strstr(sheet->causes.at[0].name, "ppm scale") != NULL);
    check_true("what was learned is beside what was said",
               sheet->learned.count == 3 && strcmp(sheet->learned.at[0].name, "A and B") == 0 &&
                   strcmp(sheet->learned.at[1].name, "Trays") == 0);
    check_within("the label", sheet->learned.at[0].figures.at[1].amount.value, 0.40, 1e-12);
    check_within("the marks", sheet->learned.at[1].figures.at[1].amount.value, 12, 1e-12);
    check_text("doubted", sheet->learned.at[2].label, "entry");
    check_within("read", sheet->learned.at[2].figures.at[0].amount.value, 1.428, 1e-12);
    check_within("expected", sheet->learned.at[2].figures.at[1].amount.value, 1.02, 0.01);
    check_true("beyond belief", fabs(1.428 - 1.02) > sheet->learned.at[2].figures.at[1].amount.within);
    check_true("one bottle in one tank", sheet->unseen.count == 1);
}

static void test_an_empty_log_says_what_it_wants(void **state)
{
    bench *b = *state;
    aq_sheet *sheet;

    assert_int_equal(aq_recall_sheet(&sheet, b->recall, &b->err), AQ_OK);
    assert_int_equal(sheet->outcome, AQ_NEAREST);
    assert_int_equal(sheet->next.count, 1);
}

#define AT_THE_BENCH(test) cmocka_unit_test_setup_teardown(test, begin, bench_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        AT_THE_BENCH(test_two_mixes_do_not_move_a_sheet),
        AT_THE_BENCH(test_three_mixes_and_more_do),
        AT_THE_BENCH(test_another_tank_learns_of_the_bottle_but_not_of_the_marks),
        AT_THE_BENCH(test_what_the_line_says_stands),
        AT_THE_BENCH(test_entries_that_cannot_teach_are_left_out),
        AT_THE_BENCH(test_a_top_up_teaches_by_its_own_two_readings),
        AT_THE_BENCH(test_a_part_that_no_recipe_knows_is_learned_by_its_name),
        AT_THE_BENCH(test_only_entries_since_a_day_teach),
        AT_THE_BENCH(test_the_last_reading_is_that_of_the_old_solution),
        AT_THE_BENCH(test_a_reading_of_three_weeks_ago_is_not_that_of_the_tank),
        AT_THE_BENCH(test_what_was_poured_since_the_change_counts_against_the_label),
        AT_THE_BENCH(test_pairs_of_readings_tell_what_a_tank_drinks),
        AT_THE_BENCH(test_a_stock_take_less_what_was_poured_is_left),
        AT_THE_BENCH(test_the_sheet_names_what_it_learned_and_what_it_does_not_believe),
        AT_THE_BENCH(test_an_empty_log_says_what_it_wants),
    };

    return cmocka_run_group_tests_name("recall", tests, NULL, NULL);
}
