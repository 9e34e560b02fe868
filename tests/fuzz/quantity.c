/* Every reader of a number with its unit, on the same bytes, with nothing said and with everything said. */
#include "fuzz.h"

static void check_value(aq_quantity quantity)
{
    must(quantity.given);
    must(isfinite(quantity.value));
}

/* What was read, written again in base units, is the same number: nothing is lost on the way through text. */
static void check_again(double value)
{
    char digits[AQ_DECIMAL_ROOM];
    double again;
    size_t length = aq_decimal_exact(value, digits);

    must(aq_decimal_read(digits, length, &again) == length);
    must(again == value);
}

static void read_all(const char *text, aq_said said)
{
    aq_quantity quantity;
    aq_range range;
    aq_strength strength;
    aq_ratio ratio;
    aq_level level;
    aq_slope slope;
    double number;
    aq_status status;
    aq_error err;

#define READ(call, good)                                                                                     \
    err = (aq_error){ .status = AQ_OK };                                                                     \
    status = call;                                                                                           \
    if (status != AQ_OK)                                                                                     \
        check_complaint(&err, status, is_utf8(text, strlen(text)));                                          \
    else                                                                                                     \
        good

    READ(aq_quantity_read(&quantity, text, AQ_WANT_ANY, &said, &err), check_value(quantity));
    if (status == AQ_OK)
        check_again(quantity.value);
    READ(aq_range_read(&range, text, AQ_WANT_ANY, &said, &err), check_value(range.low));
    if (status == AQ_OK)
        must(range.low.value <= range.high.value && aq_kind_equal(range.low.kind, range.high.kind));
    READ(aq_quantity_read(&quantity, text, AQ_WANT_VOLUME | AQ_WANT_MASS, &said, &err),
         check_value(quantity));
    READ(aq_strength_read(&strength, text, &said, &err), must(isfinite(strength.value)));
    READ(aq_ratio_read(&ratio, text, &said, &err), must(ratio.parts >= 0 && isfinite(ratio.parts)));
    READ(aq_level_read(&level, text, true, &said, &err), check_value(level.ec));
    READ(aq_slope_read(&slope, text, &said, &err), must(isfinite(slope.value)));
    READ(aq_size_read(&number, text, &said, &err), must(isfinite(number)));
    READ(aq_number_read(&number, text, &err), must(isfinite(number)));
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    char *text = text_of_bytes(bytes, length);

    read_all(text, (aq_said){ 0 });
    read_all(text,
             (aq_said){ .gallon = AQ_GALLON_US, .ppm = 500, .ratio = AQ_RATIO_IN, .basis = AQ_BASIS_WV });
    free(text);
    return 0;
}
