/* Sheets built by hand, for every renderer to render. */
#ifndef SAMPLE_H
#define SAMPLE_H

#include "check.h"
#include "render/render.h"

/* A name that tries a terminal, a page, a spreadsheet, a calendar and a parser, and is not even UTF-8 at its end. */
#define HOSTILE                                                                                              \
    "=cmd|'/C calc'!A1 \x1b[31m\x07\"<script>alert(1)</script>&\r\nEND:VEVENT\x7f\xc2\x9b\xe2\x80\xae"       \
    "txt;,\\\xff"

static inline void add_text(aq_arena *arena, aq_texts *list, const char *text)
{
    const char **place = aq_list_add(arena, list, sizeof *place);
    assert_non_null(place);
    *place = text;
}

static inline void add_hazard(aq_sheet *sheet, const char *code, const char *text, const char *part)
{
    aq_hazard *hazard = aq_list_add(sheet->arena, &sheet->hazards, sizeof *hazard);
    assert_non_null(hazard);
    *hazard = (aq_hazard){ .code = code, .text = text, .part = part };
}

static inline void add_piece(aq_sheet *sheet, aq_row *row, double piece)
{
    double *place = aq_list_add(sheet->arena, &row->pieces, sizeof *place);
    assert_non_null(place);
    *place = piece;
}

static inline aq_row *add_row(aq_sheet *sheet, aq_do what, const char *part, double amount, const char *unit)
{
    aq_row *row = aq_sheet_row(sheet, what);
    assert_non_null(row);
    row->part = part;
    if (unit)
        row->amount = aq_amount_of(amount, unit);
    return row;
}

static inline void pour_in_pieces(aq_sheet *sheet, const char *part)
{
    aq_row *row = add_row(sheet, AQ_DO_POUR, part, 192, "mL");
    row->exact = aq_amount_of(192.04, "mL");
    row->with = "60 mL syringe";
    row->label_used = 0.8;
    for (int i = 0; i < 3; i++)
        add_piece(sheet, row, 60);
    add_piece(sheet, row, 12);
}

/* A reservoir change into an empty tank: two parts, a reading between. */
static inline aq_sheet *sample_mix(aq_arena *arena, const char *part)
{
    aq_sheet *sheet = aq_sheet_new(arena, "mix");
    assert_non_null(sheet);
    sheet->title = "Mother bed, 60 L to 1.6 mS/cm";
    sheet->aim = "vegetative, day 12: 1.6 mS/cm";
    sheet->site = "Fernhollow";
    sheet->reservoir = "Mother bed";
    sheet->lot = "basil-14";
    sheet->day = 12;
    sheet->at = (aq_moment){ { 2026, 3, 2 }, 9 * 60 + 5 };
    sheet->water = "tap, EC 0.32, alkalinity 120 mg/L CaCO3";
    sheet->volume = aq_amount_of(60, "L");
    sheet->heel = aq_amount_of(4, "L");
    sheet->heel_ec = aq_amount_of(1.9, "mS/cm");
    add_text(arena, &sheet->show, "L");
    add_text(arena, &sheet->show, "gal-us");
    add_hazard(sheet, "H318", "Causes serious eye damage", part);
    add_text(arena, &sheet->wear, "eye protection");
    add_row(sheet, AQ_DO_WATER, NULL, 55, "L");
    aq_row *read = add_row(sheet, AQ_DO_READ, NULL, 0, NULL);
    read->expect = aq_amount_within(0.425, "mS/cm", 0.10);
    pour_in_pieces(sheet, part);
    add_row(sheet, AQ_DO_STIR, NULL, 0, NULL);
    pour_in_pieces(sheet, "Part B");
    sheet->expect_ec = aq_amount_within(1.6, "mS/cm", 0.13);
    sheet->expect_ph_low = 5.6;
    sheet->expect_ph_high = 6.2;
    for (int low = 0; low < 2; low++) {
        aq_aside *aside = aq_asides_add(arena, &sheet->if_reads);
        assert_non_null(aside);
        aside->ec = aq_amount_of(low ? 1.4 : 1.8, "mS/cm");
        assert_true(aq_pours_add(arena, &aside->pours, low ? AQ_DO_POUR : AQ_DO_WATER, low ? part : NULL,
                                 low ? aq_amount_of(15, "mL") : aq_amount_of(9.4, "L")));
    }
    assert_true(aq_sheet_figure(sheet, "label_used", 0.8, "1"));
    assert_true(aq_sheet_assume(sheet, "gallon: us, from the site"));
    assert_true(aq_sheet_why(sheet, "empty tank: (1.6 - 0.32) / 0.40 x 60 = 192 mL of each"));
    sheet->gap = 1e-12;
    sheet->defers = "Follow the label first.";
    return sheet;
}

