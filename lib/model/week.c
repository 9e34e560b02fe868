/* The week: on which days a reservoir is changed or topped up; and what was answered at a gate. */
#include "model/site.h"

#include <string.h>

#include "model/limits.h"

/* "Mon", "Mon 07:30". */
static bool read_weektime(const char *text, aq_weektime *out)
{
    enum { DAY_ROOM = 16 };
    char day[DAY_ROOM];
    size_t length = strcspn(text, " ");
    const char *clock = text + length + strspn(text + length, " ");

    if (length >= sizeof day)
        return false;
    memcpy(day, text, length);
    day[length] = '\0';
    out->minute = -1;
    return aq_weekday_read(day, &out->day) && (*clock == '\0' || aq_minute_read(clock, &out->minute));
}

static aq_status add_weektime(aq_walk *walk, aq_weektimes *times, const aq_field *field, const aq_node *node)
{
    aq_weektime read, *kept;

    if (node->shape != AQ_NODE_SCALAR || !read_weektime(node->text, &read))
        return aq_walk_fail(walk, AQ_WRONG_KIND, node->place,
                            "%s: %s is no day of the week, like Mon or Mon 07:30", field->key,
                            node->shape == AQ_NODE_SCALAR ? node->text : "this");
    for (size_t i = 0; i < times->count; i++)
        if (times->at[i].day == read.day && times->at[i].minute == read.minute)
            return aq_walk_fail(walk, AQ_DUPLICATE, node->place, "%s: %s is given twice", field->key,
                                node->text);
    if (times->count == 7 * 24)
        return aq_walk_fail(walk, AQ_TOO_LARGE, node->place, "%s: more than once an hour", field->key);
    kept = aq_list_add(walk->arena, times, sizeof *kept);
    if (!kept)
        return aq_walk_fail(walk, AQ_NO_MEMORY, node->place, "out of memory");
    *kept = read;
    return AQ_OK;
}

aq_status aq_weektimes_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    aq_weektimes *times = into;
    aq_status status = AQ_OK;

    if (node->shape != AQ_NODE_LIST)
        return add_weektime(walk, times, field, node);
    for (const aq_node *child = node->first; child; child = child->next) {
        aq_status one = add_weektime(walk, times, field, child);

        status = status == AQ_OK ? one : status;
    }
    return status;
}

static aq_status check_week(aq_walk *walk, void *entry, const aq_node *node)
{
    const aq_week_entry *week = entry;

    if (week->change.count == 0 && week->top_up.count == 0)
        return aq_walk_fail(walk, AQ_MISSING, node->place,
                            "change: neither a change nor a top-up is given, like change: [Mon, Thu]");
    return AQ_OK;
}

static const aq_field week_fields[] = {
    { .key = "reservoir",
      .read = AQ_READ_TEXT,
      .needed = true,
      .into = offsetof(aq_week_entry, reservoir),
      .help = "name of the reservoir",
      .example = "Trays" },
    { .key = "change",
      .read = AQ_READ_CUSTOM,
      .custom = aq_weektimes_read,
      .into = offsetof(aq_week_entry, change),
      .help = "days, with a time where wanted, on which it is changed",
      .example = "[Mon 07:30, Thu 07:30]" },
    { .key = "top-up",
      .read = AQ_READ_CUSTOM,
      .custom = aq_weektimes_read,
      .into = offsetof(aq_week_entry, top_up),
      .help = "days on which it is topped up",
      .example = "[Thu 09:00]" },
    { .key = "add",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_week_entry, add),
      .help = "volume of a top-up",
      .example = "15 L" },
    { .key = "share",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bounded = true,
      .least = 0,
      .most = AQ_STRENGTH_MOST,
      .into = offsetof(aq_week_entry, share),
      .help = "of the change's dose per litre; without it plain water, or uptake strength where known",
      .example = "60 %" },
    { .key = "uptake",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_week_entry, uptake),
      .help = "salts taken per litre drunk, as EC",
      .example = "0.9 mS/cm" },
    { .key = "heel",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .least = 0,
      .most = AQ_VOLUME_MOST,
      .into = offsetof(aq_week_entry, heel),
      .help = "old solution left at a change",
      .example = "4 L" },
    { .key = "heel-ec",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = AQ_EC_MOST,
      .into = offsetof(aq_week_entry, heel_ec),
      .help = "EC of the heel",
      .example = "1.9 mS/cm" },
};

const aq_shape aq_week_shape = {
    .noun = "week",
    .fields = week_fields,
    .count = sizeof week_fields / sizeof *week_fields,
    .size = sizeof(aq_week_entry),
    .has_place = true,
    .place_into = offsetof(aq_week_entry, place),
    .check = check_week,
};

static const aq_field gate_fields[] = {
    { .key = "stage",
      .read = AQ_READ_TEXT,
      .needed = true,
      .into = offsetof(aq_gate, stage),
      .help = "the stage behind the gate",
      .example = "root-in" },
    { .key = "at",
      .read = AQ_READ_DATE,
      .needed = true,
      .into = offsetof(aq_gate, at),
      .help = "day on which it was asked",
      .example = "2026-03-06" },
    { .key = "passed",
      .read = AQ_READ_YES_NO,
      .needed = true,
      .into = offsetof(aq_gate, passed),
      .help = "the answer",
      .example = "no" },
    { .key = "lot",
      .read = AQ_READ_TEXT,
      .into = offsetof(aq_gate, lot),
      .help = "the lot that was looked at, any where not given",
      .example = "basil-14" },
};

const aq_shape aq_gate_shape = {
    .noun = "gate",
    .fields = gate_fields,
    .count = sizeof gate_fields / sizeof *gate_fields,
    .size = sizeof(aq_gate),
    .has_place = true,
    .place_into = offsetof(aq_gate, place),
};
