/* Tree to struct by tables: one walker reads every document, every entry and every job's options.
 *
 * The shape of an entry is a table of fields; a new key is a new row, and its limits and help sit beside its name.
 * The same rows make the options, the keys of a batch line, the JSON Schema, the manual and the completions.
 *
 *     static const aq_field part_fields[] = {
 *         { .key = "name", .read = AQ_READ_TEXT, .needed = true, .into = offsetof(aq_part, name),
 *           .help = "what the sheet calls it" },
 *         { .key = "rate", .read = AQ_READ_RANGE, .want = AQ_WANT_RATE | AQ_WANT_CONTENT,
 *           .into = offsetof(aq_part, rate), .least = 0, .most = 0.05, .example = "2-4 mL/L" },
 *     };
 *     const aq_shape aq_part_shape = { .noun = "part", .fields = part_fields, .count = 2, .size = sizeof(aq_part),
 *                                      .place_into = offsetof(aq_part, place), .has_place = true };
 *
 * An unknown key names the nearest known one. Every complaint has the place, the path ("part 2: rate: "), what was
 * found and what is wanted. The walk goes on after a complaint, so all of a document are shown at once. */
#ifndef AQ_DOCUMENT_FIELD_H
#define AQ_DOCUMENT_FIELD_H

#include "base/date.h"
#include "document/node.h"
#include "measure/quantity.h"

/* What a field reads, and the type that stands at `into`. */
typedef enum {
    AQ_READ_TEXT,     /* const char *: not empty; at most `most` bytes where most > 0, else 200 */
    AQ_READ_YES_NO,   /* aq_yes_no */
    AQ_READ_COUNT,    /* long: a whole number */
    AQ_READ_NUMBER,   /* aq_quantity of kind share: a number with no unit (pH, money) */
    AQ_READ_NUMBERS,  /* aq_range of numbers with no unit: "5.6-6.2" */
    AQ_READ_QUANTITY, /* aq_quantity, kinds in `want` */
    AQ_READ_RANGE,    /* aq_range, kinds in `want` */
    AQ_READ_STRENGTH, /* aq_strength */
    AQ_READ_RATIO,    /* aq_ratio */
    AQ_READ_LEVEL,    /* aq_level; with `bare`, an EC alone too */
    AQ_READ_SLOPE,    /* aq_slope */
    AQ_READ_SIZE,     /* aq_quantity of kind volume, from 36x36x40mm */
    AQ_READ_DATE,     /* aq_date */
    AQ_READ_MINUTE,   /* aq_clock: 07:30 */
    AQ_READ_MOMENT,   /* aq_moment */
    AQ_READ_CHOICE,   /* int: the index in `choices`, plus 1 (0: not given) */
    AQ_READ_ENTRY,    /* the struct of `shape`, in place */
    AQ_READ_ENTRIES,  /* AQ_LIST of `shape`: a list of entries (a single entry is a list of one) */
    AQ_READ_NAMED, /* AQ_LIST of `shape`: a map of name to entry; the key goes to the shape's `name_into` */
    AQ_READ_AMOUNTS, /* aq_amounts: a map of name to quantity of `want`; with `bare`, numbers without unit too */
    AQ_READ_TEXTS, /* aq_texts: a list of texts, or one */
    AQ_READ_CUSTOM /* whatever `custom` makes of the node */
} aq_read;

typedef enum { AQ_UNSAID, AQ_YES, AQ_NO } aq_yes_no;
typedef struct {
    int minute; /* 0 to 1439 */
    bool given;
} aq_clock;

typedef struct {
    const char *name;
    aq_quantity amount; /* kind share where it was written bare */
    aq_place place;
} aq_named_amount;
typedef AQ_LIST(aq_named_amount) aq_amounts;
typedef AQ_LIST(const char *) aq_texts;

typedef struct aq_shape aq_shape;
typedef struct aq_field aq_field;
typedef struct aq_walk aq_walk;

struct aq_field {
    const char *key;
    aq_read read;
    bool needed;
    bool many; /* as an option, may be given more than once */
    bool bare; /* AMOUNTS, QUANTITY: a number without unit is allowed and stays a share */
    bool says; /* gallon, ppm, ratio: read before the others, and said to them; into a member of an aq_said */
    bool above;   /* `least` itself is refused: "more than 0 L" */
    bool bounded; /* least and most are checked, both in base units */
    size_t into;
    unsigned want; /* aq_want bits */
    double least, most;
    const char *const *choices; /* NULL-ended: of CHOICE; of AMOUNTS, the names allowed (NULL: any name) */
    const aq_shape *shape;
    /* Gets what stands at `into`, and no key in the walk's path. A scalar that holds YAML flow arrives as its list or map. */
    aq_status (*custom)(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);
    const char *help;    /* one line, no full stop */
    const char *example; /* a value that reads well */
};

struct aq_shape {
    const char *noun; /* "part" */
    const aq_field *fields;
    size_t count, size;
    bool has_place;
    size_t place_into; /* aq_place of the entry, where has_place */
    bool has_name;
    size_t name_into; /* const char *: for NAMED, and for `scalar` */
    bool scalar;      /* a plain scalar stands for {name: scalar}: "water: tap" */
    /* reads every key that no field has, as one of AMOUNTS; NULL: unknown keys are refused */
    const aq_field *rest;
    /* Looks at the finished entry (only when its fields were all read), for what one field cannot see alone. */
    aq_status (*check)(aq_walk *walk, void *entry, const aq_node *node);
};

/* One step of a walk into a tree: "rate", "part 2", "stage root-in". It lives on the stack of who took it. */
typedef struct aq_step aq_step;

/* One walk over one tree. */
struct aq_walk {
    aq_arena *arena;
    aq_said said; /* what the document or line declared so far */
    aq_complaints *complaints;
    const void *user;      /* for custom readers and checks */
    const aq_step *within; /* the last step of the way here; NULL: at the root */
};

/* Reads `map` into `into`, which the walker zeroes first. Returns AQ_OK, or the status of the first complaint, with all
 * of them in walk->complaints. Where entries, amounts or lists are wanted, a scalar that begins with { or [ is read as
 * YAML flow, so that an option or a JSON string can hold one; other scalars are one of the shape's, or refused. A JSON
 * null is a value not given; an empty YAML value is refused, for it is more often forgotten than meant. */
AQ_API aq_status aq_shape_read(aq_walk *walk, const aq_shape *shape, const aq_node *map, void *into);

/* For custom readers and checks: complain at a place, with the path in front; read one node by a field, into the very
 * value (field->into is not added), with the field's key in the path. */
AQ_API aq_status aq_walk_fail(aq_walk *walk, aq_status status, aq_place place, const char *format, ...)
    AQ_PRINTF(4, 5);
AQ_API aq_status aq_walk_add(aq_walk *walk, const aq_error *err); /* adds path and keeps */
AQ_API aq_status aq_field_read(aq_walk *walk, const aq_field *field, const aq_node *node, void *into);

/* The nearest of `words` (NULL-ended) to `text` by edits, NULL when none is near enough to be meant. */
AQ_API const char *aq_nearest(const char *text, const char *const *words);

#endif
