/* Temperature: the linear columns of the table in Standard Methods 2510 B and the usual 2 % default of hand-held meters
 * (factors 1 / (1 + a (t - 25))). Standards: bottles of 1413 uS/cm print 1278 at 20 degC. */
#include "entry.h"

#include <stdio.h>

#include "model/reading.h"

static void test_an_uncompensated_reading_is_brought_to_25_degrees(void **state)
{
    static const struct {
        const char *meter;
        double shown, temperature, want, within;
    } rows[] = {
        /* 1.52 at 62 degF: 1.52 / (1 + 0.02 (16.667 - 25)) by hand */
        { "{compensated: no}", 1.52, (62 - 32) / 1.8, 1.824, 1e-12 },
        { "{compensated: no, coefficient: 1.9 %/degC}", 1.52, (62 - 32) / 1.8, 1.8059, 1e-4 },
        /* table factors at 15 degC: 1.2346 at 0.019, 1.2361 at 0.0191, 1.25 at 0.020 */
        { "{compensated: no, coefficient: 1.9 %/degC}", 1, 15, 1.2346, 5e-5 },
        { "{compensated: no, coefficient: 1.91 %/degC}", 1, 15, 1.2361, 5e-5 },
        { "{compensated: no}", 1, 15, 1.25, 1e-12 },
        { "{compensated: no}", 1, 30, 0.9091, 5e-5 },
        { "{compensated: no}", 1.3, 25, 1.3, 1e-12 },
        /* a meter that corrects is not corrected again */
        { "{compensated: yes}", 1.52, 15, 1.52, 1e-12 },
        { "{scale: EC}", 1.52, 15, 1.52, 1e-12 },
        /* nor can one be whose temperature nobody read */
        { "{compensated: no}", 1.52, NAN, 1.52, 1e-12 },
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_meter meter;

        entry_must(&aq_meter_shape, rows[i].meter, &meter, arena);
        check_within(rows[i].meter, aq_meter_true(&meter, rows[i].shown, rows[i].temperature), rows[i].want,
                     rows[i].within);
    }
    aq_arena_free(arena);
}

static void test_the_last_standard_corrects_the_reading(void **state)
{
    static const struct {
        const char *meter;
        double factor;
    } rows[] = {
        { "{standard: 1413 uS/cm, reads: 1310 uS/cm}", 1413.0 / 1310 },
        { "{standard: 1413 uS/cm}", 1 },
        { "{scale: ppm-500}", 1 },
        { "{scale: ppm-500, standard: 1413 uS/cm, reads: 690 ppm-500}", 1413.0 / 1380 },
        { "{scale: ppm-500, standard: 1413 uS/cm, reads: 690 ppm}", 1413.0 / 1380 },
        { "{scale: ppm-700, standard: 1413 uS/cm, reads: 989 ppm}", 1413.0 / (989 / 0.7) },
        { "{standard: 1413 uS/cm, reads: 707 ppm}", 1413.0 / 1414 },
        { "{standard: 2764 uS/cm, reads: 1935 ppm}", 2764.0 / (1935 / 0.7) },
        { "{standard: 1413 uS/cm, reads: 900 ppm}", 1413.0 / (900 / 0.64) },
        { "{scale: CF, standard: 1413 uS/cm, reads: 14 CF}", 1413.0 / 1400 },
        /* cold standard: an uncompensated meter that shows 1278 at 20 degC is right, to 0.1 % of the bottle's table */
        { "{compensated: no, standard: 1413 uS/cm, standard-temperature: 20 degC, reads: 1278 uS/cm}", 1 },
        /* while one that corrects by itself should have shown 1413 */
        { "{compensated: yes, standard: 1413 uS/cm, standard-temperature: 20 degC, reads: 1278 uS/cm}",
          1413.0 / 1278 },
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_meter meter;

        entry_must(&aq_meter_shape, rows[i].meter, &meter, arena);
        check_close(rows[i].meter, aq_meter_factor(&meter), rows[i].factor, 1e-3);
    }
    aq_arena_free(arena);
}

