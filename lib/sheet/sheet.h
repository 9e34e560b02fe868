/* What a person does: the one neutral structure that text, JSON, CSV, HTML and the calendar only render.
 *
 * Everything in a sheet lives in its arena. An amount carries its number and unit as they are to be shown; a renderer
 * adds the other unit systems of `show` beside it but never sums or rounds what a person must pour. */
#ifndef AQ_SHEET_SHEET_H
#define AQ_SHEET_SHEET_H

#include "base/arena.h"
#include "base/date.h"
#include "document/field.h"
#include "measure/graduation.h"

typedef enum { AQ_MET, AQ_NEAREST, AQ_CAPPED, AQ_REFUSED } aq_outcome;

/* unit: "mL", "g", "L", "mS/cm", "mg/L CaCO3", "d", "1" (a plain number or share), "pH", a currency. */
typedef struct {
    double value;
    const char *unit; /* static or in the arena */
    double within;    /* tolerance (two standard uncertainties), 0: none stated */
    bool given;
} aq_amount;

/* A named figure: a number or a text. A dot nests in JSON: "real.N" is {"real": {"N": ...}}. */
typedef struct {
    const char *name;
    aq_amount amount; /* given, or */
    const char *text; /* not NULL */
} aq_figure;
typedef AQ_LIST(aq_figure) aq_figures;

/* The formatter never settles on one layout of this list. */
/* clang-format off */
#define AQ_DO_LIST(X)                                                                                     \
    X(AQ_DO_DRAIN, "drain") X(AQ_DO_MOVE, "move") X(AQ_DO_WATER, "water") X(AQ_DO_PREDILUTE, "predilute") \
    X(AQ_DO_POUR, "pour") X(AQ_DO_WEIGH, "weigh") X(AQ_DO_STIR, "stir") X(AQ_DO_READ, "read")             \
    X(AQ_DO_WAIT, "wait") X(AQ_DO_TOP, "top") X(AQ_DO_RINSE, "rinse") X(AQ_DO_DISCARD, "discard")
/* clang-format on */
#define AQ_DO_ENUM(name, word) name,
typedef enum { AQ_DO_LIST(AQ_DO_ENUM) AQ_DO_COUNT } aq_do;
#undef AQ_DO_ENUM
AQ_API const char *aq_do_word(aq_do what);
AQ_API const char *aq_outcome_word(aq_outcome outcome); /* "met" */

/* One row, one action. Only the members that belong to its `what` are given. */
typedef struct {
    aq_do what;
    const char *part;       /* pour, weigh, predilute */
    const char *water;      /* water: its name; NULL: the only one */
    const char *tank;       /* stock: "A" */
    const char *to;         /* move, water: the tank it goes to, where not this one */
    aq_amount exact;        /* unrounded */
    aq_amount amount;       /* what the tool shows, what to pour */
    aq_amount make;         /* predilute, top: the volume it is made up to */
    aq_amount concentrate;  /* pour of a pre-dilution: mL of the product in it */
    aq_amount each;         /* several bottles: amount in one of them */
    aq_amount strength;     /* stock: g/L */
    const char *with;       /* tool */
    AQ_LIST(double) pieces; /* fills of the tool, in the unit of `amount` */
    double label_used;      /* share of the label's top; NaN: no label top */
    aq_amount expect;       /* read: EC to expect */
    double ph_low, ph_high; /* read: pH window; NaN: none */
    aq_amount time;         /* wait, stir: how long */
    const char *note;       /* a few words for the bench */
} aq_row;
typedef AQ_LIST(aq_row) aq_rows;

typedef struct {
    aq_do what;       /* pour, weigh, water, drain */
    const char *part; /* or the water's name, or NULL */
    aq_amount amount;
} aq_pour;
typedef AQ_LIST(aq_pour) aq_pours;

/* An alternative worked beside the answer ("beside"), or what to do at a reading ("if_reads"). */
typedef struct {
    const char *part;  /* acids: which; NULL: not about one part */
    double label_used; /* NaN: none */
    aq_amount ec;
    const char *say; /* words, NULL: none */
    aq_pours pours;
    aq_figures figures;
} aq_aside;
typedef AQ_LIST(aq_aside) aq_asides;

typedef struct {
    const char *code; /* "H318", or "" for a rule of the trade */
    const char *rule; /* name of that rule; NULL: a code of a label or a substance */
    const char *text;
    const char *part; /* who brings it, NULL: the mix */
    bool refuses;
} aq_hazard;
typedef AQ_LIST(aq_hazard) aq_hazards;

typedef struct {
    const char *what; /* "ec", "N", a part's name */
    aq_amount by;
    const char *because;
} aq_short;
typedef AQ_LIST(aq_short) aq_shorts;

/* What one source brings of a thing: label "water", "heel", "acid" or "part", and its name. */
typedef struct {
    const char *label, *name;
    aq_amount amount;
} aq_origin;
typedef AQ_LIST(aq_origin) aq_origins;

/* Rows of a table about named things: totals and supplies (label "part" or "water"), causes ("because"),
 * precipitates ("solid"), nutrients ("element", with figures `wanted` and `got`, and `from` adding up to `got`), a
 * water's charges ("ion"); what was learned: of a "part" or "tank" the `slope` or `volume`, the `label` where there is one
 * (or what marks say) and how many `mixes`, of an "entry" that is not believed what it `read` and was `expected`. */
typedef struct {
    const char *label, *name;
    aq_figures figures;
    aq_origins from;
} aq_record;
typedef AQ_LIST(aq_record) aq_records;

typedef struct aq_sheet aq_sheet;
typedef AQ_LIST(aq_sheet *) aq_sheets;

