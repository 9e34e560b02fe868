/* What each kind of quantity is called, and which units have an offset. The exponents are written out from the meaning
 * of the words, apart from the table. */
#include "check.h"
#include "measure/quantity.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const struct {
    aq_kind kind;
    const char *says;
} kinds[] = {
    { { .volume = 1 }, "a volume" },
    { { .mass = 1 }, "a mass" },
    { { .ec = 1 }, "an EC" },
    { { .rate = 1 }, "a rate" },
    { { .mass = 1, .volume = -1 }, "a mass per volume" },
    { { .amount = 1 }, "an amount of substance" },
    { { .amount = 1, .volume = -1 }, "an amount of substance per volume" },
    { { .charge = 1 }, "an amount of charge" },
    { { .charge = 1, .volume = -1 }, "a hardness or alkalinity" },
    { { .heat = 1 }, "a temperature" },
    { { .time = 1 }, "a time" },
    { { .volume = 1, .time = -1 }, "a volume per time" },
    { { .length = 1 }, "a length" },
    { { .heat = -1 }, "a share per degree" },
    { { .ec = 1, .rate = -1 }, "an EC per rate" },
    { { .ec = 1, .mass = -1, .volume = 1 }, "an EC per mass per volume" },
    { { .ec = 1, .time = -1 }, "an EC per time" },
    { { .mass = 1, .time = -1 }, "a mass per time" },
    { { .amount = 1, .mass = -1 }, "an amount of substance per mass" },
    { { .charge = 1, .mass = -1 }, "a charge per mass" },
    { { 0 }, "a share" },
    { { .mass = 2 }, "a compound quantity" },
    { { .volume = -1 }, "a compound quantity" },
    { { .time = -1 }, "a compound quantity" },
    { { .ec = 1, .mass = -1 }, "a compound quantity" },
};

static void test_a_kind_is_called_by_what_it_measures(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(kinds); i++)
        check_text(kinds[i].says, aq_kind_says(kinds[i].kind), kinds[i].says);
}

static void test_the_kinds_by_name_are_those_kinds(void **state)
{
    static const struct {
        const aq_kind *kind;
        const char *says;
    } names[] = {
        { &AQ_KIND_SHARE, "a share" },
        { &AQ_KIND_VOLUME, "a volume" },
        { &AQ_KIND_MASS, "a mass" },
        { &AQ_KIND_EC, "an EC" },
        { &AQ_KIND_RATE, "a rate" },
        { &AQ_KIND_CONTENT, "a mass per volume" },
        { &AQ_KIND_AMOUNT, "an amount of substance" },
        { &AQ_KIND_MOLARITY, "an amount of substance per volume" },
        { &AQ_KIND_HARDNESS, "a hardness or alkalinity" },
        { &AQ_KIND_TEMPERATURE, "a temperature" },
        { &AQ_KIND_TIME, "a time" },
        { &AQ_KIND_FLOW, "a volume per time" },
    };

    (void)state;
    for (size_t i = 0; i < COUNT(names); i++)
        check_text(names[i].says, aq_kind_says(*names[i].kind), names[i].says);
}

/* In a unit of several pieces the exponents add up and the factors multiply; below a line both turn round. */
static void test_pieces_multiply_and_divide(void **state)
{
    static const struct {
        const char *unit;
        aq_kind kind;
        double factor;
    } rows[] = {
        { "kg.mg", { .mass = 2 }, 1 },
        { "kg.kg", { .mass = 2 }, 1e6 },
        { "kg.dL", { .mass = 1, .volume = 1 }, 100 },
        { "kg.mmol", { .mass = 1, .amount = 1 }, 1 },
        { "kg.eq", { .mass = 1, .charge = 1 }, 1e3 },
        { "kg.S/m", { .mass = 1, .ec = 1 }, 1e4 },
        { "kg.week", { .mass = 1, .time = 1 }, 7e3 },
        { "kg.degC", { .mass = 1, .heat = 1 }, 1e3 },
        { "kg.cm", { .mass = 1, .length = 1 }, 10 },
        { "d/kg", { .time = 1, .mass = -1 }, 1e-3 },
        { "d/m3", { .time = 1, .volume = -1 }, 1e-3 },
        { "d/mmol", { .time = 1, .amount = -1 }, 1e3 },
        { "d/meq", { .time = 1, .charge = -1 }, 1e3 },
        { "d/S/m", { .time = 1, .ec = -1 }, 0.1 },
        { "g/week", { .mass = 1, .time = -1 }, 1. / 7 },
        { "d/degC", { .time = 1, .heat = -1 }, 1 },
        { "d/cm", { .time = 1, .length = -1 }, 100 },
        { "d per mL/L", { .time = 1, .rate = -1 }, 1e3 },
        { "L.L/L", { .volume = 1, .rate = 1 }, 1 },
        { "L.L/L/L", { .rate = 2 }, 1 },
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_measure got;

        check_true(rows[i].unit, aq_measure_read(&got, rows[i].unit, NULL, NULL) == AQ_OK);
        check_true(rows[i].unit, aq_kind_equal(got.kind, rows[i].kind));
        check_within(rows[i].unit, got.factor, rows[i].factor, 1e-15 * rows[i].factor);
    }
}

