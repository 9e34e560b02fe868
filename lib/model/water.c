/* The rows of a source water. */
#include "model/water.h"

#include "model/limits.h"
#include "model/matter.h"

static aq_status check_water(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_water *water = entry;

    (void)node;
    if (water->analysis.count == 0)
        return AQ_OK;
    water->composition = aq_matter_compose(walk, &water->analysis, 1, 1, AQ_AS_ELEMENT);
    return water->composition ? AQ_OK : aq_complaints_status(walk->complaints);
}

static const aq_field water_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_water, name),
      .help = "what the water is called",
      .example = "tap" },
    { .key = "ec",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_water, ec),
      .help = "EC before anything is added",
      .example = "0.32 mS/cm" },
    { .key = "alkalinity",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = AQ_HARDNESS_MOST,
      .into = offsetof(aq_water, alkalinity),
      .help = "acid that its bicarbonate takes up",
      .example = "120 mg/L CaCO3" },
    { .key = "hardness",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = AQ_HARDNESS_MOST,
      .into = offsetof(aq_water, hardness),
      .help = "calcium and magnesium together",
      .example = "14 dH" },
    { .key = "temperature",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = AQ_TEMPERATURE_LEAST,
      .most = AQ_TEMPERATURE_MOST,
      .into = offsetof(aq_water, temperature),
      .help = "as it comes",
      .example = "14 degC" },
    { .key = "ph",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .least = 0,
      .most = AQ_PH_MOST,
      .into = offsetof(aq_water, ph),
      .help = "as measured",
      .example = "7.4" },
    { .key = "analysis",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_CONTENT | AQ_WANT_MOLARITY | AQ_WANT_HARDNESS,
      .bounded = true,
      .least = 0,
      .most = AQ_CONTENT_MOST,
      .choices = aq_water_words,
      .into = offsetof(aq_water, analysis),
      .help = "ions and elements from the supplier's or a laboratory's report",
      .example = "{Ca: 42 mg/L, Mg: 8 mg/L, SO4: 30 mg/L}" },
    { .key = "share",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = offsetof(aq_water, share),
      .help = "of the water added, where several waters fill one tank",
      .example = "50 %" },
};

const aq_shape aq_water_shape = {
    .noun = "water",
    .fields = water_fields,
    .count = sizeof water_fields / sizeof *water_fields,
    .size = sizeof(aq_water),
    .has_place = true,
    .place_into = offsetof(aq_water, place),
    .has_name = true,
    .name_into = offsetof(aq_water, name),
    .scalar = true,
    .check = check_water,
};
