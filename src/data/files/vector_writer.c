#include "data/files/vector_file.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/gdal_session.h"
#include "data/files/vector_formats.h"

/* ---- one file being written ---- */

typedef struct {
    char *name;
    size_t features;
} written_layer;

struct foci_vector_writer {
    char *path, *target; /* target: what the driver writes to */
    int file;            /* the main file, open for our own writing of what is in memory; -1 where the driver writes */
    const foci_vector_format *format;
    GDALDatasetH dataset;
    OGRSpatialReferenceH wgs84;
    OGRLayerH layer;
    foci_shape_kind kind;
    foci_column_type *types; /* of the layer's columns */
    size_t column_count;
    int lon, lat, first; /* the layer's fields of our own lon and lat (-1: none), and of the first column */
    written_layer *layers;
    size_t layer_count, layer_capacity;
    foci_gdal_talk talk;
};

static void enter(foci_vector_writer *writer) {
    foci_gdal_begin(&writer->talk);
    foci_gdal_date_begin();
}

static void leave(void) {
    foci_gdal_date_end();
    foci_gdal_end();
}

static bool write_failed(const foci_vector_writer *writer, foci_error *err) {
    return foci_fail(err, FOCI_NO_FILE, writer->path, 0, "cannot be written: %s",
                     writer->talk.text[0] ? writer->talk.text : "the disk may be full");
}

static bool troubled(const foci_vector_writer *writer) {
    return writer->talk.failures || writer->talk.warnings;
}

static void close_target(foci_vector_writer *writer) {
    if (writer->dataset)
        GDALClose(writer->dataset);
    writer->dataset = NULL;
}

static void free_writer(foci_vector_writer *writer) {
    close_target(writer);
    if (writer->wgs84)
        OSRRelease(writer->wgs84);
    char name[FOCI_VECTOR_PATH];
    bool in_memory = writer->target && writer->format->through_memory;
    for (size_t part = 0; in_memory && foci_vector_format_part(name, writer->format, writer->target, part); part++)
        VSIUnlink(name);
    if (writer->file >= 0)
        close(writer->file);
    for (size_t i = 0; i < writer->layer_count; i++)
        free(writer->layers[i].name);
    free(writer->layers);
    free(writer->types);
    free(writer->target);
    free(writer->path);
    free(writer);
}

/* ---- opening ---- */

static bool open_target(foci_vector_writer *writer, foci_error *err) {
    if (writer->format->through_memory) {
        if (!foci_vector_format_create(&writer->file, writer->path, err))
            return false;
        writer->target = foci_format_text(err, "/vsimem/fieldfoci-%p%s", (void *)writer, writer->format->ending);
    } else {
        writer->target = foci_copy_text(writer->path, err);
    }
    if (!writer->target)
        return false;
    GDALDriverH driver = GDALGetDriverByName(writer->format->driver);
    writer->dataset = driver ? GDALCreate(driver, writer->target, 0, 0, 0, GDT_Unknown, NULL) : NULL;
    writer->wgs84 = OSRNewSpatialReference(NULL);
    if (!writer->dataset || !writer->wgs84 || OSRImportFromEPSG(writer->wgs84, 4326) != OGRERR_NONE || troubled(writer))
        return write_failed(writer, err);
    OSRSetAxisMappingStrategy(writer->wgs84, OAMS_TRADITIONAL_GIS_ORDER);
    return true;
}

bool foci_vector_writer_open(foci_vector_writer **out, const char *path, foci_error *err) {
    const foci_vector_format *format = foci_vector_format_of(path);
    if (!format)
        return foci_fail(err, FOCI_BAD_SETTING, path, 0,
                         "its ending names no format; use .gpkg, .geojson, .shp, .fgb or .csv");
    if (!foci_vector_format_is_free(format, path, err))
        return false;
    foci_vector_writer *writer = foci_new_array(1, sizeof *writer, err);
    if (!writer)
        return false;
    writer->format = format;
    writer->file = -1;
    writer->path = foci_copy_text(path, err);
    if (!writer->path) {
        free_writer(writer);
        return false;
    }
    enter(writer);
    bool ok = open_target(writer, err);
    leave();
    if (ok)
        *out = writer;
    else
        foci_vector_writer_drop(writer);
    return ok;
}

