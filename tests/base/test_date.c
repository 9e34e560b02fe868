/* Civil dates against the C library's gmtime (POSIX), which counts the same proleptic Gregorian days. */
#include "check.h"
#include "base/date.h"

#include <stdio.h>
#include <time.h>

/* Every day of years 1 to 9999 that gmtime can say. */
static void test_each_day_agrees_with_the_library(void **state)
{
    const long first = aq_date_number((aq_date){ 1, 1, 1 }), last = aq_date_number((aq_date){ 9999, 12, 31 });

    (void)state;
    assert_int_equal(first, -719162); /* 1970 years of 365.2425 days less the year 0 */
    assert_int_equal(last, 2932896);
    for (long day = first; day <= last; day++) {
        time_t when = (time_t)day * 86400;
        struct tm want;
        aq_date got = aq_date_of(day);

        assert_non_null(gmtime_r(&when, &want));
        if (got.year != want.tm_year + 1900 || got.month != want.tm_mon + 1 || got.day != want.tm_mday ||
            (int)aq_date_weekday(got) != (want.tm_wday + 6) % 7 || aq_date_number(got) != day ||
            !aq_date_valid(got)) {
            print_error("day %ld: %d-%d-%d\n", day, got.year, got.month, got.day);
            fail();
        }
    }
}

static void test_days_that_are_in_no_calendar(void **state)
{
    static const aq_date rows[] = {
        { 0, 1, 1 },     { 10000, 1, 1 }, { 2026, 0, 1 },  { 2026, 13, 1 }, { 2026, 2, 29 }, { 2024, 2, 30 },
        { 2100, 2, 29 }, { 2026, 4, 31 }, { 2026, 1, 32 }, { 2026, 1, 0 },  { 0, 0, 0 },     { -4, 1, 1 },
    };
    static const aq_date leap[] = { { 2024, 2, 29 }, { 2000, 2, 29 }, { 1, 1, 1 }, { 9999, 12, 31 } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char row[40];

        snprintf(row, sizeof row, "%d-%d-%d", rows[i].year, rows[i].month, rows[i].day);
        check_true(row, !aq_date_valid(rows[i]));
    }
    for (size_t i = 0; i < sizeof leap / sizeof *leap; i++)
        assert_true(aq_date_valid(leap[i]));
}

static void test_days_are_added_and_counted(void **state)
{
    static const struct {
        aq_date from;
        long days;
        aq_date to;
    } rows[] = {
        { { 2026, 3, 2 }, 4, { 2026, 3, 6 } },    { { 2026, 3, 2 }, 10, { 2026, 3, 12 } },
        { { 2024, 2, 28 }, 1, { 2024, 2, 29 } },  { { 2026, 2, 28 }, 1, { 2026, 3, 1 } },
        { { 2026, 1, 1 }, -1, { 2025, 12, 31 } }, { { 2000, 1, 1 }, 146097, { 2400, 1, 1 } }, /* 400 years */
        { { 1900, 2, 28 }, 1, { 1900, 3, 1 } },   { { 2026, 3, 2 }, 0, { 2026, 3, 2 } },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char row[AQ_DATE_ROOM];
        aq_date got = aq_date_add(rows[i].from, rows[i].days);

        aq_date_write(rows[i].from, row);
        check_true(row, aq_date_compare(got, rows[i].to) == 0);
        check_true(row, aq_date_between(rows[i].from, rows[i].to) == rows[i].days);
    }
}

static void test_the_order_of_days_and_minutes(void **state)
{
    static const aq_moment order[] = {
        { { 2025, 12, 31 }, 1439 }, { { 2026, 1, 1 }, -1 }, { { 2026, 1, 1 }, 0 },
        { { 2026, 1, 1 }, 450 },    { { 2026, 1, 2 }, -1 }, { { 2026, 2, 1 }, 0 },
    };

    (void)state;
    for (int i = 0; i < 6; i++)
        for (int j = 0; j < 6; j++)
            assert_int_equal(aq_moment_compare(order[i], order[j]), (i > j) - (i < j));
}

