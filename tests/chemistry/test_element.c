/* Atomic weights against the abridged values of CIAAW 2021 (Prohaska et al. 2022, Pure Appl. Chem. 94, 573-600),
 * five significant figures, and the intervals of the same table, within half of the last figure that a conventional
 * value has (that of oxygen, 15.999, lies just below its interval). */
#include "check.h"
#include "chemistry/element.h"

static const struct {
    const char *symbol;
    double least, most; /* the interval, or the abridged value rounded here, twice */
} published[] = {
    { "H", 1.00784, 1.00811 },   { "B", 10.806, 10.821 },     { "C", 12.0096, 12.0116 },
    { "N", 14.00643, 14.00728 }, { "O", 15.99903, 15.99977 }, { "F", 18.998, 18.998 },
    { "Na", 22.990, 22.990 },    { "Mg", 24.304, 24.307 },    { "Si", 28.084, 28.086 },
    { "P", 30.974, 30.974 },     { "S", 32.059, 32.076 },     { "Cl", 35.446, 35.457 },
    { "K", 39.098, 39.098 },     { "Ca", 40.078, 40.078 },    { "Mn", 54.938, 54.938 },
    { "Fe", 55.845, 55.845 },    { "Co", 58.933, 58.933 },    { "Ni", 58.693, 58.693 },
    { "Cu", 63.546, 63.546 },    { "Zn", 65.38, 65.38 },      { "Mo", 95.95, 95.95 },
};

static void test_each_weight_is_the_published_one(void **state)
{
    (void)state;
    assert_int_equal(sizeof published / sizeof *published, AQ_ELEMENT_COUNT);
    for (size_t i = 0; i < AQ_ELEMENT_COUNT; i++) {
        aq_element element = aq_element_find(published[i].symbol, strlen(published[i].symbol));
        double half = published[i].least == published[i].most ? 0.0005 : 0.00005;

        assert_int_not_equal(element, AQ_ELEMENT_COUNT);
        check_text(published[i].symbol, aq_element_of(element)->symbol, published[i].symbol);
        check_true(published[i].symbol, aq_element_of(element)->weight >= published[i].least - half);
        check_true(published[i].symbol, aq_element_of(element)->weight <= published[i].most + half);
    }
}

static void test_a_symbol_is_found_whole_and_by_its_case(void **state)
{
    (void)state;
    assert_int_equal(aq_element_find("CO", 2), AQ_ELEMENT_COUNT);
    assert_int_equal(aq_element_find("Co", 2), AQ_EL_CO);
    assert_int_equal(aq_element_find("Co", 1), AQ_EL_C);
    assert_int_equal(aq_element_find("n", 1), AQ_ELEMENT_COUNT);
    assert_int_equal(aq_element_find("", 0), AQ_ELEMENT_COUNT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_weight_is_the_published_one),
        cmocka_unit_test(test_a_symbol_is_found_whole_and_by_its_case),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
