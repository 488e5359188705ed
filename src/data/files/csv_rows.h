/* A second, plain reader of CSV by RFC 4180: readers drop or join what is written wrongly without a word. */
#ifndef FOCI_DATA_CSV_ROWS_H
#define FOCI_DATA_CSV_ROWS_H

#include "fieldfoci/error.h"

/* How many rows of data a file has whose columns have these names. FOCI_BAD_INPUT (with the row, the header not
 * counted) where a quote mark stands inside a cell that is not in quotes or behind one that is, where the file ends
 * inside quotes or quotes hold a whole row, or where a row has something in a cell beyond the last column, as decimal
 * commas make it. Short rows are in order: their last cells are blank. Blanks around quotes are allowed. */
bool foci_csv_rows_count(size_t *out, const char *file, char *const *columns, size_t column_count,
                         foci_error *err) FOCI_MUST_CHECK;

#endif
