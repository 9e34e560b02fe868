/* The table of slips. Each row says what would be read had it happened, how common it is, and what would decide. */
#include "job/slip.h"

#include <math.h>
#include <stdlib.h>

static const double gallons = 1.2009499; /* imperial over US, NIST SP 811 */
static const double oxide_of_p = 0.4364; /* P in P2O5, from CIAAW 2021 weights */
static const double cold = 16; /* degC of a cold tap where none was said: common practice, no source */
static const double coefficient = 0.02;    /* per degC of a meter that does not correct */
static const double explains_least = 1e-3; /* of the best: below it a slip is not worth a line */
enum { SLIPS_SHOWN = 6 };

/* What would be read, NaN where the slip cannot have happened. */
typedef double (*predicted)(const aq_slip_case *mixed);

static double dosed(const aq_slip_case *m, double times)
{
    return m->base + m->added * times;
}

static double as_read(const aq_slip_case *m)
{
    return m->reads;
}

static double larger_gallon(const aq_slip_case *m)
{
    return dosed(m, 1 / gallons);
}

static double smaller_gallon(const aq_slip_case *m)
{
    return dosed(m, gallons);
}

static double third(const aq_slip_case *m)
{
    return dosed(m, 1.0 / 3);
}

static double threefold(const aq_slip_case *m)
{
    return dosed(m, 3);
}

static double nothing(const aq_slip_case *m)
{
    return m->base;
}

static double twice(const aq_slip_case *m)
{
    return dosed(m, 2);
}

static double read_as_500(const aq_slip_case *m)
{
    return dosed(m, 1) * 700 / 500;
}

static double read_as_700(const aq_slip_case *m)
{
    return dosed(m, 1) * 500 / 700;
}

static double not_corrected(const aq_slip_case *m)
{
    double celsius = isnan(m->temperature) ? cold : m->temperature;

    return m->compensated ? NAN : dosed(m, 1) * (1 + coefficient * (celsius - 25));
}

static double heel_missing(const aq_slip_case *m)
{
    return m->heel > 0 && !isnan(m->water_ec) ? m->water_ec + m->added : NAN;
}

static double full_dose_on_heel(const aq_slip_case *m)
{
    return m->heel > 0
               ? NAN
               : dosed(m, 1) + 0.3 * m->added; /* a third of a tank left in, common practice, no source */
}

static double oxide_as_element(const aq_slip_case *m)
{
    return m->oxides ? dosed(m, oxide_of_p) : NAN;
}

static double element_as_oxide(const aq_slip_case *m)
{
    return m->oxides ? dosed(m, 1 / oxide_of_p) : NAN;
}

/* `width` is the slip's own standard deviation, as a share of what the doses add. */
static const struct {
    predicted reads;
    double prior, width;
    const char *because, *decides;
} slips[] = {
    { as_read, 0.30, 0.20, "the tank was not stirred through when it was read",
      "circulate 10 to 15 min, read in two places" },
    { as_read, 0.14, 0.12, "the tank holds another volume than its mark says",
      "fill it once by the bucket and count" },
    { as_read, 0.10, 0.08, "the meter or its probe is out", "read a fresh standard" },
    { as_read, 0.08, 0.08, "the part adds another EC than its label says",
      "mix 1 L by the label and read it" },
    { larger_gallon, 0.06, 0.03,
      "the tank was counted in US gallons but holds imperial ones, or the label means imperial ones",
      "look at the tank's plate and the label's country" },
    { smaller_gallon, 0.05, 0.03, "the tank was counted in imperial gallons but holds US ones",
      "look at the tank's plate and the label's country" },
    { read_as_700, 0.05, 0.03, "the meter counts ppm-500 and was read as ppm-700",
      "a 1413 uS/cm standard shows 707 on ppm-500" },
    { read_as_500, 0.05, 0.03, "the meter counts ppm-700 and was read as ppm-500",
      "a 1413 uS/cm standard shows 989 on ppm-700" },
    { not_corrected, 0.06, 0.06, "the water is cold and the meter does not correct to 25 degC",
      "warm half a glass of it: a reading that climbs is not corrected" },
    { third, 0.02, 0.03, "a teaspoon was used for a tablespoon", "look at the spoon" },
    { threefold, 0.03, 0.05, "a tablespoon was used for a teaspoon", "look at the spoon" },
    { nothing, 0.03, 0.04, "nothing was poured in", "look at the bottles and the syringe" },
    { twice, 0.04, 0.05, "everything was poured twice", "look at the level of the bottles" },
    { heel_missing, 0.03, 0.03, "the old solution had drained after all",
      "read the tank before dosing next time" },
    { full_dose_on_heel, 0.04, 0.20, "old solution was left in the tank and not counted",
      "what did the tank read before dosing?" },
    { oxide_as_element, 0.02, 0.05, "an oxide on the label was taken for the element",
      "does the label print P2O5 and K2O?" },
    { element_as_oxide, 0.02, 0.08, "an element on the label was taken for the oxide",
      "does the label print P and K?" },
};
enum { SLIPS = sizeof slips / sizeof *slips };

