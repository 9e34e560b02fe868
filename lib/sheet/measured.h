/* A dose that the tools have measured, as rows: the pre-dilution where there is one, then the pour or the weighing. */
#ifndef AQ_SHEET_MEASURED_H
#define AQ_SHEET_MEASURED_H

#include "sheet/portion.h"
#include "sheet/sheet.h"

/* A volume (L) or a mass (g) of what is measured out, as it is said at the bench; a mark is 0.62 mL, never
 * 0.6200000000000001. */
AQ_API aq_amount aq_amount_measured(double amount, bool weighs);

/* L, or g, whatever unit the amount is shown in; NaN for what is neither. */
AQ_API double aq_amount_base(aq_amount amount);

/* Adds the rows and returns the last, NULL when memory is out. Of a pre-dilution the row's `exact` and `amount` are mL
 * drawn of it, and `concentrate` is the product in them. */
AQ_API aq_row *aq_sheet_measure(aq_sheet *sheet, const char *part, const aq_portion *portion);

#endif
