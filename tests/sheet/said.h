/* What a sheet says of hazards, for the tests of the cautions, each of which works in an arena of its own. */
#ifndef SAID_H
#define SAID_H

#include "check.h"
#include "sheet/hazard.h"

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, arena_up, arena_down)

static inline int arena_up(void **state)
{
    *state = aq_arena_new(0);
    return *state == NULL;
}

static inline int arena_down(void **state)
{
    aq_arena_free(*state);
    return 0;
}

static inline const aq_hazard *hazard(const aq_sheet *sheet, const char *code)
{
    for (size_t i = 0; i < sheet->hazards.count; i++)
        if (strcmp(sheet->hazards.at[i].code, code) == 0)
            return &sheet->hazards.at[i];
    return NULL;
}

static inline const aq_hazard *rule(const aq_sheet *sheet, const char *name)
{
    for (size_t i = 0; i < sheet->hazards.count; i++)
        if (sheet->hazards.at[i].rule && strcmp(sheet->hazards.at[i].rule, name) == 0)
            return &sheet->hazards.at[i];
    return NULL;
}

static inline bool worn(const aq_sheet *sheet, const char *what)
{
    for (size_t i = 0; i < sheet->wear.count; i++)
        if (strstr(sheet->wear.at[i], what))
            return true;
    return false;
}

static inline bool cautioned(const aq_sheet *sheet, const char *words)
{
    for (size_t i = 0; i < sheet->cautions.count; i++)
        if (strstr(sheet->cautions.at[i], words))
            return true;
    return false;
}

#endif
