/* A sheet built from bytes, to every renderer: what no job makes today, a renderer must still make safe to show.
 *
 * The bytes are taken in order, and once they are used up everything else is left out. A text is a length and its
 * bytes, UTF-8 or not; a number is one of a table or the eight bytes of a double; a list is a count and its things. Only what
 * the library itself writes stays in its bounds: finite numbers, units and names of figures of the table, real dates. */
#include "fuzz.h"

#include "formats.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

typedef struct {
    const uint8_t *at;
    size_t left;
    aq_arena *arena;
} pile;

static unsigned take(pile *p)
{
    if (!p->left)
        return 0;
    p->left--;
    return *p->at++;
}

/* A number below `most`. */
static unsigned below(pile *p, size_t most)
{
    return take(p) % (unsigned)most;
}

/* NULL one time in eight, and where nothing is left. */
static const char *take_text(pile *p)
{
    unsigned length = take(p), have;
    const char *text;

    if (length % 8 == 0)
        return NULL;
    length = length / 8;
    have = length < p->left ? length : (unsigned)p->left;
    text = aq_arena_text(p->arena, (const char *)p->at, have);
    must(text != NULL);
    p->at += have;
    p->left -= have;
    return text;
}

static const char *some_text(pile *p)
{
    const char *text = take_text(p);

    return text ? text : "thing";
}

static double take_number(pile *p)
{
    static const double table[] = { 0,    1,    0.0625, 2.385, 9.995, 10,      60,        999.95,
                                    1e-9, 1e15, -0.25,  1e-7,  1e300, -5e-324, 123456.78, 0.1 };
    unsigned which = below(p, COUNT(table) + 1);
    double value;

    if (which < COUNT(table))
        return table[which];
    if (p->left < sizeof value)
        return 0;
    memcpy(&value, p->at, sizeof value);
    p->at += sizeof value;
    p->left -= sizeof value;
    return isfinite(value) ? value : 0;
}

static double number_or_none(pile *p)
{
    return take(p) % 2 ? take_number(p) : NAN;
}

static aq_amount take_amount(pile *p)
{
    static const char *const units[] = { "mL", "g",  "L",    "mS/cm", "mg/L", "mg/L CaCO3", "d",
                                         "1",  "pH", "degC", "EUR",   "min",  "mL/L",       "h" };

    if (take(p) % 2 == 0)
        return (aq_amount){ 0 };
    const char *unit = units[below(p, COUNT(units))];
    double value = take_number(p);
    return aq_amount_within(value, unit, take(p) % 2 ? fabs(take_number(p)) : 0);
}

static void take_texts(pile *p, aq_texts *list)
{
    for (unsigned more = below(p, 3); more; more--) {
        const char **place = aq_list_add(p->arena, list, sizeof *place);

        must(place != NULL);
        *place = some_text(p);
    }
}

/* Each name once, as jobs give them. */
static void take_figures(pile *p, aq_figures *figures)
{
    static const char *const names[] = { "strength", "allowed",  "real.N", "real.K",    "order_by",
                                         "lasts",    "ph.start", "cost",   "ions.a.Na", "ions.a.K" };
    unsigned which = below(p, 2 * COUNT(names));

    for (; which < COUNT(names); which += 1 + below(p, 4)) {
        if (take(p) % 2)
            must(aq_figures_text(p->arena, figures, names[which], some_text(p)));
        else
            must(aq_figures_add(p->arena, figures, names[which], take_number(p), "mg/L"));
    }
}

static void take_row(pile *p, aq_sheet *sheet)
{
    aq_row *row = aq_sheet_row(sheet, (aq_do)below(p, AQ_DO_COUNT));

    must(row != NULL);
    row->part = take_text(p);
    row->water = take_text(p);
    row->tank = take_text(p);
    row->to = take_text(p);
    row->with = take_text(p);
    row->note = take_text(p);
    aq_amount *amounts[] = { &row->exact, &row->amount,   &row->make,   &row->concentrate,
                             &row->each,  &row->strength, &row->expect, &row->time };
    for (size_t i = 0; i < COUNT(amounts); i++)
        *amounts[i] = take_amount(p);
    for (unsigned more = below(p, 4); more; more--) {
        double *piece = aq_list_add(p->arena, &row->pieces, sizeof *piece);

        must(piece != NULL);
        *piece = take_number(p);
    }
    row->label_used = number_or_none(p);
    row->ph_low = number_or_none(p);
    row->ph_high = number_or_none(p);
}

static void take_hazard(pile *p, aq_sheet *sheet)
{
    static const char *const codes[] = { "H314", "H318", "H272", "H302", "H360FD", "H412" };
    aq_hazard *hazard = aq_list_add(p->arena, &sheet->hazards, sizeof *hazard);
    unsigned which = below(p, COUNT(codes) + 2);

    must(hazard != NULL);
    if (which < COUNT(codes))
        *hazard = (aq_hazard){ .code = codes[which], .text = aq_hazard_text(codes[which]) };
    else if (which == COUNT(codes))
        *hazard = (aq_hazard){ .code = "", .rule = "acid", .text = "Acid into water, slowly." };
    else
        *hazard = (aq_hazard){ .code = some_text(p), .text = some_text(p) };
    must(hazard->text != NULL);
    hazard->part = take_text(p);
    hazard->refuses = take(p) % 4 == 1;
}

