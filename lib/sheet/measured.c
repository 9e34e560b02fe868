/* From a portion to rows. */
#include "sheet/measured.h"

#include "base/decimal.h"

#include <math.h>

enum { FILLS_MOST = 99 }; /* a dose of more fills is not poured by this tool; no list of them would help */

static aq_amount marked(aq_amount amount)
{
    amount.value = aq_decimal_round(amount.value, 12);
    return amount;
}

aq_amount aq_amount_measured(double amount, bool weighs)
{
    return marked(weighs ? aq_amount_mass(amount, false) : aq_amount_volume(amount, false));
}

double aq_amount_base(aq_amount amount)
{
    aq_measure measure;

    if (aq_measure_read(&measure, amount.unit, NULL, NULL) != AQ_OK ||
        !(aq_kind_equal(measure.kind, AQ_KIND_VOLUME) || aq_kind_equal(measure.kind, AQ_KIND_MASS)))
        return NAN;
    return amount.value * measure.factor;
}

/* Fills of the tool in the unit of the row's amount, the full ones first. */
static bool add_fills(aq_sheet *sheet, aq_row *row, const aq_portion *portion)
{
    double unit = row->amount.unit[0] == 'm' ? 1000 : 1; /* a tool counts in L or g, the row perhaps in mL */
    aq_fills fills;

    if (!portion->tool)
        return true;
    row->with = portion->tool->name;
    fills = aq_tool_fills(portion->tool, portion->amount);
    for (size_t i = 0; fills.full <= FILLS_MOST && i < fills.full + (fills.rest > 0); i++) {
        double *piece = aq_list_add(sheet->arena, &row->pieces, sizeof *piece);

        if (!piece)
            return false;
        *piece = aq_decimal_round((i < fills.full ? portion->tool->holds : fills.rest) * unit, 12);
    }
    return true;
}

static bool add_predilution(aq_sheet *sheet, const char *part, const aq_portion *portion)
{
    aq_row *row = aq_sheet_row(sheet, AQ_DO_PREDILUTE);

    if (!row)
        return false;
    row->part = part;
    row->amount = aq_amount_measured(portion->pre_amount, portion->weighs);
    row->make = aq_amount_measured(portion->pre_make, false);
    row->note = "throw the rest away today";
    return true;
}

aq_row *aq_sheet_measure(aq_sheet *sheet, const char *part, const aq_portion *portion)
{
    bool weighs = portion->weighs && !portion->prediluted;
    aq_row *row;

    if (portion->prediluted && !add_predilution(sheet, part, portion))
        return NULL;
    row = aq_sheet_row(sheet, weighs ? AQ_DO_WEIGH : AQ_DO_POUR);
    if (!row)
        return NULL;
    row->part = part;
    if (portion->prediluted) {
        row->exact = aq_amount_of(portion->exact / portion->pre_amount * portion->pre_make * 1000, "mL");
        row->amount = marked(aq_amount_of(portion->amount * 1000, "mL"));
        row->concentrate =
            portion->weighs ? aq_amount_mass(portion->exact, false) : aq_amount_volume(portion->exact, false);
    } else {
        row->exact = weighs ? aq_amount_mass(portion->exact, false) : aq_amount_volume(portion->exact, false);
        row->amount = aq_amount_measured(portion->amount, weighs);
    }
    return add_fills(sheet, row, portion) ? row : NULL;
}
