/* Writes a manual page: its text from a file beside this one, its tables from the rows that the program itself reads by.
 *
 *     pages FILE.scd      a page for scdoc on standard output
 *
 * A line of the file that begins with @ stands for what the rows know:
 *
 *     @head mix           title, NAME and SYNOPSIS of the page of a job or a command
 *     @options mix        its options
 *     @general            the options that every job has of the program
 *     @jobs, @commands    what there is, a line each
 *     @keys recipe part   the keys of an entry of a recipe or a site, by its noun
 *     @others mix         SEE ALSO: the pages that are not this one
 */
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "options.h"

enum { LINE_MOST = 1000, SHAPES_MOST = 64 };

/* Text of a row, with what scdoc would take for a mark behind a backslash. */
static void put(const char *text)
{
    for (; *text; text++) {
        if (strchr("\\*_", *text))
            putchar('\\');
        putchar(*text);
    }
}

/* ---- rows ---- */

static void put_choices(const char *const *words)
{
    for (size_t i = 0; words[i]; i++) {
        fputs(i == 0 ? "" : words[i + 1] ? ", " : " or ", stdout);
        put(words[i]);
    }
}

/* What may stand there: the choices, or a value that reads well. */
static void put_sample(const aq_field *row)
{
    if (row->read == AQ_READ_CHOICE) {
        fputs(" One of ", stdout);
        put_choices(row->choices);
        fputs(".", stdout);
    } else if (row->read == AQ_READ_YES_NO) {
        fputs(" yes or no.", stdout);
    } else if (row->example) {
        fputs(" Like _", stdout);
        put(row->example);
        fputs("_.", stdout);
    }
}

static void put_row(const aq_field *row, const char *dashes)
{
    printf("*%s%s*%s\n\t", dashes, row->key, row->needed ? " (needed)" : "");
    put(row->help ? row->help : "as an option of the same name");
    fputs(*dashes && row->many ? "; may be given more than once." : ".", stdout);
    put_sample(row);
    fputs("\n\n", stdout);
}

static void put_rows(const aq_shape *shape, const char *dashes)
{
    for (size_t i = 0; i < shape->count; i++)
        put_row(&shape->fields[i], dashes);
}

/* ---- shapes within shapes ---- */

typedef struct {
    const aq_shape *at[SHAPES_MOST];
    size_t count;
} shapes;

static void collect(shapes *seen, const aq_shape *shape)
{
    for (size_t i = 0; i < seen->count; i++)
        if (seen->at[i] == shape)
            return;
    if (seen->count == SHAPES_MOST)
        return;
    seen->at[seen->count++] = shape;
    for (size_t i = 0; i < shape->count; i++)
        if (shape->fields[i].shape)
            collect(seen, shape->fields[i].shape);
}

static const aq_shape *find_shape(const char *noun, const char *document)
{
    shapes seen = { .count = 0 };

    collect(&seen, strcmp(document, "recipe") == 0 ? &aq_recipe_shape : &aq_site_shape);
    for (size_t i = 0; i < seen.count; i++)
        if (strcmp(seen.at[i]->noun, noun) == 0)
            return seen.at[i];
    return NULL;
}

/* ---- directives: each gets the two words behind its name, and is false for one that it does not know ---- */

static bool put_head(const char *name, const char *none)
{
    const aq_job *job = aq_job_find(name);
    const cli_command *command = cli_command_find(name);

    (void)none;
    if (!job && !command)
        return false;
    printf("aliquot-%s(1)\n\n# NAME\n\naliquot-%s - ", name, name);
    put(job ? job->does : command->does);
    printf("\n\n# SYNOPSIS\n\n*aliquot %s* ", name);
    if (job)
        printf("%s[_SITE_ [_NAME_]] [*--option* _VALUE_]...", job->positional ? "_QUANTITY_ " : "");
    else
        put(command->usage);
    puts("");
    return true;
}

