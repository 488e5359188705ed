/* Vector files, in and out: the only door to OGR. */
#ifndef FOCI_DATA_VECTOR_FILE_H
#define FOCI_DATA_VECTOR_FILE_H

#include "data/files/vector_layers.h"
#include "data/files/vector_table.h"

/* Reads one layer; `choice` NULL: the first with features (a GPX file: its waypoints). Only drivers of the allowed list
 * are tried: GeoJSON, ESRI Shapefile (a zipped one too), GPKG, KML/LIBKML, GPX, FlatGeobuf, XLSX, ODS; text tables
 * (.csv, .tsv, .txt ...) are read by text_rows.h. Errors: FOCI_NO_FILE (missing,
 * unreadable, not one of these formats), FOCI_BAD_INPUT (no feature, no such layer, several layers of the kind). */
bool foci_table_read(foci_table *out, const char *file, const foci_layer_choice *choice,
                     foci_error *err) FOCI_MUST_CHECK;

/* The same for the layer of this name. FOCI_BAD_INPUT also where there is none. */
bool foci_table_read_layer(foci_table *out, const char *file, const char *layer, foci_error *err) FOCI_MUST_CHECK;

/* The layers of these names with one opening of the file, into tables that are all zero; where a name is NULL the table
 * stays so. */
bool foci_table_read_layers(foci_table *tables, const char *file, const char *const *layers, size_t count,
                            foci_error *err) FOCI_MUST_CHECK;

/* Every layer with features, in the file's order, with one opening of it; of a GPX file without the points that its
 * routes and tracks are made of. Owned by the caller: each table, and the array. */
bool foci_table_read_all(foci_table **out, size_t *count, const char *file, foci_error *err) FOCI_MUST_CHECK;

/* The same, but of each layer only the first rows (foci_table_head). */
bool foci_table_read_heads(foci_table **out, size_t *count, const char *file, size_t most_cells,
                           foci_error *err) FOCI_MUST_CHECK;

/* ---- writing ---- */

typedef struct {
    const char *name;
    foci_column_type type;
} foci_column;

typedef struct foci_vector_writer foci_vector_writer;

/* Opens `path` (its ending chooses .gpkg, .geojson, .shp, .fgb, .csv) for writing; it must not exist. GeoJSON follows
 * RFC 7946 with 9 decimals of a degree. CSV holds no shapes: points become its first columns, lon and lat, where the
 * caller's columns do not have these names. All coordinates are WGS84. */
bool foci_vector_writer_open(foci_vector_writer **out, const char *path, foci_error *err) FOCI_MUST_CHECK;

bool foci_vector_writer_layer(foci_vector_writer *writer, const char *name, foci_shape_kind kind,
                              const foci_column *columns, size_t column_count, foci_error *err) FOCI_MUST_CHECK;

/* One feature of the last layer. `texts` and `numbers` have one entry per column: a text column takes texts[i] (NULL =
 * blank), a number column numbers[i] (NaN = blank). `point` or `area` by the layer's kind (both NULL: no geometry). */
bool foci_vector_writer_add(foci_vector_writer *writer, const char *const *texts, const double *numbers,
                            const foci_point *point, const foci_multipolygon *area, foci_error *err) FOCI_MUST_CHECK;

/* Key and value of the file's or layer's metadata where the format has a place for it (GeoPackage); ignored elsewhere.
 */
bool foci_vector_writer_note(foci_vector_writer *writer, const char *key, const char *text,
                             foci_error *err) FOCI_MUST_CHECK;

/* Flushes, closes, opens the file again and compares the number of features of every layer: text drivers lose data on a
 * full disk without a word. On failure the file is removed. Always frees the writer. */
bool foci_vector_writer_close(foci_vector_writer *writer, foci_error *err) FOCI_MUST_CHECK;

/* Gives up: closes and removes the file. NULL is allowed. */
void foci_vector_writer_drop(foci_vector_writer *writer);

/* "3.6.2" */
const char *foci_vector_file_version(void);

#endif
