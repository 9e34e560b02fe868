/* A plan goes by the log: what each tank drinks in each stage, what it was read to hold, and what a root check answered. */
#include "dice.h"
#include "remembering.h"

#include "solve/drift.h"

static const char site_text[] = "aliquot: site 1\n"
                                "name: Fernhollow\n"
                                "recipes: {leaf: leaf.yaml}\n"
                                "waters:\n"
                                "  tap: {ec: 0.3 mS/cm}\n"
                                "reservoirs:\n"
                                "  - {name: Trays, holds: 12 L, water: tap, recipe: leaf, lot: basil-14, "
                                "uses: 1 L/d, uptake: 0.5 mS/cm,\n"
                                "     limit: 1.1 mS/cm}\n"
                                "  - {name: Bed, holds: 60 L, heel: 6 L, heel-ec: 1.0 mS/cm, water: tap, "
                                "recipe: leaf, stage: stock plants,\n"
                                "     uses: 5 L/d, uptake: 0.5 mS/cm, limit: 2.2 mS/cm}\n"
                                "lots:\n"
                                "  - {name: basil-14, stuck: 2026-03-02, cuttings: 60}\n"
                                "week:\n"
                                "  - {reservoir: Trays, change: [Mon 08:00]}\n"
                                "  - {reservoir: Bed, change: [Mon 09:00], top-up: [Thu 09:00]}\n";
static const char recipe_text[] = "aliquot: recipe 1\n"
                                  "parts:\n"
                                  "  - {name: A, rate: 1-5 mL/L}\n"
                                  "  - {name: B, rate: 1-5 mL/L}\n"
                                  "together:\n"
                                  "  - {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}\n"
                                  "stages:\n"
                                  "  - {name: strike, days: 0-3, ec: 0.5 mS/cm}\n"
                                  "  - {name: root-in, days: 4-13, gate: half show roots, ec: 0.8 mS/cm}\n"
                                  "  - {name: tray, days: 14-60, ec: 1.0 mS/cm}\n"
                                  "  - {name: stock plants, ec: 1.6 mS/cm}\n";

static int begin(void **state)
{
    bench_begin(state, site_text, recipe_text);
    return 0;
}

/* ---- what is drunk ---- */

/* A tank filled to `volume` and read again after `days`: it drank `uses` L/d at `uptake`. */
static void log_pair(bench *b, const char *tank, aq_date on, double volume, double uses, double uptake,
                     int days)
{
    aq_tank_state full = { volume, 1.6 }, after = aq_drift_after(full, uses, uptake, days);
    aq_entry entry = { .kind = AQ_ENTRY_MIX, .reservoir = tank };

    entry.at = (aq_moment){ on, 480 };
    entry.volume = aq_quantity_of(full.volume, AQ_KIND_VOLUME);
    entry.ec_after = aq_quantity_of(full.ec, AQ_KIND_EC);
    assert_true(aq_recall_take(b->recall, &entry));
    entry.kind = AQ_ENTRY_READING;
    entry.at.date = aq_date_add(on, days);
    entry.volume.value = after.volume;
    entry.ec_after.value = after.ec;
    assert_true(aq_recall_take(b->recall, &entry));
}

static const aq_drinking *drinking_of(bench *b, const char *tank, const char *stage)
{
    const aq_memory *known = memory(b);

    for (size_t i = 0; i < known->drinking.count; i++) {
        const aq_drinking *d = &known->drinking.at[i];

        if (strcmp(d->reservoir, tank) == 0 && (stage ? d->stage && strcmp(d->stage, stage) == 0 : !d->stage))
            return d;
    }
    return NULL;
}

static aq_date march(int day)
{
    return aq_date_add((aq_date){ 2026, 3, 1 }, day - 1);
}

