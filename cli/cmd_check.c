/* `aliquot check FILES`: is each document right? A file is a recipe or a site, as its first key says, or a log. */
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "files.h"
#include "log_file.h"

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

/* ---- the log ---- */

static bool is_log(const char *path)
{
    static const char mark[] = "SQLite format 3"; /* how every such file begins */
    char bytes[sizeof mark];
    FILE *file = fopen(path, "rb");
    bool found =
        file && fread(bytes, 1, sizeof mark, file) == sizeof mark && memcmp(bytes, mark, sizeof mark) == 0;

    if (file)
        fclose(file);
    return found;
}

static int check_log(const char *path, cli_report *report)
{
    aq_error err = { .status = AQ_OK };
    aq_log *log;
    long count = 0;
    aq_status status = aq_log_open(&log, path, AQ_LOG_READ, &err);

    if (status == AQ_OK)
        status = aq_log_check(log, &err);
    if (status == AQ_OK)
        status = aq_log_count(log, &count, &err);
    aq_log_close(log);
    if (status == AQ_OK)
        printf("%s: whole, %ld %s\n", path, count, count == 1 ? "entry" : "entries");
    else
        cli_report_error(report, &err);
    return status == AQ_LOG_DAMAGED ? CLI_OTHER : cli_exit_of(status);
}

/* The log that lies beside a site, where there is one. */
static int check_beside(const char *site, cli_report *report)
{
    const char *path = cli_log_path(report->arena, NULL, site);

    return path && is_log(path) ? check_log(path, report) : CLI_MET;
}

/* ---- a file ---- */

/* The exit code for one file. What cannot be read is asked wrongly; what can and is wrong has faults. */
static int check_document(const char *path, cli_report *report)
{
    static aq_complaints complaints;
    aq_error err = { .status = AQ_OK };
    aq_file file;
    aq_status status = cli_file_read(&file, report->arena, path, path, &err);
    bool site;

    complaints = (aq_complaints){ .count = 0 };
    if (status != AQ_OK) {
        cli_report_error(report, &err);
        return cli_exit_of(status);
    }
    cli_report_source(report, path, file.text, file.length);
    site = begins(kind_of(&file, report->arena), "site");
    status = site ? check_site(&file, report, &complaints) : check_recipe(&file, report, &complaints);
    cli_report_all(report, &complaints);
    if (status == AQ_OK)
        printf("%s: right\n", path);
    if (status == AQ_OK && site)
        return check_beside(path, report);
    return status == AQ_NO_MEMORY ? CLI_MACHINE_FAILED : status == AQ_OK ? CLI_MET : CLI_OTHER;
}

static int check_file(const char *path, cli_report *report)
{
    return is_log(path) ? check_log(path, report) : check_document(path, report);
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
