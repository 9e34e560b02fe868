/* The rows that several jobs have, so that one option means the same thing and has the same limits everywhere.
 *
 *     static const aq_field flush_rows[] = {
 *         AQ_ROW_VOLUME,
 *         { .key = "medium", ... },
 *         AQ_ROWS_OF_EVERY_JOB,
 *     };
 *
 * A row of an entry of the site (a part, a water, a tool) has the shape that the document has. What a row leaves
 * unanswered is filled from the site and the recipe by its key (job/fill.c), so a job that has the row has the filling. */
#ifndef AQ_JOB_ROWS_H
#define AQ_JOB_ROWS_H

#include "job/job.h"
#include "model/says.h"
#include "model/stage.h"

#define AQ_INTO(member) offsetof(aq_asked, member)
#define AQ_INTO_AIM(member) (offsetof(aq_asked, aim) + offsetof(aq_aim, member))
#define AQ_ROWS_COUNT(rows) (sizeof(rows) / sizeof *(rows))

/* A volume, an EC: most of what is asked. */
#define AQ_ROW_LITRES(name, member, words, sample)                                                           \
    {                                                                                                        \
        .key = name, .read = AQ_READ_QUANTITY, .want = AQ_WANT_VOLUME, .bounded = true, .above = true,       \
        .least = 0, .most = AQ_VOLUME_MOST, .into = AQ_INTO(member), .help = words, .example = sample        \
    }
#define AQ_ROW_LITRES_OR_NONE(name, member, words, sample)                                                   \
    {                                                                                                        \
        .key = name, .read = AQ_READ_QUANTITY, .want = AQ_WANT_VOLUME, .bounded = true, .least = 0,          \
        .most = AQ_VOLUME_MOST, .into = AQ_INTO(member), .help = words, .example = sample                    \
    }
#define AQ_ROW_READING(name, member, words, sample)                                                          \
    {                                                                                                        \
        .key = name, .read = AQ_READ_QUANTITY, .want = AQ_WANT_EC, .bounded = true, .least = 0,              \
        .most = AQ_EC_MOST, .into = AQ_INTO(member), .help = words, .example = sample                        \
    }

/* The tank. */
#define AQ_ROW_VOLUME                                                                                        \
    AQ_ROW_LITRES("volume", volume, "what the tank holds when finished, old solution included", "60 L")
#define AQ_ROW_HEEL                                                                                          \
    AQ_ROW_LITRES_OR_NONE("heel", heel, "old solution left in the tank, none where not given", "4 L")
#define AQ_ROW_HEEL_EC AQ_ROW_READING("heel-ec", heel_ec, "its EC, measured before refilling", "2.1 mS/cm")
#define AQ_ROW_HEEL_ANALYSIS                                                                                 \
    {                                                                                                        \
        .key = "heel-analysis", .read = AQ_READ_AMOUNTS, .want = AQ_WANT_CONTENT | AQ_WANT_MOLARITY,         \
        .bounded = true, .least = 0, .most = AQ_CONTENT_MOST, .choices = aq_water_words,                     \
        .into = AQ_INTO(heel_analysis),                                                                      \
        .help = "what the old solution holds, from a laboratory's report: counts towards the targets",       \
        .example = "{NO3-N: 90 mg/L, K: 160 mg/L, Ca: 110 mg/L}"                                             \
    }
#define AQ_ROW_DEAD                                                                                          \
    AQ_ROW_LITRES_OR_NONE("dead", dead, "in pipes and medium, never drains: added to volume and to heel",    \
                          "2 L")
#define AQ_ROW_LEVEL AQ_ROW_LITRES("level", level, "wanted volume at the end", "150 L")
#define AQ_ROW_HOLDS AQ_ROW_LITRES("holds", holds, "what the tank holds when full to the brim", "100 L")
#define AQ_ROW_EC_NOW AQ_ROW_READING("ec-now", ec_now, "its EC now", "2.4 mS/cm")

/* The water. */
#define AQ_ROW_WATER_EC                                                                                      \
    AQ_ROW_READING("water-ec", water_ec, "EC of the water added, short for an entry of water", "0.35 mS/cm")
#define AQ_ROW_WATER                                                                                         \
    {                                                                                                        \
        .key = "water", .read = AQ_READ_ENTRIES, .many = true, .shape = &aq_water_shape,                     \
        .into = AQ_INTO(water),                                                                              \
        .help = "source water: an entry, or its name in the site; with share where "                         \
                "several fill one tank",                                                                     \
        .example = "{ec: 0.32 mS/cm, alkalinity: 120 mg/L CaCO3}"                                            \
    }

