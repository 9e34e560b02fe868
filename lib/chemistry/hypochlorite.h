/* Bleach on the shelf: what is left of its strength after some time. */
#ifndef AQ_CHEMISTRY_HYPOCHLORITE_H
#define AQ_CHEMISTRY_HYPOCHLORITE_H

#include "base/error.h"

/* The strongest that is sold, and the warmest shelf and longest time that are reckoned with. */
#define AQ_HYPOCHLORITE_MOST 250.0    /* g/L of sodium hypochlorite */
#define AQ_HYPOCHLORITE_WARMEST 60.0  /* degC */
#define AQ_HYPOCHLORITE_OLDEST 3652.0 /* d: ten years */

/* *left: g/L of sodium hypochlorite that `fresh` g/L have become after `days` at `celsius`, shut, in the dark, clean
 * and as alkaline as it is sold. Light, metals and neutral water take more: it is the most that can be left, not the
 * least. False, and 0, where fresh is not above 0 or above AQ_HYPOCHLORITE_MOST, days not 0 to AQ_HYPOCHLORITE_OLDEST
 * or celsius not 0 to AQ_HYPOCHLORITE_WARMEST. */
AQ_API bool aq_hypochlorite_aged(double *left, double fresh, double days, double celsius);

#endif
