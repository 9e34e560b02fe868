/* aliquot log add|mix|list|undo|export|import: what was poured and read, kept in one file beside the site. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "clock.h"
#include "commands.h"
#include "files.h"
#include "log_file.h"
#include "log_mix.h"
#include "log_say.h"
#include "options.h"
#include "progress.h"

const aq_job cli_log_job = { .name = "log", .asks = &aq_log_line_shape };
const char *const cli_log_words[] = { "add", "mix", "list", "undo", "export", "import", NULL };

static const aq_place nowhere = { 0 };

/* One line at work. */
typedef struct {
    cli_report *report;
    aq_complaints *complaints;
    cli_line line;
    aq_log_line says;
    aq_site *site; /* NULL: none named */
    const char *path;
    aq_log *log;
    aq_buffer out;
} work;

/* ---- a line ---- */

static aq_status complain(work *w, aq_status status, const char *text)
{
    aq_error err = { .status = AQ_OK };

    aq_fail(&err, status, nowhere, "%s", text);
    aq_complain(w->complaints, &err);
    return status;
}

/* Options to w->says; a bare gallon or ppm means what the site says, where the line does not. */
static aq_status read_says(work *w)
{
    aq_walk walk = { .arena = w->report->arena, .complaints = w->complaints };

    if (w->site)
        walk.said = aq_site_said(w->site);
    return aq_shape_read(&walk, &aq_log_line_shape, w->line.answers, &w->says);
}

static bool is_count(const char *word)
{
    return *word && word[strspn(word, "0123456789")] == '\0';
}

/* `last_word`: the last of the words is no name in the site, but what the verb is about. */
static aq_status begin(work *w, int count, char **words, const char **last_word)
{
    aq_status status = cli_options_read(&w->line, &cli_log_job, count, words, w->report, w->complaints);

    if (w->line.help || status != AQ_OK)
        return status;
    if (last_word && w->line.subject && is_count(w->line.site) && !is_count(w->line.subject)) {
        *last_word = w->line.site; /* undo 12 site.yaml */
        w->line.site = w->line.subject;
        w->line.subject = NULL;
    } else if (last_word && w->line.subject) {
        *last_word = w->line.subject;
        w->line.subject = NULL;
    } else if (last_word) {
        *last_word = w->line.site;
        w->line.site = NULL;
    }
    if (w->line.site)
        status = cli_site_read(&w->site, w->line.site, w->report, w->complaints);
    if (status == AQ_OK)
        status = read_says(w);
    if (status != AQ_OK)
        return status;
    w->path = cli_log_path(w->report->arena, w->says.log, w->line.site);
    return w->path ? AQ_OK
                   : complain(w, AQ_MISSING,
                              "which log? Name the site that it lies beside, or the file: --log "
                              "fernhollow.log");
}

static aq_status open_log(work *w, aq_log_use use)
{
    aq_error err = { .status = AQ_OK };
    aq_status status = aq_log_open(&w->log, w->path, use, &err);

    if (status != AQ_OK)
        aq_complain(w->complaints, &err);
    return status;
}

/* ---- add ---- */

static aq_status check_tank(work *w, const aq_entry *entry)
{
    const char **names, *near;
    size_t count = w->site ? w->site->reservoirs.count : 0;

    if (!w->site || !entry->reservoir || aq_site_reservoir(w->site, entry->reservoir) ||
        entry->kind == AQ_ENTRY_MIST)
        return AQ_OK;
    names = aq_arena_take_array(w->report->arena, count + 1, sizeof *names);
    for (size_t i = 0; names && i < count; i++)
        names[i] = w->site->reservoirs.at[i].name;
    near = names ? aq_nearest(entry->reservoir, names) : NULL;
    return complain(w, AQ_UNKNOWN_NAME,
                    aq_arena_format(w->report->arena, "no reservoir of the site is called %s%s%s%s",
                                    entry->reservoir, near ? "; did you mean " : "", near ? near : "",
                                    near ? "?" : ""));
}

