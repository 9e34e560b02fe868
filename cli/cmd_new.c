/* `aliquot new recipe|site [NAME]`: a commented document to start from.
 *
 * The starters are whole documents, cli/starter/feed.yaml and site.yaml, right as they stand. An answer takes the place of
 * the text that stands for it there; what is not answered stays as it is. The result is read as any document is before
 * it is written, so a starter that `check` would refuse is never left behind, and no file is written over. */
#define _XOPEN_SOURCE 700 /* getline */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "files.h"
#include "options.h"
#include "starter.h"

/* ---- what is asked ---- */

typedef struct {
    aq_said said;
    aq_slope slope;
    aq_range rate;
    aq_quantity ec, volume, water_ec;
    const char *name, *recipe;
    int scale;
} starter;

static const char *const gallons[] = { "us", "imperial", NULL }; /* in the order of aq_gallon */
static const char *const counts[] = { "500", "640", "700", NULL };
static const char *const scales[] = { "ppm-500", "ppm-640", "ppm-700", "EC", "CF", NULL };

/* Those of a recipe, those of both, those of a site: each document's own are neighbours. */
static const aq_field rows[] = {
    { .key = "rate",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_RATE,
      .into = offsetof(starter, rate),
      .help = "of a recipe: the range on the labels of Part A and Part B",
      .example = "1-4 mL/L" },
    { .key = "slope",
      .read = AQ_READ_SLOPE,
      .into = offsetof(starter, slope),
      .help = "of a recipe: the EC that 1 mL of each in 1 L of water adds",
      .example = "0.40 mS/cm per mL/L" },
    { .key = "ec",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .into = offsetof(starter, ec),
      .help = "of a recipe: the EC that the plants are to have",
      .example = "1.6 mS/cm" },
    { .key = "name",
      .read = AQ_READ_TEXT,
      .into = offsetof(starter, name),
      .help = "what the document calls itself",
      .example = "Two-part feed" },
    { .key = "gallon",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = gallons,
      .into = offsetof(starter, said.gallon),
      .help = "how gal, fl oz, tbsp, tsp and gpg are meant in it",
      .example = "us" },
    { .key = "ppm",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = counts,
      .into = offsetof(starter, said.ppm),
      .help = "how a bare ppm of a reading is meant in it",
      .example = "500" },
    { .key = "volume",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .into = offsetof(starter, volume),
      .help = "of a site: what the reservoir holds",
      .example = "20 L" },
    { .key = "water-ec",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_EC,
      .into = offsetof(starter, water_ec),
      .help = "of a site: EC of the source water",
      .example = "0.30 mS/cm" },
    { .key = "scale",
      .read = AQ_READ_CHOICE,
      .choices = scales,
      .into = offsetof(starter, scale),
      .help = "of a site: what the meter counts in",
      .example = "ppm-500" },
    { .key = "recipe",
      .read = AQ_READ_TEXT,
      .into = offsetof(starter, recipe),
      .help = "of a site: the file of its recipe, seen from the site's own",
      .example = "feed.yaml" },
};
enum { ROWS = sizeof rows / sizeof *rows, RECIPE_ROWS = 6, BOTH_FROM = 3 };

static const aq_shape recipe_shape = {
    .noun = "recipe", .fields = rows, .count = RECIPE_ROWS, .size = sizeof(starter)
};
static const aq_shape site_shape = {
    .noun = "site", .fields = rows + BOTH_FROM, .count = ROWS - BOTH_FROM, .size = sizeof(starter)
};
const aq_shape cli_new_shape = { .noun = "starter", .fields = rows, .count = ROWS, .size = sizeof(starter) };
const char *const cli_new_words[] = { "recipe", "site", NULL };

/* Where an answer goes, and how it is asked for at a terminal. NULL: not asked, or it follows another. */
typedef struct {
    const char *key, *stands, *becomes;
    bool adds; /* the answer follows what it becomes */
    const char *asks, *usual;
} slot;

static const slot recipe_slots[] = {
    { "name", "name: Two-part feed", "name: ", true, "What is the recipe called?", "Two-part feed" },
    { "gallon", "#gallon: us", "gallon: ", true, "Which gallon do your labels mean, us or imperial?",
      "not said" },
    { "ppm", "#ppm: 500", "ppm: ", true, NULL, NULL },
    { "rate", "rate: 1-4 mL/L", "rate: ", true, "What range do the labels of Part A and Part B give?",
      "1-4 mL/L" },
    { "slope", "ec: 0.40 mS/cm per mL/L", "ec: ", true, "What EC does 1 mL of each in 1 L of water add?",
      "0.40 mS/cm per mL/L" },
    { "ec", "ec: 1.6 mS/cm", "ec: ", true, "What EC are the plants to have?", "1.6 mS/cm" },
    { NULL, "feed.yaml", "", true, NULL, NULL },
    { NULL, NULL, NULL, false, NULL, NULL },
};

