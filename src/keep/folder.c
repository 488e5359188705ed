#include "keep/folder.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "base/memory.h"
#include "base/plain_file.h"
#include "data/files/json_file.h"

static bool is_json_of_ours(const char *summary) {
    foci_error err = {0};
    foci_json *root = NULL;
    bool ours = false;
    if (foci_json_read(&root, summary, FOCI_MOST_OF_SUMMARY, &err)) {
        const char *name = foci_json_text(foci_json_get(foci_json_get(root, "program"), "name"));
        ours = name && strcmp(name, "fieldfoci") == 0;
    }
    foci_json_free(root);
    return ours;
}

static bool write_summary(const foci_folder_kind *kind, const void *content, const char *folder, foci_error *err) {
    char *path = foci_format_text(err, "%s/%s", folder, kind->mark);
    char *text = path ? kind->summarise(content, err) : NULL;
    bool ok = text && foci_deliver_bytes(path, text, strlen(text), false, err);
    free(text);
    free(path);
    return ok;
}

bool foci_folder_write(const foci_folder_kind *kind, const void *content, const char *folder, bool overwrite,
                       foci_error *err) {
    foci_error inner = {0};
    bool ok = false;
    char *temporary = NULL;
    if (!foci_deliver_may_write(folder, overwrite, err) || (kind->may_replace && !kind->may_replace(folder, err)))
        return false;
    temporary = foci_deliver_beside(folder, err);
    if (!temporary)
        return false;
    if (mkdir(temporary, 0777) != 0) {
        foci_fail(err, FOCI_NO_FILE, folder, 0, "cannot be made: %s; choose another {out}", strerror(errno));
        goto done;
    }
    if (!kind->write_files(content, temporary, &inner) ||
        (kind->summarise && !write_summary(kind, content, temporary, &inner))) {
        foci_deliver_pass_on(err, &inner, temporary, folder);
        foci_unfinished_remove(temporary);
        goto done;
    }
    ok = foci_deliver_folder(temporary, folder, overwrite, kind->mark, kind->is_ours ? kind->is_ours : is_json_of_ours,
                             kind->files, err);
done:
    free(temporary);
    return ok;
}
