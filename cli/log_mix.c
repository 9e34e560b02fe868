/* The planned sheet, and the questions for what went otherwise. */
#include "log_mix.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "clock.h"
#include "commands.h"
#include "log_file.h"
#include "log_say.h"
#include "memory.h"

static const aq_place nowhere = { 0 };

static aq_status complain(const cli_log_mixing *m, aq_status status, const char *text)
{
    aq_error err = { .status = AQ_OK };

    aq_fail(&err, status, nowhere, "%s", text ? text : "out of memory");
    aq_complain(m->complaints, &err);
    return status;
}

static bool in_line(const cli_log_mixing *m, const char *key)
{
    return aq_node_get(m->line->answers, key) != NULL;
}

/* ---- the sheet ---- */

/* A map of options of two words each, NULL-ended. */
static aq_node *answers_of(aq_arena *arena, const char *const *words)
{
    aq_node *map = aq_node_new(arena, AQ_NODE_MAP, nowhere, NULL);

    for (; map && words[0]; words += 2) {
        aq_node *value = aq_node_new(arena, AQ_NODE_SCALAR, nowhere, words[1]);

        if (!value || !aq_node_add(arena, map, words[0], value))
            return NULL;
    }
    return map;
}

static aq_status answer(const aq_sheet **out, const cli_log_mixing *m, const char *job,
                        const char *const *options, aq_complaints *complaints)
{
    cli_loader loader = { m->report, false };
    aq_setting setting = { .today = cli_today(),
                           .site = m->site,
                           .subject = strcmp(job, "mix") == 0 ? m->line->subject : NULL,
                           .load = cli_load,
                           .from = &loader,
                           .done_too = true }; /* whoever logs twice a day is offered the same again */
    cli_line line = *m->line;
    aq_sheet *sheet;
    aq_status status;

    *out = NULL;
    line.job = aq_job_find(job);
    line.log = m->says->log;
    line.answers = answers_of(m->report->arena, options);
    if (!line.answers)
        return complain(m, AQ_NO_MEMORY, NULL);
    setting.memory = cli_memory(&line, &setting, m->report);
    status = aq_job_answer(&sheet, m->report->arena, line.job, line.answers, &setting, complaints);
    if (status == AQ_OK)
        *out = sheet;
    return status;
}

static bool is_of(const aq_sheet *job, const char *name)
{
    return (job->reservoir && strcmp(job->reservoir, name) == 0) ||
           (!job->reservoir && job->lot && strcmp(job->lot, name) == 0);
}

/* The latest that is due by now, or the first of those still to come. NULL: none of that tank. */
static const aq_sheet *due_of(const aq_sheet *plan, const char *name, int minute)
{
    const aq_sheet *due = NULL;

    for (size_t i = 0; i < plan->jobs.count; i++) {
        const aq_sheet *job = plan->jobs.at[i];

        if (is_of(job, name) && (!due || job->at.minute <= minute))
            due = job;
    }
    return due;
}

/* Today's errands are listed where none is named and more than one, or none, is planned. */
static aq_status which_tank(cli_log_mixing *m, const aq_sheet *plan)
{
    const char *only = NULL, *listed = NULL;
    aq_arena *arena = m->report->arena;

    for (size_t i = 0; plan && i < plan->jobs.count; i++) {
        const char *name = plan->jobs.at[i]->reservoir ? plan->jobs.at[i]->reservoir : plan->jobs.at[i]->lot;

        if (!name || (only && strcmp(only, name) == 0))
            continue;
        listed = listed ? aq_arena_format(arena, "%s, %s", listed, name) : name;
        only = name;
    }
    if (only && only == listed) {
        m->line->subject = only;
        return AQ_OK;
    }
    for (size_t i = 0; !only && i < m->site->reservoirs.count; i++) {
        const char *name = m->site->reservoirs.at[i].name;

        listed = listed ? aq_arena_format(arena, "%s, %s", listed, name) : name;
    }
    return complain(m, AQ_MISSING,
                    aq_arena_format(arena, "which tank? There is %s: aliquot log mix %s NAME",
                                    listed ? listed : "none", m->line->site));
}

