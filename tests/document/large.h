/* Documents of any size from a short piece. */
#ifndef LARGE_H
#define LARGE_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A text of `length` bytes, `piece` over and over between `before` and `after`; the first ~ of a piece counts up. What a
 * whole piece does not fill is spaces. Free it. */
static inline char *repeat(const char *before, const char *piece, const char *after, size_t length)
{
    char *text = malloc(length + 1), one[64];
    size_t at = strlen(before), room = length - strlen(after);
    const char *mark = strchr(piece, '~');

    memcpy(text, before, at);
    for (int i = 0;; i++) {
        int more = mark ? snprintf(one, sizeof one, "%.*s%d%s", (int)(mark - piece), piece, i, mark + 1)
                        : snprintf(one, sizeof one, "%s", piece);

        if (at + (size_t)more > room)
            break;
        memcpy(text + at, one, (size_t)more);
        at += (size_t)more;
    }
    memset(text + at, ' ', room - at);
    memcpy(text + room, after, strlen(after) + 1);
    return text;
}

#endif
