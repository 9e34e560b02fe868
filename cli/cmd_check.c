/* `aliquot check FILES`: is each document right? A file is a recipe or a site, as its first key says. */
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "files.h"

/* What the key `aliquot` says the document is, up to its version; "" where it says nothing. */
static const char *kind_of(const aq_file *file, aq_arena *arena)
{
    aq_node *root = NULL;
    const aq_node *head;

    if (aq_node_yaml(&root, arena, file->text, file->length, file->name, NULL) != AQ_OK ||
        root->shape != AQ_NODE_MAP)
        return "";
    head = aq_node_get(root, "aliquot");
    return head && head->shape == AQ_NODE_SCALAR ? head->text : "";
}

static bool begins(const char *text, const char *word)
{
    return strncmp(text, word, strlen(word)) == 0;
}

static aq_status check_site(const aq_file *file, cli_report *report, aq_complaints *complaints)
{
    cli_loader loader = { report, true };
    aq_setting setting = { .load = cli_load, .from = &loader };
    aq_site *site = NULL;
    aq_status status = aq_site_read(&site, report->arena, file->text, file->length, file->name, complaints);

    setting.site = site;
    for (size_t i = 0; status == AQ_OK && i < site->recipes.count; i++) {
        aq_recipe_ref *ref = &site->recipes.at[i];

        status = aq_job_recipe(&ref->recipe, report->arena, &setting, ref->name, ref->place, complaints);
    }
    return status == AQ_OK ? aq_site_check_recipes(site, complaints) : status;
}

static aq_status check_recipe(const aq_file *file, cli_report *report, aq_complaints *complaints)
{
    const aq_recipe *recipe;

    return aq_recipe_read(&recipe, report->arena, file->text, file->length, file->name, complaints);
}

/* The exit code for one file. What cannot be read is asked wrongly; what can and is wrong has faults. */
static int check_file(const char *path, cli_report *report)
{
    static aq_complaints complaints;
    aq_error err = { .status = AQ_OK };
    aq_file file;
    aq_status status = cli_file_read(&file, report->arena, path, path, &err);

    complaints = (aq_complaints){ .count = 0 };
    if (status != AQ_OK) {
        cli_report_error(report, &err);
        return cli_exit_of(status);
    }
    cli_report_source(report, path, file.text, file.length);
    status = begins(kind_of(&file, report->arena), "site") ? check_site(&file, report, &complaints)
                                                           : check_recipe(&file, report, &complaints);
    cli_report_all(report, &complaints);
    if (status == AQ_OK)
        printf("%s: right\n", path);
    return status == AQ_NO_MEMORY ? CLI_MACHINE_FAILED : status == AQ_OK ? CLI_MET : CLI_OTHER;
}

int cli_check(int count, char **words, cli_report *report)
{
    int worst = CLI_MET;

    if (count == 0) {
        cli_report_say(report, "which files? Like aliquot check site.yaml two-part.yaml");
        return CLI_ASKED_WRONGLY;
    }
    for (int i = 0; i < count; i++) {
        int code = check_file(words[i], report);

        worst = code > worst ? code : worst;
    }
    return worst;
}
