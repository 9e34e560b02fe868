/* Which word was meant: slips that keys and names really suffer, and words that are too far to guess. */
#include "check.h"

#include "document/field.h"

static const char *const words[] = { "name",     "rate",    "density",    "analysis", "formula",
                                     "water-ec", "heel-ec", "ec",         "ph",       "volume",
                                     "together", "targets", "over-label", NULL };

static const struct {
    const char *typed, *meant; /* NULL: nothing is near */
} rows[] = {
    { "rat", "rate" },
    { "ratee", "rate" },
    { "raet", "rate" },
    { "rste", "rate" },
    { "Rate", "rate" },
    { "RATE", "rate" },
    { "denisty", "density" },
    { "desnity", "density" },
    { "dens", "density" },
    { "vol", "volume" },
    { "water_ec", "water-ec" },
    { "waterec", "water-ec" },
    { "Water_EC", "water-ec" },
    { "heal-ec", "heel-ec" },
    { "analisys", "analysis" },
    { "volumne", "volume" },
    { "target", "targets" },
    { "overlabel", "over-label" },
    { "togther", "together" },
    { "ce", "ec" },
    { "e", NULL },
    { "pH", "ph" },
    { "colour", NULL },
    { "", NULL },
    { "x", NULL },
    { "zz", NULL },
    { "temperature", NULL },
    { "va", NULL },
    { "price", NULL },
    { "a-key-that-goes-on-and-on-until-nobody-could-have-meant-it", NULL },
};

static void test_a_slip_names_the_word_that_was_meant(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *got = aq_nearest(rows[i].typed, words);

        check_text(rows[i].typed, got ? got : "none", rows[i].meant ? rows[i].meant : "none");
    }
}

static void test_the_first_of_two_as_near_is_named(void **state)
{
    static const char *const pair[] = { "heel", "heat", NULL }, *const none[] = { NULL };
    static const char *const hyphens[] = { "azbzc", "a-b-c", NULL };

    (void)state;
    check_text("hee", aq_nearest("hee", pair), "heel");
    check_text("heap", aq_nearest("heap", pair), "heat");
    check_text("a_b_c", aq_nearest("a_b_c", hyphens), "a-b-c");
    assert_null(aq_nearest("heel", none));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_slip_names_the_word_that_was_meant),
        cmocka_unit_test(test_the_first_of_two_as_near_is_named),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
