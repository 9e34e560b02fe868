/* Where the log lies, and what a sheet says for it. */
#ifndef CLI_LOG_FILE_H
#define CLI_LOG_FILE_H

#include "report.h"

/* `log` where it was given, else the site's path with .log for its ending: fernhollow.log for fernhollow.yaml. NULL:
 * neither was given, or memory is out. */
const char *cli_log_path(aq_arena *arena, const char *log, const char *site);

/* Adds to an entry, where the line said nothing itself, what a JSON sheet planned: tank, volume, heel, amounts, the EC of
 * the water by the checkpoint, the EC promised. */
aq_status cli_log_sheet(aq_entry *entry, const char *path, cli_report *report, aq_error *err);

/* The same from a sheet that was read already, without a claim that it was followed. False: out of memory. */
bool cli_log_plan(aq_entry *entry, const aq_node *sheet, aq_arena *arena);

/* What was planned counts as poured where the line does not say what was. False: out of memory. */
bool cli_log_as_planned(aq_entry *entry, aq_arena *arena);

/* What the site knows of the tank: its volume, its lot, its water and the EC of that; and every reading that was typed
 * corrected for temperature and the meter's last standard, with what the meter showed kept beside it. */
void cli_log_site(aq_entry *entry, const aq_site *site);

#endif
