/* Every allocation fails once: in reading each kind of document, in answering each job's example, in each renderer, in
 * the solver on memory of its own.
 *
 * Whatever fails, the status says that memory was out and no block is left alive; or the work was done without that
 * block, and then what it made is the same to the byte. */
#include "../check.h"
#include "../fuzz/fernhollow.h"
#include "faults.h"

typedef struct {
    const char *name;
    const aq_job *job;
    const aq_renderer *renderer;
    const aq_sheet *sheet; /* for a renderer */
    const char *text;      /* for a document */
    size_t length;
} work;

/* Does the work once and adds to `out` what can be compared. */
typedef aq_status (*work_run)(const work *w, aq_buffer *out);

static long tried, refused, ceilings;
static size_t ceiling; /* of the arenas that a work takes; 0: the usual one */

static void check_once(const work *w, work_run run, long nth, const aq_buffer *whole, bool *reached)
{
    long before = blocks_alive();
    aq_buffer out = { .ceiling = 0 };
    aq_status status;

    fail_allocation(nth);
    status = run(w, &out);
    *reached = failure_reached() != 0;
    fail_allocation(-1);
    check_true(w->name, status == AQ_OK || status == AQ_NO_MEMORY);
    if (status == AQ_OK)
        check_text(w->name, aq_buffer_chars(&out), aq_buffer_chars(whole));
    aq_buffer_free(&out);
    check_within(w->name, (double)blocks_alive(), (double)before, 0);
    tried++;
    refused += status == AQ_NO_MEMORY;
}

static void check_each_failure(const work *w, work_run run)
{
    aq_buffer whole = { .ceiling = 0 };
    bool reached = true;

    check_true(w->name, run(w, &whole) == AQ_OK && whole.length > 0);
    for (long nth = 0; reached; nth++)
        check_once(w, run, nth, &whole, &reached);
    aq_buffer_free(&whole);
}

/* A buffer that could not grow is what was out of memory, whatever the writer into it says of its sink. */
static aq_status kept(aq_status status, const aq_buffer *out)
{
    return out->failed ? AQ_NO_MEMORY : status;
}

/* An arena hands out many pieces of one block, so each of them fails too: under a ceiling that grows by the least piece,
 * every piece is once the first for which there is no room. */
static void check_each_piece(const work *w, work_run run)
{
    aq_buffer whole = { .ceiling = 0 };
    aq_status status = AQ_NO_MEMORY;

    assert_int_equal(run(w, &whole), AQ_OK);
    for (ceiling = sizeof(max_align_t); status != AQ_OK; ceiling += sizeof(max_align_t)) {
        aq_buffer out = { .ceiling = 0 };
        long before = blocks_alive();

        status = run(w, &out);
        check_true(w->name, status == AQ_OK || status == AQ_NO_MEMORY);
        if (status == AQ_OK)
            check_text(w->name, aq_buffer_chars(&out), aq_buffer_chars(&whole));
        aq_buffer_free(&out);
        check_within(w->name, (double)blocks_alive(), (double)before, 0);
        ceilings++;
    }
    ceiling = 0;
    aq_buffer_free(&whole);
}

/* ---- documents ---- */

static void write_tree(aq_buffer *out, const aq_node *node)
{
    aq_buffer_format(out, "%s(%s", node->key ? node->key : "", node->text ? node->text : "");
    for (const aq_node *child = node->first; child; child = child->next)
        write_tree(out, child);
    aq_buffer_char(out, ')');
}

static aq_status read_nodes(const work *w, aq_buffer *out, bool json)
{
    aq_arena *arena = aq_arena_new(ceiling);
    aq_node *node = NULL;
    aq_status status = !arena ? AQ_NO_MEMORY
                       : json ? aq_node_json(&node, arena, w->text, w->length, w->name, NULL)
                              : aq_node_yaml(&node, arena, w->text, w->length, w->name, NULL);

    assert_true((status == AQ_OK) == (node != NULL));
    if (node)
        write_tree(out, node);
    aq_arena_free(arena);
    return kept(status, out);
}

static aq_status read_yaml(const work *w, aq_buffer *out)
{
    return read_nodes(w, out, false);
}

static aq_status read_json(const work *w, aq_buffer *out)
{
    return read_nodes(w, out, true);
}

/* Every complaint of a document that cannot be read for want of memory says so. */
static void check_complaints_say_memory(const aq_complaints *all, aq_status status)
{
    if (status == AQ_OK)
        assert_int_equal(all->count, 0);
    for (size_t i = 0; i < all->count; i++)
        assert_int_equal(all->at[i].status, AQ_NO_MEMORY);
}

