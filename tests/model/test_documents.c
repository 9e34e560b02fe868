/* Whole documents as files: what a good one reads to, in base units, and what is said of a bad one.
 *
 * A case is a folder of tests/documents/whole: good/NAME/{input.yaml,output} or bad/NAME/{input.yaml,error}, with a
 * NAME that begins with recipe- or site-. `test_documents --bless` rewrites output and error; look at the difference
 * before it is committed. The documents that users copy, in recipes/ and examples/, are read as well, and nothing may
 * be said of them. */
#include "check.h"

#include <dirent.h>
#include <stdio.h>

#include "base/buffer.h"
#include "base/decimal.h"
#include "model/site.h"

static bool bless;

enum { PATH_ROOM = 1024, TEXT_ROOM = 1 << 16 };

/* ---- files ---- */

static size_t load(const char *path, char *text, size_t room)
{
    FILE *file = fopen(path, "rb");
    size_t length = file ? fread(text, 1, room - 1, file) : 0;

    if (file)
        fclose(file);
    text[length] = '\0';
    return length;
}

static void compare_with_file(const char *path, const char *got)
{
    static char want[TEXT_ROOM];

    load(path, want, sizeof want);
    if (strcmp(want, got) != 0 && bless) {
        FILE *file = fopen(path, "wb");

        assert_non_null(file);
        fputs(got, file);
        fclose(file);
        return;
    }
    check_text(path, got, want);
}

/* ---- what a document reads to ---- */

static void dump_shape(aq_buffer *out, const aq_shape *shape, const char *entry, int depth);

static void add_number(aq_buffer *out, double value)
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_figures(value, 10, false, digits);
    aq_buffer_text(out, digits);
}

static void begin(aq_buffer *out, const char *key, int depth)
{
    aq_buffer_format(out, "%*s%s: ", depth * 2, "", key);
}

static void line_of_number(aq_buffer *out, const char *key, double value, int depth)
{
    begin(out, key, depth);
    add_number(out, value);
    aq_buffer_char(out, '\n');
}

static void dump_amounts(aq_buffer *out, const aq_field *field, const aq_amounts *amounts, int depth)
{
    if (amounts->count == 0)
        return;
    begin(out, field->key, depth);
    for (size_t i = 0; i < amounts->count; i++) {
        aq_buffer_format(out, "%s%s ", i ? ", " : "", amounts->at[i].name);
        add_number(out, amounts->at[i].amount.value);
        if (aq_kind_equal(amounts->at[i].amount.kind, AQ_KIND_SHARE))
            aq_buffer_text(out, " (share)");
        else if (aq_kind_equal(amounts->at[i].amount.kind, AQ_KIND_MOLARITY))
            aq_buffer_text(out, " mol/L");
    }
    aq_buffer_char(out, '\n');
}

static void dump_texts(aq_buffer *out, const aq_field *field, const aq_texts *texts, int depth)
{
    if (texts->count == 0)
        return;
    begin(out, field->key, depth);
    for (size_t i = 0; i < texts->count; i++)
        aq_buffer_format(out, "%s%s", i ? ", " : "", texts->at[i]);
    aq_buffer_char(out, '\n');
}

static void dump_weektimes(aq_buffer *out, const aq_field *field, const aq_weektimes *times, int depth)
{
    if (times->count == 0)
        return;
    begin(out, field->key, depth);
    for (size_t i = 0; i < times->count; i++)
        aq_buffer_format(out, "%s%s %d", i ? ", " : "", aq_weekday_name(times->at[i].day),
                         times->at[i].minute);
    aq_buffer_char(out, '\n');
}

static void dump_date(aq_buffer *out, const aq_field *field, aq_date date, int depth)
{
    char text[AQ_DATE_ROOM];

    if (!date.year)
        return;
    aq_date_write(date, text);
    begin(out, field->key, depth);
    aq_buffer_format(out, "%s\n", text);
}

static void dump_range(aq_buffer *out, const aq_field *field, const aq_range *range, int depth)
{
    if (!range->low.given)
        return;
    begin(out, field->key, depth);
    add_number(out, range->low.value);
    aq_buffer_text(out, " to ");
    add_number(out, range->high.value);
    aq_buffer_char(out, '\n');
}

static void dump_entries(aq_buffer *out, const aq_field *field, const char *list, int depth)
{
    const AQ_LIST(char) *entries = (const void *)list;

    for (size_t i = 0; i < entries->count; i++) {
        aq_buffer_format(out, "%*s%s:\n", depth * 2, "", field->shape->noun);
        dump_shape(out, field->shape, entries->at + i * field->shape->size, depth + 1);
    }
}

