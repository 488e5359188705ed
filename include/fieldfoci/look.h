/* A look into a file of stops or boundaries that somebody sent: what it holds, and what its columns may be. */
#ifndef FIELDFOCI_LOOK_H
#define FIELDFOCI_LOOK_H

#include "fieldfoci/survey.h"

/* The most that is told of a file, however much it holds. */
enum {
    FOCI_LOOK_CELLS = 2000000, /* of each layer only as many rows as take so many cells are read, 8 at least */
    FOCI_LOOK_COLUMNS = 1000,
    FOCI_LOOK_ROWS = 8,
    FOCI_LOOK_SAMPLES = 3,
    FOCI_LOOK_POINTS = 5000,
    FOCI_LOOK_CORNERS = 20000, /* of the outline */
    FOCI_LOOK_NAMES = 500,
    FOCI_LOOK_LETTERS = 120 /* bytes of a cell; what is longer ends in three points */
};

typedef struct {
    char *name;        /* owned */
    const char *shape; /* "points", "lines", "areas", "table" (no shapes) or "mixed"; static life */
    size_t rows;       /* all there are */
    char *crs; /* "EPSG:4326", or the system's name where it has no code; "" where it has none; owned. Of the layer
                  that is described: the system that its places were read in, where they could be */
} foci_look_layer;

typedef struct {
    char *name;               /* whole; owned */
    const char *kind;         /* "number", "date", "text" or "empty"; static life. Number or date: nine in ten of the
                                 filled cells are */
    size_t filled;            /* cells that are not blank, of the rows that were read */
    size_t odd;               /* of a number or date column: filled cells that are none */
    bool whole;               /* of a number column: all numbers are whole */
    double least, most;       /* of a number column; else NaN */
    char first[11], last[11]; /* of a date column, YYYY-MM-DD; else "", also where it cannot be told whether day or
                                 month comes first */
    size_t sample_count;
    char *samples[FOCI_LOOK_SAMPLES]; /* the first cells that differ; owned */
} foci_look_column;

/* What a column may be, and why: told, never used by any other call. */
typedef struct {
    const char *setting; /* "hits", "checked", "value", "id", "when", "rated", "rater" or "xy"; static life */
    char *column;        /* of "xy" two of them, "lon,lat"; owned */
    char *value;         /* what to give for the setting; NULL where it is read without being named; owned */
    char *why;           /* one sentence; owned */
} foci_look_guess;

typedef struct {
    char *file; /* owned */
    size_t layer_count;
    foci_look_layer *layers;           /* those with features, in the file's order; owned */
    size_t layer;                      /* the one that all below is about */
    size_t rows_read;                  /* of it */
    size_t column_count, columns_more; /* told, and beyond those */
    foci_look_column *columns;         /* owned */
    size_t row_count;
    char **cells; /* row_count x column_count, NULL: blank; owned */
    size_t guess_count;
    foci_look_guess *guesses; /* owned */
    bool has_points;
    size_t point_count, points_more; /* told, and beyond those among the rows that were read */
    foci_point *points;              /* WGS84, degrees, in the file's order, rows without a place left out; owned */
    foci_multipolygon outline; /* WGS84, degrees: areas, or lines that foci_field_read would close; empty where none */
    double area_ha;            /* geodesic, of the outline; NaN where there is none */
    foci_sentences names;      /* of the areas and lines, from their column "name" */
    foci_sentences notes;      /* sentences without a full stop; a setting stands in them as {crs} */
} foci_look;

typedef struct {
    const char *layer; /* NULL: the first with points, else with areas or lines, else the first */
    const char *crs;   /* of a file that carries no system, or NULL */
    const char *xy;    /* "XCOLUMN,YCOLUMN" of a table, or NULL */
} foci_look_options;

FOCI_API foci_look_options foci_look_options_make(void);

/* Reads any vector file of the allowed list. What keeps the file from being mapped (no reference system, two pairs of
 * coordinates ...) is a note; errors: FOCI_NO_FILE (missing, not a vector file), FOCI_BAD_INPUT (no features, no such
 * layer, damaged; `xy` names no columns of numbers), FOCI_BAD_SETTING (unknown `crs`, `xy` that is no pair). */
FOCI_API bool foci_look_file(foci_look *out, const char *file, const foci_look_options *options,
                             foci_error *err) FOCI_MUST_CHECK;

/* What `look --json` prints; owned by the caller. */
FOCI_API char *foci_look_summary(const foci_look *look, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_look_free(foci_look *look);

#endif