static void test_factor_and_temperature_work_together(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_meter meter;

    (void)state;
    entry_must(&aq_meter_shape, "{compensated: no, standard: 1413 uS/cm, reads: 1310 uS/cm}", &meter, arena);
    /* 1.62 in the tank is 1.62 * 1413 / 1310 = 1.747 at 25 degC; at 15 degC another 1 / 0.8 */
    check_within("warm", aq_meter_true(&meter, 1.62, 25), 1.747, 5e-4);
    check_within("cold", aq_meter_true(&meter, 1.62, 15), 1.747 / 0.8, 7e-4);
    aq_arena_free(arena);
}

static void test_a_standard_tells_the_scale_of_a_pen(void **state)
{
    /* 1.413 * 500 = 707, * 640 = 904, * 700 = 989; 4 % either way. */
    static const struct {
        double standard, shown;
        int scale;
    } rows[] = {
        { 1.413, 707, 500 }, { 1.413, 690, 500 },  { 1.413, 734, 500 },  { 1.413, 904, 640 },
        { 1.413, 989, 700 }, { 1.413, 960, 700 },  { 1.413, 945, 0 },    { 1.413, 800, 0 },
        { 1.413, 1413, 0 },  { 2.764, 1382, 500 }, { 12.88, 9016, 700 },
    };
    char row[40];

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        snprintf(row, sizeof row, "row %zu", i);
        check_true(row, aq_meter_scale_found(rows[i].standard, rows[i].shown) == rows[i].scale);
    }
}

static void test_a_bare_ppm_that_fits_no_scale_is_asked(void **state)
{
    aq_arena *arena = aq_arena_new(0);
    aq_meter meter;
    aq_error err;

    (void)state;
    assert_int_equal(
        entry_read(&aq_meter_shape, "{standard: 1413 uS/cm, reads: 945 ppm}", &meter, arena, NULL, &err),
        AQ_AMBIGUOUS);
    check_text("key", err.question.key, "ppm");
    /* and what the line says of ppm goes before what the pen looks like */
    assert_int_equal(entry_read(&aq_meter_shape, "{standard: 1413 uS/cm, reads: 707 ppm}", &meter, arena,
                                &(aq_said){ .ppm = 700 }, &err),
                     AQ_OK);
    check_close("said", meter.reads.value, 1.01, 1e-12);
    aq_arena_free(arena);
}

/* 900 ppm-700 on a pen of ppm-500 was another pen's; 1.8 mS/cm may be its 900 after it was divided. */
static void test_another_ppm_is_another_meter(void **state)
{
    static const struct {
        const char *meter, *shown;
        bool own;
    } rows[] = {
        { "{scale: ppm-500}", "900 ppm-700", false }, { "{scale: ppm-700}", "900 ppm-640", false },
        { "{scale: ppm-500}", "900 ppm-500", true },  { "{scale: ppm-500}", "1.8 mS/cm", true },
        { "{scale: ppm-500}", "1.8 CF", true },       { "{scale: EC}", "900 ppm-700", true },
        { "{compensated: no}", "900 ppm-640", true },
    };
    aq_arena *arena = aq_arena_new(0);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_meter meter;
        aq_quantity shown;

        entry_must(&aq_meter_shape, rows[i].meter, &meter, arena);
        assert_int_equal(aq_quantity_read(&shown, rows[i].shown, AQ_WANT_EC, NULL, NULL), AQ_OK);
        check_true(rows[i].shown,
                   aq_meter_counts_in(&meter, aq_meter_scale_typed(shown.unit)) == rows[i].own);
    }
    assert_int_equal(aq_meter_scale_typed(NULL), 0);
    aq_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_an_uncompensated_reading_is_brought_to_25_degrees),
        cmocka_unit_test(test_the_last_standard_corrects_the_reading),
        cmocka_unit_test(test_factor_and_temperature_work_together),
        cmocka_unit_test(test_a_standard_tells_the_scale_of_a_pen),
        cmocka_unit_test(test_another_ppm_is_another_meter),
        cmocka_unit_test(test_a_bare_ppm_that_fits_no_scale_is_asked),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