/* The stage of a pair is that of the lot on the day of its first reading; three pairs are wanted of each. */
static void test_each_stage_of_a_tank_is_learned_apart(void **state)
{
    static const struct {
        const char *stage;
        size_t pairs;
        double uses, uptake;
    } rows[] = { { "root-in", 4, 0.4, 0.6 }, { "tray", 3, 0.9, 0.8 }, { NULL, 8, 0, 0 } };
    bench *b = *state;

    log_pair(b, "Trays", march(3), 12, 0.2, 0.4, 2);
    for (int day = 6; day < 14; day += 2)
        log_pair(b, "Trays", march(day), 12, 0.4, 0.6, 2);
    for (int day = 16; day < 22; day += 2)
        log_pair(b, "Trays", march(day), 12, 0.9, 0.8, 2);
    check_true("one pair is too few", drinking_of(b, "Trays", "strike") == NULL);
    for (size_t i = 0; i < 3; i++) {
        const aq_drinking *d = drinking_of(b, "Trays", rows[i].stage);

        check_true(rows[i].stage ? rows[i].stage : "any", d != NULL);
        assert_int_equal(d->pairs, rows[i].pairs);
        if (!rows[i].stage)
            continue;
        check_within(rows[i].stage, d->uses.value, rows[i].uses, 1e-9);
        check_within(rows[i].stage, d->uptake.value, rows[i].uptake, 1e-9);
    }
    assert_int_equal(aq_date_between(march(22), drinking_of(b, "Trays", NULL)->last), 0);
}

static void test_an_entry_may_say_its_stage_itself(void **state)
{
    bench *b = *state;

    for (int day = 6; day < 15; day += 3) {
        log_entry(
            b, aq_arena_format(b->arena,
                               "{at: 2026-03-%02d, reservoir: Trays, kind: mix, volume: 12 L, stage: trial,"
                               " ec-after: 1.0 mS/cm}",
                               day));
        log_entry(b, aq_arena_format(
                         b->arena, "{at: 2026-03-%02d, reservoir: Trays, volume: 11 L, ec-after: 1.04 mS/cm}",
                         day + 2));
    }
    check_true("trial", drinking_of(b, "Trays", "trial") != NULL);
    check_true("by the calendar", drinking_of(b, "Trays", "root-in") == NULL);
}

static const aq_amount *told(const aq_sheet *sheet, const char *name)
{
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (strcmp(sheet->figures.at[i].name, name) == 0)
            return &sheet->figures.at[i].amount;
    fail_msg("no figure %s", name);
    return NULL;
}

/* What was logged, back as figures: each stage by its name, then all together. Litres a day are typical by days, and
 * uptake by litres: of equal pairs the number itself, of 0.4 and 0.9 L/d something between. */
static void test_the_sheet_tells_what_each_stage_drinks(void **state)
{
    bench *b = *state;
    aq_sheet *sheet;
    bool why = false;

    for (int day = 6; day < 14; day += 2)
        log_pair(b, "Trays", march(day), 12, 0.4, 0.6, 2);
    for (int day = 16; day < 22; day += 2)
        log_pair(b, "Trays", march(day), 12, 0.9, 0.8, 2);
    assert_int_equal(aq_recall_sheet(&sheet, b->recall, &b->err), AQ_OK);
    check_within("root-in", told(sheet, "uses.Trays in root-in")->value, 0.4, 1e-9);
    check_within("root-in", told(sheet, "uptake.Trays in root-in")->value, 0.6, 1e-9);
    check_within("tray", told(sheet, "uses.Trays in tray")->value, 0.9, 1e-9);
    check_within("tray", told(sheet, "uptake.Trays in tray")->value, 0.8, 1e-9);
    check_text("unit", told(sheet, "uses.Trays")->unit, "L/d");
    check_text("unit", told(sheet, "uptake.Trays")->unit, "mS/cm");
    check_true("all", told(sheet, "uses.Trays")->value >= 0.4 && told(sheet, "uses.Trays")->value <= 0.9);
    for (size_t i = 0; i < sheet->why.count; i++)
        why = why || strstr(sheet->why.at[i], "Trays in root-in: from 4 pairs of readings");
    check_true("why", why);
}

