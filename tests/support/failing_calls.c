/* Preloaded into the program under test: the n-th write, flush, open or renaming below one folder fails, as on a full
 * or dying disk, without mounting one. FAILING_CALL: write, fsync, open or rename; or sleep, and every sleep is over at
 * once. FAILING_AT: which call fails, from 1; FAILING_FROM=on: all later ones too. FAILING_BELOW: the folder.
 * FAILING_MARK: a file elsewhere that is made when the first one fails. */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

static long calls;

static bool is_below(const char *path) {
    const char *folder = getenv("FAILING_BELOW");
    return folder && strncmp(path, folder, strlen(folder)) == 0;
}

static bool holds(int file) {
    char link[64], path[PATH_MAX];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0)
        return false;
    path[length] = '\0';
    return is_below(path);
}

static bool fails(const char *call, bool concerned) {
    const char *wanted = getenv("FAILING_CALL"), *at = getenv("FAILING_AT"), *mark = getenv("FAILING_MARK");
    if (!wanted || !at || !mark || strcmp(wanted, call) != 0 || !concerned)
        return false;
    long which = strtol(at, NULL, 10);
    if (++calls < which || (calls > which && !getenv("FAILING_FROM")))
        return false;
    int file = (int)syscall(SYS_openat, AT_FDCWD, mark, O_WRONLY | O_CREAT | O_CLOEXEC, 0666);
    if (file >= 0)
        close(file);
    errno = strcmp(call, "fsync") == 0 ? EIO : ENOSPC;
    return true;
}

ssize_t write(int file, const void *bytes, size_t size) {
    return fails("write", holds(file)) ? -1 : syscall(SYS_write, file, bytes, size);
}

ssize_t pwrite64(int file, const void *bytes, size_t size, off64_t at) {
    return fails("write", holds(file)) ? -1 : syscall(SYS_pwrite64, file, bytes, size, at);
}

ssize_t pwrite(int file, const void *bytes, size_t size, off_t at) {
    return pwrite64(file, bytes, size, at);
}

int fsync(int file) {
    return fails("fsync", holds(file)) ? -1 : (int)syscall(SYS_fsync, file);
}

int fdatasync(int file) {
    return fails("fsync", holds(file)) ? -1 : (int)syscall(SYS_fdatasync, file);
}

/* Reading may fail on a dying disk too, and the original is opened to read. */
static int open_at(int folder, const char *path, int flags, va_list arguments) {
    mode_t mode = flags & (O_CREAT | __O_TMPFILE) ? va_arg(arguments, mode_t) : 0;
    return fails("open", is_below(path)) ? -1 : (int)syscall(SYS_openat, folder, path, flags, mode);
}

int open(const char *path, int flags, ...) {
    va_list arguments;
    va_start(arguments, flags);
    int file = open_at(AT_FDCWD, path, flags, arguments);
    va_end(arguments);
    return file;
}

int open64(const char *path, int flags, ...) {
    va_list arguments;
    va_start(arguments, flags);
    int file = open_at(AT_FDCWD, path, flags | O_LARGEFILE, arguments);
    va_end(arguments);
    return file;
}

int openat(int folder, const char *path, int flags, ...) {
    va_list arguments;
    va_start(arguments, flags);
    int file = open_at(folder, path, flags, arguments);
    va_end(arguments);
    return file;
}

int nanosleep(const struct timespec *wanted, struct timespec *left) {
    const char *call = getenv("FAILING_CALL");
    if (call && strcmp(call, "sleep") == 0)
        return 0;
    return (int)syscall(SYS_nanosleep, wanted, left);
}

int rename(const char *from, const char *to) {
    return fails("rename", is_below(to)) ? -1 : (int)syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0);
}

int renameat2(int from_folder, const char *from, int to_folder, const char *to, unsigned flags) {
    if (fails("rename", is_below(to)))
        return -1;
    return (int)syscall(SYS_renameat2, from_folder, from, to_folder, to, flags);
}