/* A water by its analysis: elements that make a chart. */
static inline aq_sheet *sample_water(aq_arena *arena)
{
    aq_sheet *sheet = aq_sheet_new(arena, "water");
    assert_non_null(sheet);
    sheet->title = "Tap water";
    assert_true(aq_sheet_figure(sheet, "ec", 0.41, "mS/cm") && aq_sheet_figure(sheet, "Ca", 42, "mg/L") &&
                aq_sheet_figure(sheet, "Mg", 8, "mg/L") && aq_sheet_figure(sheet, "Na", 15, "mg/L"));
    aq_record *solid = aq_records_add(arena, &sheet->precipitates, "solid", "calcite");
    assert_true(solid && aq_figures_add(arena, &solid->figures, "index", -0.4, "1"));
    return sheet;
}

/* Figures only, as a reading of a meter gives. */
static inline aq_sheet *sample_meter(aq_arena *arena)
{
    aq_sheet *sheet = aq_sheet_new(arena, "meter");
    assert_non_null(sheet);
    sheet->title = "900 ppm-700";
    assert_true(aq_sheet_figure(sheet, "ec", 900.0 / 700, "mS/cm"));
    assert_true(aq_sheet_figure(sheet, "ppm-500", 900.0 / 1.4, "ppm-500"));
    assert_true(aq_sheet_figure_text(sheet, "scale", "ppm-700"));
    return sheet;
}

static inline aq_sheet *sample_job(aq_arena *arena, aq_sheet *plan, const char *title, aq_moment at, long day)
{
    aq_sheet *job = aq_sheet_new(arena, "mix");
    aq_sheet **place = aq_list_add(arena, &plan->jobs, sizeof *place);
    assert_true(job && place);
    *place = job;
    job->title = title;
    job->at = at;
    job->day = day;
    add_row(job, AQ_DO_WATER, NULL, 12, "L");
    add_row(job, AQ_DO_POUR, "Part A", 18, "mL");
    job->volume = aq_amount_of(12, "L");
    job->expect_ec = aq_amount_within(0.9, "mS/cm", 0.1);
    return job;
}

/* A mix whose table of elements has every case: several sources, one, none. */
static inline aq_sheet *sample_elements(aq_arena *arena)
{
    static const struct {
        const char *name;
        double wanted, got, tap, bag;
    } rows[] = { { "N", 150, 148, 18, 130 }, { "NO3-N", NAN, 12.5, 12.5, 0 }, { "P", 31, 0, 0, 0 } };
    aq_sheet *sheet = aq_sheet_new(arena, "mix");
    sheet->title = "40 L to 150 mg/L N";
    aq_sheet_row(sheet, AQ_DO_STIR);
    aq_sheet_figure(sheet, "label_used", 0.8, "1");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_record *record = aq_records_add(arena, &sheet->elements, "element", rows[i].name);
        aq_sheet_figure(sheet, rows[i].name, rows[i].got, "mg/L");
        if (!isnan(rows[i].wanted))
            aq_figures_add(arena, &record->figures, "wanted", rows[i].wanted, "mg/L");
        aq_figures_add(arena, &record->figures, "got", rows[i].got, "mg/L");
        if (rows[i].tap > 0)
            aq_origins_add(arena, &record->from, "water", "tap 1.5", aq_amount_of(rows[i].tap, "mg/L"));
        if (rows[i].bag > 0)
            aq_origins_add(arena, &record->from, "part", "Calcium nitrate of the old shed",
                           aq_amount_of(rows[i].bag, "mg/L"));
    }
    return sheet;
}

