/* Number first, then unit, then name; words before a text. Nothing here breaks a line. */
#include "render/sentence.h"

#include <math.h>
#include <string.h>

void aq_sentence_date(aq_page *page, aq_date date)
{
    char said[AQ_DATE_ROOM];
    aq_date_say(date, said);
    aq_page_text(page, said);
}

void aq_sentence_clock(aq_page *page, int minute)
{
    aq_buffer_format(&page->line, "%02d:%02d", minute / 60, minute % 60);
}

void aq_sentence_day(aq_page *page, long day)
{
    aq_buffer_format(&page->line, "day %ld", day);
}

void aq_sentence_words(aq_page *page, const char *text)
{
    aq_moment moment;
    aq_date date;
    if (aq_date_read(text, &date)) {
        aq_sentence_date(page, date);
    } else if (aq_moment_read(text, &moment)) {
        aq_sentence_date(page, moment.date);
        if (moment.minute >= 0) {
            aq_page_text(page, " ");
            aq_sentence_clock(page, moment.minute);
        }
    } else {
        aq_page_name(page, text);
    }
}

/* Adds a piece of a line whose pieces are set apart by commas. */
static void piece(aq_page *page, bool *any)
{
    if (*any)
        aq_page_text(page, ", ");
    *any = true;
}

/* Whether the title says the date already, as that of "supplies for 7 days from Mon 2 Mar 2026". */
static bool titled(const aq_sheet *sheet)
{
    char said[AQ_DATE_ROOM];
    aq_date_say(sheet->at.date, said);
    return sheet->title && sheet->at.minute < 0 && strstr(sheet->title, said);
}

bool aq_sentence_when(aq_page *page, const aq_sheet *sheet)
{
    bool any = false;
    if (sheet->at.date.year && !sheet->jobs.count && !titled(sheet)) { /* a plan says its days one by one */
        piece(page, &any);
        aq_sentence_date(page, sheet->at.date);
        if (sheet->at.minute >= 0) {
            aq_page_text(page, " ");
            aq_sentence_clock(page, sheet->at.minute);
        }
    }
    if (sheet->day >= 0) {
        piece(page, &any);
        aq_sentence_day(page, sheet->day);
    }
    if (sheet->lot) {
        aq_page_text(page, sheet->day >= 0 ? " of " : any ? ", " : "");
        any = true;
        aq_page_name(page, sheet->lot);
    }
    if (sheet->who) {
        piece(page, &any);
        aq_page_text(page, "for ");
        aq_page_name(page, sheet->who);
    }
    if (sheet->site) {
        piece(page, &any);
        aq_page_name(page, sheet->site);
    }
    return any;
}

const char *aq_outcome_says(aq_outcome outcome)
{
    static const char *const says[] = { [AQ_NEAREST] = "NEAREST that can be reached: see below by how much.",
                                        [AQ_CAPPED] = "HELD at a label top: see below by how much.",
                                        [AQ_REFUSED] = "REFUSED. Do not mix by this sheet." };
    return (size_t)outcome < sizeof says / sizeof *says ? says[outcome] : NULL;
}

/* A sheet that pours one thing only need not say which. */
static bool pours_one(const aq_sheet *sheet)
{
    const char *part = NULL;
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const char *other = sheet->rows.at[i].part;
        if (part && other && strcmp(part, other) != 0)
            return false;
        part = other ? other : part;
    }
    return part != NULL;
}

void aq_sentence_hazard(aq_page *page, const aq_hazard *hazard)
{
    aq_page_text(page, hazard->refuses ? "REFUSED: " : "");
    if (hazard->code && *hazard->code) {
        aq_page_name(page, hazard->code);
        aq_page_text(page, " ");
    }
    aq_page_name(page, hazard->text);
    if (hazard->part && !pours_one(page->sheet)) {
        aq_page_text(page, " (");
        aq_page_name(page, hazard->part);
        aq_page_text(page, ")");
    }
}

