/* What plants can take, and what one vessel meets in a day: each rule at its edge. */
#include "base/fence.h"
#include "sheet/said.h"

#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* ---- plants ---- */

static aq_sheet *for_plants(aq_arena *arena, double ec, aq_bearing bearing)
{
    aq_sheet *sheet = aq_sheet_new(arena, "mist");
    assert_non_null(aq_sheet_row(sheet, AQ_DO_POUR));
    sheet->expect_ec = aq_amount_of(ec, "mS/cm");
    sheet->expect_ec.given = !isnan(ec);
    assert_int_equal(aq_caution_plants(sheet, &bearing, NULL), AQ_OK);
    return sheet;
}

static void test_a_mist_is_refused_by_any_real_excess_over_its_ceiling(void **state)
{
    static const struct {
        double ec, most;
        bool refused;
    } rows[] = { { 0.8005, 0.8, true },     { 0.8, 0.8, false }, { 0.8 + 5e-10, 0.8, false },
                 { 0.8 + 1e-8, 0.8, true }, { 3, NAN, false },   { NAN, 0.8, false } };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_bearing leaves = { .mist_most = rows[i].most, .ec_was = NAN, .ec_step = NAN };
        aq_sheet *sheet = for_plants(*state, rows[i].ec, leaves);
        assert_int_equal(sheet->outcome, rows[i].refused ? AQ_REFUSED : AQ_MET);
        assert_int_equal(sheet->rows.count, !rows[i].refused);
        assert_int_equal(sheet->hazards.count, rows[i].refused);
        assert_int_equal(sheet->cautions.count, 0);
        assert_true((sheet->defers != NULL) == rows[i].refused);
        if (rows[i].refused)
            assert_true(rule(sheet, "mist-strong")->refuses);
    }
}

static void test_a_step_of_ec_is_told_either_way_and_only_above_what_they_take(void **state)
{
    static const struct {
        double ec, was, step;
        const char *says; /* NULL: nothing */
    } rows[] = {
        { 2.0, 1.2, 0.5,
          "EC rises by 0.80 mS/cm at once, more than the 0.50 mS/cm that these plants take: go in steps." },
        { 1.2, 2.0, 0.5,
          "EC falls by 0.80 mS/cm at once, more than the 0.50 mS/cm that these plants take: go in steps." },
        { 1.7, 1.2, 0.5, NULL },
        { 1.2, 1.7, 0.5, NULL },
        { 1.7005, 1.2, 0.5,
          "EC rises by 0.50 mS/cm at once, more than the 0.50 mS/cm that these plants take: go in steps." },
        { 1.7 + 5e-10, 1.2, 0.5, NULL },
        { 3, NAN, 0.5, NULL },
        { 3, 1, NAN, NULL },
        { NAN, 1, 0.5, NULL },
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_bearing roots = { .mist_most = NAN, .ec_was = rows[i].was, .ec_step = rows[i].step };
        aq_sheet *sheet = for_plants(*state, rows[i].ec, roots);
        assert_int_equal(sheet->cautions.count, rows[i].says != NULL);
        if (rows[i].says)
            check_text("says", sheet->cautions.at[0], rows[i].says);
        assert_int_equal(sheet->outcome, AQ_MET);
    }
    aq_sheet *unsaid = aq_sheet_new(*state, "mist");
    aq_bearing roots = { .mist_most = NAN, .ec_was = 3, .ec_step = 0.5 };
    assert_int_equal(aq_caution_plants(unsaid, &roots, NULL), AQ_OK);
    assert_int_equal(unsaid->cautions.count, 0);
}

static void test_a_dry_medium_and_cuttings_without_roots_are_two_cautions(void **state)
{
    for (int which = 0; which < 4; which++) {
        aq_bearing bearing = {
            .mist_most = NAN, .ec_was = NAN, .ec_step = NAN, .feeds_roots = which & 1, .unrooted = which & 2
        };
        aq_sheet *sheet = for_plants(*state, 1, bearing);
        assert_int_equal(cautioned(sheet, "dry medium"), which & 1);
        assert_int_equal(cautioned(sheet, "no roots yet"), which >> 1);
        assert_null(sheet->defers);
    }
}

/* ---- one vessel in a day ---- */

/* A acid, B bleach, F a feed poured; lower case: a rinse stands before it; r: a rinse alone. A digit is the day in
 * March, a capital after it the vessel, by a reservoir T or U, or the lot L: "A2T B2T". */
static aq_sheet *plan_of(aq_arena *arena, const char *jobs)
{
    static const char *const vessels[] = { "Trays", "Upper" };
    aq_sheet *plan = aq_sheet_new(arena, "plan");

    for (const char *c = jobs; *c; c += 3 + (c[3] == ' ')) {
        aq_sheet *job = aq_sheet_new(arena, "mix"), **place = aq_list_add(arena, &plan->jobs, sizeof *place);
        bool rinsed = *c >= 'a';
        char kind = (char)(*c & ~0x20);

        assert_true(job && place);
        *place = job;
        job->at.date = (aq_date){ 2026, 3, c[1] - '0' };
        job->lot = "basil-14";
        if (c[2] != 'L' && c[2] != 'N')
            job->reservoir = vessels[c[2] == 'U'];
        if (c[2] == 'N')
            job->lot = NULL;
        job->classes = kind == 'A' ? AQ_ACID : kind == 'B' ? AQ_HYPOCHLORITE : 0;
        if (rinsed)
            assert_non_null(aq_sheet_row(job, AQ_DO_RINSE));
        if (kind != 'R')
            aq_sheet_row(job, AQ_DO_POUR)->part = "x";
    }
    return plan;
}

static void test_acid_and_bleach_meet_only_on_one_vessel_in_a_day_without_a_rinse(void **state)
{
    static const struct {
        const char *jobs;
        const char *refused; /* a digit each, from 0; "": none */
    } rows[] = {
        { "A2T B2T", "1" },         { "B2T A2T", "1" },
        { "A2T B3T", "" },          { "A2T B2U", "" },
        { "A2L B2L", "1" },         { "A2L B2T", "" },
        { "A2N B2N", "" },          { "A2T b2T", "" },
        { "a2T B2T", "1" }, /* rinsed before the acid, not after */
        { "A2T A2T", "" },          { "B2T B2T", "" },
        { "F2T A2T", "" },          { "A2T F2T B2T", "2" },
        { "A2T f2T B2T", "" },      { "A2T r2T B2T", "" },
        { "A2T F2T f2T B2T", "" },  { "A2T f2T F2T B2T", "" },
        { "A2T r2U B2T", "2" },     { "A1T r1T A2T B2T", "3" },
        { "A2T F2U B2T", "2" },     { "A1T B1T A2T B2T", "13" },
        { "A2T B2T B2T", "12" },    { "F2T F2T A2T B2T", "3" },
        { "r2T A2T B2T F2T", "2" }, { "B2U A2T F2T B2T", "3" },
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_sheet *plan = plan_of(*state, rows[i].jobs);
        assert_int_equal(aq_caution_day(plan, NULL), AQ_OK);
        for (size_t j = 0; j < plan->jobs.count; j++) {
            const aq_sheet *job = plan->jobs.at[j];
            bool refused = strchr(rows[i].refused, '0' + (int)j) != NULL;
            check_true(rows[i].jobs, (job->outcome == AQ_REFUSED) == refused);
            check_true(rows[i].jobs, (job->rows.count == 0) == refused);
            check_true(rows[i].jobs, job->hazards.count == refused);
            check_true(rows[i].jobs, (job->defers != NULL) == refused);
            check_true(rows[i].jobs, !refused || rule(job, "chlorine-day")->refuses);
        }
        check_true(rows[i].jobs, (plan->outcome == AQ_REFUSED) == (rows[i].refused[0] != '\0'));
        check_true(rows[i].jobs, plan->hazards.count == (rows[i].refused[0] != '\0'));
        check_true(rows[i].jobs, (plan->defers != NULL) == (rows[i].refused[0] != '\0'));
        check_true(rows[i].jobs, !plan->hazards.count || rule(plan, "chlorine-day")->refuses);
    }
}

/* Gives a job these rows instead of its own, in a piece of exactly their size. */
static void give_rows(aq_sheet *job, const char *rows)
{
    size_t bytes = strlen(rows) * sizeof *job->rows.at;

    job->rows.count = 0;
    for (const char *c = rows; *c; c++) {
        aq_row *row = aq_sheet_row(job, *c == 'P' ? AQ_DO_POUR : *c == 'R' ? AQ_DO_RINSE : AQ_DO_WATER);
        row->part = *c == 'P' ? "x" : NULL;
    }
    aq_row *exact = malloc(bytes ? bytes : 1);
    assert_non_null(exact);
    job->rows.at = memcpy(exact, job->rows.at, bytes);
}

/* A rinse counts after an acid where nothing is poured after it, before bleach where nothing is poured first, and
 * anywhere in a job between the two. */
static void test_a_rinse_counts_only_between_the_two(void **state)
{
    static const struct {
        const char *first, *between, *second; /* P pours, R rinses, W fills */
        bool refused;
    } rows[] = { { "PR", "W", "P", false },  { "PRW", "W", "P", false },  { "RP", "W", "P", true },
                 { "PRP", "W", "P", true },  { "P", "W", "RP", false },   { "P", "W", "WRP", false },
                 { "P", "W", "PR", true },   { "P", "W", "PRP", true },   { "PWW", "W", "WWP", true },
                 { "RW", "W", "P", false },  { "W", "W", "P", true },     { "P", "W", "W", true },
                 { "P", "PWR", "P", false }, { "P", "RPPP", "P", false }, { "P", "PWP", "P", true } };

    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_sheet *plan = plan_of(*state, "A2T F2T B2T");
        aq_row *made[3];
        give_rows(plan->jobs.at[0], rows[i].first);
        give_rows(plan->jobs.at[1], rows[i].between);
        give_rows(plan->jobs.at[2], rows[i].second);
        for (size_t j = 0; j < 3; j++)
            made[j] = plan->jobs.at[j]->rows.at;
        assert_int_equal(aq_caution_day(plan, NULL), AQ_OK);
        check_true(rows[i].first, (plan->outcome == AQ_REFUSED) == rows[i].refused);
        for (size_t j = 0; j < 3; j++)
            free(made[j]);
    }
}

