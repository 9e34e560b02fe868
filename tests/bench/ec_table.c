/* Prints how well conductivities come out: each set of measurements, the model beside the plain sum of limiting
 * conductivities; then microseconds for a feed.
 *
 *     ec_table [all]      with "all", each row too */
#include <time.h>

#include "chemistry/measured.h"

static bool feed_range(const measured_row *row)
{
    return row->ionic_strength > 0.003 && row->ionic_strength < 0.1;
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
    printf("%.1f us for the EC of a feed\n", microseconds());
    return 0;
}