/* NIST SP 811, B.8: of all these units only the degree Fahrenheit has another zero. */
static void test_only_fahrenheit_begins_elsewhere(void **state)
{
    size_t count;
    const aq_unit *table = aq_unit_table(&count);

    (void)state;
    for (size_t i = 0; i < count; i++)
        check_within(table[i].name, table[i].offset, strcmp(table[i].name, "degF") == 0 ? -32 : 0, 0);
}

/* The prefixes of the SI (BIPM, The International System of Units, 9th edition, table 7), and parts of a day. */
static void test_units_with_a_prefix_are_its_power_of_ten(void **state)
{
    static const struct {
        const char *unit;
        double factor;
        const char *says;
    } rows[] = {
        { "L", 1, "a volume" },
        { "dL", 1e-1, "a volume" },
        { "cL", 1e-2, "a volume" },
        { "mL", 1e-3, "a volume" },
        { "uL", 1e-6, "a volume" },
        { "m3", 1e3, "a volume" },
        { "cm3", 1e-3, "a volume" },
        { "g", 1, "a mass" },
        { "kg", 1e3, "a mass" },
        { "mg", 1e-3, "a mass" },
        { "ug", 1e-6, "a mass" },
        { "mS/cm", 1, "an EC" },
        { "dS/m", 1, "an EC" },
        { "uS/cm", 1e-3, "an EC" },
        { "S/m", 10, "an EC" },
        { "mS/m", 1e-2, "an EC" },
        { "mmho/cm", 1, "an EC" },
        { "umho/cm", 1e-3, "an EC" },
        { "CF", 1e-1, "an EC" },
        { "%", 1e-2, "a share" },
        { "g/kg", 1e-3, "a share" },
        { "mg/kg", 1e-6, "a share" },
        { "ug/kg", 1e-9, "a share" },
        { "%w/w", 1e-2, "a share" },
        { "%w/v", 10, "a mass per volume" },
        { "%v/v", 1e-2, "a rate" },
        { "mol", 1, "an amount of substance" },
        { "mmol", 1e-3, "an amount of substance" },
        { "umol", 1e-6, "an amount of substance" },
        { "eq", 1, "an amount of charge" },
        { "meq", 1e-3, "an amount of charge" },
        { "ueq", 1e-6, "an amount of charge" },
        { "week", 7, "a time" },
        { "d", 1, "a time" },
        { "h", 1. / 24, "a time" },
        { "min", 1. / 1440, "a time" },
        { "s", 1. / 86400, "a time" },
        { "m", 1, "a length" },
        { "cm", 1e-2, "a length" },
        { "mm", 1e-3, "a length" },
        { "um", 1e-6, "a length" },
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        const aq_unit *unit = NULL;

        check_true(rows[i].unit,
                   aq_unit_find(&unit, rows[i].unit, strlen(rows[i].unit), NULL, NULL) == AQ_OK);
        check_text(rows[i].unit, aq_kind_says(unit->kind), rows[i].says);
        check_within(rows[i].unit, unit->factor, rows[i].factor, 1e-15 * rows[i].factor);
    }
}