static inline aq_sheet *sample_plan(aq_arena *arena)
{
    aq_sheet *plan = aq_sheet_new(arena, "plan");
    assert_non_null(plan);
    plan->title = "A week from Mon 2 Mar 2026";
    aq_sheet *trays =
        sample_job(arena, plan, "Trays, 12 L to 0.9 mS/cm", (aq_moment){ { 2026, 3, 2 }, 450 }, 0);
    trays->reservoir = "Trays";
    add_hazard(trays, "H318", "Causes serious eye damage", "Part A");
    sample_job(arena, plan, "Mother bed, 60 L to 1.6 mS/cm", (aq_moment){ { 2026, 3, 2 }, 540 }, -1)
        ->reservoir = "Mother bed";
    aq_sheet *again =
        sample_job(arena, plan, "Trays, 12 L to 0.9 mS/cm", (aq_moment){ { 2026, 3, 5 }, -1 }, 3);
    again->reservoir = "Trays";
    again->heel = aq_amount_of(3, "L");
    again->heel_ec = aq_amount_of(1.2, "mS/cm");
    aq_record *total = aq_records_add(arena, &plan->totals, "part", "Part A");
    assert_true(total && aq_figures_add(arena, &total->figures, "amount", 54, "mL"));
    aq_record *supply = aq_records_add(arena, &plan->supplies, "part", "Part A");
    assert_true(supply && aq_figures_add(arena, &supply->figures, "left", 40, "mL") &&
                aq_figures_add(arena, &supply->figures, "lasts", 1, "d") &&
                aq_figures_text(arena, &supply->figures, "runs_out", "2026-03-05"));
    return plan;
}

/* Every action a sheet can ask for, and what only some jobs have. */
static inline aq_sheet *sample_all(aq_arena *arena)
{
    aq_sheet *sheet = aq_sheet_new(arena, "stock");
    assert_non_null(sheet);
    sheet->title = "All that a row can ask";
    sheet->outcome = AQ_CAPPED;
    add_text(arena, &sheet->show, "gal-us");
    aq_row *row = add_row(sheet, AQ_DO_DRAIN, NULL, 17.5, "L");
    row = add_row(sheet, AQ_DO_MOVE, NULL, 12, "L");
    row->to = "Stock bed";
    row = add_row(sheet, AQ_DO_WATER, NULL, 25.5, "L");
    row->water = "rain";
    row = add_row(sheet, AQ_DO_PREDILUTE, "Part A", 1, "mL");
    row->make = aq_amount_of(10, "mL");
    row = add_row(sheet, AQ_DO_POUR, "Part A", 0.62, "mL");
    row->concentrate = aq_amount_of(0.0625, "mL");
    row->with = "1 mL syringe";
    row = add_row(sheet, AQ_DO_WEIGH, "Calcium nitrate", 1500, "g");
    row->tank = "A";
    row->strength = aq_amount_of(75, "g/L");
    row->each = aq_amount_of(750, "g");
    row = add_row(sheet, AQ_DO_WEIGH, "Magnesium sulfate", 900, "g");
    row->tank = "B";
    row = add_row(sheet, AQ_DO_STIR, NULL, 0, NULL);
    row->time = aq_amount_of(5, "min");
    row = add_row(sheet, AQ_DO_READ, NULL, 0, NULL);
    row->ph_low = 5.5;
    row->ph_high = 6.2;
    row = add_row(sheet, AQ_DO_WAIT, NULL, 0, NULL);
    row->time = aq_amount_of(30, "min");
    row->note = "the acid gasses off";
    add_row(sheet, AQ_DO_TOP, NULL, 500, "mL");
    add_row(sheet, AQ_DO_RINSE, NULL, 0, NULL)->note = "twice";
    add_row(sheet, AQ_DO_DISCARD, NULL, 0, NULL);
    aq_aside *aside = aq_asides_add(arena, &sheet->beside);
    assert_true(aside && aq_pours_add(arena, &aside->pours, AQ_DO_DRAIN, NULL, aq_amount_of(4, "L")) &&
                aq_pours_add(arena, &aside->pours, AQ_DO_POUR, "phosphoric", aq_amount_of(39.7, "mL")) &&
                aq_figures_add(arena, &aside->figures, "P", 74.34, "mg/L"));
    aside->label_used = 0.5;
    aside->say = "more than most water wants";
    assert_non_null(aq_sheet_short(sheet, "ec", aq_amount_of(0.51, "mS/cm"), "Part A is at its label top"));
    assert_true(aq_sheet_figure_within(sheet, "volume", 76.19, "L", 11.4) &&
                aq_sheet_figure(sheet, "strength_real", 0.833, "1") &&
                aq_sheet_figure(sheet, "real.N", 143.25, "mg/L") &&
                aq_sheet_figure_text(sheet, "crosses_at", "2026-03-06T07:30"));
    aq_record *cause = aq_records_add(arena, &sheet->causes, "because", "one part left out");
    assert_true(cause && aq_figures_add(arena, &cause->figures, "reads", 1.05, "mS/cm"));
    assert_true(aq_sheet_next(sheet, "circulate 10 to 15 min, read in two places"));
    assert_true(aq_sheet_unseen(sheet, "urea"));
    assert_true(aq_sheet_caution(sheet, "never onto a dry medium"));
    return sheet;
}

