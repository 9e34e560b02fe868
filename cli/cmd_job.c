/* One question, one sheet: options to answers, the site, the job, a renderer, and out. */
#define _XOPEN_SOURCE 700 /* realpath */

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "clock.h"
#include "commands.h"
#include "files.h"
#include "memory.h"
#include "options.h"

enum { CALENDAR_MOST = 1 << 26 };

/* ---- files that documents name ---- */

/* The folder of a document, with its slash: "" for one that lies here. */
static const char *folder_of(aq_arena *arena, const char *document)
{
    const char *slash = strrchr(document, '/');

    return slash ? aq_arena_text(arena, document, (size_t)(slash + 1 - document)) : "";
}

/* Whether the file lies in that folder or below, links followed. A path that leads nowhere is outside of nothing. */
static bool lies_below(const char *folder, const char *path)
{
    char *inside = realpath(*folder ? folder : ".", NULL), *where = realpath(path, NULL);
    size_t length = inside ? strlen(inside) : 0;
    bool below = !inside || !where ||
                 (strncmp(where, inside, length) == 0 && (where[length] == '/' || inside[length - 1] == '/'));

    free(inside);
    free(where);
    return below;
}

aq_status cli_load(void *from, const char *document, const char *path, aq_arena *arena, aq_file *out,
                   aq_error *err)
{
    const cli_loader *loader = from;
    const char *folder = document ? folder_of(arena, document) : "";
    const char *name = folder && *path != '/' ? aq_arena_format(arena, "%s%s", folder, path) : path;
    aq_status status;

    if (!folder || !name)
        return AQ_NO_MEMORY;
    if (document && !loader->outside && !lies_below(folder, name))
        return aq_fail(err, AQ_FORBIDDEN, (aq_place){ 0 },
                       "%s lies outside the folder of %s; --outside allows it", path, document);
    status = cli_file_read(out, arena, name, name, err);
    if (status == AQ_OK)
        cli_report_source(loader->report, name, out->text, out->length);
    return status;
}

/* ---- the site ---- */

aq_status cli_site_read(aq_site **out, const char *path, cli_report *report, aq_complaints *complaints)
{
    aq_error err = { .status = AQ_OK };
    aq_file file;
    aq_status status = cli_file_read(&file, report->arena, path, path, &err);

    *out = NULL;
    if (status != AQ_OK) {
        aq_complain(complaints, &err);
        return status;
    }
    cli_report_source(report, path, file.text, file.length);
    return aq_site_read(out, report->arena, file.text, file.length, path, complaints);
}

/* ---- the answer ---- */

/* The calendar that this one replaces: the one that is named, or that is written over. */
static aq_status read_former(const char **out, const cli_line *line, const aq_sheet *sheet, aq_arena *arena,
                             aq_error *err)
{
    bool written_over = !line->replaces && line->output && access(line->output, F_OK) == 0;
    const char *path = written_over ? line->output : line->replaces;
    aq_file file = { 0 };
    aq_status status = AQ_OK;

    *out = NULL;
    if (line->renderer->sheet != aq_render_ics || !sheet->until.year || !path)
        return !line->replaces ? AQ_OK
                               : aq_fail(err, AQ_CONFLICT, (aq_place){ 0 },
                                         "--replaces: only a plan with --format ics replaces a calendar");
    status = cli_file_read_most(&file, arena, path, path, CALENDAR_MOST, err);
    if (status == AQ_MISSING && written_over) /* an empty file says nothing */
        return AQ_OK;
    *out = file.text;
    return status;
}

static aq_status write_out(const cli_line *line, const aq_sheet *sheet, aq_arena *arena, aq_error *err)
{
    aq_buffer bytes = { .ceiling = 0 };
    aq_manner manner = line->manner;
    aq_status status;

    manner.now = cli_now_utc();
    manner.colour = !line->output && !getenv("NO_COLOR") && isatty(STDOUT_FILENO);
    status = read_former(&manner.former, line, sheet, arena, err);
    if (status == AQ_OK)
        status = line->renderer->sheet(sheet, &manner, aq_buffer_sink(&bytes), err);
    if (status == AQ_OK && line->output)
        status = cli_file_write(line->output, bytes.bytes, bytes.length, err);
    else if (status == AQ_OK)
        status = cli_print(bytes.bytes, bytes.length, err);
    aq_buffer_free(&bytes);
    return status;
}

static aq_status answer(aq_sheet **out, const cli_line *line, cli_report *report, aq_complaints *complaints)
{
    cli_loader loader = { report, line->outside };
    aq_setting setting = { .today = cli_today(),
                           .subject = line->subject,
                           .load = cli_load,
                           .from = &loader,
                           .why = line->manner.why };
    aq_site *site = NULL;
    aq_status status = line->site ? cli_site_read(&site, line->site, report, complaints) : AQ_OK;

    *out = NULL;
    setting.site = site;
    if (status == AQ_OK && cli_learns(line))
        return cli_learn(out, line, &setting, report, complaints);
    if (status == AQ_OK)
        setting.memory = cli_memory(line, &setting, report);
    return status == AQ_OK ? aq_job_answer(out, report->arena, line->job, line->answers, &setting, complaints)
                           : status;
}

int cli_job(const aq_job *job, int count, char **words, cli_report *report)
{
    static aq_complaints complaints; /* 20 complaints are 12 KB: too much for a small stack */
    aq_error err = { .status = AQ_OK };
    aq_sheet *sheet = NULL;
    cli_line line;
    aq_status status = cli_options_read(&line, job, count, words, report, &complaints);

    if (line.help)
        return cli_help_of(job->name, report);
    if (status == AQ_OK)
        status = answer(&sheet, &line, report, &complaints);
    if (status != AQ_OK) {
        cli_report_all(report, &complaints);
        return cli_exit_of(status);
    }
    status = write_out(&line, sheet, report->arena, &err);
    if (status != AQ_OK) {
        cli_report_error(report, &err);
        return cli_exit_of(status);
    }
    return cli_exit_of_outcome(sheet->outcome);
}