static void dump_slope(aq_buffer *out, const aq_field *field, const aq_slope *slope, int depth)
{
    if (!slope->given)
        return;
    begin(out, field->key, depth);
    add_number(out, slope->value);
    aq_buffer_format(out, " per %s%s\n",
                     slope->element[0] ? "g/L "
                     : slope->by_mass  ? "g/L"
                                       : "L/L",
                     slope->element);
}

static void dump_field(aq_buffer *out, const aq_field *field, const char *at, int depth)
{
    switch (field->read) {
    case AQ_READ_TEXT:
        if (*(const char *const *)(const void *)at)
            aq_buffer_format(out, "%*s%s: %s\n", depth * 2, "", field->key,
                             *(const char *const *)(const void *)at);
        return;
    case AQ_READ_YES_NO:
    case AQ_READ_CHOICE:
        if (*(const int *)(const void *)at)
            line_of_number(out, field->key, *(const int *)(const void *)at, depth);
        return;
    case AQ_READ_COUNT:
        if (*(const long *)(const void *)at)
            line_of_number(out, field->key, (double)*(const long *)(const void *)at, depth);
        return;
    case AQ_READ_NUMBER:
    case AQ_READ_QUANTITY:
        if (((const aq_quantity *)(const void *)at)->given)
            line_of_number(out, field->key, ((const aq_quantity *)(const void *)at)->value, depth);
        return;
    case AQ_READ_NUMBERS:
    case AQ_READ_RANGE:
        dump_range(out, field, (const void *)at, depth);
        return;
    case AQ_READ_SLOPE:
        dump_slope(out, field, (const void *)at, depth);
        return;
    case AQ_READ_DATE:
        dump_date(out, field, *(const aq_date *)(const void *)at, depth);
        return;
    case AQ_READ_MINUTE:
        if (((const aq_clock *)(const void *)at)->given)
            line_of_number(out, field->key, ((const aq_clock *)(const void *)at)->minute, depth);
        return;
    case AQ_READ_AMOUNTS:
        dump_amounts(out, field, (const void *)at, depth);
        return;
    case AQ_READ_TEXTS:
        dump_texts(out, field, (const void *)at, depth);
        return;
    case AQ_READ_ENTRIES:
    case AQ_READ_NAMED:
        dump_entries(out, field, at, depth);
        return;
    default:
        return;
    }
}

/* What custom readers and checks made of an entry. */
static void dump_made(aq_buffer *out, const aq_shape *shape, const void *entry, int depth)
{
    const aq_part *part = shape == &aq_part_shape ? entry : NULL;
    const aq_tool *tool = shape == &aq_tool_shape ? entry : NULL;
    const aq_meter *meter = shape == &aq_meter_shape ? entry : NULL;
    const aq_site *site = shape == &aq_site_shape ? entry : NULL;

    if (shape == &aq_together_shape && !isnan(aq_together_ec(entry)))
        line_of_number(out, "one share adds", aq_together_ec(entry), depth);
    if (tool) {
        line_of_number(out, tool->weighs ? "holds g" : "holds L", tool->holds, depth);
        line_of_number(out, "marks", tool->marks, depth);
    }
    if (meter && meter->reads.given)
        line_of_number(out, "reads", meter->reads.value, depth);
    if (part)
        dump_range(out, &(aq_field){ .key = "rate" }, &part->rate, depth);
    for (size_t i = 0; part && i < part->solubility.count; i++) {
        line_of_number(out, "at degC", part->solubility.at[i].temperature, depth);
        line_of_number(out, part->solubility.at[i].per_water ? "g/kg water" : "g/L",
                       part->solubility.at[i].grams, depth);
    }
    for (size_t i = 0; part && part->composition && i < AQ_NUTRIENT_COUNT; i++)
        if (part->composition->mass[i] > 0) {
            aq_buffer_format(out, "%*s%s in 1 %s: ", depth * 2, "", aq_nutrient_name((aq_nutrient)i),
                             part->per_litre ? "L" : "g");
            add_number(out, part->composition->mass[i]);
            aq_buffer_char(out, '\n');
        }
    for (size_t i = 0; site && i < site->recipes.count; i++)
        aq_buffer_format(out, "recipe %s: %s\n", site->recipes.at[i].name, site->recipes.at[i].path);
}

static void dump_shape(aq_buffer *out, const aq_shape *shape, const char *entry, int depth)
{
    for (size_t i = 0; i < shape->count; i++) {
        const aq_field *field = &shape->fields[i];
        const char *at = entry + field->into;

        if (field->custom == aq_weektimes_read)
            dump_weektimes(out, field, (const void *)at, depth);
        else if (field->custom == aq_show_read)
            dump_texts(out, field, (const void *)at, depth);
        else if (field->read == AQ_READ_ENTRY)
            dump_shape(out, field->shape, at, depth + 1);
        else
            dump_field(out, field, at, depth);
    }
    if (shape->rest)
        dump_field(out, shape->rest, entry + shape->rest->into, depth);
    dump_made(out, shape, entry, depth);
}