/* Every text that a user may have typed is hostile. */
static inline aq_sheet *sample_hostile(aq_arena *arena)
{
    aq_sheet *sheet = sample_mix(arena, HOSTILE);
    sheet->title = sheet->aim = sheet->site = sheet->reservoir = sheet->lot = sheet->who = sheet->note =
        HOSTILE;
    sheet->water = sheet->verdict = sheet->over_label = HOSTILE;
    add_hazard(sheet, HOSTILE, HOSTILE, HOSTILE);
    for (size_t i = 0; i < sheet->rows.count; i++) {
        aq_row *row = &sheet->rows.at[i];
        row->water = row->tank = row->to = row->with = row->note = HOSTILE;
    }
    assert_non_null(
        aq_sheet_short(sheet, HOSTILE, aq_amount_of(1, "mS/cm"), "%s is at its label top", HOSTILE));
    aq_record *record = aq_records_add(arena, &sheet->supplies, "part", HOSTILE);
    assert_true(record && aq_figures_add(arena, &record->figures, "price", 4, HOSTILE) &&
                aq_figures_text(arena, &record->figures, "runs_out", HOSTILE));
    assert_true(aq_sheet_figure(sheet, "cost", 15.27, HOSTILE));
    assert_true(aq_sheet_assume(sheet, "%s", HOSTILE) && aq_sheet_next(sheet, "%s", HOSTILE));
    assert_true(aq_sheet_caution(sheet, "%s", HOSTILE) && aq_sheet_unseen(sheet, "%s", HOSTILE));
    aq_aside *aside = aq_asides_add(arena, &sheet->beside);
    assert_true(aside && aq_pours_add(arena, &aside->pours, AQ_DO_POUR, HOSTILE, aq_amount_of(1, HOSTILE)));
    aside->part = aside->say = HOSTILE;
    return sheet;
}

/* What `render` writes of `sheet`, into `out`. */
static inline const char *rendered(aq_buffer *out, const char *format, const aq_sheet *sheet,
                                   aq_manner manner)
{
    const aq_renderer *renderer = aq_renderer_find(format);
    assert_non_null(renderer);
    aq_buffer_clear(out);
    assert_int_equal(renderer->sheet(sheet, &manner, aq_buffer_sink(out), NULL), AQ_OK);
    return aq_buffer_chars(out);
}

#endif
