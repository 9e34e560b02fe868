/* Characters of what users type. */
#include "check.h"
#include "render/glyph.h"

/* The byte sequences of RFC 3629 and of table 3-7 of the Unicode Standard: well formed, and the ways they are not. */
static void test_only_well_formed_utf8_is_a_character(void **state)
{
    static const struct {
        const char *text;
        unsigned long code;
        size_t bytes;
        bool broken;
    } rows[] = {
        { "a", 0x61, 1, false },
        { "\xc3\xa9", 0xe9, 2, false },
        { "\xe2\x82\xac", 0x20ac, 3, false },
        { "\xf0\x9f\x8c\xb1", 0x1f331, 4, false },
        { "\xf4\x8f\xbf\xbf", 0x10ffff, 4, false },
        { "\xc0\x80", 0xc0, 1, true },         /* a longer form of NUL */
        { "\xe0\x80\xaf", 0xe0, 1, true },     /* a longer form of a slash */
        { "\xed\xa0\x80", 0xed, 1, true },     /* a surrogate */
        { "\xf4\x90\x80\x80", 0xf4, 1, true }, /* above the last character */
        { "\xe2\x82", 0xe2, 1, true },         /* cut */
        { "\xc3"
          "a",
          0xc3, 1, true },
        { "\x80", 0x80, 1, true },
        { "\xff", 0xff, 1, true },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_glyph glyph = aq_glyph_at(rows[i].text);
        check_true(rows[i].text, glyph.code == rows[i].code && glyph.bytes == rows[i].bytes &&
                                     glyph.broken == rows[i].broken);
    }
    assert_int_equal(aq_glyph_at("").bytes, 0);
}

static void test_harmful_characters_are_shown_by_their_number(void **state)
{
    static const struct {
        const char *typed, *shown;
    } rows[] = {
        { "Part A", "Part A" },
        { "\x1b[31m", "\\x1b[31m" },
        { "\x07\x7f", "\\x07\\x7f" },
        { "a\nb\tc", "a\\x0ab\\x09c" },
        { "\xc2\x9b", "\\x9b" },
        { "\xe2\x80\xae"
          "cba",
          "<U+202E>cba" },
        { "\xe2\x81\xa6\xe2\x81\xa9", "<U+2066><U+2069>" },
        { "\xf3\xa0\x81\x81", "<U+E0041>" },
        { "\xef\xbb\xbf", "<U+FEFF>" },
        { "\xff\xfe", "\\xff\\xfe" },
        { "caf\xc3\xa9 \xe6\xb0\xb4", "caf\xc3\xa9 \xe6\xb0\xb4" },
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_buffer out = { 0 };
        aq_glyphs_add(&out, rows[i].typed, NULL);
        check_text(rows[i].shown, aq_buffer_chars(&out), rows[i].shown);
        aq_buffer_free(&out);
    }
}

static void test_wide_and_combining_characters_take_their_columns(void **state)
{
    (void)state;
    assert_int_equal(aq_glyph_columns('a'), 1);
    assert_int_equal(aq_glyph_columns(0xe9), 1);
    assert_int_equal(aq_glyph_columns(0x301), 0);   /* combining acute accent */
    assert_int_equal(aq_glyph_columns(0x6c34), 2);  /* a han character: East Asian Width W */
    assert_int_equal(aq_glyph_columns(0xac00), 2);  /* hangul */
    assert_int_equal(aq_glyph_columns(0xff21), 2);  /* fullwidth A */
    assert_int_equal(aq_glyph_columns(0x1f331), 2); /* an emoji */
    assert_int_equal(aq_glyph_columns(0x20ac), 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_only_well_formed_utf8_is_a_character),
        cmocka_unit_test(test_harmful_characters_are_shown_by_their_number),
        cmocka_unit_test(test_wide_and_combining_characters_take_their_columns),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
