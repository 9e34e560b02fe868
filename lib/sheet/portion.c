/* Marks, pre-dilutions, and the choice between the mark below and the mark above.
 *
 * Example: 0.0625 mL with a 1 mL syringe marked every 0.02 mL is three marks, so 1 mL is made up to 10 mL and 0.625 mL
 * of that is wanted; the marks beside it are 0.62 and 0.64, and 0.62 reaches 0.062 mL. */
#include "sheet/portion.h"

#include "base/decimal.h"

#include <math.h>

/* A slip of ratio counts ten times a slip of strength: parts that share a dose equally then stay equal on the marks in
 * groups of up to ten, which takes at least the number of members. */
static const double ratio_counts = 10;

/* Up to this many portions with two marks to choose from, all combinations are tried; 2^10 take 0.1 ms. */
enum { TRIED_MOST = 10 };

static const double one_millilitre = 0.001, one_gram = 1;

/* How much of the measured liquid or solid there is per unit of product. */
static double scale(const aq_portion *p)
{
    return p->prediluted ? p->pre_make / p->pre_amount : 1;
}

static void measure_out(aq_portion *p, double amount)
{
    p->amount = amount;
    p->reaches = amount / scale(p);
}

static bool within_top(const aq_portion *p, double amount)
{
    return amount / scale(p) <= p->top + 1e-12;
}

/* Nothing on the bench measures it: three figures, the last one down where the label's top is nearer than that. They
 * are for the eye: what the tank gets is not known better than as exact, so nothing is reckoned from them. */
static void without_tool(aq_portion *p)
{
    double amount = aq_decimal_round(p->exact, 3);

    p->tool = NULL;
    if (!within_top(p, amount))
        amount = aq_decimal_round(amount - pow(10, floor(log10(amount)) - 2), 3);
    p->amount = amount;
    p->reaches = p->exact;
}

static void find_marks(aq_portion *p)
{
    double wanted = p->exact * scale(p);

    p->below = aq_tool_below(p->tool, wanted);
    p->above = aq_tool_above(p->tool, wanted);
    /* A dose of less than one mark is poured as one mark: that is too much, but nothing at all is worse to hide. */
    if (p->below <= 0)
        p->below = p->above;
    if (!within_top(p, p->above))
        p->above = p->below;
}

/* What goes into a pre-dilution with the tool `in`. */
static double starting_amount(const aq_tool *in)
{
    double wanted = aq_tool_above(in, in->weighs ? one_gram : one_millilitre);

    return fmin(fmax(wanted, AQ_MARKS_LEAST * in->marks), in->holds);
}

/* The steps are common practice, no source. A solid starts at 50 g/L, which nearly every feed salt allows when cold;
 * boric acid does not, and goes on to 20 g/L. */
static void predilute(aq_portion *p, const aq_tool *in, const aq_tool *draws)
{
    static const double step[] = { 10, 20, 50 };
    double per_unit = p->weighs ? one_millilitre / one_gram : 1;
    size_t i = p->weighs ? 1 : 0;

    while (p->exact * step[i % 3] * per_unit < AQ_MARKS_LEAST * draws->marks * (1 - 1e-9) ||
           (p->weighs && p->dissolves > 0 && step[i % 3] * per_unit * p->dissolves < 1)) {
        i++;
        if (i % 3 == 0)
            per_unit *= 10;
    }
    p->prediluted = true;
    p->pre_amount = starting_amount(in);
    p->pre_make = p->pre_amount * step[i % 3] * per_unit;
}

static void choose_tool(aq_portion *p, const aq_bench *bench)
{
    const aq_tool *finest = aq_bench_finest(bench, p->weighs), *draws = aq_bench_finest(bench, false);

    p->prediluted = false;
    p->pre_amount = p->pre_make = p->below = p->above = 0;
    p->tool = aq_bench_choose(bench, p->exact, p->weighs);
    if (!p->tool || p->exact <= 0)
        return;
    if (draws && p->exact < AQ_MARKS_LEAST * finest->marks * (1 - 1e-9)) {
        predilute(p, finest, draws);
        p->tool = aq_bench_choose(bench, p->exact * scale(p), false);
    }
    find_marks(p);
    if (!within_top(p, p->below)) {
        p->tool = NULL;
        p->prediluted = false;
    }
}

static size_t aims(const aq_portion *p)
{
    return p->effects ? p->aims : 1;
}

static double effect(const aq_portion *p, size_t aim)
{
    return p->effects ? p->effects[aim] : p->effect;
}

/* What the whole dose does, over all aims. */
static double weight(const aq_portion *p)
{
    double sum = 0;

    if (!p->effects)
        return p->effect * p->exact;
    for (size_t i = 0; i < aims(p); i++)
        sum += effect(p, i) * effect(p, i);
    return sqrt(sum) * p->exact;
}

