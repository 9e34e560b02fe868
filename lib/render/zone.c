/* Zones and their rules of summer time as of 2025, from the IANA time zone database; good for dates from 2008 on, for
 * a plan looks ahead. A zone that is not here is left out of a calendar, which then says plain local time. The test
 * compares each zone with the system's own database through five years.
 *
 *     Europe         last Sunday of March to last Sunday of October, at 01:00 UTC everywhere
 *     North America  second Sunday of March to first Sunday of November, at 02:00 by the clock
 *     Australia      first Sunday of October to first Sunday of April, at 02:00 by winter time
 *     New Zealand    last Sunday of September to first Sunday of April, at 02:00 by winter time */
#include "render/zone.h"

#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const aq_zone zones[] = {
    { "UTC", 0, AQ_NO_SUMMER },
    { "Etc/UTC", 0, AQ_NO_SUMMER },

    { "Atlantic/Azores", -60, AQ_EUROPE },
    { "Atlantic/Canary", 0, AQ_EUROPE },
    { "Atlantic/Faroe", 0, AQ_EUROPE },
    { "Atlantic/Madeira", 0, AQ_EUROPE },
    { "Europe/Dublin", 0, AQ_EUROPE },
    { "Europe/Guernsey", 0, AQ_EUROPE },
    { "Europe/Isle_of_Man", 0, AQ_EUROPE },
    { "Europe/Jersey", 0, AQ_EUROPE },
    { "Europe/Lisbon", 0, AQ_EUROPE },
    { "Europe/London", 0, AQ_EUROPE },
    { "Europe/Amsterdam", 60, AQ_EUROPE },
    { "Europe/Andorra", 60, AQ_EUROPE },
    { "Europe/Belgrade", 60, AQ_EUROPE },
    { "Europe/Berlin", 60, AQ_EUROPE },
    { "Europe/Bratislava", 60, AQ_EUROPE },
    { "Europe/Brussels", 60, AQ_EUROPE },
    { "Europe/Budapest", 60, AQ_EUROPE },
    { "Europe/Copenhagen", 60, AQ_EUROPE },
    { "Europe/Gibraltar", 60, AQ_EUROPE },
    { "Europe/Ljubljana", 60, AQ_EUROPE },
    { "Europe/Luxembourg", 60, AQ_EUROPE },
    { "Europe/Madrid", 60, AQ_EUROPE },
    { "Europe/Malta", 60, AQ_EUROPE },
    { "Europe/Monaco", 60, AQ_EUROPE },
    { "Europe/Oslo", 60, AQ_EUROPE },
    { "Europe/Paris", 60, AQ_EUROPE },
    { "Europe/Podgorica", 60, AQ_EUROPE },
    { "Europe/Prague", 60, AQ_EUROPE },
    { "Europe/Rome", 60, AQ_EUROPE },
    { "Europe/Sarajevo", 60, AQ_EUROPE },
    { "Europe/Skopje", 60, AQ_EUROPE },
    { "Europe/Stockholm", 60, AQ_EUROPE },
    { "Europe/Tirane", 60, AQ_EUROPE },
    { "Europe/Vienna", 60, AQ_EUROPE },
    { "Europe/Warsaw", 60, AQ_EUROPE },
    { "Europe/Zagreb", 60, AQ_EUROPE },
    { "Europe/Zurich", 60, AQ_EUROPE },
    { "Asia/Nicosia", 120, AQ_EUROPE },
    { "Europe/Athens", 120, AQ_EUROPE },
    { "Europe/Bucharest", 120, AQ_EUROPE },
    { "Europe/Helsinki", 120, AQ_EUROPE },
    { "Europe/Kiev", 120, AQ_EUROPE },
    { "Europe/Kyiv", 120, AQ_EUROPE },
    { "Europe/Riga", 120, AQ_EUROPE },
    { "Europe/Sofia", 120, AQ_EUROPE },
    { "Europe/Tallinn", 120, AQ_EUROPE },
    { "Europe/Vilnius", 120, AQ_EUROPE },
    { "Atlantic/Reykjavik", 0, AQ_NO_SUMMER },
    { "Europe/Istanbul", 180, AQ_NO_SUMMER },
    { "Europe/Minsk", 180, AQ_NO_SUMMER },
    { "Europe/Moscow", 180, AQ_NO_SUMMER },

    { "Africa/Abidjan", 0, AQ_NO_SUMMER },
    { "Africa/Accra", 0, AQ_NO_SUMMER },
    { "Africa/Algiers", 60, AQ_NO_SUMMER },
    { "Africa/Lagos", 60, AQ_NO_SUMMER },
    { "Africa/Tunis", 60, AQ_NO_SUMMER },
    { "Africa/Harare", 120, AQ_NO_SUMMER },
    { "Africa/Johannesburg", 120, AQ_NO_SUMMER },
    { "Africa/Lusaka", 120, AQ_NO_SUMMER },
    { "Africa/Addis_Ababa", 180, AQ_NO_SUMMER },
    { "Africa/Dar_es_Salaam", 180, AQ_NO_SUMMER },
    { "Africa/Kampala", 180, AQ_NO_SUMMER },
    { "Africa/Nairobi", 180, AQ_NO_SUMMER },

    { "Asia/Baghdad", 180, AQ_NO_SUMMER },
    { "Asia/Riyadh", 180, AQ_NO_SUMMER },
    { "Asia/Tehran", 210, AQ_NO_SUMMER },
    { "Asia/Dubai", 240, AQ_NO_SUMMER },
    { "Asia/Karachi", 300, AQ_NO_SUMMER },
    { "Asia/Tashkent", 300, AQ_NO_SUMMER },
    { "Asia/Colombo", 330, AQ_NO_SUMMER },
    { "Asia/Kolkata", 330, AQ_NO_SUMMER },
    { "Asia/Kathmandu", 345, AQ_NO_SUMMER },
    { "Asia/Dhaka", 360, AQ_NO_SUMMER },
    { "Asia/Bangkok", 420, AQ_NO_SUMMER },
    { "Asia/Ho_Chi_Minh", 420, AQ_NO_SUMMER },
    { "Asia/Jakarta", 420, AQ_NO_SUMMER },
    { "Asia/Hong_Kong", 480, AQ_NO_SUMMER },
    { "Asia/Kuala_Lumpur", 480, AQ_NO_SUMMER },
    { "Asia/Manila", 480, AQ_NO_SUMMER },
    { "Asia/Shanghai", 480, AQ_NO_SUMMER },
    { "Asia/Singapore", 480, AQ_NO_SUMMER },
    { "Asia/Taipei", 480, AQ_NO_SUMMER },
    { "Asia/Seoul", 540, AQ_NO_SUMMER },
    { "Asia/Tokyo", 540, AQ_NO_SUMMER },

    { "America/St_Johns", -210, AQ_NORTH_AMERICA },
    { "America/Halifax", -240, AQ_NORTH_AMERICA },
    { "America/Moncton", -240, AQ_NORTH_AMERICA },
    { "Atlantic/Bermuda", -240, AQ_NORTH_AMERICA },
    { "America/Detroit", -300, AQ_NORTH_AMERICA },
    { "America/Indiana/Indianapolis", -300, AQ_NORTH_AMERICA },
    { "America/New_York", -300, AQ_NORTH_AMERICA },
    { "America/Toronto", -300, AQ_NORTH_AMERICA },
    { "America/Chicago", -360, AQ_NORTH_AMERICA },
    { "America/Winnipeg", -360, AQ_NORTH_AMERICA },
    { "America/Boise", -420, AQ_NORTH_AMERICA },
    { "America/Denver", -420, AQ_NORTH_AMERICA },
    { "America/Edmonton", -420, AQ_NORTH_AMERICA },
    { "America/Los_Angeles", -480, AQ_NORTH_AMERICA },
    { "America/Tijuana", -480, AQ_NORTH_AMERICA },
    { "America/Anchorage", -540, AQ_NORTH_AMERICA },
    { "America/Argentina/Buenos_Aires", -180, AQ_NO_SUMMER },
    { "America/Montevideo", -180, AQ_NO_SUMMER },
    { "America/Sao_Paulo", -180, AQ_NO_SUMMER },
    { "America/Caracas", -240, AQ_NO_SUMMER },
    { "America/La_Paz", -240, AQ_NO_SUMMER },
    { "America/Puerto_Rico", -240, AQ_NO_SUMMER },
    { "America/Santo_Domingo", -240, AQ_NO_SUMMER },
    { "America/Bogota", -300, AQ_NO_SUMMER },
    { "America/Guayaquil", -300, AQ_NO_SUMMER },
    { "America/Jamaica", -300, AQ_NO_SUMMER },
    { "America/Lima", -300, AQ_NO_SUMMER },
    { "America/Panama", -300, AQ_NO_SUMMER },
    { "America/Costa_Rica", -360, AQ_NO_SUMMER },
    { "America/El_Salvador", -360, AQ_NO_SUMMER },
    { "America/Guatemala", -360, AQ_NO_SUMMER },
    { "America/Mexico_City", -360, AQ_NO_SUMMER },
    { "America/Regina", -360, AQ_NO_SUMMER },
    { "America/Phoenix", -420, AQ_NO_SUMMER },
    { "Pacific/Honolulu", -600, AQ_NO_SUMMER },

    { "Australia/Perth", 480, AQ_NO_SUMMER },
    { "Australia/Darwin", 570, AQ_NO_SUMMER },
    { "Australia/Adelaide", 570, AQ_AUSTRALIA },
    { "Australia/Brisbane", 600, AQ_NO_SUMMER },
    { "Australia/Hobart", 600, AQ_AUSTRALIA },
    { "Australia/Melbourne", 600, AQ_AUSTRALIA },
    { "Australia/Sydney", 600, AQ_AUSTRALIA },
    { "Pacific/Auckland", 720, AQ_NEW_ZEALAND },
};

