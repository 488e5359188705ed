#include "data/files/vector_formats.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "data/files/gdal_session.h"

static const char *const no_words[] = {NULL};
/* 9 decimals of a degree are a tenth of a millimetre. */
static const char *const geojson_options[] = {"RFC7946=YES", "COORDINATE_PRECISION=9", "SIGNIFICANT_FIGURES=17", NULL};
static const char *const csv_options[] = {"STRING_QUOTING=IF_NEEDED", "LINEFORMAT=LF", NULL};
static const char *const shapefile_options[] = {"ENCODING=UTF-8", NULL};
static const char *const gpkg_companions[] = {".gpkg-journal", ".gpkg-wal", ".gpkg-shm", NULL};
static const char *const shapefile_companions[] = {".shx", ".dbf", ".prj", ".cpg", NULL};
static const char *const flatgeobuf_companions[] = {"_temp.fgb", NULL};

static const foci_vector_format formats[] = {
    {".gpkg", "GPKG", false, true, false, false, no_words, gpkg_companions},
    {".geojson", "GeoJSON", true, false, false, false, geojson_options, no_words},
    {".shp", "ESRI Shapefile", true, false, true, false, shapefile_options, shapefile_companions},
    {".fgb", "FlatGeobuf", false, false, false, false, no_words, flatgeobuf_companions},
    {".csv", "CSV", true, false, false, true, csv_options, no_words},
    {0},
};

const foci_vector_format *foci_vector_format_of(const char *path) {
    size_t length = strlen(path);
    for (const foci_vector_format *row = formats; row->ending; row++) {
        size_t ending = strlen(row->ending);
        if (length > ending && foci_text_same(path + length - ending, row->ending))
            return row;
    }
    return NULL;
}

bool foci_vector_format_part(char name[FOCI_VECTOR_PATH], const foci_vector_format *format, const char *path,
                             size_t part) {
    int stem = (int)(strlen(path) - strlen(format->ending));
    if (part > 0 && !format->companions[part - 1])
        return false;
    const char *ending = part > 0 ? format->companions[part - 1] : path + stem;
    return snprintf(name, FOCI_VECTOR_PATH, "%.*s%s", stem, path, ending) < FOCI_VECTOR_PATH;
}

bool foci_vector_format_is_free(const foci_vector_format *format, const char *path, foci_error *err) {
    char name[FOCI_VECTOR_PATH];
    for (size_t part = 0; foci_vector_format_part(name, format, path, part); part++)
        if (access(name, F_OK) == 0)
            return foci_fail(err, FOCI_NO_FILE, name, 0, "is there already");
    return true;
}

bool foci_vector_format_create(int *file, const char *path, foci_error *err) {
    *file = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    return *file >= 0 || foci_fail(err, FOCI_NO_FILE, path, 0, "cannot be written: %s", strerror(errno));
}

static bool save_companion(const char *from, const char *to, foci_error *err) {
    int file = -1;
    return foci_vector_format_create(&file, to, err) && foci_gdal_save(from, file, to, err);
}

bool foci_vector_format_save(const foci_vector_format *format, const char *memory, int file, const char *path,
                             foci_error *err) {
    char from[FOCI_VECTOR_PATH], to[FOCI_VECTOR_PATH];
    bool ok = true;
    for (size_t part = 1; ok && foci_vector_format_part(from, format, memory, part); part++)
        ok = foci_vector_format_part(to, format, path, part)
                 ? save_companion(from, to, err)
                 : foci_fail(err, FOCI_NO_FILE, path, 0, "is too long a name; choose a shorter one");
    if (ok)
        return foci_gdal_save(memory, file, path, err);
    close(file);
    return false;
}

void foci_vector_format_remove(const foci_vector_format *format, const char *path) {
    char name[FOCI_VECTOR_PATH];
    for (size_t part = 0; foci_vector_format_part(name, format, path, part); part++)
        unlink(name);
}
