/* A folder of its own for each test of the log, and entries to put in. */
#ifndef SCRATCH_H
#define SCRATCH_H

#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "store/log.h"

typedef struct {
    char folder[64], path[96];
    aq_arena *arena;
    aq_error err;
} scratch;

static inline int scratch_begin(void **state)
{
    scratch *s = calloc(1, sizeof *s);

    strcpy(s->folder, "/tmp/aliquot-log-XXXXXX");
    assert_non_null(mkdtemp(s->folder));
    snprintf(s->path, sizeof s->path, "%s/nursery.log", s->folder);
    s->arena = aq_arena_new(0);
    chmod(s->folder, 0755);
    *state = s;
    return 0;
}

static inline int scratch_end(void **state)
{
    scratch *s = *state;
    char command[128];

    snprintf(command, sizeof command, "rm -rf %s", s->folder);
    assert_int_equal(system(command), 0);
    aq_arena_free(s->arena);
    free(s);
    return 0;
}

/* An entry from its YAML, by its own rows. */
static inline aq_entry entry_of(scratch *s, const char *yaml)
{
    aq_complaints complaints = { 0 };
    aq_walk walk = { .arena = s->arena, .complaints = &complaints };
    aq_node *node;
    aq_entry entry;

    assert_int_equal(aq_node_yaml(&node, s->arena, yaml, strlen(yaml), "-", NULL), AQ_OK);
    if (aq_shape_read(&walk, &aq_entry_shape, node, &entry) != AQ_OK)
        fail_msg("%s: %s", yaml, complaints.at[0].text);
    return entry;
}

static inline aq_log *opened(scratch *s, aq_log_use use)
{
    aq_log *log;

    s->err = (aq_error){ 0 };
    if (aq_log_open(&log, s->path, use, &s->err) != AQ_OK)
        fail_msg("%s", s->err.text);
    return log;
}

static inline void put(scratch *s, aq_log *log, const char *yaml)
{
    aq_entry entry = entry_of(s, yaml);

    s->err = (aq_error){ 0 };
    if (aq_log_add(log, &entry, &s->err) != AQ_OK)
        fail_msg("%s", s->err.text);
}

#endif
