/* Tops of pH: UF/IFAS Extension, Chelated Fertilizers (from memory). */
#include "chemistry/chelate.h"

#include "check.h"

static void test_chelates_are_found_in_names(void **state)
{
    static const struct {
        const char *text, *name;
        double highest;
    } rows[] = {
        { "EDTA", "EDTA", 6.5 },   { "Fe-EDDHA 6 %", "EDDHA", 9 },     { "iron dtpa", "DTPA", 7.5 },
        { "FeHEDTA", "HEDTA", 7 }, { "Iron (o,o-EDDHA)", "EDDHA", 9 }, { "Fe EDDHMA", "EDDHMA", 9 },
        { "HBED", "HBED", 12 },
    };
    static const char *const none[] = { "", "Iron", "EDTAX", "dt pa", NULL };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const aq_chelate *got = aq_chelate_in(rows[i].text);

        assert_non_null(got);
        check_text(rows[i].text, got->name, rows[i].name);
        check_within(rows[i].text, got->highest, rows[i].highest, 0);
        assert_true(got->lowest < 5 && 5 < got->highest);
    }
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        assert_null(aq_chelate_in(none[i]));
}

static void test_the_mildest_that_holds_is_named(void **state)
{
    (void)state;
    check_text("a feed", aq_chelate_for(5.5, 6.2)->name, "EDTA");
    check_text("at its top", aq_chelate_for(5.5, 6.5)->name, "EDTA");
    check_text("a little above", aq_chelate_for(5.5, 6.51)->name, "DTPA");
    check_text("hard water", aq_chelate_for(7.8, 7.8)->name, "EDDHA");
    check_text("lime", aq_chelate_for(9.4, 9.4)->name, "HBED");
    assert_null(aq_chelate_for(1, 7));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_chelates_are_found_in_names),
        cmocka_unit_test(test_the_mildest_that_holds_is_named),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
