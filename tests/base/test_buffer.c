/* Growing bytes with a ceiling, and the sink on top of them. */
#include "check.h"
#include "base/buffer.h"

static void test_bytes_arrive_in_order_and_end(void **state)
{
    aq_buffer buffer = { .bytes = NULL };

    (void)state;
    check_text("empty", aq_buffer_chars(&buffer), "");
    aq_buffer_add(&buffer, "Part A and B", 6);
    aq_buffer_char(&buffer, ':');
    aq_buffer_text(&buffer, " pour");
    aq_buffer_format(&buffer, " %d of %s", 3, "60 mL");
    aq_buffer_add(&buffer, "", 0);
    aq_buffer_format(&buffer, "%s", "");
    check_text("all", aq_buffer_chars(&buffer), "Part A: pour 3 of 60 mL");
    assert_int_equal(buffer.length, strlen("Part A: pour 3 of 60 mL"));
    aq_buffer_clear(&buffer);
    check_text("cleared", aq_buffer_chars(&buffer), "");
    assert_int_equal(buffer.length, 0);
    aq_buffer_text(&buffer, "again");
    check_text("again", aq_buffer_chars(&buffer), "again");
    aq_buffer_free(&buffer);
    assert_null(buffer.bytes);
    check_text("freed", aq_buffer_chars(&buffer), "");
}

static void test_a_large_text_arrives_whole(void **state)
{
    aq_buffer buffer = { .bytes = NULL };

    (void)state;
    for (int i = 0; i < 100000; i++)
        aq_buffer_format(&buffer, "%d\n", i % 10);
    assert_int_equal(buffer.length, 200000);
    for (int i = 0; i < 100000; i++)
        assert_true(buffer.bytes[2 * i] == '0' + i % 10 && buffer.bytes[2 * i + 1] == '\n');
    assert_false(buffer.failed);
    aq_buffer_free(&buffer);
}

static void test_a_zero_byte_is_a_byte(void **state)
{
    aq_buffer buffer = { .bytes = NULL };

    (void)state;
    aq_buffer_add(&buffer, "a\0b", 3);
    assert_int_equal(buffer.length, 3);
    assert_memory_equal(buffer.bytes, "a\0b", 4);
    aq_buffer_free(&buffer);
}

static void test_nothing_is_added_past_the_ceiling(void **state)
{
    aq_buffer buffer = { .ceiling = 10 };

    (void)state;
    aq_buffer_text(&buffer, "123456789"); /* nine and the NUL */
    assert_false(buffer.failed);
    aq_buffer_char(&buffer, 'x');
    assert_true(buffer.failed);
    check_text("kept", aq_buffer_chars(&buffer), "123456789");
    aq_buffer_clear(&buffer);
    assert_false(buffer.failed);
    aq_buffer_text(&buffer, "1234567890");
    assert_true(buffer.failed);
    aq_buffer_text(&buffer, "1"); /* it would fit, but a gap must not show */
    check_text("empty", aq_buffer_chars(&buffer), "");
    aq_buffer_free(&buffer);
    assert_int_equal(buffer.ceiling, 10);
    assert_false(buffer.failed);
    aq_buffer_format(&buffer, "%s", "1234567890");
    assert_true(buffer.failed);
    aq_buffer_free(&buffer);
}

static void test_a_buffer_is_a_sink(void **state)
{
    aq_buffer buffer = { .ceiling = 8 };
    aq_sink sink = aq_buffer_sink(&buffer);

    (void)state;
    assert_true(sink.write(sink.to, "1234", 4));
    assert_true(sink.write(sink.to, "567", 3));
    assert_false(sink.write(sink.to, "8", 1));
    check_text("written", aq_buffer_chars(&buffer), "1234567");
    aq_buffer_free(&buffer);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bytes_arrive_in_order_and_end),
        cmocka_unit_test(test_a_large_text_arrives_whole),
        cmocka_unit_test(test_a_zero_byte_is_a_byte),
        cmocka_unit_test(test_nothing_is_added_past_the_ceiling),
        cmocka_unit_test(test_a_buffer_is_a_sink),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