static aq_status complete(work *w)
{
    aq_entry *entry = &w->says.entry;
    aq_error err = { .status = AQ_OK };
    aq_status status = AQ_OK;

    if (w->says.sheet)
        status = cli_log_sheet(entry, w->says.sheet, w->report, &err);
    if (!entry->reservoir)
        entry->reservoir = w->line.subject;
    if (status == AQ_OK && w->site)
        cli_log_site(entry, w->site);
    if (entry->at.date.year == 0)
        entry->at = cli_today();
    if (status == AQ_OK)
        status = aq_entry_check(entry, &err);
    if (status != AQ_OK)
        aq_complain(w->complaints, &err);
    return status == AQ_OK ? check_tank(w, entry) : status;
}

/* How the reading compares with what the sheet promised. */
static void say_difference(work *w, const aq_entry *e)
{
    double by = e->ec_after.value - e->expected.value;

    if (!e->ec_after.given || !e->expected.given)
        return;
    cli_say_number(&w->out, "the sheet promised ", e->expected.value, 2, " mS/cm");
    if (e->within.given)
        cli_say_number(&w->out, " within ", e->within.value, 2, "");
    cli_say_number(&w->out, "; it reads ", by < 0 ? -by : by, 2, by < 0 ? " less\n" : " more\n");
}

/* A recipe that cannot be read may hold any part. */
static bool is_known(work *w, const char *part)
{
    static aq_complaints ignored;
    cli_loader loader = { w->report, false };
    aq_setting setting = { .site = w->site, .load = cli_load, .from = &loader };

    for (size_t i = 0; i < w->site->recipes.count; i++) {
        const aq_recipe_ref *ref = &w->site->recipes.at[i];
        const aq_recipe *recipe;

        ignored.count = 0;
        if (aq_job_recipe(&recipe, w->report->arena, &setting, ref->name, ref->place, &ignored) != AQ_OK ||
            aq_part_named(&recipe->parts, part))
            return true;
    }
    for (size_t i = 0; i < w->site->supplies.count; i++)
        if (strcmp(w->site->supplies.at[i].part, part) == 0)
            return true;
    return false;
}

/* What was poured is kept under any name; one that no part has is most likely a slip. */
static void say_strangers(work *w, const aq_entry *e)
{
    for (size_t i = 0; w->site && i < e->poured.count; i++)
        if (!is_known(w, e->poured.at[i].name))
            aq_buffer_format(&w->out, "%s is none of the site's parts, so no sheet counts it\n",
                             e->poured.at[i].name);
}

static aq_status keep(work *w)
{
    aq_error err = { .status = AQ_OK };
    aq_status status = complete(w);

    if (status == AQ_OK)
        status = open_log(w, AQ_LOG_WRITE);
    if (status != AQ_OK)
        return status;
    status = aq_log_add(w->log, &w->says.entry, &err);
    if (status != AQ_OK) {
        aq_complain(w->complaints, &err);
        return status;
    }
    aq_buffer_format(&w->out, "%ld: ", w->says.entry.id);
    cli_say_entry(&w->out, w->report->arena, &w->says.entry);
    aq_buffer_char(&w->out, '\n');
    say_difference(w, &w->says.entry);
    say_strangers(w, &w->says.entry);
    return AQ_OK;
}

static aq_status add(work *w, int count, char **words)
{
    aq_status status = begin(w, count, words, NULL);

    return w->line.help || status != AQ_OK ? status : keep(w);
}

/* The sheet that the site plans for today stands for what the line does not say. */
static aq_status mix(work *w, int count, char **words)
{
    cli_log_mixing mixing = { .report = w->report, .complaints = w->complaints, .line = &w->line };
    aq_status status = begin(w, count, words, NULL);

    if (w->line.help || status != AQ_OK)
        return status;
    if (!w->site)
        return complain(w, AQ_MISSING,
                        "which site? Its plan is what is logged: aliquot log mix site.yaml Trays");
    mixing.site = w->site;
    mixing.says = &w->says;
    status = cli_log_mix(&mixing);
    return status == AQ_OK ? keep(w) : status;
}

