/* YAML to nodes: the folders of tests/documents, and documents too large or too odd to keep as files.
 *
 *     good/NAME/{input.yaml,output}    every node: its place, key and text
 *     bad/NAME/{input.yaml,error}      the one complaint
 *
 * `test_node --bless` rewrites output and error; look at the difference before it is committed. */
#include "check.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "large.h"
#include "base/buffer.h"
#include "document/node.h"

static bool bless;

/* ---- files ---- */

static char *slurp(const char *folder, const char *name, size_t *length)
{
    char path[1024];
    char *text = calloc(1, AQ_DOCUMENT_BYTES);
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "rb");
    if (!file || !text) {
        free(text);
        return NULL;
    }
    *length = fread(text, 1, AQ_DOCUMENT_BYTES - 1, file);
    fclose(file);
    return text;
}

static void keep(const char *folder, const char *name, const char *text)
{
    char path[1024];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "wb");
    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

/* Runs `each` on every folder of tests/documents/KIND. */
static void for_folders(const char *kind, int at_least, void (*each)(const char *folder, const char *name))
{
    char top[512], folder[1024];
    struct dirent *entry;
    DIR *list;
    int count = 0;

    snprintf(top, sizeof top, AQ_TEST_DATA "/documents/%s", kind);
    list = opendir(top);
    assert_non_null(list);
    while ((entry = readdir(list))) {
        if (entry->d_name[0] == '.')
            continue;
        snprintf(folder, sizeof folder, "%s/%s", top, entry->d_name);
        each(folder, entry->d_name);
        count++;
    }
    closedir(list);
    assert_true(count >= at_least);
}

static void compare(const char *folder, const char *name, const char *file, const char *got)
{
    size_t length;
    char *want;

    if (bless)
        keep(folder, file, got);
    want = slurp(folder, file, &length);
    check_text(name, got, want);
    free(want);
}

/* ---- what a tree looks like ---- */

static void dump(aq_buffer *to, const aq_node *node, int depth)
{
    static const char *const shapes[] = { "", "list", "map", "nothing" };

    aq_buffer_format(to, "%*s%d:%d+%d", depth * 2, "", node->place.line, node->place.column,
                     node->place.span);
    if (node->key)
        aq_buffer_format(to, " %s (%d:%d+%d):", node->key, node->key_place.line, node->key_place.column,
                         node->key_place.span);
    if (node->shape == AQ_NODE_SCALAR)
        aq_buffer_format(to, node->quoted ? " \"%s\"\n" : " %s\n", node->text);
    else
        aq_buffer_format(to, " %s\n", shapes[node->shape]);
    for (const aq_node *child = node->first; child; child = child->next)
        dump(to, child, depth + 1);
}

static void good(const char *folder, const char *name)
{
    size_t length;
    char *text = slurp(folder, "input.yaml", &length);
    aq_arena *arena = aq_arena_new(0);
    aq_buffer shown = { 0 };
    aq_error err = { 0 };
    aq_node *root;

    if (aq_node_yaml(&root, arena, text, length, "input.yaml", &err) != AQ_OK)
        print_error("%s: %d:%d: %s\n", name, err.place.line, err.place.column, err.text);
    assert_non_null(root);
    dump(&shown, root, 0);
    compare(folder, name, "output", aq_buffer_chars(&shown));
    aq_buffer_free(&shown);
    aq_arena_free(arena);
    free(text);
}

static void bad(const char *folder, const char *name)
{
    size_t length;
    char *text = slurp(folder, "input.yaml", &length);
    aq_arena *arena = aq_arena_new(0);
    aq_buffer shown = { 0 };
    aq_error err = { 0 };
    aq_node *root = (aq_node *)&err;
    aq_status status = aq_node_yaml(&root, arena, text, length, "input.yaml", &err);

    check_true(name, status != AQ_OK);
    check_true(name, status == err.status);
    check_true(name, !root);
    check_true(name, err.place.span >= 1);
    check_text(name, err.place.source, "input.yaml");
    aq_buffer_format(&shown, "input.yaml:%d:%d: %s\n", err.place.line, err.place.column, err.text);
    compare(folder, name, "error", aq_buffer_chars(&shown));
    assert_int_equal(aq_node_yaml(&root, arena, text, length, "input.yaml", NULL), status);
    aq_buffer_free(&shown);
    aq_arena_free(arena);
    free(text);
}

