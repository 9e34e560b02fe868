/* Which codes a substance has at which strength, and which classes it belongs to. */
#include "sheet/said.h"

/* reference rows: ECHA registry of intentions and GisChem for the peroxide, CLP annex VI (from memory) for the rest. */
static void test_codes_follow_the_strength(void **state)
{
    static const struct {
        const char *substance;
        double strength;
        const char *codes;
    } rows[] = {
        { "hydrogen peroxide", 0.03, "" },
        { "hydrogen peroxide", 0.0499, "" },
        { "hydrogen peroxide", 0.05, "H319" },
        { "hydrogen peroxide", 0.0799, "H319" },
        { "hydrogen peroxide", 0.08, "H272 H318" },
        { "hydrogen peroxide", 0.2499, "H272 H318" },
        { "hydrogen peroxide", 0.3499, "H272 H302 H318" },
        { "hydrogen peroxide", 0.30, "H272 H302 H318" },
        { "H2O2", 0.35, "H272 H302 H315 H318 H335" },
        { "hydrogen peroxide", 0.50, "H272 H302 H314 H335" },
        { "hydrogen peroxide", 0.70, "H271 H302 H314 H335" },
        { "Isopropanol", 0.70, "H225 H319 H336" },
        { "isopropyl alcohol", 0.05, "" },
        { "ethanol", 0.96, "H225 H319" },
        { "bleach", 0.06, "H314 H318 H400 H410 EUH031" },
        { "sodium hypochlorite", 0.005, "" },
        { "phosphoric acid", 0.75, "H290 H314" },
        { "phosphoric acid", 0.20, "H315 H319" },
        { "phosphoric acid", 0.09, "" },
        { "nitric", 0.67, "H272 H314 H331 EUH071" },
        { "nitric acid", 0.38, "H314 H331 EUH071" },
        { "Sulphuric Acid", 0.35, "H290 H314" },
        { "sulfuric acid", 0.04, "" },
        { "citric acid", 1, "H319 H335" },
        { "potassium hydroxide", 0.30, "H290 H302 H314" },
        { "calcium nitrate", 1, "H302 H318" },
        { "potassium nitrate", 1, "H272" },
        { "ammonium nitrate", 1, "H272 H319" },
        { "copper sulfate", 1, "H302 H318 H410" },
        { "zinc sulphate", 1, "H302 H318 H410" },
        { "manganese sulfate", 1, "H373 H411" },
        { "iron sulfate", 1, "H302 H315 H319" },
        { "boric acid", 1, "H360FD" },
        { "boric acid", 0.002, "" },
        { "potassium silicate", 0.30, "H315 H319" },
        { "K-IBA", 1, "H301 H315 H319 H335" },
        { "IBA", 0.01, "" },
        { "NAA", 1, "H302 H318 H335 H412" },
        { "urea", 1, "" },
        { "MKP", 1, "" },
        { "hydrogen peroxide", NAN, "H271 H302 H314 H335" },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const aq_substance *substance = aq_substance_find(rows[i].substance);
        check_true(rows[i].substance, substance != NULL);
        check_text(rows[i].substance, aq_substance_codes(substance, rows[i].strength), rows[i].codes);
    }
    assert_null(aq_substance_find("moon dust"));
    assert_null(aq_substance_find(""));
}

static void test_every_code_of_the_table_has_its_text_and_every_band_is_stronger(void **state)
{
    size_t count;
    const aq_substance *substances = aq_substance_table(&count);
    (void)state;
    for (size_t i = 0; i < count; i++) {
        const aq_substance *substance = &substances[i];
        check_true(substance->name, substance->source && *substance->source);
        check_true(substance->name, aq_substance_find(substance->name) == substance);
        for (size_t b = 0; b < AQ_BANDS_MOST && substance->bands[b].codes; b++) {
            check_true(substance->name, b == 0 || substance->bands[b].from > substance->bands[b - 1].from);
            for (const char *code = substance->bands[b].codes; *code;) {
                char word[16];
                size_t length = strcspn(code, " ");
                assert_true(length < sizeof word);
                memcpy(word, code, length);
                word[length] = '\0';
                check_true(word, aq_hazard_text(word) != NULL);
                code += length + (code[length] == ' ');
            }
        }
    }
}

