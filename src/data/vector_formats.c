#include "data/vector_formats.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"

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
    {".shp", "ESRI Shapefile", false, false, true, false, shapefile_options, shapefile_companions},
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

void foci_vector_format_remove(const foci_vector_format *format, const char *path) {
    size_t stem = strlen(path) - strlen(format->ending);
    char name[4096];
    unlink(path);
    for (const char *const *ending = format->companions; *ending; ending++)
        if (snprintf(name, sizeof name, "%.*s%s", (int)stem, path, *ending) < (int)sizeof name)
            unlink(name);
}
