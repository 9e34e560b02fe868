/* An entry of the log in one line, for people. What users typed is made harmless for a terminal. */
#ifndef CLI_LOG_SAY_H
#define CLI_LOG_SAY_H

#include "aliquot.h"

/* "mix, Trays, 12 L: 30 mL Part A, 30 mL Part B; EC 0.32 to 1.58; pH 5.8; Nell" */
void cli_say_entry(aq_buffer *out, aq_arena *arena, const aq_entry *entry);

void cli_say_quantity(aq_buffer *out, aq_arena *arena, aq_quantity quantity); /* "30 mL" */
void cli_say_number(aq_buffer *out, const char *before, double value, int places, const char *after);

#endif
