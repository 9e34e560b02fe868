/* The word that was probably meant: fewest edits, where an edit is a letter added, lost, changed, or swapped with its
 * neighbour (optimal string alignment; Damerau, Communications of the ACM 7 (1964) 171, found that one such edit
 * explains four in five misspellings). Capitals do not count, and an underscore is a hyphen.
 *
 * A word counts as meant within 1 edit, plus 1 for every 4 letters typed; an abbreviation of 3 letters or more
 * ("dens") counts as just near enough. */
#include "document/field.h"

#include <string.h>

enum { LONGEST = 48, ABBREVIATION = 3 };

static char plain(char letter)
{
    if (letter == '_')
        return '-';
    return letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

static bool swapped(const char *a, const char *b, size_t i, size_t j)
{
    return i > 1 && j > 1 && plain(a[i - 1]) == plain(b[j - 2]) && plain(a[i - 2]) == plain(b[j - 1]);
}

/* Both at most LONGEST. Three rows of the table are enough: a swap looks two back. */
static size_t edits(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t rows[3][LONGEST + 1];

    for (size_t i = 0; i <= a_length; i++) {
        size_t *now = rows[i % 3], *before = rows[(i + 2) % 3], *earlier = rows[(i + 1) % 3];

        now[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            size_t changed;

            if (i == 0) {
                now[j] = j;
                continue;
            }
            changed = before[j - 1] + (plain(a[i - 1]) != plain(b[j - 1]));
            now[j] = least(changed, least(before[j], now[j - 1]) + 1);
            if (swapped(a, b, i, j))
                now[j] = least(now[j], earlier[j - 2] + 1);
        }
    }
    return rows[a_length % 3][b_length];
}

static bool begins(const char *word, const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (plain(word[i]) != plain(text[i]))
            return false;
    return true;
}

const char *aq_nearest(const char *text, const char *const *words)
{
    size_t length = strlen(text), most = 1 + length / 4, best = most + 1;
    const char *found = NULL;

    if (length == 0 || length > LONGEST)
        return NULL;
    for (; *words; words++) {
        size_t other = strlen(*words), count;

        if (other > LONGEST)
            continue;
        count = edits(text, length, *words, other);
        if (length >= ABBREVIATION && other > length && begins(*words, text, length))
            count = least(count, most);
        if (count < best && count < (length < other ? length : other)) {
            best = count;
            found = *words;
        }
    }
    return found;
}
