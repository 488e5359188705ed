/* Tables in text files: CSV and its relatives. */
#ifndef FOCI_DATA_TEXT_FILE_H
#define FOCI_DATA_TEXT_FILE_H

#include "data/files/vector_table.h"

/* Whether the file's name ends as a text table's (.csv, .tsv, .tab, .psv, .txt) and none of `drivers` (ended by NULL)
 * knows it for something else. The same errors as foci_vector_guard. Between foci_gdal_begin and foci_gdal_end. */
bool foci_text_file_is(bool *is, const char *file, const char *const *drivers, foci_error *err) FOCI_MUST_CHECK;

/* Its one table, or the first rows of it (foci_table_head); `layer` NULL or the file's name without its ending. */
bool foci_text_file_read(foci_table *out, const char *file, const char *layer, size_t most_cells,
                         foci_error *err) FOCI_MUST_CHECK;

#endif
