/* The file of the log, and an entry's beginnings: a sheet that was followed, and the site. */
#include "log_file.h"

#include <math.h>
#include <string.h>

#include "files.h"

const char *cli_log_path(aq_arena *arena, const char *log, const char *site)
{
    const char *name = site ? strrchr(site, '/') : NULL, *dot;

    if (log || !site)
        return log;
    name = name ? name + 1 : site;
    dot = strrchr(name, '.');
    if (!dot || dot == name)
        dot = name + strlen(name);
    return aq_arena_format(arena, "%.*s.log", (int)(dot - site), site);
}

/* ---- the sheet ---- */

static const char *text_of(const aq_node *node)
{
    return node && node->shape == AQ_NODE_SCALAR && *node->text ? node->text : NULL;
}

static void take_text(const char **into, const aq_node *sheet, const char *key)
{
    if (!*into)
        *into = text_of(aq_node_get(sheet, key));
}

/* {"value": 12, "unit": "L"}, or another number of it; not given where it is none, or no quantity of that sort. */
static aq_quantity number_of(const aq_node *node, const char *key, unsigned want)
{
    const char *value = node && node->shape == AQ_NODE_MAP ? text_of(aq_node_get(node, key)) : NULL;
    const char *unit = value ? text_of(aq_node_get(node, "unit")) : NULL;
    aq_quantity amount = { 0 };
    aq_said said = { 0 };
    char text[AQ_ENTRY_TEXT + 24];

    if (!unit || strlen(value) + strlen(unit) + 2 > sizeof text)
        return amount;
    strcpy(text, value);
    strcat(strcat(text, " "), unit);
    aq_quantity_read(&amount, text, want, &said, NULL);
    return amount;
}

static aq_quantity amount_of(const aq_node *node, unsigned want)
{
    return number_of(node, "value", want);
}

static void take_amount(aq_quantity *into, const aq_node *node, unsigned want)
{
    if (!into->given)
        *into = amount_of(node, want);
}

/* Several rows of one part are one amount. */
static bool plan(aq_entry *entry, const char *part, aq_quantity amount, aq_arena *arena)
{
    aq_named_amount *place;

    for (size_t i = 0; i < entry->planned.count; i++)
        if (strcmp(entry->planned.at[i].name, part) == 0) {
            entry->planned.at[i].amount.value += amount.value;
            return true;
        }
    place = aq_list_add(arena, &entry->planned, sizeof *place);
    if (place)
        *place = (aq_named_amount){ .name = part, .amount = amount };
    return place != NULL;
}

static bool is_do(const aq_node *row, const char *word)
{
    const char *what = text_of(aq_node_get(row, "do"));

    return what && strcmp(what, word) == 0;
}

/* Parts that are poured or weighed; of a pre-dilution the product in it counts. */
static bool take_rows(aq_entry *entry, const aq_node *rows, aq_arena *arena)
{
    for (const aq_node *row = rows ? rows->first : NULL; row; row = row->next) {
        const char *part = text_of(aq_node_get(row, "part"));
        const aq_node *product = aq_node_get(row, "concentrate");
        aq_quantity amount =
            amount_of(product ? product : aq_node_get(row, "amount"), AQ_WANT_VOLUME | AQ_WANT_MASS);

        if (part && amount.given && (is_do(row, "pour") || is_do(row, "weigh")) &&
            !plan(entry, part, amount, arena))
            return false;
    }
    return true;
}

/* The first reading, if nothing was poured before it, is that of heel and water; what of it is the water's. */
static void take_checkpoint(aq_entry *entry, const aq_node *rows)
{
    for (const aq_node *row = rows ? rows->first : NULL; row && !is_do(row, "pour"); row = row->next) {
        aq_quantity ec =
            is_do(row, "read") ? amount_of(aq_node_get(row, "expect"), AQ_WANT_EC) : (aq_quantity){ 0 };
        double heel = entry->heel.value, fresh = entry->volume.value - heel;

        if (!ec.given || entry->water_ec.given || !(fresh > 0))
            continue;
        ec.value = fmax(0, (ec.value * entry->volume.value - heel * entry->heel_ec.value) / fresh);
        entry->water_ec = ec;
    }
}

static int kind_of_job(const char *job)
{
    static const struct {
        const char *job;
        aq_entry_kind kind;
    } kinds[] = {
        { "mix", AQ_ENTRY_MIX },       { "condition", AQ_ENTRY_MIX }, { "topup", AQ_ENTRY_TOP_UP },
        { "adjust", AQ_ENTRY_TOP_UP }, { "trace", AQ_ENTRY_TOP_UP },  { "mist", AQ_ENTRY_MIST },
    };

    for (size_t i = 0; job && i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(kinds[i].job, job) == 0)
            return (int)kinds[i].kind;
    return AQ_ENTRY_UNSAID;
}