/* The aim. AQ_AIM_ROWS of model/stage.h has the whole of it. */
#define AQ_ROW_EC                                                                                            \
    {                                                                                                        \
        .key = "ec", .read = AQ_READ_QUANTITY, .want = AQ_WANT_EC, .bounded = true, .above = true,           \
        .least = 0, .most = AQ_EC_MOST, .into = AQ_INTO_AIM(ec), .help = "the EC aimed at",                  \
        .example = "1.8 mS/cm"                                                                               \
    }
#define AQ_ROW_TARGETS                                                                                       \
    {                                                                                                        \
        .key = "targets", .read = AQ_READ_AMOUNTS, .want = AQ_WANT_CONTENT | AQ_WANT_MOLARITY,               \
        .bounded = true, .least = 0, .most = AQ_CONTENT_MOST, .choices = aq_target_words,                    \
        .into = AQ_INTO_AIM(targets), .help = "of each element, in the finished tank",                       \
        .example = "{N: 150 mg/L, K: 210 mg/L}"                                                              \
    }
#define AQ_ROW_PH                                                                                            \
    {                                                                                                        \
        .key = "ph", .read = AQ_READ_NUMBERS, .bounded = true, .least = 0, .most = AQ_PH_MOST,               \
        .into = AQ_INTO_AIM(ph), .help = "pH window of the finished solution, set last",                     \
        .example = "5.6-6.2"                                                                                 \
    }
#define AQ_ROW_RECIPE                                                                                        \
    {                                                                                                        \
        .key = "recipe", .read = AQ_READ_TEXT, .into = AQ_INTO(recipe_name),                                 \
        .help = "a recipe's file, or its name in the site", .example = "two-part.yaml"                       \
    }
#define AQ_ROW_STAGE                                                                                         \
    {                                                                                                        \
        .key = "stage", .read = AQ_READ_ENTRY, .shape = &aq_stage_shape, .into = AQ_INTO(stage),             \
        .help = "a stage of the recipe, or an entry", .example = "vegetative"                                \
    }

/* Acid into the water of a feed. */
#define AQ_ROW_FEED_ACID                                                                                     \
    {                                                                                                        \
        .key = "acid", .read = AQ_READ_ENTRIES, .many = true, .shape = &aq_acid_shape,                       \
        .into = AQ_INTO(acid),                                                                               \
        .help = "acid into the water before any part; what it brings is deducted from the feed",             \
        .example = "{name: nitric, strength: 67 %w/w, density: 1.40 kg/L}"                                   \
    }
#define AQ_ROW_FEED_ALKALINITY                                                                               \
    {                                                                                                        \
        .key = "alkalinity", .read = AQ_READ_QUANTITY, .want = AQ_WANT_HARDNESS, .bounded = true,            \
        .least = 0, .most = 1, .into = AQ_INTO(to.alkalinity),                                               \
        .help = "wanted of the water after that acid", .example = "60 mg/L CaCO3"                            \
    }

/* What goes in. */
#define AQ_ROW_PART                                                                                          \
    {                                                                                                        \
        .key = "part", .read = AQ_READ_ENTRIES, .many = true, .shape = &aq_part_shape,                       \
        .into = AQ_INTO(part), .help = "a bottle, bag or salt, in pouring order",                            \
        .example = "{name: Feed, rate: 2-4 mL/L, ec: 0.42 mS/cm per mL/L}"                                   \
    }
#define AQ_ROW_TOGETHER                                                                                      \
    {                                                                                                        \
        .key = "together", .read = AQ_READ_ENTRIES, .many = true, .shape = &aq_together_shape,               \
        .into = AQ_INTO(together), .help = "parts dosed in a fixed ratio",                                   \
        .example = "{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}"                                          \
    }
#define AQ_ROW_POURED                                                                                        \
    {                                                                                                        \
        .key = "poured", .read = AQ_READ_AMOUNTS,                                                            \
        .want = AQ_WANT_RATE | AQ_WANT_CONTENT | AQ_WANT_VOLUME | AQ_WANT_MASS, .bounded = true, .least = 0, \
        .most = AQ_MASS_MOST, .into = AQ_INTO(poured),                                                       \
        .help = "already poured since the change: counts against the label's top", .example = "{A: 120 mL}"  \
    }
#define AQ_ROW_SUPPLY                                                                                        \
    {                                                                                                        \
        .key = "supply", .read = AQ_READ_ENTRIES, .many = true, .shape = &aq_supply_shape,                   \
        .into = AQ_INTO(supply), .help = "what is left of a part, its pack and price",                       \
        .example = "{part: A, left: 736 mL, pack: 5 L, price: 42.00}"                                        \
    }

