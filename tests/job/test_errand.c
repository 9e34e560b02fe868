/* Errands of a plan that need a site and a recipe: lots watered by hand, in stages that feed, mist, or do neither. */
#include "remembering.h"

#include "sheet/measured.h"

static const char site_text[] = "aliquot: site 1\n"
                                "recipes: {leaf: leaf.yaml}\n"
                                "waters:\n"
                                "  tap: {ec: 0.3 mS/cm}\n"
                                "lots:\n"
                                "  - {name: basil-14, stuck: 2026-03-02, cuttings: 60, recipe: leaf}\n";
static const char recipe_text[] =
    "aliquot: recipe 1\n"
    "parts:\n"
    "  - {name: A, rate: 0-5 mL/L}\n"
    "  - {name: B, rate: 0-5 mL/L}\n"
    "together:\n"
    "  - {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}\n"
    "stages:\n"
    "  - {name: settle, days: 0-1, makes: 500 mL/d}\n"
    "  - {name: strike, days: 2-3, makes: 500 mL/d, mist: {A: 0.5 mL/L, B: 0.5 mL/L}}\n"
    "  - {name: root-in, days: 4-6, gate: half show roots, ec: 0.8 mS/cm, makes: 2 L/d}\n"
    "  - {name: hold, days: 7-9}\n";

static int begin(void **state)
{
    bench_begin(state, site_text, recipe_text);
    return 0;
}

static bool pours(const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].part)
            return true;
    return false;
}

/* Days 0 and 1: half a litre of water. 2 and 3: mist, 0.5 mL/L of 0.5 L. 4 to 6: (0.8 - 0.3) / 0.4 x 2 = 2.5 mL of each.
 * From 7 on the stage makes nothing, so there is no errand. */
static void test_a_lot_is_watered_by_what_its_stage_says(void **state)
{
    static const double water[] = { 0.5, 0.5, 0.5, 0.5, 2, 2, 2 };
    static const double part[] = { NAN, NAN, 0.25, 0.25, 2.5, 2.5, 2.5 };
    bench *b = *state;
    const aq_sheet *plan = answer(b, "plan", NULL, "{from: 2026-03-02, days: 10, water: tap}");

    assert_int_equal(plan->jobs.count, sizeof water / sizeof *water);
    for (size_t i = 0; i < plan->jobs.count; i++) {
        const aq_sheet *job = plan->jobs.at[i];

        assert_int_equal(job->day, (long)i);
        check_text("lot", job->lot, "basil-14");
        check_text("job", job->job, i == 2 || i == 3 ? "mist" : "mix");
        check_within(job->title, aq_amount_base(job->volume), water[i], 1e-9);
        check_true(job->title, pours(job) == !isnan(part[i]));
        if (pours(job))
            check_within(job->title, exact(job, "A"), part[i], 1e-9);
    }
    check_text("plain", plan->jobs.at[0]->title, "500 mL of plain water");
    check_within("as the water", plan->jobs.at[0]->expect_ec.value, 0.3, 1e-12);
}

static bool asks_for_roots(const aq_sheet *job)
{
    for (size_t i = 0; i < job->cautions.count; i++)
        if (strstr(job->cautions.at[i], "half show roots?"))
            return true;
    return false;
}

static void test_a_gate_is_asked_on_the_first_day_of_its_stage_alone(void **state)
{
    bench *b = *state;
    const aq_sheet *plan = answer(b, "plan", NULL, "{from: 2026-03-05, days: 3, water: tap}");

    for (size_t i = 0; i < 3; i++)
        check_true(plan->jobs.at[i]->title, asks_for_roots(plan->jobs.at[i]) == (plan->jobs.at[i]->day == 4));
}

#define AT_THE_BENCH(test) cmocka_unit_test_setup_teardown(test, begin, bench_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        AT_THE_BENCH(test_a_lot_is_watered_by_what_its_stage_says),
        AT_THE_BENCH(test_a_gate_is_asked_on_the_first_day_of_its_stage_alone),
    };

    return cmocka_run_group_tests_name("errand", tests, NULL, NULL);
}
