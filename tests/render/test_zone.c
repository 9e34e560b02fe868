/* Zones as a calendar holds them, read back by libical, against the system's own database. */
#include "render/zone.h"

#include "base/date.h"
#include "render/calendar.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

/* Hours east of UTC of a local noon, as our VTIMEZONE has it read by libical. */
static long ours(icaltimezone *zone, int year, int month, int day)
{
    icaltimetype noon = { .year = year, .month = month, .day = day, .hour = 12 };
    int summer = 0;
    return icaltimezone_get_utc_offset(zone, &noon, &summer);
}

static long system_offset(int year, int month, int day)
{
    struct tm local = {
        .tm_year = year - 1900, .tm_mon = month - 1, .tm_mday = day, .tm_hour = 12, .tm_isdst = -1
    };
    time_t utc = mktime(&local);
    struct tm again = { .tm_year = year - 1900, .tm_mon = month - 1, .tm_mday = day, .tm_hour = 12 };
    setenv("TZ", "UTC", 1);
    tzset();
    return (long)(mktime(&again) - utc);
}

static void check_zone(const aq_zone *zone)
{
    aq_buffer out = { 0 };
    aq_buffer_text(&out, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//aliquot//sheet 1//EN\r\n");
    aq_zone_add(&out, zone);
    aq_buffer_text(&out, "END:VCALENDAR\r\n");
    icalcomponent *root = parsed(aq_buffer_chars(&out));
    icalcomponent *component = icalcomponent_get_first_component(root, ICAL_VTIMEZONE_COMPONENT);
    icaltimezone *read = icaltimezone_new();
    assert_true(icaltimezone_set_component(read, icalcomponent_new_clone(component)));
    /* each day of 2025, whose rules no later law changes; a zone with no summer time in its table is looked at once a month */
    for (long number = 20089; number < 20089 + 365; number += zone->summer == AQ_NO_SUMMER ? 30 : 1) {
        aq_date date = aq_date_of(number);
        setenv("TZ", zone->name, 1);
        tzset();
        long theirs = system_offset(date.year, date.month, date.day);
        check_within(zone->name, (double)ours(read, date.year, date.month, date.day), (double)theirs, 0);
    }
    icaltimezone_free(read, 1);
    icalcomponent_free(root);
    aq_buffer_free(&out);
}

static void test_every_zone_agrees_with_the_time_zone_database(void **state)
{
    (void)state;
    if (access("/usr/share/zoneinfo/Europe/Dublin", R_OK) != 0)
        skip();
    size_t count;
    const aq_zone *zones = aq_zone_table(&count);
    for (size_t i = 0; i < count; i++) {
        char path[128];
        snprintf(path, sizeof path, "/usr/share/zoneinfo/%s", zones[i].name);
        if (access(path, R_OK) == 0)
            check_zone(&zones[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_zone_agrees_with_the_time_zone_database),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
