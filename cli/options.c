/* --option VALUE and --option=VALUE, a quantity or a site and a name between them. */
#include "options.h"

#include <stdlib.h>
#include <string.h>

static const cli_general general[] = {
    { "format", "how the answer is written: text, json, csv, html or ics", "json" },
    { "output", "a file for it, written beside and moved there whole", "sheet.txt" },
    { "replaces", "ics: the export before this one; what is gone from it is cancelled", "week.ics" },
    { "log", "file of the log, where it does not lie beside the site", "fernhollow.log" },
    { "width", "columns of text, 40 to 400", "80" },
    { "why", "the arithmetic and the uncertainty too", NULL },
    { "outside", "a recipe may lie outside the folder of its site", NULL },
    { "help", "these lines", NULL },
};
enum { WIDTH_LEAST = 40, WIDTH_MOST = 400 };

const cli_general *cli_general_options(size_t *count)
{
    *count = sizeof general / sizeof *general;
    return general;
}

typedef struct {
    cli_line *line;
    cli_report *report;
    aq_complaints *complaints;
    int count, at;
    char **words;
    const char **keys; /* every option there is, NULL-ended, for the nearest */
} reading;

static aq_status complain(reading *r, aq_status status, aq_place place, const char *text)
{
    aq_error err = { .status = AQ_OK };

    aq_fail(&err, status, place, "%s", text);
    aq_complain(r->complaints, &err);
    return status;
}

