/* The table of commands that are not jobs. */
#include "commands.h"

#include <string.h>

#include "files.h"

static const cli_command commands[] = {
    { .name = "batch",
      .does = "one JSON question a line in, one JSON answer a line out",
      .run = cli_batch,
      .usage = "[SITE] < questions > answers",
      .says = "A line is an object: \"job\", the job's options by their names, and \"id\", which is given "
              "back. A line that cannot be answered gives an error object, and the rest goes on.",
      .files = true },
    { .name = "check",
      .does = "is each of these documents right",
      .run = cli_check,
      .usage = "FILE...",
      .says =
          "Reads recipes and sites, and the recipes that a site names. Every complaint has its line. Of a "
          "log, and of the one beside a site, says whether the file is whole.",
      .files = true },
    { .name = "completion",
      .does = "what a shell needs to complete aliquot's words",
      .run = cli_completion,
      .usage = "bash|zsh|fish",
      .says = "Installed with the program. This is for a shell that does not find them there.",
      .example = "eval \"$(aliquot completion bash)\"",
      .words = cli_completion_words },
    { .name = "help",
      .does = "the options of a job",
      .run = cli_help,
      .usage = "[COMMAND]",
      .says = "Without a command, all of them. aliquot COMMAND --help says the same.",
      .jobs = true },
    { .name = "log",
      .does = "record, list, take back, write out and read back",
      .run = cli_log,
      .usage = "add|mix|list|export [SITE [NAME]], undo [SITE] NUMBER, import [SITE] FILE",
      .says = "The log lies beside the site, as fernhollow.log beside fernhollow.yaml, or where --log says. "
              "Entries are only ever added: undo adds that one was wrong. mix takes what the site plans for "
              "today and asks on a terminal for what went otherwise. export writes everything, undone "
              "entries too, and import reads it back; what is there already is not added again.",
      .example = "aliquot log add site.yaml Trays --poured '{A: 30 mL}' --ec-after 1.2mS/cm",
      .words = cli_log_words,
      .asks = &aq_log_line_shape },
    { .name = "new",
      .does = "a commented recipe or site to start from",
      .run = cli_new,
      .usage = "recipe|site [NAME] [--option VALUE]...",
      .says = "Writes NAME.yaml, which must not be there yet, or standard output where no NAME is given. "
              "On a terminal it asks for what no option says.",
      .words = cli_new_words,
      .asks = &cli_new_shape },
    { .name = "schema",
      .does = "a JSON Schema of what is read and answered",
      .run = cli_schema,
      .usage = "sheet|batch|recipe|site|JOB",
      .says = "Draft 2020-12. sheet is every answer, batch a line of questions, JOB a line of that job.",
      .words = cli_schema_words,
      .jobs = true },
};
enum { COMMANDS = sizeof commands / sizeof *commands };

const cli_command *cli_command_table(size_t *count)
{
    *count = COMMANDS;
    return commands;
}

const cli_command *cli_command_find(const char *name)
{
    for (size_t i = 0; i < COMMANDS; i++)
        if (strcmp(commands[i].name, name) == 0)
            return &commands[i];
    return NULL;
}

int cli_command_unknown(const char *name, cli_report *report)
{
    size_t count;
    const aq_job *const *jobs = aq_job_table(&count);
    const char **names = aq_arena_take_array(report->arena, count + COMMANDS + 1, sizeof *names);
    const char *near;

    for (size_t i = 0; names && i < count + COMMANDS; i++)
        names[i] = i < count ? jobs[i]->name : commands[i - count].name;
    near = names ? aq_nearest(name, names) : NULL;
    if (near)
        cli_report_say(report, "%s is no command; did you mean %s?", name, near);
    else
        cli_report_say(report, "%s is no command; aliquot help lists them", name);
    return CLI_ASKED_WRONGLY;
}

int cli_command_print(aq_buffer *text, cli_report *report)
{
    aq_error err = { .status = AQ_OK };
    aq_status status = text->failed ? aq_fail(&err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory")
                                    : cli_print(text->bytes, text->length, &err);

    aq_buffer_free(text);
    if (status != AQ_OK)
        cli_report_error(report, &err);
    return cli_exit_of(status);
}
