/* The layers of surveys and their columns: one table for survey.gpkg, its reader, the history and the task. */
#ifndef FOCI_KEEP_LAYERS_H
#define FOCI_KEEP_LAYERS_H

#include "data/files/database.h"
#include "fieldfoci/stops.h"

/* survey.gpkg has all but the surveys, a history all but the hotspots. */
enum { FOCI_LAYER_FIELD, FOCI_LAYER_SURVEYS, FOCI_LAYER_STOPS, FOCI_LAYER_ZONES, FOCI_LAYER_DIGS, FOCI_LAYER_HOTSPOTS };

/* The columns of a layer, as a row of it is filled in. */
enum { FOCI_FIELD_ID, FOCI_FIELD_NAME, FOCI_FIELD_AREA, FOCI_FIELD_COLUMNS };
enum {
    FOCI_STOPS_SURVEY,
    FOCI_STOPS_NUMBER,
    FOCI_STOPS_STOP,
    FOCI_STOPS_HITS,
    FOCI_STOPS_CHECKED,
    FOCI_STOPS_VALUE,
    FOCI_STOPS_DATE,
    FOCI_STOPS_USED,
    FOCI_STOPS_WHY,
    FOCI_STOPS_ESTIMATE,
    FOCI_STOPS_CHANCE,
    FOCI_STOPS_EAST,
    FOCI_STOPS_NORTH,
    FOCI_STOPS_COLUMNS
};
enum {
    FOCI_ZONES_SURVEY,
    FOCI_ZONES_ZONE,
    FOCI_ZONES_AREA,
    FOCI_ZONES_CHANCE,
    FOCI_ZONES_SEVERITY,
    FOCI_ZONES_CAUTIONS,
    FOCI_ZONES_COLUMNS
};
enum {
    FOCI_DIGS_SURVEY,
    FOCI_DIGS_ID,
    FOCI_DIGS_VISIT,
    FOCI_DIGS_NAME,
    FOCI_DIGS_CHANCE,
    FOCI_DIGS_WHY,
    FOCI_DIGS_COLUMNS
};
enum {
    FOCI_HOTSPOTS_ID,
    FOCI_HOTSPOTS_AREA,
    FOCI_HOTSPOTS_PEAK,
    FOCI_HOTSPOTS_MEAN,
    FOCI_HOTSPOTS_CHANCE,
    FOCI_HOTSPOTS_STOPS,
    FOCI_HOTSPOTS_OVER,
    FOCI_HOTSPOTS_ALONG,
    FOCI_HOTSPOTS_ACROSS,
    FOCI_HOTSPOTS_SUPPORTED,
    FOCI_HOTSPOTS_COLUMNS
};

enum { FOCI_LAYER_COLUMNS_MOST = 12 };

/* Which columns survey.gpkg has, in its order. */
typedef struct {
    size_t count;
    unsigned char at[FOCI_LAYER_COLUMNS_MOST];
} foci_layer_order;

typedef struct {
    const char *name; /* in survey.gpkg; NULL: it has no such layer */
    foci_shape_kind shape;
    const foci_column *columns;
    foci_layer_order order[2]; /* by foci_reading_kind: the columns of the other kind of reading are left out */
} foci_layer;

/* In the order above. */
extern const foci_layer foci_layers[];

/* The column of `surveys` that tells how many rows a survey has in FOCI_LAYER_STOPS, _ZONES, _DIGS. */
enum { FOCI_HISTORY_COUNTS = FOCI_LAYER_DIGS - FOCI_LAYER_STOPS + 1 };
extern const char *const foci_history_row_counts[];

/* In the order above; ends with a row of zeros. */
extern const foci_database_table foci_history_tables[];

/* Begins a layer of survey.gpkg, and adds a row to it: `texts` and `numbers` by the enumeration of its columns. */
bool foci_layer_begin(foci_vector_writer *writer, size_t layer, foci_reading_kind kind,
                      foci_error *err) FOCI_MUST_CHECK;
bool foci_layer_add(foci_vector_writer *writer, size_t layer, foci_reading_kind kind, const char *const *texts,
                    const double *numbers, const foci_point *point, const foci_multipolygon *area,
                    foci_error *err) FOCI_MUST_CHECK;

#endif
