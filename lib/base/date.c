/* Civil dates by the day count of Howard Hinnant's "chrono-compatible low-level date algorithms" (2013): years begin in
 * March, so that the leap day is a year's last; an era is the 400 years after which the calendar repeats. */
#include "base/date.h"

#include <stdio.h>
#include <string.h>

enum { DAYS_OF_ERA = 146097, DAYS_TO_EPOCH = 719468 }; /* 0000-03-01 to 1970-01-01 */

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

bool aq_date_valid(aq_date date)
{
    static const int days[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };

    if (date.year < 1 || date.year > 9999 || date.month < 1 || date.month > 12 || date.day < 1)
        return false;
    return date.day <= days[date.month - 1] + (date.month == 2 && is_leap(date.year));
}

long aq_date_number(aq_date date)
{
    long year = date.year - (date.month <= 2);
    long era = (year >= 0 ? year : year - 399) / 400;
    long of_era = year - era * 400;
    long of_year = (153 * (date.month + (date.month > 2 ? -3 : 9)) + 2) / 5 + date.day - 1;

    return era * DAYS_OF_ERA + of_era * 365 + of_era / 4 - of_era / 100 + of_year - DAYS_TO_EPOCH;
}

aq_date aq_date_of(long number)
{
    long day = number + DAYS_TO_EPOCH;
    long era = (day >= 0 ? day : day - (DAYS_OF_ERA - 1)) / DAYS_OF_ERA;
    long of_era = day - era * DAYS_OF_ERA;
    long year = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
    long of_year = of_era - (365 * year + year / 4 - year / 100);
    long march = (5 * of_year + 2) / 153;
    int month = (int)(march < 10 ? march + 3 : march - 9);

    return (aq_date){ (int)(year + era * 400 + (month <= 2)), month,
                      (int)(of_year - (153 * march + 2) / 5 + 1) };
}

aq_date aq_date_add(aq_date date, long days)
{
    return aq_date_of(aq_date_number(date) + days);
}

long aq_date_between(aq_date from, aq_date to)
{
    return aq_date_number(to) - aq_date_number(from);
}

aq_weekday aq_date_weekday(aq_date date)
{
    long day = (aq_date_number(date) + 3) % 7; /* 1970-01-01 was a Thursday */

    return (aq_weekday)(day < 0 ? day + 7 : day);
}

int aq_date_compare(aq_date a, aq_date b)
{
    long left = (long)a.year * 10000 + a.month * 100 + a.day,
         right = (long)b.year * 10000 + b.month * 100 + b.day;

    return (left > right) - (left < right);
}

int aq_moment_compare(aq_moment a, aq_moment b)
{
    int days = aq_date_compare(a.date, b.date);

    return days ? days : (a.minute > b.minute) - (a.minute < b.minute);
}

/* Exactly `count` digits at `text`. */
static bool read_digits(const char *text, int count, int *out)
{
    *out = 0;
    for (int i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return false;
        *out = *out * 10 + (text[i] - '0');
    }
    return true;
}

static bool read_date_part(const char *text, aq_date *out)
{
    aq_date date;

    if (!read_digits(text, 4, &date.year) || text[4] != '-' || !read_digits(text + 5, 2, &date.month) ||
        text[7] != '-' || !read_digits(text + 8, 2, &date.day) || !aq_date_valid(date))
        return false;
    *out = date;
    return true;
}

bool aq_date_read(const char *text, aq_date *out)
{
    return strlen(text) == 10 && read_date_part(text, out);
}

bool aq_minute_read(const char *text, int *out)
{
    size_t length = strlen(text);
    int hour, minute, hours = length == 4 ? 1 : 2;

    if ((length != 4 && length != 5) || !read_digits(text, hours, &hour) || text[hours] != ':' ||
        !read_digits(text + hours + 1, 2, &minute) || hour > 23 || minute > 59)
        return false;
    *out = hour * 60 + minute;
    return true;
}

bool aq_moment_read(const char *text, aq_moment *out)
{
    aq_moment moment = { .minute = -1 };

    if (strlen(text) < 10 || !read_date_part(text, &moment.date))
        return false;
    if (text[10] && ((text[10] != ' ' && text[10] != 'T') || !aq_minute_read(text + 11, &moment.minute)))
        return false;
    *out = moment;
    return true;
}

static const char *const weekday_names[] = { "Monday", "Tuesday",  "Wednesday", "Thursday",
                                             "Friday", "Saturday", "Sunday" };

static bool same_letters(const char *text, const char *name, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if ((text[i] | 0x20) != (name[i] | 0x20))
            return false;
    return true;
}

bool aq_weekday_read(const char *text, aq_weekday *out)
{
    size_t length = strlen(text);

    for (int day = AQ_MONDAY; day <= AQ_SUNDAY; day++) {
        const char *name = weekday_names[day];

        if ((length == 3 || length == strlen(name)) && same_letters(text, name, length)) {
            *out = (aq_weekday)day;
            return true;
        }
    }
    return false;
}

const char *aq_weekday_name(aq_weekday day)
{
    static const char *const names[] = { "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun" };

    return (unsigned)day <= AQ_SUNDAY ? names[day] : "?";
}

/* The last `count` digits of a number that is not negative; returns where they end. */
static char *put_digits(char *out, int number, int count)
{
    for (int i = count - 1; i >= 0; i--, number /= 10)
        out[i] = (char)('0' + number % 10);
    return out + count;
}

void aq_date_write(aq_date date, char out[AQ_DATE_ROOM])
{
    char *at;

    if (date.year < 0 || date.year > 9999) { /* no date that was read */
        snprintf(out, AQ_DATE_ROOM, "%d-%02d-%02d", date.year, date.month, date.day);
        return;
    }
    at = put_digits(out, date.year, 4);
    *at++ = '-';
    at = put_digits(at, date.month, 2);
    *at++ = '-';
    *put_digits(at, date.day, 2) = '\0';
}

void aq_moment_write(aq_moment moment, char out[AQ_DATE_ROOM])
{
    aq_date_write(moment.date, out);
    if (moment.minute >= 0)
        snprintf(out + strlen(out), AQ_DATE_ROOM - strlen(out), "T%02d:%02d", moment.minute / 60,
                 moment.minute % 60);
}

void aq_date_say(aq_date date, char out[AQ_DATE_ROOM])
{
    static const char *const months[] = { "Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                          "Jul", "Aug", "Sep", "Oct", "Nov", "Dec" };

    snprintf(out, AQ_DATE_ROOM, "%s %d %s %d", aq_weekday_name(aq_date_weekday(date)), date.day,
             months[(date.month + 11) % 12], date.year);
}