typedef struct {
    const char *because, *decides;
    double reads, weight;
} candidate;

/* How well a slip explains a reading that is `away` from what it predicts. */
static double weigh(const aq_slip_case *m, double away, double prior, double width)
{
    double own = m->within / 2, sigma = hypot(own, width * m->added);

    return prior / sigma * exp(-0.5 * (away / sigma) * (away / sigma));
}

static int heavier(const void *left, const void *right)
{
    const candidate *a = left, *b = right;

    return (a->weight < b->weight) - (a->weight > b->weight);
}

/* One part left out, and one poured twice. Of a group only the whole is known, so that what one part of it does to the
 * EC is not told; about its share by number. */
static size_t add_parts(candidate *out, size_t count, aq_arena *arena, const aq_slip_case *m)
{
    for (size_t i = 0; i < m->parts; i++) {
        bool known = !isnan(m->adds[i]);
        double adds = known ? m->adds[i] : m->added / (double)m->parts, width = known ? 0.03 : 0.15;
        double without = dosed(m, 1) - adds, with = dosed(m, 1) + adds;

        out[count++] = (candidate){ aq_arena_format(arena, "%s was left out", m->names[i]),
                                    "look at its bottle; what it brings beside EC is missing too",
                                    known ? without : NAN, weigh(m, without - m->reads, 0.05, width) };
        out[count++] =
            (candidate){ aq_arena_format(arena, "%s was poured twice", m->names[i]), "look at its bottle",
                         known ? with : NAN, weigh(m, with - m->reads, 0.03, width) };
    }
    return count;
}

static bool add_records(aq_sheet *sheet, const candidate *all, size_t count)
{
    for (size_t i = 0; i < count && i < SLIPS_SHOWN && all[i].weight >= explains_least * all[0].weight; i++) {
        aq_record *record = aq_records_add(sheet->arena, &sheet->causes, "because", all[i].because);
        aq_figure *decides;

        if (!record || (!isnan(all[i].reads) &&
                        !aq_figures_add(sheet->arena, &record->figures, "reads", all[i].reads, "mS/cm")))
            return false;
        decides = aq_list_add(sheet->arena, &record->figures, sizeof *decides);
        if (!decides)
            return false;
        *decides = (aq_figure){ .name = "decides", .text = all[i].decides };
    }
    return true;
}

aq_status aq_slips_rank(aq_sheet *sheet, const aq_slip_case *mixed)
{
    candidate *all = aq_arena_take_array(sheet->arena, SLIPS + 2 * mixed->parts, sizeof *all);
    size_t count = 0;

    if (!all)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < SLIPS; i++) {
        double reads = slips[i].reads(mixed);
        /* a slip of any size: the further the reading from what was expected, the larger it must have been */
        double away = (slips[i].reads == as_read ? dosed(mixed, 1) : reads) - mixed->reads;

        if (!isnan(reads))
            all[count++] = (candidate){ slips[i].because, slips[i].decides, reads,
                                        weigh(mixed, away, slips[i].prior, slips[i].width) };
    }
    if (mixed->parts > 1)
        count = add_parts(all, count, sheet->arena, mixed);
    for (size_t i = 0; i < count; i++)
        if (!all[i].because)
            return AQ_NO_MEMORY;
    qsort(all, count, sizeof *all, heavier);
    return add_records(sheet, all, count) ? AQ_OK : AQ_NO_MEMORY;
}
