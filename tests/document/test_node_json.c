/* JSON texts to nodes, against the grammar of RFC 8259: what it allows, what it does not, and where. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "large.h"
#include "document/node.h"

/* ---- what is read ---- */

static const struct {
    const char *text;
    aq_node_shape shape;
    const char *value; /* of a scalar */
    size_t count;      /* of a list or map */
} good[] = {
    { "0", AQ_NODE_SCALAR, "0", 0 },
    { " -0 ", AQ_NODE_SCALAR, "-0", 0 },
    { "2.3850", AQ_NODE_SCALAR, "2.3850", 0 },
    { "1e5", AQ_NODE_SCALAR, "1e5", 0 },
    { "1E+05", AQ_NODE_SCALAR, "1E+05", 0 },
    { "-12.50e-3\n", AQ_NODE_SCALAR, "-12.50e-3", 0 },
    { "123456789012345678901234567890", AQ_NODE_SCALAR, "123456789012345678901234567890", 0 },
    { "true", AQ_NODE_SCALAR, "true", 0 },
    { "false", AQ_NODE_SCALAR, "false", 0 },
    { "null", AQ_NODE_NOTHING, "null", 0 },
    { "\"\"", AQ_NODE_SCALAR, "", 0 },
    { "\"80 L\"", AQ_NODE_SCALAR, "80 L", 0 },
    { "\"a\\\"b\\\\c\\/d\\b\\f\\n\\r\\te\"", AQ_NODE_SCALAR, "a\"b\\c/d\b\f\n\r\te", 0 },
    { "\"\\u0041\\u00e9\\u20AC\\ud83c\\udf31z\"", AQ_NODE_SCALAR, "A\xC3\xA9\xE2\x82\xAC\xF0\x9F\x8C\xB1z",
      0 },
    { "\"\xC3\xA9\xF0\x9F\x8C\xB1\"", AQ_NODE_SCALAR, "\xC3\xA9\xF0\x9F\x8C\xB1", 0 },
    { "\"\x7F\"", AQ_NODE_SCALAR, "\x7F", 0 },
    { "[]", AQ_NODE_LIST, NULL, 0 },
    { "{}", AQ_NODE_MAP, NULL, 0 },
    { "\t[ ]\r\n", AQ_NODE_LIST, NULL, 0 },
    { "{ }", AQ_NODE_MAP, NULL, 0 },
    { "[1,2 , 3]", AQ_NODE_LIST, NULL, 3 },
    { "[[],[[]],{}]", AQ_NODE_LIST, NULL, 3 },
    { "{\"a\":1,\"b\" : [2] ,\"\":{}}", AQ_NODE_MAP, NULL, 3 },
    { "\xEF\xBB\xBF[1]", AQ_NODE_LIST, NULL, 1 },
};

static void test_every_form_of_the_grammar_is_read(void **state)
{
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        aq_error err = { 0 };
        aq_node *root;

        if (aq_node_json(&root, arena, good[i].text, strlen(good[i].text), "-", &err) != AQ_OK)
            print_error("%s: %s\n", good[i].text, err.text);
        check_true(good[i].text, root && root->shape == good[i].shape);
        check_true(good[i].text, root->count == good[i].count);
        if (good[i].value)
            check_text(good[i].text, root->text, good[i].value);
    }
    aq_arena_free(arena);
}

static void test_a_line_becomes_a_map_of_texts(void **state)
{
    static const char text[] =
        "{\"job\":\"mix\",\"n\":12.50,\"part\":[{\"name\":\"A\",\"on\":true}],\"x\":null}";
    char copy[sizeof text];
    aq_arena *arena = aq_arena_new(0);
    const aq_node *part;
    aq_node *root;

    (void)state;
    memcpy(copy, text, sizeof text);
    assert_int_equal(aq_node_json(&root, arena, copy, strlen(copy), "-", NULL), AQ_OK);
    memset(copy, '#', sizeof copy); /* the text need not outlive the call */
    check_text("job", aq_node_get(root, "job")->text, "mix");
    assert_true(aq_node_get(root, "job")->quoted);
    check_text("n", aq_node_get(root, "n")->text, "12.50");
    assert_false(aq_node_get(root, "n")->quoted);
    part = aq_node_get(root, "part")->first;
    check_text("name", aq_node_get(part, "name")->text, "A");
    check_text("on", aq_node_get(part, "on")->text, "true");
    assert_int_equal(aq_node_get(root, "x")->shape, AQ_NODE_NOTHING);
    assert_null(part->key);
    assert_ptr_equal(root->last, aq_node_get(root, "x"));
    aq_arena_free(arena);
}

