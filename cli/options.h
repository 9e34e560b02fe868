/* From words on a command line to a job's answers, by the job's own rows. */
#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include "report.h"

/* One line: what the job is asked, and what the program itself is told. */
typedef struct {
    const aq_job *job;
    aq_node *answers;           /* map of option to text, for aq_job_answer */
    const char *site, *subject; /* NULL: not given */
    const aq_renderer *renderer;
    const char *log;      /* file of the log; NULL: beside the site */
    const char *replaces; /* the calendar exported before; NULL: none */
    const char *output;   /* NULL: standard output */
    aq_manner manner;
    bool outside; /* a recipe may lie outside the folder of its site */
    bool help;
} cli_line;

/* Options of every job that are about the program: their rows, for help and completion. */
typedef struct {
    const char *key, *help, *example; /* example NULL: takes no value */
} cli_general;
const cli_general *cli_general_options(size_t *count);

/* Reads the words after the command. Every value becomes a node whose place is the option, and its text is remembered
 * by `report`. The texts are borrowed. Complaints name the nearest option to one that is unknown. */
aq_status cli_options_read(cli_line *out, const aq_job *job, int count, char **words, cli_report *report,
                           aq_complaints *complaints);

#endif
