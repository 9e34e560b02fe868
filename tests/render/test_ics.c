/* The calendar is read back by another hand: libical. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

#include "render/calendar.h"
#include "render/sample.h"
#include "sheet/caution.h"

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

static const aq_manner SUNDAY = { .now = { { 2026, 3, 1 }, 8 * 60 } };

static icalcomponent *calendar_of(const aq_sheet *sheet)
{
    aq_buffer out = { 0 };
    icalcomponent *root = parsed(rendered(&out, "ics", sheet, SUNDAY));
    aq_buffer_free(&out);
    return root;
}

static icalcomponent *event(icalcomponent *root, int which)
{
    icalcomponent *event = icalcomponent_get_first_component(root, ICAL_VEVENT_COMPONENT);
    while (event && which-- > 0)
        event = icalcomponent_get_next_component(root, ICAL_VEVENT_COMPONENT);
    assert_non_null(event);
    return event;
}

static void test_one_event_for_each_job(void **state)
{
    aq_sheet *plan = sample_plan(*state);
    plan->timezone = "Europe/Dublin";
    icalcomponent *root = calendar_of(plan);
    assert_int_equal(icalcomponent_count_components(root, ICAL_VEVENT_COMPONENT), 3);
    icalcomponent *trays = event(root, 0);
    check_text("title", icalcomponent_get_summary(trays), "Trays, 12 L to 0.9 mS/cm");
    icaltimetype start = icalcomponent_get_dtstart(trays);
    check_text("start", icaltime_as_ical_string(start), "20260302T073000");
    check_text("zone", icaltime_get_tzid(start), "Europe/Dublin");
    assert_int_equal(icaldurationtype_as_int(icalcomponent_get_duration(trays)), 30 * 60);
    assert_int_equal(icalcomponent_count_components(trays, ICAL_VALARM_COMPONENT), 1);
    icaltimetype whole_day = icalcomponent_get_dtstart(event(root, 2));
    assert_true(whole_day.is_date);
    check_text("whole day", icaltime_as_ical_string(whole_day), "20260305");
    icalcomponent_free(root);
}

static void test_a_job_is_told_in_order_hazards_first(void **state)
{
    icalcomponent *root = calendar_of(sample_mix(*state, "Part A"));
    check_text("description", icalcomponent_get_description(event(root, 0)),
               "H318 Causes serious eye damage (Part A)\n"
               "Wear: eye protection\n"
               "day 12 of basil-14\n"
               "vegetative, day 12: 1.6 mS/cm\n"
               "1. 55 L (14.5 US gal) water\n"
               "2. 0.43 mS/cm \u00b1 0.10 to read now\n"
               "3. 192 mL (6.49 US fl oz) Part A; 3 x 60 + 12 with 60 mL syringe\n"
               "4. stir\n"
               "5. 192 mL (6.49 US fl oz) Part B; 3 x 60 + 12 with 60 mL syringe\n"
               "Expect 1.60 mS/cm \u00b1 0.13 at the end, pH 5.6 to 6.2, set last\n"
               "Follow the label first.");
    check_text("place", icalcomponent_get_location(event(root, 0)), "Fernhollow, Mother bed");
    icalcomponent_free(root);
}

static void test_acid_and_hypochlorite_are_named_in_the_title(void **state)
{
    static const struct {
        unsigned classes;
        aq_outcome outcome;
        const char *title;
    } rows[] = {
        { AQ_ACID, AQ_MET, "ACID: Trays" },
        { AQ_HYPOCHLORITE, AQ_MET, "HYPOCHLORITE: Trays" },
        { AQ_ACID | AQ_HYPOCHLORITE, AQ_REFUSED, "REFUSED: ACID and HYPOCHLORITE: Trays" },
        { AQ_AMMONIUM, AQ_MET, "Trays" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_sheet *sheet = sample_mix(*state, "A");
        sheet->title = "Trays";
        sheet->classes = rows[i].classes;
        sheet->outcome = rows[i].outcome;
        icalcomponent *root = calendar_of(sheet);
        check_text("title", icalcomponent_get_summary(event(root, 0)), rows[i].title);
        bool cancelled = icalcomponent_get_status(event(root, 0)) == ICAL_STATUS_CANCELLED;
        assert_true(cancelled == (rows[i].outcome == AQ_REFUSED));
        icalcomponent_free(root);
    }
}

static void test_the_uid_stays_while_the_amounts_change(void **state)
{
    aq_sheet *before = sample_plan(*state), *after = sample_plan(*state);
    after->jobs.at[0]->title = "Trays, 12 L to 1.1 mS/cm";
    after->jobs.at[0]->rows.at[1].amount.value = 24;
    after->jobs.at[0]->at.minute = 8 * 60;
    after->jobs.at[1]->reservoir = "Veg";
    icalcomponent *one = calendar_of(before), *other = calendar_of(after);
    check_text("same job", icalcomponent_get_uid(event(one, 0)), icalcomponent_get_uid(event(other, 0)));
    check_true("another vessel",
               strcmp(icalcomponent_get_uid(event(one, 1)), icalcomponent_get_uid(event(other, 1))));
    check_true("another day",
               strcmp(icalcomponent_get_uid(event(one, 0)), icalcomponent_get_uid(event(one, 2))));
    icalcomponent_free(one);
    icalcomponent_free(other);
}

/* A stage that is repeated turns a feed into a mist: the event is the same one, told anew. */
static void test_the_uid_stays_while_a_feed_becomes_a_mist(void **state)
{
    aq_sheet *before = sample_plan(*state), *after = sample_plan(*state);
    after->jobs.at[0]->job = "mist";
    icalcomponent *one = calendar_of(before), *other = calendar_of(after);
    check_text("same job", icalcomponent_get_uid(event(one, 0)), icalcomponent_get_uid(event(other, 0)));
    icalcomponent_free(one);
    icalcomponent_free(other);
}

