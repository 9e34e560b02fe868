/* Choosing a tool, and the marks beside an amount.
 *
 * With a 10 mL syringe marked every 0.5 mL, 36.5 mL is on a mark and takes four fills: 10, 10, 10, 6.5. */
#include "measure/graduation.h"

#include <math.h>

#define ON_A_MARK 1e-9 /* of a mark, or of a fill: an amount this near is on it */

/* `count` marks. A mark that is one in a whole number (0.02 mL is one in 50000 of a litre) is divided, so that the
 * amount is the double nearest the figure that is printed. */
static double marks_of(const aq_tool *tool, double count)
{
    double parts = nearbyint(1 / tool->marks);

    if (tool->marks < 1 && fabs(1 / tool->marks - parts) <= 1e-15 * parts)
        return count / parts;
    return count * tool->marks;
}

double aq_tool_below(const aq_tool *tool, double amount)
{
    return marks_of(tool, floor(amount / tool->marks + ON_A_MARK));
}

double aq_tool_above(const aq_tool *tool, double amount)
{
    return marks_of(tool, ceil(amount / tool->marks - ON_A_MARK));
}

static double fills_of(const aq_tool *tool, double amount)
{
    return ceil(amount / tool->holds - ON_A_MARK);
}

static bool fine_enough(const aq_tool *tool, double amount)
{
    return amount >= AQ_MARKS_LEAST * tool->marks * (1 - ON_A_MARK);
}

/* A share of the amount; the header says how it is made up. */
static double goes_wrong(const aq_tool *tool, double amount)
{
    static const double each_more = 0.015;
    double fills = fmax(fills_of(tool, amount), 1);

    return sqrt(fills) * tool->marks / 2 / amount + (fills - 1) * each_more;
}

static bool better(const aq_tool *tool, const aq_tool *best, double amount)
{
    double now = goes_wrong(tool, amount), then = best ? goes_wrong(best, amount) : INFINITY;

    return !best || now < then * (1 - ON_A_MARK) ||
           (now <= then * (1 + ON_A_MARK) && tool->marks < best->marks);
}

const aq_tool *aq_bench_finest(const aq_bench *bench, bool weighs)
{
    const aq_tool *finest = NULL;

    for (size_t i = 0; bench && i < bench->count; i++)
        if (bench->at[i].weighs == weighs && (!finest || bench->at[i].marks < finest->marks))
            finest = &bench->at[i];
    return finest;
}

const aq_tool *aq_bench_choose(const aq_bench *bench, double amount, bool weighs)
{
    const aq_tool *best = NULL;

    for (size_t i = 0; bench && i < bench->count; i++) {
        const aq_tool *tool = &bench->at[i];

        if (tool->weighs == weighs && fine_enough(tool, amount) && better(tool, best, amount))
            best = tool;
    }
    return best ? best : aq_bench_finest(bench, weighs);
}

aq_fills aq_tool_fills(const aq_tool *tool, double amount)
{
    double full = floor(amount / tool->holds + ON_A_MARK);
    double rest = amount - full * tool->holds, mark = nearbyint(rest / tool->marks);

    if (!(amount > 0))
        return (aq_fills){ .full = 0 };
    if (fabs(rest / tool->marks - mark) <= 1e-6) /* the subtraction left its own rounding */
        rest = marks_of(tool, mark);
    return (aq_fills){ .full = (size_t)full, .rest = rest > ON_A_MARK * tool->marks ? rest : 0 };
}
