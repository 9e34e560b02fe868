/* JSON questions, one a line, to JSON answers, one a line, in the same order.
 *
 * A line is {"job":"mix","id":...,"volume":"80 L",...}: the job's options by their names; "id" is given back as it came,
 * and "subject" names a reservoir, bottle or lot of the site, where there is one. A line that cannot be answered gives an
 * error object with the line's number, and the rest goes on. Memory does not grow with the number of lines: each is
 * worked out in one arena that is emptied after it. Answers are held back only while more questions are already here, so
 * a pipe is fast and a dialogue is answered at once. */
#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "clock.h"
#include "commands.h"
#include "files.h"
#include "progress.h"

enum { READ_AT_ONCE = 1 << 16, LINE_MOST = AQ_DOCUMENT_BYTES, ANSWERS_HELD = 1 << 16 };

typedef struct {
    cli_report *report;
    aq_arena *arena; /* of one line */
    aq_buffer input, output;
    aq_buffer id; /* of the line, quoted anew */
    aq_setting setting;
    unsigned long line;
    bool skipping; /* the rest of a line that is too long */
    bool unmet;    /* a line could not be answered */
} batch;

static void put_text(aq_buffer *out, const char *text)
{
    aq_buffer_char(out, '"');
    for (; *text; text++) {
        unsigned char c = (unsigned char)*text;

        if (c == '"' || c == '\\')
            aq_buffer_char(out, '\\');
        if (c == 0xc2 && (unsigned char)text[1] < 0xa0) /* a C1 control: its number is its second byte */
            aq_buffer_format(out, "\\u%04x", (unsigned char)*++text);
        else if (c < 0x20 || c == 0x7f)
            aq_buffer_format(out, "\\u%04x", c);
        else
            aq_buffer_char(out, (char)c);
    }
    aq_buffer_char(out, '"');
}

/* {"aliquot":"error 1","id":...,"line":3,"errors":[{"status","text","column"}]} */
static void put_errors(batch *b, const char *id, const aq_complaints *complaints)
{
    aq_buffer *out = &b->output;

    aq_buffer_text(out, "{");
    if (id)
        aq_buffer_format(out, "\"id\":%s,", id);
    aq_buffer_format(out, "\"aliquot\":\"error 1\",\"line\":%lu,\"errors\":[", b->line);
    for (size_t i = 0; i < complaints->count; i++) {
        const aq_error *err = &complaints->at[i];

        aq_buffer_format(out, "%s{\"status\":\"%s\",", i ? "," : "", aq_status_name(err->status));
        if (err->place.line == 1)
            aq_buffer_format(out, "\"column\":%d,", err->place.column);
        aq_buffer_text(out, "\"text\":");
        put_text(out, err->text);
        aq_buffer_text(out, "}");
    }
    aq_buffer_text(out, "]}\n");
    b->unmet = true;
}

static void put_error(batch *b, const char *id, aq_complaints *complaints, const aq_error *err)
{
    aq_complain(complaints, err);
    put_errors(b, id, complaints);
}

/* The "id" as JSON again: the text between the places of its value is not kept, so strings are quoted anew. */
static const char *id_of(batch *b, const aq_node *node)
{
    if (!node || (node->shape != AQ_NODE_SCALAR && node->shape != AQ_NODE_NOTHING))
        return NULL;
    aq_buffer_clear(&b->id);
    if (node->shape == AQ_NODE_NOTHING)
        aq_buffer_text(&b->id, "null");
    else if (node->quoted)
        put_text(&b->id, node->text);
    else
        aq_buffer_text(&b->id, node->text);
    return b->id.failed ? NULL : aq_buffer_chars(&b->id);
}

/* Takes a member out of the map: it is not an option of the job. */
static const aq_node *take_out(aq_node *map, const char *key)
{
    aq_node **at = &map->first, *last = NULL;

    while (*at && strcmp((*at)->key, key) != 0) {
        last = *at;
        at = &(*at)->next;
    }
    if (*at) {
        aq_node *taken = *at;

        *at = taken->next;
        if (map->last == taken)
            map->last = last;
        map->count--;
        return taken;
    }
    return NULL;
}

static const char *text_of(const aq_node *node)
{
    return node && node->shape == AQ_NODE_SCALAR ? node->text : NULL;
}

static void answer(batch *b, aq_node *question, aq_complaints *complaints)
{
    const char *id = id_of(b, take_out(question, "id")), *name = text_of(take_out(question, "job"));
    const aq_job *job = name ? aq_job_find(name) : NULL;
    aq_manner manner = { .compact = true, .id = id };
    aq_error err = { .status = AQ_OK };
    aq_sheet *sheet;

    b->setting.subject = text_of(take_out(question, "subject"));
    take_out(question, "why"); /* which an answer in JSON always has */
    if (!job) {
        aq_fail(&err, name ? AQ_UNKNOWN_NAME : AQ_MISSING, (aq_place){ 0 },
                name ? "job: aliquot help lists the jobs, and none is called %s"
                     : "job: which one, like \"mix\"?",
                name);
        put_error(b, id, complaints, &err);
    } else if (aq_job_answer(&sheet, b->arena, job, question, &b->setting, complaints) != AQ_OK) {
        put_errors(b, id, complaints);
    } else {
        aq_json_add(&b->output, sheet, &manner);
    }
}

static bool is_blank(const char *text, size_t length)
{
    while (length && strchr(" \t\r", text[length - 1]) && text[length - 1])
        length--;
    return !length;
}

