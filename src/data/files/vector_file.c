#include "data/files/vector_file.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/crs_text.h"
#include "data/files/fingerprint.h"
#include "data/files/gdal_session.h"
#include "data/files/geopackage_guard.h"
#include "data/files/sheet_rows.h"
#include "data/files/text_encoding.h"
#include "data/files/text_file.h"
#include "data/files/text_table.h"
#include "data/files/vector_guard.h"
#include "data/files/vector_shape.h"
#include "data/files/zip_shapefile.h"

/* A user's file may not name other files or addresses: no driver that follows references is on this list. */
static const char *const allowed_drivers[] = {"GeoJSON", "GeoJSONSeq", "ESRI Shapefile", "GPKG", "KML", "LIBKML",
                                              "GPX",     "FlatGeobuf", "XLSX",           "ODS",  NULL};
/* Dates stay as they were typed. */
static const char *const open_options[] = {"DATE_AS_STRING=YES", NULL};

/* ---- one file being read ---- */

typedef struct {
    const char *file;
    GDALDatasetH dataset;
    OGRLayerH layer;
    bool is_sheet;      /* every cell is text, and nobody knows yet which row has the names of the columns */
    char *archive;      /* where the file is a zipped shapefile: the folder in it, else NULL */
    bool counted_ahead; /* its header tells how many rows there are, and a file that is cut is read to its end */
    foci_gdal_talk talk;
    size_t most_cells; /* 0: all rows are read */
    size_t shape_capacity, cell_capacity;
    char sha256[65]; /* once it is known */
} reading;

static bool cannot_open(const reading *from, foci_error *err) {
    const char *remedy = foci_sheet_remedy(from->file);
    if (remedy)
        return foci_fail(err, FOCI_NO_FILE, from->file, 0, "%s", remedy);
    return foci_fail(err, FOCI_NO_FILE, from->file, 0,
                     "not a vector file that can be read (GeoJSON, shapefile, GeoPackage, CSV, workbook, KML, GPX, "
                     "FlatGeobuf)%s%.200s",
                     from->talk.failures ? ": " : "", from->talk.failures ? from->talk.text : "");
}

static bool open_dataset(reading *from, foci_error *err) {
    if (!foci_vector_guard(from->file, allowed_drivers, err) ||
        !foci_zip_shapefile_find(&from->archive, from->file, err))
        return false;
    from->dataset =
        GDALOpenEx(from->archive ? from->archive : from->file,
                   GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, allowed_drivers, open_options, NULL);
    if (!from->dataset)
        return cannot_open(from, err);
    GDALDriverH driver = GDALGetDatasetDriver(from->dataset);
    const char *name = driver ? GDALGetDriverShortName(driver) : "";
    from->is_sheet = strcmp(name, "XLSX") == 0 || strcmp(name, "ODS") == 0;
    from->counted_ahead = strcmp(name, "FlatGeobuf") == 0;
    return !from->is_sheet || foci_sheet_check(from->file, err);
}

static void begin(reading *from) {
    foci_gdal_begin(&from->talk);
    foci_geopackage_begin();
    foci_sheet_begin();
}

static void end(reading *from) {
    if (from->dataset)
        GDALClose(from->dataset);
    free(from->archive);
    foci_sheet_end();
    foci_geopackage_end();
    foci_gdal_end();
}

static bool cannot_go_on(const reading *from, long row, const char *what, foci_error *err) {
    if (foci_geopackage_is_late())
        return foci_fail(err, FOCI_BAD_INPUT, from->file, 0,
                         "takes too long to read; it may hold a view that does not end: save the layer as a table");
    return foci_fail(err, FOCI_BAD_INPUT, from->file, row, "%s: %s", what, from->talk.text);
}

static bool choose_layer(reading *from, const foci_layer_choice *choice, foci_error *err) {
    foci_error none = {0};
    bool ok = foci_vector_layer_choose(&from->layer, from->dataset, from->file, choice, &none);
    if (from->talk.failures || foci_geopackage_is_late())
        return cannot_go_on(from, 0, "cannot be read whole", err);
    return ok || foci_fail_again(err, &none);
}

