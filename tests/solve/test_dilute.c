/* Strengths, blends and flushing against published worked examples and against pouring by the litre. */
#include "check.h"
#include "dice.h"
#include "solve/dilute.h"

static aq_strength ww(double share)
{
    return (aq_strength){ .value = share, .basis = AQ_BASIS_WW, .given = true };
}

static aq_strength wv(double per_litre)
{
    return (aq_strength){ .value = per_litre, .basis = AQ_BASIS_WV, .given = true };
}

static aq_strength vv(double share)
{
    return (aq_strength){ .value = share, .basis = AQ_BASIS_VV, .given = true };
}

static aq_strength strength(aq_basis basis, double value)
{
    return basis == AQ_BASIS_WW ? ww(value) : basis == AQ_BASIS_WV ? wv(value) : vv(value);
}

/* Sources: thecompounder.com, "Solution dilutions", for the peroxide of 3 % and the table of 5 % stock; a horticulture
 * magazine of 2012 for the rooting hormone of 10,000 mg/L; University of Georgia AGED list, Aug 2011, for hypochlorite
 * 1 plus 9. The others are c1 V1 = c2 V2 by hand; 91 % alcohol with a third of its volume of water, printed elsewhere
 * as 70 %, is a misprint for 68.25 %. */
static const struct {
    const char *row;
    aq_basis basis, to_basis;
    double stock, to, density, make, litres;
} printed[] = {
    { "peroxide 3 % to 0.5 %", AQ_BASIS_WV, AQ_BASIS_WV, 30, 5, NAN, 0.1, 0.016667 },
    { "5 % to 0.25 %", AQ_BASIS_WV, AQ_BASIS_WV, 50, 2.5, NAN, 0.1, 0.005 },
    { "5 % to 2.5 %", AQ_BASIS_WV, AQ_BASIS_WV, 50, 25, NAN, 0.1, 0.05 },
    { "hormone to a tenth", AQ_BASIS_WV, AQ_BASIS_WV, 10, 1, NAN, 0.1, 0.010 },
    { "hormone, 60 mL", AQ_BASIS_WV, AQ_BASIS_WV, 10, 1, NAN, 0.06, 0.006 },
    { "hypochlorite 5.25 % to 0.525 %", AQ_BASIS_WV, AQ_BASIS_WV, 52.5, 5.25, NAN, 1, 0.1 },
    { "hypochlorite 6 % to 0.5 %", AQ_BASIS_WV, AQ_BASIS_WV, 60, 5, NAN, 2, 1.0 / 6 },
    { "hypochlorite 6 % to 200 mg/L", AQ_BASIS_WV, AQ_BASIS_WV, 60, 0.2, NAN, 60, 0.2 },
    { "alcohol 99 % to 70 %", AQ_BASIS_VV, AQ_BASIS_VV, 0.99, 0.70, NAN, 0.5, 0.353535 },
    { "alcohol 91 % to 70 %", AQ_BASIS_VV, AQ_BASIS_VV, 0.91, 0.70, NAN, 0.5, 0.384615 },
    { "alcohol 91 % to 68.25 %", AQ_BASIS_VV, AQ_BASIS_VV, 0.91, 0.6825, NAN, 4.0 / 3, 1 },
    { "peroxide 35 % w/w to 3 % w/v", AQ_BASIS_WW, AQ_BASIS_WV, 0.35, 30, 1130, 1, 0.075853 },
    { "nothing to dilute", AQ_BASIS_VV, AQ_BASIS_VV, 0.7, 0.7, NAN, 0.5, 0.5 },
};

static void test_printed_dilutions(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof printed / sizeof *printed; i++) {
        aq_dilution dilution = { strength(printed[i].basis, printed[i].stock),
                                 strength(printed[i].to_basis, printed[i].to),
                                 printed[i].density,
                                 NAN,
                                 NAN,
                                 printed[i].make };
        double take;

        check_true(printed[i].row, aq_dilute(&take, &dilution, NULL) == AQ_OK);
        check_within(printed[i].row, take, printed[i].litres, 1e-6);
    }
}

/* 99 % v/v isopropyl alcohol, 786 g/L when pure, to 60 % w/w, which has 0.885 kg/L (CRC Handbook, 20 degC, from memory):
 * a litre then holds 531 g, which are in 682 mL. */
static void test_bases_meet_through_densities(void **state)
{
    aq_dilution dilution = { vv(0.99), ww(0.60), NAN, 885, 786, 1 };
    double take;

    (void)state;
    check_true("alcohol", aq_dilute(&take, &dilution, NULL) == AQ_OK);
    check_within("alcohol", take, 0.60 * 885 / (0.99 * 786), 1e-12);
}