static void test_good_documents_become_the_nodes_that_they_show(void **state)
{
    (void)state;
    for_folders("good", 4, good);
}

static void test_bad_documents_get_their_complaint(void **state)
{
    (void)state;
    for_folders("bad", 40, bad);
}

/* ---- statuses ---- */

static const struct {
    const char *text;
    aq_status status;
    int line, column, span;
} places[] = {
    { "a: &x 1", AQ_FORBIDDEN, 1, 4, 1 },
    { "a: *xyz", AQ_FORBIDDEN, 1, 4, 4 },
    { "a: !!int 1", AQ_FORBIDDEN, 1, 4, 1 },
    { "a: 1\nb: 2\n a: 3\n", AQ_SYNTAX, 3, 3, 1 },
    { "a: 1\nbcd: 2\nbcd: 3\n", AQ_DUPLICATE, 3, 1, 3 },
    { "a: 1\n--- b: 1", AQ_FORBIDDEN, 2, 1, 3 },
    { "\xC3\xA9: [\xC3\xA9\xC3\xA9, {x: 1, x: 2}]", AQ_DUPLICATE, 1, 16, 1 },
    { "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[", AQ_TOO_DEEP, 1, 33, 1 },
    { " \n", AQ_MISSING, 1, 1, 1 },
    { "a: [1,", AQ_SYNTAX, 1, 4, 1 },
    { "a: {", AQ_SYNTAX, 1, 4, 1 },
    { "a: [{x: 1}", AQ_SYNTAX, 1, 4, 1 },
    { "{a: 1, [b]: 2}", AQ_FORBIDDEN, 1, 8, 1 },
    { "{a: 1, : 2}", AQ_SYNTAX, 1, 8, 1 },
};

static void test_a_complaint_points_at_the_characters(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        aq_arena *arena = aq_arena_new(0);
        aq_error err = { 0 };
        aq_node *root;

        assert_int_equal(aq_node_yaml(&root, arena, places[i].text, strlen(places[i].text), "-", &err),
                         places[i].status);
        check_close(places[i].text, err.place.line, places[i].line, 0);
        check_close(places[i].text, err.place.column, places[i].column, 0);
        check_close(places[i].text, err.place.span, places[i].span, 0);
        aq_arena_free(arena);
    }
}

/* ---- flow on a command line ---- */

static const struct {
    const char *text, *key, *value;
} flows[] = {
    { "{name: A, rate: 2-4 mL/L}", "rate", "2-4 mL/L" },
    { "{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}", "ec", "0.40 mS/cm per mL/L" },
    { "{10 degC: 90 g/L, 20 degC: 111 g/L}", "20 degC", "111 g/L" },
    { "{daily: 07:30, x: 1}", "daily", "07:30" },
    { "{x: 1:200}", "x", "1:200" },
    { "{x: 80L@1.8mS/cm}", "x", "80L@1.8mS/cm" },
    { "{alkalinity: 120 mg/L CaCO3, ec: 1}", "alkalinity", "120 mg/L CaCO3" },
    { "{strength: 67 % w/w}", "strength", "67 % w/w" },
    { "{size: 36x36x40mm}", "size", "36x36x40mm" },
    { "{MgSO4.7H2O: 0.4 g/L}", "MgSO4.7H2O", "0.4 g/L" },
    { "{formula: Ca(NO3)2.4H2O}", "formula", "Ca(NO3)2.4H2O" },
    { "{name: it's, x: 1}", "name", "it's" },
    { "{x: 1/2 tsp}", "x", "1/2 tsp" },
    { "{x: -3 L}", "x", "-3 L" },
    { "{x: ~}", "x", "~" },
    { "{x: \xC2\xB5S/cm}", "x", "\xC2\xB5S/cm" },
};

static void test_flow_forms_keep_the_text_of_each_value(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof flows / sizeof *flows; i++) {
        aq_error err = { 0 };
        const aq_node *child;
        aq_node *root;

        assert_int_equal(aq_node_yaml(&root, arena, flows[i].text, strlen(flows[i].text), "--part", &err),
                         AQ_OK);
        child = aq_node_get(root, flows[i].key);
        check_true(flows[i].text, child != NULL);
        check_text(flows[i].text, child->text, flows[i].value);
    }
    aq_arena_free(arena);
}

