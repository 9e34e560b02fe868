/* SOURCE_DATE_EPOCH is seconds since 1970 as reproducible builds use it; anything else in it is ignored. */
#include "clock.h"

#include <errno.h>
#include <stdlib.h>
#include <time.h>

static const long long last_second = 253402300799; /* of the year 9999 */

static bool fixed_time(time_t *out)
{
    const char *text = getenv("SOURCE_DATE_EPOCH");
    char *end;
    long long seconds;

    if (!text || !*text)
        return false;
    errno = 0;
    seconds = strtoll(text, &end, 10);
    *out = (time_t)seconds;
    return !errno && !*end && seconds >= 0 && seconds <= last_second;
}

static aq_moment moment_of(const struct tm *tm)
{
    aq_moment moment = { { tm->tm_year + 1900, tm->tm_mon + 1, tm->tm_mday }, tm->tm_hour * 60 + tm->tm_min };

    return moment;
}

aq_moment cli_today(void)
{
    time_t now;
    struct tm tm = { .tm_mday = 1 };

    if (fixed_time(&now))
        gmtime_r(&now, &tm);
    else if (time(&now) != (time_t)-1)
        localtime_r(&now, &tm);
    return moment_of(&tm);
}

aq_moment cli_now_utc(void)
{
    time_t now;
    struct tm tm = { .tm_mday = 1 };

    if (fixed_time(&now) || time(&now) != (time_t)-1)
        gmtime_r(&now, &tm);
    return moment_of(&tm);
}
