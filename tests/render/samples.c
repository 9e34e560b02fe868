/* Prints the sample sheets and the schemas, for the checks of pages.py and schema.py:
 *
 *     samples                names of the sheets
 *     samples FORMAT NAME    one of them
 *     samples schema sheet   the schema of all
 *     samples schema JOB     the schema of a batch line */
#include <stdio.h>

#include "render/sample.h"

static aq_sheet *plain_mix(aq_arena *arena)
{
    return sample_mix(arena, "Part A");
}

static aq_sheet *says_nothing(aq_arena *arena)
{
    return aq_sheet_new(arena, "mix");
}

static const struct {
    const char *name;
    aq_sheet *(*make)(aq_arena *arena);
} samples[] = { { "mix", plain_mix },          { "plan", sample_plan },   { "elements", sample_elements },
                { "meter", sample_meter },     { "water", sample_water }, { "all", sample_all },
                { "hostile", sample_hostile }, { "empty", says_nothing } };

static bool print(void *to, const char *bytes, size_t count)
{
    return fwrite(bytes, 1, count, to) == count;
}

static aq_status schema(const char *name)
{
    aq_sink out = { print, stdout };
    const aq_job *job = aq_job_find(name);
    if (job)
        return aq_schema_job(job, out, NULL);
    return strcmp(name, "sheet") == 0 ? aq_schema_sheet(out, NULL) : AQ_UNKNOWN_NAME;
}

static aq_status sample(aq_arena *arena, const aq_renderer *renderer, const char *name)
{
    for (size_t i = 0; i < sizeof samples / sizeof *samples; i++)
        if (strcmp(samples[i].name, name) == 0)
            return renderer->sheet(samples[i].make(arena), &(aq_manner){ .why = true },
                                   (aq_sink){ print, stdout }, NULL);
    return AQ_UNKNOWN_NAME;
}

static int names(void)
{
    for (size_t i = 0; i < sizeof samples / sizeof *samples; i++)
        puts(samples[i].name);
    return 0;
}

int main(int count, char **words)
{
    if (count != 3)
        return count == 1 ? names() : 2;
    const aq_renderer *renderer = aq_renderer_find(words[1]);
    aq_arena *arena = aq_arena_new(0);
    aq_status status = AQ_UNKNOWN_NAME;
    if (arena && strcmp(words[1], "schema") == 0)
        status = schema(words[2]);
    else if (arena && renderer)
        status = sample(arena, renderer, words[2]);
    aq_arena_free(arena);
    return status == AQ_OK ? 0 : 1;
}