static void test_an_empty_value_is_nothing_and_an_empty_text_is_not(void **state)
{
    static const char text[] = "a:\nb: ''\nc: {d, e: }\n";
    aq_arena *arena = aq_arena_new(0);
    aq_node *root;

    (void)state;
    assert_int_equal(aq_node_yaml(&root, arena, text, strlen(text), "-", NULL), AQ_OK);
    assert_int_equal(aq_node_get(root, "a")->shape, AQ_NODE_NOTHING);
    assert_null(aq_node_get(root, "a")->text);
    assert_int_equal(aq_node_get(root, "b")->shape, AQ_NODE_SCALAR);
    check_text("b", aq_node_get(root, "b")->text, "");
    assert_int_equal(aq_node_get(aq_node_get(root, "c"), "d")->shape, AQ_NODE_NOTHING);
    assert_int_equal(aq_node_get(aq_node_get(root, "c"), "e")->shape, AQ_NODE_NOTHING);
    assert_null(aq_node_get(root, "d"));
    aq_arena_free(arena);
}

/* ---- ceilings ---- */

static void test_thirty_two_levels_are_read(void **state)
{
    char text[80] = "";
    aq_arena *arena = aq_arena_new(0);
    aq_node *root;

    (void)state;
    memset(text, '[', 32);
    memset(text + 32, ']', 32);
    assert_int_equal(aq_node_yaml(&root, arena, text, 64, "-", NULL), AQ_OK);
    memset(text, '[', 33);
    memset(text + 33, ']', 33);
    assert_int_equal(aq_node_yaml(&root, arena, text, 66, "-", NULL), AQ_TOO_DEEP);
    aq_arena_free(arena);
}

/* Worst cases for a reader that looks back or ahead. One second is a hundred times what they take: it tells a quadratic
 * reader, which needs minutes, from a slow machine. */
static const struct {
    const char *row, *before, *piece, *after;
    aq_status status;
} large[] = {
    { "opening brackets", "", "[", "", AQ_TOO_DEEP },
    { "opening braces", "", "{a: ", "", AQ_TOO_DEEP },
    { "dashes", "", "- ", "", AQ_TOO_DEEP },
    { "question marks", "", "? ", "", AQ_FORBIDDEN },
    { "one long scalar", "a: ", "b", "", AQ_OK },
    { "one long scalar of words", "a: ", "b ", "\n", AQ_OK },
    { "one long quoted scalar", "a: '", "b", "'", AQ_OK },
    { "lines of one quoted scalar", "a: \"", "b\n ", "\"", AQ_OK },
    { "lines of one block scalar", "a: |\n", " b\n", "", AQ_OK },
    { "a quote never closed", "a: \"", "b\n ", "", AQ_SYNTAX },
    { "one long key", "", "k", ": 1", AQ_SYNTAX },
    { "one long explicit key", "? ", "k", "\n: 1", AQ_OK },
    { "one long flow key", "{", "k", ": 1}", AQ_SYNTAX },
    { "a hundred thousand keys", "", "k~:\n", "", AQ_TOO_LARGE },
    { "seventy thousand keys", "", "key~: val\n", "", AQ_OK },
    { "seventy thousand keys in flow", "{", "key~: val,\n", "}", AQ_OK },
    { "one key again and again", "", "key: value\n", "", AQ_DUPLICATE },
    { "long keys with one beginning", "", "the-same-beginning-of-every-single-key-~: 1\n", "", AQ_OK },
    { "commas", "[", "a,", "]", AQ_TOO_LARGE },
    { "pairs in a list", "[", "a: b,", "]", AQ_TOO_LARGE },
    { "comments", "a: b\n", "#\n", "", AQ_OK },
    { "one long comment", "a: b #", "#", "", AQ_OK },
    { "blank lines", "a: b\n", "\n", "", AQ_OK },
    { "spaces", "a: b\n", " ", "", AQ_OK },
    { "directives", "", "%TAG !t~! x\n", "--- a", AQ_FORBIDDEN },
    { "ends of documents", "a: b\n", "...\n", "", AQ_OK },
    { "tags", "a: ", "!", "", AQ_FORBIDDEN },
    { "one long anchor", "a: &", "b", " c", AQ_FORBIDDEN },
    { "letters of two bytes", "a: ", "\xC3\xA9", "", AQ_OK },
    { "colons", "a: b", ":", "c", AQ_OK },
    { "lists of one", "[", "[a],", "]", AQ_TOO_LARGE },
};

