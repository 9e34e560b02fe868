/* A stage and what it aims at. */
#include "model/stage.h"

#include <math.h>
#include <string.h>

#include "model/rate.h"

bool aq_aim_given(const aq_aim *aim)
{
    return aim->ec.given || aim->strength.given || aim->rates.count > 0 || aim->targets.count > 0;
}

aq_status aq_aim_check(aq_walk *walk, const aq_aim *aim, const aq_node *node)
{
    /* ec may go with targets: they count as one */
    bool given[] = { aim->ec.given || aim->targets.count > 0, aim->strength.given, aim->rates.count > 0 };
    const char *key[] = { aim->ec.given ? "ec" : "targets", "strength", "rates" };
    const char *first = NULL;

    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        if (given[i] && first)
            return aq_walk_fail(walk, AQ_CONFLICT, aq_node_get(node, key[i])->place,
                                "%s: %s is aimed at already, and only ec with targets go together", key[i],
                                first);
        first = given[i] ? key[i] : first;
    }
    return aq_rates_check(walk, &aim->rates, "rates");
}

static bool whole(aq_quantity number)
{
    return number.value == floor(number.value);
}

static aq_status check_days(aq_walk *walk, const aq_stage *stage, const aq_node *node)
{
    if (!stage->days.low.given || (whole(stage->days.low) && whole(stage->days.high)))
        return AQ_OK;
    return aq_walk_fail(walk, AQ_SYNTAX, aq_node_get(node, "days")->place,
                        "days: they are counted in whole days from the day of sticking, day 0, like 4-10");
}

static aq_status check_tolerance(aq_walk *walk, const aq_aim *aim)
{
    for (size_t i = 0; i < aim->tolerance.count; i++) {
        const aq_named_amount *named = &aim->tolerance.at[i];
        size_t j = 0;

        while (j < aim->targets.count && strcmp(aim->targets.at[j].name, named->name) != 0)
            j++;
        if (j == aim->targets.count)
            return aq_walk_fail(walk, AQ_UNKNOWN_NAME, named->place, "tolerance: %s is not among the targets",
                                named->name);
    }
    return AQ_OK;
}

static aq_status check_stage(aq_walk *walk, void *entry, const aq_node *node)
{
    aq_stage *stage = entry;
    aq_status status[] = { aq_aim_check(walk, &stage->aim, node), check_days(walk, stage, node),
                           check_tolerance(walk, &stage->aim), aq_rates_check(walk, &stage->mist, "mist") };

    for (size_t i = 0; i < sizeof status / sizeof *status; i++)
        if (status[i] != AQ_OK)
            return status[i];
    return AQ_OK;
}

static const aq_field stage_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_stage, name),
      .help = "what the stage is called",
      .example = "root-in" },
    { .key = "days",
      .read = AQ_READ_NUMBERS,
      .bounded = true,
      .least = 0,
      .most = AQ_DAYS_MOST,
      .into = offsetof(aq_stage, days),
      .help = "days after sticking; the day of sticking is day 0",
      .example = "4-10" },
    AQ_AIM_ROWS(aq_stage, aim),
    { .key = "together",
      .read = AQ_READ_TEXT,
      .most = AQ_NAME_BYTES,
      .into = offsetof(aq_stage, together),
      .help = "the group it is fed with, where several share a part",
      .example = "veg" },
    { .key = "mist",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_RATE | AQ_WANT_CONTENT,
      .bounded = true,
      .least = 0,
      .most = AQ_CONTENT_MOST,
      .into = offsetof(aq_stage, mist),
      .help = "rate of each part in the mist bottle",
      .example = "{Kelp mist: 1 mL/L}" },
    { .key = "mist-ec",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_stage, mist_ec),
      .help = "ceiling for these leaves",
      .example = "0-0.8 mS/cm" },
    { .key = "air",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = AQ_TEMPERATURE_LEAST,
      .most = AQ_TEMPERATURE_MOST,
      .into = offsetof(aq_stage, air),
      .help = "temperature of the air",
      .example = "20-23 degC" },
    { .key = "humidity",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_SHARE,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = offsetof(aq_stage, humidity),
      .help = "relative humidity",
      .example = "85-95 %" },
    { .key = "water",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_TEMPERATURE,
      .bounded = true,
      .least = AQ_TEMPERATURE_LEAST,
      .most = AQ_TEMPERATURE_MOST,
      .into = offsetof(aq_stage, water),
      .help = "temperature of the water or medium",
      .example = "20-25 degC" },
    { .key = "light",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_TIME,
      .bounded = true,
      .least = 0,
      .most = 1,
      .into = offsetof(aq_stage, light),
      .help = "hours of light in a day",
      .example = "16-18 h" },
    { .key = "gate",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_stage, gate),
      .help = "asked before the stage begins; no repeats the day before",
      .example = "half the cuttings show roots" },
    { .key = "makes",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_FLOW,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_stage, makes),
      .help = "made each day for a lot watered by hand",
      .example = "3 L/d" },
    { .key = "step",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_stage, step),
      .help = "largest change of EC at one time",
      .example = "0.5 mS/cm" },
};

const aq_shape aq_stage_shape = {
    .noun = "stage",
    .fields = stage_fields,
    .count = sizeof stage_fields / sizeof *stage_fields,
    .size = sizeof(aq_stage),
    .has_place = true,
    .place_into = offsetof(aq_stage, place),
    .has_name = true,
    .name_into = offsetof(aq_stage, name),
    .scalar = true,
    .check = check_stage,
};
