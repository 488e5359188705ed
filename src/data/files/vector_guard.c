#include "data/files/vector_guard.h"

#include <cpl_vsi.h>
#include <errno.h>
#include <gdal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "data/files/crs_text.h"
#include "data/files/geopackage_guard.h"
#include "data/files/zip_members.h"

/* Bytes of a KMZ file or a zipped shapefile once they are unpacked. */
#define MOST_UNPACKED (64L << 20)
/* Bytes of a KML file: its reader holds the whole as a tree, which takes many times as much memory. */
#define MOST_OF_KML MOST_UNPACKED

/* ---- beside it ---- */

/* Read by the drivers where they are there, in either case. */
static const char *const companions[] = {".shx", ".dbf", ".prj", ".cpg", ".csvt", ".qix", ".sbn", ".sbx",  ".idm",
                                         ".ind", ".qpj", ".shp", ".SHX", ".DBF",  ".PRJ", ".CPG", ".CSVT", NULL};

static bool check_companion(const char *path, foci_error *err) {
    size_t size = 0;
    const size_t length = strlen(path);
    if (access(path, F_OK) != 0)
        return true;
    if (strcasecmp(path + length - 4, ".prj") != 0)
        return foci_file_check(path, FOCI_MOST_OF_TABLE, err);
    char *text = foci_file_read(path, FOCI_MOST_OF_PROFILE, &size, err);
    bool ok = text && foci_crs_text_check(text, path, err);
    free(text);
    return ok;
}

static bool check_companions(const char *file, foci_error *err) {
    const char *slash = strrchr(file, '/'), *dot = strrchr(slash ? slash : file, '.');
    const size_t stem = dot ? (size_t)(dot - file) : strlen(file);
    bool ok = true;
    for (const char *const *ending = companions; ok && *ending; ending++) {
        char *path = foci_format_text(err, "%.*s%s", (int)stem, file, *ending);
        ok = path && (strcmp(path, file) == 0 || check_companion(path, err));
        free(path);
    }
    return ok;
}

/* ---- inside it ---- */

/* As the archive's own list says: its readers make room for that much and no more. */
static bool check_unpacked(const char *file, foci_error *err) {
    bool is = false, known = true;
    if (!foci_zip_is(&is, file, err))
        return false;
    if (!is)
        return true;
    char *archive = foci_format_text(err, "/vsizip/{%s}", file);
    VSIDIR *list = archive ? VSIOpenDir(archive, -1, NULL) : NULL;
    GUIntBig size = 0;
    const VSIDIREntry *entry = NULL;
    while (list && known && size <= MOST_UNPACKED && (entry = VSIGetNextDirEntry(list)) != NULL) {
        known = entry->bSizeKnown || VSI_ISDIR(entry->nMode);
        size += entry->nSize < MOST_UNPACKED ? entry->nSize : MOST_UNPACKED + 1;
    }
    if (list)
        VSICloseDir(list);
    free(archive);
    if (!archive)
        return false;
    if (!list || !known)
        return foci_fail(err, FOCI_NO_FILE, file, 0, "is an archive whose list cannot be read; unpack it first");
    return size <= MOST_UNPACKED ||
           foci_fail(err, FOCI_NO_FILE, file, 0,
                     "unpacks to more than %ld MB; unpack it, and name the file with the stops or the boundary",
                     MOST_UNPACKED >> 20);
}

/* ---- by the driver that will read it ---- */

static bool check_kml(const char *file, foci_error *err) {
    struct stat info;
    if (stat(file, &info) != 0)
        return foci_fail(err, FOCI_NO_FILE, file, 0, "cannot be read: %s", strerror(errno));
    return info.st_size <= MOST_OF_KML ||
           foci_fail(err, FOCI_NO_FILE, file, 0,
                     "is larger than the %ld MB of KML that can be read; save it as GeoPackage", MOST_OF_KML >> 20);
}

static bool check_by_driver(const char *file, const char *const *drivers, foci_error *err) {
    GDALDriverH driver = GDALIdentifyDriverEx(file, GDAL_OF_VECTOR, drivers, NULL);
    const char *name = driver ? GDALGetDriverShortName(driver) : "";
    if (strncmp(name, "GeoJSON", 7) == 0)
        return foci_crs_text_check_geojson(file, err);
    return (strcmp(name, "KML") != 0 && strcmp(name, "LIBKML") != 0) || check_kml(file, err);
}

bool foci_vector_guard(const char *file, const char *const *drivers, foci_error *err) {
    return foci_file_check(file, FOCI_MOST_OF_TABLE, err) && check_companions(file, err) && check_unpacked(file, err) &&
           foci_geopackage_check(file, err) && check_by_driver(file, drivers, err);
}