static aq_status read_recipe(const work *w, aq_buffer *out)
{
    static aq_complaints complaints;
    aq_arena *arena = aq_arena_new(ceiling);
    const aq_recipe *recipe = NULL;
    aq_status status = AQ_NO_MEMORY;

    complaints.count = complaints.more = 0;
    if (arena)
        status = aq_recipe_read(&recipe, arena, w->text, w->length, w->name, &complaints);
    check_complaints_say_memory(&complaints, status);
    if (recipe)
        for (size_t i = 0; i < recipe->parts.count; i++)
            aq_buffer_format(out, "%s, %d hazards\n", recipe->parts.at[i].name,
                             (int)recipe->parts.at[i].hazards.count);
    aq_arena_free(arena);
    return kept(status, out);
}

static aq_status read_site(const work *w, aq_buffer *out)
{
    static aq_complaints complaints;
    aq_arena *arena = aq_arena_new(ceiling);
    aq_site *site = NULL;
    aq_status status = AQ_NO_MEMORY;

    complaints.count = complaints.more = 0;
    if (arena)
        status = aq_site_read(&site, arena, w->text, w->length, w->name, &complaints);
    check_complaints_say_memory(&complaints, status);
    if (site)
        for (size_t i = 0; i < site->reservoirs.count; i++)
            aq_buffer_format(out, "%s of %d tools\n", site->reservoirs.at[i].name, (int)site->bench.count);
    aq_arena_free(arena);
    return kept(status, out);
}

static void documents_are_read_or_memory_is_out(void **state)
{
    static const char json[] = "{\"a\": [1, \"\\u00b5\", {\"b\": null}], \"c\": \"text\", \"d\": [[], {}]}";
    const work yaml = { .name = "yaml", .text = fernhollow_site, .length = sizeof fernhollow_site - 1 };
    const work line = { .name = "json", .text = json, .length = sizeof json - 1 };
    const work recipe = { .name = "recipe",
                          .text = fernhollow_recipe,
                          .length = sizeof fernhollow_recipe - 1 };

    (void)state;
    check_each_failure(&yaml, read_yaml);
    check_each_failure(&line, read_json);
    check_each_failure(&recipe, read_recipe);
    check_each_failure(&yaml, read_site);
    check_each_piece(&yaml, read_yaml);
    check_each_piece(&line, read_json);
    check_each_piece(&recipe, read_recipe);
    check_each_piece(&yaml, read_site);
}

/* ---- the solver ---- */

/* Two parts to two targets: 1 and 2. The jobs solve on memory of their arena; others may not. */
static aq_status solve_alone(const work *w, aq_buffer *out)
{
    static const double a[] = { 1, 1, 1, -1 }, b[] = { 3, -1 };
    const aq_lsq problem = { .rows = 2, .parts = 2, .a = a, .b = b };
    aq_lsq_work *room = aq_lsq_work_new(2, 2);
    char digits[AQ_DECIMAL_ROOM];
    double x[2];

    if (!room)
        return AQ_NO_MEMORY;
    check_true(w->name, aq_lsq_solve(&problem, room, x, NULL) == AQ_OK);
    aq_lsq_work_free(room);
    for (int i = 0; i < 2; i++) {
        aq_decimal_places(x[i], 6, digits);
        aq_buffer_format(out, "%s ", digits);
    }
    return kept(AQ_OK, out);
}

static void the_solver_gives_back_its_workspace(void **state)
{
    (void)state;
    check_each_failure(&(work){ .name = "solver" }, solve_alone);
}

/* ---- jobs ---- */

enum { WORDS_MOST = 64, LINE_ROOM = 2048 };

/* The words of an example as a shell splits it: spaces, single quotes, nothing else is used in them. */
static int split(char *line, char **words)
{
    int count = 0;
    char *to = line;

    for (char *at = line; *at;) {
        bool quoted = false;

        while (*at == ' ')
            at++;
        if (!*at)
            break;
        assert_true(count < WORDS_MOST);
        words[count++] = to;
        for (; *at && (quoted || *at != ' '); at++) {
            if (*at == '\'' || *at == '"')
                quoted = !quoted;
            else
                *to++ = *at;
        }
        at += *at != '\0';
        *to++ = '\0';
    }
    return count;
}

static bool add(aq_arena *arena, aq_node *map, const char *key, const char *value)
{
    aq_node *node = aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ key, 1, 1, 1 }, value);

    return node && aq_node_add(arena, map, key, node);
}

/* The options of a job's example; *named: its first word is a site. */
static aq_node *options_of(aq_arena *arena, const aq_job *job, char *line, bool *named)
{
    char *words[WORDS_MOST];
    int count = split(line, words);
    aq_node *map = aq_node_new(arena, AQ_NODE_MAP, (aq_place){ 0 }, NULL);
    bool good = map != NULL;

    *named = false;
    for (int i = 2; good && i < count; i++) {
        if (strncmp(words[i], "--", 2) == 0) {
            good = add(arena, map, words[i] + 2, words[i + 1]);
            i++;
        } else if (job->positional) {
            good = add(arena, map, job->positional, words[i]);
        } else {
            *named = true;
        }
    }
    return good ? map : NULL;
}

