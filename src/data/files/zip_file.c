#include "data/files/zip_file.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "data/files/gdal_session.h"

/* Folders in folders. */
enum { DEPTH_MOST = 8 };

typedef struct {
    const char *folder; /* of all of it */
    void *zip;
    foci_error *err;
    bool (*visit)(void *zip, const char *name, const char *bytes, size_t size, foci_error *err);
} zip_walk;

static bool visit_file(const zip_walk *walk, const char *path, const char *name) {
    size_t size = 0;
    char *bytes = foci_file_read(path, FOCI_MOST_OF_TABLE, &size, walk->err);
    const bool ok = bytes && walk->visit(walk->zip, name, bytes, size, walk->err);
    free(bytes);
    return ok;
}

static int by_name(const void *a, const void *b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* `inner`: the folder's name in the archive with its slash, "" at the top. */
static bool visit_folder(const zip_walk *walk, const char *inner, int depth) {
    char *place = foci_format_text(walk->err, "%s/%s", walk->folder, inner);
    char **names = place ? VSIReadDir(place) : NULL;
    const int count = CSLCount(names);
    bool ok = place && depth < DEPTH_MOST &&
              (names || foci_fail(walk->err, FOCI_NO_FILE, walk->folder, 0, "a folder in it cannot be read"));
    if (names)
        qsort(names, (size_t)count, sizeof *names, by_name);
    for (int i = 0; ok && names && i < count; i++) {
        struct stat about;
        if (strcmp(names[i], ".") == 0 || strcmp(names[i], "..") == 0)
            continue;
        char *path = foci_format_text(walk->err, "%s/%s%s", walk->folder, inner, names[i]);
        char *name = foci_format_text(walk->err, "%s%s", inner, names[i]);
        ok = path && name && lstat(path, &about) == 0;
        if (ok && S_ISDIR(about.st_mode)) {
            char *deeper = foci_format_text(walk->err, "%s/", name);
            ok = deeper && visit_folder(walk, deeper, depth + 1);
            free(deeper);
        } else if (ok && S_ISREG(about.st_mode)) {
            ok = visit_file(walk, path, name);
        }
        free(path);
        free(name);
    }
    CSLDestroy(names);
    free(place);
    return ok;
}

static bool add_file(void *zip, const char *name, const char *bytes, size_t size, foci_error *err) {
    const bool ok = CPLCreateFileInZip(zip, name, NULL) == CE_None &&
                    (size == 0 || CPLWriteFileInZip(zip, bytes, (int)size) == CE_None) &&
                    CPLCloseFileInZip(zip) == CE_None;
    return ok || foci_fail(err, FOCI_NO_FILE, name, 0, "cannot be put into the archive");
}

/* `zip` is the archive's name. */
static bool compare_file(void *zip, const char *name, const char *bytes, size_t size, foci_error *err) {
    char *path = foci_format_text(err, "/vsizip/{%s}/%s", (const char *)zip, name);
    VSILFILE *file = path ? VSIFOpenL(path, "rb") : NULL;
    char *again = malloc(size + 2);
    const bool same = file && again && VSIFReadL(again, 1, size + 1, file) == size && memcmp(again, bytes, size) == 0;
    if (file)
        VSIFCloseL(file);
    free(again);
    free(path);
    return same || foci_fail(err, FOCI_NO_FILE, name, 0, "is not the same in the archive");
}

static bool make(const char *folder, const char *name, foci_error *err) {
    void *zip = CPLCreateZip(name, NULL);
    if (!zip)
        return foci_fail(err, FOCI_NO_FILE, folder, 0, "no archive can be made");
    const zip_walk adding = {folder, zip, err, add_file};
    bool ok = visit_folder(&adding, "", 0);
    if (CPLCloseZip(zip) != CE_None && ok)
        ok = foci_fail(err, FOCI_NO_FILE, folder, 0, "the archive cannot be ended");
    const zip_walk comparing = {folder, (void *)(size_t)name, err, compare_file};
    return ok && visit_folder(&comparing, "", 0);
}

bool foci_zip_write(const char *folder, const char *path, foci_error *err) {
    foci_gdal_talk talk = {0};
    foci_error inner = {0};
    char *name = foci_format_text(err, "/vsimem/zip-%d-%p.zip", (int)getpid(), (void *)&talk);
    if (!name)
        return false;
    foci_gdal_begin(&talk);
    bool ok = make(folder, name, &inner);
    if (ok) {
        const int file = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        ok = file >= 0 ? foci_gdal_save(name, file, path, &inner)
                       : foci_fail(&inner, FOCI_NO_FILE, path, 0, "cannot be written: %s", strerror(errno));
        if (file >= 0 && !ok)
            (void)unlink(path);
    }
    (void)VSIUnlink(name);
    foci_gdal_end();
    free(name);
    return ok || foci_fail(err, inner.status ? inner.status : FOCI_NO_FILE, path, 0, "%s",
                           inner.status ? inner.text : "cannot be written");
}

bool foci_zip_holds(const char *path, const char *name, const char *text) {
    foci_gdal_talk talk = {0};
    foci_error ignored = {0};
    char begins[256] = "";
    char *inner = foci_format_text(&ignored, "/vsizip/{%s}/%s", path, name);
    const size_t wanted = strlen(text);
    foci_gdal_begin(&talk);
    VSILFILE *file = inner && wanted < sizeof begins ? VSIFOpenL(inner, "rb") : NULL;
    const bool holds = file && VSIFReadL(begins, 1, wanted, file) == wanted && memcmp(begins, text, wanted) == 0;
    if (file)
        VSIFCloseL(file);
    foci_gdal_end();
    free(inner);
    return holds;
}
