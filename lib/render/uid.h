/* The name of an event: the same whenever the same job of a site is exported. */
#ifndef AQ_RENDER_UID_H
#define AQ_RENDER_UID_H

#include "base/buffer.h"
#include "base/date.h"

/* Adds 32 hexadecimal digits and "@aliquot". `site` and `of`, the tank or the part, may be NULL; `nth` counts from 0 what
 * is of that kind, tank and day. */
void aq_uid_add(aq_buffer *out, const char *site, const char *kind, const char *of, aq_date date, int nth);

#endif