static void test_dates_are_read_whole_or_not(void **state)
{
    static const struct {
        const char *text;
        bool read;
        aq_date date;
    } rows[] = {
        { "2026-03-02", true, { 2026, 3, 2 } },
        { "0001-01-01", true, { 1, 1, 1 } },
        { "2024-02-29", true, { 2024, 2, 29 } },
        { "2026-02-29", false, { 0 } },
        { "2026-3-2", false, { 0 } },
        { "2026-03-02 ", false, { 0 } },
        { "2026/03/02", false, { 0 } },
        { "02-03-2026", false, { 0 } },
        { "20260302", false, { 0 } },
        { "", false, { 0 } },
        { "2026-03-", false, { 0 } },
        { "+026-03-02", false, { 0 } },
        { "2026-13-01", false, { 0 } },
        { "0000-01-01", false, { 0 } },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_date got = { 7, 7, 7 };
        aq_date want = rows[i].read ? rows[i].date : (aq_date){ 7, 7, 7 }; /* untouched */

        check_true(rows[i].text, aq_date_read(rows[i].text, &got) == rows[i].read);
        check_true(rows[i].text, aq_date_compare(got, want) == 0);
    }
}

static void test_clock_times_are_read_whole_or_not(void **state)
{
    static const struct {
        const char *text;
        int minute;
    } rows[] = {
        { "07:30", 450 }, { "7:30", 450 }, { "00:00", 0 },  { "23:59", 1439 }, { "24:00", -1 },
        { "07:60", -1 },  { "0730", -1 },  { "07:3", -1 },  { "07:300", -1 },  { "07:30 ", -1 },
        { ":30", -1 },    { "", -1 },      { "-7:30", -1 }, { "7:30pm", -1 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        int got = -1;

        check_true(rows[i].text, aq_minute_read(rows[i].text, &got) == (rows[i].minute >= 0));
        check_true(rows[i].text, got == rows[i].minute);
    }
}

static void test_a_moment_is_a_date_and_perhaps_a_time(void **state)
{
    static const struct {
        const char *text, *written; /* NULL: not read */
    } rows[] = {
        { "2026-03-02 07:30", "2026-03-02T07:30" },
        { "2026-03-02T07:30", "2026-03-02T07:30" },
        { "2026-03-02 7:30", "2026-03-02T07:30" },
        { "2026-03-02", "2026-03-02" },
        { "2026-03-02 ", NULL },
        { "2026-03-02T", NULL },
        { "2026-03-02t07:30", NULL },
        { "2026-03-02 25:00", NULL },
        { "07:30", NULL },
        { "2026-02-30 07:30", NULL },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_moment got;
        char written[AQ_DATE_ROOM];

        check_true(rows[i].text, aq_moment_read(rows[i].text, &got) == (rows[i].written != NULL));
        if (!rows[i].written)
            continue;
        aq_moment_write(got, written);
        check_text(rows[i].text, written, rows[i].written);
    }
}

static void test_days_of_the_week_have_two_names(void **state)
{
    static const struct {
        const char *text;
        int day;
    } rows[] = {
        { "Mon", AQ_MONDAY },   { "monday", AQ_MONDAY }, { "SUN", AQ_SUNDAY }, { "Wednesday", AQ_WEDNESDAY },
        { "thu", AQ_THURSDAY }, { "Thurs", -1 },         { "Mo", -1 },         { "", -1 },
        { "Mondays", -1 },      { "M\x0Fn", -1 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_weekday got;
        bool read = aq_weekday_read(rows[i].text, &got);

        check_true(rows[i].text, read == (rows[i].day >= 0));
        check_true(rows[i].text, !read || (int)got == rows[i].day);
    }
    for (int day = AQ_MONDAY; day <= AQ_SUNDAY; day++) {
        aq_weekday got;

        assert_true(aq_weekday_read(aq_weekday_name((aq_weekday)day), &got));
        assert_int_equal(got, day);
    }
}

static void test_a_date_is_written_and_said(void **state)
{
    char text[AQ_DATE_ROOM];

    (void)state;
    aq_date_write((aq_date){ 2026, 3, 2 }, text);
    check_text("written", text, "2026-03-02");
    aq_date_say((aq_date){ 2026, 3, 2 }, text);
    check_text("said", text, "Mon 2 Mar 2026"); /* a Monday in any calendar of that year */
    aq_date_say((aq_date){ 2024, 12, 31 }, text);
    check_text("said", text, "Tue 31 Dec 2024");
    aq_date_write((aq_date){ 1, 1, 1 }, text);
    check_text("written", text, "0001-01-01");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_day_agrees_with_the_library),
        cmocka_unit_test(test_days_that_are_in_no_calendar),
        cmocka_unit_test(test_days_are_added_and_counted),
        cmocka_unit_test(test_the_order_of_days_and_minutes),
        cmocka_unit_test(test_dates_are_read_whole_or_not),
        cmocka_unit_test(test_clock_times_are_read_whole_or_not),
        cmocka_unit_test(test_a_moment_is_a_date_and_perhaps_a_time),
        cmocka_unit_test(test_days_of_the_week_have_two_names),
        cmocka_unit_test(test_a_date_is_written_and_said),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
