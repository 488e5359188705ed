/* Rows of a database's table: read into memory, put in, taken out. */
#ifndef FOCI_DATA_DATABASE_ROWS_H
#define FOCI_DATA_DATABASE_ROWS_H

#include "data/files/database_table.h"

/* `layer` is the library's handle, with its filter set. */
bool foci_database_rows_read(foci_table *out, void *layer, const foci_database_table *table,
                             foci_error *err) FOCI_MUST_CHECK;

/* One row; `texts`, `numbers`, `point` and `area` as for foci_database_add. */
bool foci_database_rows_add(void *layer, const foci_database_table *table, const char *const *texts,
                            const double *numbers, const foci_point *point,
                            const foci_multipolygon *area) FOCI_MUST_CHECK;

/* Takes out all rows that the layer's filter lets through. */
bool foci_database_rows_remove(void *layer, foci_error *err) FOCI_MUST_CHECK;

#endif
