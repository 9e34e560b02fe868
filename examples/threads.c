/* Many sheets at once: each thread has an arena, complaints and a buffer of its own, and the library's tables are all
 * they share. Nothing is locked, for nothing in the library changes.
 *
 *     cc threads.c $(pkg-config --cflags --libs aliquot) -pthread -o threads && ./threads 4 1000
 *
 * works out 1000 mixes on 4 threads, then on one, and says whether every sheet came out alike. */
#include <aliquot.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { THREADS_MOST = 64, QUESTIONS_MOST = 100000 };

/* What one thread works on: every n-th question from `first` on. */
typedef struct {
    size_t first, step, count;
    aq_buffer *answers; /* of all questions; this thread writes to its own ones */
    aq_status status;
} share;

/* The question, as a command line would have it. */
static aq_status ask(aq_node **out, aq_arena *arena, size_t which, aq_error *err)
{
    const char *text =
        aq_arena_format(arena,
                        "{volume: %zu L, water: {ec: 0.25 mS/cm, analysis: {Ca: %zu mg/L, Mg: 8 mg/L}}, "
                        "ec: 1.%zu mS/cm, together: {parts: {Part A: 1, Part B: 1}, "
                        "ec: 0.40 mS/cm per mL/L}}",
                        10 + which % 190, 20 + which % 40, 1 + which % 9);

    return text ? aq_node_yaml(out, arena, text, strlen(text), "question", err) : AQ_NO_MEMORY;
}

static aq_status answer(aq_buffer *out, aq_arena *arena, size_t which)
{
    aq_setting setting = { .today = { { 2026, 3, 2 }, 8 * 60 } };
    aq_manner manner = { .compact = true };
    aq_complaints complaints = { .count = 0 };
    aq_error err = { .status = AQ_OK };
    aq_node *question = NULL;
    aq_sheet *sheet = NULL;
    aq_status status = ask(&question, arena, which, &err);

    if (status == AQ_OK)
        status = aq_job_answer(&sheet, arena, aq_job_find("mix"), question, &setting, &complaints);
    if (status == AQ_OK)
        status = aq_render_json(sheet, &manner, aq_buffer_sink(out), &err);
    return status;
}

static void *work(void *given)
{
    share *mine = given;
    aq_arena *arena = aq_arena_new(0);

    mine->status = arena ? AQ_OK : AQ_NO_MEMORY;
    for (size_t i = mine->first; mine->status == AQ_OK && i < mine->count; i += mine->step) {
        aq_arena_reset(arena);
        mine->status = answer(&mine->answers[i], arena, i);
    }
    aq_arena_free(arena);
    return NULL;
}

static aq_status work_out(aq_buffer *answers, size_t count, size_t threads)
{
    pthread_t thread[THREADS_MOST];
    share shares[THREADS_MOST];
    size_t begun = 0;
    aq_status status = AQ_OK;

    for (; begun < threads; begun++) {
        shares[begun] = (share){ begun, threads, count, answers, AQ_OK };
        if (pthread_create(&thread[begun], NULL, work, &shares[begun]) != 0)
            break;
    }
    if (begun < threads)
        status = AQ_NO_MEMORY;
    for (size_t i = 0; i < begun; i++) {
        pthread_join(thread[i], NULL);
        status = status == AQ_OK ? shares[i].status : status;
    }
    return status;
}

static size_t count_different(const aq_buffer *many, const aq_buffer *one, size_t count)
{
    size_t different = 0;

    for (size_t i = 0; i < count; i++)
        different += many[i].length != one[i].length || many[i].failed || one[i].failed ||
                     strcmp(aq_buffer_chars(&many[i]), aq_buffer_chars(&one[i])) != 0;
    return different;
}

/* A number from 1 to `most`; 0 where none is given. */
static size_t number(const char *word, size_t most)
{
    char *end;
    long value = strtol(word, &end, 10);

    return *word && !*end && value > 0 && (size_t)value <= most ? (size_t)value : 0;
}

int main(int count, char **words)
{
    size_t threads = count > 1 ? number(words[1], THREADS_MOST) : 4;
    size_t questions = count > 2 ? number(words[2], QUESTIONS_MOST) : 1000;
    aq_buffer *many = calloc(questions + 1, sizeof *many), *one = calloc(questions + 1, sizeof *one);
    aq_status status = many && one ? AQ_OK : AQ_NO_MEMORY;
    size_t different = 0;

    if (!threads || !questions) {
        fprintf(stderr, "threads [1 to %d threads] [1 to %d mixes]\n", THREADS_MOST, QUESTIONS_MOST);
        free(many);
        free(one);
        return 2;
    }
    if (status == AQ_OK)
        status = work_out(many, questions, threads);
    if (status == AQ_OK)
        status = work_out(one, questions, 1);
    if (status == AQ_OK) {
        different = count_different(many, one, questions);
        printf("%zu mixes on %zu threads: %zu differ\n", questions, threads, different);
    } else {
        fprintf(stderr, "%s\n", aq_status_text(status));
    }
    for (size_t i = 0; many && one && i < questions; i++) {
        aq_buffer_free(&many[i]);
        aq_buffer_free(&one[i]);
    }
    free(many);
    free(one);
    return status != AQ_OK || different;
}