/* ---- columns and cells ---- */

static foci_column_type column_type(OGRFieldDefnH field) {
    switch (OGR_Fld_GetType(field)) {
    case OFTInteger:
    case OFTInteger64:
        return FOCI_COLUMN_WHOLE;
    case OFTReal:
        return FOCI_COLUMN_NUMBER;
    default:
        return FOCI_COLUMN_TEXT;
    }
}

static bool read_columns(foci_table *table, const reading *from, foci_error *err) {
    OGRFeatureDefnH definition = OGR_L_GetLayerDefn(from->layer);
    size_t count = (size_t)OGR_FD_GetFieldCount(definition);
    table->columns = foci_new_array(count, sizeof *table->columns, err);
    table->types = foci_new_array(count, sizeof *table->types, err);
    if (!table->columns || !table->types)
        return false;
    table->column_count = count;
    for (size_t i = 0; i < count; i++) {
        OGRFieldDefnH field = OGR_FD_GetFieldDefn(definition, (int)i);
        table->types[i] = column_type(field);
        table->columns[i] = foci_text_encoding_copy(OGR_Fld_GetNameRef(field), err);
        if (!table->columns[i])
            return false;
    }
    return true;
}

static bool read_cell(foci_cell *cell, foci_column_type type, OGRFeatureH feature, int index, foci_error *err) {
    cell->number = NAN;
    if (!OGR_F_IsFieldSetAndNotNull(feature, index))
        return true;
    const char *text = OGR_F_GetFieldAsString(feature, index);
    if (!text[0])
        return true;
    cell->text = foci_text_encoding_copy(text, err);
    if (!cell->text)
        return false;
    if (type == FOCI_COLUMN_TEXT) {
        cell->is_number = foci_number_parse(cell->text, &cell->number);
        if (!cell->is_number)
            cell->number = NAN;
    } else {
        cell->is_number = true;
        cell->number = OGR_F_GetFieldAsDouble(feature, index);
    }
    return true;
}

/* The caller adds file and row to what is wrong. */
static bool read_row(foci_table *table, reading *from, OGRFeatureH feature, foci_error *err) {
    size_t row = table->row_count, columns = table->column_count;
    if (!foci_grow_array((void **)&table->shapes, &from->shape_capacity, row + 1, sizeof *table->shapes, err) ||
        !foci_grow_array((void **)&table->cells, &from->cell_capacity, (row + 1) * columns, sizeof *table->cells, err))
        return false;
    table->shapes[row] = (foci_shape){0};
    for (size_t c = 0; c < columns; c++)
        table->cells[row * columns + c] = (foci_cell){0};
    table->row_count++;
    if (!foci_vector_shape_read(&table->shapes[row], feature, err))
        return false;
    for (size_t c = 0; c < columns; c++)
        if (!read_cell(&table->cells[row * columns + c], table->types[c], feature, (int)c, err) ||
            !foci_table_check_letters(table->cells[row * columns + c].text, table->columns[c], err))
            return false;
    return true;
}

/* Whether all rows that are wanted were read, and there may be more. */
static bool has_head(const foci_table *table, const reading *from) {
    return table->row_count >= foci_table_head(table->column_count, from->most_cells);
}

