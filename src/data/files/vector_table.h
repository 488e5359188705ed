/* A table of features, read whole. */
#ifndef FOCI_DATA_VECTOR_TABLE_H
#define FOCI_DATA_VECTOR_TABLE_H

#include "data/files/vector_shape.h"
#include "fieldfoci/notes.h"

typedef struct {
    char *text;     /* as OGR prints it; NULL where blank (unset, null or an empty string) */
    double number;  /* the whole text as one strict number, or NaN */
    bool is_number; /* true also for stored NaN and infinity: `number` holds them */
} foci_cell;

typedef enum {
    FOCI_COLUMN_TEXT,
    FOCI_COLUMN_NUMBER,
    FOCI_COLUMN_WHOLE,
    FOCI_COLUMN_FIXED /* for writing only: a number below 10^9 with 4 decimals where the format has fixed widths */
} foci_column_type;

/* One layer, read whole. */
typedef struct {
    char *layer;
    char *driver;    /* "GeoJSON", "CSV", ... */
    char *crs;       /* WKT of its system, "" where it has none */
    char sha256[65]; /* of the file and its companions (shapefile), in name order */
    size_t column_count;
    char **columns;
    foci_column_type *types;
    size_t row_count;
    size_t rows_there;   /* in the file: more than row_count where only the first were read */
    foci_shape *shapes;  /* row_count */
    foci_cell *cells;    /* row_count x column_count */
    long *row_numbers;   /* row_count, as people count them (foci_table_row); NULL: one after the other */
    bool decimal_commas; /* a column that was read so far has some: a point elsewhere may group thousands */
    foci_notes notes;    /* how it was read, where that was a choice */
} foci_table;

/* How many rows of so many columns are read of a table of which only the first are wanted: as many as take `most_cells`
 * cells, a row's shape being one, and FOCI_HEAD_ROWS at least; SIZE_MAX where `most_cells` is 0. */
enum { FOCI_HEAD_ROWS = 8 };
size_t foci_table_head(size_t column_count, size_t most_cells);

void foci_table_free(foci_table *table);

/* The number of a row (index from 0) in the file: 1 is the first one below the header, rows of blanks count. */
long foci_table_row(const foci_table *table, size_t row);

/* FOCI_BAD_INPUT (without file and row) where the text of a cell holds a code that is no letter. NULL is none. */
bool foci_table_check_letters(const char *text, const char *column, foci_error *err) FOCI_MUST_CHECK;

/* Index of a column: exact name, else without regard to case; -1 where there is none. */
long foci_table_column(const foci_table *table, const char *name);

/* "stop, infected, checked, ..." cut to `size`. */
void foci_table_list_columns(const foci_table *table, char *list, size_t size);

#endif
