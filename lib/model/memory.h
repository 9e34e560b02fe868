/* What the log knows that labels and marks do not, for the jobs of a site: a plain struct, so that no job needs the log. */
#ifndef AQ_MODEL_MEMORY_H
#define AQ_MODEL_MEMORY_H

#include "model/log_entry.h"
#include "model/site.h"

/* The slope of a part, or of a group (`part` is its first member then), in the litres of one tank's marks. */
typedef struct {
    const char *part;
    const char *reservoir; /* NULL: in any tank that has no line of its own */
    double slope;          /* mS/cm for 1 L/L or g/L of a part, for one share of a group */
    double relative;       /* standard uncertainty, as a share of it */
    size_t at;             /* number of the slope */
    const double *with;    /* relative covariance with slope 0, 1, ... in that tank; with[at] is relative^2 */
    size_t mixes;          /* that it was learned from */
    aq_date last;          /* day of the latest */
} aq_learned_slope;

typedef struct {
    const char *reservoir;
    aq_moment at; /* of the latest EC */
    aq_quantity ec;
    aq_moment changed;           /* of the latest change; year 0: none in the log */
    aq_moment topped;            /* of the latest top-up that was no correction; year 0: none */
    aq_moment misted;            /* of the latest mist from a bottle of that name; year 0: none in the log */
    aq_amounts poured;           /* since then, the change's own doses included: L or g */
    aq_quantity level, level_ec; /* the latest level that was read together with an EC, and that */
    aq_moment level_at;
    const char *stage; /* that it is mixed for today; NULL: none that is known */
} aq_tank_recalled;

/* What a reservoir drank between readings: in one stage, or in all of them together. */
typedef struct {
    const char *reservoir;
    const char *stage;                 /* NULL: in any stage that has no line of its own */
    aq_quantity uses;                  /* L/d */
    aq_quantity uptake;                /* mS/cm: salts taken per litre drunk */
    double uses_within, uptake_within; /* half of the interval that holds it with 95 % */
    size_t pairs;                      /* of readings, at least AQ_LEARNED_FROM */
    aq_date last;                      /* day of the latest */
} aq_drinking;

typedef struct {
    const char *part;
    aq_quantity left; /* by the stock-take, less what was poured since, with what came since: L or g */
    aq_date taken;    /* day of the stock-take */
} aq_stock_memory;

typedef struct {
    const char *source; /* the log's file, for sentences */
    AQ_LIST(aq_learned_slope) slopes;
    AQ_LIST(aq_tank_recalled) tanks;
    AQ_LIST(aq_drinking) drinking;
    aq_gates gates; /* answers of root checks */
    AQ_LIST(aq_stock_memory) stock;
} aq_memory;

/* How many mixes a slope, or pairs of readings a tank's drinking, must have been learned from before it takes the place
 * of the label's or the site's. */
enum { AQ_LEARNED_FROM = 3 };

#endif
