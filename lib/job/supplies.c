/* What is left, what the coming jobs take, the first that cannot be made, what to order, what it costs.
 *
 * Needs come from the line (days of the week or dates, with amounts) or, with a site, from the plan of its week. */
#include "job/jobs.h"
#include "job/rows.h"
#include "sheet/shelf.h"

#include <math.h>
#include <string.h>

static const aq_field needs_fields[] = {
    { .key = "on",
      .read = AQ_READ_CUSTOM,
      .custom = aq_weektimes_read,
      .into = offsetof(aq_needs_entry, on),
      .help = "days of the week on which it is needed",
      .example = "[Mon, Wed]" },
    { .key = "at",
      .read = AQ_READ_DATE,
      .into = offsetof(aq_needs_entry, at),
      .help = "or the date",
      .example = "2026-03-06" },
    { .key = "amounts",
      .read = AQ_READ_AMOUNTS,
      .needed = true,
      .want = AQ_WANT_VOLUME | AQ_WANT_MASS,
      .into = offsetof(aq_needs_entry, amounts),
      .help = "what one such job takes; water counts for the cost of a litre",
      .example = "{A: 95 mL, water: 60 L}" },
};
static const aq_shape needs_shape = { .noun = "needs",
                                      .fields = needs_fields,
                                      .count = sizeof needs_fields / sizeof *needs_fields,
                                      .size = sizeof(aq_needs_entry),
                                      .has_place = true,
                                      .place_into = offsetof(aq_needs_entry, place) };

static const aq_field supplies_rows[] = {
    AQ_ROW_FROM("first day"),
    AQ_ROW_DAYS("how many days"),
    AQ_ROW_SUPPLY,
    { .key = "needs",
      .read = AQ_READ_ENTRIES,
      .many = true,
      .shape = &needs_shape,
      .into = offsetof(aq_asked, needs),
      .help = "what the days take, where there is no site to plan from",
      .example = "{on: [Mon, Wed], amounts: {A: 95 mL}}" },
    { .key = "each",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME | AQ_WANT_MASS,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 1e6,
      .into = offsetof(aq_asked, each),
      .help = "what one change takes",
      .example = "135 mL" },
    { .key = "ec",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .bounded = true,
      .least = 0,
      .most = 200,
      .into = offsetof(aq_asked, aim) + offsetof(aq_aim, ec),
      .help = "of the feed, to say what a thinner one reads",
      .example = "1.7 mS/cm" },
    AQ_ROW_WATER_EC,
    AQ_ROW_CURRENCY,
    AQ_ROWS_OF_EVERY_JOB,
};

static aq_status add_need(aq_need_list *needs, aq_arena *arena, const aq_named_amount *amount, aq_date day,
                          int minute)
{
    aq_need *need = aq_list_add(arena, needs, sizeof *need);

    if (!need)
        return AQ_NO_MEMORY;
    *need = (aq_need){ .at = { day, minute },
                       .what = amount->name,
                       .amount = amount->amount.value,
                       .weighs = aq_kind_equal(amount->amount.kind, AQ_KIND_MASS),
                       .water = strcmp(amount->name, "water") == 0 };
    return AQ_OK;
}

static aq_status add_amounts(aq_need_list *needs, aq_arena *arena, const aq_needs_entry *entry, aq_date day,
                             int minute)
{
    aq_status status = AQ_OK;

    for (size_t i = 0; status == AQ_OK && i < entry->amounts.count; i++)
        status = add_need(needs, arena, &entry->amounts.at[i], day, minute);
    return status;
}

/* Of one day: a job in the morning and one in the evening take it twice. */
static aq_status add_day(aq_need_list *needs, aq_arena *arena, const aq_needs_entry *entry, aq_date day)
{
    aq_status status = AQ_OK;

    if (entry->at.year)
        return aq_date_compare(entry->at, day) == 0 ? add_amounts(needs, arena, entry, day, -1) : AQ_OK;
    for (size_t i = 0; status == AQ_OK && i < entry->on.count; i++)
        if (entry->on.at[i].day == aq_date_weekday(day))
            status = add_amounts(needs, arena, entry, day, entry->on.at[i].minute);
    return status;
}

static aq_status spread(aq_need_list *needs, aq_arena *arena, const aq_asked *asked, aq_date from, long days)
{
    aq_status status = AQ_OK;

    for (long day = 0; day < days; day++)
        for (size_t i = 0; status == AQ_OK && i < asked->needs.count; i++)
            status = add_day(needs, arena, &asked->needs.at[i], aq_date_add(from, day));
    return status;
}

