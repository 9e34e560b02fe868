/* A line of options to a job's answer to every renderer.
 *
 *     mix Trays                the job, and a reservoir, bottle or lot of Fernhollow ("mix" alone: without a site)
 *     volume=80L               an option a line, its value as a person types it
 *     part={name: A, ...}
 *
 * Whatever the options say: no dose is over its label's top unless that was asked for, none is negative, a refused sheet
 * pours nothing, a hazard of what is poured is on the sheet, and each format is safe to show where it is shown. */
#include "fuzz.h"

#include "fernhollow.h"
#include "sheet/caution.h"

enum { NAMES_MOST = 64 };

/* What the options themselves say of hazards, read apart from the job. */
typedef struct {
    aq_arena *arena;
    bool at_fernhollow;
    size_t count;
    const aq_node *part[NAMES_MOST];
} typed_parts;

/* ---- the question ---- */

static char *take_line(char **rest)
{
    char *line = *rest, *stop = strchr(line, '\n');

    *rest = stop ? stop + 1 : line + strlen(line);
    if (stop)
        *stop = '\0';
    return line;
}

static void keep_part(typed_parts *parts, const char *key, const char *value)
{
    aq_node *node;

    if (strcmp(key, "part") == 0 && parts->count < NAMES_MOST &&
        aq_node_yaml(&node, parts->arena, value, strlen(value), "--part", NULL) == AQ_OK &&
        node->shape == AQ_NODE_MAP)
        parts->part[parts->count++] = node;
}

static aq_node *read_options(aq_arena *arena, char *rest, typed_parts *parts)
{
    aq_node *map = aq_node_new(arena, AQ_NODE_MAP, (aq_place){ 0 }, NULL);

    while (*rest) {
        char *line = take_line(&rest), *equals = strchr(line, '=');
        aq_node *value;

        if (!equals)
            continue;
        *equals = '\0';
        if (!is_utf8(equals + 1, strlen(equals + 1)) || !is_utf8(line, strlen(line)))
            continue; /* the reader of nodes lets no such text through */
        value = aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ line, 1, 1, 1 }, equals + 1);
        must(value && aq_node_add(arena, map, line, value));
        keep_part(parts, line, equals + 1);
    }
    return map;
}

/* ---- what holds of a sheet ---- */

static void check_amount(const aq_amount *amount)
{
    must(!amount->given || (isfinite(amount->value) && amount->unit && isfinite(amount->within)));
}

static void check_poured(const aq_amount *amount)
{
    check_amount(amount);
    must(!amount->given || amount->value >= 0);
}

static bool has_hazard(const aq_sheet *sheet, const char *code)
{
    for (size_t i = 0; i < sheet->hazards.count; i++)
        if (strcmp(sheet->hazards.at[i].code, code) == 0)
            return true;
    return false;
}

static void check_hazards(const aq_sheet *sheet, const aq_row *row, const typed_parts *parts)
{
    if (parts->at_fernhollow && !parts->count && strcmp(row->part, "Part A") == 0)
        must(has_hazard(sheet, "H318"));
    for (size_t i = 0; i < parts->count; i++) {
        const aq_node *name = aq_node_get(parts->part[i], "name"),
                      *codes = aq_node_get(parts->part[i], "hazards");

        if (!name || !name->text || !codes || strcmp(name->text, row->part) != 0)
            continue;
        for (const aq_node *code = codes->first; code; code = code->next)
            if (code->text && aq_hazard_text(code->text))
                must(has_hazard(sheet, code->text));
    }
}

static void check_row(const aq_sheet *sheet, const aq_row *row, const typed_parts *parts)
{
    const aq_amount *poured[] = { &row->exact,       &row->amount, &row->make,
                                  &row->concentrate, &row->each,   &row->time };

    for (size_t i = 0; i < sizeof poured / sizeof *poured; i++)
        check_poured(poured[i]);
    check_poured(&row->expect);
    if (!isnan(row->label_used))
        must(row->label_used >= 0 && (sheet->over_label || row->label_used <= 1 + 1e-9));
    for (size_t i = 0; i < row->pieces.count; i++)
        must(row->pieces.at[i] >= 0 && isfinite(row->pieces.at[i]));
    if (row->part && (row->what == AQ_DO_POUR || row->what == AQ_DO_WEIGH || row->what == AQ_DO_PREDILUTE))
        check_hazards(sheet, row, parts);
}

static void check_sheet(const aq_sheet *sheet, const typed_parts *parts)
{
    must(sheet->job && sheet->outcome >= AQ_MET && sheet->outcome <= AQ_REFUSED);
    if (sheet->outcome == AQ_REFUSED)
        must(sheet->rows.count == 0);
    must(!sheet->hazards.count || sheet->defers);
    for (size_t i = 0; i < sheet->rows.count; i++)
        check_row(sheet, &sheet->rows.at[i], parts);
    for (size_t i = 0; i < sheet->figures.count; i++)
        check_amount(&sheet->figures.at[i].amount);
    check_poured(&sheet->volume);
    check_poured(&sheet->expect_ec);
    for (size_t i = 0; i < sheet->jobs.count; i++)
        check_sheet(sheet->jobs.at[i], parts);
}