static const struct {
    const char *row;
    aq_dilution dilution;
    aq_status status;
    const char *says;
} refused[] = {
    { "w/w stock",
      { { 0.35, AQ_BASIS_WW, true, "" }, { 30, AQ_BASIS_WV, true, "" }, NAN, NAN, NAN, 1 },
      AQ_MISSING,
      "the stock" },
    { "w/w wanted",
      { { 395, AQ_BASIS_WV, true, "" }, { 0.03, AQ_BASIS_WW, true, "" }, NAN, NAN, NAN, 1 },
      AQ_MISSING,
      "the finished solution" },
    { "v/v beside w/v",
      { { 0.99, AQ_BASIS_VV, true, "" }, { 5, AQ_BASIS_WV, true, "" }, NAN, NAN, NAN, 1 },
      AQ_MISSING,
      "the pure substance" },
    { "weaker than wanted",
      { { 5, AQ_BASIS_WV, true, "" }, { 60, AQ_BASIS_WV, true, "" }, NAN, NAN, NAN, 1 },
      AQ_OUT_OF_RANGE,
      "weaker" },
    { "nothing in it",
      { { 0, AQ_BASIS_WV, true, "" }, { 0, AQ_BASIS_WV, true, "" }, NAN, NAN, NAN, 1 },
      AQ_INVALID,
      "above 0" },
    { "nothing to make",
      { { 5, AQ_BASIS_WV, true, "" }, { 1, AQ_BASIS_WV, true, "" }, NAN, NAN, NAN, 0 },
      AQ_INVALID,
      "above 0" },
    { "no basis",
      { { 5, AQ_BASIS_UNSAID, true, "" }, { 1, AQ_BASIS_WV, true, "" }, NAN, NAN, NAN, 1 },
      AQ_MISSING,
      "the stock" },
};

static void test_refusals_say_what_is_needed(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        aq_error err = { 0 };
        double take = 1;

        check_true(refused[i].row, aq_dilute(&take, &refused[i].dilution, &err) == refused[i].status);
        check_true(refused[i].row, strstr(err.text, refused[i].says) != NULL);
        check_within(refused[i].row, take, 0, 0);
    }
}

/* 1,500 mg/L of indolebutyric acid (203.24 g/mol) weighed as its potassium salt (241.33 g/mol); and 1 g of it from a
 * technical product of 90 %, as a seed supplier's page works it. */
static void test_salts_and_purity_change_the_weight(void **state)
{
    (void)state;
    check_within("as potassium salt", aq_dissolve(1.5, 0.1, 241.33 / 203.24, 1), 0.178112, 1e-6);
    check_within("90 % pure", aq_dissolve(1, 1, 1, 0.9), 1.1111, 5e-5);
}

static void test_a_coarse_tool_needs_a_larger_batch(void **state)
{
    double make = aq_least_make(1.5 * 241.33 / 203.24, 0.1, 0.05);

    (void)state;
    check_within("ten marks of a 0.1 g scale", aq_dissolve(1.5, make, 241.33 / 203.24, 1), 1.0, 1e-12);
}

static void test_free_volumes_land_on_marks(void **state)
{
    static const aq_marked mist[] = { { 0.0008, 0.00002 } },
                           pair[] = { { 0.0015, 0.0001 }, { 0.0005, 0.0001 } };
    static const aq_marked unmeasured[] = { { 0.0013, 0 } };

    (void)state;
    check_within("0.8 mL/L, marks of 0.02 mL", aq_make_on_marks(0.44, 0.53, 0.005, mist, 1), 0.475, 1e-12);
    check_within("1.5 and 0.5 mL/L on 0.1 mL", aq_make_on_marks(0.35, 0.58, 0.01, pair, 2), 0.4, 1e-12);
    check_within("no tool: the middle", aq_make_on_marks(0.4, 0.6, 0, unmeasured, 1), 0.5, 1e-12);
    check_within("no mark of the vessel between", aq_make_on_marks(0.51, 0.53, 0.1, mist, 1), 0.52, 1e-12);
    check_within("one volume", aq_make_on_marks(0.5, 0.5, 0, mist, 1), 0.5, 1e-12);
    check_true("a vast range ends", isfinite(aq_make_on_marks(0.001, 1e6, 0.001, mist, 1)));
}

/* With no marks to a vessel its volume is a multiple of 1, 2 or 5 times a power of ten, at most a twentieth of it. Where
 * no tool says more it is the nearest of them to the middle. */