void aq_sentence_wear(aq_page *page, const aq_sheet *sheet)
{
    for (size_t i = 0; i < sheet->wear.count; i++) {
        aq_page_text(page, i ? "; " : "");
        aq_page_name(page, sheet->wear.at[i]);
    }
}

void aq_sentence_window(aq_page *page, double low, double high)
{
    aq_amount ends[] = { aq_amount_of(low, "1"), aq_amount_of(high, "1") };
    aq_page_text(page, "pH ");
    if (!isnan(low))
        aq_page_text(page, aq_spoken_amount(&ends[0]).digits);
    if (!isnan(low) && !isnan(high) && high > low)
        aq_page_text(page, " to ");
    if (!isnan(high) && !(high <= low))
        aq_page_text(page, aq_spoken_amount(&ends[1]).digits);
}

bool aq_ph_window(double low, double high)
{
    return !isnan(low) || !isnan(high);
}

/* A share of a pour to three figures, the last one down: together they are no more than what is poured. */
static aq_spoken spoken_share(aq_amount each)
{
    double step = each.value > 0 ? pow(10, floor(log10(each.value)) - 2) : 1;
    each.value = floor(each.value / step + 1e-6) * step;
    return aq_spoken_pour(&each);
}

bool aq_sentence_detail(aq_page *page, const aq_row *row)
{
    struct {
        const aq_amount *amount;
        const char *words;
    } said[] = {
        { &row->make, " when made up with water" },
        { &row->concentrate, " of the product is in it" },
        { &row->each, " in each" },
        { &row->strength, " in the stock tank" },
    };
    bool any = false;
    if (row->pieces.count > 1) {
        piece(page, &any);
        aq_pieces_add(&page->line, row);
    }
    if (row->with) {
        aq_page_text(page, any ? " with " : "with ");
        aq_page_name(page, row->with);
        any = true;
    }
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        bool mark = row->what == AQ_DO_TOP && said[i].amount == &row->make;
        if (!said[i].amount->given || mark)
            continue;
        piece(page, &any);
        aq_page_amount(page, said[i].amount == &row->concentrate ? aq_spoken_amount(said[i].amount)
                             : said[i].amount == &row->each      ? spoken_share(row->each)
                                                                 : aq_spoken_pour(said[i].amount));
        aq_page_text(page, said[i].words);
    }
    if (row->note) {
        piece(page, &any);
        aq_page_name(page, row->note);
    }
    return any;
}

aq_spoken aq_row_spoken(const aq_row *row)
{
    const aq_amount *amount = aq_row_amount(row);
    if (!amount)
        return (aq_spoken){ .digits = "", .unit = "" };
    return amount == &row->expect ? aq_spoken_amount(amount) : aq_spoken_pour(amount);
}

void aq_sentence_row(aq_page *page, const aq_row *row)
{
    aq_row_words words = aq_row_said(row);
    const aq_amount *amount = aq_row_amount(row);
    if (amount)
        aq_page_others(page, amount);
    if (row->what == AQ_DO_READ && aq_ph_window(row->ph_low, row->ph_high)) {
        aq_sentence_window(page, row->ph_low, row->ph_high);
        aq_page_text(page, " ");
    }
    aq_page_text(page, words.before);
    if (words.name)
        aq_page_name(page, words.name);
    aq_page_text(page, words.after);
    if (row->to) {
        aq_page_text(page, " into ");
        aq_page_name(page, row->to);
    }
}

void aq_sentence_expected(aq_page *page, const aq_sheet *sheet)
{
    bool window = aq_ph_window(sheet->expect_ph_low, sheet->expect_ph_high);
    if (sheet->expect_ec.given) {
        aq_page_amount(page, aq_spoken_amount(&sheet->expect_ec));
        aq_page_text(page, " ");
        aq_page_others(page, &sheet->expect_ec);
        aq_page_text(page, sheet->rows.count ? "at the end" : "");
        aq_page_text(page, window ? ", " : "");
    }
    if (window) {
        aq_sentence_window(page, sheet->expect_ph_low, sheet->expect_ph_high);
        aq_page_text(page, ", set last");
    }
}