/* When summer begins and ends. Each first date is one on which it did, by the clock of the season that ends then. */
typedef struct {
    const char *date; /* 20070311 */
    int minute;       /* of the day by the old season's clock; of Europe, of the day in UTC */
    const char *rule;
} season_turn;
static const struct {
    season_turn begins, ends;
} summers[] = {
    [AQ_EUROPE] = { { "19970330", 60, "BYMONTH=3;BYDAY=-1SU" }, { "19971026", 60, "BYMONTH=10;BYDAY=-1SU" } },
    [AQ_NORTH_AMERICA] = { { "20070311", 120, "BYMONTH=3;BYDAY=2SU" },
                           { "20071104", 120, "BYMONTH=11;BYDAY=1SU" } },
    [AQ_AUSTRALIA] = { { "20081005", 120, "BYMONTH=10;BYDAY=1SU" },
                       { "20080406", 180, "BYMONTH=4;BYDAY=1SU" } },
    [AQ_NEW_ZEALAND] = { { "20070930", 120, "BYMONTH=9;BYDAY=-1SU" },
                         { "20080406", 180, "BYMONTH=4;BYDAY=1SU" } },
};

enum { SUMMER_HOUR = 60 };

const aq_zone *aq_zone_table(size_t *count)
{
    *count = COUNT(zones);
    return zones;
}

