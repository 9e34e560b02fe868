/* Sentences against the C library's own vsnprintf (ISO C 7.21.6.1), byte for byte. */
#include "check.h"
#include "base/format.h"

#include <limits.h>
#include <stdarg.h>
#include <stdio.h>

enum { ROOM = 64 };

/* Both write into as many bytes as `room` says; what lies behind them must stay. */
static void AQ_PRINTF(3, 4) check_same(const char *row, size_t room, const char *format, ...)
{
    char ours[ROOM], theirs[ROOM];
    int got, want;
    va_list values, again;

    memset(ours, '#', sizeof ours);
    memset(theirs, '#', sizeof theirs);
    va_start(values, format);
    va_copy(again, values);
    got = aq_format(room ? ours : NULL, room, format, values);
    want = vsnprintf(room ? theirs : NULL, room, format, again);
    va_end(again);
    va_end(values);
    check_true(row, got == want);
    check_true(row, memcmp(ours, theirs, sizeof ours) == 0);
}

static void test_directives_read_as_printf_has_them(void **state)
{
    static const char part[] = "abcd";

    (void)state;
    check_same("plain", ROOM, "nothing to fill in");
    check_same("empty", ROOM, "%s", "");
    check_same("texts", ROOM, "%s: %.*s, %.3s, %.s|", "a", 3, part, part, part);
    check_same("precision below zero", ROOM, "%.*s", -1, "whole");
    check_same("longer precision", ROOM, "%.60s", "short");
    check_same("whole numbers", ROOM, "%d %d %d %d", 0, -7, INT_MAX, INT_MIN);
    check_same("long ones", ROOM, "%ld %ld", LONG_MIN, LONG_MAX);
    check_same("without sign", ROOM, "%zu %lu", (size_t)0, ULONG_MAX);
    check_same("a sign of per cent, a character", ROOM, "100 %% %c", 'x');
}

static int AQ_PRINTF(3, 4) written(char *out, size_t room, const char *format, ...)
{
    va_list values;
    int length;

    va_start(values, format);
    length = aq_format(out, room, format, values);
    va_end(values);
    return length;
}

/* Apart, for the sanitizers' own vsnprintf wants a NUL. */
static void test_a_precision_keeps_inside_a_text_without_its_end(void **state)
{
    static const char part[] = { 'a', 'b', 'c' };
    char out[ROOM];

    (void)state;
    assert_int_equal(written(out, sizeof out, "%.*s|%.3s", 2, part, part), 6);
    assert_string_equal(out, "ab|abc");
}

static void test_other_directives_are_left_to_printf(void **state)
{
    (void)state;
    check_same("width", ROOM, "%s %04d-%02d", "of", 2026, 3);
    check_same("hexadecimal", ROOM, "%s 0x%02X", "byte", 0xEFu);
    check_same("precision of a number", ROOM, "%.3d", 7);
    check_same("left", ROOM, "%-6s|%5zu", "ab", (size_t)3);
}

static void test_what_has_no_room_is_cut_and_counted(void **state)
{
    (void)state;
    for (size_t room = 0; room < 14; room++)
        check_same("cut", room, "%s and %d", "one", 12345);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_directives_read_as_printf_has_them),
        cmocka_unit_test(test_a_precision_keeps_inside_a_text_without_its_end),
        cmocka_unit_test(test_other_directives_are_left_to_printf),
        cmocka_unit_test(test_what_has_no_room_is_cut_and_counted),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
