/* A file of points in WGS84, whatever its own system: stops, or the places of an estimate. */
#ifndef FOCI_DATA_POINT_TABLE_H
#define FOCI_DATA_POINT_TABLE_H

#include "data/files/vector_file.h"

typedef struct {
    foci_table table;
    foci_point *own;    /* coordinates as they stand in the file */
    foci_point *lonlat; /* WGS84; NaN where a row has no usable place */
    char *crs;          /* the system of `own`: the file's, or --crs, or "EPSG:4326" */
} foci_point_table;

/* Coordinates come from the features' points; of a CSV file from the columns lon/lat, longitude/latitude, x/y,
 * easting/northing (any case), or those that `xy` ("XCOLUMN,YCOLUMN") names; several pairs: an error that asks for
 * --xy. `crs` says what a file without a system of its own is in (GeoJSON is WGS84 by RFC 7946, lon/lat columns are
 * WGS84 unless `crs` says otherwise); where it is needed and missing the error says so; it is always checked. Outside
 * the system's area of use: FOCI_BAD_INPUT. `layer` NULL: the only one of points. */
bool foci_point_table_read(foci_point_table *out, const char *file, const char *crs, const char *xy,
                           const foci_layer_choice *layer, foci_error *err) FOCI_MUST_CHECK;
/* The same of a table that was read already and stands in `points`, whose other members are zero; it stays there, also
 * on failure. `crs` is not checked where the table does not need it. */
bool foci_point_table_place(foci_point_table *points, const char *file, const char *crs, const char *xy,
                            foci_error *err) FOCI_MUST_CHECK;

void foci_point_table_free(foci_point_table *points);

#endif
