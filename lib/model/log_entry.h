/* One entry of the log: a mix, a reading, a root check, a stock-take, a delivery, a note, or the reversal of one.
 *
 * A plain struct that the store keeps and gives back, and whose rows read a command line, a text, a CSV line and a JSON
 * line alike, so that what one form can say the others can too. */
#ifndef AQ_MODEL_LOG_ENTRY_H
#define AQ_MODEL_LOG_ENTRY_H

#include "document/field.h"

#define AQ_ENTRY_LIST(X)                                                                                     \
    X(AQ_ENTRY_MIX, "mix")           /* a reservoir change */                                                \
    X(AQ_ENTRY_TOP_UP, "top-up")     /* water or doses into what is in the tank */                           \
    X(AQ_ENTRY_MIST, "mist")         /* a bottle or sprayer */                                               \
    X(AQ_ENTRY_READING, "reading")   /* level, EC, pH, temperature of a tank */                              \
    X(AQ_ENTRY_ROOTS, "roots")       /* the answer at a gate */                                              \
    X(AQ_ENTRY_STOCK, "stock-take")  /* what is left of parts */                                             \
    X(AQ_ENTRY_DELIVERY, "delivery") /* what came in */                                                      \
    X(AQ_ENTRY_NOTE, "note")                                                                                 \
    X(AQ_ENTRY_UNDO, "undo") /* takes back another entry, which stays to be read */
#define AQ_ENTRY_ENUM(name, word) name,
/* As read by a row of choices: 0 is not said. */
typedef enum { AQ_ENTRY_UNSAID, AQ_ENTRY_LIST(AQ_ENTRY_ENUM) AQ_ENTRY_COUNT } aq_entry_kind;
#undef AQ_ENTRY_ENUM

typedef struct {
    long id; /* in this log; 0: not in one yet */
    /* 16 hexadecimal digits, the same in every log that holds the entry; NULL: not in one yet */
    const char *uid;
    int kind;           /* aq_entry_kind */
    const char *undoes; /* uid of the entry that an undo takes back */
    bool undone;        /* an undo took it back; found by the store, in no form */
    aq_moment at;       /* local time */
    const char *who, *note;
    const char *reservoir, *lot, *stage, *water; /* names as the site has them */
    const char *job, *title;                     /* of the sheet that was followed */
    const char *over_label;                      /* why a label top was passed */
    aq_quantity volume;                          /* L: in the tank afterwards, or as it was read */
    aq_quantity heel, heel_ec;                   /* L, mS/cm: old solution in it */
    aq_quantity water_ec;                        /* mS/cm */
    aq_quantity ec_before, ec_after; /* mS/cm at 25 degC: true, after temperature and meter were corrected */
    aq_quantity shown_before, shown_after; /* what the meter showed, where that was something else */
    aq_quantity expected, within;          /* mS/cm: what the sheet promised */
    aq_quantity ph, temperature;           /* degC */
    aq_amounts planned, poured;            /* of a part: L or g */
    aq_amounts left;                       /* of a stock-take, or a delivery: L or g */
    const char *gate;                      /* of a root check: the question */
    int passed;                            /* aq_yes_no: its answer */
    aq_said said;                          /* how a line meant its gallons; not kept */
    aq_place place;
} aq_entry;

/* Reads a whole entry, id and uid too. What a kind cannot do without is checked; where the kind is not said it follows
 * from what was: amounts poured make a mix, an answer at a gate a root check, a reading a reading, a note a note. */
extern AQ_API const aq_shape aq_entry_shape;

/* The same check for an entry that was put together otherwise: works out the kind where it is not said, and says what
 * is missing: AQ_MISSING, AQ_CONFLICT, AQ_SYNTAX. */
AQ_API aq_status aq_entry_check(aq_entry *entry, aq_error *err);

/* What a line of `aliquot log` may say: an entry, where the log is, and which entries are meant. */
typedef struct {
    aq_entry entry;     /* first, so that its rows fit here; not checked */
    const char *log;    /* file; NULL: beside the site */
    const char *sheet;  /* file of the JSON sheet that was followed; NULL: none */
    int format;         /* 0 not said, 1 text, 2 csv, 3 json */
    const char *output; /* file; NULL: standard output */
    const char *part;   /* of which entries are meant; NULL: any */
    aq_date from, to;
    long last;
    int undone; /* aq_yes_no: those taken back too */
} aq_log_line;
extern AQ_API const aq_shape aq_log_line_shape;

AQ_API const char *aq_entry_word(int kind);    /* "mix"; "" of none */
AQ_API int aq_entry_kind_of(const char *word); /* AQ_ENTRY_UNSAID: no such word */

/* What stands at a row of the shape, in words that the row reads back to the same value: "18 mL", "mix", "yes". The
 * words stand in `out` or are borrowed from the entry. NULL: not said, or amounts of parts, which are the caller's. */
enum { AQ_ENTRY_TEXT = 64 };
AQ_API const char *aq_entry_value(const aq_entry *entry, const aq_field *field, char out[AQ_ENTRY_TEXT]);

/* "18 mL", "1.5 L", "70 g": shortest, and read back to the very same number. */
AQ_API void aq_entry_amount(aq_quantity amount, char out[AQ_ENTRY_TEXT]);

#endif