static bool put_options(const char *name, const char *none)
{
    const aq_job *job = aq_job_find(name);
    const cli_command *command = cli_command_find(name);
    const aq_shape *asks = job ? job->asks : command ? command->asks : NULL;

    (void)none;
    if (!asks)
        return false;
    fputs("# OPTIONS\n\n", stdout);
    if (job)
        puts("Those about the program, such as *--format* and *--why*, are in *aliquot*(1), and so is how "
             "values are "
             "written. An option that stands for an entry of a document has its keys: *aliquot-recipe*(5), "
             "*aliquot-site*(5).\n");
    put_rows(asks, "--");
    return true;
}

static bool put_general(const char *none, const char *nothing)
{
    size_t count;
    const cli_general *general = cli_general_options(&count);

    (void)none;
    (void)nothing;
    for (size_t i = 0; i < count; i++) {
        printf("*--%s*%s%s%s\n\t", general[i].key, general[i].example ? " _" : "",
               general[i].example ? general[i].example : "", general[i].example ? "_" : "");
        put(general[i].help);
        puts(".\n");
    }
    return true;
}

static bool put_jobs(const char *none, const char *nothing)
{
    size_t count;
    const aq_job *const *jobs = aq_job_table(&count);

    (void)none;
    (void)nothing;
    for (size_t i = 0; i < count; i++) {
        printf("*%s*, see *aliquot-%s*(1)\n\t", jobs[i]->name, jobs[i]->name);
        put(jobs[i]->does);
        puts(".\n");
    }
    return true;
}

static bool put_commands(const char *none, const char *nothing)
{
    size_t count;
    const cli_command *commands = cli_command_table(&count);

    (void)none;
    (void)nothing;
    for (size_t i = 0; i < count; i++) {
        printf("*aliquot %s* ", commands[i].name);
        put(commands[i].usage);
        fputs("\n\t", stdout);
        put(commands[i].does);
        fputs(". ", stdout);
        put(commands[i].says);
        if (commands[i].asks)
            printf(" See *aliquot-%s*(1).", commands[i].name);
        puts("\n");
    }
    return true;
}

static bool put_keys(const char *document, const char *noun)
{
    const aq_shape *shape = find_shape(noun, document);

    if (shape)
        put_rows(shape, "");
    return shape != NULL;
}

static bool put_others(const char *self, const char *none)
{
    size_t count;
    const aq_job *const *jobs = aq_job_table(&count);
    const char *before = "";

    (void)none;
    fputs("# SEE ALSO\n\n", stdout);
    if (strcmp(self, "aliquot") != 0) {
        fputs("*aliquot*(1)", stdout);
        before = ", ";
    }
    for (size_t i = 0; i < count; i++) {
        if (strcmp(jobs[i]->name, self) == 0)
            continue;
        printf("%s*aliquot-%s*(1)", before, jobs[i]->name);
        before = ", ";
    }
    puts(", *aliquot-log*(1), *aliquot-new*(1), *aliquot-recipe*(5), *aliquot-site*(5)");
    return true;
}

static const struct {
    const char *name;
    bool (*write)(const char *first, const char *second);
} directives[] = {
    { "head", put_head },     { "options", put_options },   { "general", put_general },
    { "jobs", put_jobs },     { "commands", put_commands }, { "keys", put_keys },
    { "others", put_others },
};

/* "@keys recipe label's analysis" */
static bool follow(const char *line)
{
    char name[20] = "", first[40] = "", second[40] = "";

    sscanf(line, "@%19s %39s %39[^\n]", name, first, second);
    for (size_t i = 0; i < sizeof directives / sizeof *directives; i++)
        if (strcmp(directives[i].name, name) == 0)
            return directives[i].write(first, second);
    return false;
}

int main(int count, char **words)
{
    FILE *page = count == 2 ? fopen(words[1], "r") : NULL;
    char line[LINE_MOST];

    if (!page) {
        fputs("usage: pages FILE.scd\n", stderr);
        return 2;
    }
    for (int number = 1; fgets(line, sizeof line, page); number++) {
        if (line[0] != '@') {
            fputs(line, stdout);
        } else if (!follow(line)) {
            fprintf(stderr, "%s:%d: nothing is known of %s", words[1], number, line);
            fclose(page);
            return 1;
        }
    }
    fclose(page);
    return fflush(stdout) == 0 ? 0 : 3;
}
