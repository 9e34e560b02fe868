/* KCl standards against figures that the table in the library does not hold. */
#include "check.h"
#include "chemistry/standard.h"

/* US EPA Method 120.1 (editorial revision 1982), conductance of 0.01 mol/L KCl; 20 degC: the value printed on bottles
 * of 1413 uS/cm standard, common practice, no source. */
static const struct {
    const char *row;
    double celsius, want;
} epa[] = {
    { "EPA 120.1 at 21", 21, 1.305 }, { "EPA 120.1 at 22", 22, 1.332 }, { "EPA 120.1 at 23", 23, 1.359 },
    { "EPA 120.1 at 24", 24, 1.386 }, { "EPA 120.1 at 25", 25, 1.413 }, { "EPA 120.1 at 26", 26, 1.441 },
    { "bottle at 20", 20, 1.278 },
};

static void test_a_standard_follows_the_printed_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof epa / sizeof *epa; i++)
        check_within(epa[i].row, aq_standard_at(1.413, epa[i].celsius), epa[i].want, 0.0015);
}

static void test_25_degrees_changes_nothing(void **state)
{
    static const double strengths[] = { 0.084, 0.147, 1.413, 2.764, 12.88, 111.3, 150 };

    (void)state;
    for (size_t i = 0; i < sizeof strengths / sizeof *strengths; i++)
        check_close("at 25", aq_standard_at(strengths[i], 25), strengths[i], 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_standard_follows_the_printed_table),
        cmocka_unit_test(test_25_degrees_changes_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
