/* A made-up entry that has one field of every reader, and one reading of it. */
#ifndef SHED_H
#define SHED_H

#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "document/field.h"

/* ---- the made-up document ---- */

typedef struct {
    const char *name;
    aq_quantity holds;
    aq_place place;
} jar;

typedef struct {
    int basis;
    aq_amounts contents;
} label;

typedef struct {
    aq_said said;
    const char *title;
    int open; /* aq_yes_no */
    long count;
    aq_quantity ph, volume, share, size;
    aq_range window, rate;
    aq_strength strength;
    aq_ratio dilution;
    aq_level level, reading;
    aq_slope slope;
    aq_date day;
    aq_clock daily;
    aq_moment at;
    int use;
    jar lid;
    label analysis;
    AQ_LIST(jar) jars;
    AQ_LIST(jar) shelf;
    aq_amounts targets, parts;
    aq_texts show;
    size_t letters;
    bool checked;
    aq_place place;
} shed;

static const char *const gallon_words[] = { "us", "imperial", NULL };
static const char *const ppm_words[] = { "500", "640", "700", NULL };
static const char *const ratio_words[] = { "in", "plus", NULL };
static const char *const use_words[] = { "root", "foliar", NULL };
static const char *const basis_words[] = { "w/w", "w/v", NULL };
static const char *const elements[] = { "N", "P", "K", "NO3-N", NULL };

static const aq_field jar_fields[] = {
    { .key = "name",
      .read = AQ_READ_TEXT,
      .needed = true,
      .into = offsetof(jar, name),
      .help = "what it is called",
      .example = "Big jar" },
    { .key = "holds",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 100000,
      .into = offsetof(jar, holds),
      .help = "to the brim",
      .example = "2 L" },
};

static aq_status check_jar(aq_walk *walk, void *entry, const aq_node *node)
{
    const jar *made = entry;

    if (strcmp(made->name, "silent") == 0)
        return AQ_CONFLICT;
    if (strcmp(made->name, "cracked") == 0)
        return aq_walk_fail(walk, AQ_INVALID, node->place, "a cracked jar holds nothing");
    return AQ_OK;
}

static const aq_shape jar_shape = { .noun = "jar",
                                    .fields = jar_fields,
                                    .count = 2,
                                    .size = sizeof(jar),
                                    .has_place = true,
                                    .place_into = offsetof(jar, place),
                                    .has_name = true,
                                    .name_into = offsetof(jar, name),
                                    .scalar = true,
                                    .check = check_jar };

static const aq_field label_rest = { .key = "element",
                                     .read = AQ_READ_AMOUNTS,
                                     .want = AQ_WANT_SHARE,
                                     .bounded = true,
                                     .least = 0,
                                     .most = 1,
                                     .choices = elements,
                                     .into = offsetof(label, contents) };
static const aq_field label_fields[] = {
    { .key = "basis", .read = AQ_READ_CHOICE, .choices = basis_words, .into = offsetof(label, basis) },
};
static const aq_shape label_shape = {
    .noun = "label", .fields = label_fields, .count = 1, .size = sizeof(label), .rest = &label_rest
};

/* The number of letters of a text, or of entries of a list. */
static aq_status read_letters(aq_walk *walk, const aq_field *field, const aq_node *node, void *into)
{
    (void)field;
    if (node->shape == AQ_NODE_NOTHING)
        return aq_walk_fail(walk, AQ_MISSING, node->place, "letters: none");
    *(size_t *)into = node->shape == AQ_NODE_SCALAR ? strlen(node->text) : node->count;
    return AQ_OK;
}

static aq_status check_shed(aq_walk *walk, void *entry, const aq_node *node)
{
    shed *made = entry;

    (void)node;
    made->said = walk->said;
    made->checked = true;
    return AQ_OK;
}

