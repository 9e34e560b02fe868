/* A VFS of SQLite that passes every call on to the machine's own, and fails one of them when told to.
 *
 * Each call that can fail is counted; the one whose turn it is gives the failure of its sort, once. A lock that is busy and
 * a disk that is full fail only what can be so. A short write leaves half of its bytes behind first. */
#ifndef FAILING_H
#define FAILING_H

#include <sqlite3.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

typedef enum { FAIL_IO, FAIL_FULL, FAIL_BUSY, FAIL_SHORT, FAIL_SORTS } failing_sort;
static const char *const failing_words[FAIL_SORTS] = { "I/O error", "full disk", "busy lock", "short write" };

static struct {
    long turn; /* of the call that fails, from 0; below 0: none */
    long calls;
    failing_sort sort;
    bool failed; /* it had its turn */
    long open;   /* files that were opened and not closed */
    long adrift; /* writes that no sync of their file has followed */
    sqlite3_vfs *machine;
} failing = { .turn = -1 };

/* What a call can fail with: 0, where it cannot in that way. */
typedef struct {
    int of[FAIL_SORTS];
} failing_codes;

static inline int failing_now(failing_codes codes)
{
    int code = codes.of[failing.sort];

    if (failing.turn < 0 || failing.failed || !code || failing.calls++ != failing.turn)
        return SQLITE_OK;
    failing.failed = true;
    return code;
}

#define FAILS(...)                                                                                           \
    do {                                                                                                     \
        int fault = failing_now((failing_codes){ { __VA_ARGS__ } });                                         \
        if (fault)                                                                                           \
            return fault;                                                                                    \
    } while (0)

typedef struct {
    sqlite3_file base;
    sqlite3_file *real;
    long adrift;
} failing_file;

static inline sqlite3_file *real_of(sqlite3_file *file)
{
    return ((failing_file *)file)->real;
}

/* ---- a file ---- */

static int failing_close(sqlite3_file *file)
{
    int code = real_of(file)->pMethods->xClose(real_of(file));

    free(real_of(file));
    failing.open--;
    FAILS(SQLITE_IOERR_CLOSE, 0, 0, 0);
    return code;
}

static int failing_read(sqlite3_file *file, void *to, int count, sqlite3_int64 at)
{
    FAILS(SQLITE_IOERR_READ, 0, 0, 0);
    return real_of(file)->pMethods->xRead(real_of(file), to, count, at);
}

static int failing_write(sqlite3_file *file, const void *from, int count, sqlite3_int64 at)
{
    int code = failing_now((failing_codes){ { SQLITE_IOERR_WRITE, SQLITE_FULL, 0, SQLITE_IOERR_WRITE } });

    if (code && failing.sort == FAIL_SHORT)
        real_of(file)->pMethods->xWrite(real_of(file), from, count / 2, at);
    ((failing_file *)file)->adrift++;
    failing.adrift++;
    return code ? code : real_of(file)->pMethods->xWrite(real_of(file), from, count, at);
}

static int failing_truncate(sqlite3_file *file, sqlite3_int64 size)
{
    FAILS(SQLITE_IOERR_TRUNCATE, SQLITE_FULL, 0, 0);
    return real_of(file)->pMethods->xTruncate(real_of(file), size);
}

static int failing_sync(sqlite3_file *file, int flags)
{
    FAILS(SQLITE_IOERR_FSYNC, SQLITE_FULL, 0, 0);
    (void)flags;
    failing.adrift -= ((failing_file *)file)->adrift;
    ((failing_file *)file)->adrift = 0;
    return SQLITE_OK; /* no power is cut here, and waiting for the disk would take most of the test's time */
}

static int failing_size(sqlite3_file *file, sqlite3_int64 *size)
{
    FAILS(SQLITE_IOERR_FSTAT, 0, 0, 0);
    return real_of(file)->pMethods->xFileSize(real_of(file), size);
}

static int failing_lock(sqlite3_file *file, int level)
{
    FAILS(SQLITE_IOERR_LOCK, 0, SQLITE_BUSY, 0);
    return real_of(file)->pMethods->xLock(real_of(file), level);
}

static int failing_unlock(sqlite3_file *file, int level)
{
    int code = real_of(file)->pMethods->xUnlock(real_of(file), level);

    FAILS(SQLITE_IOERR_UNLOCK, 0, 0, 0);
    return code;
}

static int failing_reserved(sqlite3_file *file, int *out)
{
    FAILS(SQLITE_IOERR_CHECKRESERVEDLOCK, 0, 0, 0);
    return real_of(file)->pMethods->xCheckReservedLock(real_of(file), out);
}