static aq_status no_memory(reading *r)
{
    return complain(r, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory");
}

static const aq_field *find_row(const aq_job *job, const char *key)
{
    for (size_t i = 0; i < job->asks->count; i++)
        if (strcmp(job->asks->fields[i].key, key) == 0)
            return &job->asks->fields[i];
    return NULL;
}

/* A command that is no job has rows but no run, so no answer to write somewhere: of these options it has the help. */
static bool has_general(const aq_job *job, const cli_general *own)
{
    return job->run || strcmp(own->key, "help") == 0;
}

static const cli_general *find_general(const aq_job *job, const char *key)
{
    for (size_t i = 0; i < sizeof general / sizeof *general; i++)
        if (strcmp(general[i].key, key) == 0 && has_general(job, &general[i]))
            return &general[i];
    return NULL;
}

static aq_status unknown_option(reading *r, const char *key)
{
    size_t rows = r->line->job->asks->count, all = rows + sizeof general / sizeof *general;
    const char **keys = aq_arena_take_array(r->report->arena, all + 1, sizeof *keys);
    const char *near;

    if (!keys)
        return no_memory(r);
    for (size_t i = 0; i < all; i++)
        keys[i] = i < rows ? r->line->job->asks->fields[i].key : general[i - rows].key;
    near = aq_nearest(key, keys);
    return complain(r, AQ_UNKNOWN_KEY, (aq_place){ 0 },
                    near ? aq_arena_format(r->report->arena, "--%s is no option of %s; did you mean --%s?",
                                           key, r->line->job->name, near)
                         : aq_arena_format(r->report->arena,
                                           "--%s is no option of %s; aliquot help %s lists them", key,
                                           r->line->job->name, r->line->job->name));
}

/* One answer of the job: a node that points at the option as it was typed. */
static aq_status add_answer(reading *r, const aq_field *row, const char *value)
{
    aq_arena *arena = r->report->arena;
    const char *option = aq_arena_format(arena, "--%s", row->key);
    aq_place place = { option, 1, 1, 1 };
    aq_node *node = option ? aq_node_new(arena, AQ_NODE_SCALAR, place, value) : NULL;

    if (!node)
        return no_memory(r);
    cli_report_source(r->report, option, value, strlen(value));
    if (!row->many && aq_node_get(r->line->answers, row->key))
        return complain(r, AQ_DUPLICATE, place, aq_arena_format(arena, "%s is given twice", option));
    return aq_node_add(arena, r->line->answers, row->key, node) ? AQ_OK : no_memory(r);
}

static aq_status set_format(reading *r, const char *value)
{
    size_t count;
    const aq_renderer *const table = aq_renderer_table(&count);
    aq_buffer names = { .ceiling = 200 };
    aq_status status;

    r->line->renderer = aq_renderer_find(value);
    if (r->line->renderer)
        return AQ_OK;
    for (size_t i = 0; i < count; i++)
        aq_buffer_format(&names, "%s%s", i == 0 ? "" : i + 1 < count ? ", " : " or ", table[i].name);
    status = complain(r, AQ_UNKNOWN_NAME, (aq_place){ 0 },
                      aq_arena_format(r->report->arena, "--format: %s is no format; there is %s", value,
                                      aq_buffer_chars(&names)));
    aq_buffer_free(&names);
    return status;
}

static aq_status set_width(reading *r, const char *value)
{
    char *end;
    long width = strtol(value, &end, 10);

    if (*end || end == value || width < WIDTH_LEAST || width > WIDTH_MOST)
        return complain(r, AQ_OUT_OF_RANGE, (aq_place){ 0 },
                        aq_arena_format(r->report->arena, "--width: %s is not a number from %d to %d", value,
                                        WIDTH_LEAST, WIDTH_MOST));
    r->line->manner.width = (int)width;
    return AQ_OK;
}

/* An option that needs no value. */
static aq_status set_flag(reading *r, const char *key)
{
    if (strcmp(key, "why") == 0)
        r->line->manner.why = true;
    else if (strcmp(key, "outside") == 0)
        r->line->outside = true;
    else
        r->line->help = true;
    return AQ_OK;
}

static aq_status set_general(reading *r, const char *key, const char *value)
{
    if (!value)
        return set_flag(r, key);
    if (strcmp(key, "format") == 0)
        return set_format(r, value);
    if (strcmp(key, "width") == 0)
        return set_width(r, value);
    if (strcmp(key, "output") == 0)
        r->line->output = value;
    else if (strcmp(key, "replaces") == 0)
        r->line->replaces = value;
    else
        r->line->log = value;
    return AQ_OK;
}

/* The value behind the option: after its equals sign, or the next word. NULL after a complaint. */
static const char *take_value(reading *r, const char *key, const char *equals, const char *example)
{
    if (equals)
        return equals + 1;
    if (r->at + 1 < r->count)
        return r->words[++r->at];
    complain(r, AQ_MISSING, (aq_place){ 0 },
             aq_arena_format(r->report->arena, "--%s: a value is missing%s%s", key, example ? ", like " : "",
                             example ? example : ""));
    return NULL;
}

static aq_status take_option(reading *r, const char *word)
{
    const char *equals = strchr(word, '=');
    const char *key = aq_arena_text(r->report->arena, word, equals ? (size_t)(equals - word) : strlen(word));
    const aq_field *row = key ? find_row(r->line->job, key) : NULL;
    const cli_general *own = key ? find_general(r->line->job, key) : NULL;
    const char *value = NULL;

    if (!key)
        return no_memory(r);
    if (!row && !own)
        return unknown_option(r, key);
    if (own && !own->example && equals)
        return complain(r, AQ_CONFLICT, (aq_place){ 0 },
                        aq_arena_format(r->report->arena, "--%s takes no value", key));
    if (row || own->example) {
        value = take_value(r, key, equals, row ? row->example : own->example);
        if (!value)
            return AQ_MISSING;
    }
    return row ? add_answer(r, row, value) : set_general(r, key, value);
}

/* A word that is no option: the quantity to convert, or the site, then what is meant in it. */
static aq_status take_word(reading *r, const char *word)
{
    const char *positional = r->line->job->positional;
    const aq_field *row = positional ? find_row(r->line->job, positional) : NULL;

    if (row && !aq_node_get(r->line->answers, positional))
        return add_answer(r, row, word);
    if (!r->line->site) {
        r->line->site = word;
        return AQ_OK;
    }
    if (!r->line->subject) {
        r->line->subject = word;
        return AQ_OK;
    }
    return complain(r, AQ_CONFLICT, (aq_place){ 0 },
                    aq_arena_format(r->report->arena,
                                    "%s is one word too many: a site and one name in it are all; quote "
                                    "a name that holds a space",
                                    word));
}

aq_status cli_options_read(cli_line *out, const aq_job *job, int count, char **words, cli_report *report,
                           aq_complaints *complaints)
{
    reading r = { out, report, complaints, count, 0, words, NULL };
    bool options = true;

    *out = (cli_line){ .job = job, .renderer = aq_renderer_find("text") };
    out->answers = aq_node_new(report->arena, AQ_NODE_MAP, (aq_place){ 0 }, NULL);
    if (!out->answers)
        return no_memory(&r);
    for (; r.at < count; r.at++) {
        const char *word = words[r.at];

        if (options && strcmp(word, "--") == 0)
            options = false;
        else if (options && strcmp(word, "-h") == 0)
            out->help = true;
        else if (options && strncmp(word, "--", 2) == 0)
            take_option(&r, word + 2);
        else
            take_word(&r, word);
    }
    return aq_complaints_status(complaints);
}