static void test_a_vessel_without_marks_is_filled_to_a_round_volume(void **state)
{
    static const aq_marked unmeasured[] = { { 0.0013, 0 } };
    static const struct {
        double middle, volume;
    } rows[] = { { 0.513, 0.52 }, { 1.23, 1.25 },      { 0.373, 0.37 }, { 1.07, 1.05 },
                 { 1.02, 1.0 },   { 0.42, 0.42 },      { 0.39, 0.39 },  { 51.3, 52 },
                 { 123, 125 },    { 0.00373, 0.0037 }, { 0.2033, 0.2 } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double low = rows[i].middle * 0.8, high = rows[i].middle * 1.2;

        check_close("round", aq_make_on_marks(low, high, 0, unmeasured, 1) / rows[i].volume, 1, 1e-9);
    }
}

static void test_no_multiple_of_the_step_lands_better(void **state)
{
    aq_dice dice = { 440 };

    (void)state;
    for (int run = 0; run < 2000; run++) {
        aq_marked part = { dice_between(&dice, 0.0002, 0.004), 0.00002 };
        double low = dice_between(&dice, 0.1, 1), high = low * dice_between(&dice, 1.05, 1.4), step = 0.005;
        double volume = aq_make_on_marks(low, high, step, &part, 1), best = INFINITY;
        double chosen = part.per_litre * volume / part.marks;

        check_true("in range", volume >= low - 1e-9 && volume <= high + 1e-9);
        for (double v = ceil(low / step) * step; v <= high; v += step) {
            double marks = part.per_litre * v / part.marks;

            best = fmin(best, fabs(round(marks) / marks - 1));
        }
        check_true("least miss", isinf(best) || fabs(round(chosen) / chosen - 1) <= best + 1e-6);
    }
}

/* Whatever the steps, the last vessel holds the share asked for, no step takes more than the one before made, and
 * none takes less than the tool measures well. */
static void test_serial_dilution_ends_at_the_share(void **state)
{
    aq_dice dice = { 1000 };

    (void)state;
    for (int run = 0; run < 10000; run++) {
        double share = pow(10, dice_between(&dice, -8, 0)), make = dice_between(&dice, 0.05, 10), holds = 1;
        double least = 0.0001;
        aq_serial_step steps[AQ_SERIAL_MOST];
        size_t count = aq_dilute_serially(steps, share, make, least);

        check_true("has steps", count >= 1 && count <= AQ_SERIAL_MOST);
        for (size_t i = 0; i < count; i++) {
            check_true("the tool measures it", steps[i].take >= least * (1 - 1e-9));
            check_true("there is enough", i == 0 || steps[i].take <= steps[i - 1].make);
            holds *= steps[i].take / steps[i].make;
        }
        check_close("share", holds / share, 1, 1e-9);
        check_within("made", steps[count - 1].make, make, 0);
    }
}

static void test_serial_dilution_takes_no_step_too_many(void **state)
{
    aq_serial_step steps[AQ_SERIAL_MOST];

    (void)state;
    check_true("direct", aq_dilute_serially(steps, 0.005, 8, 0.001) == 1);
    check_within("direct", steps[0].take, 0.04, 1e-12);
    check_true("one between", aq_dilute_serially(steps, 0.00025, 0.25, 0.0001) == 2);
    check_within("drawn of 1 in 10", steps[1].take, 0.000625, 1e-12);
    check_true("no share", aq_dilute_serially(steps, 0, 1, 0.001) == 0);
    check_true("more than all", aq_dilute_serially(steps, 1.2, 1, 0.001) == 0);
    check_true("beyond reason", aq_dilute_serially(steps, 1e-30, 1, 0.001) == 0);
}

/* A step between takes the least that the tool takes well, into 10, 20, 50 or 100 times as much: the first of them that
 * leaves enough to take for the next. */
static void test_a_step_between_is_the_weakest_that_will_do(void **state)
{
    static const struct {
        double take, ratio;
    } rows[] = { { 0.00015, 10 }, { 0.0001, 10 },     { 0.000095, 20 }, { 0.00005, 20 },   { 0.0000495, 50 },
                 { 0.00002, 50 }, { 0.0000198, 100 }, { 0.00001, 100 }, { 0.0000095, 100 } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_serial_step steps[AQ_SERIAL_MOST];
        size_t count = aq_dilute_serially(steps, rows[i].take / 2, 2, 0.001);

        check_true("one step between, or two", count == (rows[i].take < 0.00001 ? 3 : 2));
        check_within("takes the least", steps[0].take, 0.001, 0);
        check_close("ratio", steps[0].make / steps[0].take, rows[i].ratio, 1e-12);
    }
}