static int failing_control(sqlite3_file *file, int what, void *about)
{
    return real_of(file)->pMethods->xFileControl(real_of(file), what, about);
}

static int failing_sector(sqlite3_file *file)
{
    return real_of(file)->pMethods->xSectorSize(real_of(file));
}

static int failing_traits(sqlite3_file *file)
{
    return real_of(file)->pMethods->xDeviceCharacteristics(real_of(file));
}

static int failing_shm_map(sqlite3_file *file, int page, int size, int extend, void volatile **out)
{
    FAILS(SQLITE_IOERR_SHMMAP, SQLITE_FULL, 0, 0);
    return real_of(file)->pMethods->xShmMap(real_of(file), page, size, extend, out);
}

static int failing_shm_lock(sqlite3_file *file, int at, int count, int flags)
{
    if (flags & SQLITE_SHM_LOCK)
        FAILS(SQLITE_IOERR_SHMLOCK, 0, SQLITE_BUSY, 0);
    return real_of(file)->pMethods->xShmLock(real_of(file), at, count, flags);
}

static void failing_shm_barrier(sqlite3_file *file)
{
    real_of(file)->pMethods->xShmBarrier(real_of(file));
}

static int failing_shm_unmap(sqlite3_file *file, int remove)
{
    return real_of(file)->pMethods->xShmUnmap(real_of(file), remove);
}

static const sqlite3_io_methods failing_methods = {
    .iVersion = 2,
    .xClose = failing_close,
    .xRead = failing_read,
    .xWrite = failing_write,
    .xTruncate = failing_truncate,
    .xSync = failing_sync,
    .xFileSize = failing_size,
    .xLock = failing_lock,
    .xUnlock = failing_unlock,
    .xCheckReservedLock = failing_reserved,
    .xFileControl = failing_control,
    .xSectorSize = failing_sector,
    .xDeviceCharacteristics = failing_traits,
    .xShmMap = failing_shm_map,
    .xShmLock = failing_shm_lock,
    .xShmBarrier = failing_shm_barrier,
    .xShmUnmap = failing_shm_unmap,
};

/* ---- the machine ---- */

static int failing_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *out)
{
    failing_file *wrapped = (failing_file *)file;
    int code;

    (void)vfs;
    wrapped->base.pMethods = NULL;
    wrapped->adrift = 0;
    FAILS(SQLITE_CANTOPEN, SQLITE_FULL, 0, 0);
    wrapped->real = calloc(1, (size_t)failing.machine->szOsFile);
    if (!wrapped->real)
        return SQLITE_NOMEM;
    code = failing.machine->xOpen(failing.machine, name, wrapped->real, flags, out);
    if (!wrapped->real->pMethods) {
        free(wrapped->real);
        return code;
    }
    wrapped->base.pMethods = &failing_methods;
    failing.open++;
    return code;
}

static int failing_delete(sqlite3_vfs *vfs, const char *name, int sync)
{
    (void)vfs;
    FAILS(SQLITE_IOERR_DELETE, 0, 0, 0);
    return failing.machine->xDelete(failing.machine, name, sync);
}

static int failing_access(sqlite3_vfs *vfs, const char *name, int flags, int *out)
{
    (void)vfs;
    FAILS(SQLITE_IOERR_ACCESS, 0, 0, 0);
    return failing.machine->xAccess(failing.machine, name, flags, out);
}

static int failing_path(sqlite3_vfs *vfs, const char *name, int room, char *out)
{
    (void)vfs;
    FAILS(SQLITE_CANTOPEN_FULLPATH, 0, 0, 0);
    return failing.machine->xFullPathname(failing.machine, name, room, out);
}

/* Nobody else is at work, so who waits for a lock need not wait long. */
static int failing_sleep(sqlite3_vfs *vfs, int microseconds)
{
    (void)vfs;
    return microseconds;
}

static sqlite3_vfs failing_vfs;

/* From now on every file of SQLite is opened through here. */
static inline int failing_begin(void)
{
    failing.machine = sqlite3_vfs_find(NULL);
    failing_vfs = *failing.machine;
    failing_vfs.zName = "failing";
    failing_vfs.szOsFile = (int)sizeof(failing_file);
    failing_vfs.pNext = NULL;
    failing_vfs.xOpen = failing_open;
    failing_vfs.xDelete = failing_delete;
    failing_vfs.xAccess = failing_access;
    failing_vfs.xFullPathname = failing_path;
    failing_vfs.xSleep = failing_sleep;
    return sqlite3_vfs_register(&failing_vfs, 1);
}

static inline int failing_end(void)
{
    return sqlite3_vfs_unregister(&failing_vfs);
}

#endif