static const slot site_slots[] = {
    { "name", "name: My bench", "name: ", true, NULL, NULL },
    { "gallon", "#gallon: us", "gallon: ", true, "Which gallon do you mean, us or imperial?", "not said" },
    { "gallon", "gal-us]", "gal]", false, NULL, NULL },
    { "ppm", "#ppm: 500", "ppm: ", true, NULL, NULL },
    { "volume", "holds: 20 L", "holds: ", true, "What does your reservoir hold?", "20 L" },
    { "water-ec", "ec: 0.30 mS/cm", "ec: ", true, "What EC has your source water?", "0.30 mS/cm" },
    { "scale", "#meter: {scale: ppm-500", "meter: {scale: ", true,
      "What does your meter count in: ppm-500, ppm-640, ppm-700, EC or CF?", "not said" },
    { "recipe", "feed.yaml", "", true, "In which file is your recipe?", "feed.yaml" },
    { NULL, "site.yaml", "", true, NULL, NULL },
    { NULL, NULL, NULL, false, NULL, NULL },
};

static const struct {
    const char *name, *title; /* "new recipe" stands in complaints */
    const char *const *lines;
    const aq_shape *asks;
    const slot *slots;
} kinds[] = {
    { "recipe", "new recipe", cli_starter_feed, &recipe_shape, recipe_slots },
    { "site", "new site", cli_starter_site, &site_shape, site_slots },
};
enum { KINDS = sizeof kinds / sizeof *kinds };

typedef struct {
    size_t kind;
    const char *path; /* NULL: standard output */
    const char *answer[ROWS];
    starter read;
    cli_report *report;
    aq_complaints *complaints;
} making;

static size_t row_of(const char *key)
{
    size_t at = 0;

    while (at + 1 < ROWS && strcmp(rows[at].key, key) != 0)
        at++;
    return at;
}

/* ---- asking at a terminal ---- */

/* A line as it was typed, without its end; NULL at the end of input. The caller frees it. */
static char *read_line(void)
{
    char *line = NULL;
    size_t room = 0;

    if (getline(&line, &room, stdin) < 0) {
        free(line);
        return NULL;
    }
    line[strcspn(line, "\r\n")] = '\0';
    return line;
}

/* Reads one answer by its row; false after a complaint. */
static bool take_answer(making *m, const aq_field *row, size_t at, const char *typed)
{
    aq_arena *arena = m->report->arena;
    aq_walk walk = { .arena = arena, .said = m->read.said, .complaints = m->complaints };
    const char *text = aq_arena_text(arena, typed, strlen(typed));
    aq_node *node = text ? aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ 0 }, text) : NULL;

    if (!node || aq_field_read(&walk, row, node, (char *)&m->read + row->into) != AQ_OK) {
        cli_report_all(m->report, m->complaints);
        m->complaints->count = m->complaints->more = 0;
        return false;
    }
    m->read.said = walk.said;
    m->answer[at] = text;
    return true;
}

/* Asks until the answer is right or none is given; false at the end of input. */
static bool ask(making *m, const slot *of)
{
    size_t at = row_of(of->key);
    bool settled = m->answer[at] != NULL;

    while (!settled) {
        char *typed;

        fprintf(stderr, "%s [%s] ", of->asks, of->usual);
        typed = read_line();
        if (!typed)
            return false;
        settled = !typed[strspn(typed, " \t")] || take_answer(m, &rows[at], at, typed);
        free(typed);
    }
    return true;
}

static bool ask_all(making *m)
{
    for (const slot *of = kinds[m->kind].slots; of->stands; of++)
        if (of->asks && !ask(m, of))
            return false;
    return true;
}

/* ---- writing ---- */

