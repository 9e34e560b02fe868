#include "progress.h"

#include <errno.h>
#include <signal.h>
#include <stdbool.h>
#include <string.h>
#include <unistd.h>

enum { ROOM = 100 };

/* What the handler of the clock may touch: texts that stand, and numbers that are written in one piece. */
static const char *title, *counted;
static volatile sig_atomic_t done, seconds, shown;

typedef struct {
    char text[ROOM];
    size_t length;
} sentence;

static void put(sentence *s, const char *text)
{
    size_t length = strlen(text);

    if (length > ROOM - s->length)
        length = ROOM - s->length;
    memcpy(s->text + s->length, text, length);
    s->length += length;
}

static void put_number(sentence *s, int number)
{
    char digits[24], *at = digits + sizeof digits - 1;

    *at = '\0';
    do
        *--at = (char)('0' + number % 10);
    while (number /= 10);
    put(s, at);
}

/* Only calls that POSIX allows in a handler. A terminal that is gone is no fault of the work. */
static void show(int number)
{
    int kept = errno;
    sentence s = { .length = 0 };

    (void)number;
    seconds++;
    put(&s, "\r");
    put(&s, title);
    if (counted) {
        put_number(&s, done);
        put(&s, counted);
        put(&s, ", ");
    }
    put_number(&s, seconds);
    put(&s, " s ");
    shown = write(STDERR_FILENO, s.text, s.length) > 0;
    alarm(1);
    errno = kept;
}

void cli_progress_begin(const char *before, const char *after)
{
    struct sigaction action = { .sa_handler = show, .sa_flags = SA_RESTART };

    if (!isatty(STDERR_FILENO))
        return;
    title = before;
    counted = after;
    done = seconds = shown = 0;
    sigemptyset(&action.sa_mask);
    if (sigaction(SIGALRM, &action, NULL) == 0)
        alarm(1);
}

void cli_progress_count(size_t so_far)
{
    done = (int)(so_far & 0x7fffffff);
}

void cli_progress_end(void)
{
    static const char wiped[] = "\r                                                            \r";

    alarm(0);
    if (shown && write(STDERR_FILENO, wiped, sizeof wiped - 1) < 0)
        return;
    shown = 0;
}