struct aq_sheet {
    aq_arena *arena; /* borrowed: whoever made the arena frees it */
    const char *job; /* "mix" */
    const char *title;
    const char *aim; /* why this target: "vegetative, day 12: 1.6 mS/cm" */
    const char *verdict;
    aq_outcome outcome;
    const char *site, *reservoir, *lot, *who, *note;
    aq_moment at;         /* when, local time; date.year 0: not said */
    const char *timezone; /* of `at`: "Europe/Dublin"; NULL: not said. A plan's holds for its jobs */
    aq_date until;        /* of a plan of all there is: its last day; year 0: no such plan */
    long day;             /* of the lot; -1: none */
    aq_texts show;
    aq_amount volume, heel, heel_ec; /* finished volume; old solution in it */
    const char *water;               /* source water in words: "tap, EC 0.32, alkalinity 120 mg/L CaCO3" */
    unsigned classes;                /* what is handled, aq_class of sheet/caution.h */
    aq_hazards hazards;
    aq_texts wear;
    aq_rows rows;
    aq_amount expect_ec;
    double expect_ph_low, expect_ph_high; /* NaN: none */
    aq_figures figures;
    aq_asides beside, if_reads;
    aq_shorts shorts;
    aq_records totals, supplies, causes, precipitates, elements, learned;
    aq_texts next;     /* what to do next, in order: most often, if the meter disagrees */
    size_t instead;    /* of `next`: so many at its beginning may be done instead of the rows */
    aq_texts cautions; /* of this job only: "never onto a dry medium" */
    aq_texts assumed;
    size_t taken;    /* how many of `assumed`, from its head on, only say what came from the site */
    aq_texts why;    /* the arithmetic */
    aq_texts unseen; /* what the meter cannot see */
    double gap;      /* certificate: optimality gap; NaN: not solved by the engine */
    aq_texts at_bound;
    const char *over_label; /* the reason given, NULL: none */
    const char *defers;     /* closing line of a sheet with a hazard: the label comes first; NULL: none */
    aq_sheets jobs;         /* of a plan */
    aq_texts
        done; /* of a plan: whose job of its first day is done already and not among them, once for each job */
};

/* A new sheet of that job, with NaN where NaN means none. NULL: out of memory. */
AQ_API aq_sheet *aq_sheet_new(aq_arena *arena, const char *job);

/* Builders: each adds one thing, in order. They return NULL (or false) when memory is out, and then the sheet is given
 * up with AQ_NO_MEMORY. */
AQ_API aq_row *aq_sheet_row(aq_sheet *sheet, aq_do what);
AQ_API bool aq_sheet_figure(aq_sheet *sheet, const char *name, double value, const char *unit);
AQ_API bool aq_sheet_figure_within(aq_sheet *sheet, const char *name, double value, const char *unit,
                                   double within);
AQ_API bool aq_sheet_figure_text(aq_sheet *sheet, const char *name, const char *text);
AQ_API bool aq_figures_add(aq_arena *arena, aq_figures *figures, const char *name, double value,
                           const char *unit);
AQ_API bool aq_figures_amount(aq_arena *arena, aq_figures *figures, const char *name, aq_amount amount);
/* The figure of that name whose amount is given, or NULL. */
const aq_figure *aq_figures_amount_of(const aq_figures *figures, const char *name);
AQ_API bool aq_figures_text(aq_arena *arena, aq_figures *figures, const char *name, const char *text);
AQ_API aq_aside *aq_asides_add(aq_arena *arena, aq_asides *asides); /* with NaN where NaN means none */
AQ_API bool aq_pours_add(aq_arena *arena, aq_pours *pours, aq_do what, const char *part, aq_amount amount);
AQ_API bool aq_origins_add(aq_arena *arena, aq_origins *from, const char *label, const char *name,
                           aq_amount amount);
AQ_API aq_record *aq_records_add(aq_arena *arena, aq_records *records, const char *label, const char *name);
AQ_API bool aq_sheet_assume(aq_sheet *sheet, const char *format, ...) AQ_PRINTF(2, 3); /* once each */
AQ_API bool aq_sheet_why(aq_sheet *sheet, const char *format, ...) AQ_PRINTF(2, 3);
AQ_API bool aq_sheet_next(aq_sheet *sheet, const char *format, ...) AQ_PRINTF(2, 3);
AQ_API bool aq_sheet_caution(aq_sheet *sheet, const char *format, ...) AQ_PRINTF(2, 3); /* once each */
AQ_API bool aq_sheet_unseen(aq_sheet *sheet, const char *format, ...) AQ_PRINTF(2, 3);
AQ_API aq_short *aq_sheet_short(aq_sheet *sheet, const char *what, aq_amount by, const char *format, ...)
    AQ_PRINTF(4, 5);

AQ_API aq_amount aq_amount_of(double value, const char *unit);
AQ_API aq_amount aq_amount_within(double value, const char *unit, double within);

/* A volume in L, or a mass in g, in the unit a person would say: 0.0625 mL, 115 mL, 12 L, 750 g, 1.5 kg never: grams
 * stay grams. `rounded` keeps three significant figures. */
AQ_API aq_amount aq_amount_volume(double litres, bool rounded);
AQ_API aq_amount aq_amount_mass(double grams, bool rounded);

/* Numbers for sentences: an arena text such as "1.44 mL/L", three significant figures, no trailing zeros. */
AQ_API const char *aq_say(aq_arena *arena, double value, const char *unit);
AQ_API const char *aq_say_ec(aq_arena *arena, double value); /* two decimals: "1.80 mS/cm" */

#endif
