/* Several bottles of the same. Each is dosed by itself, so what one takes has to land on marks; the sheet says what all
 * take together as well.
 *
 * Example: three bottles of 500 mL at 0.8 mL/L take 1.2 mL, 0.4 mL each. */
#include "job/bottles.h"

#include <math.h>
#include <string.h>

static void multiply(aq_amount *amount, double times)
{
    amount->value = aq_decimal_round(amount->value * times, 12);
}

/* How often the pre-dilution of that part is made, so that every bottle gets its draw. */
static double makes_of(const aq_feed *feed, const char *part)
{
    for (size_t i = 0; i < feed->dosing.count; i++) {
        const aq_portion *portion = &feed->portions[i];

        if (portion->prediluted && strcmp(feed->dosing.at[i].name, part) == 0)
            return ceil(portion->amount * feed->tanks / portion->pre_make - 1e-9);
    }
    return 1;
}

/* The fills of one bottle, once for each. */
static bool repeat_pieces(const aq_feed *feed, aq_row *row)
{
    size_t count = row->pieces.count;

    if (count * (size_t)feed->tanks > 99) { /* no list would help */
        memset(&row->pieces, 0, sizeof row->pieces);
        return true;
    }
    for (size_t i = count; i < count * (size_t)feed->tanks; i++) {
        double *piece = aq_list_add(feed->arena, &row->pieces, sizeof *piece);

        if (!piece)
            return false;
        *piece = row->pieces.at[i - count];
    }
    return true;
}

bool aq_bottles_share(aq_sheet *sheet, const aq_feed *feed)
{
    for (size_t i = 0; feed->tanks > 1 && i < sheet->rows.count; i++) {
        aq_row *row = &sheet->rows.at[i];

        if (row->what == AQ_DO_PREDILUTE) {
            double times = makes_of(feed, row->part);

            multiply(&row->amount, times);
            multiply(&row->make, times);
        }
        if (row->what != AQ_DO_POUR && row->what != AQ_DO_WEIGH)
            continue;
        row->each = row->amount;
        multiply(&row->amount, feed->tanks);
        multiply(&row->exact, feed->tanks);
        multiply(&row->concentrate, feed->tanks);
        if (!repeat_pieces(feed, row))
            return false;
    }
    return true;
}
