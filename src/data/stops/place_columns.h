/* Coordinates that stand in columns. */
#ifndef FOCI_DATA_PLACE_COLUMNS_H
#define FOCI_DATA_PLACE_COLUMNS_H

#include "data/files/vector_file.h"

/* One place for each row, NaN where it has none, out of the columns that `xy` names ("XCOLUMN,YCOLUMN"; NULL: those
 * with a known name). `*degrees`: they are longitude and latitude, by name, or because every cell is marked as an
 * angle; these come in any writing of degrees.h. FOCI_BAD_INPUT: no such columns, several pairs, no number, an angle
 * that cannot be. */
bool foci_place_columns_read(foci_point *places, bool *degrees, foci_table *table, const char *file, const char *xy,
                             foci_error *err) FOCI_MUST_CHECK;

/* How many known pairs the table has, which need not be named, and the columns of the first. */
size_t foci_place_columns_known(size_t *x, size_t *y, const foci_table *table);

#endif
