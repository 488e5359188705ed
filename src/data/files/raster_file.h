/* Raster files: the only door to GDAL's rasters. */
#ifndef FOCI_DATA_RASTER_FILE_H
#define FOCI_DATA_RASTER_FILE_H

#include "fieldfoci/grid.h"

typedef struct {
    const char *key, *text;
} foci_note;

/* Writes one layer as a Float32 cloud-optimised GeoTIFF, NaN as nodata, in the work system; `unit` and `description` go
 * to the band, `notes` (ended by a row of zeros) to the metadata. Reads it again and compares every cell before it
 * returns; on failure the file is removed. */
bool foci_raster_write(const char *path, const foci_grid *grid, const char *crs, const double *layer, const char *unit,
                       const char *description, const foci_note *notes, foci_error *err) FOCI_MUST_CHECK;

/* Reads band 1; `grid->share` is 1 where there is a value and 0 elsewhere. */
bool foci_raster_read(foci_grid *grid, double **layer, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif
