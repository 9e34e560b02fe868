/* The way from a line of answers to a sheet: rows, files, questions, and memory that runs out anywhere. */
#include "check.h"

#include <stdio.h>

#include "job/job.h"

static aq_complaints complaints;

/* A line of YAML flow, answered. */
static aq_status ask(aq_sheet **out, aq_arena *arena, const char *job, const char *line,
                     const aq_setting *setting)
{
    aq_node *answers = NULL;
    aq_error err = { .status = AQ_OK };
    aq_status status = aq_node_yaml(&answers, arena, line, strlen(line), "line", &err);

    memset(&complaints, 0, sizeof complaints);
    *out = NULL;
    return status == AQ_OK ? aq_job_answer(out, arena, aq_job_find(job), answers, setting, &complaints)
                           : status;
}

static void check_row(const aq_job *job, const aq_field *field)
{
    char row[120];

    snprintf(row, sizeof row, "%s --%s", job->name, field->key);
    check_true(row, field->help && *field->help);
    check_true(row, field->help[strlen(field->help) - 1] != '.');
    check_true(row, field->example != NULL);
    check_true(row, field->into < sizeof(aq_asked));
    for (const aq_field *other = job->asks->fields; other < field; other++)
        check_true(row, strcmp(other->key, field->key) != 0);
}

/* What the help shows must be what the row reads. */
static void check_example(const aq_job *job, const aq_field *field)
{
    static union {
        aq_asked asked;
        char room[sizeof(aq_asked)];
    } into;
    aq_arena *arena = aq_arena_new(0);
    aq_walk walk = { .arena = arena, .complaints = &complaints };
    aq_node *node = aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ "example", 1, 1, 1 }, field->example);
    aq_status status;

    memset(&complaints, 0, sizeof complaints);
    memset(&into, 0, sizeof into);
    status = aq_field_read(&walk, field, node, &into);
    if (status != AQ_OK)
        fail_msg("%s --%s: its example %s is refused: %s", job->name, field->key, field->example,
                 complaints.at[0].text);
    aq_arena_free(arena);
}

static void test_every_row_has_help_and_an_example_that_it_reads(void **state)
{
    size_t count, rows = 0;
    const aq_job *const *jobs = aq_job_table(&count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        check_true(jobs[i]->name, jobs[i]->does && jobs[i]->example && jobs[i]->run);
        check_true(jobs[i]->name, aq_job_find(jobs[i]->name) == jobs[i]);
        for (size_t j = 0; j < jobs[i]->asks->count; j++, rows++) {
            check_row(jobs[i], &jobs[i]->asks->fields[j]);
            check_example(jobs[i], &jobs[i]->asks->fields[j]);
        }
    }
    assert_true(count >= 6 && rows > 60);
    assert_null(aq_job_find("no such job"));
}

static void test_a_question_says_what_each_choice_would_give(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_setting setting = { .today = { { 2026, 3, 2 }, -1 } };
    aq_sheet *sheet;

    (void)state;
    assert_int_equal(ask(&sheet, arena, "convert", "{quantity: 2 gal, to: L}", &setting), AQ_AMBIGUOUS);
    assert_null(sheet);
    assert_int_equal(complaints.count, 1);
    check_text("key", complaints.at[0].question.key, "gallon");
    assert_non_null(strstr(complaints.at[0].text, "us gives 7.57 L")); /* 2 x 3.785 */
    assert_non_null(strstr(complaints.at[0].text, "imperial gives 9.09 L"));
    aq_arena_free(arena);
}

static void test_an_answered_question_is_not_asked_and_not_assumed(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_setting setting = { .today = { { 2026, 3, 2 }, -1 } };
    aq_sheet *sheet;

    (void)state;
    assert_int_equal(ask(&sheet, arena, "convert", "{quantity: 2 gal, to: L, gallon: imperial}", &setting),
                     AQ_OK);
    check_close("litres", sheet->figures.at[0].amount.value, 9.09218, 1e-9);
    check_text("headline", aq_sheet_headline(sheet), "9.09 L");
    assert_int_equal(sheet->assumed.count, 0);
    aq_arena_free(arena);
}

static void test_the_site_answers_what_the_line_does_not(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_site site = { .source = "site.yaml", .name = "Fernhollow", .said.gallon = AQ_GALLON_US };
    aq_setting setting = { .today = { { 2026, 3, 2 }, -1 }, .site = &site };
    aq_sheet *sheet;

    (void)state;
    assert_int_equal(ask(&sheet, arena, "convert", "{quantity: 2 gal, to: L}", &setting), AQ_OK);
    check_close("litres", sheet->figures.at[0].amount.value, 7.570823568, 1e-9);
    check_text("site", sheet->site, "Fernhollow");
    assert_int_equal(sheet->at.date.day, 2);
    aq_arena_free(arena);
}

/* ---- files ---- */

typedef struct {
    const char *text; /* NULL: there is no such file */
    char document[40], path[40];
} shelf;

static aq_status load(void *from, const char *document, const char *path, aq_arena *arena, aq_file *out,
                      aq_error *err)
{
    shelf *s = from;

    (void)arena;
    snprintf(s->document, sizeof s->document, "%s", document ? document : "(none)");
    snprintf(s->path, sizeof s->path, "%s", path);
    if (!s->text)
        return aq_fail(err, AQ_READ_FAILED, (aq_place){ 0 }, "%s: no such file", path);
    *out = (aq_file){ "leaf.yaml", s->text, strlen(s->text) };
    return AQ_OK;
}