/* One unit of each kind where another is wanted: the complaint says what it is, what is needed, and an example. */
static void test_a_quantity_of_another_kind_is_told_what_is_wanted(void **state)
{
    static const struct {
        unsigned want;
        const char *text, *says;
    } rows[] = {
        { AQ_WANT_VOLUME, "3 g", "3 g is a mass; this needs a volume, like 60 L" },
        { AQ_WANT_MASS, "3 L", "3 L is a volume; this needs a mass, like 170 g" },
        { AQ_WANT_EC, "3 L", "this needs an EC, like 1.8 mS/cm" },
        { AQ_WANT_RATE, "3 mL", "3 mL is a volume; a rate needs one volume per another, like 3 mL/L" },
        { AQ_WANT_CONTENT, "3 mL/L", "this needs a mass per volume, like 0.5 g/L" },
        { AQ_WANT_AMOUNT, "3 g", "this needs an amount of substance, like 5 mmol" },
        { AQ_WANT_MOLARITY, "3 g/L", "this needs an amount of substance per volume, like 5 mmol/L" },
        { AQ_WANT_HARDNESS, "3 mmol", "this needs a hardness or alkalinity, like 120 mg/L CaCO3" },
        { AQ_WANT_TIME, "3 L/d", "3 L/d is a volume per time" },
        { AQ_WANT_FLOW, "3 L", "3 L is a volume" },
        { AQ_WANT_LENGTH, "3 h", "3 h is a time" },
        { AQ_WANT_TEMPERATURE, "3 mm", "3 mm is a length" },
        { AQ_WANT_CHARGE, "3 degC", "3 degC is a temperature" },
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_error err = { .status = AQ_OK };
        aq_quantity got;

        check_true(rows[i].text,
                   aq_quantity_read(&got, rows[i].text, rows[i].want, NULL, &err) == AQ_WRONG_KIND);
        if (!strstr(err.text, rows[i].says))
            print_error("%s\n", err.text);
        check_true(rows[i].text, strstr(err.text, rows[i].says) != NULL);
    }
}

/* Each reading of an open name is shown in the unit a person would say it in. */
static void test_an_open_name_shows_amounts_of_a_handy_size(void **state)
{
    static const struct {
        unsigned want;
        const char *text, *says;
    } rows[] = {
        { AQ_WANT_VOLUME, "10 gal", "10 gal is 37.9 L (us) or 45.5 L (imperial)" },
        { AQ_WANT_VOLUME, "2 fl-oz", "2 fl-oz is 59.1 mL (us) or 56.8 mL (imperial)" },
        { AQ_WANT_EC, "500 ppm", "500 ppm is 1.00 mS/cm (500), 0.781 mS/cm (640) or 0.714 mS/cm (700)" },
        { AQ_WANT_FLOW, "2 gal/d", "7.57 L/d (us) or 9.09 L/d (imperial)" },
        { AQ_WANT_CONTENT, "1 oz/gal", "7.49 g/L (us) or 6.24 g/L (imperial)" },
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        aq_error err = { .status = AQ_OK };
        aq_quantity got;

        check_true(rows[i].text,
                   aq_quantity_read(&got, rows[i].text, rows[i].want, NULL, &err) == AQ_AMBIGUOUS);
        if (!strstr(err.text, rows[i].says))
            print_error("%s\n", err.text);
        check_true(rows[i].text, strstr(err.text, rows[i].says) != NULL);
    }
}

/* A unit alone: what stands behind it is told with its place, and what fails measures nothing. */
static void test_a_unit_alone_is_followed_by_nothing(void **state)
{
    static const struct {
        const char *text;
        aq_status status;
        int column, span;
        double factor;
    } rows[] = {
        { "mL", AQ_OK, 0, 0, 1e-3 },     { " mL ", AQ_OK, 0, 0, 1e-3 }, { "mL x", AQ_SYNTAX, 4, 1, 0 },
        { "g - 3", AQ_SYNTAX, 3, 3, 0 }, { "", AQ_SYNTAX, 1, 1, 0 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_error err = { .status = AQ_OK };
        aq_measure got;

        check_true(rows[i].text, aq_measure_read(&got, rows[i].text, NULL, &err) == rows[i].status);
        check_true(rows[i].text, err.status == rows[i].status);
        check_within(rows[i].text, got.factor, rows[i].factor, 1e-18);
        if (rows[i].status != AQ_OK) {
            check_within(rows[i].text, err.place.column, rows[i].column, 0);
            check_within(rows[i].text, err.place.span, rows[i].span, 0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_kind_is_called_by_what_it_measures),
        cmocka_unit_test(test_the_kinds_by_name_are_those_kinds),
        cmocka_unit_test(test_pieces_multiply_and_divide),
        cmocka_unit_test(test_only_fahrenheit_begins_elsewhere),
        cmocka_unit_test(test_units_with_a_prefix_are_its_power_of_ten),
        cmocka_unit_test(test_a_quantity_of_another_kind_is_told_what_is_wanted),
        cmocka_unit_test(test_an_open_name_shows_amounts_of_a_handy_size),
        cmocka_unit_test(test_a_unit_alone_is_followed_by_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