/* The sheet of the day: of the plan, where the week has one for the tank; else that of a change. */
static aq_status planned(const aq_sheet **out, cli_log_mixing *m)
{
    static aq_complaints
        ignored; /* a site whose week cannot be planned may well have a tank that can be mixed */
    aq_moment at = m->says->entry.at.date.year ? m->says->entry.at : cli_today();
    char day[AQ_DATE_ROOM];
    const char *const plan_day[] = { "from", day, "days", "1", NULL }, *const mix_day[] = { "date", day,
                                                                                            NULL };
    const aq_sheet *plan;
    aq_status status = AQ_OK;

    aq_date_write(at.date, day);
    answer(&plan, m, "plan", plan_day, &ignored);
    if (!m->line->subject && m->says->entry.reservoir)
        m->line->subject = m->says->entry.reservoir;
    if (!m->line->subject)
        status = which_tank(m, plan);
    if (status != AQ_OK)
        return status;
    *out = plan ? due_of(plan, m->line->subject, at.minute < 0 ? 1440 : at.minute) : NULL;
    return *out ? AQ_OK : answer(out, m, "mix", mix_day, m->complaints);
}

static const aq_figure *figure_of(const aq_sheet *sheet, const char *name)
{
    for (size_t i = 0; i < sheet->figures.count; i++)
        if (strcmp(sheet->figures.at[i].name, name) == 0 && sheet->figures.at[i].amount.given)
            return &sheet->figures.at[i];
    return NULL;
}

/* The sheet of a top-up is about what is poured in. Its entry is about the whole tank: what the plan followed it to. */
static void whole_tank(aq_entry *entry, const aq_sheet *sheet)
{
    const aq_figure *level = figure_of(sheet, "level_before"), *ec = figure_of(sheet, "ec_after");
    aq_measure shown;

    if (entry->kind != AQ_ENTRY_TOP_UP)
        return;
    entry->expected = ec ? aq_quantity_of(ec->amount.value, AQ_KIND_EC) : (aq_quantity){ 0 };
    if (!ec)
        entry->within.given = false;
    if (level && entry->volume.given && aq_measure_read(&shown, level->amount.unit, NULL, NULL) == AQ_OK)
        entry->volume.value += level->amount.value * shown.factor;
    else
        entry->volume.given = false; /* as the site fills it */
}

static aq_status take(cli_log_mixing *m, const aq_sheet *sheet)
{
    aq_entry *entry = &m->says->entry;
    aq_manner compact = { .compact = true };
    aq_buffer text = { .ceiling = 0 };
    aq_node *node = NULL;
    aq_quantity volume = entry->volume, expected = entry->expected;
    aq_status status;

    aq_json_add(&text, sheet, &compact);
    status = text.failed ? AQ_NO_MEMORY
                         : aq_node_json(&node, m->report->arena, text.bytes, text.length, "sheet", NULL);
    if (status == AQ_OK && !cli_log_plan(entry, node, m->report->arena))
        status = AQ_NO_MEMORY;
    aq_buffer_free(&text);
    if (status != AQ_OK)
        return complain(m, status, NULL);
    whole_tank(entry, sheet);
    if (volume.given)
        entry->volume = volume;
    if (expected.given)
        entry->expected = expected;
    if (entry->planned.count || entry->poured.count || entry->kind == AQ_ENTRY_TOP_UP)
        return AQ_OK;
    return complain(m, AQ_MISSING,
                    aq_arena_format(m->report->arena,
                                    "no dose is planned for %s (%s); aliquot log add records what was done",
                                    m->line->subject, aq_outcome_word(sheet->outcome)));
}

/* ---- asking ---- */

static void say_planned(const cli_log_mixing *m, const aq_quantity *amount, const char *asks)
{
    aq_buffer line = { .ceiling = 4000 };

    aq_text_add(&line, asks);
    if (amount && amount->given) {
        aq_buffer_text(&line, " [");
        cli_say_quantity(&line, m->report->arena, *amount);
        aq_buffer_text(&line, "]");
    }
    fprintf(stderr, "%s: ", aq_buffer_chars(&line));
    aq_buffer_free(&line);
}

/* A line as it was typed, without its end; NULL at the end of input, even in the middle of a line. */
static char *read_line(aq_arena *arena)
{
    char *line = NULL, *kept = NULL;
    size_t room = 0;
    ssize_t length = getline(&line, &room, stdin);

    if (length > 0 && line[length - 1] == '\n') {
        line[strcspn(line, "\r\n")] = '\0';
        kept = aq_arena_text(arena, line, strlen(line));
    }
    free(line);
    return kept;
}

