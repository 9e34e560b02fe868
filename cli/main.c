/* aliquot COMMAND [SITE [NAME]] [--option VALUE]
 *
 * A command is a job of the library, or one of the few in the table below. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "version.h"

static int help(int count, char **words, cli_report *report);

static const struct {
    const char *name, *does;
    int (*run)(int count, char **words, cli_report *report);
} commands[] = {
    { "batch", "one JSON question a line in, one JSON answer a line out", cli_batch },
    { "check", "is each of these documents right", cli_check },
    { "help", "the options of a job", help },
};
enum { COMMANDS = sizeof commands / sizeof *commands };

static const char usage[] = "usage: aliquot COMMAND [SITE [NAME]] [--option VALUE]...\n"
                            "  aliquot mix --volume 60L --water-ec 0.3mS/cm --ec 1.5mS/cm --part '{...}'\n"
                            "  aliquot mist --bottle 500mL --rate 0.8mL/L\n"
                            "  aliquot plan site.yaml --days 7\n"
                            "aliquot help lists the commands, aliquot help mix the options of one\n";

static void list_commands(void)
{
    size_t count;
    const aq_job *const *jobs = aq_job_table(&count);

    for (size_t i = 0; i < count; i++)
        printf("  %-10s %s\n", jobs[i]->name, jobs[i]->does);
    for (size_t i = 0; i < COMMANDS; i++)
        printf("  %-10s %s\n", commands[i].name, commands[i].does);
}

static int help(int count, char **words, cli_report *report)
{
    char option[] = "--help", *asks[] = { option, NULL };
    const aq_job *job = count > 0 ? aq_job_find(words[0]) : NULL;

    if (job)
        return cli_job(job, 1, asks, report);
    fputs(usage, stdout);
    fputs("\n", stdout);
    list_commands();
    return fflush(stdout) == 0 ? CLI_MET : CLI_MACHINE_FAILED;
}

static int unknown_command(const char *name, cli_report *report)
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

static int run(int count, char **words, cli_report *report)
{
    const char *name = words[0];
    const aq_job *job = aq_job_find(name);

    if (strcmp(name, "--version") == 0)
        return puts("aliquot " ALIQUOT_VERSION) >= 0 ? CLI_MET : CLI_MACHINE_FAILED;
    if (strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0)
        return help(0, NULL, report);
    if (job) {
        report->command = name;
        return cli_job(job, count - 1, words + 1, report);
    }
    for (size_t i = 0; i < COMMANDS; i++) {
        if (strcmp(commands[i].name, name) != 0)
            continue;
        report->command = name;
        return commands[i].run(count - 1, words + 1, report);
    }
    return unknown_command(name, report);
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
        fputs(usage, stderr);
        code = CLI_ASKED_WRONGLY;
    } else {
        code = run(count - 1, words + 1, &report);
    }
    if (fflush(stdout) != 0 && code <= CLI_OTHER)
        code = CLI_MACHINE_FAILED;
    aq_arena_free(report.arena);
    return code;
}