static bool is_plain(const char *text)
{
    static const char safe[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ./_-%";

    return text[strspn(text, safe)] == '\0' && !strchr(" -%", text[0]) && text[strlen(text) - 1] != ' ';
}

/* A value in YAML, quoted where it could mean something else. */
static void add_value(aq_buffer *out, const char *text)
{
    if (is_plain(text)) {
        aq_buffer_text(out, text);
        return;
    }
    aq_buffer_char(out, '"');
    for (; *text; text++) {
        if (*text == '"' || *text == '\\')
            aq_buffer_char(out, '\\');
        aq_buffer_char(out, (unsigned char)*text < ' ' ? ' ' : *text);
    }
    aq_buffer_char(out, '"');
}

static const char *answer_to(const making *m, const slot *of)
{
    return of->key ? m->answer[row_of(of->key)] : m->path;
}

/* The slot that stands first in the text, and has an answer; NULL: none. */
static const slot *next_slot(const making *m, const char *text, const char **where)
{
    const slot *found = NULL;

    *where = NULL;
    for (const slot *of = kinds[m->kind].slots; of->stands; of++) {
        const char *at = answer_to(m, of) ? strstr(text, of->stands) : NULL;

        if (at && (!*where || at < *where)) {
            *where = at;
            found = of;
        }
    }
    return found;
}

/* Text of a line up to `length`, with answers in their places. */
static void add_answers(aq_buffer *out, const making *m, const char *text, size_t length)
{
    const char *end = text + length, *where;
    const slot *of;

    while ((of = next_slot(m, text, &where)) && where < end) {
        aq_buffer_add(out, text, (size_t)(where - text));
        aq_buffer_text(out, of->becomes);
        if (of->adds)
            add_value(out, answer_to(m, of));
        text = where + strlen(of->stands);
    }
    aq_buffer_add(out, text, (size_t)(end - text));
}

/* A line; a comment behind it keeps its column where it can. */
static void add_line(aq_buffer *out, const making *m, const char *line)
{
    const char *gap = *line == '#' && line[1] == ' ' ? NULL : strstr(line, "  # ");
    const char *comment = gap ? gap + strspn(gap, " ") : NULL;
    size_t before = out->length, length = gap ? (size_t)(gap - line) : strlen(line);

    while (length && line[length - 1] == ' ')
        length--;
    add_answers(out, m, line, length);
    if (comment) {
        aq_buffer_text(out, "  ");
        while (!out->failed && out->length - before < (size_t)(comment - line))
            aq_buffer_char(out, ' ');
        aq_buffer_text(out, comment);
    }
    aq_buffer_char(out, '\n');
}

static aq_status check(const making *m, const aq_buffer *text)
{
    aq_arena *arena = m->report->arena;
    const char *name = m->path ? m->path : kinds[m->kind].name, *copy = aq_buffer_chars(text);
    const aq_recipe *recipe;
    aq_site *site;

    cli_report_source(m->report, name, copy, text->length);
    return m->kind == 0 ? aq_recipe_read(&recipe, arena, copy, text->length, name, m->complaints)
                        : aq_site_read(&site, arena, copy, text->length, name, m->complaints);
}

static aq_status write_out(const making *m, const aq_buffer *text)
{
    aq_error err = { .status = AQ_OK };
    aq_status status = m->path ? cli_file_begin(m->path, text->bytes, text->length, &err)
                               : cli_print(text->bytes, text->length, &err);

    if (status != AQ_OK)
        cli_report_error(m->report, &err);
    return status;
}

static aq_status make(const making *m)
{
    aq_buffer text = { .ceiling = 0 };
    aq_status status = AQ_NO_MEMORY;

    for (size_t i = 0; kinds[m->kind].lines[i]; i++)
        add_line(&text, m, kinds[m->kind].lines[i]);
    if (!text.failed) {
        status = check(m, &text);
        cli_report_all(m->report, m->complaints);
    }
    if (status == AQ_OK)
        status = write_out(m, &text);
    aq_buffer_free(&text);
    return status;
}

/* ---- the command ---- */

/* NAME.yaml, or the name as it is where it ends so already. */
static const char *path_of(aq_arena *arena, const char *name)
{
    static const char ending[] = ".yaml";
    size_t length = strlen(name);

    if (length >= sizeof ending && strcmp(name + length + 1 - sizeof ending, ending) == 0)
        return name;
    return aq_arena_format(arena, "%s%s", name, ending);
}

/* Options to answers; AQ_OK, or the status of the first complaint. */
static aq_status take_options(making *m, const cli_line *line)
{
    const aq_shape *asks = kinds[m->kind].asks;
    aq_walk walk = { .arena = m->report->arena, .complaints = m->complaints };
    aq_status status = aq_shape_read(&walk, asks, line->answers, &m->read);

    m->read.said = walk.said;
    for (size_t i = 0; i < asks->count; i++) {
        const aq_node *node = aq_node_get(line->answers, asks->fields[i].key);

        m->answer[row_of(asks->fields[i].key)] = node ? node->text : NULL;
    }
    if (line->site)
        m->path = path_of(m->report->arena, line->site);
    return status;
}

static int make_new(making *m, int count, char **words)
{
    aq_job rows_only = { .name = kinds[m->kind].title, .asks = kinds[m->kind].asks };
    cli_line line;
    aq_status status = cli_options_read(&line, &rows_only, count, words, m->report, m->complaints);

    if (line.help)
        return cli_help_of("new", m->report);
    if (status == AQ_OK)
        status = take_options(m, &line);
    if (status != AQ_OK) {
        cli_report_all(m->report, m->complaints);
        return cli_exit_of(status);
    }
    if (line.subject) {
        cli_report_say(m->report, "%s is one word too many: a name is all", line.subject);
        return CLI_ASKED_WRONGLY;
    }
    if (isatty(STDIN_FILENO) && isatty(STDOUT_FILENO) && !ask_all(m)) {
        cli_report_say(m->report, "nothing is written");
        return CLI_ASKED_WRONGLY;
    }
    return cli_exit_of(make(m));
}

int cli_new(int count, char **words, cli_report *report)
{
    static aq_complaints complaints;
    making m = { .report = report, .complaints = &complaints };

    for (; count > 0 && m.kind < KINDS; m.kind++)
        if (strcmp(words[0], kinds[m.kind].name) == 0)
            return make_new(&m, count - 1, words + 1);
    cli_report_say(report, "a new what? aliquot new recipe, or aliquot new site");
    return CLI_ASKED_WRONGLY;
}