/* Summer time begins and ends at 01:00 UTC on the last Sundays of March and October (Directive 2000/84/EC): 29 March and
 * 25 October in 2026. The clock on the wall says 07:30 on each of these days. */
static void test_jobs_keep_the_clock_on_the_wall_across_both_changes(void **state)
{
    static const struct {
        aq_date date;
        const char *utc;
    } days[] = { { { 2026, 3, 28 }, "20260328T073000Z" },
                 { { 2026, 3, 29 }, "20260329T063000Z" },
                 { { 2026, 10, 24 }, "20261024T063000Z" },
                 { { 2026, 10, 25 }, "20261025T073000Z" } };
    for (size_t i = 0; i < sizeof days / sizeof *days; i++) {
        aq_sheet *plan = sample_plan(*state);
        plan->timezone = "Europe/Dublin";
        plan->jobs.at[0]->at.date = days[i].date;
        icalcomponent *root = calendar_of(plan);
        icaltimezone *zone = icaltimezone_new();
        icalcomponent *rules = icalcomponent_get_first_component(root, ICAL_VTIMEZONE_COMPONENT);
        assert_true(icaltimezone_set_component(zone, icalcomponent_new_clone(rules)));
        icaltimetype start = icalcomponent_get_dtstart(event(root, 0));
        icaltimezone_convert_time(&start, zone, icaltimezone_get_utc_timezone());
        start.zone = icaltimezone_get_utc_timezone();
        check_text("in UTC", icaltime_as_ical_string(start), days[i].utc);
        icaltimezone_free(zone, 1);
        icalcomponent_free(root);
    }
}

static void test_two_equal_jobs_of_a_day_keep_two_uids(void **state)
{
    aq_sheet *plan = sample_plan(*state);
    plan->jobs.at[1]->reservoir = plan->jobs.at[0]->reservoir;
    icalcomponent *root = calendar_of(plan);
    check_true("two",
               strcmp(icalcomponent_get_uid(event(root, 0)), icalcomponent_get_uid(event(root, 1))) != 0);
    icalcomponent_free(root);
}

static void test_a_later_export_is_a_newer_revision(void **state)
{
    aq_sheet *sheet = sample_mix(*state, "A");
    aq_manner later = SUNDAY;
    later.now.minute += 1;
    aq_buffer out = { 0 };
    icalcomponent *first = parsed(rendered(&out, "ics", sheet, SUNDAY));
    icalcomponent *second = parsed(rendered(&out, "ics", sheet, later));
    assert_int_equal(icalcomponent_get_sequence(event(second, 0)),
                     icalcomponent_get_sequence(event(first, 0)) + 1);
    check_text("stamp", icaltime_as_ical_string(icalcomponent_get_dtstamp(event(first, 0))),
               "20260301T080000Z");
    icalcomponent_free(first);
    icalcomponent_free(second);
    aq_buffer_free(&out);
}