static const char recipe_text[] = "aliquot: recipe 1\nparts: [{name: Feed, rate: 2 mL/L}]\n";

static void test_a_recipe_is_read_where_its_document_lies(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_recipe_ref refs[] = { { .name = "leaf", .path = "leaf.yaml" } };
    aq_site site = { .source = "far/site.yaml", .recipes = { refs, 1, 1 } };
    shelf s = { .text = recipe_text };
    aq_setting setting = { .site = &site, .load = load, .from = &s };
    const aq_recipe *recipe;

    (void)state;
    memset(&complaints, 0, sizeof complaints);
    assert_int_equal(aq_job_recipe(&recipe, arena, &setting, "leaf", (aq_place){ 0 }, &complaints), AQ_OK);
    check_text("document", s.document, "far/site.yaml");
    check_text("path", s.path, "leaf.yaml");
    check_text("part", recipe->parts.at[0].name, "Feed");
    assert_int_equal(aq_job_recipe(&recipe, arena, &setting, "other.yaml", (aq_place){ 0 }, &complaints),
                     AQ_OK);
    check_text("named in the line", s.document, "(none)");
    aq_arena_free(arena);
}

static void test_a_recipe_that_cannot_be_read_says_why(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    shelf s = { .text = NULL };
    aq_setting setting = { .load = load, .from = &s };
    const aq_recipe *recipe;

    (void)state;
    memset(&complaints, 0, sizeof complaints);
    assert_int_equal(aq_job_recipe(&recipe, arena, &setting, "x.yaml", (aq_place){ 0 }, &complaints),
                     AQ_READ_FAILED);
    check_text("missing", complaints.at[0].text, "recipe: x.yaml: no such file");
    s.text = "aliquot: recipe 1\nparts: [{name: Feed, rte: 2 mL/L}]\n";
    memset(&complaints, 0, sizeof complaints);
    assert_int_equal(aq_job_recipe(&recipe, arena, &setting, "x.yaml", (aq_place){ 0 }, &complaints),
                     AQ_UNKNOWN_KEY);
    assert_null(recipe);
    assert_int_equal(complaints.at[0].place.line, 2);
    setting.load = NULL;
    memset(&complaints, 0, sizeof complaints);
    assert_int_equal(aq_job_recipe(&recipe, arena, &setting, "x.yaml", (aq_place){ 0 }, &complaints),
                     AQ_UNKNOWN_NAME);
    aq_arena_free(arena);
}

/* ---- memory ---- */

static const struct {
    const char *job, *line;
} lines[] = {
    { "convert", "{quantity: 150 mg, to: mg, formula: IBA, as: K-IBA}" },
    { "convert", "{quantity: 2 gal, to: L}" },
    { "mix", "{volume: 80 L, heel: 40 L, heel-ec: 2.1 mS/cm, water-ec: 0.35 mS/cm, ec: 1.8 mS/cm, "
             "together: {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}, bench: {name: jug, holds: 1 L, "
             "marks: 5 mL}}" },
    { "mix", "{volume: 35 L, targets: {N: 125 mg/L, K: 100 mg/L}, supply: {part: Bag, left: 2 kg, pack: 5 "
             "kg, price: 9}, "
             "part: [{name: Bag, analysis: {basis: w/w, N: 15 %, P2O5: 5 %, K2O: 15 %}}, {name: Salt, "
             "formula: KNO3}]}" },
    { "mix", "{volume: 14 gal, part: {name: First, rate: 2-4 tsp/gal}}" },
    { "mist", "{bottle: 250-300 mL, rate: 0.25 mL/L, bench: {name: syringe, holds: 1 mL, marks: 0.02 mL}}" },
    { "dilute", "{of: hydrogen peroxide, stock: 35 %w/w, density: 1.13 kg/L, to: 3 %w/v, make: 1 L}" },
};

/* Every ceiling from nothing to enough: an answer, a question, or a plain statement that memory is out. */
static void test_memory_may_run_out_anywhere(void **state)
{
    aq_setting setting = { .today = { { 2026, 3, 2 }, -1 } };
    aq_sheet *sheet;

    (void)state;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        aq_status whole = AQ_NO_MEMORY;

        for (size_t ceiling = 64; whole == AQ_NO_MEMORY; ceiling += 64) {
            aq_arena *arena = aq_arena_new(ceiling);

            assert_true(ceiling < (1 << 20));
            whole = arena ? ask(&sheet, arena, lines[i].job, lines[i].line, &setting) : AQ_NO_MEMORY;
            assert_true(whole == AQ_OK || !sheet);
            aq_arena_free(arena);
        }
        assert_true(whole == AQ_OK || whole == AQ_AMBIGUOUS);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_row_has_help_and_an_example_that_it_reads),
        cmocka_unit_test(test_a_question_says_what_each_choice_would_give),
        cmocka_unit_test(test_an_answered_question_is_not_asked_and_not_assumed),
        cmocka_unit_test(test_the_site_answers_what_the_line_does_not),
        cmocka_unit_test(test_a_recipe_is_read_where_its_document_lies),
        cmocka_unit_test(test_a_recipe_that_cannot_be_read_says_why),
        cmocka_unit_test(test_memory_may_run_out_anywhere),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