/* UN GHS revision 11, annex 3. */
static void test_texts_of_the_statements(void **state)
{
    (void)state;
    check_text("H318", aq_hazard_text("H318"), "Causes serious eye damage");
    check_text("H314", aq_hazard_text("H314"), "Causes severe skin burns and eye damage");
    check_text("H272", aq_hazard_text("H272"), "May intensify fire; oxidizer");
    check_text("EUH031", aq_hazard_text("EUH031"), "Contact with acids liberates toxic gas");
    assert_null(aq_hazard_text("H999"));
}

/* Names of the shortest and the longest sort among them. */
static void test_a_substance_is_found_by_each_of_its_names(void **state)
{
    size_t count;
    const aq_substance *table = aq_substance_table(&count);
    char name[64];

    (void)state;
    for (size_t i = 0; i < count; i++) {
        const char *rest = table[i].others;
        check_true(table[i].name, aq_substance_find(table[i].name) == &table[i]);
        while (*rest) {
            size_t length = strcspn(rest, ";");
            check_true(rest, length < sizeof name);
            memcpy(name, rest, length);
            name[length] = '\0';
            check_true(name, aq_substance_find(name) == &table[i]);
            check_true(name, !table[i].classes || aq_substance_of_class(name, table[i].classes) == &table[i]);
            rest += length;
            rest += strspn(rest, "; ");
        }
    }
    assert_null(aq_substance_find(""));
    assert_null(aq_substance_find("nitri"));
    assert_null(aq_substance_find("nitric acids"));
    assert_null(aq_substance_of_class("nitric acid", AQ_BASE));
}

static void test_a_salt_is_known_by_its_formula(void **state)
{
    static const struct {
        const char *formula, *name;
    } rows[] = {
        { "Ca(NO3)2.4H2O", "calcium nitrate" },
        { "KNO3", "potassium nitrate" },
        { "MgSO4.7H2O", "magnesium sulfate" },
        { "CuSO4*5H2O", "copper sulfate" },
        { "K2SO4", "potassium sulfate" },
        { "H3BO3", "boric acid" },
        { "ZnSO4\xc2\xb7"
          "7H2O",
          "zinc sulfate" },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const aq_substance *found = aq_substance_of_formula(rows[i].formula);
        check_true(rows[i].formula, found != NULL);
        check_text(rows[i].formula, found->name, rows[i].name);
    }
    assert_null(aq_substance_of_formula("KNO"));
    assert_null(aq_substance_of_formula("KNO33"));
}

static void test_classes_come_from_name_formula_and_label(void **state)
{
    aq_named_amount contents[] = { { .name = "Ca", .amount = { .value = 0.05, .given = true } },
                                   { .name = "NH4-N", .amount = { .value = 0.003, .given = true } },
                                   { .name = "P2O5", .amount = { .value = 0, .given = true } } };
    aq_part labelled = { .name = "Part A", .analysis = { .contents = { .at = contents, .count = 3 } } };
    aq_part double_salt = { .name = "Grower's lime", .formula = "5Ca(NO3)2.NH4NO3.10H2O" };
    aq_part cleaner = { .name = "Line cleaner", .of = "sodium hypochlorite" };
    const struct {
        const char *row;
        aq_handled handled;
        unsigned classes;
    } rows[] = {
        { "label", { .name = "Part A", .part = &labelled }, AQ_CALCIUM | AQ_AMMONIUM },
        { "formula", { .name = "Grower's lime", .part = &double_salt }, AQ_CALCIUM | AQ_AMMONIUM },
        { "of", { .name = "Line cleaner", .part = &cleaner }, AQ_HYPOCHLORITE },
        { "a word of the name", { .name = "Bench Bleach, thin" }, AQ_HYPOCHLORITE },
        { "acid by a word", { .name = "Nitric acid 60 %" }, AQ_ACID },
        { "amino acids", { .name = "Amino acid feed" }, 0 },
        { "alcohol-free", { .name = "Alcohol-free cleaner" }, 0 },
        { "a plain name", { .name = "Part B" }, 0 },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        check_true(rows[i].row,
                   aq_handled_classes(&rows[i].handled, aq_handled_substance(&rows[i].handled)) ==
                       rows[i].classes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_codes_follow_the_strength),
        cmocka_unit_test(test_every_code_of_the_table_has_its_text_and_every_band_is_stronger),
        cmocka_unit_test(test_texts_of_the_statements),
        cmocka_unit_test(test_a_substance_is_found_by_each_of_its_names),
        cmocka_unit_test(test_a_salt_is_known_by_its_formula),
        cmocka_unit_test(test_classes_come_from_name_formula_and_label),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
