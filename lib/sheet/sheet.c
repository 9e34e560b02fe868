/* The builders of a sheet: each adds one thing, in order, into the sheet's arena.
 *
 * Numbers in sentences are written with three significant figures (1.4375 mL/L is said "1.44 mL/L"), an EC with two
 * decimals, as a pocket meter shows it. */
#include "sheet/sheet.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/decimal.h"

enum { SENTENCE_FIGURES = 3 };

const char *aq_do_word(aq_do what)
{
#define AQ_DO_WORD(name, word) word,
    static const char *const words[AQ_DO_COUNT] = { AQ_DO_LIST(AQ_DO_WORD) };
#undef AQ_DO_WORD
    return (size_t)what < AQ_DO_COUNT ? words[what] : "?";
}

const char *aq_outcome_word(aq_outcome outcome)
{
    static const char *const words[] = { "met", "nearest", "capped", "refused" };
    return (size_t)outcome < sizeof words / sizeof *words ? words[outcome] : "?";
}

aq_sheet *aq_sheet_new(aq_arena *arena, const char *job)
{
    aq_sheet *sheet = aq_arena_take(arena, sizeof *sheet);
    if (!sheet)
        return NULL;
    sheet->arena = arena;
    sheet->job = job;
    sheet->day = -1;
    sheet->at.minute = -1;
    sheet->expect_ph_low = sheet->expect_ph_high = NAN;
    sheet->gap = NAN;
    return sheet;
}

aq_row *aq_sheet_row(aq_sheet *sheet, aq_do what)
{
    aq_row *row = aq_list_add(sheet->arena, &sheet->rows, sizeof *row);
    if (!row)
        return NULL;
    row->what = what;
    row->label_used = NAN;
    row->ph_low = row->ph_high = NAN;
    return row;
}

aq_aside *aq_asides_add(aq_arena *arena, aq_asides *asides)
{
    aq_aside *aside = aq_list_add(arena, asides, sizeof *aside);
    if (aside)
        aside->label_used = NAN;
    return aside;
}

bool aq_pours_add(aq_arena *arena, aq_pours *pours, aq_do what, const char *part, aq_amount amount)
{
    aq_pour *pour = aq_list_add(arena, pours, sizeof *pour);
    if (!pour)
        return false;
    *pour = (aq_pour){ .what = what, .part = part, .amount = amount };
    return true;
}

static bool figure_add(aq_arena *arena, aq_figures *figures, aq_figure figure)
{
    aq_figure *place = aq_list_add(arena, figures, sizeof *place);
    if (!place)
        return false;
    *place = figure;
    return true;
}

bool aq_figures_add(aq_arena *arena, aq_figures *figures, const char *name, double value, const char *unit)
{
    return figure_add(arena, figures, (aq_figure){ .name = name, .amount = aq_amount_of(value, unit) });
}

bool aq_figures_amount(aq_arena *arena, aq_figures *figures, const char *name, aq_amount amount)
{
    return figure_add(arena, figures, (aq_figure){ .name = name, .amount = amount });
}

const aq_figure *aq_figures_amount_of(const aq_figures *figures, const char *name)
{
    for (size_t i = 0; i < figures->count; i++)
        if (figures->at[i].amount.given && strcmp(figures->at[i].name, name) == 0)
            return &figures->at[i];
    return NULL;
}

bool aq_figures_text(aq_arena *arena, aq_figures *figures, const char *name, const char *text)
{
    return figure_add(arena, figures, (aq_figure){ .name = name, .text = text });
}

bool aq_sheet_figure(aq_sheet *sheet, const char *name, double value, const char *unit)
{
    return aq_figures_add(sheet->arena, &sheet->figures, name, value, unit);
}

bool aq_sheet_figure_within(aq_sheet *sheet, const char *name, double value, const char *unit, double within)
{
    return figure_add(sheet->arena, &sheet->figures,
                      (aq_figure){ .name = name, .amount = aq_amount_within(value, unit, within) });
}

bool aq_sheet_figure_text(aq_sheet *sheet, const char *name, const char *text)
{
    return aq_figures_text(sheet->arena, &sheet->figures, name, text);
}

aq_record *aq_records_add(aq_arena *arena, aq_records *records, const char *label, const char *name)
{
    aq_record *record = aq_list_add(arena, records, sizeof *record);
    if (!record)
        return NULL;
    record->label = label;
    record->name = name;
    return record;
}