/* ---- places ---- */

static void test_places_count_characters_and_lines(void **state)
{
    static const char text[] =
        "{\"\xC3\xA9\": \"\xC3\xA9\xC3\xA9\", \"b\": 12,\n \"cd\": [true, \"\\u00e9\"]}";
    static const struct {
        const char *key;
        int key_line, key_column, key_span, line, column, span;
    } want[] = { { "\xC3\xA9", 1, 2, 3, 1, 7, 4 }, { "b", 1, 13, 3, 1, 18, 2 }, { "cd", 2, 2, 4, 2, 8, 1 } };
    aq_arena *arena = aq_arena_new(0);
    const aq_node *child;
    aq_node *root;

    (void)state;
    assert_int_equal(aq_node_json(&root, arena, text, strlen(text), "line", NULL), AQ_OK);
    for (size_t i = 0; i < sizeof want / sizeof *want; i++) {
        child = aq_node_get(root, want[i].key);
        check_close(want[i].key, child->key_place.line, want[i].key_line, 0);
        check_close(want[i].key, child->key_place.column, want[i].key_column, 0);
        check_close(want[i].key, child->key_place.span, want[i].key_span, 0);
        check_close(want[i].key, child->place.line, want[i].line, 0);
        check_close(want[i].key, child->place.column, want[i].column, 0);
        check_close(want[i].key, child->place.span, want[i].span, 0);
        check_text(want[i].key, child->place.source, "line");
    }
    child = aq_node_get(root, "cd")->first->next;
    assert_int_equal(child->place.column, 15);
    assert_int_equal(child->place.span, 8);
    aq_arena_free(arena);
}

/* ---- what is refused ---- */