static void test_what_must_be_ordered_is_to_do_by_its_day(void **state)
{
    aq_sheet *plan = sample_plan(*state);
    assert_true(aq_figures_text(*state, &plan->supplies.at[0].figures, "order_by", "2026-03-01"));
    icalcomponent *root = calendar_of(plan);
    icalcomponent *todo = icalcomponent_get_first_component(root, ICAL_VTODO_COMPONENT);
    assert_non_null(todo);
    check_text("title", icalcomponent_get_summary(todo), "Order Part A");
    check_text("due", icaltime_as_ical_string(icalcomponent_get_due(todo)), "20260301");
    icalcomponent_free(root);
}

static void test_lines_are_folded_at_75_octets_and_never_inside_a_character(void **state)
{
    aq_sheet *sheet =
        sample_mix(*state, "\u6c34\u6c34\u6c34\u6c34\u6c34\u6c34\u6c34\u6c34\u6c34\u6c34\u6c34\u6c34");
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "ics", sheet, SUNDAY);
    for (const char *line = text; *line;) {
        size_t length = strcspn(line, "\r\n");
        check_true("at most 75", length <= 75);
        check_true("ends in CRLF", line[length] == '\r' && line[length + 1] == '\n');
        check_true("a whole character", ((unsigned char)line[0] & 0xc0) != 0x80);
        check_true("a whole character after a fold",
                   line[0] != ' ' || ((unsigned char)line[1] & 0xc0) != 0x80);
        line += length + 2;
    }
    aq_buffer_free(&out);
}

static void test_hostile_names_stay_inside_their_line(void **state)
{
    icalcomponent *root = calendar_of(sample_hostile(*state));
    assert_int_equal(icalcomponent_count_components(root, ICAL_VEVENT_COMPONENT), 1);
    const char *title = icalcomponent_get_summary(event(root, 0));
    assert_non_null(strstr(title, "\\x0d\\x0aEND:VEVENT\\x7f\\x9b<U+202E>txt;,\\\\xff"));
    assert_null(strchr(title, '\x1b'));
    icalcomponent_free(root);
}

/* RFC 5545, 3.3.11: backslash, semicolon and comma are escaped in a text. */
static void test_text_is_escaped(void **state)
{
    aq_sheet *sheet = sample_mix(*state, "A");
    sheet->title = "a;b,c\\d";
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "ics", sheet, SUNDAY);
    assert_non_null(strstr(text, "\r\nSUMMARY:a\\;b\\,c\\\\d\r\n"));
    icalcomponent *root = parsed(text);
    check_text("read back", icalcomponent_get_summary(event(root, 0)), "a;b,c\\d");
    icalcomponent_free(root);
    aq_buffer_free(&out);
}

static void test_a_sheet_without_a_day_takes_today_or_asks(void **state)
{
    aq_sheet *sheet = sample_mix(*state, "A");
    sheet->at = (aq_moment){ .minute = -1 };
    icalcomponent *root = calendar_of(sheet);
    check_text("today", icaltime_as_ical_string(icalcomponent_get_dtstart(event(root, 0))), "20260301");
    icalcomponent_free(root);
    aq_buffer out = { 0 };
    aq_error err = { 0 };
    assert_int_equal(aq_render_ics(sheet, NULL, aq_buffer_sink(&out), &err), AQ_MISSING);
    assert_int_equal(out.length, 0);
    aq_buffer_free(&out);
}

static void test_a_refused_job_is_an_event_that_was_called_off(void **state)
{
    aq_sheet *sheet = sample_mix(*state, "A");
    sheet->outcome = AQ_REFUSED;
    sheet->rows.count = 0;
    icalcomponent *root = calendar_of(sheet);
    assert_int_equal(icalcomponent_get_status(event(root, 0)), ICAL_STATUS_CANCELLED);
    assert_int_equal(icalcomponent_count_components(event(root, 0), ICAL_VALARM_COMPONENT), 0);
    icalcomponent_free(root);
}

static void test_figures_alone_make_no_calendar(void **state)
{
    aq_buffer out = { 0 };
    aq_error err = { 0 };
    assert_int_equal(aq_render_ics(sample_meter(*state), &SUNDAY, aq_buffer_sink(&out), &err), AQ_MISSING);
    check_text("why", err.text, "a calendar holds what is to be done: this sheet has figures only");
    aq_buffer_free(&out);
}

static void test_an_unknown_zone_is_plain_local_time(void **state)
{
    aq_sheet *plan = sample_plan(*state);
    plan->timezone = "Moon/Tranquility";
    icalcomponent *root = calendar_of(plan);
    icaltimetype start = icalcomponent_get_dtstart(event(root, 0));
    assert_null(icaltime_get_tzid(start));
    assert_false(icaltime_is_utc(start));
    assert_int_equal(icalcomponent_count_components(root, ICAL_VTIMEZONE_COMPONENT), 0);
    icalcomponent_free(root);
}

