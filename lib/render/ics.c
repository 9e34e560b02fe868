/* A sheet or plan as a calendar (RFC 5545): one VEVENT a job, one VTODO for each thing to order.
 *
 * An event that is exported again replaces the old one, for its UID (uid.h) has neither amounts nor clock time nor the
 * kind of job in it: after a new reading, and where a stage is repeated and a day's feed becomes a mist. SEQUENCE:
 * minutes from 2020 to the stamp, so a later export is the newer revision. An order keeps its UID whatever its day. What
 * a former export had on the days of this plan and this one has not is written once more, cancelled (3.8.1.11) and with
 * a higher SEQUENCE, so that it leaves no ghost behind, but for what is done already; earlier days are past, later ones
 * another plan's. Times are local: with TZID and its VTIMEZONE where the zone is in our table, else floating, which is
 * the clock on the wall. A job with no clock time takes the whole day. Minutes that a job takes and how early its alarm
 * rings are common practice, no source. */
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "render/former.h"
#include "render/glyph.h"
#include "render/sentence.h"
#include "render/uid.h"
#include "render/zone.h"
#include "sheet/caution.h"

enum { FOLD = 75, STAMP_FROM = 18262 /* 2020-01-01 in days from 1970 */ };

typedef struct {
    aq_buffer out, line;
    const aq_sheet *sheet; /* the whole */
    const aq_zone *zone;   /* NULL: floating */
    aq_moment stamp;       /* UTC */
    size_t count;          /* of events and orders */
} aq_calendar;

/* Lines */

/* Ends the line: at most 75 octets, folded before a whole character (3.1). */
static void end_line(aq_calendar *calendar)
{
    const char *at = aq_buffer_chars(&calendar->line);
    size_t room = FOLD;
    for (aq_glyph glyph = aq_glyph_at(at); glyph.bytes; at += glyph.bytes, glyph = aq_glyph_at(at)) {
        if (glyph.bytes > room) {
            aq_buffer_text(&calendar->out, "\r\n ");
            room = FOLD - 1;
        }
        aq_buffer_add(&calendar->out, at, glyph.bytes);
        room -= glyph.bytes;
    }
    aq_buffer_text(&calendar->out, "\r\n");
    calendar->out.failed = calendar->out.failed || calendar->line.failed;
    aq_buffer_clear(&calendar->line);
}

static void plain(aq_calendar *calendar, const char *line)
{
    aq_buffer_text(&calendar->line, line);
    end_line(calendar);
}

static bool escape(aq_buffer *out, unsigned long code)
{
    if (code != '\\' && code != ';' && code != ',')
        return false;
    aq_buffer_char(out, '\\');
    aq_buffer_char(out, (char)code);
    return true;
}

static void typed(aq_calendar *calendar, const char *text)
{
    aq_glyphs_add(&calendar->line, text, escape);
}

/* Text that is harmless already, its line breaks as \n. */
static void lines_of(aq_calendar *calendar, const char *text)
{
    while (*text) {
        char line[512];
        size_t length = strcspn(text, "\n"), part = length < sizeof line ? length : sizeof line - 1;
        while (part < length && part > 0 && ((unsigned char)text[part] & 0xc0) == 0x80)
            part--;
        memcpy(line, text, part);
        line[part] = '\0';
        typed(calendar, line);
        text += part;
        if (*text == '\n') {
            aq_buffer_text(&calendar->line, "\\n");
            text++;
        }
    }
}

/* Names and times */

static void uid(aq_calendar *calendar, const char *kind, const char *of, aq_date date, int nth)
{
    aq_buffer_text(&calendar->line, "UID:");
    aq_uid_add(&calendar->line, calendar->sheet->site, kind, of, date, nth);
    end_line(calendar);
}

static void date_digits(aq_buffer *out, aq_date date)
{
    aq_buffer_format(out, "%04d%02d%02d", date.year, date.month, date.day);
}