/* A hair of rounding is no stronger solution; a thousandth is. */
static void test_a_stock_may_be_used_as_it_is(void **state)
{
    static const struct {
        double to;
        aq_status status;
    } rows[] = { { 5, AQ_OK }, { 5 * (1 + 5e-13), AQ_OK }, { 5.0005, AQ_OUT_OF_RANGE } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_dilution dilution = {
            { 5, AQ_BASIS_WV, true, "" }, { rows[i].to, AQ_BASIS_WV, true, "" }, NAN, NAN, NAN, 3
        };
        double take = 1;

        assert_int_equal(aq_dilute(&take, &dilution, NULL), rows[i].status);
        check_within("all of it, or nothing", take, rows[i].status == AQ_OK ? 3 : 0, 0);
    }
}

/* Ali, Practices of Irrigation and On-farm Water Management (Springer), example 8.4, after FAO 29: 10 mg/L at 70 % and
 * 50 at 30 % make 22. Sandy Lake watershed, "EC Mass Balance" (after Pinder and Jones 1969): streams of 400 and 100
 * uS/cm join to 125. FAO 29, from memory: canal of 0.23 dS/m at 75 % with a well of 3.6 makes 1.07. */
static const struct {
    const char *row;
    double first, second, wanted, share;
    bool inside;
} blends[] = {
    { "Ali 8.4", 10, 50, 22, 0.7, true },
    { "two streams", 0.4, 0.1, 0.125, 1.0 / 12, true },
    { "canal and well", 0.23, 3.6, 1.0725, 0.75, true },
    { "all of the first", 0.72, 0.03, 0.72, 1, true },
    { "stronger than both", 0.72, 0.03, 0.9, 1, false },
    { "weaker than both", 0.72, 0.03, 0.01, 0, false },
    { "alike and wanted", 0.4, 0.4, 0.4, 1, true },
    { "alike and not wanted", 0.4, 0.4, 0.5, 1, false },
};

static void test_blends_of_two_waters(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof blends / sizeof *blends; i++) {
        aq_blend blend = aq_blend_to(blends[i].first, blends[i].second, blends[i].wanted);

        check_within(blends[i].row, blend.share, blends[i].share, 1e-12);
        check_true(blends[i].row, blend.inside == blends[i].inside);
        check_within(blends[i].row, blend.reached,
                     blend.share * blends[i].first + (1 - blend.share) * blends[i].second, 1e-12);
    }
}

/* 12 ln(2.8 / 0.6), and the well-mixed medium poured through in small portions. */
static void test_flushing_agrees_with_pouring_in_small_portions(void **state)
{
    double litres = aq_flush_volume(12, 3.4, 0.6, 1.2), drain = 3.4;

    (void)state;
    check_within("worked", litres, 18.485, 5e-4);
    for (int n = 0; n < 100000; n++)
        drain += (0.6 - drain) * (litres / 100000) / 12;
    check_within("drain EC", drain, 1.2, 1e-4);
}

static void test_flushing_that_cannot_help(void **state)
{
    (void)state;
    check_true("as strong as wanted", isinf(aq_flush_volume(12, 3.4, 1.2, 1.2)));
    check_true("stronger than wanted", isinf(aq_flush_volume(12, 3.4, 1.5, 1.2)));
    check_within("clean already", aq_flush_volume(12, 1.1, 0.6, 1.2), 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_printed_dilutions),
        cmocka_unit_test(test_bases_meet_through_densities),
        cmocka_unit_test(test_refusals_say_what_is_needed),
        cmocka_unit_test(test_salts_and_purity_change_the_weight),
        cmocka_unit_test(test_a_coarse_tool_needs_a_larger_batch),
        cmocka_unit_test(test_free_volumes_land_on_marks),
        cmocka_unit_test(test_a_vessel_without_marks_is_filled_to_a_round_volume),
        cmocka_unit_test(test_a_step_between_is_the_weakest_that_will_do),
        cmocka_unit_test(test_a_stock_may_be_used_as_it_is),
        cmocka_unit_test(test_no_multiple_of_the_step_lands_better),
        cmocka_unit_test(test_serial_dilution_ends_at_the_share),
        cmocka_unit_test(test_serial_dilution_takes_no_step_too_many),
        cmocka_unit_test(test_blends_of_two_waters),
        cmocka_unit_test(test_flushing_agrees_with_pouring_in_small_portions),
        cmocka_unit_test(test_flushing_that_cannot_help),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