/* Logs of known truth: two stages, two tanks, days that differ by 15 %, a dipstick read to 1 % of the tank, a meter to
 * 0.02 mS/cm. Through entries of the log as they are kept; 4 to 10 pairs in each stage. */
static double noisy(aq_dice *dice, double value, double sigma)
{
    return value + sigma * dice_normal(dice);
}

static void simulate_stage(bench *b, aq_dice *dice, aq_date from, double uses, double uptake)
{
    size_t pairs = 4 + dice_below(dice, 7);

    for (size_t i = 0; i < pairs; i++) {
        int days = 1 + (int)dice_below(dice, 3);
        double drunk = uses * days * noisy(dice, 1, 0.15 / sqrt(days));
        aq_tank_state full = { 12, 1.6 }, after = aq_drift_after(full, drunk, uptake, 1);
        aq_entry entry = { .kind = AQ_ENTRY_MIX, .reservoir = "Trays", .at = { from, 480 } };

        entry.stage = uses > 1 ? "late" : "early";
        entry.volume = aq_quantity_of(noisy(dice, full.volume, 0.01 * full.volume), AQ_KIND_VOLUME);
        entry.ec_after = aq_quantity_of(noisy(dice, full.ec, 0.02), AQ_KIND_EC);
        assert_true(aq_recall_take(b->recall, &entry));
        entry.kind = AQ_ENTRY_READING;
        entry.at.date = from = aq_date_add(from, days);
        entry.volume.value = noisy(dice, after.volume, 0.01 * full.volume);
        entry.ec_after.value = noisy(dice, after.ec, 0.02);
        assert_true(aq_recall_take(b->recall, &entry));
    }
}

static size_t holds(double value, double within, double truth)
{
    return fabs(value - truth) <= within;
}

static void test_95_of_100_intervals_hold_the_truth_of_their_stage(void **state)
{
    enum { RUNS = 500 };
    size_t hits[4] = { 0 };
    static const char *const asked[] = { "early, uses", "early, uptake", "late, uses", "late, uptake" };
    aq_dice dice = { 20260302 };

    (void)state;
    for (int run = 0; run < RUNS; run++) {
        void *fresh = NULL;
        bench *b;
        const aq_drinking *early, *late;

        begin(&fresh);
        b = fresh;
        simulate_stage(b, &dice, march(2), 0.8, 0.6);
        simulate_stage(b, &dice, march(40), 1.6, 0.9);
        early = drinking_of(b, "Trays", "early");
        late = drinking_of(b, "Trays", "late");
        hits[0] += holds(early->uses.value, early->uses_within, 0.8);
        hits[1] += holds(early->uptake.value, early->uptake_within, 0.6);
        hits[2] += holds(late->uses.value, late->uses_within, 1.6);
        hits[3] += holds(late->uptake.value, late->uptake_within, 0.9);
        bench_end(&fresh);
    }
    for (size_t i = 0; i < 4; i++)
        check_within(asked[i], (double)hits[i] / RUNS, 0.955, 0.03);
}

/* ---- what the plan makes of it ---- */

static const aq_sheet *job_of(const aq_sheet *plan, const char *tank, aq_date on)
{
    for (size_t i = 0; i < plan->jobs.count; i++)
        if (plan->jobs.at[i]->reservoir && strcmp(plan->jobs.at[i]->reservoir, tank) == 0 &&
            aq_date_compare(plan->jobs.at[i]->at.date, on) == 0)
            return plan->jobs.at[i];
    fail_msg("no job for %s", tank);
    return NULL;
}

static double figure(const aq_sheet *sheet, const char *name)
{
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (strcmp(sheet->figures.at[i].name, name) == 0)
            return sheet->figures.at[i].amount.value;
    return NAN;
}

static bool cautions(const aq_sheet *sheet, const char *words)
{
    for (size_t i = 0; i < sheet->cautions.count; i++)
        if (strstr(sheet->cautions.at[i], words))
            return true;
    return false;
}

