/* Rules that look beyond one mix: at the plants it goes to, and at what else one vessel meets the same day. */
#include <math.h>
#include <string.h>

#include "sheet/hazard.h"

static bool mist_too_strong(aq_sheet *sheet, double most)
{
    if (isnan(most) || !sheet->expect_ec.given || sheet->expect_ec.value <= most + 1e-9)
        return true;
    const char *is = aq_say_ec(sheet->arena, sheet->expect_ec.value), *may = aq_say_ec(sheet->arena, most);
    if (!is || !may)
        return false;
    const char *text = aq_arena_format(
        sheet->arena, "%s is above the ceiling of %s for these leaves: it can scorch them.", is, may);
    if (!text || !aq_hazard_rule(sheet, "mist-strong", text, true))
        return false;
    aq_sheet_refuse(sheet);
    return true;
}

static bool step_too_large(aq_sheet *sheet, const aq_bearing *bearing)
{
    double change = sheet->expect_ec.value - bearing->ec_was;
    if (!sheet->expect_ec.given || isnan(change) || isnan(bearing->ec_step) ||
        fabs(change) <= bearing->ec_step + 1e-9)
        return true;
    const char *by = aq_say_ec(sheet->arena, fabs(change)), *most = aq_say_ec(sheet->arena, bearing->ec_step);
    return by && most &&
           aq_sheet_caution(sheet,
                            "EC %s by %s at once, more than the %s that these plants take: go in steps.",
                            change > 0 ? "rises" : "falls", by, most);
}

aq_status aq_caution_plants(aq_sheet *sheet, const aq_bearing *bearing, aq_error *err)
{
    bool said = mist_too_strong(sheet, bearing->mist_most) && step_too_large(sheet, bearing);
    if (said && bearing->feeds_roots)
        said = aq_sheet_caution(sheet, "Never feed onto a dry medium: wet it with plain water first.");
    if (said && bearing->unrooted)
        said = aq_sheet_caution(
            sheet, "These cuttings have no roots yet by the calendar: look before you feed them.");
    if (!said)
        return aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory while working out the hazards");
    aq_sheet_defer(sheet);
    return AQ_OK;
}

static const char *vessel_of(const aq_sheet *job)
{
    return job->reservoir ? job->reservoir : job->lot;
}

static bool same_vessel_and_day(const aq_sheet *a, const aq_sheet *b)
{
    const char *one = vessel_of(a), *other = vessel_of(b);
    return one && other && strcmp(one, other) == 0 && aq_date_compare(a->at.date, b->at.date) == 0;
}

static bool rinsed_after_pouring(const aq_sheet *job)
{
    for (size_t i = job->rows.count; i > 0; i--) {
        const aq_row *row = &job->rows.at[i - 1];
        if (row->what == AQ_DO_RINSE)
            return true;
        if (aq_row_pours(row))
            return false;
    }
    return false;
}

static bool rinsed_before_pouring(const aq_sheet *job)
{
    for (size_t i = 0; i < job->rows.count && !aq_row_pours(&job->rows.at[i]); i++)
        if (job->rows.at[i].what == AQ_DO_RINSE)
            return true;
    return false;
}

static bool chlorine_between(const aq_sheet *first, const aq_sheet *second)
{
    return ((first->classes & AQ_ACID) && (second->classes & AQ_HYPOCHLORITE)) ||
           ((first->classes & AQ_HYPOCHLORITE) && (second->classes & AQ_ACID));
}

/* The jobs from `first` up to `second` on one vessel, in their order: a rinse anywhere between clears it. */
static bool rinse_between(const aq_sheets *jobs, size_t first, size_t second)
{
    if (rinsed_after_pouring(jobs->at[first]) || rinsed_before_pouring(jobs->at[second]))
        return true;
    for (size_t i = first + 1; i < second; i++) {
        const aq_sheet *job = jobs->at[i];
        for (size_t r = 0; same_vessel_and_day(job, jobs->at[first]) && r < job->rows.count; r++)
            if (job->rows.at[r].what == AQ_DO_RINSE)
                return true;
    }
    return false;
}

static bool refuse_later(aq_sheet *plan, aq_sheet *later)
{
    static const char text[] =
        "Acid and hypochlorite on one vessel the same day, with no rinse between: chlorine gas.";
    if (!aq_hazard_rule(later, "chlorine-day", text, true) ||
        !aq_hazard_rule(plan, "chlorine-day", text, true))
        return false;
    aq_sheet_refuse(later);
    plan->outcome = AQ_REFUSED;
    aq_sheet_defer(later);
    return true;
}

aq_status aq_caution_day(aq_sheet *plan, aq_error *err)
{
    aq_sheets *jobs = &plan->jobs;
    for (size_t j = 0; j < jobs->count; j++) {
        plan->classes |= jobs->at[j]->classes;
        if (jobs->at[j]->defers)
            plan->defers = jobs->at[j]->defers;
        /* jobs are in the order of the day, so those of one date stand together */
        for (size_t i = j; i > 0 && aq_date_compare(jobs->at[i - 1]->at.date, jobs->at[j]->at.date) == 0; i--)
            if (same_vessel_and_day(jobs->at[i - 1], jobs->at[j]) &&
                chlorine_between(jobs->at[i - 1], jobs->at[j]) && !rinse_between(jobs, i - 1, j) &&
                !refuse_later(plan, jobs->at[j]))
                return aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 },
                               "out of memory while working out the hazards");
    }
    aq_sheet_defer(plan);
    return AQ_OK;
}
