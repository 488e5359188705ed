#include "base/path.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/text.h"

/* The last `parts` parts of a path. */
static const char *tail(const char *path, size_t parts) {
    const char *end = path + strlen(path);
    while (end > path && end[-1] == '/')
        end--;
    while (end > path && !(end[-1] == '/' && --parts == 0))
        end--;
    return end;
}

const char *foci_path_name(const char *path) {
    return tail(path, 1);
}

const char *foci_path_name_alone(char *const *paths, size_t count, size_t which) {
    const char *name = NULL;
    for (size_t parts = 1; name != paths[which]; parts++) {
        bool alone = true;
        name = tail(paths[which], parts);
        for (size_t i = 0; i < count; i++)
            alone = alone && (i == which || strcmp(tail(paths[i], parts), name) != 0);
        if (alone)
            break;
    }
    return name;
}

char *foci_path_folder(const char *file, foci_error *err) {
    const char *slash = strrchr(file, '/');
    if (!slash)
        return foci_copy_text(".", err);
    return foci_format_text(err, "%.*s", slash == file ? 1 : (int)(slash - file), file);
}

/* Absolute and without links but for the last part, which need not be there; NULL without an error where its folder is
 * not there. */
static char *settle(const char *path, foci_error *err) {
    char real[PATH_MAX];
    size_t length = strlen(path);
    while (length > 1 && path[length - 1] == '/')
        length--;
    char *plain = foci_format_text(err, "%.*s", (int)length, path);
    char *folder = plain ? foci_path_folder(plain, err) : NULL;
    char *settled = NULL;
    if (folder && realpath(folder, real)) {
        const char *slash = strrchr(plain, '/'), *last = slash ? slash + 1 : plain;
        const bool dots = !*last || strcmp(last, ".") == 0 || strcmp(last, "..") == 0;
        if (!dots)
            settled = foci_format_text(err, "%s/%s", strcmp(real, "/") == 0 ? "" : real, last);
        else if (realpath(plain, real))
            settled = foci_copy_text(real, err);
    }
    free(folder);
    free(plain);
    return settled;
}

/* Both absolute and settled. */
static char *relate(const char *folder, const char *path, foci_error *err) {
    foci_text text = {0};
    size_t common = 0, i = 0;
    for (; folder[i] && folder[i] == path[i]; i++)
        if (path[i] == '/')
            common = i;
    if (!folder[i] && path[i] == '/')
        common = i; /* it lies in the folder itself */
    bool ok = true;
    for (const char *rest = folder + common; ok && *rest; rest++)
        if (*rest == '/' && rest[1])
            ok = foci_text_add(&text, err, "../");
    if (ok && foci_text_add(&text, err, "%s", path + common + 1))
        return text.text;
    foci_text_free(&text);
    return NULL;
}

char *foci_path_from(const char *folder, const char *path, foci_error *err) {
    if (*path == '/' || access(path, F_OK) != 0)
        return foci_copy_text(path, err);
    char *from = settle(folder, err), *to = from ? settle(path, err) : NULL;
    char *related = to ? relate(from, to, err) : err->status == FOCI_OK ? foci_copy_text(path, err) : NULL;
    free(from);
    free(to);
    return related;
}

/* "first/../stops.csv" is "stops.csv", unless `first` is a link to elsewhere. */
static char *shorten(const char *folder, const char *path, foci_error *err) {
    char real_up[PATH_MAX], real_short[PATH_MAX];
    if (strncmp(path, "../", 3) != 0 || strcmp(folder, ".") == 0)
        return NULL;
    char *up = foci_format_text(err, "%s/..", folder), *parent = up ? foci_path_folder(folder, err) : NULL;
    char *short_path = NULL;
    if (parent && realpath(up, real_up) && realpath(parent, real_short) && strcmp(real_up, real_short) == 0)
        short_path = foci_path_beside(parent, path + 3, err);
    free(up);
    free(parent);
    return short_path;
}

char *foci_path_beside(const char *folder, const char *path, foci_error *err) {
    if (*path == '/' || strcmp(folder, ".") == 0)
        return foci_copy_text(path, err);
    char *short_path = shorten(folder, path, err);
    if (short_path || err->status != FOCI_OK)
        return short_path;
    return foci_format_text(err, "%s%s%s", folder, strcmp(folder, "/") == 0 ? "" : "/", path);
}