/* ---- list, export ---- */

static aq_log_filter filter_of(const work *w)
{
    const aq_log_line *says = &w->says;

    return (aq_log_filter){
        .reservoir = says->entry.reservoir ? says->entry.reservoir : w->line.subject,
        .part = says->part,
        .kinds = says->entry.kind ? 1u << says->entry.kind : 0,
        .from = { says->from, -1 },
        .to = { says->to, -1 },
        .last = says->last,
        .whole = says->undone == AQ_YES,
    };
}

typedef struct {
    aq_buffer *out;
    aq_arena *arena;
} listing;

static bool list_entry(void *to, const aq_entry *entry)
{
    listing *list = to;
    char moment[AQ_DATE_ROOM];

    aq_arena_reset(list->arena);
    aq_moment_write(entry->at, moment);
    if (moment[10])
        moment[10] = ' ';
    aq_buffer_format(list->out, "%6ld  %-16s  ", entry->id, moment);
    cli_say_entry(list->out, list->arena, entry);
    aq_buffer_char(list->out, '\n');
    return !list->out->failed;
}

static aq_status list_text(work *w, const aq_log_filter *filter, aq_error *err)
{
    listing list = { &w->out, aq_arena_new(0) };
    aq_status status = AQ_NO_MEMORY;

    if (list.arena)
        status = aq_log_each(w->log, filter, list_entry, &list, err);
    aq_arena_free(list.arena);
    return status;
}

static aq_status write_out(work *w, const aq_log_filter *filter, bool for_people)
{
    static const aq_log_form forms[] = { AQ_FORM_TEXT, AQ_FORM_TEXT, AQ_FORM_CSV, AQ_FORM_JSON };
    aq_error err = { .status = AQ_OK };
    aq_status status =
        for_people ? list_text(w, filter, &err)
                   : aq_log_export(w->log, filter, forms[w->says.format], aq_buffer_sink(&w->out), &err);

    if (status == AQ_OK && w->says.output) {
        status = cli_file_write(w->says.output, w->out.bytes, w->out.length, &err);
        aq_buffer_clear(&w->out);
    }
    if (status != AQ_OK)
        aq_complain(w->complaints, &err);
    return status;
}

static aq_status list(work *w, int count, char **words)
{
    aq_status status = begin(w, count, words, NULL);
    aq_log_filter filter;

    if (w->line.help)
        return status;
    if (status == AQ_OK)
        status = open_log(w, AQ_LOG_READ);
    if (status != AQ_OK)
        return status;
    filter = filter_of(w);
    return write_out(w, &filter, w->says.format <= 1);
}

/* Undone entries and undos belong to a whole copy. */
static aq_status export_log(work *w, int count, char **words)
{
    aq_status status = begin(w, count, words, NULL);
    aq_log_filter filter;

    if (w->line.help)
        return status;
    if (status == AQ_OK)
        status = open_log(w, AQ_LOG_READ);
    if (status != AQ_OK)
        return status;
    filter = filter_of(w);
    filter.whole = true;
    return write_out(w, &filter, false);
}

/* ---- undo ---- */

static aq_status undo(work *w, int count, char **words)
{
    const char *word = NULL;
    aq_error err = { .status = AQ_OK };
    aq_status status = begin(w, count, words, &word);
    char *end = NULL;
    long id = word ? strtol(word, &end, 10) : 0;

    if (w->line.help)
        return status;
    if (status == AQ_OK && (!word || *end || id <= 0))
        return complain(w, AQ_MISSING, "which entry? Its number, as in aliquot log undo site.yaml 12");
    if (status == AQ_OK)
        status = open_log(w, AQ_LOG_WRITE);
    if (status != AQ_OK)
        return status;
    status = aq_log_undo(w->log, id, w->says.entry.at.date.year ? w->says.entry.at : cli_today(),
                         w->says.entry.who, w->says.entry.note, &err);
    if (status != AQ_OK)
        aq_complain(w->complaints, &err);
    else
        aq_buffer_format(&w->out, "entry %ld is taken back; it stays to be read\n", id);
    return status;
}