static const struct {
    const char *text;
    aq_status status;
    int line, column;
} bad[] = {
    { "", AQ_MISSING, 1, 1 },
    { " \n ", AQ_MISSING, 2, 2 },
    { "nul", AQ_SYNTAX, 1, 1 },
    { "True", AQ_SYNTAX, 1, 1 },
    { "truex", AQ_SYNTAX, 1, 5 },
    { "NaN", AQ_SYNTAX, 1, 1 },
    { "Infinity", AQ_SYNTAX, 1, 1 },
    { "-", AQ_SYNTAX, 1, 2 },
    { "-Infinity", AQ_SYNTAX, 1, 2 },
    { "+1", AQ_SYNTAX, 1, 1 },
    { ".5", AQ_SYNTAX, 1, 1 },
    { "5.", AQ_SYNTAX, 1, 3 },
    { "1.e3", AQ_SYNTAX, 1, 3 },
    { "01", AQ_SYNTAX, 1, 2 },
    { "-01", AQ_SYNTAX, 1, 3 },
    { "0x10", AQ_SYNTAX, 1, 2 },
    { "1e", AQ_SYNTAX, 1, 3 },
    { "1e+", AQ_SYNTAX, 1, 4 },
    { "1 2", AQ_SYNTAX, 1, 3 },
    { "1,", AQ_SYNTAX, 1, 2 },
    { "[1", AQ_SYNTAX, 1, 3 },
    { "[1,", AQ_SYNTAX, 1, 4 },
    { "[1,]", AQ_SYNTAX, 1, 4 },
    { "[,1]", AQ_SYNTAX, 1, 2 },
    { "[1 2]", AQ_SYNTAX, 1, 4 },
    { "[1}", AQ_SYNTAX, 1, 3 },
    { "]", AQ_SYNTAX, 1, 1 },
    { "[]]", AQ_SYNTAX, 1, 3 },
    { "{", AQ_SYNTAX, 1, 2 },
    { "{\"a\"", AQ_SYNTAX, 1, 5 },
    { "{\"a\" 1}", AQ_SYNTAX, 1, 6 },
    { "{\"a\":}", AQ_SYNTAX, 1, 6 },
    { "{\"a\":1,}", AQ_SYNTAX, 1, 8 },
    { "{a:1}", AQ_SYNTAX, 1, 2 },
    { "{'a':1}", AQ_SYNTAX, 1, 2 },
    { "{1:1}", AQ_SYNTAX, 1, 2 },
    { "{\"a\":1]", AQ_SYNTAX, 1, 7 },
    { "{\"a\":1 \"b\":2}", AQ_SYNTAX, 1, 8 },
    { "{\"a\":1,\n\"b\":2,\"a\":3}", AQ_DUPLICATE, 2, 7 },
    { "{\"a\":1,\"\\u0061\":3}", AQ_DUPLICATE, 1, 8 },
    { "\"abc", AQ_SYNTAX, 1, 1 },
    { "[\"abc\\", AQ_SYNTAX, 1, 7 },
    { "\"a\\qb\"", AQ_SYNTAX, 1, 4 },
    { "\"a\tb\"", AQ_SYNTAX, 1, 3 },
    { "\"a\nb\"", AQ_SYNTAX, 1, 3 },
    { "\"\\u12g4\"", AQ_SYNTAX, 1, 2 },
    { "\"\\u12\"", AQ_SYNTAX, 1, 2 },
    { "\"a\\u0000\"", AQ_FORBIDDEN, 1, 3 },
    { "\"\\ud800\"", AQ_SYNTAX, 1, 2 },
    { "\"\\udc00\"", AQ_SYNTAX, 1, 2 },
    { "\"\\ud800\\u0041\"", AQ_SYNTAX, 1, 2 },
    { "\"\\ud800\\ud800\"", AQ_SYNTAX, 1, 2 },
    { "\"\xE9\"", AQ_SYNTAX, 1, 2 },
    { "\"\xC0\xAF\"", AQ_SYNTAX, 1, 2 },
    { "\"\xED\xA0\x80\"", AQ_SYNTAX, 1, 2 },
    { "\"\xF4\x90\x80\x80\"", AQ_SYNTAX, 1, 2 },
    { "\"\xC3\xA9\xC3\"", AQ_SYNTAX, 1, 3 },
    { "\xC3\xA9", AQ_SYNTAX, 1, 1 },
    { "[1] // no", AQ_SYNTAX, 1, 5 },
    { "\xC2\xA0[1]", AQ_SYNTAX, 1, 1 },
};

static void test_what_the_grammar_leaves_out_is_refused_where_it_stands(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        aq_arena *arena = aq_arena_new(0);
        aq_error err = { 0 };
        aq_node *root;
        aq_status status = aq_node_json(&root, arena, bad[i].text, strlen(bad[i].text), "-", &err);

        check_text(bad[i].text, aq_status_name(status), aq_status_name(bad[i].status));
        check_true(bad[i].text, !root && err.status == status && err.text[0]);
        check_close(bad[i].text, err.place.line, bad[i].line, 0);
        check_close(bad[i].text, err.place.column, bad[i].column, 0);
        aq_arena_free(arena);
    }
}

static void test_a_nul_byte_is_refused_everywhere(void **state)
{
    static const char inside[] = "\"a\0b\"", behind[] = "[1]\0", within[] = "[1\0]";
    aq_arena *arena = aq_arena_new(0);
    aq_node *root;

    (void)state;
    assert_int_equal(aq_node_json(&root, arena, inside, sizeof inside - 1, "-", NULL), AQ_SYNTAX);
    assert_int_equal(aq_node_json(&root, arena, behind, sizeof behind - 1, "-", NULL), AQ_SYNTAX);
    assert_int_equal(aq_node_json(&root, arena, within, sizeof within - 1, "-", NULL), AQ_SYNTAX);
    aq_arena_free(arena);
}

