#include "desk/folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <pwd.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "desk/answer.h"

static const char *const shelf_names[DESK_SHELVES] = {"fields", "surveys", "seasons", "plans", "inbox"};

const char *desk_shelf_name(desk_shelf shelf) {
    return shelf_names[shelf];
}

static bool may_be_shown(const char *name) {
    return *name != '.' && *name != '\0';
}

static int is_shown(const struct dirent *at) {
    return may_be_shown(at->d_name);
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

/* Owned by the caller; NULL with `err`. */
static char *find_home(foci_error *err) {
    const char *home = getenv("HOME");
    char *path = NULL;
    if (!home || *home != '/') {
        const struct passwd *user = getpwuid(getuid());
        home = user ? user->pw_dir : NULL;
    }
    if (!home) {
        foci_fail(err, FOCI_NO_FILE, NULL, 0, "this user has no home; name a folder for the desk");
        return NULL;
    }
    if (asprintf(&path, "%s/fieldfoci", home) >= 0)
        return path;
    foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    return NULL;
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

/* What a desk that was killed left half received: nothing is received for a day. */
static void sweep(int place) {
    const int again = openat(place, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    DIR *entries = again >= 0 ? fdopendir(again) : NULL;
    if (!entries && again >= 0)
        close(again);
    for (const struct dirent *at; entries && (at = readdir(entries));) {
        struct stat about;
        if (strncmp(at->d_name, DESK_COMING, sizeof DESK_COMING - 1) == 0 &&
            fstatat(place, at->d_name, &about, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(about.st_mode) &&
            about.st_mtime < time(NULL) - 24 * 60 * 60)
            (void)unlinkat(place, at->d_name, 0);
    }
    if (entries)
        closedir(entries);
}

static void sweep_all(const desk_folder *folder) {
    struct dirent **visits = NULL;
    const int inbox = folder->shelves[DESK_INBOX], count = scandirat(inbox, ".", &visits, is_shown, NULL);
    sweep(folder->shelves[DESK_FIELDS]);
    for (int i = 0; i < count; i++) {
        const int visit = openat(inbox, visits[i]->d_name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
        if (visit >= 0) {
            sweep(visit);
            close(visit);
        }
        free(visits[i]);
    }
    free(visits);
}

bool desk_folder_open(desk_folder *folder, const char *path, foci_error *err) {
    *folder = (desk_folder){.shelves = {-1, -1, -1, -1, -1}};
    char *wanted = path ? strdup(path) : find_home(err);
    int root = -1;
    if (!wanted)
        return err->status == FOCI_OK && foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory");
    bool ok = make_folders(wanted, err);
    folder->path = ok ? realpath(wanted, NULL) : NULL;
    root = folder->path ? open(folder->path, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    if (ok && root < 0)
        ok = foci_fail(err, FOCI_NO_FILE, wanted, 0, "cannot be opened: %s", strerror(errno));
    for (int shelf = 0; ok && shelf < DESK_SHELVES; shelf++)
        ok = open_shelf(folder, root, (desk_shelf)shelf, err);
    if (root >= 0)
        close(root);
    free(wanted);
    if (ok)
        sweep_all(folder);
    else
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

int desk_open_place(const desk_folder *folder, desk_shelf shelf, const char *entry) {
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
    const int place = desk_open_place(folder, shelf, entry);
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

void desk_folder_list(const desk_folder *folder, desk_shelf shelf, const char *entry, FILE *out) {
    struct dirent **entries = NULL;
    const int place = desk_open_place(folder, shelf, entry);
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
