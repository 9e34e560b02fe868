/* Reads back as much of RFC 5545 as ics.c writes: folded lines, components, UID, SEQUENCE, SUMMARY, LOCATION and a day
 * with or without a clock time. Alarms inside an event are passed over. What another program wrote is left alone, for its
 * UID does not end as ours do. */
#include "render/former.h"

#include <stdlib.h>
#include <string.h>

void aq_formers_open(aq_formers *formers, const char *calendar)
{
    *formers = (aq_formers){ .at = 0 };
    for (const char *c = calendar; *c; c++) {
        bool ends = *c == '\n' || (*c == '\r' && c[1] == '\n');

        if (ends && *c == '\r')
            c++;
        if (!ends)
            aq_buffer_char(&formers->text, *c);
        else if (c[1] == ' ' || c[1] == '\t') /* folded (3.1) */
            c++;
        else
            aq_buffer_add(&formers->text, "", 1);
    }
    aq_buffer_add(&formers->text, "", 1);
}

void aq_formers_close(aq_formers *formers)
{
    aq_buffer_free(&formers->text);
}

static const char *next_line(aq_formers *formers)
{
    const char *line;

    if (formers->text.failed || formers->at >= formers->text.length)
        return NULL;
    line = formers->text.bytes + formers->at;
    formers->at += strlen(line) + 1;
    return line;
}

/* The value of a line of that name, behind its parameters; NULL: another line. */
static const char *value_of(const char *line, const char *name)
{
    size_t length = strlen(name);

    if (strncmp(line, name, length) != 0 || (line[length] != ':' && line[length] != ';'))
        return NULL;
    line = strchr(line + length, ':');
    return line ? line + 1 : NULL;
}

static bool digits(const char *text, size_t count, int *out)
{
    *out = 0;
    for (size_t i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return false;
        *out = 10 * *out + text[i] - '0';
    }
    return true;
}

/* 20260302 or 20260302T073000 */
static aq_moment moment_of(const char *text)
{
    aq_moment at = { .minute = -1 }, never = { .minute = -1 };
    int hour, minute;

    if (strlen(text) < 8 || !digits(text, 4, &at.date.year) || !digits(text + 4, 2, &at.date.month) ||
        !digits(text + 6, 2, &at.date.day) || !aq_date_valid(at.date))
        return never;
    if (strlen(text) >= 13 && text[8] == 'T' && digits(text + 9, 2, &hour) && digits(text + 11, 2, &minute) &&
        hour < 24 && minute < 60)
        at.minute = hour * 60 + minute;
    return at;
}

static void take(aq_former *out, const char *line)
{
    const char *value;

    if ((value = value_of(line, "UID")))
        out->uid = value;
    else if ((value = value_of(line, "SUMMARY")))
        out->summary = value;
    else if ((value = value_of(line, "LOCATION")))
        out->location = value;
    else if ((value = value_of(line, "SEQUENCE")))
        out->sequence = strtol(value, NULL, 10);
    else if ((value = value_of(line, out->order ? "DUE" : "DTSTART")))
        out->at = moment_of(value);
}

/* 32 digits of a hash, then "@aliquot". */
static bool ours(const aq_former *former)
{
    return former->at.date.year && strspn(former->uid, "0123456789abcdef") == 32 &&
           strcmp(former->uid + 32, "@aliquot") == 0;
}

/* What stands between the beginning of a component and its end. */
static bool read_component(aq_formers *formers, aq_former *out)
{
    const char *line, *end = out->order ? "END:VTODO" : "END:VEVENT";
    bool inside = false; /* of an alarm */

    while ((line = next_line(formers)) && strcmp(line, end) != 0) {
        if (strncmp(line, "BEGIN:", 6) == 0 || strncmp(line, "END:", 4) == 0)
            inside = *line == 'B';
        else if (!inside)
            take(out, line);
    }
    return line && ours(out);
}

bool aq_formers_next(aq_formers *formers, aq_former *out)
{
    const char *line;

    while ((line = next_line(formers))) {
        bool order = strcmp(line, "BEGIN:VTODO") == 0;

        *out =
            (aq_former){ .order = order, .uid = "", .summary = "", .location = "", .at = { .minute = -1 } };
        if ((order || strcmp(line, "BEGIN:VEVENT") == 0) && read_component(formers, out))
            return true;
    }
    return false;
}
