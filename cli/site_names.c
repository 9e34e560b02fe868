/* `aliquot completion name|stage|water|reservoir|lot SITE`: names of a site, one a line, for the completions of shells.
 *
 * They ask while somebody types, so what cannot be read has no names, and nothing is said about it. */
#include <string.h>

#include "commands.h"

static void put(aq_buffer *out, const char *name)
{
    if (name && !strchr(name, '\n'))
        aq_buffer_format(out, "%s\n", name);
}

static void reservoirs(aq_buffer *out, const aq_site *site, cli_report *report)
{
    (void)report;
    for (size_t i = 0; i < site->reservoirs.count; i++)
        put(out, site->reservoirs.at[i].name);
}

static void waters(aq_buffer *out, const aq_site *site, cli_report *report)
{
    (void)report;
    for (size_t i = 0; i < site->waters.count; i++)
        put(out, site->waters.at[i].name);
}

static void lots(aq_buffer *out, const aq_site *site, cli_report *report)
{
    (void)report;
    for (size_t i = 0; i < site->lots.count; i++)
        put(out, site->lots.at[i].name);
}

/* What a command may be asked about. */
static void subjects(aq_buffer *out, const aq_site *site, cli_report *report)
{
    reservoirs(out, site, report);
    for (size_t i = 0; i < site->bottles.count; i++)
        put(out, site->bottles.at[i].name);
    lots(out, site, report);
}

static void stages(aq_buffer *out, const aq_site *site, cli_report *report)
{
    static aq_complaints ignored;
    cli_loader loader = { report, false };
    aq_setting setting = { .site = site, .load = cli_load, .from = &loader };

    for (size_t i = 0; i < site->recipes.count; i++) {
        const aq_recipe *recipe;

        ignored.count = 0;
        if (aq_job_recipe(&recipe, report->arena, &setting, site->recipes.at[i].name,
                          site->recipes.at[i].place, &ignored) != AQ_OK)
            continue;
        for (size_t j = 0; j < recipe->stages.count; j++)
            put(out, recipe->stages.at[j].name);
    }
}

static const struct {
    const char *kind;
    void (*add)(aq_buffer *out, const aq_site *site, cli_report *report);
} kinds[] = { { "name", subjects },
              { "stage", stages },
              { "water", waters },
              { "reservoir", reservoirs },
              { "lot", lots } };

bool cli_site_has_names(const char *kind)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(kinds[i].kind, kind) == 0)
            return true;
    return false;
}

int cli_site_names(const char *kind, const char *path, cli_report *report)
{
    static aq_complaints ignored;
    aq_buffer out = { .ceiling = 0 };
    aq_site *site;

    if (cli_site_read(&site, path, report, &ignored) != AQ_OK)
        return 0;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(kinds[i].kind, kind) == 0)
            kinds[i].add(&out, site, report);
    return cli_command_print(&out, report);
}
