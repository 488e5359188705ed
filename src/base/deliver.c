#include "base/deliver.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/deliver_steps.h"
#include "base/memory.h"
#include "base/path.h"
#include "base/unfinished.h"

enum { ENDING_MOST = 16 };

bool foci_deliver_fail(const char *final, const char *what, foci_error *err) {
    int reason = errno;
    const char *remedy =
        reason == ENOSPC || reason == EDQUOT ? "make room there, or choose another place" : "choose another place";
    return foci_fail(err, FOCI_NO_FILE, final, 0, "%s: %s; %s", what, strerror(reason), remedy);
}

char *foci_deliver_tidy(const char *path, foci_error *err) {
    char *tidy = foci_copy_text(path, err);
    if (!tidy)
        return NULL;
    for (size_t length = strlen(tidy); length > 1 && tidy[length - 1] == '/'; length--)
        tidy[length - 1] = '\0';
    return tidy;
}

const char *foci_deliver_name(const char *path) {
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* The folder that `final` goes into is there. */
static bool has_folder(const char *final, foci_error *err) {
    struct stat status;
    bool ok = false;
    char *folder = NULL;
    char *tidy = foci_deliver_tidy(final, err);
    if (!tidy)
        return false;
    folder = foci_path_folder(tidy, err);
    if (!folder)
        goto done;
    if (*foci_deliver_name(tidy) == '\0')
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

static void remove_file(void *context, const char *path) {
    struct stat status;
    (void)context;
    if (lstat(path, &status) == 0 && S_ISREG(status.st_mode))
        foci_unfinished_remove(path);
}

char *foci_deliver_beside(const char *final, foci_error *err) {
    if (!has_folder(final, err))
        return NULL;
    char *tidy = foci_deliver_tidy(final, err), *folder = tidy ? foci_path_folder(tidy, err) : NULL, *beside = NULL;
    if (folder) {
        const char *name = foci_deliver_name(tidy), *ending = strrchr(name, '.');
        if (!ending || ending == name || strlen(ending) > ENDING_MOST)
            ending = "";
        foci_unfinished_left(folder, name, remove_file, NULL);
        beside = foci_unfinished_name(folder, name, ending, err);
    }
    free(folder);
    free(tidy);
    return beside;
}

bool foci_deliver_may_replace(const char *final, bool overwrite, mode_t kind, foci_error *err) {
    struct stat status;
    if (lstat(final, &status) != 0)
        return errno == ENOENT || foci_deliver_fail(final, "cannot be written", err);
    mode_t found = status.st_mode & S_IFMT;
    if (found != S_IFREG && found != S_IFDIR)
        return foci_fail(err, FOCI_NO_FILE, final, 0, "is a link or a device and is not replaced; choose another name");
    if (!overwrite)
        return foci_fail(err, FOCI_NO_FILE, final, 0,
                         "is already there; add {overwrite} to replace it, or choose another name");
    if (kind != 0 && found != kind)
        return foci_fail(err, FOCI_NO_FILE, final, 0, "is a %s and is not replaced; choose another name",
                         found == S_IFDIR ? "folder" : "file");
    return true;
}

bool foci_deliver_may_write(const char *final, bool overwrite, foci_error *err) {
    if (!has_folder(final, err))
        return false;
    char *tidy = foci_deliver_tidy(final, err);
    bool ok = tidy && foci_deliver_may_replace(tidy, overwrite, 0, err);
    free(tidy);
    return ok;
}

int foci_deliver_flush(const char *path) {
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

void foci_deliver_flush_name(const char *final) {
    foci_error err = {0};
    char *folder = foci_path_folder(final, &err);
    if (folder)
        (void)foci_deliver_flush(folder);
    free(folder);
}

bool foci_deliver_not_known(int reason) {
    return reason == EINVAL || reason == ENOSYS || reason == EOPNOTSUPP;
}

int foci_deliver_rename(int from_folder, const char *from, int to_folder, const char *to) {
    struct stat status;
    if (renameat2(from_folder, from, to_folder, to, RENAME_NOREPLACE) == 0)
        return 0;
    if (!foci_deliver_not_known(errno))
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
    if (!foci_deliver_may_replace(final, overwrite, S_IFREG, err))
        goto failed;
    if (foci_deliver_flush(temporary) != 0) {
        foci_deliver_fail(final, "cannot be written", err);
        goto failed;
    }
    if ((overwrite ? rename(temporary, final) : foci_deliver_rename(AT_FDCWD, temporary, AT_FDCWD, final)) != 0) {
        foci_deliver_fail(final, "cannot be put in place", err);
        goto failed;
    }
    foci_unfinished_forget(temporary);
    foci_deliver_flush_name(final);
    return true;
failed:
    foci_unfinished_remove(temporary);
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
        return foci_deliver_fail(final, "cannot be written", err);
    bool ok = copy_bytes(from, to);
    if (ok && fchown(to, status.st_uid, status.st_gid) != 0) /* another's file: the group's at least, where allowed */
        (void)!fchown(to, (uid_t)-1, status.st_gid);
    ok = ok && fchmod(to, status.st_mode & 0777) == 0;
    if (!ok)
        foci_deliver_fail(final, "cannot be written", err);
    if (close(to) != 0 && ok)
        ok = foci_deliver_fail(final, "cannot be written", err);
    if (!ok)
        foci_unfinished_remove(temporary);
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
        foci_deliver_fail(final, "cannot be written", err);
        goto done;
    }
    bool whole = write_all(file, bytes, size);
    if (!whole)
        foci_deliver_fail(final, "cannot be written", err);
    if (close(file) != 0 && whole)
        whole = foci_deliver_fail(final, "cannot be written", err);
    if (whole)
        ok = foci_deliver_file(temporary, final, overwrite, err);
    else
        foci_unfinished_remove(temporary);
done:
    free(temporary);
    return ok;
}

bool foci_deliver_pass_on(foci_error *err, const foci_error *inner, const char *temporary, const char *final) {
    char source[sizeof inner->source + 1024];
    const size_t length = strlen(temporary);
    if (strncmp(inner->source, temporary, length) != 0)
        return foci_fail_again(err, inner);
    snprintf(source, sizeof source, "%.1000s%s", final, inner->source + length);
    return foci_fail(err, inner->status, source, inner->row, "%s", inner->text);
}

bool foci_deliver_written(const char *final, bool overwrite,
                          bool (*write)(const void *content, const char *path, foci_error *err), const void *content,
                          foci_error *err) {
    foci_error inner = {0};
    bool ok = false;
    if (!foci_deliver_may_write(final, overwrite, err))
        return false;
    char *temporary = foci_deliver_beside(final, err);
    if (!temporary)
        return false;
    if (write(content, temporary, &inner)) {
        ok = foci_deliver_file(temporary, final, overwrite, err);
    } else {
        foci_deliver_pass_on(err, &inner, temporary, final);
        foci_unfinished_remove(temporary);
    }
    free(temporary);
    return ok;
}
