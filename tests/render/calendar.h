/* A calendar as another hand reads it. */
#ifndef TESTS_RENDER_CALENDAR_H
#define TESTS_RENDER_CALENDAR_H

#include <libical/ical.h>

#include "check.h"

static inline icalcomponent *parsed(const char *text)
{
    icalcomponent *root = icalparser_parse_string(text);
    assert_non_null(root);
    int errors = icalcomponent_count_errors(root);
    if (errors)
        print_error("%s\n", text);
    assert_int_equal(errors, 0);
    assert_true(icalrestriction_check(root));
    return root;
}

#endif