/* ---- what holds of bytes ---- */

static void check_json(const aq_buffer *out)
{
    aq_arena *arena = aq_arena_new(256 << 20);
    aq_error err = { .status = AQ_OK };
    aq_node *back;
    aq_status status;

    must(arena && is_plain(out->bytes, out->length, "\n"));
    status = aq_node_json(&back, arena, out->bytes, out->length, "sheet", &err);
    /* a year's plan is larger than any document that is read */
    must(status == AQ_TOO_LARGE ||
         (status == AQ_OK && back->shape == AQ_NODE_MAP && aq_node_get(back, "job")));
    aq_arena_free(arena);
}

/* No cell that a spreadsheet would run. A number may begin with its sign. */
static void check_csv(const aq_buffer *out)
{
    bool quoted = false, begins = true;

    must(is_plain(out->bytes, out->length, "\r\n"));
    for (size_t i = 0; i < out->length; i++) {
        char c = out->bytes[i];

        if (c == '"') {
            quoted = !quoted;
            continue;
        }
        if (begins)
            must(!strchr("=+@", c) && (c != '-' || strchr("0123456789.", out->bytes[i + 1])));
        begins = !quoted && (c == ',' || c == '\n' || c == '\r');
    }
    must(!quoted);
}

/* Markup only of our own making: as many tags open as close, and none that runs or asks. */
static void check_html(const aq_buffer *out)
{
    static const char *const never[] = { "<script", "<iframe", "<img", "<link", "<object", "javascript:\"" };

    must(is_plain(out->bytes, out->length, "\n"));
    for (size_t i = 0; i < sizeof never / sizeof *never; i++)
        must(!strstr(out->bytes, never[i]));
    must(strstr(out->bytes, "</html>") != NULL);
}

static size_t count_of(const char *text, const char *word)
{
    size_t count = 0;

    for (const char *at = text; (at = strstr(at, word)); at++)
        count++;
    return count;
}

/* RFC 5545: lines of at most 75 octets that end with CR LF; nothing typed begins a line of its own. */
static void check_ics(const aq_buffer *out)
{
    const char *line = out->bytes, *stop;

    must(is_plain(out->bytes, out->length, "\r\n"));
    must(strncmp(line, "BEGIN:VCALENDAR\r\n", 17) == 0);
    for (; *line; line = stop + 2) {
        stop = strstr(line, "\r\n");
        must(stop && stop - line <= 75 && !memchr(line, '\n', (size_t)(stop - line)));
    }
    must(count_of(out->bytes, "\r\nBEGIN:") + 1 == count_of(out->bytes, "\r\nEND:"));
    must(count_of(out->bytes, "\r\nEND:VCALENDAR\r\n") == 1);
}

static void check_bytes(const char *format, const aq_buffer *out)
{
    must(out->bytes && out->length == strlen(out->bytes));
    if (strcmp(format, "json") == 0)
        check_json(out);
    else if (strcmp(format, "csv") == 0)
        check_csv(out);
    else if (strcmp(format, "html") == 0)
        check_html(out);
    else if (strcmp(format, "ics") == 0)
        check_ics(out);
    else
        must(is_plain(out->bytes, out->length, "\n"));
}

static void render(const aq_sheet *sheet)
{
    size_t count;
    const aq_renderer *table = aq_renderer_table(&count);
    aq_manner manner = { .width = 40, .why = true, .now = { { 2026, 3, 2 }, 0 } };

    for (size_t i = 0; i < count; i++) {
        aq_buffer out = { .ceiling = 0 };
        aq_error err = { .status = AQ_OK };
        aq_status status = table[i].sheet(sheet, &manner, aq_buffer_sink(&out), &err);

        if (status == AQ_OK)
            check_bytes(table[i].name, &out);
        else
            check_complaint(&err, status, true);
        aq_buffer_free(&out);
    }
}

/* ---- from bytes to answers ---- */

static void answer(aq_arena *arena, const aq_job *job, const char *subject, char *options)
{
    static aq_complaints complaints;
    typed_parts parts = { .arena = arena, .at_fernhollow = subject != NULL };
    aq_setting setting = { .today = { { 2026, 3, 2 }, 8 * 60 }, .subject = subject, .why = true };
    aq_node *answers = read_options(arena, options, &parts);
    aq_sheet *sheet;
    aq_status status;

    if (subject)
        setting.site = fernhollow();
    complaints.count = complaints.more = 0;
    status = aq_job_answer(&sheet, arena, job, answers, &setting, &complaints);
    must((status == AQ_OK) == (sheet != NULL));
    if (status != AQ_OK) {
        check_complaints(&complaints, status);
        return;
    }
    check_sheet(sheet, &parts);
    render(sheet);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    char *text = text_of_bytes(bytes, length), *rest = text, *name = take_line(&rest),
         *space = strchr(name, ' ');
    aq_arena *arena = aq_arena_new(0);
    const aq_job *job;

    must(arena != NULL);
    if (space)
        *space = '\0';
    job = aq_job_find(name);
    if (job && job->run && (!space || is_utf8(space + 1, strlen(space + 1))))
        answer(arena, job, space ? space + 1 : NULL, rest);
    aq_arena_free(arena);
    free(text);
    return 0;
}