bool cli_log_plan(aq_entry *entry, const aq_node *sheet, aq_arena *arena)
{
    const aq_node *rows = aq_node_get(sheet, "rows"), *expect = aq_node_get(sheet, "expect");

    take_text(&entry->job, sheet, "job");
    take_text(&entry->title, sheet, "title");
    take_text(&entry->reservoir, sheet, "reservoir");
    take_text(&entry->lot, sheet, "lot");
    take_text(&entry->who, sheet, "who");
    take_text(&entry->note, sheet, "note");
    take_text(&entry->over_label, sheet, "over_label");
    take_amount(&entry->volume, aq_node_get(sheet, "volume"), AQ_WANT_VOLUME);
    take_amount(&entry->heel, aq_node_get(sheet, "heel"), AQ_WANT_VOLUME);
    take_amount(&entry->heel_ec, aq_node_get(sheet, "heel_ec"), AQ_WANT_EC);
    if (expect) {
        take_amount(&entry->expected, aq_node_get(expect, "ec"), AQ_WANT_EC);
        if (!entry->within.given)
            entry->within = number_of(aq_node_get(expect, "ec"), "within", AQ_WANT_EC);
    }
    if (entry->kind == AQ_ENTRY_UNSAID)
        entry->kind = kind_of_job(entry->job);
    take_checkpoint(entry, rows);
    return take_rows(entry, rows, arena);
}

bool cli_log_as_planned(aq_entry *entry, aq_arena *arena)
{
    if (entry->poured.count || !entry->planned.count)
        return true;
    entry->poured = entry->planned;
    entry->poured.room = entry->planned.count;
    entry->poured.at = aq_arena_take_array(arena, entry->planned.count, sizeof *entry->poured.at);
    if (entry->poured.at)
        memcpy(entry->poured.at, entry->planned.at, entry->planned.count * sizeof *entry->poured.at);
    return entry->poured.at != NULL;
}

aq_status cli_log_sheet(aq_entry *entry, const char *path, cli_report *report, aq_error *err)
{
    aq_node *sheet = NULL;
    aq_file file;
    aq_status status = cli_file_read(&file, report->arena, path, path, err);
    const char *head;

    if (status == AQ_OK) {
        cli_report_source(report, path, file.text, file.length);
        status = aq_node_json(&sheet, report->arena, file.text, file.length, path, err);
    }
    if (status != AQ_OK)
        return status;
    head = sheet->shape == AQ_NODE_MAP ? text_of(aq_node_get(sheet, "aliquot")) : NULL;
    if (!head || strcmp(head, "sheet 1") != 0)
        return aq_fail(err, AQ_SYNTAX, sheet->place,
                       "this is no sheet; aliquot mix --format json prints one");
    return cli_log_plan(entry, sheet, report->arena) && cli_log_as_planned(entry, report->arena)
               ? AQ_OK
               : aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory");
}

/* ---- the site ---- */

static void take_tank(aq_entry *entry, const aq_site *site)
{
    const aq_reservoir *tank = entry->reservoir ? aq_site_reservoir(site, entry->reservoir) : NULL;
    bool filled = entry->poured.count && (entry->kind == AQ_ENTRY_UNSAID || entry->kind == AQ_ENTRY_MIX ||
                                          entry->kind == AQ_ENTRY_TOP_UP);

    if (!tank)
        return;
    if (!entry->lot)
        entry->lot = tank->lot;
    if (!filled)
        return;
    if (!entry->volume.given)
        entry->volume = tank->fill.given ? tank->fill : tank->holds;
    if (!entry->water && !entry->water_ec.given)
        entry->water = tank->water;
}

static void take_water(aq_entry *entry, const aq_site *site)
{
    const aq_water *water = entry->water ? aq_site_water(site, entry->water) : NULL;

    if (water && !entry->water_ec.given)
        entry->water_ec = water->ec;
}

/* What another meter showed, in a ppm that the site's does not, is taken as it is. */
static void correct(aq_quantity *reading, aq_quantity *shown, const aq_meter *meter, aq_quantity temperature)
{
    double true_ec;

    if (!reading->given || (shown && shown->given) ||
        !aq_meter_counts_in(meter, aq_meter_scale_typed(reading->unit)))
        return;
    true_ec = aq_meter_true(meter, reading->value, temperature.given ? temperature.value : NAN);
    if (shown && true_ec != reading->value)
        *shown = *reading;
    reading->value = true_ec;
    reading->unit = NULL;
}

void cli_log_site(aq_entry *entry, const aq_site *site)
{
    const aq_quantity unknown = { 0 };

    if (site->meter.given) {
        correct(&entry->ec_before, &entry->shown_before, &site->meter, entry->temperature);
        correct(&entry->ec_after, &entry->shown_after, &site->meter, entry->temperature);
        correct(&entry->heel_ec, NULL, &site->meter, unknown);
    }
    take_tank(entry, site);
    take_water(entry, site);
}
