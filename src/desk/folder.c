#include "desk/folder.h"

#include <ctype.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <pwd.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#include "desk/answer.h"

static const char *const shelf_names[DESK_SHELVES] = {"fields", "surveys", "seasons", "plans", "inbox"};

const char *desk_shelf_name(desk_shelf shelf) {
    return shelf_names[shelf];
}

/* ---- opening ---- */

/* The parts of a path that are not there are made, the last ones for the user alone. */
static bool make_folders(const char *path, foci_error *err) {
    char *part = strdup(path);
    bool ok = part || foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    for (char *at = part; ok && at; at = strchr(at + 1, '/')) {
        if (at == part)
            continue;
        *at = '\0';
        if (mkdir(part, 0700) != 0 && errno != EEXIST)
            ok = foci_fail(err, FOCI_NO_FILE, path, 0, "cannot be made: %s", strerror(errno));
        *at = '/';
    }
    free(part);
    if (ok && mkdir(path, 0700) != 0 && errno != EEXIST)
        return foci_fail(err, FOCI_NO_FILE, path, 0, "cannot be made: %s", strerror(errno));
    return ok;
}

static bool find_home(char **path, foci_error *err) {
    const char *home = getenv("HOME");
    if (!home || *home != '/') {
        const struct passwd *user = getpwuid(getuid());
        home = user ? user->pw_dir : NULL;
    }
    if (!home)
        return foci_fail(err, FOCI_NO_FILE, NULL, 0, "this user has no home; name a folder for the desk");
    if (asprintf(path, "%s/fieldfoci", home) < 0) {
        *path = NULL;
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    }
    return true;
}

