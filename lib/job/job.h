/* The table of jobs. A job is a name, rows and a function.
 *
 * The rows (aq_shape of aq_asked) drive the command line's options, the keys of a batch line, the JSON Schema, the
 * manual and the completions, so none of them can drift from the others. */
#ifndef AQ_JOB_JOB_H
#define AQ_JOB_JOB_H

#include "job/asked.h"
#include "model/memory.h"
#include "sheet/sheet.h"

/* A file as it was read: its text, and the name that complaints give it. */
typedef struct {
    const char *name, *text;
    size_t length;
} aq_file;

/* What the library cannot know by itself: today, the site, and how to get a file's text. */
typedef struct aq_setting {
    aq_moment today;
    const aq_site *site;     /* NULL: the line stands alone */
    const aq_memory *memory; /* what the site's log knows; NULL: there is none */
    const char *subject;     /* the reservoir, bottle or lot of the site that is meant; NULL: none named */
    /* Reads a file into the arena. `path` is relative to the folder of `document`, the file that names it, or to where
     * the program runs when `document` is NULL: the line named it. NULL: no file can be read. */
    aq_status (*load)(void *from, const char *document, const char *path, aq_arena *arena, aq_file *out,
                      aq_error *err);
    void *from;
    bool why;      /* the arithmetic is wanted on the sheet */
    bool done_too; /* a plan lists what the log says is done already */
} aq_setting;

typedef struct {
    const char *name; /* "mix" */
    const char *does; /* one line */
    const aq_shape *asks;
    /* Works out the sheet from what was asked, which is complete and inside its limits. */
    aq_status (*run)(aq_sheet **out, aq_arena *arena, const aq_asked *asked, aq_error *err);
    const char *positional; /* key that a value without option fills: "quantity" of convert; NULL: none */
    const char *example;    /* a whole command line */
    bool cautious; /* run applies the rules of caution itself; else they see the parts of the sheet's rows */
} aq_job;

AQ_API const aq_job *const *aq_job_table(size_t *count);
AQ_API const aq_job *aq_job_find(const char *name); /* NULL: no such job */

/* Answers one question: reads `answers` (a map of option to value, from a command line or a batch line) by the job's
 * rows, adds what the site and recipe say, runs the job, and applies the rules of caution. The sheet lives in `arena`.
 * A question (AQ_AMBIGUOUS) has each choice tried, and says the answer each would give where it can be worked.
 * On failure *out is NULL and `complaints` (needed) holds what was wrong. */
AQ_API aq_status aq_job_answer(aq_sheet **out, aq_arena *arena, const aq_job *job, const aq_node *answers,
                               const aq_setting *setting, aq_complaints *complaints);

/* The recipe of that name in the site, or of that file: attached already, or read now through the setting. `place` is
 * where it was named. Complaints about the recipe itself go to `complaints`. */
AQ_API aq_status aq_job_recipe(const aq_recipe **out, aq_arena *arena, const aq_setting *setting,
                               const char *name, aq_place place, aq_complaints *complaints);

/* The number a person would look for first, as words: "36.5 mL First", "1.29 mS/cm". NULL: none. */
AQ_API const char *aq_sheet_headline(const aq_sheet *sheet);

#endif