/* ---- import ---- */

typedef struct {
    int file;
    size_t so_far; /* bytes */
} source;

static long read_some(void *from, char *bytes, size_t room)
{
    source *in = from;
    ssize_t got;

    do
        got = read(in->file, bytes, room);
    while (got < 0 && errno == EINTR);
    in->so_far += got > 0 ? (size_t)got : 0;
    cli_progress_count(in->so_far / 1024);
    return (long)got;
}

static aq_status import_file(work *w, const char *name)
{
    source in = { .file = strcmp(name, "-") == 0 ? STDIN_FILENO : open(name, O_RDONLY | O_CLOEXEC) };
    aq_error err = { .status = AQ_OK };
    aq_import_count imported = { 0 };
    aq_status status;

    if (in.file < 0)
        return complain(w, AQ_READ_FAILED,
                        aq_arena_format(w->report->arena, "%s: %s", name, strerror(errno)));
    status = open_log(w, AQ_LOG_WRITE);
    if (status == AQ_OK) {
        cli_progress_begin("import: ", " KiB");
        status = aq_log_import(w->log, (aq_bytes){ read_some, &in, name }, w->site ? &w->site->said : NULL,
                               &imported, &err);
        cli_progress_end();
        if (status != AQ_OK)
            aq_complain(w->complaints, &err);
    }
    if (in.file != STDIN_FILENO)
        close(in.file);
    if (status == AQ_OK)
        aq_buffer_format(&w->out, "%ld entries read, %ld added\n", imported.read, imported.added);
    return status;
}

static aq_status import(work *w, int count, char **words)
{
    const char *name = NULL;
    aq_status status = begin(w, count, words, &name);

    if (w->line.help || status != AQ_OK)
        return status;
    return name ? import_file(w, name)
                : complain(w, AQ_MISSING, "which file? As in aliquot log import site.yaml march.csv");
}

/* ---- the command ---- */

static aq_status (*const verbs[])(work *, int, char **) = { add, mix, list, undo, export_log, import };

static int verb_of(const char *word)
{
    for (int i = 0; cli_log_words[i]; i++)
        if (strcmp(cli_log_words[i], word) == 0)
            return i;
    return -1;
}

int cli_log(int count, char **words, cli_report *report)
{
    static aq_complaints complaints;
    work w = { .report = report, .complaints = &complaints, .out = { .ceiling = (size_t)1 << 31 } };
    int verb = count > 0 ? verb_of(words[0]) : -1;
    aq_error err = { .status = AQ_OK };
    aq_status status;

    if (verb < 0 && count > 0 && (strcmp(words[0], "--help") == 0 || strcmp(words[0], "-h") == 0))
        return cli_help_of("log", report);
    if (verb < 0) {
        cli_report_say(report, "what? aliquot log add, mix, list, undo, export or import");
        return CLI_ASKED_WRONGLY;
    }
    status = verbs[verb](&w, count - 1, words + 1);
    if (w.line.help)
        return cli_help_of("log", report);
    aq_log_close(w.log);
    if (status == AQ_OK && w.out.failed)
        status = complain(&w, AQ_NO_MEMORY, "out of memory");
    if (status == AQ_OK && w.out.length)
        status = cli_print(w.out.bytes, w.out.length, &err);
    aq_buffer_free(&w.out);
    if (err.status != AQ_OK)
        cli_report_error(report, &err);
    cli_report_all(report, &complaints);
    return cli_exit_of(status);
}
