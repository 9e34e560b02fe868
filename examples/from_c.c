/* The library from a program of one's own: one question, one sheet, printed as text.
 *
 *     cc from_c.c $(pkg-config --cflags --libs aliquot) -o from_c && ./from_c */
#include <aliquot.h>
#include <stdio.h>
#include <string.h>

static const char question[] = "{volume: 30 L, water-ec: 0.25 mS/cm, ec: 1.5 mS/cm, "
                               "together: {parts: {Part A: 1, Part B: 1}, ec: 0.40 mS/cm per mL/L}}";

static bool to_stdout(void *to, const char *bytes, size_t count)
{
    return fwrite(bytes, 1, count, to) == count;
}

int main(void)
{
    aq_setting setting = { .today = { { 2026, 3, 2 }, 8 * 60 } }; /* the library has no clock */
    aq_manner manner = { .width = 46 };
    aq_sink sink = { to_stdout, stdout };
    aq_complaints complaints = { .count = 0 };
    aq_error err = { .status = AQ_OK };
    aq_arena *arena = aq_arena_new(0);
    aq_node *answers = NULL;
    aq_sheet *sheet = NULL;
    aq_status status = AQ_NO_MEMORY;

    if (arena)
        status = aq_node_yaml(&answers, arena, question, strlen(question), "question", &err);
    if (status == AQ_OK)
        status = aq_job_answer(&sheet, arena, aq_job_find("mix"), answers, &setting, &complaints);
    if (status == AQ_OK)
        status = aq_render_text(sheet, &manner, sink, &err);
    if (status != AQ_OK)
        fprintf(stderr, "%s\n", complaints.count ? complaints.at[0].text : aq_status_text(status));
    aq_arena_free(arena);
    return status != AQ_OK;
}
