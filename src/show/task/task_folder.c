/* The folder of task files on disk. */
#include <dirent.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "base/plain_file.h"
#include "base/text.h"
#include "base/unfinished.h"
#include "data/files/zip_file.h"
#include "keep/folder.h"
#include "show/task/task_files.h"

#define OURS_MOST 16

static bool is_ours(const char *readme) {
    char line[sizeof FOCI_TASK_README_MARK + 1] = "";
    foci_error ignored = {0};
    FILE *file = foci_file_open(readme, FOCI_MOST_OF_PROFILE, &ignored);
    if (!file)
        return false;
    bool ours = fgets(line, sizeof line, file) && strcmp(line, FOCI_TASK_README_MARK) == 0;
    fclose(file);
    return ours;
}

static void list_ours(const char *ours[OURS_MOST]) {
    size_t count = 0;
    ours[count++] = FOCI_TASK_README;
    for (const foci_task_form *form = foci_task_form_table; form->name; form++)
        for (const char *const *name = form->files; *name && count + 1 < OURS_MOST; name++)
            ours[count++] = *name;
    ours[count] = NULL;
}

/* What a machine has logged lies in TASKDATA too, and must not be lost with it. */
static bool holds_only_ours(const char *folder, foci_error *err) {
    char *inner = foci_format_text(err, "%s/TASKDATA", folder);
    if (!inner)
        return false;
    DIR *list = opendir(inner);
    bool ok = true;
    for (struct dirent *entry = list ? readdir(list) : NULL; ok && entry; entry = readdir(list)) {
        const char *name = entry->d_name;
        struct stat status;
        const bool file = fstatat(dirfd(list), name, &status, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(status.st_mode);
        if (strcmp(name, ".") != 0 && strcmp(name, "..") != 0 &&
            !(file && (strcmp(name, "TASKDATA.XML") == 0 || strcmp(name, "GRD00001.bin") == 0)))
            ok =
                foci_fail(err, FOCI_NO_FILE, folder, 0,
                          "its TASKDATA holds %.80s, which this program did not write; move it away, or choose another "
                          "{out}",
                          name);
    }
    if (list)
        closedir(list);
    free(inner);
    return ok;
}

static bool write_all(const foci_task *task, const char *folder, foci_error *err) {
    for (const foci_task_form **form = task->forms; *form; form++)
        if (!(*form)->write(task, folder, err))
            return false;
    return foci_task_write_readme(task, folder, err);
}

/* Messages speak of the folder. */
static bool write_files(const void *task, const char *folder, foci_error *err) {
    foci_error inner = {0};
    return write_all(task, folder, &inner) || foci_fail(err, inner.status, folder, 0, "%s", inner.text);
}

static bool is_archive(const char *path) {
    static const char ending[] = ".zip";
    const size_t length = strlen(path), of_ending = sizeof ending - 1;
    return length > of_ending && foci_text_same(path + length - of_ending, ending);
}

/* An archive has no mark that tells whose it is, but what stands in it. */
static bool may_replace_archive(const char *path, foci_error *err) {
    struct stat status;
    return lstat(path, &status) != 0 || foci_zip_holds(path, FOCI_TASK_README, FOCI_TASK_README_MARK) ||
           foci_fail(err, FOCI_NO_FILE, path, 0,
                     "is there already, and this program did not write it; choose another {out}");
}

static bool write_archive(const foci_task *task, const char *path, bool overwrite, foci_error *err) {
    foci_error inner = {0};
    if (!foci_deliver_may_write(path, overwrite, err) || !may_replace_archive(path, err))
        return false;
    char *archive = foci_deliver_beside(path, err);
    char *folder = archive ? foci_deliver_beside(path, err) : NULL;
    bool ok = folder && (mkdir(folder, 0777) == 0 || foci_fail(err, FOCI_NO_FILE, path, 0, "cannot be made"));
    if (ok && !(write_files(task, folder, &inner) && foci_zip_write(folder, archive, &inner)))
        ok = foci_fail(err, inner.status, path, 0, "%s", inner.text);
    ok = ok && foci_deliver_file(archive, path, overwrite, err);
    if (folder)
        foci_unfinished_remove(folder);
    if (archive && !ok)
        foci_unfinished_remove(archive);
    free(folder);
    free(archive);
    return ok;
}

bool foci_task_write(const foci_task *task, const char *folder, bool overwrite, foci_error *err) {
    const char *ours[OURS_MOST];
    if (is_archive(folder))
        return write_archive(task, folder, overwrite, err);
    list_ours(ours);
    const foci_folder_kind kind = {.mark = FOCI_TASK_README,
                                   .files = ours,
                                   .write_files = write_files,
                                   .is_ours = is_ours,
                                   .may_replace = holds_only_ours};
    return foci_folder_write(&kind, task, folder, overwrite, err);
}
