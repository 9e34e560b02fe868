/* The order is that of the trouble it takes: a layered tank and a dirty probe are more frequent than a wrong mix (common
 * practice, no source). */
#include "job/ladder.h"

static const struct {
    aq_ladder_step step;
    const char *words;
} steps[] = {
    { AQ_STEP_CIRCULATE, "circulate 10 to 15 min, read in two places: layers form" },
    { AQ_STEP_PROBE, "rinse the probe; check unit, scale and temperature" },
    { AQ_STEP_STANDARD, "read a fresh standard" },
    { AQ_STEP_TANK, "check the tank's volume, and that every part went in" },
    { AQ_STEP_HALF, "correct half the gap, read again, then the rest" },
    { AQ_STEP_LOG, "write the reading down: the log learns from it" },
    { AQ_STEP_STRONG, "too strong at any point: stop feeding, hold the pump if roots are bare, dilute" },
};

const char *const aq_ladder_half_said = "half the gap; circulate, read again";

bool aq_say_ladder(aq_sheet *sheet, unsigned which)
{
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if ((which & steps[i].step) && !aq_sheet_next(sheet, "%s", steps[i].words))
            return false;
    return true;
}