static bool is_bare(const char *text)
{
    return *text && text[strspn(text, "0123456789./ ")] == '\0';
}

/* One answer by the row of an entry; a number alone has the unit that the question named. */
static bool take_answer(cli_log_mixing *m, const aq_field *row, void *into, const char *typed,
                        const char *unit)
{
    aq_arena *arena = m->report->arena;
    aq_walk walk = { .arena = arena, .said = aq_site_said(m->site), .complaints = m->complaints };
    const char *text = unit && is_bare(typed) ? aq_arena_format(arena, "%s %s", typed, unit) : typed;
    aq_node *node = text ? aq_node_new(arena, AQ_NODE_SCALAR, nowhere, text) : NULL;

    if (node && aq_field_read(&walk, row, node, into) == AQ_OK)
        return true;
    cli_report_all(m->report, m->complaints);
    m->complaints->count = m->complaints->more = 0;
    return false;
}

/* Asks until the answer is right, or Enter leaves what is there. False: the questions were ended. */
static bool ask(cli_log_mixing *m, const aq_field *row, void *into, const aq_quantity *shown,
                const char *asks, const char *unit)
{
    char *typed;

    do {
        say_planned(m, shown, unit ? aq_arena_format(m->report->arena, "%s, %s", asks, unit) : asks);
        typed = read_line(m->report->arena);
        if (!typed)
            return false;
    } while (typed[strspn(typed, " \t")] && !take_answer(m, row, into, typed, unit));
    return true;
}

static const char *meter_unit(const aq_meter *meter)
{
    switch (meter->scale) {
    case 2:
        return "CF";
    case 500:
        return "ppm-500";
    case 640:
        return "ppm-640";
    case 700:
        return "ppm-700";
    default:
        return "mS/cm";
    }
}

/* A litre or a gram at a time: "Part A, mL [18 mL]". */
static bool ask_amounts(cli_log_mixing *m)
{
    static const aq_field volume = { .key = "poured",
                                     .read = AQ_READ_QUANTITY,
                                     .want = AQ_WANT_VOLUME,
                                     .bounded = true,
                                     .most = 1e6,
                                     .example = "18 mL" };
    static const aq_field mass = { .key = "poured",
                                   .read = AQ_READ_QUANTITY,
                                   .want = AQ_WANT_MASS,
                                   .bounded = true,
                                   .most = 1e9,
                                   .example = "70 g" };
    aq_amounts *poured = &m->says->entry.poured;

    for (size_t i = 0; i < poured->count; i++) {
        aq_quantity *amount = &poured->at[i].amount;
        bool grams = aq_kind_equal(amount->kind, AQ_KIND_MASS);

        if (!ask(m, grams ? &mass : &volume, amount, amount, poured->at[i].name, grams ? "g" : "mL"))
            return false;
    }
    return true;
}

typedef enum { ASKS_LITRES, ASKS_EC, ASKS_WARMTH, ASKS_PLAIN } asks_for;

static const struct {
    const char *key, *asks;
    asks_for what;
} questions[] = {
    { "volume", "It holds now", ASKS_LITRES },
    { "ec-before", "EC before the doses, as shown", ASKS_EC },
    { "ec-after", "EC at the end, as shown", ASKS_EC },
    { "temperature", "Temperature", ASKS_WARMTH },
    { "ph", "pH", ASKS_PLAIN },
    { "who", "Who", ASKS_PLAIN },
    { "note", "Note", ASKS_PLAIN },
};

static const aq_field *row_of(const char *key)
{
    for (size_t i = 0; i < aq_entry_shape.count; i++)
        if (strcmp(aq_entry_shape.fields[i].key, key) == 0)
            return &aq_entry_shape.fields[i];
    return NULL;
}

static bool ask_rows(cli_log_mixing *m)
{
    for (size_t i = 0; i < sizeof questions / sizeof *questions; i++) {
        const aq_field *row = row_of(questions[i].key);
        const char *const units[] = { "L", meter_unit(&m->site->meter), "degC", NULL };
        void *into = (char *)&m->says->entry + row->into;

        if (!in_line(m, questions[i].key) &&
            !ask(m, row, into, questions[i].what == ASKS_LITRES ? into : NULL, questions[i].asks,
                 units[questions[i].what]))
            return false;
    }
    return true;
}