/* No lower than `least`. */
static void stamp(aq_calendar *calendar, long least)
{
    aq_moment at = calendar->stamp;
    int minute = at.minute >= 0 ? at.minute : 0;
    long sequence = 0;
    aq_buffer_text(&calendar->line, "DTSTAMP:");
    if (at.date.year) {
        date_digits(&calendar->line, at.date);
        sequence = (aq_date_number(at.date) - STAMP_FROM) * 1440 + minute;
    } else {
        aq_buffer_text(&calendar->line, "19700101");
    }
    aq_buffer_format(&calendar->line, "T%02d%02d00Z", minute / 60, minute % 60);
    end_line(calendar);
    aq_buffer_format(&calendar->line, "SEQUENCE:%ld", sequence > least ? sequence : least);
    end_line(calendar);
}

/* Minutes a job takes: filling, pouring and circulating a tank, or filling a bottle. */
static int minutes_of(const aq_sheet *job)
{
    return job->job && strcmp(job->job, "mist") == 0 ? 10 : 30;
}

static void start(aq_calendar *calendar, const aq_sheet *job, aq_moment at)
{
    if (at.minute < 0) {
        aq_buffer_text(&calendar->line, "DTSTART;VALUE=DATE:");
        date_digits(&calendar->line, at.date);
        end_line(calendar);
        plain(calendar, "DURATION:P1D");
        return;
    }
    aq_buffer_text(&calendar->line, "DTSTART");
    if (calendar->zone)
        aq_buffer_format(&calendar->line, ";TZID=%s", calendar->zone->name);
    aq_buffer_char(&calendar->line, ':');
    date_digits(&calendar->line, at.date);
    aq_buffer_format(&calendar->line, "T%02d%02d00", at.minute / 60, at.minute % 60);
    end_line(calendar);
    aq_buffer_format(&calendar->line, "DURATION:PT%dM", minutes_of(job));
    end_line(calendar);
}

/* Words */

/* The words a person must see before the job is opened. */
static void summary(aq_calendar *calendar, const aq_sheet *job)
{
    static const struct {
        unsigned class;
        const char *word;
    } warns[] = { { AQ_ACID, "ACID" }, { AQ_HYPOCHLORITE, "HYPOCHLORITE" } };
    bool any = false;

    aq_buffer_text(&calendar->line, job->outcome == AQ_REFUSED ? "SUMMARY:REFUSED: " : "SUMMARY:");
    for (size_t i = 0; i < sizeof warns / sizeof *warns; i++) {
        if (!(job->classes & warns[i].class))
            continue;
        aq_buffer_text(&calendar->line, any ? " and " : "");
        aq_buffer_text(&calendar->line, warns[i].word);
        any = true;
    }
    aq_buffer_text(&calendar->line, any ? ": " : "");
    typed(calendar, job->title ? job->title : job->job);
    end_line(calendar);
}

static void list(aq_page *page, const aq_texts *texts)
{
    for (size_t i = 0; i < texts->count; i++) {
        aq_page_name(page, texts->at[i]);
        aq_page_line(page, 0);
    }
}

static void row(aq_page *page, const aq_row *row, size_t number)
{
    aq_spoken said = aq_row_spoken(row);
    aq_buffer_format(&page->line, "%zu. ", number);
    aq_page_amount(page, said);
    aq_page_text(page, " ");
    aq_sentence_row(page, row);
    if (row->tank) {
        aq_page_text(page, ", tank ");
        aq_page_name(page, row->tank);
    }
    size_t before = page->line.length;
    aq_page_text(page, "; ");
    if (!aq_sentence_detail(page, row) && page->line.bytes) {
        page->line.length = before;
        page->line.bytes[before] = '\0';
    }
    aq_page_line(page, 0);
}

