#include "base/deliver.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/memory.h"

enum { FOLDERS_OPEN = 16, NAME_KEPT = 180, ENDING_MOST = 16 };

static bool fail_to(const char *final, const char *what, foci_error *err) {
    int reason = errno;
    const char *remedy =
        reason == ENOSPC || reason == EDQUOT ? "make room there, or choose another place" : "choose another place";
    return foci_fail(err, FOCI_NO_FILE, final, 0, "%s: %s; %s", what, strerror(reason), remedy);
}

/* `path` without slashes at its end. */
static char *tidy_path(const char *path, foci_error *err) {
    char *tidy = foci_copy_text(path, err);
    if (!tidy)
        return NULL;
    for (size_t length = strlen(tidy); length > 1 && tidy[length - 1] == '/'; length--)
        tidy[length - 1] = '\0';
    return tidy;
}

/* The folder that holds `path`, which has no slash at its end. */
static char *folder_of(const char *path, foci_error *err) {
    const char *slash = strrchr(path, '/');
    if (!slash)
        return foci_copy_text(".", err);
    return foci_format_text(err, "%.*s", slash == path ? 1 : (int)(slash - path), path);
}

static const char *name_of(const char *path) {
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* The folder that `final` goes into is there. */
static bool has_folder(const char *final, foci_error *err) {
    struct stat status;
    bool ok = false;
    char *folder = NULL;
    char *tidy = tidy_path(final, err);
    if (!tidy)
        return false;
    folder = folder_of(tidy, err);
    if (!folder)
        goto done;
    if (*name_of(tidy) == '\0')
        foci_fail(err, FOCI_NO_FILE, final, 0, "is not a name to write to; give a file or a folder");
    else if (stat(folder, &status) != 0 || !S_ISDIR(status.st_mode))
        foci_fail(err, FOCI_NO_FILE, final, 0, "there is no folder %s; make it first, or choose another place", folder);
    else
        ok = true;
done:
    free(folder);
    free(tidy);
    return ok;
}

static bool make_letters(char letters[7]) {
    static const char alphabet[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
    uint8_t draws[6];
    if (getentropy(draws, sizeof draws) != 0)
        return false;
    for (size_t i = 0; i < sizeof draws; i++)
        letters[i] = alphabet[draws[i] % (sizeof alphabet - 1)];
    letters[6] = '\0';
    return true;
}

char *foci_deliver_beside(const char *final, foci_error *err) {
    char letters[7];
    struct stat status;
    char *tidy = NULL, *folder = NULL, *beside = NULL;
    if (!has_folder(final, err))
        return NULL;
    tidy = tidy_path(final, err);
    folder = tidy ? folder_of(tidy, err) : NULL;
    if (!folder)
        goto done;
    const char *name = name_of(tidy);
    const char *ending = strrchr(name, '.');
    if (!ending || ending == name || strlen(ending) > ENDING_MOST)
        ending = "";
    do {
        free(beside);
        beside = NULL;
        if (!make_letters(letters)) {
            fail_to(final, "no temporary name could be made", err);
            goto done;
        }
        beside = foci_format_text(err, "%s/.%.*s.fieldfoci-%s%s", folder, NAME_KEPT, name, letters, ending);
    } while (beside && lstat(beside, &status) == 0);
done:
    free(folder);
    free(tidy);
    return beside;
}

/* What stands at `final` may be replaced; `kind` is S_IFREG or S_IFDIR, 0 for either. Nothing there is fine. */
static bool may_replace(const char *final, bool overwrite, mode_t kind, foci_error *err) {
    struct stat status;
    if (lstat(final, &status) != 0)
        return errno == ENOENT || fail_to(final, "cannot be written", err);
    mode_t found = status.st_mode & S_IFMT;
    if (found != S_IFREG && found != S_IFDIR)
        return foci_fail(err, FOCI_NO_FILE, final, 0, "is a link or a device and is not replaced; choose another name");
    if (!overwrite)
        return foci_fail(err, FOCI_NO_FILE, final, 0,
                         "is already there; add --overwrite to replace it, or choose another name");
    if (kind != 0 && found != kind)
        return foci_fail(err, FOCI_NO_FILE, final, 0, "is a %s and is not replaced; choose another name",
                         found == S_IFDIR ? "folder" : "file");
    return true;
}

bool foci_deliver_may_write(const char *final, bool overwrite, foci_error *err) {
    if (!has_folder(final, err))
        return false;
    char *tidy = tidy_path(final, err);
    bool ok = tidy && may_replace(tidy, overwrite, 0, err);
    free(tidy);
    return ok;
}

static int make_durable(const char *path) {
    int file = open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0)
        return -1;
    int failed = fsync(file);
    if (failed && (errno == EINVAL || errno == EROFS)) /* file systems that know no fsync, mostly of folders */
        failed = 0;
    int reason = errno;
    close(file);
    errno = reason;
    return failed;
}

/* After a rename the name itself must reach the disk. A failure cannot be mended any more and is not reported. */
static void make_name_durable(const char *final) {
    foci_error err = {0};
    char *folder = folder_of(final, &err);
    if (folder)
        (void)make_durable(folder);
    free(folder);
}

static bool not_known_here(int reason) {
    return reason == EINVAL || reason == ENOSYS || reason == EOPNOTSUPP;
}

/* Renames, but never over something else. Each name is in its open folder, as in renameat. */
static int rename_to_free_name(int from_folder, const char *from, int to_folder, const char *to) {
    struct stat status;
    if (renameat2(from_folder, from, to_folder, to, RENAME_NOREPLACE) == 0)
        return 0;
    if (!not_known_here(errno))
        return -1;
    if (linkat(from_folder, from, to_folder, to, 0) == 0)
        return unlinkat(from_folder, from, 0);
    if (errno == EEXIST)
        return -1;
    if (fstatat(to_folder, to, &status, AT_SYMLINK_NOFOLLOW) == 0) { /* no links either: look first */
        errno = EEXIST;
        return -1;
    }
    return renameat(from_folder, from, to_folder, to);
}

bool foci_deliver_file(const char *temporary, const char *final, bool overwrite, foci_error *err) {
    if (!may_replace(final, overwrite, S_IFREG, err))
        goto failed;
    if (make_durable(temporary) != 0) {
        fail_to(final, "cannot be written", err);
        goto failed;
    }
    if ((overwrite ? rename(temporary, final) : rename_to_free_name(AT_FDCWD, temporary, AT_FDCWD, final)) != 0) {
        fail_to(final, "cannot be put in place", err);
        goto failed;
    }
    make_name_durable(final);
    return true;
failed:
    foci_deliver_remove(temporary);
    return false;
}

static bool write_all(int file, const char *bytes, size_t size) {
    while (size > 0) {
        ssize_t written = write(file, bytes, size);
        if (written < 0 && errno == EINTR)
            continue;
        if (written <= 0)
            return false;
        bytes += written;
        size -= (size_t)written;
    }
    return true;
}

static bool copy_bytes(int from, int to) {
    static _Thread_local char bytes[65536];
    off_t at = 0;
    for (;;) {
        ssize_t got = pread(from, bytes, sizeof bytes, at);
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            return got == 0;
        if (!write_all(to, bytes, (size_t)got))
            return false;
        at += got;
    }
}

bool foci_deliver_copy(int from, const char *temporary, const char *final, foci_error *err) {
    struct stat status;
    int to = fstat(from, &status) == 0 ? open(temporary, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600) : -1;
    if (to < 0)
        return fail_to(final, "cannot be written", err);
    bool ok = copy_bytes(from, to);
    if (ok && fchown(to, status.st_uid, status.st_gid) != 0) /* another's file: the group's at least, where allowed */
        (void)!fchown(to, (uid_t)-1, status.st_gid);
    ok = ok && fchmod(to, status.st_mode & 0777) == 0;
    if (!ok)
        fail_to(final, "cannot be written", err);
    if (close(to) != 0 && ok)
        ok = fail_to(final, "cannot be written", err);
    if (!ok)
        foci_deliver_remove(temporary);
    return ok;
}

bool foci_deliver_bytes(const char *final, const void *bytes, size_t size, bool overwrite, foci_error *err) {
    bool ok = false;
    char *temporary = NULL;
    if (!foci_deliver_may_write(final, overwrite, err))
        return false;
    temporary = foci_deliver_beside(final, err);
    if (!temporary)
        return false;
    int file = open(temporary, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file < 0) {
        fail_to(final, "cannot be written", err);
        goto done;
    }
    bool whole = write_all(file, bytes, size);
    if (!whole)
        fail_to(final, "cannot be written", err);
    if (close(file) != 0 && whole)
        whole = fail_to(final, "cannot be written", err);
    if (whole)
        ok = foci_deliver_file(temporary, final, overwrite, err);
    else
        foci_deliver_remove(temporary);
done:
    free(temporary);
    return ok;
}

static int remove_entry(const char *path, const struct stat *status, int kind, struct FTW *walk) {
    (void)status;
    (void)kind;
    (void)walk;
    (void)remove(path);
    return 0;
}

void foci_deliver_remove(const char *path) {
    (void)nftw(path, remove_entry, FOLDERS_OPEN, FTW_DEPTH | FTW_PHYS);
}

static int make_entry_durable(const char *path, const struct stat *status, int kind, struct FTW *walk) {
    (void)status;
    (void)walk;
    return kind == FTW_F || kind == FTW_D || kind == FTW_DP ? make_durable(path) : 0;
}

static bool is_listed(const char *name, const char *const *list) {
    while (*list)
        if (strcmp(*list++, name) == 0)
            return true;
    return false;
}

/* Moves what is not ours from the old folder into the new one. Nothing is allocated: it must not fail half-way. */
static bool carry_over(const char *old, const char *final, const char *const *ours) {
    DIR *from = opendir(old), *to = opendir(final);
    bool ok = from && to;
    for (struct dirent *entry = ok ? readdir(from) : NULL; entry && ok; entry = readdir(from)) {
        const char *name = entry->d_name;
        if (strcmp(name, ".") != 0 && strcmp(name, "..") != 0 && !is_listed(name, ours))
            ok = rename_to_free_name(dirfd(from), name, dirfd(to), name) == 0;
    }
    if (from)
        closedir(from);
    if (to)
        closedir(to);
    return ok;
}

/* Puts `temporary` at `final` and what was there at `temporary`. */
static int exchange(const char *temporary, const char *final, foci_error *err) {
    if (renameat2(AT_FDCWD, temporary, AT_FDCWD, final, RENAME_EXCHANGE) == 0)
        return 0;
    if (!not_known_here(errno))
        return -1;
    char *aside = foci_deliver_beside(final, err); /* two steps where the file system knows no exchange */
    if (!aside)
        return -1;
    int failed = rename(final, aside);
    if (!failed) {
        failed = rename(temporary, final);
        failed = failed ? (rename(aside, final), -1) : rename(aside, temporary);
    }
    free(aside);
    return failed;
}

/* `final` is a folder of ours, or is not there (then `*present` is false). */
static bool may_replace_folder(bool *present, const char *final, bool overwrite, const char *mark,
                               bool (*is_ours)(const char *mark_path), foci_error *err) {
    struct stat status;
    if (!may_replace(final, overwrite, S_IFDIR, err))
        return false;
    *present = lstat(final, &status) == 0;
    if (!*present)
        return true;
    char *path = foci_format_text(err, "%s/%s", final, mark);
    if (!path)
        return false;
    bool ok = lstat(path, &status) == 0 && S_ISREG(status.st_mode) && is_ours(path);
    if (!ok)
        foci_fail(err, FOCI_NO_FILE, final, 0,
                  "was not made by this program (its %s is missing or says something else) and is not replaced; choose "
                  "another name",
                  mark);
    free(path);
    return ok;
}

static bool replace_folder(const char *temporary, const char *final, const char *const *ours, foci_error *err) {
    if (exchange(temporary, final, err) != 0) {
        fail_to(final, "cannot be put in place", err);
        foci_deliver_remove(temporary);
        return false;
    }
    make_name_durable(final);
    if (!carry_over(temporary, final, ours))
        return foci_fail(err, FOCI_NO_FILE, final, 0,
                         "the new results are in place, but other files could not be moved along; they are in %s",
                         temporary);
    foci_deliver_remove(temporary);
    return true;
}

bool foci_deliver_folder(const char *temporary, const char *final, bool overwrite, const char *mark,
                         bool (*is_ours)(const char *mark_path), const char *const *ours, foci_error *err) {
    bool present = false, ok = false;
    char *tidy = tidy_path(final, err);
    if (!tidy || !may_replace_folder(&present, tidy, overwrite, mark, is_ours, err))
        goto done;
    if (nftw(temporary, make_entry_durable, FOLDERS_OPEN, FTW_DEPTH | FTW_PHYS) != 0) {
        fail_to(final, "cannot be written", err);
        goto done;
    }
    if (present) {
        ok = replace_folder(temporary, tidy, ours, err);
        free(tidy);
        return ok;
    }
    ok = rename_to_free_name(AT_FDCWD, temporary, AT_FDCWD, tidy) == 0 || fail_to(final, "cannot be put in place", err);
    if (ok)
        make_name_durable(tidy);
done:
    if (!ok)
        foci_deliver_remove(temporary);
    free(tidy);
    return ok;
}
