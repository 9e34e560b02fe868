/* The events and orders of a calendar that was exported before: what a later export must cancel where it lacks them. */
#ifndef AQ_RENDER_FORMER_H
#define AQ_RENDER_FORMER_H

#include "base/buffer.h"
#include "base/date.h"

typedef struct {
    bool order;                           /* a VTODO */
    const char *uid, *summary, *location; /* as they stand there, escaped; "" where it has none */
    aq_moment at;                         /* when it starts, or is due; minute -1: the whole day */
    long sequence;
} aq_former;

typedef struct {
    aq_buffer text; /* one line after another, unfolded, each ended by a NUL */
    size_t at;
} aq_formers;

void aq_formers_open(aq_formers *formers, const char *calendar);

/* The next of them that this program wrote. False: no more. Its texts live until aq_formers_close. */
bool aq_formers_next(aq_formers *formers, aq_former *out);
void aq_formers_close(aq_formers *formers);

#endif
