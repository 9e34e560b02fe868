/* `aliquot help`: the commands, and the options of each from its own rows, for a terminal of 80 columns. */
#include <string.h>

#include "commands.h"
#include "options.h"

enum { COLUMNS = 79, OPTION_AT = 16, NAME_AT = 14 };

const char cli_usage[] = "usage: aliquot COMMAND [SITE [NAME]] [--option VALUE]...\n"
                         "  aliquot mix --volume 60L --water-ec 0.3mS/cm --ec 1.5mS/cm --part '{...}'\n"
                         "  aliquot mist --bottle 500mL --rate 0.8mL/L\n"
                         "  aliquot plan site.yaml --days 7\n"
                         "aliquot help lists the commands, aliquot help mix the options of one\n";

static size_t word_length(const char *text)
{
    return strcspn(text, " ");
}

/* The length of a word of a command line: to the next space outside quotes, an option with its value. */
static size_t option_length(const char *text)
{
    size_t length = 0;
    bool quoted = false, option = strncmp(text, "--", 2) == 0;

    for (; text[length]; length++) {
        if (text[length] == '\'')
            quoted = !quoted;
        if (text[length] != ' ' || quoted)
            continue;
        if (!option || strncmp(text + length + 1, "--", 2) == 0)
            break;
        option = false;
    }
    return length;
}

/* Words from `column` on, wrapped; each further line is set in by `at`. A command line is broken between its options,
 * as a shell would have it. */
static void add_words(aq_buffer *out, const char *text, size_t column, size_t at, bool command)
{
    size_t room = command ? COLUMNS - 2 : COLUMNS;
    bool first = true;

    while (*text) {
        size_t length = command ? option_length(text) : word_length(text);

        if (!first && column + 1 + length > room) {
            aq_buffer_format(out, "%s\n%*s", command ? " \\" : "", (int)at, "");
            column = at;
        } else if (!first) {
            aq_buffer_char(out, ' ');
            column++;
        }
        aq_buffer_add(out, text, length);
        column += length;
        text += length + (text[length] == ' ');
        first = false;
    }
    aq_buffer_char(out, '\n');
}

/* "us or imperial", "500, 640 or 700" */
static void add_choices(aq_buffer *out, const char *const *words)
{
    for (size_t i = 0; words[i]; i++)
        aq_buffer_format(out, "%s%s", i == 0 ? "" : words[i + 1] ? ", " : " or ", words[i]);
}

/* A second line: the choices, or a value that reads well. */
static void add_sample(aq_buffer *out, const aq_field *row)
{
    aq_buffer sample = { .ceiling = 4096 };

    if (row->read == AQ_READ_CHOICE) {
        add_choices(&sample, row->choices);
    } else if (row->read == AQ_READ_YES_NO) {
        aq_buffer_text(&sample, "yes or no");
    } else if (row->example) {
        aq_buffer_text(&sample, "like ");
        aq_buffer_text(&sample, row->example);
    }
    out->failed = out->failed || sample.failed;
    if (sample.length) {
        aq_buffer_format(out, "%*s", OPTION_AT, "");
        add_words(out, sample.bytes, OPTION_AT, OPTION_AT, false);
    }
    aq_buffer_free(&sample);
}

static void add_key(aq_buffer *out, const char *key, const char *help, const char *more)
{
    aq_buffer words = { .ceiling = 4096 };
    size_t column = strlen(key) + 4;

    aq_buffer_format(&words, "%s%s", help ? help : "", more);
    out->failed = out->failed || words.failed;
    aq_buffer_format(out, "  --%s", key);
    if (column + 2 > OPTION_AT) {
        aq_buffer_char(out, '\n');
        column = 0;
    }
    aq_buffer_format(out, "%*s", (int)(OPTION_AT - column), "");
    add_words(out, aq_buffer_chars(&words), OPTION_AT, OPTION_AT, false);
    aq_buffer_free(&words);
}

static void add_rows(aq_buffer *out, const aq_shape *asks)
{
    for (size_t i = 0; i < asks->count; i++) {
        const aq_field *row = &asks->fields[i];

        add_key(out, row->key, row->help, row->many ? "; may be given more than once" : "");
        add_sample(out, row);
    }
}

static void add_general(aq_buffer *out)
{
    size_t count;
    const cli_general *general = cli_general_options(&count);

    for (size_t i = 0; i < count; i++) {
        add_key(out, general[i].key, general[i].help, "");
        if (general[i].example)
            aq_buffer_format(out, "%*slike %s\n", OPTION_AT, "", general[i].example);
    }
}

static void add_head(aq_buffer *out, const char *name, const char *does, const char *usage)
{
    aq_buffer_format(out, "%s: ", name);
    add_words(out, does, strlen(name) + 2, strlen(name) + 2, false);
    aq_buffer_format(out, "\n  aliquot %s ", name);
    add_words(out, usage, strlen(name) + 11, strlen(name) + 11, false);
}

static void help_job(const aq_job *job, aq_buffer *out)
{
    add_head(out, job->name, job->does,
             job->positional ? "QUANTITY [SITE [NAME]] [--option VALUE]..."
                             : "[SITE [NAME]] [--option VALUE]...");
    aq_buffer_char(out, '\n');
    add_rows(out, job->asks);
    aq_buffer_char(out, '\n');
    add_general(out);
    aq_buffer_text(out, "\nFor example\n\n  ");
    add_words(out, job->example, 2, 4, true);
}

static void help_command(const cli_command *command, aq_buffer *out)
{
    add_head(out, command->name, command->does, command->usage);
    aq_buffer_char(out, '\n');
    add_words(out, command->says, 0, 0, false);
    if (command->example)
        aq_buffer_format(out, "\n  %s\n", command->example);
    if (command->asks) {
        aq_buffer_char(out, '\n');
        add_rows(out, command->asks);
    }
}

static void add_line(aq_buffer *out, const char *name, const char *does)
{
    aq_buffer_format(out, "  %-*s", NAME_AT - 2, name);
    add_words(out, does, NAME_AT, NAME_AT, false);
}

static void list_commands(aq_buffer *out)
{
    size_t jobs, commands;
    const aq_job *const *job = aq_job_table(&jobs);
    const cli_command *command = cli_command_table(&commands);

    aq_buffer_text(out, cli_usage);
    aq_buffer_char(out, '\n');
    for (size_t i = 0; i < jobs; i++)
        add_line(out, job[i]->name, job[i]->does);
    aq_buffer_char(out, '\n');
    for (size_t i = 0; i < commands; i++)
        add_line(out, command[i].name, command[i].does);
}

int cli_help_of(const char *name, cli_report *report)
{
    const aq_job *job = aq_job_find(name);
    const cli_command *command = cli_command_find(name);
    aq_buffer text = { .ceiling = 0 };

    if (!job && !command)
        return cli_command_unknown(name, report);
    if (job)
        help_job(job, &text);
    else
        help_command(command, &text);
    return cli_command_print(&text, report);
}

int cli_help(int count, char **words, cli_report *report)
{
    aq_buffer text = { .ceiling = 0 };

    if (count > 0)
        return cli_help_of(words[0], report);
    list_commands(&text);
    return cli_command_print(&text, report);
}
