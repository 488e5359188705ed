#include "data/files/raster_file.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <float.h>
#include <gdal.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "data/files/gdal_session.h"

/* ---- writing ---- */

/* What the file must hold: the layer as floats. */
static float *float_cells(const double *layer, size_t count, const char *path, foci_error *err) {
    float *cells = foci_new_array(count, sizeof *cells, err);
    for (size_t i = 0; cells && i < count; i++) {
        if (isfinite(layer[i]) && fabs(layer[i]) > FLT_MAX) {
            foci_fail(err, FOCI_BAD_INPUT, path, 0, "%g is too large for the cells of a raster file", layer[i]);
            free(cells);
            return NULL;
        }
        cells[i] = (float)layer[i];
    }
    return cells;
}

static bool set_place(GDALDatasetH dataset, const foci_grid *grid, const char *crs) {
    double corner[6] = {grid->west, grid->cell, 0, grid->north, 0, -grid->cell};
    OGRSpatialReferenceH system = OSRNewSpatialReference(NULL);
    bool ok = system && OSRSetFromUserInput(system, crs) == OGRERR_NONE;
    if (ok) {
        OSRSetAxisMappingStrategy(system, OAMS_TRADITIONAL_GIS_ORDER);
        ok = GDALSetSpatialRef(dataset, system) == CE_None && GDALSetGeoTransform(dataset, corner) == CE_None;
    }
    OSRDestroySpatialReference(system);
    return ok;
}

static bool set_words(GDALDatasetH dataset, const char *unit, const char *description, const foci_note *notes) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
    GDALSetDescription(band, description);
    bool ok = GDALSetRasterNoDataValue(band, NAN) == CE_None && GDALSetRasterUnitType(band, unit) == CE_None;
    for (const foci_note *note = notes; ok && note && note->key; note++)
        ok = GDALSetMetadataItem(dataset, note->key, note->text, NULL) == CE_None;
    return ok;
}

/* The finished raster in memory: what the file's driver copies from. */
static GDALDatasetH memory_raster(const foci_grid *grid, const char *crs, float *cells, const char *unit,
                                  const char *description, const foci_note *notes) {
    int columns = (int)grid->columns, rows = (int)grid->rows;
    GDALDatasetH dataset = GDALCreate(GDALGetDriverByName("MEM"), "", columns, rows, 1, GDT_Float32, NULL);
    if (!dataset)
        return NULL;
    if (set_place(dataset, grid, crs) && set_words(dataset, unit, description, notes) &&
        GDALRasterIO(GDALGetRasterBand(dataset, 1), GF_Write, 0, 0, columns, rows, cells, columns, rows, GDT_Float32, 0,
                     0) == CE_None)
        return dataset;
    GDALClose(dataset);
    return NULL;
}

/* Overviews are means, so that no picture made from them leaves the range of the values. */
static bool copy_to_file(GDALDatasetH raster, const char *path) {
    static const char *const options[] = {"COMPRESS=DEFLATE", "PREDICTOR=YES", "NUM_THREADS=1",
                                          "OVERVIEW_RESAMPLING=AVERAGE", NULL};
    GDALDatasetH file =
        GDALCreateCopy(GDALGetDriverByName("COG"), path, raster, FALSE, (CSLConstList)options, NULL, NULL);
    if (!file)
        return false;
    GDALFlushCache(file);
    GDALClose(file);
    return true;
}

static GDALDatasetH open_raster(const char *path) {
    static const char *const drivers[] = {"GTiff", NULL};
    return GDALOpenEx(path, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, drivers, NULL, NULL);
}

static bool holds_cells(const char *path, const foci_grid *grid, const float *cells, foci_error *err) {
    GDALDatasetH file = open_raster(path);
    float *row = foci_new_array(grid->columns, sizeof *row, err);
    int columns = (int)grid->columns, rows = (int)grid->rows;
    bool ok = row && file && GDALGetRasterXSize(file) == columns && GDALGetRasterYSize(file) == rows;
    for (int r = 0; ok && r < rows; r++) {
        ok = GDALRasterIO(GDALGetRasterBand(file, 1), GF_Read, 0, r, columns, 1, row, columns, 1, GDT_Float32, 0, 0) ==
             CE_None;
        for (int c = 0; ok && c < columns; c++) {
            float wanted = cells[(size_t)r * grid->columns + (size_t)c];
            ok = row[c] == wanted || (isnan(row[c]) && isnan(wanted));
        }
    }
    free(row);
    if (file)
        GDALClose(file);
    return ok;
}

