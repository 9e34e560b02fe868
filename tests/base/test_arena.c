/* Memory of one document: alignment, zeroes, the ceiling, and what a reset keeps. */
#include "check.h"
#include "dice.h"
#include "base/arena.h"
#include "base/fence.h"

#include <stdint.h>
#include <stdlib.h>

static bool all_zero(const char *bytes, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (bytes[i])
            return false;
    return true;
}

static void test_pieces_are_aligned_zeroed_and_apart(void **state)
{
    enum { PIECES = 3000 };
    static char *piece[PIECES];
    static size_t size[PIECES];
    aq_arena *arena = aq_arena_new(0);
    aq_dice dice = { 7 };

    (void)state;
    assert_non_null(arena);
    for (int i = 0; i < PIECES; i++) {
        size[i] = dice_below(&dice, i % 100 == 0 ? 60000 : 200);
        piece[i] = aq_arena_take(arena, size[i]);
        assert_non_null(piece[i]);
        assert_true((uintptr_t)piece[i] % _Alignof(max_align_t) == 0);
        assert_true(all_zero(piece[i], size[i]));
        memset(piece[i], 1 + i % 255, size[i]);
    }
    for (int i = 0; i < PIECES; i++)
        for (size_t at = 0; at < size[i]; at++)
            assert_true(piece[i][at] == (char)(1 + i % 255));
    aq_arena_free(arena);
}

static void test_a_ceiling_ends_the_giving(void **state)
{
    aq_arena *arena = aq_arena_new(100000);
    size_t given = 0;

    (void)state;
    assert_non_null(arena);
    assert_null(aq_arena_take(arena, 100001));
    assert_null(aq_arena_take(arena, SIZE_MAX));
    assert_null(aq_arena_take(arena, SIZE_MAX - 8));
    assert_null(
        aq_arena_take_array(arena, SIZE_MAX / 8 + 2, 8)); /* the product would wrap to a small number */
    assert_null(aq_arena_take(arena, 1));                 /* once refused, refused until a reset */
    assert_null(aq_arena_text(arena, "", 0));
    assert_null(aq_arena_format(arena, "%s", "x"));
    aq_arena_reset(arena);
    while (aq_arena_take(arena, 1000))
        given += 1000;
    assert_true(given > 50000 && given <= 100000);
    assert_null(aq_arena_take(arena, 50000));
    aq_arena_free(arena);
}

static void test_the_default_ceiling_is_64_mib(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    size_t mib = 0;

    (void)state;
    assert_null(aq_arena_take(arena, ((size_t)64 << 20) + 1));
    aq_arena_reset(arena);
    while (aq_arena_take(arena, 1 << 20))
        mib++;
    assert_true(mib > 32 && mib <= 64);
    aq_arena_free(arena);
}

static void test_a_reset_gives_the_same_memory_again(void **state)
{
    aq_arena *arena = aq_arena_new(200000);
    char *first, *again;

    (void)state;
    first = aq_arena_take(arena, 100);
    memset(first, 'x', 100);
    for (int round = 0; round < 50;
         round++) { /* without reuse the ceiling would end this at the second round */
        aq_arena_reset(arena);
        again = aq_arena_take(arena, 100);
        assert_ptr_equal(again, first);
        assert_true(all_zero(again, 100));
        memset(again, 'x', 100);
        for (int i = 0; i < 100; i++)
            assert_non_null(aq_arena_take(arena, 1000));
    }
    aq_arena_free(arena);
}

static void test_texts_are_copies_with_an_end(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    char bytes[] = "Kelp mist and more";
    char long_name[700];
    char *text;

    (void)state;
    text = aq_arena_text(arena, bytes, 9);
    bytes[0] = 'X';
    check_text("nine bytes", text, "Kelp mist");
    check_text("none", aq_arena_text(arena, NULL, 0), "");
    assert_null(aq_arena_text(arena, bytes, SIZE_MAX));
    check_text("formatted", aq_arena_format(arena, "%s %d", "day", 4), "day 4");
    memset(long_name, 'n', sizeof long_name - 1);
    long_name[sizeof long_name - 1] = '\0';
    for (int length = 250; length < 262; length++) {
        text = aq_arena_format(arena, "%.*s", length, long_name);
        assert_int_equal(strlen(text), length); /* on both sides of the small buffer within */
    }
    check_text("long", aq_arena_format(arena, "%s", long_name), long_name);
    aq_arena_free(arena);
}

static void test_a_list_grows_and_keeps_what_it_holds(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    AQ_LIST(double) list = { .at = NULL };

    (void)state;
    for (int i = 0; i < 1000; i++) {
        double *element = aq_list_add(arena, &list, sizeof *element);

        assert_non_null(element);
        assert_ptr_equal(element, &list.at[i]);
        *element = i;
    }
    assert_int_equal(list.count, 1000);
    for (int i = 0; i < 1000; i++)
        check_within("element", list.at[i], i, 0);
    aq_arena_free(arena);
}

static void test_a_list_that_cannot_grow_stays_as_it_was(void **state)
{
    aq_arena *arena = aq_arena_new(3000);
    AQ_LIST(double) list = { .at = NULL };
    double *element;

    (void)state;
    while ((element = aq_list_add(arena, &list, sizeof *element)) != NULL)
        *element = 1.5;
    assert_true(list.count >= 4 && list.count == list.room);
    for (size_t i = 0; i < list.count; i++)
        check_within("element", list.at[i], 1.5, 0);
    aq_arena_free(arena);
    aq_arena_free(NULL);
}

/* The address sanitizer knows where a piece ends, though the arena had more from malloc; without it there is no fence. */
static void test_behind_a_piece_stands_a_fence(void **state)
{
#ifdef __SANITIZE_ADDRESS__
    aq_arena *arena = aq_arena_new(0);
    const char *piece, *text;

    (void)state;
    for (size_t size = 1; size < 100; size++) {
        piece = aq_arena_take(arena, size);
        assert_false(__asan_address_is_poisoned(piece + size - 1));
        assert_true(__asan_address_is_poisoned(piece + size));
    }
    text = aq_arena_format(arena, "%s", "nine left");
    assert_true(__asan_address_is_poisoned(text + 10));
    aq_arena_reset(arena);
    assert_true(__asan_address_is_poisoned(piece));
    aq_arena_free(arena);
#else
    (void)state;
    skip();
#endif
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pieces_are_aligned_zeroed_and_apart),
        cmocka_unit_test(test_a_ceiling_ends_the_giving),
        cmocka_unit_test(test_the_default_ceiling_is_64_mib),
        cmocka_unit_test(test_a_reset_gives_the_same_memory_again),
        cmocka_unit_test(test_texts_are_copies_with_an_end),
        cmocka_unit_test(test_a_list_grows_and_keeps_what_it_holds),
        cmocka_unit_test(test_a_list_that_cannot_grow_stays_as_it_was),
        cmocka_unit_test(test_behind_a_piece_stands_a_fence),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