static double slip(const aq_portion *p)
{
    return p->exact > 0 ? p->reaches / p->exact - 1 : 0;
}

static bool effects_known(const aq_portion *p, size_t count)
{
    for (size_t j = 0; j < count; j++)
        if (p[j].exact > 0 && !(weight(&p[j]) > 0))
            return false;
    return true;
}

/* The miss of each aim, squared and summed. */
static double aims_missed(const aq_portion *p, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < aims(p); i++) {
        double miss = 0;

        for (size_t j = 0; j < count; j++)
            miss += effect(&p[j], i) * (p[j].reaches - p[j].exact);
        sum += miss * miss;
    }
    return sum;
}

/* The group that begins at p[0]: its own slip of strength, and how far each member slips from the others. */
static double group_misfit(const aq_portion *p, size_t count, bool known)
{
    double whole = 0, slipped = 0, spread = 0;

    for (size_t j = 0; j < count; j++)
        if (p[j].group == p->group) {
            double w = known ? weight(&p[j]) : 1;

            whole += w;
            slipped += w * slip(&p[j]);
        }
    for (size_t j = 0; j < count; j++)
        if (p[j].group == p->group && p[j].exact > 0) {
            double apart = (known ? weight(&p[j]) : 1) * (slip(&p[j]) - slipped / whole);

            spread += apart * apart;
        }
    return slipped * slipped + ratio_counts * spread;
}

static bool begins_group(const aq_portion *portions, size_t j)
{
    for (size_t i = 0; i < j; i++)
        if (portions[i].group == portions[j].group)
            return false;
    return true;
}

static double misfit(const aq_portion *portions, size_t count, bool known)
{
    double sum = known ? aims_missed(portions, count) : 0;

    for (size_t j = 0; j < count; j++) {
        double own = portions[j].group < 0 ? (known ? weight(&portions[j]) : 1) * slip(&portions[j]) : 0;

        if (portions[j].group < 0)
            sum += own * own;
        else if (begins_group(portions, j))
            sum += group_misfit(&portions[j], count - j, known);
    }
    return sum;
}

static bool has_choice(const aq_portion *p)
{
    return p->tool && p->above > p->below;
}

/* Portions with a choice take the marks that the bits of `above` say, the first one the lowest bit. */
static void take_marks(aq_portion *portions, size_t count, unsigned above)
{
    for (size_t j = 0; j < count; j++)
        if (has_choice(&portions[j])) {
            measure_out(&portions[j], above & 1 ? portions[j].above : portions[j].below);
            above >>= 1;
        }
}

/* Fewer marks win a tie, so a better fit has to be better by more than the noise of the sums. */
static bool fits_better(double now, double best)
{
    return now < best * (1 - 1e-9) - 1e-300;
}

static void try_all(aq_portion *portions, size_t count, size_t choices, bool known)
{
    unsigned best = 0;
    double least = INFINITY;

    for (unsigned above = 0; above < 1u << choices; above++) {
        double now;

        take_marks(portions, count, above);
        now = misfit(portions, count, known);
        if (fits_better(now, least)) {
            least = now;
            best = above;
        }
    }
    take_marks(portions, count, best);
}

/* Too many to try them all: from the marks below, one portion at a time, while any step fits better. */
static void descend(aq_portion *portions, size_t count, bool known)
{
    double least = misfit(portions, count, known);
    bool moved = true;

    while (moved) {
        moved = false;
        for (size_t j = 0; j < count; j++) {
            double before = portions[j].amount, now;

            if (!has_choice(&portions[j]))
                continue;
            measure_out(&portions[j], before > portions[j].below ? portions[j].below : portions[j].above);
            now = misfit(portions, count, known);
            if (fits_better(now, least)) {
                least = now;
                moved = true;
            } else {
                measure_out(&portions[j], before);
            }
        }
    }
}

static void to_marks(aq_portion *portions, size_t count)
{
    bool known = effects_known(portions, count);
    size_t choices = 0;

    for (size_t j = 0; j < count; j++) {
        if (portions[j].tool)
            measure_out(&portions[j], portions[j].below);
        else
            without_tool(&portions[j]);
        choices += has_choice(&portions[j]);
    }
    if (choices <= TRIED_MOST)
        try_all(portions, count, choices, known);
    else
        descend(portions, count, known);
}

static bool is_sound(const aq_portion *p)
{
    return isfinite(p->exact) && p->exact >= 0 && p->top >= 0;
}

aq_status aq_portions_round(aq_portion *portions, size_t count, const aq_bench *bench, aq_error *err)
{
    for (size_t j = 0; j < count; j++)
        if (!is_sound(&portions[j]))
            return aq_fail(err, AQ_INVALID, (aq_place){ 0 }, "a dose is negative or not a number");
    for (size_t j = 0; j < count; j++)
        choose_tool(&portions[j], bench);
    if (count > 0)
        to_marks(portions, count);
    return AQ_OK;
}
