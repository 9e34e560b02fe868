/* From the log's file to what jobs use of it. */
#include "memory.h"

#include <string.h>
#include <unistd.h>

#include "log_file.h"
#include "progress.h"

enum {
    RECALLED = 300
}; /* entries that a job looks back over: half a year of two mixes a day costs a few milliseconds */

static aq_status take_entries(aq_recall *recall, const char *path, long back, aq_error *err)
{
    aq_log_filter filter = { .back = back, .brief = true };
    aq_log *log;
    aq_status status = aq_log_open(&log, path, AQ_LOG_READ, err);

    if (status == AQ_OK)
        status = aq_log_each(log, &filter, aq_recall_take, recall, err);
    aq_log_close(log);
    return status;
}

/* Jobs that dose, or count what is left: the others have no use for the log. */
static bool remembers(const aq_job *job)
{
    for (size_t i = 0; i < job->asks->count; i++)
        if (strcmp(job->asks->fields[i].key, "part") == 0 || strcmp(job->asks->fields[i].key, "supply") == 0)
            return true;
    return false;
}

const aq_memory *cli_memory(const cli_line *line, const aq_setting *setting, cli_report *report)
{
    static aq_complaints ignored; /* faults of a recipe: the job finds them itself */
    const char *path = cli_log_path(report->arena, line->log, line->site);
    const aq_memory *memory = NULL;
    aq_error err = { .status = AQ_OK };
    aq_recall *recall;
    aq_status status;

    if (!setting->site || !path || !remembers(line->job) || (!line->log && access(path, F_OK) != 0))
        return NULL;
    recall = aq_recall_new(report->arena, setting, (aq_date){ 0 }, &ignored);
    if (!recall)
        return NULL;
    status = take_entries(recall, path, RECALLED, &err);
    if (status == AQ_OK)
        status = aq_recall_memory(&memory, recall, path, &err);
    if (status == AQ_OK)
        return memory;
    cli_report_error(report, &err);
    cli_report_say(report, "going on without the log");
    return NULL;
}

bool cli_learns(const cli_line *line)
{
    return strcmp(line->job->name, "learn") == 0 && (line->site || line->log) &&
           !aq_node_get(line->answers, "before") && !aq_node_get(line->answers, "after");
}

/* The day of --since; year 0: from the beginning. */
static aq_status since_of(aq_date *since, const cli_line *line, aq_complaints *complaints)
{
    const aq_node *node = aq_node_get(line->answers, "since");
    aq_error err = { .status = AQ_OK };

    *since = (aq_date){ 0 };
    if (!node || aq_date_read(node->text, since))
        return AQ_OK;
    aq_fail(&err, AQ_SYNTAX, node->place, "since: %s is no date, which is like 2026-03-02", node->text);
    aq_complain(complaints, &err);
    return AQ_SYNTAX;
}

static aq_status learn_from(aq_sheet **out, const char *path, aq_recall *recall, aq_complaints *complaints)
{
    aq_error err = { .status = AQ_OK };
    aq_status status = take_entries(recall, path, 0, &err);

    if (status == AQ_OK)
        status = aq_recall_sheet(out, recall, &err);
    if (status != AQ_OK && err.status == AQ_OK)
        aq_fail(&err, status, (aq_place){ 0 }, "out of memory");
    if (status != AQ_OK)
        aq_complain(complaints, &err);
    return status;
}

aq_status cli_learn(aq_sheet **out, const cli_line *line, const aq_setting *setting, cli_report *report,
                    aq_complaints *complaints)
{
    const char *path = cli_log_path(report->arena, line->log, line->site);
    aq_recall *recall;
    aq_date since;
    aq_status status = since_of(&since, line, complaints);

    *out = NULL;
    if (status != AQ_OK)
        return status;
    recall = path ? aq_recall_new(report->arena, setting, since, complaints) : NULL;
    if (!recall)
        return complaints->count ? aq_complaints_status(complaints) : AQ_NO_MEMORY;
    cli_progress_begin("learn: ", NULL);
    status = learn_from(out, path, recall, complaints);
    cli_progress_end();
    return status;
}
