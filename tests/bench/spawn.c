/* How much longer a program takes than one that does nothing: both are started in turn, many times, with posix_spawn.
 *
 *     spawn TURNS EMPTY PROGRAM [WORD]...
 *
 * prints a line for each tenth of the turns, in milliseconds: of EMPTY and of PROGRAM the time from the start to the end
 * that its parent sees, then of both the processor's time. Each is what a quarter of the turns stayed below, for on a busy
 * machine most of the longer ones were interrupted; the processor's time leaves out what others took. The words go to
 * PROGRAM; what it prints is thrown away. */
#define _DEFAULT_SOURCE /* wait4 */
#include <fcntl.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
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

typedef struct {
    double wall, processor;
} times;

static double milliseconds(struct timeval t)
{
    return (double)t.tv_sec * 1e3 + (double)t.tv_usec / 1e3;
}

static bool measure(char **words, const posix_spawn_file_actions_t *actions, times *took)
{
    struct rusage used;
    double begun = now();
    int status;
    pid_t child;

    if (posix_spawn(&child, words[0], actions, NULL, words, environ) != 0 ||
        wait4(child, &status, 0, &used) < 0)
        return false;
    took->wall = now() - begun;
    took->processor = milliseconds(used.ru_utime) + milliseconds(used.ru_stime);
    return WIFEXITED(status) && WEXITSTATUS(status) <= 1;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double lower_quartile(double *values, size_t count)
{
    qsort(values, count, sizeof *values, compare);
    return values[count / 4];
}

static times quartiles(const times *all, size_t count)
{
    static double values[TURNS_MOST];
    times found;

    for (size_t i = 0; i < count; i++)
        values[i] = all[i].wall;
    found.wall = lower_quartile(values, count);
    for (size_t i = 0; i < count; i++)
        values[i] = all[i].processor;
    found.processor = lower_quartile(values, count);
    return found;
}

int main(int count, char **words)
{
    static times empty[TURNS_MOST], program[TURNS_MOST];
    size_t turns = count > 3 ? strtoul(words[1], NULL, 10) / GROUPS : 0;
    char *nothing[] = { count > 3 ? words[2] : NULL, NULL };
    posix_spawn_file_actions_t actions;

    if (turns < 1 || turns > TURNS_MOST || posix_spawn_file_actions_init(&actions) != 0)
        return 2;
    posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
    for (int group = 0; group < GROUPS; group++) {
        times one, other;

        for (size_t i = 0; i < turns; i++)
            if (!measure(nothing, &actions, &empty[i]) || !measure(words + 3, &actions, &program[i]))
                return 1;
        one = quartiles(empty, turns);
        other = quartiles(program, turns);
        printf("%.4f %.4f %.4f %.4f\n", one.wall, other.wall, one.processor, other.processor);
    }
    posix_spawn_file_actions_destroy(&actions);
    return 0;
}
