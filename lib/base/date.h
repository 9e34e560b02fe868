/* Civil dates and clock times; no clock, no time zone. Proleptic Gregorian calendar (ISO 8601). */
#ifndef AQ_BASE_DATE_H
#define AQ_BASE_DATE_H

#include "base/error.h"

typedef struct {
    int year, month, day; /* year 1 to 9999, month 1 to 12; year 0: not given */
} aq_date;

/* A local date and a minute of that day (0 to 1439); -1: no clock time. */
typedef struct {
    aq_date date;
    int minute;
} aq_moment;

typedef enum {
    AQ_MONDAY,
    AQ_TUESDAY,
    AQ_WEDNESDAY,
    AQ_THURSDAY,
    AQ_FRIDAY,
    AQ_SATURDAY,
    AQ_SUNDAY
} aq_weekday;

AQ_API bool aq_date_valid(aq_date date);
AQ_API long aq_date_number(aq_date date); /* days since 1970-01-01 */
AQ_API aq_date aq_date_of(long number);
AQ_API aq_date aq_date_add(aq_date date, long days);
AQ_API long aq_date_between(aq_date from, aq_date to); /* days, negative when `to` is earlier */
AQ_API aq_weekday aq_date_weekday(aq_date date);
AQ_API int aq_date_compare(aq_date a, aq_date b); /* as strcmp */
AQ_API int aq_moment_compare(aq_moment a, aq_moment b);

/* "2026-03-02"; "07:30" to minutes; "2026-03-02 07:30" or with a T; "Mon". `used` bytes are not returned: the whole
 * of `text` must be the value. False when it is not. */
AQ_API bool aq_date_read(const char *text, aq_date *out);
AQ_API bool aq_minute_read(const char *text, int *out);
AQ_API bool aq_moment_read(const char *text, aq_moment *out);
AQ_API bool aq_weekday_read(const char *text, aq_weekday *out); /* Mon or Monday, any case */

enum { AQ_DATE_ROOM = 32 };
AQ_API void aq_date_write(aq_date date, char out[AQ_DATE_ROOM]); /* 2026-03-02 */
AQ_API void aq_moment_write(aq_moment moment,
                            char out[AQ_DATE_ROOM]);           /* 2026-03-02T07:30, or the date alone */
AQ_API void aq_date_say(aq_date date, char out[AQ_DATE_ROOM]); /* Mon 2 Mar 2026 */
AQ_API const char *aq_weekday_name(aq_weekday day);            /* Mon */

#endif
