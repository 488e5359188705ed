#include "base/unfinished.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include "base/memory.h"
#include "fieldfoci/unfinished.h"

enum { NAME_KEPT = 180, LETTERS = 6, WRITTEN_MOST = 16, DEPTH_MOST = 32 };

/* ---- removing, with calls that a signal handler may make: none of them allocates ---- */

static bool remove_at(int folder, const char *name, int depth);

/* One pass; how many entries went. */
static int remove_entries(int folder, int depth) {
    _Alignas(struct dirent64) char bytes[2048];
    int removed = 0;
    long got = 0;
    while ((got = syscall(SYS_getdents64, folder, bytes, sizeof bytes)) > 0)
        for (long at = 0; at < got;) {
            const struct dirent64 *entry = (const struct dirent64 *)(const void *)(bytes + at);
            if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0)
                removed += remove_at(folder, entry->d_name, depth);
            at += entry->d_reclen;
        }
    return removed;
}

static bool remove_at(int folder, const char *name, int depth) {
    if (unlinkat(folder, name, 0) == 0)
        return true;
    int inner = depth < DEPTH_MOST ? openat(folder, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC) : -1;
    if (inner < 0)
        return false;
    while (remove_entries(inner, depth + 1) > 0) /* what goes may shift what comes: from the beginning again */
        (void)lseek(inner, 0, SEEK_SET);
    close(inner);
    return unlinkat(folder, name, AT_REMOVEDIR) == 0;
}

/* ---- what is being written ---- */

/* A signal knows no context: with the test hook of memory.c the only mutable global. A path is there where `state` is
 * WRITTEN; whoever is first to move it from FREE has the place. */
enum { FREE, TAKEN, WRITTEN };
static struct {
    atomic_int state;
    char path[PATH_MAX];
} being_written[WRITTEN_MOST];

static bool remember_at(size_t i, int free_state, const char *path) {
    if (!atomic_compare_exchange_strong(&being_written[i].state, &free_state, TAKEN))
        return false;
    memcpy(being_written[i].path, path, strlen(path) + 1);
    atomic_store(&being_written[i].state, WRITTEN);
    return true;
}

/* Where no place is free, one is given up, in turn: a path that is left by a signal goes at the next run. */
static void remember(const char *path) {
    static atomic_uint turn;
    bool done = strlen(path) >= PATH_MAX;
    for (size_t i = 0; i < WRITTEN_MOST && !done; i++)
        done = remember_at(i, FREE, path);
    if (!done)
        (void)remember_at(atomic_fetch_add(&turn, 1) % WRITTEN_MOST, WRITTEN, path);
}

void foci_unfinished_forget(const char *path) {
    for (size_t i = 0; i < WRITTEN_MOST; i++)
        if (atomic_load(&being_written[i].state) == WRITTEN && strcmp(being_written[i].path, path) == 0)
            atomic_store(&being_written[i].state, FREE);
}

void foci_unfinished_remove(const char *path) {
    (void)remove_at(AT_FDCWD, path, 0);
    foci_unfinished_forget(path);
}

void foci_abandon_unfinished(void) {
    static const char journal[] = "-journal";
    for (size_t i = 0; i < WRITTEN_MOST; i++) {
        char *path = being_written[i].path;
        if (atomic_load(&being_written[i].state) != WRITTEN)
            continue;
        (void)remove_at(AT_FDCWD, path, 0);
        size_t length = strlen(path);
        if (length + sizeof journal <= PATH_MAX) {
            memcpy(path + length, journal, sizeof journal);
            (void)unlink(path);
        }
    }
}

/* ---- names ---- */

static uint32_t mix(uint32_t hash, const char *bytes, size_t size) { /* FNV-1a, 32 bits */
    for (size_t i = 0; i < size; i++)
        hash = (hash ^ (unsigned char)bytes[i]) * 16777619U;
    return hash;
}

/* Numbers of processes mean something on one machine, in one space of them: a shared folder is seen from others too. */
static uint32_t this_host(void) {
    char text[256] = "";
    uint32_t hash = 2166136261U;
    if (gethostname(text, sizeof text - 1) == 0)
        hash = mix(hash, text, strlen(text));
    ssize_t length = readlink("/proc/self/ns/pid", text, sizeof text);
    hash = length > 0 ? mix(hash, text, (size_t)length) : hash;
    int file = open("/etc/machine-id", O_RDONLY | O_CLOEXEC);
    length = file < 0 ? 0 : read(file, text, sizeof text);
    if (file >= 0)
        close(file);
    return length > 0 ? mix(hash, text, (size_t)length) : hash;
}

static bool make_letters(char letters[LETTERS + 1]) {
    static const char alphabet[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
    uint8_t draws[LETTERS];
    if (getentropy(draws, sizeof draws) != 0)
        return false;
    for (size_t i = 0; i < sizeof draws; i++)
        letters[i] = alphabet[draws[i] % (sizeof alphabet - 1)];
    letters[LETTERS] = '\0';
    return true;
}

char *foci_unfinished_name(const char *folder, const char *name, const char *ending, foci_error *err) {
    char letters[LETTERS + 1];
    struct stat status;
    char *path = NULL;
    do {
        free(path);
        path = NULL;
        if (!make_letters(letters)) {
            foci_fail(err, FOCI_NO_FILE, name, 0, "no temporary name could be made: %s", strerror(errno));
            return NULL;
        }
        path = foci_format_text(err, "%s/.%.*s.fieldfoci-%s-%x-%lx%s", folder, NAME_KEPT, name, letters,
                                (unsigned)this_host(), (long)getpid(), ending);
    } while (path && lstat(path, &status) == 0);
    if (path)
        remember(path);
    return path;
}

/* Whether `entry` begins with a name that a process of this machine made which is no more. */
static bool is_left(const char *entry, const char *start) {
    size_t length = strlen(start);
    if (strncmp(entry, start, length) != 0 || strnlen(entry + length, LETTERS + 1) <= LETTERS ||
        entry[length + LETTERS] != '-')
        return false;
    char *end = NULL;
    unsigned long host = strtoul(entry + length + LETTERS + 1, &end, 16);
    if (*end != '-' || host != this_host())
        return false;
    long process = strtol(end + 1, &end, 16);
    return process > 1 && process <= INT_MAX && (!*end || *end == '.' || *end == '-') && kill((pid_t)process, 0) != 0 &&
           errno == ESRCH;
}

void foci_unfinished_left(const char *folder, const char *name, void (*found)(void *context, const char *path),
                          void *context) {
    foci_error none = {0};
    char *start = foci_format_text(&none, ".%.*s.fieldfoci-", NAME_KEPT, name);
    DIR *list = start ? opendir(folder) : NULL;
    for (struct dirent *entry = list ? readdir(list) : NULL; entry; entry = readdir(list)) {
        char *path = is_left(entry->d_name, start) ? foci_format_text(&none, "%s/%s", folder, entry->d_name) : NULL;
        if (path)
            found(context, path);
        free(path);
    }
    if (list)
        closedir(list);
    free(start);
}
