/* Complaints on standard error: where, what, and the line with a caret under it. */
#ifndef CLI_REPORT_H
#define CLI_REPORT_H

#include "aliquot.h"

/* 0 answered as asked; 1 answered, but not as asked; 2 asked wrongly; 3 the machine failed. */
enum { CLI_MET = 0, CLI_OTHER = 1, CLI_ASKED_WRONGLY = 2, CLI_MACHINE_FAILED = 3 };

/* The texts that places point into: files as they were read, options as they were typed. A source's name is compared
 * by its address first, for two options may have one name. */
typedef struct {
    aq_arena *arena;
    const char *command; /* "mix", for complaints without a place */
    AQ_LIST(aq_file) sources;
    bool colour;
} cli_report;

/* Remembers a text. Nothing is lost but a caret when memory is out. */
void cli_report_source(cli_report *report, const char *name, const char *text, size_t length);

void cli_report_error(const cli_report *report, const aq_error *err);
void cli_report_all(const cli_report *report, const aq_complaints *complaints);

/* A complaint with no place of its own. */
void cli_report_say(const cli_report *report, const char *format, ...) AQ_PRINTF(2, 3);

int cli_exit_of(aq_status status);
int cli_exit_of_outcome(aq_outcome outcome);

#endif
