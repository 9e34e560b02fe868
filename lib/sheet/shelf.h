/* What stands on the shelf against what the coming jobs will take: the first that cannot be made, how to stretch what
 * is left, what to order and by when, what it costs. */
#ifndef AQ_SHEET_SHELF_H
#define AQ_SHEET_SHELF_H

#include "model/site.h"
#include "sheet/sheet.h"

/* One job's need of one thing, L or g. Water is needed under its name; it counts for the cost of a litre only. */
typedef struct {
    aq_moment at;
    const char *what;
    double amount;
    bool weighs, water;
} aq_need;
typedef AQ_LIST(aq_need) aq_need_list;

typedef struct {
    aq_date from;
    long days;   /* span that the needs cover: a rate of use is needed / days */
    double each; /* of one change, L, or g where each_weighs; NaN: not asked */
    bool each_weighs;
    double ec, water_ec;  /* of the feed and its water, for what a thinner one reads; NaN: not known */
    const char *currency; /* a label only, NULL: none given */
} aq_shelf_manner;

/* Sorts `needs` by time and adds a record for each supply to sheet->supplies, the total cost to the figures, a short
 * for each supply that does not last (outcome AQ_NEAREST), and what to do about it.
 *
 *     runs_out   the first job that cannot be made whole       share      what is left for it, of what it needs
 *     short      needed - left                                 even_share left / needed: all jobs evenly thin
 *     order_by   runs_out less the lead, at least a day before packs      whole packs that cover the short
 *     lasts      left / (needed / days)                        cost       needed x price / pack
 *
 * A thinner feed reads water_ec + (ec - water_ec) x share. A supply of which nobody says what is left does not run short
 * here, which is assumed aloud. Each part stands on the shelf once. AQ_MISSING: a pack whose price is not given, or a
 * price whose pack is not; a density, where weight meets volume: what is left, what one change or a job takes, a pack. */
AQ_API aq_status aq_shelf_reckon(aq_sheet *sheet, const aq_supplies *supplies, aq_need_list *needs,
                                 const aq_shelf_manner *manner, aq_error *err);

/* Assumes aloud that the cost leaves out `what`, for want of a price; false: no memory. */
bool aq_shelf_unpriced(aq_sheet *sheet, const char *what);

#endif