const aq_zone *aq_zone_find(const char *name)
{
    for (size_t i = 0; i < COUNT(zones); i++)
        if (strcmp(zones[i].name, name) == 0)
            return &zones[i];
    return NULL;
}

static void offset(aq_buffer *out, const char *property, int minutes)
{
    int size = abs(minutes);
    aq_buffer_format(out, "%s:%c%02d%02d\r\n", property, minutes < 0 ? '-' : '+', size / 60, size % 60);
}

static void season(aq_buffer *out, const char *name, const aq_zone *zone, const season_turn *turn, int from,
                   int to)
{
    int minute = turn->minute + (zone->summer == AQ_EUROPE ? from : 0);
    aq_buffer_format(out, "BEGIN:%s\r\n", name);
    aq_buffer_format(out, "DTSTART:%sT%02d%02d00\r\n", turn->date, minute / 60, minute % 60);
    if (*turn->rule)
        aq_buffer_format(out, "RRULE:FREQ=YEARLY;%s\r\n", turn->rule);
    offset(out, "TZOFFSETFROM", from);
    offset(out, "TZOFFSETTO", to);
    aq_buffer_format(out, "END:%s\r\n", name);
}

void aq_zone_add(aq_buffer *out, const aq_zone *zone)
{
    static const season_turn always = { "19700101", 0, "" };
    int winter = zone->minutes, summer = winter + SUMMER_HOUR;

    aq_buffer_format(out, "BEGIN:VTIMEZONE\r\nTZID:%s\r\n", zone->name);
    if (zone->summer == AQ_NO_SUMMER) {
        season(out, "STANDARD", zone, &always, winter, winter);
    } else {
        season(out, "DAYLIGHT", zone, &summers[zone->summer].begins, winter, summer);
        season(out, "STANDARD", zone, &summers[zone->summer].ends, summer, winter);
    }
    aq_buffer_text(out, "END:VTIMEZONE\r\n");
}