/* Changed on Monday the 23rd to 60 L of 1.6, topped up on Thursday: three days of 5 L by the site, of 3 as it was seen. */
static void test_a_plan_goes_by_what_a_tank_was_seen_to_drink(void **state)
{
    bench *b = *state;
    const aq_sheet *plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 4}");

    check_within("by the site", figure(job_of(plan, "Bed", march(26)), "level_before"), 45, 1e-9);
    for (int day = 2; day <= 14; day += 4)
        log_pair(b, "Bed", march(day), 60, 3, 0.9, 3);
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 4}");
    check_within("as seen", figure(job_of(plan, "Bed", march(26)), "level_before"), 51, 1e-9);
    check_within("EC", figure(job_of(plan, "Bed", march(26)), "ec_before"), (60 * 1.6 - 9 * 0.9) / 51, 0.005);
    check_true("said",
               assumes(plan, "Bed uses 3 L/d at 0.90 mS/cm in stock plants, learned from 4 pairs of readings "
                             "to 2026-03-17, from the log"));
}

/* In the stage of the day; where that one was not learned, what was learned of the tank; else what the site says. */
static void test_a_stage_not_learned_falls_back_on_the_tank_then_on_the_site(void **state)
{
    bench *b = *state;
    const aq_sheet *plan;

    for (int day = 6; day < 14; day += 2)
        log_pair(b, "Trays", march(day), 12, 0.4, 0.6, 2);
    plan = answer(b, "plan", NULL, "{from: 2026-03-09, days: 8}");
    check_within("root-in", figure(job_of(plan, "Trays", march(16)), "level_before"), 12 - 7 * 0.4, 1e-9);
    check_true("said", assumes(plan, "Trays uses 0.4 L/d at 0.60 mS/cm in root-in"));
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 8}");
    check_within("tray", figure(job_of(plan, "Trays", march(30)), "level_before"), 12 - 7 * 0.4, 1e-9);
    check_true("of the tank", assumes(plan, "Trays uses 0.4 L/d at 0.60 mS/cm learned from 4 pairs"));
    check_within("by the site", figure(job_of(plan, "Bed", march(26)), "level_before"), 45, 1e-9);
}

/* Readings that agree about nothing are no better than what the site supposes; nor is a line's own tank replaced. */
static void test_what_is_hardly_known_is_not_used(void **state)
{
    static const double uses[] = { 1, 9, 3 };
    bench *b = *state;
    const aq_sheet *plan;

    for (int i = 0; i < 3; i++)
        log_pair(b, "Bed", march(2 + 4 * i), 60, uses[i], 0.9, 3);
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 4}");
    check_within("by the site", figure(job_of(plan, "Bed", march(26)), "level_before"), 45, 1e-9);
    for (int day = 2; day <= 14; day += 4)
        log_pair(b, "Bed", march(day), 60, 3, 0.9, 3);
    plan =
        answer(b, "plan", NULL,
               "{from: 2026-03-23, days: 4, reservoir: '{name: Bed, holds: 60 L, ec: 1.6 mS/cm, recipe: leaf,"
               " water: tap, uses: 4 L/d, uptake: 0.5 mS/cm}', week: '{reservoir: Bed, change: [Mon], top-up:"
               " [Thu]}'}");
    check_within("by the line", figure(job_of(plan, "Bed", march(26)), "level_before"), 48, 1e-9);
}

/* Read on Friday 20 March: 50 L of 1.4; by Monday 09:00 three days and an hour of 5 L/d at 0.5 are gone. */
static void test_a_plan_begins_from_the_latest_reading(void **state)
{
    bench *b = *state;
    aq_tank_state left = aq_drift_after((aq_tank_state){ 50, 1.4 }, 5, 0.5, 3 + 1.0 / 24);
    const aq_sheet *plan, *job;

    log_entry(b, "{at: 2026-03-20T08:00, reservoir: Bed, volume: 50 L, ec-after: 1.4 mS/cm}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 1}");
    job = job_of(plan, "Bed", march(23));
    check_within("level", figure(job, "level_before"), left.volume, 1e-9);
    check_within("EC", figure(job, "ec_before"), left.ec, 1e-9);
    /* 6 L of that and 54 of tap are brought to 1.6; the site's 1.0 is older */
    check_within("A", exact(job, "A"), (1.6 - (6 * left.ec + 54 * 0.3) / 60) / 0.4 * 60, 1e-6);
    plan = answer(b, "plan", NULL, "{from: 2026-03-02, days: 1}");
    check_true("not known on an earlier day", isnan(figure(job_of(plan, "Bed", march(2)), "level_before")));
    plan = answer(b, "plan", NULL, "{from: 2026-04-13, days: 1}");
    check_true("too old", isnan(figure(job_of(plan, "Bed", march(44)), "level_before")));
}

