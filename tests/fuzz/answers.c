/* A line of options to a job's answer to every renderer.
 *
 *     mix Trays                the job, and a reservoir, bottle or lot of Fernhollow ("mix" alone: without a site)
 *     volume=80L               an option a line, its value as a person types it
 *     part={name: A, ...}
 *
 * Whatever the options say: no dose is over its label's top unless that was asked for, none is negative, a refused sheet
 * pours nothing, what is poured gives the reading that is stated, a hazard of it is on the sheet, and each format is
 * safe to show where it is shown. */
#include "fuzz.h"

#include "fernhollow.h"
#include "formats.h"
#include "sheet/caution.h"
#include "sheet/measured.h"

enum { NAMES_MOST = 64 };
static const double ROUNDED = 0.01; /* the water of a sheet is said to three figures */

/* What the options themselves say of hazards, read apart from the job. */
typedef struct {
    aq_arena *arena;
    bool at_fernhollow, by_its_slopes; /* no option says what its parts bring */
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

/* An option that leaves the recipe's slopes as they are. */
static bool keeps_slopes(const char *key)
{
    static const char *const keys[] = { "volume", "ec",   "stage", "heel",  "heel-ec", "water-ec",
                                        "water",  "show", "date",  "rates", "ph",      "over-label" };

    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (strcmp(keys[i], key) == 0)
            return true;
    return false;
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
        parts->by_its_slopes = parts->by_its_slopes && keeps_slopes(line);
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

/* What the rows bring by the recipe of Fernhollow, in mS/cm; NaN: not by its slopes alone. */
static double poured_ec(const aq_sheet *sheet)
{
    double supplement = 0, a = 0, b = 0;

    for (size_t i = 0; i < sheet->rows.count; i++) {
        const aq_row *row = &sheet->rows.at[i];
        double *into = !row->part                             ? NULL
                       : strcmp(row->part, "Supplement") == 0 ? &supplement
                       : strcmp(row->part, "Part A") == 0     ? &a
                       : strcmp(row->part, "Part B") == 0     ? &b
                                                              : NULL;
        if (row->what == AQ_DO_WEIGH || row->what == AQ_DO_PREDILUTE || row->what == AQ_DO_MOVE)
            return NAN;
        if (row->what != AQ_DO_POUR)
            continue;
        if (!into || !row->amount.given || strcmp(row->amount.unit, "mL") != 0 || row->concentrate.given)
            return NAN;
        *into += row->amount.value;
    }
    if (a != b || strcmp(sheet->volume.unit, "L") != 0)
        return NAN;
    return (0.29 * supplement + 0.40 * a) / sheet->volume.value;
}

/* The reading it states is that of the water and the heel, and what the rows pour: each is shown to 0.01 mS/cm. */
static void check_reading(const aq_sheet *sheet)
{
    double poured = poured_ec(sheet);
    const aq_row *first = sheet->rows.at;

    for (; first < sheet->rows.at + sheet->rows.count && !first->expect.given; first++)
        if (first->what == AQ_DO_POUR)
            return;
    if (isnan(poured) || first == sheet->rows.at + sheet->rows.count || !sheet->expect_ec.given)
        return;
    must(fabs(sheet->expect_ec.value - first->expect.value - poured) < 0.0101);
}

/* What is poured into a tank is no more than it holds. */
static void check_room(const aq_sheet *sheet)
{
    double litres = 0;

    for (size_t i = 0; i < sheet->rows.count; i++) {
        const aq_row *row = &sheet->rows.at[i];

        if ((row->what == AQ_DO_POUR || row->what == AQ_DO_WATER) && row->amount.given)
            litres += aq_amount_base(row->amount);
    }
    must(litres <= aq_amount_base(sheet->volume) * (1 + ROUNDED));
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
    if (strcmp(sheet->job, "mix") == 0)
        check_room(sheet);
    for (size_t i = 0; i < sheet->jobs.count; i++)
        check_sheet(sheet->jobs.at[i], parts);
}

/* ---- from bytes to answers ---- */

static void answer(aq_arena *arena, const aq_job *job, const char *subject, char *options)
{
    static aq_complaints complaints;
    typed_parts parts = { .arena = arena,
                          .at_fernhollow = subject != NULL,
                          .by_its_slopes = subject != NULL };
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
    if (parts.by_its_slopes && strcmp(sheet->job, "mix") == 0)
        check_reading(sheet);
    check_formats(sheet);
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