/* ---- layers ---- */

static bool has_column(const foci_column *columns, size_t count, const char *name) {
    for (size_t i = 0; i < count; i++)
        if (foci_text_same(columns[i].name, name))
            return true;
    return false;
}

/* The database's own columns step aside for the caller's: `name`, else with underscores after it. */
static char **add_free_name(char **options, const char *key, const char *name, const foci_column *columns,
                            size_t count) {
    char candidate[32] = "";
    size_t length = (size_t)snprintf(candidate, sizeof candidate, "%s", name);
    while (has_column(columns, count, candidate) && length + 1 < sizeof candidate)
        candidate[length++] = '_';
    return CSLSetNameValue(options, key, candidate);
}

static OGRwkbGeometryType layer_geometry(const foci_vector_format *format, foci_shape_kind kind) {
    if (format->plain_table || (kind != FOCI_SHAPE_POINT && kind != FOCI_SHAPE_AREA))
        return wkbNone;
    return kind == FOCI_SHAPE_POINT ? wkbPoint : wkbMultiPolygon;
}

static bool create_layer(foci_vector_writer *writer, const char *name, const foci_column *columns, size_t count,
                         foci_error *err) {
    bool first = writer->layer_count == 0, several = writer->format->database;
    if (several && !((first || GDALDatasetCommitTransaction(writer->dataset) == OGRERR_NONE) &&
                     GDALDatasetStartTransaction(writer->dataset, FALSE) == OGRERR_NONE))
        return write_failed(writer, err);
    char **options = CSLDuplicate((char **)writer->format->layer_options);
    if (several) {
        options = add_free_name(options, "FID", "fid", columns, count);
        options = add_free_name(options, "GEOMETRY_NAME", "geom", columns, count);
    }
    writer->layer = GDALDatasetCreateLayer(writer->dataset, name, writer->wgs84,
                                           layer_geometry(writer->format, writer->kind), options);
    CSLDestroy(options);
    return (writer->layer && !troubled(writer)) || write_failed(writer, err);
}

/* `*index` is the new field's. A driver that would store it under another name is refused. */
static bool create_field(foci_vector_writer *writer, int *index, const char *name, foci_column_type type,
                         foci_error *err) {
    static const OGRFieldType field_types[] = {[FOCI_COLUMN_TEXT] = OFTString,
                                               [FOCI_COLUMN_NUMBER] = OFTReal,
                                               [FOCI_COLUMN_WHOLE] = OFTInteger64,
                                               [FOCI_COLUMN_FIXED] = OFTReal};
    OGRFeatureDefnH definition = OGR_L_GetLayerDefn(writer->layer);
    *index = OGR_FD_GetFieldCount(definition);
    for (int i = 0; i < *index; i++)
        if (strcmp(OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(definition, i)), name) == 0)
            return foci_fail(err, FOCI_BAD_INPUT, writer->path, 0, "two columns are named '%s'; rename one", name);
    OGRFieldDefnH field = OGR_Fld_Create(name, writer->format->plain_table ? OFTString : field_types[type]);
    if (type == FOCI_COLUMN_FIXED && writer->format->fixed_widths)
        OGR_Fld_Set(field, name, OFTReal, 14, 4, OJUndefined);
    bool ok = OGR_L_CreateField(writer->layer, field, TRUE) == OGRERR_NONE;
    OGR_Fld_Destroy(field);
    if (!ok)
        return write_failed(writer, err);
    if (strcmp(OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(definition, *index)), name) != 0)
        return foci_fail(err, FOCI_BAD_INPUT, writer->path, 0,
                         "a column of this format cannot be named '%s'; shorten it to 10 letters or use .gpkg", name);
    return !troubled(writer) || write_failed(writer, err);
}