bool aq_origins_add(aq_arena *arena, aq_origins *from, const char *label, const char *name, aq_amount amount)
{
    aq_origin *one = aq_list_add(arena, from, sizeof *one);
    if (!one)
        return false;
    *one = (aq_origin){ .label = label, .name = name, .amount = amount };
    return true;
}

static bool said_already(const aq_texts *list, const char *text)
{
    for (size_t i = 0; i < list->count; i++)
        if (strcmp(list->at[i], text) == 0)
            return true;
    return false;
}

static bool say(aq_arena *arena, aq_texts *list, bool once, const char *format, va_list args) AQ_PRINTF(4, 0);
static bool say(aq_arena *arena, aq_texts *list, bool once, const char *format, va_list args)
{
    const char *text = aq_arena_format_list(arena, format, args);
    if (!text)
        return false;
    if (once && said_already(list, text))
        return true;
    const char **place = aq_list_add(arena, list, sizeof *place);
    if (!place)
        return false;
    *place = text;
    return true;
}

bool aq_sheet_assume(aq_sheet *sheet, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    bool added = say(sheet->arena, &sheet->assumed, true, format, args);
    va_end(args);
    return added;
}

bool aq_sheet_why(aq_sheet *sheet, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    bool added = say(sheet->arena, &sheet->why, false, format, args);
    va_end(args);
    return added;
}

bool aq_sheet_next(aq_sheet *sheet, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    bool added = say(sheet->arena, &sheet->next, false, format, args);
    va_end(args);
    return added;
}

bool aq_sheet_caution(aq_sheet *sheet, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    bool added = say(sheet->arena, &sheet->cautions, true, format, args);
    va_end(args);
    return added;
}

bool aq_sheet_unseen(aq_sheet *sheet, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    bool added = say(sheet->arena, &sheet->unseen, true, format, args);
    va_end(args);
    return added;
}

aq_short *aq_sheet_short(aq_sheet *sheet, const char *what, aq_amount by, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *because = aq_arena_format_list(sheet->arena, format, args);
    va_end(args);
    aq_short *miss = because ? aq_list_add(sheet->arena, &sheet->shorts, sizeof *miss) : NULL;
    if (!miss)
        return NULL;
    *miss = (aq_short){ .what = what, .by = by, .because = because };
    return miss;
}

aq_amount aq_amount_of(double value, const char *unit)
{
    return aq_amount_within(value, unit, 0);
}

aq_amount aq_amount_within(double value, const char *unit, double within)
{
    return (aq_amount){ .value = value, .unit = unit, .within = within, .given = true };
}

aq_amount aq_amount_volume(double litres, bool rounded)
{
    double shown = rounded ? aq_decimal_round(litres, SENTENCE_FIGURES) : litres;
    if (fabs(shown) >= 1)
        return aq_amount_of(shown, "L");
    double millilitres = litres * 1000;
    return aq_amount_of(rounded ? aq_decimal_round(millilitres, SENTENCE_FIGURES) : millilitres, "mL");
}

aq_amount aq_amount_mass(double grams, bool rounded)
{
    return aq_amount_of(rounded ? aq_decimal_round(grams, SENTENCE_FIGURES) : grams, "g");
}

/* The unit behind the number that stands at the start of the text: "1" counts, so its number stands alone, and %w/v is
 * written as in print, 6 % w/v. */
static const char *with_unit(char *text, size_t length, const char *unit)
{
    if (!unit || !*unit || strcmp(unit, "1") == 0)
        return text;
    text[length++] = ' ';
    if (unit[0] == '%' && (unit[1] == 'w' || unit[1] == 'v')) {
        text[length++] = *unit++;
        text[length++] = ' ';
    }
    strcpy(text + length, unit);
    return text;
}

static char *room_to_say(aq_arena *arena, const char *unit)
{
    return aq_arena_room(arena, AQ_DECIMAL_ROOM + (unit ? strlen(unit) : 0) + 2);
}

const char *aq_say(aq_arena *arena, double value, const char *unit)
{
    char *text = room_to_say(arena, unit);
    return text ? with_unit(text, aq_decimal_figures(value, SENTENCE_FIGURES, false, text), unit) : NULL;
}

const char *aq_say_ec(aq_arena *arena, double value)
{
    char *text = room_to_say(arena, "mS/cm");
    return text ? with_unit(text, aq_decimal_places(value, 2, text), "mS/cm") : NULL;
}