static const aq_field shed_fields[] = {
    { .key = "title",
      .read = AQ_READ_TEXT,
      .most = 20,
      .into = offsetof(shed, title),
      .example = "Fernhollow" },
    { .key = "open", .read = AQ_READ_YES_NO, .into = offsetof(shed, open) },
    { .key = "count",
      .read = AQ_READ_COUNT,
      .bounded = true,
      .least = 1,
      .most = 1000,
      .into = offsetof(shed, count),
      .example = "98" },
    { .key = "ph",
      .read = AQ_READ_NUMBER,
      .bounded = true,
      .least = 0,
      .most = 14,
      .into = offsetof(shed, ph) },
    { .key = "window",
      .read = AQ_READ_NUMBERS,
      .bounded = true,
      .least = 0,
      .most = 14,
      .into = offsetof(shed, window) },
    { .key = "volume",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_VOLUME,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 100000,
      .into = offsetof(shed, volume),
      .help = "what it holds",
      .example = "60 L" },
    { .key = "share",
      .read = AQ_READ_QUANTITY,
      .want = AQ_WANT_SHARE,
      .bare = true,
      .bounded = true,
      .least = 0,
      .most = INFINITY,
      .into = offsetof(shed, share) },
    { .key = "rate",
      .read = AQ_READ_RANGE,
      .want = AQ_WANT_RATE,
      .bounded = true,
      .least = 0,
      .most = 0.05,
      .into = offsetof(shed, rate),
      .example = "2-4 mL/L" },
    { .key = "strength", .read = AQ_READ_STRENGTH, .into = offsetof(shed, strength), .example = "35%w/w" },
    { .key = "dilution",
      .read = AQ_READ_RATIO,
      .bounded = true,
      .least = 1,
      .most = 10000,
      .into = offsetof(shed, dilution) },
    { .key = "level",
      .read = AQ_READ_LEVEL,
      .bounded = true,
      .least = 0,
      .most = 1000,
      .into = offsetof(shed, level) },
    { .key = "reading", .read = AQ_READ_LEVEL, .bare = true, .into = offsetof(shed, reading) },
    { .key = "slope", .read = AQ_READ_SLOPE, .into = offsetof(shed, slope) },
    { .key = "size",
      .read = AQ_READ_SIZE,
      .bounded = true,
      .least = 0.001,
      .most = 1,
      .into = offsetof(shed, size) },
    { .key = "day", .read = AQ_READ_DATE, .into = offsetof(shed, day), .example = "2026-03-02" },
    { .key = "daily", .read = AQ_READ_MINUTE, .into = offsetof(shed, daily), .example = "07:30" },
    { .key = "at", .read = AQ_READ_MOMENT, .into = offsetof(shed, at) },
    { .key = "use", .read = AQ_READ_CHOICE, .choices = use_words, .into = offsetof(shed, use) },
    { .key = "lid", .read = AQ_READ_ENTRY, .shape = &jar_shape, .into = offsetof(shed, lid) },
    { .key = "analysis", .read = AQ_READ_ENTRY, .shape = &label_shape, .into = offsetof(shed, analysis) },
    { .key = "jars", .read = AQ_READ_ENTRIES, .shape = &jar_shape, .into = offsetof(shed, jars) },
    { .key = "shelf", .read = AQ_READ_NAMED, .shape = &jar_shape, .into = offsetof(shed, shelf) },
    { .key = "targets",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_CONTENT,
      .choices = elements,
      .bounded = true,
      .above = true,
      .least = 0,
      .most = 10,
      .into = offsetof(shed, targets),
      .example = "{N: 150 mg/L}" },
    { .key = "parts",
      .read = AQ_READ_AMOUNTS,
      .want = AQ_WANT_RATE,
      .bare = true,
      .into = offsetof(shed, parts) },
    { .key = "show", .read = AQ_READ_TEXTS, .most = 10, .into = offsetof(shed, show) },
    { .key = "letters", .read = AQ_READ_CUSTOM, .custom = read_letters, .into = offsetof(shed, letters) },
    { .key = "gallon",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = gallon_words,
      .into = offsetof(shed, said.gallon) },
    { .key = "ppm",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = ppm_words,
      .into = offsetof(shed, said.ppm) },
    { .key = "ratio",
      .read = AQ_READ_CHOICE,
      .says = true,
      .choices = ratio_words,
      .into = offsetof(shed, said.ratio) },
};
static const aq_shape shed_shape = { .noun = "shed",
                                     .fields = shed_fields,
                                     .count = sizeof shed_fields / sizeof *shed_fields,
                                     .size = sizeof(shed),
                                     .has_place = true,
                                     .place_into = offsetof(shed, place),
                                     .check = check_shed };

/* ---- one reading ---- */

typedef struct {
    aq_arena *arena;
    aq_walk walk;
    aq_complaints complaints;
    shed made;
    aq_status status;
} trial;

typedef aq_status text_reader(aq_node **out, aq_arena *arena, const char *text, size_t length,
                              const char *source, aq_error *err);

static inline trial *try_by(text_reader *read, const char *text)
{
    trial *t = calloc(1, sizeof *t);
    aq_error err = { 0 };
    aq_node *root;

    t->arena = aq_arena_new(0);
    t->walk = (aq_walk){ .arena = t->arena, .complaints = &t->complaints };
    memset(&t->made, 0x55, sizeof t->made); /* the walker zeroes */
    if (read(&root, t->arena, text, strlen(text), "shed.yaml", &err) != AQ_OK)
        print_error("%s: %s\n", text, err.text);
    assert_non_null(root);
    t->status = aq_shape_read(&t->walk, &shed_shape, root, &t->made);
    return t;
}

static inline trial *try(const char *text)
{
    return try_by(aq_node_yaml, text);
}

static inline trial *try_good(const char *text)
{
    trial *t = try(text);

    for (size_t i = 0; i < t->complaints.count; i++)
        print_error("%s: %s\n", text, t->complaints.at[i].text);
    check_true(text, t->status == AQ_OK && t->complaints.count == 0 && t->made.checked);
    return t;
}

static inline void end(trial *t)
{
    aq_arena_free(t->arena);
    free(t);
}

#endif
