/* The shape of the log's file, and how an older one becomes today's. Private to this room.
 *
 * PRAGMA application_id says that a file is ours, PRAGMA user_version how many of the steps it has seen. A step is never
 * changed once a log was written by it; a new shape is a new step. */
#ifndef AQ_STORE_SCHEMA_H
#define AQ_STORE_SCHEMA_H

#include <stddef.h>

enum { AQ_SCHEMA_APPLICATION = 0x616c7174 }; /* "alqt" */

/* The SQL of each step; step 0 makes an empty file version 1, and so on. */
extern const char *const aq_schema_steps[];
extern const int aq_schema_version; /* number of steps: today's user_version */

#endif
