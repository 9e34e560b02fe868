/* Prints how well conductivities come out: each set of measurements, the model beside the plain sum of limiting
 * conductivities; natural waters by their kind; then microseconds for a feed.
 *
 *     ec_table [all]      with "all", each row too */
#include <time.h>

#include "chemistry/measured.h"

static bool feed_range(const measured_row *row)
{
    return row->ionic_strength > 0.003 && row->ionic_strength < 0.1;
}

/* ---- kinds of natural water; a water is of the first that it fits ---- */

/* Of the ions of its sign. */
static double share(const measured_row *row, aq_ion ion)
{
    double sum = 0;

    for (int i = 0; i < AQ_ION_COUNT; i++)
        if (aq_ion_of((aq_ion)i)->charge * aq_ion_of(ion)->charge > 0)
            sum += row->equivalents[i];
    return sum > 0 ? row->equivalents[ion] / sum : 0;
}

static bool has_ammonium(const measured_row *row)
{
    return share(row, AQ_ION_AMMONIUM) > 0.05;
}

static bool has_sulfate(const measured_row *row)
{
    return share(row, AQ_ION_SULFATE) > 0.3;
}

static bool is_bicarbonate(const measured_row *row)
{
    return share(row, AQ_ION_CARBONATE) > 0.5;
}

static bool is_fresh(const measured_row *row)
{
    return row->measured < 5;
}

static bool is_any(const measured_row *row)
{
    return row->measured > 0;
}

static const struct {
    const char *name;
    bool (*is)(const measured_row *row);
} kinds[] = {
    { "pH below 5: rain, dunes", is_acid },          { "others below 0.2 mS/cm", is_dilute },
    { "brines above 1 mol/kg", is_brine },           { "ammonium above 5 % of cations", has_ammonium },
    { "sulfate above 30 % of anions", has_sulfate }, { "hydrogen carbonate above half", is_bicarbonate },
    { "chloride, below 5 mS/cm", is_fresh },         { "chloride, saline", is_any },
};

static const char *kind_of(const measured_row *row)
{
    size_t i = 0;

    while (!kinds[i].is(row))
        i++;
    return kinds[i].name;
}

static const char *kind_now;

static bool is_of_kind(const measured_row *row)
{
    return kind_of(row) == kind_now;
}

static int beyond(const measured_set *set, bool (*chosen)(const measured_row *), double percent)
{
    int count = 0;

    for (int i = 0; i < set->count; i++)
        count += chosen(&set->at[i]) && fabs(set->at[i].computed / set->at[i].measured - 1) * 100 > percent;
    return count;
}

static void kind_line(const char *name, const measured_set *set, bool (*chosen)(const measured_row *))
{
    measured_errors e = errors_of(set, chosen, false);

    printf("| %-46s | %4d | %5.2f | %5.2f | %+5.2f | %5d |\n", name, e.count, e.median, e.ninth, e.mean,
           beyond(set, chosen, 6));
}

static void print_kinds(const measured_set *set)
{
    printf("| %-46s | rows | median | 9 in 10 | mean | beyond 6 %% |\n", "kind of natural water");
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        kind_now = kinds[i].name;
        kind_line(kind_now, set, is_of_kind);
    }
    kind_line("pH 5 and up, measured; 0.2 mS/cm to 1 mol/kg", set, is_of_use);
}

static void line(const char *what, const measured_set *set, bool (*chosen)(const measured_row *))
{
    measured_errors model = errors_of(set, chosen, false), plain = errors_of(set, chosen, true);

    printf("| %-46s | %4d | %5.2f | %5.2f | %+5.2f | %5.1f | %5.1f |\n", what, model.count, model.median,
           model.ninth, model.mean, plain.median, plain.ninth);
}

static void rows(const measured_set *set)
{
    for (int i = 0; i < set->count; i++) {
        const measured_row *row = &set->at[i];
        printf("%s,%s,%g,%g,%g,%g,%.2f,%.2f\n", row->set, row->name, row->celsius, row->ionic_strength,
               row->measured, row->computed, 100 * (row->computed / row->measured - 1),
               100 * (row->plain / row->measured - 1));
    }
}

static double microseconds(void)
{
    enum { TURNS = 20000 };
    aq_solution feed = { .mode = AQ_PH_CLOSED };
    struct timespec from, to;
    double sum = 0;

    feed.total[AQ_ION_NITRATE] = 0.015;
    feed.total[AQ_ION_POTASSIUM] = 0.006;
    feed.total[AQ_ION_CALCIUM] = 0.005;
    feed.total[AQ_ION_MAGNESIUM] = feed.total[AQ_ION_SULFATE] = 0.002;
    feed.total[AQ_ION_PHOSPHATE] = 0.001;
    clock_gettime(CLOCK_MONOTONIC, &from);
    for (int i = 0; i < TURNS; i++) {
        feed.total[AQ_ION_POTASSIUM] += 1e-9;
        sum += aq_ec_of(&feed);
    }
    clock_gettime(CLOCK_MONOTONIC, &to);
    return sum > 0
               ? ((double)(to.tv_sec - from.tv_sec) * 1e6 + (double)(to.tv_nsec - from.tv_nsec) / 1e3) / TURNS
               : 0;
}

int main(int argc, char **argv)
{
    static measured_set natural, salts, crc;

    if (!read_natural_waters(&natural) || !read_single_salts(&salts) || !read_crc(&crc))
        return 1;
    if (argc > 1 && strcmp(argv[1], "all") == 0) {
        rows(&natural);
        rows(&salts);
        rows(&crc);
    }
    printf("| %-46s | rows | median | 9 in 10 | mean | plain | 9 in 10 |\n", "set (errors in %)");
    line("natural waters, 20 degC, balance within 5 %", &natural, NULL);
    line("  of them from 3 to 100 mmol/kg", &natural, feed_range);
    line("single salts, 5 to 40 degC, to 0.05 mol/kg", &salts, NULL);
    line("CRC Handbook, 25 degC, to 0.1 eq/L", &crc, NULL);
    print_kinds(&natural);
    printf("%.1f us for the EC of a feed\n", microseconds());
    return 0;
}