static bool read_rows(foci_table *table, reading *from, foci_error *err) {
    OGRFeatureH feature = NULL;
    OGR_L_ResetReading(from->layer);
    from->talk = (foci_gdal_talk){0};
    while (!has_head(table, from) && (feature = OGR_L_GetNextFeature(from->layer))) {
        foci_error inner = {0};
        const bool room = table->row_count < FOCI_MOST_ROWS, ok = room && read_row(table, from, feature, &inner);
        OGR_F_Destroy(feature);
        if (!room)
            return foci_fail(err, FOCI_BAD_INPUT, from->file, 0, "has more than %d rows; save one round of one field",
                             FOCI_MOST_ROWS);
        if (!ok)
            return foci_fail(err, inner.status, inner.status == FOCI_NO_MEMORY ? NULL : from->file,
                             (long)table->row_count, "%s", inner.text);
    }
    if (from->talk.failures || foci_geopackage_is_late())
        return cannot_go_on(from, (long)table->row_count + 1, "cannot be read further", err);
    if (table->row_count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, from->file, 0, "holds no features");
    const bool head = has_head(table, from);
    const long long told =
        from->counted_ahead || head ? OGR_L_GetFeatureCount(from->layer, TRUE) : (long long)table->row_count;
    table->rows_there = told > (long long)table->row_count ? (size_t)told : table->row_count;
    return head || told == (long long)table->row_count ||
           foci_fail(err, FOCI_BAD_INPUT, from->file, (long)table->row_count + 1,
                     "ends after %zu of the %lld rows it should have; copy it again from where it came from",
                     table->row_count, told);
}

static bool read_sheet(foci_table *table, reading *from, foci_error *err) {
    foci_text_rows rows = {0};
    bool ok = foci_sheet_rows_read(&rows, from->layer, from->file, err) &&
              (!from->talk.failures || cannot_go_on(from, 0, "cannot be read whole", err)) &&
              foci_text_table_make(table, &rows, from->most_cells, from->file, err);
    foci_text_rows_free(&rows);
    return ok;
}

/* ---- the whole table ---- */

/* A GeoPackage says "Undefined ..." where it has no system. */
static bool read_crs(foci_table *table, const reading *from, foci_error *err) {
    OGRSpatialReferenceH system = from->is_sheet ? NULL : OGR_L_GetSpatialRef(from->layer);
    const char *name = system ? OSRGetName(system) : NULL;
    if (!system || (name && strncmp(name, "Undefined ", 10) == 0)) {
        table->crs = foci_copy_text("", err);
        return table->crs != NULL;
    }
    static const char *const options[] = {"FORMAT=WKT2_2018", NULL};
    char *wkt = NULL;
    if (OSRExportToWktEx(system, &wkt, options) != OGRERR_NONE)
        foci_fail(err, FOCI_BAD_INPUT, from->file, 0, "its coordinate reference system cannot be read");
    else
        table->crs = foci_copy_text(wkt, err);
    CPLFree(wkt);
    return table->crs && foci_crs_text_check(table->crs, from->file, err);
}

