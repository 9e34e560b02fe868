/* What the program can be told to do. Each takes the words after its name and gives the exit code. */
#ifndef CLI_COMMANDS_H
#define CLI_COMMANDS_H

#include "report.h"

int cli_job(const aq_job *job, int count, char **words, cli_report *report);
int cli_check(int count, char **words, cli_report *report);
int cli_batch(int count, char **words, cli_report *report);
int cli_completion(int count, char **words, cli_report *report);
int cli_help(int count, char **words, cli_report *report);
int cli_new(int count, char **words, cli_report *report);
int cli_schema(int count, char **words, cli_report *report);
int cli_log(int count, char **words, cli_report *report);

/* The commands that are not jobs. Their rows make the help, the completions and the manual, as those of jobs do. */
typedef struct {
    const char *name, *does;
    int (*run)(int count, char **words, cli_report *report);
    const char *usage;        /* what stands after the name */
    const char *says;         /* a paragraph for help and manual */
    const char *example;      /* a whole command line; NULL: the usage says it all */
    const char *const *words; /* what the first word may be, NULL-ended; NULL: see the next two */
    bool jobs;                /* or the name of a job */
    bool files;               /* words are files */
    const aq_shape *asks;     /* options; NULL: it has none */
} cli_command;
const cli_command *cli_command_table(size_t *count);
const cli_command *cli_command_find(const char *name); /* NULL: none of that name */

/* Says that there is no such command, and names the nearest. */
int cli_command_unknown(const char *name, cli_report *report);

/* Prints the whole of the buffer on standard output, frees it, and gives the exit code. */
int cli_command_print(aq_buffer *text, cli_report *report);

/* Five lines for who types nothing else. */
extern const char cli_usage[];

/* `aliquot help NAME` on standard output: of a job, or of a command of the table. */
int cli_help_of(const char *name, cli_report *report);

/* What a word may be, for the table. */
extern const char *const cli_log_words[], *const cli_schema_words[], *const cli_completion_words[],
                                                                         *const cli_new_words[];
extern const aq_shape cli_new_shape;

/* Reads a site, or a recipe, for the command that was given it. The loader of cli_job, for others too. */
typedef struct {
    cli_report *report;
    bool outside; /* recipes may lie outside the folder of the site that names them */
} cli_loader;
aq_status cli_load(void *from, const char *document, const char *path, aq_arena *arena, aq_file *out,
                   aq_error *err);

/* A site by its path, into the report's arena; complaints are the document's. */
aq_status cli_site_read(aq_site **out, const char *path, cli_report *report, aq_complaints *complaints);

/* The names of a kind in that site, on standard output: "name", "stage", "water", "reservoir" or "lot". */
int cli_site_names(const char *kind, const char *path, cli_report *report);
bool cli_site_has_names(const char *kind);

#endif