/* An EC read without a level stands at the level that there is by then: 50 - 5. */
static void test_an_ec_alone_is_taken_at_the_level_of_that_time(void **state)
{
    bench *b = *state;
    aq_tank_state left = aq_drift_after((aq_tank_state){ 45, 1.9 }, 5, 0.5, 2 + 1.0 / 24);
    const aq_sheet *job;

    log_entry(b, "{at: 2026-03-20T08:00, reservoir: Bed, volume: 50 L, ec-after: 1.4 mS/cm}");
    log_entry(b, "{at: 2026-03-21T08:00, reservoir: Bed, ec-after: 1.9 mS/cm}");
    job = job_of(answer(b, "plan", NULL, "{from: 2026-03-23, days: 1}"), "Bed", march(23));
    check_within("level", figure(job, "level_before"), left.volume, 1e-9);
    check_within("EC", figure(job, "ec_before"), left.ec, 1e-9);
}

/* ---- limits ---- */

/* Changed on Monday 08:00 to 12 L of 1.0; (12 - 0.5 t) / (12 - t) passes 1.1 when t = 2 days: Wednesday 08:00. The bed,
 * read as 10 L on Friday, is empty two days later; both before Monday. */
static void test_a_plan_says_what_crosses_a_limit_and_when(void **state)
{
    bench *b = *state;
    const aq_sheet *plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 8}");

    check_true("when",
               cautions(plan, "Trays passes its limit of 1.10 mS/cm on Wed 25 Mar 2026, 08:00, before the "
                              "change of Mon 30 Mar 2026"));
    check_true("within its limit", !cautions(plan, "Bed"));
    log_entry(b, "{at: 2026-03-20T09:00, reservoir: Bed, volume: 10 L, ec-after: 1.4 mS/cm}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-20, days: 4}");
    check_true(
        "empty",
        cautions(plan, "Bed is empty on Sun 22 Mar 2026, 09:00, before the change of Mon 23 Mar 2026"));
    log_entry(b, "{at: 2026-03-20T09:30, reservoir: Bed, volume: 55 L, ec-after: 2.3 mS/cm}");
    plan = answer(b, "plan", NULL, "{from: 2026-03-20, days: 4}");
    check_true("past", cautions(plan, "Bed is past its limit of 2.20 mS/cm on Fri 20 Mar 2026, 09:30"));
    plan = answer(b, "plan", NULL, "{from: 2026-03-23, days: 3}");
    check_true("to the end of the plan",
               cautions(plan, "Trays passes its limit of 1.10 mS/cm on Wed 25 Mar 2026, 08:00, "
                              "before this plan is over"));
}

/* ---- gates ---- */