/* ---- what is said of a document ---- */

static void dump_complaints(aq_buffer *out, const aq_complaints *complaints)
{
    for (size_t i = 0; i < complaints->count; i++) {
        const aq_error *err = &complaints->at[i];

        aq_buffer_format(out, "%d:%d:%d: %s: %s\n", err->place.line, err->place.column, err->place.span,
                         aq_status_name(err->status), err->text);
        for (size_t j = 0; j < err->question.count; j++)
            aq_buffer_format(out, "    %s: %s (%s)\n", err->question.key, err->question.choice[j].word,
                             err->question.choice[j].means);
    }
    if (complaints->more)
        aq_buffer_format(out, "and %zu more\n", complaints->more);
}

/* Reads the file at `path` as a site or a recipe; true: nothing was said of it. What it read to, or what was said, is
 * added to `out`. */
static bool read_document(const char *path, bool site, aq_buffer *out)
{
    static char text[TEXT_ROOM];
    size_t length = load(path, text, sizeof text);
    aq_arena *arena = aq_arena_new(0);
    aq_complaints complaints = { 0 };
    aq_site *read_site = NULL;
    const aq_recipe *recipe = NULL;
    aq_status status = site ? aq_site_read(&read_site, arena, text, length, path, &complaints)
                            : aq_recipe_read(&recipe, arena, text, length, path, &complaints);
    const void *document = site ? (const void *)read_site : recipe;

    assert_int_equal(status, aq_complaints_status(&complaints));
    assert_int_equal(status == AQ_OK, document != NULL);
    dump_complaints(out, &complaints);
    if (document)
        dump_shape(out, site ? &aq_site_shape : &aq_recipe_shape, document, 0);
    aq_arena_free(arena);
    return status == AQ_OK;
}

/* ---- cases ---- */

static bool begins(const char *text, const char *with)
{
    return strncmp(text, with, strlen(with)) == 0;
}

static void run_cases(const char *sort, bool good, const char *answer, int least)
{
    char folder[PATH_ROOM], path[2 * PATH_ROOM];
    int seen = 0;
    const struct dirent *entry;
    DIR *cases;

    snprintf(folder, sizeof folder, "%s/documents/whole/%s", AQ_TEST_DATA, sort);
    cases = opendir(folder);
    assert_non_null(cases);
    while ((entry = readdir(cases))) {
        aq_buffer out = { 0 };

        if (!begins(entry->d_name, "recipe-") && !begins(entry->d_name, "site-"))
            continue;
        snprintf(path, sizeof path, "%s/%.200s/input.yaml", folder, entry->d_name);
        check_true(path, read_document(path, begins(entry->d_name, "site-"), &out) == good);
        snprintf(path, sizeof path, "%s/%.200s/%s", folder, entry->d_name, answer);
        compare_with_file(path, aq_buffer_chars(&out));
        aq_buffer_free(&out);
        seen++;
    }
    closedir(cases);
    assert_true(seen >= least);
}

static void test_good_documents_read_to_base_units(void **state)
{
    (void)state;
    run_cases("good", true, "output", 5);
}

static void test_bad_documents_are_told_all_that_is_wrong(void **state)
{
    (void)state;
    run_cases("bad", false, "error", 60);
}

static void read_folder(const char *folder, int least)
{
    char path[2 * PATH_ROOM];
    int seen = 0;
    const struct dirent *entry;
    DIR *files;

    snprintf(path, sizeof path, "%s/../%s", AQ_TEST_DATA, folder);
    files = opendir(path);
    assert_non_null(files);
    while ((entry = readdir(files))) {
        aq_buffer out = { 0 };
        size_t length = strlen(entry->d_name);

        if (length < 5 || strcmp(entry->d_name + length - 5, ".yaml") != 0)
            continue;
        snprintf(path, sizeof path, "%s/../%s/%.200s", AQ_TEST_DATA, folder, entry->d_name);
        if (!read_document(path, strcmp(entry->d_name, "site.yaml") == 0, &out))
            fail_msg("%s:\n%s", path, aq_buffer_chars(&out));
        aq_buffer_free(&out);
        seen++;
    }
    closedir(files);
    assert_true(seen >= least);
}

static void test_documents_for_copying_are_read_without_complaint(void **state)
{
    (void)state;
    read_folder("recipes", 5);
    read_folder("examples/fernhollow", 2);
}

int main(int count, char **words)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_good_documents_read_to_base_units),
        cmocka_unit_test(test_bad_documents_are_told_all_that_is_wrong),
        cmocka_unit_test(test_documents_for_copying_are_read_without_complaint),
    };

    bless = count > 1 && strcmp(words[1], "--bless") == 0;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