static void take_asides(pile *p, aq_asides *asides)
{
    for (unsigned more = below(p, 3); more; more--) {
        aq_aside *aside = aq_asides_add(p->arena, asides);

        must(aside != NULL);
        aside->part = take_text(p);
        aside->say = take_text(p);
        aside->label_used = number_or_none(p);
        aside->ec = take_amount(p);
        for (unsigned pours = below(p, 3); pours; pours--) {
            aq_do what = (aq_do)below(p, AQ_DO_COUNT);
            const char *part = some_text(p);

            must(aq_pours_add(p->arena, &aside->pours, what, part, take_amount(p)));
        }
        take_figures(p, &aside->figures);
    }
}

static void take_records(pile *p, aq_records *records, const char *label)
{
    for (unsigned more = below(p, 3); more; more--) {
        aq_record *record = aq_records_add(p->arena, records, label, some_text(p));

        must(record != NULL);
        take_figures(p, &record->figures);
    }
}

/* What a feed holds of each element, by what its own name calls it; or the ions of a water. */
static void take_elements(pile *p, aq_records *records)
{
    static const char *const symbols[] = { "N", "K", "Ca", "NO3-N" };

    if (take(p) % 2) {
        for (unsigned more = below(p, 4); more; more--) {
            aq_record *record = aq_records_add(p->arena, records, "ion", some_text(p));

            must(record && aq_figures_add(p->arena, &record->figures, "charge", take_number(p), "meq/L"));
        }
        return;
    }
    for (unsigned which = below(p, 2 * COUNT(symbols)); which < COUNT(symbols); which++) {
        aq_record *record = aq_records_add(p->arena, records, "element", symbols[which]);

        must(record && aq_figures_add(p->arena, &record->figures, "got", take_number(p), "mg/L"));
        if (take(p) % 2)
            must(aq_figures_add(p->arena, &record->figures, "wanted", take_number(p), "mg/L"));
        for (unsigned more = below(p, 3); more; more--) {
            const char *name = some_text(p);

            must(aq_origins_add(p->arena, &record->from, take(p) % 2 ? "part" : "water", name,
                                aq_amount_of(take_number(p), "mg/L")));
        }
    }
}

static aq_moment take_moment(pile *p)
{
    aq_moment at = { { 0 }, -1 };

    if (take(p) % 2) {
        at.date = (aq_date){ 2024 + (int)below(p, 4), 1 + (int)below(p, 12), 1 + (int)below(p, 28) };
        at.minute = (int)below(p, 250) * 6 - 1;
    }
    return at.minute < 1440 ? at : (aq_moment){ at.date, -1 };
}

static void take_head(pile *p, aq_sheet *sheet)
{
    const char **texts[] = { &sheet->title,     &sheet->aim,        &sheet->verdict, &sheet->site,
                             &sheet->reservoir, &sheet->lot,        &sheet->who,     &sheet->note,
                             &sheet->water,     &sheet->over_label, &sheet->defers };
    static const char *const zones[] = { NULL, "Europe/Dublin", "America/New_York", "Nowhere/Else" };
    static const char *const shown[] = { "L", "mL", "gal-us", "gal-imp", "mg/L" };

    for (size_t i = 0; i < COUNT(texts); i++)
        *texts[i] = take_text(p);
    sheet->outcome = (aq_outcome)below(p, AQ_REFUSED + 1);
    sheet->at = take_moment(p);
    sheet->timezone = zones[below(p, COUNT(zones))];
    sheet->day = (long)take(p) - 1;
    sheet->classes = take(p) | take(p) << 8;
    for (unsigned more = below(p, 3); more; more--) {
        const char **place = aq_list_add(p->arena, &sheet->show, sizeof *place);

        must(place != NULL);
        *place = shown[below(p, COUNT(shown))];
    }
    sheet->volume = take_amount(p);
    sheet->heel = take_amount(p);
    sheet->heel_ec = take_amount(p);
}

static aq_sheet *take_sheet(pile *p, int depth)
{
    size_t count;
    const aq_job *const *table = aq_job_table(&count);
    aq_sheet *sheet = aq_sheet_new(p->arena, table[below(p, count)]->name);

    must(sheet != NULL);
    take_head(p, sheet);
    for (unsigned more = below(p, 4); more; more--)
        take_row(p, sheet);
    for (unsigned more = below(p, 4); more; more--)
        take_hazard(p, sheet);
    take_figures(p, &sheet->figures);
    take_asides(p, &sheet->beside);
    take_asides(p, &sheet->if_reads);
    aq_texts *lists[] = { &sheet->wear,   &sheet->next, &sheet->cautions, &sheet->assumed,
                          &sheet->unseen, &sheet->why,  &sheet->at_bound };
    for (size_t i = 0; i < COUNT(lists); i++)
        take_texts(p, lists[i]);
    take_records(p, &sheet->totals, "part");
    take_records(p, &sheet->supplies, "part");
    take_records(p, &sheet->causes, "because");
    take_records(p, &sheet->precipitates, "solid");
    take_records(p, &sheet->learned, below(p, 2) ? "part" : "entry");
    take_elements(p, &sheet->elements);
    for (unsigned more = below(p, 3); more; more--) {
        const char *what = some_text(p);

        must(aq_sheet_short(sheet, what, take_amount(p), "%s", some_text(p)));
    }
    sheet->expect_ec = take_amount(p);
    sheet->expect_ph_low = number_or_none(p);
    sheet->expect_ph_high = number_or_none(p);
    sheet->gap = number_or_none(p);
    for (unsigned more = depth ? below(p, 4) : 0; more; more--) {
        aq_sheet **place = aq_list_add(p->arena, &sheet->jobs, sizeof *place);

        must(place != NULL);
        *place = take_sheet(p, depth - 1);
    }
    return sheet;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    aq_arena *arena = aq_arena_new(0);
    pile p = { bytes, length, arena };

    must(arena != NULL);
    check_formats(take_sheet(&p, 1));
    aq_arena_free(arena);
    return 0;
}
