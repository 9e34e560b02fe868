/* `aliquot schema NAME`: a JSON Schema (draft 2020-12) on standard output, for editors and for programs that write
 * questions or read answers. */
#include <string.h>

#include "commands.h"

static const struct {
    const char *name, *of;
    aq_status (*write)(aq_sink sink, aq_error *err);
} schemas[] = {
    { "sheet", "what --format json and batch answer", aq_schema_sheet },
    { "batch", "a line that batch reads", aq_schema_batch },
    { "recipe", "a recipe", aq_schema_recipe },
    { "site", "a site", aq_schema_site },
};
enum { SCHEMAS = sizeof schemas / sizeof *schemas };

const char *const cli_schema_words[] = { "sheet", "batch", "recipe", "site", NULL };

static aq_status write_schema(const char *name, aq_sink sink, aq_error *err)
{
    const aq_job *job = aq_job_find(name);

    for (size_t i = 0; i < SCHEMAS; i++)
        if (strcmp(schemas[i].name, name) == 0)
            return schemas[i].write(sink, err);
    return job ? aq_schema_job(job, sink, err)
               : aq_fail(err, AQ_UNKNOWN_NAME, (aq_place){ 0 },
                         "%s has no schema; there is sheet, batch, recipe, site, and the name of each job",
                         name);
}

int cli_schema(int count, char **words, cli_report *report)
{
    aq_buffer bytes = { .ceiling = 0 };
    aq_error err = { .status = AQ_OK };

    if (count != 1) {
        cli_report_say(report, "which one? aliquot schema sheet, batch, recipe, site, or the name of a job");
        return CLI_ASKED_WRONGLY;
    }
    if (write_schema(words[0], aq_buffer_sink(&bytes), &err) == AQ_OK)
        return cli_command_print(&bytes, report);
    aq_buffer_free(&bytes);
    cli_report_error(report, &err);
    return cli_exit_of(err.status);
}
