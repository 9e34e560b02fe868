/* The starter documents of cli/starter, as lines; NULL-ended. */
#ifndef CLI_STARTER_H
#define CLI_STARTER_H

#include <stddef.h>

extern const char *const cli_starter_feed[], *const cli_starter_site[];

#endif