/* Days. */
#define AQ_ROW_FROM(words)                                                                                   \
    {                                                                                                        \
        .key = "from", .read = AQ_READ_DATE, .into = AQ_INTO(from), .help = words, .example = "2026-03-02"   \
    }
#define AQ_ROW_DAYS(words)                                                                                   \
    {                                                                                                        \
        .key = "days", .read = AQ_READ_COUNT, .bounded = true, .least = 1, .most = 3660,                     \
        .into = AQ_INTO(days), .help = words, .example = "7"                                                 \
    }
#define AQ_ROW_CURRENCY                                                                                      \
    {                                                                                                        \
        .key = "currency", .read = AQ_READ_TEXT, .into = AQ_INTO(currency),                                  \
        .help = "a label for costs; nothing is converted", .example = "EUR"                                  \
    }

/* A volume that is free inside a range, so that doses can land on marks. */
#define AQ_ROW_MAKE                                                                                          \
    {                                                                                                        \
        .key = "make", .read = AQ_READ_RANGE, .want = AQ_WANT_VOLUME, .bounded = true, .above = true,        \
        .least = 0, .most = AQ_VOLUME_MOST, .into = AQ_INTO(make),                                           \
        .help = "finished volume, or a range where it is free", .example = "500 mL"                          \
    }
#define AQ_ROW_DENSITY                                                                                       \
    {                                                                                                        \
        .key = "density", .read = AQ_READ_QUANTITY, .want = AQ_WANT_CONTENT, .bounded = true,                \
        .least = AQ_DENSITY_LEAST, .most = AQ_DENSITY_MOST, .into = AQ_INTO(density),                        \
        .help = "of the liquid", .example = "1.26 kg/L"                                                      \
    }

#define AQ_ROW_SHOW                                                                                          \
    {                                                                                                        \
        .key = "show", .read = AQ_READ_CUSTOM, .many = true, .custom = aq_show_read, .into = AQ_INTO(show),  \
        .help = "units of the sheet, first one first", .example = "gal-us"                                   \
    }
#define AQ_ROW_BENCH                                                                                         \
    {                                                                                                        \
        .key = "bench", .read = AQ_READ_ENTRIES, .many = true, .shape = &aq_tool_shape,                      \
        .into = AQ_INTO(bench), .help = "a tool to measure with",                                            \
        .example = "{name: 60 mL syringe, holds: 60 mL, marks: 1 mL}"                                        \
    }
#define AQ_ROW_OVER_LABEL                                                                                    \
    {                                                                                                        \
        .key = "over-label", .read = AQ_READ_TEXT, .into = AQ_INTO(over_label),                              \
        .help = "why a label's top may be passed this once; printed and logged",                             \
        .example = "trial of bench 3"                                                                        \
    }
#define AQ_ROW_WHO                                                                                           \
    {                                                                                                        \
        .key = "who", .read = AQ_READ_TEXT, .into = AQ_INTO(who), .help = "who does it", .example = "Nell"   \
    }
#define AQ_ROW_NOTE                                                                                          \
    {                                                                                                        \
        .key = "note", .read = AQ_READ_TEXT, .into = AQ_INTO(note),                                          \
        .help = "a line for the sheet and the log", .example = "after the heat wave"                         \
    }
#define AQ_ROW_DATE                                                                                          \
    {                                                                                                        \
        .key = "date", .read = AQ_READ_DATE, .into = AQ_INTO(date),                                          \
        .help = "the day it is done, today where not given", .example = "2026-03-02"                         \
    }

/* `stock` has a ratio of its own, so it takes the others. */
#define AQ_ROWS_OF_EVERY_JOB_BUT_RATIO                                                                       \
    AQ_GALLON_ROW(aq_asked, said), AQ_PPM_ROW(aq_asked, said), AQ_ROW_SHOW, AQ_ROW_BENCH, AQ_ROW_OVER_LABEL, \
        AQ_ROW_WHO, AQ_ROW_NOTE, AQ_ROW_DATE
#define AQ_ROWS_OF_EVERY_JOB AQ_ROWS_OF_EVERY_JOB_BUT_RATIO, AQ_RATIO_ROW(aq_asked, said)

/* AQ_MISSING, for what a job cannot do without and neither line nor site says: "volume: what is wanted, like 60 L". */
aq_status aq_ask_for(aq_error *err, const char *key, const char *format, ...) AQ_PRINTF(3, 4);

/* Assumes aloud that nobody says in which form `of` holds its nitrogen. */
bool aq_say_form(aq_sheet *sheet, const char *of);

/* Assumes aloud that amounts are exact, where the line has no tools; false: no memory. */
bool aq_say_no_tools(aq_sheet *sheet, const aq_asked *asked);

#endif
