/* What went wrong, where, and what would have been right.
 *
 * Every function that can fail returns an aq_status and fills the caller's aq_error (which may be NULL). The first
 * complaint stays: aq_fail on a record that already holds one changes nothing. Nothing here is global, so threads
 * that use records of their own never meet. */
#ifndef AQ_BASE_ERROR_H
#define AQ_BASE_ERROR_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

#if defined(__GNUC__)
#define AQ_API __attribute__((visibility("default")))
#define AQ_PRINTF(text, first) __attribute__((format(printf, text, first)))
#define AQ_MUST_USE __attribute__((warn_unused_result))
#else
#define AQ_API
#define AQ_PRINTF(text, first)
#define AQ_MUST_USE
#endif

#define AQ_STATUS_LIST(X)                                                                                    \
    X(AQ_OK, "no error")                                                                                     \
    X(AQ_NO_MEMORY, "out of memory")                                                                         \
    X(AQ_SYNTAX, "text is not well formed")                                                                  \
    X(AQ_FORBIDDEN, "documents may not use this feature of the syntax")                                      \
    X(AQ_TOO_LARGE, "input is larger than its ceiling")                                                      \
    X(AQ_TOO_DEEP, "input is nested too deep")                                                               \
    X(AQ_UNKNOWN_KEY, "key is not one that this entry has")                                                  \
    X(AQ_DUPLICATE, "key or name is given twice")                                                            \
    X(AQ_MISSING, "something needed is missing")                                                             \
    X(AQ_UNKNOWN_UNIT, "unit is not one we know")                                                            \
    X(AQ_WRONG_KIND, "quantity is of another kind than wanted")                                              \
    X(AQ_AMBIGUOUS, "text can be read in more than one way")                                                 \
    X(AQ_OUT_OF_RANGE, "value is outside its limits")                                                        \
    X(AQ_UNKNOWN_NAME, "name is not one that was declared")                                                  \
    X(AQ_CONFLICT, "two answers exclude each other")                                                         \
    X(AQ_INVALID, "problem holds a value that makes no sense")                                               \
    X(AQ_INFEASIBLE, "no answer is inside all limits")                                                       \
    X(AQ_READ_FAILED, "input could not be read")                                                             \
    X(AQ_WRITE_FAILED, "output could not be written")                                                        \
    X(AQ_LOG_FOREIGN, "file is not a log of aliquot")                                                        \
    X(AQ_LOG_DAMAGED, "log is damaged")                                                                      \
    X(AQ_LOG_NEWER, "log was written by a newer aliquot")                                                    \
    X(AQ_LOG_BUSY, "log is in use by another program")                                                       \
    X(AQ_LOG_READ_ONLY, "log may not be written")                                                            \
    X(AQ_LOG_FULL, "no room is left for the log")

#define AQ_AS_ENUM(name, words) name,
typedef enum { AQ_STATUS_LIST(AQ_AS_ENUM) AQ_STATUS_COUNT } aq_status;
#undef AQ_AS_ENUM

/* A stretch of text: `source` is a file's name, or an option's such as "--part". Line and column count from 1 and
 * in characters; line 0 means no place. `span` is how many characters the complaint is about (at least 1). */
typedef struct {
    const char *source; /* borrowed: outlives the record */
    int line, column, span;
} aq_place;

/* A question: text that can be read in more ways than one. `key` names the option that answers it for every value
 * of the line (gallon, ppm, ratio) or the key of the entry that lacks it (basis, as, compensated). */
enum { AQ_CHOICES_MOST = 4 };
typedef struct {
    const char *key; /* static text, NULL: no question */
    size_t count;
    struct {
        const char *word;  /* what to write: "us" */
        const char *means; /* what it is: "US gallon, 3.785 L" */
    } choice[AQ_CHOICES_MOST];
} aq_question;

enum { AQ_ERROR_TEXT = 480 };
typedef struct {
    aq_status status;
    aq_place place;
    aq_question question; /* with AQ_AMBIGUOUS, where there is a fixed set of answers */
    char text[AQ_ERROR_TEXT];
} aq_error;

/* All the complaints of one document, the first 20 kept and the rest counted. */
enum { AQ_COMPLAINTS_MOST = 20 };
typedef struct {
    aq_error at[AQ_COMPLAINTS_MOST];
    size_t count; /* kept, at most AQ_COMPLAINTS_MOST */
    size_t more;  /* seen beyond those kept */
} aq_complaints;

/* "AQ_UNKNOWN_UNIT", and its text. A status outside the list gives "unknown status". */
AQ_API const char *aq_status_name(aq_status status);
AQ_API const char *aq_status_text(aq_status status);

/* Fills `err` unless it is NULL or already holds a complaint, and returns `status`. The text is cut, at a whole
 * UTF-8 character, to AQ_ERROR_TEXT - 1 bytes. Never print a double through it (a locale would move the point):
 * write digits with base/decimal.h and pass them as %s. */
AQ_API aq_status aq_fail(aq_error *err, aq_status status, aq_place place, const char *format, ...)
    AQ_PRINTF(4, 5);

#ifdef __clang_analyzer__ /* which looks at one file at a time, and must be told that a failure is never AQ_OK */
#define aq_fail(err, status, ...) (aq_fail(err, status, __VA_ARGS__), (status))
#endif

/* Adds "part 2: " in front of the text. */
AQ_API void aq_error_within(aq_error *err, const char *format, ...) AQ_PRINTF(2, 3);

/* Keeps a copy of `err` (which must hold a complaint) among the others, in the order of arrival. */
AQ_API void aq_complain(aq_complaints *all, const aq_error *err);

/* AQ_OK when there is none, else the status of the first. */
AQ_API aq_status aq_complaints_status(const aq_complaints *all);

#endif