static const aq_manner MONDAY = { .now = { { 2026, 3, 2 }, 6 * 60 } };

/* Three jobs of the first week of March and an order; then the plan of two of them. `former` is the first export. */
static aq_sheet *fewer_jobs(aq_arena *arena, aq_buffer *former)
{
    aq_sheet *plan = sample_plan(arena);

    plan->site = "Fern; hollow";
    plan->timezone = "Europe/Dublin";
    plan->at = (aq_moment){ { 2026, 3, 2 }, -1 };
    plan->until = (aq_date){ 2026, 3, 8 };
    assert_true(aq_figures_text(arena, &plan->supplies.at[0].figures, "order_by", "2026-03-03"));
    rendered(former, "ics", plan, SUNDAY);
    plan->jobs.count = 2;
    plan->supplies.count = 0;
    return plan;
}

static icalcomponent *after(const aq_sheet *plan, const aq_buffer *former)
{
    aq_buffer out = { 0 };
    aq_manner manner = MONDAY;

    manner.former = aq_buffer_chars(former);
    icalcomponent *root = parsed(rendered(&out, "ics", plan, manner));
    aq_buffer_free(&out);
    return root;
}

/* RFC 5545, 3.8.1.11 and 3.8.7.4: the same UID, a higher SEQUENCE, STATUS:CANCELLED. */
static void test_a_job_that_vanished_is_called_off(void **state)
{
    aq_buffer former = { 0 };
    aq_sheet *plan = fewer_jobs(*state, &former);
    icalcomponent *before = parsed(aq_buffer_chars(&former)), *now = after(plan, &former);
    icalcomponent *was = event(before, 2), *gone = event(now, 2);

    assert_int_equal(icalcomponent_count_components(now, ICAL_VEVENT_COMPONENT), 3);
    check_text("uid", icalcomponent_get_uid(gone), icalcomponent_get_uid(was));
    assert_true(icalcomponent_get_sequence(gone) > icalcomponent_get_sequence(was));
    assert_int_equal(icalcomponent_get_status(gone), ICAL_STATUS_CANCELLED);
    check_text("title", icalcomponent_get_summary(gone), icalcomponent_get_summary(was));
    check_text("place", icalcomponent_get_location(gone), "Fern; hollow, Trays");
    check_text("day", icaltime_as_ical_string(icalcomponent_get_dtstart(gone)), "20260305");
    assert_int_equal(icalcomponent_count_components(gone, ICAL_VALARM_COMPONENT), 0);
    icalcomponent *order = icalcomponent_get_first_component(now, ICAL_VTODO_COMPONENT);
    assert_non_null(order);
    assert_int_equal(icalcomponent_get_status(order), ICAL_STATUS_CANCELLED);
    assert_int_equal(icalcomponent_get_status(event(now, 0)), ICAL_STATUS_CONFIRMED);
    icalcomponent_free(before);
    icalcomponent_free(now);
    aq_buffer_free(&former);
}

/* The first of two on a day is done: its event is not written again, and the second keeps its own UID. */
static void test_a_job_that_is_done_is_not_called_off(void **state)
{
    aq_buffer former = { 0 };
    aq_sheet *plan = sample_plan(*state), *first = plan->jobs.at[0], *second = plan->jobs.at[1];
    const char *done[] = { "Trays" };

    plan->site = "Fern; hollow";
    plan->at = (aq_moment){ { 2026, 3, 2 }, -1 };
    plan->until = (aq_date){ 2026, 3, 8 };
    first->reservoir = second->reservoir = "Trays";
    first->at = (aq_moment){ { 2026, 3, 2 }, 480 };
    second->at = (aq_moment){ { 2026, 3, 2 }, 1020 };
    plan->jobs.count = 2;
    rendered(&former, "ics", plan, SUNDAY);
    plan->jobs = (aq_sheets){ &second, 1, 1 };
    plan->done = (aq_texts){ done, 1, 1 };
    icalcomponent *before = parsed(aq_buffer_chars(&former)), *now = after(plan, &former);

    assert_int_equal(icalcomponent_count_components(now, ICAL_VEVENT_COMPONENT), 1);
    check_text("uid", icalcomponent_get_uid(event(now, 0)), icalcomponent_get_uid(event(before, 1)));
    assert_int_equal(icalcomponent_get_status(event(now, 0)), ICAL_STATUS_CONFIRMED);
    icalcomponent_free(before);
    icalcomponent_free(now);
    aq_buffer_free(&former);
}

