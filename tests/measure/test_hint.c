/* What a mistyped unit is answered with: a unit of the kind that was wanted, or the question which one is meant. */
#include "check.h"
#include "measure/reader.h"

#include <stdio.h>

static const struct {
    const char *text;
    unsigned want;
    const char *nearest;
} rows[] = {
    /* EC: the usual line below is what is left out */
    { "1.8ms", AQ_WANT_EC, "mS/cm" },
    { "1.8 mS", AQ_WANT_EC, "mS/cm" },
    { "1.8 Ms/cm", AQ_WANT_EC, "mS/cm" },
    { "1.8 MS/CM", AQ_WANT_EC, "mS/cm" },
    { "1.8 mS/CM", AQ_WANT_EC, "mS/cm" },
    { "1.8 mS.cm", AQ_WANT_EC, "mS/cm" },
    { "1.8 mS cm-1", AQ_WANT_EC, "mS/cm" },
    { "1.8 mScm", AQ_WANT_EC, "mS/cm" },
    { "1.8 ms-cm", AQ_WANT_EC, "mS/cm" },
    { "1.8 sm/cm", AQ_WANT_EC, "mS/cm" },
    { "1.8 mS/mc", AQ_WANT_EC, "mS/cm" },
    { "1.8 mSiemens/cm", AQ_WANT_EC, "mS/cm" },
    { "1.8 millisiemens", AQ_WANT_EC, "mS/cm" },
    { "1800 us", AQ_WANT_EC, "uS/cm" },
    { "1800 \xC2\xB5S", AQ_WANT_EC, "uS/cm" },
    { "1800 \xCE\xBCs", AQ_WANT_EC, "uS/cm" },
    { "1800 \xC2\xB5S/CM", AQ_WANT_EC, "uS/cm" },
    { "1800 microsiemens/cm", AQ_WANT_EC, "uS/cm" },
    { "1.8 dS", AQ_WANT_EC, "dS/m" },
    { "1.8 ds/m", AQ_WANT_EC, "dS/m" },
    { "1.8 siemens", AQ_WANT_EC, "mS/cm, uS/cm or S/m" },
    { "1.8 mho", AQ_WANT_EC, "mmho/cm or umho/cm" },
    { "1.8 mmho", AQ_WANT_EC, "mmho/cm" },
    { "18 cf", AQ_WANT_EC, "CF" },
    { "900 ppm500", AQ_WANT_EC, "ppm-500" },
    { "0.4 mS per mL/L", AQ_WANT_EC, "mS/cm" },

    /* volume */
    { "5 ML", AQ_WANT_VOLUME, "mL" },
    { "5 Ml", AQ_WANT_VOLUME, "mL" },
    { "5 mls", AQ_WANT_VOLUME, "mL" },
    { "5 mils", AQ_WANT_VOLUME, "mL" },
    { "5 CC", AQ_WANT_VOLUME, "cm3" },
    { "60 Ltr", AQ_WANT_VOLUME, "L" },
    { "60 LITRES", AQ_WANT_VOLUME, "L" },
    { "60 litr", AQ_WANT_VOLUME, "L" },
    { "20 Gal", AQ_WANT_VOLUME, "gal-us or gal-imp" },
    { "20 galon", AQ_WANT_VOLUME, "gal-us or gal-imp" },
    { "20 gals", AQ_WANT_VOLUME, "gal-us or gal-imp" },
    { "20 gal-uk", AQ_WANT_VOLUME, "gal-imp" },
    { "20 US gal", AQ_WANT_VOLUME, "gal-us, qt-us, pt-us or fl-oz-us" },
    { "20 imp gal", AQ_WANT_VOLUME, "gal-imp, qt-imp, pt-imp or fl-oz-imp" },
    { "2 cup", AQ_WANT_VOLUME, "cup-us or cup-metric" },
    { "2 Cups", AQ_WANT_VOLUME, "cup-us or cup-metric" },
    { "2 TSP", AQ_WANT_VOLUME, "tsp-us or tsp-metric" },
    { "2 tps", AQ_WANT_VOLUME, "tsp-us or tsp-metric" },
    { "2 tea spoons", AQ_WANT_VOLUME, "tsp-us or tsp-metric" },
    { "2 Tbsp", AQ_WANT_VOLUME, "tbsp-us or tbsp-metric" },
    { "2 T", AQ_WANT_VOLUME, "tsp-us, tsp-metric, tbsp-us or tbsp-metric" },
    { "5 floz", AQ_WANT_VOLUME, "fl-oz-us or fl-oz-imp" },
    { "5 fl-oz-uk", AQ_WANT_VOLUME, "fl-oz-us" },
    { "9 drops", AQ_WANT_VOLUME, "mL, for a drop has no fixed size" },

    /* mass */
    { "5 Kg", AQ_WANT_MASS, "kg" },
    { "5 KG", AQ_WANT_MASS, "kg" },
    { "5 kgs", AQ_WANT_MASS, "kg" },
    { "5 gm", AQ_WANT_MASS, "g" },
    { "5 rams", AQ_WANT_MASS, "g" }, /* the first letter slipped */
    { "5 G", AQ_WANT_MASS, "g" },
    { "5 mgg", AQ_WANT_MASS, "mg" },
    { "5 mcg", AQ_WANT_MASS, "ug" },
    { "5 OZ", AQ_WANT_MASS, "oz" },
    { "5 Lb", AQ_WANT_MASS, "lb" },

    /* rate and content: what may stand above the line, and what below */
    { "2 ML/L", AQ_WANT_RATE, "mL" },
    { "2 mL/Ll", AQ_WANT_RATE, "L" },
    { "2 mL/lt", AQ_WANT_RATE, "L" },
    { "2 tps/gal-us", AQ_WANT_RATE, "tsp-us or tsp-metric" },
    { "2 mL/galon", AQ_WANT_RATE | AQ_WANT_CONTENT, "gal-us or gal-imp" },
    { "2 mL per Liter", AQ_WANT_RATE, "L" },
    { "5 mgs/L", AQ_WANT_CONTENT, "mg" },
    { "5 Mg/L", AQ_WANT_CONTENT, "mg" },
    { "5 g/ML", AQ_WANT_CONTENT, "mL" },
    { "5 lbs/galons", AQ_WANT_CONTENT, "gal-us or gal-imp" },
    { "3 MMOL/L", AQ_WANT_MOLARITY, "mmol" },

    /* hardness and alkalinity */
    { "7 dGH", AQ_WANT_HARDNESS, "dH" },
    { "7 \xC2\xB0KH", AQ_WANT_HARDNESS, "dH" },
    { "7 dh", AQ_WANT_HARDNESS, "dH" },
    { "7 Clark", AQ_WANT_HARDNESS, "gpg-imp" },
    { "7 GPG", AQ_WANT_HARDNESS, "gpg-us or gpg-imp" },
    { "7 grians", AQ_WANT_MASS, "grain" },
    { "2 MEQ/L", AQ_WANT_HARDNESS, "meq" },
    { "2 mval/L", AQ_WANT_HARDNESS, "meq" },
    { "120 MG/L CaCO3", AQ_WANT_HARDNESS, "mg" },

    /* temperature, time, length */
    { "20c", AQ_WANT_TEMPERATURE, "degC" },
    { "68f", AQ_WANT_TEMPERATURE, "degF" },
    { "20 degc", AQ_WANT_TEMPERATURE, "degC" },
    { "20 Celsius", AQ_WANT_TEMPERATURE, "degC" },
    { "68 Fahrenheit", AQ_WANT_TEMPERATURE, "degF" },
    { "20 \xC2\xB0", AQ_WANT_TEMPERATURE, "degC or degF" },
    { "20 degrees", AQ_WANT_TEMPERATURE, "degC or degF" },
    { "2 %/c", AQ_WANT_PER_DEGREE, "degC" },
    { "4 D", AQ_WANT_TIME, "d" },
    { "4 Days", AQ_WANT_TIME, "d" },
    { "4 hrs", AQ_WANT_TIME, "h" },
    { "4 mins", AQ_WANT_TIME, "min" },
    { "4 sec", AQ_WANT_TIME, "s" },
    { "4 wks", AQ_WANT_TIME, "week" },
    { "3 L/Day", AQ_WANT_FLOW, "d" },
    { "36 MM", AQ_WANT_LENGTH, "mm" },

    /* share, charge, and what a liquid may hold */
    { "35 precent", AQ_WANT_SHARE, "%" },
    { "2 precent/degC", AQ_WANT_PER_DEGREE, "%" },
    { "3 MEQ", AQ_WANT_CHARGE, "meq" },
    { "3 MMOL", AQ_WANT_AMOUNT, "mmol" },
    { "3 mmol/lt", AQ_WANT_MOLARITY, "L" },
    { "3 lt/d", AQ_WANT_FLOW, "L" },
    { "3 meq/lt", AQ_WANT_HARDNESS, "L" },
    { "3 mg/lt", AQ_WANT_HARDNESS, "L" },
    { "3 inch", AQ_WANT_LENGTH, "in" },
};

