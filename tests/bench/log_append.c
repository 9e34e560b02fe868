/* How long a log takes to keep one more entry, and the disk by itself to keep as many bytes: both in turn, many times.
 *
 *     log_append LOG PLAIN TURNS
 *
 * LOG is there already, and stays open, as in a program that runs on; PLAIN is made beside it. Prints a line for each turn:
 * nanoseconds of one aq_log_add, those of a write and fsync of the bytes by which its write-ahead log grew, and how many
 * they were. */
#define _POSIX_C_SOURCE 200809L
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include <aliquot.h>

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static long size_of(const char *path)
{
    struct stat found;

    return stat(path, &found) == 0 ? (long)found.st_size : 0;
}

static aq_entry mix(int turn)
{
    static aq_named_amount poured[2];
    aq_entry entry = { .kind = AQ_ENTRY_MIX,
                       .at = { { 2027, 1 + turn / 28 % 12, 1 + turn % 28 }, turn % 1440 },
                       .reservoir = "T0",
                       .who = "Nell",
                       .volume = aq_quantity_of(12, AQ_KIND_VOLUME),
                       .water_ec = aq_quantity_of(0.32, AQ_KIND_EC),
                       .ec_after = aq_quantity_of(1.1, AQ_KIND_EC) };

    poured[0] = (aq_named_amount){ .name = "A", .amount = aq_quantity_of(0.024, AQ_KIND_VOLUME) };
    poured[1] = (aq_named_amount){ .name = "B", .amount = aq_quantity_of(0.024, AQ_KIND_VOLUME) };
    entry.poured.at = poured;
    entry.poured.count = entry.poured.room = 2;
    return entry;
}

static bool write_plain(int file, size_t count)
{
    static char bytes[1 << 20];

    return write(file, bytes, count < sizeof bytes ? count : sizeof bytes) >= 0 && fsync(file) == 0;
}

/* The write-ahead log begins anew when it was written back; a turn that does so is known by no growth. */
static bool measure(aq_log *log, const char *ahead, int plain, int turn)
{
    aq_entry entry = mix(turn);
    aq_error err = { .status = AQ_OK };
    long before = size_of(ahead), grown;
    double begun = now(), added, alone;

    if (aq_log_add(log, &entry, &err) != AQ_OK) {
        fprintf(stderr, "%s\n", err.text);
        return false;
    }
    added = now() - begun;
    grown = size_of(ahead) - before;
    if (grown <= 0)
        return true;
    begun = now();
    if (!write_plain(plain, (size_t)grown))
        return false;
    alone = now() - begun;
    printf("%ld %ld %ld\n", (long)(added * 1e6), (long)(alone * 1e6), grown);
    return true;
}

int main(int count, char **words)
{
    aq_error err = { .status = AQ_OK };
    aq_log *log = NULL;
    char ahead[4096];
    int plain = count == 4 ? open(words[2], O_WRONLY | O_CREAT | O_APPEND, 0644) : -1;
    bool fine = plain >= 0 && aq_log_open(&log, words[1], AQ_LOG_WRITE, &err) == AQ_OK;

    if (fine)
        snprintf(ahead, sizeof ahead, "%s-wal", words[1]);
    for (int turn = 0; fine && turn < atoi(words[3]); turn++)
        fine = measure(log, ahead, plain, turn);
    aq_log_close(log);
    if (!fine)
        fprintf(stderr, "log_append: %s\n", err.text);
    return fine ? 0 : 1;
}
