/* The table of jobs, and the way from a line of answers to a sheet. */
#include "job/answer.h"
#include "job/fill.h"
#include "job/jobs.h"
#include "job/rows.h"
#include "job/show.h"
#include "document/value.h"

#include <math.h>
#include <string.h>

#include "sheet/caution.h"

/* The three first jobs stand first; then by name. */
static const aq_job *const jobs[] = {
    &aq_job_mix,       &aq_job_mist,     &aq_job_plan,   &aq_job_acid,  &aq_job_adjust, &aq_job_blend,
    &aq_job_condition, &aq_job_convert,  &aq_job_dilute, &aq_job_flush, &aq_job_learn,  &aq_job_meter,
    &aq_job_stock,     &aq_job_supplies, &aq_job_topup,  &aq_job_trace, &aq_job_water,
};

const aq_job *const *aq_job_table(size_t *count)
{
    *count = sizeof jobs / sizeof *jobs;
    return jobs;
}

const aq_job *aq_job_find(const char *name)
{
    for (size_t i = 0; i < sizeof jobs / sizeof *jobs; i++)
        if (strcmp(jobs[i]->name, name) == 0)
            return jobs[i];
    return NULL;
}

/* Substances that carry their own name where no part has it: `of` of the line. */
static aq_status apply_cautions(aq_sheet *sheet, const aq_asked *asked, aq_error *err)
{
    aq_handled *handled = aq_arena_take_array(sheet->arena, sheet->rows.count + 1, sizeof *handled);
    size_t count = 0;

    if (!handled)
        return AQ_NO_MEMORY;
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const aq_row *row = &sheet->rows.at[i];
        const aq_part *part = row->part ? aq_part_named(&asked->part, row->part) : NULL;

        if (row->what != AQ_DO_POUR && row->what != AQ_DO_WEIGH && row->what != AQ_DO_PREDILUTE)
            continue;
        handled[count++] = (aq_handled){ .name = row->part,
                                         .substance = part && part->of ? part->of : asked->of,
                                         .strength = NAN,
                                         .part = part,
                                         .concentrate = true };
    }
    return aq_caution_apply(sheet, handled, count, err);
}

/* What came from the site stands before what the job assumed by itself. */
static bool add_taken(aq_sheet *sheet, const aq_asked *asked)
{
    aq_texts own = sheet->assumed;

    memset(&sheet->assumed, 0, sizeof sheet->assumed);
    for (size_t i = 0; i < asked->taken.count; i++)
        if (!aq_sheet_assume(sheet, "%s", asked->taken.at[i]))
            return false;
    sheet->taken = sheet->assumed.count;
    for (size_t i = 0; i < own.count; i++)
        if (!aq_sheet_assume(sheet, "%s", own.at[i]))
            return false;
    return true;
}

/* What every sheet says of its occasion. A job that said it better is left alone. */
static void add_occasion(aq_sheet *sheet, const aq_asked *asked)
{
    sheet->who = asked->who;
    sheet->note = asked->note;
    sheet->over_label = asked->over_label;
    sheet->show = asked->show;
    sheet->timezone = asked->timezone;
    if (!sheet->at.date.year)
        sheet->at = (aq_moment){ asked->today.date, -1 };
    if (asked->site)
        sheet->site = asked->site->name;
    if (!sheet->reservoir && (asked->tank || asked->mister))
        sheet->reservoir = asked->tank ? asked->tank->name : asked->mister->name;
    if (!sheet->lot && asked->stuck) {
        sheet->lot = asked->stuck->name;
        sheet->day = aq_lot_day(asked->stuck, asked->today.date);
    }
}

aq_status aq_job_finish(aq_sheet *sheet, const aq_job *job, const aq_asked *asked, aq_error *err)
{
    aq_status status;

    add_occasion(sheet, asked);
    status = add_taken(sheet, asked) ? aq_show_units(sheet, asked) : AQ_NO_MEMORY;
    return status == AQ_OK && !job->cautious ? apply_cautions(sheet, asked, err) : status;
}