static aq_status gather(aq_need_list *needs, aq_arena *arena, const aq_asked *asked, aq_date from, long days,
                        aq_error *err)
{
    for (size_t i = 0; i < asked->needs.count; i++) {
        const aq_needs_entry *entry = &asked->needs.at[i];

        if (!entry->at.year && !entry->on.count)
            return aq_fail(err, AQ_MISSING, entry->place,
                           "needs %zu: on which days? Write on: [Mon, Wed], or at: 2026-03-06", i + 1);
        if (entry->at.year && entry->on.count)
            return aq_fail(err, AQ_CONFLICT, entry->place,
                           "needs %zu: on says days of each week and at says one date: give one of the two",
                           i + 1);
    }
    if (asked->needs.count || !asked->site)
        return spread(needs, arena, asked, from, days);
    return aq_plan_needs(needs, arena, asked, from, days, err);
}

static bool on_the_shelf(const aq_asked *asked, const char *what)
{
    for (size_t i = 0; i < asked->supply.count; i++)
        if (strcmp(asked->supply.at[i].part, what) == 0)
            return true;
    return false;
}

static bool say_idle(aq_sheet *sheet, const aq_asked *asked)
{
    return asked->needs.count || asked->site || asked->each.given ||
           aq_sheet_assume(sheet, "no needs are given, so nothing is taken and nothing runs out");
}

/* What the days take and nobody has counted: it cannot run out here. */
static bool say_uncounted(aq_sheet *sheet, const aq_asked *asked, const aq_need_list *needs)
{
    for (size_t i = 0; i < needs->count; i++) {
        const aq_need *need = &needs->at[i];
        bool said = need->water || on_the_shelf(asked, need->what);

        for (size_t j = 0; !said && j < i; j++)
            said = strcmp(needs->at[j].what, need->what) == 0;
        if (!said && !aq_sheet_assume(sheet, "%s is needed and no stock of it is given: taken to be enough",
                                      need->what))
            return false;
    }
    return true;
}

/* What is thinned out reads less only as far as its water lets it. */
static aq_status complete(const aq_asked *asked, aq_error *err)
{
    if (!asked->supply.count)
        return aq_fail(err, AQ_MISSING, (aq_place){ "--supply", 0, 0, 0 },
                       "supply: what stands on the shelf is needed, like {part: Part A, left: 736 mL}");
    if (asked->aim.ec.given && !asked->water_ec.given && !asked->site)
        return aq_ask_for(err, "water-ec", "what does the water read? A thinner feed lies between the two");
    return AQ_OK;
}

static double value_or_nan(aq_quantity quantity)
{
    return quantity.given ? quantity.value : NAN;
}

static aq_status supplies_run(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err)
{
    aq_date from = asked->from.year ? asked->from : asked->today.date;
    aq_shelf_manner manner = { .from = from,
                               .days = asked->days ? asked->days : 7,
                               .each = value_or_nan(asked->each),
                               .each_weighs = aq_kind_equal(asked->each.kind, AQ_KIND_MASS),
                               .ec = value_or_nan(asked->aim.ec),
                               .water_ec = value_or_nan(asked->water_ec),
                               .currency = asked->currency };
    aq_need_list needs = { 0 };
    aq_sheet *sheet;
    aq_status status = complete(asked, err);
    char text[AQ_DATE_ROOM];

    if (status == AQ_OK)
        status = gather(&needs, arena, asked, from, manner.days, err);
    if (status != AQ_OK)
        return status;
    sheet = aq_sheet_new(arena, "supplies");
    if (!sheet)
        return AQ_NO_MEMORY;
    aq_date_say(from, text);
    sheet->title = aq_arena_format(arena, "supplies for %ld day%s from %s", manner.days,
                                   manner.days == 1 ? "" : "s", text);
    if (!sheet->title)
        return AQ_NO_MEMORY;
    status = aq_shelf_reckon(sheet, &asked->supply, &needs, &manner, err);
    if (status == AQ_OK && (!say_idle(sheet, asked) || !say_uncounted(sheet, asked, &needs)))
        status = AQ_NO_MEMORY;
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static const aq_shape supplies_asks = { .noun = "supplies",
                                        .fields = supplies_rows,
                                        .count = sizeof supplies_rows / sizeof *supplies_rows,
                                        .size = sizeof(aq_asked) };

const aq_job aq_job_supplies = { .name = "supplies",
                                 .does = "what runs short, when, what to order and what it costs",
                                 .asks = &supplies_asks,
                                 .run = supplies_run,
                                 .example = "aliquot supplies --supply '{part: A, left: 290 mL}' "
                                            "--needs '{on: [Mon, Fri], amounts: {A: 95 mL}}'" };
