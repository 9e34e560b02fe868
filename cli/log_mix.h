/* `aliquot log mix`: what the site plans for a tank today, as the beginning of an entry. */
#ifndef CLI_LOG_MIX_H
#define CLI_LOG_MIX_H

#include "options.h"

typedef struct {
    cli_report *report;
    aq_complaints *complaints;
    cli_line *line; /* of the log; where it names no tank, the one that is planned is put there */
    const aq_site *site;
    aq_log_line *says; /* what the options said; the rest of the entry is added */
} cli_log_mixing;

/* Adds what the sheet of the tank planned: that of today's plan, else of a change, else of the file that --sheet names.
 * On a terminal each thing that no option said is asked for, and Enter leaves it as it was planned; elsewhere the
 * options have to say how it went. The log itself is not touched: who ends the questions early has written nothing. */
aq_status cli_log_mix(cli_log_mixing *mixing);

#endif