/* A missed import does no harm: what was called off is called off again. In the same minute SEQUENCE still rises. */
static void test_what_was_called_off_stays_so(void **state)
{
    aq_buffer former = { 0 }, later = { 0 };
    aq_sheet *plan = fewer_jobs(*state, &former);
    aq_manner manner = MONDAY;

    manner.former = aq_buffer_chars(&former);
    rendered(&later, "ics", plan, manner);
    icalcomponent *second = parsed(aq_buffer_chars(&later)), *third = after(plan, &later);
    assert_int_equal(icalcomponent_count_components(third, ICAL_VEVENT_COMPONENT), 3);
    assert_int_equal(icalcomponent_get_sequence(event(third, 2)),
                     icalcomponent_get_sequence(event(second, 2)) + 1);
    icalcomponent_free(second);
    icalcomponent_free(third);
    aq_buffer_free(&former);
    aq_buffer_free(&later);
}

/* Days before the plan are past, days after it another plan's; another site and another program are not touched. */
static void test_only_what_this_plan_covers_is_called_off(void **state)
{
    aq_buffer former = { 0 };
    aq_sheet *plan = fewer_jobs(*state, &former);
    aq_buffer foreign = { 0 };

    plan->until = (aq_date){ 2026, 3, 4 };
    icalcomponent *shorter = after(plan, &former);
    assert_int_equal(icalcomponent_count_components(shorter, ICAL_VEVENT_COMPONENT), 2);
    plan->until = (aq_date){ 2026, 3, 8 };
    plan->at.date = (aq_date){ 2026, 3, 6 };
    icalcomponent *later = after(plan, &former);
    assert_int_equal(icalcomponent_count_components(later, ICAL_VEVENT_COMPONENT), 2);
    plan->at.date = (aq_date){ 2026, 3, 2 };
    plan->site = "Fern";
    icalcomponent *elsewhere = after(plan, &former);
    assert_int_equal(icalcomponent_count_components(elsewhere, ICAL_VEVENT_COMPONENT), 2);
    assert_int_equal(icalcomponent_count_components(elsewhere, ICAL_VTODO_COMPONENT), 0);
    plan->site = "Fern; hollow";
    aq_buffer_text(&foreign, "BEGIN:VCALENDAR\nBEGIN:VEVENT\nUID:dentist\nDTSTART:20260303T090000\n"
                             "LOCATION:Fern\\; hollow\nEND:VEVENT\nBEGIN:VEVENT\nUID:cut sho");
    icalcomponent *others = after(plan, &foreign);
    assert_int_equal(icalcomponent_count_components(others, ICAL_VEVENT_COMPONENT), 2);
    icalcomponent_free(shorter);
    icalcomponent_free(later);
    icalcomponent_free(elsewhere);
    icalcomponent_free(others);
    aq_buffer_free(&former);
    aq_buffer_free(&foreign);
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, arena_up, arena_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_one_event_for_each_job),
        IN_ARENA(test_a_job_is_told_in_order_hazards_first),
        IN_ARENA(test_acid_and_hypochlorite_are_named_in_the_title),
        IN_ARENA(test_the_uid_stays_while_the_amounts_change),
        IN_ARENA(test_the_uid_stays_while_a_feed_becomes_a_mist),
        IN_ARENA(test_jobs_keep_the_clock_on_the_wall_across_both_changes),
        IN_ARENA(test_two_equal_jobs_of_a_day_keep_two_uids),
        IN_ARENA(test_a_later_export_is_a_newer_revision),
        IN_ARENA(test_a_job_that_vanished_is_called_off),
        IN_ARENA(test_a_job_that_is_done_is_not_called_off),
        IN_ARENA(test_what_was_called_off_stays_so),
        IN_ARENA(test_only_what_this_plan_covers_is_called_off),
        IN_ARENA(test_what_must_be_ordered_is_to_do_by_its_day),
        IN_ARENA(test_lines_are_folded_at_75_octets_and_never_inside_a_character),
        IN_ARENA(test_hostile_names_stay_inside_their_line),
        IN_ARENA(test_text_is_escaped),
        IN_ARENA(test_a_sheet_without_a_day_takes_today_or_asks),
        IN_ARENA(test_a_refused_job_is_an_event_that_was_called_off),
        IN_ARENA(test_figures_alone_make_no_calendar),
        IN_ARENA(test_an_unknown_zone_is_plain_local_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
