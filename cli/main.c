/* aliquot COMMAND [SITE [NAME]] [--option VALUE]
 *
 * A command is a job of the library, or one of the few in the table of commands.c. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "version.h"

static int run(int count, char **words, cli_report *report)
{
    const char *name = words[0];
    const aq_job *job = aq_job_find(name);
    const cli_command *command = cli_command_find(name);

    if (strcmp(name, "--version") == 0)
        return puts("aliquot " ALIQUOT_VERSION) >= 0 ? CLI_MET : CLI_MACHINE_FAILED;
    if (strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0)
        return cli_help(0, NULL, report);
    if (job) {
        report->command = name;
        return cli_job(job, count - 1, words + 1, report);
    }
    if (command) {
        report->command = name;
        if (count > 1 && (strcmp(words[1], "--help") == 0 || strcmp(words[1], "-h") == 0))
            return cli_help_of(name, report);
        return command->run(count - 1, words + 1, report);
    }
    return cli_command_unknown(name, report);
}

int main(int count, char **words)
{
    cli_report report = { .arena = aq_arena_new(0) };
    int code = CLI_MACHINE_FAILED;

    if (!report.arena) {
        fputs("aliquot: out of memory\n", stderr);
        return code;
    }
    report.colour = !getenv("NO_COLOR") && isatty(STDERR_FILENO);
    if (count < 2) {
        fputs(cli_usage, stderr);
        code = CLI_ASKED_WRONGLY;
    } else {
        code = run(count - 1, words + 1, &report);
    }
    if ((fflush(stdout) != 0 || ferror(stdout)) && code <= CLI_OTHER) {
        fprintf(stderr, "aliquot: standard output: %s\n", strerror(errno));
        code = CLI_MACHINE_FAILED;
    }
    aq_arena_free(report.arena);
    return code;
}