static aq_status work_out(aq_sheet **out, aq_arena *arena, const aq_job *job, const aq_asked *asked,
                          aq_error *err)
{
    aq_sheet *sheet = NULL;
    aq_status status = job->run(&sheet, arena, asked, err);

    if (status == AQ_OK)
        status = aq_job_finish(sheet, job, asked, err);
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static aq_status keep_complaint(aq_complaints *complaints, aq_status status, aq_error *err)
{
    if (err->status == AQ_OK)
        aq_fail(err, status, (aq_place){ 0 }, "%s", aq_status_text(status));
    aq_complain(complaints, err);
    return status;
}

/* A job tells the place within an option's text; in a document or a line that text stands somewhere itself. */
static void point_into_document(aq_error *err, const aq_node *answers)
{
    const char *option = err->place.source;
    const aq_node *node = option && strncmp(option, "--", 2) == 0 ? aq_node_get(answers, option + 2) : NULL;

    if (!node || node->shape != AQ_NODE_SCALAR || !node->place.source ||
        strcmp(node->place.source, option) == 0)
        return;
    err->place =
        err->place.line == 1 && aq_value_literal(node) ? aq_value_place(node, err->place) : node->place;
}

aq_status aq_answer_once(aq_sheet **out, aq_arena *arena, const aq_job *job, const aq_node *answers,
                         const aq_setting *setting, aq_said said, aq_complaints *complaints)
{
    aq_asked *asked = aq_arena_room(arena, sizeof *asked); /* aq_shape_read zeroes it */
    aq_walk walk = { .arena = arena, .said = said, .complaints = complaints };
    aq_error err = { .status = AQ_OK };
    aq_status status;

    *out = NULL;
    if (!asked)
        return keep_complaint(complaints, AQ_NO_MEMORY, &err);
    status = aq_shape_read(&walk, job->asks, answers, asked);
    if (status != AQ_OK)
        return status;
    asked->said = walk.said;
    status = aq_fill(asked, arena, job, answers, setting, complaints);
    if (status != AQ_OK)
        return status;
    status = work_out(out, arena, job, asked, &err);
    if (status == AQ_OK)
        return AQ_OK;
    point_into_document(&err, answers);
    return keep_complaint(complaints, status, &err);
}

aq_status aq_job_answer(aq_sheet **out, aq_arena *arena, const aq_job *job, const aq_node *answers,
                        const aq_setting *setting, aq_complaints *complaints)
{
    aq_said said = aq_site_said(setting->site);
    aq_status status = aq_answer_once(out, arena, job, answers, setting, said, complaints);

    if (status != AQ_OK)
        aq_answer_choices(arena, job, answers, setting, said, complaints);
    return status;
}

/* Where the site says the recipe of that name is; a name that the site does not have is a file's. */
static const aq_recipe_ref *find_ref(const aq_site *site, const char *name)
{
    for (size_t i = 0; site && i < site->recipes.count; i++)
        if (strcmp(site->recipes.at[i].name, name) == 0)
            return &site->recipes.at[i];
    return NULL;
}

aq_status aq_job_recipe(const aq_recipe **out, aq_arena *arena, const aq_setting *setting, const char *name,
                        aq_place place, aq_complaints *complaints)
{
    const aq_recipe_ref *ref = find_ref(setting->site, name);
    aq_error err = { .status = AQ_OK };
    aq_file file = { 0 };
    aq_status status;

    *out = ref ? ref->recipe : NULL;
    if (*out)
        return AQ_OK;
    if (setting->load)
        status = setting->load(setting->from, ref ? setting->site->source : NULL, ref ? ref->path : name,
                               arena, &file, &err);
    else
        status = aq_fail(&err, AQ_UNKNOWN_NAME, place, "no recipe is called %s", name);
    if (status != AQ_OK) {
        if (!err.place.line)
            err.place = ref ? ref->place : place;
        aq_error_within(&err, "recipe: ");
        return keep_complaint(complaints, status, &err);
    }
    return aq_recipe_read(out, arena, file.text, file.length, file.name, complaints);
}

const char *aq_headline_figure(const aq_sheet *sheet, const aq_figure *figure)
{
    const char *unit = figure->amount.unit, *said = aq_say(sheet->arena, figure->amount.value, unit);

    if (strcmp(unit, "mS/cm") == 0)
        return aq_say_ec(sheet->arena, figure->amount.value);
    return said && strcmp(unit, "1") == 0 ? aq_arena_format(sheet->arena, "%s %s", figure->name, said) : said;
}

/* "36.5 mL First": all of what the row is about, for some pour it in several goes. */
const char *aq_headline_row(const aq_sheet *sheet, size_t which)
{
    const aq_row *row = &sheet->rows.at[which];
    const char *of = row->part ? row->part : row->water ? row->water : aq_do_word(row->what);
    aq_amount all = row->exact.given ? row->exact : row->amount;

    for (size_t i = which + 1; row->part && i < sheet->rows.count; i++) {
        const aq_row *other = &sheet->rows.at[i];

        if (other->what == row->what && other->exact.given && strcmp(other->part, row->part) == 0 &&
            strcmp(other->exact.unit, all.unit) == 0)
            all.value += other->exact.value;
    }
    return aq_arena_format(sheet->arena, "%s %s", aq_say(sheet->arena, all.value, all.unit), of);
}

const char *aq_sheet_headline(const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].what == AQ_DO_POUR || sheet->rows.at[i].what == AQ_DO_WEIGH)
            return aq_headline_row(sheet, i);
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (sheet->rows.at[i].what == AQ_DO_DRAIN || sheet->rows.at[i].what == AQ_DO_MOVE)
            return aq_headline_row(sheet, i);
    for (size_t i = 0; i < sheet->figures.count; i++) {
        const aq_amount *amount = &sheet->figures.at[i].amount;

        if (!amount->given)
            continue;
        return aq_headline_figure(sheet, &sheet->figures.at[i]);
    }
    return NULL;
}
