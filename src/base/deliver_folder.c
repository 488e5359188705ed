/* A whole folder put in its place. */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/deliver.h"
#include "base/deliver_steps.h"
#include "base/memory.h"
#include "base/path.h"
#include "base/unfinished.h"

enum { FOLDERS_OPEN = 16 };

static int make_entry_durable(const char *path, const struct stat *status, int kind, struct FTW *walk) {
    (void)status;
    (void)walk;
    return kind == FTW_F || kind == FTW_D || kind == FTW_DP ? foci_deliver_flush(path) : 0;
}

/* A listed name that ends in a slash is a folder's. */
static bool is_listed(const char *name, const char *const *list) {
    const size_t length = strlen(name);
    for (; *list; list++)
        if (strncmp(*list, name, length) == 0 && strcmp(*list + length + ((*list)[length] == '/'), "") == 0)
            return true;
    return false;
}

/* What bears one of our names is ours only where it is of our kind: a folder named map.pdf is its owner's. */
static bool are_of_our_kind(const char *final, const char *const *ours, foci_error *err) {
    for (; *ours; ours++) {
        struct stat status;
        const size_t length = strlen(*ours);
        const bool folder = length > 0 && (*ours)[length - 1] == '/';
        char *path = foci_format_text(err, "%s/%.*s", final, (int)(length - folder), *ours);
        if (!path)
            return false;
        bool ok = lstat(path, &status) != 0 || (folder ? S_ISDIR(status.st_mode) : S_ISREG(status.st_mode));
        free(path);
        if (!ok)
            return foci_fail(err, FOCI_NO_FILE, final, 0,
                             "holds %s, which is no %s of this program; move it away, or choose another name", *ours,
                             folder ? "folder" : "file");
    }
    return true;
}

/* Moves what is not ours from the old folder into the new one. Nothing is allocated: it must not fail half-way. */
static bool carry_over(const char *old, const char *final, const char *const *ours) {
    DIR *from = opendir(old), *to = opendir(final);
    bool ok = from && to;
    for (struct dirent *entry = ok ? readdir(from) : NULL; entry && ok; entry = readdir(from)) {
        const char *name = entry->d_name;
        if (strcmp(name, ".") != 0 && strcmp(name, "..") != 0 && !is_listed(name, ours))
            ok = foci_deliver_rename(dirfd(from), name, dirfd(to), name) == 0;
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
    if (!foci_deliver_not_known(errno))
        return -1;
    char *aside = foci_deliver_beside(final, err); /* two steps where the file system knows no exchange */
    if (!aside)
        return -1;
    foci_unfinished_forget(aside); /* it will be the old folder */
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
                               bool (*is_ours)(const char *mark_path), const char *const *ours, foci_error *err) {
    struct stat status;
    if (!foci_deliver_may_replace(final, overwrite, S_IFDIR, err))
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
    return ok && are_of_our_kind(final, ours, err);
}

/* From the exchange on `temporary` may hold what is others': then no signal may remove it. */
static bool replace_folder(const char *temporary, const char *final, const char *const *ours, foci_error *err) {
    foci_unfinished_forget(temporary);
    if (exchange(temporary, final, err) != 0) {
        foci_deliver_fail(final, "cannot be put in place", err);
        foci_unfinished_remove(temporary);
        return false;
    }
    foci_deliver_flush_name(final);
    if (!carry_over(temporary, final, ours))
        return foci_fail(err, FOCI_NO_FILE, final, 0,
                         "the new results are in place, but other files could not be moved along; they are in %s",
                         temporary);
    foci_unfinished_remove(temporary);
    return true;
}

typedef struct {
    const char *final, *mark;
    const char *const *ours;
} delivery;

/* Left by a process that died: without its mark it was never finished; with it, it may be the one that was replaced,
 * and hold what was to be carried over. */
static void finish_left(void *context, const char *path) {
    const delivery *here = context;
    foci_error none = {0};
    struct stat status;
    if (lstat(path, &status) != 0 || !S_ISDIR(status.st_mode))
        return;
    char *mark = foci_format_text(&none, "%s/%s", path, here->mark);
    if (mark && (lstat(mark, &status) != 0 || carry_over(path, here->final, here->ours)))
        foci_unfinished_remove(path);
    free(mark);
}

static void finish_all_left(const char *final, const char *mark, const char *const *ours) {
    foci_error none = {0};
    delivery here = {final, mark, ours};
    char *folder = foci_path_folder(final, &none);
    if (folder)
        foci_unfinished_left(folder, foci_deliver_name(final), finish_left, &here);
    free(folder);
}

bool foci_deliver_folder(const char *temporary, const char *final, bool overwrite, const char *mark,
                         bool (*is_ours)(const char *mark_path), const char *const *ours, foci_error *err) {
    bool present = false, ok = false;
    char *tidy = foci_deliver_tidy(final, err);
    if (!tidy || !may_replace_folder(&present, tidy, overwrite, mark, is_ours, ours, err))
        goto done;
    if (nftw(temporary, make_entry_durable, FOLDERS_OPEN, FTW_DEPTH | FTW_PHYS) != 0) {
        foci_deliver_fail(final, "cannot be written", err);
        goto done;
    }
    if (present) {
        ok = replace_folder(temporary, tidy, ours, err);
        if (ok)
            finish_all_left(tidy, mark, ours);
        free(tidy);
        return ok;
    }
    ok = foci_deliver_rename(AT_FDCWD, temporary, AT_FDCWD, tidy) == 0 ||
         foci_deliver_fail(final, "cannot be put in place", err);
    if (ok) {
        foci_unfinished_forget(temporary);
        foci_deliver_flush_name(tidy);
        finish_all_left(tidy, mark, ours);
    }
done:
    if (!ok)
        foci_unfinished_remove(temporary);
    free(tidy);
    return ok;
}