static bool create_place(foci_vector_writer *writer, int *index, const char *name, const foci_column *columns,
                         size_t count, foci_error *err) {
    *index = -1;
    bool wanted = writer->format->plain_table && writer->kind == FOCI_SHAPE_POINT;
    return !wanted || has_column(columns, count, name) || create_field(writer, index, name, FOCI_COLUMN_NUMBER, err);
}

static bool create_fields(foci_vector_writer *writer, const foci_column *columns, size_t count, foci_error *err) {
    if (!create_place(writer, &writer->lon, "lon", columns, count, err) ||
        !create_place(writer, &writer->lat, "lat", columns, count, err))
        return false;
    writer->first = (writer->lon >= 0) + (writer->lat >= 0);
    for (size_t i = 0; i < count; i++) {
        int index = 0;
        if (!create_field(writer, &index, columns[i].name, columns[i].type, err))
            return false;
    }
    return true;
}

static bool note_layer(foci_vector_writer *writer, const char *name, const foci_column *columns, size_t count,
                       foci_error *err) {
    foci_column_type *types = foci_new_array(count, sizeof *types, err);
    if (!types)
        return false;
    for (size_t i = 0; i < count; i++)
        types[i] = columns[i].type;
    free(writer->types);
    writer->types = types;
    writer->column_count = count;
    char *copy = foci_copy_text(name, err);
    if (!copy || !foci_grow_array((void **)&writer->layers, &writer->layer_capacity, writer->layer_count + 1,
                                  sizeof *writer->layers, err)) {
        free(copy);
        return false;
    }
    writer->layers[writer->layer_count++] = (written_layer){copy, 0};
    return true;
}

bool foci_vector_writer_layer(foci_vector_writer *writer, const char *name, foci_shape_kind kind,
                              const foci_column *columns, size_t column_count, foci_error *err) {
    if (writer->layer_count > 0 && !writer->format->database)
        return foci_fail(err, FOCI_BAD_SETTING, writer->path, 0,
                         "this format holds one layer only; use .gpkg for several");
    if (writer->format->plain_table && kind == FOCI_SHAPE_AREA)
        return foci_fail(err, FOCI_BAD_SETTING, writer->path, 0,
                         "a CSV file has no place for areas; use .gpkg or .geojson");
    writer->kind = kind;
    enter(writer);
    bool ok = create_layer(writer, name, columns, column_count, err) &&
              create_fields(writer, columns, column_count, err) && note_layer(writer, name, columns, column_count, err);
    leave();
    return ok;
}

/* ---- features ---- */

/* The fewest digits that read back as the same number. */
static void set_number_text(OGRFeatureH feature, int field, double number) {
    char text[40];
    for (int digits = 15; digits <= 17; digits++) {
        CPLsnprintf(text, sizeof text, "%.*g", digits, number);
        if (CPLAtof(text) == number)
            break;
    }
    OGR_F_SetFieldString(feature, field, text);
}

static bool set_cell(const foci_vector_writer *writer, OGRFeatureH feature, size_t column, const char *const *texts,
                     const double *numbers, foci_error *err) {
    int field = writer->first + (int)column;
    if (writer->types[column] == FOCI_COLUMN_TEXT) {
        if (texts[column])
            OGR_F_SetFieldString(feature, field, texts[column]);
        else
            OGR_F_SetFieldNull(feature, field);
        return true;
    }
    const double number = numbers[column];
    const bool whole = writer->types[column] == FOCI_COLUMN_WHOLE;
    if (whole && !isnan(number) && (fabs(number) > 9007199254740992.0 || number != floor(number)))
        return foci_fail(err, FOCI_BAD_INPUT, writer->path, 0, "%g is not a whole number", number);
    if (isnan(number))
        OGR_F_SetFieldNull(feature, field);
    else if (writer->format->plain_table)
        set_number_text(feature, field, number);
    else if (whole)
        OGR_F_SetFieldInteger64(feature, field, (GIntBig)number);
    else
        OGR_F_SetFieldDouble(feature, field, number);
    return true;
}

