/* Whether the rows of a CSV file fit its header: readers drop what is too much without a word. */
#ifndef FOCI_DATA_CSV_ROWS_H
#define FOCI_DATA_CSV_ROWS_H

#include "fieldfoci/error.h"

/* FOCI_BAD_INPUT (with the row, the header not counted) where a row has something in a cell beyond the last of
 * `columns`, as decimal commas make it. Short rows are in order: their last cells are blank. */
bool foci_csv_rows_fit(const char *file, size_t columns, foci_error *err) FOCI_MUST_CHECK;

#endif
