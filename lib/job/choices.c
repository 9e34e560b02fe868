/* A question is easier to answer when one sees what depends on it: "gallon: us gives 36.5 mL First, imperial gives
 * 30.4 mL First". Each choice is tried by answering the whole line once more with it. */
#include "job/answer.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A word that settles a question for the whole line. */
typedef struct {
    const char *key, *word;
    size_t into; /* of aq_said, an int */
    int value;
} settles;

static const settles words[] = {
    { "gallon", "us", offsetof(aq_said, gallon), AQ_GALLON_US },
    { "gallon", "imperial", offsetof(aq_said, gallon), AQ_GALLON_IMPERIAL },
    { "ppm", "500", offsetof(aq_said, ppm), 500 },
    { "ppm", "640", offsetof(aq_said, ppm), 640 },
    { "ppm", "700", offsetof(aq_said, ppm), 700 },
    { "ratio", "in", offsetof(aq_said, ratio), AQ_RATIO_IN },
    { "ratio", "plus", offsetof(aq_said, ratio), AQ_RATIO_PLUS },
    { "basis", "w/w", offsetof(aq_said, basis), AQ_BASIS_WW },
    { "basis", "w/v", offsetof(aq_said, basis), AQ_BASIS_WV },
    { "basis", "v/v", offsetof(aq_said, basis), AQ_BASIS_VV },
    { "as", "oxide", offsetof(aq_said, as), AQ_AS_OXIDE },
    { "as", "element", offsetof(aq_said, as), AQ_AS_ELEMENT },
};

static bool settle(aq_said *said, const char *key, const char *word)
{
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(words[i].key, key) != 0 || strcmp(words[i].word, word) != 0)
            continue;
        memcpy((char *)said + words[i].into, &words[i].value,
               sizeof(int)); /* an enum of aq_said is an int's size */
        return true;
    }
    return false;
}

static bool has_row(const aq_job *job, const char *key)
{
    for (size_t i = 0; i < job->asks->count; i++)
        if (strcmp(job->asks->fields[i].key, key) == 0)
            return true;
    return false;
}

/* The line with one more answer. The children are copied, for each holds the link to the next. */
static aq_node *line_with(aq_arena *arena, const aq_node *answers, const char *key, const char *word)
{
    aq_node *line = aq_node_new(arena, AQ_NODE_MAP, answers->place, NULL);
    aq_node *value = aq_node_new(arena, AQ_NODE_SCALAR, (aq_place){ 0 }, word);

    for (const aq_node *child = answers->first; line && child; child = child->next) {
        aq_node *copy = aq_arena_take(arena, sizeof *copy);

        if (!copy)
            return NULL;
        *copy = *child;
        copy->next = NULL;
        if (!aq_node_add(arena, line, child->key, copy))
            return NULL;
    }
    return line && value && aq_node_add(arena, line, key, value) ? line : NULL;
}

/* What the line would give with that choice: NULL where it cannot be worked out. */
static const aq_sheet *try_choice(aq_arena *arena, const aq_job *job, const aq_node *answers,
                                  const aq_setting *setting, aq_said said, const char *key, const char *word)
{
    aq_complaints *ignored = aq_arena_take(arena, sizeof *ignored);
    aq_sheet *sheet = NULL;

    if (!ignored)
        return NULL;
    if (!settle(&said, key, word)) {
        answers = has_row(job, key) ? line_with(arena, answers, key, word) : NULL;
        if (!answers)
            return NULL;
    }
    if (aq_answer_once(&sheet, arena, job, answers, setting, said, ignored) != AQ_OK)
        return NULL;
    return sheet;
}

/* Whether two sheets say another amount there, by more than is printed: 4 gal-us are not 4 gal-imp. */
static bool differ(aq_amount one, aq_amount other)
{
    return one.given && other.given &&
           (fabs(one.value - other.value) > 1e-3 * fabs(one.value) || strcmp(one.unit, other.unit) != 0);
}

/* Where the headlines are the same: the first figure of the sheet that is not, or else the first row. */
static const char *say_difference(const aq_sheet *sheet, const aq_sheet *other)
{
    for (size_t i = 0; i < sheet->figures.count; i++) {
        const aq_figure *own = &sheet->figures.at[i], *its = aq_figures_amount_of(&other->figures, own->name);

        if (its && differ(own->amount, its->amount))
            return aq_headline_figure(sheet, own);
    }
    for (size_t i = 0; i < sheet->rows.count && i < other->rows.count; i++)
        if (differ(sheet->rows.at[i].exact, other->rows.at[i].exact))
            return aq_headline_row(sheet, i);
    return NULL;
}

static void add_text(aq_error *err, const char *format, ...) AQ_PRINTF(2, 3);
static void add_text(aq_error *err, const char *format, ...)
{
    size_t length = strlen(err->text);
    va_list args;

    va_start(args, format);
    vsnprintf(err->text + length, sizeof err->text - length, format, args);
    va_end(args);
}

static void add_answers(aq_error *err, aq_arena *arena, const aq_job *job, const aq_node *answers,
                        const aq_setting *setting, aq_said said)
{
    const aq_question *question = &err->question;
    const aq_sheet *sheets[AQ_CHOICES_MOST];
    const char *typed[AQ_CHOICES_MOST], *gives[AQ_CHOICES_MOST];
    size_t count = 0;
    bool alike = true;

    for (size_t i = 0; i < question->count; i++) {
        sheets[count] =
            try_choice(arena, job, answers, setting, said, question->key, question->choice[i].word);
        gives[count] = sheets[count] ? aq_sheet_headline(sheets[count]) : NULL;
        typed[count] = question->choice[i].word;
        count += gives[count] != NULL;
    }
    for (size_t i = 1; i < count; i++)
        alike = alike && strcmp(gives[i], gives[0]) == 0;
    for (size_t i = 0; i < count; i++) {
        const char *other = alike && count > 1 ? say_difference(sheets[i], sheets[i ? 0 : 1]) : NULL;

        add_text(err, "%s%s gives %s", i ? ", " : ". ", typed[i], other ? other : gives[i]);
    }
}

/* Whether an earlier complaint asks the same of the whole line. The basis of one label says nothing of another's. */
static bool asked_before(const aq_complaints *all, size_t count, const char *key)
{
    if (strcmp(key, "basis") == 0 || strcmp(key, "as") == 0)
        return false;
    for (size_t i = 0; i < count; i++)
        if (all->at[i].question.key && strcmp(all->at[i].question.key, key) == 0)
            return true;
    return false;
}

void aq_answer_choices(aq_arena *arena, const aq_job *job, const aq_node *answers, const aq_setting *setting,
                       aq_said said, aq_complaints *complaints)
{
    size_t kept = 0;

    for (size_t i = 0; i < complaints->count; i++) {
        aq_error *err = &complaints->at[i];

        if (err->question.key && asked_before(complaints, kept, err->question.key))
            continue;
        if (err->question.key)
            add_answers(err, arena, job, answers, setting, said);
        complaints->at[kept++] = *err;
    }
    complaints->count = kept;
}
