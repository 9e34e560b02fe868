/* Tools and their marks. */
#include "measure/graduation.h"

#include <math.h>

static const double on_mark = 1e-9; /* of a mark: an amount this near to a mark is on it */

/* How often the tool is filled for `amount`. */
static double fills_of(const aq_tool *tool, double amount)
{
    return ceil(amount / tool->holds - on_mark);
}

static bool fine_enough(const aq_tool *tool, double amount)
{
    return amount >= AQ_MARKS_LEAST * tool->marks * (1 - on_mark);
}

/* Whether `tool` serves `amount` better than `best` does. */
static bool serves_better(const aq_tool *tool, const aq_tool *best, double amount)
{
    bool fine = fine_enough(tool, amount), fine_best = fine_enough(best, amount);

    if (fine != fine_best)
        return fine;
    if (!fine)
        return tool->marks < best->marks;
    if (fills_of(tool, amount) < fills_of(best, amount))
        return true;
    return !(fills_of(tool, amount) > fills_of(best, amount)) && tool->marks < best->marks;
}

const aq_tool *aq_bench_choose(const aq_bench *bench, double amount, bool weighs)
{
    const aq_tool *best = NULL;

    for (size_t i = 0; bench && i < bench->count; i++) {
        const aq_tool *tool = &bench->at[i];

        if (tool->weighs == weighs && (!best || serves_better(tool, best, amount)))
            best = tool;
    }
    return best;
}

const aq_tool *aq_bench_finest(const aq_bench *bench, bool weighs)
{
    const aq_tool *best = NULL;

    for (size_t i = 0; bench && i < bench->count; i++)
        if (bench->at[i].weighs == weighs && (!best || bench->at[i].marks < best->marks))
            best = &bench->at[i];
    return best;
}

double aq_tool_below(const aq_tool *tool, double amount)
{
    return floor(amount / tool->marks + on_mark) * tool->marks;
}

double aq_tool_above(const aq_tool *tool, double amount)
{
    return ceil(amount / tool->marks - on_mark) * tool->marks;
}

aq_fills aq_tool_fills(const aq_tool *tool, double amount)
{
    double full = floor(amount / tool->holds + on_mark);
    double rest = amount - full * tool->holds;

    return (aq_fills){ (size_t)full, rest > on_mark * tool->marks ? rest : 0 };
}
