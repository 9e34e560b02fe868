/* The stock tanks of one injector, between the files that fill them: the feed at the hose, which part goes where, what
 * stays dissolved, and the sheet. */
#ifndef AQ_JOB_STOCK_H
#define AQ_JOB_STOCK_H

#include "chemistry/concentrate.h"
#include "job/feed.h"
#include "job/neutralise.h"
#include "solve/tank_split.h"

/* Of the solubility: common practice, no source. */
#define AQ_STOCK_MARGIN 0.80

/* Where one dose of the feed goes. */
typedef struct {
    const aq_dose *dose;
    double rate;                 /* at the hose: g/L, or L/L */
    double share[AQ_TANKS_MOST]; /* in each tank: of its whole; adds up to 1 */
    double dissolves;            /* g/L at the coldest; NaN: not known */
    bool acid;                   /* of the line's acid, not a part */
    bool tabled;                 /* that is the handbooks' word, not the part's */
} aq_placing;

enum { AQ_STOCK_SOLIDS_MOST = AQ_TANKS_PARTS_MOST + 32 };

typedef struct aq_mixtures aq_mixtures; /* stock_mixture.c */

typedef struct {
    aq_arena *arena;
    const aq_asked *asked;
    aq_asked hose; /* the question at the hose: one litre of feed */
    aq_feed feed;
    aq_neutralising acid; /* of a litre at the hose; 0 L: none */
    double parts;         /* n of the injector */
    aq_placing *at;
    size_t count;
    int tanks;
    bool fewest;                           /* no smaller number of tanks does */
    aq_solid solids[AQ_STOCK_SOLIDS_MOST]; /* that may fall out at the coldest */
    size_t solid_count, helped;            /* the first `helped` of them are no reason against any one part */
    const aq_mixtures *mixtures;           /* where the coldest night is known */
    const char *clash;                     /* two parts that must not share a tank do; NULL: none */
    int needed;                            /* tanks that would do then; 0: none would */
} aq_stocking;

/* Where each dose goes, and what dissolves. A clash that the tanks asked for cannot avoid is in `clash`. */
aq_status aq_stock_place(aq_stocking *s, aq_error *err);

/* g/L (or L/L) of a part in that tank: all tanks run through the hose together, so its shares add up to its rate. */
double aq_stock_strength(const aq_stocking *s, const aq_placing *p, int tank);

/* Sets what of p dissolves at that temperature: what the part says of itself, else what handbooks have of a salt known by
 * its formula; NaN where neither is known. */
aq_status aq_stock_solubility(aq_placing *p, double celsius, aq_error *err);

/* Adds mol/L of each ion that `strength` g/L (or L/L) of a part bring; nothing where its composition is not known. */
void aq_stock_bring(double ions[AQ_ION_COUNT], const aq_placing *p, double strength);

/* L of liquid parts in a litre of that tank; more than 1: they do not fit. */
double aq_stock_liquids(const aq_stocking *s, int tank);

/* mol/L of each ion in that tank. */
void aq_stock_ions(double ions[AQ_ION_COUNT], const aq_stocking *s, int tank);

/* The share of a part that goes into one tank: half where it goes into both. */
double aq_stock_share(const aq_stocking *s, const aq_placing *p);

/* The salts that may fall out of a mixture of the parts, with all that is asked of them again and again. False: out of
 * memory. */
bool aq_stock_mixtures(aq_stocking *s);

/* The first salt that falls out where these parts share a tank; NULL: all stay dissolved. */
const aq_solid *aq_stock_falls_out(const aq_stocking *s, aq_part_set parts);

/* Why what is in two of the tanks could not be in one: "calcium of A would meet ..."; NULL: it could. */
const char *aq_stock_reason(const aq_stocking *s, int tank, int other);

/* What dissolves and how wide the injector may be set. */
bool aq_stock_add_solubility(aq_sheet *sheet, const aq_stocking *s);

/* The rows of each tank. */
bool aq_stock_add_rows(aq_sheet *sheet, const aq_stocking *s);

const char *aq_stock_tank_name(int tank); /* "A" */

#endif
