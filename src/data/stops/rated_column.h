/* A column that says how stops were rated. */
#ifndef FOCI_DATA_RATED_COLUMN_H
#define FOCI_DATA_RATED_COLUMN_H

#include "data/files/vector_file.h"
#include "fieldfoci/stops.h"

/* Index of the column `rated` of the table, unless the options read it as something else; -1 where there is none. */
long foci_rated_column_find(const foci_table *table, const foci_stops_options *options);

/* What the cell says becomes `stops->rating`. FOCI_BAD_INPUT (`file`, `row`): it is no rating, or another one than that
 * of the options or of the stops before. A blank says nothing. */
bool foci_rated_column_take(foci_stops *stops, const foci_cell *cell, const foci_stops_options *options,
                            const char *file, long row, foci_error *err) FOCI_MUST_CHECK;

#endif