static void check_nearest(const char *text, unsigned want, const char *nearest)
{
    char wanted[160] = "is not a unit we know; the nearest is ";
    aq_error err = { .status = AQ_OK };
    aq_quantity got;
    const char *found;

    strcat(wanted, nearest);
    check_true(text, aq_quantity_read(&got, text, want, NULL, &err) == AQ_UNKNOWN_UNIT);
    found = strstr(err.text, wanted);
    check_text(text, found ? found : err.text, wanted);
}

static void test_the_nearest_is_of_the_kind_that_is_wanted(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        check_nearest(rows[i].text, rows[i].want, rows[i].nearest);
}

/* What people write for a unit and no standard has; common practice, no source. What a word means does not hang on
 * whether other kinds are wanted too. */
static const struct {
    const char *word;
    unsigned want;
    const char *nearest;
} said[] = {
    { "millisiemens", AQ_WANT_EC, "mS/cm" },
    { "Millisiemens/cm", AQ_WANT_EC, "mS/cm" },
    { "mSiemens", AQ_WANT_EC, "mS/cm" },
    { "mSiemens/cm", AQ_WANT_EC, "mS/cm" },
    { "microsiemens", AQ_WANT_EC, "uS/cm" },
    { "microsiemens/cm", AQ_WANT_EC, "uS/cm" },
    { "uSiemens/cm", AQ_WANT_EC, "uS/cm" },
    { "decisiemens", AQ_WANT_EC, "dS/m" },
    { "DeciSiemens/m", AQ_WANT_EC, "dS/m" },
    { "siemens", AQ_WANT_EC, "mS/cm, uS/cm or S/m" },
    { "mho", AQ_WANT_EC, "mmho/cm or umho/cm" },
    { "ukgal", AQ_WANT_VOLUME, "gal-imp" },
    { "gal-uk", AQ_WANT_VOLUME, "gal-imp" },
    { "gallon-uk", AQ_WANT_VOLUME, "gal-imp" },
    { "usgal", AQ_WANT_VOLUME, "gal-us" },
    { "uk", AQ_WANT_VOLUME, "gal-imp, qt-imp, pt-imp or fl-oz-imp" },
    { "imp", AQ_WANT_VOLUME, "gal-imp, qt-imp, pt-imp or fl-oz-imp" },
    { "Imperial", AQ_WANT_VOLUME, "gal-imp, qt-imp, pt-imp or fl-oz-imp" },
    { "floz", AQ_WANT_VOLUME, "fl-oz-us or fl-oz-imp" },
    { "cups", AQ_WANT_VOLUME, "cup-us or cup-metric" },
    { "t", AQ_WANT_VOLUME, "tsp-us, tsp-metric, tbsp-us or tbsp-metric" },
    { "tbs", AQ_WANT_VOLUME, "tbsp-us or tbsp-metric" },
    { "tblsp", AQ_WANT_VOLUME, "tbsp-us or tbsp-metric" },
    { "tea", AQ_WANT_VOLUME, "tsp-us or tsp-metric" },
    { "table", AQ_WANT_VOLUME, "tbsp-us or tbsp-metric" },
    { "drop", AQ_WANT_VOLUME, "mL, for a drop has no fixed size" },
    { "drops", AQ_WANT_VOLUME, "mL, for a drop has no fixed size" },
    { "lt", AQ_WANT_VOLUME, "L" },
    { "ltr", AQ_WANT_VOLUME, "L" },
    { "ltrs", AQ_WANT_VOLUME, "L" },
    { "mil", AQ_WANT_VOLUME, "mL" },
    { "mils", AQ_WANT_VOLUME, "mL" },
    { "cubic", AQ_WANT_VOLUME, "m3, cm3, ft3 or in3" },
    { "gm", AQ_WANT_MASS, "g" },
    { "gms", AQ_WANT_MASS, "g" },
    { "gramme", AQ_WANT_MASS, "g" },
    { "grammes", AQ_WANT_MASS, "g" },
    { "kilo", AQ_WANT_MASS, "kg" },
    { "kilos", AQ_WANT_MASS, "kg" },
    { "mcg", AQ_WANT_MASS, "ug" },
    { "c", AQ_WANT_TEMPERATURE, "degC" },
    { "celsius", AQ_WANT_TEMPERATURE, "degC" },
    { "Centigrade", AQ_WANT_TEMPERATURE, "degC" },
    { "K", AQ_WANT_TEMPERATURE, "degC" },
    { "kelvin", AQ_WANT_TEMPERATURE, "degC" },
    { "f", AQ_WANT_TEMPERATURE, "degF" },
    { "fahrenheit", AQ_WANT_TEMPERATURE, "degF" },
    { "deg", AQ_WANT_TEMPERATURE, "degC or degF" },
    { "degree", AQ_WANT_TEMPERATURE, "degC or degF" },
    { "degrees", AQ_WANT_TEMPERATURE, "degC or degF" },
    { "month", AQ_WANT_TIME, "week or d" },
    { "months", AQ_WANT_TIME, "week or d" },
    { "wk", AQ_WANT_TIME, "week" },
    { "wks", AQ_WANT_TIME, "week" },
    { "sec", AQ_WANT_TIME, "s" },
    { "secs", AQ_WANT_TIME, "s" },
    { "seconds", AQ_WANT_TIME, "s" },
    { "inch", AQ_WANT_LENGTH, "in" },
    { "inches", AQ_WANT_LENGTH, "in" },
    { "dGH", AQ_WANT_HARDNESS, "dH" },
    { "dKH", AQ_WANT_HARDNESS, "dH" },
    { "degKH", AQ_WANT_HARDNESS, "dH" },
    { "degGH", AQ_WANT_HARDNESS, "dH" },
    { "KH", AQ_WANT_HARDNESS, "dH" },
    { "GH", AQ_WANT_HARDNESS, "dH" },
    { "Clark", AQ_WANT_HARDNESS, "gpg-imp" },
    { "mval", AQ_WANT_CHARGE, "meq" },
};