static void set_place(const foci_vector_writer *writer, OGRFeatureH feature, const foci_point *point,
                      const foci_multipolygon *area) {
    if (point && writer->lon >= 0)
        set_number_text(feature, writer->lon, point->x);
    if (point && writer->lat >= 0)
        set_number_text(feature, writer->lat, point->y);
    if (layer_geometry(writer->format, writer->kind) == wkbNone || (!point && !area))
        return;
    OGR_F_SetGeometryDirectly(feature, foci_vector_shape_make(point, area));
}

bool foci_vector_writer_add(foci_vector_writer *writer, const char *const *texts, const double *numbers,
                            const foci_point *point, const foci_multipolygon *area, foci_error *err) {
    enter(writer);
    bool ok = true;
    OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(writer->layer));
    for (size_t c = 0; ok && c < writer->column_count; c++)
        ok = set_cell(writer, feature, c, texts, numbers, err);
    if (ok) {
        set_place(writer, feature, point, area);
        ok = (OGR_L_CreateFeature(writer->layer, feature) == OGRERR_NONE && !troubled(writer)) ||
             write_failed(writer, err);
    }
    OGR_F_Destroy(feature);
    leave();
    if (ok)
        writer->layers[writer->layer_count - 1].features++;
    return ok;
}

bool foci_vector_writer_note(foci_vector_writer *writer, const char *key, const char *text, foci_error *err) {
    if (!writer->format->database)
        return true;
    enter(writer);
    bool ok = GDALSetMetadataItem(writer->dataset, key, text, NULL) == CE_None || write_failed(writer, err);
    leave();
    return ok;
}

/* ---- closing ---- */

static bool close_dataset(foci_vector_writer *writer, foci_error *err) {
    bool ok = !writer->format->database || writer->layer_count == 0 ||
              GDALDatasetCommitTransaction(writer->dataset) == OGRERR_NONE;
    GDALFlushCache(writer->dataset);
    close_target(writer);
    return (ok && !troubled(writer)) || write_failed(writer, err);
}

static bool counts_agree(foci_vector_writer *writer, foci_error *err) {
    const char *const drivers[] = {writer->format->driver, NULL};
    GDALDatasetH written = GDALOpenEx(writer->path, GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR, drivers, NULL, NULL);
    bool ok = written != NULL;
    for (size_t i = 0; ok && i < writer->layer_count; i++) {
        OGRLayerH layer = writer->format->database ? GDALDatasetGetLayerByName(written, writer->layers[i].name)
                                                   : GDALDatasetGetLayer(written, 0);
        ok = layer && OGR_L_GetFeatureCount(layer, TRUE) == (GIntBig)writer->layers[i].features;
    }
    if (written)
        GDALClose(written);
    return ok || foci_fail(err, FOCI_NO_FILE, writer->path, 0,
                           "what was written does not read back the same (is the disk full?)%s%.200s",
                           writer->talk.text[0] ? ": " : "", writer->talk.text);
}

bool foci_vector_writer_close(foci_vector_writer *writer, foci_error *err) {
    enter(writer);
    bool ok = close_dataset(writer, err);
    if (ok && writer->format->through_memory) {
        ok = foci_vector_format_save(writer->format, writer->target, writer->file, writer->path, err);
        writer->file = -1;
    }
    ok = ok && counts_agree(writer, err);
    if (!ok)
        foci_vector_format_remove(writer->format, writer->path);
    free_writer(writer);
    leave();
    return ok;
}

void foci_vector_writer_drop(foci_vector_writer *writer) {
    if (!writer)
        return;
    enter(writer);
    close_target(writer);
    foci_vector_format_remove(writer->format, writer->path);
    free_writer(writer);
    leave();
}
