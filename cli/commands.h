/* What the program can be told to do. Each takes the words after its name and gives the exit code. */
#ifndef CLI_COMMANDS_H
#define CLI_COMMANDS_H

#include "report.h"

int cli_job(const aq_job *job, int count, char **words, cli_report *report);
int cli_check(int count, char **words, cli_report *report);
int cli_batch(int count, char **words, cli_report *report);

/* Reads a site, or a recipe, for the command that was given it. The loader of cli_job, for others too. */
typedef struct {
    cli_report *report;
    bool outside; /* recipes may lie outside the folder of the site that names them */
} cli_loader;
aq_status cli_load(void *from, const char *document, const char *path, aq_arena *arena, aq_file *out,
                   aq_error *err);

/* A site by its path, into the report's arena; complaints are the document's. */
aq_status cli_site_read(aq_site **out, const char *path, cli_report *report, aq_complaints *complaints);

#endif