static void test_a_megabyte_of_anything_takes_a_moment(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof large / sizeof *large; i++) {
        char *text = repeat(large[i].before, large[i].piece, large[i].after, AQ_DOCUMENT_BYTES);
        aq_arena *arena = aq_arena_new(0);
        aq_error err = { 0 };
        aq_node *root;
        clock_t began = clock();
        aq_status status = aq_node_yaml(&root, arena, text, AQ_DOCUMENT_BYTES, "-", &err);
        double seconds = (double)(clock() - began) / CLOCKS_PER_SEC;

        if (status != large[i].status)
            print_error("%s: %s %d:%d %s\n", large[i].row, aq_status_name(status), err.place.line,
                        err.place.column, err.text);
        check_text(large[i].row, aq_status_name(status), aq_status_name(large[i].status));
        check_true(large[i].row, seconds < 1);
        if (getenv("AQ_TEST_TIMES"))
            print_message("%-32s %6.1f ms\n", large[i].row, seconds * 1e3);
        aq_arena_free(arena);
        free(text);
    }
}

static void test_a_byte_above_a_megabyte_is_refused(void **state)
{
    char *text = repeat("a: ", "b", "", AQ_DOCUMENT_BYTES + 1);
    aq_arena *arena = aq_arena_new(0);
    aq_node *root;

    (void)state;
    assert_int_equal(aq_node_yaml(&root, arena, text, AQ_DOCUMENT_BYTES + 1, "-", NULL), AQ_TOO_LARGE);
    assert_int_equal(aq_node_json(&root, arena, text, AQ_DOCUMENT_BYTES + 1, "-", NULL), AQ_TOO_LARGE);
    assert_int_equal(aq_node_yaml(&root, arena, text, AQ_DOCUMENT_BYTES, "-", NULL), AQ_OK);
    aq_arena_free(arena);
    free(text);
}

static void test_a_full_arena_is_out_of_memory(void **state)
{
    char *text = repeat("", "k~: value\n", "", 40000);
    aq_arena *arena = aq_arena_new(20000);
    aq_error err = { 0 };
    aq_node *root;

    (void)state;
    assert_int_equal(aq_node_yaml(&root, arena, text, 40000, "-", &err), AQ_NO_MEMORY);
    assert_null(root);
    aq_arena_free(arena);
    free(text);
}

/* ---- nodes made by hand ---- */

static void test_an_option_given_again_becomes_a_list(void **state)
{
    static const char *const given[] = { "A", "B", "C" };
    aq_arena *arena = aq_arena_new(0);
    aq_node *map = aq_node_new(arena, AQ_NODE_MAP, (aq_place){ 0 }, NULL);
    const aq_node *list, *child;
    size_t i = 0;

    (void)state;
    assert_true(
        aq_node_add(arena, map, "volume", aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ 0 }, "60L")));
    for (i = 0; i < 3; i++)
        assert_true(
            aq_node_add(arena, map, "part", aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ 0 }, given[i])));
    assert_true(
        aq_node_add(arena, map, "ec", aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ 0 }, "\xC2\xB5")));
    assert_int_equal(map->count, 3);
    list = aq_node_get(map, "part");
    assert_int_equal(list->shape, AQ_NODE_LIST);
    assert_int_equal(list->count, 3);
    for (child = list->first, i = 0; child; child = child->next, i++) {
        check_text("child", child->text, given[i]);
        assert_null(child->key);
    }
    check_text("volume", aq_node_get(map, "volume")->text, "60L");
    assert_int_equal(aq_node_get(map, "volume")->place.span, 3);
    assert_int_equal(aq_node_get(map, "ec")->place.span, 1);
    assert_false(aq_node_add(arena, map, "x", NULL));
    aq_arena_free(arena);
}

int main(int count, char **words)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_good_documents_become_the_nodes_that_they_show),
        cmocka_unit_test(test_bad_documents_get_their_complaint),
        cmocka_unit_test(test_a_complaint_points_at_the_characters),
        cmocka_unit_test(test_flow_forms_keep_the_text_of_each_value),
        cmocka_unit_test(test_an_empty_value_is_nothing_and_an_empty_text_is_not),
        cmocka_unit_test(test_thirty_two_levels_are_read),
        cmocka_unit_test(test_a_megabyte_of_anything_takes_a_moment),
        cmocka_unit_test(test_a_byte_above_a_megabyte_is_refused),
        cmocka_unit_test(test_a_full_arena_is_out_of_memory),
        cmocka_unit_test(test_an_option_given_again_becomes_a_list),
    };

    bless = count > 1 && strcmp(words[1], "--bless") == 0;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
