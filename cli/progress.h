/* A line on standard error for work of more than a second, on a terminal only: "import: 1200 KiB, 3 s". It is wiped away
 * when the work ends. A clock writes it each second, for what takes long may be one call of the library. */
#ifndef CLI_PROGRESS_H
#define CLI_PROGRESS_H

#include <stddef.h>

/* `before` and `after` stand around the number, "import: " and " KiB", and stay until the end; `after` NULL: nothing is
 * counted. One at a time. */
void cli_progress_begin(const char *before, const char *after);
void cli_progress_count(size_t done);
void cli_progress_end(void);

#endif