static void take_line(batch *b, const char *text, size_t length)
{
    static aq_complaints complaints;
    aq_error err = { .status = AQ_OK };
    aq_node *question;

    complaints.count = complaints.more = 0;
    b->line++;
    cli_progress_count((size_t)b->line);
    if (is_blank(text, length))
        return;
    aq_arena_reset(b->arena);
    if (aq_node_json(&question, b->arena, text, length, "line", &err) != AQ_OK) {
        put_error(b, NULL, &complaints, &err);
    } else if (question->shape != AQ_NODE_MAP) {
        aq_fail(&err, AQ_WRONG_KIND, question->place,
                "a line is an object, like {\"job\":\"mix\",\"volume\":\"80 L\"}");
        put_error(b, NULL, &complaints, &err);
    } else {
        answer(b, question, &complaints);
    }
}

static void refuse_long_line(batch *b)
{
    static aq_complaints complaints;
    aq_error err = { .status = AQ_OK };

    complaints.count = complaints.more = 0;
    b->line++;
    aq_fail(&err, AQ_TOO_LARGE, (aq_place){ 0 }, "the line is longer than 1 MiB");
    put_error(b, NULL, &complaints, &err);
    b->skipping = true;
}

static aq_status send(batch *b, aq_error *err)
{
    aq_status status = AQ_OK;

    if (b->output.failed)
        return aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory");
    if (b->output.length)
        status = cli_print(b->output.bytes, b->output.length, err);
    aq_buffer_clear(&b->output);
    return status;
}

/* Every whole line of the input; what is left begins the next. */
static aq_status take_lines(batch *b, aq_error *err)
{
    char *at = b->input.bytes, *end = at + b->input.length, *stop;
    aq_status status = AQ_OK;

    while (status == AQ_OK && at < end && (stop = memchr(at, '\n', (size_t)(end - at)))) {
        if (b->skipping)
            b->skipping = false;
        else
            take_line(b, at, (size_t)(stop - at));
        at = stop + 1;
        if (b->output.length > ANSWERS_HELD || b->output.failed)
            status = send(b, err);
    }
    if (at < end)
        memmove(b->input.bytes, at, (size_t)(end - at));
    b->input.length = (size_t)(end - at);
    if (b->input.length > LINE_MOST && !b->skipping)
        refuse_long_line(b);
    if (b->skipping)
        b->input.length = 0;
    return status;
}

/* *ended: nothing more will come. */
static aq_status read_some(batch *b, bool *ended, aq_error *err)
{
    char bytes[READ_AT_ONCE];
    ssize_t count;

    do
        count = read(STDIN_FILENO, bytes, sizeof bytes);
    while (count < 0 && errno == EINTR);
    *ended = count == 0;
    if (count < 0)
        return aq_fail(err, AQ_READ_FAILED, (aq_place){ 0 }, "standard input could not be read: %s",
                       strerror(errno));
    aq_buffer_add(&b->input, bytes, (size_t)count);
    return b->input.failed ? aq_fail(err, AQ_NO_MEMORY, (aq_place){ 0 }, "out of memory") : AQ_OK;
}

static aq_status run(batch *b, aq_error *err)
{
    aq_status status = AQ_OK;
    bool ended = false;

    while (status == AQ_OK && !ended) {
        status = read_some(b, &ended, err);
        if (status == AQ_OK && ended && b->input.length && !b->skipping)
            aq_buffer_char(&b->input, '\n'); /* the last line may lack its end */
        if (status == AQ_OK && b->input.length)
            status = take_lines(b, err);
        if (status == AQ_OK)
            status = send(b, err);
    }
    return status;
}

static aq_status begin(batch *b, int count, char **words, cli_report *report)
{
    static aq_complaints complaints;
    aq_site *site = NULL;
    aq_status status = AQ_OK;

    if (count > 1 || (count == 1 && words[0][0] == '-')) {
        cli_report_say(report, "batch takes at most a site: aliquot batch [SITE] < questions > answers");
        return AQ_CONFLICT;
    }
    if (count == 1)
        status = cli_site_read(&site, words[0], report, &complaints);
    if (status != AQ_OK)
        cli_report_all(report, &complaints);
    b->setting.site = site;
    b->arena = status == AQ_OK ? aq_arena_new(0) : NULL;
    if (status == AQ_OK && !b->arena) {
        cli_report_say(report, "out of memory");
        status = AQ_NO_MEMORY;
    }
    return status;
}

int cli_batch(int count, char **words, cli_report *report)
{
    cli_loader loader = { report, false };
    batch b = { .report = report,
                .input = { .ceiling = LINE_MOST + 2 * READ_AT_ONCE },
                .id = { .ceiling = 4096 },
                .setting = { .today = cli_today(), .load = cli_load, .from = &loader } };
    aq_error err = { .status = AQ_OK };
    aq_status status = begin(&b, count, words, report);

    if (status != AQ_OK)
        return cli_exit_of(status);
    if (!isatty(STDIN_FILENO) && !isatty(STDOUT_FILENO)) /* else the answers themselves show how far it is */
        cli_progress_begin("batch: line ", "");
    status = run(&b, &err);
    cli_progress_end();
    if (status != AQ_OK)
        cli_report_error(report, &err);
    aq_buffer_free(&b.input);
    aq_buffer_free(&b.output);
    aq_buffer_free(&b.id);
    aq_arena_free(b.arena);
    return status != AQ_OK ? cli_exit_of(status) : b.unmet ? CLI_OTHER : CLI_MET;
}
