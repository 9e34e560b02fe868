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
    } rows[] = {
        { "L", 1 },           { "dL", 1e-1 },      { "cL", 1e-2 },      { "mL", 1e-3 },    { "uL", 1e-6 },
        { "m3", 1e3 },        { "cm3", 1e-3 },     { "g", 1 },          { "kg", 1e3 },     { "mg", 1e-3 },
        { "ug", 1e-6 },       { "mS/cm", 1 },      { "dS/m", 1 },       { "uS/cm", 1e-3 }, { "S/m", 10 },
        { "mS/m", 1e-2 },     { "mmho/cm", 1 },    { "umho/cm", 1e-3 }, { "CF", 1e-1 },    { "%", 1e-2 },
        { "g/kg", 1e-3 },     { "mg/kg", 1e-6 },   { "ug/kg", 1e-9 },   { "%w/w", 1e-2 },  { "%w/v", 10 },
        { "%v/v", 1e-2 },     { "mol", 1 },        { "mmol", 1e-3 },    { "umol", 1e-6 },  { "eq", 1 },
        { "meq", 1e-3 },      { "ueq", 1e-6 },     { "week", 7 },       { "d", 1 },        { "h", 1. / 24 },
        { "min", 1. / 1440 }, { "s", 1. / 86400 }, { "m", 1 },          { "cm", 1e-2 },    { "mm", 1e-3 },
        { "um", 1e-6 },
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        const aq_unit *unit = NULL;

        check_true(rows[i].unit,
                   aq_unit_find(&unit, rows[i].unit, strlen(rows[i].unit), NULL, NULL) == AQ_OK);
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_kind_is_called_by_what_it_measures),
        cmocka_unit_test(test_only_fahrenheit_begins_elsewhere),
        cmocka_unit_test(test_units_with_a_prefix_are_its_power_of_ten),
        cmocka_unit_test(test_a_quantity_of_another_kind_is_told_what_is_wanted),
        cmocka_unit_test(test_an_open_name_shows_amounts_of_a_handy_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
