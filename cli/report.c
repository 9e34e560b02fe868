/* What went wrong, as a person can act on it:
 *
 *     two-part.yaml:14:11: parts: part 2: rate: 3 mL is a volume; wanted is a rate, like 2-4 mL/L
 *         rate: 3 mL
 *               ^^^^
 *
 * A place in an option shows the option as it was typed instead. Control bytes of a hostile file never reach the
 * terminal: each is shown as a question mark. */
#include "report.h"

#include <stdio.h>
#include <string.h>

static const char indent[] = "    ";

void cli_report_source(cli_report *report, const char *name, const char *text, size_t length)
{
    aq_file *source = aq_list_add(report->arena, &report->sources, sizeof *source);

    if (source)
        *source = (aq_file){ name, text, length };
}

static const aq_file *find_source(const cli_report *report, const char *name)
{
    for (size_t i = 0; name && i < report->sources.count; i++)
        if (report->sources.at[i].name == name)
            return &report->sources.at[i];
    for (size_t i = 0; name && i < report->sources.count; i++)
        if (strcmp(report->sources.at[i].name, name) == 0)
            return &report->sources.at[i];
    return NULL;
}

static bool is_option(const char *name)
{
    return strncmp(name, "--", 2) == 0;
}

/* No character begins there, or not all of it is there: the byte itself says what a terminal makes of it. */
static bool broken(const unsigned char *at, size_t left)
{
    size_t wanted = at[0] < 0x80   ? 1
                    : at[0] < 0xc2 ? 0
                    : at[0] < 0xe0 ? 2
                    : at[0] < 0xf0 ? 3
                    : at[0] < 0xf5 ? 4
                                   : 0;

    for (size_t i = 1; i < wanted && i < left; i++)
        if ((at[i] & 0xc0) != 0x80)
            return true;
    return !wanted || wanted > left || (at[0] == 0xe0 && at[1] < 0xa0) || (at[0] == 0xed && at[1] > 0x9f) ||
           (at[0] == 0xf0 && at[1] < 0x90) || (at[0] == 0xf4 && at[1] > 0x8f);
}

/* C0, DEL and C1 controls, and the marks that turn the direction of text. */
static bool harmful(const unsigned char *at, size_t left)
{
    if (at[0] < 0x20 || at[0] == 0x7f || broken(at, left))
        return true;
    if (left > 1 && at[0] == 0xc2 && at[1] < 0xa0)
        return true;
    return left > 2 && at[0] == 0xe2 &&
           ((at[1] == 0x80 && ((at[2] >= 0x8e && at[2] <= 0x8f) || (at[2] >= 0xaa && at[2] <= 0xae))) ||
            (at[1] == 0x81 && at[2] >= 0xa6 && at[2] <= 0xa9));
}

static size_t character_bytes(const unsigned char *at, size_t left)
{
    size_t bytes = 1;

    if (at[0] < 0xc0)
        return 1;
    while (bytes < left && bytes < 4 && (at[bytes] & 0xc0) == 0x80)
        bytes++;
    return bytes;
}

/* Prints a text harmless, and returns its width in characters. */
static int print_plain(const char *text, size_t length)
{
    int width = 0;

    for (size_t i = 0; i < length; width++) {
        const unsigned char *at = (const unsigned char *)text + i;
        size_t bytes = character_bytes(at, length - i);

        if (harmful(at, length - i))
            fputc(*at == '\t' ? ' ' : '?', stderr);
        else
            fwrite(text + i, 1, bytes, stderr);
        i += bytes;
    }
    return width;
}

/* The line of that number, counted from 1; its length in *length. NULL: there is none. */
static const char *find_line(const aq_file *source, int line, size_t *length)
{
    const char *at = source->text, *end = source->text + source->length, *stop;

    for (int i = 1; i < line; i++) {
        at = memchr(at, '\n', (size_t)(end - at));
        if (!at)
            return NULL;
        at++;
    }
    stop = memchr(at, '\n', (size_t)(end - at));
    *length = (size_t)((stop ? stop : end) - at);
    return at;
}

static size_t bytes_of_characters(const char *text, size_t length, int characters)
{
    size_t at = 0;

    for (int i = 0; i < characters && at < length; i++)
        at += character_bytes((const unsigned char *)text + at, length - at);
    return at;
}

enum { LINE_MOST = 100 }; /* characters of a line that are worth showing */

/* The line and a caret under the place; of a long line the part around it. */
static void show_line(const aq_file *source, const aq_place *place)
{
    size_t length = 0, from = 0;
    const char *line = find_line(source, place->line, &length);
    int column = place->column > 0 ? place->column : 1, span = place->span > 0 ? place->span : 1, before = 0;

    if (!line)
        return;
    if (column > LINE_MOST / 2 && length > LINE_MOST) {
        from = bytes_of_characters(line, length, column - LINE_MOST / 2);
        column = LINE_MOST / 2;
    }
    fputs(indent, stderr);
    if (is_option(source->name)) {
        before = print_plain(source->name, strlen(source->name)) + 1;
        fputc(' ', stderr);
    }
    print_plain(line + from, bytes_of_characters(line + from, length - from, LINE_MOST));
    fprintf(stderr, "\n%s", indent);
    for (int i = 1; i < before + column; i++)
        fputc(' ', stderr);
    for (int i = 0; i < span && column + i <= LINE_MOST; i++)
        fputc('^', stderr);
    fputc('\n', stderr);
}

/* "two-part.yaml:14:11: ", or the program and its command where no file is to blame. */
static void print_head(const cli_report *report, const aq_place *place)
{
    if (report->colour)
        fputs("\033[1m", stderr);
    if (place->source && !is_option(place->source)) {
        print_plain(place->source, strlen(place->source));
        if (place->line > 0)
            fprintf(stderr, ":%d:%d", place->line, place->column);
    } else {
        fprintf(stderr, report->command ? "aliquot %s" : "aliquot", report->command);
    }
    fputs(report->colour ? ":\033[0m " : ": ", stderr);
}

void cli_report_error(const cli_report *report, const aq_error *err)
{
    const aq_file *source = err->place.line > 0 ? find_source(report, err->place.source) : NULL;

    print_head(report, &err->place);
    print_plain(err->text, strlen(err->text));
    fputc('\n', stderr);
    if (source)
        show_line(source, &err->place);
}

void cli_report_all(const cli_report *report, const aq_complaints *complaints)
{
    for (size_t i = 0; i < complaints->count; i++)
        cli_report_error(report, &complaints->at[i]);
    if (complaints->more)
        fprintf(stderr, "and %zu more\n", complaints->more);
}

void cli_report_say(const cli_report *report, const char *format, ...)
{
    aq_error err = { .status = AQ_OK };
    va_list args;

    va_start(args, format);
    vsnprintf(err.text, sizeof err.text, format, args);
    va_end(args);
    cli_report_error(report, &err);
}

int cli_exit_of(aq_status status)
{
    switch (status) {
    case AQ_OK:
        return CLI_MET;
    case AQ_NO_MEMORY:
    case AQ_WRITE_FAILED:
    case AQ_LOG_BUSY:
    case AQ_LOG_READ_ONLY:
    case AQ_LOG_FULL:
        return CLI_MACHINE_FAILED;
    default:
        return CLI_ASKED_WRONGLY;
    }
}

int cli_exit_of_outcome(aq_outcome outcome)
{
    return outcome == AQ_MET ? CLI_MET : CLI_OTHER;
}
