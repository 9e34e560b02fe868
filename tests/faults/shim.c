/* Linked with the program, in front of the C library: makes one call fail, once.
 *
 *     FAULT=write:2:ENOSPC     the second write fails so (counted from 1); SHORT: it does one byte of what was asked;
 *                              KILL: the program is killed before it
 *     FAULT_MARK=4             this descriptor gets a byte when the call was reached
 *
 * Calls that begin with the same word are counted together: write, writev and pwrite64 are all "write". Reading and
 * writing of descriptors 0 to 2 counts too, but for standard error, on which the program complains. A file that was
 * opened to be written, and not read, has calls of its own: "write-written" and "close-written". */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

enum { NONE = 0, SHORT = -1, KILL = -2, FILES_MOST = 1024 };

static int seen;
static bool written[FILES_MOST]; /* of each descriptor, whether it is open for writing alone */

static int code_of(const char *word)
{
    static const struct {
        const char *word;
        int code;
    } codes[] = { { "EIO", EIO },       { "ENOSPC", ENOSPC }, { "EINTR", EINTR }, { "EPIPE", EPIPE },
                  { "EACCES", EACCES }, { "EMFILE", EMFILE }, { "SHORT", SHORT }, { "KILL", KILL } };

    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++)
        if (strcmp(codes[i].word, word) == 0)
            return codes[i].code;
    return NONE;
}

/* What becomes of this call. */
static int fault(const char *call)
{
    const char *wanted = getenv("FAULT"), *mark = getenv("FAULT_MARK"),
               *colon = wanted ? strchr(wanted, ':') : NULL;
    char *rest;

    if (!colon || strlen(call) != (size_t)(colon - wanted) || strncmp(wanted, call, strlen(call)) != 0)
        return NONE;
    if (++seen != (int)strtol(colon + 1, &rest, 10) || *rest != ':')
        return NONE;
    if (mark)
        syscall(SYS_write, atoi(mark), "!", (size_t)1);
    if (code_of(rest + 1) == KILL)
        raise(SIGKILL);
    return code_of(rest + 1);
}

/* The file as it was opened, remembered. */
static int opened(int file, bool to_write)
{
    if (file >= 0 && file < FILES_MOST)
        written[file] = to_write;
    return file;
}

static bool is_written(int file)
{
    return file >= 0 && file < FILES_MOST && written[file];
}

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))
#define FAIL_OR_SHORTEN(call, count)                                                                         \
    do {                                                                                                     \
        int what = fault(call);                                                                              \
        if (what > 0) {                                                                                      \
            errno = what;                                                                                    \
            return -1;                                                                                       \
        }                                                                                                    \
        if (what == SHORT && (count) > 1)                                                                    \
            (count) = 1;                                                                                     \
    } while (0)
#define FAIL(call)                                                                                           \
    do {                                                                                                     \
        int what = fault(call);                                                                              \
        if (what > 0) {                                                                                      \
            errno = what;                                                                                    \
            return -1;                                                                                       \
        }                                                                                                    \
    } while (0)

ssize_t read(int file, void *bytes, size_t count)
{
    FAIL_OR_SHORTEN("read", count);
    return REAL(read)(file, bytes, count);
}

/* What a build with fortified sources calls instead. */
ssize_t __read_chk(int file, void *bytes, size_t count, size_t room);
ssize_t __read_chk(int file, void *bytes, size_t count, size_t room)
{
    (void)room;
    return read(file, bytes, count);
}

ssize_t pread64(int file, void *bytes, size_t count, off64_t at)
{
    FAIL_OR_SHORTEN("read", count);
    return REAL(pread64)(file, bytes, count, at);
}

ssize_t write(int file, const void *bytes, size_t count)
{
    if (file != STDERR_FILENO)
        FAIL_OR_SHORTEN(is_written(file) ? "write-written" : "write", count);
    return REAL(write)(file, bytes, count);
}

ssize_t pwrite64(int file, const void *bytes, size_t count, off64_t at)
{
    FAIL_OR_SHORTEN("write", count);
    return REAL(pwrite64)(file, bytes, count, at);
}

int fsync(int file)
{
    FAIL("fsync");
    return REAL(fsync)(file);
}

int fdatasync(int file)
{
    FAIL("fsync");
    return REAL(fdatasync)(file);
}

int ftruncate64(int file, off64_t length)
{
    FAIL("ftruncate");
    return REAL(ftruncate64)(file, length);
}

int fchmod(int file, mode_t mode)
{
    FAIL("fchmod");
    return REAL(fchmod)(file, mode);
}

int rename(const char *from, const char *to)
{
    FAIL("rename");
    return REAL(rename)(from, to);
}

int close(int file)
{
    int what = fault(is_written(file) ? "close-written" : "close"), done = REAL(close)(file);

    opened(file, false);
    if (what <= 0)
        return done;
    errno = what;
    return -1;
}

int open64(const char *path, int flags, ...)
{
    va_list more;
    mode_t mode;

    va_start(more, flags);
    mode = flags & (O_CREAT | O_TMPFILE) ? (mode_t)va_arg(more, int) : 0;
    va_end(more);
    FAIL("open");
    return opened(REAL(open64)(path, flags, mode), (flags & O_ACCMODE) == O_WRONLY);
}

int open(const char *path, int flags, ...)
{
    va_list more;
    mode_t mode;

    va_start(more, flags);
    mode = flags & (O_CREAT | O_TMPFILE) ? (mode_t)va_arg(more, int) : 0;
    va_end(more);
    FAIL("open");
    return opened(REAL(open64)(path, flags, mode), (flags & O_ACCMODE) == O_WRONLY);
}

int mkstemp64(char *name)
{
    FAIL("mkstemp");
    return opened(REAL(mkstemp64)(name), true);
}

int mkstemp(char *name)
{
    return mkstemp64(name);
}
