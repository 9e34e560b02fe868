/* Reading with a ceiling, writing with a rename. */
#include "files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const aq_place nowhere = { 0 };

static aq_status cannot_read(const char *name, aq_error *err)
{
    return aq_fail(err, AQ_READ_FAILED, nowhere, "%s: %s", name, strerror(errno));
}

/* Reads to the end or to one byte beyond the ceiling. -1: it failed. */
static ssize_t read_all(int file, char *bytes, size_t room)
{
    size_t length = 0;

    while (length < room) {
        ssize_t got = read(file, bytes + length, room - length);

        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return -1;
        if (got == 0)
            break;
        length += (size_t)got;
    }
    return (ssize_t)length;
}

/* A document is some kilobytes; only standard input needs the whole ceiling from the start. */
static size_t room_for(const struct stat *about, size_t most)
{
    return S_ISREG(about->st_mode) && (size_t)about->st_size <= most ? (size_t)about->st_size + 1 : most + 1;
}

static aq_status check_bytes(const char *bytes, ssize_t length, const char *name, size_t most, aq_error *err)
{
    if (length < 0)
        return cannot_read(name, err);
    if ((size_t)length > most)
        return aq_fail(err, AQ_TOO_LARGE, nowhere, "%s: larger than %zu MiB, which no %s is", name,
                       most >> 20, most > AQ_DOCUMENT_BYTES ? "calendar of ours" : "recipe and no site");
    if (length == 0)
        return aq_fail(err, AQ_MISSING, nowhere, "%s: the file is empty", name);
    if (memchr(bytes, '\0', (size_t)length))
        return aq_fail(err, AQ_SYNTAX, nowhere, "%s: not a text: it holds a zero byte", name);
    return AQ_OK;
}

static aq_status read_open(aq_file *out, aq_arena *arena, int file, const char *name, size_t most,
                           aq_error *err)
{
    struct stat about;
    char *bytes;
    ssize_t length;
    aq_status status;

    if (fstat(file, &about) != 0)
        return cannot_read(name, err);
    if (S_ISDIR(about.st_mode))
        return aq_fail(err, AQ_READ_FAILED, nowhere, "%s: is a folder; a file is wanted", name);
    bytes = aq_arena_take(arena, room_for(&about, most) + 1);
    if (!bytes)
        return AQ_NO_MEMORY;
    length = read_all(file, bytes, room_for(&about, most));
    status = check_bytes(bytes, length, name, most, err);
    if (status == AQ_OK)
        *out = (aq_file){ name, bytes, (size_t)length };
    return status;
}

aq_status cli_file_read(aq_file *out, aq_arena *arena, const char *path, const char *name, aq_error *err)
{
    return cli_file_read_most(out, arena, path, name, AQ_DOCUMENT_BYTES, err);
}

aq_status cli_file_read_most(aq_file *out, aq_arena *arena, const char *path, const char *name, size_t most,
                             aq_error *err)
{
    bool standard = strcmp(path, "-") == 0;
    int file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    aq_status status;

    *out = (aq_file){ 0 };
    if (file < 0)
        return cannot_read(name, err);
    status = read_open(out, arena, file, name, most, err);
    if (!standard)
        close(file);
    return status;
}

static bool write_all(int file, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t put = write(file, bytes, length);

        if (put < 0 && errno == EINTR)
            continue;
        if (put <= 0)
            return false;
        bytes += put;
        length -= (size_t)put;
    }
    return true;
}

/* The rename is on the disk only when the folder is. */
static bool settle_folder(const char *path)
{
    char *copy = strdup(path), *slash = copy ? strrchr(copy, '/') : NULL;
    int folder;
    bool settled;

    if (slash)
        slash[slash == copy] = '\0';
    folder = copy ? open(slash ? copy : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    settled = folder >= 0 && fsync(folder) == 0;
    if (folder >= 0)
        close(folder);
    free(copy);
    return settled;
}

/* Permissions of a new file follow the umask, those of an old one stay. */
static mode_t mode_for(const char *path)
{
    struct stat about;
    mode_t mask = umask(0);

    umask(mask);
    return stat(path, &about) == 0 ? about.st_mode & 0777 : 0666 & ~mask;
}

static bool write_beside(const char *path, char *beside, const char *bytes, size_t length)
{
    int file = mkstemp(beside);
    bool written =
        file >= 0 && write_all(file, bytes, length) && fchmod(file, mode_for(path)) == 0 && fsync(file) == 0;
    int why = errno;

    if (file >= 0 && close(file) != 0)
        written = false;
    if (written && rename(beside, path) == 0)
        return settle_folder(path);
    if (written)
        why = errno;
    if (file >= 0)
        unlink(beside);
    errno = why;
    return false;
}

aq_status cli_file_write(const char *path, const char *bytes, size_t length, aq_error *err)
{
    static const char ending[] = ".XXXXXX";
    size_t room = strlen(path) + sizeof ending;
    char *beside = malloc(room);
    aq_status status = AQ_OK;

    if (!beside)
        return AQ_NO_MEMORY;
    snprintf(beside, room, "%s%s", path, ending);
    if (!write_beside(path, beside, bytes, length))
        status = aq_fail(err, AQ_WRITE_FAILED, nowhere, "%s: %s", path, strerror(errno));
    free(beside);
    return status;
}

aq_status cli_file_begin(const char *path, const char *bytes, size_t length, aq_error *err)
{
    int file = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    bool written;
    int why;

    if (file < 0 && errno == EEXIST)
        return aq_fail(err, AQ_CONFLICT, nowhere, "%s is there already, and nothing is written over it",
                       path);
    if (file < 0)
        return aq_fail(err, AQ_WRITE_FAILED, nowhere, "%s: %s", path, strerror(errno));
    written = write_all(file, bytes, length) && fsync(file) == 0;
    why = errno;
    if (close(file) == 0 && written)
        return AQ_OK;
    unlink(path);
    return aq_fail(err, AQ_WRITE_FAILED, nowhere, "%s: %s", path, strerror(written ? errno : why));
}

aq_status cli_print(const char *bytes, size_t length, aq_error *err)
{
    if (write_all(STDOUT_FILENO, bytes, length))
        return AQ_OK;
    return aq_fail(err, AQ_WRITE_FAILED, nowhere, "standard output: %s", strerror(errno));
}