static bool open_shelf(desk_folder *folder, int root, desk_shelf shelf, foci_error *err) {
    const char *name = shelf_names[shelf];
    if (mkdirat(root, name, 0700) != 0 && errno != EEXIST)
        return foci_fail(err, FOCI_NO_FILE, folder->path, 0, "the folder %s cannot be made in it: %s", name,
                         strerror(errno));
    folder->shelves[shelf] = openat(root, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    if (folder->shelves[shelf] < 0)
        return foci_fail(err, FOCI_NO_FILE, folder->path, 0, "'%s' in it is no folder that can be used: %s", name,
                         strerror(errno));
    return true;
}

bool desk_folder_open(desk_folder *folder, const char *path, foci_error *err) {
    char *own = NULL;
    *folder = (desk_folder){.shelves = {-1, -1, -1, -1, -1}};
    if (!path && !find_home(&own, err))
        return false;
    int root = -1;
    bool ok = make_folders(path ? path : own, err);
    folder->path = ok ? realpath(path ? path : own, NULL) : NULL;
    if (ok && !folder->path)
        ok = foci_fail(err, FOCI_NO_FILE, path ? path : own, 0, "cannot be opened: %s", strerror(errno));
    if (ok && (root = open(folder->path, O_RDONLY | O_DIRECTORY | O_CLOEXEC)) < 0)
        ok = foci_fail(err, FOCI_NO_FILE, folder->path, 0, "cannot be opened: %s", strerror(errno));
    for (int shelf = 0; ok && shelf < DESK_SHELVES; shelf++)
        ok = open_shelf(folder, root, (desk_shelf)shelf, err);
    if (root >= 0)
        close(root);
    free(own);
    if (!ok)
        desk_folder_close(folder);
    return ok;
}

void desk_folder_close(desk_folder *folder) {
    for (int shelf = 0; shelf < DESK_SHELVES; shelf++)
        if (folder->shelves[shelf] >= 0)
            close(folder->shelves[shelf]);
    free(folder->path);
    *folder = (desk_folder){.shelves = {-1, -1, -1, -1, -1}};
}

/* ---- looking ---- */

static bool may_be_shown(const char *name) {
    return *name != '.' && *name != '\0';
}

/* Opens a folder of the shelf, or the shelf again. */
static int open_place(const desk_folder *folder, desk_shelf shelf, const char *entry) {
    if (!entry)
        return openat(folder->shelves[shelf], ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (!desk_folder_has(folder, shelf, entry, true))
        return -1;
    return openat(folder->shelves[shelf], entry, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
}

/* Whether `wanted` is one of the names that lie in the open folder: only such a name is ever opened. */
static bool lists(int place, const char *wanted) {
    int again = openat(place, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    DIR *entries = again >= 0 ? fdopendir(again) : NULL;
    bool found = false;
    if (!entries) {
        if (again >= 0)
            close(again);
        return false;
    }
    for (const struct dirent *at; !found && (at = readdir(entries));)
        found = may_be_shown(at->d_name) && strcmp(at->d_name, wanted) == 0;
    closedir(entries);
    return found;
}

bool desk_folder_has(const desk_folder *folder, desk_shelf shelf, const char *name, bool is_folder) {
    struct stat about;
    if (!lists(folder->shelves[shelf], name) || fstatat(folder->shelves[shelf], name, &about, AT_SYMLINK_NOFOLLOW) != 0)
        return false;
    return is_folder ? S_ISDIR(about.st_mode) : S_ISREG(about.st_mode);
}

int desk_folder_read(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name) {
    const int place = open_place(folder, shelf, entry);
    int file = -1;
    if (place < 0)
        return -1;
    if (lists(place, name))
        file = openat(place, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    close(place);
    return file;
}

char *desk_folder_path(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name,
                       foci_error *err) {
    char *path = NULL;
    if (asprintf(&path, "%s/%s%s%s%s%s", folder->path, shelf_names[shelf], entry ? "/" : "", entry ? entry : "",
                 name ? "/" : "", name ? name : "") >= 0)
        return path;
    foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    return NULL;
}

static int by_name(const struct dirent **a, const struct dirent **b) {
    return strcmp((*a)->d_name, (*b)->d_name);
}

static int is_shown(const struct dirent *at) {
    return may_be_shown(at->d_name);
}

void desk_folder_list(const desk_folder *folder, desk_shelf shelf, const char *entry, FILE *out) {
    struct dirent **entries = NULL;
    const int place = open_place(folder, shelf, entry);
    const int count = place >= 0 ? scandirat(place, ".", &entries, is_shown, by_name) : 0;
    const char *between = "";
    putc('[', out);
    for (int i = 0; i < count; i++) {
        struct stat about;
        if (fstatat(place, entries[i]->d_name, &about, AT_SYMLINK_NOFOLLOW) == 0 &&
            (S_ISREG(about.st_mode) || S_ISDIR(about.st_mode))) {
            fprintf(out, "%s{\"name\":", between);
            desk_put_text(out, entries[i]->d_name);
            fprintf(out, ",\"folder\":%s,\"bytes\":%lld,\"changed\":%lld}", S_ISDIR(about.st_mode) ? "true" : "false",
                    (long long)about.st_size, (long long)about.st_mtim.tv_sec);
            between = ",";
        }
        free(entries[i]);
    }
    free(entries);
    putc(']', out);
    if (place >= 0)
        close(place);
}

static bool ask(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name, struct stat *about) {
    const int file = desk_folder_read(folder, shelf, entry, name);
    const bool known = file >= 0 && fstat(file, about) == 0;
    if (file >= 0)
        close(file);
    return known;
}

double desk_folder_changed(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name) {
    struct stat about;
    return ask(folder, shelf, entry, name, &about) ? (double)about.st_mtim.tv_sec + 1e-9 * (double)about.st_mtim.tv_nsec
                                                   : -1;
}

void desk_folder_state(const desk_folder *folder, desk_shelf shelf, const char *entry, const char *name,
                       char state[64]) {
    struct stat about;
    *state = '\0';
    if (ask(folder, shelf, entry, name, &about))
        snprintf(state, 64, "\"%llx-%llx-%llx\"", (unsigned long long)about.st_ino,
                 (unsigned long long)about.st_mtim.tv_sec * 1000000000ULL + (unsigned long long)about.st_mtim.tv_nsec,
                 (unsigned long long)about.st_size);
}

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
    const int place = open_place(folder, shelf, entry);
    int file = -1;
    if (place >= 0 && getrandom(&number, sizeof number, 0) == (ssize_t)sizeof number) {
        snprintf(temporary, DESK_NAME_SIZE, ".coming-%016llx", number);
        file = openat(place, temporary, O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    }
    if (file < 0)
        foci_fail(err, FOCI_NO_FILE, folder->path, 0, "no file can be made in it: %s", strerror(errno));
    if (place >= 0)
        close(place);
    return file;
}

void desk_folder_drop(const desk_folder *folder, desk_shelf shelf, const char *entry, int file, const char *temporary) {
    const int place = open_place(folder, shelf, entry);
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
    const int place = open_place(folder, shelf, entry);
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
