/* What is new on the shelves: names, folders, files that appear whole. */
#include <ctype.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#include "desk/folder.h"

/* ---- names ---- */

void desk_plain_name(char name[DESK_NAME_SIZE], const char *wish) {
    const char *base = strrchr(wish, '/'), *back = strrchr(wish, '\\');
    if (back && (!base || back > base))
        base = back;
    base = base ? base + 1 : wish;
    size_t length = 0;
    /* The whole of a long name's ending stays: it says what the file is. */
    const char *ending = strrchr(base, '.');
    const size_t kept = ending && strlen(ending) <= 16 ? strlen(ending) : 0;
    for (const char *at = base; *at && length < 60; at++) {
        const unsigned char c = (unsigned char)*at;
        if (kept && at == ending)
            break;
        if (isalnum(c) && c < 0x80)
            name[length++] = (char)tolower(c);
        else if (length > 0 && name[length - 1] != '-')
            name[length++] = '-';
    }
    while (length > 0 && name[length - 1] == '-')
        length--;
    if (length == 0)
        name[length++] = 'x';
    if (kept) {
        name[length++] = '.';
        for (const char *at = ending + 1; *at; at++)
            if (isalnum((unsigned char)*at) && (unsigned char)*at < 0x80)
                name[length++] = (char)tolower((unsigned char)*at);
        length -= name[length - 1] == '.';
    }
    name[length] = '\0';
}

/* The `turn`-th name of that kind: x.csv, x-2.csv, x-3.csv. False where it grows too long. */
static bool turn_name(char out[DESK_NAME_SIZE], const char *name, int turn) {
    const char *ending = strrchr(name, '.');
    const int stem = ending ? (int)(ending - name) : (int)strlen(name);
    const int length = turn == 1 ? snprintf(out, DESK_NAME_SIZE, "%s", name)
                                 : snprintf(out, DESK_NAME_SIZE, "%.*s-%d%s", stem, name, turn, ending ? ending : "");
    return length > 0 && length < DESK_NAME_SIZE;
}

enum { TURNS = 10000 };

bool desk_folder_make(const desk_folder *folder, desk_shelf shelf, const char *wish, char name[DESK_NAME_SIZE],
                      foci_error *err) {
    char plain[DESK_NAME_SIZE];
    desk_plain_name(plain, wish);
    char *ending = strchr(plain, '.');
    if (ending)
        *ending = '\0';
    for (int turn = 1; turn < TURNS && turn_name(name, plain, turn); turn++) {
        if (mkdirat(folder->shelves[shelf], name, 0700) == 0)
            return true;
        if (errno != EEXIST)
            return foci_fail(err, FOCI_NO_FILE, folder->path, 0, "no folder can be made in it: %s", strerror(errno));
    }
    return foci_fail(err, FOCI_NO_FILE, folder->path, 0, "too many entries named '%s'; name this one otherwise", plain);
}

/* ---- files ---- */

int desk_folder_begin(const desk_folder *folder, desk_shelf shelf, const char *entry, char temporary[DESK_NAME_SIZE],
                      foci_error *err) {
    unsigned long long number = 0;
    const int place = desk_open_place(folder, shelf, entry);
    int file = -1;
    if (place >= 0 && getrandom(&number, sizeof number, 0) == (ssize_t)sizeof number) {
        snprintf(temporary, DESK_NAME_SIZE, DESK_COMING "%016llx", number);
        file = openat(place, temporary, O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    }
    if (file < 0)
        foci_fail(err, FOCI_NO_FILE, folder->path, 0, "no file can be made in it: %s", strerror(errno));
    if (place >= 0)
        close(place);
    return file;
}

void desk_folder_drop(const desk_folder *folder, desk_shelf shelf, const char *entry, int file, const char *temporary) {
    const int place = desk_open_place(folder, shelf, entry);
    close(file);
    if (place < 0)
        return;
    (void)unlinkat(place, temporary, 0);
    close(place);
}

/* A link cannot replace, so a name that is taken is noticed whoever took it. */
static bool place_new(int place, const char *temporary, char name[DESK_NAME_SIZE]) {
    char wish[DESK_NAME_SIZE];
    memcpy(wish, name, DESK_NAME_SIZE);
    for (int turn = 1; turn < TURNS && turn_name(name, wish, turn); turn++) {
        if (linkat(place, temporary, place, name, 0) == 0)
            return unlinkat(place, temporary, 0) == 0;
        if (errno != EEXIST)
            return false;
    }
    return false;
}

bool desk_folder_keep(const desk_folder *folder, desk_shelf shelf, const char *entry, int file, const char *temporary,
                      bool replace, char name[DESK_NAME_SIZE], foci_error *err) {
    const int place = desk_open_place(folder, shelf, entry);
    bool ok = place >= 0 && fsync(file) == 0;
    ok = close(file) == 0 && ok;
    if (ok)
        ok = replace ? renameat(place, temporary, place, name) == 0 : place_new(place, temporary, name);
    if (ok)
        ok = fsync(place) == 0;
    if (!ok) {
        foci_fail(err, FOCI_NO_FILE, name, 0, "could not be kept: %s", strerror(errno));
        if (place >= 0)
            (void)unlinkat(place, temporary, 0);
    }
    if (place >= 0)
        close(place);
    return ok;
}