static int compare_names(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static bool find_fingerprint(reading *from, const char *driver, foci_error *err) {
    if (strcmp(driver, "GPKG") == 0 || from->archive) /* its journals come and go; one file holds all */
        return foci_fingerprint_files(from->sha256, &from->file, 1, err);
    char **files = GDALGetFileList(from->dataset);
    int count = CSLCount(files);
    if (count > 0)
        qsort(files, (size_t)count, sizeof *files, compare_names);
    bool ok = count > 0 ? foci_fingerprint_files(from->sha256, (const char *const *)files, (size_t)count, err)
                        : foci_fingerprint_files(from->sha256, &from->file, 1, err);
    CSLDestroy(files);
    return ok;
}

static bool read_fingerprint(foci_table *table, reading *from, foci_error *err) {
    if (!from->sha256[0] && !find_fingerprint(from, table->driver, err))
        return false;
    memcpy(table->sha256, from->sha256, sizeof table->sha256);
    return true;
}

static bool read_table(foci_table *table, reading *from, const foci_layer_choice *choice, foci_error *err) {
    if (!choose_layer(from, choice, err))
        return false;
    table->layer = foci_text_encoding_copy(OGR_L_GetName(from->layer), err);
    table->driver = foci_copy_text(GDALGetDriverShortName(GDALGetDatasetDriver(from->dataset)), err);
    return table->layer && table->driver && read_crs(table, from, err) && read_fingerprint(table, from, err) &&
           (from->is_sheet ? read_sheet(table, from, err)
                           : read_columns(table, from, err) && read_rows(table, from, err));
}

static bool read_next(foci_table *out, reading *from, const foci_layer_choice *choice, foci_error *err) {
    foci_table table = {0};
    from->layer = NULL;
    from->shape_capacity = from->cell_capacity = 0;
    if (read_table(&table, from, choice, err)) {
        *out = table;
        return true;
    }
    foci_table_free(&table);
    return false;
}

bool foci_table_read_layer(foci_table *out, const char *file, const char *layer, foci_error *err) {
    const foci_layer_choice choice = {.name = layer};
    return foci_table_read(out, file, &choice, err);
}

bool foci_table_read(foci_table *out, const char *file, const foci_layer_choice *choice, foci_error *err) {
    static const foci_layer_choice first = {0};
    reading from = {.file = file};
    bool is_text = false;
    begin(&from);
    bool ok = foci_text_file_is(&is_text, file, allowed_drivers, err) &&
              (is_text ? foci_text_file_read(out, file, choice ? choice->name : NULL, 0, err)
                       : open_dataset(&from, err) && read_next(out, &from, choice ? choice : &first, err));
    end(&from);
    return ok;
}

bool foci_table_read_layers(foci_table *tables, const char *file, const char *const *layers, size_t count,
                            foci_error *err) {
    reading from = {.file = file};
    begin(&from);
    bool ok = open_dataset(&from, err);
    for (size_t i = 0; ok && i < count; i++) {
        const foci_layer_choice choice = {.name = layers[i]};
        ok = !layers[i] || read_next(&tables[i], &from, &choice, err);
    }
    end(&from);
    for (size_t i = 0; !ok && i < count; i++)
        foci_table_free(&tables[i]);
    return ok;
}

/* The points that a GPX file's routes and tracks are made of are no features of their own. */
static bool is_made_of(const char *name) {
    return strcmp(name, "route_points") == 0 || strcmp(name, "track_points") == 0;
}

/* `tables` has room for each layer of the file; `*count` grows with each that is read. */
static bool read_each(foci_table *tables, size_t *count, reading *from, foci_error *err) {
    const bool gpx = strcmp(GDALGetDriverShortName(GDALGetDatasetDriver(from->dataset)), "GPX") == 0;
    for (int i = 0; i < GDALDatasetGetLayerCount(from->dataset); i++) {
        OGRLayerH layer = GDALDatasetGetLayer(from->dataset, i);
        const foci_layer_choice choice = {.name = OGR_L_GetName(layer)};
        if ((gpx && is_made_of(choice.name)) || OGR_L_GetFeatureCount(layer, TRUE) <= 0)
            continue;
        if (!read_next(&tables[*count], from, &choice, err))
            return false;
        ++*count;
    }
    return *count > 0 || foci_fail(err, FOCI_BAD_INPUT, from->file, 0, "holds no features");
}

static bool read_every_layer(foci_table **out, size_t *count, const char *file, size_t most_cells, foci_error *err) {
    reading from = {.file = file, .most_cells = most_cells};
    foci_table *tables = NULL;
    size_t found = 0;
    bool is_text = false;
    begin(&from);
    bool ok =
        foci_text_file_is(&is_text, file, allowed_drivers, err) && (is_text || open_dataset(&from, err)) &&
        (tables = foci_new_array(is_text ? 1 : (size_t)GDALDatasetGetLayerCount(from.dataset), sizeof *tables, err)) &&
        (is_text ? foci_text_file_read(tables, file, NULL, most_cells, err) : read_each(tables, &found, &from, err));
    found += ok && is_text;
    end(&from);
    for (size_t i = 0; !ok && i < found; i++)
        foci_table_free(&tables[i]);
    if (!ok) {
        free(tables);
        return false;
    }
    *out = tables;
    *count = found;
    return true;
}

bool foci_table_read_all(foci_table **out, size_t *count, const char *file, foci_error *err) {
    return read_every_layer(out, count, file, 0, err);
}

bool foci_table_read_heads(foci_table **out, size_t *count, const char *file, size_t most_cells, foci_error *err) {
    return read_every_layer(out, count, file, most_cells, err);
}

const char *foci_vector_file_version(void) {
    return GDALVersionInfo("RELEASE_NAME");
}
