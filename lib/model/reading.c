/* What a meter's number means.
 *
 * A meter counts in EC or CF, or in ppm as EC times 500, 640 or 700. It corrects to 25 degC or not; where it does not,
 * by the linear formula of ISO 7888 (and Standard Methods 2510 B)
 *
 *     EC25 = EC_t / (1 + a (t - 25)),   a = 2 % per degC unless the meter says otherwise
 *
 * so 1520 uS/cm at 62 degF (16.67 degC) is 1.52 / (1 - 0.1667) = 1.82 mS/cm. Feeds are nearer to 1.83 to 2.1 % than to
 * the curve that ISO 7888 gives for natural waters.
 *
 * The last standard gives the factor true / shown: 1413 over 1310 is 1.0786, and 1.62 mS/cm is really 1.75. */
#include "model/reading.h"

#include <math.h>
#include <string.h>

#include "chemistry/standard.h"
#include "model/limits.h"

static const double usual_coefficient = 0.02; /* per degC: what hand-held meters are set to */

/* In the order of the choices of `scale`; EC and CF are no ppm. */
static const char *const scale_words[] = { "EC", "CF", "ppm-500", "ppm-640", "ppm-700", NULL };
static const int scale_codes[] = { 0, 1, 2, 500, 640, 700 };

/* 4 % on both sides of 500, 640 and 700 leaves gaps between them, so a pen that is further out than that is not
 * taken for another scale. */
int aq_meter_scale_found(double standard, double shown_ppm)
{
    static const int scales[] = { 500, 640, 700 };

    for (size_t i = 0; i < sizeof scales / sizeof *scales; i++)
        if (fabs(shown_ppm / standard - scales[i]) <= 0.04 * scales[i])
            return scales[i];
    return 0;
}

/* "690 ppm" to 690; false for any other unit. */
static bool bare_ppm(const char *text, double *ppm)
{
    size_t length = strlen(text);
    char number[32];
    aq_error err = { 0 };

    if (length < 4 || length >= sizeof number || strcmp(text + length - 3, "ppm") != 0)
        return false;
    memcpy(number, text, length - 3);
    number[length - 3] = '\0';
    while (length > 3 && number[length - 4] == ' ')
        number[--length - 3] = '\0';
    return aq_number_read(ppm, number, &err) == AQ_OK;
}

/* What the pen showed is read last: a bare ppm there means the meter's own scale, or the one that its standard tells. */
static aq_status read_shown(aq_walk *walk, aq_meter *meter, const aq_node *node)
{
    static const aq_field row = { .key = "reads",
                                  .read = AQ_READ_QUANTITY,
                                  .want = AQ_WANT_EC,
                                  .bounded = true,
                                  .above = true,
                                  .least = 0,
                                  .most = AQ_EC_MOST,
                                  .example = "690 ppm-500" };
    int said = walk->said.ppm;
    double ppm;
    aq_status status;

    if (meter->scale == 0 && said == 0 && meter->standard.given && node->shape == AQ_NODE_SCALAR &&
        bare_ppm(node->text, &ppm))
        meter->scale = aq_meter_scale_found(meter->standard.value, ppm);
    if (meter->scale >= 500)
        walk->said.ppm = meter->scale;
    status = aq_field_read(walk, &row, node, &meter->reads);
    walk->said.ppm = said;
    return status;
}

static aq_status leave_for_check(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    (void)walk;
    (void)field;
    (void)node;
    (void)into;
    return AQ_OK;
}

static aq_status check_meter(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_meter *meter = entry;
    const aq_node *shown = aq_node_get(node, "reads");

    if (shown && shown->shape == AQ_NODE_NOTHING)
        shown = NULL; /* null in JSON */
    meter->given = true;
    meter->scale = scale_codes[meter->scale];
    if (shown && !meter->standard.given)
        return aq_walk_fail(walk, AQ_MISSING, shown->place,
                            "reads: what the meter showed in a standard needs that standard, like "
                            "standard: 1413 uS/cm");
    return shown ? read_shown(walk, meter, shown) : AQ_OK;
}

int aq_meter_scale_typed(const aq_unit *unit)
{
    if (!unit)
        return 0;
    for (size_t i = 0; scale_words[i]; i++)
        if (strcmp(unit->name, scale_words[i]) == 0)
            return scale_codes[i + 1];
    return 1;
}

bool aq_meter_counts_in(const aq_meter *meter, int scale)
{
    return scale < 500 || meter->scale < 500 || scale == meter->scale;
}

double aq_meter_factor(const aq_meter *meter)
{
    double standard = meter->standard.value;

    if (!meter->standard.given || !meter->reads.given || meter->reads.value <= 0)
        return 1;
    if (meter->compensated == AQ_NO && meter->standard_temperature.given)
        standard = aq_standard_at(standard, meter->standard_temperature.value);
    return standard / meter->reads.value;
}

double aq_meter_true(const aq_meter *meter, double shown, double temperature)
{
    double coefficient = meter->coefficient.given ? meter->coefficient.value : usual_coefficient;
    double conductivity = shown * aq_meter_factor(meter);

    if (meter->compensated != AQ_NO || isnan(temperature))
        return conductivity;
    return conductivity / (1 + coefficient * (temperature - 25));
}

static const aq_field meter_fields[] = {
    { .key = "scale",
      .read = AQ_READ_CHOICE,
      .choices = scale_words,
      .into = offsetof(aq_meter, scale),
      .help = "what the display counts in",
      .example = "ppm-500" },
    { .key = "compensated",
      .read = AQ_READ_YES_NO,
      .into = offsetof(aq_meter, compensated),
      .help = "whether the meter corrects to 25 degC by itself",
      .example = "no" },
    { .key = "coefficient",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_PER_DEGREE,
      .bounded = true,
      .least = 0,
      .most = 0.05,
      .into = offsetof(aq_meter, coefficient),
      .help = "its temperature coefficient",
      .example = "2 %/degC" },
    { .key = "standard",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_meter, standard),
      .help = "EC at 25 degC of the last standard",
      .example = "1413 uS/cm" },
    { .key = "reads",
      .read = AQ_READ_CUSTOM,
      .custom = leave_for_check,
      .into = offsetof(aq_meter, reads),
      .help = "what it showed in that standard",
      .example = "690 ppm-500" },
    { .key = "standard-temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = 0,
      .most = 35,
      .into = offsetof(aq_meter, standard_temperature),
      .help = "of the standard that day",
      .example = "20 degC" },
    { .key = "checked",
      .read = AQ_READ_DATE,
      .into = offsetof(aq_meter, checked),
      .help = "day of the last standard",
      .example = "2026-03-01" },
};

const aq_shape aq_meter_shape = {
    .noun = "meter",
    .fields = meter_fields,
    .count = sizeof meter_fields / sizeof *meter_fields,
    .size = sizeof(aq_meter),
    .has_place = true,
    .place_into = offsetof(aq_meter, place),
    .check = check_meter,
};