/* What can hurt first, then what to do. */
static void tell(aq_page *page, const aq_sheet *job)
{
    for (size_t i = 0; i < job->hazards.count; i++) {
        aq_sentence_hazard(page, &job->hazards.at[i]);
        aq_page_line(page, 0);
    }
    if (job->wear.count) {
        aq_page_text(page, "Wear: ");
        aq_sentence_wear(page, job);
        aq_page_line(page, 0);
    }
    if (job->day >= 0) {
        aq_sentence_day(page, job->day);
        if (job->lot) {
            aq_page_text(page, " of ");
            aq_page_name(page, job->lot);
        }
        aq_page_line(page, 0);
    }
    if (job->aim) {
        aq_page_name(page, job->aim);
        aq_page_line(page, 0);
    }
    list(page, &job->cautions);
    for (size_t i = 0; i < job->rows.count; i++)
        row(page, &job->rows.at[i], i + 1);
    if (job->expect_ec.given || aq_ph_window(job->expect_ph_low, job->expect_ph_high)) {
        aq_page_text(page, "Expect ");
        aq_sentence_expected(page, job);
        aq_page_line(page, 0);
    }
    for (size_t i = 0; i < job->shorts.count; i++) {
        aq_page_text(page, "Short: ");
        aq_sentence_short(page, &job->shorts.at[i]);
        aq_page_line(page, 0);
    }
    list(page, &job->next);
    if (job->defers) {
        aq_page_text(page, job->defers);
        aq_page_line(page, 0);
    }
}

static void description(aq_calendar *calendar, const aq_sheet *job)
{
    aq_page page = { .width = SIZE_MAX / 2, .sheet = job->show.count ? job : calendar->sheet };
    tell(&page, job);
    if (page.out.length) {
        aq_buffer_text(&calendar->line, "DESCRIPTION:");
        page.out.bytes[page.out.length - 1] = '\0'; /* the last line break */
        lines_of(calendar, aq_buffer_chars(&page.out));
        end_line(calendar);
    }
    calendar->out.failed = calendar->out.failed || page.out.failed || page.line.failed;
    aq_buffer_free(&page.out);
    aq_buffer_free(&page.line);
}

static void location(aq_calendar *calendar, const aq_sheet *job, const char *vessel)
{
    const char *site = job->site ? job->site : calendar->sheet->site;
    if (!site && !vessel)
        return;
    aq_buffer_text(&calendar->line, "LOCATION:");
    if (site)
        typed(calendar, site);
    aq_buffer_text(&calendar->line, site && vessel ? "\\, " : "");
    if (vessel)
        typed(calendar, vessel);
    end_line(calendar);
}

static void alarm(aq_calendar *calendar, const aq_sheet *job, bool all_day)
{
    plain(calendar, "BEGIN:VALARM");
    plain(calendar, "ACTION:DISPLAY");
    plain(calendar, all_day ? "TRIGGER:PT7H" : "TRIGGER:-PT15M");
    aq_buffer_text(&calendar->line, "DESCRIPTION:");
    typed(calendar, job->title ? job->title : job->job);
    end_line(calendar);
    plain(calendar, "END:VALARM");
}

/* Components */

static const char *vessel_of(const aq_sheet *job)
{
    return job->reservoir ? job->reservoir : job->lot ? job->lot : job->title;
}