/* Day 4 is the 6th. Its gate was not passed that day, so the strike goes on, and root-in begins on the 7th. */
static void test_a_gate_that_was_not_passed_holds_the_stage(void **state)
{
    static const char *const said[] = {
        "{at: 2026-03-06T08:00, lot: basil-14, gate: half show roots, passed: no}",
        "{at: 2026-03-06T08:00, lot: basil-14, stage: root-in, passed: no}",
        "{at: 2026-03-06T08:00, reservoir: Trays, passed: no}",
    };

    (void)state;
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        void *fresh = NULL;
        const char *week = "{from: 2026-03-06, days: 2, week: '{reservoir: Trays, change: [Fri, Sat]}'}";
        const aq_sheet *plan;
        bench *b;

        begin(&fresh);
        b = fresh;
        plan = answer(b, "plan", NULL, week);
        check_within("by the calendar", job_of(plan, "Trays", march(6))->expect_ec.value, 0.8, 0.01);
        log_entry(b, said[i]);
        plan = answer(b, "plan", NULL, week);
        check_within(said[i], job_of(plan, "Trays", march(6))->expect_ec.value, 0.5, 0.01);
        check_within(said[i], job_of(plan, "Trays", march(7))->expect_ec.value, 0.8, 0.01);
        check_true("said", assumes(plan, "not passed on 2026-03-06, from the log"));
        check_true("asked again", cautions(job_of(plan, "Trays", march(7)), "half show roots?"));
        check_within("a mix too", answer(b, "mix", "Trays", "{date: 2026-03-06}")->expect_ec.value, 0.5,
                     0.01);
        check_true("and says why", assumes(answer(b, "mix", "Trays", "{date: 2026-03-06}"), "not passed on"));
        bench_end(&fresh);
    }
}

static void test_a_gate_that_was_passed_is_not_asked_again(void **state)
{
    const char *week = "{from: 2026-03-06, days: 1, week: '{reservoir: Trays, change: [Fri]}'}";
    bench *b = *state;

    check_true("asked",
               cautions(job_of(answer(b, "plan", NULL, week), "Trays", march(6)), "half show roots?"));
    log_entry(b, "{at: 2026-03-06T08:00, lot: basil-14, gate: half show roots, passed: yes}");
    check_true("answered",
               !cautions(job_of(answer(b, "plan", NULL, week), "Trays", march(6)), "half show roots?"));
}

static void test_a_line_and_other_lots_stand_apart_from_the_log(void **state)
{
    bench *b = *state;

    log_entry(b, "{at: 2026-03-06T08:00, lot: mint-3, gate: half show roots, passed: no}");
    check_within("another lot", answer(b, "mix", "Trays", "{date: 2026-03-06}")->expect_ec.value, 0.8, 0.01);
    log_entry(b, "{at: 2026-03-06T08:00, lot: basil-14, gate: half show roots, passed: no}");
    check_within(
        "what the line says",
        job_of(answer(b, "plan", NULL,
                      "{from: 2026-03-06, days: 1, week: '{reservoir: Trays, change: [Fri]}', gate: '{stage: "
                      "root-in, at: 2026-03-06, passed: yes}'}"),
               "Trays", march(6))
            ->expect_ec.value,
        0.8, 0.01);
}

#define AT_THE_BENCH(test) cmocka_unit_test_setup_teardown(test, begin, bench_end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        AT_THE_BENCH(test_each_stage_of_a_tank_is_learned_apart),
        AT_THE_BENCH(test_an_entry_may_say_its_stage_itself),
        AT_THE_BENCH(test_the_sheet_tells_what_each_stage_drinks),
        cmocka_unit_test(test_95_of_100_intervals_hold_the_truth_of_their_stage),
        AT_THE_BENCH(test_a_plan_goes_by_what_a_tank_was_seen_to_drink),
        AT_THE_BENCH(test_a_stage_not_learned_falls_back_on_the_tank_then_on_the_site),
        AT_THE_BENCH(test_what_is_hardly_known_is_not_used),
        AT_THE_BENCH(test_a_plan_begins_from_the_latest_reading),
        AT_THE_BENCH(test_an_ec_alone_is_taken_at_the_level_of_that_time),
        AT_THE_BENCH(test_a_plan_says_what_crosses_a_limit_and_when),
        cmocka_unit_test(test_a_gate_that_was_not_passed_holds_the_stage),
        AT_THE_BENCH(test_a_gate_that_was_passed_is_not_asked_again),
        AT_THE_BENCH(test_a_line_and_other_lots_stand_apart_from_the_log),
    };

    return cmocka_run_group_tests_name("plan_log", tests, NULL, NULL);
}