static aq_status ask_all(cli_log_mixing *m)
{
    const aq_entry *entry = &m->says->entry;
    aq_buffer title = { .ceiling = 4000 };

    aq_text_add(&title, entry->title ? entry->title : m->line->subject);
    fprintf(stderr, "%s\nEnter keeps what was planned, or leaves out what was not read.\n",
            aq_buffer_chars(&title));
    aq_buffer_free(&title);
    if ((in_line(m, "poured") || ask_amounts(m)) && ask_rows(m))
        return AQ_OK;
    fputc('\n', stderr);
    return complain(m, AQ_MISSING, "the questions were not answered to the end; nothing was recorded");
}

/* ---- without a terminal ---- */

/* A word as a shell takes it back to the same bytes. */
static void add_word(aq_buffer *out, const char *word)
{
    static const char safe[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789./_-:,=";

    if (*word && !word[strspn(word, safe)]) {
        aq_buffer_text(out, word);
        return;
    }
    aq_buffer_char(out, '\'');
    for (; *word; word++)
        if (*word == '\'')
            aq_buffer_text(out, "'\\''");
        else
            aq_buffer_char(out, *word);
    aq_buffer_char(out, '\'');
}

/* {Part A: 18 mL, "a: b": 3 g} */
static void add_amounts(aq_buffer *out, aq_arena *arena, const aq_amounts *amounts)
{
    for (size_t i = 0; i < amounts->count; i++) {
        const char *name = amounts->at[i].name;
        bool plain = !name[strcspn(name, ":{}[],#&*!|>'\"%@`\\")];

        aq_buffer_text(out, i ? ", " : "{");
        aq_buffer_text(out, plain ? "" : "\"");
        for (; *name; name++)
            aq_buffer_format(out, strchr("\"\\", *name) ? "\\%c" : "%c", *name);
        aq_buffer_text(out, plain ? ": " : "\": ");
        cli_say_quantity(out, arena, amounts->at[i].amount);
    }
    aq_buffer_char(out, '}');
}

/* Nobody can be asked, and a plan alone is no record of what happened. */
static aq_status must_be_said(cli_log_mixing *m)
{
    static const char *const tells[] = { "poured", "ec-before", "ec-after", "ph", "volume", "note" };
    aq_buffer command = { .ceiling = 100000 }, amounts = { .ceiling = 100000 };
    aq_status status;

    for (size_t i = 0; i < sizeof tells / sizeof *tells; i++)
        if (in_line(m, tells[i]))
            return AQ_OK;
    aq_buffer_text(&command, "aliquot log mix ");
    add_word(&command, m->line->site);
    aq_buffer_char(&command, ' ');
    add_word(&command, m->line->subject);
    add_amounts(&amounts, m->report->arena, &m->says->entry.planned);
    aq_buffer_text(&command, " --poured ");
    add_word(&command, aq_buffer_chars(&amounts));
    status = complain(m, AQ_MISSING,
                      aq_arena_format(m->report->arena,
                                      "nothing says how it went. If as planned: %s and, if it was read, "
                                      "--ec-after with what the meter showed",
                                      aq_buffer_chars(&command)));
    aq_buffer_free(&amounts);
    aq_buffer_free(&command);
    return status;
}

/* ---- the whole ---- */

aq_status cli_log_mix(cli_log_mixing *m)
{
    aq_entry *entry = &m->says->entry;
    const aq_sheet *sheet = NULL;
    aq_error err = { .status = AQ_OK };
    aq_status status;

    if (m->says->sheet) {
        status = cli_log_sheet(entry, m->says->sheet, m->report, &err);
        if (status != AQ_OK)
            aq_complain(m->complaints, &err);
        if (!m->line->subject)
            m->line->subject = entry->reservoir ? entry->reservoir : entry->lot;
    } else {
        status = planned(&sheet, m);
        if (status == AQ_OK)
            status = take(m, sheet);
    }
    if (status == AQ_OK && !cli_log_as_planned(entry, m->report->arena))
        status = complain(m, AQ_NO_MEMORY, NULL);
    if (status != AQ_OK)
        return status;
    return isatty(STDIN_FILENO) && isatty(STDERR_FILENO) ? ask_all(m) : must_be_said(m);
}
