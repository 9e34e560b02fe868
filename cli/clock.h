/* Today: the one place that reads the clock. */
#ifndef CLI_CLOCK_H
#define CLI_CLOCK_H

#include "aliquot.h"

/* The local date and minute; that of SOURCE_DATE_EPOCH, in UTC, where it is set, so that a sheet can be made again. */
aq_moment cli_today(void);

/* The same instant in UTC, for the stamp of a calendar. */
aq_moment cli_now_utc(void);

#endif
