/* The record of a complaint. */
#include "check.h"
#include "base/error.h"

#include <stdio.h>

static const aq_place place = { .source = "site.yaml", .line = 14, .column = 11, .span = 4 };

static void test_each_status_has_a_name_and_words(void **state)
{
    (void)state;
    for (int status = AQ_OK; status < AQ_STATUS_COUNT; status++) {
        const char *name = aq_status_name((aq_status)status), *text = aq_status_text((aq_status)status);

        check_true(name, strncmp(name, "AQ_", 3) == 0);
        check_true(name, strlen(text) > 5 && strcmp(text, "unknown status") != 0);
        for (int other = AQ_OK; other < status; other++) {
            check_true(name, strcmp(name, aq_status_name((aq_status)other)) != 0);
            check_true(name, strcmp(text, aq_status_text((aq_status)other)) != 0);
        }
    }
    check_text("AQ_UNKNOWN_UNIT", aq_status_name(AQ_UNKNOWN_UNIT), "AQ_UNKNOWN_UNIT");
    check_text("outside", aq_status_text(AQ_STATUS_COUNT), "unknown status");
    check_text("outside", aq_status_text((aq_status)-1), "unknown status");
}

static void test_the_first_complaint_stays(void **state)
{
    aq_error err = { .status = AQ_OK };

    (void)state;
    assert_int_equal(aq_fail(&err, AQ_MISSING, place, "part %d has no %s", 2, "rate"), AQ_MISSING);
    assert_int_equal(aq_fail(&err, AQ_CONFLICT, (aq_place){ .line = 3 }, "later"), AQ_CONFLICT);
    assert_int_equal(err.status, AQ_MISSING);
    check_text("text", err.text, "part 2 has no rate");
    assert_int_equal(err.place.line, 14);
    assert_int_equal(err.place.column, 11);
    assert_null(err.question.key);
    assert_int_equal(aq_fail(NULL, AQ_SYNTAX, place, "nobody listens"), AQ_SYNTAX);
}

static void test_a_path_is_put_in_front(void **state)
{
    aq_error err = { .status = AQ_OK };

    (void)state;
    aq_error_within(&err, "ignored: ");
    check_text("no complaint yet", err.text, "");
    aq_fail(&err, AQ_SYNTAX, place, "rate is empty");
    aq_error_within(&err, "%s %d: ", "part", 2);
    aq_error_within(&err, "recipe: ");
    check_text("path", err.text, "recipe: part 2: rate is empty");
    aq_error_within(NULL, "nobody");
}

/* Whether the text ends after a whole character of UTF-8. */
static bool ends_whole(const char *text)
{
    size_t length = strlen(text), back = 1;
    unsigned char lead;

    if (!length)
        return true;
    while (back < length && back < 4 && ((unsigned char)text[length - back] & 0xC0) == 0x80)
        back++;
    lead = (unsigned char)text[length - back];
    return back == (lead >= 0xF0 ? 4u : lead >= 0xE0 ? 3u : lead >= 0xC0 ? 2u : 1u);
}

/* Characters of one, two, three and four bytes, so that the ceiling falls at each place within one. */
static void test_a_long_text_is_cut_at_a_whole_character(void **state)
{
    static const char *const characters[] = { "a", "\xC2\xB5", "\xE2\x82\xAC", "\xF0\x9F\x8C\xB1" };

    (void)state;
    for (size_t which = 0; which < 4; which++)
        for (size_t lead = 0; lead < 8; lead++) {
            size_t bytes = strlen(characters[which]);
            char text[2 * AQ_ERROR_TEXT], front[AQ_ERROR_TEXT];
            aq_error err = { .status = AQ_OK };

            memset(text, 'x', lead);
            for (size_t at = lead; at < sizeof text - 5; at += bytes)
                memcpy(text + at, characters[which], bytes + 1);
            aq_fail(&err, AQ_SYNTAX, place, "%s", text);
            check_true(characters[which], ends_whole(err.text));
            check_true(characters[which], strlen(err.text) > AQ_ERROR_TEXT - 1 - bytes);
            check_true(characters[which], memcmp(err.text, text, strlen(err.text)) == 0);

            snprintf(front, sizeof front, "%.*s: ", (int)lead + 3, "part 17, the third");
            aq_error_within(&err, "%s", front);
            check_true(characters[which], ends_whole(err.text));
            check_true(characters[which], strncmp(err.text, front, strlen(front)) == 0);
            check_true(characters[which], strlen(err.text) > AQ_ERROR_TEXT - 1 - bytes);
        }
}

static void test_a_path_as_long_as_the_record_leaves_no_room(void **state)
{
    char path[2 * AQ_ERROR_TEXT];
    aq_error err = { .status = AQ_OK };

    (void)state;
    memset(path, 'p', sizeof path - 1);
    path[sizeof path - 1] = '\0';
    aq_fail(&err, AQ_SYNTAX, place, "rate is empty");
    aq_error_within(&err, "%s", path);
    assert_int_equal(strlen(err.text), AQ_ERROR_TEXT - 1);
    assert_true(err.text[AQ_ERROR_TEXT - 2] == 'p');
}

static void test_the_first_twenty_complaints_are_kept(void **state)
{
    static aq_complaints all;

    (void)state;
    assert_int_equal(aq_complaints_status(&all), AQ_OK);
    for (int i = 0; i < 33; i++) {
        aq_error err = { .status = AQ_OK };

        aq_fail(&err, i == 0 ? AQ_DUPLICATE : AQ_MISSING, place, "complaint %d", i);
        aq_complain(&all, &err);
    }
    assert_int_equal(all.count, 20);
    assert_int_equal(all.more, 13);
    check_text("first", all.at[0].text, "complaint 0");
    check_text("last", all.at[19].text, "complaint 19");
    assert_int_equal(aq_complaints_status(&all), AQ_DUPLICATE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_status_has_a_name_and_words),
        cmocka_unit_test(test_the_first_complaint_stays),
        cmocka_unit_test(test_a_path_is_put_in_front),
        cmocka_unit_test(test_a_long_text_is_cut_at_a_whole_character),
        cmocka_unit_test(test_a_path_as_long_as_the_record_leaves_no_room),
        cmocka_unit_test(test_the_first_twenty_complaints_are_kept),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
