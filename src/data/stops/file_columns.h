/* Where a file of stops keeps things, and the reading of one stop. */
#ifndef FOCI_DATA_FILE_COLUMNS_H
#define FOCI_DATA_FILE_COLUMNS_H

#include "data/files/vector_table.h"
#include "fieldfoci/stops.h"

#define FOCI_NO_COLUMN ((size_t)-1)

/* FOCI_NO_COLUMN where a file has none of these. */
typedef struct {
    size_t value, hits, checked, id, when, rated, rater;
    size_t classes[FOCI_STEPS_MOST]; /* plants in each class of a scale, for a severity index */
    bool percent;                    /* scores are written with percent signs */
    const foci_date_order *order;    /* of its dates; NULL: nothing to settle */
} foci_file_columns;

/* Finds the columns that the options name and gives their cells their numbers; `checked` is --checked where that is a
 * number, else NaN. The errors of columns.h, number_column.h and date_column.h. */
bool foci_file_columns_find(foci_file_columns *out, foci_table *table, const char *file,
                            const foci_stops_options *options, double checked, foci_error *err) FOCI_MUST_CHECK;

/* hits, checked and value of the stop, whose `row` of the table's cells it is; `blank_text` what stands there in place
 * of a number. FOCI_BAD_INPUT where "3 of 10" and --checked differ. */
bool foci_file_columns_reading(foci_stop *stop, const foci_cell *row, const foci_file_columns *columns,
                               const char *file, double checked, foci_error *err) FOCI_MUST_CHECK;

#endif
