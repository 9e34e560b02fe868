/* Prints one of the sample sheets as a web page, for the checks of pages.py:
 *
 *     pages NAME      names alone where NAME is not one of them */
#include <stdio.h>

#include "render/sample.h"

static aq_sheet *plain_mix(aq_arena *arena)
{
    return sample_mix(arena, "Part A");
}

static const struct {
    const char *name;
    aq_sheet *(*make)(aq_arena *arena);
} samples[] = { { "mix", plain_mix },      { "plan", sample_plan }, { "meter", sample_meter },
                { "water", sample_water }, { "all", sample_all },   { "hostile", sample_hostile } };

static bool print(void *to, const char *bytes, size_t count)
{
    return fwrite(bytes, 1, count, to) == count;
}

int main(int count, char **words)
{
    aq_arena *arena = aq_arena_new(0);
    aq_status status = AQ_MISSING;
    for (size_t i = 0; arena && i < sizeof samples / sizeof *samples; i++) {
        if (count < 2)
            puts(samples[i].name);
        else if (strcmp(words[1], samples[i].name) == 0)
            status = aq_render_html(samples[i].make(arena), &(aq_manner){ .why = true },
                                    (aq_sink){ print, stdout }, NULL);
    }
    aq_arena_free(arena);
    return count < 2 || status == AQ_OK ? 0 : 1;
}