static bool alike(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

/* How many of the first `count` that are done were of that vessel. */
static int done_alike(const aq_texts *done, size_t count, const char *vessel)
{
    int alike_ones = 0;
    for (size_t i = 0; i < count; i++)
        alike_ones += alike(done->at[i], vessel);
    return alike_ones;
}

/* How many jobs before number `which` of the plan have the same vessel and date; what is done already came first. */
static int nth_alike(const aq_sheet *plan, size_t which)
{
    const aq_sheets *jobs = &plan->jobs;
    const aq_sheet *job = jobs->at[which];
    bool first_day = aq_date_compare(job->at.date, plan->at.date) == 0;
    int nth = first_day ? done_alike(&plan->done, plan->done.count, vessel_of(job)) : 0;
    for (size_t i = which; i > 0 && aq_date_compare(jobs->at[i - 1]->at.date, job->at.date) == 0; i--)
        nth += alike(vessel_of(jobs->at[i - 1]), vessel_of(job));
    return nth;
}

static aq_status event(aq_calendar *calendar, const aq_sheet *job, int nth, aq_error *err)
{
    aq_moment at = job->at;
    if (!at.date.year)
        at = (aq_moment){ calendar->stamp.date, -1 };
    if (!at.date.year)
        return aq_fail(err, AQ_MISSING, (aq_place){ 0 }, "a calendar needs to know the day: give a date");
    calendar->count++;
    plain(calendar, "BEGIN:VEVENT");
    uid(calendar, "job", vessel_of(job), at.date, nth);
    stamp(calendar, 0);
    start(calendar, job, at);
    summary(calendar, job);
    description(calendar, job);
    location(calendar, job, job->reservoir);
    plain(calendar, job->outcome == AQ_REFUSED ? "STATUS:CANCELLED" : "STATUS:CONFIRMED");
    if (job->outcome != AQ_REFUSED)
        alarm(calendar, job, at.minute < 0);
    plain(calendar, "END:VEVENT");
    return AQ_OK;
}

static const char *text_figure(const aq_figures *figures, const char *name)
{
    for (size_t i = 0; i < figures->count; i++)
        if (strcmp(figures->at[i].name, name) == 0)
            return figures->at[i].text;
    return NULL;
}

/* "Order Part A", due on the day by which it must be ordered to be there in time. */
static void order(aq_calendar *calendar, const aq_record *supply)
{
    const char *by = text_figure(&supply->figures, "order_by");
    aq_date date;
    if (!by || !aq_date_read(by, &date))
        return;
    calendar->count++;
    plain(calendar, "BEGIN:VTODO");
    uid(calendar, "order", supply->name, (aq_date){ 1970, 1, 1 }, 0);
    stamp(calendar, 0);
    aq_buffer_text(&calendar->line, "DUE;VALUE=DATE:");
    date_digits(&calendar->line, date);
    end_line(calendar);
    aq_buffer_text(&calendar->line, "SUMMARY:Order ");
    typed(calendar, supply->name);
    end_line(calendar);
    location(calendar, calendar->sheet, NULL);
    plain(calendar, "END:VTODO");
}

/* Whether it was planned for this site: its place begins with the site's name. */
static bool of_this_site(aq_calendar *calendar, const aq_former *former)
{
    const char *site = calendar->sheet->site, *name;
    size_t length;
    bool same;

    if (!site)
        return true;
    typed(calendar, site);
    name = aq_buffer_chars(&calendar->line);
    length = calendar->line.length;
    same = strncmp(former->location, name, length) == 0 &&
           (!former->location[length] || strncmp(former->location + length, "\\, ", 3) == 0);
    aq_buffer_clear(&calendar->line);
    return same;
}

static bool still_there(const aq_calendar *calendar, const aq_former *former)
{
    char line[64];

    snprintf(line, sizeof line, "\nUID:%.48s\r\n", former->uid);
    return strstr(aq_buffer_chars(&calendar->out), line) != NULL;
}

/* Whether it is the event of a job that is done already: that is not called off, it stands as it was exported. */
static bool is_done(aq_calendar *calendar, const aq_former *former)
{
    const aq_texts *done = &calendar->sheet->done;
    bool same = false;
    for (size_t i = 0; i < done->count && !same; i++) {
        aq_buffer own = { 0 };
        aq_uid_add(&own, calendar->sheet->site, "job", done->at[i], calendar->sheet->at.date,
                   done_alike(done, i, done->at[i]));
        same = strcmp(aq_buffer_chars(&own), former->uid) == 0;
        calendar->out.failed = calendar->out.failed || own.failed;
        aq_buffer_free(&own);
    }
    return same;
}

static bool on_these_days(const aq_sheet *plan, const aq_former *former)
{
    return former->order || (aq_date_compare(former->at.date, plan->at.date) >= 0 &&
                             aq_date_compare(former->at.date, plan->until) <= 0);
}

static void cancelled(aq_calendar *calendar, const aq_former *former)
{
    const char *kind = former->order ? "VTODO" : "VEVENT";

    aq_buffer_format(&calendar->line, "BEGIN:%s", kind);
    end_line(calendar);
    aq_buffer_format(&calendar->line, "UID:%s", former->uid);
    end_line(calendar);
    stamp(calendar, former->sequence + 1);
    if (former->order) {
        aq_buffer_text(&calendar->line, "DUE;VALUE=DATE:");
        date_digits(&calendar->line, former->at.date);
        end_line(calendar);
    } else {
        start(calendar, calendar->sheet, former->at);
    }
    aq_buffer_text(&calendar->line, "SUMMARY:");
    aq_glyphs_add(&calendar->line, former->summary, NULL);
    end_line(calendar);
    if (*former->location) {
        aq_buffer_text(&calendar->line, "LOCATION:");
        aq_glyphs_add(&calendar->line, former->location, NULL);
        end_line(calendar);
    }
    plain(calendar, "STATUS:CANCELLED");
    aq_buffer_format(&calendar->line, "END:%s", kind);
    end_line(calendar);
}

/* What a former export had and this one has no more. */
static void vanished(aq_calendar *calendar, const char *former_export)
{
    const aq_sheet *plan = calendar->sheet;
    aq_formers formers;
    aq_former former;

    if (!former_export || !plan->until.year)
        return;
    aq_formers_open(&formers, former_export);
    calendar->out.failed = calendar->out.failed || formers.text.failed;
    while (aq_formers_next(&formers, &former))
        if (on_these_days(plan, &former) && of_this_site(calendar, &former) &&
            !still_there(calendar, &former) && !is_done(calendar, &former))
            cancelled(calendar, &former);
    aq_formers_close(&formers);
}

static aq_status components(aq_calendar *calendar, aq_error *err)
{
    const aq_sheet *sheet = calendar->sheet;
    bool to_do = sheet->rows.count || sheet->outcome == AQ_REFUSED;
    aq_status status = AQ_OK;
    if (!sheet->jobs.count && to_do)
        status = event(calendar, sheet, 0, err);
    for (size_t i = 0; i < sheet->jobs.count && status == AQ_OK; i++)
        status = event(calendar, sheet->jobs.at[i], nth_alike(sheet, i), err);
    for (size_t i = 0; i < sheet->supplies.count && status == AQ_OK; i++)
        order(calendar, &sheet->supplies.at[i]);
    if (status == AQ_OK && !calendar->count)
        return aq_fail(err, AQ_MISSING, (aq_place){ 0 },
                       "a calendar holds what is to be done: this sheet has figures only");
    return status;
}

aq_status aq_render_ics(const aq_sheet *sheet, const aq_manner *manner, aq_sink sink, aq_error *err)
{
    aq_calendar calendar = { .sheet = sheet,
                             .stamp = manner ? manner->now : (aq_moment){ .minute = -1 },
                             .zone = sheet->timezone ? aq_zone_find(sheet->timezone) : NULL };
    plain(&calendar, "BEGIN:VCALENDAR");
    plain(&calendar, "VERSION:2.0");
    plain(&calendar, "PRODID:-//aliquot//sheet 1//EN");
    plain(&calendar, "CALSCALE:GREGORIAN");
    if (calendar.zone)
        aq_zone_add(&calendar.out, calendar.zone);
    aq_status status = components(&calendar, err);
    if (status == AQ_OK)
        vanished(&calendar, manner ? manner->former : NULL);
    plain(&calendar, "END:VCALENDAR");
    aq_buffer_free(&calendar.line);
    if (status == AQ_OK)
        return aq_render_send(&calendar.out, sink, err);
    aq_buffer_free(&calendar.out);
    return status;
}