static void test_a_plan_takes_over_what_its_jobs_say(void **state)
{
    aq_sheet *plan = plan_of(*state, "F2T A2T B3T");
    plan->jobs.at[1]->defers = "the label first";
    assert_int_equal(aq_caution_day(plan, NULL), AQ_OK);
    assert_int_equal(plan->classes, AQ_ACID | AQ_HYPOCHLORITE);
    check_text("defers as its job does", plan->defers, "the label first");
    assert_int_equal(plan->outcome, AQ_MET);
    plan = aq_sheet_new(*state, "plan");
    assert_int_equal(aq_caution_day(plan, NULL), AQ_OK);
    assert_null(plan->defers);
}

/* An arena with a plan or a mist in it and so many bytes left. */
static aq_arena *nearly_full(aq_sheet **sheet, const char *jobs, size_t left)
{
    enum { ROOM = 1 << 14 };
    aq_arena *arena = aq_arena_new(ROOM);

    assert_non_null(arena);
    *sheet = plan_of(arena, jobs);
    (*sheet)->expect_ec = aq_amount_of(1.6, "mS/cm");
    size_t free = 0; /* what is left over is found by taking all of it, in small pieces */
    while (aq_arena_take(arena, 16))
        free += 16 + AQ_FENCE;
    aq_arena_free(arena);

    arena = aq_arena_new(ROOM);
    *sheet = plan_of(arena, jobs);
    (*sheet)->expect_ec = aq_amount_of(1.6, "mS/cm");
    assert_non_null(aq_arena_take(arena, free - AQ_FENCE - left));
    return arena;
}

/* Wherever memory is out, that is said: no plan lacks the refusal, no sheet one of its cautions. */
static void test_memory_that_is_short_is_told(void **state)
{
    aq_bearing bearing = {
        .mist_most = 0.8, .ec_was = 0.1, .ec_step = 0.5, .unrooted = true, .feeds_roots = true
    };
    aq_bearing leaves = { .mist_most = 0.8, .ec_was = NAN, .ec_step = NAN };
    size_t failed[3] = { 0 };

    (void)state;
    for (size_t left = 0; left < 2048; left += 16) {
        aq_sheet *sheet;
        aq_error err = { .status = AQ_OK };
        aq_arena *arena = nearly_full(&sheet, "", left);
        if (aq_caution_plants(sheet, &bearing, &err) == AQ_OK) {
            assert_non_null(rule(sheet, "mist-strong"));
            assert_int_equal(sheet->cautions.count, 2);
        }
        failed[0] += err.status == AQ_NO_MEMORY;
        aq_arena_free(arena);
        /* nothing that comes later may be what says so */
        arena = nearly_full(&sheet, "", left);
        err.status = AQ_OK;
        if (aq_caution_plants(sheet, &leaves, &err) == AQ_OK)
            assert_non_null(rule(sheet, "mist-strong"));
        failed[2] += err.status == AQ_NO_MEMORY;
        aq_arena_free(arena);
        arena = nearly_full(&sheet, "A2T B2T", left);
        err.status = AQ_OK;
        if (aq_caution_day(sheet, &err) == AQ_OK) {
            assert_non_null(rule(sheet, "chlorine-day"));
            assert_non_null(rule(sheet->jobs.at[1], "chlorine-day"));
        }
        failed[1] += err.status == AQ_NO_MEMORY;
        aq_arena_free(arena);
    }
    assert_true(failed[0] > 3 && failed[0] < 128);
    assert_true(failed[1] > 3 && failed[1] < 128);
    assert_true(failed[2] > 3 && failed[2] < failed[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_a_mist_is_refused_by_any_real_excess_over_its_ceiling),
        IN_ARENA(test_a_step_of_ec_is_told_either_way_and_only_above_what_they_take),
        IN_ARENA(test_a_dry_medium_and_cuttings_without_roots_are_two_cautions),
        IN_ARENA(test_acid_and_bleach_meet_only_on_one_vessel_in_a_day_without_a_rinse),
        IN_ARENA(test_a_rinse_counts_only_between_the_two),
        IN_ARENA(test_a_plan_takes_over_what_its_jobs_say),
        cmocka_unit_test(test_memory_that_is_short_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