static void remove_raster(const char *path) {
    static const char *const endings[] = {"", ".ovr.tmp", ".msk.ovr.tmp", NULL};
    char name[4096];
    for (const char *const *ending = endings; *ending; ending++)
        if (snprintf(name, sizeof name, "%s%s", path, *ending) < (int)sizeof name)
            unlink(name);
}

bool foci_raster_write(const char *path, const foci_grid *grid, const char *crs, const double *layer, const char *unit,
                       const char *description, const foci_note *notes, foci_error *err) {
    foci_gdal_talk talk = {0};
    GDALDatasetH raster = NULL;
    bool ok = false;
    if (access(path, F_OK) == 0)
        return foci_fail(err, FOCI_NO_FILE, path, 0, "is there already");
    float *cells = float_cells(layer, grid->columns * grid->rows, path, err);
    if (!cells)
        return false;
    foci_gdal_begin(&talk);
    raster = memory_raster(grid, crs, cells, unit, description, notes);
    ok = raster && copy_to_file(raster, path) && talk.failures == 0 && holds_cells(path, grid, cells, err);
    if (!ok) {
        remove_raster(path);
        foci_fail(err, FOCI_NO_FILE, path, 0, "cannot be written: %s",
                  talk.failures ? talk.text : "what was written does not read back the same (is the disk full?)");
    }
    if (raster)
        GDALClose(raster);
    foci_gdal_end();
    free(cells);
    return ok;
}

/* ---- reading ---- */

static bool read_place(foci_grid *grid, GDALDatasetH file, const char *path, foci_error *err) {
    double corner[6];
    if (GDALGetGeoTransform(file, corner) != CE_None)
        return foci_fail(err, FOCI_BAD_INPUT, path, 0, "the raster has no place on the ground");
    if (corner[2] != 0 || corner[4] != 0 || corner[1] <= 0 || fabs(corner[1] + corner[5]) > 1e-9 * corner[1])
        return foci_fail(err, FOCI_BAD_INPUT, path, 0, "the raster is not north-up with square cells");
    *grid = (foci_grid){.west = corner[0],
                        .north = corner[3],
                        .cell = corner[1],
                        .columns = (size_t)GDALGetRasterXSize(file),
                        .rows = (size_t)GDALGetRasterYSize(file)};
    return true;
}

static bool read_cells(foci_grid *grid, double *cells, GDALDatasetH file, const char *path, const foci_gdal_talk *talk,
                       foci_error *err) {
    GDALRasterBandH band = GDALGetRasterBand(file, 1);
    int columns = (int)grid->columns, rows = (int)grid->rows, has_nodata = 0;
    double nodata = GDALGetRasterNoDataValue(band, &has_nodata);
    if (GDALRasterIO(band, GF_Read, 0, 0, columns, rows, cells, columns, rows, GDT_Float64, 0, 0) != CE_None ||
        talk->failures)
        return foci_fail(err, FOCI_NO_FILE, path, 0, "the raster cannot be read: %s", talk->text);
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        if (has_nodata && cells[i] == nodata)
            cells[i] = NAN;
        grid->share[i] = isnan(cells[i]) ? 0 : 1;
        grid->cells += !isnan(cells[i]);
    }
    return true;
}

bool foci_raster_read(foci_grid *grid, double **layer, const char *path, foci_error *err) {
    foci_gdal_talk talk = {0};
    foci_grid read = {0};
    double *cells = NULL;
    bool ok = false;
    if (!foci_file_check(path, FOCI_MOST_OF_TABLE, err))
        return false;
    foci_gdal_begin(&talk);
    GDALDatasetH file = open_raster(path);
    if (!file || GDALGetRasterCount(file) < 1) {
        foci_fail(err, FOCI_NO_FILE, path, 0, "not a GeoTIFF that can be read: %s", talk.text);
        goto done;
    }
    if (!read_place(&read, file, path, err))
        goto done;
    cells = foci_new_array(read.columns * read.rows, sizeof *cells, err);
    read.share = foci_new_array(read.columns * read.rows, sizeof *read.share, err);
    if (!cells || !read.share || !read_cells(&read, cells, file, path, &talk, err))
        goto done;
    *grid = read;
    *layer = cells;
    read = (foci_grid){0};
    cells = NULL;
    ok = true;
done:
    free(read.share);
    free(cells);
    if (file)
        GDALClose(file);
    foci_gdal_end();
    return ok;
}