/* Every beginning of a text is itself refused: nothing is read past its end, nothing half read is kept. */
static void test_a_text_cut_anywhere_is_refused(void **state)
{
    static const char text[] =
        "{\"a\\u00e9\\ud83c\\udf31\xC3\xA9\":[-1.5e-3,true,null,\"x\\n\"],\"b\":{\"c\":{}}}";
    aq_arena *arena = aq_arena_new(0);
    aq_node *root;

    (void)state;
    for (size_t length = 0; length < sizeof text - 1; length++) {
        char *cut = malloc(length ? length : 1); /* exactly as long: a sanitizer sees a byte too far */

        memcpy(cut, text, length);
        if (aq_node_json(&root, arena, cut, length, "-", NULL) == AQ_OK)
            print_error("read although cut at %zu\n", length);
        assert_null(root);
        free(cut);
    }
    assert_int_equal(aq_node_json(&root, arena, text, sizeof text - 1, "-", NULL), AQ_OK);
    aq_arena_free(arena);
}

/* ---- ceilings ---- */

static const struct {
    const char *row, *before, *piece, *after;
    aq_status status;
} large[] = {
    { "opening brackets", "", "[", "", AQ_TOO_DEEP },
    { "opening braces", "", "{\"a\":", "", AQ_TOO_DEEP },
    { "32 levels", "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[", " ", "]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]", AQ_OK },
    { "33 levels", "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[", " ", "]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]",
      AQ_TOO_DEEP },
    { "one long string", "\"", "b", "\"", AQ_OK },
    { "escapes", "\"", "\\u00e9", "\"", AQ_OK },
    { "one long number", "", "1", "1", AQ_OK },
    { "many values", "[0", ",1", "]", AQ_TOO_LARGE },
    { "many keys", "{\"a\":0", ",\"key~\":1", "}", AQ_OK },
    { "one key again and again", "{\"a\":0", ",\"again\":1234", "}", AQ_DUPLICATE },
    { "lines", "[", "\n", "]", AQ_OK },
};

static void test_a_megabyte_of_anything_takes_a_moment(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof large / sizeof *large; i++) {
        char *text = repeat(large[i].before, large[i].piece, large[i].after, AQ_DOCUMENT_BYTES);
        aq_arena *arena = aq_arena_new(0);
        aq_node *root;
        clock_t began = clock();
        aq_status status = aq_node_json(&root, arena, text, AQ_DOCUMENT_BYTES, "-", NULL);
        double seconds = (double)(clock() - began) / CLOCKS_PER_SEC;

        check_text(large[i].row, aq_status_name(status), aq_status_name(large[i].status));
        check_true(large[i].row,
                   seconds < 1); /* a hundred times what it takes; a quadratic reader needs minutes */
        aq_arena_free(arena);
        free(text);
    }
}

static void test_a_full_arena_is_out_of_memory(void **state)
{
    static const char text[] = "[1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20]";
    aq_arena *arena = aq_arena_new(256);
    aq_node *root;

    (void)state;
    assert_int_equal(aq_node_json(&root, arena, text, sizeof text - 1, "-", NULL), AQ_NO_MEMORY);
    assert_null(root);
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_form_of_the_grammar_is_read),
        cmocka_unit_test(test_a_line_becomes_a_map_of_texts),
        cmocka_unit_test(test_places_count_characters_and_lines),
        cmocka_unit_test(test_what_the_grammar_leaves_out_is_refused_where_it_stands),
        cmocka_unit_test(test_a_nul_byte_is_refused_everywhere),
        cmocka_unit_test(test_a_text_cut_anywhere_is_refused),
        cmocka_unit_test(test_a_megabyte_of_anything_takes_a_moment),
        cmocka_unit_test(test_a_full_arena_is_out_of_memory),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
