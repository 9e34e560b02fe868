/* How much longer a program takes than one that does nothing: both are started in turn, many times, with posix_spawn.
 *
 *     spawn TURNS EMPTY PROGRAM [WORD]...
 *
 * prints a line for each tenth of the turns: of EMPTY and of PROGRAM the time that a quarter of the turns stayed below, in
 * milliseconds, for on a busy machine most of the longer ones were interrupted. The words go to PROGRAM; what it prints is
 * thrown away. */
#define _POSIX_C_SOURCE 200809L
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <time.h>

enum { GROUPS = 10, TURNS_MOST = 1000 };

extern char **environ;

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

/* From the start to the end that its parent sees; negative where it failed. */
static double time_of(char **words, const posix_spawn_file_actions_t *actions)
{
    double begun = now();
    int status;
    pid_t child;

    if (posix_spawn(&child, words[0], actions, NULL, words, environ) != 0 || waitpid(child, &status, 0) < 0)
        return -1;
    return WIFEXITED(status) && WEXITSTATUS(status) <= 1 ? now() - begun : -1;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double lower_quartile(double *times, size_t count)
{
    qsort(times, count, sizeof *times, compare);
    return times[count / 4];
}

int main(int count, char **words)
{
    static double empty[TURNS_MOST], program[TURNS_MOST];
    size_t turns = count > 3 ? strtoul(words[1], NULL, 10) / GROUPS : 0;
    char *nothing[] = { count > 3 ? words[2] : NULL, NULL };
    posix_spawn_file_actions_t actions;

    if (turns < 1 || turns > TURNS_MOST || posix_spawn_file_actions_init(&actions) != 0)
        return 2;
    posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
    for (int group = 0; group < GROUPS; group++) {
        for (size_t i = 0; i < turns; i++) {
            empty[i] = time_of(nothing, &actions);
            program[i] = time_of(words + 3, &actions);
            if (empty[i] < 0 || program[i] < 0)
                return 1;
        }
        printf("%.4f %.4f\n", lower_quartile(empty, turns), lower_quartile(program, turns));
    }
    posix_spawn_file_actions_destroy(&actions);
    return 0;
}