static void say_pour(aq_page *page, const aq_pour *pour)
{
    aq_page_amount(page, aq_spoken_amount(&pour->amount));
    aq_page_beside(page, &pour->amount);
    aq_page_text(page, pour->what == AQ_DO_WATER && !pour->part ? " water" : pour->part ? " " : "");
    if (pour->part)
        aq_page_name(page, pour->part);
}

/* "drain 4 L, add 15 mL Part A, 15 mL Part B": a verb is said where it changes. */
static void say_pours(aq_page *page, const aq_pours *pours, bool verbs, bool *any)
{
    static const char *const words[AQ_DO_COUNT] = { [AQ_DO_DRAIN] = "drain ", [AQ_DO_MOVE] = "move " };
    const char *last = NULL;
    for (size_t i = 0; i < pours->count; i++) {
        const char *verb = words[pours->at[i].what];
        if (!verb)
            verb = verbs ? "add " : "";
        piece(page, any);
        if (!last || strcmp(verb, last) != 0)
            aq_page_text(page, verb);
        say_pour(page, &pours->at[i]);
        last = verb;
    }
}

void aq_sentence_share(aq_page *page, double share)
{
    char digits[AQ_DECIMAL_ROOM];
    aq_decimal_places(100 * share, 0, digits);
    aq_page_text(page, digits);
    aq_page_text(page, " %");
}

void aq_sentence_figure(aq_page *page, const char *job, const aq_figure *figure)
{
    char room[AQ_LABEL_ROOM];
    const char *label = aq_figure_label(job, figure, room);
    if (figure->amount.given) {
        aq_page_amount(page, aq_spoken_figure(job, figure));
        aq_page_text(page, *label ? " " : "");
        aq_page_name(page, label);
    } else {
        aq_page_name(page, label);
        aq_page_text(page, *label ? " " : "");
        aq_sentence_words(page, figure->text ? figure->text : "");
    }
}

void aq_sentence_figures(aq_page *page, const char *job, const aq_figures *figures)
{
    for (size_t i = 0; i < figures->count; i++) {
        aq_page_text(page, i ? ", " : "");
        aq_sentence_figure(page, job, &figures->at[i]);
    }
}

void aq_sentence_aside(aq_page *page, const char *job, const aq_aside *aside, bool verbs)
{
    bool any = false;
    say_pours(page, &aside->pours, verbs, &any);
    if (aside->part && !aside->pours.count) {
        piece(page, &any);
        aq_page_name(page, aside->part);
    }
    if (!isnan(aside->label_used)) {
        piece(page, &any);
        aq_sentence_share(page, aside->label_used);
        aq_page_text(page, " of label top");
    }
    if (aside->figures.count) {
        piece(page, &any);
        aq_sentence_figures(page, job, &aside->figures);
    }
    if (aside->say) {
        piece(page, &any);
        aq_page_name(page, aside->say);
    }
}

/* "0.51 mS/cm of EC: ..."; "0.40 mS/cm too much EC: ..."; "1 more tank: ...". What falls short by
 * nothing that one can read says only why. */
void aq_sentence_short(aq_page *page, const aq_short *miss)
{
    aq_amount size = miss->by;
    bool too_much = size.value < 0;
    size.value = fabs(size.value);
    aq_spoken by = aq_spoken_amount(&size);
    bool counts = strcmp(miss->what, "tanks") == 0, mark = strcmp(miss->what, "level") == 0;
    if (miss->by.given && strspn(by.digits, "0.") < strlen(by.digits)) {
        aq_page_amount(page, by);
        aq_page_beside(page, &size);
        aq_page_text(page, counts ? " more " : mark ? " off the " : too_much ? " too much " : " of ");
    }
    if (counts)
        aq_page_text(page, strcmp(by.digits, "1") == 0 ? "tank" : "tanks");
    else
        aq_page_name(page, strcmp(miss->what, "ec") == 0 ? "EC" : miss->what);
    aq_page_text(page, ": ");
    aq_page_name(page, miss->because);
}
