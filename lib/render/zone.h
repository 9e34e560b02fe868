/* Time zones by name, as a calendar has to spell them out. */
#ifndef AQ_RENDER_ZONE_H
#define AQ_RENDER_ZONE_H

#include "base/buffer.h"

typedef enum { AQ_NO_SUMMER, AQ_EUROPE, AQ_NORTH_AMERICA, AQ_AUSTRALIA, AQ_NEW_ZEALAND } aq_summer;

typedef struct {
    const char *name; /* "Europe/Dublin" */
    int minutes;      /* east of UTC, in winter; summer time is one hour more */
    aq_summer summer;
} aq_zone;

const aq_zone *aq_zone_find(const char *name); /* NULL: not in the table */
const aq_zone *aq_zone_table(size_t *count);

/* BEGIN:VTIMEZONE to END:VTIMEZONE (RFC 5545, 3.6.5), lines ended by CRLF. */
void aq_zone_add(aq_buffer *out, const aq_zone *zone);

#endif
