/* The log, where there is one, for the jobs of a site; and `aliquot learn` from it. */
#ifndef CLI_MEMORY_H
#define CLI_MEMORY_H

#include "options.h"

/* What the log of the line knows: NULL where there is none. A log that cannot be read is complained about, and the job goes
 * on without it. */
const aq_memory *cli_memory(const cli_line *line, const aq_setting *setting, cli_report *report);

/* Whether the line asks to learn from the log, not from one addition. */
bool cli_learns(const cli_line *line);

aq_status cli_learn(aq_sheet **out, const cli_line *line, const aq_setting *setting, cli_report *report,
                    aq_complaints *complaints);

#endif