static void test_words_that_people_use_lead_to_the_unit(void **state)
{
    const unsigned any = AQ_WANT_VOLUME | AQ_WANT_MASS | AQ_WANT_EC | AQ_WANT_TEMPERATURE | AQ_WANT_TIME |
                         AQ_WANT_LENGTH | AQ_WANT_HARDNESS | AQ_WANT_CHARGE;

    (void)state;
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        char text[40];

        snprintf(text, sizeof text, "2 %s", said[i].word);
        check_nearest(text, said[i].want, said[i].nearest);
        check_nearest(text, any, said[i].nearest);
    }
}

static void test_an_ec_slope_is_hinted_at_piece_by_piece(void **state)
{
    static const struct {
        const char *text, *says;
    } slopes[] = {
        { "0.4 mS per mL/L", "\"mS\" is not a unit we know; the nearest is mS/cm" },
        { "0.4 Ms/Cm per mL/L", "\"Ms/Cm\" is not a unit we know; the nearest is mS/cm" },
        { "0.4 mS/cm per ML/L", "\"ML\" is not a unit we know; the nearest is mL" },
        { "0.4 mS/cm per mL/galon", "\"galon\" is not a unit we know; the nearest is gal-us or gal-imp" },
        { "0.4 mS/cm per 100 Mg/L N", "\"Mg\" is not a unit we know; the nearest is mg" },
        { "0.4 EC per mL/L", "is it mS/cm" },
        { "0.4 mS/cm per mL/kgs", "\"kgs\" is not a unit we know; an EC slope needs" }, /* no mass */
    };

    (void)state;
    for (size_t i = 0; i < sizeof slopes / sizeof *slopes; i++) {
        aq_error err = { .status = AQ_OK };
        aq_slope got;

        check_true(slopes[i].text, aq_slope_read(&got, slopes[i].text, NULL, &err) != AQ_OK);
        if (!strstr(err.text, slopes[i].says))
            print_error("%s: %s\n", slopes[i].text, err.text);
        check_true(slopes[i].text, strstr(err.text, slopes[i].says) != NULL);
    }
}

