/* Everything that any job may be asked, in base units. A job reads the members its own rows fill; the rest stay zero.
 *
 * Filled by aq_job_answer from three places, later ones first: the options of the line, the site's entry that the line
 * names, the recipe's stage. What was taken from where is said in `assumed`. */
#ifndef AQ_JOB_ASKED_H
#define AQ_JOB_ASKED_H

#include "model/schedule.h"

typedef struct {
    const char *name;
    aq_strength strength;
    aq_quantity density;     /* g/L */
    aq_quantity temperature; /* degC, of the acid: where no density is said */
    aq_quantity protons;     /* given up by one molecule in this water */
    aq_place place;
} aq_acid_entry;

typedef struct {
    aq_quantity volume, acid; /* L of sample, L of (diluted) acid that moved it */
    aq_ratio diluted;
    aq_quantity from, to; /* pH */
    bool given;
    aq_place place;
} aq_jar_entry;

typedef struct {
    const char *name;
    aq_quantity holds, volume, ec_now, ec;
    bool given;
    aq_place place;
} aq_into_entry;

typedef struct {
    aq_weektimes on; /* weekdays, or */
    aq_date at;      /* a date */
    aq_amounts amounts;
    aq_place place;
} aq_needs_entry;

/* What a strength or a blend is wanted as: a strength, a ratio, an EC, an alkalinity, a hardness or a share. */
typedef struct {
    aq_strength strength;
    aq_ratio ratio;
    aq_quantity ec, alkalinity, hardness, share;
    bool given;
} aq_wanted;

/* A stock to dilute: a strength of a liquid, or a solid known by name or formula. */
typedef struct {
    aq_strength strength;
    const char *solid;
    bool given;
} aq_stock_of;

typedef struct {
    /* of every job */
    aq_said said;
    aq_texts show;
    aq_bench bench;
    const char *over_label, *who, *note;
    aq_date date;

    /* of a tank and what goes into it */
    aq_quantity volume, heel, heel_ec, dead;
    aq_amounts heel_analysis;
    aq_quantity water_ec;
    aq_waters water;
    aq_aim aim; /* ec, strength, rates, targets, tolerance, ph */
    const char *recipe_name;
    aq_stage stage;   /* of mix: a name or an entry */
    aq_stages stages; /* of plan */
    aq_parts part;
    aq_togethers together;
    aq_amounts poured;
    aq_supplies supply;

    /* mist */
    aq_range bottle; /* L */
    aq_range rate;   /* L/L, g/L; or a strength w/v */
    aq_range mist_ec;
    long sprayers;

    /* plan, supplies */
    aq_date from;
    long days;
    aq_reservoirs reservoir;
    aq_week week;
    aq_lots lot;
    aq_gates gate;
    aq_clock roots_at;
    const char *timezone, *currency;
    AQ_LIST(aq_needs_entry) needs;
    aq_quantity each;

    /* adjust, topup, trace, flush, learn */
    aq_quantity holds, ec_now, level, step, uptake, uses, limit, reads, expected, medium, feed_ec;
    int drain; /* aq_yes_no */
    aq_into_entry into;
    aq_level before, after;
    aq_quantity hours; /* d */
    aq_moment at;
    aq_date since;

    /* dilute, blend, acid, condition */
    aq_stock_of stock;
    aq_wanted to;
    aq_range make; /* L */
    aq_quantity density, purity, age, kept;
    const char *as, *of;
    aq_water first, second;
    aq_quantity alkalinity;
    AQ_LIST(aq_acid_entry) acid;
    aq_jar_entry jar;
    aq_quantity pieces, size, fills, extra;

    /* stock */
    aq_ratio ratio;
    long tanks;
    aq_quantity coldest, draw, drawn;

    /* water, meter, convert */
    aq_amounts analysis, salts;
    aq_quantity temperature, coefficient, standard, standard_temperature;
    int air, scale, compensated;
    const char *shown, *standard_shown, *aim_shown,
        *tolerance_shown;        /* of meter, as typed: the standard may say what a bare ppm means */
    const char *quantity, *unit; /* of convert, as typed */
    const char *formula;

    /* what the setting adds */
    const struct aq_setting *setting;
    const aq_site *site;
    const aq_recipe *recipe;
    const aq_reservoir *tank; /* the site's entry that the line names */
    const aq_bottle *mister;
    const aq_lot *stuck; /* the lot that the tank or bottle feeds */
    aq_texts taken;      /* what came from site and recipe, for the sheet's assumptions */
    aq_moment today;     /* or the date that the line gives */
    bool with_why;
} aq_asked;

#endif
