/* The table of renderers, and what each does when memory or the sink gives way. The linker's --wrap lets the n-th
 * allocation fail, so the library needs no hook. */
#include <stdlib.h>

#include "render/sample.h"

static long left = -1; /* allocations until one fails; -1: none does */

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);

static bool fails(void)
{
    return left >= 0 && left-- == 0;
}

void *__wrap_malloc(size_t size)
{
    return fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    return fails() ? NULL : __real_realloc(old, size);
}

static int arena_up(void **state)
{
    *state = aq_arena_new(0);
    return *state == NULL;
}

static int arena_down(void **state)
{
    aq_arena_free(*state);
    return 0;
}

static const aq_manner manner = { .why = true, .now = { { 2026, 3, 1 }, 480 } };

/* Bytes with no allocation of their own. */
typedef struct {
    char bytes[1 << 16];
    size_t length;
} paper;

static bool write_paper(void *to, const char *bytes, size_t count)
{
    paper *paper_to = to;
    if (count > sizeof paper_to->bytes - paper_to->length)
        return false;
    memcpy(paper_to->bytes + paper_to->length, bytes, count);
    paper_to->length += count;
    return true;
}

static bool refuse(void *to, const char *bytes, size_t count)
{
    (void)bytes;
    (void)count;
    ++*(int *)to;
    return false;
}

static void test_every_format_is_found_by_its_name(void **state)
{
    static const char *const names[] = { "text", "json", "csv", "html", "ics" };
    (void)state;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const aq_renderer *renderer = aq_renderer_find(names[i]);
        check_true(names[i], renderer != NULL);
        check_text(names[i], renderer->name, names[i]);
    }
    assert_null(aq_renderer_find("pdf"));
    size_t count;
    aq_renderer_table(&count);
    assert_int_equal(count, sizeof names / sizeof *names);
}

/* Lets allocation after allocation fail until none is left to fail: no half sheet, and then the same bytes. */
static void check_memory(const aq_renderer *renderer, const aq_sheet *sheet)
{
    static paper whole, out;
    aq_status status;
    whole.length = 0;
    assert_int_equal(renderer->sheet(sheet, &manner, (aq_sink){ write_paper, &whole }, NULL), AQ_OK);
    for (long nth = 0;; nth++) {
        out.length = 0;
        left = nth;
        status = renderer->sheet(sheet, &manner, (aq_sink){ write_paper, &out }, NULL);
        bool reached = left < 0;
        left = -1;
        if (!reached)
            break;
        check_true(renderer->name, status == AQ_NO_MEMORY);
        check_true(renderer->name, out.length == 0);
    }
    assert_int_equal(status, AQ_OK);
    check_true(renderer->name,
               out.length == whole.length && memcmp(out.bytes, whole.bytes, whole.length) == 0);
}

static void test_memory_that_gives_way_leaves_no_half_sheet(void **state)
{
    const aq_sheet *sheets[] = { sample_mix(*state, "Part A"), sample_plan(*state), sample_all(*state),
                                 sample_hostile(*state) };
    size_t count;
    const aq_renderer *renderers = aq_renderer_table(&count);
    for (size_t r = 0; r < count; r++)
        for (size_t s = 0; s < sizeof sheets / sizeof *sheets; s++)
            check_memory(&renderers[r], sheets[s]);
}

static void test_a_sink_that_fails_is_told_once(void **state)
{
    size_t count;
    const aq_renderer *renderers = aq_renderer_table(&count);
    const aq_sheet *sheet = sample_mix(*state, "Part A");
    for (size_t r = 0; r < count; r++) {
        int called = 0;
        aq_error err = { 0 };
        aq_status status = renderers[r].sheet(sheet, &manner, (aq_sink){ refuse, &called }, &err);
        check_true(renderers[r].name,
                   status == AQ_WRITE_FAILED && err.status == AQ_WRITE_FAILED && called == 1);
    }
}

/* A sheet that says nothing but its job is still one. */
static void test_an_empty_sheet_is_rendered(void **state)
{
    size_t count;
    const aq_renderer *renderers = aq_renderer_table(&count);
    for (size_t r = 0; r < count; r++) {
        static paper out;
        out.length = 0;
        aq_status status =
            renderers[r].sheet(aq_sheet_new(*state, "mix"), NULL, (aq_sink){ write_paper, &out }, NULL);
        bool calendar = strcmp(renderers[r].name, "ics") == 0; /* wants something to do */
        check_true(renderers[r].name,
                   status == (calendar ? AQ_MISSING : AQ_OK) && (out.length == 0) == calendar);
    }
}

static void test_a_sheet_is_rendered_twice_alike(void **state)
{
    size_t count;
    const aq_renderer *renderers = aq_renderer_table(&count);
    for (size_t r = 0; r < count; r++) {
        aq_buffer one = { 0 }, other = { 0 };
        check_text(renderers[r].name, rendered(&one, renderers[r].name, sample_hostile(*state), manner),
                   rendered(&other, renderers[r].name, sample_hostile(*state), manner));
        aq_buffer_free(&one);
        aq_buffer_free(&other);
    }
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, arena_up, arena_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_format_is_found_by_its_name),
        IN_ARENA(test_memory_that_gives_way_leaves_no_half_sheet),
        IN_ARENA(test_a_sink_that_fails_is_told_once),
        IN_ARENA(test_an_empty_sheet_is_rendered),
        IN_ARENA(test_a_sheet_is_rendered_twice_alike),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