static void test_what_is_near_nothing_is_told_what_is_wanted(void **state)
{
    static const struct {
        const char *text;
        unsigned want;
        const char *says;
    } far[] = {
        { "3 furlongs", AQ_WANT_VOLUME,
          "\"furlongs\" is not a unit we know; this needs a volume, like 60 L" },
        { "3 xyz", AQ_WANT_EC, "\"xyz\" is not a unit we know; this needs an EC, like 1.8 mS/cm" },
        { "3 mL/xyz", AQ_WANT_RATE, "a rate needs one volume per another, like 3 mL/L" },
        { "3 degK", AQ_WANT_VOLUME, "this needs a volume" },
        { "3 L/xyz", AQ_WANT_VOLUME, "this needs a volume" },
        /* near units that cannot stand there: nothing stands below a length, and before a "per" only an EC */
        { "36 mm/mmm", AQ_WANT_LENGTH, "this needs a length" },
        { "36 mm/mmm", AQ_WANT_LENGTH | AQ_WANT_RATE, "or a length, like 36 mm" },
        { "0.4 kgs per mL/L", AQ_WANT_SLOPE, "an EC" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof far / sizeof *far; i++) {
        aq_error err = { .status = AQ_OK };
        aq_quantity got;

        check_true(far[i].text,
                   aq_quantity_read(&got, far[i].text, far[i].want, NULL, &err) == AQ_UNKNOWN_UNIT);
        if (!strstr(err.text, far[i].says))
            print_error("%s: %s\n", far[i].text, err.text);
        check_true(far[i].text, strstr(err.text, far[i].says) != NULL);
        check_true(far[i].text, strstr(err.text, "nearest") == NULL);
    }
}

/* All that can be wanted, told at once, is longer than a message: it ends within it. */
static void test_a_long_list_of_what_is_wanted_is_cut(void **state)
{
    const unsigned all = 0xFFFFFFFFu & ~(unsigned)AQ_WANT_ANY;
    aq_error err = { .status = AQ_OK };
    aq_quantity got;

    (void)state;
    assert_int_equal(aq_quantity_read(&got, "3 mL/xyzxyz", all, NULL, &err), AQ_UNKNOWN_UNIT);
    check_true("whole", strlen(err.text) == AQ_ERROR_TEXT - 1);
}

/* Nothing is guessed: a word that can be either of two units is asked about, with the answers named. */
static void test_a_word_of_two_units_is_a_question(void **state)
{
    static const struct {
        const char *text;
        unsigned want;
        const char *key, *choices, *says;
    } open[] = {
        { "1.8 EC", AQ_WANT_EC, "unit", "mS/cm uS/cm ", "EC is what is measured, not a unit: is it mS/cm" },
        { "1800ec", AQ_WANT_EC, "unit", "mS/cm uS/cm ", "or uS/cm" },
        { "900 TDS", AQ_WANT_EC, "unit", "ppm-500 ppm-640 ppm-700 ", "ppm-500, ppm-640 or ppm-700?" },
        { "900 PPM", AQ_WANT_EC, "ppm", "500 640 700 ", "900 PPM is 1.80 mS/cm (500), 1.41 mS/cm (640)" },
        { "900 PPM", AQ_WANT_CONTENT, "mass-ppm", "mg/L mg/kg ", "write mg/L or mg/kg" },
        { "180 PPM", AQ_WANT_HARDNESS, "mass-ppm", "mg/L CaCO3 ", "write mg/L CaCO3" },
        { "5 gr", AQ_WANT_MASS, "unit", "g grain ", "write g or grain" },
        { "5 gr/L", AQ_WANT_CONTENT, "unit", "g grain ", "write g or grain" },
        { "6%", AQ_WANT_RATE | AQ_WANT_CONTENT, "basis", "w/w w/v v/v ", "write % w/w, % w/v or % v/v" },
        { "6 pct", AQ_WANT_CONTENT, "basis", "w/w w/v v/v ", "write % w/w, % w/v or % v/v" },
        { "20 gal", AQ_WANT_VOLUME, "gallon", "us imperial ", "75.7 L (us) or 90.9 L (imperial)" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof open / sizeof *open; i++) {
        aq_error err = { .status = AQ_OK };
        char choices[80] = "";
        aq_quantity got;

        check_true(open[i].text,
                   aq_quantity_read(&got, open[i].text, open[i].want, NULL, &err) == AQ_AMBIGUOUS);
        check_text(open[i].text, err.question.key, open[i].key);
        for (size_t c = 0; c < err.question.count; c++) {
            strcat(choices, err.question.choice[c].word);
            strcat(choices, " ");
        }
        check_text(open[i].text, choices, open[i].choices);
        if (!strstr(err.text, open[i].says))
            print_error("%s: %s\n", open[i].text, err.text);
        check_true(open[i].text, strstr(err.text, open[i].says) != NULL);
        check_true(open[i].text, !got.given);
    }
}

/* An ounce is a mass; a label that pours means the fluid one. */
static void test_an_ounce_of_a_liquid_names_the_fluid_ounce(void **state)
{
    aq_error err = { .status = AQ_OK };
    aq_quantity got;

    (void)state;
    assert_int_equal(aq_quantity_read(&got, "5 oz", AQ_WANT_VOLUME, NULL, &err), AQ_WRONG_KIND);
    assert_non_null(
        strstr(err.text, "5 oz is a mass; this needs a volume, like 60 L, or fl-oz-us or fl-oz-imp"));
    err.status = AQ_OK;
    assert_int_equal(aq_quantity_read(&got, "5 g", AQ_WANT_VOLUME, NULL, &err), AQ_WRONG_KIND);
    assert_null(strstr(err.text, "fl-oz"));
}

/* Letters, then one character of so many bytes, then more: whole characters, 40 bytes at most. */
static void test_a_message_shows_whole_characters(void **state)
{
    static const struct {
        const char *character;
        size_t letters;
        int shown;
    } at[] = {
        { "", 39, 40 },
        { "\xC2\xB5", 38, 40 },
        { "\xC2\xB5", 39, 39 },
        { "\xE0\xB8\x81", 37, 40 }, /* the least lead of three bytes */
        { "\xE0\xB8\x81", 38, 38 },
        { "\xE0\xB8\x81", 39, 39 },
        { "\xF0\x90\x80\x80", 36, 40 }, /* the least lead of four */
        { "\xF0\x90\x80\x80", 37, 37 },
        { "\xF0\x90\x80\x80", 38, 38 },
        { "\xF0\x90\x80\x80", 39, 39 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        char text[80], row[40];
        size_t letters = at[i].letters, bytes = strlen(at[i].character);

        memset(text, 'x', sizeof text);
        memcpy(text + letters, at[i].character, bytes);
        snprintf(row, sizeof row, "%zu letters and %zu bytes", letters, bytes);
        check_true(row, aq_hint_shown(text, sizeof text) == at[i].shown);
    }
    assert_int_equal(aq_hint_shown("xxxxx", 5), 5);
    assert_int_equal(aq_hint_shown("xx\xC2\xB5", 4), 4);
    assert_int_equal(aq_hint_shown("", 0), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_nearest_is_of_the_kind_that_is_wanted),
        cmocka_unit_test(test_words_that_people_use_lead_to_the_unit),
        cmocka_unit_test(test_an_ec_slope_is_hinted_at_piece_by_piece),
        cmocka_unit_test(test_what_is_near_nothing_is_told_what_is_wanted),
        cmocka_unit_test(test_a_long_list_of_what_is_wanted_is_cut),
        cmocka_unit_test(test_a_word_of_two_units_is_a_question),
        cmocka_unit_test(test_an_ounce_of_a_liquid_names_the_fluid_ounce),
        cmocka_unit_test(test_a_message_shows_whole_characters),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