static aq_status answer(aq_sheet **out, aq_arena *arena, const aq_job *job)
{
    static aq_complaints complaints;
    static char line[LINE_ROOM];
    aq_setting setting = { .today = { { 2026, 3, 2 }, 8 * 60 }, .why = true };
    aq_node *options;
    bool named;
    aq_status status;

    *out = NULL;
    complaints.count = complaints.more = 0;
    assert_true(strlen(job->example) < sizeof line);
    options = options_of(arena, job, strcpy(line, job->example), &named);
    if (!options)
        return AQ_NO_MEMORY;
    setting.site = named ? fernhollow() : NULL;
    status = aq_job_answer(out, arena, job, options, &setting, &complaints);
    assert_true((status == AQ_OK) == (*out != NULL));
    if (status != AQ_OK && status != AQ_NO_MEMORY)
        print_error("%s: %s\n", job->name, complaints.at[0].text);
    return status;
}

static aq_status answer_once(const work *w, aq_buffer *out)
{
    aq_arena *arena = aq_arena_new(ceiling);
    aq_manner manner = { .why = true };
    aq_sheet *sheet;
    aq_status status = arena ? answer(&sheet, arena, w->job) : AQ_NO_MEMORY;

    if (status == AQ_OK)
        aq_json_add(out, sheet, &manner);
    aq_arena_free(arena);
    return kept(status, out);
}

static void jobs_answer_or_memory_is_out(void **state)
{
    size_t count;
    const aq_job *const *table = aq_job_table(&count);

    (void)state;
    fernhollow(); /* read before anything fails */
    for (size_t i = 0; i < count; i++)
        check_each_failure(&(work){ .name = table[i]->name, .job = table[i] }, answer_once);
}

static void jobs_answer_or_a_piece_of_an_arena_is_out(void **state)
{
    size_t count;
    const aq_job *const *table = aq_job_table(&count);

    (void)state;
    fernhollow(); /* read before anything fails */
    for (size_t i = 0; i < count; i++)
        check_each_piece(&(work){ .name = table[i]->name, .job = table[i] }, answer_once);
}

/* ---- renderers ---- */

static aq_status render_once(const work *w, aq_buffer *out)
{
    aq_manner manner = { .why = true, .now = { { 2026, 3, 2 }, 0 } };

    return kept(w->renderer->sheet(w->sheet, &manner, aq_buffer_sink(out), NULL), out);
}

/* An example whose sheet has rows, one with a plan's days. */
static void check_renderers_of(const char *name)
{
    aq_arena *arena = aq_arena_new(0);
    size_t count;
    const aq_renderer *table = aq_renderer_table(&count);
    aq_sheet *sheet;

    assert_int_equal(answer(&sheet, arena, aq_job_find(name)), AQ_OK);
    if (!sheet->at.date.year)
        sheet->at = (aq_moment){ { 2026, 3, 2 }, 8 * 60 };
    for (size_t i = 0; i < count; i++)
        check_each_failure(&(work){ .name = table[i].name, .renderer = &table[i], .sheet = sheet },
                           render_once);
    aq_arena_free(arena);
}

static void renderers_write_all_or_memory_is_out(void **state)
{
    (void)state;
    check_renderers_of("mix");
    check_renderers_of("plan");
    check_renderers_of("acid");
    check_renderers_of("stock");
}

static aq_status write_schema(const work *w, aq_buffer *out)
{
    aq_status (*const schemas[])(aq_sink, aq_error *) = { aq_schema_batch, aq_schema_recipe, aq_schema_site,
                                                          aq_schema_sheet };

    return kept(schemas[w->length](aq_buffer_sink(out), NULL), out);
}

static void schemas_are_written_or_memory_is_out(void **state)
{
    (void)state;
    for (size_t i = 0; i < 4; i++)
        check_each_failure(&(work){ .name = "schema", .length = i }, write_schema);
}

static void it_was_tried_often_enough_to_mean_something(void **state)
{
    (void)state;
    print_message("%ld allocations failed, one at a time; %ld runs said so; %ld ceilings of an arena\n",
                  tried, refused, ceilings);
    assert_true(tried > 300 && refused > 200 && ceilings > 10000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(documents_are_read_or_memory_is_out),
        cmocka_unit_test(the_solver_gives_back_its_workspace),
        cmocka_unit_test(jobs_answer_or_memory_is_out),
        cmocka_unit_test(jobs_answer_or_a_piece_of_an_arena_is_out),
        cmocka_unit_test(renderers_write_all_or_memory_is_out),
        cmocka_unit_test(schemas_are_written_or_memory_is_out),
        cmocka_unit_test(it_was_tried_often_enough_to_mean_something),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
